//! Predicted against measured flows as a problem of generalised least squares.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, storage::Owned};

use super::basis::Basis;
use super::parameter::Parameter;
use super::point::FitPoint;
use super::weights::Weights;
use crate::error::Error;
use crate::model::Model;
use crate::published::LOWEST_RATIO;
use crate::units::ratio;

/// Step of a derivative, over the parameter's size.
const STEP: f64 = 1e-3;
/// Relative change of the sum of squares, and of the variables, that ends a fit.
pub(super) const TOLERANCE: f64 = 1e-6;
/// Most evaluations of a fit, over the number of parameters and one.
const PATIENCE: usize = 50;

/// Points and what is fitted to them.
pub(super) struct Misfit<'a> {
    pub basis: &'a Basis<'a>,
    pub weights: &'a Weights,
    pub parameters: &'a [Parameter],
    /// Lower and upper bound of each parameter.
    pub bounds: Vec<(f64, f64)>,
    /// Values of the parameters before.
    pub start: Vec<f64>,
}

impl Misfit<'_> {
    /// e = ln(predicted/measured) of each point, setting errors not taken off.
    pub fn errors(&self, x: &[f64]) -> Result<Vec<f64>, Error> {
        if x == self.start && self.basis.same_entrance(self.parameters) {
            return Ok(self.basis.before.clone());
        }
        let error = |point: &FitPoint| error(point, self.basis.model, self.parameters, x);
        self.basis.points.iter().map(error).collect()
    }

    /// What is minimized: eᵀV⁻¹e, and what is known beforehand where it counts.
    pub fn objective(&self, errors: &[f64], x: &[f64]) -> f64 {
        let known = self.distances(x);
        self.weights.chi_squared(errors) + known.iter().map(|d| d * d).sum::<f64>()
    }

    /// Distances of the parameters from their values before, in what they are known to.
    fn distances(&self, x: &[f64]) -> Vec<f64> {
        let pairs = x.iter().zip(&self.start).zip(self.parameters);
        let distance = |((x, start), parameter): ((&f64, &f64), &Parameter)| {
            (x - start) / parameter.known_to()
        };
        if self.basis.prior {
            pairs.map(distance).collect()
        } else {
            Vec::new()
        }
    }

    /// ∂e/∂x by central differences, one-sided beside a bound.
    pub fn slopes(&self, x: &[f64]) -> Result<DMatrix<f64>, Error> {
        let mut slopes = DMatrix::zeros(self.basis.points.len(), x.len());
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
                slopes[(m, n)] = (e_b - e_a) / (b - a);
            }
        }
        Ok(slopes)
    }

    /// The errors that slopes give where the parameters start, if anything is known of them beforehand;
    /// else those here.
    pub fn at_start(&self, errors: &[f64], slopes: &DMatrix<f64>, x: &[f64]) -> DVector<f64> {
        let back = x.iter().zip(&self.start).map(|(x, start)| start - x);
        let back = DVector::from_iterator(x.len(), back);
        let errors = DVector::from_column_slice(errors);
        if self.basis.prior {
            errors + slopes * back
        } else {
            errors
        }
    }

    /// Slopes whitened, and below them, where it counts, what is known beforehand.
    pub fn jacobian(&self, slopes: &DMatrix<f64>) -> DMatrix<f64> {
        let (n, p) = slopes.shape();
        let rows = n + if self.basis.prior { p } else { 0 };
        let mut jacobian = DMatrix::zeros(rows, p);
        jacobian
            .rows_mut(0, n)
            .copy_from(&self.weights.whiten(slopes.clone()));
        for i in n..rows {
            jacobian[(i, i - n)] = 1.0 / self.parameters[i - n].known_to();
        }
        jacobian
    }

    fn step(&self, x: &[f64], n: usize) -> f64 {
        STEP * x[n].abs().max(self.parameters[n].scale())
    }

    /// The parameters of the smallest objective, from a start, and the errors there.
    pub fn minimize(&self, start: &[f64], tolerance: f64) -> Result<(Vec<f64>, Vec<f64>), Error> {
        if start.is_empty() {
            return Ok((Vec::new(), self.basis.before.clone()));
        }
        let mut descent = Descent {
            misfit: self,
            t: DVector::from_iterator(start.len(), (0..start.len()).map(|n| self.t(start[n], n))),
            errors: Ok(Vec::new()),
        };
        descent.solve();
        let (descent, _) = LevenbergMarquardt::new()
            .with_ftol(tolerance)
            .with_xtol(tolerance)
            .with_gtol(tolerance)
            .with_patience(PATIENCE)
            .minimize(descent);
        let x = descent.x();
        Ok((x, descent.errors?))
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

/// e = ln(predicted/measured) of a point with other parameters, with [`LOWEST_RATIO`] as the lowest ratio.
fn error(
    point: &FitPoint,
    mut model: Model,
    parameters: &[Parameter],
    x: &[f64],
) -> Result<f64, Error> {
    let mut spec = point.spec;
    for (parameter, value) in parameters.iter().zip(x) {
        parameter.set(*value, &mut spec, &mut model);
    }
    let flow = spec
        .build(&point.site, model)?
        .operate(point.air)?
        .water_flow();
    Ok((flow / point.water_flow.value)
        .get::<ratio>()
        .max(LOWEST_RATIO)
        .ln())
}

/// e of a point as it stands.
pub(super) fn own_error(point: &FitPoint, model: Model) -> Result<f64, Error> {
    error(point, model, &[], &[])
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
        if self.t != *t {
            self.t.copy_from(t);
            self.solve();
        }
    }

    fn params(&self) -> DVector<f64> {
        self.t.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let errors = self.errors.as_ref().ok()?;
        let white = self
            .misfit
            .weights
            .whiten(DMatrix::from_column_slice(errors.len(), 1, errors));
        let known = self.misfit.distances(&self.x());
        let all: Vec<f64> = white.iter().copied().chain(known).collect();
        Some(DVector::from_vec(all))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let errors = self.errors.as_ref().ok()?;
        let x = self.x();
        let mut slopes = DMatrix::zeros(errors.len(), x.len());
        let mut chain = Vec::new();
        for n in 0..x.len() {
            let (low, high) = self.misfit.bounds[n];
            let mut step = self.misfit.step(&x, n);
            if x[n] + step > high {
                step = -step;
            }
            let mut y = x.clone();
            y[n] += step;
            for (m, e) in self.misfit.errors(&y).ok()?.iter().enumerate() {
                slopes[(m, n)] = (e - errors[m]) / step;
            }
            chain.push(0.5 * (high - low) * self.t[n].cos());
        }
        let mut jacobian = self.misfit.jacobian(&slopes);
        for (mut column, factor) in jacobian.column_iter_mut().zip(chain) {
            column *= factor;
        }
        Some(jacobian)
    }
}
