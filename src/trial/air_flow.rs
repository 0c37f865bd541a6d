//! Air flow from a bottle filled over water, or from a meter.

use super::budget::Source;
use super::instruments::Instruments;
use super::measured::{Measured, measure};
use super::repeats::Repeats;
use crate::air::{AirFlow, AirState, DRY_AIR_GAS_CONSTANT};
use crate::error::{Error, Input, range};
use crate::measurement::{Estimate, rectangular};
use crate::riser::ATMOSPHERE;
use crate::units::{
    AbsolutePressure, GRAVITY_M_PER_S2, Length, MassRate, ThermodynamicTemperature, Time, Volume,
    VolumeRate, base, cubic_meter, degree_celsius, kelvin, kelvin_interval, kilopascal, liter,
    liter_per_minute, meter, pascal, ratio,
};
use crate::water::{Water, saturation_pa};

range!(BOTTLE_VOLUME, 0.01 to 1e5 "L", "Volumes of [`DisplacedAir`].");
range!(AIR_TIME, 0.1 to 86_400 "s", "Times of [`DisplacedAir`].");
range!(BOTTLE_LEVEL, -3 to 3 "m", "Level differences of [`DisplacedAir`].");
range!(BOTTLE_TEMPERATURE, 0 to 60 "degC", "Temperatures of [`DisplacedAir`].");
range!(METERED_AIR, 1e-3 to 1e9 "L/min", "Readings of [`MeteredAir`].");

/// The time to displace a known volume of water from an inverted bottle.
///
/// ```text
/// ṁ   = V p_d/(R T t)
/// p_d = p_b − ρ g h − p_v(T)
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | V, t | volume of air in the bottle and the time it took | m³, s |
/// | p_d | partial pressure of the dry air | Pa |
/// | p_b | station barometer, not reduced to sea level | Pa |
/// | h | water level inside the bottle above that of the bath; below it, h < 0 | m |
/// | p_v | vapour pressure of the bath's water at the temperature of the air | Pa |
/// | T | temperature of the air in the bottle | K |
///
/// # Validity
/// Air that bubbles through water is saturated with its vapour; that is assumed. The flow is the mean
/// over the fill, during which the back-pressure on the blower changes with the level: keep the bottle
/// shallow. A hose that fills first belongs to the volume. None of this is in the budget.
///
/// # Examples
/// ```
/// use risewater::Water;
/// use risewater::air::AirState;
/// use risewater::trial::{DisplacedAir, Instruments};
/// use risewater::units::*;
///
/// let temperature = ThermodynamicTemperature::new::<degree_celsius>(22.0);
/// let mut bottle = DisplacedAir::new(
///     Volume::new::<liter>(6.0),
///     [12.0, 12.2, 11.9].map(|t| Time::new::<second>(t)).to_vec(),
///     temperature,
///     AbsolutePressure::new::<kilopascal>(100.0),
///     Water::fresh(temperature)?,
/// );
/// bottle.level_difference = Length::new::<meter>(0.1);
/// // By hand with IAPWS-95: 100000 − 978.48 − 2645.34 Pa
/// assert_eq!(format!("{:.1}", bottle.dry_pressure()?.get::<pascal>()), "96376.2");
///
/// let air = bottle.air_flow(&Instruments::default())?;
/// let normal = air.volume_rate_at(&AirState::NORMAL_DIN_1343)?.value;
/// // 6 L/12.0333 s × (96376.2/101325)(273.15/295.15) = 26.335 L/min
/// assert_eq!(format!("{:.3}", normal.get::<liter_per_minute>()), "26.335");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// Dalton's law; vapour pressure of [`Water`].
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DisplacedAir {
    /// Volume of air in the bottle.
    pub volume: Volume,
    /// One time for each repeat.
    pub times: Vec<Time>,
    /// Water level inside the bottle less that of the bath: above zero, the air is below
    /// atmospheric pressure.
    pub level_difference: Length,
    /// Temperature of the air in the bottle.
    pub temperature: ThermodynamicTemperature,
    /// Pressure of the atmosphere at the station.
    pub barometer: AbsolutePressure,
    /// The bath's water: its density, and its salinity for the vapour.
    pub water: Water,
    /// Standard deviation of a single time from other knowledge, reaction apart; needed for one
    /// time, not used for more.
    pub repeatability: Option<Time>,
}

/// The reading of an air meter.
///
/// The volume is at the state that the meter counts at; a float meter away from the state of its scale
/// must be corrected first.
///
/// # Examples
/// ```
/// use risewater::air::AirState;
/// use risewater::trial::{Instruments, MeteredAir};
/// use risewater::units::{VolumeRate, kilogram_per_hour, liter_per_minute};
///
/// let meter = MeteredAir {
///     volume_rate: VolumeRate::new::<liter_per_minute>(30.0),
///     state: AirState::DRY_20_C,
/// };
/// let air = meter.air_flow(&Instruments::default())?;
/// // 1.8 m³/h × 1.20411 kg/m³
/// assert_eq!(format!("{:.4}", air.value.value.get::<kilogram_per_hour>()), "2.1674");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeteredAir {
    /// What it reads.
    pub volume_rate: VolumeRate,
    /// The state that this volume is at.
    pub state: AirState,
}

/// What the model of the bottle needs besides volume and time, in plain SI.
#[derive(Clone, Copy)]
struct Bottle {
    p_b: f64,
    h: f64,
    t_k: f64,
    rho: f64,
    /// Vapour pressure of the bath's water over that of fresh water.
    vapour_ratio: f64,
}

impl Bottle {
    fn suction(&self) -> f64 {
        self.rho * GRAVITY_M_PER_S2 * self.h + self.vapour_ratio * saturation_pa(self.t_k)
    }

    /// Partial pressure of the dry air.
    fn p_d(&self) -> f64 {
        // p_d = p_b − ρ g h − p_v(T)
        self.p_b - self.suction()
    }
}

impl DisplacedAir {
    /// A bottle filled once or more, with the levels inside and outside brought together.
    #[must_use]
    pub fn new(
        volume: Volume,
        times: Vec<Time>,
        temperature: ThermodynamicTemperature,
        barometer: AbsolutePressure,
        water: Water,
    ) -> Self {
        Self {
            volume,
            times,
            level_difference: base(0.0),
            temperature,
            barometer,
            water,
            repeatability: None,
        }
    }

    /// With the water level inside the bottle so much above that of the bath.
    #[must_use]
    pub fn with_level_difference(mut self, level_difference: Length) -> Self {
        self.level_difference = level_difference;
        self
    }

    /// With a standard deviation of a single time from other knowledge.
    #[must_use]
    pub fn with_repeatability(mut self, repeatability: Time) -> Self {
        self.repeatability = Some(repeatability);
        self
    }

    /// Partial pressure of the dry air in the bottle.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`BOTTLE_LEVEL`], [`BOTTLE_TEMPERATURE`] or
    /// [`ATMOSPHERE`], [`Error::NotFinite`], [`Error::Inconsistent`] when vapour and suction
    /// exceed the barometer.
    ///
    /// # Examples
    /// See [`DisplacedAir`].
    pub fn dry_pressure(&self) -> Result<AbsolutePressure, Error> {
        Ok(AbsolutePressure(base(self.bottle()?.p_d())))
    }

    /// The air flow, as its mass rate of dry air.
    ///
    /// # Errors
    /// As [`DisplacedAir::dry_pressure`]; [`Error::OutOfRange`] outside [`BOTTLE_VOLUME`],
    /// [`AIR_TIME`], [`REPEATABILITY`](super::REPEATABILITY) or
    /// [`AIR_FLOW`](crate::air::AIR_FLOW) and for instruments that cannot be;
    /// [`Error::OneReading`] for one time without a repeatability; [`Error::NoReading`] for none.
    ///
    /// # Examples
    /// See [`DisplacedAir`].
    pub fn air_flow(&self, instruments: &Instruments) -> Result<Measured<MassRate>, Error> {
        let kit = instruments.checked()?;
        BOTTLE_VOLUME.check(Input::BottleVolume, self.volume.get::<liter>())?;
        let timing = (Input::AirTime, AIR_TIME);
        let (repeats, time) = Repeats::of(&self.times, self.repeatability, timing, kit)?;
        let bottle = self.bottle()?;
        let volume = self.volume.get::<cubic_meter>();
        let stated = |u: f64| Estimate::stated(0.0, u);
        let calibration = volume * kit.bottle_calibration.get::<ratio>();
        let inputs = [
            (
                Source::VolumeReading,
                stated(rectangular(kit.bottle_reading).get::<cubic_meter>()),
            ),
            (Source::VolumeCalibration, stated(calibration)),
            (Source::Scatter, time.scatter),
            (Source::Timing, time.systematic),
            (Source::Level, stated(rectangular(kit.level).get::<meter>())),
            (
                Source::Temperature,
                stated(rectangular(kit.temperature).get::<kelvin_interval>()),
            ),
            (
                Source::Barometer,
                stated(rectangular(kit.barometer).get::<pascal>()),
            ),
        ];
        let air = measure(&inputs, Some(repeats), base, |d| {
            let off = Bottle {
                h: bottle.h + d[4],
                t_k: bottle.t_k + d[5],
                p_b: bottle.p_b + d[6],
                ..bottle
            };
            // ṁ = V p_d/(R T t), each input a deviation
            (volume + d[0] + d[1]) * off.p_d()
                / (DRY_AIR_GAS_CONSTANT * off.t_k * (time.mean + d[2] + d[3]))
        });
        AirFlow::from_dry_mass(air.value.value)?;
        Ok(air)
    }

    fn bottle(&self) -> Result<Bottle, Error> {
        let p_b = self.barometer.get::<kilopascal>();
        ATMOSPHERE.check(Input::Barometer, p_b)?;
        let t_c = self.temperature.get::<degree_celsius>();
        BOTTLE_TEMPERATURE.check(Input::BottleTemperature, t_c)?;
        let h = self.level_difference.get::<meter>();
        let water = self.water.si();
        let bottle = Bottle {
            p_b: self.barometer.pascal(),
            h: BOTTLE_LEVEL.check(Input::BottleLevel, h)?,
            t_k: self.temperature.get::<kelvin>(),
            rho: water.rho,
            vapour_ratio: water.p_v / saturation_pa(water.t_k),
        };
        if bottle.p_d() > 0.0 {
            return Ok(bottle);
        }
        Err(Error::Inconsistent {
            larger: Input::Barometer,
            larger_value: p_b,
            smaller: Input::BottleSuction,
            smaller_value: bottle.suction() / 1000.0,
            unit: "kPa",
        })
    }
}

impl MeteredAir {
    /// The air flow, as its mass rate of dry air.
    ///
    /// # Errors
    /// As [`AirFlow::at`]; [`Error::OutOfRange`] outside [`METERED_AIR`] and for instruments that
    /// cannot be.
    ///
    /// # Examples
    /// See [`MeteredAir`].
    pub fn air_flow(&self, instruments: &Instruments) -> Result<Measured<MassRate>, Error> {
        let kit = instruments.checked()?;
        METERED_AIR.check(Input::AirFlow, self.volume_rate.get::<liter_per_minute>())?;
        let flow = AirFlow::at(self.volume_rate, &self.state)?.kg_per_s();
        let reading = Estimate::stated(0.0, kit.air_meter.get::<ratio>());
        Ok(measure(&[(Source::Meter, reading)], None, base, |d| {
            flow * (1.0 + d[0])
        }))
    }
}
