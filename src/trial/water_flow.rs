//! Water flow from a filled volume or a weighed mass, and a time.

use super::budget::Source;
use super::instruments::Instruments;
use super::measured::{Measured, measure};
use super::repeats::{Repeats, TimeEstimate};
use crate::error::{Error, Input, range};
use crate::measurement::{Estimate, rectangular};
use crate::units::{
    Mass, MassDensity, Ratio, Time, Volume, VolumeRate, base, cubic_meter, kilogram,
    kilogram_per_cubic_meter, liter, ratio,
};
use crate::water::Water;

range!(WATER_VOLUME, 0.01 to 1e6 "L", "Volumes of [`TimedVolume`].");
range!(WATER_MASS, 0.01 to 1e6 "kg", "Masses of [`WeighedWater`].");
range!(WATER_TIME, 0.1 to 86_400 "s", "Filling times.");
range!(WEIGHING_AIR, 0 to 2 "kg/m3", "Densities of the air round a balance.");

/// Density that balance weights are taken to have, kg/m³: convention of
/// [ISO 4787](crate::references::ISO_4787) and of weighing at large, from memory.
const WEIGHTS_KG_PER_M3: f64 = 8000.0;

/// The time to fill a known volume.
///
/// ```text
/// Q = V/t
/// ```
///
/// # Examples
/// ```
/// use risewater::trial::{Instruments, TimedVolume};
/// use risewater::units::{Ratio, Time, Volume, liter, liter_per_minute, ratio, second};
///
/// // 20 L in 24 s, once: u(V) = √((0.1/√3)² + 0.05²) L and u(t) = √(0.1² + 0.1²) s by hand, so that
/// // u(Q)/Q = √((0.0764/20)² + (0.1414/24)²) = 0.70 %
/// let fill = TimedVolume::new(Volume::new::<liter>(20.0), vec![Time::new::<second>(24.0)])
///     .with_repeatability(Time::new::<second>(0.0));
/// let measured = fill.water_flow(&Instruments::default())?;
/// assert_eq!(format!("{:.1}", measured.value.value.get::<liter_per_minute>()), "50.0");
/// assert_eq!(format!("{:.4}", measured.budget.relative.get::<ratio>()), "0.0070");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TimedVolume {
    /// Volume filled.
    pub volume: Volume,
    /// One time for each repeat.
    pub times: Vec<Time>,
    /// Standard deviation of a single time from other knowledge, reaction apart; needed for one
    /// time, not used for more.
    pub repeatability: Option<Time>,
}

/// The mass of water caught in a time, as a balance shows it.
///
/// ```text
/// Q = V/t        V = (m/ρ) (1 − ρ_a/ρ_b)/(1 − ρ_a/ρ)
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | m | net reading of the balance | kg |
/// | ρ, ρ_a | density of the water, of the air round the balance | kg/m³ |
/// | ρ_b | density that weights are taken to have, 8000 | kg/m³ |
///
/// # Examples
/// ```
/// use risewater::Water;
/// use risewater::trial::WeighedWater;
/// use risewater::units::*;
///
/// let caught = WeighedWater::new(
///     Mass::new::<kilogram>(10.0),
///     vec![Time::new::<second>(20.0), Time::new::<second>(20.3)],
///     Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
/// );
/// // By hand: 10/998.207 × (1 − 1.2/8000)/(1 − 1.2/998.207) = 0.0100285 m³
/// assert_eq!(format!("{:.4}", caught.volume()?.get::<liter>()), "10.0285");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ISO 4787](crate::references::ISO_4787), from memory.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WeighedWater {
    /// Net reading of the balance.
    pub mass: Mass,
    /// One time for each repeat.
    pub times: Vec<Time>,
    /// The water.
    pub water: Water,
    /// Density of the air round the balance; 1.2 kg/m³ unless said, which is common practice. A
    /// tenth more or less shifts the volume by 1e-4.
    pub air_density: MassDensity,
    /// As [`TimedVolume::repeatability`].
    pub repeatability: Option<Time>,
}

impl TimedVolume {
    /// A volume filled, once or more.
    #[must_use]
    pub fn new(volume: Volume, times: Vec<Time>) -> Self {
        Self {
            volume,
            times,
            repeatability: None,
        }
    }

    /// With a standard deviation of a single time from other knowledge.
    #[must_use]
    pub fn with_repeatability(mut self, repeatability: Time) -> Self {
        self.repeatability = Some(repeatability);
        self
    }

    /// The water flow.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`WATER_VOLUME`], [`WATER_TIME`] or
    /// [`REPEATABILITY`](super::REPEATABILITY) and for instruments that cannot be;
    /// [`Error::OneReading`] for one time without a repeatability; [`Error::NoReading`] for none.
    ///
    /// # Examples
    /// See [`TimedVolume`].
    pub fn water_flow(&self, instruments: &Instruments) -> Result<Measured<VolumeRate>, Error> {
        let kit = instruments.checked()?;
        WATER_VOLUME.check(Input::WaterVolume, self.volume.get::<liter>())?;
        let (repeats, time) = repeats(&self.times, self.repeatability, kit)?;
        let volume = self.volume.get::<cubic_meter>();
        let reading = rectangular(kit.container_reading).get::<cubic_meter>();
        let calibration = volume * kit.container_calibration.get::<ratio>();
        let inputs = [
            (Source::VolumeReading, Estimate::stated(0.0, reading)),
            (
                Source::VolumeCalibration,
                Estimate::stated(0.0, calibration),
            ),
            (Source::Scatter, time.scatter),
            (Source::Timing, time.systematic),
        ];
        // Q = V/t, each input a deviation
        Ok(measure(&inputs, Some(repeats), base, |d| {
            (volume + d[0] + d[1]) / (time.mean + d[2] + d[3])
        }))
    }
}

impl WeighedWater {
    /// A mass caught, once or more.
    #[must_use]
    pub fn new(mass: Mass, times: Vec<Time>, water: Water) -> Self {
        Self {
            mass,
            times,
            water,
            air_density: base(1.2),
            repeatability: None,
        }
    }

    /// With a standard deviation of a single time from other knowledge.
    #[must_use]
    pub fn with_repeatability(mut self, repeatability: Time) -> Self {
        self.repeatability = Some(repeatability);
        self
    }

    /// The volume of the water.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`WATER_MASS`] or [`WEIGHING_AIR`], [`Error::NotFinite`].
    ///
    /// # Examples
    /// See [`WeighedWater`].
    pub fn volume(&self) -> Result<Volume, Error> {
        let (mass, water, air) = self.checked()?;
        Ok(base(volume_m3(mass, water, air)))
    }

    /// The water flow.
    ///
    /// # Errors
    /// As [`WeighedWater::volume`] and [`TimedVolume::water_flow`].
    ///
    /// # Examples
    /// See [`WeighedWater`].
    pub fn water_flow(&self, instruments: &Instruments) -> Result<Measured<VolumeRate>, Error> {
        let kit = instruments.checked()?;
        let (mass, water, air) = self.checked()?;
        let (repeats, time) = repeats(&self.times, self.repeatability, kit)?;
        let density: Ratio = rectangular(kit.water_density);
        let balance = rectangular(kit.balance).get::<kilogram>();
        let inputs = [
            (Source::Mass, Estimate::stated(0.0, balance)),
            (
                Source::WaterDensity,
                Estimate::stated(0.0, water * density.get::<ratio>()),
            ),
            (Source::Scatter, time.scatter),
            (Source::Timing, time.systematic),
        ];
        Ok(measure(&inputs, Some(repeats), base, |d| {
            volume_m3(mass + d[0], water + d[1], air) / (time.mean + d[2] + d[3])
        }))
    }

    /// Mass, density of the water and of the air, kg and kg/m³.
    fn checked(&self) -> Result<(f64, f64, f64), Error> {
        let air = self.air_density.get::<kilogram_per_cubic_meter>();
        Ok((
            WATER_MASS.check(Input::WaterMass, self.mass.get::<kilogram>())?,
            self.water.density().get::<kilogram_per_cubic_meter>(),
            WEIGHING_AIR.check(Input::WeighingAir, air)?,
        ))
    }
}

fn repeats(
    times: &[Time],
    repeatability: Option<Time>,
    kit: &Instruments,
) -> Result<(Repeats, TimeEstimate), Error> {
    Repeats::of(times, repeatability, (Input::WaterTime, WATER_TIME), kit)
}

fn volume_m3(mass: f64, water: f64, air: f64) -> f64 {
    // V = (m/ρ) (1 − ρ_a/ρ_b)/(1 − ρ_a/ρ)
    mass / water * (1.0 - air / WEIGHTS_KG_PER_M3) / (1.0 - air / water)
}
