//! Mass flow of air through a standard orifice plate, from its differential pressure, after ISO 5167-2.
//!
//! ```text
//! q = C/√(1 − β⁴) · ε π/4 d² √(2 Δp ρ₁)        β = d/D        Re = 4 q/(π μ D)
//! C = 0.5961 + 0.0261 β² − 0.216 β⁸ + 0.000521 (10⁶ β/Re)^0.7
//!     + (0.0188 + 0.0063 A) β^3.5 (10⁶/Re)^0.3
//!     + (0.043 + 0.080 e^(−10 L₁) − 0.123 e^(−7 L₁)) (1 − 0.11 A) β⁴/(1 − β⁴)
//!     − 0.031 (M₂ − 0.8 M₂^1.1) β^1.3
//!     + 0.011 (0.75 − β) (2.8 − D/25.4 mm)      where D < 71.12 mm
//! A = (19000 β/Re)^0.8        M₂ = 2 L₂/(1 − β)
//! ε = 1 − (0.351 + 0.256 β⁴ + 0.93 β⁸) [1 − (p₂/p₁)^(1/κ)]
//! ```
//!
//! Distances of the taps, over D: corner L₁ = L₂ = 0; flange L₁ = L₂ = 25.4 mm/D; D and D/2 L₁ = 1, L₂ = 0.47.
//!
//! A plate made, mounted and piped as the standard says meters to some 0.5 to 1 %; a plain hole in a thin plate
//! does not. Most hatchery lines are narrower than [`BORE`] allows: calibrate there.
//!
//! # Validity
//! [`BORE`], [`HOLE`], [`DIAMETER_RATIO`], [`PRESSURE_RATIO`] and [`OrificePlate::reynolds_range`]; all enforced.
//! Roughness and straight lengths are up to the reader.
//!
//! # References
//! [ISO 5167-2](crate::references::ISO_5167_2), eq. (4) and (5) and clause 5.3.1, by way of
//! [fluids](crate::references::BELL_FLUIDS).

use std::f64::consts::{FRAC_PI_4, PI};
use std::fmt;
use std::str::FromStr;

use crate::error::{Error, Input, NameKind, Range, Solve};
use crate::name::among;
use crate::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, MassRate, Pressure, Ratio,
    kilogram_per_cubic_meter, kilogram_per_second, meter, millimeter, pascal, pascal_second, ratio,
};

/// Bores of the pipe.
pub const BORE: Range = Range::new(50.0, 1000.0, "mm");
/// Holes of the plate; the largest is that of the widest pipe.
pub const HOLE: Range = Range::new(12.5, 750.0, "mm");
/// Hole over bore.
pub const DIAMETER_RATIO: Range = Range::new(0.1, 0.75, "");
/// Absolute pressure after the plate over that before it: 0.75 from memory, where the transcription has 0.80.
pub const PRESSURE_RATIO: Range = Range::new(0.75, 1.0, "");
/// Reynolds numbers of any plate: the smallest of the standard, and the largest of its tables (from memory).
pub const REYNOLDS: Range = Range::new(5e3, 1e8, "");
/// Upstream pressures that are computed.
pub const UPSTREAM_PRESSURE: Range = Range::new(1.0, 10_000.0, "kPa");
/// Gas densities that are computed.
pub const DENSITY: Range = Range::new(1e-3, 2000.0, "kg/m³");
/// Viscosities that are computed.
pub const VISCOSITY: Range = Range::new(1e-6, 1.0, "Pa s");
/// Isentropic exponents that are computed; 1.4 for air.
pub const ISENTROPIC_EXPONENT: Range = Range::new(1.0, 2.0, "");

/// Where the pressure is tapped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Taps {
    /// In the corners of plate and pipe.
    Corner,
    /// 25.4 mm before and after the plate.
    Flange,
    /// One bore before the plate, half a bore after it.
    BoreAndHalf,
}

impl Taps {
    /// All of them.
    pub const ALL: &[Self] = &[Self::Corner, Self::Flange, Self::BoreAndHalf];

    /// The name in design files, as [`FromStr`] reads it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::Flange => "flange",
            Self::BoreAndHalf => "d_and_half_d",
        }
    }
}

impl fmt::Display for Taps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl FromStr for Taps {
    type Err = Error;

    /// Reads [`Taps::name`], exactly.
    fn from_str(name: &str) -> Result<Self, Error> {
        among(NameKind::Taps, name, Self::ALL, Self::name)
    }
}

/// An orifice plate in its pipe, both at working temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrificePlate {
    /// Bore of the pipe before the plate.
    pub pipe_bore: Length,
    /// Diameter of the hole.
    pub hole: Length,
    /// Where the pressure is tapped.
    pub taps: Taps,
}

/// What is read at the plate, and the gas before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateReading {
    /// Pressure before the plate.
    pub upstream: AbsolutePressure,
    /// Pressure before less that after the plate.
    pub differential: Pressure,
    /// Density of the gas before the plate.
    pub density: MassDensity,
    /// Viscosity of the gas before the plate.
    pub viscosity: DynamicViscosity,
    /// Isentropic exponent κ of the gas: 1.4 for air.
    pub isentropic_exponent: Ratio,
}

/// What a reading comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
#[must_use]
pub struct PlateFlow {
    /// Mass flow of the gas, its moisture included.
    pub mass_rate: MassRate,
    /// Reynolds number in the pipe.
    pub reynolds: Ratio,
    /// Discharge coefficient C.
    pub discharge_coefficient: Ratio,
    /// Expansibility ε.
    pub expansibility: Ratio,
}

impl OrificePlate {
    /// Mass flow of a reading, by the equations of [the module](self).
    ///
    /// C depends on the flow sought; each round of substitution shrinks the error to a tenth or less.
    ///
    /// # Errors
    /// Outside [`BORE`], [`HOLE`], [`DIAMETER_RATIO`], [`UPSTREAM_PRESSURE`], [`PRESSURE_RATIO`], [`DENSITY`],
    /// [`VISCOSITY`] or [`ISENTROPIC_EXPONENT`], or a flow outside [`OrificePlate::reynolds_range`]; a Reynolds
    /// number below that range is stated with C at the range's foot.
    ///
    /// # Examples
    /// ```
    /// use risewater::supply::plate::{OrificePlate, PlateReading, Taps};
    /// use risewater::units::{
    ///     AbsolutePressure, DynamicViscosity, Length, MassDensity, Pressure, Ratio, kilogram_per_cubic_meter,
    ///     kilogram_per_second, kilopascal, millimeter, pascal_second, ratio,
    /// };
    ///
    /// let plate = OrificePlate {
    ///     pipe_bore: Length::new::<millimeter>(52.5),
    ///     hole: Length::new::<millimeter>(30.0),
    ///     taps: Taps::Corner,
    /// };
    /// let flow = plate.flow(&PlateReading {
    ///     upstream: AbsolutePressure::new::<kilopascal>(105.0),
    ///     differential: Pressure::new::<kilopascal>(1.0),
    ///     density: MassDensity::new::<kilogram_per_cubic_meter>(1.24778),
    ///     viscosity: DynamicViscosity::new::<pascal_second>(1.82057e-5),
    ///     isentropic_exponent: Ratio::new::<ratio>(1.4),
    /// })?;
    /// // tests/data/air_supply.csv, S071, an independent evaluation: 0.022963667 kg/s.
    /// assert_eq!(format!("{:.6}", flow.mass_rate.get::<kilogram_per_second>()), "0.022964");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    ///
    /// # References
    /// [ISO 5167-2](crate::references::ISO_5167_2).
    pub fn flow(&self, reading: &PlateReading) -> Result<PlateFlow, Error> {
        let geometry = self.geometry()?;
        let upstream_kpa = UPSTREAM_PRESSURE.check(
            Input::UpstreamPressure,
            reading.upstream.get::<pascal>() / 1000.0,
        )?;
        let differential_pa = reading.differential.get::<pascal>();
        if !differential_pa.is_finite() {
            return Err(Error::NotFinite {
                what: Input::DifferentialPressure,
            });
        }
        let pressure_ratio = 1.0 - differential_pa / (1000.0 * upstream_kpa);
        let epsilon = geometry.expansibility(pressure_ratio, reading.isentropic_exponent)?;
        let density = DENSITY.check(
            Input::GasDensity,
            reading.density.get::<kilogram_per_cubic_meter>(),
        )?;
        let viscosity = VISCOSITY.check(
            Input::GasViscosity,
            reading.viscosity.get::<pascal_second>(),
        )?;
        let Geometry { bore_m, beta, .. } = geometry;
        let hole_m = beta * bore_m;
        // q/C = ε π/4 d² √(2 Δp ρ₁)/√(1 − β⁴)
        let per_c = epsilon * FRAC_PI_4 * hole_m.powi(2) * (2.0 * differential_pa * density).sqrt()
            / (1.0 - beta.powi(4)).sqrt();
        // Re/C = 4 q/C/(π μ D)
        let re_per_c = 4.0 * per_c / (PI * viscosity * bore_m);
        let reynolds = geometry.settled_reynolds(re_per_c)?;
        let c = geometry.discharge(reynolds);
        Ok(PlateFlow {
            mass_rate: MassRate::new::<kilogram_per_second>(c * per_c),
            reynolds: Ratio::new::<ratio>(reynolds),
            discharge_coefficient: Ratio::new::<ratio>(c),
            expansibility: Ratio::new::<ratio>(epsilon),
        })
    }

    /// Discharge coefficient C at a Reynolds number of the pipe.
    ///
    /// # Errors
    /// Outside [`BORE`], [`HOLE`], [`DIAMETER_RATIO`] or [`OrificePlate::reynolds_range`].
    ///
    /// # Examples
    /// ```
    /// # use risewater::supply::plate::{OrificePlate, Taps};
    /// # use risewater::units::{Length, Ratio, millimeter, ratio};
    /// # let (pipe_bore, hole) = (Length::new::<millimeter>(73.91), Length::new::<millimeter>(22.2));
    /// let plate = OrificePlate { pipe_bore, hole, taps: Taps::Flange }; // 22.2 mm in 73.91 mm
    /// // Documentation of fluids, at Re = 111 741: 0.59903.
    /// let c = plate.discharge_coefficient(Ratio::new::<ratio>(111_741.0))?;
    /// assert_eq!(format!("{:.5}", c.get::<ratio>()), "0.59903");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    ///
    /// # References
    /// Reader-Harris & Gallagher's equation, [ISO 5167-2](crate::references::ISO_5167_2), eq. (4).
    pub fn discharge_coefficient(&self, reynolds: Ratio) -> Result<Ratio, Error> {
        let geometry = self.geometry()?;
        let range = geometry.reynolds_range();
        let reynolds = range.check(Input::ReynoldsNumber, reynolds.get::<ratio>())?;
        Ok(Ratio::new::<ratio>(geometry.discharge(reynolds)))
    }

    /// Expansibility ε at a pressure ratio p₂/p₁, for a gas of isentropic exponent κ.
    ///
    /// # Errors
    /// Outside [`BORE`], [`HOLE`], [`DIAMETER_RATIO`], [`PRESSURE_RATIO`] or [`ISENTROPIC_EXPONENT`].
    ///
    /// # References
    /// [ISO 5167-2](crate::references::ISO_5167_2), eq. (5).
    pub fn expansibility(
        &self,
        pressure_ratio: Ratio,
        isentropic_exponent: Ratio,
    ) -> Result<Ratio, Error> {
        let epsilon = self
            .geometry()?
            .expansibility(pressure_ratio.get::<ratio>(), isentropic_exponent)?;
        Ok(Ratio::new::<ratio>(epsilon))
    }

    /// Reynolds numbers of the pipe that this plate may be used at.
    ///
    /// ```text
    /// flange:          Re ≥ 5000 and Re ≥ 170 β² D/1 mm
    /// corner, D & D/2: Re ≥ 5000, and Re ≥ 16000 β² where β > 0.56
    /// ```
    ///
    /// # Errors
    /// Outside [`BORE`], [`HOLE`] or [`DIAMETER_RATIO`].
    pub fn reynolds_range(&self) -> Result<Range, Error> {
        Ok(self.geometry()?.reynolds_range())
    }

    fn geometry(&self) -> Result<Geometry, Error> {
        BORE.check(Input::MeterBore, self.pipe_bore.get::<millimeter>())?;
        HOLE.check(Input::PlateHole, self.hole.get::<millimeter>())?;
        let beta = DIAMETER_RATIO.check(
            Input::DiameterRatio,
            (self.hole / self.pipe_bore).get::<ratio>(),
        )?;
        Ok(Geometry {
            bore_m: self.pipe_bore.get::<meter>(),
            beta,
            taps: self.taps,
        })
    }
}

/// A plate that was checked.
#[derive(Clone, Copy)]
struct Geometry {
    bore_m: f64,
    beta: f64,
    taps: Taps,
}

/// Rounds of substitution; a dozen reach rounding.
const ROUNDS: usize = 50;

impl Geometry {
    fn reynolds_range(self) -> Range {
        let beta2 = self.beta * self.beta;
        let least = match self.taps {
            Taps::Flange => 170.0 * beta2 * self.bore_m * 1000.0,
            Taps::Corner | Taps::BoreAndHalf if self.beta > 0.56 => 16_000.0 * beta2,
            Taps::Corner | Taps::BoreAndHalf => 0.0,
        };
        Range::new(REYNOLDS.min.max(least), REYNOLDS.max, REYNOLDS.unit)
    }

    /// Re = (Re/C) C(Re), by substitution from the foot of the range.
    fn settled_reynolds(self, re_per_c: f64) -> Result<f64, Error> {
        let range = self.reynolds_range();
        let mut reynolds = range.min;
        for _ in 0..ROUNDS {
            let next = range.check(Input::ReynoldsNumber, re_per_c * self.discharge(reynolds))?;
            let settled = (next - reynolds).abs() <= 4.0 * f64::EPSILON * next;
            reynolds = next;
            if settled {
                return Ok(reynolds);
            }
        }
        Err(Error::NotConverged {
            what: Solve::PlateFlow,
            iterations: ROUNDS,
            residual: re_per_c * self.discharge(reynolds) / reynolds - 1.0,
            low: range.min,
            high: range.max,
        })
    }

    fn discharge(self, reynolds: f64) -> f64 {
        let Self { bore_m, beta, .. } = self;
        let bore_in = bore_m / 0.0254;
        let (l_1, l_2) = match self.taps {
            Taps::Corner => (0.0, 0.0),
            Taps::Flange => (1.0 / bore_in, 1.0 / bore_in),
            Taps::BoreAndHalf => (1.0, 0.47),
        };
        let (beta2, beta4, beta8) = (beta.powi(2), beta.powi(4), beta.powi(8));
        // A = (19000 β/Re)^0.8;   M₂ = 2 L₂/(1 − β)
        let a = (19_000.0 * beta / reynolds).powf(0.8);
        let m_2: f64 = 2.0 * l_2 / (1.0 - beta);
        // 0.5961 + 0.0261 β² − 0.216 β⁸ + 0.000521 (10⁶ β/Re)^0.7
        let base =
            0.5961 + 0.0261 * beta2 - 0.216 * beta8 + 0.000_521 * (1e6 * beta / reynolds).powf(0.7);
        // (0.0188 + 0.0063 A) β^3.5 (10⁶/Re)^0.3
        let slope = (0.0188 + 0.0063 * a) * beta.powf(3.5) * (1e6 / reynolds).powf(0.3);
        // (0.043 + 0.080 e^(−10 L₁) − 0.123 e^(−7 L₁)) (1 − 0.11 A) β⁴/(1 − β⁴)
        let upstream = (0.043 + 0.080 * (-10.0 * l_1).exp() - 0.123 * (-7.0 * l_1).exp())
            * (1.0 - 0.11 * a)
            * beta4
            / (1.0 - beta4);
        // 0.031 (M₂ − 0.8 M₂^1.1) β^1.3
        let downstream = 0.031 * (m_2 - 0.8 * m_2.powf(1.1)) * beta.powf(1.3);
        // 0.011 (0.75 − β) (2.8 − D/25.4 mm) where D < 71.12 mm
        let small = if bore_in < 2.8 {
            0.011 * (0.75 - beta) * (2.8 - bore_in)
        } else {
            0.0
        };
        base + slope + upstream - downstream + small
    }

    fn expansibility(self, pressure_ratio: f64, isentropic_exponent: Ratio) -> Result<f64, Error> {
        let pressure_ratio = PRESSURE_RATIO.check(Input::PressureRatio, pressure_ratio)?;
        let kappa = ISENTROPIC_EXPONENT.check(
            Input::IsentropicExponent,
            isentropic_exponent.get::<ratio>(),
        )?;
        let beta4 = self.beta.powi(4);
        // ε = 1 − (0.351 + 0.256 β⁴ + 0.93 β⁸) [1 − (p₂/p₁)^(1/κ)]
        Ok(1.0
            - (0.351 + 0.256 * beta4 + 0.93 * beta4 * beta4)
                * (1.0 - pressure_ratio.powf(kappa.recip())))
    }
}
