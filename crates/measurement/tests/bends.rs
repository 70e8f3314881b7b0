//! Tables as people write them: bends that mean the same give the same samples to the last digit, and bends that could
//! mean something else are refused.

use evenhand_measurement::{Direction, Measurement, ReadOptions, parse_measurement};
use evenhand_text::{Faults, Setting};
use proptest::prelude::*;

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

fn rows(text: &str) -> Vec<Vec<String>> {
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

fn remarks(text: &str) -> Vec<String> {
    text.lines()
        .filter(|line| line.starts_with('#'))
        .map(str::to_owned)
        .collect()
}

fn joined(remarks: &[String], rows: &[Vec<String>], separator: &str) -> String {
    let mut lines = remarks.to_vec();
    lines.extend(rows.iter().map(|row| row.join(separator)));
    lines.join("\n") + "\n"
}

/// The plain table with its header and its cells changed.
fn bent(header: &[&str], cell: impl Fn(usize, &str) -> String, separator: &str) -> String {
    let mut rows = rows(PLAIN);
    for (name, new) in rows[0].iter_mut().zip(header) {
        *name = (*new).to_owned();
    }
    for row in rows.iter_mut().skip(1) {
        for (index, text) in row.iter_mut().enumerate() {
            *text = cell(index, text);
        }
    }
    joined(&remarks(PLAIN), &rows, separator)
}

const HEADER: [&str; 4] = ["force_gf", "reported_percent", "seating", "direction"];

fn same(_: usize, text: &str) -> String {
    text.to_owned()
}

/// The plain table under another header.
fn headed(header: &str) -> String {
    PLAIN.replace("force_gf,reported_percent,seating,direction", header)
}

/// The plain table with the cells of one column changed.
fn column(at: usize, change: fn(&str) -> String) -> String {
    let cell = |index, text: &str| {
        if index == at {
            change(text)
        } else {
            text.to_owned()
        }
    };
    bent(&HEADER, cell, ",")
}

/// The plain table with each row changed, the header being row 0.
fn each_row(change: impl Fn(usize, &mut Vec<String>)) -> String {
    let mut rows = rows(PLAIN);
    for (index, row) in rows.iter_mut().enumerate() {
        change(index, row);
    }
    joined(&remarks(PLAIN), &rows, ",")
}

fn decimal_comma(_: usize, text: &str) -> String {
    text.replace('.', ",")
}

/// Tables that mean what the plain one means.
fn legal() -> Vec<(&'static str, Vec<u8>)> {
    let utf16 = |text: &str, bytes: fn(u16) -> [u8; 2]| -> Vec<u8> {
        text.encode_utf16().flat_map(bytes).collect()
    };
    let without_seatings = each_row(|_, row| {
        row.remove(2);
    });
    let texts: Vec<(&str, String)> = vec![
        ("plain", PLAIN.to_owned()),
        (
            "a title line",
            format!("Dunlin 01, measured by hand\n{PLAIN}"),
        ),
        (
            "two title lines",
            format!("Studio\n\nForces and readings of a day\n{PLAIN}"),
        ),
        (
            "blank rows",
            PLAIN.replace("150,", ",,,\n,\n150,") + "\n,,,\n,,,\n",
        ),
        (
            "padded remarks",
            PLAIN
                .replace("Dunlin\n", "Dunlin,,,\n")
                .replace("four\n", "four,,\n"),
        ),
        (
            "quoted remarks",
            PLAIN.replace(
                "# notes = two, three; four",
                "\"# notes = two, three; four\",,",
            ),
        ),
        (
            "a stated separator",
            format!("sep=;\n{}", bent(&HEADER, same, ";")),
        ),
        ("a stated comma", format!("SEP=,\r\n{PLAIN}")),
        ("semicolons", bent(&HEADER, same, ";")),
        ("tabs", bent(&HEADER, same, "\t")),
        ("decimal commas", bent(&HEADER, decimal_comma, ";")),
        (
            "decimal commas and tabs",
            bent(&HEADER, decimal_comma, "\t"),
        ),
        (
            "semicolons with more behind",
            bent(&HEADER, same, ";").replace("150;71.3;1;loading", "150;71.3;1;loading;;"),
        ),
        ("spaces", bent(&HEADER, |_, text| format!("  {text} "), ",")),
        (
            "quotes",
            bent(&HEADER, |_, text| format!("\"{text}\""), ","),
        ),
        (
            "no-break spaces",
            bent(&HEADER, |_, text| format!("\u{a0}{text}\u{202f}"), ","),
        ),
        ("percent signs", column(1, |text| format!("{text}%"))),
        (
            "some percent signs",
            PLAIN.replace("150,71.3,", "150,71.3 %,"),
        ),
        ("units in cells", column(0, |text| format!("{text} gf"))),
        (
            "units in cells alone",
            bent(
                &["Force", "Pressure", "seating", "direction"],
                |at, text| match at {
                    0 => format!("{text} gf"),
                    1 => format!("{text}\u{a0}%"),
                    _ => text.to_owned(),
                },
                ",",
            ),
        ),
        (
            "names in capitals",
            headed("FORCE_GF,Reported_Percent,SEATING,Direction"),
        ),
        (
            "names with units",
            headed("Force [gf],Reading (%),Seating,Direction"),
        ),
        (
            "names with units behind",
            headed("Force gf,Pressure %,seating,direction"),
        ),
        ("weights", headed("Weight (g),Pressure %,seating,direction")),
        ("words in capitals", column(3, str::to_uppercase)),
        ("remarks with colons", PLAIN.replace(" = ", ": ")),
        (
            "remarks with other case",
            PLAIN
                .replace("# model =", "#Model=")
                .replace("# unit =", "#  UNIT ="),
        ),
        (
            "the same key twice",
            PLAIN.replace("# unit = 01", "# unit = 01\n# Unit: 01"),
        ),
        (
            "a comment",
            format!("# measured on a rainy day\n{PLAIN}# 12:30 the end\n"),
        ),
        ("a label", format!("# batch = 2025\n{PLAIN}")),
        ("lines of old machines", PLAIN.replace('\n', "\r")),
        ("lines of other systems", PLAIN.replace('\n', "\r\n")),
        ("a mark of the order of bytes", format!("\u{feff}{PLAIN}")),
        (
            "a column of notes",
            each_row(|index, row| match index {
                0 => row.push("notes".to_owned()),
                _ => row.push(format!("remark {index}")),
            }),
        ),
        (
            "a column of nothing",
            each_row(|_, row| row.push(String::new())),
        ),
        ("columns in another order", each_row(|_, row| row.reverse())),
        (
            "seatings by remark",
            without_seatings.replace("33.3,", "# seating = 2\n33.3,"),
        ),
        (
            "seatings by remark from the start",
            format!(
                "# Seating: 1\n{}",
                without_seatings.replace("33.3,", "#seating=2\n33.3,")
            ),
        ),
        (
            "model and unit in cells above",
            PLAIN
                .replace("# model = Dunlin\n", "Model,Dunlin,,\n")
                .replace("# unit = 01\n", "unit:,01,,\n"),
        ),
    ];
    let mut all: Vec<(&str, Vec<u8>)> = texts
        .into_iter()
        .map(|(name, text)| (name, text.into_bytes()))
        .collect();
    all.push((
        "UTF-16",
        [&[0xff, 0xfe][..], &utf16(PLAIN, u16::to_le_bytes)].concat(),
    ));
    all.push((
        "UTF-16 of the other order",
        [&[0xfe, 0xff][..], &utf16(PLAIN, u16::to_be_bytes)].concat(),
    ));
    all.push(("UTF-16 without a mark", utf16(PLAIN, u16::to_le_bytes)));
    let western = PLAIN.replace("two,", "Gr\u{1}sse,").into_bytes();
    let western = western
        .into_iter()
        .map(|byte| if byte == 1 { 0xf6 } else { byte })
        .collect();
    all.push(("Windows-1252 in a remark", western));
    all
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

/// Tables that could mean something else than they seem to.
fn ambiguous() -> Vec<(&'static str, String)> {
    let with = |remark: &str| format!("{remark}\n{PLAIN}");
    let header =
        |force: &str, reading: &str| headed(&format!("{force},{reading},seating,direction"));
    let mut all = vec![
        (
            "a force without a unit",
            header("Force", "reported_percent"),
        ),
        ("a reading without a unit", header("force_gf", "Pressure")),
        (
            "a unit of another kind",
            header("force_gf", "Pressure (gf)"),
        ),
        ("an unknown unit", header("Force (lbf)", "Pressure %")),
        ("two columns of force", PLAIN.replace("seating", "force_n")),
        (
            "two columns of readings",
            PLAIN.replace("seating", "reported_raw"),
        ),
        ("a mistyped column", PLAIN.replace("seating", "seatng")),
        ("a mistyped force", header("forse_gf", "reported_percent")),
        (
            "a mistyped direction",
            PLAIN.replace("direction", "direktion"),
        ),
        ("an empty reading", PLAIN.replace("150,71.3", "150,")),
        (
            "a unit that the header has not",
            PLAIN.replace("150,", "150 N,"),
        ),
        (
            "some units without one in the header",
            header("Force", "reported_percent").replace("150,", "150 gf,"),
        ),
        (
            "some fractions as percentages",
            "force_gf,reported\n10,5%\n20,0.1\n".to_owned(),
        ),
        (
            "a percentage among raw readings",
            "# levels = 100\nforce_gf,reported_raw\n10,5%\n20,10\n".to_owned(),
        ),
        ("text behind a quote", PLAIN.replace("150,", "\"1\"2,")),
        ("a quote that stays open", PLAIN.replace("150,", "\"150,")),
        (
            "a decimal comma between commas",
            PLAIN.replace("150,", "150,5,"),
        ),
        (
            "a quoted decimal comma",
            PLAIN.replace("150,", "\"150,5\","),
        ),
        (
            "both decimal marks",
            bent(&HEADER, decimal_comma, ";").replace("33,3", "33.3"),
        ),
        (
            "thousands with both marks",
            bent(&HEADER, same, ";").replace("200.25", "1.200,25"),
        ),
        (
            "what may be thousands",
            "force_gf;reported_percent\n950;40\n1.050;50\n".to_owned(),
        ),
        (
            "what may be thousands with commas",
            "force_gf;reported_percent\n950;40\n1,050;50\n".to_owned(),
        ),
        ("digits with spaces between", PLAIN.replace("150,", "1 50,")),
        ("not a number", PLAIN.replace("150,", "nan,")),
        ("numbers above the header", format!("1,2,3,4\n{PLAIN}")),
        ("no header", "0,0\n5,1\n".to_owned()),
        (
            "more cells than the header",
            PLAIN.replace("150,71.3,1,loading", "150,71.3,1,loading,"),
        ),
        ("seatings twice", with("# seating = 2")),
        ("loads", header("load", "reported_percent")),
        ("outputs", header("force_gf", "output_percent")),
        ("a second unit", with("# unit = 02")),
        (
            "a second model in a title",
            format!("Model: Curlew\n{PLAIN}"),
        ),
        (
            "a mistyped key in a title",
            format!("modle: Curlew\n{PLAIN}"),
        ),
    ];
    for remark in [
        "# force_acts = sideways",
        "# force_act = on-surface",
        "# force_acts = on-surface",
        "# tilt_deg = 30",
        "# Tilt: 30",
        "# tilt angle = 30",
        "# angle = 30",
        "# tilt_deg = 30\n# tilt_deg = 40\n# force_acts = along-stylus",
        "# skip = 5",
        "# skip line 5",
        "# ignore: 5",
        "# drop = 5",
        "# omitted = 5",
        "# leave out = 5",
        "# left out 5",
        "# exclude line 5",
        "# exclude = five",
        "# exclude = 99",
        "# gain = 1.02",
        "# force gain = 1.02",
        "# force_gain_u: 2 %",
        "# forces in N",
        "# force = N",
        "# units = N",
        "# unit = gf",
        "# force unit = newton",
        "# newtons",
        "# level = 8192",
        "# levels = some",
        "# direction = unloading",
        "# exclud = 5",
        "# read_at = home",
        "# modle = Curlew",
    ] {
        all.push((remark, with(remark)));
    }
    all
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
    let bytes = PLAIN
        .replace("loading\n12.5", "lo\u{1}ding\n12.5")
        .into_bytes();
    let bytes: Vec<u8> = bytes
        .into_iter()
        .map(|byte| if byte == 1 { 0xe4 } else { byte })
        .collect();
    assert!(read(&bytes).is_err(), "Windows-1252 in a cell");
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
    let lines: Vec<usize> = faults
        .iter()
        .filter_map(|f| f.place.as_ref())
        .map(|p| p.line)
        .collect();
    assert_eq!(lines, [1, 2, 5, 6, 7, 8], "{faults:?}");
    let columns: Vec<usize> = faults
        .iter()
        .filter_map(|f| f.place.as_ref())
        .map(|p| p.column)
        .collect();
    assert_eq!(columns, [1, 1, 1, 3, 1, 1]);
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
