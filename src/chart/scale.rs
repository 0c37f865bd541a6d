//! A linear axis: its ends, its ticks in steps of 1, 2 or 5 or by the calendar, and their text.

use super::dates;
use crate::need::Date;

/// From values to the share of the axis's length, 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scale {
    low: f64,
    high: f64,
    step: f64,
    /// Power of ten of the step.
    exponent: i32,
    /// Ticks of an axis of dates or hours.
    dated: Option<Vec<(f64, String)>>,
}

impl Scale {
    /// The axis that takes in all values and ends on ticks, with at most `intervals` + 2 steps.
    pub(super) fn new(values: impl Iterator<Item = f64>, intervals: u32) -> Self {
        let (low, high) = widened(values);
        let raw = (high - low) / f64::from(intervals.max(1));
        let exponent = raw.log10().floor();
        let mantissa = raw / 10_f64.powf(exponent);
        // A hair of room, so that rounding does not make a step of 2 out of 1.
        let (factor, carry) = match mantissa * (1.0 - 1e-9) {
            m if m <= 1.0 => (1.0, 0.0),
            m if m <= 2.0 => (2.0, 0.0),
            m if m <= 5.0 => (5.0, 0.0),
            _ => (1.0, 1.0),
        };
        let exponent = exponent + carry;
        let step = factor * 10_f64.powf(exponent);
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a power of ten of f64, within ±310"
        )]
        let exponent = exponent as i32;
        let first = (low / step + 1e-6).floor();
        let last = (high / step - 1e-6).ceil().max(first + 1.0);
        Self {
            low: first * step,
            high: last * step,
            step,
            exponent,
            dated: None,
        }
    }

    /// The axis of days from the start of a date that takes in all values and ends on the outer ones.
    pub(super) fn dated(values: impl Iterator<Item = f64>, intervals: u32, from: Date) -> Self {
        let (low, high) = widened(values);
        Self {
            low,
            high,
            step: 1.0,
            exponent: 0,
            dated: Some(dates::ticks(from, (low, high), intervals)),
        }
    }

    /// The axis of the hours of a day, with at most so many steps.
    pub(super) fn hours(intervals: u32) -> Self {
        let step = 24_u32.div_ceil(intervals.clamp(1, 24));
        let ticks = (0..=24).step_by(step as usize);
        Self {
            low: 0.0,
            high: 24.0,
            step: 1.0,
            exponent: 0,
            dated: Some(
                ticks
                    .map(|hour| (f64::from(hour), format!("{hour}:00")))
                    .collect(),
            ),
        }
    }

    pub(super) fn low(&self) -> f64 {
        self.low
    }

    pub(super) fn high(&self) -> f64 {
        self.high
    }

    /// Where a value lies, as a share of the length.
    pub(super) fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    /// The ticks: value and text.
    pub(super) fn ticks(&self) -> Vec<(f64, String)> {
        if let Some(dated) = &self.dated {
            return dated.clone();
        }
        let first = (self.low / self.step).round();
        let last = (self.high / self.step).round();
        let mut ticks = Vec::new();
        let mut k = first;
        while k <= last {
            ticks.push((k * self.step, self.text(k * self.step)));
            k += 1.0;
        }
        ticks
    }

    fn text(&self, value: f64) -> String {
        let largest = self.low.abs().max(self.high.abs());
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a power of ten of f64, within ±310"
        )]
        let top = largest.log10().floor() as i32;
        let places = |n: i32| usize::try_from(n).unwrap_or(0);
        let decimals = places(-self.exponent);
        let text = if value == 0.0 {
            "0".to_owned()
        } else if places(top) + decimals < 7 {
            format!("{value:.decimals$}")
        } else {
            #[expect(clippy::cast_possible_truncation, reason = "as above")]
            let own = (value.abs().log10() + 1e-9).floor() as i32;
            format!("{value:.*e}", places(own - self.exponent))
        };
        text.replace('-', "\u{2212}")
    }
}

/// Ends of the values, never equal; 0 to 1 when there are none.
fn widened(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let ends = values.fold(None, |ends, v| match ends {
        None => Some((v, v)),
        Some((low, high)) => Some((v.min(low), v.max(high))),
    });
    let (low, high) = ends.unwrap_or((0.0, 0.0));
    let largest = low.abs().max(high.abs());
    // Beyond nine digits the ticks could not be told apart; below 1e-300 the step would vanish.
    if high - low > (1e-9 * largest).max(1e-300) {
        (low, high)
    } else if largest > 1e-300 {
        (low - 0.1 * largest, high + 0.1 * largest)
    } else {
        (0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(values: &[f64], intervals: u32) -> Vec<String> {
        Scale::new(values.iter().copied(), intervals)
            .ticks()
            .into_iter()
            .map(|t| t.1)
            .collect()
    }

    // Worked by hand.
    #[test]
    fn ticks_are_1_2_5() {
        assert_eq!(
            texts(&[0.0, 600.0], 7),
            ["0", "100", "200", "300", "400", "500", "600"]
        );
        assert_eq!(texts(&[0.0, 9.3], 6), ["0", "2", "4", "6", "8", "10"]);
        assert_eq!(
            texts(&[-0.12, 0.21], 6),
            ["−0.2", "−0.1", "0", "0.1", "0.2", "0.3"]
        );
        assert_eq!(
            texts(&[0.0, 1e300], 5),
            ["0", "2e299", "4e299", "6e299", "8e299", "1.0e300"]
        );
        assert_eq!(texts(&[0.0, 3e-9], 3), ["0", "1e−9", "2e−9", "3e−9"]);
    }

    #[test]
    fn no_width_is_widened() {
        for values in [
            &[][..],
            &[0.0],
            &[5.0],
            &[-5.0, -5.0],
            &[1e300],
            &[-1e300, 1e300],
            &[1e-310],
        ] {
            let scale = Scale::new(values.iter().copied(), 6);
            let ticks = scale.ticks();
            assert!((2..=9).contains(&ticks.len()), "{values:?}: {ticks:?}");
            for v in values {
                assert!(
                    (0.0..=1.0).contains(&scale.share(*v)),
                    "{values:?}: {scale:?}"
                );
            }
        }
    }
}
