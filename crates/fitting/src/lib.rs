//! From samples to a response with intervals that hold.
//!
//! [`fit`] takes a measurement and gives its [`Response`] (force in, reading out, non-decreasing),
//! the onset and saturation forces with their intervals, and a band around the curve.
//!
//! Readings of 0 and of full scale are censored: they say on which side of a limit the response is,
//! nothing more. The latent response runs straight on beyond both limits; its slope is the
//! exponential of a penalised spline, so it rises whatever the data say, and how wavy it may be is
//! chosen by the evidence of the data. Every seating has its own force gain, drawn towards 1.
//! Intervals come from seeded resampling and are the same for any number of threads.
//!
//! Not here yet: a library of shapes beside the spline, hysteresis of loading and unloading, and an
//! uncertainty budget of the bench.

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
