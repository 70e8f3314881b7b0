//! The numerics against outside sources; every table names its source, state and tolerance.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

mod bench_forces;
mod closed_fits;
mod css_easing;
mod dual;
mod events;
mod formula;
mod growth;
mod hand_force;
mod inkml_mapping;
mod interpolation;
mod isotonic;
mod least_squares;
mod load_cell;
mod minimax;
mod population;
mod quantiles;
mod spring_scale;
mod strd;
