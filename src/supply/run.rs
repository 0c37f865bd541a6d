//! A run of pipe as it is bought: pipe, length, fittings.

use std::sync::Arc;

use super::line::AirLine;
use crate::air::{AirFlow, viscosity};
use crate::error::{Error, Input};
use crate::pipe::fittings::Fitting;
use crate::pipe::{BORE, Pipe};
use crate::units::system::to_decimals;
use crate::units::{
    Length, Ratio, ThermodynamicTemperature, UnitSystem, base, millimeter, pascal_second, ratio,
};

/// Smallest Reynolds number that losses of fittings are taken at: in slower air they are not known, and cost
/// nothing.
const SLOWEST: f64 = 100.0;

/// A run of pipe.
///
/// ```
/// use risewater::air::AirFlow;
/// use risewater::pipe::fittings::Fitting;
/// use risewater::supply::PipeRun;
/// use risewater::units::*;
///
/// let mut run = PipeRun::new(Length::new::<inch>(2.0), Length::new::<meter>(12.0));
/// run.fittings.push((Fitting::Elbow90Threaded, 3));
/// // ṁ = Re π D μ/4 with Re = 1e5, D = 50.8 mm and 1.8134e-5 Pa s
/// let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(0.072_352))?;
/// let line = run.line(air, ThermodynamicTemperature::new::<degree_celsius>(20.0))?;
/// // Three times 800/1e5 + 0.4 (1 + 1/2).
/// assert_eq!(format!("{:.3}", line.loss.get::<ratio>()), "1.824");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PipeRun {
    /// The pipe, where more than its bore is known.
    pub pipe: Option<Arc<Pipe>>,
    /// The pipes that it might be made of, for [`PipeRun::choices`]: those of its own standard and series.
    pub others: Vec<Arc<Pipe>>,
    /// Bore.
    pub bore: Length,
    /// Length.
    pub length: Length,
    /// Roughness of the wall.
    pub roughness: Length,
    /// Fittings and their numbers.
    pub fittings: Vec<(Fitting, u32)>,
    /// Loss coefficients beside those of the fittings.
    pub other_loss: Ratio,
}

impl PipeRun {
    /// A bare smooth run.
    #[must_use]
    pub fn new(bore: Length, length: Length) -> Self {
        Self {
            pipe: None,
            others: Vec::new(),
            bore,
            length,
            roughness: crate::pipe::losses::PVC_ROUGHNESS.value,
            fittings: Vec::new(),
            other_loss: base(0.0),
        }
    }

    /// A bare smooth run of a pipe. A pipe of your own has no [others](Self::others) until they are set.
    #[must_use]
    pub fn of_pipe(pipe: Arc<Pipe>, length: Length) -> Self {
        let mut run = Self::new(pipe.bore(), length);
        run.others = pipe.kin().cloned().collect();
        run.pipe = Some(pipe);
        run
    }

    /// The run as a line, with its fittings' losses at an air flow's Reynolds number.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`BORE`] or the air's
    /// [`AIR_TEMPERATURE`](crate::air::AIR_TEMPERATURE).
    ///
    /// # Examples
    /// See [`PipeRun`].
    pub fn line(
        &self,
        air: AirFlow,
        temperature: ThermodynamicTemperature,
    ) -> Result<AirLine, Error> {
        BORE.check(Input::LineBore, self.bore.get::<millimeter>())?;
        let mu = viscosity(temperature)?.get::<pascal_second>();
        // Re = 4 ṁ/(π D μ)
        let reynolds = 4.0 * air.kg_per_s() / (std::f64::consts::PI * self.bore.value * mu);
        let mut loss = self.other_loss;
        for (fitting, count) in &self.fittings {
            let each = fitting.loss(Ratio::new::<ratio>(reynolds.max(SLOWEST)), self.bore)?;
            loss += each * f64::from(*count);
        }
        Ok(AirLine::new(self.bore, self.length)
            .with_roughness(self.roughness)
            .with_loss(loss)
            .with_temperature(temperature))
    }

    /// What the pipe is called: its name, or its bore.
    #[must_use]
    pub fn name(&self, units: UnitSystem) -> String {
        let bore = || to_decimals(units, units.bore_unit(), self.bore.value, [1, 3]);
        self.pipe
            .as_ref()
            .map_or_else(|| format!("bore {}", bore()), |pipe| pipe.name.clone())
    }
}
