//! `risewater size`: read, ask the library, format.

use std::path::Path;

use risewater::answer::{CurveAnswer, CurveTerms, SizeAnswer};
use risewater::report::what_to_change;
use risewater::sizing::size;

use crate::args::{DesignArgs, OutputArgs, SureArgs};
use crate::commands::{Answer, DRAWN_POINTS, in_design, open, unread, write};
use crate::failure::Failure;

/// What to show of a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// The best design, and so many in a table where it is said.
    Best(Option<u32>),
    /// Every design as CSV.
    Table,
    /// Pipes and depths as a map.
    Map,
}

/// Sections that every search reads.
const READS: [&str; 9] = [
    "water", "site", "pipe", "riser", "model", "duty", "limits", "gas", "tank",
];
/// Rows of a map that is printed, and of one that is drawn.
const MAP_ROWS: [usize; 2] = [30, 120];
/// Designs of a short text, and of one in full.
const FEW: u32 = 3;
const MANY: u32 = 10;

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    view: View,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    let (read, mut answer) = open(design)?;
    let law = crate::sure::law(sure)?;
    let read = read.with_law(law.clone());
    let in_file = |error| in_design(design, error);
    let terms = read.terms(law).map_err(in_file)?;
    let mut reads = READS.to_vec();
    if read.has_several_duties() {
        reads.push("blower");
    }
    if read.needs_flow() {
        reads.extend(["need", "rearing_tank"]);
    }
    answer.remarks.extend(unread(&read, &reads));
    if read.has_several_duties() {
        return crate::tanks::run((read, answer), design, &terms, output, view, svg);
    }
    let problem = read.problem().map_err(in_file)?;
    let detailed = if output.json { usize::MAX } else { 1 };
    let need = read.has_need().then(|| read.room_need()).transpose();
    let need = need.map_err(in_file)?;
    let sized = size(&problem)?;
    let found = SizeAnswer::of(&problem, &sized, detailed, &terms, need.as_ref())?;
    let units = output.units.into();
    let Some(best) = sized.best() else {
        return Err(Failure::NoDesign {
            advice: what_to_change(&found.rejected),
            groups: found.rejected_text(units),
            rejected: found.rejected,
        });
    };
    if let (Some(path), View::Map) = (svg, view) {
        write(path, &found.map(units, MAP_ROWS[1]).svg())?;
    } else if let Some(path) = svg {
        let flow = Some(best.point.water_flow);
        let asked = CurveTerms {
            points: DRAWN_POINTS,
            wanted: flow,
            ..CurveTerms::default()
        };
        let curve = CurveAnswer::of(&best.riser, &asked, &terms)?;
        write(path, &curve.figure(units).chart().svg()?)?;
    }
    let text = |units| match view {
        View::Table => found.csv(units),
        View::Map => found.map(units, MAP_ROWS[0]).text(),
        View::Best(top) => {
            let top = top.unwrap_or(if output.verbose { MANY } else { FEW });
            let top = usize::try_from(top).unwrap_or(usize::MAX);
            if output.verbose {
                found.full_text(units, top)
            } else {
                found.text(units, top)
            }
        }
    };
    Ok(answer.with(&found, output, found.remarks(), text))
}
