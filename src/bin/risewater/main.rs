//! The command-line tool: arguments, printing, exit status.

mod aeration;
mod args;
mod commands;
mod configurations;
mod existing;
mod failure;
mod loops;
mod manual;
mod need;
mod size;
mod supply;
mod sure;
mod sweep;
mod tanks;
mod trial;
mod trial_args;

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;
use failure::Failure;
use risewater::report::wrapped;

fn main() -> ExitCode {
    let arguments: Vec<_> = std::env::args_os().collect();
    let as_json = arguments.iter().any(|argument| argument == "--json");
    let tool = match args::Tool::try_parse_from(arguments) {
        Ok(tool) => tool,
        Err(error) => return failure::usage(&error, as_json),
    };
    match commands::run(tool.command) {
        Ok(answer) => {
            // A reader that has seen enough closes the pipe: nothing is wrong then.
            let printed = std::io::stdout()
                .write_all(answer.text.as_bytes())
                .and_then(|()| std::io::stdout().flush());
            // Last, and beside the result: who saves that still sees them.
            for line in &answer.remarks {
                failure::tell(&wrapped(line));
            }
            match printed {
                Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Failure::Write {
                    path: "standard output".into(),
                    kind: error.kind(),
                }
                .report(as_json),
                _ => ExitCode::SUCCESS,
            }
        }
        Err(failure) => failure.report(as_json),
    }
}
