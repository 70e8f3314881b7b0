//! Targets, the ideal map and its figures of quality.
//!
//! A [`Target`] says which output the hand should get at which force. [`ideal_map`] turns a response
//! (force → reading) and a target (force → output) into the map reading → output that would give
//! exactly that. [`achieved`] judges any map where the hand feels it: over the forces from light-at
//! to full-at.
//!
//! Not here yet: targets drawn through points or taken from another stylus, and chains of curves.

mod achieved;
mod error;
mod ideal;
mod shape;
mod target;

pub use achieved::{Achieved, achieved};
pub use error::TargetError;
pub use ideal::ideal_map;
pub use shape::TargetShape;
pub use target::Target;
