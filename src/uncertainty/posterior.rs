//! What measured points of a rig leave open.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::doubt::{Cause, Doubt};
use crate::error::{Error, Input, range};

range!(NOISE, 0.01 to 10, "Relative standard uncertainties of a reading, its logarithm's.");

/// One measured point: its doubt, how far it was off, and how well it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadPoint {
    /// The point as predicted.
    pub doubt: Doubt,
    /// ln(measured/predicted).
    pub off: f64,
    /// Standard uncertainty of that by the reading alone.
    pub noise: f64,
}

/// What is expected of ln(true/predicted) at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Its mean.
    pub mean: f64,
    /// Its standard deviation.
    pub standard: f64,
}

/// Measured points of one rig, ready to be conditioned on.
#[derive(Debug, Clone)]
pub struct Points {
    readings: Vec<ReadPoint>,
    /// For each error that readings share, what it is worth in each.
    shared: Vec<Vec<f64>>,
    /// Of k + U; none without points.
    factor: Option<Cholesky<f64, Dyn>>,
    /// (k + U)⁻¹ y
    weights: DVector<f64>,
    /// What is left open of each source.
    left_open: [f64; 4],
}

impl Points {
    /// Points whose readings share some errors: for each such error what it is worth in every reading, its
    /// standard uncertainty of ln q (0 where a reading has no part in it).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a noise outside [`NOISE`].
    pub fn new(readings: Vec<ReadPoint>, shared: Vec<Vec<f64>>) -> Result<Self, Error> {
        for reading in &readings {
            NOISE.check(Input::Instrument, reading.noise)?;
        }
        Ok(Self::conditioned(readings, shared))
    }

    fn conditioned(readings: Vec<ReadPoint>, shared: Vec<Vec<f64>>) -> Self {
        let n = readings.len();
        // Cholesky's method reads the lower triangle alone.
        let covariance = DMatrix::from_fn(n, n, |i, j| {
            if i < j {
                return 0.0;
            }
            let own = if i == j {
                readings[i].noise.powi(2)
            } else {
                0.0
            };
            let blocks: f64 = shared.iter().map(|error| error[i] * error[j]).sum();
            readings[i].doubt.covariance(&readings[j].doubt) + own + blocks
        });
        let y = DVector::from_iterator(n, readings.iter().map(|reading| reading.off));
        // k is positive semidefinite and U at least 1e-4 on its diagonal.
        let factor = (n > 0).then(|| Cholesky::new(covariance)).flatten();
        let weights = factor
            .as_ref()
            .map_or_else(|| DVector::zeros(n), |factor| factor.solve(&y));
        let mut points = Self {
            readings,
            shared,
            factor,
            weights,
            left_open: [1.0; 4],
        };
        points.left_open = Cause::ALL.map(|source| {
            // σ² − σ⁴ gᵀ (k + U)⁻¹ g
            let g = points.column(|doubt| source.prior() * doubt.scaled(source));
            points.left(1.0, &g)
        });
        points
    }

    /// No points: the prior.
    #[must_use]
    pub fn none() -> Self {
        Self::conditioned(Vec::new(), Vec::new())
    }

    /// The readings.
    #[must_use]
    pub fn readings(&self) -> &[ReadPoint] {
        &self.readings
    }

    /// What would be expected after more readings, each as predicted and of the same noise. What they
    /// would teach does not hang on what they would give.
    pub(crate) fn after(&self, more: impl IntoIterator<Item = Doubt>, noise: f64) -> Self {
        let mut readings = self.readings.clone();
        readings.extend(more.into_iter().map(|doubt| ReadPoint {
            doubt,
            off: 0.0,
            noise,
        }));
        let mut shared = self.shared.clone();
        for error in &mut shared {
            error.resize(readings.len(), 0.0);
        }
        Self::conditioned(readings, shared)
    }

    /// What is expected at a point of the same rig: before any reading, the prior.
    #[must_use]
    pub fn expected(&self, at: &Doubt) -> Expected {
        let near = self.column(|doubt| doubt.covariance(at));
        Expected {
            mean: near.dot(&self.weights),
            standard: self.left(at.covariance(at), &near),
        }
    }

    /// Standard deviation that the readings leave to what has no cause: rig and shape.
    pub(super) fn unexplained(&self, at: &Doubt) -> f64 {
        let near = self.column(|doubt| doubt.unexplained(at));
        self.left(at.unexplained(at), &near)
    }

    /// √(prior − nearᵀ (k + U)⁻¹ near): with k + U = L Lᵀ the told part is |L⁻¹ near|².
    pub(super) fn left(&self, prior: f64, near: &DVector<f64>) -> f64 {
        let told = self.factor.as_ref().map_or(0.0, |factor| {
            let solved = factor.l_dirty().solve_lower_triangular(near);
            solved.map_or(0.0, |solved| solved.norm_squared())
        });
        (prior - told).max(0.0).sqrt()
    }

    /// The covariance that the readings leave between points of the same rig, k** − k*ᵀ (k + U)⁻¹ k*.
    pub(crate) fn covariance(&self, at: &[Doubt]) -> DMatrix<f64> {
        let prior = DMatrix::from_fn(at.len(), at.len(), |i, j| at[i].covariance(&at[j]));
        let Some(factor) = &self.factor else {
            return prior;
        };
        let near = DMatrix::from_fn(self.readings.len(), at.len(), |i, j| {
            self.readings[i].doubt.covariance(&at[j])
        });
        prior - near.tr_mul(&factor.solve(&near))
    }

    /// Standard uncertainty of each reading's logarithm, with what it shares with others.
    pub(crate) fn reading_standards(&self) -> Vec<f64> {
        let shared = |i: usize| self.shared.iter().map(move |error| error[i].powi(2));
        let readings = self.readings.iter().enumerate();
        readings
            .map(|(i, reading)| (reading.noise.powi(2) + shared(i).sum::<f64>()).sqrt())
            .collect()
    }

    /// Standard deviation of a source's part after the readings, over that before: 1 when they tell nothing.
    #[must_use]
    pub fn left_open(&self, source: Cause) -> f64 {
        self.left_open[source as usize]
    }

    /// How far each reading is from what the others let expect, in standard deviations:
    /// z_i = [P y]_i/√P_ii with P = (k + U)⁻¹.
    /// See [Rasmussen & Williams (2006)](crate::references::RASMUSSEN_WILLIAMS_2006), eq. (5.12).
    #[must_use]
    pub fn standing_out(&self) -> Vec<f64> {
        let Some(factor) = &self.factor else {
            return Vec::new();
        };
        let inverse = factor.inverse();
        (0..self.readings.len())
            .map(|i| self.weights[i] / inverse[(i, i)].sqrt())
            .collect()
    }

    pub(super) fn column(&self, of: impl Fn(&Doubt) -> f64) -> DVector<f64> {
        let n = self.readings.len();
        DVector::from_iterator(n, self.readings.iter().map(|reading| of(&reading.doubt)))
    }
}
