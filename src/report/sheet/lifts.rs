//! Every lift: its orifice, its air, its water.

use maud::html;

use super::duty::kinds;
use super::markup::{Column, Section, figure, given, table};
use super::{DesignSheet, SheetError};
use crate::chart::{AirShares, LiftShares};
use crate::report::number::{place, short};
use crate::report::supply::orifice_law;
use crate::supply::{Change, Shift};
use crate::units::{Ratio, percent};

/// A picture of fewer lifts says less than the table.
const FEWEST_DRAWN: usize = 4;

pub(super) fn section(sheet: &DesignSheet) -> Result<Section, SheetError> {
    let lifts = sheet.solved.manifold.risers().len();
    let picture = if lifts < FEWEST_DRAWN {
        None
    } else {
        Some(figure(&shares(sheet).chart())?)
    };
    let tolerance = sheet
        .supply
        .plant
        .balancing
        .map(|b| b.tolerance.get::<percent>());
    let body = html! {
        (lift_table(sheet))
        @if let Some(law) = orifice_law(sheet.solved, sheet.units) { p.remark { (law) } }
        @if let Some(tolerance) = tolerance {
            p.remark { "Air may be " (given(tolerance)) " % off its design. A drill seldom cuts its nominal size: measure each lift's flow." }
        }
        @if let Some(picture) = picture { (picture) }
    };
    Ok(Section {
        id: "lifts",
        title: "Air of each lift",
        body,
        new_page: true,
    })
}

fn lift_table(sheet: &DesignSheet) -> maud::Markup {
    let (solved, units, plant) = (sheet.solved, sheet.units, &sheet.supply.plant);
    let (bore, decimals) = (units.bore_unit(), units.pick(2, 4));
    let kinds = kinds(sheet);
    let exact = &solved.duty.manifold.header().branches;
    let drilled = solved.drilled.as_ref();
    let shares = plant.shares(&solved.running);
    let branches = solved.manifold.header().branches.iter();
    let runs = solved
        .running
        .split
        .branches
        .iter()
        .zip(&solved.running.lifts);
    let rows = branches
        .zip(runs)
        .enumerate()
        .map(|(n, (branch, (flow, outcome)))| {
            let kind = kinds.iter().find(|kind| kind.lifts.contains(&n));
            let hole = exact.get(n).and_then(|branch| branch.orifice);
            let drill = drilled.and_then(|drilled| drilled.drills.get(n).copied().flatten());
            let share = shares.get(n).map_or(f64::NAN, Ratio::get::<percent>);
            vec![
                (n + 1).to_string(),
                branch.name.clone(),
                kind.map_or_else(String::new, |kind| kind.name.clone()),
                place(branch.distance.value / units.height_unit().0),
                hole.map_or_else(
                    || "none".to_owned(),
                    |hole| {
                        let holes = if hole.holes == 1 {
                            String::new()
                        } else {
                            format!("{} × ", hole.holes)
                        };
                        format!("{holes}{:.decimals$}", hole.diameter.value / bore.0)
                    },
                ),
                drill.map_or_else(|| "none".to_owned(), |drill| drill.name.clone()),
                plant.design.get(n).map_or_else(String::new, |air| {
                    short(air.volume_rate_at_20_c().value / units.air_unit().0)
                }),
                if branch.open {
                    short(flow.air.volume_rate_at_20_c().value / units.air_unit().0)
                } else {
                    "closed".to_owned()
                },
                if branch.open && share.is_finite() {
                    format!("{share:.1}")
                } else {
                    String::new()
                },
                short(outcome.water_flow().value / units.water_unit().0),
            ]
        });
    let (height, air, water) = (
        units.height_unit().1,
        units.air_unit().1,
        units.water_unit().1,
    );
    let heads = [
        ("no.".to_owned(), Column::Numbers),
        ("lift".to_owned(), Column::Words),
        ("kind".to_owned(), Column::Words),
        (format!("tee at ({height})"), Column::Numbers),
        (format!("orifice, exact ({})", bore.1), Column::Numbers),
        ("drill".to_owned(), Column::Words),
        (format!("design air ({air})"), Column::Numbers),
        (format!("air ({air})"), Column::Numbers),
        ("of design (%)".to_owned(), Column::Numbers),
        (format!("water ({water})"), Column::Numbers),
    ];
    let heads: Vec<_> = heads
        .iter()
        .map(|(head, column)| (head.as_str(), *column))
        .collect();
    table("The lifts as they run", &heads, rows)
}

/// Air over design with drilled orifices, as it runs, and after the two hardest of the usual changes to one lift.
fn shares(sheet: &DesignSheet) -> AirShares {
    let (solved, plant) = (sheet.solved, &sheet.supply.plant);
    let branches = &solved.manifold.header().branches;
    let some = |shares: Vec<Ratio>| {
        let open = branches.iter().map(|branch| branch.open);
        shares
            .into_iter()
            .zip(open)
            .map(|(share, open)| open.then_some(share))
            .collect()
    };
    let mut states = Vec::new();
    if let Some(drilled) = &solved.drilled {
        states.push(LiftShares {
            name: "drilled, at the design's pressure".to_owned(),
            shares: some(drilled.shares.clone()),
        });
    }
    if solved.operation.is_some() || states.is_empty() {
        states.push(LiftShares {
            name: "as they run".to_owned(),
            shares: some(plant.shares(&solved.running)),
        });
    }
    let wanted = |wanted: fn(&Change) -> Option<usize>| {
        let found = solved
            .shifts
            .iter()
            .rev()
            .find_map(|shift| Some((wanted(&shift.change)?, shift)));
        found.and_then(|(lift, shift)| after(sheet, lift, shift))
    };
    states.extend(wanted(|change| match change {
        Change::ValvedOff { lift } => Some(*lift),
        _ => None,
    }));
    states.extend(wanted(|change| match change {
        Change::Level { lift, rise } if rise.value > 0.0 => Some(*lift),
        _ => None,
    }));
    AirShares {
        title: "Air of each lift over its design".to_owned(),
        states,
        tolerance: plant.balancing.map(|balancing| balancing.tolerance),
    }
}

fn after(sheet: &DesignSheet, lift: usize, shift: &Shift) -> Option<LiftShares> {
    let running = shift.running.as_ref().ok()?;
    let branches = &sheet.solved.manifold.header().branches;
    let shut = matches!(shift.change, Change::ValvedOff { .. });
    let shares = sheet.supply.plant.shares(running).into_iter().enumerate();
    Some(LiftShares {
        name: shift.change.words(branches, sheet.units),
        shares: shares
            .map(|(n, share)| (branches[n].open && !(shut && n == lift)).then_some(share))
            .collect(),
    })
}
