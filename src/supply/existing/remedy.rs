//! What to change first in a plant that stands: each change is solved, and the best are told.

use super::{AirSource, CurvePlace, Existing, LiftPlace, Steady, Vent};
use crate::air::AirFlow;
use crate::error::Error;
use crate::pipe::Pipe;
use crate::supply::blower::SPEED_RATIO;
use crate::supply::drill::DrillSize;
use crate::supply::header::Header;
use crate::supply::orifice::{HOLE_DIAMETER, Orifice};
use crate::supply::run::PipeRun;
use crate::uncertainty::Wanted;
use crate::units::{
    GRAVITY_M_PER_S2, Length, Pressure, Ratio, VolumeRate, base, meter, millimeter, ratio,
};
use std::sync::Arc;

/// A gain below this share is not told: our own choice.
const LEAST_GAIN: f64 = 0.005;
/// Changes that are told.
const TOLD: usize = 5;
/// How far an injection is moved for a trial, m.
const STEP_M: f64 = 0.10;
/// Pressure over that which starts a lift, so that it starts for sure, Pa: a few centimetres of water.
const START_RESERVE_PA: f64 = 300.0;
/// The shallowest injection that is advised, m.
const SHALLOWEST_M: f64 = 0.1;
/// How far above the depth that just starts a lift others are tried, m.
const HIGHER_M: [f64; 6] = [0.0, 0.05, 0.1, 0.2, 0.3, 0.5];
/// A bore without a series is widened by this.
const WIDER: f64 = 1.25;
/// Holes tried to throttle lifts, as shares of the bore of their line.
const THROTTLED: [f64; 9] = [0.7, 0.6, 0.5, 0.42, 0.35, 0.3, 0.25, 0.2, 0.15];
/// Least losses of fitted orifices that are tried, Pa.
const FITTED_LOSS_PA: [f64; 6] = [300.0, 500.0, 700.0, 1000.0, 1500.0, 2000.0];
/// Scores that are apart by less are as good, so that the power decides.
const AS_GOOD: f64 = 1e-6;
/// Bisections for a speed.
const BISECTIONS: usize = 12;
/// What counts as meeting a flow that is asked for.
const MET: f64 = 1.0 - 1e-6;

/// What a change is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::VariantNames, serde::Serialize)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Aim {
    /// More water: nothing is asked for.
    Water,
    /// To come nearer to what is asked for, some of which is missed.
    Asked,
    /// Less power: all that is asked for is met.
    Power,
}

/// A change that may better a plant.
#[derive(Debug, Clone, PartialEq, strum::EnumDiscriminants)]
#[strum_discriminants(
    name(RemedyKind),
    derive(PartialOrd, Ord, serde::Serialize, strum::VariantNames)
)]
#[strum_discriminants(
    strum(serialize_all = "snake_case"),
    serde(rename_all = "snake_case"),
    doc = "What is changed."
)]
#[non_exhaustive]
pub enum Remedy {
    /// Lifts are started one after the other, the valves of the others shut: each keeps its air.
    StartInTurn,
    /// The bleed is shut.
    CloseBleed,
    /// A share of the blower's air is let out.
    Bleed {
        /// The share.
        share: Ratio,
    },
    /// Valves of lifts are shut.
    Close {
        /// Their places.
        lifts: Vec<usize>,
    },
    /// Valves of lifts are throttled, as much as a hole would.
    Throttle {
        /// Their places.
        lifts: Vec<usize>,
        /// The hole.
        hole: Length,
    },
    /// Another speed of the blowers.
    Speed {
        /// Over that of their table.
        speed: Ratio,
    },
    /// Another number of blowers runs.
    Blowers {
        /// How many.
        running: u32,
    },
    /// A drilled plate in each open branch.
    FitHoles {
        /// Its drill, by branch; none in one that is shut.
        drills: Vec<Option<&'static DrillSize>>,
    },
    /// All orifices drilled to other diameters.
    ScaleHoles {
        /// Diameter over that which it has.
        scale: Ratio,
    },
    /// The air of lifts is let in elsewhere.
    Inject {
        /// Their places.
        lifts: Vec<usize>,
        /// How far higher; deeper below zero.
        up: Length,
    },
    /// The air of lifts is let in at a depth that starts them.
    InjectAt {
        /// Their places.
        lifts: Vec<usize>,
        /// The depth.
        depth: Length,
    },
    /// Branches get a wider pipe.
    WidenBranches {
        /// Places of their lifts.
        lifts: Vec<usize>,
        /// Bore of the wider pipe.
        bore: Length,
        /// The pipe, where that which they have is of a series.
        pipe: Option<Arc<Pipe>>,
    },
    /// The main line gets a wider pipe.
    WidenMain {
        /// Its bore.
        bore: Length,
        /// The pipe, where that which there is is of a series.
        pipe: Option<Arc<Pipe>>,
    },
    /// The header gets a wider pipe.
    WidenHeader {
        /// Its bore.
        bore: Length,
        /// The pipe, where that which there is is of a series.
        pipe: Option<Arc<Pipe>>,
    },
    /// One more lift at the tee of one that there is.
    AddLift {
        /// Place of the lift that it is like.
        like: usize,
    },
}

/// A change with what it brings.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Tried {
    /// The change.
    pub remedy: Remedy,
    /// The plant with it.
    pub steady: Steady,
    /// What is gained of the aim, as a share of what there is; none where there is nothing yet.
    pub gain: Option<f64>,
}

/// What to change first.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Advice {
    /// What the changes are for.
    pub aim: Aim,
    /// How many were tried.
    pub tried: usize,
    /// Those that gain most, the best first.
    pub best: Vec<Tried>,
}

impl Existing {
    /// What to change first: each change is solved by itself, the lines as warm as before.
    ///
    /// Where flows are asked for and all are met, changes are ranked by power; where some are missed, by the water that
    /// counts towards them; where nothing is asked, by water.
    ///
    /// # Errors
    /// As [`Steady::places`].
    ///
    /// # Examples
    /// See [`Existing`] for a plant; `existing.advice(&existing.steady()?)?.best` has the changes.
    pub fn advice(&self, steady: &Steady) -> Result<Advice, Error> {
        let places = steady.places()?;
        let aim = self.aim(steady);
        let before = self.score(aim, steady);
        let mut tried: Vec<Tried> = Vec::new();
        let mut count = 0;
        for remedies in self.candidates(aim, steady, &places) {
            // Of one change in several sizes the best.
            count += 1;
            let solved = remedies.into_iter().filter_map(|remedy| {
                let steady = self.with_remedy(&remedy, steady).ok()?;
                Some((self.score(aim, &steady)?, remedy, steady))
            });
            // Of sizes that do as well the one that takes least power.
            let best = solved.reduce(|best, next| {
                let least = |a: f64, b: f64| (a - b).abs() <= AS_GOOD * a.abs().max(b.abs());
                let (same, spares) = (least(best.0, next.0), next.2.power() < best.2.power());
                let better = if same { spares } else { next.0 > best.0 };
                if better { next } else { best }
            });
            tried.extend(best.and_then(|(score, remedy, steady)| {
                let gain = gain(before, score)?;
                Some(Tried {
                    remedy,
                    steady,
                    gain,
                })
            }));
        }
        let size = |one: &Tried| one.gain.unwrap_or(f64::INFINITY);
        // Of equal gains that which takes less power stands first, then that which is less work.
        tried.sort_by(|a, b| {
            let by_gain = size(b).total_cmp(&size(a));
            let by_power = a.steady.power().total_cmp(&b.steady.power());
            let by_work = RemedyKind::from(&a.remedy).cmp(&RemedyKind::from(&b.remedy));
            by_gain.then(by_power).then(by_work)
        });
        tried.truncate(TOLD);
        Ok(Advice {
            aim,
            tried: count,
            best: tried,
        })
    }

    /// What changes are for.
    fn aim(&self, steady: &Steady) -> Aim {
        if self.asked.iter().all(Option::is_none) {
            Aim::Water
        } else if self.meets(steady) {
            Aim::Power
        } else {
            Aim::Asked
        }
    }

    /// Whether every lift gives what is asked of it.
    fn meets(&self, steady: &Steady) -> bool {
        let lifts = self.asked.iter().zip(&steady.running.lifts);
        lifts
            .filter_map(|(asked, lift)| Some((asked.as_ref()?, lift)))
            .all(|(asked, lift)| lift.water_flow() >= *asked * MET)
    }

    /// The more the better; none for a plant that does not do.
    fn score(&self, aim: Aim, steady: &Steady) -> Option<f64> {
        match aim {
            Aim::Water => Some(steady.water()),
            Aim::Asked => {
                let lifts = steady.running.lifts.iter().enumerate();
                let counted = lifts.map(|(n, lift)| {
                    let (asked, water) = (self.asked.get(n).copied().flatten(), lift.water_flow());
                    asked.map_or(0.0, |asked| asked.value.min(water.value))
                });
                Some(counted.sum())
            }
            Aim::Power => self.meets(steady).then(|| -steady.power()),
        }
    }

    /// The plant with a change, solved.
    fn with_remedy(&self, remedy: &Remedy, before: &Steady) -> Result<Steady, Error> {
        let outlet = before.outlet_temperature;
        if *remedy == Remedy::StartInTurn {
            let from = self.in_turn(before);
            return self.steady_at(outlet, Some(&from));
        }
        self.changed(remedy)?.steady_at(outlet, None)
    }

    /// Air of lifts that are brought to run: that which they have, or of those without their share of all.
    fn in_turn(&self, before: &Steady) -> Vec<AirFlow> {
        let header = self.plant.manifold.header();
        let open = header.branches.iter().filter(|branch| branch.open).count();
        let share = before.blown.kg_per_s() / open.max(1) as f64;
        let flows = before.running.split.branches.iter().zip(&header.branches);
        let from = flows.map(|(flow, branch)| {
            let air = flow.air.kg_per_s();
            AirFlow::from_kg_per_s(if branch.open && air <= 0.0 {
                share
            } else {
                air
            })
        });
        from.collect()
    }

    /// The plant with a change.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a change that cannot be.
    pub fn changed(&self, remedy: &Remedy) -> Result<Self, Error> {
        let mut plant = self.clone();
        let lifts = &self.plant.manifold;
        match remedy {
            Remedy::StartInTurn => {}
            Remedy::CloseBleed => plant.vent = None,
            Remedy::Bleed { share } => plant.vent = Some(Vent::Share(*share)),
            Remedy::Close { lifts } => plant.edit(|header| {
                for n in lifts {
                    header.branches[*n].open = false;
                }
            })?,
            Remedy::Throttle { lifts, hole } => plant.edit(|header| {
                for n in lifts {
                    header.branches[*n].orifice = Some(Orifice::new(*hole));
                }
            })?,
            Remedy::Speed { speed } => plant.speed = *speed,
            Remedy::Blowers { running } => {
                if let Some(blowers) = &mut plant.plant.blowers {
                    blowers.running = *running;
                }
            }
            Remedy::FitHoles { drills } => plant.edit(|header| {
                for (branch, drill) in header.branches.iter_mut().zip(drills) {
                    branch.orifice = drill.map(|drill| Orifice::new(drill.diameter));
                }
            })?,
            Remedy::ScaleHoles { scale } => plant.edit(|header| {
                for hole in header
                    .branches
                    .iter_mut()
                    .filter_map(|b| b.orifice.as_mut())
                {
                    hole.diameter = hole.diameter * *scale;
                }
            })?,
            Remedy::Inject { lifts: moved, up } => {
                plant.plant.manifold = lifts.with_injection(*up, moved)?;
            }
            Remedy::InjectAt {
                lifts: moved,
                depth,
            } => {
                for n in moved {
                    let now = lifts.risers()[*n].spec().dimensions.submergence;
                    let up = now - *depth;
                    plant.plant.manifold = plant.plant.manifold.with_injection(up, &[*n])?;
                }
            }
            Remedy::WidenBranches { lifts, bore, .. } => plant.edit(|header| {
                for n in lifts {
                    header.branches[*n].line.bore = *bore;
                }
            })?,
            Remedy::WidenMain { bore, .. } => plant.plant.main.bore = *bore,
            Remedy::WidenHeader { bore, .. } => plant.edit(|header| header.pipe.bore = *bore)?,
            Remedy::AddLift { like } => {
                let mut header = lifts.header().clone();
                let mut branch = header.branches[*like].clone();
                branch.name += ", again";
                header.branches.push(branch);
                let mut risers = lifts.risers().to_vec();
                risers.push(risers[*like]);
                let more = super::Manifold::new(header, risers)?;
                plant.plant.manifold = more.with_law(lifts.law().clone());
                plant.asked.push(None);
            }
        }
        Ok(plant)
    }

    fn edit(&mut self, change: impl FnOnce(&mut Header)) -> Result<(), Error> {
        let mut header = self.plant.manifold.header().clone();
        change(&mut header);
        self.plant.manifold = self.plant.manifold.with_header(header)?;
        Ok(())
    }

    /// The changes worth trying, each in one size or several.
    fn candidates(&self, aim: Aim, steady: &Steady, places: &[LiftPlace]) -> Vec<Vec<Remedy>> {
        let branches = &self.plant.manifold.header().branches;
        let open: Vec<usize> = (0..branches.len()).filter(|n| branches[*n].open).collect();
        let at = |wanted: CurvePlace| -> Vec<usize> {
            let is = |n: &&usize| places[**n].place == wanted;
            open.iter().filter(is).copied().collect()
        };
        let (silent, wasted) = (at(CurvePlace::NoAir), at(CurvePlace::NoWater));
        let mut all: Vec<Vec<Remedy>> = Vec::new();
        if !silent.is_empty() && silent.len() < open.len() {
            all.push(vec![Remedy::StartInTurn]);
        }
        match self.vent {
            Some(_) => all.push(vec![Remedy::CloseBleed]),
            None if self.source == AirSource::Blowers && places.iter().any(is_past_peak) => {
                let share = |share: f64| Remedy::Bleed { share: base(share) };
                all.push([0.1, 0.2, 0.3, 0.5].map(share).to_vec());
            }
            None => {}
        }
        if open.len() > 1 {
            let kinds = self.open_kinds();
            let last = kinds.iter().filter_map(|kind| kind.last());
            let one = last.map(|n| Remedy::Close { lifts: vec![*n] });
            all.push(one.collect());
            if wasted.len() > 1 && wasted.len() < open.len() {
                all.push(vec![Remedy::Close { lifts: wasted }]);
            }
            all.extend(self.throttles(&kinds, steady, places));
            all.push(self.fitted(steady, places));
        } else if places.iter().any(is_past_peak) {
            all.extend(self.throttles(&self.open_kinds(), steady, places));
        }
        if branches.iter().any(|branch| branch.orifice.is_some()) {
            let scale = |scale: f64| Remedy::ScaleHoles { scale: base(scale) };
            all.push([0.8, 0.9, 1.1, 1.25].map(scale).to_vec());
        }
        all.extend(self.speeds(aim, steady));
        let inject = |up: f64| Remedy::Inject {
            lifts: open.clone(),
            up: Length::new::<meter>(up),
        };
        all.push(vec![inject(STEP_M)]);
        all.push(vec![inject(-STEP_M)]);
        if let Some(depth) = starting_depth(steady, &silent) {
            let at = |less_m: f64| Remedy::InjectAt {
                lifts: silent.clone(),
                depth: depth - Length::new::<meter>(less_m),
            };
            let deep_enough = |less_m: &f64| depth.get::<meter>() - less_m >= SHALLOWEST_M;
            all.push(HIGHER_M.into_iter().filter(deep_enough).map(at).collect());
        }
        all.extend(self.wider(steady));
        if let Some(like) = open.last().filter(|_| aim == Aim::Water) {
            all.push(vec![Remedy::AddLift { like: *like }]);
        }
        all.into_iter().filter(|one| !one.is_empty()).collect()
    }

    /// Open lifts by kind: riser, line and hole alike.
    fn open_kinds(&self) -> Vec<Vec<usize>> {
        let branches = &self.plant.manifold.header().branches;
        let alike = |a: usize, b: usize| {
            let (one, other) = (&branches[a], &branches[b]);
            one.line.bore == other.line.bore && one.orifice == other.orifice
        };
        let mut kinds: Vec<Vec<usize>> = Vec::new();
        for kind in self.plant.kinds() {
            let first = kinds.len();
            for n in kind.into_iter().filter(|n| branches[*n].open) {
                match kinds[first..].iter_mut().find(|kind| alike(kind[0], n)) {
                    Some(kind) => kind.push(n),
                    None => kinds.push(vec![n]),
                }
            }
        }
        kinds
    }

    /// The kind of lift that has most air for its peak, throttled.
    fn throttles(
        &self,
        kinds: &[Vec<usize>],
        steady: &Steady,
        places: &[LiftPlace],
    ) -> Option<Vec<Remedy>> {
        let greed = |kind: &&Vec<usize>| {
            let peak = places[kind[0]]
                .peak
                .map_or(f64::MIN_POSITIVE, |p| p.air.kg_per_s());
            steady.running.split.branches[kind[0]].air.kg_per_s() / peak.max(f64::MIN_POSITIVE)
        };
        let lifts = kinds.iter().max_by(|a, b| greed(a).total_cmp(&greed(b)))?;
        let past_peak = is_past_peak(&places[lifts[0]]);
        if kinds.len() < 2 && !past_peak {
            return None;
        }
        let branch = &self.plant.manifold.header().branches[lifts[0]];
        let widest = branch
            .orifice
            .map_or(branch.line.bore, |hole| hole.diameter);
        let holes = THROTTLED.map(|share| branch.line.bore * share).into_iter();
        let holes =
            holes.filter(|hole| *hole < widest && HOLE_DIAMETER.contains(hole.get::<millimeter>()));
        let throttle = |hole| Remedy::Throttle {
            lifts: lifts.clone(),
            hole,
        };
        Some(holes.map(throttle).collect())
    }

    /// A plate in each open branch, so that each lift gets the air for what is asked of it, or for its best efficiency.
    fn fitted(&self, steady: &Steady, places: &[LiftPlace]) -> Vec<Remedy> {
        let lifts = &self.plant.manifold;
        let Ok(predictors) = lifts.predictors() else {
            return Vec::new();
        };
        let wanted = |n: usize| {
            let asked = self.asked.get(n).copied().flatten();
            let asked = asked.and_then(|flow| predictors[n].air_for(flow, Wanted::Predicted).ok());
            let point = asked.or(places[n].best).or(places[n].peak);
            point.map_or(AirFlow::from_kg_per_s(0.0), |point| point.air)
        };
        let airs: Vec<AirFlow> = (0..predictors.len()).map(wanted).collect();
        let branches = &lifts.header().branches;
        if (0..airs.len()).any(|n| branches[n].open && airs[n].kg_per_s() <= 0.0) {
            return Vec::new();
        }
        let header = steady.manifold.header();
        let fit = |loss_pa: f64| {
            let loss: Pressure = base(loss_pa);
            let water = lifts.water_running(&airs).ok()?;
            let hole = Orifice::new(base(1e-3));
            let balanced = header.balanced(&airs, &water, hole, loss).ok()?;
            let drills = balanced.diameters().into_iter().map(|diameter| {
                let drill = diameter.map(|diameter| DrillSize::nearest(diameter, self.drills));
                drill.transpose()
            });
            Some(Remedy::FitHoles {
                drills: drills.collect::<Result<_, _>>().ok()?,
            })
        };
        let mut all: Vec<Remedy> = FITTED_LOSS_PA.into_iter().filter_map(fit).collect();
        all.dedup();
        all
    }

    /// Other speeds and numbers of blowers.
    fn speeds(&self, aim: Aim, steady: &Steady) -> Vec<Vec<Remedy>> {
        let Some(blowers) = &self.plant.blowers else {
            return Vec::new();
        };
        if self.source != AirSource::Blowers {
            return Vec::new();
        }
        let at = |share: f64| Remedy::Speed {
            speed: self.speed * share,
        };
        let mut all = vec![match aim {
            Aim::Power => self.slowest(steady).into_iter().collect(),
            Aim::Water | Aim::Asked => vec![at(0.8), at(0.9), at(1.1)],
        }];
        let (mut counts, running) = (Vec::new(), blowers.running);
        if blowers.standby > 0 {
            counts.push(running + 1);
        }
        if running > 1 {
            counts.push(running - 1);
        }
        all.extend(
            counts
                .into_iter()
                .map(|running| vec![Remedy::Blowers { running }]),
        );
        all
    }

    /// The slowest speed that still gives all that is asked for.
    fn slowest(&self, steady: &Steady) -> Option<Remedy> {
        let speed = |share: f64| Remedy::Speed {
            speed: self.speed * share,
        };
        let meets = |share: f64| {
            let found = self.with_remedy(&speed(share), steady);
            found.is_ok_and(|found| self.meets(&found))
        };
        let (mut low, mut high) = (SPEED_RATIO.min / self.speed.get::<ratio>(), 1.0);
        for _ in 0..BISECTIONS {
            let middle = f64::midpoint(low, high);
            if meets(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        (high < 1.0).then(|| speed(high))
    }

    /// Wider pipe for the branches that cost most, the main line and the header.
    fn wider(&self, steady: &Steady) -> Vec<Vec<Remedy>> {
        let header = self.plant.manifold.header();
        let flows = &steady.running.split.branches;
        let open = |n: &usize| header.branches[*n].open && flows[*n].air.kg_per_s() > 0.0;
        let running = (0..flows.len()).filter(open);
        let loss = |n: &usize| flows[*n].line_loss.value;
        let mut all = Vec::new();
        if let Some(most) = running.max_by(|a, b| loss(a).total_cmp(&loss(b))) {
            let bore = header.branches[most].line.bore;
            let alike = |n: &usize| header.branches[*n].line.bore == bore;
            let lifts: Vec<usize> = (0..flows.len()).filter(alike).collect();
            let run = self.piping.branches.get(most);
            let (bore, pipe) = next(bore, run);
            all.push(vec![Remedy::WidenBranches { lifts, bore, pipe }]);
        }
        if self.plant.main.length.value > 0.0 && self.source == AirSource::Blowers {
            let (bore, pipe) = next(self.plant.main.bore, Some(&self.piping.main));
            all.push(vec![Remedy::WidenMain { bore, pipe }]);
        }
        if header
            .branches
            .iter()
            .any(|branch| branch.distance != header.feed)
        {
            let (bore, pipe) = next(header.pipe.bore, Some(&self.piping.header));
            all.push(vec![Remedy::WidenHeader { bore, pipe }]);
        }
        all
    }
}

impl Steady {
    /// Water of all lifts, m³/s.
    fn water(&self) -> f64 {
        let water: VolumeRate = self.running.water_flow();
        water.value
    }

    /// Power at the wire, or in the air where that is not known, W.
    fn power(&self) -> f64 {
        self.wire_power.unwrap_or(self.air_power).value
    }
}

/// The depth at which lifts without air would start, in whole centimetres; none for no such lift, or where it is too
/// near to the surface.
fn starting_depth(steady: &Steady, silent: &[usize]) -> Option<Length> {
    let (lifts, flows) = (&steady.manifold, &steady.running.split.branches);
    let depth = |n: &usize| {
        let riser = &lifts.risers()[*n];
        let startup = lifts.header().branches[*n].startup_loss();
        let left = flows[*n].header_pressure - riser.site().atmosphere - startup;
        let weight = riser.site().water.si().rho * GRAVITY_M_PER_S2;
        (left.value - START_RESERVE_PA) / weight
    };
    let shallowest = silent.iter().map(depth).min_by(f64::total_cmp)?;
    let depth_m = (100.0 * shallowest).floor() / 100.0;
    (depth_m >= SHALLOWEST_M).then(|| Length::new::<meter>(depth_m))
}

fn is_past_peak(place: &LiftPlace) -> bool {
    place.place == CurvePlace::PastPeak
}

/// What is gained; none within what is not worth a word.
#[allow(
    clippy::option_option,
    reason = "no gain is no answer, a gain over nothing is one"
)]
fn gain(before: Option<f64>, score: f64) -> Option<Option<f64>> {
    let before = before?;
    if before == 0.0 {
        return (score > 0.0).then_some(None);
    }
    let gain = (score - before) / before.abs();
    (gain >= LEAST_GAIN).then_some(Some(gain))
}

/// The next wider pipe of a run's series, or a bore a quarter wider.
fn next(bore: Length, run: Option<&PipeRun>) -> (Length, Option<Arc<Pipe>>) {
    let others = run.filter(|run| run.pipe.is_some()).map(|run| &run.others);
    let wider = others
        .into_iter()
        .flatten()
        .filter(|pipe| pipe.bore() > bore);
    let next = wider.min_by(|a, b| a.bore().value.total_cmp(&b.bore().value));
    match next {
        Some(pipe) => (pipe.bore(), Some(Arc::clone(pipe))),
        None => (bore * WIDER, None),
    }
}
