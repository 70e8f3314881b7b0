//! A source that holds all its readings already.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use evenhand_text::sha256_hex;

use crate::hold::Tick;
use crate::log::RecordingPosition;

/// Readings that are no readings and are remembered with their words; the first ones are told.
const MOST_INVALID: usize = 1000;

/// A recording, and how far it was read.
pub(crate) struct Recording {
    path: PathBuf,
    bytes: u64,
    sha256: String,
    ticks: Vec<Tick>,
    /// What was found where there is no reading, by tick.
    invalid: BTreeMap<usize, String>,
    at: usize,
}

impl Recording {
    pub(crate) fn new(
        path: &Path,
        bytes: &[u8],
        all: impl Iterator<Item = (Tick, Option<String>)>,
    ) -> Self {
        let mut ticks = Vec::new();
        let mut invalid = BTreeMap::new();
        for (tick, found) in all {
            if let Some(found) = found.filter(|_| invalid.len() < MOST_INVALID) {
                invalid.insert(ticks.len(), found);
            }
            ticks.push(tick);
        }
        Self {
            path: path.to_path_buf(),
            bytes: bytes.len() as u64,
            sha256: sha256_hex(bytes),
            ticks,
            invalid,
            at: 0,
        }
    }

    /// The next tick, with what was found where it is no reading; `None` at the end.
    pub(crate) fn next(&mut self) -> Option<(Tick, Option<String>)> {
        let tick = *self.ticks.get(self.at)?;
        let invalid = self.invalid.get(&self.at).cloned();
        self.at += 1;
        Some((tick, invalid))
    }

    pub(crate) fn at(&self) -> usize {
        self.at
    }

    pub(crate) fn go_to(&mut self, at: usize) {
        self.at = at.min(self.ticks.len());
    }

    /// Goes to the end of the placement that is being read.
    pub(crate) fn leave_placement(&mut self) {
        let rest = self.ticks.get(self.at..).unwrap_or_default();
        let Some(end) = rest.iter().position(|tick| tick.ends_placement) else {
            self.at = self.ticks.len();
            return;
        };
        self.at += end;
        // Where the tick that ends one placement begins the next it stays; a blank line has no reading.
        if rest.get(end).is_some_and(|tick| tick.value.is_none()) {
            self.at += 1;
        }
        // A recorded pen that is lifted is on its way to the next placement.
        while self.ticks.get(self.at).is_some_and(|tick| tick.is_lifted) {
            self.at += 1;
        }
    }

    pub(crate) fn position(&self) -> RecordingPosition {
        RecordingPosition {
            taken: self.at,
            bytes: self.bytes,
            sha256: self.sha256.clone(),
        }
    }

    /// Whether this is the recording that was read before, which may have grown since.
    pub(crate) fn matches(&self, position: &RecordingPosition) -> bool {
        if position.bytes == self.bytes {
            return position.sha256 == self.sha256;
        }
        let bytes = std::fs::read(&self.path).unwrap_or_default();
        let before = usize::try_from(position.bytes)
            .ok()
            .and_then(|count| bytes.get(..count));
        before.is_some_and(|before| sha256_hex(before) == position.sha256)
    }
}
