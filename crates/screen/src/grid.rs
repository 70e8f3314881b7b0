//! Places on a grid.

/// The step out of `0..=last` that is nearest to a part (0..1) of the way; nothing where the part is no number.
pub(crate) fn nearest(part: f64, last: usize) -> Option<usize> {
    if part.is_nan() {
        return None;
    }
    let last = u32::try_from(last).unwrap_or(u32::MAX);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and a u32"
    )]
    let step = (part.clamp(0.0, 1.0) * f64::from(last)).round() as usize;
    Some(step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_step_is_found() {
        for (part, step) in [
            (0.0, 0),
            (0.04, 0),
            (0.06, 1),
            (0.5, 5),
            (0.94, 9),
            (0.96, 10),
            (1.0, 10),
        ] {
            assert_eq!(nearest(part, 10), Some(step), "{part}");
        }
        assert_eq!(nearest(-3.0, 10), Some(0));
        assert_eq!(nearest(f64::INFINITY, 10), Some(10));
        assert_eq!(nearest(f64::NAN, 10), None);
        assert_eq!(nearest(0.7, 0), Some(0));
    }
}
