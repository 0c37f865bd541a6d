//! Drilled holes: the flow of air through a sharp edge, choked or not.

use crate::air::{AIR_TEMPERATURE, AirFlow, DRY_AIR_GAS_CONSTANT};
use crate::error::{Error, Input, Range};
use crate::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, base, degree_celsius, kelvin, meter,
    millimeter, ratio,
};

/// Diameters of a drilled hole.
pub const HOLE_DIAMETER: Range = Range::new(0.1, 1000.0, "mm");
/// Numbers of holes side by side.
pub const HOLES: Range = Range::new(1.0, 100_000.0, "holes");
/// Discharge coefficients.
pub const DISCHARGE_COEFFICIENT: Range = Range::new(0.1, 1.0, "");

/// Ratio of specific heats of air.
pub(super) const GAMMA: f64 = 1.4;
/// (γ − 1)/γ
pub(super) const KAPPA: f64 = (GAMMA - 1.0) / GAMMA;

/// Drilled holes side by side.
///
/// ```text
/// ṁ = n C_d A √(2 p1 ρ1) √{γ/(γ−1) [r^(2/γ) − r^((γ+1)/γ)]}      r = p2/p1, γ = 1.4
/// ```
///
/// Below r = (2/(γ+1))^(γ/(γ−1)) = 0.52828 the hole is choked: the flow depends on p1 alone.
///
/// # Validity
/// Ideal gas, isentropic up to the throat. The discharge coefficient is the user's: 0.60 to 0.65 for
/// thin sharp edges, about 0.8 for holes as deep as wide (handbook values, from memory). That part of it
/// which depends on r (a jet widens as r falls) is left out.
///
/// # Examples
/// ```
/// use risewater::supply::Orifice;
/// use risewater::units::*;
///
/// let kpa = AbsolutePressure::new::<kilopascal>;
/// let hole = Orifice::new(Length::new::<millimeter>(3.0));
/// let air = hole.air_flow(kpa(120.0), kpa(115.0), ThermodynamicTemperature::new::<kelvin>(293.15))?;
/// // An independent evaluation: 5.1153e-4 kg/s
/// assert_eq!(format!("{:.4e}", air.dry_mass_rate().get::<kilogram_per_second>()), "5.1153e-4");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Saint-Venant & Wantzel (1839)](crate::references::SAINT_VENANT_WANTZEL_1839), in any text on gas dynamics.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Orifice {
    /// Diameter of a hole.
    pub diameter: Length,
    /// Number of holes.
    pub holes: u32,
    /// Discharge coefficient.
    pub discharge: Ratio,
}

impl Orifice {
    /// One thin sharp-edged hole, discharge coefficient 0.62 (handbook value, from memory).
    #[must_use]
    pub fn new(diameter: Length) -> Self {
        Self {
            diameter,
            holes: 1,
            discharge: base(0.62),
        }
    }

    /// With a number of holes.
    #[must_use]
    pub fn with_holes(self, holes: u32) -> Self {
        Self { holes, ..self }
    }

    /// With a discharge coefficient.
    #[must_use]
    pub fn with_discharge(self, discharge: Ratio) -> Self {
        Self { discharge, ..self }
    }

    /// Air flow between two pressures, at the temperature upstream. Nothing flows back: a pressure
    /// downstream that is higher gives none.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`HOLE_DIAMETER`], [`HOLES`], [`DISCHARGE_COEFFICIENT`],
    /// [`AIR_TEMPERATURE`] or [`AIR_PRESSURE`](crate::air::AIR_PRESSURE).
    ///
    /// # Examples
    /// See [`Orifice`].
    pub fn air_flow(
        &self,
        upstream: AbsolutePressure,
        downstream: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<AirFlow, Error> {
        let hole = self.throat(temperature)?;
        let (p1, p2) = (
            super::pressure_pa(upstream)?,
            super::pressure_pa(downstream)?,
        );
        AirFlow::from_dry_mass(base(hole.kg_per_s(p1, p2)))
    }

    /// Pressure upstream that drives an air flow against a pressure downstream.
    ///
    /// # Errors
    /// As [`Orifice::air_flow`].
    ///
    /// # Examples
    /// ```
    /// use risewater::supply::Orifice;
    /// use risewater::units::*;
    ///
    /// let kpa = AbsolutePressure::new::<kilopascal>;
    /// let t = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    /// let hole = Orifice::new(Length::new::<millimeter>(5.0));
    /// let air = hole.air_flow(kpa(135.0), kpa(115.0), t)?;
    /// let upstream = hole.upstream(air, kpa(115.0), t)?;
    /// assert_eq!(format!("{:.6}", upstream.get::<kilopascal>()), "135.000000");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn upstream(
        &self,
        air: AirFlow,
        downstream: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<AbsolutePressure, Error> {
        let hole = self.throat(temperature)?;
        let p2 = super::pressure_pa(downstream)?;
        Ok(AbsolutePressure(base(hole.upstream_pa(air.kg_per_s(), p2))))
    }

    /// The same holes with the diameter that passes an air flow between two pressures.
    ///
    /// # Errors
    /// As [`Orifice::air_flow`], and [`Error::Inconsistent`] when the pressure does not fall.
    ///
    /// # Examples
    /// ```
    /// use risewater::air::AirFlow;
    /// use risewater::supply::Orifice;
    /// use risewater::units::*;
    ///
    /// let kpa = AbsolutePressure::new::<kilopascal>;
    /// let t = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    /// let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(8.0))?;
    /// let hole = Orifice::new(Length::new::<millimeter>(1.0)).sized(air, kpa(120.0), kpa(115.0), t)?;
    /// let passed = hole.air_flow(kpa(120.0), kpa(115.0), t)?;
    /// assert!((passed.dry_mass_rate() - air.dry_mass_rate()).abs() < 1e-12 * air.dry_mass_rate());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn sized(
        &self,
        air: AirFlow,
        upstream: AbsolutePressure,
        downstream: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<Self, Error> {
        let hole = self.throat(temperature)?;
        let (p1, p2) = (
            super::pressure_pa(upstream)?,
            super::pressure_pa(downstream)?,
        );
        if p1 <= p2 {
            return Err(Error::Inconsistent {
                larger: Input::UpstreamPressure,
                larger_value: p1 / 1000.0,
                smaller: Input::LinePressure,
                smaller_value: p2 / 1000.0,
                unit: "kPa",
            });
        }
        // ṁ goes with the square of the diameter.
        let factor = (air.kg_per_s() / hole.kg_per_s(p1, p2)).sqrt();
        let sized = Self {
            diameter: self.diameter * factor,
            ..*self
        };
        sized.throat(temperature)?;
        Ok(sized)
    }

    /// The same checked and in plain SI, for the solvers.
    pub(super) fn throat(&self, temperature: ThermodynamicTemperature) -> Result<Throat, Error> {
        HOLE_DIAMETER.check(Input::HoleDiameter, self.diameter.get::<millimeter>())?;
        HOLES.check(Input::Holes, f64::from(self.holes))?;
        DISCHARGE_COEFFICIENT.check(Input::DischargeCoefficient, self.discharge.get::<ratio>())?;
        AIR_TEMPERATURE.check(Input::LineTemperature, temperature.get::<degree_celsius>())?;
        let area = std::f64::consts::FRAC_PI_4 * self.diameter.get::<meter>().powi(2);
        Ok(Throat {
            effective_m2: self.discharge.get::<ratio>() * f64::from(self.holes) * area,
            rt: DRY_AIR_GAS_CONSTANT * temperature.get::<kelvin>(),
        })
    }
}

/// Holes in plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Throat {
    /// n C_d A, m²
    pub effective_m2: f64,
    /// R T upstream, J/kg
    pub rt: f64,
}

/// x = (p1/p2)^((γ−1)/γ) at the choking pressure ratio: (γ + 1)/2.
const CHOKING: f64 = f64::midpoint(GAMMA, 1.0);

impl Throat {
    /// ṁ between two pressures.
    pub fn kg_per_s(&self, p1_pa: f64, p2_pa: f64) -> f64 {
        if p1_pa <= p2_pa {
            return 0.0;
        }
        // With x = (p1/p2)^((γ−1)/γ):   ṁ = C_d A p2 √(2γ/((γ−1) R T)) √(x² − x)
        let x = (p1_pa / p2_pa).powf(KAPPA);
        if x < CHOKING {
            self.effective_m2 * p2_pa * (2.0 / (KAPPA * self.rt) * (x * x - x)).sqrt()
        } else {
            // The throat holds p1 (2/(γ+1))^(γ/(γ−1)), whatever is behind it.
            p1_pa * self.effective_m2 * (2.0 / (KAPPA * self.rt)).sqrt() * choked_shape()
        }
    }

    /// p1 for a flow against p2: x² − x = h² has the root x = (1 + √(1 + 4h²))/2.
    pub fn upstream_pa(&self, kg_per_s: f64, p2_pa: f64) -> f64 {
        let h2 = (kg_per_s / (self.effective_m2 * p2_pa)).powi(2) * KAPPA * self.rt / 2.0;
        let x = f64::midpoint(1.0, (1.0 + 4.0 * h2).sqrt());
        if x < CHOKING {
            p2_pa * x.powf(1.0 / KAPPA)
        } else {
            kg_per_s / (self.effective_m2 * (2.0 / (KAPPA * self.rt)).sqrt() * choked_shape())
        }
    }

    /// Whether the flow between two pressures is choked.
    pub fn choked(p1_pa: f64, p2_pa: f64) -> bool {
        (p1_pa / p2_pa).powf(KAPPA) >= CHOKING
    }
}

/// √(x² − x) (p2/p1) at choking.
fn choked_shape() -> f64 {
    (CHOKING * CHOKING - CHOKING).sqrt() / CHOKING.powf(1.0 / KAPPA)
}
