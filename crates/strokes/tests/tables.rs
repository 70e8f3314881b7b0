//! Tables of strokes as people write them: read with the meaning they had, or refused.

use evenhand_strokes::{Levels, PressUnit, Strokes, read_stroke_table};
use evenhand_text::{Faults, ReadAs, Setting, is_clean};
use proptest::prelude::*;

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::bends::{common, listed};
use support::faults::{assert_cases, assert_told, lines, places};

const PLAIN: &str = "\
x,y,t_ms,stroke,reported_percent
0.5,-1.25,0,1,12.5
1.5,1.5,8,1,25
2,1.75,16,2,100
";

fn read(bytes: &[u8]) -> Result<(Strokes, ReadAs), Faults> {
    read_stroke_table("t.csv", bytes, Levels::default())
}

fn plain() -> Strokes {
    read(PLAIN.as_bytes()).expect("a recording").0
}

/// Bends by what is changed.
const BENDS: &str = "
percent signs | 12.5 → 12.5% & ,25⏎ → ,25 %⏎ & ,100⏎ → ,100%⏎
percent signs beside fractions | reported_percent → reported & 12.5 → 12.5% & ,25⏎ → ,25%⏎ & ,100⏎ → ,100%⏎
units in cells | t_ms → time & reported_percent → reading & ,0,1,12.5 → ,0 ms,1,12.5% & ,8,1,25 → ,8 ms,1,25% \
    & ,16,2,100 → ,16 ms,2,100%
minus sign | -1.25 → \u{2212}1.25
other names | x,y,t_ms,stroke,reported_percent →  X ,Y,Time [ms],Stroke No.,Pressure %
more names | x,y,t_ms,stroke,reported_percent → x,y,TIMESTAMP (Milliseconds),stroke_id,Reading(%)
";

#[test]
fn legal_bends_change_nothing() {
    for (name, bytes) in common(PLAIN).into_iter().chain(listed(PLAIN, BENDS)) {
        let found = read(&bytes).map(|(strokes, _)| strokes);
        assert_eq!(found, Ok(plain()), "{name}");
    }
}

#[test]
fn forces_are_read_in_every_unit() {
    for (text, unit) in [
        ("force_gf\n150\n", "gf"),
        ("Force [gf],notes\n150,\n", "gf"),
        ("force,x\n150 gf,1\n", "gf"),
        ("Weight (g)\n150\n", "mass_g"),
        ("Force (N)\n1.4709975\n", "n"),
        ("Force / mN\n1470.9975\n", "mn"),
        ("force;x\n1470,9975 mN;1\n", "mn"),
    ] {
        let (strokes, read_as) = read(text.as_bytes()).unwrap();
        assert_eq!(strokes.press_unit, PressUnit::ForceGf, "{text}");
        let press = strokes.strokes[0].points[0].press;
        assert!((press - 150.0).abs() < 1e-9, "{text}: {press}");
        let mut columns = read_as.columns.iter();
        let column = columns.find(|column| column.meaning == "force").unwrap();
        assert_eq!(column.unit.as_deref(), Some(unit), "{text}");
    }
}

#[test]
fn what_was_understood_is_told() {
    let text = "Page 3\n# batch: 2025\nX (mm),Y (mm),Pressure %,tilt x\n1,2,50,9\n";
    let (_, read_as) = read(text.as_bytes()).unwrap();
    assert_eq!(read_as.header_line, Some(3));
    assert_eq!(read_as.labels["batch"], "2025");
    assert_eq!(read_as.ignored, ["tilt x"]);
    assert_eq!(
        read_as.in_words(),
        "place to the right in mm from `X (mm)`, place downwards in mm from `Y (mm)`, reading in percent from \
         `Pressure %`; labels: batch = 2025; not read: tilt x"
    );
}

const REFUSED: &str = r#"
x,reported,Pressure %⏎1,0.5,50⏎ | 1:12 | a second column of reading | keep one
x,reported,force_gf⏎1,0.5,50⏎ | 1:12 | readings beside one of forces | keep one
x,x_mm,reported⏎1,1,0.5⏎ | 1:3 | a second column of place to the right | keep one
x,y,force⏎1,2,3⏎ | 1:5 | `force`, which has no unit | force_gf
x,y,reading⏎1,2,3⏎ | 1:5 | `reading`, which has no unit | reported_percent
time,reported⏎1,0.5⏎ | 1:1 | `time`, which has no unit | t_ms
t_us,reported⏎1,0.5⏎ | 1:1 | the column `t_us` | t_s
strok,reported⏎1,0.5⏎ | 1:1 | the column `strok` | write stroke
x,reportd⏎1,0.5⏎ | 1:3 | the column `reportd` | write reported
x;reported⏎1,5;0.5⏎ | 2:5 | `0.5` with a decimal point, but line 2 has a decimal comma | one decimal mark
x;reported_percent⏎1.500;50⏎900;50⏎ | 2:1 | `1.500`, which may be thousands or decimals | write 1500
x;reported_percent⏎1.500,5;50⏎ | 2:1 | `1.500,5` | no thousands marks
x,reported_percent⏎1 500,50⏎ | 2:1 | `1 500` | without spaces
# levels = 512⏎# Levels: 1024⏎x,reported_raw⏎1,5⏎ | 2:1 | levels = `1024` here and `512` in line 1 | keep the one
x,reported_percent⏎1,50 gf⏎ | 2:3 | `50 gf` | one unit
x_mm,reported_percent⏎1 in,50⏎ | 2:1 | `1 in` | one unit
t_s,reported⏎5 ms,0.5⏎ | 2:1 | `5 ms` | one unit
x,force_n⏎1,150 gf⏎ | 2:3 | `150 gf` | one unit
x,y_mm,reported⏎1,2,0.5⏎ | 1:3 | y in mm, but x in no unit | both in one unit
# skip = 5⏎x,reported⏎1,0.5⏎ | 1:1 | the remark `skip = 5` | delete those lines
# Ignore the first line⏎x,reported⏎1,0.5⏎ | 1:1 | which would change nothing | delete those lines
# gain: 1.02⏎x,reported⏎1,0.5⏎ | 1:1 | the remark `gain: 1.02` | multiply
# Unit: N⏎x,force_gf⏎1,5⏎ | 2:1 | the remark Unit = `N` | force_n
# levls = 512⏎x,reported⏎1,0.5⏎ | 1:1 | the key `levls` | # levels = 512
# force_acts = on-surface⏎x,force_gf⏎1,5⏎ | 1:1 | expected forces along the stylus | along-stylus
# tilt_deg = 30⏎x,force_gf⏎1,5⏎ | 1:1 | expected forces along the stylus | along-stylus
x,reported⏎1,0.5,7⏎ | 2:1 | expected 2 cells, as the header has, found 3 cells | write 2 cells
x,reported⏎1,0,5⏎ | 2:1 | found 3 cells | decimal commas need semicolons
x,reported⏎"1"2,0.5⏎ | 2:1 | text behind a closing quote | quotes
x,reported⏎"1,0.5⏎ | 2:1 | a quote that is never closed | same line
1,0.5⏎2,0.6⏎ | 1:1 | a header that names the columns, found numbers | x,y,t_s,reported_percent
x,reported_percent⏎1,101⏎ | 2:3 | a reading of 101, above the full scale of 100 | percent from 0 to 100
x,reported⏎1,-0.5⏎ | 2:3 | a negative reading, -0.5 | from 0 up
x,reported⏎1,50⏎ | 2:3 | a reading of 50, above the full scale of 1 | say that readings are percent
# levels = 512⏎x,reported_raw⏎1,512⏎ | 3:3 | a reading of 512, above the full scale of 511 | number of levels
# levels = 512⏎x,Raw⏎1,0.5⏎ | 3:3 | the raw reading 0.5 | whole counts
x,force_gf⏎1,-5⏎ | 2:3 | a negative force, -5 | positive
"#;

#[test]
fn ambiguous_bends_are_refused_with_place_and_remedy() {
    assert_cases(REFUSED, read);
    let faults = read(b"x,reported_percent,notes\n1,50,K\xf6ln\n").unwrap_err();
    let found = "in a file that is not UTF-8";
    assert_told("Windows-1252", &faults, (2, 6), found, "UTF-8");
}

#[test]
fn all_faults_are_told_at_once() {
    let text =
        "# skip = 3\nx,t_ms,reported_percent\n1,0,50\nzwei,8,50\n3,16,500\n4,9,50\n5,\"20,5\n";
    let faults = read(text.as_bytes()).unwrap_err();
    assert_eq!(lines(&faults), [1, 4, 5, 7], "{faults:#?}");
    // Two cells of one row, and a time that runs backwards.
    let text = "x,t_ms,reported_percent\na,b,c\n1,8,50\n1,7,50\n";
    let faults = read(text.as_bytes()).unwrap_err();
    assert_eq!(places(&faults), [(2, 1), (2, 3), (2, 5), (4, 1)]);
}

#[test]
fn the_file_s_own_levels_go_before_and_must_agree() {
    let text = "# Levels: 1024\nRaw\n1023\n";
    let with = |text: &str, set, of_stylus| {
        read_stroke_table("t.csv", text.as_bytes(), Levels { set, of_stylus })
            .map(|(strokes, _)| (strokes.levels, strokes.strokes[0].points[0].press))
    };
    assert_eq!(with(text, None, None), Ok((Some(1024), 1.0)));
    assert_eq!(with(text, Some(1024), Some(8192)), Ok((Some(1024), 1.0)));
    assert_eq!(with(text, None, Some(8192)), Ok((Some(1024), 1.0)));
    let bare = "Raw\n1023\n";
    assert_eq!(with(bare, Some(2047), None), Ok((Some(2047), 0.5)));
    assert_eq!(with(bare, Some(2047), Some(8192)), Ok((Some(2047), 0.5)));
    assert_eq!(with(bare, None, Some(2047)), Ok((Some(2047), 0.5)));
    let faults = with(text, Some(8192), None).unwrap_err();
    assert_eq!(faults.line().zip(faults.column()), Some((1, 1)));
    let told = faults.to_string();
    assert!(told.contains("1024") && told.contains("8192"), "{told}");
    let faults = with(bare, None, None).unwrap_err();
    assert_eq!(faults.first().remedy.setting, Some(Setting::Levels));
    assert!(faults.first().remedy.text.contains("# levels = 8192"));
}

#[test]
fn forces_along_the_stylus_may_say_so() {
    for remark in [
        "force_acts = along-stylus",
        "Force acts: along stylus",
        "tilt_deg = 0",
    ] {
        let text = format!("# {remark}\nforce_gf\n5\n");
        assert!(read(text.as_bytes()).is_ok(), "{remark}");
    }
    // Readings are what they are, however the stylus was held.
    assert!(read(b"# tilt_deg = 30\nreported\n0.5\n").is_ok());
}

#[test]
fn points_may_share_a_time() {
    let (strokes, _) = read(b"stroke,t_s,reported\n1,1,0.5\n1,1,0.6\n").unwrap();
    assert_eq!(strokes.strokes[0].points.len(), 2);
}

#[test]
fn a_file_of_faults_is_left_early() {
    let text = format!("x,reported\n{}", "1,a\n".repeat(5000));
    let faults = read(text.as_bytes()).unwrap_err();
    assert_eq!(faults.count(), evenhand_text::MOST_FAULTS);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_the_bytes_strokes_or_faults_with_remedies(
        head in "(sep=;|# levels: 9)?\n?(x,|t_s;|Raw,|stroke,)?(reported|force_gf|Pressure %|press)(,notes|;y)?\n",
        rows in "([0-9 .,;%+#@\"\u{a0}\u{2212}gfmsé\u{1b}-]{0,12}(\n|\r)){0,12}",
        tail in proptest::collection::vec(any::<u8>(), 0..8),
    ) {
        let bytes = [head.as_bytes(), rows.as_bytes(), &tail].concat();
        match read(&bytes) {
            Ok((strokes, read_as)) => {
                prop_assert!(!strokes.is_empty() && is_clean(&read_as.in_words()));
                for point in strokes.strokes.iter().flat_map(|stroke| &stroke.points) {
                    prop_assert!(point.press >= 0.0);
                    prop_assert!(strokes.press_unit == PressUnit::ForceGf || point.press <= 1.0);
                }
            }
            Err(faults) => for fault in faults.iter() {
                prop_assert!(fault.remedy != evenhand_text::Remedy::default(), "{fault}");
                prop_assert!(is_clean(&fault.to_string()), "{fault}");
                let span = fault.place.as_ref().and_then(|place| place.span.clone());
                if let (Some(text), Some(span)) = (faults.source_text(), span) {
                    prop_assert!(text.get(span).is_some(), "{fault}");
                }
            },
        }
    }
}
