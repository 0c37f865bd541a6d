//! A closed loop of a design file: tanks, filter, lifts, and the day.

use super::fault::{FileError, Problem};
use super::layers::Layers;
use super::{DesignFile, set};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::gas::{Conditions, Dissolved, TOTAL_GAS_PRESSURE_LIMIT};
use crate::keys::{Row, closed_loop, described, filter, gas, need, timer, water};
use crate::need::defaults::{self, NeedDefault};
use crate::need::{Animals, Coefficients, Limits};
use crate::recirculation::{
    Aerator, AfterMeal, Base, Biofilter, DayPlan, Feeding, LiftExchange, LiftGroup, Light, Loop,
    LoopDuty, LoopSize, LoopTank, Meal, MealForm, MealHeight, Nitrification, RateLaw, Solutes,
    SoughtLift, SoughtRiser, Surface, TankLoad, TankMakeup, Through, Timer, defaults as loops,
};
use crate::references::Trust;
use crate::riser::{OperatingPoint, Riser};
use crate::transfer::GasTerms;
use crate::uncertainty::{ErrorLaw, Interval};
use crate::units::{
    Mass, MassConcentration, MassRate, Ratio, TemperatureInterval, Time, Volume, VolumeRate, base,
};

/// Lifts with their intervals, and those whose number is sought.
type FileLifts = (
    Vec<LiftGroup>,
    Vec<Option<Interval>>,
    Option<SoughtLift>,
    Vec<Caution>,
);

/// What the flow of a riser should be read with.
fn riser_cautions(
    law: &ErrorLaw,
    riser: &Riser,
    air: AirFlow,
) -> Result<Vec<Caution>, crate::Error> {
    let predictor = law.on(riser)?;
    let mut all = riser.cautions(&predictor.predict(air)?.outcome);
    all.extend(predictor.cautions(air)?);
    all.extend(predictor.outlet_question(air)?);
    Ok(all)
}

/// A design file of our own invented hatchery: a nursery of four tanks on one filter and twelve lifts.
pub const LOOP_EXAMPLE: &str = include_str!("loop.toml");

/// A loop and what is asked of it.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct LoopDesign {
    /// The loop; without lifts where their number is sought, until [`sized`](Self::sized) has found it.
    pub water: Loop,
    /// Its day.
    pub day: DayPlan,
    /// Animals of each tank.
    pub biomass: Vec<Mass>,
    /// Where the water of a lift of each group lies; none where it was measured.
    pub intervals: Vec<Option<Interval>>,
    /// The lifts whose number is sought.
    pub sought: Option<LoopDuty>,
    /// What the search found.
    pub size: Option<LoopSize>,
    /// Whether lifts give the lower end of their interval.
    pub at_lower_end: bool,
    /// Lifts that stand for cleaning.
    pub lifts_off: u32,
    /// Warmer water that is asked about.
    pub temperature_rise: TemperatureInterval,
    /// Oxygen below which animals die.
    pub survival: Option<MassConcentration>,
    /// What the flows of its lifts should be read with.
    pub cautions: Vec<Caution>,
    /// Every default that the file left in use.
    pub defaults: Vec<NeedDefault<f64>>,
}

impl LoopDesign {
    /// With as many lifts as hold every limit in the worst hour, by the first choice, where their number is sought; with
    /// those that come nearest where none does.
    ///
    /// # Errors
    /// As [`LoopDuty::size`].
    pub fn sized(mut self) -> Result<Self, crate::Error> {
        let Some(duty) = &self.sought else {
            return Ok(self);
        };
        let size = duty.size()?;
        let choice = size.choices.first().map(|one| (&one.group, one.riser));
        let short = size.short.as_ref().map(|one| (&one.group, one.riser));
        if let Some((group, riser)) = choice.or(short) {
            self.water.lifts.push(group.clone());
            self.intervals.push(riser.and_then(|riser| riser.interval));
            if let (SoughtLift::Riser(lift), Some(found)) = (&duty.lift, riser) {
                self.cautions = riser_cautions(&lift.law, &lift.riser, found.point.air)?;
            }
        }
        self.size = Some(size);
        Ok(self)
    }

    /// What the loop is asked with, beside itself and its day.
    #[cfg(feature = "report")]
    #[must_use]
    pub fn terms(&self) -> crate::answer::LoopTerms {
        crate::answer::LoopTerms {
            biomass: self.biomass.clone(),
            intervals: self.intervals.clone(),
            at_lower_end: self.at_lower_end,
            size: self.size.clone(),
            lifts_off: self.lifts_off,
            temperature_rise: self.temperature_rise,
            survival: self.survival,
            cautions: self.cautions.clone(),
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
        let day = loop_day(&own, &mut defaults);
        let lifts = self.loop_lifts(&own, air);
        let (groups, intervals, sought, cautions) = lifts?;
        let at_lower_end = own.usual(&closed_loop::AT_LOWER_END)?;
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
        water.ph = self
            .tanks()
            .iter()
            .find_map(|tank| tank.get(&need::PH))
            .map(base);
        let day = self.timers(&water.lifts, day?)?;
        let sought = match sought {
            None => None,
            Some(lift) => {
                let most = own.usual(&closed_loop::MOST_LIFTS)?;
                Some(LoopDuty::new(water.clone(), lift, day.clone(), most))
            }
        };
        Some(LoopDesign {
            water,
            day,
            biomass,
            intervals,
            sought,
            size: None,
            cautions,
            at_lower_end,
            lifts_off: own.usual(&closed_loop::LIFTS_OFF)?,
            temperature_rise: own.usual(&closed_loop::TEMPERATURE_RISE)?,
            survival: own.get(&closed_loop::SURVIVAL_OXYGEN),
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
            let expected =
                "the animals of one day, as biomass and feed: a loop follows a day, not a cycle"
                    .into();
            own.fault(&need::CYCLE, Problem::Missing { expected });
            None
        } else {
            super::need::animals(own)
        };
        let volume: Option<Volume> = own.get(&need::VOLUME).or_else(|| {
            let expected =
                "the volume of the tank's water, such as \"12 m3\": a loop follows what it holds"
                    .into();
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
        let load = self
            .sheet
            .keep(animals.load(&coefficients), need::BIOMASS.path)?;
        let mut tank = LoopTank::new(&super::need::name(own), volume?, TankLoad::of(&load));
        tank = tank.with_limits(limits?);
        let most = self.sheet.at(["gas"]).get(&gas::TOTAL_GAS_PRESSURE_LIMIT);
        tank = tank.with_total_gas_pressure(most.unwrap_or(TOTAL_GAS_PRESSURE_LIMIT));
        tank = tank.with_share(own.usual(&need::WATER_SHARE)?);
        if let Some(makeup) = makeup {
            let equilibrium = self
                .sheet
                .keep(Dissolved::saturated(&air), water::TEMPERATURE.path)?;
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
                RateLaw::HalfOrder {
                    area,
                    rate_at_1_mg_per_l,
                    most,
                    through,
                }
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
        let cells = own.usual(&filter::CELLS)?;
        let yields = self.sheet.keep(
            Nitrification::with_cells(cells, made_good),
            filter::CELLS.path,
        )?;
        let mut built = Biofilter::new(law, yields.at_filter());
        let share = own.usual(&filter::OTHER_BACTERIA)?;
        built = built.with_other_bacteria(feed? * share);
        built.rate_temperature = own.get(&filter::RATE_TEMPERATURE);
        built.theta = own.usual(&filter::THETA)?;
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

    /// Lifts: as measured, of the plant, or risers with their air; those whose number is sought.
    fn loop_lifts(&self, own: &Layers, air: Option<Conditions>) -> Option<FileLifts> {
        let count = own.get(&closed_loop::LIFTS);
        let low = own.usual(&closed_loop::AT_LOWER_END)?;
        let clash = |key: &Row, other| own.fault(key, Problem::Contradiction { other });
        let part = own.get(&closed_loop::PART);
        let tested = |part: Ratio| -> Option<LiftExchange> {
            let end = self
                .sheet
                .keep(Dissolved::saturated(&air?), water::TEMPERATURE.path)?;
            Some(LiftExchange::part(part, end))
        };
        if let Some(flow) = own.get(&closed_loop::LIFT_FLOW) {
            if low {
                clash(
                    &closed_loop::AT_LOWER_END.row,
                    "loop.lift_flow, which is measured and has no interval",
                );
            }
            let exchange = tested(own.needed(&closed_loop::PART)?)?;
            let group = LiftGroup::new("lifts", count.unwrap_or(1), flow, exchange);
            return Some(match count {
                Some(_) => (vec![group], vec![None], None, Vec::new()),
                None => (
                    Vec::new(),
                    Vec::new(),
                    Some(SoughtLift::Measured(group)),
                    Vec::new(),
                ),
            });
        }
        let exchange = match part {
            Some(part) => Some(tested(part)?),
            None => None,
        };
        let terms = self.gas_terms(self.read_site())?;
        if self.has_blower() || self.has_lifts() {
            if count.is_some() {
                clash(
                    &closed_loop::LIFTS.row,
                    "[blower] or [[lift]], which are as many as they are",
                );
                return None;
            }
            return self.standing_lifts(&terms, exchange.as_ref(), low);
        }
        let riser = self.place(self.read_site())?;
        let air = (count.is_some() || self.has_air_flow()).then(|| self.read_air());
        let (Some(count), Some(air)) = (count, air) else {
            let mut sought = SoughtRiser::new(riser, terms);
            sought.exchange = exchange;
            sought.air = match air {
                Some(air) => Some(air?),
                None => None,
            };
            sought.lower_end = low;
            sought.law = self.law.clone();
            let sought = SoughtLift::Riser(Box::new(sought));
            return Some((Vec::new(), Vec::new(), Some(sought), Vec::new()));
        };
        let air = air?;
        let predicted = self.law.on(&riser).and_then(|law| law.predict(air));
        let found = self.sheet.keep(predicted, "air.flow")?;
        let Some(point) = found.outcome.point() else {
            let expected =
                "more air, less lift or more submergence: the riser of [riser] does not pump"
                    .into();
            let air = self.sheet.at(["air"]);
            air.fault(&crate::keys::air::FLOW, Problem::Missing { expected });
            return None;
        };
        let mut group = self.riser_group("lifts", &riser, point, &terms, exchange.as_ref())?;
        group.count = count;
        group.flow = found.outcome.water_flow();
        if low {
            group.flow = self.low_end(found.interval)?;
        }
        let cautions = riser_cautions(&self.law, &riser, air);
        let cautions = self.sheet.keep(cautions, "air.flow")?;
        Some((vec![group], vec![found.interval], None, cautions))
    }

    /// Lifts of a plant, as they stand on its blower or as its air supply gives them air, each a group of one.
    fn standing_lifts(
        &self,
        terms: &GasTerms,
        exchange: Option<&LiftExchange>,
        low: bool,
    ) -> Option<FileLifts> {
        let (running, manifold) = if self.stands() {
            let existing = self.assemble_standing()?;
            let steady = self.sheet.keep(existing.steady(), "blower")?;
            (steady.running, steady.manifold)
        } else {
            let supply = self.assemble_supply()?;
            let solved = self.sheet.keep(supply.solve(), "blower")?;
            (solved.running, solved.manifold)
        };
        let intervals = self.sheet.keep(manifold.intervals(&running), "blower")?;
        let mut groups = Vec::new();
        let mut sure = Vec::new();
        let lifts = running.lifts.iter().zip(manifold.risers());
        let names = manifold.header().branches.iter();
        for (((lift, riser), branch), interval) in lifts.zip(names).zip(&intervals.lifts) {
            let Some(point) = lift.point() else { continue };
            let mut group = self.riser_group(&branch.name, riser, point, terms, exchange)?;
            if low {
                group.flow = self.low_end(*interval)?;
            }
            groups.push(group);
            sure.push(*interval);
        }
        Some((groups, sure, None, intervals.cautions))
    }

    fn low_end(&self, interval: Option<Interval>) -> Option<VolumeRate> {
        let low = interval
            .map(|interval| interval.low)
            .filter(|low| low.value > 0.0);
        low.or_else(|| {
            let expected =
                "a trial of such a lift ([[trial]], or --law): its lower end is no water".into();
            let own = self.sheet.at(["loop"]);
            own.fault(&closed_loop::AT_LOWER_END, Problem::Missing { expected });
            None
        })
    }

    /// A day with the timers of the file, spread over the lifts that stand.
    fn timers(&self, groups: &[LiftGroup], mut day: DayPlan) -> Option<DayPlan> {
        for number in 1..=self.sheet.count("timer") {
            let one = self.sheet.at([&*format!("timer {number}")]);
            let (off, from, to) = (
                one.needed(&timer::LIFTS),
                one.needed(&timer::FROM),
                one.needed(&timer::TO),
            );
            let (off, from, to) = (off?, from?, to?);
            // Lifts of another timer that stands in the same hours stay its own.
            let mut left = off;
            let last = groups.len().max(1) - 1;
            for group in 0..=last {
                let timed = |timer: &&Timer| timer.group == group && timer.meets(from, to);
                let taken: u32 = day.timers.iter().filter(timed).map(|timer| timer.off).sum();
                let have = groups
                    .get(group)
                    .map_or(left, |group| group.count.saturating_sub(taken));
                // The last has what is too many, which the day refuses.
                let off = if group == last { left } else { left.min(have) };
                if off > 0 {
                    day = day.with_timer(Timer {
                        group,
                        off,
                        from,
                        to,
                    });
                }
                left -= off;
            }
        }
        Some(day)
    }

    fn riser_group(
        &self,
        name: &str,
        riser: &Riser,
        point: &OperatingPoint,
        terms: &GasTerms,
        exchange: Option<&LiftExchange>,
    ) -> Option<LiftGroup> {
        let group = LiftGroup::of_riser(name, 1, riser, point, terms);
        let mut group = self.sheet.keep(group, gas::TRANSFER_COEFFICIENT.path)?;
        if let Some(exchange) = exchange {
            group.exchange = exchange.clone();
        }
        Some(group)
    }
}

/// Meals.
fn loop_day(own: &Layers, used: &mut Vec<NeedDefault<f64>>) -> Option<DayPlan> {
    let times = own.needed(&closed_loop::MEALS)?;
    let shares = own.get(&closed_loop::MEAL_SHARES);
    if shares
        .as_ref()
        .is_some_and(|shares| shares.len() != times.len())
    {
        let expected = format!("{} shares, one for each meal", times.len());
        let expected = expected.into();
        own.fault(&closed_loop::MEAL_SHARES, Problem::Missing { expected });
        return None;
    }
    let alike = base(1.0 / times.len().max(1) as f64);
    let share = |n: usize| shares.as_ref().map_or(alike, |shares| shares[n]);
    let meals: Vec<Meal> = times
        .into_iter()
        .enumerate()
        .map(|(n, at)| Meal {
            at,
            share: share(n),
        })
        .collect();
    let lit = [
        &closed_loop::LIGHT_FROM.row,
        &closed_loop::LIGHT_TO.row,
        &closed_loop::DARK_USE.row,
    ];
    let light = if lit.into_iter().any(|row| own.has(row)) {
        let on = own.needed(&closed_loop::LIGHT_FROM);
        let off = own.needed(&closed_loop::LIGHT_TO);
        let dark_use = own.needed(&closed_loop::DARK_USE);
        Some(Light {
            on: on?,
            off: off?,
            dark_use: dark_use?,
        })
    } else {
        None
    };
    let one = meals.len() == 1;
    let fed = !meals.is_empty();
    let mut feeding = Feeding::new(meals);
    feeding.light = light;
    let usual_length = match feeding.oxygen.form {
        MealForm::Square { length } => length,
        MealForm::Rounded { .. } => loops::MEAL_LENGTH.value,
    };
    if let Some(length) = own.get(&closed_loop::MEAL_LENGTH) {
        feeding.oxygen.form = MealForm::Square { length };
        feeding.ammonia.form = MealForm::Square { length };
    }
    let height = |key, course: &mut AfterMeal| {
        set(
            &mut course.height,
            own.get(key).map(MealHeight::PeakOverMean),
        );
    };
    height(&closed_loop::OXYGEN_PEAK, &mut feeding.oxygen);
    height(&closed_loop::AMMONIA_PEAK, &mut feeding.ammonia);
    if fed {
        let oxygen = if one {
            &loops::OXYGEN_PEAK_ONE_MEAL
        } else {
            &loops::OXYGEN_PEAK
        };
        let length = hours(&loops::MEAL_LENGTH);
        let length = if usual_length < loops::MEAL_LENGTH.value {
            NeedDefault {
                value: usual_length.value / 3600.0,
                reference: None,
                trust: Trust::Own,
                note: "half of the shortest time between the meals, which is less than the peak after a single one",
                ..length
            }
        } else {
            length
        };
        for (row, default) in [
            (&closed_loop::OXYGEN_PEAK.row, plain(oxygen)),
            (&closed_loop::AMMONIA_PEAK.row, plain(&loops::AMMONIA_PEAK)),
            (&closed_loop::MEAL_LENGTH.row, length),
        ] {
            if !own.has(row) {
                used.push(default);
            }
        }
    }
    Some(DayPlan::new(feeding))
}

fn plain(one: &NeedDefault<Ratio>) -> NeedDefault<f64> {
    in_unit(one, |ratio| ratio.value)
}

fn hours(one: &NeedDefault<Time>) -> NeedDefault<f64> {
    NeedDefault {
        unit: "h",
        ..in_unit(one, |time| time.value / 3600.0)
    }
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
