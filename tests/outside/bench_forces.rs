//! Forces of a bench and their budgets: JCGM 100's effective degrees of freedom and coverage factors, OIML R 111's
//! limits, York's line through Pearson's points, and the mechanics of a lever.

use evenhand_bench::{
    Budget, Correlation, Input, Inputs, MassClass, Rig, RigKind, WeighedPoint, coverage_factor,
    effective_freedom, force_budget, york_line,
};
use evenhand_tests::{number, reference_rows, reference_text};
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::formula;

fn near(found: f64, expected: f64, allowed: f64, what: &str) {
    formula::assert_near(what, found, expected, allowed);
}

/// An input that shares nothing with others.
fn input(value: f64, standard: f64, freedom: f64) -> Input {
    Input {
        name: "input".to_owned(),
        unit: "1",
        value,
        standard,
        freedom,
        estimate: None,
        correlation: Correlation::Independent,
    }
}

#[test]
fn effective_degrees_of_freedom() {
    let mut published = 0;
    for row in reference_rows("metrology/welch-satterthwaite.csv") {
        let list = |key: &str| -> Vec<f64> {
            let words = row[key].split(';');
            words.map(|word| word.parse().unwrap()).collect()
        };
        let (standards, freedoms) = (list("u_i"), list("nu_i"));
        let found = effective_freedom(&standards, &freedoms);
        let expected = number(&row, "nu_eff_recomputed");
        near(found, expected, 1e-9 * expected, &row["case"]);
        // The same through a budget: a sum of inputs has sensitivities of 1.
        let mut inputs = Inputs::default();
        let mut keys = Vec::new();
        for (standard, freedom) in standards.iter().zip(&freedoms) {
            keys.push(inputs.add(input(3.0, *standard, *freedom)));
        }
        let budget = Budget::of(inputs, 0.95, |x| keys.iter().map(|key| x[*key]).sum());
        let combined = number(&row, "uc_recomputed");
        near(budget.combined, combined, 1e-9 * combined, &row["case"]);
        near(budget.freedom, expected, 1e-8 * expected, &row["case"]);
        if let Ok(printed) = row["k_factor_published"].parse::<f64>() {
            // The GUM cuts the degrees of freedom of H.1 to 16 at 99 %, and rounds 18.9987 to 19 at 95 %.
            let (freedom, confidence) = if row["case"].contains("H.1") {
                (found.floor(), 0.99)
            } else {
                (found.round(), 0.95)
            };
            let found = coverage_factor(freedom, confidence);
            near(found, printed, 0.005, &row["case"]);
            published += 1;
        }
    }
    assert_eq!(published, 2);
}

#[test]
fn coverage_factors() {
    let rows = reference_rows("metrology/gum-table-g2.csv");
    for row in &rows {
        let freedom = number(row, "nu");
        for (column, value) in row.iter().filter(|(column, _)| column.starts_with('p')) {
            let confidence: f64 = column[1..].parse().unwrap();
            let expected: f64 = value.parse().unwrap();
            let found = coverage_factor(freedom, confidence);
            let what = format!("{freedom} {column}");
            near(found, expected, 1e-9 * expected, &what);
        }
    }
    assert!(rows.len() > 20);
}

#[test]
fn classes_of_weights() {
    use MassClass::{E2, F1, F2, M1, M2, M3};

    for row in reference_rows("units-devices/oiml-r111-mpe.csv") {
        let nominal = number(&row, "nominal_g");
        for class in [E2, F1, F2, M1, M2, M3] {
            let column = format!("{class:?}");
            let expected = 1e-3 * number(&row, &column);
            let found = class.largest_error_g(nominal).unwrap();
            near(found, expected, 1e-15, &format!("{nominal} g {column}"));
        }
    }
    assert_eq!(M1.largest_error_g(2000.0), None);
}

#[test]
fn a_line_with_errors_in_both_coordinates() {
    let points: Vec<WeighedPoint> = reference_rows("metrology/york-line.csv")
        .iter()
        .map(|row| WeighedPoint {
            x: number(row, "x"),
            y: number(row, "y"),
            weight_x: number(row, "wx"),
            weight_y: number(row, "wy"),
        })
        .collect();
    // The head of the table: values recomputed at 40 digits.
    let head = reference_text("metrology/york-line.csv");
    let told = |key: &str| -> f64 {
        let rest = head.split(&format!("{key} = ")).nth(1).unwrap();
        let word = rest.split([',', ' ']).next().unwrap();
        word.parse().unwrap()
    };
    let line = york_line(&points).unwrap();
    for (found, key) in [
        (line.intercept, "# a"),
        (line.slope, " b"),
        (line.squares, "S_min"),
        (line.intercept_error, "sigma_a"),
        (line.slope_error, "sigma_b"),
    ] {
        near(found, told(key), 1e-9, key);
    }
    // The published pair (memory).
    near(line.intercept, 5.479_91, 1e-6, "published");
    near(line.slope, -0.480_533, 1.1e-6, "published");
    // Its weighed squares over 8 degrees of freedom (memory).
    near(line.squares / 8.0, 1.483, 0.001, "published");
    assert!(
        york_line(&points[..2]).is_none(),
        "two points have no spread left"
    );
}

const LEVER: &str = "name = \"window\"
tilt_within_deg = 0
gravity_m_s2 = 9.80665
gravity_within_m_s2 = 0
[lever]
nib_arm_mm = 100
nib_arm_within_mm = 0.3
pan_arm_mm = 300
pan_arm_within_mm = 0.6
beam_moment_g_mm = 1500
beam_moment_within_g_mm = 60
mass_within_g = 0.03
";

/// Force of a placement with its combined standard uncertainty.
fn force(rig: &Rig, placed: &str) -> (f64, f64) {
    let found = rig.load(placed).unwrap().force();
    (found.value, found.combined)
}

#[test]
fn the_law_of_the_lever() {
    // Statics (any textbook): moments about the pivot are equal, so 20 g at 300 mm and 5 g at 150 mm with a beam
    // of 1500 g·mm press (6000 + 750 + 1500)/100 = 82.5 gf.
    let rig = Rig::parse(LEVER, "rig.toml").unwrap();
    assert!(matches!(rig.kind, RigKind::Lever(_)));
    let (value, combined) = force(&rig, "20+5@150");
    near(value, 82.5, 1e-9, "force");
    // By hand, JCGM 100 equation 10: ∂F/∂m = a/b, ∂F/∂a = m/b, ∂F/∂b = −F/b, ∂F/∂M = 1/b, limits over √3.
    let of_masses = [3.0 * 0.03, 1.5 * 0.03];
    let of_arms = [0.25 * 0.6, 0.825 * 0.3, 0.01 * 60.0, 82.5 * 1.5e-4];
    let parts = of_masses.iter().chain(&of_arms);
    let by_hand = (parts.map(|p: &f64| p * p).sum::<f64>() / 3.0).sqrt();
    near(combined, by_hand, 1e-5 * by_hand, "combined");
    near(force(&rig, "0").0, 15.0, 1e-9, "the beam alone");
    near(force(&rig, "lifted").0, 0.0, 1e-15, "nothing");
    // Local gravity and tilt: g/g₀ and the cosine.
    let leaning = LEVER
        .replace("gravity_m_s2 = 9.80665", "gravity_m_s2 = 9.78")
        .replace("tilt_within_deg = 0", "tilt_within_deg = 0\ntilt_deg = 60");
    let rig = Rig::parse(&leaning, "rig.toml").unwrap();
    let expected = 82.5 * 9.78 / 9.80665 * 0.5;
    near(force(&rig, "20+5@150").0, expected, 1e-9, "leaning");
}

#[test]
fn a_cosine_about_its_top() {
    // JCGM 100, F.2.4.4: of z = d·cos β with β about 0 the variance is d²·u⁴/2, though its slope is 0.
    let cosine = |angle: f64| {
        let mut inputs = Inputs::default();
        let key = inputs.add(Input {
            correlation: Correlation::SharedGain,
            ..input(angle, 0.01, f64::INFINITY)
        });
        Budget::of(inputs, 0.95, |x| 300.0 * x[key].cos())
    };
    let budget = cosine(0.0);
    let by_formula = 300.0 * 1e-4 / 2.0_f64.sqrt();
    near(budget.combined, by_formula, 1e-4, "cosine");
    // Away from its top the slope counts, and the curve hardly.
    let budget = cosine(0.5);
    let by_slope = 300.0 * 0.5_f64.sin() * 0.01;
    near(budget.combined, by_slope, 1e-3, "slope");
}

#[test]
fn scales_and_gauges() {
    let scale = "name = \"s\"\ntilt_within_deg = 0\ngravity_m_s2 = 9.80665\ngravity_within_m_s2 = 0\n[scale]\nstep_g = 0.1\nwithin_part = 0\n";
    let (value, combined) = force(&Rig::parse(scale, "rig.toml").unwrap(), "120.3");
    near(value, 120.3, 1e-9, "a scale shows grams");
    // Step q: q/√12 (JCGM 100, F.2.2.1).
    near(combined, 0.1 / 12.0_f64.sqrt(), 1e-9, "its step");
    let gauge = "name = \"g\"\n[gauge]\nstep_n = 0.01\nwithin_part = 0.005\n";
    let (value, _) = force(&Rig::parse(gauge, "rig.toml").unwrap(), "0.980665");
    near(value, 100.0, 1e-9, "a gram-force is 9.80665 mN (CGPM 1901)");
}

#[test]
fn a_lever_calibrated_against_a_scale() {
    // Pairs on the line 0.4 + 3.1 x exactly: York's line is that line, whatever the weights.
    let rig = format!(
        "{LEVER}[lever.calibration]\npairs_g = [[0, 0.4], [10, 31.4], [20, 62.4], [50, 155.4]]\nplaced_u_g = 0.01\nscale_u_g = 0.05\n"
    );
    let rig = Rig::parse(&rig, "rig.toml").unwrap();
    near(force(&rig, "20").0, 62.4, 1e-9, "at the pan");
    // A mass elsewhere acts in the ratio of the arms.
    near(force(&rig, "20@150").0, 31.4, 1e-9, "at half the arm");
    near(force(&rig, "0").0, 0.4, 1e-9, "the beam alone");
}

#[test]
fn inputs_that_share_an_estimate_of_variance_share_its_degrees_of_freedom() {
    // JCGM 100, G.4.1: the formula is for independent estimates. Three standard uncertainties that are multiples of one
    // estimated standard deviation are one such multiple, √(3² + 4² + 12²) = 13 of them, with its four degrees.
    let budget = |estimate: Option<&'static str>, other: f64| {
        let mut inputs = Inputs::default();
        let mut keys: Vec<_> = [3.0, 4.0, 12.0]
            .into_iter()
            .map(|standard| (standard, 4.0, estimate))
            .chain([(other, 10.0, None)])
            .map(|(standard, freedom, estimate)| Input {
                estimate,
                ..input(0.0, standard, freedom)
            })
            .map(|input| inputs.add(input))
            .collect();
        keys.reverse();
        Budget::of(inputs, 0.95, |x| keys.iter().map(|key| x[*key]).sum())
    };
    near(budget(Some("pairs"), 0.0).freedom, 4.0, 1e-9, "shared");
    let apart = 13.0_f64.powi(4) / ((81.0 + 256.0 + 20736.0) / 4.0);
    near(budget(None, 0.0).freedom, apart, 1e-9, "each its own");
    // With one of its own beside them, by the formula for two.
    let both = 338.0_f64.powi(2) / (13.0_f64.powi(4) / 4.0 + 13.0_f64.powi(4) / 10.0);
    near(budget(Some("pairs"), 13.0).freedom, both, 1e-9, "both");
}

/// A lever that is known by its pairs alone, all else exact; masses in g, what the scale showed beside them.
fn calibrated(pairs: &[[f64; 2]], scale_u_g: f64, scale_within_part: f64) -> Rig {
    let text = format!(
        "name = \"c\"\ntilt_within_deg = 0\ngravity_m_s2 = 9.80665\ngravity_within_m_s2 = 0\n[lever]\nmass_within_g = 1e-9\n[lever.calibration]\npairs_g = {pairs:?}\nplaced_u_g = 1e-9\nscale_u_g = {scale_u_g}\nscale_within_part = {scale_within_part}\n"
    );
    Rig::parse(&text, "rig.toml").unwrap()
}

#[test]
fn a_calibration_by_closed_form() {
    // Pairs on a line, so that their scatter widens nothing. Least squares (any textbook): u(slope) = σ/√Sxx and
    // u(intercept) = σ·√(1/n + x̄²/Sxx); for masses of 0, 20, 40, 60, 80 and 100 g Sxx is 7000 g² and x̄ 50 g.
    let pairs: Vec<[f64; 2]> = (0..6)
        .map(|i| 20.0 * f64::from(i))
        .map(|mass| [mass, 1.0 + 3.0 * mass])
        .collect();
    let rig = calibrated(&pairs, 0.2, 0.01);
    let budgets: Vec<Budget> = ["50", "100"]
        .map(|load| rig.load(load).unwrap().force())
        .into();
    let found = force_budget(&budgets);
    let offset = 0.2 * (1.0 / 6.0 + 2500.0 / 7000.0_f64).sqrt();
    near(found.offset_gf, offset, 1e-6 * offset, "offset");
    // The scale's gain, within one part in a hundred, the slope, and the lift of air beside them.
    let slope = 0.2 / 7000.0_f64.sqrt() / 3.0;
    let gain = |value: f64, placed: f64| {
        let scale = 0.01 / 3.0_f64.sqrt();
        let lift = 1.5e-4 / 3.0_f64.sqrt();
        scale.hypot(slope * 3.0 * placed / value).hypot(lift)
    };
    let largest = gain(151.0, 50.0).max(gain(301.0, 100.0));
    near(found.gain, largest, 1e-4 * largest, "gain");
    // As stated, so limits and statements are all there is: no degrees of freedom are lost.
    assert_eq!(budgets[0].freedom, f64::INFINITY);
}

#[test]
fn a_calibration_that_scatters_has_the_degrees_of_its_pairs() {
    // Deviations of ±1 g where 0.05 g was stated: all that is not known comes from six pairs less two.
    let pairs: Vec<[f64; 2]> = [1.0, -1.0, -1.0, 1.0, 1.0, -1.0]
        .into_iter()
        .zip([0.0, 20.0, 40.0, 60.0, 80.0, 100.0])
        .map(|(off, mass)| [mass, 3.0 * mass + off])
        .collect();
    let rig = calibrated(&pairs, 0.05, 0.0);
    let freedom = rig.load("50").unwrap().force().freedom;
    near(freedom, 4.0, 0.01, "six pairs");
}

#[test]
fn forces_of_calibrated_levers_hold_as_often_as_they_say() {
    const RIGS: u64 = 2_000;
    // A lever that scatters three times as much as stated (seed 20261127); the next force scatters as much.
    let mut held = 0;
    for number in 0..RIGS {
        let mut random = ChaCha8Rng::seed_from_u64(20_261_127);
        random.set_stream(number);
        let mut off = || 0.3 * random.sample::<f64, _>(StandardNormal);
        let pairs: Vec<[f64; 2]> = (0..6)
            .map(|i| 20.0 * f64::from(i))
            .map(|mass| [mass, 2.0 + 3.0 * mass + off()])
            .collect();
        let found = calibrated(&pairs, 0.1, 0.0).load("100").unwrap().force();
        let truth = 302.0 + off();
        held += u32::from((found.value - truth).abs() <= found.expanded);
    }
    let share = f64::from(held) / RIGS as f64;
    // Binomial standard deviation 0.005; more than stated because slope and intercept are taken as independent.
    assert!((0.94..=0.985).contains(&share), "{share}");
}
