//! Journeys through the command line, with what is printed, written and returned.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

mod bad_measurements;
mod bench;
mod bench_room;
mod bench_stream;
mod compare;
mod edit;
mod export;
mod fit;
mod forces_at;
mod fractions;
mod hand;
mod json_keys;
mod json_values;
mod limits;
mod map;
mod preview;
mod readme;
mod receivers;
mod record;
mod record_again;
mod record_streams;
mod rigs;
mod saved_maps;
mod saving;
mod selection;
mod steering;
#[path = "../../crates/text/tests/support/mod.rs"]
mod support;
mod tables;
mod tables_of_others;
mod targets;
mod verify;
mod whole_screen;
