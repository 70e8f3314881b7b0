//! Easing functions of CSS Easing Functions Level 2: `linear()`, stops of output and input, straight
//! between, and `cubic-bezier()`.

use std::fmt;

use thiserror::Error;

use crate::control_point::ControlPoint;

/// Inputs are written as percent; going there and back may move the last digit.
pub(super) const ROUNDING: f64 = 1e-15;

/// A `linear()` easing function in its canonical form: one input for every output, none decreasing.
#[derive(Clone, Debug, PartialEq)]
pub struct CssLinear {
    stops: Vec<(f64, f64)>,
}

/// A text that is no `linear()`.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("{found} is no stop of linear(): {wanted}")]
pub struct CssError {
    found: String,
    wanted: &'static str,
}

impl CssLinear {
    /// Reads `linear(…)` and completes its inputs as the draft's canonicalisation does: a missing first
    /// input is 0, a missing last one 1 or the largest so far, a decreasing one is raised, and missing
    /// ones between are spaced evenly.
    ///
    /// # Errors
    /// Fewer than two stops, or a stop that is not one number with at most two percentages.
    pub fn parse(text: &str) -> Result<Self, CssError> {
        let wrong = |found: &str, wanted| CssError {
            found: format!("`{}`", found.trim()),
            wanted,
        };
        let inner = text.trim().strip_prefix("linear(");
        let inner = inner.and_then(|rest| rest.strip_suffix(')'));
        let inner = inner.ok_or_else(|| wrong(text, "write linear(0 0%, 1 100%)"))?;
        let mut open: Vec<(Option<f64>, f64)> = Vec::new();
        for stop in inner.split(',') {
            let (mut outputs, mut inputs) = (Vec::new(), Vec::new());
            for word in stop.split_whitespace() {
                let (digits, list) = match word.strip_suffix('%') {
                    Some(digits) => (digits, &mut inputs),
                    None => (word, &mut outputs),
                };
                let value = digits.parse::<f64>().ok().filter(|v| v.is_finite());
                list.push(value.ok_or_else(|| wrong(word, "write numbers and percentages"))?);
            }
            let ([output], 0..=2) = (outputs.as_slice(), inputs.len()) else {
                return Err(wrong(stop, "write one number and at most two percentages"));
            };
            if inputs.is_empty() {
                open.push((None, *output));
            }
            for input in inputs {
                open.push((Some(input / 100.0), *output));
            }
        }
        if open.len() < 2 {
            return Err(wrong(text, "write at least two stops"));
        }
        Ok(Self {
            stops: completed(&open),
        })
    }

    /// Input and output of each stop.
    #[must_use]
    pub fn stops(&self) -> &[(f64, f64)] {
        &self.stops
    }

    /// The output at an input; the outer two stops go straight on beyond them.
    #[must_use]
    pub fn value(&self, x: f64) -> f64 {
        let last = self.stops.len() - 1;
        let after = self.stops.partition_point(|stop| stop.0 <= x);
        let at = after.saturating_sub(1).min(last - 1);
        let (a, b) = (self.stops[at], self.stops[at + 1]);
        if a.0 >= b.0 {
            return b.1;
        }
        a.1 + (x - a.0) / (b.0 - a.0) * (b.1 - a.1)
    }
}

fn completed(open: &[(Option<f64>, f64)]) -> Vec<(f64, f64)> {
    let last = open.len() - 1;
    let mut largest = f64::NEG_INFINITY;
    let mut inputs: Vec<Option<f64>> = Vec::with_capacity(open.len());
    for (index, (input, _)) in open.iter().enumerate() {
        let input = match input {
            None if index == 0 => Some(0.0),
            None if index == last => Some(largest.max(1.0)),
            given => *given,
        };
        let raised = input.map(|input| input.max(largest));
        largest = raised.unwrap_or(largest);
        inputs.push(raised);
    }
    let mut stops: Vec<(f64, f64)> = Vec::with_capacity(open.len());
    for (index, (_, output)) in open.iter().enumerate() {
        let input = inputs[index].unwrap_or_else(|| {
            // The first and the last have inputs, so there is one on either side.
            let before = stops.last().map_or(0.0, |stop| stop.0);
            let run = inputs[index..].iter().take_while(|i| i.is_none()).count();
            let next = inputs.get(index + run).copied().flatten().unwrap_or(1.0);
            before + (next - before) / (run + 1) as f64
        });
        stops.push((input, *output));
    }
    stops
}

impl fmt::Display for CssLinear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("linear(")?;
        for (index, (input, output)) in self.stops.iter().enumerate() {
            let comma = if index == 0 { "" } else { ", " };
            write!(f, "{comma}{output} {}%", 100.0 * input)?;
        }
        f.write_str(")")
    }
}

/// The map; doubled outer stops hold their outputs beyond, as receivers do.
pub(super) fn write(points: &[ControlPoint]) -> String {
    let held = points
        .first()
        .into_iter()
        .chain(points)
        .chain(points.last());
    let stops = held.map(|point| (point.input, point.output)).collect();
    format!("{}\n", CssLinear { stops })
}

/// The points, where the doubled stops hold the ends.
pub(super) fn read(text: &str) -> Result<Vec<(f64, f64)>, String> {
    let read = CssLinear::parse(text).map_err(|error| error.to_string())?;
    let [first, points @ .., last] = read.stops() else {
        return Err("fewer than two stops".to_owned());
    };
    if read.value(-1.0) != first.1 || read.value(2.0) != last.1 {
        return Err("the ends are not held".to_owned());
    }
    Ok(points.to_vec())
}

/// A Bézier as `cubic-bezier()`, which CSS has as it is.
pub(super) fn write_bezier(handles: [ControlPoint; 2]) -> String {
    let [a, b] = handles;
    format!(
        "cubic-bezier({}, {}, {}, {})\n",
        a.input, a.output, b.input, b.output
    )
}

pub(super) fn read_bezier(text: &str) -> Result<Vec<(f64, f64)>, String> {
    let inner = text.trim().strip_prefix("cubic-bezier(");
    let inner = inner.and_then(|rest| rest.strip_suffix(')')).unwrap_or("");
    let found: Vec<f64> = inner
        .split(',')
        .filter_map(|word| word.trim().parse().ok())
        .collect();
    let [ax, ay, bx, by] = found[..] else {
        return Err(format!("handles {found:?}"));
    };
    Ok(vec![(ax, ay), (bx, by)])
}
