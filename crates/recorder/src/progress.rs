//! What is known while the session goes on, to be drawn.

/// A point of the curve so far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Force, gf.
    pub force_gf: f64,
    /// Fitted reading, 0..1.
    pub reading: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end of its interval.
    pub high: f64,
}

/// What is known so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress<'r> {
    /// Forces in gf and readings 0..1 of the samples, as they were kept.
    pub samples: Vec<(f64, f64)>,
    /// The fitted curve by rising force; empty where nothing can be fitted yet.
    pub curve: &'r [CurvePoint],
    /// The force that is asked for, gf.
    pub asked_gf: Option<f64>,
    /// The reading now, 0..1.
    pub current: Option<f64>,
    /// Where an axis of forces ends, gf: at a tick.
    pub end_gf: f64,
    /// From tick to tick of that axis, gf.
    pub tick_gf: f64,
}
