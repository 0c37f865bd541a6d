//! A whole test: several probes, brought to standard conditions.

use super::{
    AERATED_VOLUME, Reading, Reaeration, THETA, coefficient_at_20_c, saturation_at_20_c,
    standard_transfer_rate,
};
use crate::error::{AerationError, Error, Input, Range};
use crate::gas::Conditions;
use crate::measurement::{Uncertain, combine, count, standard_deviation};
use crate::units::{
    Frequency, MassConcentration, MassRate, Ratio, Volume, base, cubic_meter, kilogram_per_second,
};

/// Numbers of probes.
const PROBES: Range = Range::new(1.0, 1000.0, "");

/// An aeration test as it was run.
///
/// # Examples
/// ```
/// use risewater::gas::Conditions;
/// use risewater::gas::aeration::{AerationTest, Reading};
/// use risewater::units::*;
///
/// // Made up: two probes in 2 m³ at 24 °C, kLa = 6/h and 5.8/h, both ending at 8.42 mg/L.
/// let probe = |per_minute: f64| -> Vec<Reading> {
///     (0..30)
///         .map(|n| {
///             let minutes = f64::from(n);
///             let oxygen: f64 = 8.42 * (1.0 - (-per_minute * minutes).exp());
///             Reading {
///                 time: Time::new::<minute>(minutes),
///                 oxygen: MassConcentration::new::<milligram_per_liter>((100.0 * oxygen).round() / 100.0),
///             }
///         })
///         .collect()
/// };
/// let test = AerationTest::new(
///     Volume::new::<cubic_meter>(2.0),
///     Conditions::fresh(
///         ThermodynamicTemperature::new::<degree_celsius>(24.0),
///         AbsolutePressure::STANDARD_ATMOSPHERE,
///     ),
///     vec![probe(6.0 / 60.0), probe(5.8 / 60.0)],
/// );
/// let standard = test.reduce()?;
/// // 2 m³ × 5.9/h × 1.024^−4 × 8.42 mg/L × 9.0924/8.4182 = 0.0976 kg/h
/// assert_eq!(format!("{:.4}", standard.rate.value.get::<kilogram_per_hour>()), "0.0976");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct AerationTest {
    /// Water in the tank.
    pub volume: Volume,
    /// Water and barometer during the test.
    pub conditions: Conditions,
    /// θ.
    pub theta: Ratio,
    /// Readings of each probe.
    pub probes: Vec<Vec<Reading>>,
}

/// What one probe says.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ProbeTransfer {
    /// Its curve.
    pub fit: Reaeration,
    /// kLa at 20 °C.
    pub coefficient_at_20_c: Frequency,
    /// C* at 20 °C and one atmosphere.
    pub saturation_at_20_c: MassConcentration,
    /// SOTR, with the uncertainty of its fit.
    pub rate: Uncertain<MassRate>,
}

/// Standard oxygen transfer of a test.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StandardTransfer {
    /// Each probe.
    pub probes: Vec<ProbeTransfer>,
    /// SOTR, the mean over the probes, with what the fits leave uncertain. Volume, temperature,
    /// barometer and the probes' calibration are not in it, nor that the tank differs from place to
    /// place: see [`spread`](Self::spread).
    pub rate: Uncertain<MassRate>,
    /// Standard deviation of the probes' SOTR over their mean; none with one probe. Where it is well
    /// beyond each probe's own uncertainty, the tank is not mixed or a probe is off.
    pub spread: Option<Ratio>,
}

impl AerationTest {
    /// A test, θ = [`THETA`].
    #[must_use]
    pub fn new(volume: Volume, conditions: Conditions, probes: Vec<Vec<Reading>>) -> Self {
        Self {
            volume,
            conditions,
            theta: THETA,
            probes,
        }
    }

    /// Fits each probe and brings all to standard conditions.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`AERATED_VOLUME`], without a probe, and as
    /// [`coefficient_at_20_c`] and [`saturation_at_20_c`]; [`AerationError::Probe`] around what
    /// [`Reaeration::of`] says of a probe.
    ///
    /// # Examples
    /// See [`AerationTest`].
    pub fn reduce(&self) -> Result<StandardTransfer, Error> {
        AERATED_VOLUME.check(Input::AeratedVolume, self.volume.get::<cubic_meter>())?;
        PROBES.check(Input::Probes, count(&self.probes))?;
        let mut probes = Vec::with_capacity(self.probes.len());
        for (n, readings) in self.probes.iter().enumerate() {
            let fit = Reaeration::of(readings).map_err(|fault| {
                Error::Aeration(AerationError::Probe {
                    probe: n + 1,
                    fault: Box::new(fault),
                })
            })?;
            probes.push(self.at_standard(fit)?);
        }
        let n = count(&probes);
        let rates: Vec<f64> = probes
            .iter()
            .map(|probe| probe.rate.value.get::<kilogram_per_second>())
            .collect();
        let mean = rates.iter().sum::<f64>() / n;
        let shares = probes.iter().map(|probe| {
            let rate = &probe.rate;
            let share = rate.standard.get::<kilogram_per_second>() / n;
            (share, rate.degrees_of_freedom)
        });
        let (standard, freedom) = combine(shares, |_| 0.0);
        let mut rate = Uncertain::new(base(mean), base(standard));
        rate.degrees_of_freedom = freedom;
        let spread = (rates.len() > 1).then(|| base(standard_deviation(&rates) / mean));
        Ok(StandardTransfer {
            probes,
            rate,
            spread,
        })
    }

    fn at_standard(&self, fit: Reaeration) -> Result<ProbeTransfer, Error> {
        let (k, end) = (&fit.coefficient, &fit.saturation);
        let k_20 = coefficient_at_20_c(k.value, self.conditions.temperature, self.theta)?;
        let end_20 = saturation_at_20_c(end.value, &self.conditions)?;
        let value = standard_transfer_rate(self.volume, k_20, end_20)?;
        // (u/SOTR)² = (u(k)/k)² + (u(C*)/C*)² + 2 r u(k)/k u(C*)/C*
        let (u, w) = (
            (k.standard / k.value).value,
            (end.standard / end.value).value,
        );
        let share = (u * u + w * w + 2.0 * fit.correlation * u * w)
            .max(0.0)
            .sqrt();
        let mut rate = Uncertain::new(value, value * share);
        rate.degrees_of_freedom = k.degrees_of_freedom;
        Ok(ProbeTransfer {
            fit,
            coefficient_at_20_c: k_20,
            saturation_at_20_c: end_20,
            rate,
        })
    }
}
