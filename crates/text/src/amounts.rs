//! Numbers in sentences.

/// A force in gf with as many digits as a hand or a scale can tell: `12.34 gf`, `123.4 gf`.
#[must_use]
pub fn gf(value: f64) -> String {
    let places = if value.abs() < 100.0 { 2 } else { 1 };
    format!("{} gf", fixed(value, places))
}

/// A number of items with its noun: `1 sample`, `2 samples`.
#[must_use]
pub fn count(number: usize, noun: &str) -> String {
    format!("{number} {noun}{}", if number == 1 { "" } else { "s" })
}

/// A fraction of 1 as percent with up to three decimals, without needless ones: `12.5`.
#[must_use]
pub fn percent(fraction: f64) -> String {
    short(100.0 * fraction, 3)
}

/// A number with so many decimals (1 or more), without needless ones.
#[must_use]
pub fn short(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('e') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// From here on digits say nothing more, and a line has no room for them.
const HUGE: f64 = 1e9;

/// A number with so many decimals, or as a power of ten where it is huge.
fn fixed(value: f64, decimals: usize) -> String {
    if value.is_finite() && value.abs() >= HUGE {
        format!("{value:.2e}")
    } else {
        format!("{value:.decimals$}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_number_fills_a_line() {
        assert_eq!(gf(1e300), "1.00e300 gf");
        assert_eq!(gf(-2.5e9), "-2.50e9 gf");
        assert_eq!(gf(999_999_999.0), "999999999.0 gf");
        assert_eq!(percent(1e290), "1.00e292");
        assert_eq!(short(10.0, 2), "10");
        assert_eq!(gf(f64::INFINITY), "inf gf");
    }
}
