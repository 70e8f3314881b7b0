//! One line of text and the room it needs.

use crate::text_width::text_width;

/// Where a line of text stands relative to its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// To its right.
    Start,
    /// Around it.
    Middle,
    /// To its left.
    End,
}

/// One line of text at its baseline.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Where it stands relative to its place.
    pub anchor: Anchor,
    /// Its place.
    pub at: (f64, f64),
    /// Height of its font.
    pub size: f64,
    /// The words.
    pub text: String,
}

impl Label {
    pub(crate) fn new(anchor: Anchor, at: (f64, f64), size: f64, text: impl Into<String>) -> Self {
        Self {
            anchor,
            at,
            size,
            text: text.into(),
        }
    }

    /// Left and right end of the room it needs.
    pub(crate) fn extent(&self) -> (f64, f64) {
        let width = text_width(&self.text, self.size);
        let left = match self.anchor {
            Anchor::Start => self.at.0,
            Anchor::Middle => self.at.0 - width / 2.0,
            Anchor::End => self.at.0 - width,
        };
        (left, left + width)
    }

    /// The label moved sideways by the least that brings it between `left` and `right`; where it
    /// is wider than that, its left end is kept.
    pub(crate) fn kept_within(mut self, left: f64, right: f64) -> Self {
        let (start, end) = self.extent();
        self.at.0 += (right - end).min(0.0);
        self.at.0 += (left - (start + (right - end).min(0.0))).max(0.0);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_kept_within() {
        let label = |x| Label::new(Anchor::Middle, (x, 0.0), 12.0, "saturation");
        for x in [-50.0, 3.0, 250.0, 498.0, 900.0] {
            let (left, right) = label(x).kept_within(0.0, 500.0).extent();
            let is_within = left >= -1e-9 && right <= 500.0 + 1e-9;
            assert!(is_within, "{x}: {left} {right}");
        }
        let moved = label(250.0).kept_within(0.0, 500.0);
        assert_eq!(moved, label(250.0), "not moved");
    }
}
