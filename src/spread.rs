//! How sure a predicted flow is.
//!
//! Two kinds, never mixed. Inside the published data, the residuals of the same model against the
//! experiments give an interval. Outside them, which includes most hatchery risers (shorter than any
//! whose measurements we hold), there is a band over what the physics leaves open: a scenario, not a
//! confidence interval, and a reason for a bench trial.

use std::cell::OnceCell;

use crate::air::AirFlow;
use crate::error::{Error, Range};
use crate::model::{DevelopingLength, Model};
use crate::published::{LOWEST_SHARE_OF_PEAK, Residual, Rig};
use crate::riser::{BrinkHead, Outlet, Riser};
use crate::units::{Length, Ratio, VolumeRate, base, meter, millimeter, per_mille, ratio};

/// Bores of the published rigs.
pub const PUBLISHED_BORE: Range = Range::new(25.4, 100.0, "mm");
/// Riser lengths of the published rigs.
pub const PUBLISHED_LENGTH: Range = Range::new(68.0, 420.0, "bores");
/// Submergence ratios of the published points in use.
pub const PUBLISHED_SUBMERGENCE_RATIO: Range = Range::new(0.4, 0.982, "");
/// Salinities at which the published (fresh water) points stand for the water.
pub const PUBLISHED_SALINITY: Range = Range::new(0.0, 5.0, "g/kg");

/// Share of the published residuals that the interval holds.
pub const SHARE: f64 = 0.9;
/// Edges of the classes of riser length, in bores.
const LENGTH_CLASSES: [f64; 4] = [68.0, 90.0, 200.0, 421.0];
/// Edges of the classes of submergence ratio.
const SUBMERGENCE_CLASSES: [f64; 4] = [0.4, 0.55, 0.7, 1.0];
/// Fewest points behind an interval.
const FEWEST: usize = 20;

/// Where a spread comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum SpreadKind {
    /// Residuals against published experiments: [`SHARE`] of them lie inside.
    PublishedResiduals {
        /// Number of points behind it.
        points: usize,
    },
    /// A band over what the physics leaves open; not a confidence interval.
    Scenario {
        /// Number of variants solved.
        variants: usize,
    },
    /// Residual scatter and parameter covariance of a bench calibration: a 95 % prediction interval.
    Calibration {
        /// Number of points behind it.
        points: usize,
    },
}

impl SpreadKind {
    /// The name in reports.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::PublishedResiduals { .. } => "published_residuals",
            Self::Scenario { .. } => "scenario",
            Self::Calibration { .. } => "calibration",
        }
    }
}

/// Limits of a predicted water flow.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Spread {
    /// Where it comes from.
    pub kind: SpreadKind,
    /// Lower limit.
    pub low: VolumeRate,
    /// Upper limit.
    pub high: VolumeRate,
}

/// The residuals of one model against the published experiments, computed when first needed.
#[derive(Debug, Clone)]
pub struct Evidence {
    model: Model,
    residuals: OnceCell<Result<Vec<Residual>, Error>>,
}

impl Evidence {
    /// The evidence on a model.
    #[must_use]
    pub fn on(model: Model) -> Self {
        Self {
            model,
            residuals: OnceCell::new(),
        }
    }

    /// All residuals.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a developing length out of range.
    pub fn residuals(&self) -> Result<&[Residual], Error> {
        let all = self.residuals.get_or_init(|| {
            let mut all = Vec::new();
            for rig in Rig::all() {
                all.extend(rig.residuals(self.model)?);
            }
            Ok(all)
        });
        all.as_deref().map_err(Clone::clone)
    }

    /// Residuals of risers of the same class: length in bores and submergence ratio, or length
    /// alone when those are too few.
    fn alike(&self, bores: f64, submergence_ratio: f64) -> Result<Vec<f64>, Error> {
        let length = class(&LENGTH_CLASSES, bores);
        let depth = class(&SUBMERGENCE_CLASSES, submergence_ratio);
        let all = self.residuals()?;
        let near = |r: &&Residual| class(&LENGTH_CLASSES, r.length_in_bores) == length;
        let both =
            |r: &&Residual| near(r) && class(&SUBMERGENCE_CLASSES, r.submergence_ratio) == depth;
        let mut alike: Vec<f64> = all.iter().filter(both).map(Residual::logarithm).collect();
        if alike.len() < FEWEST {
            alike = all.iter().filter(near).map(Residual::logarithm).collect();
        }
        alike.sort_by(f64::total_cmp);
        Ok(alike)
    }
}

impl Spread {
    /// The spread of a riser's water flow at an air flow.
    ///
    /// Inside the published data (bore, length in bores, submergence ratio, plain outlet, fresh
    /// water, at least 30 % of the peak flow) it is taken from the residuals of the riser's own
    /// model: the limits are Q·e^(−r) at the quantiles of r = ln(predicted/measured). Elsewhere it
    /// is the [scenario](Self::scenario).
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn of(riser: &Riser, air: AirFlow, evidence: &Evidence) -> Result<Self, Error> {
        let flow = riser.operate(air)?.water_flow();
        if evidence.model == riser.model() && published(riser) && flow > base(0.0) {
            let peak = riser.peak()?.water_flow;
            if flow >= LOWEST_SHARE_OF_PEAK * peak {
                let (bores, submergence_ratio) = shape(riser);
                let residuals = evidence.alike(bores, submergence_ratio)?;
                if residuals.len() >= FEWEST {
                    let tail = 0.5 * (1.0 - SHARE);
                    return Ok(Self {
                        kind: SpreadKind::PublishedResiduals {
                            points: residuals.len(),
                        },
                        low: flow * (-quantile(&residuals, 1.0 - tail)).exp(),
                        high: flow * (-quantile(&residuals, tail)).exp(),
                    });
                }
            }
        }
        Self::scenario(riser, air)
    }

    /// The band over a developing length of 0, 8 bores and a fixed 0.2 m, entrance losses of 0.5
    /// and 1, both readings of the brink head where there is one, and the riser's own settings.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn scenario(riser: &Riser, air: AirFlow) -> Result<Self, Error> {
        let own = riser.operate(air)?.water_flow();
        let (mut low, mut high, mut variants) = (own, own, 1);
        let bores = |bores| DevelopingLength::Bores(Ratio::new::<ratio>(bores));
        let fixed = Length::new::<meter>(DevelopingLength::LONGEST_M);
        for length in [
            bores(0.0),
            bores(DevelopingLength::MOST_BORES),
            fixed.into(),
        ] {
            let model = riser.model().with_developing_length(length);
            for entrance_loss in [0.5, 1.0] {
                let spec = riser
                    .spec()
                    .with_entrance_loss(Ratio::new::<ratio>(entrance_loss));
                for outlet in readings(spec.outlet) {
                    let variant = spec.with_outlet(outlet).build(riser.site(), model)?;
                    let flow = variant.operate(air)?.water_flow();
                    low = if flow < low { flow } else { low };
                    high = if flow > high { flow } else { high };
                    variants += 1;
                }
            }
        }
        Ok(Self {
            kind: SpreadKind::Scenario { variants },
            low,
            high,
        })
    }
}

/// Both readings of the brink head, or the outlet alone.
fn readings(outlet: Outlet) -> impl Iterator<Item = Outlet> {
    let (first, second) = match outlet {
        Outlet::Elbow { loss, bore, .. } => (
            Outlet::Elbow {
                loss,
                bore,
                head: BrinkHead::Mixture,
            },
            Some(Outlet::Elbow {
                loss,
                bore,
                head: BrinkHead::ClearWater,
            }),
        ),
        other => (other, None),
    };
    std::iter::once(first).chain(second)
}

/// Length in bores and submergence ratio.
fn shape(riser: &Riser) -> (f64, f64) {
    let length = riser.spec().length();
    (
        (length / riser.spec().free_bore()).value,
        riser.spec().submergence_ratio(),
    )
}

fn published(riser: &Riser) -> bool {
    let (bores, submergence_ratio) = shape(riser);
    PUBLISHED_BORE.contains(riser.spec().free_bore().get::<millimeter>())
        && PUBLISHED_LENGTH.contains(bores)
        && PUBLISHED_SUBMERGENCE_RATIO.contains(submergence_ratio)
        && PUBLISHED_SALINITY.contains(riser.site().water.salinity().get::<per_mille>())
        && riser.spec().air_line.is_none()
        && matches!(riser.spec().outlet, Outlet::Plain { .. })
}

fn class(edges: &[f64], value: f64) -> usize {
    edges.iter().filter(|edge| value >= **edge).count()
}

/// Linear interpolation between order statistics.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place in the list, between none and its length"
)]
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let place = share * (sorted.len() - 1) as f64;
    let below = place.floor();
    let (low, high) = (
        sorted[below as usize],
        sorted[(below as usize + 1).min(sorted.len() - 1)],
    );
    low + (place - below) * (high - low)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_interpolate() {
        let sorted = [0.0, 1.0, 2.0, 3.0];
        assert_eq!(quantile(&sorted, 0.0), 0.0);
        assert_eq!(quantile(&sorted, 0.5), 1.5);
        assert_eq!(quantile(&sorted, 1.0), 3.0);
    }
}
