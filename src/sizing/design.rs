//! One candidate: a design with its margins, or a reason against it.

use std::cmp::Ordering;
use std::fmt;
use std::sync::Arc;

use super::{Objective, Sizing, Task};
use crate::air::AirFlow;
use crate::caution::{Caution, with_code};
use crate::error::Error;
use crate::pipe::Pipe;
use crate::published::LOWEST_SHARE_OF_PEAK;
use crate::references::Trust;
use crate::riser::{OperatingPoint, Outcome, Riser};
use crate::uncertainty::Wanted;
use crate::units::system::short;
use crate::units::{
    GaugePressure, Length, Power, Ratio, UnitSystem, VolumeRate, liter_per_minute, meter, pascal,
    percent, ratio,
};

/// Share of the best design's lifts that another must not exceed to be named for having fewer: our own choice.
pub const FEWER_LIFTS: f64 = 0.6;
/// Power over the best design's that such a design may take: our own choice.
pub const FEWER_LIFTS_POWER: f64 = 1.15;

/// A candidate that meets the duty.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Design {
    /// The riser's pipe.
    pub pipe: Arc<Pipe>,
    /// Number of equal lifts that share the duty.
    pub lifts: u32,
    /// Depth of the injection point below the running water level.
    pub submergence: Length,
    /// One lift at the normal water level, ready to be solved.
    pub riser: Riser,
    /// What each lift does at the normal water level.
    pub point: OperatingPoint,
    /// Largest water flow of each lift at the normal water level.
    pub peak: OperatingPoint,
    /// Gauge pressure at the injection point before the lift runs, ρ_l g S.
    pub startup_pressure: GaugePressure,
    /// What each lift does with the same air at low water, where the duty must be met there; its air is
    /// then what that takes, and at the normal level it gives more water than the duty.
    pub low_water: Option<LowWater>,
    /// Whether no other design is at least as good in air power, number of lifts, air flow and
    /// pressure, and better in one.
    pub pareto: bool,
}

/// One lift at low water, where the duty must be met there.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LowWater {
    /// What it does: its share of the duty.
    pub point: OperatingPoint,
    /// Its largest water flow.
    pub peak: OperatingPoint,
}

impl LowWater {
    fn share_of_peak(&self) -> f64 {
        (self.point.water_flow / self.peak.water_flow).get::<ratio>()
    }
}

impl Design {
    /// Water flow of all lifts at the normal water level.
    #[must_use]
    pub fn water_flow_total(&self) -> VolumeRate {
        self.point.water_flow * f64::from(self.lifts)
    }

    /// Air flow of all lifts, dry at 20 °C and 101.325 kPa.
    #[must_use]
    pub fn air_flow_total_at_20_c(&self) -> VolumeRate {
        self.point.air.volume_rate_at_20_c() * f64::from(self.lifts)
    }

    /// Isothermal power of the air of all lifts at the injection point, ṁRT ln(p0/p_a): what must be
    /// delivered there, without losses of line and blower.
    #[must_use]
    pub fn injection_power_total(&self) -> Power {
        self.point.injection_power * f64::from(self.lifts)
    }

    /// Gauge pressure at the injection point while running, p0 − p_a.
    #[must_use]
    pub fn injection_pressure(&self) -> GaugePressure {
        self.point
            .injection_pressure
            .gauge(self.riser.site().atmosphere)
    }

    fn merits(&self) -> [f64; 4] {
        [
            self.injection_power_total().value,
            f64::from(self.lifts),
            self.air_flow_total_at_20_c().value,
            self.injection_pressure().0.value,
        ]
    }

    pub(super) fn order(&self, other: &Self, objective: Objective) -> Ordering {
        let (a, b) = (self.merits(), other.merits());
        let first = match objective {
            Objective::AirPower => 0,
            Objective::Lifts => 1,
            Objective::AirFlow => 2,
            Objective::Pressure => 3,
        };
        let rest = [first, 0, 1, 2, 3];
        rest.iter()
            .map(|n| a[*n].total_cmp(&b[*n]))
            .find(|order| order.is_ne())
            .unwrap_or(Ordering::Equal)
    }
}

/// Of designs in their [order](Design::order): what beats one stands before it, and if that is beaten itself, then by one
/// that beats both.
pub(super) fn mark_pareto(designs: &mut [Design]) {
    let beats = |one: &[f64; 4], other: &[f64; 4]| {
        one.iter().zip(other).all(|(a, b)| a <= b) && one != other
    };
    let mut best: Vec<[f64; 4]> = Vec::new();
    for design in designs {
        let merits = design.merits();
        design.pareto = !best.iter().any(|one| beats(one, &merits));
        if design.pareto {
            best.push(merits);
        }
    }
}

/// A candidate that does not meet the duty or a limit.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Rejected {
    /// The riser's pipe.
    pub pipe: Arc<Pipe>,
    /// Number of lifts.
    pub lifts: u32,
    /// Depth of the injection point.
    pub submergence: Length,
    /// Why.
    pub reason: Reason,
}

/// Why a candidate was rejected.
#[derive(Debug, Clone, PartialEq, strum::IntoStaticStr, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Reason {
    /// The wanted flow is above the peak of the curve.
    AbovePeak {
        /// Water flow wanted of each lift.
        target: VolumeRate,
        /// Largest it gives.
        peak_flow: VolumeRate,
    },
    /// The wanted flow is below the peak, but inside the reserve.
    InsideReserve {
        /// Water flow wanted of each lift.
        target: VolumeRate,
        /// Largest allowed.
        allowed: VolumeRate,
        /// Largest it gives.
        peak_flow: VolumeRate,
    },
    /// The injection point is too deep for the air supply to start.
    AirPressure {
        /// Gauge pressure needed to start.
        startup: GaugePressure,
        /// Largest allowed.
        limit: GaugePressure,
    },
    /// The injection point is so deep that its air could give the water too much gas.
    TotalGasPressure {
        /// Most total gas pressure from that depth, over the barometer's.
        bound: Ratio,
        /// Largest allowed.
        limit: Ratio,
    },
    /// No air flow lifts the water that high.
    LiftOutOfReach {
        /// Lift wanted.
        lift: Length,
        /// Height reached at best.
        reached: Length,
    },
    /// More than the wanted flow runs without air.
    RunsWithoutAir {
        /// Water flow wanted of each lift.
        target: VolumeRate,
        /// Water flow without air.
        free_flow: VolumeRate,
    },
    /// The duty must be met at low water, and is not there.
    AtLowWater(Box<Self>),
    /// The riser cannot be built as described.
    CannotBe(Error),
    /// Not decided; never seen, and a defect if it is.
    Unsolved,
}

impl From<Error> for Reason {
    fn from(error: Error) -> Self {
        match error {
            Error::AbovePeak {
                target, peak_flow, ..
            } => Self::AbovePeak { target, peak_flow },
            Error::LiftOutOfReach { lift, reached } => Self::LiftOutOfReach { lift, reached },
            Error::RunsWithoutAir { target, free_flow } => {
                Self::RunsWithoutAir { target, free_flow }
            }
            other => Self::CannotBe(other),
        }
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.worded(UnitSystem::Metric))
    }
}

/// Its code, and its words in metric units.
impl serde::Serialize for Reason {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        with_code(self.code(), &self.to_string(), serializer)
    }
}

impl Reason {
    /// Its words, with numbers in a system of units; `to_string` has them in metric units.
    #[must_use]
    pub fn worded(&self, units: UnitSystem) -> String {
        match self {
            Self::AbovePeak { target, peak_flow } => format!(
                "above the peak, best {} of {} each",
                units.water(*peak_flow),
                units.water(*target)
            ),
            Self::InsideReserve {
                target,
                allowed,
                peak_flow,
            } => format!(
                "inside the reserve below the peak, {} allowed of {} wanted each (peak {})",
                units.water(*allowed),
                units.water(*target),
                units.water(*peak_flow)
            ),
            Self::AirPressure { startup, limit } => format!(
                "air pressure too low to start, {} of {} gauge",
                units.pressure(limit.get::<pascal>()),
                units.pressure(startup.get::<pascal>())
            ),
            Self::TotalGasPressure { bound, limit } => format!(
                "too deep for the gas: up to {:.1} % total gas pressure, {:.1} % allowed",
                bound.get::<percent>(),
                limit.get::<percent>()
            ),
            Self::LiftOutOfReach { lift, reached } => {
                // Four digits: the nearest miss is often a hair.
                let (size, unit) = units.small_height_unit(*lift);
                format!(
                    "lift out of reach, best {} of {} {unit}",
                    short(reached.value / size),
                    short(lift.value / size)
                )
            }
            Self::RunsWithoutAir { target, free_flow } => format!(
                "more runs without air, {} against {} each",
                units.water(*free_flow),
                units.water(*target)
            ),
            Self::AtLowWater(there) => format!("at low water: {}", there.worded(units)),
            Self::CannotBe(error) => error.to_string(),
            Self::Unsolved => "not decided (a defect)".to_owned(),
        }
    }

    /// Its words without numbers, as they stand for many candidates.
    #[must_use]
    pub fn in_short(&self) -> String {
        let words = match self {
            Self::AbovePeak { .. } => "the duty is above the peak",
            Self::InsideReserve { .. } => "the duty is too near the peak",
            Self::AirPressure { .. } => "the air supply cannot start it",
            Self::TotalGasPressure { .. } => "air from that depth gives the water too much gas",
            Self::LiftOutOfReach { .. } => "no amount of air lifts the water so high",
            Self::RunsWithoutAir { .. } => "more water runs without air",
            Self::AtLowWater(there) => return format!("at low water {}", there.in_short()),
            Self::CannotBe(_) => "it cannot be built, or not at the lowest water",
            Self::Unsolved => "not decided (a defect)",
        };
        words.to_owned()
    }

    /// The stable code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        self.into()
    }

    /// How near the candidate came, 1 being enough: the nearest of a group is the one to show.
    #[must_use]
    pub fn nearness(&self) -> f64 {
        match self {
            Self::AbovePeak { target, peak_flow } => (*peak_flow / *target).value,
            Self::InsideReserve {
                target, allowed, ..
            } => (*allowed / *target).value,
            Self::AirPressure { startup, limit } => limit.0.value / startup.0.value,
            Self::TotalGasPressure { bound, limit } => (*limit / *bound).value,
            Self::LiftOutOfReach { lift, reached } => (*reached / *lift).value,
            Self::RunsWithoutAir { target, free_flow } => (*target / *free_flow).value,
            Self::AtLowWater(reason) => reason.nearness(),
            Self::CannotBe(_) | Self::Unsolved => 0.0,
        }
    }

    /// Whether another developing length might decide otherwise.
    fn hangs_on_developing_length(&self) -> bool {
        match self {
            Self::AbovePeak { .. } | Self::InsideReserve { .. } | Self::LiftOutOfReach { .. } => {
                true
            }
            Self::AtLowWater(reason) => reason.hangs_on_developing_length(),
            _ => false,
        }
    }
}

/// What a margin changes.
#[derive(
    Debug, Clone, Copy, PartialEq, strum::IntoStaticStr, strum::VariantArray, serde::Serialize,
)]
#[strum(serialize_all = "snake_case")]
#[serde(into = "&'static str")]
#[non_exhaustive]
pub enum MarginCase {
    /// A tenth less air.
    #[strum(serialize = "air_less_10_percent")]
    LessAir,
    /// A tenth more air.
    #[strum(serialize = "air_more_10_percent")]
    MoreAir,
    /// The source's water level at its lowest.
    LowWater,
    /// The source's water level at its highest.
    HighWater,
    /// The bore narrowed by fouling.
    Fouled,
}

impl MarginCase {
    /// The name in reports.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

/// What a design does when something changes and the air supply does not.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Margin {
    /// What changes.
    pub case: MarginCase,
    /// What each lift then does.
    pub outcome: Outcome,
    /// The flow of each lift that is held against its share of the duty: the predicted one, or the lower end of its
    /// interval where [that](Task::at_lower_end) must meet it.
    pub held: VolumeRate,
    /// Air flow of each lift that would meet the duty then; none when no air flow does, or when the
    /// air itself is what changes.
    pub air_needed: Option<AirFlow>,
}

/// What one lift takes so that the predicted flow meets its share of the duty, and so that the lower end of the
/// interval does: the difference is what a bench trial is worth.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DoubtCost {
    /// Where the predicted flow does, if it can.
    pub predicted: Result<OperatingPoint, Reason>,
    /// Where the lower end does, if it can.
    pub lower_end: Result<OperatingPoint, Reason>,
}

/// The best design with the next bore up or down of the same standard and series, or of your own pipes.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct BoreStep {
    /// The neighbouring pipe.
    pub pipe: Arc<Pipe>,
    /// Its best design; none when no candidate with that pipe meets the duty.
    pub best: Option<Design>,
}

impl Design {
    /// How the water flow of each lift changes with ±10 % of air, with the tank's water level and
    /// with fouling, where the problem states them.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] when a level change or the fouling leaves no riser.
    pub fn margins(&self, problem: &Task) -> Result<Vec<Margin>, Error> {
        let air = self.point.air;
        let own = problem.law.on(&self.riser)?;
        let with_air = |case, factor: f64| {
            let air = AirFlow::from_kg_per_s(air.kg_per_s() * factor);
            Ok::<_, Error>(Margin {
                case,
                outcome: own.operate(air)?,
                held: own.held(problem.wanted(), air)?,
                air_needed: None,
            })
        };
        let mut margins = vec![
            with_air(MarginCase::LessAir, 0.9)?,
            with_air(MarginCase::MoreAir, 1.1)?,
        ];
        for (case, spec) in problem.changes(self.riser.spec()) {
            let low = self.low_water.filter(|_| case == MarginCase::LowWater);
            margins.push(if let Some(low) = low {
                Margin {
                    case,
                    outcome: Outcome::Pumping(low.point),
                    held: self.share(problem),
                    air_needed: Some(air),
                }
            } else {
                let changed = problem.law.on(&self.riser.with_spec(spec)?)?;
                Margin {
                    case,
                    outcome: changed.operate(air)?,
                    held: changed.held(problem.wanted(), air)?,
                    air_needed: match changed.air_for(self.share(problem), problem.wanted()) {
                        Ok(met) => Some(met.air),
                        Err(
                            Error::AbovePeak { .. }
                            | Error::LiftOutOfReach { .. }
                            | Error::RunsWithoutAir { .. },
                        ) => None,
                        Err(error) => return Err(error),
                    },
                }
            });
        }
        Ok(margins)
    }

    /// What the doubt costs: see [`DoubtCost`].
    ///
    /// # Errors
    /// [`Error::Inconsistent`] when low water leaves no riser.
    pub fn doubt_cost(&self, problem: &Task) -> Result<DoubtCost, Error> {
        let predictor = problem.law.on(&problem.at_duty_level(&self.riser)?)?;
        let at = |which| {
            let found = predictor.air_for(self.share(problem), which);
            found.map_err(Reason::from)
        };
        Ok(DoubtCost {
            predicted: at(Wanted::Predicted),
            lower_end: at(Wanted::LowerEnd),
        })
    }

    /// What each lift must give.
    #[must_use]
    pub fn share(&self, problem: &Task) -> VolumeRate {
        problem.duty.water_flow / f64::from(self.lifts)
    }

    /// Whether a [held](Margin::held) flow of one lift is below what it must give, by more than rounding.
    #[must_use]
    pub fn is_short(&self, problem: &Task, water_flow: VolumeRate) -> bool {
        water_flow < self.share(problem) * (1.0 - 1e-9)
    }

    /// The caution that low water takes the duty away, from the design's [margins](Self::margins).
    #[must_use]
    pub fn low_water_caution(&self, problem: &Task, margins: &[Margin]) -> Option<Caution> {
        let flow = |rate: VolumeRate| rate.get::<liter_per_minute>();
        let low = margins
            .iter()
            .find(|margin| margin.case == MarginCase::LowWater)?;
        let given = low.held;
        self.is_short(problem, given)
            .then(|| Caution::ShortAtLowWater {
                fall_m: problem.level_fall.get::<meter>(),
                given_l_per_min: flow(given),
                share_l_per_min: flow(self.share(problem)),
                air_l_per_min: low.air_needed.map(|air| flow(air.volume_rate_at_20_c())),
            })
    }
}

impl Sizing {
    /// Takes in what another part of the search found.
    pub(super) fn add(&mut self, part: Self) {
        self.candidates += part.candidates;
        self.solved += part.solved;
        self.designs.extend(part.designs);
        self.rejected.extend(part.rejected);
    }

    /// The best design, where any candidate meets the duty.
    #[must_use]
    pub fn best(&self) -> Option<&Design> {
        self.designs.first()
    }

    /// Where power is ranked first, the design with fewest lifts of those with at most [`FEWER_LIFTS`] of the best design's
    /// that take at most [`FEWER_LIFTS_POWER`] of its power and stand inside the measured data, unless the best does not
    /// either; the least power of equal numbers.
    #[must_use]
    pub fn with_fewer_lifts(&self, problem: &Task) -> Option<&Design> {
        let best = self
            .best()
            .filter(|_| problem.objective == Objective::AirPower)?;
        let most = FEWER_LIFTS * f64::from(best.lifts);
        let power = best.injection_power_total() * FEWER_LIFTS_POWER;
        let guess = !best.outside_data().is_empty();
        let designs = self.designs.iter();
        designs
            .filter(|one| f64::from(one.lifts) <= most && one.injection_power_total() <= power)
            .filter(|one| guess || one.outside_data().is_empty())
            .min_by_key(|one| one.lifts)
    }

    /// The best design that stands inside the measured data, where the best of all does not: see
    /// [`Caution::outside_data`].
    #[must_use]
    pub fn best_inside_data(&self) -> Option<&Design> {
        let inside = |design: &Design| design.outside_data().is_empty();
        let first = self.designs.iter().position(inside)?;
        (first > 0).then(|| &self.designs[first])
    }

    /// What the search as a whole should be read with.
    #[must_use]
    pub fn cautions(&self, problem: &Task) -> Vec<Caution> {
        let hangs = |one: &Rejected| one.reason.hangs_on_developing_length();
        if self.rejected.iter().any(hangs) {
            let (length_m, bores) = problem.model.developing_length.limits();
            vec![Caution::DevelopingLengthDecides { length_m, bores }]
        } else {
            Vec::new()
        }
    }

    /// What one step down and one step up in bore costs against the best design.
    #[must_use]
    pub fn bore_steps(&self) -> Vec<BoreStep> {
        let Some(winner) = self.best() else {
            return Vec::new();
        };
        // Your own pipes are one series, as far as they were searched.
        let searched = self.designs.iter().map(|design| &design.pipe);
        let searched = searched.chain(self.rejected.iter().map(|one| &one.pipe));
        let neighbours = if winner.pipe.is_own() {
            winner
                .pipe
                .neighbours(searched.filter(|pipe| pipe.is_own()))
        } else {
            [winner.pipe.next_down(), winner.pipe.next_up()]
        };
        let step = |pipe: Arc<Pipe>| BoreStep {
            best: self
                .designs
                .iter()
                .find(|design| design.pipe.name == pipe.name)
                .cloned(),
            pipe,
        };
        neighbours.into_iter().flatten().map(step).collect()
    }
}

impl Design {
    /// What the design should be read with: riser, place on its curve, pipe.
    #[must_use]
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = self.riser.cautions(&Outcome::Pumping(self.point));
        let own = (self.point.water_flow / self.peak.water_flow).get::<ratio>();
        let share_of_peak = self
            .low_water
            .map_or(own, |low| low.share_of_peak().min(own));
        if share_of_peak < LOWEST_SHARE_OF_PEAK {
            cautions.push(Caution::LowOnCurve { share_of_peak });
        }
        if !self.pipe.pressure_pipe {
            cautions.push(Caution::NotPressurePipe);
        }
        if self.pipe.trust == Some(Trust::Memory) {
            cautions.push(Caution::PipeFromMemory);
        }
        cautions
    }

    /// In what it stands outside the measured data, in a few words each: see [`Caution::outside_data`].
    #[must_use]
    pub fn outside_data(&self) -> Vec<&'static str> {
        let cautions = self.cautions();
        let mut all: Vec<_> = cautions.iter().filter_map(Caution::outside_data).collect();
        all.dedup();
        all
    }

    /// What any airlift installation that animals depend on should be read with.
    #[must_use]
    pub fn safety(&self) -> Vec<Caution> {
        vec![
            Caution::LossOfAir,
            Caution::GasSupersaturation {
                depth_m: self.submergence.get::<meter>(),
            },
            Caution::AirInPlasticPipe,
            Caution::BackSiphon,
            Caution::MainsNearWater,
        ]
    }
}
