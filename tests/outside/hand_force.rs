//! Forces along a tilted stylus: axial = N cos θ, θ from the surface's normal (the normal force's component along the
//! pen: an encyclopaedia's entry, seen). Tolerance 1e-12.

use evenhand_measurement::HoldAngle;

#[test]
fn without_friction_the_share_is_the_sine_of_the_angle() {
    // sin 30° = 1/2, sin 45° = 1/√2, sin 60° = √3/2, sin 90° = 1.
    let squares = [(30.0, 0.25_f64), (45.0, 0.5), (60.0, 0.75), (90.0, 1.0)];
    for (degrees, square) in squares {
        let held = HoldAngle::from_degrees(degrees).unwrap();
        let found = held.axial_part();
        let off = (found - square.sqrt()).abs();
        assert!(off < 1e-12, "{degrees}: {found}");
    }
    for degrees in [4.9, 90.1, f64::NAN] {
        assert!(HoldAngle::from_degrees(degrees).is_none());
    }
}
