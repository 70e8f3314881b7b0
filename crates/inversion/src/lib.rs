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
