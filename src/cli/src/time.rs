//! The time of export as RFC 3339 text in UTC.

use std::time::{SystemTime, UNIX_EPOCH};

/// Now: `2026-05-12T09:30:00+00:00`.
pub(crate) fn now() -> String {
    #[expect(
        clippy::disallowed_methods,
        reason = "the native command may look at the clock"
    )]
    let now = SystemTime::now();
    // A clock before 1970 is not set at all.
    let seconds = now
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs());
    rfc3339(seconds)
}

/// Seconds since 1970 as a date and time in UTC. Days are counted in years that begin in March, so that the leap
/// day is the last of its year; 400 years have 146 097 days.
fn rfc3339(seconds: u64) -> String {
    let (days, second) = (seconds / 86_400, seconds % 86_400);
    let days = days + 719_468; // from 1 March of the year 0
    let (era, day) = (days / 146_097, days % 146_097);
    let year = (day - day / 1_460 + day / 36_524 - day / 146_096) / 365;
    let day = day - (365 * year + year / 4 - year / 100);
    let month = (5 * day + 2) / 153; // March is 0
    let day = day - (153 * month + 2) / 5 + 1;
    let (year, month) = match month {
        0..10 => (era * 400 + year, month + 3),
        _ => (era * 400 + year + 1, month - 9),
    };
    let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
    format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}+00:00")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with Python 3.11, datetime.fromtimestamp(seconds, timezone.utc).isoformat().
    #[test]
    fn known_seconds() {
        for (seconds, text) in KNOWN {
            assert_eq!(rfc3339(*seconds), *text);
        }
    }

    const KNOWN: &[(u64, &str)] = &[
        (0, "1970-01-01T00:00:00+00:00"),
        (951_782_399, "2000-02-28T23:59:59+00:00"),
        (951_782_400, "2000-02-29T00:00:00+00:00"),
        (951_868_800, "2000-03-01T00:00:00+00:00"),
        (1_709_164_800, "2024-02-29T00:00:00+00:00"),
        (1_709_251_199, "2024-02-29T23:59:59+00:00"),
        (1_735_689_599, "2024-12-31T23:59:59+00:00"),
        (1_735_689_600, "2025-01-01T00:00:00+00:00"),
        (1_793_000_000, "2026-10-26T07:33:20+00:00"),
        (4_107_542_399, "2100-02-28T23:59:59+00:00"),
        (4_107_542_400, "2100-03-01T00:00:00+00:00"),
        (253_402_300_799, "9999-12-31T23:59:59+00:00"),
    ];
}
