//! Times of sheets and outlines: `cargo bench -p evenhand-preview`.

use divan::{Bencher, black_box};
use evenhand_curve::{Point, Polyline};
use evenhand_preview::{
    HandForce, InkPoint, Pen, RecordedPoint, Scatter, StrokeSheet, Theme, WidthScale, outlines,
    stroke_sheet_svg, svg_to_png,
};

fn main() {
    divan::main();
}

fn sheet<'a>(curves: &'a [Polyline; 3], recorded: Vec<Vec<RecordedPoint>>) -> StrokeSheet<'a> {
    StrokeSheet {
        title: "Strokes".to_owned(),
        subtitle: String::new(),
        hands: [("light", 55.0), ("usual", 105.0), ("firm", 155.0)]
            .map(|(name, force_gf)| HandForce {
                name: name.to_owned(),
                force_gf,
            })
            .to_vec(),
        pen: Pen {
            response: &curves[0],
            without: &curves[1],
            with: &curves[2],
            levels: 8192,
            axial_part: 1.0,
        },
        scale: WidthScale::default(),
        scatter: Scatter {
            reading: 0.004,
            tremor: 0.03,
        },
        recorded,
        footer: String::new(),
    }
}

fn curves() -> [Polyline; 3] {
    let line = |points: &[(f64, f64)]| {
        Polyline::new(points.iter().map(|(x, y)| Point::new(*x, *y)).collect())
            .unwrap_or_else(|_| Polyline::identity())
    };
    [
        line(&[(0.0, 0.0), (5.0, 0.0), (205.0, 1.0)]),
        Polyline::identity(),
        line(&[(0.0, 0.0), (0.75, 1.0), (1.0, 1.0)]),
    ]
}

/// 400 strokes of 250 points.
fn recorded() -> Vec<Vec<RecordedPoint>> {
    (0..400_u32)
        .map(|stroke| {
            (0..250_u32)
                .map(|index| {
                    let part = f64::from(index) / 249.0;
                    RecordedPoint {
                        x: f64::from(stroke % 20) * 10.0 + 8.0 * part + (9.0 * part).sin(),
                        y: f64::from(stroke / 20) * 8.0 + 6.0 * (7.0 * part).cos() * part,
                        reading: (std::f64::consts::PI * part).sin().powf(0.7),
                    }
                })
                .collect()
        })
        .collect()
}

#[divan::bench]
fn figures_as_svg(bencher: Bencher<'_, '_>) {
    let curves = curves();
    let sheet = sheet(&curves, Vec::new());
    bencher.bench_local(|| stroke_sheet_svg(black_box(&sheet), Theme::Light));
}

#[divan::bench]
fn recording_of_100_000_points_as_svg(bencher: Bencher<'_, '_>) {
    let curves = curves();
    let sheet = sheet(&curves, recorded());
    bencher.bench_local(|| stroke_sheet_svg(black_box(&sheet), Theme::Light));
}

#[divan::bench(sample_count = 10)]
fn recording_of_100_000_points_as_png(bencher: Bencher<'_, '_>) {
    let curves = curves();
    let sheet = sheet(&curves, recorded());
    bencher.bench_local(|| svg_to_png(&stroke_sheet_svg(black_box(&sheet), Theme::Light), 2.0));
}

#[divan::bench]
fn outline_of_400_points(bencher: Bencher<'_, '_>) {
    let points: Vec<InkPoint> = (0..400_u32)
        .map(|index| {
            let part = f64::from(index) / 40.0;
            InkPoint {
                x: 30.0 * part,
                y: 20.0 * part.sin(),
                width: 8.0 + 6.0 * (1.7 * part).sin(),
            }
        })
        .collect();
    bencher.bench_local(|| outlines(black_box(&points)));
}
