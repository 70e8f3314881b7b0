//! Days since an epoch as ISO 8601.

use crate::number::number_text;

const DAY_MS: i64 = 86_400_000;

/// The last day that is shown, 9999-12-31, from 1900.
const LAST_DAY: f64 = 2_958_466.0;

/// Days from 1899-12-30, the epoch that makes all days from March 1900 on right, to 1904-01-01.
const DAYS_TO_1904: i64 = 1_462;

/// Days from 1899-12-30 to 1970-01-01.
const DAYS_TO_1970: i64 = 25_569;

/// The date, the time of day (below one day) or both; the number where there is no such date.
pub(crate) fn date_text(serial: f64, since_1904: bool) -> String {
    let offset = if since_1904 { DAYS_TO_1904 } else { 0 };
    if !(0.0..LAST_DAY).contains(&serial) {
        return number_text(serial);
    }
    let (days, ms) = days_and_ms(serial);
    let time = clock(ms);
    let date = date(days + offset);
    match (days, ms) {
        (0, _) => time,
        (_, 0) => date,
        _ => format!("{date}T{time}"),
    }
}

/// A duration in hours, minutes and seconds.
pub(crate) fn duration_text(serial: f64) -> String {
    if serial.abs() >= LAST_DAY {
        return number_text(serial);
    }
    let (days, ms) = days_and_ms(serial.abs());
    let sign = if serial < 0.0 { "-" } else { "" };
    let hours = days * 24 + ms / 3_600_000;
    let minutes = ms / 60_000 % 60;
    format!("{sign}PT{hours}H{minutes}M{}S", seconds(ms % 60_000, 1))
}

/// Whole days and the milliseconds after; what is finer is how the number was rounded.
fn days_and_ms(serial: f64) -> (i64, i64) {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "below three million days, so far within an i64"
    )]
    let ms = (serial * 86_400_000.0).round() as i64;
    (ms / DAY_MS, ms % DAY_MS)
}

fn clock(ms: i64) -> String {
    let hours = ms / 3_600_000;
    let minutes = ms / 60_000 % 60;
    format!("{hours:02}:{minutes:02}:{}", seconds(ms % 60_000, 2))
}

fn seconds(ms: i64, width: usize) -> String {
    let (whole, rest) = (ms / 1000, ms % 1000);
    if rest == 0 {
        format!("{whole:0width$}")
    } else {
        format!("{whole:0width$}.{rest:03}")
    }
}

fn date(days: i64) -> String {
    let days = match days {
        // Spreadsheets count a 29th of February in 1900, which was none, so earlier days are one later.
        60 => return "1900-02-29".to_owned(),
        1..60 => days + 1,
        days => days,
    };
    // Days from 0000-03-01, so that a leap day is the last of its year; all are positive here.
    let days = days - DAYS_TO_1970 + 719_468;
    let era = days / 146_097;
    let day_of_era = days % 146_097;
    let year_of_era =
        (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 {
        month_from_march + 3
    } else {
        month_from_march - 9
    };
    let year = era * 400 + year_of_era + i64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_count_from_1900() {
        let cases = [
            (1.0, "1900-01-01"),
            (59.0, "1900-02-28"),
            (60.0, "1900-02-29"),
            (61.0, "1900-03-01"),
            (25_569.0, "1970-01-01"),
            (36_585.0, "2000-02-29"),
            (36_586.0, "2000-03-01"),
            (45_352.5, "2024-03-01T12:00:00"),
            (45_352.0 + 1.0 / 86_400.0, "2024-03-01T00:00:01"),
            (45_352.000_002_893_52, "2024-03-01T00:00:00.250"),
            (45_351.999_999_999_9, "2024-03-01"),
            (0.0, "00:00:00"),
            (0.75, "18:00:00"),
            (2_958_465.0, "9999-12-31"),
            (2_958_466.0, "2958466"),
            (-1.0, "-1"),
        ];
        for (serial, text) in cases {
            assert_eq!(date_text(serial, false), text);
        }
    }

    #[test]
    fn dates_count_from_1904() {
        assert_eq!(date_text(1.0, true), "1904-01-02");
        assert_eq!(date_text(43_890.0, true), "2024-03-01");
        assert_eq!(date_text(60.0, true), "1904-03-01");
    }

    #[test]
    fn durations_go_on_past_a_day() {
        assert_eq!(duration_text(1.5), "PT36H0M0S");
        assert_eq!(duration_text(-0.25), "-PT6H0M0S");
        assert_eq!(duration_text(1.0 / 86_400.0), "PT0H0M1S");
        assert_eq!(duration_text(1e300), "1e300");
    }
}
