//! An aeration test, brought to standard conditions and to the riser that was the aerator.

use super::TankTest;
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::gas::aeration::{
    AerationEfficiency, AerationTest, AeratorPower, Field, StandardTransfer, aeration_efficiency,
    field_transfer_rate, standard_transfer_efficiency,
};
use crate::riser::Riser;
use crate::units::{Frequency, MassRate, Ratio, base, meter, percent};

/// An aeration test, and what is known of its aerator.
#[derive(Debug, Clone)]
pub struct AerationBench {
    /// Names of the probes, in the order of the test's.
    pub names: Vec<String>,
    /// The test.
    pub test: AerationTest,
    /// Power taken while it ran.
    pub power: Option<AeratorPower>,
    /// Air given while it ran.
    pub air: Option<AirFlow>,
    /// Where the aerator is to work.
    pub field: Option<Field>,
    /// The airlift that was the aerator.
    pub riser: Option<Riser>,
}

/// An aeration test, reduced.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Aeration {
    /// The test.
    pub bench: AerationBench,
    /// At standard conditions.
    pub standard: StandardTransfer,
    /// SAE, where the power is known.
    pub efficiency: Option<AerationEfficiency>,
    /// SOTE, where the air is known.
    pub share_of_air: Option<Ratio>,
    /// Oxygen where the aerator is to work.
    pub field_rate: Option<MassRate>,
    /// The riser's own transfer coefficient, where there is a riser; or why there is none.
    pub riser: Option<Result<OwnCoefficient, NoCoefficient>>,
}

impl Aeration {
    /// Reduces a test.
    ///
    /// # Errors
    /// As [`AerationTest::reduce`], [`aeration_efficiency`], [`standard_transfer_efficiency`] and
    /// [`field_transfer_rate`]. A riser without a coefficient is none.
    pub fn of(bench: AerationBench) -> Result<Self, Error> {
        let standard = bench.test.reduce()?;
        let rate = standard.rate.value;
        let efficiency = bench.power.map(|power| aeration_efficiency(rate, power));
        let share = bench.air.map(|air| standard_transfer_efficiency(rate, air));
        let field = bench.field.as_ref();
        let field = field.map(|field| field_transfer_rate(rate, field));
        let riser = bench.riser.as_ref();
        Ok(Self {
            efficiency: efficiency.transpose()?,
            share_of_air: share.transpose()?,
            field_rate: field.transpose()?,
            riser: riser.map(|riser| OwnCoefficient::of(riser, &bench, &standard)),
            standard,
            bench,
        })
    }

    /// What to read the result with, and what can hurt.
    #[must_use]
    pub fn cautions(&self) -> Vec<Caution> {
        let mut all = Vec::new();
        if let Some((riser, air)) = self.bench.riser.as_ref().zip(self.bench.air) {
            all.extend(riser.operate(air).iter().flat_map(|o| riser.cautions(o)));
        }
        all.extend([Caution::OxygenTakenOut, Caution::LossOfAir]);
        if let Some(riser) = &self.bench.riser {
            let depth_m = riser.spec().dimensions.submergence.get::<meter>();
            all.push(Caution::GasSupersaturation { depth_m });
        }
        all.extend([Caution::AirInPlasticPipe, Caution::MainsNearWater]);
        all
    }
}

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
    fn of(
        riser: &Riser,
        bench: &AerationBench,
        standard: &StandardTransfer,
    ) -> Result<Self, NoCoefficient> {
        let outcome = riser.operate(bench.air.ok_or(NoCoefficient::NoAir)?)?;
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
