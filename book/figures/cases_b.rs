//! Figures of worked cases: tall lift, retrofit that fails.

use risewater::chart::{Chart, Ink, Label, Polyline, Stroke};
use risewater::design::DesignFile;
use risewater::units::{VolumeRate, liter_per_minute, meter};
use risewater::{AirFlow, AirState};

use super::bench::axis;
use super::{Drawn, POINTS, Picture, curve};

/// A line of water over air through two points.
fn straight(label: Label, from: (f64, f64), to: (f64, f64), stroke: Stroke) -> Polyline {
    Polyline {
        label,
        points: vec![from, to],
        ink: Ink::Black,
        stroke,
    }
}

/// The tall lift with its interval, and the straight line of the handbook's formula.
pub fn tall_lift() -> Drawn {
    let riser = DesignFile::parse(include_str!("../src/case-tall-lift.in/tower.toml"))?.riser()?;
    let mut chart = curve(&riser, None)?;
    // Liddell (1922): displacement of the compressor, in feet, cubic feet and US gallons.
    let feet = |length: f64| length / 0.3048;
    let spec = riser.spec().dimensions;
    let (lift, depth) = (
        feet(spec.lift.get::<meter>()),
        feet(spec.submergence.get::<meter>()),
    );
    let per_gallon = (3.0 + lift / 700.0) * lift / (585.0 * (1.0 + depth / 34.0).log10());
    let displaced_of_water = per_gallon * 0.3048_f64.powi(3) / (231.0 * 0.0254_f64.powi(3));
    // Of which a small machine of one stage delivers 80 % (common practice).
    let air_of_water = 0.8 * displaced_of_water;
    let end = 270.0;
    chart.lines.push(straight(
        Label::Beside("handbook, as delivered".to_owned()),
        (0.0, 0.0),
        (air_of_water * end, end),
        Stroke::Dashed,
    ));
    Picture::of(&chart)
}

/// The riser that is there, three ways to change it, and what is wanted.
pub fn retrofit() -> Drawn {
    let file = include_str!("../src/case-retrofit-fails.in/retrofit.toml");
    let deep = "riser.submergence=1.2 m";
    let ways = [
        ("as it is", vec![], 1.0, Ink::Vermilion, Stroke::Dashed),
        ("1.2 m deep", vec![deep], 1.0, Ink::Blue, Stroke::Dotted),
        (
            "and outlet 0.1 m lower",
            vec![deep, "riser.lift=0.3 m"],
            1.0,
            Ink::Blue,
            Stroke::Dashed,
        ),
        (
            "two, 1.2 m deep",
            vec![deep],
            2.0,
            Ink::Green,
            Stroke::Solid,
        ),
    ];
    let largest = 300.0;
    let step = largest / f64::from(u32::try_from(POINTS)?);
    let mut lines = Vec::new();
    for (name, changes, lifts, ink, stroke) in ways {
        let changes: Vec<String> = changes.into_iter().map(str::to_owned).collect();
        let riser = DesignFile::parse_with(file, &changes)?.riser()?;
        let points = (1..=u32::try_from(POINTS)?)
            .map(|n| {
                let air = step * f64::from(n);
                let each = VolumeRate::new::<liter_per_minute>(air / lifts);
                let water = riser
                    .operate(AirFlow::at(each, &AirState::DRY_20_C)?)?
                    .water_flow();
                Ok((air, lifts * water.get::<liter_per_minute>()))
            })
            .collect::<Result<Vec<_>, risewater::Error>>()?;
        lines.push(Polyline {
            label: Label::Beside(name.to_owned()),
            points,
            ink,
            stroke,
        });
    }
    let straight = |from, to, stroke| straight(Label::None, from, to, stroke);
    lines.push(straight((0.0, 120.0), (largest, 120.0), Stroke::Solid));
    lines.push(straight((120.0, 0.0), (120.0, 220.0), Stroke::Dotted));
    let chart = Chart {
        title: "A riser below its duty, and what helps".to_owned(),
        notes: vec![
            "air and water of all lifts together".to_owned(),
            "black: the water that is wanted, and the air of the blower".to_owned(),
        ],
        x: axis("air (L/min, dry, 20 °C, 101.325 kPa)"),
        y: axis("water (L/min)"),
        lines,
        ..Chart::default()
    };
    Picture::of(&chart)
}
