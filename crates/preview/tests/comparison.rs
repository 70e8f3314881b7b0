//! Charts of many units: what they name, that sixty lines stay legible, and that nothing breaks them.

mod reading;

use evenhand_preview::{
    ComparisonChart, EnvelopeMark, GroupMark, Sides, Span, Theme, UnitMark, comparison_svg,
    panels_svg, svg_to_png, units_svg,
};
use proptest::prelude::*;
use reading::Picture;

type Draw = fn(&ComparisonChart, Theme) -> String;
const CHARTS: [(&str, Draw); 3] = [
    ("all", comparison_svg),
    ("panels", panels_svg),
    ("units", units_svg),
];

fn curve(onset: f64, saturation: f64) -> Vec<(f64, f64)> {
    let mut points = vec![(0.0, 0.0)];
    points.extend((0..=20).map(|i| {
        let part = f64::from(i) / 20.0;
        (onset + (saturation - onset) * part, part.powf(0.7))
    }));
    points
}

fn span(estimate: f64) -> Span {
    Span::new(estimate, estimate - 2.0, estimate + 2.0)
}

/// Groups of ten units each, their saturations 5 gf apart.
fn chart(groups: usize) -> ComparisonChart {
    let middle = |group: usize| 160.0 + 110.0 * group as f64;
    ComparisonChart {
        title: "Responses of many units".to_owned(),
        subtitle: "units of the studio".to_owned(),
        groups: (0..groups)
            .map(|group| GroupMark {
                name: format!("Model {group}"),
                note: format!("10 units, saturation {} gf; undecided", middle(group)),
                typical: curve(5.0, middle(group)),
                next_unit: Some((middle(group) - 30.0, middle(group) + 30.0)),
            })
            .collect(),
        units: (0..10 * groups)
            .map(|unit| {
                let group = unit / 10;
                let saturation = middle(group) + 5.0 * (unit % 10) as f64 - 25.0;
                UnitMark {
                    name: format!("Model {group} {:02}", unit % 10),
                    group,
                    curve: curve(4.0, saturation),
                    onset: span(4.0),
                    saturation: span(saturation),
                    saturation_open: false,
                    flagged: unit == 3,
                }
            })
            .collect(),
        envelope: Some(EnvelopeMark {
            name: "extremes".to_owned(),
            sides: Sides {
                least: curve(4.0, 130.0),
                greatest: vec![(6.0, 0.0), (300.0, 0.5), (f64::INFINITY, 1.0)],
            },
            inner: None,
        }),
        classes: vec![
            ("below 200 gf".to_owned(), 0.0, 200.0),
            ("above 200 gf".to_owned(), 200.0, f64::INFINITY),
        ],
        confidence: 0.95,
        left_out: "Left out by request: Model 1 07.".to_owned(),
        footer: "the end".to_owned(),
    }
}

#[test]
fn sixty_units_are_drawn_and_groups_are_named() {
    let chart = chart(6);
    for theme in [Theme::Light, Theme::Dark] {
        for (name, draw) in CHARTS {
            let svg = draw(&chart, theme);
            let faults = Picture::from_svg(&svg).faults();
            assert!(faults.is_empty(), "{name}: {faults:#?}");
            for group in &chart.groups {
                let text = format!(">{}<", group.name);
                assert!(svg.contains(&text), "{name}: {text}");
            }
            // The flagged unit is named.
            for words in ["Left out by request: Model 1 07.", "Model 0 03"] {
                assert!(svg.contains(words), "{name}: {words}");
            }
        }
    }
    let svg = comparison_svg(&chart, Theme::Light);
    let lines = group_of(&svg, "units").matches("<path").count();
    assert_eq!(lines, 60, "a line each");
}

/// What a group of the SVG holds.
fn group_of<'s>(svg: &'s str, class: &str) -> &'s str {
    let group = format!(r#"<g class="{class}">"#);
    let rest = svg.split(&group).nth(1).unwrap_or_default();
    rest.split("</g>").next().unwrap_or_default()
}

#[test]
fn no_two_groups_share_a_colour_code() {
    // Groups are told apart by names at their lines, never by colour alone: all means are drawn alike.
    let svg = comparison_svg(&chart(6), Theme::Light);
    let lines = group_of(&svg, "typical").lines();
    let paints = lines.filter_map(|line| line.split(" fill=").nth(1));
    let mut paints: Vec<&str> = paints.collect();
    assert_eq!(paints.len(), 6);
    paints.dedup();
    assert_eq!(paints.len(), 1, "{paints:?}");
}

#[test]
fn the_same_chart_gives_the_same_bytes_and_a_picture() {
    for (name, draw) in CHARTS {
        let svg = draw(&chart(2), Theme::Dark);
        assert_eq!(svg, draw(&chart(2), Theme::Dark), "{name}");
        assert!(svg_to_png(&svg, 1.0).is_ok(), "{name}");
    }
}

#[test]
fn an_empty_chart_is_a_chart() {
    for (name, draw) in CHARTS {
        let svg = draw(&ComparisonChart::default(), Theme::Light);
        assert!(Picture::from_svg(&svg).faults().is_empty(), "{name}");
    }
}

fn force() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => 0.0..2000.0,
        1 => any::<f64>(),
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(-5.0), Just(1e300)],
    ]
}

prop_compose! {
    fn unit()(
        name in "[ -~]{0,30}|[mW海]{60}",
        group in 0_usize..5,
        curve in prop::collection::vec((force(), force()), 0..12),
        onset in (force(), force(), force()),
        saturation in (force(), force(), force()),
        [saturation_open, flagged] in any::<[bool; 2]>(),
    ) -> UnitMark {
        let span = |(estimate, low, high)| Span::new(estimate, low, high);
        UnitMark {
            name, group, curve, onset: span(onset), saturation: span(saturation), saturation_open, flagged,
        }
    }
}

/// The SVG without the texts between its tags.
fn tags(svg: &str) -> String {
    let parts = svg.split('<').filter_map(|part| part.split('>').next());
    parts.collect::<Vec<_>>().join("\n")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_the_data_it_is_sound(units in prop::collection::vec(unit(), 0..30), next in prop::option::of((force(), force()))) {
        let chart = ComparisonChart {
            units,
            groups: (0..5).map(|group| GroupMark { name: format!("group {group}"), next_unit: next, ..GroupMark::default() }).collect(),
            ..chart(1)
        };
        for (name, draw) in CHARTS {
            let svg = draw(&chart, Theme::Light);
            let tags = tags(&svg);
            prop_assert!(!tags.contains("NaN") && !tags.contains("inf"), "{}: {}", name, tags);
            let picture = svg_to_png(&svg, 0.5);
            prop_assert!(picture.is_ok(), "{}: {:?}", name, picture.err());
        }
    }
}
