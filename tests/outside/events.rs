//! Input events, made from the kernel's own numbers and decoded again.

use std::collections::BTreeMap;

use evenhand_recorder::{EventDecoder, EventLayout, Hold, PenReport};
use evenhand_tests::reference_rows;

/// The numbers of linux/input.h and linux/input-event-codes.h by name.
fn numbers() -> BTreeMap<String, u32> {
    reference_rows("units-devices/linux-input-abi.csv")
        .iter()
        .filter_map(|row| Some((row["name"].clone(), row["value_dec"].parse().ok()?)))
        .collect()
}

struct Stream {
    layout: EventLayout,
    numbers: BTreeMap<String, u32>,
    bytes: Vec<u8>,
    micros: u64,
}

impl Stream {
    fn new(layout: EventLayout) -> Self {
        Self {
            layout,
            numbers: numbers(),
            bytes: Vec::new(),
            micros: 1_700_000_000_000_000,
        }
    }

    fn event(&mut self, kind: &str, code: &str, value: i32) {
        let (seconds, micros) = (self.micros / 1_000_000, self.micros % 1_000_000);
        match self.layout {
            EventLayout::Bits64 => {
                self.bytes.extend(seconds.to_le_bytes());
                self.bytes.extend(micros.to_le_bytes());
            }
            EventLayout::Bits32 => {
                let halves = [seconds, micros].map(|part| u32::try_from(part).unwrap());
                self.bytes.extend(halves.map(u32::to_le_bytes).concat());
            }
        }
        let half = |name: &str| u16::try_from(self.numbers[name]).unwrap().to_le_bytes();
        let (kind, code) = (half(kind), half(code));
        self.bytes.extend(kind);
        self.bytes.extend(code);
        self.bytes.extend(value.to_le_bytes());
    }

    /// Reports a pressure alone.
    fn pressure(&mut self, value: i32) {
        self.event("EV_ABS", "ABS_PRESSURE", value);
        self.report();
    }

    fn report(&mut self) {
        self.event("EV_SYN", "SYN_REPORT", 0);
        self.micros += 10_000;
    }
}

const LAYOUTS: [EventLayout; 2] = [EventLayout::Bits64, EventLayout::Bits32];

fn pressures(reports: &[PenReport]) -> Vec<Option<i32>> {
    reports.iter().map(|report| report.pressure).collect()
}

#[test]
fn layouts_have_the_kernels_size() {
    let numbers = numbers();
    let size = numbers["sizeof_input_event"] as usize;
    assert_eq!(EventLayout::Bits64.size(), size);
    for layout in LAYOUTS {
        let mut stream = Stream::new(layout);
        for value in 0..40 {
            stream.pressure(100 * value);
        }
        assert_eq!(stream.bytes.len(), 80 * layout.size());
        assert_eq!(EventLayout::detect(&stream.bytes), Some(layout));
    }
    for text in [&b"12.5\n12.6\n12.4\n12.5\n12.5\n12.5\n"[..], b""] {
        assert_eq!(EventLayout::detect(text), None);
    }
}

#[test]
fn reports_hold_simultaneous_changes() {
    for layout in LAYOUTS {
        let mut stream = Stream::new(layout);
        stream.event("EV_KEY", "BTN_TOUCH", 1);
        stream.event("EV_ABS", "ABS_PRESSURE", 812);
        stream.event("EV_ABS", "ABS_TILT_X", 3);
        stream.event("EV_ABS", "ABS_TILT_Y", -4);
        stream.event("EV_MSC", "MSC_SERIAL", 77);
        stream.report();
        stream.pressure(815);
        stream.event("EV_KEY", "BTN_TOUCH", 0);
        stream.report();
        // In portions of seven bytes, as pipes may cut them.
        let mut decoder = EventDecoder::new(layout);
        let reports: Vec<PenReport> = stream
            .bytes
            .chunks(7)
            .flat_map(|part| decoder.feed(part))
            .collect();
        assert_eq!(pressures(&reports), [Some(812), Some(815), Some(0)]);
        assert_eq!(reports[1].tilt, (Some(3), Some(-4)));
        assert_eq!(reports[2].touches, Some(false));
        let mut hold = Hold::default();
        let tick = hold.ticks(reports[0]).pop().unwrap();
        assert_eq!(tick.tilt, Some(5.0));
    }
}

#[test]
fn what_was_dropped_is_unknown_until_it_is_told_again() {
    for layout in LAYOUTS {
        let mut stream = Stream::new(layout);
        stream.pressure(500);
        stream.event("EV_SYN", "SYN_DROPPED", 0);
        // Up to the next report everything is incomplete.
        stream.pressure(9999);
        stream.event("EV_ABS", "ABS_TILT_X", 1);
        stream.report();
        stream.pressure(510);
        let reports = EventDecoder::new(layout).feed(&stream.bytes);
        assert_eq!(pressures(&reports), [Some(500), None, None, Some(510)]);
        assert!(reports[1].lost && !reports[3].lost);
    }
}

#[test]
fn a_pen_at_rest_is_held() {
    let mut stream = Stream::new(EventLayout::Bits64);
    stream.pressure(300);
    stream.micros += 990_000;
    stream.pressure(301);
    stream.micros += 4_000_000;
    stream.pressure(900);
    let mut hold = Hold::default();
    let ticks: Vec<_> = EventDecoder::new(EventLayout::Bits64)
        .feed(&stream.bytes)
        .into_iter()
        .flat_map(|report| hold.ticks(report))
        .collect();
    // A second at a hundred ticks, and four seconds, which end a placement.
    let held = |value: f64| {
        ticks
            .iter()
            .filter(|tick| tick.value == Some(value))
            .count()
    };
    assert!((99..=101).contains(&held(300.0)), "{}", held(300.0));
    assert!(held(301.0) >= 398);
    let ends: Vec<_> = ticks.iter().filter(|tick| tick.ends_placement).collect();
    assert_eq!(ends.len(), 1);
    assert_eq!(ends[0].value, Some(900.0));
}
