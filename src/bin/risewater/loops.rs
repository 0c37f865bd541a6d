//! `risewater loop`: read, solve, format.

use std::path::Path;

use risewater::answer::LoopAnswer;
use risewater::chart::DayFigure;
use risewater::design::LOOP_EXAMPLE;

use crate::args::{DesignArgs, OutputArgs, SureArgs};
use crate::commands::{Answer, in_design, open_or, write};
use crate::failure::Failure;

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    csv: bool,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    let (read, mut answer) = open_or(design, LOOP_EXAMPLE)?;
    let read = read.with_law(crate::sure::law(sure)?);
    let asked = read
        .water_loop()
        .map_err(|error| in_design(design, error))?
        .sized()?;
    let found = LoopAnswer::of(&asked.water, &asked.day, &asked.terms())?;
    if let Some(path) = svg {
        let outcome = asked.water.day(&asked.day)?;
        if let Some(day) = outcome.day() {
            let figure = DayFigure::of(&asked.water, day, &asked.day, output.units.into())?;
            write(path, &figure.svg()?)?;
        } else {
            let note = "note: the loop cannot balance, so there is no day to draw";
            answer.remarks.push(note.to_owned());
        }
    }
    let text = |units| {
        if csv {
            found.csv(units)
        } else if output.verbose {
            found.full_text(units)
        } else {
            found.text(units)
        }
    };
    Ok(answer.with(&found, output, &found.cautions, text))
}
