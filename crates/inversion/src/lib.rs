//! Targets, the ideal map and its figures of quality.
//!
//! A [`Target`] says which output the hand should get at which force. [`ideal_map`] turns a response
//! (force → reading) and a target (force → output) into the map reading → output that would give
//! exactly that. [`achieved`] judges any map where the hand feels it: over the forces from light-at
//! to full-at.
//!
//! [`behind`] and [`ahead_of`] leave to the map what other curves in the chain do not do.

mod achieved;
mod allowed;
mod cause;
mod chain;
mod drawn;
mod error;
mod explain;
mod ideal;
mod prediction;
mod shape;
mod target;
mod target_file;
mod verdict;

pub use achieved::{Achieved, achieved};
pub use cause::{Cause, CauseFit};
pub use chain::{ahead_of, behind};
pub use drawn::{DrawnShape, Joining};
pub use error::TargetError;
pub use ideal::ideal_map;
pub use prediction::{Check, MapPrediction};
pub use shape::TargetShape;
pub use target::Target;
pub use target_file::{TargetProfile, shipped_targets, target_text};
pub use verdict::{CheckRow, Verdict, verify};
