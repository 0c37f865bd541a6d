//! The runs to make: what they should give, how long and how often to time, and what the drawn water
//! does to the level.

use std::fmt;

use strum::VariantArray;

use super::air_flow::{BOTTLE_VOLUME, DisplacedAir};
use super::bench::{Bench, PULSATION, TANK_AREA};
use super::budget::WANTED;
use super::level::LevelBudget;
use super::next::{Order, WIDTH};
use super::pairs::PairsToTell;
use super::vessels::AirGauge;
use super::water_flow::WATER_VOLUME;
use crate::air::{AirFlow, AirState};
use crate::caution::Caution;
use crate::error::{Error, Input, range};
use crate::measurement::rectangular;
use crate::riser::Riser;
use crate::uncertainty::{Interval, Prediction};
use crate::units::{
    Length, Ratio, Time, Volume, VolumeRate, base, cubic_meter, cubic_meter_per_second, liter,
    ratio, second, square_meter,
};

range!(PLANNED_RUNS, 1 to 500, "Numbers of runs that are planned at once.");
/// Fills shorter than this are hard to time by hand, s: common practice.
pub const SHORT_FILL_S: f64 = 10.0;
/// Fewest repeats that a plan asks for: with fewer, a slip does not show.
pub const FEWEST_REPEATS: usize = 3;
/// Most repeats that a plan asks for.
pub const MOST_REPEATS: usize = 20;

/// Time for a run to settle after its air is set, with depth, lift, barometer and temperatures read, s: common practice.
pub const SETTLING_S: f64 = 300.0;
/// Time to empty a vessel, put it back and write down its time, s: common practice.
pub const RESET_S: f64 = 60.0;

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
    /// What to catch the water in; none without water.
    pub container: Option<Volume>,
    /// With what to measure the air; none without air.
    pub air_gauge: Option<AirGauge>,
    /// Time to fill the container; none without water.
    pub fill_time: Option<Time>,
    /// Time to fill the bottle; none without air or with a meter.
    pub bottle_time: Option<Time>,
    /// Relative standard uncertainty of the air flow to expect with [`FEWEST_REPEATS`] that agree.
    pub air_expected: Option<Ratio>,
    /// How often and how long; none without water.
    pub effort: Option<Effort>,
    /// What the drawn water does to the level; none without a tank or without water.
    pub level: Option<LevelBudget>,
    /// Time that it takes: [`SETTLING_S`], then each fill and each reading of the air with [`RESET_S`].
    pub duration: Time,
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
    /// What it takes to compare two configurations at the duty.
    pub pairs: PairsToTell,
    /// What it should be read with.
    pub cautions: Vec<Caution>,
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
        let mut settings = Vec::new();
        for &submergence in &self.submergences {
            for &lift in &self.lifts {
                for &air in &self.air_flows {
                    let riser = self.riser_at(submergence, lift)?;
                    let found = self.law.on(&riser)?.predict(air)?;
                    settings.push((riser, air, found));
                }
            }
        }
        let airs: Vec<AirFlow> = settings.iter().map(|(_, air, _)| *air).collect();
        let flows = settings
            .iter()
            .map(|(.., found)| found.outcome.water_flow());
        let vessels = self.vessels(&flows.collect::<Vec<_>>());
        let gauges = self.gauges(&airs)?;
        let mut runs = Vec::new();
        for (setting, with) in settings.iter().zip(vessels.into_iter().zip(gauges)) {
            let label = format!("R{:02}", runs.len() + 1);
            runs.push(self.planned(label, setting, with)?);
        }
        let order = Order::of(self, &runs)?;
        Ok(Plan {
            bench: self.clone(),
            pairs: PairsToTell::of(&order, &runs)?,
            cautions: self.cautions(&order)?,
            order,
            runs,
        })
    }

    /// What the interval at the duty should be read with, and how the work can hurt.
    fn cautions(&self, order: &Order) -> Result<Vec<Caution>, Error> {
        let duty = self.law.on(&order.riser.build(&self.site, self.model)?)?;
        let mut cautions = duty.cautions(order.air)?;
        cautions.extend([Caution::AirInPlasticPipe, Caution::MainsNearWater]);
        Ok(cautions)
    }

    /// Checks all that needs no riser.
    pub(crate) fn check(&self) -> Result<(), Error> {
        self.instruments.checked()?;
        let runs = self.submergences.len() * self.lifts.len() * self.air_flows.len();
        PLANNED_RUNS.check(Input::PlannedRuns, runs as f64)?;
        if let Some(container) = self.container {
            WATER_VOLUME.check(Input::WaterVolume, container.get::<liter>())?;
        }
        if let Some(bottle) = self.bottle {
            BOTTLE_VOLUME.check(Input::BottleVolume, bottle.get::<liter>())?;
        }
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
        (riser, air, found): &(Riser, AirFlow, Prediction),
        (container, air_gauge): (Option<Volume>, Option<AirGauge>),
    ) -> Result<PlannedRun, Error> {
        let (air, water_flow) = (*air, found.outcome.water_flow());
        let at = riser.spec().dimensions;
        let flows = container.is_some();
        let effort = container.map(|container| self.effort(container, water_flow));
        let level = match (self.tank_area, container) {
            (Some(area), Some(container)) => {
                let fills = effort.and_then(|e| e.repeats).unwrap_or(MOST_REPEATS);
                let caught = (fills, container);
                Some(LevelBudget::of(self, riser, air, water_flow, area, caught)?)
            }
            _ => None,
        };
        let fill_time = container.map(|container| container / water_flow);
        let bottle = air_gauge.and_then(AirGauge::bottle);
        let bottle_time = bottle.map(|bottle| self.bottle_time(bottle, air));
        let bottle_time = bottle_time.transpose()?.flatten();
        let air_expected = match (air_gauge, bottle_time) {
            (Some(AirGauge::Bottle(bottle)), Some(time)) => Some(self.air_expected(bottle, time)?),
            (Some(AirGauge::Meter(_)), _) => Some(self.instruments.air_meter),
            _ => None,
        };
        let fills = effort.map_or(0, |effort| effort.repeats.unwrap_or(MOST_REPEATS));
        let timed = |count: usize, time: Option<Time>| {
            count as f64 * time.map_or(0.0, |time| time.get::<second>() + RESET_S)
        };
        let by_meter = air_gauge
            .and_then(AirGauge::full_scale)
            .map_or(0.0, |_| RESET_S);
        let duration = SETTLING_S + timed(fills, fill_time) + timed(FEWEST_REPEATS, bottle_time);
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
            submergence: at.submergence,
            lift: at.lift,
            air,
            water_flow,
            interval: found.interval,
            container,
            air_gauge,
            fill_time,
            bottle_time,
            air_expected,
            effort,
            level,
            duration: Time::new::<second>(duration + by_meter),
            flags: flags
                .iter()
                .filter(|(_, so)| *so)
                .map(|(flag, _)| *flag)
                .collect(),
        })
    }

    /// Repeats, or the container, for the wanted uncertainty of a water flow.
    pub(super) fn effort(&self, container: Volume, flow: VolumeRate) -> Effort {
        let kit = &self.instruments;
        let (same, free) = kit.timing_variance();
        let q = flow.get::<cubic_meter_per_second>();
        let volume = container.get::<cubic_meter>();
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

    /// Time to fill a bottle with air at the site, saturated; none without air.
    pub(super) fn bottle_time(&self, bottle: Volume, air: AirFlow) -> Result<Option<Time>, Error> {
        let state = AirState {
            temperature: self.site.water.temperature(),
            pressure: self.site.atmosphere,
            humidity: base(1.0),
        };
        let rate = air.volume_rate_at(&state)?;
        Ok((rate.value > 0.0).then(|| bottle / rate))
    }

    pub(super) fn air_expected(&self, bottle: Volume, time: Time) -> Result<Ratio, Error> {
        let displaced = DisplacedAir::new(
            bottle,
            vec![time; FEWEST_REPEATS],
            self.site.water.temperature(),
            self.site.atmosphere,
            self.site.water,
        );
        Ok(displaced.air_flow(&self.instruments)?.budget.relative)
    }
}
