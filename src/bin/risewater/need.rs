//! `risewater need`: read, ask the library, format.

use std::path::Path;

use risewater::design::NEED_EXAMPLE;
use risewater::need::DEMO;
use risewater::report::NeedReport;

use crate::args::{DesignArgs, OutputArgs};
use crate::commands::{Answer, in_design, open_or, pretty, remark, write};
use crate::failure::Failure;

/// The table that the example names.
const CROP: &str = "crop.csv";

pub fn run(
    design: &DesignArgs,
    output: &OutputArgs,
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
    let found = NeedReport::of(&rearing.room, installed, &rearing.defaults)?;
    let units = output.units.into();
    if let Some(path) = svg {
        match found.figure() {
            Some(mut figure) => {
                figure.units = units;
                write(path, &figure.chart().svg()?)?;
            }
            None => answer
                .remarks
                .push("note: no tank follows a cycle, so there is nothing to draw".to_owned()),
        }
    }
    answer.text = if output.json {
        pretty(&found.json())
    } else {
        let cautions = found.cautions();
        answer
            .remarks
            .extend(cautions.iter().map(|one| remark(one, units)));
        found.text(units)
    };
    Ok(answer)
}
