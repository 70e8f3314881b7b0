//! Invented charts for the tests and the gallery: styluses of the Saltmarsh Print Studio.

use evenhand_preview::{CurvePoint, ResponseChart, SampleMark, Span};

/// An invented response, onset to saturation in gf, bent upwards by `bend` below 1.
fn response(force: f64, onset: f64, saturation: f64, bend: f64) -> f64 {
    ((force - onset) / (saturation - onset))
        .clamp(0.0, 1.0)
        .powf(bend)
}

/// A repeatable wobble in -1..1.
fn wobble(index: usize) -> f64 {
    let step = u32::try_from(index).unwrap_or(0);
    ((f64::from(step) * 12.9898).sin() * 43_758.545_3).fract()
}

fn classes() -> Vec<(String, f64, f64)> {
    [
        ("below 200 gf", 0.0, 200.0),
        ("200 to 400 gf", 200.0, 400.0),
        ("400 to 700 gf", 400.0, 700.0),
        ("above 700 gf", 700.0, f64::INFINITY),
    ]
    .map(|(name, from, to)| (name.to_owned(), from, to))
    .to_vec()
}

/// A chart with samples up to `last` gf in `seatings` equal parts and a curve a little further.
fn chart(
    title: &str,
    (onset, saturation, bend): (f64, f64, f64),
    last: f64,
    count: usize,
    seatings: usize,
) -> ResponseChart {
    let part = |index: usize, of: usize| {
        let float = |n: usize| f64::from(u32::try_from(n).unwrap_or(0));
        float(index) / float(of)
    };
    let samples = (0..count)
        .map(|index| {
            let seating = index * seatings / count;
            let own = index % count.div_ceil(seatings);
            let force = last * part(own + 1, count.div_ceil(seatings)).powf(1.4);
            let gain = 1.0 + 0.03 * part(seating, 1);
            let reading = response(force * gain, onset, saturation, bend);
            let scatter = 0.008 * wobble(index) * f64::from(u8::from(reading > 0.0));
            SampleMark {
                force_gf: force,
                reported: (reading + scatter).clamp(0.0, 1.0),
                seating,
                ..SampleMark::default()
            }
        })
        .collect();
    let curve = (0..=260)
        .map(|index| {
            let force = last * 1.05 * part(index, 260);
            let reported = response(force, onset, saturation, bend);
            let half = 0.03 * (1.0 - (2.0 * reported - 1.0).powi(2)).sqrt() + 0.004;
            CurvePoint {
                force_gf: force,
                reported,
                low: (reported - half).max(0.0),
                high: (reported + half).min(1.0),
            }
        })
        .collect();
    ResponseChart {
        title: title.to_owned(),
        subtitle: "Saltmarsh Print Studio, bench of 3 March, loading".to_owned(),
        samples,
        curve,
        onset: Span::new(onset, (onset * 0.88).max(0.0), onset * 1.15 + 0.3),
        saturation: Some(Span::new(
            saturation,
            saturation * 0.978,
            saturation * 1.026,
        )),
        classes: classes(),
        confidence: 0.95,
        footer: "Fitted by a penalised monotone spline; interval from 1,000 resamples, seed 7"
            .to_owned(),
        ..ResponseChart::default()
    }
}

/// Every case by name.
pub(crate) fn all() -> Vec<(&'static str, ResponseChart)> {
    let mut light = chart("Dunlin 01: response", (4.1, 168.0, 0.6), 190.0, 30, 1);
    light.samples[17].reported -= 0.11;
    light.samples[17].flagged = true;

    let mut two = chart("Avocet 02: response", (6.5, 310.0, 0.7), 360.0, 48, 2);
    two.seating_names = vec!["first seating".to_owned(), "after turning".to_owned()];

    let mut open = chart("Godwit 03: response", (11.0, 900.0, 0.8), 190.0, 26, 1);
    open.saturation = None;
    open.saturation_above = Some(190.0);

    let mut zero = chart("Curlew 04: response", (0.0, 455.0, 0.5), 520.0, 34, 1);
    zero.onset = Span::new(0.0, 0.0, 1.9);

    let firm = chart("Curlew 05: response", (18.0, 830.0, 0.75), 900.0, 40, 1);

    let mut wide = chart("Godwit 06: response", (40.0, 520.0, 0.9), 420.0, 15, 1);
    wide.saturation = Some(Span::new(520.0, 390.0, f64::INFINITY));
    wide.onset = Span::new(40.0, 5.0, 410.0);

    let mut close = chart("Dunlin 07: response", (12.0, 60.0, 0.6), 800.0, 60, 5);
    close.samples[3].force_gf = 1e9;

    let mut long = chart(
        "Avocet 08, lent to a visiting illustrator for a season of wave drawings and brought \
         back with a worn nib, measured again on the long beam with the old feet and the new \
         weights before it goes out to the next one",
        (5.0, 260.0, 0.65),
        300.0,
        44,
        12,
    );
    long.subtitle =
        "Notes <quoted> & \"kept\": ".to_owned() + &"a long story of the bench ".repeat(12);
    long.footer = "small print ".repeat(40);
    long.seating_names = vec!["a seating with a name far too long for a legend".to_owned()];

    let crowd = chart("Avocet 09: response", (6.0, 240.0, 0.6), 260.0, 400, 2);

    let single = ResponseChart {
        curve: vec![CurvePoint {
            force_gf: 3.0,
            reported: 0.4,
            low: 0.3,
            high: 0.5,
        }],
        ..ResponseChart::default()
    };

    let empty = ResponseChart {
        onset: Span::new(f64::NAN, f64::NAN, f64::NAN),
        ..ResponseChart::default()
    };

    vec![
        ("below-200", light),
        ("two-seatings", two),
        ("not-reached", open),
        ("onset-at-zero", zero),
        ("above-700", firm),
        ("wide-intervals", wide),
        ("close-together", close),
        ("long-words", long),
        ("crowd", crowd),
        ("single-point", single),
        ("empty", empty),
    ]
}
