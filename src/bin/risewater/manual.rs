//! Manual pages: one for the tool, one for each command.

use std::path::Path;

use clap::{Command, CommandFactory};
use clap_mangen::Man;

use crate::args::Tool;
use crate::commands::{Answer, write};
use crate::failure::Failure;

/// What a page is of.
const SOURCE: &str = concat!("risewater ", env!("CARGO_PKG_VERSION"));

/// Prints the page of a command, such as `trial fit`; without words that of the tool.
pub fn page(words: &[String]) -> Result<Answer, Failure> {
    let tool = tool();
    let mut command = &tool;
    for word in words {
        command = command.find_subcommand(word).ok_or_else(|| {
            let known: Vec<&str> = commands(command).map(Command::get_name).collect();
            Failure::Option {
                option: "COMMAND",
                message: match &known[..] {
                    [] => format!(
                        "{word:?} is no command; {} has none below it",
                        name(command)
                    ),
                    known => format!(
                        "{word:?} is no command; {} has {}",
                        name(command),
                        known.join(", ")
                    ),
                },
            }
        })?;
    }
    Ok(text(command).into())
}

/// Saves the pages of the tool and of all commands; the answer names them.
pub fn pages(directory: &Path) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    let tool = tool();
    let mut left = vec![&tool];
    while let Some(command) = left.pop() {
        left.extend(commands(command));
        let path = directory.join(format!("{}.1", name(command)));
        write(&path, &text(command))?;
        answer.text += &format!("{}\n", path.display());
    }
    Ok(answer)
}

/// The tool with the full names of its commands.
fn tool() -> Command {
    let mut tool = Tool::command().disable_help_subcommand(true);
    tool.build();
    tool
}

fn commands(command: &Command) -> impl Iterator<Item = &Command> {
    command
        .get_subcommands()
        .filter(|below| !below.is_hide_set())
}

/// Such as "risewater-trial-fit".
fn name(command: &Command) -> &str {
    command
        .get_display_name()
        .unwrap_or_else(|| command.get_name())
}

fn text(command: &Command) -> String {
    let mut page = Vec::new();
    // Writing to memory does not fail.
    let _ = Man::new(command.clone()).source(SOURCE).render(&mut page);
    String::from_utf8_lossy(&page).into_owned()
}
