//! The time, as a book notes it.

use std::time::{SystemTime, UNIX_EPOCH};

/// Now, in universal time: 2026-11-25T14:30:00Z.
pub(super) fn now() -> String {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    written(since.map_or(0, |since| since.as_secs()))
}

/// Today, in universal time: 2026-11-25.
pub(super) fn today() -> String {
    now().chars().take(10).collect()
}

/// Seconds since 1970 as a date and time of the Gregorian calendar. Days are counted in eras of 400 years that begin in
/// March, so that the leap day comes last (H. Hinnant, *chrono-compatible low-level date algorithms*, from memory).
fn written(seconds: u64) -> String {
    let (days, rest) = (seconds / 86_400 + 719_468, seconds % 86_400);
    let (era, of_era) = (days / 146_097, days % 146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 {
        month_from_march + 3
    } else {
        month_from_march - 9
    };
    let year = 400 * era + year_of_era + u64::from(month <= 2);
    let (hour, minute, second) = (rest / 3600, rest / 60 % 60, rest % 60);
    format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}Z")
}

#[cfg(test)]
mod tests {
    use super::written;

    /// Beside `date -u -d @SECONDS` of GNU coreutils.
    #[test]
    fn days_and_leap_days() {
        for (seconds, date) in [
            (0, "1970-01-01T00:00:00Z"),
            (951_782_400, "2000-02-29T00:00:00Z"),
            (1_709_251_199, "2024-02-29T23:59:59Z"),
            (4_107_542_400, "2100-03-01T00:00:00Z"),
        ] {
            assert_eq!(written(seconds), date);
        }
    }
}
