//! How much each point counts, and how far points of one setting count together.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::misfit::own_error;
use super::point::FitPoint;
use super::setting::{Process, Settings};
use crate::air::AirFlow;
use crate::error::Error;
use crate::model::Model;
use crate::published::LOWEST_RATIO;
use crate::riser::Place;
use crate::units::{Length, meter, ratio};

/// Relative step of the air flow for d ln Q/d ln ṁ.
const AIR_STEP: f64 = 1e-2;
/// Step of depth and lift, m.
const LENGTH_STEP_M: f64 = 1e-3;

/// The variance of the errors, V = diag(u²) + c² k.
pub(super) struct Weights {
    /// u² of each point.
    pub variances: Vec<f64>,
    /// L of V = L Lᵀ; none where V is diagonal.
    root: Option<Cholesky<f64, Dyn>>,
    /// Posterior covariance of the setting errors for given parameters.
    left: DMatrix<f64>,
    /// A, by which mean errors of the settings become setting errors.
    pub gain: DMatrix<f64>,
    /// Σ 1/u² of each setting.
    pub totals: Vec<f64>,
    setting: Vec<usize>,
}

impl Weights {
    pub fn of(variances: Vec<f64>, settings: &Settings, process: Process) -> Self {
        let places: Vec<Place> = settings.places.iter().map(|place| place.0).collect();
        let mut totals = vec![0.0; places.len()];
        for (variance, setting) in variances.iter().zip(&settings.of) {
            totals[*setting] += 1.0 / variance;
        }
        let (gain, left) = process.posterior(&places, &totals);
        let root = if process.size > 0.0 {
            let c = process.covariance(&places);
            let n = variances.len();
            let v = DMatrix::from_fn(n, n, |i, j| {
                let shared = c[(settings.of[i], settings.of[j])];
                shared + if i == j { variances[i] } else { 0.0 }
            });
            Cholesky::new(v)
        } else {
            None
        };
        Self {
            variances,
            root,
            left,
            gain,
            totals,
            setting: settings.of.clone(),
        }
    }

    /// L⁻¹ of some columns.
    pub fn whiten(&self, mut columns: DMatrix<f64>) -> DMatrix<f64> {
        if let Some(root) = &self.root {
            root.l_dirty().solve_lower_triangular_mut(&mut columns);
        } else {
            for (mut row, variance) in columns.row_iter_mut().zip(&self.variances) {
                row /= variance.sqrt();
            }
        }
        columns
    }

    /// eᵀV⁻¹e.
    pub fn chi_squared(&self, errors: &[f64]) -> f64 {
        self.whiten(DMatrix::from_column_slice(errors.len(), 1, errors))
            .norm_squared()
    }

    /// V⁻¹, by the settings:
    ///
    /// ```text
    /// V⁻¹_ij = δ_ij/u_i² − P_{s(i)s(j)}/(u_i² u_j²)
    /// ```
    pub fn inverse(&self) -> DMatrix<f64> {
        let n = self.variances.len();
        DMatrix::from_fn(n, n, |i, j| {
            let both = self.variances[i] * self.variances[j];
            let shared = self.left[(self.setting[i], self.setting[j])] / both;
            if i == j {
                1.0 / self.variances[i] - shared
            } else {
                -shared
            }
        })
    }

    /// Means over each setting, weighted by 1/u².
    pub fn means(&self, values: impl Iterator<Item = f64>) -> DVector<f64> {
        let mut means = DVector::zeros(self.totals.len());
        for ((value, variance), setting) in values.zip(&self.variances).zip(&self.setting) {
            means[*setting] += value / variance / self.totals[*setting];
        }
        means
    }

    /// The setting errors that go with some errors of the points.
    pub fn settings(&self, errors: &[f64]) -> DVector<f64> {
        &self.gain * self.means(errors.iter().copied())
    }
}

/// u² of each point:
///
/// ```text
/// u² = (u(Q)/Q)² + (∂ln Q/∂ln ṁ · u(ṁ)/ṁ)² + (∂ln Q/∂S · u(S))² + (∂ln Q/∂H · u(H))² + s²
/// ```
///
/// A point at which the model lets nothing flow has the square of its error on top: its logarithm is
/// [`LOWEST_RATIO`]'s, and says no more than that pumping starts elsewhere.
pub(super) fn variances(
    points: &[FitPoint],
    model: Model,
    errors: &[f64],
    scatter: f64,
) -> Result<Vec<f64>, Error> {
    let variance = |(point, e): (&FitPoint, &f64)| {
        let slope = |standard: f64, step: f64, changed: &dyn Fn(&mut FitPoint)| {
            if standard > 0.0 {
                let mut point = point.clone();
                changed(&mut point);
                Ok(standard * (own_error(&point, model)? - e) / step)
            } else {
                Ok::<f64, Error>(0.0)
            }
        };
        let step = Length::new::<meter>(LENGTH_STEP_M);
        let parts = [
            (point.water_flow.standard / point.water_flow.value).value,
            slope(point.air_standard.get::<ratio>(), AIR_STEP, &|point| {
                point.air = AirFlow::from_kg_per_s(point.air.kg_per_s() * (1.0 + AIR_STEP));
            })?,
            slope(
                point.submergence_standard.get::<meter>(),
                LENGTH_STEP_M,
                &|point| point.spec.dimensions.submergence += step,
            )?,
            slope(
                point.lift_standard.get::<meter>(),
                LENGTH_STEP_M,
                &|point| point.spec.dimensions.lift += step,
            )?,
            scatter,
            if *e <= LOWEST_RATIO.ln() { *e } else { 0.0 },
        ];
        Ok(parts.iter().map(|part| part * part).sum())
    };
    points.iter().zip(errors).map(variance).collect()
}
