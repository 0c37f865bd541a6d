//! Every lift: its orifice, its air, its water.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, figure, given, html_table};
use crate::answer::ShiftFacts;
use crate::chart::{AirShares, ChartError, LiftShares};
use crate::report::supply::lift_columns;
use crate::supply::ChangeKind;
use crate::units::base;

/// A picture of fewer lifts says less than the table.
const FEWEST_DRAWN: usize = 4;

pub(super) fn section(sheet: &DesignSheet) -> Result<Section, ChartError> {
    let answer = sheet.answer;
    let picture = if answer.lifts.len() < FEWEST_DRAWN {
        None
    } else {
        Some(figure(&shares(sheet).chart())?)
    };
    let body = html! {
        (html_table("The lifts as they run", &lift_columns(), &answer.lift_rows(), sheet.units))
        @if let Some(law) = answer.orifice_law(sheet.units) { p.remark { (law) } }
        @if let Some(tolerance) = answer.air_tolerance {
            p.remark { "Air may be " (given(100.0 * tolerance)) " % off its design. A drill seldom cuts its nominal size: measure each lift's flow." }
        }
        @if let Some(picture) = picture { (picture) }
    };
    Ok(Section {
        id: "lifts",
        title: "Air of each lift",
        body,
        folded: false,
    })
}

/// Air over design with drilled orifices, as it runs, and after the two hardest of the usual changes to one lift.
fn shares(sheet: &DesignSheet) -> AirShares {
    let answer = sheet.answer;
    let state = |name: String, shares: Vec<Option<f64>>| LiftShares {
        name,
        shares: shares.into_iter().map(|share| share.map(base)).collect(),
    };
    let open = || answer.lifts.iter();
    let drilled = open().map(|lift| lift.drilled_air_over_design.filter(|_| lift.open));
    let drilled: Vec<_> = drilled.collect();
    let mut states = Vec::new();
    if drilled.iter().any(Option::is_some) {
        let name = "drilled, at the design's pressure";
        states.push(state(name.to_owned(), drilled));
    }
    if answer.operation.is_some() || states.is_empty() {
        let running = open().map(|lift| lift.open.then_some(lift.air_over_design));
        states.push(state("as they run".to_owned(), running.collect()));
    }
    let after = |wanted: fn(&&ShiftFacts) -> bool| {
        let shift = answer.shifts.iter().rfind(wanted)?;
        let shares = shift.air_over_design.clone();
        (!shares.is_empty()).then(|| state(shift.words(sheet.units), shares))
    };
    states.extend(after(|shift| shift.change == ChangeKind::ValvedOff));
    states.extend(after(|shift| {
        shift.change == ChangeKind::Level && shift.level_rise_m > Some(0.0)
    }));
    AirShares {
        title: "Air of each lift over its design".to_owned(),
        states,
        tolerance: answer.air_tolerance.map(base),
    }
}
