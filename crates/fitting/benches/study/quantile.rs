//! Parts of what a study found.

/// The value below which this part of the values lies; no number of none.
pub(crate) fn quantile(values: &[f64], part: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "part of a length"
    )]
    let index = (part * (sorted.len().max(1) - 1) as f64).round() as usize;
    sorted.get(index).copied().unwrap_or(f64::NAN)
}
