//! A closed loop: tanks whose water comes back to them through a biofilter and through lifts that aerate it.
//!
//! [`need`](crate::need) takes what enters a tank as given. In a loop it left the tank minutes ago. Here the stations
//! are joined: [`LoopTank`]s in parallel or in series, one [`Biofilter`], [`LiftGroup`]s that feed all tanks or one
//! each, new water, open surfaces and other aerators. [`Loop::steady`] gives the state in which nothing changes any
//! more and [`Loop::largest_stock`] what it could keep; [`Loop::day`] follows a day of meals and timers; [`Day::air_stops`]
//! tells how long the animals have without air; [`Loop::changed`] what happens with some lifts off, the filter
//! bypassed or the water warmer; [`LoopDuty::size`] how many lifts it takes, and at what air.
//!
//! # Equations
//!
//! Symbols: V volume of a tank; Q water through filter and lifts; Q_m new water, which enters a tank and leaves by its
//! overflow; E part of the distance to equilibrium that a pass of a lift covers; C\* that equilibrium; R uptake in the
//! tank; D uptake in the filter, ν N + B with N the nitrogen oxidised and B of other bacteria; K_sV exchange at the
//! surface; S total ammonia nitrogen; P its excretion; A area of the filter. For carbon dioxide R and D are below zero.
//! All follow from balances; `tests/data/loop_checks.csv` has their numbers computed apart.
//!
//! ```text
//! 1   NH₄⁺ + (2−7y) O₂ + (2−y) HCO₃⁻ → y C₅H₇O₂N + (1−y) NO₃⁻ + (3−4y) H₂O + (2−6y) CO₂           nitrification
//! 2a  E = (1 − e^(−N(1+s)))/(1+s),  N = kLa V/Q,  s = β Q/G                         a pass that uses up its bubbles
//! 2b  C*_eff = C*_top + (C*_foot − C*_top) w,  w = 1/N − 1/(e^N − 1)                a pass whose pressure falls
//! 3a  S = (P + Q_m S_m)/(Q_m + E_f Q)                                               a share of each pass
//! 3b  S_f = K P/(A r − P),  S = S_f + P/Q                                           Monod, mixed, closed
//! 3c  S = (P/Q)/(1 − e^(−(A r − P)/(K Q)))                                          Monod, plug
//! 3d  S_f = (P/(A k))²                  3e  √S = P/(A k) + A k/(4 Q)                half order, mixed and plug
//! 3f  θ^ΔT                                                                          temperature
//! 4a  C = [Q E C* + Q_m C_m + K_sV C*_s − R − (1−E) D]/(Q E + Q_m + K_sV)           tank, filter, lift
//! 4b  the largest feed: 4a at the limit, solved for the feed                        [`Loop::largest_stock`]
//! 5   V dC/dt = Q (C_in − C) + Q_m (C_m − C) + K_sV (C*_s − C) − R(t)               a day
//! 6a  t = (V/K_sV) ln((C₀ − C_r)/(C_lim − C_r)),  C_r = C*_s − R/K_sV               air off
//! 6b  uptake in proportion to C below C_crit      6c  P t/V      6d  τ ln((C_e − C₀)/(C_e − C))
//! 7   TGP = Σ p_i/(h_i p) + p_v/p                                                   total gas pressure
//! 8   Q = load/(E_f S),  A = load/r                                                 [`FilterDuty::size`]
//! ```
//!
//! The steady state is one set of straight equations for the gases once 3 has the ammonia; the lifts' own balance
//! ([`Riser::pass`](crate::riser::Riser::pass)) is taken by a straight line at what enters, until line and balance
//! agree. Nothing of this is fitted.
//!
//! # Carbon
//!
//! Animals respire carbon dioxide in full. The ammonia that they excrete is a base, and binds one mole of it at once,
//! −3.14 g for each g of nitrogen in the tank. The filter gives off (2−6y) moles for a mole of nitrogen, less what
//! the base takes up that makes the alkalinity good; the excretion has given back one of the 2−y moles of alkalinity
//! already, so that the base is for 1−y. The two together are the loop's 2.68 g/g with bicarbonate, 1.15 with
//! carbonate, −0.38 with hydroxide. The 5.85 g/g in circulation is the filter alone with bicarbonate; on top of full
//! respiration it would count 3.14 g/g twice.
//!
//! # Validity
//! Tanks are mixed. Carbon dioxide is the free gas, without the carbonate that could become it or take it up: where
//! there is alkalinity, both its swings and what lifts strip of it are upper bounds. The filter's rate does not follow
//! its oxygen. Water in pipes and risers is left out, and so is the time that it takes.
//!
//! # Examples
//! An invented nursery: four tanks on one filter and twelve lifts, which an aeration test found to cover 0.30 of the
//! distance to equilibrium.
//!
//! ```
//! use risewater::gas::{Conditions, Dissolved};
//! use risewater::need::{Animals, Coefficients, Feed, Limits};
//! use risewater::recirculation::*;
//! use risewater::units::*;
//!
//! let air = Conditions::fresh(
//!     ThermodynamicTemperature::new::<degree_celsius>(24.0),
//!     AbsolutePressure::STANDARD_ATMOSPHERE,
//! );
//! let tank = |name: &str, kg: f64| {
//!     let animals = Animals {
//!         biomass: Mass::new::<kilogram>(kg),
//!         feed: Feed::Share(Frequency::new::<per_day>(0.03)),
//!         protein: Ratio::new::<percent>(45.0),
//!     };
//!     let load = TankLoad::of(&animals.load(&Coefficients::ANIMALS)?);
//!     Ok::<_, risewater::Error>(
//!         LoopTank::new(name, Volume::new::<cubic_meter>(10.0), load).with_limits(Limits {
//!             oxygen: Limits::WARM_WATER.oxygen,
//!             carbon_dioxide: Limits::WARM_WATER.carbon_dioxide,
//!             tan: Limits::WARM_WATER.tan,
//!             ..Limits::NONE
//!         }),
//!     )
//! };
//! let tanks = vec![tank("A", 20.0)?, tank("B", 20.0)?, tank("C", 30.0)?, tank("D", 30.0)?];
//! let yields = Nitrification::with_cells(defaults::CELLS_PER_NITROGEN.value, Base::Bicarbonate)?;
//! let filter = Biofilter::new(
//!     RateLaw::Monod {
//!         area: Area::new::<square_meter>(700.0),
//!         most: MassFlux::new::<gram_per_square_meter_day>(0.45),
//!         half_saturation: MassConcentration::new::<milligram_per_liter>(1.9),
//!         through: Through::Mixed,
//!     },
//!     yields.at_filter(),
//! )
//! // 0.13 of 3 kg/d
//! .with_other_bacteria(MassRate::new::<gram_per_day>(390.0));
//! let lifts = LiftGroup::new(
//!     "all",
//!     12,
//!     VolumeRate::new::<cubic_meter_per_hour>(5.0),
//!     LiftExchange::part(Ratio::new::<ratio>(0.30), Dissolved::saturated(&air)?),
//! );
//! let nursery = Loop::new(air, tanks, Some(filter), vec![lifts]);
//! let outcome = nursery.steady()?;
//! let steady = outcome.steady().expect("it balances");
//! // What the filter oxidises is what the animals excrete: 0.092 × 0.45 × 3 kg/d
//! assert_eq!(format!("{:.1}", steady.nitrified.get::<gram_per_day>()), "124.2");
//! assert!(steady.holds());
//! # Ok::<(), risewater::Error>(())
//! ```

mod change;
mod day;
pub mod defaults;
mod filter;
mod lifts;
mod meals;
mod nitrification;
mod plain;
mod size;
mod steady;
mod stock;
mod stop;
mod tank;

use crate::error::{Error, Input, RecirculationError, range};
use crate::gas::{
    AMMONIA_SALINITY, AmmoniaConditions, Conditions, DISSOLVED, Dissolved, Gas, Solubility,
    ammonia_fraction, total_gas_pressure,
};
use crate::units::{
    MassConcentration, Ratio, VolumeRate, base, cubic_meter_per_hour, milligram_per_liter,
    per_hour, per_mille,
};

pub use change::{LoopChange, TEMPERATURE_RISE};
pub use day::{Day, DayOutcome, DayPlan, DaySample, Extreme, TankDay, Timer};
pub use filter::{
    Biofilter, FILTER_AREA, FILTER_OXYGEN, FILTER_RATE, FILTER_THETA, FILTER_VOLUME, FilterDuty,
    FilterSize, HALF_SATURATION, NITRATE_LIMIT, NITROGEN_YIELD, RateLaw, SPECIFIC_SURFACE, Through,
};
pub use lifts::{
    GAS_LOADING, LiftExchange, LiftGroup, RiserExchange, TRANSFER_UNITS, foot_weight, pass_part,
};
pub use meals::{
    AfterMeal, DARK_USE, DAY_TIME, Feeding, Light, MEAL_LENGTH, MEAL_SHARE, Meal, MealForm,
    MealHeight, PEAK_OVER_MEAN,
};
pub use nitrification::{
    Base, CELL_YIELD, Moles, Nitrification, PerNitrogen, RESPIRATORY_QUOTIENT, respired,
};
use plain::{G_M3, Held, Plain, PlainGroup, SPECIES, TAN as TAN_PLACE};
pub use size::{
    LOOP_LIFTS, LoopChoice, LoopDuty, LoopGoverns, LoopShort, LoopSize, MoreLifts, RiserChoice,
    SoughtLift, SoughtRiser,
};
pub use steady::{
    Budget, LargestStock, Place, Shortage, Steady, SteadyOutcome, StockBound, TankState,
};
pub use stop::{AirOff, AirStop, Lasts, return_time};
pub use tank::{
    Aerator, FLOW_SHARE, GIVEN_RATE, LoopTank, SURFACE_EXCHANGE, Surface, TankLoad, TankMakeup,
};

range!(TAN, 0 to 1e6 "mg/L", "Concentrations of total ammonia nitrogen.");
range!(LOOP_FLOW, 0 to 1e6 "m3/h", "Flows of water of a loop.");

/// What water holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solutes {
    /// Gases.
    pub gases: Dissolved,
    /// Total ammonia nitrogen.
    pub tan: MassConcentration,
}

impl Solutes {
    /// Gases, and no ammonia.
    #[must_use]
    pub const fn of(gases: Dissolved) -> Self {
        Self {
            gases,
            tan: base(0.0),
        }
    }

    /// With ammonia.
    #[must_use]
    pub const fn with_tan(mut self, tan: MassConcentration) -> Self {
        self.tan = tan;
        self
    }

    /// In g/m³, checked.
    fn plain(&self) -> Result<Held, Error> {
        let mut held = [0.0; SPECIES];
        for (held, gas) in held.iter_mut().zip(Gas::ALL) {
            let c = self.gases.of(gas).get::<milligram_per_liter>();
            *held = DISSOLVED.check(Input::DissolvedGas, c)?;
        }
        held[TAN_PLACE] = TAN.check(Input::EnteringTan, self.tan.get::<milligram_per_liter>())?;
        Ok(held)
    }

    fn from_plain(held: &Held) -> Self {
        let of = |gas: Gas| plain::concentration(held[gas as usize]);
        Self {
            gases: Dissolved {
                oxygen: of(Gas::Oxygen),
                nitrogen: of(Gas::Nitrogen),
                argon: of(Gas::Argon),
                carbon_dioxide: of(Gas::CarbonDioxide),
            },
            tan: plain::concentration(held[TAN_PLACE]),
        }
    }
}

/// How water goes through the tanks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Passage {
    /// Each tank has its share.
    Parallel,
    /// All of it goes through one tank after the other.
    Series,
}

/// What comes first behind the tanks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Order {
    /// Tank, filter, lift: the lifts feed the tanks.
    FilterFirst,
    /// Tank, lift, filter: the lifts feed the filter.
    LiftsFirst,
}

/// A closed loop.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Loop {
    /// Its water and the air over it.
    pub air: Conditions,
    /// pH, for the un-ionised part of the ammonia.
    pub ph: Option<Ratio>,
    /// Tanks, in the order of the water where it goes through them in series.
    pub tanks: Vec<LoopTank>,
    /// How water goes through them.
    pub passage: Passage,
    /// What comes first behind them.
    pub order: Order,
    /// The filter; none where it is bypassed.
    pub filter: Option<Biofilter>,
    /// Lifts.
    pub lifts: Vec<LiftGroup>,
}

/// What a tank's water must hold.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display, strum::IntoStaticStr, serde::Serialize,
)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum LoopLimit {
    /// Least oxygen.
    Oxygen,
    /// Most total ammonia nitrogen.
    Tan,
    /// Most un-ionised ammonia.
    Ammonia,
    /// Most carbon dioxide.
    CarbonDioxide,
    /// Least volumes an hour.
    Turnover,
    /// Most total gas pressure.
    TotalGasPressure,
}

/// A limit, and how well it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitCheck {
    /// The limit.
    pub what: LoopLimit,
    /// What is left to it, as a share of it; below zero what it is exceeded by. Of total gas pressure as a share of
    /// what the limit allows above the barometer's.
    pub slack: Ratio,
}

/// What limits are told by, alike in all tanks.
struct Known {
    /// Un-ionised share of the ammonia, where a limit asks for it.
    ammonia_share: Option<f64>,
    solubility: Solubility,
}

impl LimitCheck {
    /// Whether it holds.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.slack.value >= 0.0
    }
}

impl Loop {
    /// Tanks in parallel, the lifts behind the filter.
    #[must_use]
    pub fn new(
        air: Conditions,
        tanks: Vec<LoopTank>,
        filter: Option<Biofilter>,
        lifts: Vec<LiftGroup>,
    ) -> Self {
        Self {
            air,
            ph: None,
            tanks,
            passage: Passage::Parallel,
            order: Order::FilterFirst,
            filter,
            lifts,
        }
    }

    /// With the tanks in series.
    #[must_use]
    pub fn in_series(mut self) -> Self {
        self.passage = Passage::Series;
        self
    }

    /// With the lifts before the filter.
    #[must_use]
    pub fn with_lifts_first(mut self) -> Self {
        self.order = Order::LiftsFirst;
        self
    }

    /// With a pH.
    #[must_use]
    pub fn with_ph(mut self, ph: Ratio) -> Self {
        self.ph = Some(ph);
        self
    }

    /// In plain numbers, checked.
    fn plain(&self) -> Result<Plain, Error> {
        if self.tanks.is_empty() {
            return Err(fault(RecirculationError::NoTank));
        }
        let series = self.passage == Passage::Series;
        let lifts_first = self.order == Order::LiftsFirst;
        let tanks = self.tanks.len();
        let tanks_plain: Result<Vec<_>, Error> = self
            .tanks
            .iter()
            .map(|tank| tank.plain(&self.air))
            .collect();
        let mut groups = Vec::with_capacity(self.lifts.len());
        for (n, group) in (1..).zip(&self.lifts) {
            group.check()?;
            if let Some(tank) = group.tank {
                if tank >= tanks {
                    let tank = tank + 1;
                    return Err(fault(RecirculationError::NoSuchTank {
                        group: n,
                        tank,
                        tanks,
                    }));
                }
                if series {
                    return Err(fault(RecirculationError::OwnLiftsInSeries { group: n }));
                }
                if lifts_first && self.filter.is_some() {
                    return Err(fault(RecirculationError::OwnLiftsBeforeFilter { group: n }));
                }
            }
            groups.push(PlainGroup {
                flow_each: group.flow_m3_h(),
                count: group.count,
                tank: group.tank,
                exchange: group.exchange.clone(),
            });
        }
        let filter = self.filter.map(|filter| filter.plain(self.air.temperature));
        let plain = Plain {
            tanks: tanks_plain?,
            series,
            // Without a filter the order is the same, and own lifts may stand.
            lifts_first: lifts_first && self.filter.is_some(),
            filter: filter.transpose()?,
            groups,
            stock: 1.0,
        };
        let flow = |tank: Option<usize>| -> f64 {
            let own = plain.groups.iter().filter(|group| group.tank == tank);
            own.map(|group| group.flow_each * f64::from(group.count))
                .sum()
        };
        let (common, all) = (
            flow(None),
            plain
                .groups
                .iter()
                .any(|group| group.flow_each * f64::from(group.count) > 0.0),
        );
        let shares: f64 = plain.tanks.iter().map(|tank| tank.share).sum();
        if all && !series {
            for (n, tank) in plain.tanks.iter().enumerate() {
                let shared = if shares > 0.0 {
                    common * tank.share
                } else {
                    0.0
                };
                if shared + flow(Some(n)) <= 0.0 {
                    return Err(fault(RecirculationError::NoWater { tank: n + 1 }));
                }
            }
            if common > 0.0 && shares <= 0.0 {
                return Err(fault(RecirculationError::NoWater { tank: 1 }));
            }
        }
        Ok(plain)
    }

    /// Un-ionised share of the ammonia, where a limit asks for it.
    fn ammonia_share(&self) -> Result<Option<f64>, Error> {
        if self.tanks.iter().all(|tank| tank.limits.ammonia.is_none()) {
            return Ok(None);
        }
        let fresh = AMMONIA_SALINITY.contains(self.air.salinity.get::<per_mille>());
        let (Some(ph), true) = (self.ph, fresh) else {
            return Err(fault(RecirculationError::AmmoniaUnknown));
        };
        let conditions = AmmoniaConditions {
            temperature: self.air.temperature,
            salinity: self.air.salinity,
            ph,
        };
        Ok(Some(ammonia_fraction(&conditions)?.value))
    }

    /// What limits are told by; refuses those that cannot be.
    fn known(&self) -> Result<Known, Error> {
        Ok(Known {
            ammonia_share: self.ammonia_share()?,
            solubility: Solubility::new(self.air.temperature, self.air.salinity)?,
        })
    }

    /// The limits of a tank that holds so much, with so much water through it.
    fn checks(
        &self,
        known: &Known,
        tank: usize,
        held: &Held,
        through: f64,
    ) -> Result<Vec<LimitCheck>, Error> {
        let of = &self.tanks[tank];
        let limits = &of.limits;
        let mut all = Vec::new();
        let mut check = |what: LoopLimit, slack: f64| {
            let slack = base(slack);
            all.push(LimitCheck { what, slack });
        };
        let most = |limit: MassConcentration, c: f64| 1.0 - c / (limit.value / G_M3);
        if let Some(limit) = limits.oxygen {
            check(LoopLimit::Oxygen, -most(limit, held[Gas::Oxygen as usize]));
        }
        if let Some(limit) = limits.tan {
            check(LoopLimit::Tan, most(limit, held[TAN_PLACE]));
        }
        if let (Some(limit), Some(share)) = (limits.ammonia, known.ammonia_share) {
            check(LoopLimit::Ammonia, most(limit, share * held[TAN_PLACE]));
        }
        if let Some(limit) = limits.carbon_dioxide {
            let c = held[Gas::CarbonDioxide as usize];
            check(LoopLimit::CarbonDioxide, most(limit, c));
        }
        if let Some(limit) = limits.turnover {
            let makeup = of
                .makeup
                .map_or(0.0, |makeup| makeup.flow.get::<cubic_meter_per_hour>());
            let turnover = (through + makeup) / of.volume.value;
            check(
                LoopLimit::Turnover,
                turnover / limit.get::<per_hour>() - 1.0,
            );
        }
        if let Some(limit) = of.total_gas_pressure
            && let Some(found) = self.total_gas_pressure(known, held)?
        {
            // What the limit allows is above the barometer, where it allows any.
            let above = limit.value - 1.0;
            let allowed = if above > 0.0 { above } else { limit.value };
            check(LoopLimit::TotalGasPressure, (limit - found).value / allowed);
        }
        Ok(all)
    }

    /// Total gas pressure over the barometer's; none where a concentration cannot be.
    fn total_gas_pressure(&self, known: &Known, held: &Held) -> Result<Option<Ratio>, Error> {
        if !held[..TAN_PLACE].iter().all(|c| DISSOLVED.contains(*c)) {
            return Ok(None);
        }
        let solubility = &known.solubility;
        let gases = Solutes::from_plain(held).gases;
        Ok(Some(
            total_gas_pressure(&gases, solubility, self.air.pressure)?.share(),
        ))
    }
}

fn fault(error: RecirculationError) -> Error {
    Error::Recirculation(error)
}

/// A flow that can be.
fn check_flow(what: Input, flow: VolumeRate) -> Result<f64, Error> {
    LOOP_FLOW.check(what, flow.get::<cubic_meter_per_hour>())
}
