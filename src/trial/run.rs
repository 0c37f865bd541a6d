//! One run of a trial: readings at one setting of the riser, and what they come to.

use std::slice;

use super::air_flow::{DisplacedAir, MeteredAir};
use super::instruments::Instruments;
use super::measured::Measured;
use super::outliers::mark_sheet;
use super::ratio::AirToWater;
use super::water_flow::{TimedVolume, WeighedWater};
use crate::error::{Error, Input};
use crate::measurement::{Uncertain, rectangular};
use crate::riser::{LIFT, SUBMERGENCE, Site};
use crate::units::{Length, MassRate, VolumeRate, meter};

/// How the water was measured.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum WaterReading {
    /// By the time to fill a volume.
    Timed(TimedVolume),
    /// By weighing.
    Weighed(WeighedWater),
    /// None came: the riser did not pump.
    NoFlow,
}

/// How the air was measured.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum AirReading {
    /// By a bottle over water.
    Displaced(DisplacedAir),
    /// By a meter.
    Metered(MeteredAir),
}

impl AirReading {
    pub(super) fn air_flow(&self, instruments: &Instruments) -> Result<Measured<MassRate>, Error> {
        match self {
            Self::Displaced(reading) => reading.air_flow(instruments),
            Self::Metered(reading) => reading.air_flow(instruments),
        }
    }
}

/// The readings of one run, as a sheet has them.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Name of the run.
    pub label: String,
    /// What was set up otherwise, in the experimenter's words: riser, air inlet.
    pub configuration: String,
    /// Depth of the air inlet below the running water level of the source.
    pub submergence: Length,
    /// Height of the outlet above that level.
    pub lift: Length,
    /// Water and atmosphere of the station.
    pub site: Site,
    /// The water.
    pub water: WaterReading,
    /// The air.
    pub air: AirReading,
}

/// What a run comes to.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ReducedRun {
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
    /// Water flow.
    pub water_flow: Measured<VolumeRate>,
    /// Air flow, as its mass rate of dry air.
    pub air: Measured<MassRate>,
    /// The two as a ratio, with their correlation.
    pub air_to_water: AirToWater,
}

impl Run {
    /// Water flow, air flow and their ratio, with uncertainty.
    ///
    /// # Errors
    /// As [`TimedVolume::water_flow`], [`WeighedWater::water_flow`], [`DisplacedAir::air_flow`] and
    /// [`MeteredAir::air_flow`]; [`Error::OutOfRange`] outside [`SUBMERGENCE`] or [`LIFT`];
    /// [`Error::NoReading`] for a run in which no water came.
    ///
    /// # Examples
    /// See [`reduce`].
    pub fn reduce(&self, instruments: &Instruments) -> Result<ReducedRun, Error> {
        let [submergence, lift] = self.place(instruments)?;
        let water_flow = match &self.water {
            WaterReading::Timed(reading) => reading.water_flow(instruments)?,
            WaterReading::Weighed(reading) => reading.water_flow(instruments)?,
            WaterReading::NoFlow => {
                let what = Input::WaterTime;
                return Err(Error::NoReading { what });
            }
        };
        let air = self.air.air_flow(instruments)?;
        let mut run = ReducedRun {
            label: self.label.clone(),
            configuration: self.configuration.clone(),
            submergence,
            lift,
            site: self.site,
            air_to_water: AirToWater::of(&air, &water_flow, instruments)?,
            water_flow,
            air,
        };
        mark_sheet(slice::from_mut(&mut run), free_s(instruments));
        Ok(run)
    }

    /// Submergence and lift as the tape gives them.
    pub(super) fn place(&self, instruments: &Instruments) -> Result<[Uncertain<Length>; 2], Error> {
        SUBMERGENCE.check(Input::Submergence, self.submergence.get::<meter>())?;
        LIFT.check(Input::Lift, self.lift.get::<meter>())?;
        let tape = rectangular(instruments.tape);
        Ok([self.submergence, self.lift].map(|length| Uncertain::new(length, tape)))
    }
}

/// Reduces every run of a trial in which water came; [`no_flow`](super::no_flow) has the others.
///
/// # Errors
/// As [`Run::reduce`], of the first run that fails.
///
/// # Examples
/// ```
/// # #[cfg(feature = "files")] {
/// use risewater::trial::{DEMO, Instruments, parse_runs, reduce};
/// use risewater::units::ratio;
///
/// let runs = parse_runs(DEMO)?;
/// let reduced = reduce(&runs, &Instruments::default())?;
/// assert_eq!(reduced.len(), runs.len());
/// // What a bucket and a hand-held watch are good for.
/// assert!(reduced.iter().all(|run| run.water_flow.budget.relative.get::<ratio>() < 0.05));
/// # }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn reduce(runs: &[Run], instruments: &Instruments) -> Result<Vec<ReducedRun>, Error> {
    let flowing = runs.iter().filter(|run| run.water != WaterReading::NoFlow);
    let mut reduced: Vec<ReducedRun> = flowing
        .map(|run| run.reduce(instruments))
        .collect::<Result<_, _>>()?;
    mark_sheet(&mut reduced, free_s(instruments));
    Ok(reduced)
}

/// Standard deviation of one time by reaction and display, s.
fn free_s(instruments: &Instruments) -> f64 {
    instruments.timing_variance().1.sqrt()
}

/// Whether two names are of one configuration: letter case and spaces do not part them.
///
/// # Examples
/// ```
/// use risewater::trial::same_configuration;
///
/// assert!(same_configuration("Open pipe", "open  pipe "));
/// assert!(!same_configuration("open pipe", "open pipes"));
/// ```
#[must_use]
pub fn same_configuration(one: &str, other: &str) -> bool {
    fn letters(name: &str) -> impl Iterator<Item = char> {
        let shown = name.chars().filter(|c| !c.is_whitespace());
        shown.flat_map(char::to_lowercase)
    }
    letters(one).eq(letters(other))
}

/// Each configuration once, in the order and the spelling in which it comes first.
///
/// # Examples
/// ```
/// use risewater::trial::configurations;
///
/// assert_eq!(configurations(["Ring", "tube", "ring"]), ["Ring", "tube"]);
/// ```
#[must_use]
pub fn configurations<'a>(names: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let mut all: Vec<&str> = Vec::new();
    for name in names {
        if !all.iter().any(|known| same_configuration(known, name)) {
            all.push(name);
        }
    }
    all
}

/// A sheet of several configurations, of which one must be named.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("name one configuration of the sheet; it has {}", quoted(.names))]
pub struct Unnamed {
    /// The configurations of the sheet.
    pub names: Vec<String>,
}

fn quoted(names: &[String]) -> String {
    let each: Vec<String> = names.iter().map(|name| format!("{name:?}")).collect();
    each.join(", ")
}

/// The configuration that is meant: the one that is named, or the only one.
///
/// # Errors
/// [`Unnamed`] where there is none of that name, or several and none is named.
///
/// # Examples
/// ```
/// use risewater::trial::configuration;
///
/// assert_eq!(configuration(["Ring", "ring"], None)?, "Ring");
/// assert_eq!(configuration(["Ring", "tube"], Some("TUBE"))?, "tube");
/// let refused = configuration(["Ring", "tube"], None).unwrap_err();
/// assert_eq!(refused.to_string(), "name one configuration of the sheet; it has \"Ring\", \"tube\"");
/// # Ok::<(), risewater::trial::Unnamed>(())
/// ```
pub fn configuration<'a>(
    names: impl IntoIterator<Item = &'a str>,
    named: Option<&str>,
) -> Result<&'a str, Unnamed> {
    let all = configurations(names);
    let found = match (named, &all[..]) {
        (Some(name), all) => all
            .iter()
            .find(|known| same_configuration(known, name))
            .copied(),
        (None, [only]) => Some(*only),
        _ => None,
    };
    found.ok_or_else(|| Unnamed {
        names: all.iter().map(ToString::to_string).collect(),
    })
}
