//! The bench: forces at the nib with their uncertainty budgets, and which force to place next.
//!
//! A [`Rig`] is a lever with masses, a scale under the tablet or a force gauge, as its owner describes it.
//! [`Rig::force`] turns a [`Placement`] into a force with its [`Budget`] after JCGM 100; [`force_budget`] sums
//! budgets up for a measurement, whose fit then counts common and independent errors apart. [`york_line`]
//! calibrates a lever against a scale where both err.
//!
//! Out of scope: files, and taking readings.

mod budget;
mod error;
mod mass_class;
mod placement;
mod plan;
mod reachable;
mod rig;
mod york;

pub use budget::{Budget, Contribution, Input, Reaches, coverage_factor, effective_freedom};
pub use error::BenchError;
pub use mass_class::MassClass;
pub use placement::{Hung, Placement, force_budget};
pub use plan::{Aim, PlanSettings, Step, Wish, next_force};
pub use reachable::{Reachable, reachable};
pub use rig::{Calibration, Gauge, Lever, Rig, RigKind, Scale};
pub use york::{Line, WeighedPoint, york_line};
