//! Points moved by hand: always legal, and solved anew around those that stay.

use evenhand_curve::{MonotonePath, Point};
use evenhand_receiver::{
    Compiled, ControlPoint, Profile, add_point, compile, compile_around, freedom, move_point,
    profile, remove_point, shipped, verify_legal,
};
use proptest::prelude::*;

fn path(output: impl Fn(f64) -> f64) -> MonotonePath {
    let points = (0..=400).map(|i| f64::from(i) / 400.0);
    MonotonePath::new(points.map(|x| Point::new(x, output(x))).collect()).expect("a climb")
}

fn climbs() -> Vec<MonotonePath> {
    vec![
        path(|x| x * x),
        path(|x| (x / 0.7).min(1.0).powf(0.6)),
        path(|x| ((x - 0.05).max(0.0) * 1.2).min(1.0).powf(1.7)),
        path(|x| 0.5 - 0.5 * (std::f64::consts::PI * x).cos()),
    ]
}

/// Profiles whose curves are solved in no time, so that many sequences can be tried.
fn quick() -> Vec<&'static Profile> {
    shipped()
        .iter()
        .filter(|profile| profile.interpolation().is_straight())
        .collect()
}

#[derive(Clone, Debug)]
enum Edit {
    Move(usize, f64, f64),
    Add(f64),
    Remove(usize),
}

fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let place = || prop_oneof![8 => -0.2..1.2_f64, 1 => Just(f64::NAN), 1 => any::<f64>()];
    let edit = prop_oneof![
        6 => (0_usize..12, place(), place()).prop_map(|(i, x, y)| Edit::Move(i, x, y)),
        1 => place().prop_map(Edit::Add),
        1 => (0_usize..12).prop_map(Edit::Remove),
    ];
    prop::collection::vec(edit, 1..25)
}

fn edited(profile: &Profile, mut here: Compiled, edits: &[Edit]) -> Result<(), TestCaseError> {
    let ideal = path(|x| x);
    for edit in edits {
        let points = &here.control_points;
        let after = match edit {
            Edit::Move(index, x, y) => {
                let after = move_point(profile, points, *index, ControlPoint::new(*x, *y));
                for (other, (a, b)) in points.iter().zip(&after).enumerate() {
                    prop_assert!(other == *index || a == b, "only one point moves");
                }
                Some(after)
            }
            Edit::Add(x) => add_point(profile, points, &here.curve, *x).map(|(after, _)| after),
            Edit::Remove(index) => remove_point(profile, points, *index),
        };
        let Some(after) = after else { continue };
        if let Err(broken) = verify_legal(profile, &after) {
            let name = profile.name();
            prop_assert!(false, "{name}: {broken} after {edit:?}: {after:?}");
        }
        here = Compiled::of_points(profile, &ideal, after, here.exponent, 0.0)
            .map_err(|error| TestCaseError::fail(error.to_string()))?;
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn points_stay_legal_whatever_is_done(edits in edits(), climb in 0_usize..4) {
        let ideal = &climbs()[climb];
        for profile in quick() {
            edited(profile, compile(profile, ideal).unwrap(), &edits)?;
        }
    }
}

#[test]
fn smooth_curves_stay_legal_too() {
    let steps = |seed: u32| -> Vec<Edit> {
        (0..30_u32)
            .map(|i| {
                let part = |k: u32| f64::from((seed * 7919 + i * k) % 1000) / 1000.0;
                Edit::Move((seed * 31 + i * 7) as usize % 8, part(373), part(577))
            })
            .collect()
    };
    for name in ["smooth-8", "bezier", "power"] {
        let profile = profile(name).unwrap();
        let here = compile(profile, &climbs()[1]).unwrap();
        for seed in 1..12 {
            edited(profile, here.clone(), &steps(seed)).unwrap();
        }
    }
}

#[test]
fn a_point_goes_where_it_is_dragged() {
    let receiver = profile("segments-8").unwrap();
    let here = compile(receiver, &climbs()[0]).unwrap();
    let at = here.control_points[3];
    let near = ControlPoint::new(at.input + 0.005, at.output + 0.004);
    assert_eq!(move_point(receiver, &here.control_points, 3, near)[3], near);
    // Ends that are fixed stay, and a point dragged past its neighbour stops at it.
    let far = ControlPoint::new(0.9, 0.9);
    assert_eq!(
        move_point(receiver, &here.control_points, 0, far),
        here.control_points
    );
    let stopped = move_point(receiver, &here.control_points, 3, far)[3];
    assert!(stopped.input < here.control_points[4].input);
    assert_eq!(stopped.output, here.control_points[4].output);
    let gridded = profile("segments-8-percent").unwrap();
    let here = compile(gridded, &climbs()[0]).unwrap();
    let at = here.control_points[3];
    let moved = move_point(
        gridded,
        &here.control_points,
        3,
        ControlPoint::new(at.input + 0.0121, at.output),
    )[3];
    assert!((moved.input - at.input - 0.01).abs() < 1e-12, "{moved:?}");
    assert!(!freedom(gridded, &here.control_points, 0).output);
}

#[test]
fn points_are_added_on_the_curve_and_taken_away() {
    let receiver = profile("segments-8").unwrap();
    let here = compile(receiver, &climbs()[0]).unwrap();
    let added = add_point(receiver, &here.control_points, &here.curve, 0.5);
    assert!(added.is_none(), "full");
    let fewer = remove_point(receiver, &here.control_points, 4).unwrap();
    assert_eq!(fewer.len(), 7);
    let here = Compiled::of_points(receiver, &climbs()[0], fewer.clone(), None, 0.0).unwrap();
    let (more, index) = add_point(receiver, &fewer, &here.curve, 0.5).unwrap();
    let with = Compiled::of_points(receiver, &climbs()[0], more.clone(), None, 0.0).unwrap();
    let off = (with.max_error - here.max_error).abs();
    assert!(off < 1e-12, "the curve stays");
    assert_eq!(more[index].input, 0.5);
    assert!(remove_point(receiver, &fewer, 0).is_none());
}

/// Every point not locked spread evenly.
fn even(count: usize, held: &[(usize, ControlPoint)]) -> Vec<ControlPoint> {
    (0..count)
        .map(|index| {
            let part = index as f64 / (count - 1) as f64;
            let own = held.iter().find(|(at, _)| *at == index);
            own.map_or(ControlPoint::new(part, part), |(_, point)| *point)
        })
        .collect()
}

#[test]
fn without_locks_the_search_comes_near_the_optimum() {
    for name in ["segments-8", "segments-8-percent"] {
        let receiver = profile(name).unwrap();
        for (number, ideal) in climbs().iter().enumerate() {
            let best = compile(receiver, ideal).unwrap();
            let start = even(best.control_points.len(), &[]);
            let start: Vec<ControlPoint> = start.into_iter().map(|p| grid(receiver, p)).collect();
            let found = compile_around(receiver, ideal, &start, &[false; 8]).unwrap();
            let found = Compiled::of_points(receiver, ideal, found, None, 0.0).unwrap();
            // Exact without a grid; on a grid of percents within 0.1 % of full scale on these climbs.
            let most = if name == "segments-8" { 1e-9 } else { 0.001 };
            let (found, best) = (found.max_error, best.max_error);
            assert!(
                found <= best + most,
                "{name} {number}: {found} against {best}"
            );
        }
    }
}

#[test]
fn locked_points_stay_and_the_others_make_the_best_of_it() {
    for name in ["segments-8", "segments-8-percent", "smooth-8"] {
        let receiver = profile(name).unwrap();
        for ideal in &climbs() {
            let held = [(3, ControlPoint::new(0.4, 0.3))];
            let start = even(8, &held);
            let mut locked = [false; 8];
            locked[3] = true;
            let start: Vec<ControlPoint> = start.into_iter().map(|p| grid(receiver, p)).collect();
            let before = Compiled::of_points(receiver, ideal, start.clone(), None, 0.0).unwrap();
            let Some(found) = compile_around(receiver, ideal, &start, &locked) else {
                continue;
            };
            assert_eq!(found[3], start[3], "{name}");
            let after = Compiled::of_points(receiver, ideal, found, None, 0.0).unwrap();
            assert!(after.max_error < before.max_error);
            // No map through the locked point is nearer than that point.
            let off = (ideal.band(0.4).0 - 0.3).max(0.3 - ideal.band(0.4).1);
            assert!(after.max_error >= off - 1e-12);
            // And little more than that is needed where it lies off the ideal map.
            if off > 0.05 && name == "segments-8" {
                let error = after.max_error;
                assert!(error <= 1.001 * off, "{error} of {off}");
            }
        }
    }
}

fn grid(receiver: &Profile, point: ControlPoint) -> ControlPoint {
    receiver.grid().map_or(point, |grid| {
        let on = |value: f64, steps: u32| (value * f64::from(steps)).round() / f64::from(steps);
        ControlPoint::new(
            on(point.input, grid.input_steps),
            on(point.output, grid.output_steps),
        )
    })
}
