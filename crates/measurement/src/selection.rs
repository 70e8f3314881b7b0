//! Which samples of a file are used, and where a seating begins that the file does not declare.

use std::fmt;
use std::str::FromStr;

use evenhand_text::{Fault, Place, Remedy};

use crate::measurement::{Measurement, Seating};

/// A sample by its place in its file: the line, and which one of that line where it holds several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SamplePlace {
    /// Line, from 1.
    pub line: usize,
    /// Which sample of the line, from 1; left out where the line holds one.
    pub nth: Option<usize>,
}

impl FromStr for SamplePlace {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let whole = |part: &str| part.trim().parse::<usize>().ok().filter(|n| *n > 0);
        let (line, nth) = match text.split_once(':') {
            None => (whole(text), Some(None)),
            Some((line, nth)) => (whole(line), whole(nth).map(Some)),
        };
        match (line, nth) {
            (Some(line), Some(nth)) => Ok(Self { line, nth }),
            _ => Err("write the line of the sample, such as 12, or 12:2 for the second sample of line 12".to_owned()),
        }
    }
}

impl fmt::Display for SamplePlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.nth {
            None => write!(f, "{}", self.line),
            Some(nth) => write!(f, "{}:{nth}", self.line),
        }
    }
}

/// A place that was asked for, and where in the file it was written (nowhere for an option).
pub(crate) struct SampleRequest {
    pub(crate) place: SamplePlace,
    pub(crate) at: Option<Place>,
}

/// Samples that were asked for.
pub(crate) struct Selection {
    pub(crate) exclude: Vec<SampleRequest>,
    pub(crate) new_seatings: Vec<SampleRequest>,
}

fn fault(request: &SampleRequest, found: String, remedy: impl Into<Remedy>) -> Fault {
    let mut fault = Fault::of_file(found, remedy);
    fault.place.clone_from(&request.at);
    fault
}

/// The position of the sample at a place; `wish` says what is request of it.
fn find(
    measurement: &Measurement,
    request: &SampleRequest,
    wish: &str,
) -> Result<usize, Box<Fault>> {
    let place = request.place;
    let here: Vec<usize> = measurement
        .samples
        .iter()
        .enumerate()
        .filter(|(_, sample)| sample.line == place.line)
        .map(|(index, _)| index)
        .collect();
    let count = here.len();
    match (place.nth, count) {
        (_, 0) => {
            let lines = || measurement.samples.iter().map(|sample| sample.line);
            let (first, last) = (lines().min().unwrap_or(0), lines().max().unwrap_or(0));
            Err(Box::new(fault(
                request,
                format!("no sample in line {}, {wish}", place.line),
                format!("samples stand in lines {first} to {last}; name one of those lines"),
            )))
        }
        (None, 1) => Ok(here[0]),
        (Some(nth), _) if nth <= count => Ok(here[nth - 1]),
        _ => Err(Box::new(fault(
            request,
            format!(
                "{count} sample{} in line {}, but {place} {wish}",
                if count == 1 { "" } else { "s" },
                place.line,
            ),
            if count == 1 {
                format!("write {}", place.line)
            } else {
                format!("write {0}:1 to {0}:{count}", place.line)
            },
        ))),
    }
}

const EXCLUDED: &str = "which is to be excluded";
const BEGINS: &str = "with which a seating is to begin";

/// Begins a new seating at each place, then takes the excluded samples out of those that are used; what cannot be
/// done.
pub(crate) fn select(measurement: &mut Measurement, selection: &Selection) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut starts = Vec::new();
    for request in &selection.new_seatings {
        let start = match find(measurement, request, BEGINS) {
            Ok(start) => start,
            Err(fault) => {
                faults.push(*fault);
                continue;
            }
        };
        let seating = measurement.samples[start].seating;
        let earlier = |sample: &crate::Sample| sample.seating == seating;
        if measurement.samples[..start].iter().any(earlier) {
            starts.push(start);
        } else {
            faults.push(fault(
                request,
                format!("a seating begins with line {} already", request.place),
                "name the first sample after stylus or lever was moved",
            ));
        }
    }
    starts.sort_unstable();
    starts.dedup();
    for start in starts {
        split(measurement, start);
    }
    let mut out = vec![false; measurement.samples.len()];
    for request in &selection.exclude {
        match find(measurement, request, EXCLUDED) {
            Ok(index) => out[index] = true,
            Err(fault) => faults.push(*fault),
        }
    }
    if let (Some(request), true) = (selection.exclude.first(), out.iter().all(|out| *out)) {
        let found = "every sample is excluded".to_owned();
        faults.push(fault(request, found, "leave some samples in"));
    }
    if !faults.is_empty() {
        return faults;
    }
    let samples = std::mem::take(&mut measurement.samples);
    for (sample, out) in samples.into_iter().zip(out) {
        if out {
            measurement.excluded.push(sample);
        } else {
            measurement.samples.push(sample);
        }
    }
    faults
}

/// The sample at `start` and all later ones of its seating move to a seating of their own.
fn split(measurement: &mut Measurement, start: usize) {
    let seating = measurement.samples[start].seating;
    let direction = measurement.seatings[seating].direction;
    let taken = |index: i64| measurement.seatings.iter().any(|s| s.index == index);
    let largest = measurement.seatings.iter().map(|s| s.index).max();
    let next = largest.and_then(|largest| largest.checked_add(1));
    let index = next.or_else(|| (1..).find(|index| !taken(*index)));
    measurement.seatings.push(Seating {
        index: index.unwrap_or_default(),
        direction,
    });
    let new = measurement.seatings.len() - 1;
    for sample in &mut measurement.samples[start..] {
        if sample.seating == seating {
            sample.seating = new;
        }
    }
}
