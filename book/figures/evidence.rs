//! The figures of the part on evidence: each published rig by itself, and risers under other closures.

use risewater::chart::{Axis, Band, BandPoint, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use risewater::design::{DesignFile, EXAMPLE};
use risewater::published::{Residual, Rig};
use risewater::regime::FlowPattern;
use risewater::units::{Ratio, VolumeRate, liter_per_minute, ratio};
use risewater::{AirFlow, AirState, Friction, Model, Riser, Slip};

use super::bench::{axis, riser};
use super::{All, Drawn, Picture};

/// File names of the parity plots, in the order of [`Rig::all`].
const PARITY: [&str; 5] = [
    "parity-kassab-1750.svg",
    "parity-kassab-2750.svg",
    "parity-kassab-3750.svg",
    "parity-todoroki.svg",
    "parity-pickert.svg",
];

/// Points of a curve.
const POINTS: u32 = 60;

pub fn all() -> All {
    let mut all = Vec::new();
    for (file, rig) in PARITY.into_iter().zip(Rig::all()) {
        all.push((file, parity(rig)?));
    }
    let hatchery = DesignFile::parse(EXAMPLE)?.riser()?;
    all.push((
        "closures-hatchery.svg",
        closures("The hatchery riser under other closures", &hatchery, 300.0)?,
    ));
    all.push((
        "closures-bench.svg",
        closures(
            "The bench column under other closures",
            &riser(50.0, 1.0, 0.25)?,
            200.0,
        )?,
    ));
    all.push((
        "closures-well.svg",
        closures(
            "The well under other closures",
            &riser(100.0, 24.0, 16.0)?,
            6000.0,
        )?,
    ));
    Ok(all)
}

fn look(pattern: FlowPattern) -> (Ink, Shape) {
    match pattern {
        FlowPattern::Slug => (Ink::Blue, Shape::Disc),
        FlowPattern::Churn => (Ink::Vermilion, Shape::Diamond),
        FlowPattern::Annular => (Ink::Green, Shape::Triangle),
        _ => (Ink::Black, Shape::Ring),
    }
}

/// Predicted against measured flow of one rig, by flow pattern at the mouth.
fn parity(rig: &Rig) -> Drawn {
    let residuals = rig.residuals(Model::default())?;
    let measured = |r: &Residual| r.measured.get::<liter_per_minute>();
    let largest = residuals
        .iter()
        .map(|r| measured(r) * r.ratio.max(1.0))
        .fold(0.0, f64::max);
    let mut marks = Vec::new();
    for pattern in FlowPattern::ALL {
        let (ink, shape) = look(*pattern);
        let points: Vec<(f64, f64)> = residuals
            .iter()
            .filter(|r| r.pattern == *pattern)
            .map(|r| (measured(r), r.ratio * measured(r)))
            .collect();
        if !points.is_empty() {
            marks.push(Marks {
                label: Label::Legend(format!("{pattern} at the mouth")),
                points,
                ink,
                shape,
            });
        }
    }
    let widest = residuals.iter().map(measured).fold(0.0, f64::max);
    let edge = |x| BandPoint {
        x,
        low: 0.8 * x,
        high: 1.2 * x,
    };
    let chart = Chart {
        title: format!("Predicted and measured: {}", rig.name),
        notes: vec![Model::default().to_string()],
        x: axis("measured water flow (L/min)"),
        y: Axis {
            label: "predicted water flow (L/min)".to_owned(),
            covers: vec![0.0, largest],
            ..Axis::default()
        },
        bands: vec![Band {
            label: "within 20 %".to_owned(),
            points: vec![edge(0.0), edge(widest)],
            ink: Ink::Black,
        }],
        lines: vec![Polyline {
            label: Label::Beside("equal".to_owned()),
            points: vec![(0.0, 0.0), (widest, widest)],
            ink: Ink::Black,
            stroke: Stroke::Dashed,
        }],
        marks,
        ..Chart::default()
    };
    Picture::of(&chart)
}

/// Water flow against air flow of a riser: the default model, and one thing changed at a time.
fn closures(title: &str, riser: &Riser, most: f64) -> Drawn {
    let own = Model::default();
    let variants = [
        ("default", own, Ink::Black, Stroke::Solid),
        (
            "no developing length",
            own.with_developing_length(Ratio::new::<ratio>(0.0)),
            Ink::Black,
            Stroke::Dashed,
        ),
        (
            "developing length 8 bores",
            own.with_developing_length(Ratio::new::<ratio>(8.0)),
            Ink::Black,
            Stroke::Dotted,
        ),
        (
            "slip nicklin_1962",
            Model::new(Slip::Nicklin1962, own.friction),
            Ink::Blue,
            Stroke::Solid,
        ),
        (
            "slip bubbly",
            Model::new(Slip::Bubbly, own.friction),
            Ink::Blue,
            Stroke::Dotted,
        ),
        (
            "friction slug_body",
            Model::new(own.slip, Friction::SlugBody),
            Ink::Vermilion,
            Stroke::Solid,
        ),
        (
            "friction friedel_1979",
            Model::new(own.slip, Friction::Friedel1979),
            Ink::Vermilion,
            Stroke::Dashed,
        ),
    ];
    let mut lines = Vec::new();
    for (name, model, ink, stroke) in variants {
        let riser = riser.with_model(model)?;
        let mut points = Vec::new();
        for n in 1..=POINTS {
            let air = most * f64::from(n) / f64::from(POINTS);
            let flow = AirFlow::at(
                VolumeRate::new::<liter_per_minute>(air),
                &AirState::DRY_20_C,
            )?;
            let water = riser.operate(flow)?.water_flow();
            points.push((air, water.get::<liter_per_minute>()));
        }
        lines.push(Polyline {
            label: Label::Legend(name.to_owned()),
            points,
            ink,
            stroke,
        });
    }
    let chart = Chart {
        title: title.to_owned(),
        notes: vec![own.to_string() + ", and one thing changed at a time"],
        x: axis("air flow (L/min, dry, 20 °C, 101.325 kPa)"),
        y: axis("water flow (L/min)"),
        lines,
        ..Chart::default()
    };
    Picture::of(&chart)
}
