//! How many threads work: decided here and nowhere else.

use std::num::NonZero;

use rayon::ThreadPoolBuilder;

/// Starts one thread for each processor, or as many as `RAYON_NUM_THREADS` says where that is fewer. Where so many
/// cannot be had, the thread that calls this does all the work: no other may then ask for any, as those of a window do.
/// Results do not depend on their number.
pub fn start_threads() {
    let processors = std::thread::available_parallelism().map_or(1, NonZero::get);
    let wanted = std::env::var("RAYON_NUM_THREADS").ok();
    let count = thread_count(processors, wanted.as_deref(), |count| {
        ThreadPoolBuilder::new().num_threads(count).build().is_ok()
    });
    let pool = ThreadPoolBuilder::new().num_threads(count);
    let pool = if count == 1 {
        pool.use_current_thread()
    } else {
        pool
    };
    // What was started before stays.
    let _ = pool.build_global();
}

/// How many threads to start; `can_start` tries a number of them.
fn thread_count(
    processors: usize,
    wanted: Option<&str>,
    can_start: impl Fn(usize) -> bool,
) -> usize {
    let wanted = wanted.and_then(|text| text.trim().parse().ok());
    let count = wanted
        .filter(|count| *count > 0)
        .map_or(processors, |count: usize| count.min(processors));
    if count > 1 && can_start(count) {
        count
    } else {
        1
    }
}

#[cfg(test)]
mod tests {
    use super::thread_count;

    #[test]
    fn never_more_than_processors_and_one_where_none_can_be_started() {
        let yes = |_| true;
        for (wanted, expected) in [
            (None, 8),
            (Some("3"), 3),
            (Some("100000"), 8),
            (Some("0"), 8),
            (Some("many"), 8),
            (Some("99999999999999999999999"), 8),
            (Some("1"), 1),
        ] {
            assert_eq!(thread_count(8, wanted, yes), expected, "{wanted:?}");
        }
        assert_eq!(thread_count(8, None, |_| false), 1);
        assert_eq!(
            thread_count(1, None, |_| unreachable!("nothing to start")),
            1
        );
    }
}
