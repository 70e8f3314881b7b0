//! Traces against the standard's own example and its rules.

use evenhand_strokes::{Channel, ChannelKind, decode, read_inkml};
use proptest::prelude::*;

/// The example of the `InkML` Recommendation (W3C, 20 September 2011; older W3C talks carry the same
/// numbers: seen; this syntax: memory), every row derived again from the string: recomputed.
const EXAMPLE: &str = "1125 18432,'23'43,\"7\"-8,3-5,7 -3,6 2,6 8,3 6 T,2 4*T,3 6,3-6 F F";
const ROWS: [(f64, f64, f64, f64); 11] = [
    (1125.0, 18432.0, 0.0, 0.0),
    (1148.0, 18475.0, 0.0, 0.0),
    (1178.0, 18510.0, 0.0, 0.0),
    (1211.0, 18540.0, 0.0, 0.0),
    (1251.0, 18567.0, 0.0, 0.0),
    (1297.0, 18596.0, 0.0, 0.0),
    (1349.0, 18633.0, 0.0, 0.0),
    (1404.0, 18676.0, 1.0, 0.0),
    (1461.0, 18723.0, 1.0, 1.0),
    (1521.0, 18776.0, 1.0, 1.0),
    (1584.0, 18823.0, 0.0, 0.0),
];

fn document(body: &str) -> String {
    format!(
        r#"<ink xmlns="http://www.w3.org/2003/InkML">
<definitions><inkSource xml:id="pad"><traceFormat>
<channel name="X" type="integer"/><channel name="Y" type="integer"/>
<intermittentChannels><channel name="S1" type="boolean" default="F"/><channel name="S2" type="boolean" default="F"/></intermittentChannels>
</traceFormat><channelProperties><channelProperty channel="X" name="threshold" value="3"/></channelProperties></inkSource></definitions>
{body}</ink>"#
    )
}

#[test]
fn the_example_of_the_standard() {
    for trace in [EXAMPLE.to_owned(), EXAMPLE.replace('"', "&quot;")] {
        let text = document(&format!("<trace>{trace}</trace>"));
        let recording = read_inkml(&text).unwrap();
        let points = &recording.traces[0].points;
        assert_eq!(points.len(), ROWS.len());
        for (point, (x, y, first, second)) in points.iter().zip(ROWS) {
            assert_eq!(point[..], [Some(x), Some(y), Some(first), Some(second)]);
        }
        assert_eq!(recording.traces[0].channels[0].threshold, Some(3.0));
    }
}

fn plain(names: &[&str]) -> Vec<Channel> {
    names.iter().map(|name| Channel::regular(name)).collect()
}

#[test]
fn numbers_of_every_form() {
    let channels = plain(&["X", "Y", "F"]);
    let read = decode("#1F-.5 2.,1e2 -#a ?,!3'4*", &channels).unwrap();
    assert_eq!(read[0][..], [Some(31.0), Some(-0.5), Some(2.0)]);
    assert_eq!(read[1][..], [Some(100.0), Some(-10.0), None]);
    // What is not known stays so where it is the same as before.
    assert_eq!(read[2][..], [Some(3.0), Some(-6.0), None]);
}

#[test]
fn the_star_repeats_values_and_differences() {
    let channels = plain(&["X"]);
    let read = decode("5,*,'2,*,\"1,*,!7,*", &channels).unwrap();
    let values: Vec<f64> = read.iter().map(|point| point[0].unwrap()).collect();
    // 5, 5; then +2, +2; then steps 3 and 4; then 7, 7.
    assert_eq!(values, [5.0, 5.0, 7.0, 9.0, 12.0, 16.0, 7.0, 7.0]);
}

#[test]
fn faults_are_told_with_their_place() {
    let channels = plain(&["X", "Y"]);
    for (text, place) in [
        ("1 2,3", 4..5),
        ("1 2,3 4 5", 8..9),
        ("1 2,x 4", 4..5),
        ("1 2,3 #", 6..7),
        ("1 ?,2'4", 5..7),
    ] {
        let error = decode(text, &channels).unwrap_err();
        let found = error.place.as_ref().unwrap();
        assert_eq!(found.span, Some(place.clone()), "{text}: {error}");
        assert_eq!((found.line, found.column), (1, place.start + 1));
    }
    let nameless = "<ink><traceFormat><channel/></traceFormat><trace>1</trace></ink>";
    for (text, word) in [
        ("", "XML"),
        ("<svg/>", "svg"),
        ("<ink><trace>1 2,a</trace></ink>", "`a`"),
        (nameless, "name"),
        ("<ink><traceFormat/><trace>1</trace></ink>", "regular"),
    ] {
        let error = read_inkml(text).unwrap_err();
        assert!(error.found.contains(word), "{error}");
        let span = error.place.as_ref().and_then(|place| place.span.clone());
        assert!(span.is_none_or(|span| span.end <= text.len()));
        assert!(!error.remedy.text.is_empty());
    }
}

#[test]
fn a_context_names_its_own_format() {
    let text = r##"<ink><definitions>
<traceFormat xml:id="two"><channel name="X"/><channel name="Y"/></traceFormat>
<traceFormat xml:id="three"><channel name="X"/><channel name="Y"/><channel name="F" min="0" max="1023" units="dev"/></traceFormat>
<context xml:id="c" traceFormatRef="#three"/></definitions>
<traceGroup contextRef="#c"><trace>1 2 3</trace></traceGroup><trace type="penUp">4 5</trace></ink>"##;
    let recording = read_inkml(text).unwrap();
    assert_eq!(recording.traces[0].values("F"), Some(vec![Some(3.0)]));
    let range = recording.traces[0].channels[2].range;
    assert_eq!(range, (Some(0.0), Some(1023.0)));
    assert_eq!(recording.traces[1].values("F"), None);
    assert!(recording.traces[1].is_pen_up);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_the_text_no_panic_and_a_place_within(text in "[-0-9.eE#TF*?!'\", a-cé]{0,40}") {
        let mut channels = plain(&["X", "Y"]);
        channels.push(Channel { kind: ChannelKind::Boolean, intermittent: true, ..Channel::regular("S") });
        match decode(&text, &channels) {
            Ok(points) => prop_assert!(points.iter().flatten().flatten().all(|v| v.is_finite())),
            Err(error) => {
                let span = error.place.as_ref().and_then(|place| place.span.clone());
                prop_assert!(span.clone().is_none_or(|span| text.get(span).is_some()), "{error} {span:?}");
            }
        }
    }

    #[test]
    fn second_differences_give_back_what_they_were_made_from(
        values in prop::collection::vec(-500_i32..500, 3..40),
    ) {
        let second = |i: usize| values[i] - 2 * values[i - 1] + values[i - 2];
        let mut text = format!("{},'{}", values[0], values[1] - values[0]);
        for i in 2..values.len() {
            let prefix = if i == 2 { "\"" } else { "" };
            text.push_str(&format!(",{prefix}{}", second(i)));
        }
        let read = decode(&text, &plain(&["X"])).unwrap();
        let read: Vec<f64> = read.iter().map(|point| point[0].unwrap()).collect();
        let values: Vec<f64> = values.iter().copied().map(f64::from).collect();
        prop_assert_eq!(read, values);
    }
}
