//! How an input event lies in memory.

/// Layout of the kernel's `struct input_event`: a time in seconds and microseconds, type and code of 16 bits, a
/// value of 32 bits, in the byte order of the machine (linux/input.h; here little-endian, as on x86 and ARM).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventLayout {
    /// 24 bytes: seconds and microseconds of 64 bits each.
    Bits64,
    /// 16 bytes: seconds and microseconds of 32 bits each.
    Bits32,
}

/// An event as it lies in the stream.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RawEvent {
    pub(crate) time_s: f64,
    pub(crate) kind: u16,
    pub(crate) code: u16,
    pub(crate) value: i32,
}

/// No type of event is larger (`EV_MAX`).
const LARGEST_KIND: u16 = 0x1f;
/// No code is larger (`KEY_MAX`, the largest of all kinds).
const LARGEST_CODE: u16 = 0x2ff;
/// Events that are looked at to tell the layout.
const LOOKED_AT: usize = 64;

impl EventLayout {
    /// Bytes of an event.
    #[must_use]
    pub const fn size(self) -> usize {
        match self {
            Self::Bits64 => 24,
            Self::Bits32 => 16,
        }
    }

    /// The layout in which the beginning of a stream makes sense: kinds and codes that exist, microseconds below
    /// a million, times that do not run backwards. `None` where neither or not even one event does.
    #[must_use]
    pub fn detect(bytes: &[u8]) -> Option<Self> {
        [Self::Bits64, Self::Bits32].into_iter().find(|layout| {
            let mut last = f64::NEG_INFINITY;
            let mut count = 0;
            let sound = bytes
                .chunks_exact(layout.size())
                .take(LOOKED_AT)
                .all(|chunk| {
                    count += 1;
                    let Some(event) = layout.read(chunk) else {
                        return false;
                    };
                    let forward = event.time_s >= last;
                    last = event.time_s;
                    forward && event.kind <= LARGEST_KIND && event.code <= LARGEST_CODE
                });
            sound && count > 0
        })
    }

    /// One event of exactly the layout's size; `None` where its microseconds are none.
    pub(crate) fn read(self, bytes: &[u8]) -> Option<RawEvent> {
        let word = |at: usize| -> Option<[u8; 4]> { bytes.get(at..at + 4)?.try_into().ok() };
        let long = |at: usize| -> Option<[u8; 8]> { bytes.get(at..at + 8)?.try_into().ok() };
        let half = |at: usize| -> Option<[u8; 2]> { bytes.get(at..at + 2)?.try_into().ok() };
        let (seconds, micros, rest) = match self {
            Self::Bits64 => (
                i64::from_le_bytes(long(0)?),
                i64::from_le_bytes(long(8)?),
                16,
            ),
            Self::Bits32 => (
                i64::from(u32::from_le_bytes(word(0)?)),
                i64::from(u32::from_le_bytes(word(4)?)),
                8,
            ),
        };
        if !(0..1_000_000).contains(&micros) || seconds < 0 {
            return None;
        }
        Some(RawEvent {
            time_s: seconds as f64 + 1e-6 * micros as f64,
            kind: u16::from_le_bytes(half(rest)?),
            code: u16::from_le_bytes(half(rest + 2)?),
            value: i32::from_le_bytes(word(rest + 4)?),
        })
    }
}
