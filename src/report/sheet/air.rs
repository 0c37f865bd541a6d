//! The air side, from the blower down to the water.

use maud::html;

use super::markup::{Column, Section, table};
use super::{DesignSheet, SheetError};
use crate::report::UnitSystem;
use crate::report::number::short;
use crate::supply::BranchFlow;
use crate::units::{AbsolutePressure, Pressure, pascal};

/// One tread of the stairs: where, pressure there, what the step down to it costs.
type Tread = (&'static str, AbsolutePressure, Option<Pressure>);

pub(super) fn section(sheet: &DesignSheet) -> Result<Section, SheetError> {
    let (solved, plant, units) = (sheet.solved, &sheet.supply.plant, sheet.units);
    let (size, unit) = units.pressure_unit();
    let lifts = shown(sheet);
    let branches = &solved.manifold.header().branches;
    let stairs: Vec<Vec<Tread>> = lifts
        .iter()
        .map(|n| stairs(sheet, &solved.running.split.branches[*n]))
        .collect::<Result<_, SheetError>>()?;
    let mut heads = vec![("place".to_owned(), Column::Words)];
    for n in &lifts {
        heads.push((format!("{} ({unit})", branches[*n].name), Column::Numbers));
        heads.push((format!("loss ({unit})"), Column::Numbers));
    }
    let heads: Vec<_> = heads
        .iter()
        .map(|(head, column)| (head.as_str(), *column))
        .collect();
    let rows = stairs.first().map_or(0, Vec::len);
    let decimals = if units == UnitSystem::Us { 3 } else { 2 };
    let number = |pa: f64| format!("{:.decimals$}", pa / size);
    let rows = (0..rows).map(|row| {
        let mut cells = vec![stairs[0][row].0.to_owned()];
        for lift in &stairs {
            let (_, pressure, loss) = lift[row];
            cells.push(number(
                pressure.gauge(plant.outside.pressure).get::<pascal>(),
            ));
            cells.push(loss.map_or_else(String::new, |loss| number(loss.get::<pascal>())));
        }
        cells
    });
    let split = &solved.running.split;
    let speeds = [
        (
            "main line",
            solved.duty.main.bore,
            solved
                .duty
                .main
                .inlet(solved.running.split.air, solved.running.split.pressure)?
                .velocity,
        ),
        ("header", solved.manifold.header().pipe.bore, split.velocity),
    ];
    let (foot, speed) = units.velocity_unit();
    let speeds = speeds.map(|(name, bore, velocity)| {
        let usual = crate::supply::usual_velocities(bore);
        // The range is in m/s.
        let [low, high] = [usual.min, usual.max].map(|limit| format!("{:.1}", limit / foot));
        vec![
            name.to_owned(),
            short(bore.value / units.bore_unit().0),
            format!("{:.1}", velocity.value / foot),
            format!("{low} to {high}"),
        ]
    });
    let bore = format!("bore ({})", units.bore_unit().1);
    let (velocity, usual) = (format!("velocity ({speed})"), format!("usual ({speed})"));
    let body = html! {
        (table("Pressure over that outside, lifts running", &heads, rows))
        p.remark { "The lifts shown are the one nearest to where the air comes in and the one farthest from it. Each loss is that of the step down to its place." }
        (table("Velocity of the air", &super::markup::numbers("line", &[&bore, &velocity, &usual]), speeds))
    };
    Ok(Section {
        id: "air",
        title: "Air side, blower to water",
        body,
        new_page: false,
    })
}

/// The open lifts nearest to the feed and farthest from it.
fn shown(sheet: &DesignSheet) -> Vec<usize> {
    let header = sheet.solved.manifold.header();
    let distance = |n: &usize| (header.branches[*n].distance - header.feed).abs().value;
    let open = || (0..header.branches.len()).filter(|n| header.branches[*n].open);
    let nearest = open().min_by(|a, b| distance(a).total_cmp(&distance(b)));
    let farthest = open().max_by(|a, b| distance(a).total_cmp(&distance(b)));
    let mut lifts: Vec<usize> = nearest.into_iter().chain(farthest).collect();
    lifts.dedup();
    lifts
}

fn stairs(sheet: &DesignSheet, flow: &BranchFlow) -> Result<Vec<Tread>, SheetError> {
    let (solved, plant) = (sheet.solved, &sheet.supply.plant);
    let split = &solved.running.split;
    let discharge = solved.main.inlet(split.air, split.pressure)?.inlet;
    let orifice = flow.header_pressure + -flow.orifice_loss;
    let line = orifice + -flow.line_loss;
    let valve = line + -flow.check_valve_loss;
    Ok(vec![
        ("air outside", plant.outside.pressure, None),
        (
            "blower's intake, behind the filter",
            solved.duty.intake.pressure,
            Some(plant.intake_loss),
        ),
        ("blower's discharge", discharge, None),
        (
            "header, where the air comes in",
            split.pressure,
            Some(discharge - split.pressure),
        ),
        (
            "header, at the lift's tee",
            flow.header_pressure,
            Some(split.pressure - flow.header_pressure),
        ),
        ("behind the orifice", orifice, Some(flow.orifice_loss)),
        (
            "end of the branch, valve and line",
            line,
            Some(flow.line_loss),
        ),
        ("behind the check valve", valve, Some(flow.check_valve_loss)),
        (
            "water, behind the injector",
            flow.water_pressure,
            Some(flow.injector_loss),
        ),
    ])
}
