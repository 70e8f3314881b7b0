//! Grids too fine to look at every point: near what nothing can beat, and no worse than rounding.

use evenhand_curve::{MonotonePath, Point};
use evenhand_receiver::{Compiled, Profile, compile};

/// Rises of our own: bent, turning, with both ends flat.
const RISES: [fn(f64) -> f64; 4] = [
    |t| t.powf(1.8),
    |t| t * (1.0 + 0.5 * (1.0 - t) * (2.0 * t - 1.0)),
    |t| (1.0 - (-3.0 * t).exp()) / (1.0 - (-3.0_f64).exp()),
    |t| 0.5 - 0.5 * (std::f64::consts::PI * t).cos(),
];

fn ideal(rise: fn(f64) -> f64) -> MonotonePath {
    let points = (0..=400).map(|step| {
        let x = f64::from(step) / 400.0;
        Point::new(x, rise(((x - 0.03) / 0.75).clamp(0.0, 1.0)))
    });
    MonotonePath::new(points.collect()).expect("a path")
}

fn receiver(points: u32, ends: &str, grid: Option<(u32, u32)>) -> Profile {
    let grid = grid.map_or_else(String::new, |(inputs, outputs)| {
        format!(
            "[grid]\ninput_steps = {inputs}\noutput_steps = {outputs}\nrounding = \"nearest\"\n"
        )
    });
    let text = format!(
        "name = \"fine\"\ntitle = \"Straight segments\"\n[curve]\nkind = \"points\"\ninterpolation = \"linear\"\n\
         points = {{ min = 2, max = {points} }}\nends = \"{ends}\"\n{grid}"
    );
    Profile::parse(&text, "fine.toml").expect("a receiver")
}

/// Worst error of points joined by straight lines, at every bend of either.
fn worst(points: &[(f64, f64)], ideal: &MonotonePath) -> f64 {
    let at = |points: &[(f64, f64)], x: f64| {
        let after = points.partition_point(|p| p.0 < x);
        match (after.checked_sub(1), points.get(after)) {
            (Some(before), Some(b)) => {
                let a = points[before];
                a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)
            }
            (None, Some(first)) => first.1,
            (Some(last), None) => points[last].1,
            (None, None) => f64::NAN,
        }
    };
    let wanted: Vec<(f64, f64)> = ideal.points().iter().map(|p| (p.x, p.y)).collect();
    let bends = points.iter().chain(&wanted).map(|p| p.0);
    bends
        .map(|x| (at(points, x) - at(&wanted, x)).abs())
        .fold(0.0, f64::max)
}

fn points_of(map: &Compiled) -> Vec<(f64, f64)> {
    let points = map.control_points.iter();
    points.map(|point| (point.input, point.output)).collect()
}

#[test]
fn fine_grids_are_near_what_nothing_can_beat() {
    for (inputs, outputs, near) in [
        (1024, 1023, 0.1),
        (65_535, 255, 0.1),
        (65_535, 1023, 0.1),
        (4095, 4095, 0.5),
        (65_535, 65_535, 0.5),
        (255, 65_535, 0.5),
    ] {
        for ends in ["fixed", "free"] {
            // Few inputs and many outputs take longest; some of them are enough.
            let rises = if inputs < 1024 { 1 } else { RISES.len() };
            for rise in RISES.into_iter().take(rises) {
                let ideal = ideal(rise);
                let free = compile(&receiver(8, ends, None), &ideal).expect("a map");
                let rules = receiver(8, ends, Some((inputs, outputs)));
                let found = compile(&rules, &ideal).expect("a map");
                let name = format!("{inputs} × {outputs}, {ends}: {:?}", found.control_points);
                let (columns, levels) = (f64::from(inputs), f64::from(outputs));
                let points = points_of(&found);
                for (x, y) in &points {
                    assert!((x * columns - (x * columns).round()).abs() < 1e-6, "{name}");
                    assert!((y * levels - (y * levels).round()).abs() < 1e-6, "{name}");
                }
                let error = worst(&points, &ideal);
                assert!((found.max_error - error).abs() < 1e-9, "{name}");
                assert!(error >= free.max_error - 1e-9, "{name}");
                assert!(found.lower_bound <= error + 1e-12, "{name}");
                let beyond = (error - found.lower_bound) * levels;
                assert!(beyond <= near, "{name}: {beyond} steps above the bound");
                // Rounded vertices of the map without a grid, which may touch each other.
                let mut rounded: Vec<(f64, f64)> = points_of(&free)
                    .into_iter()
                    .map(|(x, y)| {
                        (
                            (x * columns).round() / columns,
                            (y * levels).round() / levels,
                        )
                    })
                    .collect();
                rounded.dedup_by(|b, a| b.0 == a.0);
                assert!(error <= worst(&rounded, &ideal) + 1e-12, "{name}");
            }
        }
    }
}

/// 64 points each a whole number of steps apart, in a grid whose points no memory holds.
#[test]
fn many_points_keep_their_order() {
    let ideal = ideal(RISES[3]);
    let rules = receiver(64, "fixed", Some((65_535, 65_535)));
    let found = compile(&rules, &ideal).expect("a map");
    let points = points_of(&found);
    assert_eq!(points.first(), Some(&(0.0, 0.0)));
    assert_eq!(points.last(), Some(&(1.0, 1.0)));
    assert!(
        points
            .windows(2)
            .all(|pair| pair[1].0 > pair[0].0 && pair[1].1 >= pair[0].1)
    );
    assert!(found.max_error - found.lower_bound < 0.5 / 65_535.0);
}

/// Gaps that bind are kept, and cost no more than on a coarse grid, every point of which is looked at.
#[test]
fn gaps_are_kept() {
    let ideal = ideal(RISES[2]);
    for ends in ["fixed", "free"] {
        let with_gaps = |steps: u32| {
            let text = receiver(8, ends, Some((steps, steps))).to_toml();
            let text = text.replace("min_gap = 0.0", "min_gap = 0.12");
            let rules = Profile::parse(&text, "gaps.toml").expect("a receiver");
            compile(&rules, &ideal).expect("a map")
        };
        let (coarse, found) = (with_gaps(500), with_gaps(4095));
        let points = points_of(&found);
        let apart = |pair: &[(f64, f64)]| pair[1].0 - pair[0].0 >= 0.12 - 1e-9;
        assert!(points.windows(2).all(apart), "{points:?}");
        let error = found.max_error;
        assert!(error <= coarse.max_error, "{error}: {points:?}");
    }
}
