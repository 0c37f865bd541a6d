//! `risewater size`: read, ask the library, format.

use std::path::Path;

use risewater::answer::{CurveAnswer, RejectedFacts, SizeAnswer};
use risewater::sizing::{Reason, size};

use crate::args::{DesignArgs, OutputArgs, SureArgs};
use crate::commands::{Answer, DRAWN_POINTS, in_design, open, write};
use crate::failure::Failure;

/// Designs of a short text, and of one in full.
const FEW: u32 = 3;
const MANY: u32 = 10;

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    csv: bool,
    top: Option<u32>,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    let (read, answer) = open(design)?;
    let law = crate::sure::law(sure)?;
    let read = read.with_law(law.clone());
    let in_file = |error| in_design(design, error);
    let problem = read.problem().map_err(in_file)?;
    let detailed = if output.json { usize::MAX } else { 1 };
    let terms = read.terms(law).map_err(in_file)?;
    let need = read.has_need().then(|| read.room_need()).transpose();
    let need = need.map_err(in_file)?;
    let sized = size(&problem)?;
    let found = SizeAnswer::of(&problem, &sized, detailed, &terms, need.as_ref())?;
    let units = output.units.into();
    let Some(best) = sized.best() else {
        let gas = |one: &RejectedFacts| matches!(one.reason, Reason::TotalGasPressure { .. });
        return Err(Failure::NoDesign {
            advice: if found.rejected.iter().all(gas) {
                "inject higher (limits.min_submergence), or allow more gas"
            } else {
                "use more depth, wider pipe, more lifts or less lift"
            },
            groups: found.rejected_text(units),
            rejected: found.rejected,
        });
    };
    if let Some(path) = svg {
        let flow = Some(best.point.water_flow);
        let curve = CurveAnswer::of(&best.riser, DRAWN_POINTS, flow, &terms)?;
        write(path, &curve.figure(units).chart().svg()?)?;
    }
    let text = |units| {
        if csv {
            return found.csv(units);
        }
        let top = top.unwrap_or(if output.verbose { MANY } else { FEW });
        let top = usize::try_from(top).unwrap_or(usize::MAX);
        if output.verbose {
            found.full_text(units, top)
        } else {
            found.text(units, top)
        }
    };
    Ok(answer.with(&found, output, found.remarks(), text))
}
