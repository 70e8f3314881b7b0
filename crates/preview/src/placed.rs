//! The chart's data made fit for drawing: only what lies on the axes, in order.

use crate::response_chart::{CurvePoint, ResponseChart, SampleMark, Span};

/// Largest force that is drawn, in gf: a tonne is no stylus force.
const LARGEST_FORCE: f64 = 1e6;
/// Least end of the force axis, in gf.
const SHORTEST_AXIS: f64 = 1.0;
/// An interval stretches the force axis at most by this factor; beyond, it is drawn open.
const INTERVAL_STRETCH: f64 = 1.25;
/// Part of the axis kept for the arrow of a saturation that was not reached.
const ARROW_STRETCH: f64 = 1.08;

/// What is known of the saturation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Saturation {
    At(Span),
    /// Not reached, known to lie above this force in gf.
    Above(f64),
    /// Not reached up to the last force of the data, in gf; no bound is known.
    NotReached(f64),
    /// Nothing to say.
    Unknown,
}

/// Data that lie on the axes.
#[derive(Debug, Clone)]
pub(crate) struct Placed {
    pub(crate) samples: Vec<SampleMark>,
    /// Samples that cannot be drawn.
    pub(crate) left_out: usize,
    /// In ascending order of force.
    pub(crate) curve: Vec<CurvePoint>,
    pub(crate) onset: Option<Span>,
    pub(crate) saturation: Saturation,
    /// The force in gf that must still be on the axis.
    pub(crate) reach: f64,
}

impl Placed {
    pub(crate) fn from_chart(chart: &ResponseChart) -> Self {
        let samples: Vec<SampleMark> = chart
            .samples
            .iter()
            .filter(|s| is_force(s.force_gf) && (0.0..=1.0).contains(&s.reported))
            .copied()
            .collect();
        let curve = placed_curve(&chart.curve);
        let onset = placed_span(&chart.onset);
        let last = samples
            .iter()
            .map(|s| s.force_gf)
            .chain(curve.last().map(|p| p.force_gf))
            .fold(0.0, f64::max);
        let saturation = match (&chart.saturation, chart.saturation_above) {
            (Some(span), _) => placed_span(span).map_or(Saturation::Unknown, Saturation::At),
            (None, Some(above)) if is_force(above) => Saturation::Above(above),
            (None, _) if samples.is_empty() && curve.is_empty() => Saturation::Unknown,
            (None, _) => Saturation::NotReached(last),
        };
        let estimates = match saturation {
            Saturation::At(span) => span.estimate,
            Saturation::Above(force) | Saturation::NotReached(force) => force * ARROW_STRETCH,
            Saturation::Unknown => 0.0,
        };
        let firm = onset
            .map_or(0.0, |span| span.estimate)
            .max(estimates)
            .max(last)
            .max(SHORTEST_AXIS);
        let interval_end = |span: Span| {
            if span.low.is_finite() {
                span.high.min(firm * INTERVAL_STRETCH)
            } else {
                0.0
            }
        };
        let soft = match saturation {
            Saturation::At(span) => interval_end(span),
            _ => 0.0,
        };
        let reach = firm.max(soft).max(onset.map_or(0.0, interval_end));
        Self {
            left_out: chart.samples.len() - samples.len(),
            samples,
            curve,
            onset,
            saturation,
            reach,
        }
    }

    /// Whether any point of the curve has an interval.
    pub(crate) fn has_interval(&self) -> bool {
        self.curve.iter().any(|p| p.high > p.low)
    }
}

fn is_force(force_gf: f64) -> bool {
    (0.0..=LARGEST_FORCE).contains(&force_gf)
}

fn placed_curve(points: &[CurvePoint]) -> Vec<CurvePoint> {
    let mut curve: Vec<CurvePoint> = points
        .iter()
        .filter(|p| is_force(p.force_gf) && p.reported.is_finite())
        .map(|p| {
            let reported = p.reported.clamp(0.0, 1.0);
            let (low, high) = if p.low.is_finite() && p.high.is_finite() {
                (p.low.min(p.high), p.low.max(p.high))
            } else {
                (reported, reported)
            };
            CurvePoint {
                force_gf: p.force_gf,
                reported,
                low: low.clamp(0.0, 1.0),
                high: high.clamp(0.0, 1.0),
            }
        })
        .collect();
    curve.sort_by(|a, b| a.force_gf.total_cmp(&b.force_gf));
    curve
}

/// A span whose estimate can be drawn, its ends in order; `None` without an estimate.
fn placed_span(span: &Span) -> Option<Span> {
    if !is_force(span.estimate) {
        return None;
    }
    let (low, high) = if span.low > span.high {
        (span.high, span.low)
    } else {
        (span.low, span.high)
    };
    // Neither holds for an end that is not a number.
    let known = low.is_finite() && low <= LARGEST_FORCE && high >= 0.0;
    let high = if high > LARGEST_FORCE {
        f64::INFINITY
    } else {
        high
    };
    Some(if known {
        Span::new(span.estimate, low.max(0.0), high)
    } else {
        Span::new(span.estimate, f64::NAN, f64::NAN)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_off_the_axes_is_counted() {
        let sample = |force_gf, reported| SampleMark {
            force_gf,
            reported,
            ..SampleMark::default()
        };
        let chart = ResponseChart {
            samples: vec![
                sample(10.0, 0.5),
                sample(-1.0, 0.5),
                sample(f64::NAN, 0.5),
                sample(10.0, 1.5),
                sample(1e9, 0.5),
            ],
            saturation: Some(Span::new(9.0, 8.0, 9.5)),
            ..ResponseChart::default()
        };
        let placed = Placed::from_chart(&chart);
        let counts = (placed.samples.len(), placed.left_out);
        assert_eq!(counts, (1, 4), "{placed:?}");
        assert!((placed.reach - 10.0).abs() < f64::EPSILON, "{placed:?}");
    }

    #[test]
    fn a_wide_interval_does_not_squeeze_the_chart() {
        let chart = ResponseChart {
            saturation: Some(Span::new(200.0, 150.0, 9000.0)),
            ..ResponseChart::default()
        };
        let placed = Placed::from_chart(&chart);
        assert!((placed.reach - 250.0).abs() < 1e-9, "{placed:?}");
    }

    #[test]
    fn swapped_ends_are_put_in_order() {
        let span = placed_span(&Span::new(4.0, 5.0, 3.0));
        let found = span.map(|s| (s.low, s.high));
        assert_eq!(found, Some((3.0, 5.0)), "in order");
    }
}
