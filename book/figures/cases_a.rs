//! Figures of worked cases: bench trial, larval tank, raceway, biofilter return.

use std::error::Error;

use risewater::chart::{Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use risewater::design::DesignFile;
use risewater::report::UnitSystem;
use risewater::riser::PartFull;
use risewater::trial::{Fit, parse_runs, reduce};
use risewater::units::{Length, VolumeRate, liter_per_minute, millimeter};
use risewater::{AirFlow, AirState, Calibration, Error as Refused, ErrorLaw, Outcome};

use super::bench::axis;
use super::{Drawn, POINTS, Picture};

/// Head above the invert of a level outlet pipe, up to where it runs full.
pub fn brink_head() -> Drawn {
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
        lines.push(Polyline {
            label: Label::Beside(format!("{bore_mm:.0} mm")),
            points,
            ink,
            stroke,
        });
    }
    let chart = Chart {
        title: "Head that a level outlet pipe needs".to_owned(),
        notes: vec!["up to where the pipe runs full".to_owned()],
        x: axis("water (L/min)"),
        y: axis("head above the invert (mm)"),
        lines,
        ..Chart::default()
    };
    Picture::of(&chart)
}

/// Points and lines of air and water flow, L/min.
type Flows = Vec<(f64, f64)>;

/// Water flows over air flows.
fn flows(
    operate: impl Fn(AirFlow) -> Result<Outcome, Refused>,
    from: f64,
    to: f64,
) -> Result<Flows, Box<dyn Error>> {
    let step = (to - from) / f64::from(u32::try_from(POINTS)?);
    (0..=u32::try_from(POINTS)?)
        .map(|n| {
            let air = from + step * f64::from(n);
            let flow = VolumeRate::new::<liter_per_minute>(air);
            let outcome = operate(AirFlow::at(flow, &AirState::DRY_20_C)?)?;
            Ok((air, outcome.water_flow().get::<liter_per_minute>()))
        })
        .collect()
}

/// One lift before twelve: measured, as predicted, and calibrated.
pub fn bench_trial() -> Drawn {
    let bench = DesignFile::parse(include_str!("../src/case-bench-trial.in/rig.toml"))?.bench()?;
    let sheet = parse_runs(include_str!("../src/case-bench-trial.in/bench.csv"))?;
    let trial = Calibration::of_runs(&reduce(&sheet, &bench.instruments)?, &bench.spec)?;
    let fit = Fit::of(trial, bench.model, &ErrorLaw::default(), None)?;
    Picture::of(&fit.figure(UnitSystem::Metric)?.chart())
}

/// Three bores of a lift for a larval tank, at little air.
pub fn larval_tank() -> Drawn {
    let text = include_str!("../src/case-larval-tank.in/larval-tank.toml");
    let looks = [
        (20.0, Ink::Blue, Stroke::Solid),
        (25.0, Ink::Green, Stroke::Dotted),
        (32.0, Ink::Vermilion, Stroke::Dashed),
    ];
    let wanted = VolumeRate::new::<liter_per_minute>(1.25);
    let (mut lines, mut marked) = (Vec::new(), Vec::new());
    for (bore_mm, ink, stroke) in looks {
        let riser = DesignFile::parse_with(text, &[format!("riser.bore={bore_mm} mm")])?.riser()?;
        lines.push(Polyline {
            label: Label::Beside(format!("{bore_mm:.0} mm")),
            points: flows(|air| riser.operate(air), 0.0, 2.4)?,
            ink,
            stroke,
        });
        let air = riser.air_for(wanted)?.air.volume_rate_at_20_c();
        marked.push((
            air.get::<liter_per_minute>(),
            wanted.get::<liter_per_minute>(),
        ));
    }
    let chart = Chart {
        title: "A lift of a larval tank, in three bores".to_owned(),
        x: axis("air (L/min, dry, 20 °C, 101.325 kPa)"),
        y: axis("water (L/min)"),
        lines,
        marks: vec![Marks {
            label: Label::Legend("the flow wanted".to_owned()),
            points: marked,
            ink: Ink::Black,
            shape: Shape::Ring,
        }],
        ..Chart::default()
    };
    Picture::of(&chart)
}

/// Air in all for a fry raceway, against the number of lifts.
pub fn fry_raceway() -> Drawn {
    let text = include_str!("../src/case-fry-raceway.in/fry-raceway.toml");
    let duty = DesignFile::parse(text)?
        .problem()?
        .duty
        .water_flow
        .get::<liter_per_minute>();
    let looks = [
        ("1 in", Ink::Blue, Stroke::Solid, Shape::Disc),
        ("1-1/4 in", Ink::Vermilion, Stroke::Dashed, Shape::Diamond),
        ("1-1/2 in", Ink::Green, Stroke::Dotted, Shape::Square),
    ];
    let (mut lines, mut marks) = (Vec::new(), Vec::new());
    for (size, ink, stroke, shape) in looks {
        let changes = [
            format!("riser.pipe=ASTM D1785 Sch 40 {size}"),
            "riser.submergence=0.45 m".to_owned(),
            "riser.lift=0.05 m".to_owned(),
        ];
        let riser = DesignFile::parse_with(text, &changes)?.riser()?;
        // Too few lifts cannot do the duty at all.
        let points: Flows = (3..=16)
            .filter_map(|lifts| {
                let lifts = f64::from(lifts);
                let each = VolumeRate::new::<liter_per_minute>(duty / lifts);
                let air = riser.air_for(each).ok()?.air.volume_rate_at_20_c();
                Some((lifts, lifts * air.get::<liter_per_minute>()))
            })
            .collect();
        lines.push(Polyline {
            label: Label::None,
            points: points.clone(),
            ink,
            stroke,
        });
        marks.push(Marks {
            label: Label::Legend(format!("Sch 40 {size}")),
            points,
            ink,
            shape,
        });
    }
    let chart = Chart {
        title: format!("Air for {duty:.0} L/min over 0.05 m"),
        x: axis("lifts"),
        y: axis("air in all (L/min, dry, 20 °C, 101.325 kPa)"),
        lines,
        marks,
        ..Chart::default()
    };
    Picture::of(&chart)
}
