//! The measured points of a trial.

use super::budget::{Budget, Contribution, Source};
use super::run::ReducedRun;
use crate::error::Error;
use crate::riser::RiserSpec;
use crate::uncertainty::{Calibration, MeasuredPoint, SharedError};
use crate::units::{Ratio, base, ratio};

impl Calibration {
    /// The points of reduced runs on one rig: a description of its bore, foot and outlet, with the depth and lift of
    /// each run.
    ///
    /// What repeats do not average (the vessel, the meter, the reaction of who times) is the same error in all runs;
    /// what they scatter by, and the tape's reading, is of each run.
    ///
    /// # Errors
    /// As [`Calibration::new`].
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::Calibration;
    /// use risewater::design::DesignFile;
    /// use risewater::trial::{DEMO, DEMO_RIG, Instruments, parse_runs, reduce};
    ///
    /// let bench = DesignFile::parse(DEMO_RIG)?.bench()?;
    /// let runs = reduce(&parse_runs(DEMO)?, &Instruments::default())?;
    /// let trial = Calibration::of_runs(&runs, &bench.spec)?;
    /// assert_eq!(trial.points().len(), runs.len());
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of_runs(runs: &[ReducedRun], rig: &RiserSpec) -> Result<Self, Error> {
        Self::new(*rig, runs.iter().map(point).collect())
    }
}

fn point(run: &ReducedRun) -> MeasuredPoint {
    let (water, air) = (&run.water_flow.budget, &run.air.budget);
    let repeats = run.water_flow.repeats.as_ref();
    let water_shared = shared(water, "water").map(|(of, signed)| SharedError {
        of,
        water: signed,
        air: base(0.0),
    });
    let air_shared = shared(air, "air").map(|(of, signed)| SharedError {
        of,
        water: base(0.0),
        air: signed,
    });
    MeasuredPoint {
        run: run.label.clone(),
        submergence: run.submergence.value,
        lift: run.lift.value,
        site: run.site,
        air: run.air.air_flow(),
        water_flow: run.water_flow.value.value,
        water_standard: own(water),
        air_standard: own(air),
        submergence_standard: run.submergence.standard,
        lift_standard: run.lift.standard,
        // A count of times is far below 2^32.
        repeats: repeats.map_or(1, |one| u32::try_from(one.times.len()).unwrap_or(u32::MAX)),
        shared: water_shared.chain(air_shared).collect(),
    }
}

/// What a run's own repeats scatter by.
fn own(budget: &Budget) -> Ratio {
    let scatter = |one: &&Contribution| one.source == Source::Scatter;
    let parts = budget.contributions.iter().filter(scatter);
    let squares = parts.map(|one| one.signed.powi(2));
    base(squares.fold(0.0, |sum: f64, square| sum + square).sqrt())
}

/// What it shares with other runs: name and effect with its sign. The same hand times water and air.
fn shared<'a>(budget: &'a Budget, fluid: &'a str) -> impl Iterator<Item = (String, Ratio)> + 'a {
    let rest = budget.contributions.iter();
    let rest = rest.filter(|one| one.source != Source::Scatter);
    rest.map(move |one| {
        let name = match one.source {
            Source::Timing => one.source.to_string(),
            other => format!("{fluid}: {other}"),
        };
        (name, Ratio::new::<ratio>(one.signed))
    })
}
