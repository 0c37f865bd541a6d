//! A closed loop of a design file: tanks, filter, lifts, and the day.

use super::fault::{FileError, Problem};
use super::layers::Layers;
use super::{DesignFile, set};
use crate::air::AirFlow;
use crate::gas::{Conditions, Dissolved, TOTAL_GAS_PRESSURE_LIMIT};
use crate::keys::{closed_loop, described, filter, gas, need, timer, water};
use crate::need::defaults::{self, NeedDefault};
use crate::need::{Animals, Coefficients, Limits};
use crate::recirculation::{
    Aerator, AfterMeal, Base, Biofilter, DayPlan, Feeding, LiftExchange, LiftGroup, Loop, LoopTank,
    Meal, MealForm, MealHeight, Nitrification, RateLaw, Solutes, Surface, TankLoad, TankMakeup,
    Through, Timer, defaults as loops,
};
use crate::riser::{OperatingPoint, Riser};
use crate::supply::{Existing, Steady};
use crate::transfer::GasTerms;
use crate::uncertainty::{ErrorLaw, Interval};
use crate::units::{
    MassConcentration, Mass, MassRate, Ratio, TemperatureInterval, Volume, base,
};

/// A design file of our own invented hatchery: a nursery of four tanks on one filter and twelve lifts.
pub const LOOP_EXAMPLE: &str = include_str!("loop.toml");

/// Where the lifts of a loop are from.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub enum LoopLifts {
    /// Their water and what a pass does were measured.
    Measured,
    /// Risers with the same air.
    Risers(Box<RiserAtWork>),
    /// A plant that stands, with its blower.
    Plant(Box<(Existing, Steady)>),
}

/// A riser and its air.
#[derive(Debug, Clone)]
pub struct RiserAtWork {
    /// The riser.
    pub riser: Riser,
    /// Its air; none where it is asked for.
    pub air: Option<AirFlow>,
    /// What the model has of it; none without air.
    pub point: Option<OperatingPoint>,
}

/// A loop and what is asked of it.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct LoopDesign {
    /// The loop. Lifts whose number is asked for are one.
    pub water: Loop,
    /// Its day.
    pub day: DayPlan,
    /// Animals of each tank.
    pub biomass: Vec<Mass>,
    /// Where its lifts are from.
    pub lifts: LoopLifts,
    /// What is known of the gases of their water.
    pub gas: GasTerms,
    /// Where the water of a lift of each group lies; none where it was measured.
    pub intervals: Vec<Option<Interval>>,
    /// Most lifts, where their number is asked for.
    pub sought: Option<u32>,
    /// Whether lifts give the lower end of their interval.
    pub at_lower_end: bool,
    /// Lifts that stand for cleaning.
    pub lifts_off: u32,
    /// Warmer water that is asked about.
    pub temperature_rise: TemperatureInterval,
    /// Oxygen below which animals die.
    pub survival: Option<MassConcentration>,
    /// The law of error.
    pub law: ErrorLaw,
    /// Every default that the file left in use.
    pub defaults: Vec<NeedDefault<f64>>,
}

impl LoopDesign {
    /// What the loop is asked with, beside itself and its day.
    #[cfg(feature = "report")]
    #[must_use]
    pub fn terms(&self) -> crate::answer::LoopTerms {
        crate::answer::LoopTerms {
            biomass: self.biomass.clone(),
            intervals: self.intervals.clone(),
            at_lower_end: self.at_lower_end,
            sized: self.sought.is_some(),
            lifts_off: self.lifts_off,
            temperature_rise: self.temperature_rise,
            survival: self.survival,
            defaults: self.defaults.clone(),
        }
    }
}

impl DesignFile {
    /// Whether the file asks about a loop.
    #[must_use]
    pub fn has_loop(&self) -> bool {
        self.sheet.has("loop")
    }

    /// The loop of `[loop]`, `[filter]`, `[[rearing_tank]]` or `[need]`, and the lifts.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, LOOP_EXAMPLE};
    ///
    /// let design = DesignFile::parse(LOOP_EXAMPLE)?.water_loop()?;
    /// assert_eq!(design.water.tanks.len(), 4);
    /// assert_eq!(design.water.lifts[0].count, 12);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    pub fn water_loop(&self) -> Result<LoopDesign, FileError> {
        self.answer(self.read_loop())
    }

    fn read_loop(&self) -> Option<LoopDesign> {
        let own = self.sheet.at(["loop"]);
        let mut defaults = Vec::new();
        let air = self.loop_air();
        let tanks: Vec<_> = self.tanks();
        let tanks: Vec<_> = tanks
            .iter()
            .map(|tank| self.loop_tank(tank, air?, &mut defaults))
            .collect();
        let tanks: Option<Vec<_>> = tanks.into_iter().collect();
        let feed = tanks.as_ref().map(|tanks| {
            let feed = tanks.iter().map(|(_, _, feed)| *feed);
            feed.fold(base(0.0), |sum: MassRate, one| sum + one)
        });
        let filter = self.loop_filter(feed, &mut defaults);
        let day = loop_day(self, &own, &mut defaults);
        let lifts = self.loop_lifts(&own, air);
        let gas = self.gas_terms(self.read_site());
        let (lifts, mut groups, intervals) = lifts?;
        let count = own.get(&closed_loop::LIFTS);
        let sought = match (&lifts, count) {
            (LoopLifts::Plant(_), Some(_)) => {
                let other = "[blower] with its lifts, which are as many as they are";
                own.fault(&closed_loop::LIFTS, Problem::Contradiction { other });
                return None;
            }
            (LoopLifts::Plant(_), None) | (_, Some(_)) => None,
            (_, None) => Some(own.usual(&closed_loop::MOST_LIFTS)?),
        };
        if let (Some(count), [group]) = (count, &mut groups[..]) {
            group.count = count;
        }
        let at_lower_end = own.usual(&closed_loop::AT_LOWER_END)?;
        if at_lower_end {
            for (group, interval) in groups.iter_mut().zip(&intervals) {
                group.flow = interval.map_or(group.flow, |interval| interval.low);
            }
        }
        let mut biomass = Vec::new();
        let mut stations = Vec::new();
        for (tank, mass, _) in tanks? {
            stations.push(tank);
            biomass.push(mass);
        }
        let mut water = Loop::new(air?, stations, filter?, groups);
        if own.usual(&closed_loop::PASSAGE)? == "series" {
            water = water.in_series();
        }
        if own.usual(&closed_loop::ORDER)? == "lifts_first" {
            water = water.with_lifts_first();
        }
        water.ph = self.tanks().iter().find_map(|tank| tank.get(&need::PH)).map(base);
        Some(LoopDesign {
            water,
            day: day?,
            biomass,
            lifts,
            gas: gas?,
            intervals,
            sought,
            at_lower_end,
            lifts_off: own.usual(&closed_loop::LIFTS_OFF)?,
            temperature_rise: own.usual(&closed_loop::TEMPERATURE_RISE)?,
            survival: own.get(&closed_loop::SURVIVAL_OXYGEN),
            law: self.law.clone(),
            defaults,
        })
    }

    /// Water and the air over it.
    fn loop_air(&self) -> Option<Conditions> {
        let own = self.sheet.at(["water"]);
        let temperature = own.needed(&water::TEMPERATURE);
        let salinity = own.usual(&water::SALINITY);
        let atmosphere = described::atmosphere(&self.sheet.at(["site"]));
        Some(Conditions {
            temperature: temperature?,
            salinity: salinity?,
            ..Conditions::fresh(temperature?, atmosphere)
        })
    }

    /// A tank with its animals, their mass and their feed.
    fn loop_tank(
        &self,
        own: &Layers,
        air: Conditions,
        used: &mut Vec<NeedDefault<f64>>,
    ) -> Option<(LoopTank, Mass, MassRate)> {
        let animals: Option<Animals> = if super::need::cycle(own).is_some() {
            let expected = "the animals of one day, as biomass and feed: a loop follows a day, not a cycle".into();
            own.fault(&need::CYCLE, Problem::Missing { expected });
            None
        } else {
            super::need::animals(own)
        };
        let volume: Option<Volume> = own.get(&need::VOLUME).or_else(|| {
            let expected = "the volume of the tank's water, such as \"12 m3\": a loop follows what it holds".into();
            own.fault(&need::VOLUME, Problem::Missing { expected });
            None
        });
        let limits: Option<Limits> = super::need::all_limits(own);
        let mut coefficients = super::need::coefficients(own)?;
        // The filter's bacteria are the filter's.
        if own.get(&need::OXYGEN_PER_FEED).is_none() {
            coefficients.oxygen_per_feed = Coefficients::ANIMALS.oxygen_per_feed;
        }
        let makeup = super::need::makeup(own)?;
        let animals = animals?;
        let load = self.sheet.keep(animals.load(&coefficients), need::BIOMASS.path)?;
        let mut tank = LoopTank::new(&super::need::name(own), volume?, TankLoad::of(&load));
        tank = tank.with_limits(limits?);
        let most = self.sheet.at(["gas"]).get(&gas::TOTAL_GAS_PRESSURE_LIMIT);
        tank = tank.with_total_gas_pressure(most.unwrap_or(TOTAL_GAS_PRESSURE_LIMIT));
        tank = tank.with_share(base(own.usual(&need::WATER_SHARE)?));
        if let Some(makeup) = makeup {
            let equilibrium = self.sheet.keep(Dissolved::saturated(&air), water::TEMPERATURE.path)?;
            let gases = Dissolved {
                oxygen: makeup.oxygen,
                carbon_dioxide: makeup.carbon_dioxide,
                ..equilibrium
            };
            tank = tank.with_makeup(TankMakeup {
                flow: makeup.flow,
                holds: Solutes::of(gases).with_tan(makeup.tan),
            });
        }
        if let Some(coefficient) = own.get(&need::SURFACE_COEFFICIENT) {
            let exchange = self.sheet.at(["gas"]).usual(&gas::DIFFUSION_EXPONENT)?;
            let surface = Surface::of_oxygen(coefficient * volume?, exchange);
            tank = tank.with_surface(self.sheet.keep(surface, need::SURFACE_COEFFICIENT.path)?);
        }
        if let Some(rate) = own.get(&need::AERATOR) {
            tank = tank.with_aerator(Aerator::clean(rate));
        }
        let unused = [
            defaults::OXYGEN_WITH_BACTERIA.name,
            defaults::SOLIDS_PER_FEED.name,
            defaults::ENTERING_SATURATION.name,
            defaults::ENTERING_TAN.name,
            defaults::ENTERING_CARBON_DIOXIDE.name,
        ];
        let mut names = super::need::used_defaults(own);
        if own.get(&need::OXYGEN_PER_FEED).is_none() {
            names.push(defaults::OXYGEN_ANIMALS.name);
        }
        let all = defaults::ALL.iter();
        for one in all.filter(|one| names.contains(&one.name) && !unused.contains(&one.name)) {
            if used.iter().all(|known| known.name != one.name) {
                used.push(*one);
            }
        }
        Some((tank, animals.biomass, load.feed))
    }

    /// The filter of `[filter]`; none where there is no such section.
    #[allow(clippy::option_option, reason = "no filter is an answer")]
    fn loop_filter(
        &self,
        feed: Option<MassRate>,
        used: &mut Vec<NeedDefault<f64>>,
    ) -> Option<Option<Biofilter>> {
        if !self.sheet.has("filter") {
            return Some(None);
        }
        let own = self.sheet.at(["filter"]);
        let through = match own.usual(&filter::THROUGH)?.as_str() {
            "plug" => Through::Plug,
            _ => Through::Mixed,
        };
        let most = own.get(&filter::RATE);
        let law = if let Some(efficiency) = own.get(&filter::EFFICIENCY) {
            RateLaw::Pass { efficiency }
        } else {
            let area = own.needed(&filter::AREA)?;
            if let Some(rate_at_1_mg_per_l) = own.get(&filter::RATE_AT_1_MG_L) {
                RateLaw::HalfOrder { area, rate_at_1_mg_per_l, most, through }
            } else {
                let half_saturation = own.needed(&filter::HALF_SATURATION);
                RateLaw::Monod {
                    area,
                    most: own.needed(&filter::RATE)?,
                    half_saturation: half_saturation?,
                    through,
                }
            }
        };
        let made_good = match own.usual(&filter::BASE)?.as_str() {
            "carbonate" => Base::Carbonate,
            "hydroxide" => Base::Hydroxide,
            _ => Base::Bicarbonate,
        };
        let cells = base(own.usual(&filter::CELLS)?);
        let yields = self.sheet.keep(Nitrification::with_cells(cells, made_good), filter::CELLS.path)?;
        let mut built = Biofilter::new(law, yields.at_filter());
        let share = own.usual(&filter::OTHER_BACTERIA)?;
        built = built.with_other_bacteria(feed? * share);
        built.rate_temperature = own.get(&filter::RATE_TEMPERATURE);
        built.theta = base(own.usual(&filter::THETA)?);
        built.volume = own.usual(&filter::WATER)?;
        for (row, default) in [
            (&filter::CELLS.row, &loops::CELLS_PER_NITROGEN),
            (&filter::OTHER_BACTERIA.row, &loops::OTHER_BACTERIA_PER_FEED),
        ] {
            if !own.has(row) {
                used.push(plain(default));
            }
        }
        Some(Some(built))
    }

    /// Lifts: as measured, of the plant, or risers with their air.
    fn loop_lifts(
        &self,
        own: &Layers,
        air: Option<Conditions>,
    ) -> Option<(LoopLifts, Vec<LiftGroup>, Vec<Option<Interval>>)> {
        let part = own.get(&closed_loop::PART);
        let tested = |part: Ratio| -> Option<LiftExchange> {
            let end = self.sheet.keep(Dissolved::saturated(&air?), water::TEMPERATURE.path)?;
            Some(LiftExchange::part(part, end))
        };
        if let Some(flow) = own.get(&closed_loop::LIFT_FLOW) {
            let exchange = tested(own.needed(&closed_loop::PART)?)?;
            let group = LiftGroup::new("lifts", 1, flow, exchange);
            return Some((LoopLifts::Measured, vec![group], vec![None]));
        }
        let terms = self.gas_terms(self.read_site())?;
        if self.stands() {
            let existing = self.assemble_standing()?;
            let steady = self.sheet.keep(existing.steady(), "blower")?;
            let intervals = self.sheet.keep(steady.manifold.intervals(&steady.running), "blower")?;
            let mut groups = Vec::new();
            let mut sure = Vec::new();
            let lifts = steady.running.lifts.iter().zip(steady.manifold.risers());
            let names = steady.manifold.header().branches.iter();
            for (((lift, riser), branch), interval) in lifts.zip(names).zip(&intervals.lifts) {
                let Some(point) = lift.point() else { continue };
                let group = self.riser_group(&branch.name, riser, point, &terms, part.map(tested))?;
                groups.push(group);
                sure.push(*interval);
            }
            return Some((LoopLifts::Plant(Box::new((existing, steady))), groups, sure));
        }
        let riser = self.place(self.read_site())?;
        let asked = own.get(&closed_loop::LIFTS).is_none() && !self.has_air_flow();
        let air_flow = if asked { None } else { Some(self.read_air()?) };
        let reference = match air_flow {
            Some(air) => Some(air),
            None => self.sheet.keep(riser.best_efficiency(), "riser")?.map(|point| point.air),
        };
        let pumps = |air: AirFlow| {
            let predicted = self.law.on(&riser).and_then(|law| law.predict(air));
            self.sheet.keep(predicted, "air.flow")
        };
        let found = match reference {
            Some(air) => pumps(air)?,
            None => return self.no_pump(),
        };
        let Some(flowing) = found.outcome.point() else { return self.no_pump() };
        let model = self.sheet.keep(riser.operate(flowing.air), "air.flow")?;
        let Some(point) = model.point() else { return self.no_pump() };
        let mut group = self.riser_group("lifts", &riser, point, &terms, part.map(tested))?;
        group.flow = found.outcome.water_flow();
        let interval = found.interval;
        let work = RiserAtWork {
            point: air_flow.map(|_| point.clone()),
            air: air_flow,
            riser,
        };
        Some((LoopLifts::Risers(Box::new(work)), vec![group], vec![interval]))
    }

    fn riser_group(
        &self,
        name: &str,
        riser: &Riser,
        point: &OperatingPoint,
        terms: &GasTerms,
        tested: Option<Option<LiftExchange>>,
    ) -> Option<LiftGroup> {
        let group = LiftGroup::of_riser(name, 1, riser, point, terms);
        let mut group = self.sheet.keep(group, gas::TRANSFER_COEFFICIENT.path)?;
        if let Some(exchange) = tested {
            group.exchange = exchange?;
        }
        Some(group)
    }

    fn no_pump<T>(&self) -> Option<T> {
        let expected = "more air, less lift or more submergence: the riser of [riser] does not pump".into();
        let air = self.sheet.at(["air"]);
        air.fault(&crate::keys::air::FLOW, Problem::Missing { expected });
        None
    }
}

/// Meals and timers.
fn loop_day(file: &DesignFile, own: &Layers, used: &mut Vec<NeedDefault<f64>>) -> Option<DayPlan> {
    let times = own.needed(&closed_loop::MEALS)?;
    let share = base(1.0 / times.len().max(1) as f64);
    let meals: Vec<Meal> = times.into_iter().map(|at| Meal { at, share }).collect();
    let one = meals.len() == 1;
    let fed = !meals.is_empty();
    let mut feeding = Feeding::new(meals);
    if let Some(length) = own.get(&closed_loop::MEAL_LENGTH) {
        feeding.oxygen.form = MealForm::Square { length };
        feeding.ammonia.form = MealForm::Square { length };
    }
    let height = |key, course: &mut AfterMeal| {
        set(&mut course.height, own.get(key).map(|peak| MealHeight::PeakOverMean(base(peak))));
    };
    height(&closed_loop::OXYGEN_PEAK, &mut feeding.oxygen);
    height(&closed_loop::AMMONIA_PEAK, &mut feeding.ammonia);
    if fed {
        let oxygen = if one { &loops::OXYGEN_PEAK_ONE_MEAL } else { &loops::OXYGEN_PEAK };
        for (row, default) in [
            (&closed_loop::OXYGEN_PEAK.row, plain(oxygen)),
            (&closed_loop::AMMONIA_PEAK.row, plain(&loops::AMMONIA_PEAK)),
            (&closed_loop::MEAL_LENGTH.row, hours(&loops::MEAL_LENGTH)),
        ] {
            if !own.has(row) {
                used.push(default);
            }
        }
    }
    let mut plan = DayPlan::new(feeding);
    for number in 1..=file.sheet.count("timer") {
        let one = file.sheet.at([&*format!("timer {number}")]);
        let (off, from, to) = (
            one.needed(&timer::LIFTS),
            one.needed(&timer::FROM),
            one.needed(&timer::TO),
        );
        plan = plan.with_timer(Timer { group: 0, off: off?, from: from?, to: to? });
    }
    Some(plan)
}

fn plain(one: &NeedDefault<Ratio>) -> NeedDefault<f64> {
    in_unit(one, |ratio| ratio.value)
}

fn hours(one: &NeedDefault<crate::units::Time>) -> NeedDefault<f64> {
    NeedDefault { unit: "h", ..in_unit(one, |time| time.value / 3600.0) }
}

fn in_unit<Q: Copy>(one: &NeedDefault<Q>, number: impl Fn(Q) -> f64) -> NeedDefault<f64> {
    NeedDefault {
        name: one.name,
        value: number(one.value),
        low: number(one.low),
        high: number(one.high),
        unit: one.unit,
        reference: one.reference,
        trust: one.trust,
        note: one.note,
    }
}
