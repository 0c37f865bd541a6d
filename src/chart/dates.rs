//! Ticks of an axis that counts days: days, months or years, with their names.

use crate::need::Date;

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// From tick to tick.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Step {
    Days(i64),
    /// From the first of a month that so many divide, January being none.
    Months(i64),
    /// From the first of a year that so many divide.
    Years(i64),
}

const STEPS: &[Step] = &[
    Step::Days(1),
    Step::Days(2),
    Step::Days(7),
    Step::Days(14),
    Step::Months(1),
    Step::Months(2),
    Step::Months(3),
    Step::Months(6),
    Step::Years(1),
    Step::Years(2),
    Step::Years(5),
    Step::Years(10),
    Step::Years(20),
    Step::Years(50),
    Step::Years(100),
    Step::Years(1000),
];

impl Step {
    /// Its length in days, at least.
    fn days(self) -> f64 {
        match self {
            Self::Days(n) => n as f64,
            Self::Months(n) => 30.4 * n as f64,
            Self::Years(n) => 365.2 * n as f64,
        }
    }

    /// Whether a tick stands at a date.
    fn at(self, date: Date, start: Date) -> bool {
        match self {
            Self::Days(n) => days_between(start, date) % n == 0,
            Self::Months(n) => date.day() == 1 && i64::from(date.month() - 1) % n == 0,
            Self::Years(n) => date.day_of_year() == 1 && i64::from(date.year()) % n == 0,
        }
    }

    fn next(self, date: Date) -> Option<Date> {
        let span = match self {
            Self::Days(n) => jiff::Span::new().days(n),
            Self::Months(n) => jiff::Span::new().months(n),
            Self::Years(n) => jiff::Span::new().years(n),
        };
        date.checked_add(span).ok()
    }

    fn text(self, date: Date, with_year: bool) -> String {
        let month = MONTHS[usize::from(date.month().unsigned_abs() - 1) % MONTHS.len()];
        let text = match self {
            Self::Days(_) => format!("{} {month}", date.day()),
            Self::Months(_) => month.to_owned(),
            Self::Years(_) => return date.year().to_string(),
        };
        if with_year {
            format!("{text} {}", date.year())
        } else {
            text
        }
    }
}

/// The ticks between two numbers of days from the start of a date, at most about so many: number of days and text.
/// The year stands at the first and wherever it changes. There are none beyond the last date that there is.
pub(super) fn ticks(from: Date, (low, high): (f64, f64), intervals: u32) -> Vec<(f64, String)> {
    let fits = |step: &&Step| (high - low) / step.days() <= f64::from(intervals.max(1));
    let (Some(step), Some(start), Some(end)) = (
        STEPS.iter().find(fits),
        after(from, low.ceil()),
        after(from, high.floor()),
    ) else {
        return Vec::new();
    };
    let mut date = Some(start);
    while let Some(day) = date.filter(|day| !step.at(*day, start)) {
        date = day.tomorrow().ok();
    }
    let mut ticks = Vec::new();
    let mut year = None;
    while let Some(day) = date.filter(|day| *day <= end) {
        let text = step.text(day, year != Some(day.year()));
        ticks.push((days_between(from, day) as f64, text));
        year = Some(day.year());
        date = step.next(day);
    }
    ticks
}

/// Days from one date to another.
pub(super) fn days_between(from: Date, to: Date) -> i64 {
    from.duration_until(to).as_hours() / 24
}

/// The date so many whole days after another, if there is one.
fn after(from: Date, days: f64) -> Option<Date> {
    // No two dates are ten million days apart.
    if days.abs() > 1e7 {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, reason = "whole, within 1e7")]
    let span = jiff::Span::new().try_days(days as i64).ok()?;
    from.checked_add(span).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(from: Date, days: f64, intervals: u32) -> Vec<String> {
        let ticks = ticks(from, (0.0, days), intervals);
        ticks.into_iter().map(|tick| tick.1).collect()
    }

    // By the calendar.
    #[test]
    fn steps_go_with_the_span() {
        let march = Date::constant(2026, 3, 1);
        assert_eq!(texts(march, 2.0, 8), ["1 Mar 2026", "2 Mar", "3 Mar"]);
        assert_eq!(texts(march, 30.0, 8).len(), 5);
        assert_eq!(
            texts(march, 184.0, 8).first().map(String::as_str),
            Some("Mar 2026")
        );
        assert_eq!(texts(march, 184.0, 4), ["Mar 2026", "May", "Jul", "Sep"]);
        let october = Date::constant(2026, 10, 10);
        assert_eq!(
            texts(october, 120.0, 8),
            ["Nov 2026", "Dec", "Jan 2027", "Feb"]
        );
        assert_eq!(
            texts(march, 1826.0, 8),
            ["2027", "2028", "2029", "2030", "2031"]
        );
        assert_eq!(
            texts(march, 36_525.0, 8),
            ["2040", "2060", "2080", "2100", "2120"]
        );
    }

    #[test]
    fn a_tick_stands_at_its_day() {
        // 28 days of February: 1 March is 31 + 28 days after 1 January 2026.
        let ticks = ticks(Date::constant(2026, 1, 1), (10.0, 70.0), 2);
        assert_eq!(
            ticks,
            [(31.0, "Feb 2026".to_owned()), (59.0, "Mar".to_owned())]
        );
    }

    #[test]
    fn beyond_all_dates_there_are_none() {
        assert!(ticks(Date::MAX, (0.0, 1e300), 8).is_empty());
        assert!(ticks(Date::MAX, (0.0, 5.0), 8).is_empty());
    }
}
