//! Outlines against closed forms, and against the union of shapes they stand for.

use std::f64::consts::PI;

use evenhand_preview::{InkPoint, outlines};
use proptest::prelude::*;

fn ink(x: f64, y: f64, width: f64) -> InkPoint {
    InkPoint { x, y, width }
}

/// The area that a polygon encloses, for checks: that of a simple polygon, whatever its sense.
fn polygon_area(polygon: &[(f64, f64)]) -> f64 {
    let shifted = polygon.iter().cycle().skip(1);
    let twice: f64 = polygon
        .iter()
        .zip(shifted)
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum();
    twice.abs() / 2.0
}

fn area(points: &[InkPoint]) -> f64 {
    let found = outlines(points);
    assert_eq!(found.len(), 1, "{found:?}");
    polygon_area(&found[0])
}

/// Chords of arcs that keep within 0.02 take less than this part of a disc's area away: a circular segment
/// of height h holds about 2/3 of its chord times h, and all chords together are no longer than 2πr.
fn flattened(width: f64) -> f64 {
    PI * width * 0.02
}

#[test]
fn a_straight_stroke_is_a_stadium() {
    // Area of a stadium: length times width and a disc (closed form).
    for (length, width) in [(100.0, 10.0), (3.0, 24.0), (40.0, 0.5)] {
        let steps = 17;
        let points: Vec<InkPoint> = (0..=steps)
            .map(|i| {
                let along = length * f64::from(i) / f64::from(steps);
                ink(5.0 + 0.6 * along, 7.0 - 0.8 * along, width)
            })
            .collect();
        let exact = length * width + PI * width * width / 4.0;
        let found = area(&points);
        assert!(found <= exact + 1e-9, "{found} of {exact}");
        assert!(exact - found <= flattened(width), "{found} of {exact}");
    }
}

#[test]
fn a_taper_is_a_cone_between_discs() {
    // Two discs of radii R and r at distance d with their outer tangents, cos φ = (R − r)/d: area
    // (R + r) √(d² − (R − r)²) + R² (π − φ) + r² φ (closed form).
    let cases: [(f64, f64, f64); 3] = [(10.0, 2.0, 50.0), (5.0, 4.9, 8.0), (12.0, 0.0001, 12.5)];
    for (big, small, distance) in cases {
        let phi = ((big - small) / distance).acos();
        let side = (distance * distance - (big - small).powi(2)).sqrt();
        let exact = (big + small) * side + big * big * (PI - phi) + small * small * phi;
        for points in [
            [ink(0.0, 0.0, 2.0 * big), ink(0.0, distance, 2.0 * small)],
            [ink(0.0, distance, 2.0 * small), ink(0.0, 0.0, 2.0 * big)],
        ] {
            let found = area(&points);
            let off = (found - exact).abs();
            assert!(off <= flattened(2.0 * big), "{found} of {exact}");
        }
    }
}

#[test]
fn an_arc_keeps_length_times_width() {
    // A band of constant width about a line of radius ρ ≥ width/2 has the line's length times the width
    // (Pappus), and two half discs.
    let (radius, width, angle, steps) = (60.0, 12.0, 2.2, 400);
    let points: Vec<InkPoint> = (0..=steps)
        .map(|i| {
            let at = angle * f64::from(i) / f64::from(steps);
            ink(radius * at.cos(), radius * at.sin(), width)
        })
        .collect();
    let length: f64 = points
        .windows(2)
        .map(|p| (p[1].x - p[0].x).hypot(p[1].y - p[0].y))
        .sum();
    // The chord length itself against the arc's: ρ φ (1 − (φ/n)²/24 …).
    assert!((length - radius * angle).abs() < 1e-3, "{length}");
    let exact = radius * angle * width + PI * width * width / 4.0;
    let found = area(&points);
    let off = (found - exact).abs();
    assert!(off <= flattened(width) + 0.01, "{found} of {exact}");
}

#[test]
fn a_dot_is_a_disc_and_nothing_is_nothing() {
    assert!((area(&[ink(3.0, 4.0, 20.0)]) - 100.0 * PI).abs() <= flattened(20.0));
    assert!(outlines(&[]).is_empty());
    assert!(outlines(&[ink(0.0, 0.0, 0.0), ink(1.0, 0.0, f64::NAN)]).is_empty());
    let parted = [ink(0.0, 0.0, 1.0), ink(9.0, 0.0, 0.0), ink(9.0, 9.0, 1.0)];
    assert_eq!(outlines(&parted).len(), 2);
}

/// Whether a point lies in the union that a stroke stands for, and how far from its border.
fn depth(points: &[InkPoint], x: f64, y: f64) -> f64 {
    let disc = |p: &InkPoint| p.width / 2.0 - (x - p.x).hypot(y - p.y);
    let mut deepest = points.iter().map(disc).fold(f64::NEG_INFINITY, f64::max);
    for pair in points.windows(2) {
        // Discs between two neighbours fill the hull of both.
        for step in 1..400 {
            let t = f64::from(step) / 400.0;
            let between = ink(
                pair[0].x + t * (pair[1].x - pair[0].x),
                pair[0].y + t * (pair[1].y - pair[0].y),
                pair[0].width + t * (pair[1].width - pair[0].width),
            );
            deepest = deepest.max(disc(&between));
        }
    }
    deepest
}

fn winding(polygons: &[Vec<(f64, f64)>], x: f64, y: f64) -> i32 {
    let mut total = 0;
    for polygon in polygons {
        for (a, b) in polygon.iter().zip(polygon.iter().cycle().skip(1)) {
            let side = (b.0 - a.0) * (y - a.1) - (x - a.0) * (b.1 - a.1);
            if a.1 <= y && b.1 > y && side > 0.0 {
                total += 1;
            } else if a.1 > y && b.1 <= y && side < 0.0 {
                total -= 1;
            }
        }
    }
    total
}

fn agrees(points: &[InkPoint]) -> Result<(), TestCaseError> {
    let polygons = outlines(points);
    for i in 0..40 {
        for j in 0..40 {
            let (x, y) = (f64::from(i) * 1.01 - 5.0, f64::from(j) * 1.03 - 5.0);
            let depth = depth(points, x, y);
            // Chords may cut 0.02 off, short cuts a little more.
            if depth.abs() < 0.06 {
                continue;
            }
            let inside = winding(&polygons, x, y) != 0;
            let agree = inside == (depth > 0.0);
            prop_assert!(agree, "({x}, {y}): depth {depth} in {points:?}");
        }
    }
    Ok(())
}

#[test]
fn cusps_and_loops_have_no_gaps() {
    let there_and_back = [ink(0.0, 0.0, 4.0), ink(20.0, 10.0, 8.0), ink(0.0, 0.0, 2.0)];
    let cusp = [(0.0, 20.0, 6.0), (15.0, 0.0, 9.0), (30.0, 20.0, 1.0)];
    let cusp = cusp.map(|(x, y, width)| ink(x, y, width));
    let swollen = [(0.0, 1.0), (12.0, 18.0), (13.0, 2.0), (30.0, 2.0)];
    let swollen = swollen.map(|(x, width)| ink(x, 9.0, width));
    for points in [&there_and_back[..], &cusp, &swollen] {
        agrees(points).unwrap();
    }
    let eight: Vec<InkPoint> = (0..80)
        .map(|i| {
            let t = f64::from(i) / 12.0;
            ink(
                15.0 + 12.0 * t.sin(),
                15.0 + 9.0 * (2.0 * t).sin(),
                2.0 + 5.0 * (0.7 * t).cos().abs(),
            )
        })
        .collect();
    agrees(&eight).unwrap();
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn the_outline_is_the_union(
        points in prop::collection::vec((0.0..30.0_f64, 0.0..30.0_f64, 0.2..16.0_f64), 1..7)
    ) {
        let points: Vec<InkPoint> = points.into_iter().map(|(x, y, w)| ink(x, y, w)).collect();
        agrees(&points)?;
    }
}
