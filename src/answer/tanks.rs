//! Lifts for several tanks on one header, ranked by what one blower takes for all.

use super::size::{DesignFacts, DetailFacts, DutyFacts};
use super::{AirStateFacts, SiteFacts, Terms};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::sizing::{Design, Task};
use crate::supply::{Member, Shallower, TankSet, TanksFound, TwoBlowers};

facts! {
    /// Lifts for several tanks on one header, which one blower feeds at one pressure.
    pub struct TanksAnswer {
        /// what the best set has least of; here `air_power` is the power at the blower
        pub objective: String = asked.objective.name().to_owned(),
        /// how often the true flow should lie in an interval
        pub level: f64 = asked.tanks[0].task.law.level().value,
        /// the air that the blower takes in
        pub intake: AirStateFacts = (&asked.air_side.intake).into(),
        /// pressure supposed to be lost between blower and injection points
        pub supply_loss_pa: f64 = asked.air_side.loss.value,
        /// number of candidates of all tanks: pipes × depths × numbers of lifts
        pub candidates: usize = found.sizings.iter().map(|one| one.candidates).sum(),
        /// how many of them meet the duty of their tank
        pub fitting: usize = found.sizings.iter().map(|one| one.designs.len()).sum(),
        /// the best set at each common pressure, the best of all first
        pub sets: Vec<TankSetFacts> = found.sets.iter().map(set).collect(),
        /// the best set that the blowers of the file feed; `null` without blowers, or where they feed none
        pub best_fed: Option<TankSetFacts> = found.best_fed()?.as_ref().map(set),
        /// the best set of lifts inside the measured data, if the best set is outside; otherwise `null`
        pub best_inside_data: Option<TankSetFacts> = inside.as_ref().map(set),
        /// if power ranks the sets: the one with fewest lifts, at most 0.6 of the best set's, for at most 15 % more power; `null` where there is none
        pub fewer_lifts: Option<TankSetFacts> = found.with_fewer_lifts()?.as_ref().map(set),
        /// adiabatic power of the air of all tanks together, if each had a blower of its own pressure
        pub own_blowers_adiabatic_power_w: f64 =
            alone.iter().map(|own| own.adiabatic_power.value).sum(),
        /// power of the best set that valves take away, all tanks together
        pub throttled_power_w: f64 = tanks.iter().map(|tank| tank.throttled_power_w).sum(),
        /// the tanks as the best set has them, in the order of the file
        pub tanks: Vec<HeaderTankFacts> = tanks,
        /// what sets the common pressure of the best set
        pub binding: BindingFacts = BindingFacts::of(found, best)?,
        /// cautions for the search
        pub cautions: Vec<Caution> = cautions,
        /// remarks for the safety of animals and people
        pub safety: Vec<Caution> = deepest.map_or_else(Vec::new, Design::safety),
        /// the closures
        pub model: Model = asked.tanks[0].task.model,
        /// water and atmosphere
        pub site: SiteFacts = (&asked.tanks[0].task.site).into(),
    }

    /// What a search over several tanks found, whose best set is the one given.
    ///
    /// # Errors
    /// As [`Tanks::search`](crate::supply::Tanks::search) and
    /// [`GasTerms::of`](crate::transfer::GasTerms::of).
    ///
    /// # Panics
    /// When the set is of another search.
    pub fn of(found: &TanksFound, best: &TankSet, terms: &Terms) -> Result<Self, Error> {
        let asked = found.asked;
        let set = |one: &TankSet| TankSetFacts::of(found, one);
        let alone = found.alone()?.unwrap_or_default();
        let tanks = best
            .members
            .iter()
            .zip(&alone)
            .map(|(member, own)| HeaderTankFacts::of(found, (best, member), own, terms));
        let tanks = tanks.collect::<Result<Vec<_>, _>>()?;
        let outside = tanks.iter().any(|tank| !tank.design.outside_data.is_empty());
        let inside = outside.then(|| found.best_inside_data()).transpose()?.flatten();
        let designs = best.members.iter().map(|member| found.design(member));
        let deepest = designs.max_by(|a, b| a.submergence.value.total_cmp(&b.submergence.value));
        let mut cautions: Vec<Caution> = Vec::new();
        for (sizing, tank) in found.sizings.iter().zip(&asked.tanks) {
            for caution in sizing.cautions(&tank.task) {
                if !cautions.contains(&caution) {
                    cautions.push(caution);
                }
            }
        }
    }

    /// One design for each tank.
    pub struct TankSetFacts {
        /// adiabatic power of the air at the blower
        pub adiabatic_power_w: f64 = set.adiabatic_power.value,
        /// power at the wire; `null` where `[blower]` gives no efficiency
        pub wire_power_w: Option<f64> = set.wire_power.map(|power| power.value),
        /// dry air of all lifts
        pub air_mass_flow_total_kg_per_s: f64 = set.air.kg_per_s(),
        /// number of lifts of all tanks
        pub lifts: u32 = set.lifts,
        /// largest pressure at an injection point over the atmosphere, before its lift runs
        pub startup_gauge_pressure_pa: f64 = set.startup.0.value,
        /// the same while all lifts run
        pub running_gauge_pressure_pa: f64 = set.running.0.value,
        /// the larger of the two, which the header holds
        pub header_gauge_pressure_pa: f64 = set.header.0.value,
        /// pressure rise of the blower, with `supply_loss_pa`
        pub pressure_rise_pa: f64 = set.rise.value,
        /// dry air that the blowers of the file give at that rise, or the least that they give below the end of their table; `null` without blowers
        pub given_air_mass_flow_kg_per_s: Option<f64> = set.given.map(AirFlow::kg_per_s),
        /// whether that air is enough; `null` without blowers
        pub fed: Option<bool> = set.is_fed(),
        /// names of the tanks that set this pressure
        pub pressure_set_by: Vec<String> = binding.iter().map(|member| name(found, member.tank)).collect(),
        /// the lifts of each tank
        pub members: Vec<MemberFacts> = members.collect(),
    }

    fn of(found: &TanksFound, set: &TankSet) -> Self {
        let binding = found.binding(set);
        let members = set.members.iter().map(|member| MemberFacts::of(found, member));
    }

    /// The lifts of one tank in a set.
    pub struct MemberFacts {
        /// name of the tank
        pub tank: String = name(found, member.tank),
        /// name of the pipe
        pub pipe: String = design.pipe.name.clone(),
        /// its bore
        pub bore_m: f64 = design.pipe.bore().value,
        /// number of lifts
        pub lifts: u32 = design.lifts,
        /// depth of the injection point below the running water level
        pub submergence_m: f64 = design.submergence.value,
    }

    fn of(found: &TanksFound, member: &Member) -> Self {
        let design = found.design(member);
    }

    /// A tank on the header.
    pub struct HeaderTankFacts {
        /// its name
        pub name: String = name(found, member.tank),
        /// what it asks
        pub duty: DutyFacts = task.into(),
        /// its lifts
        pub design: DesignFacts = DesignFacts {
            detail: Some(detail),
            ..design.into()
        },
        /// whether its lifts set the common pressure
        pub sets_pressure: bool = found.binding(set).contains(member),
        /// pressure that its valves take, as its lifts run
        pub throttled_off_pa: f64 = throttled.pressure.value,
        /// power at the blower that this costs: power for the tank's air, less the power for the same air at the tank's own running pressure
        pub throttled_power_w: f64 = throttled.power.value,
        /// its best lifts on a blower of its own
        pub own_blower: TankSetFacts = TankSetFacts::of(found, own),
        /// cautions, without those of the design
        pub cautions: Vec<Caution> = short.into_iter().collect(),
    }

    fn of(
        found: &TanksFound,
        (set, member): (&TankSet, &Member),
        own: &TankSet,
        terms: &Terms,
    ) -> Result<Self, Error> {
        let task: &Task = &found.asked.tanks[member.tank].task;
        let design = found.design(member);
        let detail = DetailFacts::of(design, task, terms, !terms.states_outlet)?;
        let throttled = found.throttled(set, member)?;
        let short = design.low_water_caution(task, &design.margins(task)?);
    }

    /// What sets the common pressure of the best set.
    pub struct BindingFacts {
        /// names of the tanks whose lifts need all of it
        pub tanks: Vec<String> = set.pressure_set_by,
        /// the best set with these tanks held one, two, four and eight steps of the search less deep, where there are so many
        pub shallower: Vec<ShallowerFacts> =
            shallower.iter().map(|one| ShallowerFacts::of(found, one)).collect(),
        /// these tanks on a blower of their own, and the others on another; `null` where all tanks need that pressure
        pub two_blowers: Option<TwoBlowersFacts> =
            apart.as_ref().map(|two| TwoBlowersFacts::of(found, two)),
    }

    fn of(found: &TanksFound, best: &TankSet) -> Result<Self, Error> {
        let set = TankSetFacts::of(found, best);
        let shallower = found.shallower(best)?;
        let apart = found.two_blowers(best)?;
    }

    /// The best set with the tanks that set the pressure held to less depth.
    pub struct ShallowerFacts {
        /// the tanks held, each with its depth
        pub limits: Vec<SubmergenceLimitFacts> = limits.collect(),
        /// the best set then; `null` where one of these tanks cannot meet its duty
        pub set: Option<TankSetFacts> = one.best.as_ref().map(|set| TankSetFacts::of(found, set)),
    }

    fn of(found: &TanksFound, one: &Shallower) -> Self {
        let limits = one.limits.iter().map(|(tank, depth)| SubmergenceLimitFacts {
            tank: name(found, *tank),
            max_submergence_m: depth.value,
        });
    }

    /// A tank held to a depth.
    pub struct SubmergenceLimitFacts {
        /// its name
        pub tank: String,
        /// largest depth of its injection points
        pub max_submergence_m: f64,
    }

    /// Two blowers, each for some of the tanks.
    pub struct TwoBlowersFacts {
        /// adiabatic power at both
        pub adiabatic_power_w: f64 = two.adiabatic_power().value,
        /// the tanks that set the common pressure
        pub binding: TankSetFacts = TankSetFacts::of(found, &two.binding),
        /// the others
        pub others: TankSetFacts = TankSetFacts::of(found, &two.others),
    }

    fn of(found: &TanksFound, two: &TwoBlowers) -> Self {
    }
}

fn name(found: &TanksFound, tank: usize) -> String {
    found.asked.tanks[tank].name.clone()
}

impl TanksAnswer {
    /// The best set.
    #[must_use]
    pub fn best(&self) -> Option<&TankSetFacts> {
        self.sets.first()
    }

    /// What a person reads it with, each once, and the tanks that it is of: none where it is of the whole.
    #[must_use]
    pub fn remarks(&self) -> Vec<(Vec<&str>, &Caution)> {
        let of_tanks = self.tanks.iter().map(|tank| {
            let detail = tank.design.detail.as_ref();
            let detail = detail.map_or(&[][..], |detail| &detail.cautions);
            (tank.name.as_str(), tank.cautions.iter().chain(detail))
        });
        super::remarks(of_tanks, self.cautions.iter().chain(&self.safety))
    }
}
