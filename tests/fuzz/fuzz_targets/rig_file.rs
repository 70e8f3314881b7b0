//! Whatever the text of a rig: it is refused, or every placement gets a force whose budget is finite.
#![no_main]

use evenhand_bench::{Rig, available_forces, force_budget};

libfuzzer_sys::fuzz_target!(|text: &str| {
    // The part after a line of dashes is a placement.
    let (text, placed) = text.split_once("\n---\n").unwrap_or((text, "10"));
    let Ok(rig) = Rig::parse(text, "rig.toml") else { return };
    let _ = rig.in_words();
    if let Ok(load) = rig.load(placed) {
        let budget = load.force();
        let figures = force_budget(&[budget]).figures();
        assert!(figures.iter().all(|figure| !figure.is_nan()));
    }
    for one in available_forces(Some(&rig), 1000.0) {
        assert!((0.0..=1000.0).contains(&one.force_gf));
    }
});
