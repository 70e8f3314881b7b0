//! From recordings to strokes.

use evenhand_strokes::{Levels, PressUnit, Strokes, read_inkml, read_stroke_table};
use evenhand_text::Faults;

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::cases::rows;

fn read(text: &str) -> Result<Strokes, Faults> {
    read_stroke_table("t.csv", text.as_bytes(), Levels::default()).map(|(strokes, _)| strokes)
}

fn presses(text: &str) -> Vec<Vec<f64>> {
    let strokes = read(text).expect("a recording");
    strokes
        .strokes
        .iter()
        .map(|stroke| stroke.points.iter().map(|point| point.press).collect())
        .collect()
}

#[test]
fn a_table_is_cut_where_nothing_is_read() {
    let text = "x,y,t_ms,reported_percent\n0,0,0,0\n1,0,5,50\n2,0,10,100\n3,0,15,0\n4,0,20,25\n";
    assert_eq!(presses(text), [vec![0.5, 1.0], vec![0.25]]);
    let strokes = read(text).unwrap();
    assert!(!strokes.tells_touch && strokes.has_places);
    assert_eq!(strokes.strokes[0].points[1].time_s, Some(0.01));
    // A pause of a tenth of a second ends a stroke too.
    let paused = "t_s,reported\n0,0.5\n0.05,0.5\n0.5,0.5\n";
    assert_eq!(presses(paused), [vec![0.5, 0.5], vec![0.5]]);
}

#[test]
fn numbered_strokes_keep_touches_without_a_reading() {
    let text = "stroke;reported\n1;0\n1;0,5\n2;0,25\n2;0\n";
    assert_eq!(presses(text), [vec![0.0, 0.5], vec![0.25, 0.0]]);
    assert!(read(text).unwrap().tells_touch);
}

#[test]
fn forces_and_counts() {
    let strokes = read("force_n\n0.980665\n").unwrap();
    assert_eq!(strokes.press_unit, PressUnit::ForceGf);
    assert!((strokes.strokes[0].points[0].press - 100.0).abs() < 1e-12);
    let text = "# levels = 1024\nreported_raw\n1023\n";
    let strokes = read(text).unwrap();
    assert_eq!(strokes.levels, Some(1024));
    assert_eq!(strokes.strokes[0].points[0].press, 1.0);
}

/// Texts with the line and column of their one fault, none for the whole file, and what is told.
const WRONG: &str = "
 |  | the file is empty
x,y⏎1,2⏎ | 1:1 | no reading or force column
force⏎1⏎ | 1:1 | `force`, which has no unit
reported⏎2⏎ | 2:1 | a reading of 2, above the full scale of 1
reported⏎nan⏎ | 2:1 | nan
reported,force_gf⏎1,2⏎ | 1:10 | readings beside one of forces
reported_raw⏎1⏎ | 1:1 | without a number of levels
t_s,reported⏎1,1⏎0.99,1⏎ | 3:1 | after one of
t_s,reported⏎1⏎ | 2:2 | an empty cell
reported⏎0⏎0⏎ | 1:1 | without a point
stroke,reported⏎first,0⏎ | 2:1 | a whole number, found `first`
# levels = one⏎reported_raw⏎1⏎ | 1:1 | `one` as levels
";

#[test]
fn faults_of_tables_have_their_place() {
    for [text, place, wanted] in rows(WRONG) {
        let text = &text;
        let faults = read(text).unwrap_err();
        assert_eq!(faults.count(), 1, "{text:?}: {faults:?}");
        assert!(faults.to_string().contains(&wanted), "{text:?}: {faults}");
        let told = faults.line().zip(faults.column());
        let told = told.map_or(String::new(), |(line, column)| format!("{line}:{column}"));
        assert_eq!(told, place, "{text:?}");
        let is_within = faults.span().is_none_or(|span| span.end <= text.len());
        assert!(is_within, "{text:?}");
        assert!(!faults.first().remedy.text.is_empty(), "{text:?}");
    }
}

#[test]
fn milliseconds_taken_for_seconds_are_noted() {
    let strokes = read("stroke,t,reported\n1,0,0.5\n1,5,0.5\n1,10,0.6\n");
    assert!(strokes.unwrap().notes[0].contains("t_ms"));
}

/// The strokes of a text that has some.
fn drawn(ink: &str) -> Strokes {
    let recording = read_inkml(ink).expect("a recording");
    recording.strokes(None).expect("strokes")
}

fn ink(channel: &str, source: &str, traces: &str) -> String {
    format!(
        "<ink><definitions><inkSource xml:id=\"pad\">{source}<traceFormat><channel name=\"X\"/><channel name=\"Y\"/>{channel}</traceFormat>\
         <channelProperties><channelProperty channel=\"F\" name=\"threshold\" value=\"20\"/></channelProperties></inkSource></definitions>{traces}</ink>"
    )
}

#[test]
fn traces_become_strokes() {
    let channel = r#"<channel name="F" type="integer" min="0" max="1023"/>"#;
    let text = ink(
        channel,
        r#"<sampleRate uniform="true" value="200"/>"#,
        r#"<trace>0 0 10,'1'0'501,'1'0'512</trace><trace type="penUp">0 0 5</trace><trace>5 5 20</trace>"#,
    );
    let strokes = drawn(&text);
    assert_eq!(strokes.levels, Some(1024));
    assert_eq!(strokes.press_unit, PressUnit::Reading);
    assert!(strokes.tells_touch);
    assert_eq!(strokes.strokes.len(), 2);
    let first = &strokes.strokes[0].points;
    // 10 lies below the threshold of 20; the others are 511 and 1023 of 1023.
    assert_eq!(first[0].press, 0.0);
    assert!((first[1].press - 511.0 / 1023.0).abs() < 1e-12);
    assert_eq!(first[2].press, 1.0);
    assert_eq!(first[2].time_s, Some(0.01));
    assert!(strokes.strokes[1].points[0].time_s > first[2].time_s);
}

#[test]
fn forces_in_a_unit_are_forces() {
    let channel = r#"<channel name="F" units="mN"/>"#;
    let text = ink(channel, "", "<trace>0 0 1961.33</trace>");
    let strokes = drawn(&text);
    assert_eq!(strokes.press_unit, PressUnit::ForceGf);
    assert!((strokes.strokes[0].points[0].press - 200.0).abs() < 1e-9);
}

#[test]
fn traces_that_cannot_be_read_say_why() {
    let refused = |channel: &str, traces: &str| {
        let text = ink(channel, "", traces);
        let recording = read_inkml(&text).unwrap();
        recording.strokes(None).unwrap_err().found
    };
    assert!(refused("", "<trace>0 0</trace>").contains("no channel F"));
    let bare = r#"<channel name="F"/>"#;
    assert!(refused(bare, "<trace>0 0 30</trace>").contains("neither a range"));
    let ranged = r#"<channel name="F" max="100"/>"#;
    assert!(refused(ranged, "<trace>0 0 130</trace>").contains("outside its range"));
    assert!(refused(ranged, "<trace type=\"penUp\">0 0 1</trace>").contains("no trace"));
    let text = ink(bare, "", "<trace>0 0 30</trace>");
    let read = read_inkml(&text).unwrap().strokes(Some(61)).unwrap();
    assert_eq!(read.strokes[0].points[0].press, 0.5);
}

#[test]
fn lifting_the_nib_ends_a_stroke_within_a_trace() {
    let channel = r#"<channel name="F" max="100"/><channel name="S" type="boolean"/>"#;
    let trace = "<trace>0 0 50 T, 1 0 50 T, 2 0 0 F, 9 9 50 T</trace>";
    let text = ink(channel, "", trace);
    let strokes = drawn(&text);
    let counts: Vec<usize> = strokes.strokes.iter().map(|s| s.points.len()).collect();
    assert_eq!(counts, [2, 1]);
}

#[test]
fn comments_within_a_trace_change_nothing() {
    let channel = r#"<channel name="F" max="1000"/>"#;
    let plain = ink(channel, "", "<trace>1 1 500,'1'1'5,2 2 5,1 1 1</trace>");
    let trace = "<trace>1 1 500,'1'1'5,<!-- here -->2 2 5,1 <!-- and --> 1 1</trace>";
    let told = ink(channel, "", trace);
    assert_eq!(drawn(&plain).strokes, drawn(&told).strokes);
    assert_eq!(drawn(&plain).strokes[0].points[2].press, 0.51);
}

#[test]
fn a_context_in_the_stream_counts_from_there_on() {
    let format = |order: [&str; 3]| {
        let channels = order.map(|name| format!("<channel name=\"{name}\" max=\"100\"/>"));
        let channels = channels.concat();
        format!("<context><traceFormat>{channels}</traceFormat></context>")
    };
    let text = format!(
        "<ink>{}<trace>1 2 50</trace>{}<trace>30 1 2</trace></ink>",
        format(["X", "Y", "F"]),
        format(["F", "X", "Y"])
    );
    let strokes = drawn(&text);
    let first: Vec<(f64, f64, f64)> = strokes
        .strokes
        .iter()
        .map(|s| (s.points[0].x, s.points[0].y, s.points[0].press))
        .collect();
    assert_eq!(first, [(1.0, 2.0, 0.5), (1.0, 2.0, 0.3)]);
}

#[test]
fn what_cannot_be_meant_is_refused_with_its_place() {
    let refused = |text: &str| {
        let found = read_inkml(text).and_then(|recording| recording.strokes(None));
        let error = found.unwrap_err();
        let place = error.place.as_ref().unwrap();
        assert!(place.column > 1, "{error}");
        error.found
    };
    let ranged = r#"<channel name="F" max="100"/>"#;
    let dangling = ink(ranged, "", "<trace contextRef=\"#no\">0 0 50</trace>");
    assert!(refused(&dangling).contains("#no"));
    let unit = r#"<channel name="F" units="kgf" max="1"/>"#;
    assert!(refused(&ink(unit, "", "<trace>0 0 1</trace>")).contains("kgf"));
    let channel = r#"<channel name="F" max="100"/><channel name="T" units="sec"/>"#;
    assert!(refused(&ink(channel, "", "<trace>0 0 50 1</trace>")).contains("sec"));
    let channel = r#"<channel name="F" max="100"/><channel name="T"/>"#;
    let backward = ink(channel, "", "<trace>0 0 50 9,0 0 50 8</trace>");
    assert!(refused(&backward).contains("after one of"));
}

#[test]
fn times_taken_for_seconds_are_noted_without_strokes_too() {
    let text = "t_s,reported\n0,0.5\n8,0.5\n16,0.6\n24,0.5\n";
    assert!(read(text).unwrap().notes[0].contains("t_ms"));
}
