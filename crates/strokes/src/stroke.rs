//! Strokes as all further work takes them.

use evenhand_measurement::ReadAt;

/// What the pressing of a recording is told in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PressUnit {
    /// Readings of a tablet, fraction of full scale.
    Reading,
    /// Forces along the stylus, gf.
    ForceGf,
}

/// A point of a stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrokePoint {
    /// Place on the surface, to the right, in the recording's own unit.
    pub x: f64,
    /// Place on the surface, downwards.
    pub y: f64,
    /// Seconds from some beginning.
    pub time_s: Option<f64>,
    /// Reading 0..1 or force in gf, at least 0.
    pub press: f64,
}

/// Nib on the surface, from touching to lifting.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stroke {
    /// In order of time.
    pub points: Vec<StrokePoint>,
}

/// The strokes of a recording.
#[derive(Clone, Debug, PartialEq)]
pub struct Strokes {
    /// In order of time; every one has a point.
    pub strokes: Vec<Stroke>,
    /// What `press` holds.
    pub press_unit: PressUnit,
    /// Number of levels of the readings, where it is known.
    pub levels: Option<u32>,
    /// Whether places on the surface were recorded.
    pub has_places: bool,
    /// Whether the recording itself says when the nib touched. Where it does not, strokes are runs of
    /// points with a reading, and touching without one is not seen.
    pub tells_touch: bool,
    /// Where its readings were taken, where it says so.
    pub read_at: Option<ReadAt>,
    /// What a reader should know.
    pub notes: Vec<String>,
}

impl Strokes {
    /// Number of points.
    #[must_use]
    pub fn len(&self) -> usize {
        self.strokes.iter().map(|stroke| stroke.points.len()).sum()
    }

    /// Whether there is no point.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A longer pause ends a stroke where nothing else does, s. Tablets report at least 60 times a second
/// (common practice, no source).
const LONGEST_PAUSE_S: f64 = 0.1;

/// Cuts points that come one after the other into strokes: where their number changes, or, without numbers, between
/// points without a press and at pauses.
pub(crate) struct Cutter {
    is_numbered: bool,
    number: Option<i64>,
    strokes: Vec<Stroke>,
    open: Stroke,
}

impl Cutter {
    pub(crate) fn new(is_numbered: bool) -> Self {
        Self {
            is_numbered,
            number: None,
            strokes: Vec::new(),
            open: Stroke::default(),
        }
    }

    pub(crate) fn push(&mut self, number: Option<i64>, point: StrokePoint) {
        let is_kept = self.is_numbered || point.press > 0.0;
        let is_end = if self.is_numbered {
            number != self.number
        } else {
            let before = self.open.points.last().and_then(|point| point.time_s);
            let paused = match (before, point.time_s) {
                (Some(before), Some(now)) => now - before > LONGEST_PAUSE_S,
                _ => false,
            };
            paused || !is_kept
        };
        if is_end {
            self.close();
        }
        self.number = number;
        if is_kept {
            self.open.points.push(point);
        }
    }

    fn close(&mut self) {
        if !self.open.points.is_empty() {
            self.strokes.push(std::mem::take(&mut self.open));
        }
    }

    /// The strokes; every one has a point.
    pub(crate) fn finish(mut self) -> Vec<Stroke> {
        self.close();
        self.strokes
    }
}
