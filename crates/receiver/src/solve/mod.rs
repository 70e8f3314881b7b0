//! The least worst error of straight segments, without and with a grid, and of tables.

mod bisection;
mod chain;
mod gridded;
mod ideal;
mod stab;
mod straight;
mod table;
mod tube;

pub(crate) use ideal::Ideal;
pub(crate) use straight::{Rules, Solved, solve};
pub(crate) use table::solve as solve_table;
