//! From samples to a response with intervals; the table below says how often they hold.
//!
//! [`fit`] takes a measurement and gives its [`Response`] (force in, reading out, non-decreasing),
//! the onset and saturation forces and the span with their intervals, and a band around the curve.
//!
//! Readings of 0 and of full scale are censored: they say on which side of a limit the response is,
//! nothing more. The latent response runs straight on beyond both limits. Its shape is a penalised
//! monotone spline, how wavy and how steep at the onset chosen by the evidence of the data; beside it
//! stands a library of closed forms ([`Form`]), one of which shares the response where it foretells
//! left-out samples better ([`ShapeChoice`] says which and why). Every seating has its own force gain,
//! drawn towards 1; unloading is told from loading, and [`hysteresis`] and [`repeatability`] are
//! reported as load cells have them. Slips lose their weight and are named, never dropped. A change of
//! seating that nobody declared is looked for and offered ([`SeatingChange`]). Intervals come from
//! seeded resampling and are the same for any number of threads.
//!
//! Every solve takes the damped steps of [`descend`].
//!
//! # How well it does
//!
//! Study of simulated benches (`cargo bench -p evenhand-fitting --bench coverage`, 1,000 benches a row,
//! 400 resamples, seed 20260309). Shapes are not the library's own: mixtures of powers, logarithms,
//! logistic and saturating exponential rises, and straight-line tables such as firmware holds; onset 2 to
//! 30 gf, span 120 to 700 gf. A bench errs by 0.4 % of full scale in each reading and by 0.4 gf and
//! 0.2 % in each force, with a gain of its own of 0.3 %; a second seating has a gain of 3 %. Errors are
//! median and 90th percentile; *held* is how often 95 % intervals hold the truth, with their median width
//! (gf, percent of saturation, percent of span); *band holds* is the part of the force range over which the
//! curve's band holds the true curve, with its mean height in percent; *no answer* counts benches that did
//! not reach full scale, whose saturation stays open. A slip moves one reading by 5 to 30 %.
//! *Scatter at the limits too* is a stylus whose readings scatter at rest and at full scale as well; there
//! intervals hold less often, for a small reading may be a response or none.
//!
//! | benches | onset, gf | saturation, % | curve rms, % | onset held | saturation held | span held | band holds | no answer |
//! | --- | --- | --- | --- | --- | --- | --- | --- | --- |
//! | 14 to 60 samples, step 0.01 %, two seatings in 4 of 10 | 0.79, 2.99 | 0.57, 1.97 | 0.30, 0.92 | 91.7 % (4.2) | 96.7 % (3.8) | 95.4 % (4.7) | 96.5 % (1.17) | 0 |
//! | the same, isotonic and PCHIP | 2.78, 7.90 | 1.93, 5.38 | 0.47, 1.13 | | | | | |
//! | 8 to 60 samples, step 0.01 %, one seating | 0.80, 2.87 | 0.41, 1.12 | 0.26, 0.48 | 93.7 % (4.7) | 95.8 % (2.5) | 95.5 % (3.2) | 95.1 % (0.93) | 2 |
//! | the same, isotonic and PCHIP | 3.04, 10.87 | 1.97, 6.06 | 0.45, 0.64 | | | | | |
//! | 8 to 60 samples, step 0.1 %, one seating | 0.82, 2.88 | 0.41, 1.13 | 0.26, 0.48 | 93.4 % (4.8) | 95.9 % (2.5) | 95.7 % (3.3) | 95.1 % (0.94) | 2 |
//! | the same, isotonic and PCHIP | 3.00, 10.87 | 1.94, 6.06 | 0.45, 0.64 | | | | | |
//! | 8 to 60 samples, step 1 %, one seating | 0.98, 3.36 | 0.49, 1.46 | 0.29, 0.52 | 93.7 % (5.8) | 95.7 % (3.0) | 96.1 % (3.9) | 95.2 % (1.04) | 1 |
//! | the same, isotonic and PCHIP | 2.62, 10.58 | 1.65, 5.93 | 0.51, 0.70 | | | | | |
//! | 8 to 60 samples, step 0.01 %, two seatings | 0.82, 3.01 | 1.06, 2.74 | 0.56, 1.26 | 92.8 % (4.7) | 98.9 % (5.9) | 98.3 % (6.3) | 99.0 % (2.47) | 1 |
//! | the same, isotonic and PCHIP | 2.91, 9.68 | 2.36, 7.08 | 0.74, 1.58 | | | | | |
//! | 8 to 60 samples, step 0.1 %, two seatings | 0.82, 3.04 | 1.10, 2.75 | 0.55, 1.26 | 93.5 % (4.8) | 99.0 % (5.9) | 98.4 % (6.4) | 98.9 % (2.47) | 1 |
//! | the same, isotonic and PCHIP | 2.88, 9.68 | 2.35, 7.02 | 0.74, 1.58 | | | | | |
//! | 8 to 60 samples, step 1 %, two seatings | 0.94, 3.58 | 1.13, 2.98 | 0.58, 1.29 | 94.5 % (5.9) | 98.0 % (6.2) | 97.6 % (6.8) | 98.8 % (2.54) | 1 |
//! | the same, isotonic and PCHIP | 2.51, 9.31 | 2.05, 6.63 | 0.78, 1.58 | | | | | |
//! | 14 to 60 samples, step 0.01 %, two seatings in 4 of 10, scatter at the limits too | 1.05, 4.44 | 0.68, 2.83 | 0.32, 0.86 | 83.6 % (5.0) | 88.2 % (3.6) | 85.9 % (4.8) | 95.7 % (1.17) | 85 |
//! | the same, isotonic and PCHIP | 12.32, 25.52 | 14.22, 21.01 | 0.49, 1.05 | | | | | |
//! | 14 to 60 samples, step 0.01 %, two seatings in 4 of 10, one slip | 0.76, 3.04 | 0.55, 2.03 | 0.31, 1.01 | 94.5 % (4.5) | 97.6 % (4.3) | 95.9 % (5.0) | 97.3 % (1.43) | 0 |
//! | the same, isotonic and PCHIP | 2.60, 8.45 | 1.76, 5.18 | 1.79, 3.24 | | | | | |
//! | 8 to 13 samples, step 0.01 %, one seating | 1.60, 5.42 | 0.69, 1.84 | 0.39, 0.64 | 97.2 % (11.7) | 97.9 % (4.9) | 98.4 % (7.2) | 97.1 % (1.71) | 14 |
//! | the same, isotonic and PCHIP | 7.20, 17.10 | 6.88, 12.46 | 0.68, 1.13 | | | | | |
//! | 5 to 7 samples, step 0.01 %, one seating | 2.41, 8.19 | 1.23, 4.24 | 0.64, 1.46 | 99.6 % (24.1) | 98.8 % (12.5) | 99.3 % (16.2) | 99.4 % (3.86) | 260 |
//! | the same, isotonic and PCHIP | 8.52, 20.03 | 4.90, 10.82 | 1.06, 1.97 | | | | | |
//! | 3 to 4 samples, step 0.01 %, one seating | 4.06, 13.91 | 2.01, 9.09 | 2.09, 4.39 | 100.0 % (41.5) | 99.7 % (31.3) | 100.0 % (48.8) | 100.0 % (16.93) | 640 |
//! | the same, isotonic and PCHIP | 11.53, 25.05 | 8.30, 15.06 | 2.69, 5.23 | | | | | |
//!
//! | undeclared change of gain | found | placed within two samples |
//! | --- | --- | --- |
//! | 0 % | 0.5 % | 0.3 % |
//! | 1 % | 20.4 % | 19.8 % |
//! | 2 % | 86.3 % | 86.3 % |
//! | 3 % | 98.6 % | 98.6 % |
//! | 5 % | 100.0 % | 100.0 % |
//!
//! In the lower table two passes of 14 forces are read as one seating although the second has another gain.
//!
//! Onset is the hard part: whether a response leaves 0 along a straight line or as steeply as a root
//! cannot be seen between two forces, so intervals are as wide as both answers. Against general-purpose
//! libraries, on one core (`tests/peers/fits.py`): 1,000 resamples of 40 samples take 0.042 s here; a ramp
//! with an exponent by scipy takes 19 times as long, isotonic regression with PCHIP 17 times, a penalised
//! monotone spline by scipy's NNLS 5 times, all with larger errors; this crate's own model by scipy takes
//! 210 times as long.
//!
//! A measurement whose bench has a budget (`ForceBudget`) is fitted with its figures: what each placed force errs
//! by counts in the scatter of readings, and what all forces share (gain and offset) moves whole resamples.

mod blend;
mod brackets;
mod checks;
mod choice;
mod coefficients;
mod descent;
mod error;
mod estimate;
mod fit;
mod form;
mod hysteresis;
mod interval;
mod isotonic;
mod kink;
mod latent;
mod left_out;
mod library_shape;
mod noise;
mod observation;
mod pooled;
mod prior;
mod resample;
mod response;
mod robust;
mod saturation_class;
mod scatter;
mod seating_change;
mod seating_level;
mod settings;
mod shape;
mod solution;
mod solve;
mod spline_shape;
mod start;
mod warning;
mod windows;

pub use choice::{ShapeChoice, ShapeScore};
pub use descent::{Descent, DescentResult, SolveStatus, Step, descend};
pub use error::FitError;
pub use fit::{CurveRow, Draw, Fit, SeatingGain, fit};
pub use form::Form;
pub use hysteresis::{Hysteresis, Repeatability, hysteresis, repeatability};
pub use interval::{ForceInterval, Saturation};
pub use isotonic::isotonic;
pub use resample::BENCH_GAIN;
pub use response::Response;
pub use saturation_class::SaturationClass;
pub use seating_change::SeatingChange;
pub use settings::Settings;
pub use warning::FitWarning;
