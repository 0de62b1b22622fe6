//! Whether a lot had expired when the work was done. Both dates are free text; only what is written as RFC 3339 does
//! (2026-03-12, or 2026-03 for a month) is compared.

/// How an expiry date stands to the date of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Expiry {
    /// There is none.
    Unstated,
    /// It was still to come, or on that day.
    InDate,
    /// It had passed.
    Expired,
    /// It is not written as a date.
    Unread,
    /// The date of the work is not written as a date.
    WorkUnread,
}

impl Expiry {
    pub(super) fn of(expiry: &str, work: &str) -> Self {
        let (expiry, work) = (expiry.trim(), work.trim());
        if expiry.is_empty() {
            return Expiry::Unstated;
        }
        if !is_date(expiry) {
            return Expiry::Unread;
        }
        if !is_date(work) {
            return Expiry::WorkUnread;
        }
        // A month ends with its last day: what only one of the two says is left out. Such texts sort as their dates.
        let common = expiry.len().min(work.len());
        if work[..common] > expiry[..common] {
            Expiry::Expired
        } else {
            Expiry::InDate
        }
    }

    /// What is said at the box; nothing where there is nothing to say.
    pub(super) fn advice(self) -> &'static str {
        match self {
            Expiry::Unstated | Expiry::InDate => "",
            Expiry::Expired => "This lot had expired before the date of the work.",
            Expiry::Unread => {
                "Written as 2027-06-30, the expiry is compared with the date of the work."
            }
            Expiry::WorkUnread => {
                "With the date of the work written as 2026-03-12, the expiry is compared with it."
            }
        }
    }

    /// What the record says beside the date.
    pub(super) fn remark(self) -> &'static str {
        match self {
            Expiry::Unstated | Expiry::InDate => "",
            Expiry::Expired => "expired before the date of the work",
            Expiry::Unread | Expiry::WorkUnread => "not compared with the date of the work",
        }
    }
}

/// Whether a text is a date or a month after RFC 3339.
pub(super) fn is_date(text: &str) -> bool {
    let mut parts = text.trim().split('-');
    let mut part = |length: usize, most: u32| {
        let part = parts.next()?;
        let digits = part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit());
        let number: u32 = part.parse().ok()?;
        (digits && (1..=most).contains(&number)).then_some(())
    };
    let month = part(4, 9999).and_then(|()| part(2, 12)).is_some();
    // A month alone has no third part; a date has one, and nothing behind it.
    let day = part(2, 31).is_some() && text.trim().len() == 10;
    month && (day || text.trim().len() == 7)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_and_months_after_rfc_3339_are_read() {
        for text in ["2026-03-12", " 2026-12-31 ", "2026-03"] {
            assert!(is_date(text), "{text}");
        }
        for text in [
            "",
            "2026",
            "12.03.2026",
            "2026-13",
            "2026-00-01",
            "2026-03-32",
            "2026-3-12",
            "2026-03-12-1",
            "2026-03-1x",
            "+026-03-12",
            "２０２６-03-12",
        ] {
            assert!(!is_date(text), "{text}");
        }
    }

    #[test]
    fn an_expiry_is_compared_with_the_date_of_the_work() {
        let work = "2026-03-12";
        for (expiry, expected) in [
            ("", Expiry::Unstated),
            ("2026-03-12", Expiry::InDate),
            ("2026-03-11", Expiry::Expired),
            ("2025-12-31", Expiry::Expired),
            ("2026-03", Expiry::InDate),
            ("2026-02", Expiry::Expired),
            ("03/27", Expiry::Unread),
        ] {
            assert_eq!(Expiry::of(expiry, work), expected, "{expiry}");
        }
        assert_eq!(Expiry::of("2026-03-11", "12 March"), Expiry::WorkUnread);
        assert_eq!(Expiry::of("2026-03-11", ""), Expiry::WorkUnread);
        assert_eq!(Expiry::of("2026-03-11", "2026-03"), Expiry::InDate);
    }
}
