//! `risewater trial aeration`: read, reduce, format.

use risewater::answer::AerationAnswer;
use risewater::design::AERATION_EXAMPLE;
use risewater::gas::aeration::DEMO_READINGS;
use risewater::transfer;

use crate::commands::{Answer, in_design, open_or, write};
use crate::failure::Failure;
use crate::trial_args::Aeration;

pub fn run(asked: &Aeration) -> Result<Answer, Failure> {
    let design = &asked.design;
    let (mut read, answer) = open_or(design, AERATION_EXAMPLE)?;
    if design.file.is_none() {
        read = read.with_readings(DEMO_READINGS);
    }
    let bench = read.aeration().map_err(|error| in_design(design, error))?;
    let reduced = transfer::Aeration::of(bench)?;
    let found = AerationAnswer::of(&reduced)?;
    if let Some(path) = &asked.svg {
        write(path, &reduced.chart().svg()?)?;
    }
    let text = |units| found.text(units);
    Ok(answer.with(&found, &asked.output, &found.cautions, text))
}
