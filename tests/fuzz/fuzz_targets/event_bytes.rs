//! Whatever the bytes and however they are cut: the same reports, and ticks whose readings settle or do not.
#![no_main]

use evenhand_recorder::{EventDecoder, EventLayout, Hold, StableRule, Watcher};

libfuzzer_sys::fuzz_target!(|input: (u8, Vec<u8>)| {
    let (cut, bytes) = input;
    for layout in [EventLayout::Bits64, EventLayout::Bits32] {
        let whole = EventDecoder::new(layout).feed(&bytes);
        let mut decoder = EventDecoder::new(layout);
        let parts: Vec<_> = bytes
            .chunks(usize::from(cut).max(1))
            .flat_map(|part| decoder.feed(part))
            .collect();
        assert_eq!(format!("{whole:?}"), format!("{parts:?}"));
        let mut hold = Hold::default();
        let mut watcher = Watcher::new(StableRule::default());
        for report in parts {
            for tick in hold.ticks(report) {
                if let Some(settled) = watcher.push(tick.value) {
                    assert!(settled.reading.is_finite() && settled.scatter >= 0.0);
                }
            }
        }
    }
    let _ = EventLayout::detect(&bytes);
});
