//! Names above a plot, each over the line it belongs to, in lanes so that neither names nor leaders cross.

use crate::canvas::Canvas;
use crate::label::{Anchor, Label};
use crate::tokens::{HAIRLINE, LABEL_LANE, Palette, TICK_SIZE};

/// More names than this are not seated.
pub(crate) const MOST_LABELS: usize = 24;
/// Lanes are tried up to this one.
const MOST_LANES: usize = 14;
/// Gap between a leader and its name, and between neighbours.
const ASIDE: f64 = 5.0;

/// A name and the point it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DirectLabel {
    pub(crate) text: String,
    pub(crate) point: (f64, f64),
    pub(crate) flagged: bool,
}

/// A name with its lane, counted from the plot upwards.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Seated {
    pub(crate) lane: usize,
    anchor: Anchor,
    of: DirectLabel,
}

impl Seated {
    fn label(&self, y: f64) -> Label {
        let x = match self.anchor {
            Anchor::Start => self.of.point.0 + ASIDE,
            Anchor::Middle => self.of.point.0,
            Anchor::End => self.of.point.0 - ASIDE,
        };
        Label::new(x, y, self.anchor, TICK_SIZE, self.of.text.clone())
    }

    /// The same with its point so much lower.
    pub(crate) fn lowered(mut self, by: f64) -> Self {
        self.of.point.1 += by;
        self
    }

    fn extent(&self) -> (f64, f64) {
        let (left, right) = self.label(0.0).extent();
        (left - ASIDE, right + ASIDE)
    }

    fn crosses(&self, other: &Self) -> bool {
        let (left, right) = self.extent();
        let (other_left, other_right) = other.extent();
        let over = |x: f64, (left, right): (f64, f64)| left + ASIDE / 2.0 < x && x < right;
        match self.lane.cmp(&other.lane) {
            std::cmp::Ordering::Equal => left < other_right && other_left < right,
            // A leader comes down through all lanes below its own.
            std::cmp::Ordering::Greater => over(self.of.point.0, (other_left, other_right)),
            std::cmp::Ordering::Less => over(other.of.point.0, (left, right)),
        }
    }
}

/// Seats the first names so that nothing crosses, in few lanes. From the right with names beside their leaders
/// on the right works wherever there is room; near the right edge the mirror image does. Both are tried.
pub(crate) fn seat(mut labels: Vec<DirectLabel>, ends: (f64, f64)) -> Vec<Seated> {
    labels.truncate(MOST_LABELS);
    labels.sort_by(|a, b| a.point.0.total_cmp(&b.point.0));
    let from_left = seated_in_turn(&labels, [Anchor::End, Anchor::Start], ends);
    labels.reverse();
    let from_right = seated_in_turn(&labels, [Anchor::Start, Anchor::End], ends);
    let cost = |(crossed, seated): &(usize, Vec<Seated>)| {
        (*crossed, seated.iter().map(|one| one.lane).max())
    };
    if cost(&from_left) < cost(&from_right) {
        from_left.1
    } else {
        from_right.1
    }
}

/// Seats names in the order given, each as low as it can be; and how many found no place of their own.
fn seated_in_turn(
    labels: &[DirectLabel],
    anchors: [Anchor; 2],
    (left, right): (f64, f64),
) -> (usize, Vec<Seated>) {
    let mut seated: Vec<Seated> = Vec::new();
    let mut crossed = 0;
    for label in labels {
        let at = |lane: usize, anchor: Anchor| Seated {
            lane,
            anchor,
            of: label.clone(),
        };
        let within = |candidate: &Seated| {
            let (from, to) = candidate.extent();
            from >= left - ASIDE && to <= right + ASIDE
        };
        let found = (0..MOST_LANES)
            .flat_map(|lane| anchors.map(|anchor| at(lane, anchor)))
            .filter(within)
            .find(|candidate| !seated.iter().any(|other| candidate.crosses(other)));
        seated.push(found.unwrap_or_else(|| {
            crossed += 1;
            let top = seated.iter().map(|one| one.lane + 1).max().unwrap_or(0);
            let toward_left = label.point.0 > f64::midpoint(left, right);
            at(
                top,
                if toward_left {
                    Anchor::End
                } else {
                    Anchor::Start
                },
            )
        }));
    }
    (crossed, seated)
}

/// Height that the lanes of names take.
pub(crate) fn lanes_height(seated: &[Seated]) -> f64 {
    let lanes = seated.iter().map(|s| s.lane + 1).max().unwrap_or(0);
    lanes as f64 * LABEL_LANE
}

/// Draws names and leaders above `top`. A leader comes down to the point of its name.
pub(crate) fn draw(canvas: &mut Canvas, seated: &[Seated], top: f64, palette: &Palette) {
    canvas.open_group("names");
    for one in seated {
        let baseline = top - one.lane as f64 * LABEL_LANE - 6.0;
        let (line, ink) = if one.of.flagged {
            (palette.flag, palette.flag)
        } else {
            (palette.axis, palette.ink)
        };
        let head = (one.of.point.0, baseline - 0.6 * TICK_SIZE);
        canvas.line(head, one.of.point, line, HAIRLINE);
        canvas.text(&one.label(baseline), ink);
    }
    canvas.close_group();
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_leaders_do_not_cross() {
        // Crowded on purpose: twelve names within an eighth of the plot, several at one force.
        let labels: Vec<DirectLabel> = (0..12_u32)
            .map(|i| DirectLabel {
                text: format!("Dunlin {i:02}"),
                point: (200.0 + f64::from(i * i % 17) * 7.0, 100.0),
                flagged: false,
            })
            .collect();
        let seated = seat(labels, (92.0, 864.0));
        assert_eq!(seated.len(), 12);
        for (index, one) in seated.iter().enumerate() {
            for other in &seated[..index] {
                assert!(!one.crosses(other), "{one:?} and {other:?}");
            }
        }
    }

    #[test]
    fn names_stay_within_the_plot() {
        let label = |x: f64| DirectLabel {
            text: "a rather long name of a model".to_owned(),
            point: (x, 0.0),
            flagged: false,
        };
        for one in seat(vec![label(95.0), label(860.0)], (92.0, 864.0)) {
            let (left, right) = one.extent();
            assert!(left >= 92.0 - ASIDE && right <= 864.0 + ASIDE, "{one:?}");
        }
    }
}
