//! The least worst error of straight segments, without and with a grid, of tables, and of curves with
//! a few parameters.

mod bezier;
mod bisection;
mod branch;
mod chain;
mod gridded;
mod ideal;
mod power;
mod stab;
mod straight;
mod table;
mod tube;

pub(crate) use bezier::solve as solve_bezier;
pub(crate) use ideal::Ideal;
pub(crate) use power::solve as solve_power;
pub(crate) use straight::{Rules, Solved, solve};
pub(crate) use table::solve as solve_table;
