//! `risewater need`: read, ask the library, format.

use std::path::Path;

use risewater::answer::NeedAnswer;
use risewater::chart::NeedFigure;
use risewater::design::NEED_EXAMPLE;
use risewater::need::DEMO;

use crate::args::{DesignArgs, OutputArgs};
use crate::commands::{Answer, in_design, open_or, write};
use crate::failure::Failure;

/// The table that the example names.
const CROP: &str = "crop.csv";

pub fn run(
    design: &DesignArgs,
    output: &OutputArgs,
    csv: bool,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    let (mut read, mut answer) = open_or(design, NEED_EXAMPLE)?;
    if design.file.is_none() {
        read = read.with_crop_table(CROP, DEMO);
    }
    let rearing = read.rearing().map_err(|error| in_design(design, error))?;
    if rearing.lift_is_riser {
        let note = "note: the flow of a lift is what [riser] lifts with the air of [air]; need.lift_flow says another";
        answer.remarks.push(note.to_owned());
    }
    let installed = rearing.installed.as_ref();
    let need = &rearing.need;
    let found = NeedAnswer::of(&rearing.room, need, installed, &rearing.defaults)?;
    let found = found.with_range(&rearing.range);
    let units = output.units.into();
    if let Some(path) = svg {
        if need.days.is_empty() {
            let note = "note: no tank follows a cycle, so there is nothing to draw";
            answer.remarks.push(note.to_owned());
        } else {
            let figure = NeedFigure::of(need, installed, units)?;
            write(path, &figure.chart().svg()?)?;
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
