//! What measured points of a rig leave open.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::doubt::{Doubt, Source};
use crate::error::{Error, Input, Range};

/// Relative standard uncertainties of a reading, its logarithm's.
pub const NOISE: Range = Range::new(0.01, 10.0, "");

/// One measured point: its doubt, how far it was off, and how well it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
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
    readings: Vec<Reading>,
    /// Of k + U; none without points.
    factor: Option<Cholesky<f64, Dyn>>,
    /// (k + U)⁻¹ y
    weights: DVector<f64>,
}

impl Points {
    /// Points whose readings share some errors: for each such error what it is worth in every reading, its
    /// standard uncertainty of ln q (0 where a reading has no part in it).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a noise outside [`NOISE`].
    pub fn new(readings: Vec<Reading>, shared: &[Vec<f64>]) -> Result<Self, Error> {
        for reading in &readings {
            NOISE.check(Input::Instrument, reading.noise)?;
        }
        let n = readings.len();
        let covariance = DMatrix::from_fn(n, n, |i, j| {
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
        Ok(Self {
            readings,
            factor,
            weights,
        })
    }

    /// What is expected at a point of the same rig: before any reading, the prior.
    #[must_use]
    pub fn expected(&self, at: &Doubt) -> Expected {
        let prior = at.covariance(at);
        let Some(factor) = &self.factor else {
            return Expected {
                mean: 0.0,
                standard: prior.sqrt(),
            };
        };
        let near = self.near(at);
        let told = near.dot(&factor.solve(&near));
        Expected {
            mean: near.dot(&self.weights),
            standard: (prior - told).max(0.0).sqrt(),
        }
    }

    /// Standard deviation of a source's part after the readings, over that before: 1 when they tell nothing.
    #[must_use]
    pub fn left_open(&self, source: Source) -> f64 {
        let Some(factor) = &self.factor else {
            return 1.0;
        };
        // σ² − σ⁴ gᵀ (k + U)⁻¹ g
        let g = self.column(|doubt| doubt.scaled_slope(source));
        let told = source.prior().powi(2) * g.dot(&factor.solve(&g));
        (1.0 - told).max(0.0).sqrt()
    }

    /// How far each reading is from what the others let expect, in standard deviations:
    /// z_i = [P y]_i/√P_ii with P = (k + U)⁻¹.
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

    fn near(&self, at: &Doubt) -> DVector<f64> {
        self.column(|doubt| doubt.covariance(at))
    }

    fn column(&self, of: impl Fn(&Doubt) -> f64) -> DVector<f64> {
        let n = self.readings.len();
        DVector::from_iterator(n, self.readings.iter().map(|reading| of(&reading.doubt)))
    }
}
