//! Times as people note them at the bench: "09:15" or "2026-11-27 09:15". There is no clock here: nothing but what was
//! written is known.

/// Seconds in a day.
const DAY: f64 = 86_400.0;

/// A time as written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Days since the first of March of the year 0 in the Gregorian calendar, where a date was written.
    day: Option<i64>,
    /// Seconds since midnight.
    seconds: f64,
}

impl Moment {
    /// Reads "09:15", "09:15:30", "2026-11-27 09:15" or "2026-11-27T09:15"; none where it is not one of them.
    #[must_use]
    pub fn parse(text: &str) -> Option<Moment> {
        let text = text.trim();
        let (date, time) = match text.split_once([' ', 'T']) {
            Some((date, time)) => (Some(date), time.trim_start()),
            None => (None, text),
        };
        let day = match date {
            Some(date) => Some(day(date)?),
            None => None,
        };
        let mut parts = time.split(':');
        let hours = number(parts.next()?, 1, 23)?;
        let minutes = number(parts.next()?, 2, 59)?;
        let seconds = match parts.next() {
            Some(seconds) => number(seconds, 2, 59)?,
            None => 0,
        };
        let seconds = (3600 * hours + 60 * minutes + seconds) as f64;
        parts.next().is_none().then_some(Moment { day, seconds })
    }

    /// Whether the clock shows less than at another moment, whatever the dates.
    #[must_use]
    pub fn is_earlier_in_the_day(self, other: Moment) -> bool {
        self.seconds < other.seconds
    }

    /// Whether a date was written.
    #[must_use]
    pub fn has_date(self) -> bool {
        self.day.is_some()
    }
}

/// Seconds from one moment to another, on one clock that was not put forward or back. Where a date is missing, less than
/// a day lies between them: from 17:00 to 09:00 it is 16 hours.
#[must_use]
pub fn seconds_between(start: Moment, end: Moment) -> f64 {
    let of_day = end.seconds - start.seconds;
    match (start.day, end.day) {
        (Some(from), Some(to)) => (to - from) as f64 * DAY + of_day,
        _ if of_day < 0.0 => of_day + DAY,
        _ => of_day,
    }
}

/// A whole number of so many digits at least and no more than two, up to a largest value.
fn number(text: &str, digits: usize, largest: i64) -> Option<i64> {
    let plain = (digits..=2).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    let value = text.parse().ok().filter(|_| plain)?;
    (value <= largest).then_some(value)
}

/// Days since the first of March of the year 0, of a date as 2026-11-27. A year that begins in March has its leap day at
/// its end.
fn day(text: &str) -> Option<i64> {
    let mut parts = text.splitn(3, '-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    let four = year.len() == 4 && year.bytes().all(|b| b.is_ascii_digit());
    let year: i64 = year.parse().ok().filter(|_| four)?;
    let month = number(month, 2, 12)?;
    let day = number(day, 2, last_day(year, month)?)?;
    if day == 0 {
        return None;
    }
    let (year, month) = if month < 3 {
        (year - 1, month + 9)
    } else {
        (year, month - 3)
    };
    let leap_days = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
    // Months from March on have 31, 30, 31, 30, 31, 31, 30, 31, 30, 31, 31 days.
    Some(365 * year + leap_days + (153 * month + 2) / 5 + day - 1)
}

fn last_day(year: i64, month: i64) -> Option<i64> {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    match month {
        2 => Some(if leap { 29 } else { 28 }),
        4 | 6 | 9 | 11 => Some(30),
        1..=12 => Some(31),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between(start: &str, end: &str) -> f64 {
        let read = |text| Moment::parse(text).unwrap_or_else(|| panic!("{text}"));
        seconds_between(read(start), read(end))
    }

    #[test]
    fn times_of_day_lie_less_than_a_day_apart() {
        assert_eq!(between("09:15", "17:45"), 8.5 * 3600.0);
        assert_eq!(between("17:00", "09:00"), 16.0 * 3600.0);
        assert_eq!(between("9:15", "09:15"), 0.0);
        assert_eq!(between("09:15:30", "09:16"), 30.0);
    }

    /// Days between dates: Python 3.11, datetime.date.
    #[test]
    fn dates_count_days() {
        let days = |start: &str, end: &str| {
            between(&format!("{start} 12:00"), &format!("{end} 12:00")) / DAY
        };
        assert_eq!(days("2026-11-27", "2026-11-28"), 1.0);
        assert_eq!(days("2026-12-31", "2027-01-01"), 1.0);
        assert_eq!(days("2024-02-28", "2024-03-01"), 2.0);
        assert_eq!(days("2100-02-28", "2100-03-01"), 1.0);
        assert_eq!(days("2000-01-01", "2026-11-27"), 9827.0);
        assert_eq!(days("0001-01-01", "9999-12-31"), 3_652_058.0);
        assert_eq!(days("2026-11-28", "2026-11-27"), -1.0);
        assert_eq!(between("2026-11-27 23:30", "2026-11-28T00:15"), 2700.0);
    }

    /// Every day of four hundred years is one after the day before.
    #[test]
    fn no_day_is_left_out() {
        let mut last = day("1999-12-31").unwrap();
        for year in 2000..2400 {
            for month in 1..=12 {
                for of_month in 1..=last_day(year, month).unwrap() {
                    let next = day(&format!("{year}-{month:02}-{of_month:02}")).unwrap();
                    assert_eq!(next, last + 1, "{year}-{month}-{of_month}");
                    last = next;
                }
            }
        }
    }

    #[test]
    fn what_is_no_time_is_refused() {
        for text in [
            "",
            "9",
            "9:5",
            "24:00",
            "12:60",
            "12:00:60",
            "12:00:00:00",
            "012:00",
            "9.15",
            "9:15 pm",
            "-9:15",
            "+9:15",
            "27.11.2026 09:15",
            "2026-11-27",
            "2026-02-29 09:15",
            "2026-13-01 09:15",
            "2026-00-01 09:15",
            "2026-11-00 09:15",
            "2026-11-31 09:15",
            "26-11-27 09:15",
            "2026-1-7 09:15",
            "2026-11-27-1 09:15",
            "tomorrow 09:15",
        ] {
            assert_eq!(Moment::parse(text), None, "{text}");
        }
        assert!(Moment::parse(" 2024-02-29  9:15 ").is_some_and(Moment::has_date));
        assert!(!Moment::parse("23:59:59").unwrap().has_date());
    }
}
