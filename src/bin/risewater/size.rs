//! `risewater size`: read, ask the library, format.

use std::path::Path;

use risewater::answer::{CurveAnswer, Terms};
use risewater::report::SizeReport;
use risewater::sizing::{Reason, Rejected};

use crate::args::{DesignArgs, OutputArgs, SureArgs};
use crate::commands::{Answer, DRAWN_POINTS, in_design, open, pretty, remark, write};
use crate::failure::Failure;

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    csv: bool,
    top: u32,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    let (read, mut answer) = open(design)?;
    let law = crate::sure::law(sure)?;
    let read = read.with_law(law.clone());
    let problem = read.problem().map_err(|error| in_design(design, error))?;
    let detailed = if output.json { usize::MAX } else { 1 };
    let gas = read.gas().map_err(|error| in_design(design, error))?;
    let need = if read.has_need() {
        Some(read.room_need().map_err(|error| in_design(design, error))?)
    } else {
        None
    };
    let mut found = SizeReport::of(&problem, detailed)?
        .with_gas(&problem, &gas)?
        .with_need(need.as_ref());
    if !read.states_outlet() {
        found.ask_outlet(&problem)?;
    }
    let units = output.units.into();
    let Some(winner) = found.sizing.best() else {
        let gas = |one: &Rejected| matches!(one.reason, Reason::TotalGasPressure { .. });
        return Err(Failure::NoDesign {
            advice: if found.sizing.rejected.iter().all(gas) {
                "inject higher (limits.min_submergence), or allow more gas"
            } else {
                "use more depth, wider pipe, more lifts or less lift"
            },
            groups: found.rejected_text(units),
            rejected: found.rejected_json(),
        });
    };
    if let Some(path) = svg {
        let terms = Terms {
            law,
            ..Terms::default()
        };
        let flow = Some(winner.point.water_flow);
        let curve = CurveAnswer::of(&winner.riser, DRAWN_POINTS, flow, &terms)?;
        write(path, &curve.figure(units).chart().svg()?)?;
    }
    answer.text = if output.json {
        pretty(&found.json(&problem))
    } else {
        for caution in found
            .details
            .first()
            .into_iter()
            .flat_map(|details| &details.cautions)
            .chain(&found.cautions(&problem))
            .chain(&winner.safety())
        {
            answer.remarks.push(remark(caution, units));
        }
        if csv {
            found.csv(units)
        } else {
            found.text(&problem, units, usize::try_from(top).unwrap_or(usize::MAX))
        }
    };
    Ok(answer)
}
