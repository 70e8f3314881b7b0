//! What a comparison says: sentences, charts, an object for scripts, a table for spreadsheets, and one page that
//! holds all of it.
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
