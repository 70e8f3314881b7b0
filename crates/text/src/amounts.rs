//! Numbers in sentences.

/// A force in gf with as many digits as a hand or a scale can tell: `12.34 gf`, `123.4 gf`.
#[must_use]
pub fn gf(value: f64) -> String {
    let places = if value.abs() < 100.0 { 2 } else { 1 };
    format!("{value:.places$} gf")
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
    let text = format!("{value:.decimals$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
