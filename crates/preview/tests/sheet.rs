//! Sheets of strokes: what they say, that all of it has its place, and that they are repeatable.

mod reading;

use evenhand_curve::{Curve, Point, Polyline};
use evenhand_preview::{
    HandForce, Pen, RecordedPoint, Scatter, Side, StrokeSheet, Theme, WidthLaw, WidthScale,
    stroke_sheet_svg,
};
use proptest::prelude::*;
use reading::Picture;

fn line(points: &[(f64, f64)]) -> Polyline {
    Polyline::new(points.iter().map(|(x, y)| Point::new(*x, *y)).collect()).expect("a curve")
}

/// A stylus from 5 to 205 gf and a map that is full at three quarters of its range.
struct Scene {
    response: Polyline,
    without: Polyline,
    with: Polyline,
}

impl Scene {
    fn new() -> Self {
        Self {
            response: line(&[(0.0, 0.0), (5.0, 0.0), (205.0, 1.0)]),
            without: Polyline::identity(),
            with: line(&[(0.0, 0.0), (0.75, 1.0), (1.0, 1.0)]),
        }
    }

    fn pen(&self, levels: u32) -> Pen<'_> {
        Pen {
            response: &self.response,
            without: &self.without,
            with: &self.with,
            levels,
            axial_part: 1.0,
        }
    }

    fn sheet(&self, levels: u32) -> StrokeSheet<'_> {
        StrokeSheet {
            title: "Strokes of Dunlin 01".to_owned(),
            subtitle: "segments-8".to_owned(),
            hands: [("light", 55.0), ("usual", 105.0), ("firm", 155.0)]
                .map(|(name, force_gf)| HandForce {
                    name: name.to_owned(),
                    force_gf,
                })
                .to_vec(),
            pen: self.pen(levels),
            scale: WidthScale::default(),
            scatter: Scatter {
                reading: 0.004,
                tremor: 0.03,
            },
            recorded: Vec::new(),
            footer: "the end".to_owned(),
        }
    }
}

fn recorded(strokes: Vec<Vec<(f64, f64, f64)>>) -> Vec<Vec<RecordedPoint>> {
    let point = |(x, y, reading)| RecordedPoint { x, y, reading };
    let stroke = |points: Vec<_>| points.into_iter().map(point).collect();
    strokes.into_iter().map(stroke).collect()
}

fn says(svg: &str, words: &str) -> bool {
    let texts = Picture::from_svg(svg).texts;
    texts.iter().any(|(text, _)| text.contains(words))
}

/// What is wrong with a sheet; dashes and grid lines may cross the names of curves.
fn faults(svg: &str) -> Vec<String> {
    let mut faults = Picture::from_svg(svg).faults();
    faults.retain(|fault| !fault.contains("crossed by a line"));
    faults
}

#[test]
fn numbers_are_those_of_the_pen() {
    let scene = Scene::new();
    let pen = scene.pen(8192);
    // 55 gf reads 25 %, 155 gf 75 %, up to the nearest step of 1/8191.
    for (force, reading) in [(55.0, 0.25), (155.0, 0.75), (3.0, 0.0), (900.0, 1.0)] {
        assert!((pen.reading(force) - reading).abs() <= 0.5 / 8191.0 + 1e-12);
    }
    assert!((pen.output(55.0, Side::With) - 1.0 / 3.0).abs() < 1e-4);
    assert_eq!(pen.output(160.0, Side::With), 1.0);
    let svg = stroke_sheet_svg(&scene.sheet(8192), Theme::Light);
    // Widths 1 to 24: 1 + 23/4 = 6.75 without (and half a step), 1 + 23/3 = 8.67 with.
    for words in [
        "25 %, 6.8",
        "33 %, 8.7",
        "75 %, 18.2",
        "100 %, 24.0",
        "8192 levels",
    ] {
        assert!(says(&svg, words), "{words}");
    }
}

#[test]
fn noise_is_enlarged_as_the_map_climbs() {
    let scene = Scene::new();
    let scatter = scene.sheet(8192).scatter;
    let pen = scene.pen(8192);
    // The map climbs by 4/3 everywhere below full, and not at all above.
    let gain = |output: f64, side: Side| pen.gain(output, &scatter, side).unwrap();
    assert!((gain(0.5, Side::With) - 4.0 / 3.0).abs() < 1e-9);
    assert!((gain(0.5, Side::Without) - 1.0).abs() < 1e-9);
    // At 105 gf the reading is 50 %: noise 0.8 %, tremor 6.3 gf or 3.15 %, together √(0.8² + 3.15²) = 3.25 %.
    let (low, high) = pen.output_band(105.0, &scatter, Side::Without);
    let expected = (0.008_f64.powi(2) + 0.0315_f64.powi(2)).sqrt();
    assert!((0.5 - low - expected).abs() < 1e-9 && (high - 0.5 - expected).abs() < 1e-9);
    // A nib that is not felt reads nothing, whatever the noise.
    assert_eq!(pen.output_band(2.0, &scatter, Side::With), (0.0, 0.0));
}

#[test]
fn few_levels_show_as_steps() {
    let scene = Scene::new();
    let svg = stroke_sheet_svg(&scene.sheet(64), Theme::Light);
    // A step of 1/63 is 23/63 = 0.365 without and 4/3 of that with the map.
    for words in [
        "without: one reading more changes the width by up to 0.37",
        "with: one reading more changes the width by up to 0.49",
    ] {
        assert!(says(&svg, words), "{words}");
    }
}

#[test]
fn sheets_are_sound_and_the_same_each_time() {
    let scene = Scene::new();
    for (levels, theme) in [(8192, Theme::Light), (16, Theme::Dark)] {
        for scale in ["1..24", "0..48", "0.1..0.5"] {
            for law in WidthLaw::ALL {
                let mut sheet = scene.sheet(levels);
                sheet.scale = scale.parse::<WidthScale>().unwrap().with_law(law);
                let long = vec![(0.0, 0.0, 0.1), (50.0, 9.0, 0.9), (55.0, 0.0, 0.0)];
                sheet.recorded = recorded(vec![long, vec![(20.0, 20.0, 0.5)]]);
                let svg = stroke_sheet_svg(&sheet, theme);
                assert_eq!(svg, stroke_sheet_svg(&sheet, theme));
                let found = faults(&svg);
                assert!(found.is_empty(), "{levels} {scale} {law}: {found:#?}");
            }
        }
    }
}

#[test]
fn thinning_keeps_recorded_strokes_in_place() {
    let scene = Scene::new();
    let arc = |count: u32| -> Vec<RecordedPoint> {
        (0..=count)
            .map(|i| {
                let t = 3.0 * f64::from(i) / f64::from(count);
                RecordedPoint {
                    x: 100.0 * t.cos(),
                    y: 100.0 * t.sin(),
                    reading: 0.2 + 0.2 * t,
                }
            })
            .collect()
    };
    let boxes = |count: u32| {
        let mut sheet = scene.sheet(8192);
        sheet.recorded = vec![arc(count)];
        let svg = stroke_sheet_svg(&sheet, Theme::Light);
        let shapes = Picture::from_svg(&svg).shapes;
        (shapes, svg.len())
    };
    let ((few, short), (many, long)) = (boxes(400), boxes(40_000));
    assert!(long < short + short / 4, "{long} bytes against {short}");
    assert_eq!(few.len(), many.len());
    for (one, other) in few.iter().zip(&many) {
        let sides = |r: &resvg::usvg::Rect| [r.left(), r.top(), r.right(), r.bottom()];
        for (a, b) in sides(one).into_iter().zip(sides(other)) {
            assert!((a - b).abs() < 0.2, "{one:?} {other:?}");
        }
    }
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![6 => 0.0..500.0, 1 => any::<f64>(), 1 => Just(f64::NAN), 1 => Just(f64::INFINITY)]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn whatever_is_drawn_has_its_place(
        title in "[ -~é]{0,120}",
        hands in prop::collection::vec(("[ -~]{0,30}", number()), 0..12),
        strokes in prop::collection::vec(prop::collection::vec((number(), number(), 0.0..1.0_f64), 0..20), 0..4),
        levels in 0_u32..70_000,
        widths in (0.0..20.0_f64, 0.1..28.0_f64),
        scatter in (0.0..0.9_f64, 0.0..0.9_f64),
        axial_part in 0.1..=1.0_f64,
    ) {
        let scene = Scene::new();
        let mut sheet = scene.sheet(levels);
        sheet.title = title;
        sheet.hands = hands.into_iter().map(|(name, force_gf)| HandForce { name, force_gf }).collect();
        sheet.recorded = recorded(strokes);
        sheet.scale = WidthScale::new(widths.0, widths.0 + widths.1, WidthLaw::Linear).unwrap();
        sheet.scatter = Scatter { reading: scatter.0, tremor: scatter.1 };
        sheet.pen.axial_part = axial_part;
        let svg = stroke_sheet_svg(&sheet, Theme::Light);
        prop_assert!(!svg.contains("NaN") && !svg.contains("inf "), "{}", svg);
        let found = faults(&svg);
        prop_assert!(found.is_empty(), "{:#?}", found);
    }
}

#[test]
fn the_scene_is_what_it_says() {
    let scene = Scene::new();
    assert_eq!(scene.response.value(105.0), 0.5);
    assert_eq!(scene.with.value(0.75), 1.0);
}
