//! Where a unit stands within the collection.

/// Part of `others` below `value`, equal ones counted half, 0..1; `None` of no others.
#[must_use]
pub fn percentile_rank(value: f64, others: &[f64]) -> Option<f64> {
    if others.is_empty() {
        return None;
    }
    let below: f64 = others
        .iter()
        .map(|other| match other.total_cmp(&value) {
            std::cmp::Ordering::Less => 1.0,
            std::cmp::Ordering::Equal => 0.5,
            std::cmp::Ordering::Greater => 0.0,
        })
        .sum();
    Some(below / others.len() as f64)
}
