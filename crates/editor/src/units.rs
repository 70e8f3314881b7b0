//! Forces in the unit that is shown.

use evenhand_preview::ForceScale;

/// A force in words.
pub(crate) fn force_text(force_gf: f64, unit: ForceScale) -> String {
    match unit {
        ForceScale::Gf if force_gf < 100.0 => format!("{force_gf:.1} gf"),
        ForceScale::Gf => format!("{force_gf:.0} gf"),
        ForceScale::Newton => format!("{:.2} N", force_gf * unit.per_gf()),
    }
}
