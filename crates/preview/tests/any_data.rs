//! Whatever the data, the chart is readable, holds only numbers, and all its text has its place.

mod reading;

use evenhand_preview::{CurvePoint, ResponseChart, SampleMark, Span, Theme, response_svg};
use proptest::prelude::*;
use reading::Picture;

/// Plausible forces mostly, and all that a double can be.
fn force() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => 0.0..1000.0,
        2 => Just(0.0),
        2 => any::<f64>(),
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(1e6), Just(1e-300)],
    ]
}

fn reading_fraction() -> impl Strategy<Value = f64> {
    prop_oneof![10 => 0.0..=1.0, 1 => any::<f64>(), 1 => Just(f64::NAN)]
}

fn span() -> impl Strategy<Value = Span> {
    (force(), force(), force()).prop_map(|(estimate, low, high)| Span::new(estimate, low, high))
}

fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        "[ -~]{0,40}",
        "[ -~é海\u{0}-\u{1f}\u{202e}→]{0,200}",
        "[mW]{150,260}",
    ]
}

fn sample() -> impl Strategy<Value = SampleMark> {
    let seating = prop_oneof![8 => 0_usize..4, 1 => any::<usize>()];
    (force(), reading_fraction(), seating, any::<[bool; 2]>()).prop_map(
        |(force_gf, reported, seating, [flagged, excluded])| SampleMark {
            force_gf,
            reported,
            seating,
            flagged,
            excluded,
        },
    )
}

fn curve_point() -> impl Strategy<Value = CurvePoint> {
    let readings = (reading_fraction(), reading_fraction(), reading_fraction());
    (force(), readings).prop_map(|(force_gf, (reported, low, high))| CurvePoint {
        force_gf,
        reported,
        low,
        high,
    })
}

prop_compose! {
    fn chart()(
        (title, subtitle, footer) in (words(), words(), words()),
        samples in prop::collection::vec(sample(), 0..20),
        seating_names in prop::collection::vec(words(), 0..4),
        curve in prop::collection::vec(curve_point(), 0..20),
        onset in span(),
        saturation in prop::option::of(span()),
        saturation_above in prop::option::of(force()),
        classes in prop::collection::vec((words(), force(), force()), 0..5),
        confidence in reading_fraction(),
    ) -> ResponseChart {
        let mut classes = classes;
        // Classes follow each other; where they overlap, so may their labels.
        let mut from = 0.0;
        for class in &mut classes {
            class.1 = from;
            from = if class.2 > from { class.2 } else { from };
            class.2 = from;
        }
        ResponseChart {
            title, subtitle, samples, seating_names, curve, onset, saturation,
            saturation_above, classes, confidence, footer,
        }
    }
}

/// The SVG without the texts between its tags.
fn tags(svg: &str) -> String {
    let parts = svg.split('<').filter_map(|part| part.split('>').next());
    parts.collect::<Vec<_>>().join("\n")
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 160,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn is_sound(chart in chart(), dark in any::<bool>()) {
        let theme = if dark { Theme::Dark } else { Theme::Light };
        let svg = response_svg(&chart, theme);
        let tags = tags(&svg);
        prop_assert!(!tags.contains("NaN") && !tags.contains("inf"), "{}", tags);
        let faults = Picture::from_svg(&svg).faults();
        prop_assert!(faults.is_empty(), "{:#?}", faults);
    }
}
