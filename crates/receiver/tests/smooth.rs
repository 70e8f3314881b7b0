//! Maps of smooth curves and of Béziers on grids or with free ends: legal, near their bound, and not
//! beaten by what others would choose.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_curve::{Curve as _, MonotonePath, Point};
use evenhand_receiver::{
    Compiled, ControlPoint, MapCurve, MapInterpolation, Profile, compile, profile, verify_legal,
};
use proptest::prelude::*;

fn parsed(curve: &str) -> Profile {
    let text = format!("name = \"t\"\ntitle = \"T\"\n[curve]\n{curve}");
    Profile::parse(&text, "t").unwrap()
}

fn smooth(interpolation: &str, max: usize, more: &str) -> Profile {
    parsed(&format!(
        "kind = \"points\"\ninterpolation = \"{interpolation}\"\npoints = {{ min = 2, max = {max} }}\n{more}"
    ))
}

fn on_grid(steps: u32) -> String {
    format!("[grid]\ninput_steps = {steps}\noutput_steps = {steps}\n")
}

fn path(output: impl Fn(f64) -> f64) -> MonotonePath {
    let points = (0..=200).map(|i| f64::from(i) / 200.0);
    MonotonePath::new(points.map(|x| Point::new(x, output(x))).collect()).unwrap()
}

/// Worst error on a grid of this test's own.
fn worst(map: &MapCurve, ideal: &MonotonePath) -> f64 {
    (0..=4000)
        .map(|i| f64::from(i) / 4000.0)
        .map(|x| (map.value(x) - ideal.value(x)).abs())
        .fold(0.0, f64::max)
}

fn curve(profile: &Profile, points: &[(f64, f64)]) -> Option<MapCurve> {
    let points = points.iter().map(|&(x, y)| ControlPoint::new(x, y));
    let points: Vec<ControlPoint> = points.collect();
    verify_legal(profile, &points).ok()?;
    MapCurve::new(profile.interpolation(), &points, None).ok()
}

fn assert_sound(profile: &Profile, map: &Compiled, ideal: &MonotonePath) {
    verify_legal(profile, &map.control_points).unwrap();
    let measured = worst(&map.curve, ideal);
    let stated = map.max_error;
    assert!(measured <= stated + 1e-6, "{measured} {stated}");
    assert!(stated <= measured + 2e-3, "{measured} {stated}");
    assert!(map.lower_bound <= stated);
    let mut before = 0.0;
    for step in 0..=4000 {
        let output = map.curve.value(f64::from(step) / 4000.0);
        assert!((0.0..=1.0).contains(&output) && output >= before - 1e-12);
        before = output;
    }
}

/// Ideal maps as styluses have them: nothing up to a floor, a bent climb, full from a ceiling on.
fn bent() -> impl Strategy<Value = MonotonePath> {
    (0.0..0.2_f64, 0.5..1.0_f64, 0.4..2.5_f64, 0.0..1.0_f64).prop_map(
        |(floor, ceiling, exponent, straightness)| {
            path(move |x| {
                let part = ((x - floor) / (ceiling - floor)).clamp(0.0, 1.0);
                straightness * part + (1.0 - straightness) * part.powf(exponent)
            })
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 3, max_shrink_iters: 0, ..ProptestConfig::default() })]

    #[test]
    fn smooth_maps_are_legal_and_no_rival_beats_them_or_their_bound(
        ideal in bent(),
        rivals in prop::collection::vec(prop::collection::vec((0.0..1.0_f64, -0.02..0.02_f64), 1..5), 150),
    ) {
        for interpolation in KINDS {
            let profile = smooth(interpolation, 6, "");
            let map = compile(&profile, &ideal).unwrap();
            assert_sound(&profile, &map, &ideal);
            for rival in &rivals {
                let mut inner: Vec<(f64, f64)> = rival
                    .iter()
                    .map(|(x, off)| (*x, (ideal.value(*x) + off).clamp(0.0, 1.0)))
                    .collect();
                inner.sort_by(|a, b| a.0.total_cmp(&b.0));
                let all: Vec<(f64, f64)> =
                    [vec![(0.0, 0.0)], inner, vec![(1.0, 1.0)]].concat();
                if let Some(rival) = curve(&profile, &all) {
                    let found = worst(&rival, &ideal);
                    prop_assert!(found >= map.lower_bound - 1e-9, "{interpolation}");
                    prop_assert!(found >= map.max_error - 2e-3, "{interpolation} {found} {} {all:?}", map.max_error);
                }
            }
        }
    }

}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 1, max_shrink_iters: 0, ..ProptestConfig::default() })]

    #[test]
    fn beziers_with_free_ends_are_legal_and_no_worse_than_fixed_ones(ideal in bent()) {
        let fixed = compile(profile("bezier").unwrap(), &ideal).unwrap();
        let mut before = fixed.max_error;
        for ends in ["free-output", "free"] {
            let profile = parsed(&format!("kind = \"bezier\"\nends = \"{ends}\"\n"));
            let map = compile(&profile, &ideal).unwrap();
            assert_sound(&profile, &map, &ideal);
            prop_assert!(map.max_error <= before + 5e-4, "{ends} {} {before}", map.max_error);
            before = map.max_error;
        }
    }
}

const KINDS: [&str; 3] = ["monotone-cubic", "catmull-rom", "natural-cubic"];

/// What the search among neighbours may leave to the best of all: a tenth of a step, and nothing on the
/// grids whose sets are few enough to be looked at one by one.
fn searched(steps: u32) -> f64 {
    let tenth = 0.1 / f64::from(steps);
    if steps < 10 { 1e-9 } else { tenth }
}

/// Ideal maps for searches that look at everything.
fn few() -> Vec<MonotonePath> {
    vec![
        path(|x| x * x),
        path(f64::sqrt),
        path(|x| (1.6 * x - 0.2).clamp(0.0, 1.0)),
        path(|x| (2.0 * x).min(1.0).powf(0.7)),
        path(|x| x * x * (3.0 - 2.0 * x)),
    ]
}

#[test]
fn smooth_maps_on_small_grids_are_the_best_of_all() {
    // Few enough sets to be looked at by the compiler as well, and too many.
    for (steps, interpolation) in [7, 13]
        .into_iter()
        .flat_map(|steps| KINDS.map(|kind| (steps, kind)))
    {
        let at = |step: u32| f64::from(step) / f64::from(steps);
        let profile = smooth(interpolation, 4, &on_grid(steps));
        for (number, ideal) in few().iter().enumerate() {
            let mut best = f64::INFINITY;
            let mut look = |points: &[(f64, f64)]| {
                if let Some(map) = curve(&profile, points) {
                    best = best.min(worst(&map, ideal));
                }
            };
            let cells = (1..steps).flat_map(|i| (0..=steps).map(move |j| (at(i), at(j))));
            let cells: Vec<(f64, f64)> = cells.collect();
            look(&[(0.0, 0.0), (1.0, 1.0)]);
            for a in &cells {
                look(&[(0.0, 0.0), *a, (1.0, 1.0)]);
                for b in &cells {
                    look(&[(0.0, 0.0), *a, *b, (1.0, 1.0)]);
                }
            }
            let map = compile(&profile, ideal).unwrap();
            assert_sound(&profile, &map, ideal);
            let found = worst(&map.curve, ideal);
            let is_best = found <= best + searched(steps);
            assert!(is_best, "{interpolation} {number}: {found} {best}");
            assert!(map.lower_bound <= best + 1e-9);
        }
    }
}

#[test]
fn beziers_on_small_grids_are_the_best_of_all() {
    for (steps, (number, ideal)) in [8, 14].into_iter().flat_map(|steps| {
        few()
            .into_iter()
            .enumerate()
            .map(move |ideal| (steps, ideal))
    }) {
        let ideal = &ideal;
        let at = |step: u32| f64::from(step) / f64::from(steps);
        let profile = parsed(&format!("kind = \"bezier\"\n{}", on_grid(steps)));
        let cells = (0..=steps).flat_map(|i| (0..=steps).map(move |j| (at(i), at(j))));
        let cells: Vec<(f64, f64)> = cells.collect();
        let mut best = f64::INFINITY;
        for a in &cells {
            for b in &cells {
                let handles = [(0.0, 0.0), *a, *b, (1.0, 1.0)];
                let control = handles.map(|(x, y)| ControlPoint::new(x, y));
                let rival = MapCurve::new(MapInterpolation::CubicBezier, &control, None).unwrap();
                let rough = (0..=40)
                    .map(|i| f64::from(i) / 40.0)
                    .map(|x| (rival.value(x) - ideal.value(x)).abs())
                    .fold(0.0, f64::max);
                if rough < best {
                    best = best.min(worst(&rival, ideal));
                }
            }
        }
        let map = compile(&profile, ideal).unwrap();
        assert_sound(&profile, &map, ideal);
        let found = worst(&map.curve, ideal);
        assert!(found <= best + searched(steps), "{number}: {found} {best}");
        assert!(map.lower_bound <= best + 1e-9);
    }
}

#[test]
fn gaps_and_grids_hold_for_smooth_maps() {
    let ideal = path(|x| (1.8 * x - 0.1).clamp(0.0, 1.0).powf(0.8));
    for rounding in ["nearest", "down"] {
        let more = format!("min_gap = 0.1\n{}rounding = \"{rounding}\"\n", on_grid(100));
        let profile = smooth("monotone-cubic", 7, &more);
        let map = compile(&profile, &ideal).unwrap();
        assert_sound(&profile, &map, &ideal);
        let pairs = map.control_points.windows(2);
        let gaps = pairs.map(|p| p[1].input - p[0].input);
        assert!(gaps.fold(1.0, f64::min) >= 0.1 - 1e-12);
    }
    let profile = smooth("natural-cubic", 5, "ends = \"free\"\n");
    assert_sound(&profile, &compile(&profile, &ideal).unwrap(), &ideal);
}

#[test]
fn three_points_without_a_grid_do_no_worse_than_on_one() {
    let ideal = path(|x| (1.3 * x).min(1.0).powf(1.6));
    for interpolation in KINDS {
        let free = compile(&smooth(interpolation, 3, ""), &ideal).unwrap();
        let stepped = compile(&smooth(interpolation, 3, &on_grid(60)), &ideal).unwrap();
        let (free, stepped) = (free.max_error, stepped.max_error);
        assert!(free <= stepped + 1e-6, "{interpolation}: {free} {stepped}");
    }
}

#[test]
fn a_bezier_with_free_ends_may_be_as_steep_as_the_ideal_map() {
    let profile = parsed("kind = \"bezier\"\nends = \"free\"\n");
    let ideal = path(|x| ((x - 0.25) / 0.005).clamp(0.0, 1.0));
    let map = compile(&profile, &ideal).unwrap();
    assert_sound(&profile, &map, &ideal);
    let third = |part: f64| (0.25 + 0.005 * part, part);
    let straight = [third(0.0), third(1.0 / 3.0), third(2.0 / 3.0), third(1.0)];
    let rival = curve(&profile, &straight).unwrap();
    assert!(map.lower_bound <= worst(&rival, &ideal) + 1e-9);
}

#[test]
fn a_map_that_overshoots_between_its_points_is_illegal() {
    let points = [(0.0, 0.0), (0.5, 0.0), (0.55, 1.0), (1.0, 1.0)];
    for interpolation in ["catmull-rom", "natural-cubic"] {
        assert!(curve(&smooth(interpolation, 8, ""), &points).is_none());
    }
    assert!(curve(&smooth("monotone-cubic", 8, ""), &points).is_some());
}
