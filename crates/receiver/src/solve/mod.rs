//! The least worst error of straight segments, without and with a grid, of tables, and of curves with
//! a few parameters.

mod around;
mod bezier;
mod bisection;
mod branch;
mod chain;
mod cubic_pieces;
mod fine_grid;
mod gridded;
mod ideal;
mod power;
mod smooth;
mod stab;
mod stepped;
mod straight;
mod table;
mod tube;

pub(crate) use around::solve as solve_straight_around;
pub(crate) use bezier::solve as solve_bezier;
pub(crate) use ideal::Ideal;
pub(crate) use power::solve as solve_power;
pub(crate) use smooth::{solve as solve_smooth, solve_around};
pub(crate) use straight::{Rules, Solved, solve};
pub(crate) use table::solve as solve_table;
