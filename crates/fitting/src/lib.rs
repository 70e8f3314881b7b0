//! From samples to a response with intervals that hold.
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
//! [`least_squares`] fits models in closed form by the same damped steps, with standard errors.
//!
//! # How well it does
//!
//! TABLE
//!
//! Not here yet: an uncertainty budget of the bench.

mod band;
mod blend;
mod choice;
mod descent;
mod error;
mod estimate;
mod fit;
mod hysteresis;
mod interval;
mod isotonic;
mod latent;
mod least_squares;
mod left_out;
mod library_shape;
mod noise;
mod observation;
mod prior;
mod resample;
mod response;
mod seating_change;
mod settings;
mod shape;
mod solve;
mod spline_shape;
mod start;
mod warning;

pub use band::SpanBand;
pub use choice::{ShapeChoice, ShapeScore};
pub use descent::SolveStatus;
pub use error::FitError;
pub use fit::{CurveRow, Fit, SeatingGain, fit};
pub use hysteresis::{Hysteresis, Repeatability, hysteresis, repeatability};
pub use interval::{ForceInterval, Saturation};
pub use isotonic::isotonic;
pub use least_squares::{LeastSquares, LeastSquaresFit, least_squares};
pub use response::Response;
pub use seating_change::SeatingChange;
pub use settings::Settings;
pub use shape::Form;
pub use warning::FitWarning;
