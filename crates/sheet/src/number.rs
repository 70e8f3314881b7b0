//! Numbers as decimal text that reads back as the same number.

/// Powers of ten of the first digit between which plain digits are written; beyond, an exponent.
const PLAIN: std::ops::RangeInclusive<i32> = -7..=20;

/// The shortest text of a finite number.
pub(crate) fn number_text(value: f64) -> String {
    shifted_text(value, 0)
}

/// A finite fraction as a percentage. The decimal point of the shortest text is moved, as multiplying would
/// round: 0.07 times 100 is not 7.
pub(crate) fn percent_text(fraction: f64) -> String {
    let mut text = shifted_text(fraction, 2);
    text.push('%');
    text
}

fn shifted_text(value: f64, places: i32) -> String {
    // `{:e}` is the shortest of the texts that read back the same: `-1.234e-5`.
    let written = format!("{value:e}");
    let (sign, unsigned) = match written.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", written.as_str()),
    };
    let Some((mantissa, exponent)) = unsigned.split_once('e') else {
        return written;
    };
    let Ok(exponent) = exponent.parse::<i32>() else {
        return written;
    };
    if value == 0.0 {
        return format!("{sign}0");
    }
    let digits: String = mantissa.chars().filter(|c| *c != '.').collect();
    let exponent = exponent + places;
    if !PLAIN.contains(&exponent) {
        return match digits.split_at(1) {
            (first, "") => format!("{sign}{first}e{exponent}"),
            (first, rest) => format!("{sign}{first}.{rest}e{exponent}"),
        };
    }
    match usize::try_from(exponent) {
        Ok(exponent) if digits.len() <= exponent + 1 => {
            format!("{sign}{digits:0<width$}", width = exponent + 1)
        }
        Ok(exponent) => {
            let (whole, decimals) = digits.split_at(exponent + 1);
            format!("{sign}{whole}.{decimals}")
        }
        Err(_) => {
            let zeros = "0".repeat(exponent.unsigned_abs() as usize - 1);
            format!("{sign}0.{zeros}{digits}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn number_text_is_short_and_exact() {
        let cases = [
            (0.0, "0"),
            (-0.0, "-0"),
            (1.0, "1"),
            (-12.0, "-12"),
            (100.0, "100"),
            (0.1 + 0.2, "0.30000000000000004"),
            (1234.5, "1234.5"),
            (1e-7, "0.0000001"),
            (1e-8, "1e-8"),
            (1.25e-8, "1.25e-8"),
            (1e20, "100000000000000000000"),
            (1e21, "1e21"),
            (9_007_199_254_740_993.0, "9007199254740992"),
            (5e-324, "5e-324"),
            (f64::MAX, "1.7976931348623157e308"),
        ];
        for (value, text) in cases {
            assert_eq!(number_text(value), text);
        }
    }

    #[test]
    fn percent_text_moves_the_point() {
        let cases = [
            (0.05, "5%"),
            (0.07, "7%"),
            (0.123, "12.3%"),
            (1e-7, "0.00001%"),
            (1.0, "100%"),
            (12.5, "1250%"),
            (0.29, "29%"),
            (-0.575, "-57.5%"),
            (0.0, "0%"),
            (1e-10, "1e-8%"),
            (0.1 + 0.2, "30.000000000000004%"),
            (f64::MAX, "1.7976931348623157e310%"),
        ];
        for (value, text) in cases {
            assert_eq!(percent_text(value), text);
        }
    }
}
