//! `risewater loop`: read, solve, format.

use std::path::Path;

use risewater::answer::LoopAnswer;
use risewater::chart::DayFigure;
use risewater::design::LOOP_EXAMPLE;
use risewater::report::LoopSheet;

use crate::args::{DesignArgs, OutputArgs, SureArgs};
use crate::commands::{Answer, in_design, open_or, title, write};
use crate::failure::Failure;

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    csv: bool,
    [svg, html]: [Option<&Path>; 2],
) -> Result<Answer, Failure> {
    let (read, mut answer) = open_or(design, LOOP_EXAMPLE)?;
    let read = read.with_law(crate::sure::law(sure)?);
    let asked = read
        .water_loop()
        .map_err(|error| in_design(design, error))?
        .sized()?;
    let found = LoopAnswer::of(&asked.water, &asked.day, &asked.terms())?;
    let units = output.units.into();
    let mut figure = None;
    if svg.or(html).is_some() {
        let outcome = asked.water.day(&asked.day)?;
        let day = outcome.day();
        figure = day
            .map(|day| DayFigure::of(&asked.water, day, &asked.day, units))
            .transpose()?;
    }
    if let Some(path) = svg {
        if let Some(figure) = &figure {
            write(path, &figure.svg()?)?;
        } else {
            let note = "note: the loop cannot balance, so there is no day to draw";
            answer.remarks.push(note.to_owned());
        }
    }
    if let Some(path) = html {
        let title = title(design);
        let mut page = LoopSheet::of(&title, &found, figure.as_ref());
        page.units = units;
        write(path, &page.html()?)?;
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
