//! Numbers in figures.

use crate::response_chart::Span;

/// Decimals that write a step of 1, 2 or 5 times a power of ten exactly.
pub(crate) fn decimals_of_step(step: f64) -> usize {
    (0..12)
        .find(|&decimals| {
            let scaled = step * 10_f64.powi(decimals);
            (scaled - scaled.round()).abs() < 1e-6 && scaled.round() >= 1.0
        })
        .and_then(|decimals| usize::try_from(decimals).ok())
        .unwrap_or(0)
}

/// Decimals for a force with its interval: one or two figures of the interval's width, as the
/// guide to uncertainty (JCGM 100, 7.2.6, from memory) wants it, between none and two decimals.
fn decimals_of_span(span: &Span) -> usize {
    let width = if span.high.is_finite() {
        (span.high - span.low).abs()
    } else {
        2.0 * (span.estimate - span.low).abs()
    };
    if width >= 5.0 {
        0
    } else if width >= 0.5 || width.is_nan() || width <= 0.0 {
        1
    } else {
        2
    }
}

/// An estimate with its interval in words, "4.1 gf (3.6 to 4.7)", with as many digits as the interval allows.
#[must_use]
pub fn span_in_words(span: &Span) -> String {
    let decimals = decimals_of_span(span);
    let figure = |value: f64| format!("{value:.decimals$}");
    let (estimate, low) = (figure(span.estimate), figure(span.low));
    match (span.low.is_finite(), span.high.is_finite()) {
        (true, true) => format!("{estimate} gf ({low} to {})", figure(span.high)),
        (true, false) if span.high > 0.0 => format!("{estimate} gf ({low} or more)"),
        _ => format!("{estimate} gf"),
    }
}

/// A force without an interval, three figures at most where it has decimals.
pub(crate) fn force_in_words(force_gf: f64) -> String {
    let decimals = usize::from(force_gf < 100.0 && (force_gf - force_gf.round()).abs() >= 0.05);
    format!("{force_gf:.decimals$} gf")
}

/// A length with two decimals at most.
pub(crate) fn length_in_words(length: f64) -> String {
    let text = format!("{length:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// "95 % interval"; only "interval" for a confidence that is none.
pub(crate) fn interval_in_words(confidence: f64) -> String {
    if confidence > 0.0 && confidence < 1.0 {
        let figure = format!("{:.1}", confidence * 100.0);
        format!("{} % interval", figure.trim_end_matches(".0"))
    } else {
        "interval".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(estimate: f64, low: f64, high: f64) -> String {
        span_in_words(&Span::new(estimate, low, high))
    }

    #[test]
    fn figures_follow_the_interval() {
        assert_eq!(words(4.13, 3.62, 4.71), "4.1 gf (3.6 to 4.7)", "onset");
        assert_eq!(words(829.6, 811.8, 851.2), "830 gf (812 to 851)", "wide");
        assert_eq!(words(4.13, 4.0, 4.3), "4.13 gf (4.00 to 4.30)", "narrow");
        let open = words(830.0, 812.0, f64::INFINITY);
        assert_eq!(open, "830 gf (812 or more)", "open");
        assert_eq!(words(4.0, f64::NAN, f64::NAN), "4.0 gf", "none");
    }

    #[test]
    fn confidence_in_words() {
        assert_eq!(interval_in_words(0.95), "95 % interval", "95");
        assert_eq!(interval_in_words(0.683), "68.3 % interval", "68.3");
        assert_eq!(interval_in_words(0.0), "interval", "none");
        assert_eq!(interval_in_words(f64::NAN), "interval", "not a number");
    }

    #[test]
    fn forces_in_words() {
        assert_eq!(force_in_words(190.0), "190 gf", "whole");
        assert_eq!(force_in_words(19.3), "19.3 gf", "decimal");
    }
}
