//! Lifts on one header: air and water of all of them together.
//!
//! A riser that pumps faster leaves less pressure at its foot and so draws more air: header and risers are
//! solved in turn until neither moves, with the pressure at each foot as a line of its air between turns.

use super::branch::WaterPressure;
use super::feed::{AirFeed, Ends};
use super::header::{BRANCHES, Header, Split};
use super::net::Net;
use crate::air::AirFlow;
use crate::error::{Error, Input, Solve};
use crate::riser::{Outcome, Riser};
use crate::uncertainty::{ErrorLaw, Predictor};
use crate::units::{AbsolutePressure, GRAVITY_M_PER_S2, Length, VolumeRate, base};

/// Turns of header and risers; three or four do, and many where a riser near its threshold swings.
const TURNS: usize = 300;
/// Change of a foot's pressure, over that pressure, that ends the turns.
const SETTLED: f64 = 1e-10;
/// Turns after which each is halved, where a riser's curve makes them swing.
const PATIENT_TURNS: usize = 12;
/// Change, relative as [`SETTLED`], below which halved turns are whole again: halves alone creep. Where whole turns
/// swing once more, the next time it is by [`CLOSER`] as much.
const CLOSE: f64 = 1e-5;
const CLOSER: f64 = 0.1;

/// A header and the riser at the end of each of its branches.
///
/// # Examples
/// ```
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::supply::{AirLine, Branch, AirFeed, Header, Manifold};
/// use risewater::units::*;
/// use risewater::{Model, Water};
///
/// let m = Length::new::<meter>;
/// let site = Site {
///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?,
///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// };
/// let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.2), lift: m(0.15) })
///     .build(&site, Model::default())?;
/// let drop = AirLine::new(Length::new::<millimeter>(10.0), m(2.5));
/// let header = Header::new(
///     AirLine::new(Length::new::<millimeter>(52.5), m(0.0)),
///     vec![Branch::new("near", m(2.0), drop), Branch::new("far", m(30.0), drop)],
/// );
/// let manifold = Manifold::new(header, vec![riser; 2])?;
/// let running = manifold.run(&AirFeed::Pressure(AbsolutePressure::new::<kilopascal>(115.0)))?;
/// assert!(running.lifts[0].water_flow() > running.lifts[1].water_flow());
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Manifold {
    header: Header,
    risers: Vec<Riser>,
    law: ErrorLaw,
}

/// A manifold at work.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Running {
    /// The air.
    pub split: Split,
    /// What each riser does with it, in the header's order.
    pub lifts: Vec<Outcome>,
}

impl Running {
    /// Water flow of all lifts together.
    #[must_use]
    pub fn water_flow(&self) -> VolumeRate {
        self.lifts
            .iter()
            .map(Outcome::water_flow)
            .fold(base(0.0), |sum: VolumeRate, flow| sum + flow)
    }
}

impl Manifold {
    /// One riser a branch, in the header's order. The air enters at the depth of the riser's submergence.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`BRANCHES`], [`Error::RiserMissing`] when there are not as many risers
    /// as branches.
    ///
    /// # Examples
    /// See [`Manifold`].
    pub fn new(header: Header, risers: Vec<Riser>) -> Result<Self, Error> {
        #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
        BRANCHES.check(Input::Branches, header.branches.len() as f64)?;
        if risers.len() == header.branches.len() {
            Ok(Self {
                header,
                risers,
                law: ErrorLaw::default(),
            })
        } else {
            Err(Error::RiserMissing {
                branches: header.branches.len(),
                risers: risers.len(),
            })
        }
    }

    /// The same with what a bench trial found of its risers, and with another level of intervals.
    #[must_use]
    pub fn with_law(mut self, law: ErrorLaw) -> Self {
        self.law = law;
        self
    }

    /// How sure the water flows are.
    #[must_use]
    pub fn law(&self) -> &ErrorLaw {
        &self.law
    }

    /// What the law says of each riser; equal risers are asked once.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn predictors(&self) -> Result<Vec<Predictor>, Error> {
        let mut all: Vec<Predictor> = Vec::with_capacity(self.risers.len());
        for riser in &self.risers {
            let known = all.iter().find(|one| one.riser() == riser).cloned();
            all.push(match known {
                Some(known) => known,
                None => self.law.on(riser)?,
            });
        }
        Ok(all)
    }

    /// Water flows as a trial found them.
    fn calibrated(&self, lifts: Vec<Outcome>) -> Result<Vec<Outcome>, Error> {
        if self.law.calibration().is_none() {
            return Ok(lifts);
        }
        let pairs = self.predictors()?.into_iter().zip(lifts);
        pairs
            .map(|(predictor, outcome)| predictor.calibrated(outcome))
            .collect()
    }

    /// The header.
    #[must_use]
    pub fn header(&self) -> &Header {
        &self.header
    }

    /// The risers.
    #[must_use]
    pub fn risers(&self) -> &[Riser] {
        &self.risers
    }

    /// The same risers on another header.
    ///
    /// # Errors
    /// As [`Manifold::new`].
    pub fn with_header(&self, header: Header) -> Result<Self, Error> {
        let changed = Self::new(header, self.risers.clone())?;
        Ok(changed.with_law(self.law.clone()))
    }

    /// The same with the water of some lifts higher (or lower, below zero): of all lifts in one tank, say.
    ///
    /// # Errors
    /// As [`RiserSpec::build`](crate::RiserSpec::build): a level so low that it leaves the air inlet dry is
    /// no riser.
    pub fn with_level(&self, rise: Length, lifts: &[usize]) -> Result<Self, Error> {
        let mut changed = self.clone();
        for n in lifts {
            if let Some(riser) = changed.risers.get_mut(*n) {
                *riser = riser.with_spec(riser.spec().at_level(rise))?;
            }
        }
        Ok(changed)
    }

    /// The same with the air of some lifts let in higher (or deeper, below zero).
    ///
    /// # Errors
    /// As [`RiserSpec::build`](crate::RiserSpec::build).
    pub fn with_injection(&self, up: Length, lifts: &[usize]) -> Result<Self, Error> {
        let mut changed = self.clone();
        for n in lifts {
            if let Some(riser) = changed.risers.get_mut(*n) {
                let mut spec = *riser.spec();
                spec.dimensions.submergence -= up;
                *riser = riser.with_spec(spec)?;
            }
        }
        Ok(changed)
    }

    /// Pressure of the water at each injector when no air flows: what must be pushed out of the lines at
    /// start-up.
    #[must_use]
    pub fn water_at_rest(&self) -> Vec<AbsolutePressure> {
        self.risers
            .iter()
            .map(|riser| AbsolutePressure(base(at_rest_pa(riser))))
            .collect()
    }

    /// Header pressure that opens the last of the open branches when no air flows, check valve and all; none
    /// when all are closed.
    #[must_use]
    pub fn startup_pressure(&self) -> Option<AbsolutePressure> {
        let branches = self.header.branches.iter().zip(self.water_at_rest());
        branches
            .filter(|(branch, _)| branch.open)
            .map(|(branch, water)| water + branch.startup_loss())
            .max_by(|a, b| a.pascal().total_cmp(&b.pascal()))
    }

    /// Pressure of the water at each injector with the riser at work on an air flow.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub(crate) fn water_running(&self, air: &[AirFlow]) -> Result<Vec<AbsolutePressure>, Error> {
        let pairs = self.risers.iter().zip(air);
        pairs
            .map(|(riser, air)| {
                Ok(AbsolutePressure(base(foot_pa(
                    riser,
                    &riser.operate(*air)?,
                ))))
            })
            .collect()
    }

    /// What the feed gives against risers full of water at rest, before any of them runs.
    ///
    /// # Errors
    /// As [`Header::split_at`], and those of the feed.
    pub fn start(&self, feed: &AirFeed) -> Result<Split, Error> {
        let water: Vec<WaterPressure> = self
            .risers
            .iter()
            .map(|riser| WaterPressure::fixed(at_rest_pa(riser)))
            .collect();
        self.solve(feed, &water, Ends::Refused)
    }

    /// Header and risers at work, from risers full of water at rest: a lift that the header's pressure does not
    /// start stays without air.
    ///
    /// # Errors
    /// As [`Header::split_at`], and those of the feed.
    ///
    /// # Examples
    /// See [`Manifold`].
    pub fn run(&self, feed: &AirFeed) -> Result<Running, Error> {
        self.run_from(feed, None, Ends::Refused)
    }

    /// Header and risers at work, from lifts that run on some air flows already. Moving water relieves the foot of
    /// a riser, so a lift may keep its air at a pressure that would not start it.
    ///
    /// # Errors
    /// As [`Manifold::run`]; [`Error::NoReading`] when an air flow is missing.
    pub fn run_on(&self, feed: &AirFeed, air: &[AirFlow]) -> Result<Running, Error> {
        self.run_from(feed, Some(air), Ends::Refused)
    }

    /// Header and risers at work, from rest or from some air flows.
    pub(super) fn run_from(
        &self,
        feed: &AirFeed,
        air: Option<&[AirFlow]>,
        ends: Ends,
    ) -> Result<Running, Error> {
        let first = |(n, riser)| {
            let Some(air) = air else {
                return Ok(WaterPressure::fixed(at_rest_pa(riser)));
            };
            let air = air.get(n).ok_or(Error::NoReading {
                what: Input::AirFlow,
            })?;
            WaterPressure::near(riser, *air)
        };
        let water: Result<_, Error> = self.risers.iter().enumerate().map(first).collect();
        self.settled(feed, water?, ends)
    }

    fn settled(
        &self,
        feed: &AirFeed,
        mut water: Vec<WaterPressure>,
        ends: Ends,
    ) -> Result<Running, Error> {
        let mut moved = f64::INFINITY;
        let mut close = CLOSE;
        let mut halved = false;
        for turn in 0..TURNS {
            if turn >= PATIENT_TURNS {
                let swings = moved > close;
                if swings && !halved && turn > PATIENT_TURNS {
                    close *= CLOSER;
                }
                halved = swings;
            }
            let split = self.solve(feed, &water, ends)?;
            let mut lifts = Vec::with_capacity(self.risers.len());
            moved = 0.0;
            for ((riser, branch), water) in self.risers.iter().zip(&split.branches).zip(&mut water)
            {
                let outcome = riser.operate(branch.air)?;
                let (m, foot) = (branch.air.kg_per_s(), foot_pa(riser, &outcome));
                moved = f64::max(moved, (foot - water.at(m)).abs() / foot);
                water.learn(m, foot, turn == 0, halved);
                lifts.push(outcome);
            }
            if moved <= SETTLED {
                let lifts = self.calibrated(lifts)?;
                return Ok(Running { split, lifts });
            }
        }
        Err(Error::NotConverged {
            what: Solve::HeaderPressure,
            iterations: TURNS,
            residual: moved,
            low: 0.0,
            high: 0.0,
        })
    }

    fn solve(&self, feed: &AirFeed, water: &[WaterPressure], ends: Ends) -> Result<Split, Error> {
        let net = Net::of(&self.header, water)?;
        let (flows, pressure) = feed.solve(&net, ends)?;
        Ok(net.split(&flows, pressure))
    }
}

/// Step of the air flow for the slope of a foot's pressure, relative.
const SLOPE_STEP: f64 = 0.02;

impl WaterPressure {
    /// Of a riser at and near an air flow.
    fn near(riser: &Riser, air: AirFlow) -> Result<Self, Error> {
        let at_rest = at_rest_pa(riser);
        let m = air.kg_per_s();
        let foot = |m: f64| -> Result<f64, Error> {
            Ok(foot_pa(riser, &riser.operate(AirFlow::from_kg_per_s(m))?))
        };
        let known = foot(m)?;
        let slope = if m > 0.0 && known < at_rest {
            (known - foot(m * (1.0 - SLOPE_STEP))?) / (m * SLOPE_STEP)
        } else {
            0.0
        };
        Ok(Self {
            at_rest_pa: at_rest,
            known_pa: known,
            known_kg_per_s: m,
            slope,
            found_pa: known,
        })
    }

    /// Takes in the pressure found at a flow; the slope is that from the flow before.
    fn learn(&mut self, kg_per_s: f64, pa: f64, first: bool, halved: bool) {
        let (dm, dp) = (kg_per_s - self.known_kg_per_s, pa - self.found_pa);
        if halved {
            self.known_pa = f64::midpoint(self.at(kg_per_s), pa);
            self.slope = 0.0;
        } else {
            // The first turn may start from water at rest, which is no point of a running riser.
            if pa >= self.at_rest_pa {
                self.slope = 0.0;
            } else if !first && dm.abs() > 1e-9 * kg_per_s {
                self.slope = dp / dm;
            }
            self.known_pa = pa;
        }
        self.known_kg_per_s = kg_per_s;
        self.found_pa = pa;
    }
}

fn at_rest_pa(riser: &Riser) -> f64 {
    let site = riser.site();
    site.atmosphere.pascal()
        + site.water.si().rho * GRAVITY_M_PER_S2 * riser.spec().dimensions.submergence.value
}

/// Pressure of the water at the injector: that of the running riser, or that at rest where none flows.
fn foot_pa(riser: &Riser, outcome: &Outcome) -> f64 {
    outcome.point().map_or_else(
        || at_rest_pa(riser),
        |point| point.injection_pressure.pascal(),
    )
}
