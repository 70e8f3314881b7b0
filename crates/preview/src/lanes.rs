//! Which lane above the plot holds which landmark, so that nothing overlaps.

use crate::label::Anchor;
use crate::landmark::Landmark;

/// Least gap between two labels, and between two brackets, of one lane.
const LABEL_GAP: f64 = 16.0;
const BRACKET_GAP: f64 = 8.0;
/// Least gap between a label and the line of the other landmark.
const LINE_GAP: f64 = 4.0;

/// Lane (0 lies next to the plot) and side of the label.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LabelSlot {
    pub(crate) lane: usize,
    pub(crate) anchor: Anchor,
}

const SIDES: [Anchor; 3] = [Anchor::Middle, Anchor::Start, Anchor::End];
/// Lanes of a first and second landmark, the best first.
const LANES: [(usize, usize); 3] = [(0, 0), (0, 1), (1, 0)];

/// Slots for at most two landmarks.
///
/// One lane if it holds both; else the first of two lanes and sides in which the line to the upper
/// landmark misses the lower label. There is one whenever a label is narrower than half the
/// plot: the lower label then fits on the side of its own line that is away from the other.
pub(crate) fn slots(landmarks: &[Landmark]) -> Vec<LabelSlot> {
    let alone = LabelSlot {
        lane: 0,
        anchor: Anchor::Middle,
    };
    let [first, second] = landmarks else {
        return vec![alone; landmarks.len()];
    };
    let slot = |lane, anchor| LabelSlot { lane, anchor };
    for lanes in LANES {
        for anchor in SIDES {
            for other in SIDES {
                let slots = [slot(lanes.0, anchor), slot(lanes.1, other)];
                if fit((first, slots[0]), (second, slots[1])) {
                    return slots.to_vec();
                }
            }
        }
    }
    vec![alone, LabelSlot { lane: 1, ..alone }]
}

fn fit(one: (&Landmark, LabelSlot), other: (&Landmark, LabelSlot)) -> bool {
    let extent =
        |(landmark, slot): (&Landmark, LabelSlot)| landmark.label(slot.anchor, 0.0).extent();
    let misses = |lower: (&Landmark, LabelSlot), x: f64| {
        let (left, right) = extent(lower);
        x < left - LINE_GAP || x > right + LINE_GAP
    };
    match one.1.lane.cmp(&other.1.lane) {
        std::cmp::Ordering::Less => misses(one, other.0.x),
        std::cmp::Ordering::Greater => misses(other, one.0.x),
        std::cmp::Ordering::Equal => {
            let bracket = |landmark: &Landmark| (landmark.left, landmark.right);
            apart(extent(one), extent(other), LABEL_GAP)
                && apart(bracket(one.0), bracket(other.0), BRACKET_GAP)
        }
    }
}

fn apart(one: (f64, f64), other: (f64, f64), gap: f64) -> bool {
    one.1 + gap <= other.0 || other.1 + gap <= one.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tokens::{PLOT_LEFT, PLOT_RIGHT};

    fn landmark(text: &str, x: f64, wide: f64) -> Landmark {
        Landmark {
            text: text.to_owned(),
            x,
            left: x - wide,
            right: x + wide,
            open: false,
            bound: false,
        }
    }

    #[test]
    fn every_pair_of_places_has_slots() {
        let places: Vec<f64> = (0_u32..=40)
            .map(|k| PLOT_LEFT + (PLOT_RIGHT - PLOT_LEFT) * f64::from(k) / 40.0)
            .collect();
        for &x in &places {
            for &y in &places {
                let pair = [
                    landmark("onset 123.45 gf (120.10 to 130.20)", x, 3.0),
                    landmark("saturation not reached, above 190 gf", y, 40.0),
                ];
                let found = slots(&pair);
                assert!(fit((&pair[0], found[0]), (&pair[1], found[1])), "{x} {y}");
            }
        }
    }

    #[test]
    fn far_apart_share_a_lane() {
        let pair = [
            landmark("onset 4.1 gf (3.6 to 4.7)", 120.0, 3.0),
            landmark("saturation 170 gf (166 to 175)", 700.0, 20.0),
        ];
        assert!(slots(&pair).iter().all(|slot| slot.lane == 0), "one lane");
    }
}
