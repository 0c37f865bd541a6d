//! Runs in which no water came, and whether theory says so too.

use super::instruments::Instruments;
use super::measured::Measured;
use super::run::{Run, WaterReading};
use crate::error::Error;
use crate::measurement::Uncertain;
use crate::riser::Site;
use crate::units::{Length, MassRate};

/// A run in which no water came: the riser did not pump at this air flow.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NoFlowRun {
    /// Name of the run.
    pub label: String,
    /// What was set up.
    pub configuration: String,
    /// Depth of the air inlet.
    pub submergence: Uncertain<Length>,
    /// Height of the outlet.
    pub lift: Uncertain<Length>,
    /// Water and atmosphere.
    pub site: Site,
    /// Air flow, as its mass rate of dry air.
    pub air: Measured<MassRate>,
}

/// The runs of a trial in which no water came; [`reduce`](super::reduce) has the others.
///
/// # Errors
/// As [`Run::reduce`], of the first run that fails.
///
/// # Examples
/// ```
/// # #[cfg(feature = "files")] {
/// use risewater::trial::{DEMO, Instruments, no_flow, parse_runs, reduce};
///
/// let row = DEMO.lines().find(|line| line.starts_with("R01,")).ok_or("no such run")?;
/// let times: Vec<&str> = row.split(',').skip(5).take(4).collect();
/// let sheet = DEMO.replace(&times.join(","), "no flow,,,");
/// let (runs, kit) = (parse_runs(&sheet)?, Instruments::default());
/// assert_eq!((reduce(&runs, &kit)?.len(), no_flow(&runs, &kit)?.len()), (11, 1));
/// # }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn no_flow(runs: &[Run], instruments: &Instruments) -> Result<Vec<NoFlowRun>, Error> {
    let still = runs.iter().filter(|run| run.water == WaterReading::NoFlow);
    still.map(|run| NoFlowRun::of(run, instruments)).collect()
}

impl NoFlowRun {
    pub(super) fn of(run: &Run, instruments: &Instruments) -> Result<Self, Error> {
        let [submergence, lift] = run.place(instruments)?;
        Ok(Self {
            label: run.label.clone(),
            configuration: run.configuration.clone(),
            submergence,
            lift,
            site: run.site,
            air: run.air.air_flow(instruments)?,
        })
    }
}
