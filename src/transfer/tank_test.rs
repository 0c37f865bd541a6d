//! The riser's own transfer coefficient, from an aeration test of it in a tank.

use super::{GasTransfer, TRANSFER_COEFFICIENT};
use crate::error::{AerationError, Error, Input, Solve, range};
use crate::gas::aeration::AERATED_VOLUME;
use crate::gas::{CARBON_DIOXIDE_OF_AIR, Conditions, DISSOLVED, Dissolved};
use crate::riser::{OperatingPoint, Riser};
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::units::{
    Frequency, MassConcentration, MassRate, Ratio, Volume, base, cubic_meter, hertz,
    milligram_per_liter, ratio,
};

range!(TEST_OXYGEN_SHARE, 0 to 0.9,
    "Oxygen at which test and riser are compared, over the test's saturation. Near 1 there is hardly a rate to \
     compare.");

/// Step of the search upwards.
const STEP: f64 = 1.25;
/// Times that the water's stay is worth at instant equilibrium: e⁻⁵⁰ of the deficit is left.
const EQUILIBRIUM: f64 = 50.0;

/// What an aeration test of a riser in a tank found, at the temperature of the test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankTest {
    /// Water in the tank.
    pub volume: Volume,
    /// k_T, kLa of the whole tank: [`Reaeration`](crate::gas::aeration)'s coefficient.
    pub coefficient: Frequency,
    /// C*_T, where the oxygen of the tank ends.
    pub saturation: MassConcentration,
}

impl TankTest {
    /// Oxygen that the tank gains while it holds a share of its saturation.
    ///
    /// ```text
    /// W = V k_T (C*_T − C)                                                     C = share · C*_T
    /// ```
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`AERATED_VOLUME`], [`TRANSFER_COEFFICIENT`], [`DISSOLVED`] or
    /// [`TEST_OXYGEN_SHARE`].
    pub fn rate(&self, share: Ratio) -> Result<MassRate, Error> {
        AERATED_VOLUME.check(Input::AeratedVolume, self.volume.get::<cubic_meter>())?;
        TRANSFER_COEFFICIENT.check(Input::TransferCoefficient, self.coefficient.get::<hertz>())?;
        DISSOLVED.check(Input::Oxygen, self.saturation.get::<milligram_per_liter>())?;
        let share = TEST_OXYGEN_SHARE.check(Input::TestOxygenShare, share.get::<ratio>())?;
        Ok(self.volume * self.coefficient * (self.saturation * (1.0 - share)))
    }
}

impl Riser {
    /// The riser's own k_L a, for [`GasTransfer::coefficient`], from an aeration test of it in a tank: the
    /// coefficient with which [`Riser::transfer`] adds the oxygen that the test says, while the tank holds a
    /// share of its saturation.
    ///
    /// ```text
    /// L_w [c_out(k_L a, C) − C] = V k_T (C*_T − C)                             C = share · C*_T
    /// ```
    ///
    /// The left side is nearly straight in C, as the right side is, so the share hardly matters where the
    /// test's C*_T is the oxygen at which the riser adds none. Where they differ it does: compare two
    /// shares, such as 0.2 and 0.8. One half is a fair choice.
    ///
    /// # Validity
    /// Clean water, well mixed, that goes through the riser and nowhere else meets air: what the tank's
    /// surface gives is counted to the riser, so the coefficient is an upper bound where the surface is
    /// large. The water's stay in the riser is short beside 1/k_T. Nitrogen, argon and carbon dioxide of the
    /// tank are those of air at the site: oxygen was taken out with sulphite, not with nitrogen. The riser
    /// is at the temperature of the test.
    ///
    /// # Errors
    /// [`AerationError::BeyondEquilibrium`] when even water and air in equilibrium give less; as
    /// [`TankTest::rate`] and [`Riser::transfer`]; [`Error::NotConverged`].
    ///
    /// # Examples
    /// ```
    /// use risewater::riser::{Dimensions, RiserSpec, Site};
    /// use risewater::transfer::TankTest;
    /// use risewater::units::*;
    /// use risewater::{AirFlow, AirState, Model, Water};
    ///
    /// let m = Length::new::<meter>;
    /// let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    /// let atmosphere = AbsolutePressure::STANDARD_ATMOSPHERE;
    /// let site = Site { water: Water::fresh(temperature)?, atmosphere };
    /// let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.0), lift: m(0.1) })
    ///     .build(&site, Model::default())?;
    /// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(100.0), &AirState::DRY_20_C)?;
    /// let point = *riser.operate(air)?.point().expect("it pumps");
    /// // A made-up test: 2 m³, 0.5/h, 9.3 mg/L.
    /// let test = TankTest {
    ///     volume: Volume::new::<cubic_meter>(2.0),
    ///     coefficient: Frequency::new::<per_hour>(0.5),
    ///     saturation: MassConcentration::new::<milligram_per_liter>(9.3),
    /// };
    /// let half = riser.coefficient_of_test(&point, &test, Ratio::new::<ratio>(0.5))?;
    /// assert!(half.get::<hertz>() > 0.0);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn coefficient_of_test(
        &self,
        point: &OperatingPoint,
        test: &TankTest,
        share: Ratio,
    ) -> Result<Frequency, Error> {
        let wanted = test.rate(share)?;
        if wanted.value <= 0.0 {
            return Ok(base(0.0));
        }
        let air = Conditions::of(&self.site().water, self.site().atmosphere);
        let inlet = Dissolved {
            oxygen: base((test.saturation * share).value),
            ..Dissolved::saturated(&air)?
        };
        let with = |coefficient: f64| -> Result<(f64, f64), Error> {
            let found = self.transfer(
                point,
                &GasTransfer {
                    coefficient: base(coefficient),
                    diffusion_exponent: base(0.5),
                    inlet,
                    carbon_dioxide_of_air: CARBON_DIOXIDE_OF_AIR,
                },
            )?;
            Ok((found.oxygen_added.value, found.water_time.value))
        };
        let target = wanted.value;
        let excess = |k: f64| with(k).map(|(added, _)| added / target - 1.0);
        // The oxygen added rises with k, and falls a little before equilibrium where the mouth takes some
        // back: the first crossing is the answer, searched from where hardly any is added.
        let (_, stay_s) = with(0.0)?;
        let last = (EQUILIBRIUM / stay_s).min(TRANSFER_COEFFICIENT.max);
        let (mut low, mut f_low, mut best) = (0.0, -1.0, -1.0_f64);
        let mut high = 1e-3 / stay_s;
        loop {
            let f_high = excess(high)?;
            if f_high >= 0.0 {
                let bracket = Bracket {
                    low,
                    f_low,
                    high,
                    f_high,
                };
                // No test tells a rate to 1e-9 of itself.
                let tolerance = Tolerance {
                    relative: 1e-10,
                    absolute: 0.0,
                    residual: 1e-9,
                    rounding: 1e-13,
                };
                return bracketed(Solve::TransferCoefficient, bracket, tolerance, |k| {
                    excess(k).unwrap_or(f64::NAN)
                })
                .map(base);
            }
            best = best.max(f_high);
            if high >= last {
                return Err(Error::Aeration(AerationError::BeyondEquilibrium {
                    rate: wanted,
                    most: base(target * (1.0 + best)),
                }));
            }
            (low, f_low) = (high, f_high);
            high = (high * STEP).min(last);
        }
    }
}
