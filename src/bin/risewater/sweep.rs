//! `risewater sweep`: read, ask the library, format.

use std::io::{IsTerminal as _, Write as _};
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use clap::Args;
use risewater::answer::SweepAnswer;
use risewater::design::{DesignFile, EXAMPLE};
use risewater::sweep::{Format, Options};

use crate::args::{DesignArgs, OutputArgs, SureArgs, TableFormat, Units};
use crate::commands::{Answer, in_design, text_or};
use crate::failure::Failure;

/// What to vary, and where the rows go.
#[derive(Debug, Args)]
pub struct SweepArgs {
    /// Values of a key: a list with commas, from..to/step, from..to*factor or from..to:count
    #[arg(long, value_name = "SECTION.KEY=VALUES")]
    vary: Vec<String>,
    /// File of CSV, or folder for parts of Parquet
    #[arg(long, value_name = "FILE")]
    out: std::path::PathBuf,
    /// Format to write; if left out, the ending of FILE decides
    #[arg(long, value_enum)]
    format: Option<TableFormat>,
    /// Write the interval of each flow too; far slower
    #[arg(long)]
    interval: bool,
    /// Threads; if left out, one for each processor
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
    /// Go on with a folder of parts that was interrupted
    #[arg(long)]
    resume: bool,
}

/// Whether the run is to end.
static STOP: AtomicBool = AtomicBool::new(false);

/// Time between two lines of progress.
const EVERY: Duration = Duration::from_millis(200);

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    args: &SweepArgs,
) -> Result<Answer, Failure> {
    let option = |option, message: &str| Failure::Option {
        option,
        message: message.to_owned(),
    };
    let vary = args.vary.iter().map(|text| {
        text.split_once('=').ok_or_else(|| {
            let message = format!("{text:?} names no key; write section.key=values");
            option("--vary", &message)
        })
    });
    let vary = vary.collect::<Result<Vec<_>, _>>()?;
    let format = format(args).ok_or_else(|| {
        let message = "its ending is neither .csv nor .parquet: say which by --format";
        option("--out", message)
    })?;
    if output.units == Units::Us {
        let message = "rows are written in SI units, named in each column, so that tables of any two runs go together";
        return Err(option("--units", message));
    }
    if args.resume && format == Format::Csv {
        let message = "a file of CSV is written whole; parts of Parquet can be gone on with";
        return Err(option("--resume", message));
    }
    let (text, answer) = text_or(design, EXAMPLE)?;
    let folder = design.file.as_deref().and_then(Path::parent);
    let folder = folder.unwrap_or(Path::new(""));
    let sweep = DesignFile::sweep(&text, &design.set, &vary, folder);
    let sweep = sweep.map_err(|error| in_design(design, error))?;
    let law = crate::sure::law(sure)?;
    let sweep = sweep.with_law(law).with_intervals(args.interval);
    // Where no handler can be had the run ends at once, as any other.
    let _ = ctrlc::set_handler(|| STOP.store(true, Ordering::Relaxed));
    let last = Mutex::new(Instant::now());
    let shows = std::io::stderr().is_terminal();
    let progress = |solved: u64| {
        // Who finds another thread at it leaves the line to that.
        if let Ok(mut last) = last.try_lock()
            && last.elapsed() >= EVERY
        {
            *last = Instant::now();
            let _ = write!(std::io::stderr(), "\r{solved} of {} rows", sweep.rows());
        }
    };
    let options = Options {
        threads: args.threads.map_or(0, usize::from),
        resume: args.resume,
        stop: Some(&STOP),
        progress: shows.then_some(&progress),
    };
    let written = sweep.write(&args.out, format, &options);
    if shows {
        // Back to the start of the line, and nothing on it.
        let _ = write!(std::io::stderr(), "\r\x1b[K");
    }
    let found = SweepAnswer::of(&sweep, &args.out, &written?);
    Ok(answer.with(&found, output, [], |units| found.text(units)))
}

fn format(args: &SweepArgs) -> Option<Format> {
    let by_ending = || match args.out.extension()?.to_str()? {
        "csv" => Some(TableFormat::Csv),
        "parquet" => Some(TableFormat::Parquet),
        _ => None,
    };
    Some(match args.format.or_else(by_ending)? {
        TableFormat::Csv => Format::Csv,
        TableFormat::Parquet => Format::Parquet,
    })
}
