//! The air side, from the blower down to the water.

use maud::html;

use super::DesignSheet;
use super::markup::{self, Section, html_table, table};
use crate::answer::{AirInPipe, LiftFacts, SupplyAnswer};
use crate::report::UnitSystem;
use crate::report::kind::{Column, Kind};

/// One tread of the stairs: where, pressure there, what the step down to it costs.
type Tread = (&'static str, f64, Option<f64>);

const SPEEDS: [Column<(&str, AirInPipe)>; 4] = [
    Column::paged("line", Kind::Plain, |(line, _), _| (*line).into()),
    Column::paged("bore", Kind::Bore, |(_, air), _| air.bore_m.into()),
    Column::paged("velocity", Kind::Velocity, |(_, air), units| {
        velocity(air.velocity_m_per_s, units).into()
    }),
    Column::paged("usual", Kind::Velocity, |(_, air), units| {
        let usual = [air.usual_low_m_per_s, air.usual_high_m_per_s];
        usual
            .map(|limit| velocity(limit, units))
            .join(" to ")
            .into()
    }),
];

fn velocity(m_per_s: f64, units: UnitSystem) -> String {
    format!("{:.1}", m_per_s / units.velocity_unit().0)
}

pub(super) fn section(sheet: &DesignSheet) -> Section {
    let (answer, units) = (sheet.answer, sheet.units);
    let (size, unit) = units.pressure_unit();
    let lifts = answer.ends.iter().filter_map(|n| answer.lifts.get(*n));
    let stairs: Vec<_> = lifts.map(|lift| (lift, stairs(answer, lift))).collect();
    let mut heads = vec![("place".to_owned(), markup::Column::Words)];
    for (lift, _) in &stairs {
        heads.push((format!("{} ({unit})", lift.lift), markup::Column::Numbers));
        heads.push((format!("loss ({unit})"), markup::Column::Numbers));
    }
    let heads: Vec<_> = heads
        .iter()
        .map(|(head, column)| (head.as_str(), *column))
        .collect();
    let decimals = units.pick(2, 3);
    let number = |pa: f64| format!("{:.decimals$}", pa / size);
    let rows = stairs.first().map_or(0, |(_, treads)| treads.len());
    let rows = (0..rows).map(|row| {
        let mut cells = vec![stairs[0].1[row].0.to_owned()];
        for (_, treads) in &stairs {
            let (_, pressure, loss) = treads[row];
            cells.push(number(answer.gauge(pressure)));
            cells.push(loss.map_or_else(String::new, number));
        }
        cells
    });
    let speeds = [("main line", answer.main_line), ("header", answer.header)];
    let body = html! {
        (table("Pressure over that outside, lifts running", &heads, rows))
        p.remark { "The lifts shown are the one nearest to where the air comes in and the one farthest from it. Each loss is that of the step down to its place." }
        (html_table("Velocity of the air", &SPEEDS, &speeds, units))
    };
    Section {
        id: "air",
        title: "Air side, blower to water",
        body,
        folded: false,
    }
}

fn stairs(answer: &SupplyAnswer, lift: &LiftFacts) -> [Tread; 9] {
    let (outlet, header) = (answer.outlet_pressure_pa, answer.header_pressure_pa);
    let orifice = lift.header_pressure_pa - lift.orifice_loss_pa;
    let line = orifice - lift.line_loss_pa;
    let valve = line - lift.check_valve_loss_pa;
    [
        ("air outside", answer.outside.pressure_pa, None),
        (
            "blower's intake, behind the filter",
            answer.duty.intake.pressure_pa,
            Some(answer.duty.intake_loss_pa),
        ),
        ("blower's discharge", outlet, None),
        (
            "header, where the air comes in",
            header,
            Some(outlet - header),
        ),
        (
            "header, at the lift's tee",
            lift.header_pressure_pa,
            Some(header - lift.header_pressure_pa),
        ),
        ("behind the orifice", orifice, Some(lift.orifice_loss_pa)),
        (
            "end of the branch, valve and line",
            line,
            Some(lift.line_loss_pa),
        ),
        (
            "behind the check valve",
            valve,
            Some(lift.check_valve_loss_pa),
        ),
        (
            "water, behind the injector",
            lift.water_pressure_pa,
            Some(lift.injector_loss_pa),
        ),
    ]
}
