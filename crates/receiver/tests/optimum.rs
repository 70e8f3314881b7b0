//! The solver against brute force on small grids, and what must hold for every map.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_curve::{Curve as _, MonotonePath, Point};
use evenhand_receiver::{
    CompileError, CompileStatus, Compiled, ControlPoint, MapCurve, MapInterpolation, Profile,
    compile, profile, quantisation, verify_legal, worst_error,
};
use proptest::prelude::*;

fn parsed(kind: &str, rest: &str) -> Profile {
    let text = format!("name = \"test\"\ntitle = \"Test\"\n[curve]\nkind = \"{kind}\"\n{rest}");
    Profile::parse(&text, "test").unwrap()
}

fn numbered(min: usize, max: usize, more: &str) -> Profile {
    let points = format!("points = {{ min = {min}, max = {max} }}\n{more}");
    parsed("points", &format!("interpolation = \"linear\"\n{points}"))
}

fn points(max: usize, more: &str) -> Profile {
    numbered(2, max, more)
}

fn grid(max: usize, steps: u32, rounding: &str) -> Profile {
    let grid = format!("[grid]\ninput_steps = {steps}\noutput_steps = {steps}\n");
    points(max, &format!("{grid}rounding = \"{rounding}\"\n"))
}

/// The least worst error over every legal set of points on a grid, by looking at all of them.
fn brute_force(path: &MonotonePath, max: usize, steps: u32) -> f64 {
    fn extend(
        path: &MonotonePath,
        chosen: &mut Vec<ControlPoint>,
        left: usize,
        steps: u32,
        best: &mut f64,
    ) {
        let last = chosen[chosen.len() - 1];
        let at = |step: u32| f64::from(step) / f64::from(steps);
        chosen.push(ControlPoint::new(1.0, 1.0));
        *best = best.min(worst_error(chosen, path));
        chosen.pop();
        if left == 0 {
            return;
        }
        for i in 1..steps {
            for j in 0..=steps {
                if at(i) > last.input && at(j) >= last.output {
                    chosen.push(ControlPoint::new(at(i), at(j)));
                    extend(path, chosen, left - 1, steps, best);
                    chosen.pop();
                }
            }
        }
    }
    let mut best = f64::INFINITY;
    let mut chosen = vec![ControlPoint::new(0.0, 0.0)];
    extend(path, &mut chosen, max - 2, steps, &mut best);
    best
}

/// Rising paths with flats and vertical steps, coordinates on a coarse raster so that ties are common.
fn paths() -> impl Strategy<Value = MonotonePath> {
    proptest::collection::vec((0..=24_u32, 0..=24_u32), 0..8).prop_map(|raster| {
        let mut xs: Vec<u32> = raster.iter().map(|p| p.0).collect();
        let mut ys: Vec<u32> = raster.iter().map(|p| p.1).collect();
        xs.sort_unstable();
        ys.sort_unstable();
        let part = |raster: &u32| f64::from(*raster) / 24.0;
        let inner = xs.iter().zip(&ys).map(|(x, y)| (part(x), part(y)));
        path(&[vec![(0.0, 0.0)], inner.collect(), vec![(1.0, 1.0)]].concat())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn grids_are_solved_as_by_looking_at_everything(path in paths(), steps in 3..7_u32, max in 2..5_usize) {
        let expected = brute_force(&path, max, steps);
        let compiled = compile(&grid(max, steps, "nearest"), &path).unwrap();
        prop_assert!((compiled.max_error - expected).abs() < 1e-9, "{} against {expected}: {:?}", compiled.max_error, compiled.control_points);
        prop_assert!(compiled.lower_bound <= expected + 1e-12);
    }

    #[test]
    fn every_map_is_legal_and_no_other_beats_its_bound(
        path in paths(),
        max in 2..9_usize,
        rival in proptest::collection::vec((0.0..1.0_f64, 0.0..1.0_f64), 0..7),
    ) {
        let profile = points(max, "");
        let compiled = compile(&profile, &path).unwrap();
        prop_assert_eq!(verify_legal(&profile, &compiled.control_points), Ok(()));
        prop_assert!(compiled.lower_bound <= compiled.max_error);
        prop_assert!(compiled.max_error - compiled.lower_bound < 1e-8, "{:?}", compiled);
        // Dense, by other code: the curve crate's polyline.
        let corners = compiled.control_points.iter().map(|p| Point::new(p.input, p.output)).collect();
        let map = evenhand_curve::Polyline::new(corners).unwrap();
        for step in 0..=500 {
            let x = f64::from(step) / 500.0;
            let (least, most) = path.band(x);
            let error = (map.value(x) - least).abs().max((map.value(x) - most).abs());
            prop_assert!(error <= compiled.max_error + 1e-9, "{error} at {x}, {:?}", compiled);
        }
        let mut xs: Vec<f64> = rival.iter().map(|p| p.0).filter(|x| *x > 0.0).collect();
        let mut ys: Vec<f64> = rival.iter().map(|p| p.1).collect();
        xs.sort_by(f64::total_cmp);
        xs.dedup();
        ys.sort_by(f64::total_cmp);
        let mut legal = vec![ControlPoint::new(0.0, 0.0)];
        legal.extend(xs.iter().zip(&ys).map(|(x, y)| ControlPoint::new(*x, *y)));
        legal.push(ControlPoint::new(1.0, 1.0));
        if verify_legal(&profile, &legal).is_ok() {
            prop_assert!(worst_error(&legal, &path) >= compiled.lower_bound);
        }
    }

    #[test]
    fn more_points_and_finer_grids_are_never_worse(path in paths(), max in 2..8_usize) {
        let error = |profile: &Profile| compile(profile, &path).unwrap().max_error;
        prop_assert!(error(&points(max + 1, "")) <= error(&points(max, "")) + 1e-9);
        prop_assert!(error(&grid(max, 24, "down")) <= error(&grid(max, 12, "nearest")) + 1e-9);
        prop_assert!(error(&points(max, "")) <= error(&grid(max, 24, "nearest")) + 1e-9);
        prop_assert!(error(&points(max, "ends = \"free-output\"\n")) <= error(&points(max, "")) + 1e-9);
        prop_assert!(error(&points(max, "ends = \"free\"\n")) <= error(&points(max, "ends = \"free-output\"\n")) + 1e-9);
    }

    #[test]
    fn gaps_are_kept_with_and_without_a_grid(path in paths(), max in 3..7_usize) {
        for more in [
            "min_gap = 0.11\n".to_owned(),
            "min_gap = 0.11\n[grid]\ninput_steps = 40\noutput_steps = 40\n".to_owned(),
        ] {
            let profile = points(max, &more);
            let compiled = compile(&profile, &path).unwrap();
            prop_assert_eq!(verify_legal(&profile, &compiled.control_points), Ok(()));
            prop_assert!(compiled.lower_bound <= compiled.max_error);
        }
    }
}

fn path(points: &[(f64, f64)]) -> MonotonePath {
    MonotonePath::new(points.iter().copied().map(Point::from).collect()).unwrap()
}

#[test]
fn the_straight_line_and_the_step() {
    let line = compile(&points(8, ""), &path(&[(0.0, 0.0), (1.0, 1.0)])).unwrap();
    assert_eq!((line.max_error, line.lower_bound), (0.0, 0.0));
    assert_eq!(line.control_points.len(), 2);
    // A map can only choose one output in a vertical step of height 1: half of it is lost.
    let step = path(&[(0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (1.0, 1.0)]);
    let step = compile(&points(8, ""), &step).unwrap();
    assert!((step.max_error - 0.5).abs() < 1e-9, "{step:?}");
}

#[test]
fn full_output_comes_as_early_as_the_error_allows() {
    // Two straight pieces that three points draw exactly: full from 0.7 on.
    let bent = path(&[(0.0, 0.0), (0.3, 0.2), (0.7, 1.0), (1.0, 1.0)]);
    let map = compile(&points(4, ""), &bent).unwrap();
    assert!(map.max_error < 1e-9);
    let full = |map: &Compiled| {
        let mut points = map.control_points.iter();
        points.find(|p| p.output >= 1.0 - 1e-9).unwrap().input
    };
    assert!((full(&map) - 0.7).abs() < 1e-6, "{map:?}");
    // A ramp of x² with one point too few must still be full before the end of the readings.
    let square: Vec<(f64, f64)> = (0..=400)
        .map(|i| f64::from(i) / 400.0)
        .map(|x| (0.8 * x, x * x))
        .chain([(1.0, 1.0)])
        .collect();
    let map = compile(&points(4, ""), &path(&square)).unwrap();
    assert!(full(&map) < 0.85, "{:?}", map.control_points);
}

#[test]
fn a_least_number_of_points_is_honoured() {
    let straight = path(&[(0.0, 0.0), (1.0, 1.0)]);
    for grid in ["", "[grid]\ninput_steps = 7\noutput_steps = 5\n"] {
        let profile = numbered(5, 5, grid);
        let map = compile(&profile, &straight).unwrap();
        assert_eq!(map.control_points.len(), 5);
        assert!(!grid.is_empty() || map.max_error < 1e-12);
    }
}

#[test]
fn what_cannot_be_compiled_says_so() {
    let outside = path(&[(0.0, 0.0), (1.0, 1.5)]);
    let refused = compile(&points(4, ""), &outside).unwrap_err();
    assert!(matches!(refused, CompileError::OutsideUnitSquare { .. }));
}

#[test]
fn quantisation_is_counted_over_every_reading() {
    let map = [(0.0, 0.0), (0.5, 0.0), (1.0, 1.0)].map(|(x, y)| ControlPoint::new(x, y));
    // Readings 0, 1/4, 1/2, 3/4, 1 give 0, 0, 0, 1/2, 1.
    let curve = MapCurve::new(MapInterpolation::Linear, &map, None).unwrap();
    let figures = quantisation(&curve, &map, Some(5));
    assert_eq!(figures.distinct_outputs, 3);
    assert_eq!(figures.largest_step, 0.5);
    assert_eq!(figures.largest_gain, 2.0);
}

fn table(entries: usize, more: &str) -> Profile {
    parsed("table", &format!("entries = {entries}\n{more}"))
}

#[test]
fn a_table_of_a_parabola_has_the_error_of_its_closed_form() {
    // With h between entries, the chord from (0, 0) through (h, h² − E) departs from x² by the square of
    // half its slope, (h² − E)² / 4h², below h, and by E at h; both are equal at E = (3 − 2√2) h².
    // Free outer entries leave the chords' own error, halved on both sides: h² / 8.
    // A polyline of 6,000 chords stays within 7e-9 of x².
    let steps = 6_000;
    let square: Vec<(f64, f64)> = (0..=steps)
        .map(|i| f64::from(i) / f64::from(steps))
        .map(|x| (x, x * x))
        .collect();
    let square = path(&square);
    for entries in [3, 5, 9, 33] {
        let h = 1.0 / (entries - 1) as f64;
        let map = compile(&table(entries, ""), &square).unwrap();
        let expected = (3.0 - 2.0 * 2.0_f64.sqrt()) * h * h;
        let error = map.max_error;
        assert!((error - expected).abs() < 2e-8, "{entries}: {error}");
        assert!(map.max_error - map.lower_bound < 1e-9);
        assert_eq!(map.control_points.len(), entries);
        let map = compile(&table(entries, "ends = \"free-output\"\n"), &square).unwrap();
        // An output below 0 is not to be had, so the first chord is the exception again.
        assert!(map.max_error >= h * h / 8.0 - 2e-8 && map.max_error <= expected + 2e-8);
    }
}

#[test]
fn a_table_holds_its_steps_and_its_readings() {
    let bent = path(&[(0.0, 0.0), (0.1, 0.0), (0.1, 0.3), (0.6, 0.9), (1.0, 1.0)]);
    for rounding in ["nearest", "down"] {
        let grid = format!("[grid]\noutput_steps = 255\nrounding = \"{rounding}\"\n");
        let profile = table(64, &grid);
        let map = compile(&profile, &bent).unwrap();
        verify_legal(&profile, &map.control_points).unwrap();
        assert!(map.max_error <= map.lower_bound + 0.5 / 255.0 + 1e-9);
        // Half the height of the vertical step cannot be avoided.
        assert!(map.lower_bound >= 0.15 - 1e-9);
    }
    let profile = table(3, "");
    let moved = [(0.0, 0.0), (0.4, 0.5), (1.0, 1.0)].map(|(x, y)| ControlPoint::new(x, y));
    assert!(verify_legal(&profile, &moved).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_table_beats_the_bound(
        steps in prop::collection::vec((0.0..1.0_f64, 0.0..1.0_f64), 2..12),
        rivals in prop::collection::vec(prop::collection::vec(0.0..=1.0_f64, 3), 20),
    ) {
        let mut at = (0.0, 0.0);
        let mut corners = vec![at];
        for (dx, dy) in &steps {
            at = (at.0 + dx, at.1 + dy);
            corners.push(at);
        }
        let (width, height) = (at.0.max(1e-9), at.1.max(1e-9));
        let scaled: Vec<(f64, f64)> = corners.iter().map(|(x, y)| (x / width, y / height)).collect();
        let ideal = path(&scaled);
        let map = compile(&table(5, ""), &ideal).unwrap();
        prop_assert!(map.max_error <= map.lower_bound + 1e-9, "{} {}", map.max_error, map.lower_bound);
        for mut rival in rivals {
            rival.sort_by(f64::total_cmp);
            let outputs = [0.0, rival[0], rival[1], rival[2], 1.0];
            let rival: Vec<ControlPoint> = (0..5_u8)
                .zip(outputs)
                .map(|(i, y)| ControlPoint::new(f64::from(i) / 4.0, y))
                .collect();
            prop_assert!(worst_error(&rival, &ideal) >= map.lower_bound - 1e-12);
        }
    }
}

/// Maps that a receiver of two or four parameters has to come near, with bends of many kinds.
fn bent() -> impl Strategy<Value = MonotonePath> {
    (0.0..0.2_f64, 0.6..1.0_f64, 0.25..4.0_f64, 0.0..1.0_f64).prop_map(
        |(floor, ceiling, exponent, straightness)| {
            let output = move |x: f64| {
                let part = ((x - floor) / (ceiling - floor)).clamp(0.0, 1.0);
                straightness * part + (1.0 - straightness) * part.powf(exponent)
            };
            let points: Vec<(f64, f64)> = (0..=200)
                .map(|i| f64::from(i) / 200.0)
                .map(|x| (x, output(x)))
                .collect();
            path(&points)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 8, max_shrink_iters: 0, ..ProptestConfig::default() })]

    #[test]
    fn no_power_and_no_bezier_beats_the_bound(
        ideal in bent(),
        rivals in prop::collection::vec((0.05..8.0_f64, 0.0..0.5_f64, 0.5..=1.0_f64, 0.0..=1.0_f64), 200),
    ) {
        let compiled = ["power", "bezier"].map(|name| {
            let profile = profile(name).unwrap();
            let map = compile(profile, &ideal).unwrap();
            verify_legal(profile, &map.control_points).unwrap();
            map
        });
        for map in &compiled {
            // The aim: within 0.1 % of full scale of what is proven.
            prop_assert!(map.max_error - map.lower_bound <= 1e-3, "{} {}", map.max_error, map.lower_bound);
            prop_assert_eq!(map.status, CompileStatus::WithinBound);
            let mut before = 0.0;
            for step in 0..=1000 {
                let output = map.curve.value(f64::from(step) / 1000.0);
                prop_assert!((0.0..=1.0).contains(&output) && output >= before - 1e-12);
                before = output;
            }
        }
        let [power, bezier] = &compiled;
        let worst = |curve: &MapCurve| {
            (0..=2000)
                .map(|i| f64::from(i) / 2000.0)
                .map(|x| (curve.value(x) - ideal.value(x)).abs())
                .fold(0.0, f64::max)
        };
        for (exponent, floor, ceiling, share) in rivals {
            let ends = [ControlPoint::new(floor, 0.0), ControlPoint::new(ceiling.max(floor + 0.1), 1.0)];
            let rival = MapCurve::new(MapInterpolation::Power, &ends, Some(exponent)).unwrap();
            prop_assert!(worst(&rival) >= power.lower_bound - 1e-9);
            let handles = [(0.0, 0.0), (floor, share), (ceiling, exponent / 8.0), (1.0, 1.0)]
                .map(|(x, y)| ControlPoint::new(x, y));
            let rival = MapCurve::new(MapInterpolation::CubicBezier, &handles, None).unwrap();
            prop_assert!(worst(&rival) >= bezier.lower_bound - 1e-9);
        }
    }
}

#[test]
fn what_a_receiver_can_say_exactly_is_found() {
    let ramp: Vec<(f64, f64)> = (0..=1000)
        .map(|i| f64::from(i) / 1000.0)
        .map(|x| (x, ((x - 0.05) / 0.8).clamp(0.0, 1.0).powf(1.3)))
        .collect();
    let map = compile(profile("power").unwrap(), &path(&ramp)).unwrap();
    assert!(map.max_error < 1e-3, "{}", map.max_error);
    let [floor, ceiling] = map.control_points[..] else {
        panic!("{:?}", map.control_points)
    };
    assert!((floor.input - 0.05).abs() < 5e-3 && (ceiling.input - 0.85).abs() < 5e-3);
    assert!((map.exponent.unwrap() - 1.3).abs() < 0.02);
    // The easing named ease in CSS Easing (seen), a Bézier with handles (0.25, 0.1) and (0.25, 1).
    let handles = [(0.0, 0.0), (0.25, 0.1), (0.25, 1.0), (1.0, 1.0)];
    let handles = handles.map(|(x, y)| ControlPoint::new(x, y));
    let ease = MapCurve::new(MapInterpolation::CubicBezier, &handles, None).unwrap();
    let ease: Vec<(f64, f64)> = ease.sample(1001).iter().map(|p| (p.x, p.y)).collect();
    let map = compile(profile("bezier").unwrap(), &path(&ease)).unwrap();
    assert!(
        map.max_error < 1e-3,
        "{} {:?}",
        map.max_error,
        map.control_points
    );
}
