//! One line of text and the room it needs.

use crate::text_width::text_width;

/// Where a line of text stands relative to its x.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// One line of text at its baseline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Label {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) anchor: Anchor,
    pub(crate) size: f64,
    pub(crate) text: String,
}

impl Label {
    /// A line at its place.
    pub(crate) fn new(x: f64, y: f64, anchor: Anchor, size: f64, text: impl Into<String>) -> Self {
        Self {
            x,
            y,
            anchor,
            size,
            text: text.into(),
        }
    }

    /// A line that begins at its place.
    pub(crate) fn start(x: f64, y: f64, size: f64, text: impl Into<String>) -> Self {
        Self::new(x, y, Anchor::Start, size, text)
    }

    /// Left and right end of the room it needs.
    pub(crate) fn extent(&self) -> (f64, f64) {
        let width = text_width(&self.text, self.size);
        let left = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - width / 2.0,
            Anchor::End => self.x - width,
        };
        (left, left + width)
    }

    /// The label moved sideways by the least that brings it between `left` and `right`; where it
    /// is wider than that, its left end is kept.
    pub(crate) fn kept_within(mut self, left: f64, right: f64) -> Self {
        let (start, end) = self.extent();
        self.x += (right - end).min(0.0);
        self.x += (left - (start + (right - end).min(0.0))).max(0.0);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_kept_within() {
        let label = |x| Label {
            x,
            y: 0.0,
            anchor: Anchor::Middle,
            size: 12.0,
            text: "saturation".to_owned(),
        };
        for x in [-50.0, 3.0, 250.0, 498.0, 900.0] {
            let (left, right) = label(x).kept_within(0.0, 500.0).extent();
            assert!(
                left >= -1e-9 && right <= 500.0 + 1e-9,
                "{x}: {left} {right}"
            );
        }
        assert_eq!(
            label(250.0).kept_within(0.0, 500.0),
            label(250.0),
            "not moved"
        );
    }
}
