//! Corners of curves before and after the map, against closed forms: no even grid meets a corner at a third.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_curve::{Composed, Curve, MonotonePath, Point, Polyline};
use evenhand_inversion::{Target, TargetShape, achieved, behind, compose_inverse};
use evenhand_measurement::Force;

const THIRD: f64 = 1.0 / 3.0;
/// What rounding leaves.
const ROUNDING: f64 = 1e-12;

fn line(points: &[(f64, f64)]) -> Polyline {
    Polyline::new(points.iter().copied().map(Point::from).collect()).unwrap()
}

/// Two straight pieces that meet at an input of a third.
fn cornered(height: f64) -> Polyline {
    line(&[(0.0, 0.0), (THIRD, height), (1.0, 1.0)])
}

#[test]
fn a_corner_before_the_map_stands_where_the_response_meets_it() {
    let response = line(&[(0.0, 0.0), (200.0, 1.0)]);
    let chained = behind(&response, &cornered(0.2)).unwrap();
    assert!((chained.value(200.0 * THIRD) - 0.2).abs() < ROUNDING);
    // Half-way along either piece.
    assert!((chained.value(100.0 * THIRD) - 0.1).abs() < ROUNDING);
    assert!((chained.value(400.0 * THIRD) - 0.6).abs() < ROUNDING);
}

#[test]
fn a_corner_after_the_map_is_turned_round() {
    let ideal = MonotonePath::new(vec![Point::new(0.0, 0.0), Point::new(1.0, 1.0)]).unwrap();
    let left = compose_inverse(&ideal, &cornered(0.6)).unwrap();
    assert!((left.value(0.6) - THIRD).abs() < ROUNDING);
    assert!((left.value(0.3) - 0.5 * THIRD).abs() < ROUNDING);
    assert!((left.value(0.8) - 2.0 * THIRD).abs() < ROUNDING);
}

#[test]
fn errors_are_judged_at_the_corners_of_every_curve_of_the_chain() {
    let response = line(&[(0.0, 0.0), (200.0, 1.0)]);
    let judged = |curve: &dyn Curve, full: f64| {
        let wanted = Target::new(Force::ZERO, Force::from_gf(full), TargetShape::Linear).unwrap();
        let found = achieved(&response, curve, &wanted);
        let off = found.max_error - (0.5 - THIRD);
        assert!(off.abs() < ROUNDING, "{found:?}");
        let off_gf = found.worst_at.gf() - full * THIRD;
        assert!(off_gf.abs() < 1e-9, "{found:?}");
    };
    // The map itself, after a straight one, and before a straight one: a half is given where a third is wanted.
    let straight = Polyline::identity();
    let curves: [&dyn Curve; 3] = [
        &cornered(0.5),
        &Composed::new(cornered(0.5), straight.clone()),
        &Composed::new(straight, cornered(0.5)),
    ];
    for curve in curves {
        judged(curve, 200.0);
    }
    // A corner that another curve moves: the outer bends at a third, which the inner gives at a sixth.
    let moved = Composed::new(cornered(0.5), line(&[(0.0, 0.0), (0.5, 1.0), (1.0, 1.0)]));
    judged(&moved, 100.0);
}
