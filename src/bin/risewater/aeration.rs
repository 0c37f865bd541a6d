//! `risewater trial aeration`: read, reduce, format.

use std::path::Path;

use risewater::design::AERATION_EXAMPLE;
use risewater::gas::aeration::DEMO_READINGS;
use risewater::report::AerationReport;

use crate::args::{DesignArgs, OutputArgs};
use crate::commands::{Answer, in_design, open_or, pretty, remark, write};
use crate::failure::Failure;

pub fn run(
    design: &DesignArgs,
    output: &OutputArgs,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    let (mut read, mut answer) = open_or(design, AERATION_EXAMPLE)?;
    if design.file.is_none() {
        read = read.with_readings(DEMO_READINGS);
    }
    let bench = read.aeration().map_err(|error| in_design(design, error))?;
    let found = AerationReport::of(bench)?;
    if let Some(path) = svg {
        write(path, &found.chart().svg()?)?;
    }
    answer.text = if output.json {
        pretty(&found.json()?)
    } else {
        let (units, cautions) = (output.units.into(), found.cautions());
        answer
            .remarks
            .extend(cautions.iter().map(|one| remark(one, units)));
        found.text(units)?
    };
    Ok(answer)
}
