//! A cycle by weeks, and the lifts of each.

use super::balance::Line;
use super::cycle::{CycleNeed, Date};
use super::lifts::{Installed, RunningLifts};
use crate::error::Error;
use crate::units::{VolumeRate, base};

/// The flow needed on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayFlow {
    /// The day.
    pub date: Date,
    /// What is needed.
    pub flow: VolumeRate,
    /// The line that governs; of several tanks, that for which most of the flow is needed. None when no flow is.
    pub governing: Option<Line>,
}

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

impl Week {
    /// Number of its days: seven, or fewer of the last.
    pub(crate) fn days(&self) -> usize {
        let days = (self.last - self.first).get_days();
        usize::try_from(days).unwrap_or_default() + 1
    }
}

/// A week with the lifts that must run for the largest need of its days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekOfLifts {
    /// The week.
    pub week: Week,
    /// The lifts.
    pub running: RunningLifts,
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
        weeks_of(&self.day_flows())
    }

    /// How many lifts must run in each week.
    ///
    /// # Errors
    /// As [`Installed::running`].
    ///
    /// # Examples
    /// See [`Installed::running`].
    pub fn lifts(&self, installed: &Installed) -> Result<Vec<WeekOfLifts>, Error> {
        lifts_of(&self.day_flows(), installed)
    }

    fn day_flows(&self) -> Vec<DayFlow> {
        let days = self.days.iter().map(|day| DayFlow {
            date: day.date,
            flow: day.need.flow(),
            governing: day.need.governing(),
        });
        days.collect()
    }
}

/// Days by weeks.
pub(super) fn weeks_of(days: &[DayFlow]) -> Vec<Week> {
    let numbered = (1..).zip(days.chunks(7));
    numbered
        .filter_map(|(number, days)| week(number, days))
        .collect()
}

/// How many lifts must run in each week.
pub(super) fn lifts_of(days: &[DayFlow], installed: &Installed) -> Result<Vec<WeekOfLifts>, Error> {
    let weeks = weeks_of(days).into_iter().map(|week| {
        let running = installed.running(week.peak)?;
        Ok(WeekOfLifts { week, running })
    });
    weeks.collect()
}

fn week(number: usize, days: &[DayFlow]) -> Option<Week> {
    let (first, last) = (days.first()?, days.last()?);
    let (mut peak, mut sum): (&DayFlow, VolumeRate) = (first, base(0.0));
    for day in days {
        sum += day.flow;
        if day.flow > peak.flow {
            peak = day;
        }
    }
    Some(Week {
        number,
        first: first.date,
        last: last.date,
        peak: peak.flow,
        governing: peak.governing,
        mean: sum / days.len() as f64,
    })
}
