//! The least worst error of straight segments, without and with a grid.

mod bisection;
mod chain;
mod gridded;
mod ideal;
mod stab;
mod straight;
mod tube;

pub(crate) use ideal::Ideal;
pub(crate) use straight::{Rules, solve};
