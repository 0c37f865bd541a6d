//! Predictions of one riser with their intervals.

use std::cell::{Cell, OnceCell};

use super::calibration::holds_at;
use super::doubt::{Cause, Doubt, Variants, stretches, unlike_the_rigs};
use super::interval::{Basis, Interval};
use super::law::ErrorLaw;
use super::posterior::{Expected, Points};
use crate::air::AirFlow;
use crate::caution::{Caution, Difference};
use crate::curve::Curve;
use crate::error::{Error, Input, Solve};
use crate::riser::{BrinkHead, OperatingPoint, Outcome, Outlet, Riser, WATER_FLOW};
use crate::solve::{Bracket, Tolerance, bracketed, fallible};
use crate::units::{Length, Ratio, VolumeRate, base, liter_per_minute};

/// Shares of the peak flow between which an interval goes over from solved ends to slopes.
const SOLVED: f64 = 0.2;
pub(crate) const BY_SLOPES: f64 = 0.3;
/// Upper end over the flow from which it is held against what no cause can exceed: our own choice.
const WIDE: f64 = 3.0;
/// Reach of measured points: in the ratio of air flows, and in submergence ratio. The project's own trials.
const AIR_REACH: f64 = 2.0;
const DEPTH_REACH: f64 = 0.15;
/// Places in the range of ln(air) where readings tell most: the project's own trials.
const READINGS_AT: [f64; 3] = [0.1, 0.5, 0.9];
/// Standard uncertainty of a reading that is yet to be made, of ln q: our own choice.
pub(crate) const READING_NOISE: f64 = 0.03;
/// How a highest point is sought around the model's, in ln(air): so many tries on each side, so far apart, and then to
/// this step.
const TRIES: i8 = 4;
const TRY: f64 = 0.35;
const PEAK_STEP: f64 = 1e-3;

/// A predicted flow and where the true one lies.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Prediction {
    /// What the riser does: the model's answer, times what a bench trial found of it.
    pub outcome: Outcome,
    /// Where the true water flow lies; none at a submergence ratio below 0.4, where the law does not hold.
    pub interval: Option<Interval>,
}

/// Which flow is to be as wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Wanted {
    /// The predicted one.
    #[default]
    Predicted,
    /// The lower end of its interval.
    LowerEnd,
}

/// One riser, with what is known of how far its predictions are off.
///
/// # Examples
/// ```
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::uncertainty::{Basis, ErrorLaw};
/// use risewater::units::*;
/// use risewater::{AirFlow, AirState, Model, Water};
///
/// let site = Site {
///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// };
/// let riser = RiserSpec::new(Dimensions {
///     bore: Length::new::<millimeter>(77.3),
///     submergence: Length::new::<meter>(1.2),
///     lift: Length::new::<meter>(0.15),
/// })
/// .build(&site, Model::default())?;
/// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(80.0), &AirState::DRY_20_C)?;
/// let predictor = ErrorLaw::default().on(&riser)?;
/// let found = predictor.predict(air)?;
/// let interval = found.interval.ok_or("no interval")?;
/// assert_eq!(interval.basis, Basis::PublishedRigs);
/// // An independent implementation of the law has 0.414492 for the standard deviation of ln q.
/// let half = 0.5 * (interval.high / interval.low).get::<ratio>().ln();
/// assert_eq!(format!("{:.2}", half / 1.281_552), "0.41");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Predictor {
    riser: Riser,
    level: Ratio,
    z: f64,
    points: Points,
    /// Places of those points in the trial.
    of: Vec<usize>,
    another: Option<Difference>,
    model_peak: OnceCell<OperatingPoint>,
    peak: OnceCell<OperatingPoint>,
    surest: OnceCell<AirFlow>,
    /// How far the last air for a flow was from the usual one, as a factor on its distance from the peak's.
    beside_usual: Cell<f64>,
}

impl Predictor {
    pub(super) fn of(riser: &Riser, law: &ErrorLaw) -> Result<Self, Error> {
        let known = law
            .calibration()
            .map(|trial| trial.alike(riser))
            .transpose()?;
        let (points, of, another) = match known {
            Some(Ok(known)) => (known.points, known.of, None),
            Some(Err(part)) => (Points::none(), Vec::new(), Some(part)),
            None => (Points::none(), Vec::new(), None),
        };
        Ok(Self {
            riser: *riser,
            level: law.level(),
            z: law.coverage_factor(),
            points,
            of,
            another,
            model_peak: OnceCell::new(),
            peak: OnceCell::new(),
            surest: OnceCell::new(),
            beside_usual: Cell::new(1.0),
        })
    }

    /// The riser.
    #[must_use]
    pub fn riser(&self) -> &Riser {
        &self.riser
    }

    /// The measured points that count here.
    #[must_use]
    pub fn points(&self) -> &Points {
        &self.points
    }

    /// Places of those points in the trial.
    #[must_use]
    pub fn places(&self) -> &[usize] {
        &self.of
    }

    /// Whether a bench trial speaks here.
    #[must_use]
    pub fn basis(&self) -> Basis {
        if self.of.is_empty() {
            Basis::PublishedRigs
        } else {
            Basis::BenchTrial
        }
    }

    /// Why a trial that is there says nothing of this riser.
    #[must_use]
    pub fn another_rig(&self) -> Option<Difference> {
        self.another
    }

    /// What the riser does at an air flow, and how sure that is.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn predict(&self, air: AirFlow) -> Result<Prediction, Error> {
        self.of_outcome(self.riser.operate(air)?, air)
    }

    /// The same of what the model has found already.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn of_outcome(&self, outcome: Outcome, air: AirFlow) -> Result<Prediction, Error> {
        let variants = Variants::of(&self.riser, air, outcome.point());
        let doubt = Doubt::at(&variants)?;
        let expected = self.points.expected(&doubt);
        Ok(Prediction {
            outcome: outcome.times(expected.mean.exp()),
            interval: self.interval(&variants, outcome.water_flow().value, &doubt, expected)?,
        })
    }

    /// What the riser does at an air flow: the model's answer, times what a bench trial found of it.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn operate(&self, air: AirFlow) -> Result<Outcome, Error> {
        self.calibrated(self.riser.operate(air)?)
    }

    /// The same of what the model has found already.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn calibrated(&self, outcome: Outcome) -> Result<Outcome, Error> {
        match outcome.point() {
            Some(point) if self.basis() == Basis::BenchTrial => {
                let expected = self.points.expected(&Doubt::of(&self.riser, point)?);
                Ok(outcome.times(expected.mean.exp()))
            }
            _ => Ok(outcome),
        }
    }

    /// Limits of the flow at a point of the model, or where there is none.
    fn interval(
        &self,
        variants: &Variants,
        flow: f64,
        doubt: &Doubt,
        expected: Expected,
    ) -> Result<Option<Interval>, Error> {
        if !holds_at(&self.riser) {
            return Ok(None);
        }
        // 1 where slopes serve, 0 where ends are solved.
        let weight = if flow > 0.0 {
            let share = flow / self.model_peak()?.water_flow.value;
            ((share - SOLVED) / (BY_SLOPES - SOLVED)).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let mut sides = [-self.z, self.z].map(|z| flow * (z * expected.standard).exp());
        if sides[1] > WIDE * flow && flow > 0.0 {
            // What no cause can exceed; never narrower than where this begins, so that levels keep their order.
            let most = variants.best()? * (self.z * self.points.unexplained(doubt)).exp();
            sides[1] = sides[1].min(most.max(WIDE * flow));
        }
        if weight < 1.0 {
            let solved = self.solved_sides(variants, flow, doubt)?;
            for (side, solved) in sides.iter_mut().zip(solved) {
                *side = weight * *side + (1.0 - weight) * solved;
            }
        }
        let calibrated = expected.mean.exp();
        Ok(Some(self.limits(sides.map(|side| side * calibrated))))
    }

    fn limits(&self, [low, high]: [f64; 2]) -> Interval {
        Interval {
            level: self.level,
            low: base(low),
            high: base(high),
            basis: self.basis(),
        }
    }

    /// Limits by solving at the ends of what is uncertain, each change of ln q by itself, combined by root of squares
    /// on each side; zero on a side on which nothing flows.
    ///
    /// As the flow goes to none the logarithms grow without bound, and with several of them so does their root of
    /// squares beside what flows at any end. So the upper limit is never more than the changes of the flow itself
    /// combined in the same way, times what has no cause; where none flows it is that.
    fn solved_sides(
        &self,
        variants: &Variants,
        flow: f64,
        doubt: &Doubt,
    ) -> Result<[f64; 2], Error> {
        let unexplained = self.z * self.points.unexplained(doubt);
        let mut squares = [unexplained * unexplained; 2];
        let (mut stops, mut rises) = (flow <= 0.0, 0.0);
        for end in self.ends(variants)? {
            let change = (end / flow).ln();
            if end <= 0.0 {
                stops = true;
            } else {
                squares[usize::from(change > 0.0)] += change * change;
                rises += (end - flow).max(0.0).powi(2);
            }
        }
        let low = if stops {
            0.0
        } else {
            flow * (-squares[0].sqrt()).exp()
        };
        let most = (flow + rises.sqrt()) * unexplained.exp();
        let high = if flow > 0.0 {
            most.min(flow * squares[1].sqrt().exp())
        } else {
            most
        };
        Ok([low, high])
    }

    /// Flows with each source of error at both ends of what is left open of it.
    fn ends(&self, variants: &Variants) -> Result<Vec<f64>, Error> {
        let mut flows = Vec::new();
        for source in Cause::ALL {
            let deviations = self.z * self.points.left_open(source);
            flows.extend(variants.ends(source, deviations)?.into_iter().flatten());
        }
        Ok(flows)
    }

    /// The model's peak, solved once.
    pub(crate) fn model_peak(&self) -> Result<&OperatingPoint, Error> {
        once(&self.model_peak, || self.riser.peak())
    }

    /// The model's curve with about `points` operating points, its peak solved once.
    ///
    /// # Errors
    /// As [`Curve::of`].
    pub fn curve(&self, points: usize) -> Result<Curve, Error> {
        Curve::below(&self.riser, *self.model_peak()?, points)
    }

    /// The operating point of the largest predicted flow.
    ///
    /// # Errors
    /// As [`Riser::peak`].
    pub fn peak(&self) -> Result<OperatingPoint, Error> {
        let highest = || self.highest(*self.model_peak()?, |point| point.water_flow.value);
        once(&self.peak, highest).copied()
    }

    /// The operating point of the best predicted efficiency, sought from that of the model.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn best_efficiency(&self, model: OperatingPoint) -> Result<OperatingPoint, Error> {
        self.highest(model, |point| point.efficiency.value)
    }

    /// Where something of the predicted points is highest, from where it is so by the model.
    fn highest(
        &self,
        model: OperatingPoint,
        what: fn(&OperatingPoint) -> f64,
    ) -> Result<OperatingPoint, Error> {
        if self.basis() == Basis::PublishedRigs {
            return Ok(model);
        }
        let value = |air| Ok(self.operate(air)?.point().map_or(0.0, what));
        let best = self.operate(air_of_most(model.air, value)?)?;
        Ok(best.point().copied().unwrap_or(model))
    }

    /// The air flow at which the lower end of the interval is highest.
    fn surest(&self) -> Result<AirFlow, Error> {
        let value = |air| Ok::<_, Error>(self.held(Wanted::LowerEnd, air)?.value);
        once(&self.surest, || air_of_most(self.peak()?.air, value)).copied()
    }

    /// The flow that is held against a wanted one: the predicted one, or the lower end of its interval, none where
    /// that is not known.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn held(&self, which: Wanted, air: AirFlow) -> Result<VolumeRate, Error> {
        Ok(match which {
            Wanted::Predicted => self.operate(air)?.water_flow(),
            Wanted::LowerEnd => {
                let interval = self.predict(air)?.interval;
                interval.map_or(base(0.0), |interval| interval.low)
            }
        })
    }

    /// The largest flow that can be wanted.
    ///
    /// # Errors
    /// As [`Predictor::peak`].
    pub fn most(&self, which: Wanted) -> Result<VolumeRate, Error> {
        Ok(match which {
            Wanted::Predicted => self.peak()?.water_flow,
            Wanted::LowerEnd => self.held(which, self.surest()?)?,
        })
    }

    /// The operating point at which the predicted flow, or the lower end of its interval, is as wanted: the one with
    /// less air than where it is highest.
    ///
    /// # Errors
    /// As [`Riser::air_for`]; [`Error::NoInterval`] where a lower end is wanted and there is none.
    pub fn air_for(&self, water_flow: VolumeRate, which: Wanted) -> Result<OperatingPoint, Error> {
        if which == Wanted::Predicted && self.basis() == Basis::PublishedRigs {
            return self.model_air_for(water_flow);
        }
        WATER_FLOW.check(Input::WaterFlow, water_flow.get::<liter_per_minute>())?;
        if which == Wanted::LowerEnd && !holds_at(&self.riser) {
            return Err(Error::NoInterval {
                submergence_ratio: self.riser.spec().submergence_ratio(),
            });
        }
        let top = match which {
            Wanted::Predicted => self.peak()?.air,
            Wanted::LowerEnd => self.surest()?,
        };
        let wanted = water_flow.value;
        let excess = |air: AirFlow| Ok::<_, Error>(self.held(which, air)?.value - wanted);
        let most = excess(top)?;
        if most < 0.0 {
            return Err(Error::AbovePeak {
                target: water_flow,
                peak_flow: base(most + wanted),
                peak_air: top.volume_rate_at_20_c(),
            });
        }
        let threshold = self.riser.threshold()?;
        let least = threshold.map_or(top.kg_per_s(), AirFlow::kg_per_s);
        // Where water runs without air there is no logarithm to start from.
        let start = least.max(1e-6 * top.kg_per_s());
        let at = |x: f64| AirFlow::from_kg_per_s(x.exp());
        let (low, high) = (start.ln(), top.kg_per_s().ln());
        let f_low = excess(at(low))?;
        if f_low >= 0.0 {
            return Err(Error::RunsWithoutAir {
                target: water_flow,
                free_flow: base(f_low + wanted),
            });
        }
        let bracket = Bracket {
            low,
            f_low,
            high,
            f_high: most,
        };
        let tolerance = Tolerance {
            relative: 0.0,
            absolute: 1e-9,
            // An end of an interval is no closer than that where a closure bends.
            residual: 1e-4 * wanted,
            rounding: 1e-12 * wanted,
        };
        let x = fallible(
            |x: f64| excess(at(x)),
            |excess| bracketed(Solve::AirFlow, bracket, tolerance, excess),
        )?;
        let point = self.operate(at(x))?.point().copied();
        point.ok_or(Error::NotConverged {
            what: Solve::AirFlow,
            iterations: 0,
            residual: wanted,
            low: low.exp(),
            high: high.exp(),
        })
    }

    /// The model's point of a flow, sought from where it is on most curves where the peak is known.
    fn model_air_for(&self, water_flow: VolumeRate) -> Result<OperatingPoint, Error> {
        let peak = self
            .model_peak
            .get()
            .filter(|peak| peak.air.kg_per_s() > 0.0);
        let usual = peak.and_then(|peak| {
            let share = (water_flow / peak.water_flow).value;
            let below = share > 0.0 && share < 1.0;
            below.then(|| (peak.air.kg_per_s(), usual_distance(share)))
        });
        let Some((air, distance)) = usual else {
            return self.riser.air_for(water_flow);
        };
        let guess = air * (-distance * self.beside_usual.get()).exp();
        let found = self
            .riser
            .air_for_near(water_flow, Some(AirFlow::from_kg_per_s(guess)))?;
        let beside = (air / found.air.kg_per_s()).ln() / distance;
        if beside.is_finite() {
            self.beside_usual.set(beside);
        }
        Ok(found)
    }

    /// Standard deviation of ln q at an air flow, before or after more readings of the usual worth at other air
    /// flows of this riser; none where nothing flows.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn standard(&self, air: AirFlow, more: &[AirFlow]) -> Result<Option<f64>, Error> {
        let Some(at) = self.doubt(air)? else {
            return Ok(None);
        };
        let mut doubts = Vec::new();
        for air in more {
            doubts.extend(self.doubt(*air)?);
        }
        let after = self.points.after(doubts, READING_NOISE);
        Ok(Some(after.expected(&at).standard))
    }

    /// The doubt of the model's point at an air flow; none where nothing flows.
    pub(crate) fn doubt(&self, air: AirFlow) -> Result<Option<Doubt>, Error> {
        let outcome = self.riser.operate(air)?;
        outcome
            .point()
            .map(|point| Doubt::of(&self.riser, point))
            .transpose()
    }

    /// Air flows at which three readings tell most of what this riser does near an air flow: 10, 50 and 90 % of the
    /// range of ln(air) from half of it to twice, as far as that lies between three tenths of the peak's flow and the
    /// peak. None where any air slows what runs by gravity: there the peak has none.
    ///
    /// # Errors
    /// As [`Riser::peak`].
    pub fn three_readings(&self, air: AirFlow) -> Result<Option<[AirFlow; 3]>, Error> {
        let peak = *self.model_peak()?;
        if peak.air.kg_per_s() <= 0.0 {
            return Ok(None);
        }
        let first = match self.riser.air_for(peak.water_flow * BY_SLOPES) {
            Ok(point) => point.air.kg_per_s(),
            // Where as much runs without air.
            Err(Error::RunsWithoutAir { .. }) => 0.05 * peak.air.kg_per_s(),
            Err(error) => return Err(error),
        };
        let last = peak.air.kg_per_s().ln();
        let first = first.ln().min(last);
        let (own, used) = (air.kg_per_s().ln(), AIR_REACH.ln());
        let low = (own - used).clamp(first, last);
        let high = (own + used).clamp(low, last);
        let at = |share: f64| AirFlow::from_kg_per_s((low + share * (high - low)).exp());
        Ok(Some(READINGS_AT.map(at)))
    }

    /// An air flow with those two of [the three](Self::three_readings) that are farther from it, in order; alone where
    /// there are none.
    ///
    /// # Errors
    /// As [`Riser::peak`].
    pub fn readings_around(&self, air: AirFlow) -> Result<Vec<AirFlow>, Error> {
        let Some(mut all) = self.three_readings(air)? else {
            return Ok(vec![air]);
        };
        let off = |one: &AirFlow| (one.kg_per_s() / air.kg_per_s()).ln().abs();
        let nearest = all.iter_mut().min_by(|a, b| off(a).total_cmp(&off(b)));
        if let Some(nearest) = nearest {
            *nearest = air;
        }
        all.sort_by(|a, b| a.kg_per_s().total_cmp(&b.kg_per_s()));
        Ok(all.to_vec())
    }

    /// Half of the interval's width that three readings on the bench would leave, as a share of the flow: one
    /// [at the air flow itself and two around it](Self::readings_around), as a planned trial has them. None where the
    /// flow is below three tenths of the peak's, where the law does not hold, or where there are no such readings.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn after_three_readings(&self, air: AirFlow) -> Result<Option<Ratio>, Error> {
        self.after_readings(air, || {
            let three = self.readings_around(air)?;
            Ok((three.len() == READINGS_AT.len()).then_some(three))
        })
    }

    /// The same of one reading at the air flow itself.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn after_one_reading(&self, air: AirFlow) -> Result<Option<Ratio>, Error> {
        self.after_readings(air, || Ok(self.three_readings(air)?.map(|_| vec![air])))
    }

    /// Readings are asked for where water flows at all.
    fn after_readings(
        &self,
        air: AirFlow,
        readings: impl FnOnce() -> Result<Option<Vec<AirFlow>>, Error>,
    ) -> Result<Option<Ratio>, Error> {
        let flow = self.riser.operate(air)?.water_flow();
        if !holds_at(&self.riser)
            || flow.value <= 0.0
            || flow < self.model_peak()?.water_flow * BY_SLOPES
        {
            return Ok(None);
        }
        let Some(readings) = readings()? else {
            return Ok(None);
        };
        let standard = self.standard(air, &readings)?;
        Ok(standard.map(|standard| base((self.z * standard).exp_m1())))
    }

    /// Share of the variance of ln q at an air flow that each source has before or after a trial; the rest is rig
    /// and shape. None where nothing flows.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn shares(&self, air: AirFlow) -> Result<Option<[f64; 4]>, Error> {
        Ok(self.doubt(air)?.map(|doubt| {
            let all = self.points.expected(&doubt).standard.powi(2);
            Cause::ALL.map(|source| {
                let own = source.prior() * self.points.left_open(source) * doubt.scaled(source);
                own * own / all
            })
        }))
    }

    /// What the interval should be read with.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn cautions(&self, air: AirFlow) -> Result<Vec<Caution>, Error> {
        let mut cautions = Vec::new();
        if let Some(part) = self.another {
            cautions.push(Caution::AnotherRig { part });
        }
        if holds_at(&self.riser) {
            let wider: Vec<_> = stretches(&self.riser).collect();
            if !wider.is_empty() {
                cautions.push(Caution::IntervalStretched { wider });
            }
            // A trial of this rig has its injector in it.
            if self.basis() == Basis::PublishedRigs
                && let Some(injector) = unlike_the_rigs(self.riser.spec())
            {
                let injector = injector.words();
                cautions.push(Caution::InjectorUnlikeRigs { injector });
            }
        }
        if let Some(at) = self.doubt(air)?
            && self.basis() == Basis::BenchTrial
        {
            let readings = self.points.readings().iter();
            let away = |reading: &super::ReadPoint| {
                let depth = (reading.doubt.submergence_ratio() - at.submergence_ratio()).abs();
                (depth, (reading.doubt.ln_froude() - at.ln_froude()).abs())
            };
            let away: Vec<(f64, f64)> = readings.map(away).collect();
            let depth = away.iter().map(|a| a.0).fold(f64::INFINITY, f64::min);
            // Of the points within reach in depth, or of all where none is.
            let air = away
                .iter()
                .filter(|a| a.0 <= depth.max(DEPTH_REACH))
                .map(|a| a.1)
                .fold(f64::INFINITY, f64::min);
            if air > AIR_REACH.ln() {
                cautions.push(Caution::BeyondTrialAir { times: air.exp() });
            }
            if depth > DEPTH_REACH {
                cautions.push(Caution::BeyondTrialDepth { away: depth });
            }
        }
        Ok(cautions)
    }

    /// The question how the water leaves, where the outlet is taken for a plain end for want of an answer and much
    /// hangs on it: an elbow at the same height would change the flow by a fifth or more.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn outlet_question(&self, air: AirFlow) -> Result<Option<Caution>, Error> {
        /// ln of the ratio of flows from which the outlet decides: our own choice.
        const DECIDES: f64 = 0.2;
        let Outlet::Plain { loss } = self.riser.spec().outlet else {
            return Ok(None);
        };
        // A trial of this rig has its outlet in it.
        if self.basis() == Basis::BenchTrial {
            return Ok(None);
        }
        let elbow = Outlet::Elbow {
            loss,
            bore: None,
            head: BrinkHead::default(),
        };
        let other = self.riser.with_spec(self.riser.spec().with_outlet(elbow))?;
        let [plain, elbow] = [self.riser, other].map(|riser| riser.operate(air));
        let [plain, elbow] = [plain?.water_flow(), elbow?.water_flow()];
        let decides = plain.value > 0.0 && elbow.value < plain.value * (-DECIDES).exp();
        Ok(decides.then(|| Caution::OutletDecides {
            plain_l_per_min: plain.get::<liter_per_minute>(),
            elbow_l_per_min: elbow.get::<liter_per_minute>(),
        }))
    }

    /// The smallest submergence, with this riser's lift, at which an air flow gives a wanted water flow; the
    /// predictor of the riser there. Where measured points come into reach the calibrated flow jumps with depth: then
    /// the side of the jump that gives enough.
    ///
    /// # Errors
    /// As [`Riser::submergence_for`].
    pub fn deepened(
        law: &ErrorLaw,
        riser: &Riser,
        (water_flow, air): (VolumeRate, AirFlow),
        deepest: Length,
    ) -> Result<Self, Error> {
        /// Factor on the model's flow between tries.
        const STEP: f64 = 1.1;
        /// Of the depth, where bisection ends.
        const SETTLED: f64 = 1e-12;
        let model = |flow: VolumeRate| riser.submergence_for(flow, air, deepest);
        let at = |submergence: Length| {
            let mut spec = *riser.spec();
            spec.dimensions.submergence = submergence;
            let there = law.on(&riser.with_spec(spec)?)?;
            let enough = there.operate(air)?.water_flow() >= water_flow;
            Ok::<_, Error>((there, enough))
        };
        if law.calibration().is_none() {
            return Ok(at(model(water_flow)?)?.0);
        }
        let mut target = water_flow;
        let mut shallow = model(target)?;
        let (mut there, enough) = at(shallow)?;
        let mut deep = shallow;
        if enough {
            loop {
                target /= STEP;
                shallow = model(target)?;
                let (tried, enough) = at(shallow)?;
                if !enough {
                    break;
                }
                (deep, there) = (shallow, tried);
            }
        } else {
            loop {
                target *= STEP;
                deep = model(target)?;
                let (tried, enough) = at(deep)?;
                if enough {
                    there = tried;
                    break;
                }
                shallow = deep;
            }
        }
        while deep - shallow > SETTLED * deep {
            let middle = 0.5 * (shallow + deep);
            match at(middle)? {
                (tried, true) => (deep, there) = (middle, tried),
                (_, false) => shallow = middle,
            }
        }
        Ok(there)
    }
}

/// About how far the air of a share of the peak's flow is below the peak's, in its logarithm: on a curve of q over ln(air)
/// that falls as a parabola whose bend grows with the share. It only saves tries: taken from one riser.
fn usual_distance(share: f64) -> f64 {
    ((1.0 - share) / (0.066 + 0.062 * share)).sqrt()
}

/// What a cell holds, found once.
fn once<T>(cell: &OnceCell<T>, find: impl FnOnce() -> Result<T, Error>) -> Result<&T, Error> {
    if let Some(known) = cell.get() {
        return Ok(known);
    }
    let found = find()?;
    Ok(cell.get_or_init(|| found))
}

/// The air flow at which a value is highest, sought around another.
fn air_of_most(
    around: AirFlow,
    value: impl Fn(AirFlow) -> Result<f64, Error>,
) -> Result<AirFlow, Error> {
    /// Golden section, (√5 − 1)/2.
    const GOLDEN: f64 = 0.618_033_988_749_895;
    if around.kg_per_s() <= 0.0 {
        return Ok(around);
    }
    let air = |x: f64| AirFlow::from_kg_per_s(x.exp());
    let mut best = (around.kg_per_s().ln(), value(around)?);
    let centre = best.0;
    for n in -TRIES..=TRIES {
        let x = centre + TRY * f64::from(n);
        let tried = value(air(x))?;
        if tried > best.1 {
            best = (x, tried);
        }
    }
    let (mut low, mut high) = (best.0 - TRY, best.0 + TRY);
    let mut inner = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
    let mut values = [value(air(inner[0]))?, value(air(inner[1]))?];
    while high - low > PEAK_STEP {
        if values[0] >= values[1] {
            high = inner[1];
            inner = [high - GOLDEN * (high - low), inner[0]];
            values = [value(air(inner[0]))?, values[0]];
        } else {
            low = inner[0];
            inner = [inner[1], low + GOLDEN * (high - low)];
            values = [values[1], value(air(inner[1]))?];
        }
    }
    let x = 0.5 * (low + high);
    Ok(air(if value(air(x))? > best.1 { x } else { best.0 }))
}
