//! Recordings as tables: a line for each point.

use evenhand_measurement::{
    ForceUnit, MOST_LEVELS, ReadAt, ReadingUnit, UNIT_IN_HEADER, reading_fraction,
    refuse_unit_labels,
};
use evenhand_text::{
    Fault, Faults, ReadAs, Remedy, Row, Setting, Table, TableFile, folded, quoted,
};

use crate::stroke::{Cutter, PressUnit, StrokePoint, Strokes};
use crate::table_spec::{Column, SPEC};

/// More points than this are refused.
const MOST_POINTS: usize = 5_000_000;
/// Time steps this long in a column of seconds are milliseconds, or no recording of a hand.
const LONG_STEP_S: f64 = 0.5;
/// A number of levels as it could be.
const USUAL_LEVELS: u32 = 8192;

/// The number of levels of raw readings, where it is known outside of the recording.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Levels {
    /// Set by the user for this recording, which may not say another.
    pub set: Option<u32>,
    /// Known of the stylus: counts where neither the recording nor the user says.
    pub of_stylus: Option<u32>,
}

/// Reads a recording from the bytes of a table: a header that names the columns, then a line for each point in order
/// of time. `x` and `y` (or `x_mm`, `y_mm`) are places, to the right and downwards; `t_s` or `t_ms` times (`t` is
/// taken as seconds); the press is a reading or a force, named as in a measurement; `stroke` is a number that changes
/// from stroke to stroke. All else is as people write tables. Raw readings need `# levels = 8192`, or the number
/// from `levels`.
///
/// # Errors
/// Everything that is wrong with the table: a header without a press, a cell that is no such value, times that run
/// backwards within a stroke, a table without a stroke, another number of levels than was set.
pub fn read_stroke_table(
    name: &str,
    bytes: &[u8],
    levels: Levels,
) -> Result<(Strokes, ReadAs), Faults> {
    let file = TableFile::parse(name, bytes, None, SPEC.example)?;
    let mut table = Table::read_unchosen(&file, &SPEC)?;
    let stated = table.count("levels", &(2..=MOST_LEVELS), USUAL_LEVELS, levels.set);
    let levels = stated.or(levels.of_stylus);
    refuse_unit_labels(&mut table, UNIT_IN_HEADER);
    let read_at = read_at(&mut table);
    let columns = Columns::of(&mut table);
    let mut cutter = Cutter::new(columns.stroke.is_some());
    let mut times = Times::default();
    for (count, row) in table.rows().enumerate() {
        if table.is_hopeless() {
            break;
        }
        if count == MOST_POINTS {
            let found = format!("more than {MOST_POINTS} points");
            table.fault(Fault::at(row.place(), found, "", "split the recording"));
            break;
        }
        let Some((number, point)) = columns.point(&mut table, &row, levels) else {
            continue;
        };
        if let Some(now) = point.time_s
            && let Some(before) = times.push(number, now)
        {
            table.fault(Fault::at(
                row.place(),
                format!("a time of {now} s after one of {before} s"),
                "",
                "write the points in order of time",
            ));
        }
        cutter.push(number, point);
    }
    columns.check(&mut table, levels);
    let strokes = Strokes {
        notes: times.notes(),
        strokes: cutter.finish(),
        press_unit: columns.press_unit(),
        levels: levels.filter(|_| columns.press_unit() == PressUnit::Reading),
        has_places: columns.x.is_some() && columns.y.is_some(),
        tells_touch: columns.stroke.is_some(),
        read_at,
    };
    if strokes.is_empty() && !table.has_faults() {
        table.fault(Fault::at(
            table.header_line(),
            "a table without a point at which the nib touches",
            "",
            "record some strokes first",
        ));
    }
    Ok((strokes, table.finish()?))
}

/// Where readings were taken, where a remark says so.
fn read_at(table: &mut StrokeTable<'_>) -> Option<ReadAt> {
    let remark = table.remark("read_at")?.clone();
    let place = ReadAt::from_word(&remark.value);
    if place.is_none() {
        table.fault(Fault::at(
            remark.place,
            quoted(&remark.value),
            "device, browser or program",
            "write where readings were taken: # read_at = device",
        ));
    }
    place
}

type StrokeTable<'t> = Table<'t, Column>;

/// Where the columns are.
struct Columns {
    x: Option<usize>,
    y: Option<usize>,
    time: Option<usize>,
    stroke: Option<usize>,
    /// The press, and whether it is a force.
    press: Option<(usize, bool)>,
}

impl Columns {
    fn of(table: &mut StrokeTable<'_>) -> Self {
        let (reading, force) = (table.column(Column::Reading), table.column(Column::Force));
        if let (Some(reading), Some(force)) = (reading, force) {
            table.fault(Fault::at(
                table.header_place(reading.max(force)),
                "a column of readings beside one of forces",
                "",
                "keep one of them: a recording has one press",
            ));
        }
        let press = table.needed_one_of(&[Column::Reading, Column::Force]);
        let columns = Self {
            x: table.column(Column::X),
            y: table.column(Column::Y),
            time: table.column(Column::Time),
            stroke: table.column(Column::Stroke),
            press: press.map(|at| (at, reading.is_none())),
        };
        if columns.press_unit() == PressUnit::ForceGf {
            check_direction(table);
        }
        columns
    }

    fn press_unit(&self) -> PressUnit {
        match self.press {
            Some((_, true)) => PressUnit::ForceGf,
            _ => PressUnit::Reading,
        }
    }

    /// The number of a point's stroke and the point, as far as its cells can be read; nothing without a press.
    fn point<'t>(
        &self,
        table: &mut StrokeTable<'t>,
        row: &Row<'t>,
        levels: Option<u32>,
    ) -> Option<(Option<i64>, StrokePoint)> {
        let cells = table.cells(row)?;
        // Every cell is looked at, so that all that is wrong is told.
        let mut number = |at: Option<usize>| table.number(row, &cells, at?);
        let (x, y, time) = (number(self.x), number(self.y), number(self.time));
        let press = number(self.press.map(|(at, _)| at));
        let stroke = self.stroke.and_then(|at| table.whole(row, &cells, at));
        let press = match (self.press, press) {
            (Some((at, is_force)), Some(value)) => {
                let unit = table.unit_so_far(at);
                let press = if is_force {
                    force_gf(value, unit)
                } else {
                    reading(value, unit, levels)
                };
                match press {
                    Ok(press) => press,
                    Err((found, remedy)) => {
                        table.fault(Fault::at(row.place_of(&cells[at]), found, "", remedy));
                        return None;
                    }
                }
            }
            _ => return None,
        };
        let unit_s = match self.time.and_then(|at| table.unit_so_far(at)) {
            Some("ms") => 1e-3,
            _ => 1.0,
        };
        let point = StrokePoint {
            x: x.unwrap_or(0.0),
            y: y.unwrap_or(0.0),
            time_s: time.map(|time| time * unit_s),
            press,
        };
        Some((stroke, point))
    }

    /// What only shows when all rows are read.
    fn check(&self, table: &mut StrokeTable<'_>, levels: Option<u32>) {
        if let (Some(x), Some(y)) = (self.x, self.y) {
            let units = [x, y].map(|at| table.unit(at));
            if units[0] != units[1] {
                let name = |unit: Option<&str>| unit.unwrap_or("no unit").to_owned();
                table.fault(Fault::at(
                    table.header_place(y),
                    format!("y in {}, but x in {}", name(units[1]), name(units[0])),
                    "",
                    "write both in one unit: x and y, or x_mm and y_mm",
                ));
            }
        }
        if let Some((at, false)) = self.press
            && levels.is_none()
            && table.remark("levels").is_none()
            && table.unit(at) == Some(ReadingUnit::Raw.word())
        {
            table.fault(Fault::at(
                table.header_place(at),
                "raw readings without a number of levels",
                "",
                Remedy::from("add a line # levels = 8192 with the number of your stylus")
                    .or_set(Setting::Levels),
            ));
        }
    }
}

/// Refuses forces that do not act along the stylus.
fn check_direction(table: &mut StrokeTable<'_>) {
    const ALONG: &str = "write forces along the stylus, and # force_acts = along-stylus";
    let acts = table.remark("force_acts");
    let is_along = acts.map(|remark| folded(&remark.value) == "alongstylus");
    let tilt = table
        .remark("tilt_deg")
        .filter(|remark| remark.value.parse() != Ok(0.0));
    let wrong = match (is_along, acts, tilt) {
        (Some(true), ..) => return,
        (Some(false), Some(remark), _) => (remark, "force_acts"),
        (None, _, Some(remark)) => (remark, "tilt_deg"),
        _ => return,
    };
    let (remark, key) = wrong;
    let found = format!(
        "{key} = {} beside a column of forces",
        quoted(&remark.value)
    );
    let place = remark.place.clone();
    table.fault(Fault::at(place, found, "forces along the stylus", ALONG));
}

/// What was found that cannot be meant, and what to write.
type Wrong = (String, String);

// Where no unit is known, that is a fault of the column; any will do.
fn force_gf(value: f64, unit: Option<&str>) -> Result<f64, Wrong> {
    if value < 0.0 {
        return Err((
            format!("a negative force, {value}"),
            "write the force pressing the nib as a positive number".to_owned(),
        ));
    }
    let unit = unit.and_then(ForceUnit::from_word).unwrap_or_default();
    Ok(unit.force(value).gf())
}

fn reading(value: f64, unit: Option<&str>, levels: Option<u32>) -> Result<f64, Wrong> {
    match unit.and_then(ReadingUnit::from_word) {
        Some(ReadingUnit::Raw) if levels.is_none() => Ok(value),
        Some(unit) => reading_fraction(value, unit, levels),
        None => Ok(value),
    }
}

/// Times of points as they come.
#[derive(Default)]
struct Times {
    last: Option<(Option<i64>, f64)>,
    /// Between points of one stroke, s.
    steps: Vec<f64>,
}

impl Times {
    /// The time before in the same stroke, where this one lies before it.
    fn push(&mut self, number: Option<i64>, now: f64) -> Option<f64> {
        let before = self
            .last
            .filter(|(last, _)| *last == number)
            .map(|(_, time)| time);
        self.last = Some((number, now));
        let before = before?;
        self.steps.push(now - before);
        (now < before).then_some(before)
    }

    fn notes(mut self) -> Vec<String> {
        let middle = self.steps.len() / 2;
        if self.steps.is_empty() {
            return Vec::new();
        }
        let (_, step, _) = self.steps.select_nth_unstable_by(middle, f64::total_cmp);
        if *step > LONG_STEP_S {
            return vec![format!(
                "points lie {step} s apart: if these are milliseconds, name the column t_ms"
            )];
        }
        Vec::new()
    }
}
