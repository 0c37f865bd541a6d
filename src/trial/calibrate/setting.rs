//! Errors of the model at the settings of a bench, as a Gaussian process beside the parameters.

use nalgebra::{Cholesky, DMatrix, DVector};

use super::point::FitPoint;
use super::rig::same;
use crate::riser::{FlowCorrection, Place};
use crate::units::{Ratio, base};

/// What a calibration found of the model's error at one setting: ln(predicted/true) with the fitted
/// parameters, alike for all air flows there.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SettingError {
    /// The setting: that of its first point; points within 1 % of it in each number belong to it.
    pub place: Place,
    /// Number of points.
    pub points: usize,
    /// The error.
    pub error: Ratio,
    /// Its standard uncertainty, that of the parameters included.
    pub standard: Ratio,
    /// Σ 1/u² of its points.
    pub(crate) weight: f64,
    /// Mean of ∂e/∂x of its points, weighted so, for each fitted parameter.
    pub(crate) slopes: Vec<f64>,
}

/// The settings of some points.
#[derive(Debug, Clone)]
pub(super) struct Settings {
    /// Place and number of points of each.
    pub places: Vec<(Place, usize)>,
    /// The setting of each point.
    pub of: Vec<usize>,
}

impl Settings {
    pub fn of(points: &[FitPoint]) -> Self {
        let mut found = Self {
            places: Vec::new(),
            of: Vec::new(),
        };
        for point in points {
            let place = Place::of(&point.spec);
            let known = found
                .places
                .iter()
                .position(|(other, _)| same(other, &place));
            let n = known.unwrap_or(found.places.len());
            if known.is_none() {
                found.places.push((place, 0));
            }
            found.places[n].1 += 1;
            found.of.push(n);
        }
        found
    }

    /// The points of one setting.
    pub fn members(&self, setting: usize) -> Vec<usize> {
        (0..self.of.len())
            .filter(|n| self.of[*n] == setting)
            .collect()
    }
}

/// What is supposed of the errors: their size c and how alike they are.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Process {
    pub size: f64,
    pub reach: Ratio,
}

impl Process {
    /// c² k between some places.
    pub fn covariance(&self, places: &[Place]) -> DMatrix<f64> {
        DMatrix::from_fn(places.len(), places.len(), |i, j| {
            self.size.powi(2) * places[i].alike(&places[j], self.reach)
        })
    }

    /// What is left to do with points whose weights in each setting are known:
    ///
    /// ```text
    /// A = C (C + T⁻¹)⁻¹     P = C − A C     C = c² k,  T = diag(Σ 1/u²)
    /// ```
    ///
    /// d = A ē from the mean errors ē of the settings, with covariance P for given parameters.
    pub fn posterior(&self, places: &[Place], weights: &[f64]) -> (DMatrix<f64>, DMatrix<f64>) {
        let c = self.covariance(places);
        let mut sum = c.clone();
        for (n, weight) in weights.iter().enumerate() {
            sum[(n, n)] += 1.0 / weight;
        }
        let gain = match Cholesky::new(sum) {
            // A = C S⁻¹ = (S⁻¹ C)ᵀ
            Some(s) if self.size > 0.0 => s.solve(&c).transpose(),
            _ => DMatrix::zeros(places.len(), places.len()),
        };
        let left = &c - &gain * &c;
        (gain, left)
    }
}

/// Covariance of parameters and setting errors together.
#[derive(Debug, Clone)]
pub(crate) struct Joint {
    /// First the parameters, then the settings.
    pub covariance: DMatrix<f64>,
}

impl Joint {
    /// From the covariance of the parameters and what each setting says; `scale` is what all variances
    /// are widened by (the parameters' are already).
    pub fn of(
        process: Process,
        parameters: &[Vec<f64>],
        settings: &[(Place, f64, Vec<f64>)],
        scale: f64,
    ) -> Self {
        let (p, m) = (parameters.len(), settings.len());
        let places: Vec<Place> = settings.iter().map(|s| s.0).collect();
        let weights: Vec<f64> = settings.iter().map(|s| s.1).collect();
        let (gain, left) = process.posterior(&places, &weights);
        let theta = DMatrix::from_fn(p, p, |i, j| parameters[i][j]);
        // d follows the parameters by G = A B.
        let follow = &gain * DMatrix::from_fn(m, p, |i, j| settings[i].2[j]);
        let cross = &follow * &theta;
        let own = left * scale + &cross * follow.transpose();
        let mut covariance = DMatrix::zeros(p + m, p + m);
        covariance.view_mut((0, 0), (p, p)).copy_from(&theta);
        covariance.view_mut((p, 0), (m, p)).copy_from(&cross);
        covariance
            .view_mut((0, p), (p, m))
            .copy_from(&cross.transpose());
        covariance.view_mut((p, p), (m, m)).copy_from(&own);
        Self { covariance }
    }

    /// Standard uncertainty of one of them.
    pub fn standard(&self, n: usize) -> f64 {
        self.covariance[(n, n)].max(0.0).sqrt()
    }
}

/// k*ᵀk⁻¹ of a place: what each setting says of it. Zeros where no error is supposed.
pub(super) fn shares(settings: &[SettingError], place: &Place, process: Process) -> Vec<f64> {
    let unit = Process {
        size: 1.0,
        ..process
    };
    let places: Vec<Place> = settings.iter().map(|s| s.place).collect();
    let k = DVector::from_iterator(
        places.len(),
        places.iter().map(|at| at.alike(place, process.reach)),
    );
    match Cholesky::new(unit.covariance(&places)) {
        Some(all) if process.size > 0.0 => all.solve(&k).iter().copied().collect(),
        _ => vec![0.0; places.len()],
    }
}

/// The correction that setting errors make.
pub(super) fn correction(settings: &[SettingError], process: Process) -> FlowCorrection {
    let unit = Process {
        size: 1.0,
        ..process
    };
    let places: Vec<Place> = settings.iter().map(|s| s.place).collect();
    let errors = DVector::from_iterator(
        places.len(),
        settings.iter().map(|setting| setting.error.value),
    );
    let weights = match Cholesky::new(unit.covariance(&places)) {
        Some(all) if process.size > 0.0 => all.solve(&errors),
        _ => DVector::zeros(places.len()),
    };
    FlowCorrection {
        reach: process.reach,
        settings: places.into_iter().zip(weights.iter().copied()).collect(),
    }
}

impl SettingError {
    pub(crate) fn new(
        (place, points): (Place, usize),
        (error, standard): (f64, f64),
        (weight, slopes): (f64, Vec<f64>),
    ) -> Self {
        Self {
            place,
            points,
            error: base(error),
            standard: base(standard),
            weight,
            slopes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, meter, ratio};

    fn place(submergence_ratio: f64) -> Place {
        Place {
            submergence_ratio: Ratio::new::<ratio>(submergence_ratio),
            length_in_bores: Ratio::new::<ratio>(30.0),
            bore: Length::new::<meter>(0.05),
        }
    }

    /// One setting: d = ē c²/(c² + 1/T), variance c²/T/(c² + 1/T); here c² = 0.01 and 1/T = 0.0025.
    #[test]
    fn one_setting_is_shrunk() {
        let process = Process {
            size: 0.1,
            reach: Ratio::new::<ratio>(0.2),
        };
        let (gain, left) = process.posterior(&[place(0.7)], &[400.0]);
        assert!((gain[(0, 0)] - 0.8).abs() < 1e-12);
        assert!((left[(0, 0)] - 0.002).abs() < 1e-12);
    }

    /// exp(−0.1/0.2), and a doubled bore with the same length in bores leaves 1/e.
    #[test]
    fn likeness_falls_with_distance() {
        let reach = Ratio::new::<ratio>(0.2);
        let mut other = place(0.8);
        assert!((place(0.7).alike(&other, reach) - (-0.5_f64).exp()).abs() < 1e-12);
        other.bore = Length::new::<meter>(0.1);
        assert!((place(0.7).alike(&other, reach) - (-1.5_f64).exp()).abs() < 1e-12);
    }
}
