//! Whatever the text of a recording: it is refused, or written again it reads as the same.
#![no_main]

use evenhand_recorder::Log;

libfuzzer_sys::fuzz_target!(|text: &str| {
    let text = format!("{}\n{text}", evenhand_recorder::MARK);
    let Ok(log) = Log::parse(&text) else { return };
    let again = log.text();
    let read = Log::parse(&again).expect("what was written is read");
    assert_eq!(read.text(), again);
    assert_eq!(read.rows.len(), log.rows.len());
});
