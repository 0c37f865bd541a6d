//! Figures of worked cases: bench trial, larval tank, raceway, biofilter return.

use std::error::Error;

use risewater::chart::{Axis, Chart, Ink, Label, Line, Stroke};
use risewater::riser::PartFull;
use risewater::units::{Length, VolumeRate, liter_per_minute, millimeter};

use super::POINTS;

/// Head above the invert of a level outlet pipe, up to where it runs full.
pub fn brink_head() -> Result<String, Box<dyn Error>> {
    let looks = [
        (60.0, Ink::Vermilion, Stroke::Dashed),
        (76.0, Ink::Blue, Stroke::Solid),
        (100.0, Ink::Green, Stroke::Dotted),
    ];
    let mut lines = Vec::new();
    for (bore_mm, ink, stroke) in looks {
        let pipe = PartFull::of_bore(Length::new::<millimeter>(bore_mm))?;
        let full = pipe.largest_flow().get::<liter_per_minute>();
        let step = full / f64::from(u32::try_from(POINTS)?);
        let points = (0..=POINTS)
            .map(|n| f64::from(u32::try_from(n).unwrap_or(u32::MAX)) * step)
            .map(|flow| {
                let head = pipe.critical_head(VolumeRate::new::<liter_per_minute>(flow));
                (flow, head.get::<millimeter>())
            })
            .collect();
        lines.push(Line {
            label: Label::Beside(format!("{bore_mm:.0} mm")),
            points,
            ink,
            stroke,
        });
    }
    let chart = Chart {
        title: "Head that a level outlet pipe needs".to_owned(),
        notes: vec!["up to where the pipe runs full".to_owned()],
        x: Axis {
            label: "water (L/min)".to_owned(),
            covers: vec![0.0],
        },
        y: Axis {
            label: "head above the invert (mm)".to_owned(),
            covers: vec![0.0],
        },
        lines,
        ..Chart::default()
    };
    Ok(chart.svg()?)
}
