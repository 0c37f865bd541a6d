//! The depth that takes the least power.

use maud::html;

use super::markup::{Column, Section, figure, table};
use super::{DesignSheet, SheetError};
use crate::chart::{Axis, Chart, Ink, Label, Line, Marks, Shape, Stroke};
use crate::report::UnitSystem;
use crate::report::number::{place, short};
use crate::supply::{BestDepth, DepthPower};
use crate::units::{pascal, watt};

const LOOKS: [(Ink, Stroke, Shape); 4] = [
    (Ink::Blue, Stroke::Solid, Shape::Disc),
    (Ink::Vermilion, Stroke::Solid, Shape::Diamond),
    (Ink::Green, Stroke::Dashed, Shape::Triangle),
    (Ink::Black, Stroke::Dotted, Shape::Square),
];

pub(super) fn section(sheet: &DesignSheet) -> Result<Option<Section>, SheetError> {
    if sheet.optimum.is_empty() {
        return Ok(None);
    }
    let units = sheet.units;
    let at_wire = sheet
        .optimum
        .iter()
        .all(|best| best.best.wire_power.is_some());
    let rows = sheet.optimum.iter().map(|best| {
        vec![
            format!("{} × {}", best.lifts, best.pipe.name),
            place(best.best.submergence.value / units.height_unit().0),
            short(power(&best.best, at_wire) / units.power_unit().0),
            short(best.best.rise.get::<pascal>() / units.pressure_unit().0),
            short(best.best.point.air.volume_rate_at_20_c().value / units.air_unit().0),
            best.limit.to_string(),
        ]
    });
    let heads = [
        ("lifts and pipe".to_owned(), Column::Words),
        (
            format!("submergence ({})", units.height_unit().1),
            Column::Numbers,
        ),
        (
            format!(
                "{} ({})",
                if at_wire {
                    "power at the wire"
                } else {
                    "adiabatic power"
                },
                units.power_unit().1
            ),
            Column::Numbers,
        ),
        (
            format!("pressure rise ({})", units.pressure_unit().1),
            Column::Numbers,
        ),
        (
            format!("air each ({})", units.air_unit().1),
            Column::Numbers,
        ),
        ("limited by".to_owned(), Column::Words),
    ];
    let heads: Vec<_> = heads
        .iter()
        .map(|(head, column)| (head.as_str(), *column))
        .collect();
    Ok(Some(Section {
        id: "optimum",
        title: "Depth of least power",
        body: html! {
            (table("Best depth of each pipe and number of lifts, best first", &heads, rows))
            (figure(&chart(sheet.optimum, at_wire, units))?)
        },
        new_page: false,
    }))
}

fn power(depth: &DepthPower, at_wire: bool) -> f64 {
    match depth.wire_power {
        Some(power) if at_wire => power.get::<watt>(),
        _ => depth.adiabatic_power.get::<watt>(),
    }
}

fn chart(optimum: &[BestDepth], at_wire: bool, units: UnitSystem) -> Chart {
    let ((height, meters), (size, watts)) = (units.height_unit(), units.power_unit());
    let place = |depth: &DepthPower| {
        let submergence = depth.submergence.value / height;
        (submergence, power(depth, at_wire) / size)
    };
    let drawn = || optimum.iter().zip(LOOKS);
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
            .map(|(best, (ink, stroke, _))| Line {
                label: Label::Legend(format!("{} × {}", best.lifts, best.pipe.name)),
                points: best.curve.iter().map(place).collect(),
                ink,
                stroke,
            })
            .collect(),
        marks: drawn()
            .map(|(best, (ink, _, shape))| Marks {
                label: Label::None,
                points: vec![place(&best.best)],
                ink,
                shape,
            })
            .collect(),
        ..Chart::default()
    }
}
