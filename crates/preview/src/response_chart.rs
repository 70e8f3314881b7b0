//! The data of a response chart, plain and free of any other crate.

/// Everything the response chart shows. Forces are in gram-force (1 gf = 9.80665 mN), readings
/// are fractions 0..1.
///
/// Marks outside the axes (forces that are negative, not finite or above 1,000,000 gf; readings
/// outside 0..1) cannot be drawn: samples among them are counted in the legend, curve points are
/// skipped.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ResponseChart {
    /// Heading, at most two lines are drawn; the whole of it is kept in the SVG's own title.
    pub title: String,
    /// Line below the heading, at most two lines are drawn.
    pub subtitle: String,
    /// The samples, in any order.
    pub samples: Vec<SampleMark>,
    /// Name of each seating by its index; missing or blank ones are called by number.
    pub seating_names: Vec<String>,
    /// The fitted response with its interval, in any order of force.
    pub curve: Vec<CurvePoint>,
    /// Onset force in gf. Without a finite estimate no onset is drawn.
    pub onset: Span,
    /// Saturation force in gf; `None` where it was not reached, which the chart says if it has any
    /// data.
    pub saturation: Option<Span>,
    /// Where saturation was not reached: the force in gf it is known to lie above. Not looked at
    /// when `saturation` is given.
    pub saturation_above: Option<f64>,
    /// Saturation classes: label, from and to in gf (`to` may be infinite), one after the other
    /// without overlap. The class of the saturation estimate stands out.
    pub classes: Vec<(String, f64, f64)>,
    /// Confidence of every interval, between 0 and 1; outside of that the chart says only
    /// "interval".
    pub confidence: f64,
    /// Small print below the axes, at most two lines are drawn.
    pub footer: String,
}

/// One sample of the chart.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SampleMark {
    /// Force in gf.
    pub force_gf: f64,
    /// Reading, 0..1.
    pub reported: f64,
    /// Index of its seating, from 0.
    pub seating: usize,
    /// Flagged as suspicious: drawn with a ring and named in the legend.
    pub flagged: bool,
    /// Left out of the fit: drawn crossed out and named in the legend.
    pub excluded: bool,
}

/// One point of the fitted response.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CurvePoint {
    /// Force in gf.
    pub force_gf: f64,
    /// Fitted reading, 0..1; finite values beyond are drawn at the limit.
    pub reported: f64,
    /// Lower end of its interval, 0..1; not finite: no interval here.
    pub low: f64,
    /// Upper end of its interval, 0..1; not finite: no interval here.
    pub high: f64,
}

/// An estimated force with its interval, in gf.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Span {
    /// Best estimate.
    pub estimate: f64,
    /// Lower end of the interval; not finite: no interval is drawn.
    pub low: f64,
    /// Upper end of the interval; infinite: drawn open above.
    pub high: f64,
}

impl Span {
    /// An estimate with the ends of its interval.
    #[must_use]
    pub const fn new(estimate: f64, low: f64, high: f64) -> Self {
        Self {
            estimate,
            low,
            high,
        }
    }
}
