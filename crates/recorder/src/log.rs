//! A measurement while it grows.

use std::fmt::Write as _;

use evenhand_measurement::Direction;

/// First line of every log, by which it is known again.
pub const MARK: &str = "# recorded by evenhand bench record";
const HEADER: &str = "force_gf,reported,seating,direction";

/// One sample.
#[derive(Clone, Debug, PartialEq)]
pub struct LogRow {
    /// Force, gf.
    pub force_gf: f64,
    /// Reading, 0..1.
    pub reading: f64,
    /// Seating, from 1.
    pub seating: u32,
    /// Whether the force was raised or lowered.
    pub direction: Direction,
    /// Scatter of the reading while it was watched, 0..1, and of how many ticks.
    pub settled: Option<(f64, usize)>,
    /// Comment lines after it that others wrote, each without its `#`.
    pub remarks: Vec<String>,
}

/// How far a recording was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordingPosition {
    /// Its readings that belong to samples kept, and to what was passed over before them.
    pub taken: usize,
    /// Its bytes by then; it may have grown since.
    pub bytes: u64,
    /// SHA-256 of those.
    pub sha256: String,
}

/// The log: lines before the table, and samples in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Log {
    /// Comment lines such as `# model = Dunlin`, each ending in a line break.
    pub head: String,
    /// Comment lines before the first sample, each without its `#`.
    pub remarks: Vec<String>,
    /// The samples.
    pub rows: Vec<LogRow>,
    /// The recording that was read last, and how far.
    pub position: Option<RecordingPosition>,
}

impl Log {
    /// The whole as the text of a measurement.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("{MARK}\n{}{HEADER}\n", self.head);
        remark(&mut text, &self.remarks);
        for row in &self.rows {
            let _ = writeln!(
                text,
                "{},{:.6},{},{}",
                tenth_of_milligrams(row.force_gf),
                row.reading,
                row.seating,
                row.direction.as_str()
            );
            if let Some((scatter, ticks)) = row.settled {
                let _ = writeln!(
                    text,
                    "# settled over {ticks} readings, scatter {:.3} %",
                    100.0 * scatter
                );
            }
            remark(&mut text, &row.remarks);
        }
        // At the end, so that no line of a sample ever moves.
        if let Some(position) = &self.position {
            let _ = writeln!(
                text,
                "# {} readings taken of a recording of {} bytes, SHA-256 {}",
                position.taken, position.bytes, position.sha256
            );
        }
        text
    }

    /// Reads a log again, to go on with it; `None` of a text that is none, with the line that is not understood.
    ///
    /// # Errors
    /// The number of the line.
    pub fn parse(text: &str) -> Result<Self, usize> {
        let mut lines = text.lines().enumerate();
        if lines.next().map(|(_, line)| line.trim_end()) != Some(MARK) {
            return Err(1);
        }
        let mut log = Self::default();
        let mut in_table = false;
        for (index, line) in lines {
            let number = index + 1;
            let line = line.trim_end_matches('\r');
            if !in_table {
                if line == HEADER {
                    in_table = true;
                } else if line.starts_with('#') {
                    let _ = writeln!(log.head, "{line}");
                } else {
                    return Err(number);
                }
            } else if let Some(position) = position(line) {
                log.position = Some(position);
            } else if let Some(comment) = line.strip_prefix('#') {
                match (log.rows.last_mut(), settled(comment)) {
                    (Some(row), Some(settled)) => row.settled = Some(settled),
                    (Some(row), None) => row.remarks.push(comment.to_owned()),
                    (None, _) => log.remarks.push(comment.to_owned()),
                }
            } else if !line.trim().is_empty() {
                log.rows.push(row(line).ok_or(number)?);
            }
        }
        if in_table {
            Ok(log)
        } else {
            Err(text.lines().count())
        }
    }

    /// Direction of a force after what was placed before it in a seating.
    #[must_use]
    pub fn direction(&self, force_gf: f64, seating: u32) -> Direction {
        let before = self.rows.last().filter(|row| row.seating == seating);
        match before {
            Some(row) if force_gf < row.force_gf => Direction::Unloading,
            // The same force again says nothing new of the direction.
            Some(row) if force_gf <= row.force_gf => row.direction,
            _ => Direction::Loading,
        }
    }
}

/// A force as it is written: no bench knows it better than 0.1 mgf.
fn tenth_of_milligrams(force_gf: f64) -> f64 {
    (force_gf * 1e4).round() / 1e4
}

fn remark(text: &mut String, remarks: &[String]) {
    for remark in remarks {
        let _ = writeln!(text, "#{remark}");
    }
}

fn settled(comment: &str) -> Option<(f64, usize)> {
    let rest = comment.trim().strip_prefix("settled over ")?;
    let (ticks, rest) = rest.split_once(" readings, scatter ")?;
    let scatter: f64 = rest.strip_suffix(" %")?.parse().ok()?;
    Some((scatter / 100.0, ticks.parse().ok()?))
}

fn position(line: &str) -> Option<RecordingPosition> {
    let rest = line.strip_prefix("# ")?;
    let (taken, rest) = rest.split_once(" readings taken of a recording of ")?;
    let (bytes, sha256) = rest.split_once(" bytes, SHA-256 ")?;
    let is_digest = sha256.len() == 64 && sha256.bytes().all(|b| b.is_ascii_hexdigit());
    is_digest.then_some(RecordingPosition {
        taken: taken.parse().ok()?,
        bytes: bytes.parse().ok()?,
        sha256: sha256.to_owned(),
    })
}

fn row(line: &str) -> Option<LogRow> {
    let cells: Vec<&str> = line.split(',').collect();
    let [force, reading, seating, direction] = cells[..] else {
        return None;
    };
    let direction = [Direction::Loading, Direction::Unloading]
        .into_iter()
        .find(|d| d.as_str() == direction)?;
    let force_gf: f64 = force.parse().ok()?;
    let reading: f64 = reading.parse().ok()?;
    (force_gf.is_finite() && (0.0..=1.0).contains(&reading)).then_some(LogRow {
        force_gf,
        reading,
        seating: seating.parse().ok()?,
        direction,
        settled: None,
        remarks: Vec::new(),
    })
}
