//! Tables as people write them: bends that mean the same give the same samples to the last digit, and bends that could
//! mean something else are refused.

use evenhand_measurement::{Direction, Measurement, ReadOptions, parse_measurement};
use evenhand_text::{Faults, Setting};
use proptest::prelude::*;

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::bends::{Bend, common, each_cell, each_row, listed};
use support::cases::{changed, rows};
use support::faults::places;

/// A plain table: awkward digits, a zero, a full reading, rows out of order.
const PLAIN: &str = "\
# model = Dunlin
# unit = 01
# notes = two, three; four
force_gf,reported_percent,seating,direction
0,0,1,loading
12.5,3.25,1,loading
150,71.3,1,loading
33.3,12.7,2,unloading
0.7,0.1,2,unloading
200.25,100,2,loading
";

fn parse(bytes: &[u8], options: &ReadOptions) -> Result<Measurement, Faults> {
    parse_measurement("m.csv", bytes, options).map(|(measurement, _)| measurement)
}

fn read(bytes: &[u8]) -> Result<Measurement, Faults> {
    parse(bytes, &ReadOptions::default())
}

const HEADER: &str = "force_gf,reported_percent,seating,direction";

/// What the samples are, bit by bit.
fn samples(measurement: &Measurement) -> Vec<(u64, u64, i64, Option<Direction>)> {
    measurement
        .samples
        .iter()
        .map(|s| {
            let seating = measurement.seatings[s.seating].index;
            (
                s.force.gf().to_bits(),
                s.reading.to_bits(),
                seating,
                s.direction,
            )
        })
        .collect()
}

/// Bends by what is changed.
const BENDS: &str = "
padded remarks | Dunlin⏎ → Dunlin,,,⏎ & four⏎ → four,,⏎
quoted remarks | # notes = two, three; four → \"# notes = two, three; four\",,
blank rows at the end | 200.25,100,2,loading⏎ → 200.25,100,2,loading⏎,,,⏎,,,⏎
some percent signs | 150,71.3, → 150,71.3 %,
names in capitals | HEADER → FORCE_GF,Reported_Percent,SEATING,Direction
names with units | HEADER → Force [gf],Reading (%),Seating,Direction
names with units behind | HEADER → Force gf,Pressure %,seating,direction
weights | HEADER → Weight (g),Pressure %,seating,direction
remarks with colons |  = → :
remarks with other case | # model = → #Model= & # unit = → #  UNIT =
the same key twice | # unit = 01 → # unit = 01⏎# Unit: 01
a label | # model → # batch = 2025⏎# model
model and unit in cells above | # model = Dunlin⏎ → Model,Dunlin,,⏎ & # unit = 01⏎ → unit:,01,,⏎
";

/// Tables that mean what the plain one means.
fn legal() -> Vec<Bend> {
    let cell = |column: usize, change: fn(&str) -> String| {
        each_cell(PLAIN, |at, text| {
            if at == column {
                change(text)
            } else {
                text.to_owned()
            }
        })
    };
    let semicolons = each_row(PLAIN, |_, cells| cells.join(";"));
    let without_seatings = each_row(PLAIN, |_, mut cells| {
        cells.remove(2);
        cells.join(",")
    });
    let by_remark = without_seatings.replace("33.3,", "# seating = 2\n33.3,");
    let in_cells = each_cell(PLAIN, |at, text| match at {
        0 => format!("{text} gf"),
        1 => format!("{text}\u{a0}%"),
        _ => text.to_owned(),
    });
    let texts = [
        (
            "semicolons with more behind",
            semicolons.replace("150;71.3;1;loading", "150;71.3;1;loading;;"),
        ),
        ("percent signs", cell(1, |text| format!("{text}%"))),
        ("units in cells", cell(0, |text| format!("{text} gf"))),
        (
            "units in cells alone",
            in_cells.replace(HEADER, "Force,Pressure,seating,direction"),
        ),
        ("words in capitals", cell(3, str::to_uppercase)),
        ("seatings by remark", by_remark.clone()),
        (
            "seatings by remark from the start",
            format!(
                "# Seating: 1\n{}",
                by_remark.replace("# seating = 2", "#seating=2")
            ),
        ),
    ];
    let texts = texts.map(|(name, text)| (name.to_owned(), text.into_bytes()));
    let listed = listed(PLAIN, &BENDS.replace("HEADER", HEADER));
    common(PLAIN)
        .into_iter()
        .chain(listed)
        .chain(texts)
        .collect()
}

#[test]
fn bends_that_mean_the_same_give_the_same_samples() {
    let plain = read(PLAIN.as_bytes()).unwrap();
    assert_eq!(plain.samples.len(), 6);
    for (name, bytes) in legal() {
        let found = read(&bytes).unwrap_or_else(|faults| {
            let all: Vec<String> = faults.iter().map(ToString::to_string).collect();
            panic!(
                "{name}: {faults}\n{all:#?}\n{}",
                String::from_utf8_lossy(&bytes)
            )
        });
        assert_eq!(samples(&found), samples(&plain), "{name}");
        assert_eq!(found.stylus, plain.stylus, "{name}");
    }
}

fn sheet(name: &str) -> Vec<u8> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/sheets/");
    std::fs::read(format!("{folder}{name}")).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// `measurement.xlsx` and `measurement.ods` are the plain table as other libraries write spreadsheets.
#[test]
fn spreadsheets_give_the_same_samples() {
    let plain = read(PLAIN.as_bytes()).unwrap();
    for (name, format) in [("measurement.xlsx", "xlsx"), ("measurement.ods", "ods")] {
        for sheet_name in [None, Some("Bench".to_owned())] {
            let options = ReadOptions {
                sheet: sheet_name,
                ..ReadOptions::default()
            };
            let (found, source) = parse_measurement(name, &sheet(name), &options).unwrap();
            assert_eq!(samples(&found), samples(&plain), "{name}");
            assert_eq!(found.stylus, plain.stylus, "{name}");
            assert_eq!(found.labels["batch"], "2025");
            assert_eq!(source.read_as.format, format);
            assert_eq!(source.read_as.sheet.as_deref(), Some("Bench"));
            assert_eq!(source.read_as.header_line, Some(6));
            assert_eq!(
                found.samples[2].line, 9,
                "rows are counted as the spreadsheet does"
            );
        }
    }
    // Rows are left out by their numbers.
    let options = ReadOptions {
        exclude: vec!["9".parse().unwrap()],
        ..ReadOptions::default()
    };
    let bytes = sheet("measurement.xlsx");
    let (found, _) = parse_measurement("m.xlsx", &bytes, &options).unwrap();
    assert_eq!(found.excluded[0].force.gf(), 150.0);
}

#[test]
fn spreadsheets_that_cannot_be_meant_are_refused() {
    for (name, row, column, words) in [
        ("date.xlsx", 9, 1, "date"),
        ("formula.xlsx", 9, 1, "formula"),
        ("merged.xlsx", 9, 1, "merged"),
        ("error.xlsx", 9, 2, "#DIV/0!"),
        ("mixed.xlsx", 9, 2, "without a unit"),
    ] {
        let faults = parse_measurement(name, &sheet(name), &ReadOptions::default()).unwrap_err();
        assert!(faults.to_string().contains(words), "{name}: {faults}");
        assert_eq!(
            (faults.line(), faults.column()),
            (Some(row), Some(column)),
            "{name}"
        );
    }
    let bytes = sheet("measurement.xlsx");
    let options = |name: &str| ReadOptions {
        sheet: Some(name.to_owned()),
        ..ReadOptions::default()
    };
    let faults = parse_measurement("m.xlsx", &bytes, &options("Bank")).unwrap_err();
    let names = vec!["Bench".to_owned(), "Other".to_owned()];
    assert_eq!(faults.first().remedy.setting, Some(Setting::Sheet(names)));
    assert!(parse_measurement("m.xlsx", &bytes, &options("Other")).is_err());
    assert!(parse_measurement("m.csv", PLAIN.as_bytes(), &options("Bench")).is_err());
    for cut in [1, 30, bytes.len() / 2, bytes.len() - 1] {
        assert!(parse_measurement("m.xlsx", &bytes[..cut], &ReadOptions::default()).is_err());
    }
}

/// Changes of the plain table that could mean something else than they seem to.
const AMBIGUOUS: &str = "
a force without a unit | force_gf → Force
a reading without a unit | reported_percent → Pressure
a unit of another kind | reported_percent → Pressure (gf)
an unknown unit | force_gf,reported_percent → Force (lbf),Pressure %
two columns of force | seating → force_n
two columns of readings | seating → reported_raw
a mistyped column | seating → seatng
a mistyped force | force_gf → forse_gf
a mistyped direction | direction → direktion
an empty reading | 150,71.3 → 150,
a unit that the header has not | 150, → 150 N,
some units without one in the header | force_gf → Force & 150, → 150 gf,
text behind a quote | 150, → \"1\"2,
a quote that stays open | 150, → \"150,
a decimal comma between commas | 150, → 150,5,
a quoted decimal comma | 150, → \"150,5\",
digits with spaces between | 150, → 1 50,
not a number | 150, → nan,
numbers above the header | # model → 1,2,3,4⏎# model
more cells than the header | 150,71.3,1,loading → 150,71.3,1,loading,
loads | force_gf → load
outputs | reported_percent → output_percent
a second model in a title | # model → Model: Curlew⏎# model
a mistyped key in a title | # model → modle: Curlew⏎# model
";

/// The same of whole tables.
const AMBIGUOUS_TABLES: &str = "
some fractions as percentages | force_gf,reported⏎10,5%⏎20,0.1⏎
a percentage among raw readings | # levels = 100⏎force_gf,reported_raw⏎10,5%⏎20,10⏎
what may be thousands | force_gf;reported_percent⏎950;40⏎1.050;50⏎
what may be thousands with commas | force_gf;reported_percent⏎950;40⏎1,050;50⏎
no header | 0,0⏎5,1⏎
";

/// The same of remarks above the plain table.
const AMBIGUOUS_REMARKS: &str = "
# seating = 2
# unit = 02
# force_acts = sideways
# force_act = on-surface
# force_acts = on-surface
# tilt_deg = 30
# Tilt: 30
# tilt angle = 30
# angle = 30
# tilt_deg = 30⏎# tilt_deg = 40⏎# force_acts = along-stylus
# skip = 5
# skip line 5
# ignore: 5
# drop = 5
# omitted = 5
# leave out = 5
# left out 5
# exclude line 5
# exclude = five
# exclude = 99
# gain = 1.02
# force gain = 1.02
# force_gain_u: 2 %
# forces in N
# force = N
# units = N
# unit = gf
# force unit = newton
# newtons
# level = 8192
# levels = some
# direction = unloading
# exclud = 5
# read_at = home
# modle = Curlew
";

/// Tables that could mean something else than they seem to.
fn ambiguous() -> Vec<(String, String)> {
    let semicolons = each_row(PLAIN, |_, cells| cells.join(";"));
    let commas = each_row(PLAIN, |_, cells| cells.join(";").replace('.', ","));
    let changes = rows(AMBIGUOUS).map(|[name, changes]| (name, changed(PLAIN, &changes)));
    let tables = rows(AMBIGUOUS_TABLES).map(|[name, table]| (name, table));
    let remarks =
        rows(AMBIGUOUS_REMARKS).map(|[remark]| (remark.clone(), format!("{remark}\n{PLAIN}")));
    let marks = [
        ("both decimal marks", commas.replace("33,3", "33.3")),
        (
            "thousands with both marks",
            semicolons.replace("200.25", "1.200,25"),
        ),
    ];
    let marks = marks.map(|(name, table)| (name.to_owned(), table));
    changes.chain(tables).chain(remarks).chain(marks).collect()
}

#[test]
fn bends_that_could_mean_something_else_are_refused() {
    for (name, text) in ambiguous() {
        match read(text.as_bytes()) {
            Ok(found) => panic!("{name} was read:\n{text}\n{found:?}"),
            Err(faults) => {
                for fault in faults.iter() {
                    assert!(!fault.found.is_empty(), "{name}");
                    let is_mended = !fault.remedy.text.is_empty() || fault.remedy.setting.is_some();
                    assert!(is_mended, "{name}: {fault}");
                }
            }
        }
    }
    let (before, behind) = PLAIN.split_once("ading\n12.5").unwrap();
    let western = [before.as_bytes(), b"\xe4ding\n12.5", behind.as_bytes()].concat();
    assert!(read(&western).is_err(), "Windows-1252 in a cell");
}

#[test]
fn one_of_several_columns_is_read_where_it_is_chosen() {
    let text = "Force (N),Force (gf),Reading (%),Reading (raw)\n1,100,10,7\n2,200,20,9\n";
    assert_eq!(read(text.as_bytes()).unwrap_err().count(), 2);
    let choose = |columns: &[&str]| ReadOptions {
        columns: columns.iter().map(|name| (*name).to_owned()).collect(),
        ..ReadOptions::default()
    };
    let found = parse(text.as_bytes(), &choose(&["Force (gf)", "reading %"])).unwrap();
    assert_eq!(found.samples[1].force.gf(), 200.0);
    assert_eq!(found.samples[1].reading, 0.2);
    let found = parse(text.as_bytes(), &choose(&["force (N)", "Reading (%)"])).unwrap();
    assert!((found.samples[0].force.newtons() - 1.0).abs() < 1e-12);
    assert!(parse(text.as_bytes(), &choose(&["Force (kg)"])).is_err());
}

#[test]
fn all_faults_are_told_at_once_with_their_places() {
    let text = "# modle = Dunlin\n# tilt_deg = much\nforce_gf,reported_percent\n1,2\nx,3\n4,500\n-5,6\n7,8,9\n";
    let faults = read(text.as_bytes()).unwrap_err();
    let expected = [(1, 1), (2, 1), (5, 1), (6, 3), (7, 1), (8, 1)];
    assert_eq!(places(&faults), expected, "{faults:?}");
}

#[test]
fn what_was_understood_is_told() {
    let text = "Title\n# batch = 2025\nWeight (g),Pressure %,Notes,\n1,5%,a,\n2,7%,b,c\n";
    let (_, source) = parse_measurement("m.csv", text.as_bytes(), &ReadOptions::default()).unwrap();
    let read_as = source.read_as;
    assert_eq!(read_as.format, "csv");
    assert_eq!(read_as.header_line, Some(3));
    let columns: Vec<(&str, &str, Option<&str>)> = read_as
        .columns
        .iter()
        .map(|c| (c.name.as_str(), c.meaning.as_str(), c.unit.as_deref()))
        .collect();
    assert_eq!(
        columns,
        [
            ("Weight (g)", "force", Some("mass_g")),
            ("Pressure %", "reading", Some("percent")),
        ]
    );
    assert_eq!(read_as.labels["batch"], "2025");
    assert_eq!(read_as.ignored, ["Notes", "column 4 (without a name)"]);
}

/// Bends of a table that keep its meaning; nothing is bent by default.
#[derive(Clone, Copy, Debug, Default)]
struct Bends {
    names: usize,
    separator: usize,
    space: usize,
    line_break: usize,
    encoding: usize,
    has_decimal_commas: bool,
    has_quotes: bool,
    has_percent_signs: bool,
    has_notes: bool,
    is_reversed: bool,
    has_title: bool,
    has_blank_rows: bool,
    has_padded_remarks: bool,
}

fn bends() -> impl Strategy<Value = Bends> {
    let choices = (0..4_usize, 0..3_usize, 0..3_usize, 0..3_usize, 0..4_usize);
    (choices, any::<[bool; 8]>()).prop_map(|(choices, switches)| {
        let (names, separator, space, line_break, encoding) = choices;
        let [commas, quotes, signs, notes, reversed, title, blank, padded] = switches;
        Bends {
            names,
            separator,
            space,
            line_break,
            encoding,
            has_decimal_commas: commas,
            has_quotes: quotes,
            has_percent_signs: signs,
            has_notes: notes,
            is_reversed: reversed,
            has_title: title,
            has_blank_rows: blank,
            has_padded_remarks: padded,
        }
    })
}

/// Forces with one decimal and readings in percent, so that both are written as people do.
fn tables() -> impl Strategy<Value = Vec<(u32, u32, i64)>> {
    prop::collection::vec((0..9000_u32, 0..=1000_u32, 1..3_i64), 2..12)
}

fn tenths(value: u32) -> String {
    format!("{}.{}", value / 10, value % 10)
}

fn written(table: &[(u32, u32, i64)], bends: &Bends) -> Vec<u8> {
    let names = [
        ["force_gf", "reported_percent", "seating"],
        ["Force (gf)", "Reading [%]", "Seating"],
        ["Weight (g)", "Pressure %", "SEATING"],
        ["FORCE GF", "Reported Percent", "seating"],
    ][bends.names];
    let if_so = |is_so: bool, text: &'static str| if is_so { text } else { "" };
    let separator = match ([",", ";", "\t"][bends.separator], bends.has_decimal_commas) {
        (",", true) => ";",
        (separator, _) => separator,
    };
    let mark = if bends.has_decimal_commas { "," } else { "." };
    let number = |value: u32| tenths(value).replace('.', mark);
    let percent = if_so(bends.has_percent_signs, " %");
    let mut rows: Vec<Vec<String>> = vec![names.iter().map(|name| (*name).to_owned()).collect()];
    for (force, reading, seating) in table {
        let reading = format!("{}{percent}", number(*reading));
        rows.push(vec![number(*force), reading, seating.to_string()]);
    }
    if bends.has_notes {
        for (index, row) in rows.iter_mut().enumerate() {
            row.push(if index == 0 { "Notes" } else { "x" }.to_owned());
        }
    }
    if bends.is_reversed {
        rows.iter_mut().for_each(|row| row.reverse());
    }
    let space = ["", " ", "\u{a0}"][bends.space];
    let quote = if_so(bends.has_quotes, "\"");
    for cell in rows.iter_mut().flatten() {
        *cell = format!("{quote}{space}{cell}{space}{quote}");
    }
    let padding = separator.repeat(if bends.has_padded_remarks { 2 } else { 0 });
    let mut lines = vec![format!("# model = Dunlin{padding}")];
    if bends.has_title {
        lines.insert(0, "Measured by hand".to_owned());
    }
    for row in &rows {
        if bends.has_blank_rows {
            lines.push(separator.repeat(row.len() - 1));
        }
        lines.push(row.join(separator));
    }
    let end = ["\n", "\r\n", "\r"][bends.line_break];
    let text = lines.join(end) + end;
    let marked = format!("\u{feff}{text}");
    match bends.encoding {
        0 => text.into_bytes(),
        1 => marked.into_bytes(),
        2 => marked.encode_utf16().flat_map(u16::to_le_bytes).collect(),
        _ => marked.encode_utf16().flat_map(u16::to_be_bytes).collect(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn bends_in_any_mixture_change_nothing(table in tables(), bends in bends()) {
        let plain = read(&written(&table, &Bends::default())).unwrap();
        let found = read(&written(&table, &bends));
        let found = found.map_err(|faults| TestCaseError::fail(format!("{bends:?}: {faults}")))?;
        prop_assert_eq!(samples(&found), samples(&plain));
        prop_assert_eq!(&found.stylus, &plain.stylus);
        prop_assert_eq!(samples(&plain).len(), table.len());
    }
}
