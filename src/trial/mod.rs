//! Bench trials: what was measured on a test riser, with its uncertainty.
//!
//! Water flow is the time to fill a known volume, or the mass weighed after a time; air flow is the
//! time to fill an inverted bottle, whose water it displaces, or the reading of a meter. A
//! measurement gives its best estimate, its standard uncertainty with degrees of freedom, and a
//! [`Budget`] of what that uncertainty is made of and what to improve first.
//!
//! ```
//! use risewater::trial::{Instruments, Source, TimedVolume};
//! use risewater::units::{Ratio, Time, Volume, liter, liter_per_minute, percent, second};
//!
//! let fill = TimedVolume::new(
//!     Volume::new::<liter>(12.0),
//!     [14.6, 14.9, 14.7, 15.1].map(|t| Time::new::<second>(t)).to_vec(),
//! );
//! let measured = fill.water_flow(&Instruments::default())?;
//! // 12 L / 14.825 s = 48.567 L/min
//! assert_eq!(format!("{:.3}", measured.value.value.get::<liter_per_minute>()), "48.567");
//! assert_eq!(measured.budget.dominant(), Some(Source::Scatter));
//! let (low, high) = measured.value.interval(Ratio::new::<percent>(95.0))?;
//! assert!(low.get::<liter_per_minute>() > 47.0 && high.get::<liter_per_minute>() < 50.0);
//! # Ok::<(), risewater::Error>(())
//! ```
//!
//! A whole trial is a [sheet](parse_runs) (feature `files`) that a spreadsheet opens, read to
//! [`Run`]s and [reduced](reduce) together.
//!
//! What a bench run should look to, all of it common practice: take the air inlet down in steps and
//! raise the lift in equal steps; keep filling times above 10 to 20 s; weigh the water and meter the air where you can; return the water, or draw
//! little of it, since a falling source level raises the lift that is being measured; let foam settle;
//! bring the levels inside and outside the bottle together before reading; read the
//! barometer of the station, not the one reduced to sea level. A fine diffuser gives smaller bubbles
//! than a drilled ring: name the injector in the configuration.

mod agreement;
mod air_flow;
mod bench;
mod blank;
mod budget;
mod calibration;
mod directions;
mod doubt;
mod fit;
mod instruments;
mod level;
mod measured;
mod next;
mod no_flow;
mod outliers;
mod pairs;
mod plan;
mod prediction;
mod ratio;
mod repeats;
mod run;
#[cfg(feature = "files")]
mod table;
mod verdict;
mod vessels;
mod water_flow;

pub use agreement::{Agreement, Overall, RunAgreement};
pub use air_flow::{
    AIR_TIME, BOTTLE_LEVEL, BOTTLE_TEMPERATURE, BOTTLE_VOLUME, DisplacedAir, METERED_AIR,
    MeteredAir,
};
pub use bench::{Bench, PULSATION, TANK_AREA};
pub use budget::{Advice, Budget, Contribution, Source, Step, USUALLY_WANTED, WANTED};
pub use directions::{Direction, WrongWay, wrong_ways};
pub use doubt::{Against, Doubtful, Fluid, Suspicion, TimeSlip, doubts};
pub(crate) use fit::ONE_LENGTH;
pub use fit::{Fit, FitCurve, FitRun, Without};
pub use instruments::{INSTRUMENT_SHARE, Instruments, RELATIVE_INSTRUMENT};
pub use level::{LevelAdvice, LevelBudget};
pub use measured::Measured;
pub use next::{DutyAir, NextRun, Order, Target, USUAL_WIDTH, WIDTH};
pub use no_flow::{NoFlowRun, no_flow};
pub use outliers::OUTLIER_RATE;
pub use pairs::{
    AIR_TOLERANCE, Comparison, MOST_PAIRS, Matched, Matching, Pair, PairsToTell, SETTING_TOLERANCE,
    Unpaired,
};
pub use plan::{
    Effort, FEWEST_REPEATS, MOST_REPEATS, PLANNED_RUNS, Plan, PlanFlag, PlannedRun, RESET_S,
    SETTLING_S, SHORT_FILL_S,
};
pub use prediction::PredictedRuns;
pub use ratio::AirToWater;
pub use repeats::{Outlier, REPEATABILITY, Repeats};
pub use run::{
    AirReading, ReducedRun, Run, Unnamed, WaterReading, configuration, configurations, reduce,
    same_configuration,
};
#[cfg(feature = "files")]
pub use table::{DEMO, parse_runs, read_runs};
pub use verdict::{AGREEMENT, VERDICT_LEVEL, Verdict};
pub use vessels::{
    AirGauge, COMMON_BOTTLES_GAL, COMMON_BOTTLES_L, COMMON_METERS_L_PER_MIN, COMMON_VESSELS_GAL,
    COMMON_VESSELS_L, LOWEST_ON_SCALE, common_vessel,
};
pub use water_flow::{
    TimedVolume, WATER_MASS, WATER_TIME, WATER_VOLUME, WEIGHING_AIR, WeighedWater,
};

/// The riser and instruments of the invented trial [`DEMO`], as a design file.
#[cfg(feature = "files")]
pub const DEMO_RIG: &str = include_str!("demo.toml");
