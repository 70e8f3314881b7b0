//! What the hand should get, the map that gives it, and whether it does.
//!
//! ```
//! use evenhand_curve::{Point, Polyline};
//! use evenhand_inversion::{Target, TargetShape, achieved, ideal_map};
//! use evenhand_measurement::Force;
//!
//! // A stylus that starts at 10 gf and reads full from 210 gf, in a straight line.
//! let response = Polyline::new(vec![Point::new(10.0, 0.0), Point::new(210.0, 1.0)]).unwrap();
//! let target = Target::new(Force::from_gf(10.0), Force::from_gf(110.0), TargetShape::Linear).unwrap();
//! let map = ideal_map(&response, &target).unwrap();
//! // Full output is wanted at 110 gf, where half of full scale is read.
//! let half = map.points().iter().find(|point| point.x == 0.5).unwrap();
//! assert_eq!(half.y, 1.0);
//! // Without a map half of full scale is lacking there.
//! let found = achieved(&response, &Polyline::identity(), &target);
//! assert!((found.max_error - 0.5).abs() < 1e-9);
//! ```
//!
//! A [`Target`] says which output the hand should get at which force; forces are gf or [`Force`], readings and
//! outputs 0..1. [`ideal_map`] turns a response (force → reading) and a target (force → output) into the map
//! reading → output that would give exactly that. [`achieved`] judges any map where the hand feels it: over the forces
//! from light-at to full-at. [`behind`] and [`compose_inverse`] leave to the map what other curves in the chain do
//! not do.
//!
//! [`build`] does all of it: a [`MapRequest`] becomes [`MapInputs`], is compiled for a receiver and judged. A
//! [`BuiltMap`] has its figures, and what of the request no map can do ([`UnmetRequest`]); a [`MapError`] is a request
//! that cannot be worked with.
//!
//! [`verify`] compares a [`MapPrediction`] with outputs measured again at known forces. Each has an interval that
//! allows for the noise of readings, the uncertainty of the response, and the error of the force applied. Where more
//! fall outside than chance explains, the causes are ranked by how well each explains all of them.
//!
//! Out of scope: files, and solving for control points, which `receiver` does.
//!
//! # How far the stylus itself may be off
//!
//! The worst error against the fitted response is small where points are many, and says nothing of how well the response
//! is known. A [`StylusError`] sends through the map all that the response may be. Study of simulated benches
//! (`cargo bench -p evenhand-inversion --bench stylus_error`): the eight kinds of response and four kinds of scatter of
//! the fit's own study, 12 benches each, 48 a row, 400 resamples, seed 20261128; a linear target with its full-at
//! between 0.4 and 1 times the saturation force, compiled for segments-16. Medians over benches of the worst error
//! against the fitted response, against the true one and as stated; how often the true one lay beyond the stated
//! median and below the stated upper end, at 95 %.
//!
//! | response | samples | against the fit | true | stated median | true, 90th percentile | stated high | beyond the median | below high |
//! | --- | --- | --- | --- | --- | --- | --- | --- | --- |
//! | plain rise | 15 | 0.01 % | 0.50 % | 0.67 % | 1.00 % | 1.41 % | 21 % | 97.9 % |
//! | plain rise | 30 | 0.01 % | 0.54 % | 0.53 % | 1.03 % | 1.08 % | 44 % | 89.6 % |
//! | plain rise | 60 | 0.01 % | 0.42 % | 0.42 % | 0.74 % | 0.82 % | 48 % | 89.6 % |
//! | knee, steep first | 15 | 0.04 % | 1.78 % | 1.79 % | 3.38 % | 3.63 % | 42 % | 95.8 % |
//! | knee, steep first | 30 | 0.05 % | 1.40 % | 1.13 % | 3.13 % | 2.21 % | 67 % | 85.4 % |
//! | knee, steep first | 60 | 0.04 % | 1.07 % | 0.82 % | 1.98 % | 1.45 % | 69 % | 83.3 % |
//! | knee, flat first | 15 | 0.02 % | 1.57 % | 1.54 % | 3.02 % | 3.16 % | 52 % | 89.6 % |
//! | knee, flat first | 30 | 0.02 % | 1.25 % | 1.17 % | 1.93 % | 2.13 % | 52 % | 89.6 % |
//! | knee, flat first | 60 | 0.01 % | 1.11 % | 0.78 % | 1.73 % | 1.56 % | 73 % | 85.4 % |
//! | gentle start | 15 | 0.05 % | 1.17 % | 1.07 % | 2.78 % | 2.70 % | 44 % | 95.8 % |
//! | gentle start | 30 | 0.06 % | 0.75 % | 0.88 % | 1.90 % | 2.05 % | 35 % | 97.9 % |
//! | gentle start | 60 | 0.06 % | 0.78 % | 0.73 % | 1.79 % | 1.87 % | 48 % | 95.8 % |
//! | nearly dead, then steep | 15 | 0.03 % | 4.40 % | 3.42 % | 11.15 % | 8.59 % | 69 % | 91.7 % |
//! | nearly dead, then steep | 30 | 0.02 % | 2.71 % | 2.67 % | 7.07 % | 6.66 % | 48 % | 89.6 % |
//! | nearly dead, then steep | 60 | 0.02 % | 2.03 % | 2.32 % | 8.63 % | 5.85 % | 54 % | 85.4 % |
//! | gentle at both ends | 15 | 0.09 % | 1.22 % | 1.44 % | 2.72 % | 3.28 % | 35 % | 97.9 % |
//! | gentle at both ends | 30 | 0.08 % | 1.03 % | 1.14 % | 2.23 % | 2.34 % | 44 % | 97.9 % |
//! | gentle at both ends | 60 | 0.09 % | 1.15 % | 0.89 % | 2.48 % | 2.04 % | 60 % | 87.5 % |
//! | flat end | 15 | 0.04 % | 0.98 % | 0.91 % | 2.59 % | 1.94 % | 52 % | 85.4 % |
//! | flat end | 30 | 0.04 % | 0.61 % | 0.73 % | 1.21 % | 1.49 % | 33 % | 91.7 % |
//! | flat end | 60 | 0.04 % | 0.56 % | 0.56 % | 0.96 % | 1.03 % | 40 % | 91.7 % |
//! | stairs | 15 | 0.04 % | 2.51 % | 1.84 % | 4.34 % | 3.74 % | 72 % | 83.0 % |
//! | stairs | 30 | 0.05 % | 1.63 % | 1.56 % | 3.48 % | 2.68 % | 65 % | 81.2 % |
//! | stairs | 60 | 0.06 % | 1.67 % | 0.87 % | 2.88 % | 1.52 % | 96 % | 54.2 % |
//! | all | all | 0.04 % | 1.15 % | 1.01 % | 3.47 % | 2.14 % | 53 % | 88.9 % |
//!
//! Weak: stairs of straight pieces, whose corners a smooth curve rounds; with 60 samples their corners make most of the
//! error.
//!
//! [`Force`]: evenhand_measurement::Force

mod achieved;
mod allowed;
mod build;
mod cause;
mod chain;
mod error;
mod explain;
mod ideal;
mod map_error;
mod point_shape;
mod prediction;
mod request;
mod shape;
mod stage;
mod stylus_error;
mod target;
mod target_file;
mod verdict;

pub use achieved::{Achieved, achieved};
pub use build::{
    BuiltMap, MapInputs, UnmetRequest, build, judged, prepare, quantised, rebuild, solved,
};
pub use cause::{Cause, CauseFit};
pub use chain::{behind, compose_inverse};
pub use error::TargetError;
pub use ideal::ideal_map;
pub use map_error::MapError;
pub use point_shape::{Joining, PointShape};
pub use prediction::{Check, MapPrediction};
pub use request::{MapRequest, NamedShape};
pub use shape::TargetShape;
pub use stage::{CurveStage, StageError};
pub use stylus_error::StylusError;
pub use target::Target;
pub use target_file::{TargetProfile, shipped_targets, target_text};
pub use verdict::{CheckRow, Verdict, verify};
