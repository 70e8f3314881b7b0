//! Many samples as fewer: neighbours in force of one seating and direction stand together.
//!
//! A group reads the median of its readings, so that a slip among many does not move it, and scatters as the mean of so
//! many samples does. Between two of hundreds of groups a response is straight for all that scatter shows.

use std::collections::BTreeMap;

use crate::observation::{Censoring, Observation};

/// Up to this many samples are solved one by one; more are pooled into about so many groups.
const MOST: usize = 500;

/// The observations themselves, or groups of them where there are many.
pub(crate) fn pooled(observations: &[Observation]) -> Vec<Observation> {
    if observations.len() <= MOST {
        return observations.to_vec();
    }
    let mut alike: BTreeMap<(usize, bool, usize), Vec<Observation>> = BTreeMap::new();
    for observation in observations {
        let kind = match observation.censoring {
            Censoring::NotAbove => 0,
            Censoring::NearZero => 1,
            Censoring::Inside => 2,
            Censoring::NearFull => 3,
            Censoring::NotBelow => 4,
        };
        let key = (observation.seating, observation.unloading, kind);
        alike.entry(key).or_default().push(*observation);
    }
    let size = observations.len().div_ceil(MOST);
    let mut groups = Vec::with_capacity(MOST + alike.len());
    for mut alike in alike.into_values() {
        alike.sort_by(|a, b| a.force.total_cmp(&b.force));
        groups.extend(alike.chunks_mut(size).map(group));
    }
    groups
}

/// One observation for several with the same seating, direction and censoring.
fn group(observations: &mut [Observation]) -> Observation {
    let count = observations.len() as f64;
    let force = observations.iter().map(|o| o.force).sum::<f64>() / count;
    let middle = observations.len() / 2;
    let (_, median, _) =
        observations.select_nth_unstable_by(middle, |a, b| a.reading.total_cmp(&b.reading));
    Observation {
        force,
        count,
        ..*median
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn observation(force: f64, reading: f64, seating: usize) -> Observation {
        Observation {
            force,
            reading,
            seating,
            unloading: false,
            censoring: Censoring::Inside,
            count: 1.0,
        }
    }

    #[test]
    fn pooled_few_observations_stay_as_they_are() {
        let few: Vec<Observation> = (0..MOST).map(|k| observation(k as f64, 0.5, 0)).collect();
        assert_eq!(pooled(&few).len(), MOST);
    }

    #[test]
    fn pooled_many_observations_keep_seatings_apart_and_ignore_a_slip() {
        // 3,000 samples in two seatings: groups of six neighbours.
        let mut many: Vec<Observation> = (0..3000)
            .map(|k| observation((k / 2) as f64, 0.5, k % 2))
            .collect();
        many[600].reading = 0.99;
        let groups = pooled(&many);
        assert_eq!(groups.len(), 500);
        for group in &groups {
            assert!((group.count - 6.0).abs() < 1e-12 && (group.reading - 0.5).abs() < 1e-12);
        }
        // The first group of each seating: forces 0 to 5.
        for seating in 0..2 {
            let first = groups.iter().find(|g| g.seating == seating);
            assert_eq!(first.map(|g| g.force), Some(2.5));
        }
    }
}
