//! Forces along a tilted stylus: axial = N (cos θ ± μ sin θ), θ from the surface's normal (Coulomb friction,
//! derived; axial force as the normal force's component along the pen: an encyclopaedia's entry, seen).
//! Tolerance 1e-9.

use evenhand_measurement::{HoldAngle, Sliding};

#[test]
fn the_worked_case() {
    // θ = 30°, μ = 0.2: axial/N = 0.966025404 or 0.766025404.
    let held = HoldAngle::from_degrees(60.0).unwrap();
    for (sliding, expected) in [
        (Sliding::Pushed, 0.966_025_404),
        (Sliding::Pulled, 0.766_025_404),
    ] {
        let found = held.axial_part_sliding(0.2, sliding);
        assert!((found - expected).abs() < 1e-9, "{sliding:?}: {found}");
    }
}

#[test]
fn without_friction_the_share_is_the_sine_of_the_angle() {
    // sin 30° = 1/2, sin 45° = 1/√2, sin 60° = √3/2, sin 90° = 1.
    let cases = [
        (30.0, 0.5),
        (45.0, 0.5_f64.sqrt()),
        (60.0, 0.75_f64.sqrt()),
        (90.0, 1.0),
    ];
    for (degrees, expected) in cases {
        let held = HoldAngle::from_degrees(degrees).unwrap();
        for found in [
            held.axial_part(),
            held.axial_part_sliding(0.0, Sliding::Pushed),
            held.axial_part_sliding(0.0, Sliding::Pulled),
        ] {
            assert!((found - expected).abs() < 1e-12, "{degrees}: {found}");
        }
    }
    for degrees in [4.9, 90.1, f64::NAN] {
        assert!(HoldAngle::from_degrees(degrees).is_none());
    }
}
