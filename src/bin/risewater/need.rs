//! `risewater need`: read, ask the library, format.

use std::path::Path;

use risewater::design::NEED_EXAMPLE;
use risewater::need::DEMO;
use risewater::report::NeedReport;

use crate::args::{DesignArgs, OutputArgs};
use crate::commands::{Answer, in_design, open_or, pretty, write};
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
    if let Some(path) = svg {
        write(path, &found.figure().svg()?)?;
    }
    answer.text = if output.json {
        pretty(&found.json())
    } else {
        found.text(output.units.into())
    };
    Ok(answer)
}
