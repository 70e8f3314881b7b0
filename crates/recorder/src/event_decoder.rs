//! From the kernel's events to what the pen does.

use crate::event_layout::EventLayout;

const EV_SYN: u16 = 0x00;
const EV_KEY: u16 = 0x01;
const EV_ABS: u16 = 0x03;
const SYN_REPORT: u16 = 0x00;
const SYN_DROPPED: u16 = 0x03;
const ABS_PRESSURE: u16 = 0x18;
const ABS_TILT_X: u16 = 0x1a;
const ABS_TILT_Y: u16 = 0x1b;
const BTN_TOUCH: u16 = 0x14a;

/// What the pen does after a report: simultaneous changes, applied to what was known before.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PenReport {
    /// Time of the report, s.
    pub time_s: f64,
    /// Count of the pressure axis; `None` until it was told, and again after events were lost.
    pub pressure: Option<i32>,
    /// Counts of both tilt axes, as far as they were told.
    pub tilt: (Option<i32>, Option<i32>),
    /// Whether the nib touches, where buttons tell.
    pub touches: Option<bool>,
    /// Whether events were lost before this report.
    pub lost: bool,
}

/// Decodes events from bytes that come in any portions.
#[derive(Clone, Debug)]
pub struct EventDecoder {
    layout: EventLayout,
    pending: Vec<u8>,
    state: PenReport,
    /// After a drop everything up to the next report is incomplete.
    dropping: bool,
}

impl EventDecoder {
    /// For a layout.
    #[must_use]
    pub fn new(layout: EventLayout) -> Self {
        Self {
            layout,
            pending: Vec::new(),
            state: PenReport::default(),
            dropping: false,
        }
    }

    /// Takes bytes and gives the reports that they complete.
    pub fn feed(&mut self, bytes: &[u8]) -> Vec<PenReport> {
        self.pending.extend_from_slice(bytes);
        let size = self.layout.size();
        let whole = self.pending.len() / size * size;
        let taken: Vec<u8> = self.pending.drain(..whole).collect();
        let mut reports = Vec::new();
        for chunk in taken.chunks_exact(size) {
            // An event without a time that can be meant is noise on the line: nothing is taken from it.
            let Some(event) = self.layout.read(chunk) else {
                continue;
            };
            match (event.kind, event.code) {
                (EV_SYN, SYN_DROPPED) => self.dropping = true,
                (EV_SYN, SYN_REPORT) => {
                    self.state.time_s = event.time_s;
                    self.state.lost = self.dropping;
                    if self.dropping {
                        // What changed meanwhile is unknown; only changes will tell it again.
                        self.state.pressure = None;
                        self.state.tilt = (None, None);
                        self.state.touches = None;
                        self.dropping = false;
                    }
                    reports.push(self.state);
                }
                _ if self.dropping => {}
                (EV_ABS, ABS_PRESSURE) => self.state.pressure = Some(event.value),
                (EV_ABS, ABS_TILT_X) => self.state.tilt.0 = Some(event.value),
                (EV_ABS, ABS_TILT_Y) => self.state.tilt.1 = Some(event.value),
                (EV_KEY, BTN_TOUCH) => {
                    self.state.touches = Some(event.value != 0);
                    if event.value == 0 {
                        self.state.pressure = Some(0);
                    }
                }
                _ => {}
            }
        }
        reports
    }
}
