//! Commands and options of `risewater trial`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use crate::args::{DesignArgs, OutputArgs, SureArgs};

#[derive(Debug, Subcommand)]
pub enum Trial {
    /// Water and air flow of each run, with uncertainty and what to improve
    #[command(
        after_help = "Example: risewater trial reduce bench.csv --rig rig.toml\n         risewater trial reduce bench.csv --set trial.start_reaction=\"0.2 s\" --csv"
    )]
    Reduce(Reduce),
    /// What to prepare, which runs to make, how long they take and what they teach
    #[command(
        after_help = "Example: risewater trial plan hatchery.toml --design 1\n         risewater trial plan plant.toml --lift \"tank 3\"\n         risewater trial plan rig.toml\n         risewater trial plan rig.toml --calibration calibration.toml\n         risewater trial plan rig.toml --csv > bench.csv"
    )]
    Plan(Plan),
    /// Measured against predicted, and one configuration against another
    #[command(
        after_help = "Example: risewater trial compare bench.csv --rig rig.toml --svg residuals.svg\n         risewater trial compare bench.csv --rig rig.toml --first ring --second diffuser"
    )]
    Compare(Compare),
    /// What measured points say about the rig, for predictions with `--calibration`
    #[command(
        after_help = "Example: risewater trial fit bench.csv --rig rig.toml --save calibration.toml\n         risewater trial fit bench.csv --rig rig.toml --configuration diffuser"
    )]
    Fit(Fit),
    /// Oxygen that an aerator brings, from readings while oxygen rises in a tank
    #[command(
        after_help = "Example: risewater trial aeration test.toml --svg oxygen.svg\n         risewater example aeration > test.toml; risewater example readings > aeration.csv"
    )]
    Aeration(Aeration),
    /// Print the sheet of an invented trial, or its riser
    #[command(
        after_help = "Example: risewater trial demo > bench.csv\n         risewater trial demo --rig > rig.toml"
    )]
    Demo {
        /// Print the design file of the riser instead
        #[arg(long)]
        rig: bool,
    },
}

#[derive(Debug, Args)]
pub struct Reduce {
    /// Sheet of the trial as CSV; an invented one when none is named
    pub sheet: Option<PathBuf>,
    #[command(flatten)]
    pub rig: RigArgs,
    #[command(flatten)]
    pub output: OutputArgs,
    /// Print a table of the runs as CSV
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// Coverage probability of the limits
    #[arg(long, default_value = "95 %", value_name = "SHARE")]
    pub level: String,
}

#[derive(Debug, Args)]
pub struct Plan {
    /// Design file; an invented one when none is named
    pub rig: Option<PathBuf>,
    /// Replace one value of the file
    #[arg(long = "set", value_name = "SECTION.KEY=VALUE")]
    pub set: Vec<String>,
    /// Plan for this design of `size`, 1 for the best, in place of the file's [riser]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub design: Option<u32>,
    /// Plan for this lift of `supply`, by its name
    #[arg(long, value_name = "NAME", conflicts_with = "design")]
    pub lift: Option<String>,
    #[command(flatten)]
    pub sure: SureArgs,
    #[command(flatten)]
    pub output: OutputArgs,
    /// Print a blank sheet to fill in, as CSV in metric units
    #[arg(long, conflicts_with_all = ["json", "units"])]
    pub csv: bool,
}

#[derive(Debug, Args)]
pub struct Compare {
    /// Sheet of the trial as CSV; an invented one when none is named
    pub sheet: Option<PathBuf>,
    #[command(flatten)]
    pub rig: RigArgs,
    #[command(flatten)]
    pub output: OutputArgs,
    /// Print a table of the runs as CSV
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// Save the pairs of the two configurations as CSV
    #[arg(long, value_name = "FILE")]
    pub pairs: Option<PathBuf>,
    /// Draw the residuals as SVG
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Configuration to compare with; the sheet's own two when it has two
    #[arg(long, value_name = "NAME", requires = "second")]
    pub first: Option<String>,
    /// Configuration to compare
    #[arg(long, value_name = "NAME", requires = "first")]
    pub second: Option<String>,
    /// Design file of the second configuration's riser, where it is another
    #[arg(long, value_name = "FILE", requires = "second")]
    pub second_rig: Option<PathBuf>,
    /// Largest difference of the air flows of a pair
    #[arg(long, default_value = "10 %", value_name = "SHARE")]
    pub air_tolerance: String,
}

#[derive(Debug, Args)]
pub struct Fit {
    /// Sheet of the trial as CSV; an invented one when none is named
    pub sheet: Option<PathBuf>,
    #[command(flatten)]
    pub rig: RigArgs,
    /// Configuration whose runs to take; needed when the sheet has several
    #[arg(long, value_name = "NAME")]
    pub configuration: Option<String>,
    /// How often the true flow lies within the interval
    #[arg(long, default_value = "80 %", value_name = "SHARE")]
    pub level: String,
    /// Save the measured points, for `--calibration`
    #[arg(long, value_name = "FILE")]
    pub save: Option<PathBuf>,
    #[command(flatten)]
    pub output: OutputArgs,
    /// Draw measured points, predicted and calibrated curve as SVG
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct Aeration {
    #[command(flatten)]
    pub design: DesignArgs,
    #[command(flatten)]
    pub output: OutputArgs,
    /// Draw readings and fitted curves as SVG
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct RigArgs {
    /// Design file with [riser] and [trial]
    #[arg(long, value_name = "FILE")]
    pub rig: Option<PathBuf>,
    /// Replace one value of that file
    #[arg(long = "set", value_name = "SECTION.KEY=VALUE")]
    pub set: Vec<String>,
}
