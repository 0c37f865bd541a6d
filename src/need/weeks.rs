//! A cycle by weeks, and the lifts of each.

use super::balance::Line;
use super::cycle::{CycleNeed, Date, DayNeed};
use super::lifts::{Installed, Running};
use crate::error::Error;
use crate::units::{VolumeRate, base};

/// Seven days of a cycle, counted from its first; the last week may be shorter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Week {
    /// Its number, from 1.
    pub number: usize,
    /// Its first day.
    pub first: Date,
    /// Its last day.
    pub last: Date,
    /// Largest need of its days.
    pub peak: VolumeRate,
    /// The line that governs on that day; none when no flow is needed.
    pub governing: Option<Line>,
    /// Mean need of its days.
    pub mean: VolumeRate,
}

/// A week with the lifts that must run for the largest need of its days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekOfLifts {
    /// The week.
    pub week: Week,
    /// The lifts.
    pub running: Running,
}

impl CycleNeed {
    /// The cycle by weeks.
    ///
    /// # Examples
    /// ```
    /// use risewater::need::CycleNeed;
    ///
    /// assert!(CycleNeed { days: Vec::new() }.weeks().is_empty());
    /// ```
    #[must_use]
    pub fn weeks(&self) -> Vec<Week> {
        let numbered = (1..).zip(self.days.chunks(7));
        numbered
            .filter_map(|(number, days)| week(number, days))
            .collect()
    }

    /// How many lifts must run in each week.
    ///
    /// # Errors
    /// As [`Installed::running`].
    ///
    /// # Examples
    /// See [`Installed::running`].
    pub fn lifts(&self, installed: &Installed) -> Result<Vec<WeekOfLifts>, Error> {
        let weeks = self.weeks().into_iter().map(|week| {
            let running = installed.running(week.peak)?;
            Ok(WeekOfLifts { week, running })
        });
        weeks.collect()
    }
}

fn week(number: usize, days: &[DayNeed]) -> Option<Week> {
    let (first, last) = (days.first()?, days.last()?);
    let (mut peak, mut sum): (&DayNeed, VolumeRate) = (first, base(0.0));
    for day in days {
        sum += day.need.flow();
        if day.need.flow() > peak.need.flow() {
            peak = day;
        }
    }
    Some(Week {
        number,
        first: first.date,
        last: last.date,
        peak: peak.need.flow(),
        governing: peak.need.governing(),
        mean: sum / days.len() as f64,
    })
}
