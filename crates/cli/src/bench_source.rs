//! Where readings come from: files that hold them already, and devices that go on telling.

use std::collections::VecDeque;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::Duration;

use evenhand_capture::{EventDecoder, EventLayout, Hold, ReadingKind, Tick, text_reading};

use crate::args::{LayoutArg, RecordArgs, StreamKind};
use crate::failure::Failure;

/// Recorded streams larger than this are none.
const MOST_BYTES: u64 = 256 << 20;
/// Time of a tick of a live stream.
const TICK: Duration = Duration::from_millis(10);

/// Ticks of readings, 0..1.
pub(crate) enum Source {
    /// All that there is: standard input, or a file.
    Recorded(VecDeque<Tick>),
    /// Standard input, line by line.
    Lines(Box<dyn BufRead>, ReadingKind),
    /// A device; a thread of its own waits for it.
    Live(Receiver<Live>, VecDeque<Tick>, Tick),
}

/// What a device told: ticks, and what is held until it tells more.
pub(crate) struct Live {
    ticks: Vec<Tick>,
    held: Tick,
}

impl Source {
    /// Opens what `--from` names.
    pub(crate) fn open(args: &RecordArgs) -> Result<Self, Failure> {
        let path = &args.from;
        let kind = args.kind;
        if path.as_os_str() == "-" {
            if kind == Some(StreamKind::Events) {
                return Err(Failure::bad_input(
                    "events cannot come from standard input",
                    "give the device, or save the events to a file and name that",
                ));
            }
            let reading = reading_kind(kind.unwrap_or(StreamKind::Percent), args.levels)?;
            return Ok(Self::Lines(
                Box::new(BufReader::new(std::io::stdin())),
                reading,
            ));
        }
        let name = path.display().to_string();
        let unreadable = |error: std::io::Error| {
            Failure::bad_input(
                format!("{name}: the source could not be opened: {error}"),
                "check its name; devices may need their group's permission",
            )
            .in_file(name.clone())
        };
        let meta = std::fs::metadata(path).map_err(unreadable)?;
        if meta.is_dir() {
            return Err(Failure::bad_input(
                format!("{name}: this is a folder"),
                "name a file, a serial line or a device of input events",
            ));
        }
        if meta.is_file() {
            return recorded(path, &meta, args);
        }
        let kind = kind.unwrap_or(if path.starts_with("/dev/input") {
            StreamKind::Events
        } else {
            StreamKind::Percent
        });
        let reading = reading_kind(kind, args.levels)?;
        let file = File::open(path).map_err(unreadable)?;
        let (sender, receiver) = channel();
        if kind == StreamKind::Events {
            let layout = layout(args.layout).unwrap_or(if cfg!(target_pointer_width = "64") {
                EventLayout::Bits64
            } else {
                EventLayout::Bits32
            });
            std::thread::spawn(move || tell_events(file, layout, reading, &sender));
        } else {
            std::thread::spawn(move || tell_lines(file, reading, &sender));
        }
        Ok(Self::Live(receiver, VecDeque::new(), Tick::default()))
    }

    /// The next tick; `None` at the end.
    pub(crate) fn tick(&mut self) -> Option<Tick> {
        match self {
            Self::Recorded(ticks) => ticks.pop_front(),
            Self::Lines(lines, reading) => {
                let mut line = String::new();
                match lines.read_line(&mut line) {
                    Ok(0) | Err(_) => None,
                    Ok(_) => Some(line_tick(&line, *reading)),
                }
            }
            Self::Live(receiver, pending, held) => {
                if let Some(tick) = pending.pop_front() {
                    return Some(tick);
                }
                match receiver.recv_timeout(TICK) {
                    Ok(told) => {
                        *held = told.held;
                        pending.extend(told.ticks);
                        Some(pending.pop_front().unwrap_or(*held))
                    }
                    Err(RecvTimeoutError::Timeout) => Some(*held),
                    Err(RecvTimeoutError::Disconnected) => None,
                }
            }
        }
    }

    /// Leaves behind what belongs to the placement that was read: up to its end in a recording, all that has
    /// come by now from a device.
    pub(crate) fn leave_placement(&mut self) {
        if let Self::Live(receiver, pending, held) = self {
            pending.clear();
            while let Ok(told) = receiver.try_recv() {
                *held = told.held;
            }
            return;
        }
        while let Some(tick) = self.tick() {
            if !tick.ends_placement {
                continue;
            }
            if let Self::Recorded(ticks) = self {
                if tick.value.is_some() {
                    // The tick that ends one placement begins the next.
                    ticks.push_front(Tick {
                        ends_placement: false,
                        ..tick
                    });
                }
                // A recorded pen that is lifted is on its way to the next placement.
                while ticks.front().is_some_and(|tick| tick.is_lifted) {
                    ticks.pop_front();
                }
            }
            return;
        }
    }

    /// Whether it goes on telling, so that a person stands beside it.
    pub(crate) fn is_live(&self) -> bool {
        matches!(self, Self::Live(..))
    }

    /// Whether it is standard input, which then brings no commands.
    pub(crate) fn is_standard_input(&self) -> bool {
        matches!(self, Self::Lines(..))
    }
}

fn layout(named: Option<LayoutArg>) -> Option<EventLayout> {
    named.map(|named| match named {
        LayoutArg::Bits64 => EventLayout::Bits64,
        LayoutArg::Bits32 => EventLayout::Bits32,
    })
}

fn reading_kind(kind: StreamKind, levels: Option<u32>) -> Result<ReadingKind, Failure> {
    match kind {
        StreamKind::Percent => Ok(ReadingKind::Percent),
        StreamKind::Fraction => Ok(ReadingKind::Fraction),
        StreamKind::Raw | StreamKind::Events => levels
            .map(|levels| ReadingKind::Raw {
                full: f64::from(levels - 1),
            })
            .ok_or_else(|| {
                Failure::bad_input(
                    "counts without a number of levels",
                    "give --levels with your stylus's number, such as --levels 8192",
                )
            }),
    }
}

fn recorded(path: &Path, meta: &std::fs::Metadata, args: &RecordArgs) -> Result<Source, Failure> {
    let name = path.display().to_string();
    let fail = |message: &str, help: &str| {
        Failure::bad_input(format!("{name}: {message}"), help).in_file(name.clone())
    };
    if meta.len() > MOST_BYTES {
        return Err(fail(
            "the file is larger than 256 MiB",
            "cut it to the bench session",
        ));
    }
    let bytes = std::fs::read(path).map_err(|error| {
        fail(
            &format!("the file could not be read: {error}"),
            "check its permissions",
        )
    })?;
    let kind = args.kind.unwrap_or(
        if std::str::from_utf8(&bytes).is_ok_and(|t| !t.contains('\0')) {
            StreamKind::Percent
        } else {
            StreamKind::Events
        },
    );
    let reading = reading_kind(kind, args.levels)?;
    if kind != StreamKind::Events {
        let text = String::from_utf8_lossy(&bytes);
        return Ok(Source::Recorded(
            text.lines().map(|line| line_tick(line, reading)).collect(),
        ));
    }
    let Some(layout) = layout(args.layout).or_else(|| EventLayout::detect(&bytes)) else {
        return Err(fail(
            "the bytes are no input events of either layout",
            "record the device itself, or give --as percent for text",
        ));
    };
    let mut decoder = EventDecoder::new(layout);
    let mut hold = Hold::default();
    let ticks = decoder
        .feed(&bytes)
        .into_iter()
        .flat_map(|report| hold.ticks(report));
    Ok(Source::Recorded(
        ticks.map(|tick| scaled(tick, reading)).collect(),
    ))
}

/// A blank line ends a placement; a line without a number on the scale is unknown.
fn line_tick(line: &str, reading: ReadingKind) -> Tick {
    Tick {
        value: text_reading(line).and_then(|number| reading.reading(number)),
        tilt: None,
        is_lifted: false,
        ends_placement: line.trim().is_empty(),
    }
}

fn scaled(tick: Tick, reading: ReadingKind) -> Tick {
    Tick {
        value: tick.value.and_then(|count| reading.reading(count)),
        ..tick
    }
}

fn tell_events(mut file: File, layout: EventLayout, reading: ReadingKind, sender: &Sender<Live>) {
    let mut decoder = EventDecoder::new(layout);
    let mut hold = Hold::default();
    let mut buffer = [0_u8; 24 * 64];
    while let Ok(count) = file.read(&mut buffer) {
        if count == 0 {
            return;
        }
        let reports = decoder.feed(&buffer[..count]);
        // Time passes by itself here: gaps need no filling.
        let ticks: Vec<Tick> = reports
            .into_iter()
            .filter_map(|report| hold.ticks(report).pop())
            .map(|tick| scaled(tick, reading))
            .collect();
        let held = scaled(hold.held(), reading);
        if sender.send(Live { ticks, held }).is_err() {
            return;
        }
    }
}

fn tell_lines(file: File, reading: ReadingKind, sender: &Sender<Live>) {
    for line in BufReader::new(file).lines() {
        let Ok(line) = line else { return };
        let ticks = vec![line_tick(&line, reading)];
        // A serial line tells its readings one by one; between them nothing is known anew.
        let held = Tick::default();
        if sender.send(Live { ticks, held }).is_err() {
            return;
        }
    }
}
