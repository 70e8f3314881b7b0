//! Where readings come from: files that hold them already, and devices that go on telling.

use std::collections::VecDeque;
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use evenhand_text::{Remedy, Setting};

use crate::batch_queue::{BatchReceiver, BatchSender, Taken, batch_queue};
use crate::error::RecordError;
use crate::event_decoder::EventDecoder;
use crate::event_layout::EventLayout;
use crate::hold::{Hold, Tick};
use crate::log::RecordingPosition;
use crate::recording::Recording;
use crate::settings::{SourceSettings, StreamKind};
use crate::text_reading::{ReadingKind, text_reading};

/// Recorded streams larger than this are none.
const MOST_BYTES: u64 = 256 << 20;
/// Time of a tick of a live stream.
const TICK: Duration = Duration::from_millis(10);
/// Ticks of silence that are made up for at once.
const MOST_SILENT: u128 = 1000;

/// Bytes of a line of readings; what is longer comes in parts, of which none is a reading.
const MOST_LINE: u64 = 4096;
/// Characters of what is no reading that are told.
const MOST_QUOTED: usize = 40;

/// Readings, 0..1, tick by tick.
pub struct Source {
    kind: Kind,
    reading: ReadingKind,
    path: PathBuf,
    /// What was found last where there was no reading.
    invalid: Option<String>,
}

enum Kind {
    /// All that there is.
    Recorded(Recording),
    /// Standard input, line by line.
    Lines(Box<dyn BufRead + Send>),
    /// A device; a thread of its own waits for it.
    Live(LiveDevice),
}

/// A device that goes on telling.
struct LiveDevice {
    batches: BatchReceiver<DeviceBatch>,
    pending: VecDeque<Tick>,
    invalid: Option<String>,
    /// What stays true while nothing is told; `None` where silence says nothing.
    held: Option<Tick>,
    /// Until when ticks were taken.
    until: Instant,
}

/// What a device told: ticks, and what is held until it tells more.
struct DeviceBatch {
    ticks: Vec<Tick>,
    held: Option<Tick>,
    /// What was found last where there was no reading.
    invalid: Option<String>,
}

/// What a source gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum SourceItem {
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
    pub fn open(settings: &SourceSettings) -> Result<Self, RecordError> {
        let (kind, reading) = kind(settings)?;
        Ok(Self {
            kind,
            reading,
            path: settings.path.clone(),
            invalid: None,
        })
    }

    /// Whether it goes on telling, so that a person stands beside it.
    #[must_use]
    pub fn is_live(&self) -> bool {
        matches!(self.kind, Kind::Live(_))
    }

    /// Whether it is standard input, which then brings no keys.
    #[must_use]
    pub fn is_standard_input(&self) -> bool {
        matches!(self.kind, Kind::Lines(_))
    }

    /// The file, device or sign that it was opened by.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// What comes next, waiting for it no longer than a tick of a live stream.
    pub(crate) fn wait(&mut self) -> SourceItem {
        match &mut self.kind {
            Kind::Recorded(recording) => {
                let Some((tick, invalid)) = recording.next() else {
                    return SourceItem::Ended;
                };
                self.invalid = invalid.or(self.invalid.take());
                SourceItem::Tick(tick)
            }
            Kind::Lines(lines) => {
                let mut line = Vec::new();
                match read_line(lines, &mut line) {
                    Ok(0) | Err(_) => SourceItem::Ended,
                    Ok(_) => {
                        let (tick, invalid) =
                            line_tick(&String::from_utf8_lossy(&line), self.reading);
                        self.invalid = invalid.or(self.invalid.take());
                        SourceItem::Tick(tick)
                    }
                }
            }
            Kind::Live(live) => {
                let item = live.wait();
                self.invalid = live.invalid.take().or(self.invalid.take());
                item
            }
        }
    }

    /// What has come by now from a device; `None` of what holds its readings, which waits for nobody.
    pub(crate) fn ready(&mut self) -> Option<Vec<SourceItem>> {
        match &mut self.kind {
            Kind::Live(live) => {
                let items = live.ready();
                self.invalid = live.invalid.take().or(self.invalid.take());
                Some(items)
            }
            _ => None,
        }
    }

    /// What was found since this was last asked where there was no reading, and what there should be.
    pub(crate) fn take_invalid(&mut self) -> Option<(String, ReadingKind)> {
        self.invalid.take().map(|found| (found, self.reading))
    }

    /// Leaves behind what belongs to the placement that was read: up to its end in a recording, all that has
    /// come by now from a device.
    pub(crate) fn leave_placement(&mut self) {
        match &mut self.kind {
            Kind::Recorded(recording) => recording.leave_placement(),
            Kind::Live(live) => {
                live.ready();
                live.invalid = None;
            }
            Kind::Lines(_) => {
                while let SourceItem::Tick(tick) = self.wait() {
                    if tick.ends_placement {
                        return;
                    }
                }
            }
        }
    }

    /// The recording, where it is one.
    pub(crate) fn recording(&self) -> Option<&Recording> {
        match &self.kind {
            Kind::Recorded(recording) => Some(recording),
            _ => None,
        }
    }

    /// Goes to a place in a recording.
    pub(crate) fn go_to(&mut self, at: usize) {
        if let Kind::Recorded(recording) = &mut self.kind {
            recording.go_to(at);
        }
    }

    /// Goes on with a recording where it was left; whether it is that one.
    pub(crate) fn resume_from(&mut self, position: &RecordingPosition) -> bool {
        let is_same = self
            .recording()
            .is_some_and(|recording| recording.matches(position));
        if is_same {
            self.go_to(position.taken);
        }
        is_same
    }
}

impl LiveDevice {
    fn quiet(&self) -> SourceItem {
        self.held.map_or(SourceItem::Silence, SourceItem::Tick)
    }

    fn wait(&mut self) -> SourceItem {
        let item = if let Some(tick) = self.pending.pop_front() {
            SourceItem::Tick(tick)
        } else {
            match self.batches.wait(TICK) {
                Taken::Batch(batch) => {
                    self.held = batch.held;
                    self.invalid = batch.invalid.or(self.invalid.take());
                    self.pending.extend(batch.ticks);
                    self.pending
                        .pop_front()
                        .map_or_else(|| self.quiet(), SourceItem::Tick)
                }
                Taken::Nothing => self.quiet(),
                Taken::Ended => SourceItem::Ended,
            }
        };
        self.until = Instant::now();
        item
    }

    fn ready(&mut self) -> Vec<SourceItem> {
        let mut items: Vec<SourceItem> = self.pending.drain(..).map(SourceItem::Tick).collect();
        let (batches, ended) = self.batches.take_all();
        for batch in batches {
            self.held = batch.held;
            self.invalid = batch.invalid.or(self.invalid.take());
            items.extend(batch.ticks.into_iter().map(SourceItem::Tick));
        }
        let now = Instant::now();
        if items.is_empty() && !ended {
            let silent = now.duration_since(self.until).as_millis() / TICK.as_millis();
            for _ in 0..silent.min(MOST_SILENT) {
                items.push(self.quiet());
                self.until += TICK;
            }
            if silent > MOST_SILENT {
                self.until = now;
            }
        } else {
            self.until = now;
        }
        if ended {
            items.push(SourceItem::Ended);
        }
        items
    }
}

fn kind(settings: &SourceSettings) -> Result<(Kind, ReadingKind), RecordError> {
    let path = &settings.path;
    let kind = settings.kind;
    if path.as_os_str() == "-" {
        if kind == Some(StreamKind::Events) {
            return Err(RecordError::PipedEvents);
        }
        let reading = reading_kind(kind.unwrap_or(StreamKind::Percent), settings.levels)?;
        let lines = Box::new(BufReader::new(std::io::stdin()));
        return Ok((Kind::Lines(lines), reading));
    }
    let name = path.display().to_string();
    let unreadable = |error: std::io::Error| RecordError::Source {
        path: name.clone(),
        reason: format!("the source could not be opened: {error}"),
        remedy: "check its name; devices may need their group's permission".into(),
    };
    let meta = std::fs::metadata(path).map_err(unreadable)?;
    if meta.is_dir() {
        return Err(RecordError::Folder { path: name });
    }
    if meta.is_file() {
        return recorded(path, &meta, settings)
            .map(|(recording, reading)| (Kind::Recorded(recording), reading));
    }
    let kind = kind.unwrap_or(if path.starts_with("/dev/input") {
        StreamKind::Events
    } else {
        StreamKind::Percent
    });
    let reading = reading_kind(kind, settings.levels)?;
    let file = File::open(path).map_err(unreadable)?;
    let (sender, batches) = batch_queue();
    let started = if kind == StreamKind::Events {
        let layout = settings
            .layout
            .unwrap_or(if cfg!(target_pointer_width = "64") {
                EventLayout::Bits64
            } else {
                EventLayout::Bits32
            });
        let send = move || send_events(file, layout, reading, &sender);
        thread::Builder::new().spawn(send)
    } else {
        let send = move || send_lines(file, reading, &sender);
        thread::Builder::new().spawn(send)
    };
    started.map_err(|error| RecordError::Source {
        path: path.display().to_string(),
        reason: format!("no thread can be started to wait for it: {error}"),
        remedy: "close other programs, or record it to a file and read that".into(),
    })?;
    let live = LiveDevice {
        batches,
        pending: VecDeque::new(),
        invalid: None,
        // Of a device nothing is known before it tells the first; so is a serial line in between.
        held: (kind == StreamKind::Events).then(Tick::default),
        until: Instant::now(),
    };
    Ok((Kind::Live(live), reading))
}

fn reading_kind(kind: StreamKind, levels: Option<u32>) -> Result<ReadingKind, RecordError> {
    match kind {
        StreamKind::Percent => Ok(ReadingKind::Percent),
        StreamKind::Fraction => Ok(ReadingKind::Fraction),
        StreamKind::Raw | StreamKind::Events => levels
            .map(|levels| ReadingKind::Raw {
                full: f64::from(levels - 1),
            })
            .ok_or(RecordError::NoLevels),
    }
}

fn recorded(
    path: &Path,
    meta: &std::fs::Metadata,
    settings: &SourceSettings,
) -> Result<(Recording, ReadingKind), RecordError> {
    let fail = |reason: &str, remedy: Remedy| RecordError::Source {
        path: path.display().to_string(),
        reason: reason.to_owned(),
        remedy,
    };
    if meta.len() > MOST_BYTES {
        return Err(fail(
            "the file is larger than 256 MiB",
            "cut it to the bench session".into(),
        ));
    }
    let bytes = std::fs::read(path).map_err(|error| {
        fail(
            &format!("the file could not be read: {error}"),
            "check its permissions".into(),
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
        let lines = text.lines().map(|line| line_tick(line, reading));
        return Ok((Recording::new(path, &bytes, lines), reading));
    }
    let Some(layout) = settings.layout.or_else(|| EventLayout::detect(&bytes)) else {
        return Err(fail(
            "the bytes are no input events of either layout",
            Remedy::from("record the device itself").or_set(Setting::ReadingsAs),
        ));
    };
    let mut decoder = EventDecoder::new(layout);
    let mut hold = Hold::default();
    let ticks = decoder
        .feed(&bytes)
        .into_iter()
        .flat_map(|report| hold.ticks(report))
        .map(|tick| scaled(tick, reading));
    Ok((Recording::new(path, &bytes, ticks), reading))
}

/// A blank line ends a placement; of a line without a number on the scale it is told what it holds.
fn line_tick(line: &str, reading: ReadingKind) -> (Tick, Option<String>) {
    let value = text_reading(line).and_then(|number| reading.reading(number));
    let is_blank = line.trim().is_empty();
    let tick = Tick {
        value,
        tilt: None,
        is_lifted: false,
        ends_placement: is_blank,
    };
    let invalid = (value.is_none() && !is_blank).then(|| quoted_line(line.trim()));
    (tick, invalid)
}

/// So much of a line as is told, without what would steer a terminal.
fn quoted_line(line: &str) -> String {
    let mut text: String = line
        .chars()
        .take(MOST_QUOTED)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if line.chars().count() > MOST_QUOTED {
        text.push('…');
    }
    text
}

fn scaled(tick: Tick, reading: ReadingKind) -> (Tick, Option<String>) {
    let value = tick.value.and_then(|count| reading.reading(count));
    let invalid = tick
        .value
        .filter(|_| value.is_none())
        .map(|count| count.to_string());
    (Tick { value, ..tick }, invalid)
}

/// The next line, or a part of one that is too long; as many bytes as were read.
fn read_line(lines: &mut impl BufRead, line: &mut Vec<u8>) -> std::io::Result<usize> {
    lines.take(MOST_LINE).read_until(b'\n', line)
}

fn send_events(
    mut file: File,
    layout: EventLayout,
    reading: ReadingKind,
    sender: &BatchSender<DeviceBatch>,
) {
    let mut decoder = EventDecoder::new(layout);
    let mut hold = Hold::default();
    let mut buffer = [0_u8; 24 * 64];
    while let Ok(count) = file.read(&mut buffer) {
        if count == 0 {
            return;
        }
        let reports = decoder.feed(&buffer[..count]);
        // Time passes by itself here: gaps need no filling.
        let (ticks, invalid): (Vec<Tick>, Vec<Option<String>>) = reports
            .into_iter()
            .filter_map(|report| hold.ticks(report).pop())
            .map(|tick| scaled(tick, reading))
            .unzip();
        let (held, _) = scaled(hold.held(), reading);
        let batch = DeviceBatch {
            ticks,
            held: Some(held),
            invalid: invalid.into_iter().flatten().last(),
        };
        if !sender.send(batch) {
            return;
        }
    }
}

fn send_lines(file: File, reading: ReadingKind, sender: &BatchSender<DeviceBatch>) {
    let mut lines = BufReader::new(file);
    let mut line = Vec::new();
    while read_line(&mut lines, &mut line).is_ok_and(|count| count > 0) {
        let (tick, invalid) = line_tick(&String::from_utf8_lossy(&line), reading);
        let batch = DeviceBatch {
            ticks: vec![tick],
            held: None,
            invalid,
        };
        if !sender.send(batch) {
            return;
        }
        line.clear();
    }
}
