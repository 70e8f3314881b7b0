//! The bench: forces at the nib with their uncertainty budgets, and which force to apply next.
//!
//! ```
//! use evenhand_bench::Rig;
//!
//! let rig = "name = \"window\"\n[lever]\nnib_arm_mm = 100\nnib_arm_within_mm = 0.5\n\
//!     pan_arm_mm = 300\npan_arm_within_mm = 0.5\nmass_class = \"M2\"\n";
//! let rig = Rig::parse(rig, "rig.toml")?;
//! // 20 g at the pan and 10 g at 150 mm make 60 + 15 gf, within half a percent at a confidence of 95 %.
//! let budget = rig.load("20+10@150").expect("a load").force();
//! assert!((budget.value - 75.0).abs() < 0.01);
//! assert!((0.001..0.01).contains(&(budget.expanded / budget.value)));
//! # Ok::<(), evenhand_text::Faults>(())
//! ```
//!
//! A [`Rig`] is a lever with masses, a scale under the tablet or a force gauge, as its owner describes it.
//! [`Rig::load`] reads what is placed on it, and [`Load::force`] gives the force (gf) with its [`Budget`] after
//! JCGM 100; [`force_budget`] sums budgets up for a measurement, whose fit then counts common and independent errors
//! apart. [`york_line`] calibrates a lever against a scale where both err.
//!
//! [`next_force`] says which force to place next. Study of simulated styluses (`cargo bench -p evenhand-bench
//! --bench plan`, 200 a row, the errors of the fit's own study); the even ladder is told what the plan has to find
//! out, from 0 to 10 % beyond the true saturation force. Median widths of 95 % intervals:
//!
//! | readings | onset, gf | saturation, % | band of the curve, % |
//! | --- | --- | --- | --- |
//! | 15, even ladder | 10.57 | 3.26 | 1.46 |
//! | 9, planned | 9.47 | 4.71 | 2.53 |
//! | 20, even ladder | 7.45 | 2.50 | 1.22 |
//! | 12, planned | 5.07 | 2.58 | 1.72 |
//! | 30, even ladder | 5.47 | 2.22 | 1.04 |
//! | 18, planned | 3.69 | 1.77 | 1.35 |
//! | 40, even ladder | 4.25 | 1.95 | 0.95 |
//! | 24, planned | 3.54 | 1.57 | 1.29 |
//!
//! With six tenths of the readings onset and saturation are known better from 30 readings of the even ladder on,
//! and about as well from 20; with fewer, finding the range takes most of the plan. The mean band of the curve is
//! wider by about √(1/0.6): there the scatter of readings counts, and no choice of forces replaces their number.
//!
//! Never here: files, and taking readings.

mod available;
mod budget;
mod calibration;
mod caution;
mod error;
mod force;
mod lever;
mod load;
mod mass_class;
mod plan;
mod plan_words;
mod remarks;
mod rig;
mod rig_keys;
mod rig_note;
mod york;

pub use available::{AvailableForce, LoadRecipe, available_forces, nearest_available};
pub use budget::{
    Budget, Contribution, Correlation, Input, InputKey, Inputs, Values, coverage_factor,
    effective_freedom, force_budget,
};
pub use calibration::Calibration;
pub use caution::{BEFORE_WEIGHTS, beyond_kilogram, large_limit, load_caution, step_caution};
pub use error::BenchError;
pub use lever::{Arms, Lever, Leverage, MassLimit};
pub use load::{HungMass, Load, LoadNumber};
pub use mass_class::MassClass;
pub use plan::{Objective, PlanSettings, PrecisionGoal, Step, next_force};
pub use plan_words::{NoForce, making, placeable, step_in_words};
pub use remarks::{BENCH_KEYS, bench_remarks};
pub use rig::{Gauge, Rig, RigKind, Scale};
pub use rig_note::RigNote;
pub use york::{Line, WeighedPoint, york_line};
