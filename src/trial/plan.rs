//! The runs to make: what they should give, how long and how often to time, and what the drawn water
//! does to the level.

use std::fmt;

use strum::VariantArray;

use super::air_flow::{BOTTLE_VOLUME, DisplacedAir};
use super::bench::{Bench, PULSATION, TANK_AREA};
use super::budget::WANTED;
use super::level::LevelBudget;
use super::next::{Order, WIDTH};
use super::water_flow::WATER_VOLUME;
use crate::air::{AirFlow, AirState};
use crate::error::{Error, Input, range};
use crate::measurement::rectangular;
use crate::uncertainty::Interval;
use crate::units::{
    Length, Ratio, Time, Volume, VolumeRate, base, cubic_meter, cubic_meter_per_second, liter,
    ratio, second, square_meter,
};

range!(PLANNED_RUNS, 1 to 500, "Numbers of runs that are planned at once.");
/// Fills shorter than this are hard to time by hand, s: common practice.
pub(super) const SHORT_FILL_S: f64 = 10.0;
/// Fewest repeats that a plan asks for: with fewer, a slip does not show.
pub const FEWEST_REPEATS: usize = 3;
/// Most repeats that a plan asks for.
pub const MOST_REPEATS: usize = 20;

/// How often and how long to time the water of one run.
///
/// ```text
/// u² = (u_V/V)² + u_c² + u_s²/t² + (p² + u_r²/t²)/n                  V = Q t
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | u_V, u_c | reading of the container; its calibration, relative |
/// | u_s, u_r | reaction that is the same in every repeat, and the rest with the display's step |
/// | p, n | pulsation; number of repeats |
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Effort {
    /// Repeats for the wanted uncertainty in the container given; none when [`MOST_REPEATS`] would
    /// not do.
    pub repeats: Option<usize>,
    /// Relative standard uncertainty to expect with those repeats, or with [`MOST_REPEATS`].
    pub expected: Ratio,
    /// Container that would do with [`FEWEST_REPEATS`]; none when no size would.
    pub container: Option<Volume>,
    /// Time to fill it.
    pub time: Option<Time>,
}

/// What is amiss with a planned run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::IntoStaticStr, strum::VariantArray)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum PlanFlag {
    /// No water is predicted.
    NoWater,
    /// The container fills in under 10 s.
    ShortFill,
    /// The bottle fills in under 10 s.
    ShortBottle,
    /// The wanted uncertainty is not reached with this container.
    OutOfReach,
}

impl PlanFlag {
    /// All of them.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The name in reports.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.into()
    }
}

impl fmt::Display for PlanFlag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoWater => "no water predicted",
            Self::ShortFill => "container fills in under 10 s",
            Self::ShortBottle => "bottle fills in under 10 s",
            Self::OutOfReach => "wanted uncertainty needs another container",
        })
    }
}

/// One run to make.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PlannedRun {
    /// Name of the run.
    pub label: String,
    /// Depth of the air inlet.
    pub submergence: Length,
    /// Height of the outlet.
    pub lift: Length,
    /// Air flow to set.
    pub air: AirFlow,
    /// Water flow predicted; zero when none flows.
    pub water_flow: VolumeRate,
    /// Where the true flow lies; none at a submergence ratio below 0.4.
    pub interval: Option<Interval>,
    /// Time to fill the container; none without water.
    pub fill_time: Option<Time>,
    /// Time to fill the bottle; none without air.
    pub bottle_time: Option<Time>,
    /// Relative standard uncertainty of the air flow to expect with [`FEWEST_REPEATS`] that agree.
    pub air_expected: Option<Ratio>,
    /// How often and how long; none without water.
    pub effort: Option<Effort>,
    /// What the drawn water does to the level; none without a tank or without water.
    pub level: Option<LevelBudget>,
    /// What is amiss.
    pub flags: Vec<PlanFlag>,
}

/// A trial to make.
///
/// # Examples
/// See [`Bench::plan`].
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Plan {
    /// What it is for.
    pub bench: Bench,
    /// Its runs: air flows within lifts within depths.
    pub runs: Vec<PlannedRun>,
    /// In which order to make them.
    pub order: Order,
}

impl Bench {
    /// Plans every combination of depth, lift and air flow.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`PLANNED_RUNS`], [`WATER_VOLUME`], [`BOTTLE_VOLUME`], [`WANTED`],
    /// [`WIDTH`], [`PULSATION`] or [`TANK_AREA`], for instruments that cannot be, and as
    /// [`RiserSpec::build`](crate::RiserSpec::build).
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::design::DesignFile;
    /// use risewater::trial::DEMO_RIG;
    /// use risewater::units::{Time, second};
    ///
    /// let plan = DesignFile::parse(DEMO_RIG)?.bench()?.plan()?;
    /// assert_eq!(plan.runs.len(), 9);
    /// // A greater lift takes longer to fill the same tub.
    /// assert!(plan.runs[2].fill_time > plan.runs[0].fill_time);
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn plan(&self) -> Result<Plan, Error> {
        self.check()?;
        let mut runs = Vec::new();
        for &submergence in &self.submergences {
            for &lift in &self.lifts {
                for &air in &self.air_flows {
                    let label = format!("R{:02}", runs.len() + 1);
                    runs.push(self.planned(label, submergence, lift, air)?);
                }
            }
        }
        Ok(Plan {
            bench: self.clone(),
            order: Order::of(self, &runs)?,
            runs,
        })
    }

    /// Checks all that needs no riser.
    pub(crate) fn check(&self) -> Result<(), Error> {
        self.instruments.checked()?;
        let runs = self.submergences.len() * self.lifts.len() * self.air_flows.len();
        PLANNED_RUNS.check(Input::PlannedRuns, runs as f64)?;
        WATER_VOLUME.check(Input::WaterVolume, self.container.get::<liter>())?;
        BOTTLE_VOLUME.check(Input::BottleVolume, self.bottle.get::<liter>())?;
        WANTED.check(Input::WantedUncertainty, self.wanted.get::<ratio>())?;
        WIDTH.check(Input::WantedWidth, self.wanted_width.get::<ratio>())?;
        PULSATION.check(Input::Pulsation, self.pulsation.get::<ratio>())?;
        if let Some(area) = self.tank_area {
            TANK_AREA.check(Input::TankArea, area.get::<square_meter>())?;
        }
        Ok(())
    }

    fn planned(
        &self,
        label: String,
        submergence: Length,
        lift: Length,
        air: AirFlow,
    ) -> Result<PlannedRun, Error> {
        let riser = self.riser_at(submergence, lift)?;
        let found = self.law.on(&riser)?.predict(air)?;
        let water_flow = found.outcome.water_flow();
        let flows = water_flow.get::<cubic_meter_per_second>() > 0.0;
        let effort = flows.then(|| self.effort(water_flow));
        let level = match self.tank_area {
            Some(area) if flows => {
                let fills = effort.and_then(|e| e.repeats).unwrap_or(MOST_REPEATS);
                Some(LevelBudget::of(self, &riser, air, water_flow, area, fills)?)
            }
            _ => None,
        };
        let fill_time = flows.then(|| self.container / water_flow);
        let bottle_time = self.bottle_time(air)?;
        let short = |time: Option<Time>| time.is_some_and(|t| t.get::<second>() < SHORT_FILL_S);
        let flags = [
            (PlanFlag::NoWater, !flows),
            (PlanFlag::ShortFill, short(fill_time)),
            (PlanFlag::ShortBottle, short(bottle_time)),
            (
                PlanFlag::OutOfReach,
                effort.is_some_and(|e| e.repeats.is_none()),
            ),
        ];
        Ok(PlannedRun {
            label,
            submergence,
            lift,
            air,
            water_flow,
            interval: found.interval,
            fill_time,
            bottle_time,
            air_expected: bottle_time
                .map(|time| self.air_expected(time))
                .transpose()?,
            effort,
            level,
            flags: flags
                .iter()
                .filter(|(_, so)| *so)
                .map(|(flag, _)| *flag)
                .collect(),
        })
    }

    /// Repeats, or the container, for the wanted uncertainty of a water flow.
    fn effort(&self, flow: VolumeRate) -> Effort {
        let kit = &self.instruments;
        let (same, free) = kit.timing_variance();
        let q = flow.get::<cubic_meter_per_second>();
        let volume = self.container.get::<cubic_meter>();
        let t = volume / q;
        let reading = rectangular(kit.container_reading).get::<cubic_meter>();
        let calibration = kit.container_calibration.get::<ratio>().powi(2);
        let p = self.pulsation.get::<ratio>().powi(2);
        let wanted = self.wanted.get::<ratio>().powi(2);
        // What repeats do not average: (u_V/V)² + u_c² + u_s²/t²
        let fixed = (reading / volume).powi(2) + calibration + same / (t * t);
        let single = p + free / (t * t);
        let repeats =
            (FEWEST_REPEATS..=MOST_REPEATS).find(|n| fixed + single / *n as f64 <= wanted);
        let n = repeats.unwrap_or(MOST_REPEATS);
        // V² = (u_V² + (u_s² + u_r²/n) Q²)/(u² − u_c² − p²/n)
        let few = FEWEST_REPEATS as f64;
        let left = wanted - calibration - p / few;
        let needed = ((reading * reading + (same + free / few) * q * q) / left).sqrt();
        let container = (left > 0.0 && needed > 0.0).then_some(needed);
        Effort {
            repeats,
            expected: base((fixed + single / n as f64).sqrt()),
            container: container.map(base),
            time: container.map(|v| base(v / q)),
        }
    }

    /// Time to fill the bottle with air at the site, saturated; none without air.
    fn bottle_time(&self, air: AirFlow) -> Result<Option<Time>, Error> {
        let state = AirState {
            temperature: self.site.water.temperature(),
            pressure: self.site.atmosphere,
            humidity: base(1.0),
        };
        let rate = air.volume_rate_at(&state)?;
        Ok((rate.value > 0.0).then(|| self.bottle / rate))
    }

    fn air_expected(&self, time: Time) -> Result<Ratio, Error> {
        let displaced = DisplacedAir::new(
            self.bottle,
            vec![time; FEWEST_REPEATS],
            self.site.water.temperature(),
            self.site.atmosphere,
            self.site.water,
        );
        Ok(displaced.air_flow(&self.instruments)?.budget.relative)
    }
}
