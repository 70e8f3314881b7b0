//! What must hold for every monotone curve: order, range, inverse, simplification.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_curve::{
    Composed, CubicBezier, Curve, Interpolation, Knots, MonotonePath, Point, Polyline, Power,
};
use proptest::prelude::*;

/// Points that rise within the unit square: plateaus, steep and very narrow steps among them.
fn rising() -> impl Strategy<Value = Vec<Point>> {
    let width = prop_oneof![4 => 0.01..1.0_f64, 1 => 1e-12..1e-6_f64];
    let height = prop_oneof![3 => 0.001..1.0_f64, 1 => Just(0.0), 1 => 1e-15..1e-9_f64];
    proptest::collection::vec((width, height), 1..14).prop_map(|steps| {
        let (wide, high) = steps
            .iter()
            .fold((0.0, 0.0), |(w, h), s| (w + s.0, h + s.1));
        let high = if high > 0.0 { high } else { 1.0 };
        let mut points = vec![Point::new(0.0, 0.0)];
        let (mut x, mut y) = (0.0, 0.0);
        for (dx, dy) in steps {
            x += dx / wide;
            y = f64::min(y + dy / high, 1.0);
            if points.last().is_some_and(|p| x > p.x) {
                points.push(Point::new(x, y));
            }
        }
        if points.len() < 2 {
            points.push(Point::new(1.0, 1.0));
        }
        points
    })
}

fn curves(points: &[Point]) -> [Box<dyn Curve>; 2] {
    [
        Box::new(Polyline::new(points.to_vec()).unwrap()),
        Box::new(Knots::new(points.to_vec(), Interpolation::MonotoneCubic).unwrap()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn order_is_preserved_and_values_stay_in_the_unit_interval(
        points in rising(),
        at in proptest::collection::vec(-0.1..1.1_f64, 2..40),
    ) {
        for curve in curves(&points) {
            let mut at = at.clone();
            // Next neighbours of every point too.
            at.extend(points.iter().flat_map(|p| [p.x.next_down(), p.x, p.x.next_up()]));
            at.sort_by(f64::total_cmp);
            let mut before = 0.0;
            for x in at {
                let value = curve.value(x);
                prop_assert!((0.0..=1.0).contains(&value), "{value} at {x}");
                // Inside a cubic neighbouring values may differ by their rounding.
                prop_assert!(value >= before - 4.0 * f64::EPSILON, "{value} after {before} at {x}");
                before = value.max(before);
            }
        }
    }

    #[test]
    fn inverse_undoes_value(points in rising(), share in 0.0..1.0_f64) {
        for curve in curves(&points) {
            let (low, high) = curve.domain();
            let x = low + share * (high - low);
            let y = curve.value(x);
            let back = curve.inverse(y);
            // The value of the answer is right whatever the slope; the answer itself where the curve
            // climbs: rounding of y by ε moves x by ε / slope.
            prop_assert!((curve.value(back) - y).abs() <= 1e-9, "{y} became {}", curve.value(back));
            // Beyond x only where the curve is level to the last places.
            let level = curve.value(back) - y <= 4.0 * f64::EPSILON;
            prop_assert!(back <= x + 1e-9 || level, "{back} is not the least: {x}");
            let rise = (curve.value(x) - curve.value(x - 1e-3)).min(curve.value(x + 1e-3) - curve.value(x));
            if rise > 1e-6 {
                prop_assert!((back - x).abs() <= 1e-9, "{x} became {back}");
            }
        }
    }

    #[test]
    fn bezier_power_and_composition_undo_themselves(
        x1 in 0.0..1.0_f64, y1 in 0.0..1.0_f64, x2 in 0.0..1.0_f64, y2 in 0.0..1.0_f64,
        exponent in 0.2..5.0_f64, share in 0.05..0.95_f64,
    ) {
        let (y1, y2) = (y1.min(y2), y1.max(y2));
        let bezier = CubicBezier::new([(0.0, 0.0), (x1, y1), (x2, y2), (1.0, 1.0)].map(Point::from)).unwrap();
        let power = Power::new(exponent, 0.02, 0.98).unwrap();
        let both = Composed::new(bezier, power);
        for curve in [&bezier as &dyn Curve, &power, &both] {
            let y = curve.value(share);
            prop_assert!((0.0..=1.0).contains(&y));
            let back = curve.inverse(y);
            prop_assert!((curve.value(back) - y).abs() <= 1e-9);
            if curve.slope(share) > 1e-3 && curve.slope(share) < 1e3 {
                prop_assert!((back - share).abs() <= 1e-9, "{share} became {back}");
            }
        }
    }

    #[test]
    fn a_simplified_path_stays_within_its_tolerance(
        raster in proptest::collection::vec((0..60_u32, 0..60_u32), 2..60),
        tolerance in 0.0..0.2_f64,
    ) {
        let mut xs: Vec<u32> = raster.iter().map(|p| p.0).collect();
        let mut ys: Vec<u32> = raster.iter().map(|p| p.1).collect();
        xs.sort_unstable();
        ys.sort_unstable();
        let points: Vec<Point> =
            xs.iter().zip(&ys).map(|(x, y)| Point::new(f64::from(*x) / 60.0, f64::from(*y) / 60.0)).collect();
        let path = MonotonePath::new(points).unwrap();
        let simple = path.simplified(tolerance);
        prop_assert!(simple.points().len() <= path.points().len());
        for step in 0..=600 {
            let x = f64::from(step) / 600.0;
            let ((a, b), (c, d)) = (path.band(x), simple.band(x));
            prop_assert!((a - c).abs() <= tolerance + 1e-12 && (b - d).abs() <= tolerance + 1e-12, "at {x}");
        }
    }
}

/// Slopes of these points limited step by step once make a cubic turn back after the second.
#[test]
fn steep_steps_before_a_level_one_do_not_overshoot() {
    let points = [(0.0, 0.0), (1.0, 6.0), (2.0, 7.0), (3.0, 7.0)].map(Point::from);
    let curve = Knots::new(points.to_vec(), Interpolation::MonotoneCubic).unwrap();
    for step in 0..=3000 {
        assert!(
            curve.value(f64::from(step) / 1000.0) <= 7.0,
            "at step {step}"
        );
    }
}
