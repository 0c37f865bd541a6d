//! Air lines: pressure lost between blower and riser.

use std::sync::Arc;

use crate::air::{AIR_TEMPERATURE, AirFlow, DRY_AIR_GAS_CONSTANT, viscosity_pa_s};
use crate::error::{Error, Input, range};
use crate::pipe::colebrook_1939::darcy;
use crate::pipe::{BORE, Pipe};
use crate::riser::LOSS_COEFFICIENT;
use crate::units::{
    AbsolutePressure, Length, Pressure, Ratio, ThermodynamicTemperature, Velocity, base,
    degree_celsius, kelvin, kilopascal, meter, micrometer, millimeter, ratio,
};

range!(LINE_LENGTH, 0 to 100_000 "m", "Lengths of an [`AirLine`].");
range!(LINE_ROUGHNESS, 0 to 10_000 "um", "Roughnesses of an [`AirLine`]; below a twentieth of the bore as well.");
range!(WANTED_LOSS, 1e-6 to 1000 "kPa", "Pressure losses that a line can be sized for.");

/// Steps of Newton's method; it needs three or four.
const STEPS: usize = 50;

/// A pipe that carries air, with its fittings.
///
/// ```text
/// p1² − p2² = (ṁ/A)² R T [f L/D + ΣK + 2 ln(p1/p2)]
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p1, p2 | absolute pressure at inlet and outlet | Pa |
/// | ṁ | mass rate of dry air | kg/s |
/// | A, D, L | cross-section, bore, length | m², m, m |
/// | R, T | gas constant of dry air, mean temperature in the line | J/(kg K), K |
/// | f | Darcy factor by Colebrook's law, at the mean temperature | 1 |
/// | ΣK | loss coefficients of all fittings, on the velocity head | 1 |
///
/// # Validity
/// Isothermal flow of an ideal gas, constant f. Humidity adds up to 2 % to the mass and is left out,
/// and so is the weight of the air itself, 12 Pa a metre of height. Where the outlet would be faster
/// than isothermal flow can be, (ṁ/A)² R T > p2², the line is choked: the pressure inside its end stays
/// at (ṁ/A) √(R T), and [`LineFlow::choked`] says so.
///
/// # Examples
/// ```
/// use risewater::air::{AirFlow, AirState};
/// use risewater::supply::AirLine;
/// use risewater::units::*;
///
/// let line = AirLine::new(Length::new::<millimeter>(52.5), Length::new::<meter>(100.0));
/// let air = AirFlow::at(
///     VolumeRate::new::<cubic_meter_per_hour>(100.0),
///     &AirState::NORMAL_DIN_1343,
/// )?;
/// let flow = line.inlet(air, AbsolutePressure::new::<kilopascal>(115.0))?;
/// // An independent evaluation gives 119.000 kPa, with a viscosity 0.4 % larger.
/// assert_eq!(format!("{:.2}", flow.inlet.get::<kilopascal>()), "119.00");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// The isothermal equation stands in any text on gas dynamics. Friction:
/// [Colebrook (1939)](crate::references::COLEBROOK_1939).
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct AirLine {
    /// Bore.
    pub bore: Length,
    /// Length.
    pub length: Length,
    /// Roughness of the wall.
    pub roughness: Length,
    /// Sum of the loss coefficients of its fittings, with those of entrance and end.
    pub loss: Ratio,
    /// Mean temperature of the air in it.
    pub temperature: ThermodynamicTemperature,
}

/// Air in a line.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LineFlow {
    /// Pressure at the inlet.
    pub inlet: AbsolutePressure,
    /// Pressure at the outlet.
    pub outlet: AbsolutePressure,
    /// Velocity at the outlet, where it is largest.
    pub velocity: Velocity,
    /// Whether the outlet runs at the velocity of sound (isothermal): the line, not what follows it,
    /// then sets the pressure there.
    pub choked: bool,
}

impl LineFlow {
    /// What the line costs.
    #[must_use]
    pub fn loss(&self) -> Pressure {
        self.inlet - self.outlet
    }
}

impl AirLine {
    /// A smooth plastic line at 20 °C with no fittings.
    #[must_use]
    pub fn new(bore: Length, length: Length) -> Self {
        Self {
            bore,
            length,
            roughness: crate::pipe::losses::PVC_ROUGHNESS.value,
            loss: base(0.0),
            temperature: base(293.15),
        }
    }

    /// With the roughness of its wall.
    #[must_use]
    pub fn with_roughness(self, roughness: Length) -> Self {
        Self { roughness, ..self }
    }

    /// With the sum of the loss coefficients of its fittings.
    #[must_use]
    pub fn with_loss(self, loss: Ratio) -> Self {
        Self { loss, ..self }
    }

    /// With the mean temperature of the air in it.
    #[must_use]
    pub fn with_temperature(self, temperature: ThermodynamicTemperature) -> Self {
        Self {
            temperature,
            ..self
        }
    }

    /// Pressure at the inlet for an air flow and the pressure at the outlet.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`BORE`], [`LINE_LENGTH`], [`LINE_ROUGHNESS`],
    /// [`LOSS_COEFFICIENT`], [`AIR_TEMPERATURE`] or [`AIR_PRESSURE`](crate::air::AIR_PRESSURE); [`Error::Inconsistent`] for a
    /// wall rougher than a twentieth of the bore.
    ///
    /// # Examples
    /// See [`AirLine`].
    pub fn inlet(&self, air: AirFlow, outlet: AbsolutePressure) -> Result<LineFlow, Error> {
        let duct = self.duct()?;
        let p2 = super::pressure_pa(outlet)?;
        let (m, outlet_pa) = (air.kg_per_s(), duct.end_pa(air.kg_per_s(), p2));
        Ok(LineFlow {
            inlet: AbsolutePressure(base(duct.inlet_pa(m, p2))),
            outlet: AbsolutePressure(base(outlet_pa)),
            velocity: base(duct.flux(m) * duct.rt / outlet_pa),
            choked: outlet_pa > p2,
        })
    }

    /// Pressure at the outlet for an air flow and the pressure at the inlet.
    ///
    /// # Errors
    /// As [`AirLine::inlet`], and [`Error::LineTooNarrow`] when the inlet pressure cannot drive so
    /// much air through the line at all.
    ///
    /// # Examples
    /// ```
    /// use risewater::air::AirFlow;
    /// use risewater::supply::AirLine;
    /// use risewater::units::*;
    ///
    /// let line = AirLine::new(Length::new::<millimeter>(26.6), Length::new::<meter>(30.0));
    /// let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(20.0))?;
    /// let end = line.outlet(air, AbsolutePressure::new::<kilopascal>(116.0))?;
    /// // There and back.
    /// let again = line.inlet(air, end.outlet)?;
    /// assert!((again.inlet.get::<pascal>() - 116_000.0).abs() < 1e-6);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn outlet(&self, air: AirFlow, inlet: AbsolutePressure) -> Result<LineFlow, Error> {
        let duct = self.duct()?;
        let (m, p1) = (air.kg_per_s(), super::pressure_pa(inlet)?);
        let p2 = duct.outlet_pa(m, p1).ok_or(Error::LineTooNarrow {
            bore: self.bore,
            length: self.length,
            air: air.volume_rate_at_20_c(),
            inlet,
        })?;
        Ok(LineFlow {
            inlet,
            outlet: AbsolutePressure(base(p2)),
            velocity: base(duct.flux(m) * duct.rt / p2),
            choked: false,
        })
    }

    /// The narrowest of some pipes whose loss does not exceed a wanted one, for the same length and
    /// fittings; none when even the widest loses more.
    ///
    /// # Errors
    /// As [`AirLine::inlet`], and outside [`WANTED_LOSS`].
    ///
    /// # Examples
    /// ```
    /// use risewater::Pipe;
    /// use risewater::air::AirFlow;
    /// use risewater::supply::AirLine;
    /// use risewater::units::*;
    ///
    /// let line = AirLine::new(Length::new::<millimeter>(50.0), Length::new::<meter>(30.0));
    /// let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(120.0))?;
    /// let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"])?;
    /// let delivered = AbsolutePressure::new::<kilopascal>(115.0);
    /// let (pipe, flow) = line
    ///     .narrowest(&pipes, air, delivered, Pressure::new::<kilopascal>(1.0))?
    ///     .expect("one of them is wide enough");
    /// assert!(flow.loss() <= Pressure::new::<kilopascal>(1.0));
    /// # assert!(!pipe.name.is_empty());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn narrowest(
        &self,
        pipes: &[Arc<Pipe>],
        air: AirFlow,
        outlet: AbsolutePressure,
        wanted: Pressure,
    ) -> Result<Option<(Arc<Pipe>, LineFlow)>, Error> {
        WANTED_LOSS.check(Input::WantedLoss, wanted.get::<kilopascal>())?;
        let mut best: Option<(&Arc<Pipe>, LineFlow)> = None;
        for pipe in pipes {
            let line = Self {
                bore: pipe.bore(),
                ..*self
            };
            let flow = line.inlet(air, outlet)?;
            let fits = !flow.choked && flow.loss() <= wanted;
            if fits && best.is_none_or(|(found, _)| pipe.bore() < found.bore()) {
                best = Some((pipe, flow));
            }
        }
        Ok(best.map(|(pipe, flow)| (Arc::clone(pipe), flow)))
    }

    /// The same checked and in plain SI, for the solvers.
    pub(super) fn duct(&self) -> Result<Duct, Error> {
        BORE.check(Input::LineBore, self.bore.get::<millimeter>())?;
        LINE_LENGTH.check(Input::LineLength, self.length.get::<meter>())?;
        LINE_ROUGHNESS.check(Input::LineRoughness, self.roughness.get::<micrometer>())?;
        LOSS_COEFFICIENT.check(Input::LineLoss, self.loss.get::<ratio>())?;
        AIR_TEMPERATURE.check(
            Input::LineTemperature,
            self.temperature.get::<degree_celsius>(),
        )?;
        let (bore_m, eps_m) = (self.bore.get::<meter>(), self.roughness.get::<meter>());
        if eps_m > bore_m / 20.0 {
            return Err(Error::Inconsistent {
                larger: Input::LineBore,
                larger_value: self.bore.get::<millimeter>() / 20.0,
                smaller: Input::LineRoughness,
                smaller_value: self.roughness.get::<millimeter>(),
                unit: "mm",
            });
        }
        let t_k = self.temperature.get::<kelvin>();
        Ok(Duct {
            bore_m,
            area_m2: std::f64::consts::FRAC_PI_4 * bore_m * bore_m,
            length_m: self.length.get::<meter>(),
            eps: eps_m / bore_m,
            k: self.loss.get::<ratio>(),
            rt: DRY_AIR_GAS_CONSTANT * t_k,
            mu_pa_s: viscosity_pa_s(t_k),
        })
    }
}

/// An air line in plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Duct {
    pub bore_m: f64,
    pub area_m2: f64,
    pub length_m: f64,
    /// Roughness over bore.
    pub eps: f64,
    pub k: f64,
    /// R T, J/kg
    pub rt: f64,
    pub mu_pa_s: f64,
}

impl Duct {
    /// ṁ/A, kg/(m² s)
    pub fn flux(&self, kg_per_s: f64) -> f64 {
        kg_per_s / self.area_m2
    }

    /// f L/D + ΣK
    fn resistance(&self, kg_per_s: f64) -> f64 {
        // Re = ṁ D/(A μ)
        let reynolds = self.flux(kg_per_s) * self.bore_m / self.mu_pa_s;
        let friction = if self.length_m > 0.0 && reynolds > 0.0 {
            darcy(reynolds, self.eps) * self.length_m / self.bore_m
        } else {
            0.0
        };
        friction + self.k
    }

    /// Pressure inside the end: the given one, or that of choked flow, (ṁ/A) √(R T).
    pub(crate) fn end_pa(&self, kg_per_s: f64, p2_pa: f64) -> f64 {
        p2_pa.max(self.flux(kg_per_s) * self.rt.sqrt())
    }

    /// p1 for p2. Zero flow loses nothing.
    pub(crate) fn inlet_pa(&self, kg_per_s: f64, p2_pa: f64) -> f64 {
        if kg_per_s <= 0.0 {
            return p2_pa;
        }
        let p2 = self.end_pa(kg_per_s, p2_pa);
        // p1² − p2² = G [F + 2 ln(p1/p2)]   with G = (ṁ/A)² R T, F = f L/D + ΣK
        let g = self.flux(kg_per_s).powi(2) * self.rt;
        let f = self.resistance(kg_per_s);
        let mut p1 = (p2 * p2 + g * f).sqrt();
        for _ in 0..STEPS {
            let excess = p1 * p1 - p2 * p2 - g * (f + 2.0 * (p1 / p2).ln());
            let slope = 2.0 * (p1 - g / p1);
            let step = if slope > 0.0 { excess / slope } else { 0.0 };
            p1 -= step;
            if step.abs() <= 1e-15 * p1 {
                break;
            }
        }
        p1
    }

    /// p2 for p1; none when so much air cannot pass.
    pub(crate) fn outlet_pa(&self, kg_per_s: f64, p1_pa: f64) -> Option<f64> {
        if kg_per_s <= 0.0 {
            return Some(p1_pa);
        }
        let g = self.flux(kg_per_s).powi(2) * self.rt;
        let f = self.resistance(kg_per_s);
        let limit = g.sqrt();
        let excess = |p2: f64| p1_pa * p1_pa - p2 * p2 - g * (f + 2.0 * (p1_pa / p2).ln());
        // Falls with p2 above the choking pressure √G, where it must still be positive.
        if p1_pa <= limit || excess(limit) < 0.0 {
            return None;
        }
        let (mut low, mut high) = (limit, p1_pa);
        let mut p2 = (p1_pa * p1_pa - g * f).max(g).sqrt();
        for _ in 0..STEPS {
            let e = excess(p2);
            if e > 0.0 {
                low = p2;
            } else {
                high = p2;
            }
            let next = p2 + e / (2.0 * (p2 - g / p2));
            let next = if next > low && next < high {
                next
            } else {
                0.5 * (low + high)
            };
            let step = (next - p2).abs();
            p2 = next;
            if step <= 1e-15 * p2 {
                break;
            }
        }
        Some(p2)
    }
}
