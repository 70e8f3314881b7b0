//! The response chart of invented data: what it says, where it says it, and that it is repeatable.

mod cases;
mod reading;

use evenhand_preview::{PictureError, ResponseChart, SampleMark, Span, Theme};
use evenhand_preview::{response_svg, svg_to_png};
use reading::Picture;
use resvg::tiny_skia::Pixmap;

fn case(name: &str) -> ResponseChart {
    let found = cases::all().into_iter().find(|(n, _)| *n == name);
    found.expect("a case of that name").1
}

fn picture(chart: &ResponseChart) -> Picture {
    Picture::from_svg(&response_svg(chart, Theme::Light))
}

/// A text of just these words must be drawn.
fn assert_says(chart: &ResponseChart, words: &str) {
    let texts = picture(chart).texts;
    let says = texts.iter().any(|(text, _)| text == words);
    assert!(says, "{words:?} in {texts:#?}");
}

#[test]
fn every_case_is_sound() {
    for (name, chart) in cases::all() {
        for theme in [Theme::Light, Theme::Dark] {
            let faults = Picture::from_svg(&response_svg(&chart, theme)).faults();
            assert!(faults.is_empty(), "{name}: {faults:#?}");
        }
    }
}

#[test]
fn faults_are_seen() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100" height="50" font-family="Ubuntu">
        <text x="60" y="20" font-size="14">onset and more</text>
        <text x="62" y="22" font-size="14">over</text>
        <path d="M70 0L70 50" stroke="black"/></svg>"#;
    let faults = Picture::from_svg(svg).faults().join("\n");
    for kind in ["leaves the picture", "overlap", "crossed"] {
        assert!(faults.contains(kind), "{kind}: {faults}");
    }
}

#[test]
fn labels_are_all_there() {
    for words in [
        "Dunlin 01: response",
        "Saltmarsh Print Studio, bench of 3 March, loading",
        "30 samples",
        "ringed: 1 flagged",
        "fitted response, 95 % interval",
        "below 200 gf",
        "saturation",
        "onset 4.1 gf (3.6 to 5.0)",
        "saturation 168 gf (164 to 172)",
        "Reading (percent)",
        "Force along the stylus axis",
        "gf",
        "N",
        "100",
        "180",
        "1.8",
    ] {
        assert_says(&case("below-200"), words);
    }
    for words in ["first seating: 24 samples", "after turning: 24 samples"] {
        assert_says(&case("two-seatings"), words);
    }
}

#[test]
fn not_reached_is_said_without_a_number_for_saturation() {
    let not_reached = case("not-reached");
    let bare = ResponseChart {
        saturation_above: None,
        ..not_reached.clone()
    };
    assert_says(&not_reached, "saturation not reached, above 190 gf");
    assert_says(&bare, "saturation not reached");
    let empty = picture(&case("empty"));
    let mut texts = empty.texts.iter();
    let says_any = texts.any(|(text, _)| text.contains("saturation"));
    assert!(!says_any, "no data, nothing said");
}

#[test]
fn an_open_interval_is_said() {
    let words = "saturation 520 gf (390 or more)";
    assert_says(&case("wide-intervals"), words);
}

#[test]
fn newtons_stand_where_they_belong() {
    // 1 N is 1000 / 9.80665 = 101.9716 gf, exact by the standard gravity.
    let found = picture(&case("below-200"));
    let middle = |words: &str| {
        let place = found.texts.iter().find(|(t, _)| t == words).expect(words).1;
        f64::from(f32::midpoint(place.left(), place.right()))
    };
    // These three are written in one row only.
    let (lower, upper) = (middle("120"), middle("160"));
    let newton = 120.0 + (middle("1.0") - lower) / (upper - lower) * 40.0;
    assert!(
        (newton - 101.9716).abs() < 0.3,
        "1 N at {newton} gf; one unit of the picture is 0.27 gf"
    );
}

#[test]
fn text_is_escaped_and_cleaned() {
    let chart = ResponseChart {
        title: "Godwit <03> & \"kept\"\u{0}\u{b}".to_owned(),
        ..ResponseChart::default()
    };
    let svg = response_svg(&chart, Theme::Light);
    let title = "<title>Godwit &lt;03&gt; &amp; &quot;kept&quot;</title>";
    assert!(svg.contains(title), "{svg}");
    assert_says(&chart, "Godwit <03> & \"kept\"");
}

#[test]
fn same_chart_same_bytes() {
    let first = response_svg(&case("below-200"), Theme::Dark);
    assert_eq!(first, response_svg(&case("below-200"), Theme::Dark), "SVG");
    let png = svg_to_png(&first, 1.0).expect("a PNG");
    assert_eq!(png, svg_to_png(&first, 1.0).expect("a PNG"), "PNG");
    let light = response_svg(&case("below-200"), Theme::Light);
    assert_ne!(first, light, "themes differ");
}

#[test]
fn the_order_of_curve_points_does_not_matter() {
    let mut chart = case("below-200");
    let straight = response_svg(&chart, Theme::Light);
    chart.curve.reverse();
    let reversed = response_svg(&chart, Theme::Light);
    assert_eq!(straight, reversed, "sorted by force");
}

/// Number of pixels of the title's first line that are nearer to black than to white.
fn dark_pixels_of_title(chart: &ResponseChart) -> usize {
    let svg = response_svg(chart, Theme::Light);
    let png = svg_to_png(&svg, 2.0).expect("a PNG");
    let pixels = Pixmap::decode_png(&png).expect("a readable PNG");
    let columns = usize::try_from(pixels.width()).expect("a width");
    let band = pixels.pixels().chunks(columns).skip(2 * 26).take(2 * 20);
    band.flatten().filter(|pixel| pixel.green() < 128).count()
}

#[test]
fn the_font_is_really_there() {
    let title = |title: &str| ResponseChart {
        title: title.to_owned(),
        ..ResponseChart::default()
    };
    let short = dark_pixels_of_title(&title("Dunlin"));
    let long = dark_pixels_of_title(&title("Dunlin Dunlin Dunlin"));
    assert!(short > 200, "{short} dark pixels");
    assert!(
        long > 2 * short,
        "{long} dark pixels, {short} for a third of the words"
    );
}

#[test]
fn flagged_samples_have_a_ring() {
    let ring = Theme::Light;
    let mut chart = case("below-200");
    let circles = |chart: &ResponseChart| response_svg(chart, ring).matches(r#"r="8.00""#).count();
    assert_eq!(circles(&chart), 2, "one in the plot, one in the legend");
    for sample in &mut chart.samples {
        sample.flagged = false;
    }
    assert_eq!(circles(&chart), 0, "none flagged");
}

#[test]
fn what_is_off_the_axes_is_counted() {
    let chart = ResponseChart {
        samples: vec![SampleMark {
            force_gf: f64::NAN,
            ..SampleMark::default()
        }],
        onset: Span {
            estimate: f64::NAN,
            ..Span::default()
        },
        ..ResponseChart::default()
    };
    assert_says(&chart, "1 sample off the axes");
}

#[test]
fn refusals_are_typed() {
    let svg = response_svg(&ResponseChart::default(), Theme::Light);
    for scale in [0.0, -1.0, f32::NAN, f32::INFINITY] {
        let error = svg_to_png(&svg, scale).expect_err("no scale");
        assert!(matches!(error, PictureError::Scale { .. }), "{error}");
    }
    for scale in [1e-6, 1e4, 1e30] {
        let error = svg_to_png(&svg, scale).expect_err("no size");
        assert!(matches!(error, PictureError::Size { .. }), "{error}");
    }
    let error = svg_to_png("<svg", 1.0).expect_err("no SVG");
    assert!(matches!(error, PictureError::Unreadable { .. }), "{error}");
}
