//! Reading map files: their keys, and what each has to be.

use std::path::Path;

use evenhand_inversion::{Joining, StylusError};
use evenhand_measurement::{HoldAngle, SamplePlace};
use evenhand_preview::{MOST_HANDS, WidthLaw, WidthScale};
use evenhand_receiver::{MapInterpolation, Profile};
use evenhand_text::{Faults, Node, Rule, TomlFile, Value, clean, quoted, read_bytes, utf8};

use crate::failure::Failure;
use crate::interval::OpenInterval;
use crate::limits::{LEVELS, RESAMPLES, is_confidence, is_output_floor};
use crate::map_file::{
    AchievedTable, FORMAT, HandTable, IdealTable, MapFile, MapTable, SettingsTable, SourceTable,
    StrokesTable, StylusTable, TunedTable, VERSION,
};

/// A map file larger than this is none.
const MOST_BYTES: u64 = 16 << 20;
/// What a map file has, for a text that is none.
const OUTLINE: &str =
    "name a file that a map was saved to: it has format, version, [source], [settings] and [map]";
/// What mends a figure that nobody types.
const AGAIN: &str = "undo the change, or make the map again from its measurement";
/// Largest force of a hand, gf.
const MOST_FORCE_GF: f64 = 100_000.0;

impl MapFile {
    /// Reads the text of a map file; `file` is its name for messages.
    ///
    /// # Errors
    /// A map of another format, whatever else it holds; else everything that is wrong.
    pub fn parse(text: &str, file: &str) -> Result<Self, Faults> {
        let toml = TomlFile::parse(file, text, OUTLINE)?;
        if is_other_file(&toml) {
            return toml.finish(None);
        }
        let map = map_file(&toml.root());
        toml.finish(map)
    }

    /// Reads a map file; gives its text as well.
    ///
    /// # Errors
    /// A file that cannot be read, and what [`MapFile::parse`] refuses.
    pub fn read(path: &Path) -> Result<(Self, String), Failure> {
        let name = path.display().to_string();
        let bytes = read_bytes(path, "a map file", MOST_BYTES)?;
        let file = Self::parse(&utf8(&name, &bytes)?, &name)?;
        // A byte-order mark and another encoding are no part of the text that is read, but of the file.
        Ok((file, String::from_utf8_lossy(&bytes).into_owned()))
    }
}

/// Whether this is of another format, or no map at all, which is then told; its keys are not looked at.
fn is_other_file(toml: &TomlFile<'_>) -> bool {
    let root = toml.root();
    let Some(format) = root.value("format") else {
        let is_map = root.has("map") || root.has("achieved");
        if !is_map {
            toml.fault_of_file("this is not a map file: it has no format", OUTLINE);
        }
        return !is_map;
    };
    // What is no whole number is told with the other keys.
    let Ok(number) = format.written().replace('_', "").parse::<i128>() else {
        return false;
    };
    if number == i128::from(FORMAT) {
        return false;
    }
    let version = root.value("version").filter(Value::is_text);
    let writer = version.map_or_else(String::new, |version| {
        let version = version.written().trim_matches(['"', '\'']);
        format!(", written by evenhand {}", clean(version))
    });
    let remedy = if number > i128::from(FORMAT) {
        "use that version of evenhand or a later one, or make the map again from its measurement with this one"
    } else {
        "make the map again from its measurement"
    };
    toml.fault(
        format.span(),
        format!("a map of format {number}{writer}"),
        format!("format {FORMAT}, which evenhand {VERSION} reads"),
        remedy,
    );
    true
}

fn map_file(root: &Node<'_, '_>) -> Option<MapFile> {
    const NEEDED: [&str; 9] = [
        "format", "version", "source", "stylus", "settings", "achieved", "map", "ideal", "receiver",
    ];
    root.only(&[&NEEDED[..], &["tuned", "strokes", "before", "after"]].concat());
    root.needs(&NEEDED, AGAIN);
    let format = root.whole("format", (1, u64::from(FORMAT)), AGAIN);
    let version = text(root, "version");
    let source = root.table("source").and_then(|table| source(&table));
    let stylus = root.table("stylus").and_then(|table| stylus(&table));
    let settings = root.table("settings").and_then(|table| settings(&table));
    let achieved = root.table("achieved").and_then(|table| achieved(&table));
    let receiver = root
        .table("receiver")
        .and_then(|table| Profile::of_table(&table));
    let map = root
        .table("map")
        .and_then(|table| map(&table, receiver.as_ref()));
    let points = map.as_ref().map(|map| map.control_points.len());
    let tuned = optional(root, "tuned", |table| tuned(table, points));
    let strokes = optional(root, "strokes", strokes);
    let before = optional(root, "before", stage);
    let after = optional(root, "after", stage);
    let ideal = root.table("ideal").and_then(|table| {
        table.only(&["points"]);
        table.needs(&["points"], AGAIN);
        coordinates(&table, "points")
    });
    Some(MapFile {
        format: u32::try_from(format?.value).ok()?,
        version: version?,
        source: source?,
        stylus: stylus?,
        settings: settings?,
        achieved: achieved?,
        map: map?,
        tuned: tuned?,
        strokes: strokes?,
        before: before?,
        after: after?,
        ideal: IdealTable { points: ideal? },
        receiver: receiver?,
    })
}

/// A table that may not be there; `None` where it is wrong.
fn optional<T>(
    parent: &Node<'_, '_>,
    key: &str,
    read: impl FnOnce(&Node<'_, '_>) -> Option<T>,
) -> Option<Option<T>> {
    if !parent.has(key) {
        return Some(None);
    }
    parent.table(key).and_then(|table| read(&table)).map(Some)
}

/// A value that may not be set; `None` where it is wrong.
fn maybe<T>(
    table: &Node<'_, '_>,
    key: &str,
    read: impl FnOnce(&str) -> Option<T>,
) -> Option<Option<T>> {
    if table.has(key) {
        read(key).map(Some)
    } else {
        Some(None)
    }
}

fn text(table: &Node<'_, '_>, key: &str) -> Option<String> {
    table.text(key).map(|text| text.value)
}

fn number(table: &Node<'_, '_>, key: &str, rule: Rule) -> Option<f64> {
    table.number(key, rule, AGAIN).map(|number| number.value)
}

/// A number that keeps a rule of its own.
fn number_that(
    table: &Node<'_, '_>,
    key: &str,
    holds: impl FnOnce(f64) -> bool,
    expected: &str,
    remedy: &str,
) -> Option<f64> {
    let found = table.number(key, Rule::Finite, remedy)?.value;
    if holds(found) {
        return Some(found);
    }
    table.value(key)?.wrong(key, expected, remedy)
}

fn levels(table: &Node<'_, '_>, key: &str) -> Option<u32> {
    let limits = (u64::from(*LEVELS.start()), u64::from(*LEVELS.end()));
    let found = table.whole(key, limits, "write the number of levels, such as 8192")?;
    u32::try_from(found.value).ok()
}

/// A digest as [`evenhand_text::sha256_hex`] writes it.
fn digest(table: &Node<'_, '_>, key: &str) -> Option<String> {
    let found = table.text(key)?;
    let is_hex = |c: char| matches!(c, '0'..='9' | 'a'..='f');
    if found.value.len() == 64 && found.value.chars().all(is_hex) {
        return Some(found.value);
    }
    let expected = "a SHA-256 digest of 64 small hexadecimal digits";
    table.value(key)?.wrong(key, expected, AGAIN)
}

/// Places of samples, kept as they are written.
fn places(table: &Node<'_, '_>, key: &str) -> Option<Vec<String>> {
    const REMEDY: &str =
        "write the lines of the samples, such as [\"12\"], or [\"12:2\"] for the second of line 12";
    if !table.has(key) {
        return Some(Vec::new());
    }
    let listed = table.list(key, REMEDY)?;
    let places: Vec<String> = listed
        .iter()
        .filter_map(|place| {
            let text = place.text(key)?.value;
            if text.parse::<SamplePlace>().is_ok() {
                Some(text)
            } else {
                place.wrong(key, "the line of a sample", REMEDY)
            }
        })
        .collect();
    (places.len() == listed.len()).then_some(places)
}

/// Names of columns.
fn names(table: &Node<'_, '_>, key: &str) -> Option<Vec<String>> {
    if !table.has(key) {
        return Some(Vec::new());
    }
    let remedy = "write the names of columns, such as [\"Force (gf)\"]";
    let listed = table.list(key, remedy)?;
    let names: Vec<String> = listed
        .iter()
        .filter_map(|name| Some(name.text(key)?.value))
        .collect();
    (names.len() == listed.len()).then_some(names)
}

/// Points `[input, output]`, all within 0..1.
fn coordinates(table: &Node<'_, '_>, key: &str) -> Option<Vec<[f64; 2]>> {
    let listed = table.list(key, AGAIN)?;
    let points: Vec<[f64; 2]> = listed
        .iter()
        .filter_map(|pair| pair.pair_of(key, Rule::Between(0.0, 1.0), AGAIN))
        .map(|pair| pair.value)
        .collect();
    (points.len() == listed.len()).then_some(points)
}

fn source(table: &Node<'_, '_>) -> Option<SourceTable> {
    table.only(&[
        "file",
        "sha256",
        "levels",
        "hand",
        "hand_sha256",
        "exclude",
        "new_seatings",
        "columns",
        "sheet",
    ]);
    table.needs(&["file", "sha256"], AGAIN);
    let file = text(table, "file");
    let sha256 = digest(table, "sha256");
    let given = maybe(table, "levels", |key| levels(table, key));
    let hand = maybe(table, "hand", |key| text(table, key));
    let hand_sha256 = maybe(table, "hand_sha256", |key| digest(table, key));
    let exclude = places(table, "exclude");
    let new_seatings = places(table, "new_seatings");
    let columns = names(table, "columns");
    let sheet = maybe(table, "sheet", |key| text(table, key));
    Some(SourceTable {
        file: file?,
        sha256: sha256?,
        levels: given?,
        hand: hand?,
        hand_sha256: hand_sha256?,
        exclude: exclude?,
        new_seatings: new_seatings?,
        columns: columns?,
        sheet: sheet?,
    })
}

fn stylus(table: &Node<'_, '_>) -> Option<StylusTable> {
    table.only(&["model", "unit", "levels"]);
    let model = maybe(table, "model", |key| text(table, key));
    let unit = maybe(table, "unit", |key| text(table, key));
    let levels = maybe(table, "levels", |key| levels(table, key));
    Some(StylusTable {
        model: model?,
        unit: unit?,
        levels: levels?,
    })
}

fn settings(table: &Node<'_, '_>) -> Option<SettingsTable> {
    const FORCE: Rule = Rule::NotNegative;
    table.only(&[
        "full_at_gf",
        "light_at_gf",
        "target",
        "target_points",
        "target_interpolation",
        "output_floor",
        "hold_angle_deg",
        "resamples",
        "confidence",
        "seed",
    ]);
    table.needs(
        &["full_at_gf", "target", "resamples", "confidence", "seed"],
        AGAIN,
    );
    let full_at_gf = number(table, "full_at_gf", FORCE);
    let light_at_gf = maybe(table, "light_at_gf", |key| number(table, key, FORCE));
    let target = text(table, "target");
    let target_points = maybe(table, "target_points", |key| target_points(table, key));
    let names = Joining::ALL.map(|joining| (joining.as_str(), joining));
    let target_interpolation = maybe(table, "target_interpolation", |key| {
        Some(table.choice(key, &names)?.value.to_string())
    });
    let output_floor = maybe(table, "output_floor", |key| {
        number_that(
            table,
            key,
            is_output_floor,
            "a part of full output from 0 to below 0.95",
            "write for example output_floor = 0.05",
        )
    });
    let hold_angle_deg = maybe(table, "hold_angle_deg", |key| {
        number_that(
            table,
            key,
            |degrees| HoldAngle::from_degrees(degrees).is_some(),
            "an angle from 5 to 90 degrees",
            "write the angle between stylus and surface, such as hold_angle_deg = 45",
        )
    });
    let (fewest, most) = (*RESAMPLES.start() as u64, *RESAMPLES.end() as u64);
    let resamples = table.whole("resamples", (fewest, most), "write resamples = 1000");
    let confidence = number_that(
        table,
        "confidence",
        is_confidence,
        "a number above 0 and below 1",
        "write for example confidence = 0.95",
    );
    let seed = table.whole("seed", (0, u64::MAX), "write for example seed = 1");
    let settings = SettingsTable {
        full_at_gf: full_at_gf?,
        light_at_gf: light_at_gf?,
        target: target?,
        target_points: target_points?,
        target_interpolation: target_interpolation?,
        output_floor: output_floor?,
        hold_angle_deg: hold_angle_deg?,
        resamples: resamples?.value,
        confidence: confidence?,
        seed: seed?.value,
    };
    check_target(table, &settings);
    Some(settings)
}

fn target_points(table: &Node<'_, '_>, key: &str) -> Option<Vec<[f64; 2]>> {
    const REMEDY: &str = "write points that rise from [0, 0] to [1, 1]";
    let listed = table.list(key, REMEDY)?;
    let points: Vec<[f64; 2]> = listed
        .iter()
        .filter_map(|pair| pair.pair(key, REMEDY))
        .map(|pair| pair.value)
        .collect();
    (points.len() == listed.len()).then_some(points)
}

/// A target is a formula by its name, or points with what joins them.
fn check_target(table: &Node<'_, '_>, settings: &SettingsTable) {
    let drawn = ["target_points", "target_interpolation"];
    let key = if drawn.iter().any(|key| table.has(key)) {
        if drawn.iter().any(|key| !table.has(key)) {
            table.needs(&drawn, AGAIN);
            return;
        }
        "target_points"
    } else {
        "target"
    };
    if let Err(error) = settings.target_shape() {
        table.fault(table.span_of(key), error.to_string(), "", error.help());
    }
}

fn achieved(table: &Node<'_, '_>) -> Option<AchievedTable> {
    const NUMBERS: [&str; 8] = [
        "light_at_gf",
        "full_at_gf",
        "max_error",
        "rms_error",
        "compile_max_error",
        "compile_lower_bound",
        "largest_step",
        "largest_gain",
    ];
    const OTHERS: [&str; 2] = ["distinct_outputs", "full_output_force_gf"];
    let needed = [&NUMBERS[..], &OTHERS[..]].concat();
    table.only(&[&needed[..], &["stylus_error"]].concat());
    table.needs(&needed, AGAIN);
    let numbers = NUMBERS.map(|key| number(table, key, Rule::NotNegative));
    let distinct_outputs = table.whole("distinct_outputs", (0, u64::MAX), AGAIN);
    let stylus_error = maybe(table, "stylus_error", |key| {
        const KEYS: [&str; 2] = ["median", "high"];
        let table = table.table(key)?;
        table.only(&KEYS);
        table.needs(&KEYS, AGAIN);
        let [median, high] = KEYS.map(|key| number(&table, key, Rule::NotNegative));
        Some(StylusError {
            median: median?,
            high: high?,
        })
    });
    let full_output = table.table("full_output_force_gf").and_then(|table| {
        const KEYS: [&str; 3] = ["estimate", "low", "high"];
        table.only(&KEYS);
        let [estimate, low, high] =
            KEYS.map(|key| maybe(&table, key, |key| number(&table, key, Rule::NotNegative)));
        Some(OpenInterval {
            estimate: estimate?,
            low: low?,
            high: high?,
        })
    });
    let [
        light,
        full,
        max_error,
        rms_error,
        compiled,
        bound,
        step,
        gain,
    ] = numbers;
    Some(AchievedTable {
        light_at_gf: light?,
        full_at_gf: full?,
        max_error: max_error?,
        rms_error: rms_error?,
        stylus_error: stylus_error?,
        compile_max_error: compiled?,
        compile_lower_bound: bound?,
        distinct_outputs: distinct_outputs?.value,
        largest_step: step?,
        largest_gain: gain?,
        full_output_force_gf: full_output?,
    })
}

/// Points with what joins them.
fn curve(table: &Node<'_, '_>) -> Option<MapTable> {
    table.only(&["interpolation", "exponent", "control_points"]);
    table.needs(&["interpolation", "control_points"], AGAIN);
    let names = MapInterpolation::ALL.map(|kind| (kind.as_str(), kind));
    let interpolation = table.choice("interpolation", &names);
    let exponent = maybe(table, "exponent", |key| number(table, key, Rule::Positive));
    match &interpolation {
        Some(kind) if kind.value == MapInterpolation::Power => table.needs(&["exponent"], AGAIN),
        Some(kind) => table.only_of_kind(&["exponent"], &[], kind.value.as_str()),
        None => {}
    }
    let control_points = coordinates(table, "control_points")?;
    if control_points.len() < 2 {
        let found = format!("{} control points", control_points.len());
        let place = table.span_of("control_points");
        table.fault(place, found, "two or more", AGAIN);
        return None;
    }
    Some(MapTable {
        interpolation: interpolation?.value.to_string(),
        exponent: exponent?,
        control_points,
    })
}

/// The map itself, whose points are joined as its receiver joins them.
fn map(table: &Node<'_, '_>, receiver: Option<&Profile>) -> Option<MapTable> {
    let map = curve(table)?;
    let wanted = receiver.map(|profile| profile.interpolation().as_str());
    if let Some(wanted) = wanted.filter(|wanted| *wanted != map.interpolation) {
        table.fault(
            table.span_of("interpolation"),
            format!("interpolation = {}", quoted(&map.interpolation)),
            format!("{wanted}, as the receiver of this map has it"),
            format!("write interpolation = \"{wanted}\""),
        );
        return None;
    }
    Some(map)
}

/// A curve before or after the map.
fn stage(table: &Node<'_, '_>) -> Option<MapTable> {
    let curve = curve(table)?;
    match curve.stage() {
        Ok(_) => Some(curve),
        Err(reason) => {
            let found = format!("the points make no curve: {reason}");
            table.fault(table.span_of("control_points"), found, "", AGAIN);
            None
        }
    }
}

/// `points` is how many control points there are, where they are sound.
fn tuned(table: &Node<'_, '_>, points: Option<usize>) -> Option<TunedTable> {
    table.only(&["pinned", "optimum_max_error"]);
    table.needs(&["pinned", "optimum_max_error"], AGAIN);
    let optimum_max_error = number(table, "optimum_max_error", Rule::NotNegative);
    let last = points.map_or(u64::MAX, |points| points as u64);
    let remedy =
        "write which points stay while the others are solved, counted from 1, such as [2, 5]";
    let listed = table.list("pinned", remedy)?;
    let pinned: Vec<usize> = listed
        .iter()
        .filter_map(|point| point.whole("pinned", (1, last), remedy))
        .filter_map(|point| usize::try_from(point.value).ok())
        .collect();
    Some(TunedTable {
        pinned: (pinned.len() == listed.len()).then_some(pinned)?,
        optimum_max_error: optimum_max_error?,
    })
}

fn strokes(table: &Node<'_, '_>) -> Option<StrokesTable> {
    const KEYS: [&str; 4] = ["least_width", "greatest_width", "width_law", "hands"];
    table.only(&KEYS);
    table.needs(&KEYS, AGAIN);
    let widths = Rule::Between(0.0, WidthScale::WIDEST);
    let remedy = "write for example least_width = 1 and greatest_width = 24";
    let least = table.number("least_width", widths, remedy);
    let greatest = table.number("greatest_width", widths, remedy);
    let laws = WidthLaw::ALL.map(|law| (law.as_str(), law));
    let law = table.choice("width_law", &laws);
    let hands: Vec<Option<HandTable>> = table.tables("hands").iter().map(hand).collect();
    if hands.len() > MOST_HANDS {
        let found = format!("{} forces of a hand", hands.len());
        let expected = format!("{MOST_HANDS} at most");
        table.fault(table.span_of("hands"), found, expected, "remove some");
    }
    let (least, greatest, law) = (least?.value, greatest?.value, law?.value);
    if WidthScale::new(least, greatest, law).is_none() {
        table.fault(
            table.span_of("greatest_width"),
            format!("widths from {least} to {greatest}"),
            "widths that grow with the output, the greatest above 0",
            remedy,
        );
        return None;
    }
    Some(StrokesTable {
        least_width: least,
        greatest_width: greatest,
        width_law: law.as_str().to_owned(),
        hands: hands.into_iter().collect::<Option<_>>()?,
    })
}

fn hand(table: &Node<'_, '_>) -> Option<HandTable> {
    table.only(&["name", "force_gf"]);
    table.needs(&["name", "force_gf"], AGAIN);
    let name = text(table, "name");
    let force_gf = number_that(
        table,
        "force_gf",
        |force| force > 0.0 && force <= MOST_FORCE_GF,
        "a force above 0 up to 100000 gf",
        "write for example force_gf = 120",
    );
    Some(HandTable {
        name: name?,
        force_gf: force_gf?,
    })
}
