//! What recordings tell of a hand, on recordings whose answer is known.

use std::sync::OnceLock;

use evenhand_fitting::{Fit, Settings, fit};
use evenhand_measurement::{Force, ReadOptions, parse_measurement};
use evenhand_population::share_interval;
use evenhand_strokes::{
    Hand, HandError, HandRule, Percentile, PressUnit, Stroke, StrokePoint, Strokes, summarise,
};
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

/// A stylus that feels from 5 gf to 500 gf, evenly.
fn stylus() -> &'static Fit {
    static FITTED: OnceLock<Fit> = OnceLock::new();
    FITTED.get_or_init(fitted)
}

fn fitted() -> Fit {
    let rows: String = (0..=20)
        .map(|i| format!("{},{}\n", 5 + 25 * i, (5.05 * f64::from(i)).min(100.0)))
        .collect();
    let table = format!("force_gf,reported_percent\n0,0\n3,0\n{rows}550,100\n600,100\n");
    let (measurement, _) =
        parse_measurement("even.csv", table.as_bytes(), &ReadOptions::default()).expect("a table");
    fit(&measurement, &Settings::default()).expect("a fit")
}

/// Strokes of points that all count the same.
fn recorded(strokes: &[Vec<f64>]) -> Strokes {
    let point = |press: &f64| StrokePoint {
        x: 0.0,
        y: 0.0,
        time_s: None,
        press: *press,
    };
    let stroke = |presses: &Vec<f64>| Stroke {
        points: presses.iter().map(point).collect(),
    };
    Strokes {
        strokes: strokes.iter().map(stroke).collect(),
        press_unit: PressUnit::ForceGf,
        levels: None,
        has_places: false,
        tells_touch: true,
        read_at: None,
        notes: Vec::new(),
    }
}

fn hand(strokes: &[Vec<f64>]) -> Hand {
    summarise(&recorded(strokes), stylus(), &HandRule::default()).expect("a hand")
}

fn at(hand: &Hand, level: f64) -> Percentile {
    let found = hand.percentiles.iter().find(|p| p.level == level);
    *found.expect("a level that is always told")
}

fn width(hand: &Hand, level: f64) -> f64 {
    let found = at(hand, level);
    let end = |end: Option<Force>| end.expect("a known end").gf();
    end(found.high) - end(found.low)
}

/// A stroke that rises to a force and falls again, from and to a sixth of it.
fn stroke(top: f64) -> Vec<f64> {
    (0..30)
        .map(|i| top * (1.0 - f64::from((2 * i - 29_i32).abs()) / 35.0))
        .collect()
}

fn normals(count: usize, seed: u64) -> Vec<f64> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    (0..count).map(|_| random.sample(StandardNormal)).collect()
}

#[test]
fn moods_widen_what_the_same_strokes_mixed_would_tell() {
    // 16 moods of 6 strokes, and the same strokes in any order.
    let moods: Vec<Vec<f64>> = normals(16, 7)
        .iter()
        .flat_map(|mood| vec![stroke(120.0 * (0.3 * mood).exp()); 6])
        .collect();
    let mut order: Vec<(f64, Vec<f64>)> = normals(96, 70).into_iter().zip(moods.clone()).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mixed: Vec<Vec<f64>> = order.into_iter().map(|(_, stroke)| stroke).collect();
    let (moods, mixed) = (hand(&moods), hand(&mixed));
    assert!(moods.enough && mixed.enough);
    // Strokes that are alike six by six know the square root of 6 less, and that from few moods.
    for (level, least, most) in [(0.25, 1.8, 6.0), (0.5, 1.8, 6.0), (0.75, 1.8, 6.0)] {
        let ratio = width(&moods, level) / width(&mixed, level);
        assert!((least..most).contains(&ratio), "{level}: {ratio}");
        assert_eq!(at(&moods, level).force, at(&mixed, level).force);
    }
}

#[test]
fn forty_strokes_can_tell_and_thirty_nine_cannot() {
    let strokes: Vec<Vec<f64>> = normals(40, 8)
        .iter()
        .map(|own| stroke(120.0 * (0.3 * own).exp()))
        .collect();
    let many = hand(&strokes);
    assert!(many.enough);
    let mut ends = many.percentiles.iter().map(|p| (p.low, p.high));
    assert!(ends.all(|(low, high)| low.is_some() && high.is_some()));
    let few = hand(&strokes[..39]);
    assert!(!few.enough);
    let mut ends = few.percentiles.iter().map(|p| (p.low, p.high));
    assert!(ends.all(|ends| ends == (None, None)));
}

#[test]
fn two_moods_are_too_few() {
    let strokes: Vec<Vec<f64>> = (0..90)
        .map(|i| stroke(if (20..65).contains(&i) { 180.0 } else { 90.0 }))
        .collect();
    let found = hand(&strokes);
    assert!(!found.enough);
    assert_eq!((at(&found, 0.05).low, at(&found, 0.95).high), (None, None));
}

#[test]
fn a_share_is_known_as_well_as_its_strokes() {
    // Of 60 strokes of 4 points each second one, by chance, lies beyond saturation: shares of 0 and 1 with a
    // variance of 60/59/4. So 59 independent points would know as much, less what few strokes leave open: the squared
    // ratio of Student's t for 239 and 59 degrees of freedom, 1.970 and 2.001 (NIST/SEMATECH handbook,
    // section 1.3.6.7.2, the values between those printed from memory).
    let mut is_full = [false; 60];
    let own = normals(60, 9);
    let mut order: Vec<usize> = (0..60).collect();
    order.sort_by(|a, b| own[*a].total_cmp(&own[*b]));
    for index in &order[..30] {
        is_full[*index] = true;
    }
    let strokes: Vec<Vec<f64>> = is_full
        .iter()
        .map(|full| vec![if *full { 700.0 } else { 100.0 }; 4])
        .collect();
    let found = hand(&strokes).saturated;
    let expected = share_interval(0.5, 59.0 * (1.970_f64 / 2.001).powi(2), 0.95);
    assert_eq!(found.estimate, 0.5);
    let off = [found.low - expected.low, found.high - expected.high];
    assert!(
        off.iter().all(|off| off.abs() < 1e-4),
        "{found:?} {expected:?}"
    );
}

#[test]
fn beyond_the_outermost_point_lies_the_tail() {
    // 60 strokes that hold one force each: far fewer than the 72 independent ones that bound a 95th percentile.
    let forces = normals(60, 10).into_iter().map(|own| 120.0 + 20.0 * own);
    let forces: Vec<f64> = forces.collect();
    let strokes: Vec<Vec<f64>> = forces.iter().map(|force| vec![*force; 10]).collect();
    let found = hand(&strokes);
    let mut sorted = forces;
    sorted.sort_by(f64::total_cmp);
    // The upper quarter of a normal distribution lies 0.60 standard deviations above where it begins on average
    // (φ(z)/0.25 − z for z = 0.6745), so about 12 gf; the tail begins at the level 0.025^(1/n), n about 57, and is
    // ln(0.0626/0.05) = 0.225 times as long.
    let high = at(&found, 0.95).high.expect("an end").gf() - sorted[59];
    assert!((1.0..5.0).contains(&high), "{high}");
    let low = sorted[0] - at(&found, 0.05).low.expect("an end").gf();
    assert!((1.0..5.0).contains(&low), "{low}");
}

/// A stroke of forty points from 10 to 400 gf.
fn ramp() -> Vec<f64> {
    (1..=40).map(|i| 10.0 * f64::from(i)).collect()
}

#[test]
fn light_at_keeps_the_ends_of_strokes() {
    let rule = HandRule {
        light: 0.25,
        ..HandRule::default()
    };
    let fitted = stylus();
    let suggested = |light: usize| {
        let mut strokes = vec![ramp(); 100 - light];
        strokes.extend(vec![vec![10.0; 40]; light]);
        summarise(&recorded(&strokes), fitted, &rule)
            .expect("a hand")
            .suggestion
    };
    // A quarter of the time is pressed below 100 gf; two points of forty may be lost, three not.
    let kept = suggested(0);
    assert_eq!(kept.light_at.gf(), 20.0);
    let nothing = kept.draws_nothing;
    assert!((nothing.time - 0.05).abs() < 1e-12, "{nothing:?}");
    // Two of the first four points, none of the last four.
    assert!((nothing.ends - 0.25).abs() < 1e-12, "{nothing:?}");
    assert_eq!(nothing.strokes, 0.0);
    // Five strokes of a hundred may be lost, and are: 5 + 95/20 points of a hundred.
    let kept = suggested(5);
    assert_eq!(kept.light_at.gf(), 20.0);
    let nothing = kept.draws_nothing;
    assert!((nothing.strokes - 0.05).abs() < 1e-12, "{nothing:?}");
    assert!((nothing.time - 0.0975).abs() < 1e-12, "{nothing:?}");
    let ends = 0.05 + 0.95 * 0.25;
    assert!((nothing.ends - ends).abs() < 1e-12, "{nothing:?}");
    // Six may not: nothing of the recording is lighter, so the stylus decides.
    let kept = suggested(6);
    assert_eq!(kept.light_at, fitted.onset.high);
    assert_eq!(kept.draws_nothing.time, 0.0);
    assert!(!kept.notes.is_empty());
}

#[test]
fn the_percentile_decides_where_strokes_have_no_light_ends() {
    // A light stroke of every twenty, by a little: what may be lost goes up to 300 gf, the percentile does not.
    let force = |i: i32| {
        if i % 10 == 3 {
            40.0
        } else {
            300.0 + f64::from(i)
        }
    };
    let strokes: Vec<Vec<f64>> = (0..100).map(|i| vec![force(i); 20]).collect();
    let found = hand(&strokes);
    assert_eq!(found.suggestion.light_at, stylus().onset.high);
    let strokes: Vec<Vec<f64>> = (0..100)
        .map(|i| {
            let mut stroke = vec![300.0 + f64::from(i); 40];
            stroke[20] = 50.0 + f64::from(i);
            stroke
        })
        .collect();
    let rule = HandRule {
        light: 0.01,
        ..HandRule::default()
    };
    let found = summarise(&recorded(&strokes), stylus(), &rule).expect("a hand");
    // One percent of the points are the 40 lightest of the hundred dips.
    assert_eq!(found.suggestion.light_at.gf(), 89.0);
}

#[test]
fn readings_of_a_straight_stylus_tell_what_its_forces_do() {
    let forces: Vec<Vec<f64>> = normals(80, 9)
        .iter()
        .map(|own| stroke(120.0 * (0.3 * own).exp()))
        .collect();
    // What the stylus reads at these forces: 0.202 % a gf from 5 gf on.
    let readings: Vec<Vec<f64>> = forces
        .iter()
        .map(|stroke| {
            let read = |force: &f64| (0.002_02 * (force - 5.0)).clamp(0.0, 1.0);
            stroke.iter().map(read).collect()
        })
        .collect();
    let read = Strokes {
        press_unit: PressUnit::Reading,
        ..recorded(&readings)
    };
    let read = summarise(&read, stylus(), &HandRule::default()).expect("a hand");
    let pressed = hand(&forces);
    for level in [0.25, 0.5, 0.75] {
        let (read, pressed) = (at(&read, level), at(&pressed, level));
        let near = |a: Force, b: Force, allowed: f64| {
            assert!((a.gf() - b.gf()).abs() < allowed, "{level}: {a:?} {b:?}");
        };
        near(read.force, pressed.force, 1.0);
        // What the measurement does not tell comes on top, here next to nothing.
        let ends = |found: Percentile| [found.low, found.high].map(|end| end.expect("known"));
        let ([low, high], [of_low, of_high]) = (ends(read), ends(pressed));
        near(low, of_low, 1.5);
        near(high, of_high, 1.5);
        assert!(low < read.force && read.force < high);
    }
}

#[test]
fn percentiles_lie_inside_and_rise() {
    let strokes = recorded(&vec![ramp(); 50]);
    for (light, full, is_taken) in [
        (0.05, 0.95, true),
        (0.0, 0.95, false),
        (0.05, 1.0, false),
        (0.5, 0.5, false),
    ] {
        let rule = HandRule {
            light,
            full,
            ..HandRule::default()
        };
        let found = summarise(&strokes, stylus(), &rule);
        let is_refused = matches!(found, Err(HandError::Percentiles { .. }));
        assert_eq!(!is_refused, is_taken, "{light} and {full}: {found:?}");
    }
}
