//! Predicted against measured flows as a problem of least squares.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, storage::Owned};

use super::parameter::Parameter;
use super::point::FitPoint;
use crate::air::AirFlow;
use crate::error::Error;
use crate::model::Model;
use crate::published::LOWEST_RATIO;
use crate::units::ratio;

/// Step of a derivative, over the parameter's size.
const STEP: f64 = 1e-3;
/// Relative step of the air flow for d ln Q/d ln ṁ.
const AIR_STEP: f64 = 1e-2;
/// Relative change of the sum of squares, and of the variables, that ends a fit.
const TOLERANCE: f64 = 1e-8;
/// Most evaluations of a fit, over the number of parameters and one.
const PATIENCE: usize = 50;

/// Points and what is fitted to them.
pub(super) struct Misfit<'a> {
    pub points: &'a [FitPoint],
    pub model: Model,
    pub parameters: &'a [Parameter],
    /// Lower and upper bound of each parameter.
    pub bounds: Vec<(f64, f64)>,
    /// 1/u of each point.
    pub weights: Vec<f64>,
    /// Values of the parameters before.
    pub start: Vec<f64>,
    /// Whether what is known of the parameters beforehand counts.
    pub prior: bool,
}

impl Misfit<'_> {
    /// e = ln(predicted/measured) of each point.
    pub fn errors(&self, x: &[f64]) -> Result<Vec<f64>, Error> {
        errors(self.points, self.model, self.parameters, x)
    }

    fn error(&self, point: &FitPoint, x: &[f64], air: AirFlow) -> Result<f64, Error> {
        error(point, air, self.model, self.parameters, x)
    }

    /// Sum of (e/u)².
    pub fn chi_squared(&self, errors: &[f64]) -> f64 {
        let pairs = errors.iter().zip(&self.weights);
        pairs.map(|(e, w)| (e * w).powi(2)).sum()
    }

    /// What is minimized: χ², and what is known beforehand where it counts.
    pub fn objective(&self, errors: &[f64], x: &[f64]) -> f64 {
        let known = self.distances(x);
        self.chi_squared(errors) + known.iter().map(|d| d * d).sum::<f64>()
    }

    /// Distances of the parameters from their values before, in what they are known to.
    fn distances(&self, x: &[f64]) -> Vec<f64> {
        let pairs = x.iter().zip(&self.start).zip(self.parameters);
        let distance = |((x, start), parameter): ((&f64, &f64), &Parameter)| {
            (x - start) / parameter.known_to()
        };
        if self.prior {
            pairs.map(distance).collect()
        } else {
            Vec::new()
        }
    }

    /// Weights of the points at some parameters:
    ///
    /// ```text
    /// u² = (u(Q)/Q)² + (d ln Q/d ln ṁ · u(ṁ)/ṁ)² + s² + m c²
    /// ```
    pub fn weigh(&mut self, x: &[f64], scatter: f64, shared: f64) -> Result<(), Error> {
        let weight = |point: &FitPoint| {
            let water = (point.water_flow.standard / point.water_flow.value).value;
            let air = point.air_standard.get::<ratio>();
            let slope = if air > 0.0 {
                let at = |factor: f64| {
                    self.error(
                        point,
                        x,
                        AirFlow::from_kg_per_s(point.air.kg_per_s() * factor),
                    )
                };
                (at(1.0 + AIR_STEP)? - at(1.0 - AIR_STEP)?) / (2.0 * AIR_STEP)
            } else {
                0.0
            };
            let alike = |other: &&FitPoint| other.spec.dimensions == point.spec.dimensions;
            let m = self.points.iter().filter(alike).count() as f64;
            let variance =
                water * water + (slope * air).powi(2) + scatter * scatter + m * shared * shared;
            Ok::<_, Error>(1.0 / variance.sqrt())
        };
        self.weights = self.points.iter().map(weight).collect::<Result<_, _>>()?;
        Ok(())
    }

    /// ∂(e/u)/∂x by central differences, one-sided beside a bound; below it, where it counts, what is
    /// known beforehand.
    pub fn jacobian(&self, x: &[f64]) -> Result<DMatrix<f64>, Error> {
        let rows = self.points.len() + if self.prior { x.len() } else { 0 };
        let mut jacobian = DMatrix::zeros(rows, x.len());
        for n in 0..x.len() {
            let (low, high) = self.bounds[n];
            let step = self.step(x, n);
            let (a, b) = ((x[n] - step).max(low), (x[n] + step).min(high));
            let at = |value: f64| {
                let mut y = x.to_vec();
                y[n] = value;
                self.errors(&y)
            };
            for (m, (e_a, e_b)) in at(a)?.iter().zip(at(b)?).enumerate() {
                jacobian[(m, n)] = self.weights[m] * (e_b - e_a) / (b - a);
            }
            if self.prior {
                jacobian[(self.points.len() + n, n)] = 1.0 / self.parameters[n].known_to();
            }
        }
        Ok(jacobian)
    }

    fn step(&self, x: &[f64], n: usize) -> f64 {
        STEP * x[n].abs().max(self.parameters[n].scale())
    }

    /// The parameters of the smallest sum of squares, from a start.
    pub fn minimize(&self, start: &[f64]) -> Result<Vec<f64>, Error> {
        let mut descent = Descent {
            misfit: self,
            t: DVector::from_iterator(start.len(), (0..start.len()).map(|n| self.t(start[n], n))),
            errors: Ok(Vec::new()),
        };
        descent.solve();
        let (descent, _) = LevenbergMarquardt::new()
            .with_ftol(TOLERANCE)
            .with_xtol(TOLERANCE)
            .with_gtol(TOLERANCE)
            .with_patience(PATIENCE)
            .minimize(descent);
        let x = descent.x();
        descent.errors?;
        Ok(x)
    }

    /// The free variable of a parameter.
    fn t(&self, x: f64, n: usize) -> f64 {
        let (low, high) = self.bounds[n];
        // On a bound itself every slope vanishes.
        let margin = (STEP * self.parameters[n].scale()).min(0.25 * (high - low));
        let x = x.clamp(low + margin, high - margin);
        (2.0 * (x - low) / (high - low) - 1.0).asin()
    }
}

/// e = ln(predicted/measured) of each point, with [`LOWEST_RATIO`] as the lowest ratio.
pub(super) fn errors(
    points: &[FitPoint],
    model: Model,
    parameters: &[Parameter],
    x: &[f64],
) -> Result<Vec<f64>, Error> {
    let error = |point: &FitPoint| error(point, point.air, model, parameters, x);
    points.iter().map(error).collect()
}

fn error(
    point: &FitPoint,
    air: AirFlow,
    mut model: Model,
    parameters: &[Parameter],
    x: &[f64],
) -> Result<f64, Error> {
    let mut spec = point.spec;
    for (parameter, value) in parameters.iter().zip(x) {
        parameter.set(*value, &mut spec, &mut model);
    }
    let flow = spec.build(&point.site, model)?.operate(air)?.water_flow();
    Ok((flow / point.water_flow.value)
        .get::<ratio>()
        .max(LOWEST_RATIO)
        .ln())
}

/// The problem in a free variable t, in which a parameter cannot leave its bounds:
///
/// ```text
/// x = a + (b − a)(1 + sin t)/2
/// ```
struct Descent<'a> {
    misfit: &'a Misfit<'a>,
    t: DVector<f64>,
    errors: Result<Vec<f64>, Error>,
}

impl Descent<'_> {
    fn x(&self) -> Vec<f64> {
        let pairs = self.t.iter().zip(&self.misfit.bounds);
        pairs
            .map(|(t, (low, high))| low + (high - low) * 0.5 * (1.0 + t.sin()))
            .collect()
    }

    fn solve(&mut self) {
        self.errors = self.misfit.errors(&self.x());
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Descent<'_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, t: &DVector<f64>) {
        self.t.copy_from(t);
        self.solve();
    }

    fn params(&self) -> DVector<f64> {
        self.t.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let errors = self.errors.as_ref().ok()?;
        let weighted = errors.iter().zip(&self.misfit.weights).map(|(e, w)| e * w);
        let known = self.misfit.distances(&self.x());
        Some(DVector::from_vec(weighted.chain(known).collect()))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let errors = self.errors.as_ref().ok()?;
        let x = self.x();
        let prior = self.misfit.prior;
        let rows = errors.len() + if prior { x.len() } else { 0 };
        let mut jacobian = DMatrix::zeros(rows, x.len());
        for n in 0..x.len() {
            let (low, high) = self.misfit.bounds[n];
            let mut step = self.misfit.step(&x, n);
            if x[n] + step > high {
                step = -step;
            }
            let mut y = x.clone();
            y[n] += step;
            let slope = 0.5 * (high - low) * self.t[n].cos();
            for (m, e) in self.misfit.errors(&y).ok()?.iter().enumerate() {
                jacobian[(m, n)] = self.misfit.weights[m] * (e - errors[m]) / step * slope;
            }
            if prior {
                jacobian[(errors.len() + n, n)] = slope / self.misfit.parameters[n].known_to();
            }
        }
        Some(jacobian)
    }
}
