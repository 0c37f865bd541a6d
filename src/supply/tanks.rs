//! Several tanks on one header: a lift for each, ranked by what one blower takes for all.
//!
//! The header has one pressure. A tank whose lift needs less gets its air through a valve that takes the rest away,
//! so the tank that needs most sets what all pay.

use std::collections::BTreeMap;

use super::blower::{Requirement, SiteCurve};
use super::plant::Blowers;
use super::{AirSide, SUPPLY_LOSS};
use crate::air::AirFlow;
use crate::error::{BlowerError, Error, Input};
use crate::sizing::{Design, FEWER_LIFTS, FEWER_LIFTS_POWER, Objective, Sizing, Task, size};
use crate::units::{GaugePressure, Length, Power, Pressure, base, kilopascal, ratio};

/// A tank that hangs on the header.
#[derive(Debug, Clone, PartialEq)]
pub struct Tank {
    /// What it is called.
    pub name: String,
    /// What its lifts must do, and may be.
    pub task: Task,
}

/// Tanks on one header.
#[derive(Debug, Clone, PartialEq)]
pub struct Tanks {
    /// The tanks.
    pub tanks: Vec<Tank>,
    /// What the best set has least of; [`Objective::AirPower`] is the power at the blower, not at the injection points.
    pub objective: Objective,
    /// What is supposed of the air side. Its loss is the same on the way to every tank.
    pub air_side: AirSide,
    /// The blowers at hand, where there are some: each set is held against them.
    pub blowers: Option<Blowers>,
}

/// The lifts of one tank, as one of the designs that were found for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Member {
    /// The tank, by its place in [`Tanks::tanks`].
    pub tank: usize,
    /// The design, by its place in the [`Sizing`] of that tank.
    pub design: usize,
}

/// Lifts for tanks on one header, one design for each tank.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TankSet {
    /// The lifts of each tank.
    pub members: Vec<Member>,
    /// Number of lifts of all tanks.
    pub lifts: u32,
    /// Air of all lifts.
    pub air: AirFlow,
    /// The largest pressure at an injection point before its lift runs.
    pub startup: GaugePressure,
    /// The largest pressure at an injection point while all lifts run.
    pub running: GaugePressure,
    /// The larger of the two, which the header holds so that any lift can start while the others run.
    pub header: GaugePressure,
    /// Pressure rise of the blower: the header's pressure and the loss before it.
    pub rise: Pressure,
    /// Adiabatic power of the air at the blower.
    pub adiabatic_power: Power,
    /// Power at the wire, where the efficiency is known.
    pub wire_power: Option<Power>,
    /// Air that the blowers at hand give at that rise, none beyond their highest; past the last point of their table the
    /// air of that point, which they give at least. `None` without blowers.
    pub given: Option<AirFlow>,
}

impl TankSet {
    /// Whether the blowers at hand feed it; `None` without blowers.
    #[must_use]
    pub fn is_fed(&self) -> Option<bool> {
        Some(self.given?.kg_per_s() >= self.air.kg_per_s())
    }
}

/// What a valve takes from the air of one tank.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Throttled {
    /// Pressure between the header and the lift as it runs.
    pub pressure: Pressure,
    /// What the blower would save for this tank's air if it had to bring it to the lift's own running pressure alone.
    pub power: Power,
}

/// The best set when the tanks that set the pressure inject less deep.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Shallower {
    /// Each tank that is held to less depth, and the most depth that it may have.
    pub limits: Vec<(usize, Length)>,
    /// The best set then; none where some tank cannot meet its duty.
    pub best: Option<TankSet>,
}

/// Two blowers: one for the tanks that set the pressure, one for the others.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TwoBlowers {
    /// The best set of the tanks that set the common pressure.
    pub binding: TankSet,
    /// The best set of the others.
    pub others: TankSet,
}

impl TwoBlowers {
    /// Adiabatic power at both blowers.
    #[must_use]
    pub fn adiabatic_power(&self) -> Power {
        self.binding.adiabatic_power + self.others.adiabatic_power
    }
}

/// What a search over several tanks found.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct TanksFound<'a> {
    /// What was asked.
    pub asked: &'a Tanks,
    /// Every design of each tank, and what was rejected.
    pub sizings: Vec<Sizing>,
    /// The best set at each common pressure, best first; none where some tank has no design.
    pub sets: Vec<TankSet>,
    curve: Option<SiteCurve>,
}

/// How much shallower the tanks are tried that set the pressure, in steps of their search.
const STEPS_LESS: [usize; 4] = [1, 2, 4, 8];

impl Tanks {
    /// Every design of every tank, and the sets of them.
    ///
    /// Each tank has its own candidates, as [`size`] finds them; a set takes one of each. The header's pressure is the
    /// largest that any of them needs, to start or running, and the air of all is compressed to it.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an input of a tank or [`SUPPLY_LOSS`] outside its range, or more pressure than
    /// [`PRESSURE_RISE`](super::PRESSURE_RISE).
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, TANKS_EXAMPLE};
    ///
    /// let asked = DesignFile::parse(TANKS_EXAMPLE)?.tanks_on_header()?;
    /// let found = asked.search()?;
    /// let best = found.best().expect("every tank has a design");
    /// assert_eq!(best.members.len(), asked.tanks.len());
    /// // One header for all takes no less than a blower for each.
    /// let alone = found.alone()?.expect("every tank has a design");
    /// assert!(alone.iter().map(|one| one.adiabatic_power.value).sum::<f64>() <= best.adiabatic_power.value);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn search(&self) -> Result<TanksFound<'_>, Error> {
        let loss = self.air_side.loss.get::<kilopascal>();
        SUPPLY_LOSS.check(Input::SupplyLoss, loss)?;
        let sizings = self.tanks.iter().map(|tank| size(&tank.task));
        let curve = self.blowers.as_ref().map(|blowers| {
            let one = blowers.blower.at(&self.air_side.intake)?;
            one.in_parallel(blowers.running)
        });
        let mut found = TanksFound {
            asked: self,
            sizings: sizings.collect::<Result<_, _>>()?,
            sets: Vec::new(),
            curve: curve.transpose()?,
        };
        let all: Vec<usize> = (0..self.tanks.len()).collect();
        found.sets = found.sets_of(&all, |_, _| true)?;
        Ok(found)
    }
}

impl TanksFound<'_> {
    /// The best set, where every tank has a design.
    #[must_use]
    pub fn best(&self) -> Option<&TankSet> {
        self.sets.first()
    }

    /// The best set that the blowers at hand feed; none without blowers, or where they feed no set.
    ///
    /// # Errors
    /// As [`Tanks::search`].
    pub fn best_fed(&self) -> Result<Option<TankSet>, Error> {
        let Some(curve) = &self.curve else {
            return Ok(None);
        };
        if self.asked.objective != Objective::Lifts {
            // The set at a pressure takes least air of all up to it, so that where one is fed, it is.
            return Ok(self
                .sets
                .iter()
                .find(|set| set.is_fed() == Some(true))
                .cloned());
        }
        let room = |need_pa: f64| {
            let required = self.required(AirFlow::from_kg_per_s(0.0), GaugePressure(base(need_pa)));
            Ok(given(curve, required.pressure_rise)?.kg_per_s())
        };
        self.fewest_lifts(|_| true, room)
    }

    /// Where power is ranked first, the set with fewest lifts of those that take at most
    /// [`FEWER_LIFTS_POWER`](crate::sizing::FEWER_LIFTS_POWER) of the best set's, if it has at most
    /// [`FEWER_LIFTS`](crate::sizing::FEWER_LIFTS) of its lifts. Its designs stand inside the measured data, unless some of
    /// the best set's do not either.
    ///
    /// # Errors
    /// As [`Tanks::search`].
    pub fn with_fewer_lifts(&self) -> Result<Option<TankSet>, Error> {
        let Some(best) = self
            .best()
            .filter(|_| self.asked.objective == Objective::AirPower)
        else {
            return Ok(None);
        };
        let power = best.adiabatic_power * FEWER_LIFTS_POWER;
        // At one pressure power goes with the air.
        let room = |need_pa: f64| {
            let required = self.required(best.air, GaugePressure(base(need_pa)));
            let share = power / required.specification()?.adiabatic_power;
            Ok(best.air.kg_per_s() * share.get::<ratio>())
        };
        let outside = |design: &Design| !design.outside_data().is_empty();
        let guess = best
            .members
            .iter()
            .any(|member| outside(self.design(member)));
        let set = self.fewest_lifts(|design| guess || !outside(design), room)?;
        Ok(set.filter(|set| f64::from(set.lifts) <= FEWER_LIFTS * f64::from(best.lifts)))
    }

    /// The best set whose designs all stand inside the measured data.
    ///
    /// # Errors
    /// As [`Tanks::search`].
    pub fn best_inside_data(&self) -> Result<Option<TankSet>, Error> {
        let all: Vec<usize> = (0..self.asked.tanks.len()).collect();
        self.best_of(&all, |_, design| design.outside_data().is_empty())
    }

    /// The set with fewest lifts, and of those the least power, that takes no more air than there is at its pressure.
    fn fewest_lifts(
        &self,
        keep: impl Fn(&Design) -> bool,
        room: impl Fn(f64) -> Result<f64, Error>,
    ) -> Result<Option<TankSet>, Error> {
        let all: Vec<usize> = (0..self.asked.tanks.len()).collect();
        let sets = fewest_lifts_within(
            self.candidates(&all, |_, design| keep(design)),
            all.len(),
            room,
        )?;
        let sets = sets.into_iter().map(|members| self.set(members));
        let sets = sets.collect::<Result<Vec<_>, _>>()?;
        let order = |a: &TankSet, b: &TankSet| {
            let power = |set: &TankSet| set.adiabatic_power.value;
            a.lifts.cmp(&b.lifts).then(power(a).total_cmp(&power(b)))
        };
        Ok(sets.into_iter().min_by(order))
    }

    /// The design of a member of a set.
    ///
    /// # Panics
    /// When the member is of another search.
    #[must_use]
    pub fn design(&self, member: &Member) -> &Design {
        &self.sizings[member.tank].designs[member.design]
    }

    /// The best set of each tank by itself, on a blower of its own; none where some tank has no design.
    ///
    /// # Errors
    /// As [`Tanks::search`].
    pub fn alone(&self) -> Result<Option<Vec<TankSet>>, Error> {
        let tanks = 0..self.asked.tanks.len();
        tanks
            .map(|tank| self.best_of(&[tank], |_, _| true))
            .collect()
    }

    /// The members of a set that set its pressure.
    #[must_use]
    pub fn binding(&self, set: &TankSet) -> Vec<Member> {
        let members = set.members.iter().copied();
        let most = set.header.0.value;
        // What rounding alone parts binds together.
        let binds = |member: &Member| need_pa(self.design(member)) >= most * (1.0 - 1e-9);
        members.filter(binds).collect()
    }

    /// What the valve of a member takes.
    ///
    /// # Errors
    /// As [`Tanks::search`].
    pub fn throttled(&self, set: &TankSet, member: &Member) -> Result<Throttled, Error> {
        let design = self.design(member);
        let own = design.injection_pressure();
        let air = AirFlow::from_dry_mass(base(air_kg_per_s(design)))?;
        let power =
            |header| Ok::<_, Error>(self.required(air, header).specification()?.adiabatic_power);
        Ok(Throttled {
            pressure: set.header.0 - own.0,
            power: power(set.header)? - power(own)?,
        })
    }

    /// The best sets when the tanks that set the pressure of a set inject one, two, four and eight steps less deep.
    ///
    /// # Errors
    /// As [`Tanks::search`].
    pub fn shallower(&self, set: &TankSet) -> Result<Vec<Shallower>, Error> {
        let binding = self.binding(set);
        let tanks = tanks_of(set);
        let mut all = Vec::new();
        for steps in STEPS_LESS {
            let limit = |member: &Member| {
                let depths = &self.asked.tanks[member.tank].task.submergences;
                let own = self.design(member).submergence;
                let place = depths.iter().position(|depth| *depth == own)?;
                Some((member.tank, depths[place.checked_sub(steps)?]))
            };
            let Some(limits) = binding.iter().map(limit).collect::<Option<Vec<_>>>() else {
                break;
            };
            let within = |tank: usize, design: &Design| {
                let mut of_tank = limits.iter().filter(|(held, _)| *held == tank);
                of_tank.all(|(_, most)| design.submergence <= *most)
            };
            let best = self.best_of(&tanks, within)?;
            let ends = best.is_none();
            all.push(Shallower { limits, best });
            if ends {
                break;
            }
        }
        Ok(all)
    }

    /// The tanks that set the pressure of a set on a blower of their own; none where all do.
    ///
    /// # Errors
    /// As [`Tanks::search`].
    pub fn two_blowers(&self, set: &TankSet) -> Result<Option<TwoBlowers>, Error> {
        let binding: Vec<usize> = self.binding(set).iter().map(|one| one.tank).collect();
        let mut others = tanks_of(set);
        others.retain(|tank| !binding.contains(tank));
        if others.is_empty() {
            return Ok(None);
        }
        let binding = self.best_of(&binding, |_, _| true)?;
        let others = self.best_of(&others, |_, _| true)?;
        let both = binding.zip(others);
        Ok(both.map(|(binding, others)| TwoBlowers { binding, others }))
    }

    fn best_of(
        &self,
        tanks: &[usize],
        keep: impl Fn(usize, &Design) -> bool,
    ) -> Result<Option<TankSet>, Error> {
        Ok(self.sets_of(tanks, keep)?.into_iter().next())
    }

    /// The best set of some tanks at each common pressure, of the designs that are kept, best first.
    fn sets_of(
        &self,
        tanks: &[usize],
        keep: impl Fn(usize, &Design) -> bool,
    ) -> Result<Vec<TankSet>, Error> {
        let candidates = self.candidates(tanks, keep);
        let fewest = self.asked.objective == Objective::Lifts;
        let sets = best_at_each_pressure(candidates, tanks.len(), fewest);
        let sets = sets.into_iter().map(|members| self.set(members));
        let mut sets = sets.collect::<Result<Vec<_>, _>>()?;
        self.rank(&mut sets);
        Ok(sets)
    }

    fn candidates(&self, tanks: &[usize], keep: impl Fn(usize, &Design) -> bool) -> Vec<Candidate> {
        let mut candidates = Vec::new();
        for (place, &tank) in tanks.iter().enumerate() {
            let designs = self.sizings[tank].designs.iter().enumerate();
            let kept = designs.filter(|(_, design)| keep(tank, design));
            candidates.extend(kept.map(|(n, design)| Candidate {
                place,
                member: Member { tank, design: n },
                need_pa: need_pa(design),
                air_kg_per_s: air_kg_per_s(design),
                lifts: design.lifts,
            }));
        }
        candidates
    }

    /// The best first.
    fn rank(&self, sets: &mut [TankSet]) {
        let merits = |set: &TankSet| self.merits(set);
        sets.sort_by(|a, b| {
            let pairs = merits(a).into_iter().zip(merits(b));
            let mut orders = pairs.map(|(a, b)| a.total_cmp(&b));
            orders
                .find(|order| order.is_ne())
                .unwrap_or(std::cmp::Ordering::Equal)
        });
    }

    /// What a set is ranked by, the first of it first.
    fn merits(&self, set: &TankSet) -> [f64; 4] {
        let power = set.adiabatic_power.value;
        let (air, pressure) = (set.air.kg_per_s(), set.header.0.value);
        let lifts = f64::from(set.lifts);
        match self.asked.objective {
            Objective::AirPower => [power, lifts, air, pressure],
            Objective::Lifts => [lifts, power, air, pressure],
            Objective::AirFlow => [air, power, lifts, pressure],
            Objective::Pressure => [pressure, power, lifts, air],
        }
    }

    fn set(&self, members: Vec<Member>) -> Result<TankSet, Error> {
        let designs = || members.iter().map(|member| self.design(member));
        let largest = |pressures: &dyn Fn(&Design) -> f64| {
            GaugePressure(base(designs().map(pressures).fold(0.0, f64::max)))
        };
        let air = AirFlow::from_dry_mass(base(designs().map(air_kg_per_s).sum()))?;
        let header = largest(&need_pa);
        let required = self.required(air, header);
        let specification = required.specification()?;
        let curve = self.curve.as_ref();
        Ok(TankSet {
            given: curve
                .map(|curve| given(curve, required.pressure_rise))
                .transpose()?,
            lifts: designs().map(|design| design.lifts).sum(),
            air,
            startup: largest(&|design| design.startup_pressure.0.value),
            running: largest(&|design| design.injection_pressure().0.value),
            header,
            rise: required.pressure_rise,
            adiabatic_power: specification.adiabatic_power,
            wire_power: specification.wire_power,
            members,
        })
    }

    /// What the blower must do for an air flow to a pressure of the header.
    fn required(&self, air: AirFlow, header: GaugePressure) -> Requirement {
        let side = &self.asked.air_side;
        let tank = self.asked.tanks.first();
        let atmosphere = tank.map_or(side.intake.pressure, |tank| tank.task.site.atmosphere);
        Requirement {
            air,
            intake: side.intake,
            pressure_rise: atmosphere - side.intake.pressure + header.0 + side.loss,
            margin: base(0.0),
            efficiency: side.efficiency,
        }
    }
}

/// What blowers give at a rise: none beyond their highest, and at least the air of their last point below their lowest.
fn given(curve: &SiteCurve, rise: Pressure) -> Result<AirFlow, Error> {
    match curve.air_flow(rise) {
        Err(Error::Blower(BlowerError::AboveHighestRise { .. })) => {
            AirFlow::from_dry_mass(base(0.0))
        }
        Err(Error::Blower(BlowerError::BelowLowestRise { .. })) => Ok(curve.flows().1),
        given => given,
    }
}

fn tanks_of(set: &TankSet) -> Vec<usize> {
    set.members.iter().map(|member| member.tank).collect()
}

/// Gauge pressure that a design needs at its injection point: to start, or running where that is more.
fn need_pa(design: &Design) -> f64 {
    let start = design.startup_pressure.0.value;
    start.max(design.injection_pressure().0.value)
}

/// Dry air of all lifts of a design.
fn air_kg_per_s(design: &Design) -> f64 {
    design.point.air.kg_per_s() * f64::from(design.lifts)
}

/// A design of one tank, as far as a set asks for it.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    /// Place of its tank among those of the set.
    place: usize,
    member: Member,
    need_pa: f64,
    air_kg_per_s: f64,
    lifts: u32,
}

/// The best set at each common pressure, by rising pressure: of each tank the candidate with the least air (or with the
/// fewest lifts, and of those the least air) among those that the pressure serves. A pressure at which no tank gets a
/// better candidate gives no set.
///
/// The best of these is the best of all sets, whatever their number. Let P be the pressure of any set S, the largest
/// that its members need, and T the set found at P. Every member of S is among the candidates that P serves, so no
/// member of T takes more air than that of S for the same tank, and T takes no more air than S. No member of T needs
/// more than P, and the adiabatic work on a mass of air grows with the pressure, so T takes no more power than S. With
/// lifts counted first the same holds of their number, and of the air where that is equal. P is the need of some
/// candidate, so the pressures at which candidates come in are enough.
fn best_at_each_pressure(
    mut candidates: Vec<Candidate>,
    tanks: usize,
    fewest_lifts: bool,
) -> Vec<Vec<Member>> {
    candidates.sort_by(|a, b| a.need_pa.total_cmp(&b.need_pa));
    let merits = |one: &Candidate| {
        let lifts = if fewest_lifts { one.lifts } else { 0 };
        (lifts, one.air_kg_per_s)
    };
    let mut best: Vec<Option<Candidate>> = vec![None; tanks];
    let mut sets = Vec::new();
    let mut changed = false;
    for served in candidates.chunk_by(|a, b| a.need_pa == b.need_pa) {
        for one in served {
            let place = &mut best[one.place];
            if place.is_none_or(|known| merits(one) < merits(&known)) {
                *place = Some(*one);
                changed = true;
            }
        }
        let set: Option<Vec<Member>> = best.iter().map(|one| Some(one.as_ref()?.member)).collect();
        if let Some(set) = set.filter(|_| changed) {
            sets.push(set);
            changed = false;
        }
    }
    sets
}

/// At each common pressure the set with the fewest lifts that takes no more air than there is, and of those the least air.
///
/// Of each tank only the candidate of least air counts for a number of lifts. `least[n]` is the least air of the tanks so
/// far with n lifts in all: a table that is filled tank by tank, so that no combination has to be tried.
fn fewest_lifts_within(
    mut candidates: Vec<Candidate>,
    tanks: usize,
    room: impl Fn(f64) -> Result<f64, Error>,
) -> Result<Vec<Vec<Member>>, Error> {
    candidates.sort_by(|a, b| a.need_pa.total_cmp(&b.need_pa));
    let mut by_lifts: Vec<BTreeMap<u32, Candidate>> = vec![BTreeMap::new(); tanks];
    let mut sets = Vec::new();
    for served in candidates.chunk_by(|a, b| a.need_pa == b.need_pa) {
        let mut changed = false;
        for one in served {
            let known = by_lifts[one.place].get(&one.lifts);
            if known.is_none_or(|known| one.air_kg_per_s < known.air_kg_per_s) {
                by_lifts[one.place].insert(one.lifts, *one);
                changed = true;
            }
        }
        if !changed || by_lifts.iter().any(BTreeMap::is_empty) {
            continue;
        }
        let mut least: BTreeMap<u32, (f64, Vec<Member>)> = [(0, (0.0, Vec::new()))].into();
        for own in &by_lifts {
            let mut longer: BTreeMap<u32, (f64, Vec<Member>)> = BTreeMap::new();
            for (lifts, (air, members)) in &least {
                for one in own.values() {
                    let (lifts, air) = (lifts + one.lifts, air + one.air_kg_per_s);
                    if longer.get(&lifts).is_none_or(|known| air < known.0) {
                        let members = members.iter().copied().chain([one.member]);
                        longer.insert(lifts, (air, members.collect()));
                    }
                }
            }
            least = longer;
        }
        let room = room(served[0].need_pa)?;
        let fed = least.into_values().find(|(air, _)| *air <= room);
        sets.extend(fed.map(|(_, members)| members));
    }
    Ok(sets)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng, rngs::StdRng};

    /// Work on a kilogram of air by the formula of adiabatic compression, but for a factor.
    fn work(need_pa: f64) -> f64 {
        (1.0 + need_pa / 101_325.0).powf(0.4 / 1.4) - 1.0
    }

    /// Every set that can be put together, one candidate for each tank.
    fn all_sets(by_tank: &[Vec<Candidate>]) -> Vec<Vec<Candidate>> {
        by_tank.iter().fold(vec![vec![]], |sets, own| {
            let longer = sets.iter().flat_map(|set| {
                own.iter().map(|one| {
                    let mut set = set.clone();
                    set.push(*one);
                    set
                })
            });
            longer.collect()
        })
    }

    fn total(set: &[Candidate]) -> (f64, f64, u32) {
        let most = set.iter().map(|one| one.need_pa).fold(0.0, f64::max);
        let air: f64 = set.iter().map(|one| one.air_kg_per_s).sum();
        let lifts = set.iter().map(|one| one.lifts).sum();
        (air * work(most), air, lifts)
    }

    /// Random candidates, with equal pressures and equal air among them: none of all combinations is better.
    #[test]
    fn no_combination_is_better_than_the_best_of_the_scan() {
        let mut random = StdRng::seed_from_u64(7);
        for case in 0..300 {
            let tanks = random.random_range(1..=4);
            let by_tank: Vec<Vec<Candidate>> = (0..tanks)
                .map(|place| {
                    let count = random.random_range(1..=6);
                    let one = |design| Candidate {
                        place,
                        member: Member {
                            tank: place,
                            design,
                        },
                        need_pa: 1e3 * f64::from(random.random_range(3..=15)),
                        air_kg_per_s: 1e-4 * f64::from(random.random_range(1..=20)),
                        lifts: random.random_range(1..=3),
                    };
                    (0..count).map(one).collect()
                })
                .collect();
            let every: Vec<_> = all_sets(&by_tank).iter().map(|set| total(set)).collect();
            for fewest in [false, true] {
                let found = best_at_each_pressure(by_tank.concat(), tanks, fewest);
                let of_members = |set: &Vec<Member>| {
                    let set: Vec<_> = set
                        .iter()
                        .map(|one| by_tank[one.tank][one.design])
                        .collect();
                    total(&set)
                };
                let found: Vec<_> = found.iter().map(of_members).collect();
                let least = |sets: &[(f64, f64, u32)]| {
                    let fewest_of = sets.iter().map(|set| set.2).min().unwrap();
                    let counted = sets.iter().filter(|set| !fewest || set.2 == fewest_of);
                    let power = counted.map(|set| set.0).fold(f64::INFINITY, f64::min);
                    (fewest.then_some(fewest_of), power)
                };
                let (found, every) = (least(&found), least(&every));
                assert_eq!(found.0, every.0, "case {case}");
                assert!(
                    (found.1 / every.1 - 1.0).abs() < 1e-12,
                    "case {case}: {found:?} {every:?}"
                );
            }
        }
    }

    /// By hand: two tanks, of which the second has a shallow candidate with more air. At the shallow pressure 3 and
    /// 2 units of air, at the deep one 1 and 1.
    #[test]
    fn a_set_for_each_pressure_that_betters_a_tank() {
        let one = |place, design, need_pa, air_kg_per_s| Candidate {
            place,
            member: Member {
                tank: place,
                design,
            },
            need_pa,
            air_kg_per_s,
            lifts: 1,
        };
        let candidates = vec![
            one(0, 0, 5.0, 3.0),
            one(0, 1, 9.0, 1.0),
            one(1, 0, 4.0, 2.0),
            one(1, 1, 9.0, 1.0),
            // Deeper for as much air: never taken.
            one(1, 2, 12.0, 1.0),
        ];
        let sets = best_at_each_pressure(candidates, 2, false);
        let designs = |set: &Vec<Member>| set.iter().map(|one| one.design).collect::<Vec<_>>();
        assert_eq!(
            sets.iter().map(designs).collect::<Vec<_>>(),
            [[0, 0], [1, 1]]
        );
    }
}
