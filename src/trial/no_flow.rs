//! Runs in which no water came, and whether theory says so too.

use super::instruments::Instruments;
use super::measured::Measured;
use super::prediction::Prediction;
use super::run::{Run, WaterReading};
use super::verdict::Verdict;
use crate::air::AirFlow;
use crate::error::Error;
use crate::measurement::Uncertain;
use crate::model::Model;
use crate::riser::{RiserSpec, Site};
use crate::uncertainty::{ErrorLaw, Interval};
use crate::units::{Length, MassRate, VolumeRate, base};

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
/// use risewater::trial::{DEMO, Instruments, no_flow, parse_sheet, reduce};
///
/// let row = DEMO.lines().find(|line| line.starts_with("R01,")).ok_or("no such run")?;
/// let times: Vec<&str> = row.split(',').skip(5).take(4).collect();
/// let sheet = DEMO.replace(&times.join(","), "no flow,,,");
/// let (runs, kit) = (parse_sheet(&sheet)?, Instruments::default());
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

/// A run without water against the prediction of its riser.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NoFlowAgreement {
    /// Name of the run.
    pub label: String,
    /// What was set up.
    pub configuration: String,
    /// Depth of the air inlet.
    pub submergence: Length,
    /// Height of the outlet.
    pub lift: Length,
    /// Air flow measured.
    pub air: AirFlow,
    /// Water flow predicted; zero when none flows.
    pub predicted: VolumeRate,
    /// Where the true flow lies by the prediction; none at a submergence ratio below 0.4.
    pub interval: Option<Interval>,
    /// [`Verdict::Agrees`] where theory lets none flow, [`Verdict::CannotTell`] where its interval
    /// reaches down to none or is not known, else [`Verdict::NoWaterMeasured`].
    pub verdict: Verdict,
}

impl NoFlowAgreement {
    /// Holds a run against the prediction of its riser, with the depth and lift of the run.
    ///
    /// # Errors
    /// As [`Agreement::of`](super::Agreement::of).
    pub fn of(run: &NoFlowRun, spec: &RiserSpec, model: Model) -> Result<Self, Error> {
        let (place, air) = ([run.submergence.value, run.lift.value], run.air.air_flow());
        let found = Prediction::at(place, &run.site, air, spec, model)?;
        let interval = ErrorLaw::default().on(&found.riser)?.predict(air)?.interval;
        Ok(Self {
            label: run.label.clone(),
            configuration: run.configuration.clone(),
            submergence: run.submergence.value,
            lift: run.lift.value,
            air,
            predicted: base(found.flow),
            interval,
            verdict: if found.flow <= 0.0 {
                Verdict::Agrees
            } else if interval.is_none_or(|interval| interval.low.value <= 0.0) {
                Verdict::CannotTell
            } else {
                Verdict::NoWaterMeasured
            },
        })
    }
}
