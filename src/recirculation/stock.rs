//! The largest stock whose worst hour a loop bears.

use super::{DayPlan, LargestStock, Loop, LoopLimit, StockBound};
use crate::error::Error;
use crate::units::{Ratio, base};

/// Days that a search for the largest stock may take.
const DAYS: usize = 14;
/// The stock is found to this part of it, from below.
const STEP: f64 = 1e-3;

impl Loop {
    /// The loop with so many times its animals, their feed and the filter's other bacteria.
    #[must_use]
    pub fn with_stock(&self, factor: Ratio) -> Self {
        let mut other = self.clone();
        for tank in &mut other.tanks {
            let load = &mut tank.load;
            load.oxygen *= factor.value;
            load.carbon_dioxide *= factor.value;
            load.tan *= factor.value;
        }
        if let Some(filter) = &mut other.filter {
            filter.other_oxygen *= factor.value;
        }
        other
    }

    /// The largest stock, fed alike, whose day holds every limit at its worst hour, to a thousandth from below; none
    /// where nothing bounds it. It is sought below that of the mean of the day ([`Loop::largest_stock`]) by halving and
    /// straight lines. Total gas pressure and turnover do not bound it.
    ///
    /// # Errors
    /// As [`Loop::day`].
    pub fn largest_stock_of_day(&self, plan: &DayPlan) -> Result<Option<LargestStock>, Error> {
        let Some(mean) = self.largest_stock()? else {
            return Ok(None);
        };
        let (mut low, mut high) = (0.0, mean.factor.value);
        if high <= 0.0 {
            return Ok(Some(mean));
        }
        let mut bound = mean.bound;
        // Slack without animals and with the most; not a number until it is known.
        let mut ends = [f64::NAN, f64::NAN];
        let mut next = high;
        for turn in 0..DAYS {
            let (slack, by) = self.worst_slack(plan, next)?;
            if slack >= 0.0 {
                (low, ends[0]) = (next, slack);
            } else {
                (high, ends[1]) = (next, slack);
                bound = by.unwrap_or(bound);
            }
            if turn == 0 && slack >= 0.0 || high - low <= STEP * high {
                break;
            }
            // By a straight line whose far end counts half where it stays.
            let line = low + ends[0] / (ends[0] - ends[1]) * (high - low) - 0.2 * STEP * high;
            let edge = 0.02 * (high - low);
            next = if line.is_finite() && turn % 4 != 3 {
                line.clamp(low + edge, high - edge)
            } else {
                f64::midpoint(low, high)
            };
            ends[usize::from(slack >= 0.0)] *= 0.5;
        }
        Ok(Some(LargestStock {
            factor: base(low),
            bound,
        }))
    }

    /// The least slack of a day with so many times the animals, and what has it; −1 where the day cannot balance.
    fn worst_slack(&self, plan: &DayPlan, factor: f64) -> Result<(f64, Option<StockBound>), Error> {
        let outcome = self.with_stock(base(factor)).day(plan)?;
        let Some(day) = outcome.day() else {
            return Ok((-1.0, None));
        };
        let mut least = (f64::INFINITY, None);
        for (tank, of) in day.tanks.iter().enumerate() {
            for (check, _) in &of.limits {
                let (what, slack) = (check.what, check.slack.value);
                let bounds = !matches!(what, LoopLimit::TotalGasPressure | LoopLimit::Turnover);
                if bounds && slack < least.0 {
                    least = (slack, Some(StockBound::Limit { tank, what }));
                }
            }
            if of.least_oxygen.value.value < 0.0 && least.0 > -1.0 {
                let place = super::Place::Tank(tank);
                least = (-1.0, Some(StockBound::Oxygen(place)));
            }
        }
        Ok(least)
    }
}
