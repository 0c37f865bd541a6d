//! The curve of one probe.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, U3, Vector3, storage::Owned};

use super::TRANSFER_COEFFICIENT;
use super::linear::covariance;
use crate::error::{AerationError, Error, Input, range};
use crate::measurement::{Uncertain, coverage_factor};
use crate::units::{
    Frequency, MassConcentration, Ratio, Time, base, milligram_per_liter, percent, second,
};

range!(AERATION_TIME, 0 to 1e7 "s", "Times of readings, from any start.");
range!(OXYGEN_READING, -1 to 100 "mg/L", "Readings of dissolved oxygen; a probe's zero can be off to below none.");
/// Fewest readings at different times that a fit takes: its three parameters and three more. Thirty over
/// three times 1/kLa are a good test.
pub const FEWEST_READINGS: usize = 6;

/// Span of the readings over 1/kLa that shows the end well; common practice.
const GOOD_SPAN: f64 = 3.0;
/// Readings of a good test; common practice.
const GOOD_READINGS: usize = 30;
/// Least rise over the readings' scatter.
const LEAST_RISE: f64 = 3.0;
/// Least span of the readings over 1/kLa.
const LEAST_SPAN: f64 = 1.0;
/// Times 1/kLa within which the rising readings lie: 98 % of the rise.
const RISING: f64 = 4.0;
/// Fewest different times among them, the first reading aside. Without them scatter that a coarse display
/// hides would pass for certainty.
const FEWEST_RISING: usize = 3;
/// Relative change of the sum of squares, and of the parameters, that ends a fit.
const TOLERANCE: f64 = 1e-12;
/// Most evaluations of a fit, over four.
const PATIENCE: usize = 100;

/// One reading of a probe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Time, from any start.
    pub time: Time,
    /// Dissolved oxygen.
    pub oxygen: MassConcentration,
}

/// The curve through the readings of one probe.
///
/// ```text
/// C(t) = C* − (C* − C₀) exp(−k t)                         t from the first reading
/// ```
///
/// k, C* and C₀ are those of the least sum of squares. Their covariance is s² (JᵀJ)⁻¹ with s² = Σe²/ν and
/// ν = n − 3, so that intervals take Student's t; they suppose readings that err independently. See
/// [`serial_correlation`](Self::serial_correlation): a slow probe or a drift makes readings err together, and no
/// interval shows that. Leave out readings while the probe lags or the sulphite still acts.
///
/// # Examples
/// ```
/// use risewater::gas::aeration::{Reaeration, Reading};
/// use risewater::units::*;
///
/// // Made up: C* = 9 mg/L, C₀ = 1 mg/L, kLa = 6/h, read every 2 min to 0.01 mg/L.
/// let readings: Vec<Reading> = (0..20)
///     .map(|n| {
///         let minutes = 2.0 * f64::from(n);
///         let oxygen: f64 = 9.0 - 8.0 * (-0.1 * minutes).exp();
///         Reading {
///             time: Time::new::<minute>(minutes),
///             oxygen: MassConcentration::new::<milligram_per_liter>((100.0 * oxygen).round() / 100.0),
///         }
///     })
///     .collect();
/// let fit = Reaeration::of(&readings)?;
/// assert_eq!(format!("{:.1}", fit.coefficient.value.get::<per_hour>()), "6.0");
/// let (low, high) = fit.coefficient.interval(Ratio::new::<percent>(95.0))?;
/// assert!(low.get::<per_hour>() < 6.0 && high.get::<per_hour>() > 6.0);
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory: the nonlinear fit of three parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Reaeration {
    /// k, kLa at the test's temperature.
    pub coefficient: Uncertain<Frequency>,
    /// C*, where the oxygen ends.
    pub saturation: Uncertain<MassConcentration>,
    /// C₀, oxygen at the time of the first reading.
    pub start: Uncertain<MassConcentration>,
    /// s, standard deviation of the readings about the curve.
    pub scatter: MassConcentration,
    /// Number of readings.
    pub readings: usize,
    /// From the first to the last.
    pub span: Time,
    /// Correlation of neighbouring errors, Σ e_i e_{i+1}/Σ e². Beyond 2/√n the readings do not err
    /// independently, or the curve is not theirs, and the intervals are too narrow.
    pub serial_correlation: Ratio,
    /// Correlation of the estimates of k and C*.
    pub(super) correlation: f64,
}

impl Reaeration {
    /// Fits the curve.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`AERATION_TIME`], [`OXYGEN_READING`] or
    /// [`TRANSFER_COEFFICIENT`]; [`Error::Aeration`] with fewer than [`FEWEST_READINGS`] times, with
    /// a rise below three times the scatter, with a span below 1/k, with fewer than three times before
    /// 4/k beside the first, and when the 95 % interval of k
    /// reaches zero or that of C* reaches C₀.
    ///
    /// # Examples
    /// See [`Reaeration`].
    pub fn of(readings: &[Reading]) -> Result<Self, Error> {
        let curve = Curve::through(readings)?;
        let p = curve.minimum();
        let errors = curve.errors(&p);
        let n = errors.len() as f64;
        let freedom = n - 3.0;
        let squares: f64 = errors.iter().map(|e| e * e).sum();
        let scatter = (squares / freedom).sqrt();
        let [k, end, start] = [p[0].exp(), p[1], p[2]];
        // In the curve's own units: spans of time, kg/m³ of oxygen range.
        let oxygen = |value: f64| base(value * curve.range);
        let rise = (end - start) * -(-k).exp_m1();
        // A NaN is no rise either.
        if rise.is_nan() || rise <= LEAST_RISE * scatter {
            return Err(Error::Aeration(AerationError::NoRise {
                rise: oxygen(rise),
                scatter: oxygen(scatter),
            }));
        }
        if k < LEAST_SPAN {
            return Err(Error::Aeration(AerationError::TooShort {
                span: base(curve.span),
                time_constant: base(curve.span / k),
            }));
        }
        let rising = curve.times_within(RISING / k);
        if rising < FEWEST_RISING {
            return Err(Error::Aeration(AerationError::TooSeldom {
                times: rising,
                needed: FEWEST_RISING,
                time_constant: base(curve.span / k),
            }));
        }
        let rate = k / curve.span;
        let open = |n: usize, low: f64, high: f64| {
            let (parameter, unit, scale) = match n {
                0 => ("kLa", "1/h", 3600.0 / curve.span),
                1 => ("oxygen that the water ends at", "mg/L", 1e3 * curve.range),
                _ => ("oxygen at the start", "mg/L", 1e3 * curve.range),
            };
            Error::Aeration(AerationError::Undetermined {
                parameter,
                low: low * scale,
                high: high * scale,
                unit,
            })
        };
        let slopes = curve.slopes(&p);
        // ∂/∂k = (∂/∂ ln k)/k
        let jacobian = DMatrix::from_fn(errors.len(), 3, |m, n| {
            slopes[m][n] / if n == 0 { k } else { 1.0 }
        });
        let covariance =
            covariance(&jacobian).map_err(|n| open(n, f64::NEG_INFINITY, f64::INFINITY))?;
        let standard = |n: usize| scatter * covariance[n][n].sqrt();
        let factor = coverage_factor(Ratio::new::<percent>(95.0), freedom)?;
        for (n, value, floor) in [(0, k, 0.0), (1, end, start)] {
            let half = factor * standard(n);
            if value - half <= floor {
                return Err(open(n, value - half, value + half));
            }
        }
        TRANSFER_COEFFICIENT.check(Input::TransferCoefficient, 3600.0 * rate)?;
        let neighbours: f64 = errors.windows(2).map(|pair| pair[0] * pair[1]).sum();
        let with_freedom = |value: f64, standard: f64| {
            let mut uncertain = Uncertain::new(value, standard);
            uncertain.degrees_of_freedom = freedom;
            uncertain
        };
        Ok(Self {
            coefficient: with_freedom(rate, standard(0) / curve.span).scaled(base),
            saturation: with_freedom(end, standard(1)).scaled(oxygen),
            start: with_freedom(start, standard(2)).scaled(oxygen),
            scatter: oxygen(scatter),
            readings: errors.len(),
            span: base(curve.span),
            serial_correlation: base(if squares > 0.0 {
                neighbours / squares
            } else {
                0.0
            }),
            correlation: covariance[0][1] / (covariance[0][0] * covariance[1][1]).sqrt(),
        })
    }

    /// What makes the intervals doubtful, in words.
    #[must_use]
    pub fn warnings(&self) -> Vec<String> {
        let mut all = Vec::new();
        if self.readings < GOOD_READINGS {
            let n = self.readings;
            all.push(format!("{n} readings; thirty make a good test"));
        }
        let spans = (self.span * self.coefficient.value).value;
        if spans < GOOD_SPAN {
            all.push(format!(
                "the readings end after {spans:.1} times 1/kLa, before the oxygen shows where it ends; read on to three times"
            ));
        }
        if self.serial_correlation.value > 2.0 / (self.readings as f64).sqrt() {
            all.push("neighbouring readings err together, so the intervals are too narrow: a slow probe, or sulphite that still acted".to_owned());
        }
        all
    }

    /// Oxygen on the curve, at a time after the first reading.
    #[must_use]
    pub fn oxygen_at(&self, time: Time) -> MassConcentration {
        let (end, start) = (self.saturation.value, self.start.value);
        // C(t) = C* − (C* − C₀) exp(−k t)
        end - (end - start) * (-(self.coefficient.value * time).value).exp()
    }
}

/// Readings in order, in spans of time from the first and in ranges of oxygen; p is ln k, C*, C₀.
struct Curve {
    /// s.
    span: f64,
    /// kg/m³.
    range: f64,
    points: Vec<(f64, f64)>,
}

impl Curve {
    fn through(readings: &[Reading]) -> Result<Self, Error> {
        let mut points = Vec::with_capacity(readings.len());
        for reading in readings {
            let t = AERATION_TIME.check(Input::AerationTime, reading.time.get::<second>())?;
            let c = reading.oxygen.get::<milligram_per_liter>();
            OXYGEN_READING.check(Input::Oxygen, c)?;
            points.push((t, 1e-3 * c));
        }
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let different = |pair: &&[(f64, f64)]| pair[1].0 > pair[0].0;
        let steps = points.windows(2).filter(different).count();
        let times = steps + usize::from(!points.is_empty());
        if times < FEWEST_READINGS {
            return Err(Error::Aeration(AerationError::TooFewReadings {
                times,
                needed: FEWEST_READINGS,
            }));
        }
        let first = points[0].0;
        let span = points[points.len() - 1].0 - first;
        let oxygens = || points.iter().map(|(_, c)| *c);
        let range = oxygens().fold(f64::MIN, f64::max) - oxygens().fold(f64::MAX, f64::min);
        // Readings that are all the same have none; they show no rise in any unit.
        let range = if range > 0.0 { range } else { 1e-3 };
        for (t, c) in &mut points {
            (*t, *c) = ((*t - first) / span, *c / range);
        }
        Ok(Self {
            span,
            range,
            points,
        })
    }

    /// Different times after the first and before one.
    fn times_within(&self, most: f64) -> usize {
        let steps = self.points.windows(2);
        let rising = |pair: &&[(f64, f64)]| pair[1].0 > pair[0].0 && pair[1].0 < most;
        steps.filter(rising).count()
    }

    /// e = C(t) − C of each reading.
    fn errors(&self, p: &Vector3<f64>) -> Vec<f64> {
        let (k, end, start) = (p[0].exp(), p[1], p[2]);
        let error = |(t, c): &(f64, f64)| end - (end - start) * (-k * t).exp() - c;
        self.points.iter().map(error).collect()
    }

    /// ∂e/∂(ln k, C*, C₀) of each reading.
    fn slopes(&self, p: &Vector3<f64>) -> Vec<[f64; 3]> {
        let (k, end, start) = (p[0].exp(), p[1], p[2]);
        let slope = |(t, _): &(f64, f64)| {
            let rest = (-k * t).exp();
            [(end - start) * k * t * rest, 1.0 - rest, rest]
        };
        self.points.iter().map(slope).collect()
    }

    fn squares(&self, p: &Vector3<f64>) -> f64 {
        self.errors(p).iter().map(|e| e * e).sum()
    }

    /// The parameters of the least sum of squares.
    fn minimum(&self) -> Vector3<f64> {
        // 1/k from ten spans to a hundredth of one.
        let starts = [0.1, 0.3, 1.0, 3.0, 10.0, 30.0, 100.0].map(|k| self.line(k));
        let best = starts
            .into_iter()
            .min_by(|a, b| self.squares(a).total_cmp(&self.squares(b)))
            .unwrap_or_default();
        let (descent, _) = LevenbergMarquardt::new()
            .with_ftol(TOLERANCE)
            .with_xtol(TOLERANCE)
            .with_gtol(TOLERANCE)
            .with_patience(PATIENCE)
            .minimize(Descent {
                curve: self,
                p: best,
            });
        descent.p
    }

    /// With k given, C is a straight line in exp(−k t): its two ends by linear least squares.
    fn line(&self, k: f64) -> Vector3<f64> {
        let n = self.points.len() as f64;
        let x = |t: f64| (-k * t).exp();
        let mean_x = self.points.iter().map(|(t, _)| x(*t)).sum::<f64>() / n;
        let mean_c = self.points.iter().map(|(_, c)| c).sum::<f64>() / n;
        let sum = |f: &dyn Fn(f64, f64) -> f64| {
            let terms = self
                .points
                .iter()
                .map(|(t, c)| f(x(*t) - mean_x, c - mean_c));
            terms.sum::<f64>()
        };
        let slope = sum(&|x, c| x * c) / sum(&|x, _| x * x);
        let end = mean_c - slope * mean_x;
        Vector3::new(k.ln(), end, end + slope)
    }
}

struct Descent<'a> {
    curve: &'a Curve,
    p: Vector3<f64>,
}

impl LeastSquaresProblem<f64, Dyn, U3> for Descent<'_> {
    type ParameterStorage = Owned<f64, U3>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, U3>;

    fn set_params(&mut self, p: &Vector3<f64>) {
        self.p = *p;
    }

    fn params(&self) -> Vector3<f64> {
        self.p
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        Some(DVector::from_vec(self.curve.errors(&self.p)))
    }

    fn jacobian(&self) -> Option<nalgebra::OMatrix<f64, Dyn, U3>> {
        let slopes = self.curve.slopes(&self.p);
        Some(nalgebra::OMatrix::<f64, Dyn, U3>::from_fn(
            slopes.len(),
            |m, n| slopes[m][n],
        ))
    }
}
