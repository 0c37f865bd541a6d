//! The figures of the book, drawn by the library.
//!
//! `cargo run -p risewater-book -- --figures` writes them; a test draws them afresh and compares.

pub mod bench;
mod cases_a;
mod cases_b;
mod evidence;
mod patterns;
mod principles;
mod room;
mod sketches;

use std::error::Error;

use risewater::answer::{CurveAnswer, CurveTerms, FlowAnswer, Terms};
use risewater::chart::{
    Axis, Band, BandPoint, Chart, Ink, Label, Marks, NeedFigure, Polyline, PressureFigure, Shape,
    Stroke,
};
use risewater::design::{DesignFile, EXAMPLE, NEED_EXAMPLE, SUPPLY_EXAMPLE};
use risewater::need;
use risewater::published::Rig;
use risewater::riser::Riser;
use risewater::sizing::size;
use risewater::supply::blower::DEMO;
use risewater::units::{UnitSystem, VolumeRate, liter_per_minute};
use risewater::{ErrorLaw, Model};

/// Points of a curve.
const POINTS: usize = 64;

/// A figure as a page has room for it.
pub struct Picture {
    pub wide: String,
    /// For a telephone, where the wide one does not fit there.
    pub narrow: Option<String>,
}

pub type Drawn = Result<Picture, Box<dyn Error>>;
type All = Result<Vec<(&'static str, Picture)>, Box<dyn Error>>;

impl Picture {
    fn of(chart: &Chart) -> Drawn {
        Ok(Self {
            wide: chart.svg()?,
            narrow: Some(chart.narrow_svg()?),
        })
    }

    /// One drawing for every page.
    fn for_all(svg: String) -> Self {
        Self {
            wide: svg,
            narrow: None,
        }
    }
}

/// Every figure: its file name and what it shows.
pub fn all() -> All {
    let mut all = principles::all()?;
    all.extend([
        ("flow-patterns.svg", patterns::drawing()),
        ("one-riser.svg", one_riser()?),
        ("one-lift.svg", one_lift()?),
        ("best-design.svg", best_design()?),
        ("published.svg", published()?),
        ("air-side.svg", air_side()?),
        ("bench-trial.svg", cases_a::bench_trial()?),
        ("fry-raceway.svg", cases_a::fry_raceway()?),
        ("larval-tank.svg", cases_a::larval_tank()?),
        ("brink-head.svg", cases_a::brink_head()?),
        ("need.svg", need()?),
        ("tall-lift.svg", cases_b::tall_lift()?),
        ("retrofit.svg", cases_b::retrofit()?),
        ("whole-room.svg", room::pressure()?),
        ("nursery.svg", room::nursery()?),
    ]);
    all.extend(evidence::all()?);
    let sketches = sketches::all().into_iter();
    all.extend(sketches.map(|(name, svg)| (name, Picture::for_all(svg))));
    Ok(all)
}

/// What the example's room needs over its crop: `risewater need --svg FILE`.
fn need() -> Drawn {
    let rearing = DesignFile::parse(NEED_EXAMPLE)?
        .with_crop_table("crop.csv", need::DEMO)
        .rearing()?;
    let figure = NeedFigure::of(
        &rearing.need,
        rearing.installed.as_ref(),
        UnitSystem::Metric,
    )?;
    Picture::of(&figure.chart())
}

/// The riser of the example, with 150 L/min marked: `risewater curve --svg FILE --want "150 L/min"`.
fn one_riser() -> Drawn {
    let riser = DesignFile::parse(EXAMPLE)?.riser()?;
    let wanted = VolumeRate::new::<liter_per_minute>(150.0);
    Picture::of(&curve(&riser, Some(wanted))?)
}

/// The same riser drawn to scale: `risewater flow --svg FILE`.
fn one_lift() -> Drawn {
    let design = DesignFile::parse(EXAMPLE)?;
    let (riser, air) = design.riser_and_air()?;
    let terms = Terms {
        profile: true,
        ..design.terms(ErrorLaw::default())?
    };
    let answer = FlowAnswer::of(&riser, air, &terms)?;
    Ok(Picture::for_all(answer.drawing(UnitSystem::Metric).svg()?))
}

/// The curve of a riser, with a flow marked where one is wanted.
fn curve(riser: &Riser, wanted: Option<VolumeRate>) -> Result<Chart, risewater::Error> {
    let asked = CurveTerms {
        points: POINTS,
        wanted,
        ..CurveTerms::default()
    };
    let curve = CurveAnswer::of(riser, &asked, &Terms::default())?;
    Ok(curve.figure(UnitSystem::Metric).chart())
}

/// One lift of the example's best design: `risewater size --svg FILE`.
fn best_design() -> Drawn {
    let found = size(&DesignFile::parse(EXAMPLE)?.problem()?)?;
    let best = found.designs.first().ok_or("the example has no design")?;
    Picture::of(&curve(&best.riser, Some(best.point.water_flow))?)
}

/// What the example's air side needs and what its blower gives: `risewater supply --svg FILE`.
fn air_side() -> Drawn {
    let design = DesignFile::parse(SUPPLY_EXAMPLE)?.with_blower_table(DEMO);
    let supply = design.supply()?;
    let figure = PressureFigure::of(&supply.plant, &supply.solve()?)?;
    Picture::of(&figure.chart())
}

/// Predicted against measured flows of the published rigs, each over the largest of its rig.
fn published() -> Drawn {
    let looks = [
        (Ink::Vermilion, Shape::Diamond),
        (Ink::Blue, Shape::Disc),
        (Ink::Green, Shape::Square),
        (Ink::Black, Shape::Ring),
        (Ink::Blue, Shape::Triangle),
    ];
    let mut marks = Vec::new();
    for (rig, (ink, shape)) in Rig::all().iter().zip(looks.into_iter().cycle()) {
        let flows: Vec<f64> = rig
            .points
            .iter()
            .map(|point| point.water_flow.get::<liter_per_minute>())
            .collect();
        let largest = flows.iter().copied().fold(0.0, f64::max);
        let residuals = rig.residuals(Model::default())?;
        let share = |(flow, residual): (&f64, &risewater::published::Residual)| {
            (flow / largest, residual.ratio * flow / largest)
        };
        let points = flows.iter().zip(&residuals).map(share).collect();
        marks.push(Marks {
            label: Label::Legend(rig.name.clone()),
            points,
            ink,
            shape,
        });
    }
    let edge = |x| BandPoint {
        x,
        low: 0.8 * x,
        high: 1.2 * x,
    };
    let chart = Chart {
        title: "Predicted and measured water flow".to_owned(),
        notes: vec![
            "each as a share of the largest flow measured on its rig".to_owned(),
            Model::default().to_string(),
        ],
        x: Axis {
            label: "measured, share of largest".to_owned(),
            covers: vec![0.0, 1.0],
            from: None,
        },
        y: Axis {
            label: "predicted, share of largest measured".to_owned(),
            covers: vec![0.0, 1.0],
            from: None,
        },
        bands: vec![Band {
            label: "within 20 %".to_owned(),
            points: vec![edge(0.0), edge(1.0)],
            ink: Ink::Black,
        }],
        lines: vec![Polyline {
            label: Label::Beside("equal".to_owned()),
            points: vec![(0.0, 0.0), (1.0, 1.0)],
            ink: Ink::Black,
            stroke: Stroke::Dashed,
        }],
        marks,
        ..Chart::default()
    };
    Picture::of(&chart)
}
