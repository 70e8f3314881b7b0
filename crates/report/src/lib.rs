//! What a comparison says: sentences, charts, an object for scripts, a table for spreadsheets, and one page that
//! holds all of it.
//!
//! ```
//! use evenhand_fitting::{Settings, fit};
//! use evenhand_measurement::{ReadOptions, parse_measurement};
//! use evenhand_population::{CompareSettings, FittedMeasurement, GroupBy, compare};
//! use evenhand_report::group_sentences;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let mut fitted = Vec::new();
//! for (unit, saturation) in [("01", 200.0), ("02", 210.0)] {
//!     let mut table = format!("# model = Dunlin\n# unit = {unit}\nforce_gf,reported_percent\n");
//!     for force in (0..=240).step_by(15) {
//!         let part = (f64::from(force) - 10.0) / (saturation - 10.0);
//!         table += &format!("{force},{}\n", (100.0 * part).clamp(0.0, 100.0));
//!     }
//!     let (measurement, _) = parse_measurement(unit, table.as_bytes(), &ReadOptions::default())?;
//!     let fit = fit(&measurement, &Settings::default())?;
//!     fitted.push(FittedMeasurement::of(&measurement, &fit, unit, unit));
//! }
//! let comparison = compare(fitted, CompareSettings {
//!     group_by: GroupBy::Model,
//!     confidence: 0.95,
//!     seed: 1,
//!     consistency_limit: 0.1,
//!     pool_benches: false,
//! });
//! let said = group_sentences(&comparison.groups[0], &comparison).join("; ");
//! assert!(said.starts_with("saturation: mean 205"), "{said}");
//! # Ok(())
//! # }
//! ```
//!
//! [`page`] makes the page from a [`Findings`]: no network, and nothing in it needs a script to be read.
//! [`chart_of`] gives the charts, [`comparison_json`] the object, [`units_csv`] the table; the sentences are in
//! one place, so that the terminal and the page say the same.
//!
//! Out of scope: files, clocks, and the statistics themselves.

mod chart;
mod findings;
mod json;
mod page;
mod sentences;
mod style;
mod table;

pub use chart::chart_of;
pub use findings::{Findings, LeftOut, MatchReport};
pub use json::comparison_json;
pub use page::page;
pub use sentences::{
    CAUTIONS, LIKENESS_HEADS, PAIR_HEADS, all_groups_sentence, bench_sentences, envelope_sentence,
    flag_sentence, group_note, group_sentences, left_out_sentence, likeness_cells, likeness_note,
    method, overview, pair_cells, pair_note, probability, read_at_sentence, repeat_sentences,
};
pub use table::{figure_words, units_csv};
