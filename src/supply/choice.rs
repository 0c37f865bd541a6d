//! Other pipes for a run: what each would cost, and the narrowest that costs no more than is wanted.

use std::sync::Arc;

use super::line::{LineFlow, WANTED_LOSS};
use super::run::PipeRun;
use crate::air::AirFlow;
use crate::error::{Error, Input};
use crate::pipe::Pipe;
use crate::units::{AbsolutePressure, Pressure, ThermodynamicTemperature, kilopascal};

/// A run in another pipe.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LineChoice {
    /// The pipe.
    pub pipe: Arc<Pipe>,
    /// The air in it.
    pub flow: LineFlow,
    /// Whether it costs no more than is wanted; all do when nothing is.
    pub meets: bool,
}

impl PipeRun {
    /// The run in each of its [choices](Self::others), narrowest first, with the same length and fittings: what each
    /// costs for an air flow and the pressure behind it. Pipes that choke are left out, and there is nothing to
    /// choose from when only the run's bore is known.
    ///
    /// # Errors
    /// As [`PipeRun::line`] and [`AirLine::inlet`](super::AirLine::inlet), and outside [`WANTED_LOSS`].
    ///
    /// # Examples
    /// ```
    /// use risewater::Pipe;
    /// use risewater::air::AirFlow;
    /// use risewater::supply::PipeRun;
    /// use risewater::units::*;
    ///
    /// let run = PipeRun::of_pipe(Pipe::named("ASTM D1785 Sch 40 2 in")?, Length::new::<meter>(30.0));
    /// let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(120.0))?;
    /// let choices = run.choices(
    ///     air,
    ///     ThermodynamicTemperature::new::<degree_celsius>(25.0),
    ///     AbsolutePressure::new::<kilopascal>(115.0),
    ///     Some(Pressure::new::<kilopascal>(0.5)),
    /// )?;
    /// let narrowest = choices.iter().find(|choice| choice.meets).expect("some pipe is wide enough");
    /// assert_eq!(narrowest.pipe.name, "ASTM D1785 Sch 40 2-1/2 in");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn choices(
        &self,
        air: AirFlow,
        temperature: ThermodynamicTemperature,
        outlet: AbsolutePressure,
        wanted: Option<Pressure>,
    ) -> Result<Vec<LineChoice>, Error> {
        if let Some(wanted) = wanted {
            WANTED_LOSS.check(Input::WantedLoss, wanted.get::<kilopascal>())?;
        }
        let mut choices = Vec::new();
        for pipe in &self.others {
            let other = Self {
                pipe: Some(Arc::clone(pipe)),
                bore: pipe.bore(),
                ..self.clone()
            };
            let flow = other.line(air, temperature)?.inlet(air, outlet)?;
            if !flow.choked {
                choices.push(LineChoice {
                    pipe: Arc::clone(pipe),
                    flow,
                    meets: wanted.is_none_or(|wanted| flow.loss() <= wanted),
                });
            }
        }
        choices.sort_by(|a, b| a.pipe.bore().value.total_cmp(&b.pipe.bore().value));
        Ok(choices)
    }
}
