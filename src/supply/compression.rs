//! Power and temperature of air compressed from an intake state.

use crate::air::{AirFlow, AirState};
use crate::error::{Error, Input, range};
use crate::units::{
    Power, Pressure, Ratio, ThermodynamicTemperature, VolumeRate, base, cubic_meter_per_second,
    degree_celsius, kelvin, kilopascal, pascal, ratio,
};

range!(INTAKE_TEMPERATURE, -40 to 60 "degC", "Temperatures at a blower's intake.");
range!(INTAKE_PRESSURE, 20 to 120 "kPa", "Absolute pressures at a blower's intake.");
range!(PRESSURE_RISE, 0 to 1000 "kPa", "Pressure rises of a blower.");
range!(EFFICIENCY, 0.01 to 1, "Efficiencies, as a fraction.");

/// Ratio of specific heats of air.
const GAMMA: f64 = 1.4;

/// A flow of air taken in at a state and compressed by a pressure rise.
///
/// ```text
/// P_ad = γ/(γ − 1) p1 Q1 [(p2/p1)^((γ − 1)/γ) − 1]
/// P_iso = p1 Q1 ln(p2/p1)
/// T2 = T1 {1 + [(p2/p1)^((γ − 1)/γ) − 1]/η}
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p1, p2 | absolute pressure before and after | Pa |
/// | Q1 | volume flow at the intake, vapour included | m³/s |
/// | γ | ratio of specific heats, 1.4 | 1 |
/// | T1, T2 | temperature before and after | K |
/// | η | efficiency, always the caller's | 1 |
///
/// Air power is what the air takes up: [`adiabatic_power`](Self::adiabatic_power) without exchange of
/// heat, [`isothermal_power`](Self::isothermal_power) as the least possible. Shaft and wire power are
/// the adiabatic one over an efficiency.
///
/// # Validity
/// Ideal gas. The vapour of saturated air at 30 °C would lower γ by 0.003: less than 1e-3 of the power
/// at pressure ratios up to 2, 6e-3 of the rise of temperature. It is left out.
///
/// # Examples
/// ```
/// use risewater::air::{AirFlow, AirState};
/// use risewater::supply::Compression;
/// use risewater::units::{
///     Pressure, Ratio, VolumeRate, cubic_meter_per_hour, degree_celsius, kilopascal, ratio, watt,
/// };
///
/// // 100 m³/h (DIN 1343) of dry air at 20 °C and one atmosphere by 20 kPa, by the formulas above.
/// let air = AirFlow::at(
///     VolumeRate::new::<cubic_meter_per_hour>(100.0),
///     &AirState::NORMAL_DIN_1343,
/// )?;
/// let rise = Pressure::new::<kilopascal>(20.0);
/// let compression = Compression::new(air, &AirState::DRY_20_C, rise)?;
/// assert_eq!(format!("{:.1}", compression.adiabatic_power().get::<watt>()), "558.4");
/// assert_eq!(format!("{:.1}", compression.isothermal_power().get::<watt>()), "544.1");
///
/// let efficiency = Ratio::new::<ratio>(0.5);
/// assert_eq!(format!("{:.1}", compression.shaft_power(efficiency)?.get::<watt>()), "1116.8");
/// let hot = compression.discharge_temperature(efficiency)?;
/// assert_eq!(format!("{:.1}", hot.get::<degree_celsius>()), "51.0");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Metcalf & Eddy](crate::references::METCALF_EDDY), adiabatic power of blowers, from memory.
#[derive(Debug, Clone, Copy, PartialEq)]
#[must_use]
pub struct Compression {
    t1_k: f64,
    p1_pa: f64,
    rise_pa: f64,
    inlet_m3_per_s: f64,
}

impl Compression {
    /// A flow of air, its state at the intake, and the pressure rise.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`INTAKE_TEMPERATURE`], [`INTAKE_PRESSURE`] or
    /// [`PRESSURE_RISE`], [`Error::NotFinite`], and those of the [`AirState`].
    ///
    /// # Examples
    /// See [`Compression`].
    pub fn new(air: AirFlow, intake: &AirState, rise: Pressure) -> Result<Self, Error> {
        check_intake(intake)?;
        PRESSURE_RISE.check(Input::PressureRise, rise.get::<kilopascal>())?;
        Ok(Self {
            t1_k: intake.temperature.get::<kelvin>(),
            p1_pa: intake.pressure.pascal(),
            rise_pa: rise.get::<pascal>(),
            inlet_m3_per_s: air.volume_rate_at(intake)?.get::<cubic_meter_per_second>(),
        })
    }

    /// Volume flow at the intake, with the vapour that comes along.
    #[must_use]
    pub fn inlet_flow(&self) -> VolumeRate {
        base(self.inlet_m3_per_s)
    }

    /// Air power without exchange of heat.
    #[must_use]
    pub fn adiabatic_power(&self) -> Power {
        // P = γ/(γ − 1) p1 Q1 [(p2/p1)^((γ − 1)/γ) − 1]
        base(GAMMA / (GAMMA - 1.0) * self.p1_pa * self.inlet_m3_per_s * self.adiabatic_factor())
    }

    /// Air power at a constant temperature: the least that any machine can do with.
    #[must_use]
    pub fn isothermal_power(&self) -> Power {
        // P = p1 Q1 ln(p2/p1)
        base(self.p1_pa * self.inlet_m3_per_s * (self.rise_pa / self.p1_pa).ln_1p())
    }

    /// Power at the shaft: adiabatic power over the efficiency from shaft to air.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`EFFICIENCY`], [`Error::NotFinite`].
    ///
    /// # Examples
    /// See [`Compression`].
    pub fn shaft_power(&self, shaft_to_air: Ratio) -> Result<Power, Error> {
        let efficiency = EFFICIENCY.check(Input::ShaftEfficiency, shaft_to_air.get::<ratio>())?;
        Ok(self.adiabatic_power() / efficiency)
    }

    /// Power at the wire: adiabatic power over the efficiency from wire to air.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`EFFICIENCY`], [`Error::NotFinite`].
    pub fn wire_power(&self, wire_to_air: Ratio) -> Result<Power, Error> {
        let efficiency = EFFICIENCY.check(Input::WireEfficiency, wire_to_air.get::<ratio>())?;
        Ok(self.adiabatic_power() / efficiency)
    }

    /// Temperature after, with all loss left in the air as heat.
    ///
    /// The casing gives some of it off, so this is an upper bound. With the efficiency from shaft to
    /// air the motor's loss stays outside; it is inside where the air cools the motor.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`EFFICIENCY`], [`Error::NotFinite`].
    ///
    /// # Examples
    /// See [`Compression`].
    pub fn discharge_temperature(
        &self,
        efficiency: Ratio,
    ) -> Result<ThermodynamicTemperature, Error> {
        let efficiency = EFFICIENCY.check(Input::ShaftEfficiency, efficiency.get::<ratio>())?;
        // T2 = T1 {1 + [(p2/p1)^((γ − 1)/γ) − 1]/η}
        Ok(base(
            self.t1_k * (1.0 + self.adiabatic_factor() / efficiency),
        ))
    }

    /// (p2/p1)^((γ − 1)/γ) − 1, exact for small rises too.
    fn adiabatic_factor(&self) -> f64 {
        ((GAMMA - 1.0) / GAMMA * (self.rise_pa / self.p1_pa).ln_1p()).exp_m1()
    }
}

/// Whether a blower can take in air of this state; its humidity is checked with its volume.
pub(super) fn check_intake(intake: &AirState) -> Result<(), Error> {
    let t_c = intake.temperature.get::<degree_celsius>();
    INTAKE_TEMPERATURE.check(Input::IntakeTemperature, t_c)?;
    let p_kpa = intake.pressure.get::<kilopascal>();
    INTAKE_PRESSURE.check(Input::IntakePressure, p_kpa)?;
    Ok(())
}
