//! Drilled holes: the flow of air through a sharp edge, choked or not; into the open, and in a plate that stands
//! in a line.

use crate::air::{AIR_TEMPERATURE, AirFlow, DRY_AIR_GAS_CONSTANT};
use crate::error::{Error, Input, Solve, range};
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, base, degree_celsius, kelvin, meter,
    millimeter, ratio,
};

range!(HOLE_DIAMETER, 0.1 to 1000 "mm", "Diameters of a drilled hole.");
range!(HOLES, 1 to 100_000 "holes", "Numbers of holes side by side.");
range!(DISCHARGE_COEFFICIENT, 0.1 to 1, "Discharge coefficients.");

range!(PLATE_BORE, 50 to 1000 "mm",
    "Bores of a line with an orifice plate in ISO 5167-2; narrower ones are extrapolated.");
range!(PLATE_HOLE, 12.5 to 750 "mm",
    "Holes of an orifice plate in ISO 5167-2; the largest is that of the widest line.");
range!(PLATE_RATIO, 0.1 to 0.75, "Hole over bore of an orifice plate in ISO 5167-2.");

/// Ratio of specific heats of air.
pub(super) const GAMMA: f64 = 1.4;
/// (γ − 1)/γ
pub(super) const KAPPA: f64 = (GAMMA - 1.0) / GAMMA;

/// Drilled holes side by side.
///
/// Holes that discharge into the open or into water lose the whole pressure:
///
/// ```text
/// ṁ = n C_d A √(2 p1 ρ1) √{γ/(γ−1) [r^(2/γ) − r^((γ+1)/γ)]}      r = p2/p1, γ = 1.4
/// ```
///
/// Below r = (2/(γ+1))^(γ/(γ−1)) = 0.52828 the hole is choked: the flow depends on p1 alone.
///
/// A plate in a [`Branch`](super::Branch) of bore D gets part of it back behind the hole, and costs the pressure ϖ
/// (ISO 5167-2, eq. (5), and its clause on pressure loss):
///
/// ```text
/// ṁ = C/√(1 − β⁴) ε A √(2 Δp ρ1)         β² = n d²/D², A = n π d²/4, x = Δp/p1
/// ε = 1 − (0.351 + 0.256 β⁴ + 0.93 β⁸) [1 − (1 − x)^(1/γ)]
/// ϖ = Δp (√(1 − β⁴ (1 − C²)) − C β²)/(√(1 − β⁴ (1 − C²)) + C β²)
/// ```
///
/// It is taken as choked where its throat is, at 1 − x = 0.52828; C is the discharge coefficient.
///
/// # Validity
/// Ideal gas, isentropic up to the throat. The discharge coefficient is the user's: 0.60 to 0.65 for
/// thin sharp edges, about 0.8 for holes as deep as wide (handbook values, from memory). That part of it
/// which depends on r (a jet widens as r falls) is left out for a hole into the open. The standard's plates have
/// one hole, pressure ratios 1 − x from 0.75 (from memory), and [`PLATE_BORE`], [`PLATE_HOLE`] and [`PLATE_RATIO`];
/// beyond them its equations are continued.
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
/// [Saint-Venant & Wantzel (1839)](crate::references::SAINT_VENANT_WANTZEL_1839), in any text on gas dynamics;
/// [ISO 5167-2](crate::references::ISO_5167_2), by way of [fluids](crate::references::BELL_FLUIDS).
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
        falling(p1, p2)?;
        // ṁ goes with the square of the diameter.
        let factor = (air.kg_per_s() / hole.kg_per_s(p1, p2)).sqrt();
        let sized = Self {
            diameter: self.diameter * factor,
            ..*self
        };
        sized.throat(temperature)?;
        Ok(sized)
    }

    /// β: the bore of one hole as large as all of them, over the bore of their line.
    pub(super) fn over_bore(&self, bore: Length) -> f64 {
        f64::from(self.holes).sqrt() * (self.diameter / bore).get::<ratio>()
    }

    /// Air flow of a plate in a line of some bore, between the pressure before it and that which is left behind it.
    ///
    /// # Errors
    /// As [`Orifice::air_flow`], and [`Error::Inconsistent`] for holes as wide as the line.
    ///
    /// # Examples
    /// ```
    /// use risewater::supply::Orifice;
    /// use risewater::units::*;
    ///
    /// let kpa = AbsolutePressure::new::<kilopascal>;
    /// let plate = Orifice::new(Length::new::<millimeter>(11.04));
    /// let bore = Length::new::<millimeter>(16.0);
    /// let t = ThermodynamicTemperature::new::<kelvin>(293.15);
    /// let air = plate.air_flow_in_line(bore, kpa(113.0), kpa(113.0 - 0.672_36), t)?;
    /// // tests/data/orifice_plates.csv, P2, by fluids 1.3.1: 0.003972844751 kg/s
    /// assert_eq!(format!("{:.4e}", air.dry_mass_rate().get::<kilogram_per_second>()), "3.9728e-3");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn air_flow_in_line(
        &self,
        bore: Length,
        before: AbsolutePressure,
        left: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<AirFlow, Error> {
        if self.over_bore(bore) >= 1.0 {
            return Err(Error::Inconsistent {
                larger: Input::LineBore,
                larger_value: bore.get::<millimeter>(),
                smaller: Input::HoleDiameter,
                smaller_value: self.diameter.get::<millimeter>(),
                unit: "mm",
            });
        }
        let plate = self.plate(bore, temperature)?;
        let (p1, left) = (super::pressure_pa(before)?, super::pressure_pa(left)?);
        AirFlow::from_dry_mass(base(plate.kg_per_s(p1, left)))
    }

    /// The same holes with the diameter that makes a plate in a line pass an air flow between the pressure before
    /// it and that which is left behind it; none when not even a hole as wide as the line does.
    ///
    /// # Errors
    /// As [`Orifice::sized`].
    pub fn sized_in_line(
        &self,
        bore: Length,
        air: AirFlow,
        (before, left): (AbsolutePressure, AbsolutePressure),
        temperature: ThermodynamicTemperature,
    ) -> Result<Option<Self>, Error> {
        let (upstream_pa, left_pa) = (super::pressure_pa(before)?, super::pressure_pa(left)?);
        falling(upstream_pa, left_pa)?;
        self.throat(temperature)?;
        let (c, rt) = (
            self.discharge.get::<ratio>(),
            DRY_AIR_GAS_CONSTANT * temperature.get::<kelvin>(),
        );
        let excess = |beta2: f64| {
            let plate = Plate::new(c, bore.get::<meter>(), beta2, rt);
            plate.kg_per_s(upstream_pa, left_pa) / air.kg_per_s() - 1.0
        };
        let bracket = Bracket {
            low: 0.0,
            f_low: -1.0,
            high: WIDEST,
            f_high: excess(WIDEST),
        };
        if bracket.f_high < 0.0 {
            return Ok(None);
        }
        let tight = Tolerance {
            relative: 1e-14,
            absolute: 0.0,
            residual: 1e-11,
            rounding: 4e-16,
        };
        let beta2 = bracketed(Solve::OrificeSize, bracket, tight, excess)?;
        let sized = Self {
            diameter: bore * (beta2 / f64::from(self.holes)).sqrt(),
            ..*self
        };
        sized.throat(temperature)?;
        Ok(Some(sized))
    }

    /// The same in a plate that stands in a line, checked and in plain SI; β is to be below 1.
    pub(super) fn plate(
        &self,
        bore: Length,
        temperature: ThermodynamicTemperature,
    ) -> Result<Plate, Error> {
        let rt = self.throat(temperature)?.rt;
        let (c, beta) = (self.discharge.get::<ratio>(), self.over_bore(bore));
        Ok(Plate::new(c, bore.get::<meter>(), beta * beta, rt))
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

/// Refuses a pressure that does not fall.
fn falling(p1_pa: f64, p2_pa: f64) -> Result<(), Error> {
    if p1_pa > p2_pa {
        return Ok(());
    }
    Err(Error::Inconsistent {
        larger: Input::UpstreamPressure,
        larger_value: p1_pa / 1000.0,
        smaller: Input::LinePressure,
        smaller_value: p2_pa / 1000.0,
        unit: "kPa",
    })
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
    pub(crate) fn upstream_pa(&self, kg_per_s: f64, p2_pa: f64) -> f64 {
        let h2 = (kg_per_s / (self.effective_m2 * p2_pa)).powi(2) * KAPPA * self.rt / 2.0;
        let x = f64::midpoint(1.0, (1.0 + 4.0 * h2).sqrt());
        if x < CHOKING {
            p2_pa * x.powf(1.0 / KAPPA)
        } else {
            kg_per_s / (self.effective_m2 * (2.0 / (KAPPA * self.rt)).sqrt() * choked_shape())
        }
    }
}

/// √(x² − x) (p2/p1) at choking.
fn choked_shape() -> f64 {
    (CHOKING * CHOKING - CHOKING).sqrt() / CHOKING.powf(1.0 / KAPPA)
}

/// β² of the widest hole that is looked for.
const WIDEST: f64 = 0.9999;
/// x = Δp/p1 at the choking pressure ratio, 1 − (2/(γ+1))^(γ/(γ−1)).
pub(super) const CHOKING_DROP: f64 = 1.0 - 0.528_281_787_717_174_3;
/// (1 − x)^(1/γ) there, [2/(γ+1)]^(1/(γ−1)).
pub(super) const CHOKING_SHAPE: f64 = 0.633_938_145_260_608_9;
/// A step of Newton's method after which the error is that of rounding: the next would be of the order of its square.
const LAST_STEP: f64 = 1e-9;
/// Steps of Newton's method; it needs three or four.
const STEPS: usize = 50;

/// Holes in a plate that stands in a line, in plain SI, by the equations of [`Orifice`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Plate {
    /// C A/√((1 − β⁴) R T/2), kg/(s Pa)
    scale: f64,
    /// 0.351 + 0.256 β⁴ + 0.93 β⁸
    bend: f64,
    /// ϖ/Δp
    lasting: f64,
}

impl Plate {
    pub fn new(c: f64, bore_m: f64, beta2: f64, rt: f64) -> Self {
        let beta4 = beta2 * beta2;
        let area_m2 = std::f64::consts::FRAC_PI_4 * bore_m * bore_m * beta2;
        // √(1 − β⁴ (1 − C²))
        let root = (1.0 - beta4 * (1.0 - c * c)).sqrt();
        Self {
            scale: c * area_m2 * (2.0 / ((1.0 - beta4) * rt)).sqrt(),
            bend: 0.351 + 0.256 * beta4 + 0.93 * beta4 * beta4,
            lasting: (root - c * beta2) / (root + c * beta2),
        }
    }

    /// ε
    pub(crate) fn expansibility(&self, x: f64) -> f64 {
        self.shaped((1.0 - x).powf(GAMMA.recip()))
    }

    /// ε from (1 − x)^(1/γ).
    fn shaped(&self, shape: f64) -> f64 {
        1.0 - self.bend * (1.0 - shape)
    }

    /// ṁ/p1
    fn per_upstream(&self, x: f64) -> f64 {
        self.scale * self.expansibility(x) * x.sqrt()
    }

    /// x of the pressures before the plate and far behind it; at most that of choking.
    fn drop(&self, p1_pa: f64, left_pa: f64) -> f64 {
        ((1.0 - left_pa / p1_pa) / self.lasting).min(CHOKING_DROP)
    }

    /// ṁ between the pressure before the plate and that left behind it.
    pub fn kg_per_s(&self, p1_pa: f64, left_pa: f64) -> f64 {
        if p1_pa <= left_pa {
            return 0.0;
        }
        p1_pa * self.per_upstream(self.drop(p1_pa, left_pa))
    }

    /// p1 for a flow that leaves a pressure behind the plate.
    pub(crate) fn upstream_pa(&self, kg_per_s: f64, left_pa: f64) -> f64 {
        // ṁ/p_left = scale ε √x/(1 − k x) rises with x, and so up to the choking of the throat.
        let wanted = kg_per_s / (self.scale * left_pa);
        let most =
            self.shaped(CHOKING_SHAPE) * CHOKING_DROP.sqrt() / (1.0 - self.lasting * CHOKING_DROP);
        if wanted >= most {
            return kg_per_s / self.per_upstream(CHOKING_DROP);
        }
        // Newton's method for y = √x, inside a bracket: ε y − wanted (1 − k y²) = 0.
        let (mut low, mut high) = (0.0, CHOKING_DROP.sqrt());
        let mut y = wanted.min(0.9 * high);
        for _ in 0..STEPS {
            let x = y * y;
            let shape = (1.0 - x).powf(GAMMA.recip());
            let epsilon = self.shaped(shape);
            let off = epsilon * y - wanted * (1.0 - self.lasting * x);
            if off > 0.0 {
                high = y;
            } else {
                low = y;
            }
            // dε/dx = −bend (1 − x)^(1/γ − 1)/γ
            let fall = self.bend * shape / ((1.0 - x) * GAMMA);
            let slope = epsilon - 2.0 * x * fall + 2.0 * wanted * self.lasting * y;
            let newton = y - off / slope;
            let next = if newton > low && newton < high {
                newton
            } else {
                f64::midpoint(low, high)
            };
            let step = (next - y).abs();
            y = next;
            // A halved bracket says nothing of the error.
            if step <= if next == newton { LAST_STEP } else { 1e-16 } * y {
                break;
            }
        }
        left_pa / (1.0 - self.lasting * y * y)
    }

    /// Whether the flow between the pressure before the plate and that left behind it is choked.
    pub fn choked(&self, p1_pa: f64, left_pa: f64) -> bool {
        self.drop(p1_pa, left_pa) >= CHOKING_DROP
    }
}
