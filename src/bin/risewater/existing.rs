//! `risewater existing`: read, solve, format.

use std::path::Path;

use risewater::answer::ExistingAnswer;
use risewater::chart::PressureFigure;
use risewater::design::EXISTING_EXAMPLE;
use risewater::supply::drill::DrillSystem;

use crate::args::{DesignArgs, OutputArgs, SureArgs, Units};
use crate::commands::{Answer, in_design, open_or, unread, write};
use crate::failure::Failure;

/// Sections that a plant that stands is told by.
const READS: [&str; 15] = [
    "water",
    "site",
    "pipe",
    "riser",
    "model",
    "gas",
    "tank",
    "main_line",
    "blower",
    "header",
    "branch",
    "balance",
    "tariff",
    "stock",
    "lift",
];

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    csv: bool,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    let (read, mut answer) = open_or(design, EXISTING_EXAMPLE)?;
    answer.remarks.extend(unread(&read, &READS));
    let read = read
        .with_drills(match output.units {
            Units::Metric => DrillSystem::Metric,
            Units::Us => DrillSystem::Inch,
        })
        .with_law(crate::sure::law(sure)?);
    let in_file = |error| in_design(design, error);
    let existing = read.existing().map_err(in_file)?;
    let terms = read.existing_terms().map_err(in_file)?;
    let steady = existing.steady()?;
    let found = ExistingAnswer::of(&existing, &steady, &terms)?;
    let units = output.units.into();
    if let Some(path) = svg {
        let mut figure = PressureFigure::of_existing(&existing, &steady)?;
        figure.units = units;
        write(path, &figure.chart().svg()?)?;
    }
    let text = |units| match (csv, output.verbose) {
        (true, _) => found.csv(units),
        (false, true) => found.full_text(units),
        (false, false) => found.text(units),
    };
    Ok(answer.with_named(&found, output, found.remarks(), text))
}
