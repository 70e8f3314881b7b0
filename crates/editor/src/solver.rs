//! Solving, at once where it is quick and in the background where it is not.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, PoisonError};

use evenhand_inversion::{MapInputs, solved};
use evenhand_receiver::{
    Compiled, ControlPoint, CurveKind, MapInterpolation, Profile, compile_around,
};
use evenhand_workflow::Failure;

/// Grids finer than this take longer than a frame.
const QUICK_STEPS: u32 = 128;

/// What is to be solved.
#[derive(Clone)]
pub(crate) struct Question {
    /// Answers to older questions are not wanted.
    pub(crate) number: u64,
    pub(crate) profile: Profile,
    pub(crate) prepared: Arc<MapInputs>,
    pub(crate) points: Vec<ControlPoint>,
    pub(crate) exponent: Option<f64>,
    pub(crate) locked: Vec<bool>,
}

/// What was found.
pub(crate) struct Answer {
    pub(crate) number: u64,
    pub(crate) found: Result<Found, Failure>,
}

/// The best map, and the points around those that are locked.
pub(crate) struct Found {
    pub(crate) optimum: Arc<Compiled>,
    pub(crate) points: Vec<ControlPoint>,
    pub(crate) exponent: Option<f64>,
}

/// Whether a receiver's maps are solved within a frame.
pub(crate) fn is_quick(profile: &Profile) -> bool {
    let straight = matches!(
        profile.curve(),
        CurveKind::Points {
            interpolation: MapInterpolation::Linear,
            max_points: ..=32,
            ..
        }
    );
    let fine = profile
        .grid()
        .is_some_and(|grid| grid.input_steps.max(grid.output_steps) > QUICK_STEPS);
    straight && !fine
}

impl Question {
    pub(crate) fn answered(&self) -> Result<Found, Failure> {
        let optimum = solved(&self.profile, &self.prepared)?;
        let is_around = self.locked.iter().any(|locked| *locked);
        let (points, exponent) = if is_around {
            let around = compile_around(
                &self.profile,
                &self.prepared.ideal,
                &self.points,
                &self.locked,
            );
            (around.unwrap_or_else(|| self.points.clone()), self.exponent)
        } else {
            (optimum.control_points.clone(), optimum.exponent)
        };
        Ok(Found {
            optimum: Arc::new(optimum),
            points,
            exponent,
        })
    }
}

type Slot = Arc<(Mutex<Option<Question>>, Condvar)>;

/// A thread that answers the latest question; older ones that it has not begun are dropped.
pub(crate) struct Solver {
    slot: Slot,
    answers: Receiver<Answer>,
}

impl Solver {
    /// `wake` is called after every answer.
    pub(crate) fn new(wake: impl Fn() + Send + 'static) -> Self {
        let slot: Slot = Arc::default();
        let (sender, answers) = channel();
        let own = Arc::clone(&slot);
        // Where no thread can be had questions stay unanswered, and the old points with them.
        let _ = std::thread::Builder::new()
            .name("solver".to_owned())
            .spawn(move || work(&own, &sender, &wake));
        Self { slot, answers }
    }

    pub(crate) fn ask(&self, question: Question) {
        let (mutex, bell) = &*self.slot;
        *mutex.lock().unwrap_or_else(PoisonError::into_inner) = Some(question);
        bell.notify_one();
    }

    pub(crate) fn answer(&self) -> Option<Answer> {
        self.answers.try_iter().last()
    }

    /// Waits for an answer.
    pub(crate) fn wait(&self) -> Option<Answer> {
        self.answers.recv().ok()
    }
}

fn work(slot: &Slot, sender: &Sender<Answer>, wake: &dyn Fn()) {
    let (mutex, bell) = &**slot;
    loop {
        let mut waiting = mutex.lock().unwrap_or_else(PoisonError::into_inner);
        let question = loop {
            if let Some(question) = waiting.take() {
                break question;
            }
            waiting = bell.wait(waiting).unwrap_or_else(PoisonError::into_inner);
        };
        drop(waiting);
        let answer = Answer {
            number: question.number,
            found: question.answered(),
        };
        // The window is gone: so is the work.
        if sender.send(answer).is_err() {
            return;
        }
        wake();
    }
}
