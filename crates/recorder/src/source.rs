//! Where readings come from: files that hold them already, and devices that go on telling.

use std::collections::VecDeque;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, TryRecvError, channel};
use std::time::{Duration, Instant};

use evenhand_capture::{EventDecoder, EventLayout, Hold, ReadingKind, Tick, text_reading};
use evenhand_workflow::Failure;

use crate::settings::{SourceSettings, StreamKind};

/// Recorded streams larger than this are none.
const MOST_BYTES: u64 = 256 << 20;
/// Time of a tick of a live stream.
const TICK: Duration = Duration::from_millis(10);
/// Ticks of silence that are made up for at once.
const MOST_SILENT: u128 = 1000;

/// Readings, 0..1, tick by tick.
pub struct Source(Kind);

enum Kind {
    /// All that there is.
    Recorded(VecDeque<Tick>),
    /// Standard input, line by line.
    Lines(Box<dyn BufRead + Send>, ReadingKind),
    /// A device; a thread of its own waits for it.
    Live(Live),
}

/// A device that goes on telling.
struct Live {
    told: Receiver<Told>,
    pending: VecDeque<Tick>,
    /// What stays true while nothing is told; `None` where silence says nothing.
    held: Option<Tick>,
    /// Until when ticks were taken.
    until: Instant,
}

/// What a device told: ticks, and what is held until it tells more.
struct Told {
    ticks: Vec<Tick>,
    held: Option<Tick>,
}

/// What a source gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Drawn {
    Tick(Tick),
    /// A tick of time in which nothing was told, and nothing is known of it.
    Silence,
    Ended,
}

impl Source {
    /// Opens what the settings name.
    ///
    /// # Errors
    /// What cannot be read, is too large, or is no such stream; counts without a number of levels.
    pub fn open(settings: &SourceSettings) -> Result<Self, Failure> {
        kind(settings).map(Self)
    }

    /// Whether it goes on telling, so that a person stands beside it.
    #[must_use]
    pub fn is_live(&self) -> bool {
        matches!(self.0, Kind::Live(_))
    }

    /// Whether it is standard input, which then brings no keys.
    #[must_use]
    pub fn is_standard_input(&self) -> bool {
        matches!(self.0, Kind::Lines(..))
    }

    /// What comes next, waiting for it no longer than a tick of a live stream.
    pub(crate) fn wait(&mut self) -> Drawn {
        match &mut self.0 {
            Kind::Recorded(ticks) => ticks.pop_front().map_or(Drawn::Ended, Drawn::Tick),
            Kind::Lines(lines, reading) => {
                let mut line = Vec::new();
                match lines.read_until(b'\n', &mut line) {
                    Ok(0) | Err(_) => Drawn::Ended,
                    Ok(_) => Drawn::Tick(line_tick(&String::from_utf8_lossy(&line), *reading)),
                }
            }
            Kind::Live(live) => live.wait(),
        }
    }

    /// What has come by now from a device; `None` of what holds its readings, which waits for nobody.
    pub(crate) fn ready(&mut self) -> Option<Vec<Drawn>> {
        match &mut self.0 {
            Kind::Live(live) => Some(live.ready()),
            _ => None,
        }
    }

    /// Leaves behind what belongs to the placement that was read: up to its end in a recording, all that has
    /// come by now from a device.
    pub(crate) fn leave_placement(&mut self) {
        if let Kind::Live(live) = &mut self.0 {
            live.ready();
            return;
        }
        while let Drawn::Tick(tick) = self.wait() {
            if !tick.ends_placement {
                continue;
            }
            if let Kind::Recorded(ticks) = &mut self.0 {
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
}

impl Live {
    fn quiet(&self) -> Drawn {
        self.held.map_or(Drawn::Silence, Drawn::Tick)
    }

    fn wait(&mut self) -> Drawn {
        let drawn = if let Some(tick) = self.pending.pop_front() {
            Drawn::Tick(tick)
        } else {
            match self.told.recv_timeout(TICK) {
                Ok(told) => {
                    self.held = told.held;
                    self.pending.extend(told.ticks);
                    self.pending
                        .pop_front()
                        .map_or_else(|| self.quiet(), Drawn::Tick)
                }
                Err(RecvTimeoutError::Timeout) => self.quiet(),
                Err(RecvTimeoutError::Disconnected) => Drawn::Ended,
            }
        };
        self.until = Instant::now();
        drawn
    }

    fn ready(&mut self) -> Vec<Drawn> {
        let mut drawn: Vec<Drawn> = self.pending.drain(..).map(Drawn::Tick).collect();
        let ended = loop {
            match self.told.try_recv() {
                Ok(told) => {
                    self.held = told.held;
                    drawn.extend(told.ticks.into_iter().map(Drawn::Tick));
                }
                Err(TryRecvError::Empty) => break false,
                Err(TryRecvError::Disconnected) => break true,
            }
        };
        let now = Instant::now();
        if drawn.is_empty() && !ended {
            let silent = now.duration_since(self.until).as_millis() / TICK.as_millis();
            for _ in 0..silent.min(MOST_SILENT) {
                drawn.push(self.quiet());
                self.until += TICK;
            }
            if silent > MOST_SILENT {
                self.until = now;
            }
        } else {
            self.until = now;
        }
        if ended {
            drawn.push(Drawn::Ended);
        }
        drawn
    }
}

fn kind(settings: &SourceSettings) -> Result<Kind, Failure> {
    let path = &settings.path;
    let kind = settings.kind;
    if path.as_os_str() == "-" {
        if kind == Some(StreamKind::Events) {
            return Err(Failure::bad_input(
                "events cannot come from standard input",
                "give the device, or save the events to a file and name that",
            ));
        }
        let reading = reading_kind(kind.unwrap_or(StreamKind::Percent), settings.levels)?;
        let lines = Box::new(BufReader::new(std::io::stdin()));
        return Ok(Kind::Lines(lines, reading));
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
        return recorded(path, &meta, settings).map(Kind::Recorded);
    }
    let kind = kind.unwrap_or(if path.starts_with("/dev/input") {
        StreamKind::Events
    } else {
        StreamKind::Percent
    });
    let reading = reading_kind(kind, settings.levels)?;
    let file = File::open(path).map_err(unreadable)?;
    let (sender, told) = channel();
    if kind == StreamKind::Events {
        let layout = settings
            .layout
            .unwrap_or(if cfg!(target_pointer_width = "64") {
                EventLayout::Bits64
            } else {
                EventLayout::Bits32
            });
        std::thread::spawn(move || tell_events(file, layout, reading, &sender));
    } else {
        std::thread::spawn(move || tell_lines(file, reading, &sender));
    }
    Ok(Kind::Live(Live {
        told,
        pending: VecDeque::new(),
        // Of a device nothing is known before it tells the first; so is a serial line in between.
        held: (kind == StreamKind::Events).then(Tick::default),
        until: Instant::now(),
    }))
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

fn recorded(
    path: &Path,
    meta: &std::fs::Metadata,
    settings: &SourceSettings,
) -> Result<VecDeque<Tick>, Failure> {
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
    let kind = settings.kind.unwrap_or(
        if std::str::from_utf8(&bytes).is_ok_and(|t| !t.contains('\0')) {
            StreamKind::Percent
        } else {
            StreamKind::Events
        },
    );
    let reading = reading_kind(kind, settings.levels)?;
    if kind != StreamKind::Events {
        let text = String::from_utf8_lossy(&bytes);
        return Ok(text.lines().map(|line| line_tick(line, reading)).collect());
    }
    let Some(layout) = settings.layout.or_else(|| EventLayout::detect(&bytes)) else {
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
    Ok(ticks.map(|tick| scaled(tick, reading)).collect())
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

fn tell_events(mut file: File, layout: EventLayout, reading: ReadingKind, sender: &Sender<Told>) {
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
        let held = Some(scaled(hold.held(), reading));
        if sender.send(Told { ticks, held }).is_err() {
            return;
        }
    }
}

fn tell_lines(file: File, reading: ReadingKind, sender: &Sender<Told>) {
    let mut lines = BufReader::new(file);
    let mut line = Vec::new();
    while lines
        .read_until(b'\n', &mut line)
        .is_ok_and(|count| count > 0)
    {
        let ticks = vec![line_tick(&String::from_utf8_lossy(&line), reading)];
        if sender.send(Told { ticks, held: None }).is_err() {
            return;
        }
        line.clear();
    }
}
