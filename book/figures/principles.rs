//! Figures of Part I: the bench column, 50 mm with 1 m of submergence and 0.25 m of lift.

use std::error::Error;
use std::f64::consts::FRAC_PI_4;

use risewater::answer::{FlowAnswer, Terms};
use risewater::chart::{Band, BandPoint, Ink, Label, Marks, Polyline, Shape, Stroke};
use risewater::friction::Friction;
use risewater::published::Rig;
use risewater::regime::{FlowPattern, flow_pattern};
use risewater::riser::Riser;
use risewater::slip::Slip;
use risewater::units::{
    Length, UnitSystem, VolumeRate, liter_per_minute, meter, meter_per_second, millimeter, pascal,
    percent, ratio,
};
use risewater::{AirFlow, Curve, DevelopingLength, ErrorLaw, Model};

use super::bench::{Points, RHO, air, bench, chart, flows, line, riser, section, spread};
use super::{All, Drawn, POINTS, Picture, curve};

/// Free fall, m/s².
const G: f64 = 9.80665;
const AIR: &str = "Air flow (L/min, dry, 20 °C)";
const WATER: &str = "Water flow (L/min)";

/// Every chart of Part I: its file name and its text.
pub fn all() -> All {
    Ok(vec![
        ("bench-column.svg", bench_column()?),
        ("where-it-goes.svg", where_it_goes()?),
        ("void-and-slip.svg", void_and_slip()?),
        ("pattern-map.svg", pattern_map()?),
        ("wall-friction.svg", wall_friction()?),
        ("hand-method.svg", hand_method()?),
        ("working-range.svg", working_range()?),
        ("depth-ratio.svg", depth_ratio()?),
        ("short-risers.svg", short_risers()?),
        ("lesson.svg", lesson()?),
    ])
}

/// Shares of the submergence, in per cent: weight, undeveloped, wall, entrance and speed.
fn shares(riser: &Riser, air_l_min: f64) -> Result<[f64; 4], Box<dyn Error>> {
    let point = *riser
        .operate(air(air_l_min)?)?
        .point()
        .ok_or("it does not pump")?;
    let budget = riser.budget(&point);
    let rest = budget.entrance + budget.speed;
    let parts = [budget.weight, budget.developing, budget.friction, rest];
    Ok(parts.map(|part| (part / budget.submergence()).get::<percent>()))
}

/// The bench column, drawn to scale.
fn bench_column() -> Drawn {
    let terms = Terms {
        profile: true,
        ..Terms::default()
    };
    let answer = FlowAnswer::of(&bench()?, air(40.0)?, &terms)?;
    let mut drawing = answer.drawing(UnitSystem::Metric);
    "The bench column".clone_into(&mut drawing.title);
    Ok(Picture::for_all(drawing.svg()?))
}

fn where_it_goes() -> Drawn {
    let riser = bench()?;
    let names = [
        ("weight of the mixture", Ink::Blue),
        ("undeveloped stretch", Ink::Green),
        ("friction", Ink::Vermilion),
        ("entrance and speed", Ink::Black),
    ];
    let mut bands: Vec<Band> = names
        .iter()
        .map(|(label, ink)| Band {
            label: (*label).to_owned(),
            points: Vec::new(),
            ink: *ink,
        })
        .collect();
    for x in spread(15.0, 600.0, 118) {
        let mut low = 0.0;
        for (band, share) in bands.iter_mut().zip(shares(&riser, x)?) {
            let high = low + share;
            band.points.push(BandPoint { x, low, high });
            low = high;
        }
    }
    let edges = bands.iter().map(|band| Polyline {
        points: band.points.iter().map(|p| (p.x, p.high)).collect(),
        ink: band.ink,
        ..Polyline::default()
    });
    let lines = edges.collect();
    let title = "What the submergence pays for";
    let note = "bench column: bore 50 mm, submergence 1 m, lift 0.25 m";
    let mut chart = chart(title, note, AIR, "Share of the submergence (%)", lines);
    chart.bands = bands;
    Picture::of(&chart)
}

fn void_and_slip() -> Drawn {
    let void = |slip: Slip, j_g: f64| -> Result<f64, risewater::Error> {
        let section = section(50.0, 0.495, j_g);
        Ok(slip.void_fraction(&section)?.get::<ratio>())
    };
    let (mut default, mut all) = (vec![(0.0, 0.0)], Vec::new());
    for x in spread(0.02, 3.0, 150) {
        default.push((x, void(Slip::default(), x)?));
        let each: Vec<f64> = Slip::ALL
            .iter()
            .map(|slip| void(*slip, x))
            .collect::<Result<_, _>>()?;
        let low = each.iter().copied().fold(1.0, f64::min);
        let high = each.iter().copied().fold(0.0, f64::max);
        all.push(BandPoint { x, low, high });
    }
    let slipless = spread(0.0, 3.0, 151)
        .map(|j_g| (j_g, j_g / (j_g + 0.495)))
        .collect();
    let lines = vec![
        line("the default closure", default, Ink::Blue, Stroke::Solid),
        line("without slip", slipless, Ink::Black, Stroke::Dotted),
    ];
    let note = "bore 50 mm, superficial velocity of the water 0.495 m/s";
    let x = "Superficial velocity of the air (m/s)";
    let mut chart = chart("Void fraction", note, x, "Void fraction", lines);
    chart.bands = vec![Band {
        label: "from the lowest of six closures to the highest".to_owned(),
        points: all,
        ink: Ink::Vermilion,
    }];
    Picture::of(&chart)
}

fn wall_friction() -> Drawn {
    let looks = [
        (
            Friction::Homogeneous,
            "homogeneous",
            Ink::Blue,
            Stroke::Solid,
        ),
        (Friction::SlugBody, "slug body", Ink::Black, Stroke::Dashed),
        (
            Friction::Friedel1979,
            "Friedel",
            Ink::Vermilion,
            Stroke::Solid,
        ),
    ];
    let mut lines = Vec::new();
    for (friction, label, ink, stroke) in looks {
        let mut points = Vec::new();
        for j_g in spread(0.01, 3.0, 150) {
            let section = section(50.0, 0.495, j_g);
            let void = Slip::default().void_fraction(&section)?;
            let gradient = friction.gradient(&section, void)? * Length::new::<meter>(1.0);
            points.push((j_g, gradient.get::<pascal>()));
        }
        lines.push(line(label, points, ink, stroke));
    }
    let note = "bore 50 mm, superficial velocity of the water 0.495 m/s";
    let x = "Superficial velocity of the air (m/s)";
    Picture::of(&chart(
        "Friction in the riser",
        note,
        x,
        "Friction (Pa/m)",
        lines,
    ))
}

/// Where the pattern changes at one water flow: (pattern below, void fraction there).
fn changes(j_l: f64) -> Result<Vec<(FlowPattern, f64)>, risewater::Error> {
    let look = |j_g: f64| -> Result<(FlowPattern, f64), risewater::Error> {
        let section = section(80.0, j_l, j_g);
        let void = Slip::default().void_fraction(&section)?;
        Ok((flow_pattern(&section, void)?, void.get::<ratio>()))
    };
    let (mut below, mut found) = (0.005, Vec::new());
    let mut pattern = look(below)?.0;
    while below < 30.0 {
        let above = below * 1.03;
        let next = look(above)?.0;
        if next != pattern {
            let (mut low, mut high) = (below, above);
            for _ in 0..30 {
                let middle = 0.5 * (low + high);
                if look(middle)?.0 == pattern {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            found.push((pattern, look(low)?.1));
        }
        (below, pattern) = (above, next);
    }
    Ok(found)
}

/// Water's velocity on a boundary, given as (void, velocity) of falling void, at a void fraction: the top to the
/// left of it, nothing to its right.
fn on(boundary: &Points, void: f64) -> f64 {
    boundary
        .windows(2)
        .find(|pair| pair[1].0 <= void && void < pair[0].0)
        .map_or_else(
            || {
                let right = boundary.first().is_some_and(|first| void >= first.0);
                if right { 0.0 } else { MAP_TOP }
            },
            |pair| {
                let share = (pair[0].0 - void) / (pair[0].0 - pair[1].0);
                pair[0].1 + share * (pair[1].1 - pair[0].1)
            },
        )
}

/// Top of the map of patterns, m/s.
const MAP_TOP: f64 = 1.2;

fn pattern_map() -> Drawn {
    let riser = riser(80.0, 1.0, 0.25)?;
    let curve = Curve::of(&riser, POINTS)?;
    let at = |p: &risewater::OperatingPoint| {
        let void = p.top.void_fraction.get::<ratio>();
        (
            void,
            p.top.liquid_superficial_velocity.get::<meter_per_second>(),
        )
    };
    let own: Points = curve.points.iter().map(at).collect();
    let mut found = Vec::new();
    for j_l in spread(0.001, MAP_TOP, 121) {
        found.extend(
            changes(j_l)?
                .into_iter()
                .map(|(below, void)| (below, void, j_l)),
        );
    }
    let boundary = |pattern| -> Points {
        let here = found.iter().filter(|(below, ..)| *below == pattern);
        here.map(|(_, void, j_l)| (*void, *j_l)).collect()
    };
    let [slug, churn, annular] =
        [FlowPattern::Bubbly, FlowPattern::Slug, FlowPattern::Churn].map(boundary);
    let area = |label: &str, ink, edges: &dyn Fn(f64) -> (f64, f64)| Band {
        label: label.to_owned(),
        points: spread(0.0, 1.0, 1001)
            .map(|x| {
                let (low, high) = edges(x);
                BandPoint { x, low, high }
            })
            .filter(|point| point.low < point.high)
            .collect(),
        ink,
    };
    let bubbly = slug.first().ok_or("no boundary")?.0;
    let bands = vec![
        area("bubbly", Ink::Green, &|x| {
            (0.0, if x < bubbly { MAP_TOP } else { 0.0 })
        }),
        area("slug", Ink::Blue, &|x| {
            (0.0, if x < bubbly { 0.0 } else { on(&churn, x) })
        }),
        area("churn", Ink::Vermilion, &|x| {
            (on(&churn, x), on(&annular, x))
        }),
        area("annular", Ink::Black, &|x| (on(&annular, x), MAP_TOP)),
    ];
    let start = *own.first().ok_or("no curve")?;
    let mut own = line("this riser, at its mouth", own, Ink::Black, Stroke::Solid);
    own.label = Label::Beside("this riser, at its mouth".to_owned());
    let note = "bore 80 mm, submergence 1 m, lift 0.25 m, water and air at 20 °C";
    let y = "Superficial velocity of the water (m/s)";
    let mut chart = chart("Flow patterns", note, "Void fraction", y, vec![own]);
    chart.bands = bands;
    chart.x.covers.push(1.0);
    chart.y.covers.push(MAP_TOP);
    let mark = |label: &str, point, shape| Marks {
        label: Label::Beside(label.to_owned()),
        points: vec![point],
        ink: Ink::Black,
        shape,
    };
    chart.marks = vec![
        mark("starts", start, Shape::Triangle),
        mark("peak", at(&curve.peak), Shape::Square),
    ];
    Picture::of(&chart)
}

/// Water flow of the bench column by the chapter's hand method, L/min.
fn by_hand(air_l_min: f64) -> f64 {
    let (bore, submergence, length): (f64, f64, f64) = (0.05, 1.0, 1.25);
    let (mu, p_a, p_v) = (1.002e-3, 101.325, 2.339);
    let developing = (8.0 * bore).min(0.2);
    let area = FRAC_PI_4 * bore * bore;
    let j_g = air_l_min / 60e3 / area * p_a / (p_a + RHO * G * submergence / 2e3 - p_v);
    let needed = |void: f64| {
        let j = (j_g / void - 0.35 * (G * bore * (1.0 - void)).sqrt()) / 1.2;
        let j_l = j - j_g;
        if j_l <= 0.0 {
            return (0.0, 0.0);
        }
        let head = j_l * j_l / (2.0 * G);
        let factor = 0.316 / (RHO * j_l * bore / mu).powf(0.25);
        let undeveloped = void * developing * (1.0 - (-length / developing).exp());
        let friction = factor * length / bore * j / j_l * head;
        let speed = (1.5 + 2.0 * void / (1.0 - void)) * head;
        ((1.0 - void) * length + undeveloped + friction + speed, j_l)
    };
    let (mut low, mut high) = (0.01, 0.99);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if needed(middle).0 > submergence {
            low = middle;
        } else {
            high = middle;
        }
    }
    needed(low).1 * area * 60e3
}

fn hand_method() -> Drawn {
    let curve = Curve::of(&bench()?, POINTS)?;
    let hand = spread(12.0, 400.0, 195)
        .map(|air| (air, by_hand(air)))
        .collect();
    let library = flows(&curve)
        .into_iter()
        .filter(|(air, _)| *air <= 400.0)
        .collect();
    let lines = vec![
        line("library", library, Ink::Blue, Stroke::Solid),
        line("by hand", hand, Ink::Vermilion, Stroke::Dashed),
    ];
    let note = "bench column: bore 50 mm, submergence 1 m, lift 0.25 m";
    Picture::of(&chart(
        "By hand and by the library",
        note,
        AIR,
        WATER,
        lines,
    ))
}

fn working_range() -> Drawn {
    let riser = bench()?;
    Picture::of(&curve(&riser, None)?)
}

fn depth_ratio() -> Drawn {
    let looks = [
        (0.9, Ink::Blue, Stroke::Solid),
        (0.8, Ink::Green, Stroke::Solid),
        (0.7, Ink::Black, Stroke::Solid),
        (0.6, Ink::Vermilion, Stroke::Dashed),
        (0.5, Ink::Black, Stroke::Dotted),
    ];
    let mut lines = Vec::new();
    for (share, ink, stroke) in looks {
        let curve = Curve::of(&riser(50.0, share * 1.25, (1.0 - share) * 1.25)?, POINTS)?;
        let points = flows(&curve)
            .into_iter()
            .filter(|(air, _)| *air <= 500.0)
            .collect();
        let mut line = line("", points, ink, stroke);
        line.label = Label::Beside(format!("{share}"));
        lines.push(line);
    }
    let note = "riser of 50 mm, 1.25 m long; each line names its submergence ratio";
    Picture::of(&chart(
        "The same riser, let down more or less deep",
        note,
        AIR,
        WATER,
        lines,
    ))
}

fn short_risers() -> Drawn {
    let rig = Rig::all().first().ok_or("no rig")?;
    let (submergence, length) = (SHORT_RATIO * rig.length, rig.length);
    let near = |point: &&risewater::published::PublishedPoint| {
        ((point.submergence / length).get::<ratio>() - SHORT_RATIO).abs() < 0.01
    };
    let flow = |air: AirFlow| air.volume_rate_at_20_c().get::<liter_per_minute>();
    let points: Points = rig
        .points
        .iter()
        .filter(near)
        .map(|p| (flow(p.air), p.water_flow.get::<liter_per_minute>()))
        .collect();
    let most = points.iter().map(|p| p.0).fold(0.0, f64::max);
    let bore_mm = rig.bore.get::<millimeter>();
    let lift = length - submergence;
    let standard = riser(bore_mm, submergence.get::<meter>(), lift.get::<meter>())?;
    let mut lines = Vec::new();
    let without = DevelopingLength::Length(Length::new::<meter>(0.0));
    for (developing, stroke, ink) in [
        (without, Stroke::Dashed, Ink::Black),
        (DevelopingLength::default(), Stroke::Solid, Ink::Blue),
    ] {
        let model = Model::default().with_developing_length(developing);
        let long = developing.of(rig.bore).get::<meter>();
        let curve = Curve::of(&standard.with_model(model)?, POINTS)?;
        let points = flows(&curve)
            .into_iter()
            .filter(|p| p.0 <= 1.05 * most)
            .collect();
        lines.push(line(
            &format!("predicted, developing length {long} m"),
            points,
            ink,
            stroke,
        ));
    }
    let note = format!("{}, submergence ratio {SHORT_RATIO}", rig.name);
    let mut chart = chart(
        "A short riser, measured and predicted",
        &note,
        AIR,
        WATER,
        lines,
    );
    chart.marks = vec![Marks {
        label: Label::Legend("measured".to_owned()),
        points,
        ink: Ink::Vermilion,
        shape: Shape::Disc,
    }];
    Picture::of(&chart)
}

/// The lift of the lesson at the bench, to draw measured points into.
fn lesson() -> Drawn {
    let riser = riser(40.0, 0.8, 0.2)?;
    let predictor = ErrorLaw::default().on(&riser)?;
    let (mut band, mut points) = (Vec::new(), Vec::new());
    for x in spread(8.0, 40.0, 65) {
        let found = predictor.predict(air(x)?)?;
        let liters = |flow: VolumeRate| flow.get::<liter_per_minute>();
        points.push((x, liters(found.outcome.water_flow())));
        let interval = found.interval.ok_or("no interval")?;
        let (low, high) = (liters(interval.low), liters(interval.high));
        band.push(BandPoint { x, low, high });
    }
    let top = band.last().map_or(0.0, |point| point.high);
    let lines = vec![line("predicted", points, Ink::Blue, Stroke::Solid)];
    let note = "bore 40 mm, submergence 0.8 m, lift 0.2 m, water at 20 °C";
    let mut chart = chart("The lift of the lesson", note, AIR, WATER, lines);
    chart.bands = vec![Band {
        label: "the true flow, four times in five".to_owned(),
        points: band,
        ink: Ink::Blue,
    }];
    chart.y.covers.push(top);
    Picture::of(&chart)
}

/// Submergence ratio of the series that is drawn.
const SHORT_RATIO: f64 = 0.57;
