//! Predictions of one riser with their intervals.

use std::cell::OnceCell;

use super::calibration::{Difference, holds_at};
use super::doubt::{Doubt, Source, Variants, stretches};
use super::interval::{Basis, Interval};
use super::law::ErrorLaw;
use super::posterior::{Expected, Points};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::{Error, Input, Solve};
use crate::riser::{BrinkHead, OperatingPoint, Outcome, Outlet, Riser, WATER_FLOW};
use crate::solve::{Bracket, Tolerance, bracketed, fallible};
use crate::units::{Length, Ratio, VolumeRate, base, liter_per_minute, meter, ratio};

/// Shares of the peak flow between which an interval goes over from solved ends to slopes.
const SOLVED: f64 = 0.2;
pub(crate) const BY_SLOPES: f64 = 0.3;
/// Reach of measured points: in the ratio of air flows, and in submergence ratio. The project's own trials.
const AIR_REACH: f64 = 2.0;
const DEPTH_REACH: f64 = 0.15;
/// Places in the range of ln(air) where readings tell most: the project's own trials.
const READINGS_AT: [f64; 3] = [0.1, 0.5, 0.9];
/// Standard uncertainty of a reading that is yet to be made, of ln q: our own choice.
pub(crate) const READING_NOISE: f64 = 0.03;
/// How far around the model's peak the calibrated one is sought, and to what step, in ln(air).
const PEAK_WINDOW: f64 = 0.7;
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// The predicted one.
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
    peak: OnceCell<OperatingPoint>,
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
            peak: OnceCell::new(),
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
        let Some(point) = outcome.point() else {
            return Ok(Prediction {
                outcome,
                interval: self.dry(air)?,
            });
        };
        let doubt = Doubt::of(&self.riser, point)?;
        let expected = self.points.expected(&doubt);
        Ok(Prediction {
            outcome: outcome.times(expected.mean.exp()),
            interval: self.interval(point, &doubt, expected)?,
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

    /// Limits of the flow at a point of the model.
    fn interval(
        &self,
        point: &OperatingPoint,
        doubt: &Doubt,
        expected: Expected,
    ) -> Result<Option<Interval>, Error> {
        if !holds_at(&self.riser) {
            return Ok(None);
        }
        let flow = point.water_flow.value;
        let share = flow / self.model_peak()?.water_flow.value;
        let by_slopes = [-self.z, self.z].map(|z| (z * expected.standard).exp());
        // 1 where slopes serve, 0 where ends are solved.
        let weight = ((share - SOLVED) / (BY_SLOPES - SOLVED)).clamp(0.0, 1.0);
        let mut sides = by_slopes;
        if weight < 1.0 {
            let solved = self.solved_sides(point, doubt)?;
            for (side, solved) in sides.iter_mut().zip(solved) {
                *side = weight * *side + (1.0 - weight) * solved;
            }
        }
        let calibrated = flow * expected.mean.exp();
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

    /// Limits over the flow by solving at the ends of what is uncertain, each change by itself, combined by root of
    /// squares on each side; zero on a side on which nothing flows.
    fn solved_sides(&self, point: &OperatingPoint, doubt: &Doubt) -> Result<[f64; 2], Error> {
        let unexplained = (self.z * self.points.unexplained(doubt)).powi(2);
        let mut squares = [unexplained; 2];
        let mut stops = false;
        for flow in self.ends(point.air, Some(point))? {
            let change = (flow / point.water_flow.value).ln();
            if flow <= 0.0 {
                stops = true;
            } else {
                squares[usize::from(change > 0.0)] += change * change;
            }
        }
        let low = if stops {
            0.0
        } else {
            (-squares[0].sqrt()).exp()
        };
        Ok([low, squares[1].sqrt().exp()])
    }

    /// Flows with each source of error at both ends of what is left open of it.
    fn ends(&self, air: AirFlow, point: Option<&OperatingPoint>) -> Result<Vec<f64>, Error> {
        let variants = Variants::of(&self.riser, air, point)?;
        let mut flows = Vec::new();
        for source in Source::ALL {
            let deviations = self.z * self.points.left_open(source);
            flows.extend(variants.ends(source, deviations)?.into_iter().flatten());
        }
        Ok(flows)
    }

    /// Limits where the model lets nothing flow: none, up to what flows at the better end of a source.
    fn dry(&self, air: AirFlow) -> Result<Option<Interval>, Error> {
        if !holds_at(&self.riser) {
            return Ok(None);
        }
        let most = self.ends(air, None)?.into_iter().fold(0.0, f64::max);
        Ok(Some(self.limits([0.0, most])))
    }

    /// The model's peak, solved once.
    fn model_peak(&self) -> Result<&OperatingPoint, Error> {
        if let Some(peak) = self.peak.get() {
            return Ok(peak);
        }
        let peak = self.riser.peak()?;
        Ok(self.peak.get_or_init(|| peak))
    }

    /// The operating point of the largest predicted flow.
    ///
    /// # Errors
    /// As [`Riser::peak`].
    pub fn peak(&self) -> Result<OperatingPoint, Error> {
        /// Golden section, (√5 − 1)/2.
        const GOLDEN: f64 = 0.618_033_988_749_895;
        let own = *self.model_peak()?;
        if self.basis() == Basis::PublishedRigs || own.air.kg_per_s() <= 0.0 {
            return Ok(own);
        }
        let centre = own.air.kg_per_s().ln();
        let at = |x: f64| self.operate(AirFlow::from_kg_per_s(x.exp()));
        let flow = |x: f64| Ok::<_, Error>(at(x)?.water_flow().value);
        let (mut low, mut high) = (centre - PEAK_WINDOW, centre + PEAK_WINDOW);
        let mut inner = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
        let mut flows = [flow(inner[0])?, flow(inner[1])?];
        while high - low > PEAK_STEP {
            if flows[0] >= flows[1] {
                high = inner[1];
                inner = [high - GOLDEN * (high - low), inner[0]];
                flows = [flow(inner[0])?, flows[0]];
            } else {
                low = inner[0];
                inner = [inner[1], low + GOLDEN * (high - low)];
                flows = [flows[1], flow(inner[1])?];
            }
        }
        let best = at(inner[usize::from(flows[1] > flows[0])])?;
        Ok(best.point().copied().unwrap_or(own))
    }

    /// The flow that is held against a wanted one.
    fn held(&self, which: Wanted, air: AirFlow) -> Result<f64, Error> {
        Ok(match which {
            Wanted::Predicted => self.operate(air)?.water_flow().value,
            Wanted::LowerEnd => {
                let interval = self.predict(air)?.interval;
                interval.map_or(0.0, |interval| interval.low.value)
            }
        })
    }

    /// The largest flow that can be wanted.
    ///
    /// # Errors
    /// As [`Predictor::peak`].
    pub fn most(&self, which: Wanted) -> Result<VolumeRate, Error> {
        let peak = self.peak()?;
        Ok(match which {
            Wanted::Predicted => peak.water_flow,
            Wanted::LowerEnd => base(self.held(which, peak.air)?),
        })
    }

    /// The operating point at which the predicted flow, or the lower end of its interval, is as wanted: the one with
    /// less air than the peak.
    ///
    /// # Errors
    /// As [`Riser::air_for`]; [`Error::NoInterval`] where a lower end is wanted and there is none.
    pub fn air_for(&self, water_flow: VolumeRate, which: Wanted) -> Result<OperatingPoint, Error> {
        if which == Wanted::Predicted && self.basis() == Basis::PublishedRigs {
            return self.riser.air_for(water_flow);
        }
        WATER_FLOW.check(Input::WaterFlow, water_flow.get::<liter_per_minute>())?;
        if which == Wanted::LowerEnd && !holds_at(&self.riser) {
            return Err(Error::NoInterval {
                submergence_ratio: self.riser.spec().submergence_ratio(),
            });
        }
        let peak = self.peak()?;
        let wanted = water_flow.value;
        let excess = |air: AirFlow| Ok::<_, Error>(self.held(which, air)? - wanted);
        let most = excess(peak.air)?;
        if most < 0.0 {
            return Err(Error::AbovePeak {
                target: water_flow,
                peak_flow: base(most + wanted),
                peak_air: peak.air,
            });
        }
        let least = self
            .riser
            .threshold()?
            .map_or(peak.air.kg_per_s(), |air| air.kg_per_s());
        // Where water runs without air there is no logarithm to start from.
        let start = least.max(1e-6 * peak.air.kg_per_s());
        let at = |x: f64| AirFlow::from_kg_per_s(x.exp());
        let (low, high) = (start.ln(), peak.air.kg_per_s().ln());
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
            residual: 1e-6 * wanted,
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

    /// Air flows at which three readings tell most of this riser: 10, 50 and 90 % of the range of ln(air) from three
    /// tenths of the peak's flow up to the peak.
    ///
    /// # Errors
    /// As [`Riser::peak`].
    pub fn three_readings(&self) -> Result<[AirFlow; 3], Error> {
        let peak = *self.model_peak()?;
        let first = match self.riser.air_for(peak.water_flow * BY_SLOPES) {
            Ok(point) => point.air.kg_per_s(),
            // Where as much runs without air.
            Err(Error::RunsWithoutAir { .. }) => 0.05 * peak.air.kg_per_s(),
            Err(error) => return Err(error),
        };
        let (low, high) = (first.ln(), peak.air.kg_per_s().ln());
        Ok(READINGS_AT.map(|share| AirFlow::from_kg_per_s((low + share * (high - low)).exp())))
    }

    /// Half of the interval's width that three readings on the bench would leave, as a share of the flow; none
    /// where the flow is below three tenths of the peak's, or where the law does not hold.
    ///
    /// # Errors
    /// As [`Predictor::predict`].
    pub fn after_three_readings(&self, air: AirFlow) -> Result<Option<Ratio>, Error> {
        let flow = self.riser.operate(air)?.water_flow();
        if !holds_at(&self.riser)
            || flow.value <= 0.0
            || flow < self.model_peak()?.water_flow * BY_SLOPES
        {
            return Ok(None);
        }
        let standard = self.standard(air, &self.three_readings()?)?;
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
            Source::ALL.map(|source| {
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
        }
        if let Some(at) = self.doubt(air)?
            && self.basis() == Basis::BenchTrial
        {
            let readings = self.points.readings().iter();
            let away = |reading: &super::Reading| {
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
    /// predictor of the riser there.
    ///
    /// # Errors
    /// As [`Riser::submergence_for`]; [`Error::NotConverged`] where what a trial found does not settle.
    pub fn deepened(
        law: &ErrorLaw,
        riser: &Riser,
        (water_flow, air): (VolumeRate, AirFlow),
        deepest: Length,
    ) -> Result<Self, Error> {
        const SETTLED: f64 = 1e-10;
        const MOST: usize = 200;
        let (mut spec, mut factor, mut last) = (*riser.spec(), 1.0, f64::NAN);
        for _ in 0..MOST {
            let found = riser.submergence_for(water_flow / factor, air, deepest)?;
            spec.dimensions.submergence = found;
            let there = law.on(&riser.with_spec(spec)?)?;
            if there.basis() == Basis::PublishedRigs
                || (found.value - last).abs() <= SETTLED * found.value
            {
                return Ok(there);
            }
            last = found.value;
            let plain = there.riser.operate(air)?;
            let told = there.calibrated(plain)?;
            factor = (told.water_flow() / plain.water_flow()).get::<ratio>();
        }
        let low = spec.dimensions.submergence.get::<meter>();
        Err(Error::NotConverged {
            what: Solve::Submergence,
            iterations: MOST,
            residual: (low - last).abs(),
            low,
            high: last,
        })
    }
}
