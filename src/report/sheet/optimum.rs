//! The depth that takes the least power.

use maud::Markup;

use super::DesignSheet;
use super::markup::html_table;
use crate::air::at_20_c;
use crate::answer::{DepthFacts, DepthPoint};
use crate::chart::{Axis, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::report::UnitSystem;
use crate::report::kind::{Column, Kind};

const LOOKS: [(Ink, Stroke, Shape); 4] = [
    (Ink::Blue, Stroke::Solid, Shape::Disc),
    (Ink::Vermilion, Stroke::Solid, Shape::Diamond),
    (Ink::Green, Stroke::Dashed, Shape::Triangle),
    (Ink::Black, Stroke::Dotted, Shape::Square),
];

/// A depth, by its power at the wire or in the air.
type Row<'a> = (&'a DepthFacts, bool);

fn columns<'a>(power: &'static str) -> [Column<Row<'a>>; 6] {
    [
        Column::paged("lifts and pipe", Kind::Plain, |(one, _), _| {
            one.lifts_and_pipe().into()
        }),
        Column::paged("submergence", Kind::Height, |(one, _), _| {
            one.best.submergence_m.into()
        }),
        Column::paged(power, Kind::Power, |(one, wire), _| {
            one.best.power(*wire).into()
        }),
        Column::paged("pressure rise", Kind::Pressure, |(one, _), _| {
            one.pressure_rise_pa.into()
        }),
        Column::paged("air each", Kind::Air, |(one, _), _| {
            at_20_c(one.air_mass_flow_kg_per_s / f64::from(one.lifts)).into()
        }),
        Column::paged("limited by", Kind::Plain, |(one, _), _| {
            one.limit.to_string().into()
        }),
    ]
}

impl DepthFacts {
    fn lifts_and_pipe(&self) -> String {
        format!("{} × {}", self.lifts, self.pipe)
    }
}

/// The table of depths and the picture of power over depth; nothing without a duty.
pub(super) fn optimum(sheet: &DesignSheet) -> Option<(Markup, Chart)> {
    let depths = sheet.answer.depths.as_ref();
    let designs = depths.map(|depths| &depths.designs);
    let designs = designs.filter(|designs| !designs.is_empty())?;
    let at_wire = designs.iter().all(|one| one.best.wire_power_w.is_some());
    let rows: Vec<Row> = designs.iter().map(|one| (one, at_wire)).collect();
    let columns = columns(if at_wire {
        "power at the wire"
    } else {
        "adiabatic power"
    });
    let caption = "Depth of least power: the best of each pipe and number of lifts";
    let table = html_table(caption, &columns, &rows, sheet.units);
    Some((table, chart(designs, at_wire, sheet.units)))
}

fn chart(designs: &[DepthFacts], at_wire: bool, units: UnitSystem) -> Chart {
    let ((height, meters), (size, watts)) = (units.height_unit(), units.power_unit());
    let place = |depth: &DepthPoint| (depth.submergence_m / height, depth.power(at_wire) / size);
    let drawn = || designs.iter().zip(LOOKS);
    Chart {
        title: "Power over depth".to_owned(),
        x: Axis {
            label: format!("Submergence ({meters})"),
            covers: Vec::new(),
            from: None,
        },
        y: Axis {
            label: if at_wire {
                format!("Power at the wire ({watts})")
            } else {
                format!("Adiabatic power ({watts})")
            },
            covers: vec![0.0],
            from: None,
        },
        lines: drawn()
            .map(|(one, (ink, stroke, _))| Polyline {
                label: Label::Legend(one.lifts_and_pipe()),
                points: one.curve.iter().map(place).collect(),
                ink,
                stroke,
            })
            .collect(),
        marks: drawn()
            .map(|(one, (ink, _, shape))| Marks {
                label: Label::None,
                points: vec![place(&one.best)],
                ink,
                shape,
            })
            .collect(),
        ..Chart::default()
    }
}
