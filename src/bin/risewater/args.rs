//! Commands and options; help, completions and the man page come from here alone.

use std::path::PathBuf;

use clap::builder::PossibleValuesParser;
use clap::{Args, Parser, Subcommand, ValueEnum};
use risewater::answer::SHAPES;
use risewater::keys::SECTIONS;
use risewater::report::CONSOLE_COLUMNS;

/// Sizes airlift pumps: from a water duty to bore, submergence, air flow and number of lifts.
#[derive(Debug, Parser)]
#[command(name = "risewater", version, arg_required_else_help = true, max_term_width = CONSOLE_COLUMNS)]
#[command(
    after_help = "Example: risewater size hatchery.toml --top 5\n\nExit status: 0 done (a riser that does not pump is a result), 1 cannot be computed (such as a\nflow above the peak), 2 bad input or usage."
)]
pub struct Tool {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Rank every pipe, depth and number of lifts that meets the duty, or the duties of several tanks on one header
    #[command(
        after_help = "Example: risewater size hatchery.toml --set duty.water_flow=\"400 L/min\" --top 5\n         risewater example tanks > tanks.toml; risewater size tanks.toml"
    )]
    Size {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        sure: SureArgs,
        #[command(flatten)]
        output: OutputArgs,
        /// Print a table of all designs as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Designs (for several tanks, sets) that the text shows; if left out 3, or 10 with -v
        #[arg(long, value_name = "N")]
        top: Option<u32>,
        /// Show the whole search as a map: bore across, depth up; with --svg as a picture
        #[arg(long, conflicts_with_all = ["csv", "json"])]
        map: bool,
        /// Draw the curve of the best design as SVG; for several tanks, what each needs from the header
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
    },
    /// What one riser does at an air flow, or the air that it needs for a water flow
    #[command(
        after_help = "Example: risewater flow hatchery.toml --set air.flow=\"80 L/min\"\n         risewater flow hatchery.toml --want \"150 L/min\"\n         risewater flow hatchery.toml --want \"150 L/min\" --by submergence\n         risewater flow hatchery.toml --profile --svg lift.svg"
    )]
    Flow {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        sure: SureArgs,
        #[command(flatten)]
        output: OutputArgs,
        /// Add where the submergence goes, and pressure, void and velocities up the riser
        #[arg(long)]
        profile: bool,
        /// Print the heights of the profile as CSV
        #[arg(long, requires = "profile", conflicts_with = "json")]
        csv: bool,
        /// Draw the lift to scale as SVG; with --profile, the profile
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
        /// Find what gives this water flow
        #[arg(long, value_name = "FLOW")]
        want: Option<String>,
        /// What to change for it
        #[arg(long, value_enum, default_value_t = By::Air, requires = "want")]
        by: By,
    },
    /// The performance curve of one riser: threshold, best efficiency, peak
    #[command(
        after_help = "Example: risewater curve hatchery.toml --svg curve.svg --want \"150 L/min\""
    )]
    Curve {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        sure: SureArgs,
        #[command(flatten)]
        output: OutputArgs,
        /// Print the table as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Points of the table
        #[arg(long, default_value_t = 16, value_name = "N", value_parser = clap::value_parser!(u16).range(2..=1000))]
        points: u16,
        /// Draw the curve as SVG
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
        /// Mark this water flow in the picture
        #[arg(long, value_name = "FLOW")]
        want: Option<String>,
        /// The curve at other water levels too: "-20 cm,10 cm"; without a value those of [tank]
        #[arg(long, value_name = "CHANGES", num_args = 0..=1, require_equals = true, default_missing_value = "")]
        levels: Option<String>,
    },
    /// Every combination of values of the keys of one riser, as a table of CSV or Parquet
    #[command(
        after_help = "Example: risewater sweep hatchery.toml --vary riser.bore=\"40 mm..100 mm/5 mm\" --vary air.flow=\"20 L/min, 40 L/min, 80 L/min\" --out cases.csv\n         risewater sweep hatchery.toml --vary riser.submergence=\"0.5 m..1.5 m:1001\" --vary air.flow=\"10 L/min..320 L/min*2\" --out cases.parquet\n\nExit status: 130 when it is interrupted; then there is no file of CSV, or whole parts of Parquet."
    )]
    Sweep {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        sweep: crate::sweep::SweepArgs,
        #[command(flatten)]
        sure: SureArgs,
        #[command(flatten)]
        output: OutputArgs,
    },
    /// The air side of many lifts: blower, lines, orifices, changes of level, energy, parts
    #[command(
        after_help = "Example: risewater supply plant.toml --set lift.3.submergence=\"1 m\"\n         risewater example supply > plant.toml; risewater example blower > blower.csv"
    )]
    Supply {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        sure: SureArgs,
        #[command(flatten)]
        output: OutputArgs,
        /// Print a table of the lifts as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Draw the curves of system and blower as SVG
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
        /// Write the design sheet as HTML
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
        /// Write one page as HTML for whoever builds it: parts, drills, settings, checks
        #[arg(long, value_name = "FILE")]
        build_page: Option<PathBuf>,
    },
    /// What existing lifts and their blower give, and what to change first
    #[command(
        after_help = "Example: risewater existing shop.toml --set branch.bore=\"16 mm\"\n         risewater example existing > shop.toml"
    )]
    Existing {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        sure: SureArgs,
        #[command(flatten)]
        output: OutputArgs,
        /// Print a row for each lift as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Draw the curves of system and blower as SVG
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
    },
    /// Whether oxygen, carbon dioxide and ammonia hold in tanks whose water comes back through filter and lifts
    #[command(
        after_help = "Example: risewater loop nursery.toml --set loop.lifts=10\n         risewater example loop > nursery.toml"
    )]
    Loop {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        sure: SureArgs,
        #[command(flatten)]
        output: OutputArgs,
        /// Print a row for each tank as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Draw the day as SVG
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
        /// Write the whole answer as HTML, a page to print and keep
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
    },
    /// The flow of water that animals need, by tank and by week, and how many lifts must run
    #[command(
        after_help = "Example: risewater need farm.toml --set need.temperature=\"28 degC\"\n         risewater example need > farm.toml; risewater example crop > crop.csv\n         risewater example loop > nursery.toml"
    )]
    Need {
        #[command(flatten)]
        design: DesignArgs,
        #[command(flatten)]
        output: OutputArgs,
        /// Print a table of tanks by week as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Draw the flow over time as SVG
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
    },
    /// A trial on the bench: plan it, reduce its readings, compare it with theory
    #[command(
        subcommand,
        after_help = "Example: risewater trial plan rig.toml --csv > bench.csv\n         risewater trial reduce bench.csv --rig rig.toml"
    )]
    Trial(crate::trial_args::Trial),
    /// Read and check a design file, and compute nothing
    #[command(after_help = "Example: risewater check hatchery.toml")]
    Check {
        #[command(flatten)]
        design: DesignArgs,
        /// Print the verdict as JSON, errors too
        #[arg(long)]
        json: bool,
    },
    /// List what the tool knows
    #[command(after_help = "Example: risewater list pipes\n         risewater list keys riser")]
    List {
        /// What to list
        what: Listed,
        /// The section whose keys to list; all when none is named
        #[arg(value_parser = PossibleValuesParser::new(SECTIONS.map(|section| section.name)), hide_possible_values = true)]
        section: Option<String>,
        /// Print the keys as JSON
        #[arg(long)]
        json: bool,
        /// Units of what is listed
        #[arg(long, value_enum, default_value_t = Units::Metric)]
        units: Units,
    },
    /// Print the shape of a design file, for editors, or of a JSON answer, as a JSON Schema
    #[command(after_help = "Example: risewater schema design > risewater.schema.json")]
    Schema {
        /// Which shape; lists their names when none is given
        #[arg(value_parser = PossibleValuesParser::new(shapes()))]
        name: Option<String>,
        /// Write all of them into a folder, a file each, with the shape's number in its name
        #[arg(long, value_name = "FOLDER", conflicts_with = "name")]
        into: Option<PathBuf>,
    },
    /// Print a design file of an invented hatchery, to start from
    #[command(
        after_help = "Example: risewater example > hatchery.toml\n         risewater example existing > shop.toml; risewater example tanks > tanks.toml\n         risewater example supply > plant.toml; risewater example blower > blower.csv\n         risewater example need > farm.toml; risewater example crop > crop.csv\n         risewater example loop > nursery.toml"
    )]
    Example {
        /// Which file
        #[arg(value_enum, default_value_t = Example::Size)]
        what: Example,
    },
    /// Print completions for a shell
    #[command(after_help = "Example: risewater completions bash > risewater.bash")]
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print a manual page, or save those of all commands
    #[command(
        after_help = "Example: risewater man > risewater.1\n         risewater man trial fit > risewater-trial-fit.1\n         risewater man --dir share/man/man1"
    )]
    Man {
        /// Command whose page to print; the whole tool's when none is named
        command: Vec<String>,
        /// Save a page for the tool and for each command in this directory
        #[arg(long, value_name = "DIR", conflicts_with = "command")]
        dir: Option<PathBuf>,
    },
}

#[derive(Debug, Args)]
pub struct DesignArgs {
    /// Design file; the embedded example when none is named
    pub file: Option<PathBuf>,
    /// Replace one value of the file; [] removes a key or a whole section
    #[arg(long = "set", value_name = "SECTION.KEY=VALUE")]
    pub set: Vec<String>,
}

/// How sure predictions are.
#[derive(Debug, Args)]
pub struct SureArgs {
    /// Predict with the measured points that `trial fit` saved
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
    /// How often the true flow lies within the interval
    #[arg(long, default_value = "80 %", value_name = "SHARE")]
    pub level: String,
}

#[derive(Debug, Args)]
pub struct OutputArgs {
    /// Print JSON at full precision, with the unit in every key
    #[arg(long)]
    pub json: bool,
    /// Show everything: each table, reason, source and default, and each caution in full
    #[arg(short, long)]
    pub verbose: bool,
    /// Units of text, CSV, pictures and sheets, and of drills where the file names none
    #[arg(long, value_enum, default_value_t = Units::Metric)]
    pub units: Units,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// m, mm, L/min, kPa, W
    Metric,
    /// ft, in, gal/min, cfm, psi, hp
    Us,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TableFormat {
    /// One file of CSV
    Csv,
    /// A folder of parts of Parquet
    Parquet,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Example {
    /// A duty and one riser, for size, flow and curve
    Size,
    /// Twelve lifts on one blower, for supply
    Supply,
    /// The table of that blower
    Blower,
    /// Three tanks on one small blower as they stand, for existing
    Existing,
    /// Six unlike tanks on one header, for size
    Tanks,
    /// Three rearing tanks, for need
    Need,
    /// Four tanks on one filter and twelve lifts, for loop
    Loop,
    /// The table of the crop in one of the tanks for need
    Crop,
    /// An aeration test in a tank, for trial aeration
    Aeration,
    /// The readings of that test
    Readings,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum By {
    /// The air flow, at the file's submergence
    Air,
    /// The submergence, at the file's air flow
    Submergence,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Listed {
    /// The pipe catalogue
    Pipes,
    /// The closures of the model
    Models,
    /// Every source, and how its numbers reached the tool
    Sources,
    /// Keys of a design file: what they hold, their defaults, examples
    Keys,
    /// Units that design files take
    Units,
    /// Named reference states of air
    States,
    /// Loss coefficients to choose from
    Losses,
    /// Fittings of air lines
    Fittings,
    /// Coefficients and limits of animals and water
    Needs,
    /// How far predictions are from published experiments, before and after measured points
    Evidence,
    /// How far they are before any measured point, under every pair of closures
    Closures,
    /// Every value from memory or of our own
    Memory,
}

/// What has a shape: the design file, then the answers.
pub fn shapes() -> impl Iterator<Item = &'static str> {
    [DESIGN]
        .into_iter()
        .chain(SHAPES.iter().map(|(name, _)| *name))
}

/// The shape of design files.
pub const DESIGN: &str = "design";
