//! `risewater trial aeration`: read, reduce, format.

use risewater::answer::{AerationAnswer, Answer as _};
use risewater::design::AERATION_EXAMPLE;
use risewater::gas::aeration::DEMO_READINGS;
use risewater::transfer;

use crate::commands::{Answer, in_design, open_or, pretty, write};
use crate::failure::Failure;
use crate::trial_args::Aeration;

pub fn run(asked: &Aeration) -> Result<Answer, Failure> {
    let design = &asked.design;
    let (mut read, mut answer) = open_or(design, AERATION_EXAMPLE)?;
    if design.file.is_none() {
        read = read.with_readings(DEMO_READINGS);
    }
    let bench = read.aeration().map_err(|error| in_design(design, error))?;
    let reduced = transfer::Aeration::of(bench)?;
    let found = AerationAnswer::of(&reduced)?;
    if let Some(path) = &asked.svg {
        write(path, &reduced.chart().svg()?)?;
    }
    if asked.output.json {
        answer.text = pretty(&found.json());
    } else {
        let units = asked.output.units.into();
        answer.remark_all(&found.cautions, units);
        answer.text = found.text(units);
    }
    Ok(answer)
}
