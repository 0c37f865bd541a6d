//! The riser's own transfer coefficient, or why a test tells none.

use crate::design::AerationBench;
use crate::error::Error;
use crate::gas::aeration::StandardTransfer;
use crate::transfer::TankTest;
use crate::units::{Frequency, Ratio, base, percent};

/// The riser's own transfer coefficient by an aeration test.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct OwnCoefficient {
    /// With the tank at half of its saturation.
    pub value: Frequency,
    /// Limits of 95 % by the fits alone: the coefficients at the limits of the test's rate. Volume, air flow,
    /// the riser's model and the tank's surface are not in them. None where such a rate has no coefficient:
    /// the upper one can be more than water and air in equilibrium give.
    pub limits: [Option<Frequency>; 2],
    /// With the tank at 20 and at 80 % of its saturation: how far the answer hangs on that choice.
    pub elsewhere: [Option<Frequency>; 2],
}

/// Why there is none.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NoCoefficient {
    /// The air of the test is not known.
    #[error("the air of the test is not given: add flow and reference in [air]")]
    NoAir,
    /// No water goes through the riser.
    #[error("the riser does not pump with the air of the test")]
    NotPumping,
    /// The riser cannot be solved, or gives less than the test found.
    #[error(transparent)]
    Refused(#[from] Error),
}

impl OwnCoefficient {
    /// Of the riser of a test; none where the file has no riser.
    pub(super) fn of(
        bench: &AerationBench,
        standard: &StandardTransfer,
    ) -> Option<Result<Self, NoCoefficient>> {
        bench.riser.as_ref().map(|_| Self::found(bench, standard))
    }

    fn found(bench: &AerationBench, standard: &StandardTransfer) -> Result<Self, NoCoefficient> {
        let (riser, air) = (bench.riser.as_ref())
            .zip(bench.air)
            .ok_or(NoCoefficient::NoAir)?;
        let outcome = riser.operate(air)?;
        let point = outcome.point().ok_or(NoCoefficient::NotPumping)?;
        let n = standard.probes.len() as f64;
        let fits = || standard.probes.iter().map(|probe| &probe.fit);
        let k = fits().map(|fit| fit.coefficient.value.value).sum::<f64>() / n;
        let end = fits().map(|fit| fit.saturation.value.value).sum::<f64>() / n;
        let at = |times: f64, share: f64| {
            let test = TankTest {
                volume: bench.test.volume,
                coefficient: base(times * k),
                saturation: base(end),
            };
            riser.coefficient_of_test(point, &test, base(share))
        };
        // At a share of C* the tank gains V k C* (1 − share): as uncertain as SOTR, a multiple of V k C*.
        let rate = &standard.rate;
        let (low, high) = rate.interval(Ratio::new::<percent>(95.0))?;
        let limit = |rate_there: f64| at(rate_there / rate.value.value, 0.5).ok();
        Ok(Self {
            value: at(1.0, 0.5)?,
            limits: [limit(low.value), limit(high.value)],
            elsewhere: [at(1.0, 0.2).ok(), at(1.0, 0.8).ok()],
        })
    }
}
