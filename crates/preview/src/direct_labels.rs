//! Names above a plot, each over the line it belongs to, in lanes so that neither names nor leaders cross.

use crate::canvas::Canvas;
use crate::label::{Anchor, Label};
use crate::tokens::{HAIRLINE, LABEL_LANE, TICK_SIZE};

/// More names than this are not placed.
pub(crate) const MOST_LABELS: usize = 24;
/// Gap between a leader and its name, and between neighbours.
const ASIDE: f64 = 5.0;

/// A name and the point it belongs to, its height counted from the top of the plot.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DirectLabel {
    pub(crate) text: String,
    pub(crate) point: (f64, f64),
    pub(crate) flagged: bool,
}

/// A name with its lane, counted from the plot upwards.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlacedLabel {
    pub(crate) lane: usize,
    anchor: Anchor,
    name: DirectLabel,
}

impl PlacedLabel {
    fn label(&self, y: f64) -> Label {
        let x = match self.anchor {
            Anchor::Start => self.name.point.0 + ASIDE,
            Anchor::Middle => self.name.point.0,
            Anchor::End => self.name.point.0 - ASIDE,
        };
        Label::new(self.anchor, (x, y), TICK_SIZE, self.name.text.clone())
    }

    fn extent(&self) -> (f64, f64) {
        let (left, right) = self.label(0.0).extent();
        (left - ASIDE, right + ASIDE)
    }

    fn is_within(&self, (left, right): (f64, f64)) -> bool {
        let (from, to) = self.extent();
        from >= left - ASIDE && to <= right + ASIDE
    }

    fn crosses(&self, other: &Self) -> bool {
        let (left, right) = self.extent();
        let (other_left, other_right) = other.extent();
        let over = |x: f64, (left, right): (f64, f64)| left + ASIDE / 2.0 < x && x < right;
        match self.lane.cmp(&other.lane) {
            std::cmp::Ordering::Equal => left < other_right && other_left < right,
            // A leader comes down through all lanes below its own.
            std::cmp::Ordering::Greater => over(self.name.point.0, (other_left, other_right)),
            std::cmp::Ordering::Less => over(other.name.point.0, (left, right)),
        }
    }
}

/// Seats the first names so that nothing crosses, in few lanes. Names stand right of their leaders and are
/// placed from the right: each next one lies above those that its text would reach over. Near the right edge the
/// mirror image holds.
pub(crate) fn place_labels(mut labels: Vec<DirectLabel>, ends: (f64, f64)) -> Vec<PlacedLabel> {
    labels.truncate(MOST_LABELS);
    labels.sort_by(|a, b| a.point.0.total_cmp(&b.point.0));
    let (rightward, leftward): (Vec<_>, Vec<_>) = labels
        .into_iter()
        .partition(|label| at(label, 0, Anchor::Start).is_within(ends));
    let mut placed = Vec::new();
    for label in leftward {
        placed.push(place(&label, [Anchor::End, Anchor::Start], ends, &placed));
    }
    for label in rightward.into_iter().rev() {
        placed.push(place(&label, [Anchor::Start, Anchor::End], ends, &placed));
    }
    placed
}

fn at(label: &DirectLabel, lane: usize, anchor: Anchor) -> PlacedLabel {
    PlacedLabel {
        lane,
        anchor,
        name: label.clone(),
    }
}

/// The lowest place that crosses nothing, the first anchor before the second; above all where there is none.
fn place(
    label: &DirectLabel,
    anchors: [Anchor; 2],
    ends: (f64, f64),
    placed: &[PlacedLabel],
) -> PlacedLabel {
    let top = placed.iter().map(|one| one.lane + 1).max().unwrap_or(0);
    anchors
        .into_iter()
        .flat_map(|anchor| (0..=top).map(move |lane| (lane, anchor)))
        .map(|(lane, anchor)| at(label, lane, anchor))
        .filter(|candidate| candidate.is_within(ends))
        .find(|candidate| !placed.iter().any(|other| candidate.crosses(other)))
        .unwrap_or_else(|| at(label, top, anchors[0]))
}

/// Height that the lanes of names take.
pub(crate) fn lanes_height(placed: &[PlacedLabel]) -> f64 {
    let lanes = placed.iter().map(|s| s.lane + 1).max().unwrap_or(0);
    lanes as f64 * LABEL_LANE
}

/// Draws names and leaders above a plot that begins at `top`. A leader comes down to the point of its name.
pub(crate) fn draw(canvas: &mut Canvas, placed: &[PlacedLabel], top: f64) {
    let palette = canvas.palette;
    canvas.open_group("names");
    for one in placed {
        let baseline = top - one.lane as f64 * LABEL_LANE - 6.0;
        let (line, ink) = if one.name.flagged {
            (palette.flag, palette.flag)
        } else {
            (palette.axis, palette.ink)
        };
        let (x, y) = one.name.point;
        let head = (x, baseline - 0.6 * TICK_SIZE);
        canvas.line(head, (x, y + top), line, HAIRLINE);
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
        let placed = place_labels(labels, (92.0, 864.0));
        assert_eq!(placed.len(), 12);
        for (index, one) in placed.iter().enumerate() {
            for other in &placed[..index] {
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
        for one in place_labels(vec![label(95.0), label(860.0)], (92.0, 864.0)) {
            let (left, right) = one.extent();
            assert!(left >= 92.0 - ASIDE && right <= 864.0 + ASIDE, "{one:?}");
        }
    }
}
