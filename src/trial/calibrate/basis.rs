//! What every fit to the same points shares.

use super::misfit::{Misfit, own_error};
use super::parameter::Parameter;
use super::point::FitPoint;
use super::setting::{Process, Settings};
use super::terms::{FitTerms, MODEL_SCATTER, REACH, SHARED_ERROR};
use super::weights::{Weights, variances};
use crate::error::{Error, Input, Range};
use crate::model::{DEVELOPING_LENGTH, Model};
use crate::units::{meter, ratio};

/// Points, terms, and what they give before any parameter moves.
pub(super) struct Basis<'a> {
    pub points: &'a [FitPoint],
    pub model: Model,
    pub terms: FitTerms,
    pub prior: bool,
    pub settings: Settings,
    pub process: Process,
    /// e of each point as it stands, with its own entrance loss.
    pub before: Vec<f64>,
}

impl<'a> Basis<'a> {
    pub fn of(points: &'a [FitPoint], model: Model, terms: &FitTerms) -> Result<Self, Error> {
        MODEL_SCATTER.check(Input::ModelScatter, terms.scatter.get::<ratio>())?;
        let size = SHARED_ERROR.check(Input::ModelScatter, terms.shared.get::<ratio>())?;
        REACH.check(Input::Reach, terms.reach.get::<ratio>())?;
        for point in points {
            point.check()?;
        }
        Ok(Self {
            points,
            model,
            terms: *terms,
            prior: terms.prior,
            settings: Settings::of(points),
            process: Process {
                size,
                reach: terms.reach,
            },
            before: points
                .iter()
                .map(|point| own_error(point, model))
                .collect::<Result<_, _>>()?,
        })
    }

    /// Weights where some parameters have some values, and the errors are these.
    pub fn weigh(
        &self,
        parameters: &[Parameter],
        x: &[f64],
        errors: &[f64],
    ) -> Result<Weights, Error> {
        let mut model = self.model;
        let mut points = self.points.to_vec();
        for point in &mut points {
            for (parameter, value) in parameters.iter().zip(x) {
                parameter.set(*value, &mut point.spec, &mut model);
            }
        }
        let scatter = self.terms.scatter.get::<ratio>();
        let variances = variances(&points, model, errors, scatter)?;
        Ok(Weights::of(variances, &self.settings, self.process))
    }

    /// The problem of fitting some parameters, which start from the first point's.
    pub fn misfit<'b>(&'b self, parameters: &'b [Parameter], weights: &'b Weights) -> Misfit<'b> {
        let start = |parameter: &Parameter| {
            let first = self.points.first();
            first.map_or(f64::NAN, |point| {
                parameter.of(&point.spec, &self.model).value
            })
        };
        Misfit {
            basis: self,
            weights,
            parameters,
            bounds: parameters.iter().map(|p| bounds(*p, self.points)).collect(),
            start: parameters.iter().map(start).collect(),
        }
    }

    /// Whether the points as they stand are those with the parameters' starting values.
    pub fn same_entrance(&self, parameters: &[Parameter]) -> bool {
        let alike = |pair: &[FitPoint]| pair[0].spec.entrance_loss == pair[1].spec.entrance_loss;
        !parameters.contains(&Parameter::EntranceLoss) || self.points.windows(2).all(alike)
    }
}

/// What a parameter can be on these risers.
fn bounds(parameter: Parameter, points: &[FitPoint]) -> (f64, f64) {
    let Range { min, max, .. } = parameter.range();
    let widest = points
        .iter()
        .map(|point| point.spec.dimensions.bore.get::<meter>())
        .fold(0.0, f64::max);
    match parameter {
        Parameter::DevelopingLength => (min, max.min(DEVELOPING_LENGTH.max / widest)),
        _ => (min, max),
    }
}
