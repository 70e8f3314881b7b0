//! What a device told and nobody took yet, within bounds.

use std::collections::VecDeque;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError, Weak};
use std::time::Duration;

/// Batches that are kept: minutes of a device that tells hundreds a second. What waited longer is of no placement that
/// is still read, so that the oldest go first.
const MOST: usize = 1 << 16;

/// What a queue gives.
pub(crate) enum Taken<T> {
    /// The oldest.
    Batch(T),
    /// Nothing has come.
    Nothing,
    /// Nothing will come.
    Ended,
}

struct State<T> {
    waiting: VecDeque<T>,
    is_ended: bool,
}

struct Queue<T> {
    state: Mutex<State<T>>,
    changed: Condvar,
}

impl<T> Queue<T> {
    /// A thread that panicked left a queue that is whole between any two of its steps.
    fn state(&self) -> MutexGuard<'_, State<T>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The end that a device's thread holds; dropped, the queue has ended.
pub(crate) struct BatchSender<T>(Weak<Queue<T>>);

/// The end that is read.
pub(crate) struct BatchReceiver<T>(Arc<Queue<T>>);

/// A queue's two ends.
pub(crate) fn batch_queue<T>() -> (BatchSender<T>, BatchReceiver<T>) {
    let queue = Arc::new(Queue {
        state: Mutex::new(State {
            waiting: VecDeque::new(),
            is_ended: false,
        }),
        changed: Condvar::new(),
    });
    (BatchSender(Arc::downgrade(&queue)), BatchReceiver(queue))
}

impl<T> BatchSender<T> {
    /// Adds a batch; whether anybody is left to read it.
    pub(crate) fn send(&self, batch: T) -> bool {
        let Some(queue) = self.0.upgrade() else {
            return false;
        };
        let mut state = queue.state();
        if state.waiting.len() == MOST {
            state.waiting.pop_front();
        }
        state.waiting.push_back(batch);
        drop(state);
        queue.changed.notify_one();
        true
    }
}

impl<T> Drop for BatchSender<T> {
    fn drop(&mut self) {
        if let Some(queue) = self.0.upgrade() {
            queue.state().is_ended = true;
            queue.changed.notify_one();
        }
    }
}

impl<T> BatchReceiver<T> {
    /// The oldest batch, waiting for one so long at most.
    pub(crate) fn wait(&self, most: Duration) -> Taken<T> {
        let idle = |state: &mut State<T>| state.waiting.is_empty() && !state.is_ended;
        let (mut state, _) = self
            .0
            .changed
            .wait_timeout_while(self.0.state(), most, idle)
            .unwrap_or_else(PoisonError::into_inner);
        match state.waiting.pop_front() {
            Some(batch) => Taken::Batch(batch),
            None if state.is_ended => Taken::Ended,
            None => Taken::Nothing,
        }
    }

    /// All that has come by now, and whether nothing more will.
    pub(crate) fn take_all(&self) -> (VecDeque<T>, bool) {
        let mut state = self.0.state();
        (std::mem::take(&mut state.waiting), state.is_ended)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_of_too_many_go() {
        let (sender, receiver) = batch_queue();
        for number in 0..MOST + 3 {
            assert!(sender.send(number));
        }
        assert!(matches!(receiver.wait(Duration::ZERO), Taken::Batch(3)));
        let (waiting, is_ended) = receiver.take_all();
        assert_eq!(waiting.len(), MOST - 1);
        assert!(!is_ended);
        assert!(matches!(receiver.wait(Duration::ZERO), Taken::Nothing));
    }

    #[test]
    fn what_was_told_before_the_end_is_read_and_nobody_tells_to_nobody() {
        let (sender, receiver) = batch_queue();
        assert!(sender.send(1));
        drop(sender);
        assert!(matches!(receiver.wait(Duration::ZERO), Taken::Batch(1)));
        assert!(matches!(receiver.wait(Duration::MAX), Taken::Ended));
        let (sender, receiver) = batch_queue();
        drop(receiver);
        assert!(!sender.send(1));
    }
}
