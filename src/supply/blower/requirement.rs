//! The duty of a blower as a specification, for when there is no table yet.

use crate::air::{AirFlow, AirState};
use crate::error::{Error, Input, range};
use crate::supply::{Compression, EFFICIENCY};
use crate::units::{Power, Pressure, Ratio, ThermodynamicTemperature, VolumeRate, ratio};

range!(RISE_MARGIN, 0 to 1, "Margins on the pressure rise, as a fraction of it.");

/// What is known of a machine's efficiency. Nothing is taken for granted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub enum Efficiency {
    /// Nothing.
    #[default]
    Unknown,
    /// From shaft to air.
    Shaft(Ratio),
    /// From shaft to air, and from wire to shaft.
    ShaftAndMotor {
        /// From shaft to air.
        shaft: Ratio,
        /// From wire to shaft, with the drive.
        motor: Ratio,
    },
    /// From wire to air, all in one.
    WireToAir(Ratio),
}

/// A duty for a blower.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Requirement {
    /// Air flow.
    pub air: AirFlow,
    /// State of the air at the intake.
    pub intake: AirState,
    /// Pressure rise that the plant takes.
    pub pressure_rise: Pressure,
    /// Added to the pressure rise, as a fraction of it.
    pub margin: Ratio,
    /// What is known of the efficiency.
    pub efficiency: Efficiency,
}

/// What to ask a maker for; powers are those at the pressure rise with its margin.
#[derive(Debug, Clone, Copy, PartialEq)]
#[must_use]
#[non_exhaustive]
pub struct Specification {
    /// Volume flow at the intake, in the state there.
    pub inlet_flow: VolumeRate,
    /// Volume flow at [`AirState::REFERENCE_ISO_1217`].
    pub iso_1217_flow: VolumeRate,
    /// Volume flow at [`AirState::NORMAL_DIN_1343`].
    pub normal_flow: VolumeRate,
    /// Volume flow at [`AirState::SCFM_ASME`].
    pub us_standard_flow: VolumeRate,
    /// Pressure rise with its margin.
    pub pressure_rise: Pressure,
    /// Air power without exchange of heat.
    pub adiabatic_power: Power,
    /// Air power at constant temperature, the least possible.
    pub isothermal_power: Power,
    /// Power at the shaft, if its efficiency is known.
    pub shaft_power: Option<Power>,
    /// Power at the wire, if its efficiency is known.
    pub wire_power: Option<Power>,
    /// Temperature of the air at the outlet at most, if an efficiency is known; see
    /// [`Compression::discharge_temperature`]. With [`Efficiency::WireToAir`] the motor's loss is in
    /// it.
    pub discharge_temperature: Option<ThermodynamicTemperature>,
}

impl Requirement {
    /// The duty in the terms of a data sheet.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`RISE_MARGIN`], [`EFFICIENCY`], and as [`Compression::new`].
    ///
    /// # Examples
    /// ```
    /// use risewater::air::{AirFlow, AirState};
    /// use risewater::supply::blower::{Efficiency, Requirement};
    /// use risewater::units::{
    ///     Pressure, Ratio, VolumeRate, cubic_meter_per_hour, kilopascal, ratio, watt,
    /// };
    ///
    /// let duty = Requirement {
    ///     air: AirFlow::at(
    ///         VolumeRate::new::<cubic_meter_per_hour>(100.0),
    ///         &AirState::NORMAL_DIN_1343,
    ///     )?,
    ///     intake: AirState::DRY_20_C,
    ///     pressure_rise: Pressure::new::<kilopascal>(16.0),
    ///     margin: Ratio::new::<ratio>(0.25),
    ///     efficiency: Efficiency::Unknown,
    /// };
    /// let asked = duty.specification()?;
    /// // 16 kPa × 1.25; γ/(γ − 1) p1 Q1 [(121.325/101.325)^(2/7) − 1]; × 293.15/273.15 × 101.325/100
    /// assert_eq!(format!("{:.1}", asked.pressure_rise.get::<kilopascal>()), "20.0");
    /// assert_eq!(format!("{:.1}", asked.adiabatic_power.get::<watt>()), "558.4");
    /// assert_eq!(format!("{:.2}", asked.iso_1217_flow.get::<cubic_meter_per_hour>()), "108.74");
    /// assert_eq!(asked.wire_power, None); // no efficiency was given
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn specification(&self) -> Result<Specification, Error> {
        let margin = RISE_MARGIN.check(Input::RiseMargin, self.margin.get::<ratio>())?;
        let pressure_rise = self.pressure_rise * (1.0 + margin);
        let compression = Compression::new(self.air, &self.intake, pressure_rise)?;
        let (shaft, wire, heating) = match self.efficiency {
            Efficiency::Unknown => (None, None, None),
            Efficiency::Shaft(shaft) => (Some(compression.shaft_power(shaft)?), None, Some(shaft)),
            Efficiency::ShaftAndMotor { shaft, motor } => {
                let power = compression.shaft_power(shaft)?;
                let motor = EFFICIENCY.check(Input::MotorEfficiency, motor.get::<ratio>())?;
                (Some(power), Some(power / motor), Some(shaft))
            }
            Efficiency::WireToAir(all) => (None, Some(compression.wire_power(all)?), Some(all)),
        };
        let flow = |state: &AirState| self.air.volume_rate_at(state);
        Ok(Specification {
            inlet_flow: compression.inlet_flow(),
            iso_1217_flow: flow(&AirState::REFERENCE_ISO_1217)?,
            normal_flow: flow(&AirState::NORMAL_DIN_1343)?,
            us_standard_flow: flow(&AirState::SCFM_ASME)?,
            pressure_rise,
            adiabatic_power: compression.adiabatic_power(),
            isothermal_power: compression.isothermal_power(),
            shaft_power: shaft,
            wire_power: wire,
            discharge_temperature: heating
                .map(|efficiency| compression.discharge_temperature(efficiency))
                .transpose()?,
        })
    }
}
