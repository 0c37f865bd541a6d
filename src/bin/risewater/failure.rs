//! What ends a run, its exit status, and how it is reported.

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use risewater::Error;
use risewater::answer::{Answer as _, ErrorAnswer, RejectedFacts};
use risewater::design::FileError;
use risewater::report::wrapped;
use risewater::sweep::SweepError;
use risewater::table::TableError;

/// What ends a run.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The design file, or a value in its place.
    #[error("{}", in_file(.file.as_ref(), .error))]
    Design {
        file: Option<PathBuf>,
        error: FileError,
    },
    /// The sheet of a trial.
    #[error("{}", in_sheet(.file.as_ref(), .error))]
    Sheet {
        file: Option<PathBuf>,
        error: TableError,
    },
    /// The library cannot compute it.
    #[error(transparent)]
    Compute(#[from] Error),
    /// No candidate of a search meets the duty.
    #[error("no candidate meets the duty: {advice}\n{groups}")]
    NoDesign {
        advice: &'static str,
        groups: String,
        rejected: Vec<RejectedFacts>,
    },
    /// A value of the command line.
    #[error("{option}: {message}")]
    Option {
        option: &'static str,
        message: String,
    },
    /// A picture that cannot be drawn.
    #[error("the picture cannot be drawn: {0}")]
    Chart(#[from] risewater::chart::ChartError),
    /// Rows that are not all written.
    #[error(transparent)]
    Sweep(#[from] SweepError),
    /// A file that cannot be written.
    #[error("{}: cannot be written ({kind})", path.display())]
    Write {
        path: PathBuf,
        kind: std::io::ErrorKind,
    },
}

fn in_file(file: Option<&PathBuf>, error: &FileError) -> String {
    match (file, error) {
        (Some(file), FileError::Faults { .. }) => format!("{}:\n{error}", file.display()),
        _ => error.to_string(),
    }
}

fn in_sheet(file: Option<&PathBuf>, error: &TableError) -> String {
    match (file, error) {
        (Some(file), TableError::Faults { .. }) => format!("{}:\n{error}", file.display()),
        _ => error.to_string(),
    }
}

impl Failure {
    fn status(&self) -> u8 {
        match self {
            // A value out of range is bad input; the others were understood and have no answer.
            Self::Compute(error) if error.input().is_none() => 1,
            Self::NoDesign { .. } | Self::Chart(_) => 1,
            // As shells have it of what SIGINT ends: 128 and its number.
            Self::Sweep(SweepError::Interrupted { .. }) => 130,
            Self::Design {
                error: FileError::Faults { faults },
                ..
            } if faults.iter().all(|fault| fault.problem.is_unanswerable()) => 1,
            Self::Compute(_)
            | Self::Design { .. }
            | Self::Sheet { .. }
            | Self::Option { .. }
            | Self::Sweep(_)
            | Self::Write { .. } => 2,
        }
    }

    fn answer(&self) -> ErrorAnswer {
        let plain = |code| ErrorAnswer::new(code, self.to_string(), ());
        match self {
            Self::Compute(error) => error.into(),
            Self::Design {
                error: error @ FileError::Faults { faults },
                ..
            } => ErrorAnswer::new(error.code(), self.to_string(), faults),
            Self::Sheet {
                error: TableError::Faults { faults },
                ..
            } => ErrorAnswer::new("trial_sheet", self.to_string(), faults),
            Self::NoDesign { rejected, .. } => {
                ErrorAnswer::new("no_design", self.to_string(), rejected)
            }
            Self::Design { error, .. } => plain(error.code()),
            Self::Sheet { .. } => plain("unreadable"),
            Self::Option { .. } => plain("option"),
            Self::Chart(_) => plain("chart"),
            Self::Sweep(SweepError::Interrupted { .. }) => plain("interrupted"),
            Self::Sweep(_) | Self::Write { .. } => plain("write"),
        }
    }

    /// Reports on stderr, and gives the exit status.
    pub fn report(&self, as_json: bool) -> ExitCode {
        if as_json {
            tell(&format!("{:#}", self.answer().json()));
        } else {
            tell(&wrapped(&format!("error: {self}")));
        }
        ExitCode::from(self.status())
    }
}

/// A line on stderr; when nobody listens there is nobody to tell.
pub fn tell(line: &str) {
    let _ = writeln!(std::io::stderr(), "{line}");
}

/// An error of the command line itself.
pub fn usage(error: &clap::Error, as_json: bool) -> ExitCode {
    if as_json && error.use_stderr() {
        let message = error.to_string();
        let usage = ErrorAnswer::new("usage", message.trim_end().to_owned(), ());
        tell(&format!("{:#}", usage.json()));
        return ExitCode::from(2);
    }
    // Help and version go to stdout with status 0, the rest to stderr with status 2.
    let _ = if error.use_stderr() {
        write!(std::io::stderr(), "{}", wrapped(&error.to_string()))
    } else {
        error.print()
    };
    ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
}
