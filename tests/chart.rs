//! Charts: well-formed, escaped, the same each time, and whole for ranges of every size.
#![cfg(feature = "report")]

use proptest::prelude::*;
use risewater::answer::{FlowAnswer, Terms};
use risewater::chart::{
    AirShares, Axis, Band, BandPoint, Chart, ChartError, ChartPart, DayFigure, DrawnOutlet,
    DutyPoint, FlowBand, FlowCurve, FlowPoint, Ink, LARGEST, Label, LiftShares, Marks, NeedFigure,
    OtherCurve, Polyline, PressureFigure, RisePoint, Shape, Stroke, dark_style,
};
use risewater::design::{DesignFile, EXAMPLE};
use risewater::gas::{Conditions, Dissolved};
use risewater::need::{self, Animals, Coefficients, Date, DayFlow, Feed, Installed, Limits};
use risewater::recirculation::{
    Base, Biofilter, DayOutcome, DayPlan, Extreme, Feeding, LiftExchange, LiftGroup, Loop,
    LoopTank, Meal, Nitrification, RateLaw, TankDay, TankLoad, Through, Timer, defaults,
};
use risewater::units::{
    AbsolutePressure, Area, Frequency, Length, Mass, MassConcentration, MassFlux, MassRate,
    Pressure, Ratio, ThermodynamicTemperature, Time, UnitSystem, Volume, VolumeRate, cubic_meter,
    cubic_meter_per_hour, degree_celsius, gram_per_day, gram_per_square_meter_day, kilogram,
    kilopascal, liter_per_minute, meter, milligram_per_liter, minute, per_day, percent, ratio,
    square_meter,
};
use roxmltree::{Document, Node};

fn flow(value: f64) -> VolumeRate {
    VolumeRate::new::<liter_per_minute>(value)
}

fn point(air: f64, water: f64) -> FlowPoint {
    FlowPoint {
        air_at_20_c: flow(air),
        water: flow(water),
    }
}

/// A made-up riser.
fn figure() -> FlowCurve {
    let curve: Vec<_> = (0..=60)
        .map(|i| f64::from(i) * 10.0 + 8.0)
        .map(|air| point(air, 180.0 * (air - 8.0) / (air + 60.0)))
        .collect();
    let band = curve.iter().map(|p| FlowBand {
        air_at_20_c: p.air_at_20_c,
        low: 0.8 * p.water,
        high: 1.2 * p.water,
    });
    FlowCurve {
        title: "Riser".into(),
        notes: vec!["60 mm bore".into()],
        band: band.collect(),
        band_label: "interval".into(),
        threshold_at_20_c: Some(flow(8.0)),
        best_efficiency: Some(point(38.0, 55.1)),
        peak: Some(point(608.0, 161.7)),
        duty: Some(DutyPoint {
            water: flow(100.0),
            operating_point: Some(point(168.0, 126.3)),
        }),
        others: vec![OtherCurve {
            label: "lower water".into(),
            curve: curve
                .iter()
                .map(|p| point(1.2 * p.air_at_20_c.value * 6e4, 0.8 * p.water.value * 6e4))
                .collect(),
        }],
        curve,
        here: None,
        units: UnitSystem::Metric,
    }
}

#[test]
fn a_curve_is_cut_where_it_shall_end() {
    let whole = FlowCurve {
        here: Some(point(43.0, 61.2)),
        ..figure()
    };
    let cut = whole.clone().up_to(flow(50.0));
    let last = cut.curve.last().unwrap();
    assert_eq!(last.air_at_20_c, flow(50.0));
    // Between its neighbours at 48 and 58 L/min.
    let between = whole.curve[4].water + 0.2 * (whole.curve[5].water - whole.curve[4].water);
    approx::assert_relative_eq!(last.water.value, between.value, max_relative = 1e-12);
    let band = cut.band.last().unwrap();
    approx::assert_relative_eq!(band.high.value, 1.2 * between.value, max_relative = 1e-12);
    let works = cut.duty.and_then(|duty| duty.operating_point);
    assert!(cut.peak.is_none() && works.is_none() && cut.best_efficiency.is_some());
    let svg = cut.chart().svg().unwrap();
    check_page(&svg);
    assert!(svg.contains("here 61.2 at air 43 L/min") && !svg.contains("peak"));
    // Those of air and of water alike; the whole one has air up to 600 L/min.
    assert!(ticks(&svg).iter().all(|tick| *tick <= 150.0));
    assert_eq!(whole.clone().up_to(flow(1e4)).curve, whole.curve);
}

/// One of everything at the given points.
fn everything(points: &[(f64, f64)]) -> Chart {
    let label = || Label::Beside("name".into());
    Chart {
        bands: vec![Band {
            label: "band".into(),
            points: points
                .iter()
                .map(|&(x, y)| BandPoint { x, low: y, high: y })
                .collect(),
            ink: Ink::Green,
        }],
        lines: vec![Polyline {
            label: label(),
            points: points.to_vec(),
            ink: Ink::Black,
            stroke: Stroke::Dotted,
        }],
        marks: vec![Marks {
            label: label(),
            points: points.to_vec(),
            ink: Ink::Blue,
            shape: Shape::Ring,
        }],
        ..Chart::default()
    }
}

fn texts<'a>(document: &'a Document, tag: &str) -> Vec<&'a str> {
    let named = |n: &Node| n.has_tag_name(("http://www.w3.org/2000/svg", tag));
    document
        .descendants()
        .filter(named)
        .filter_map(|n| n.text())
        .map(str::trim)
        .collect()
}

/// Every coordinate of a picture is a number on the page.
fn check_page(svg: &str) {
    let document = Document::parse(svg).expect("well-formed XML");
    let page: Vec<f64> = document
        .root_element()
        .attribute("viewBox")
        .unwrap()
        .split(' ')
        .map(|n| n.parse().unwrap())
        .collect();
    let mut checked = 0;
    for node in document.descendants() {
        for attribute in node.attributes() {
            let largest = match attribute.name() {
                "x" | "x1" | "x2" | "cx" => page[2],
                "y" | "y1" | "y2" | "cy" => page[3],
                "points" => page[2].max(page[3]),
                _ => continue,
            };
            for number in attribute.value().split([' ', ',']) {
                let value: f64 = number.parse().unwrap();
                assert!(
                    (0.0..=largest).contains(&value),
                    "{} {value}: {svg}",
                    attribute.name()
                );
                assert!(
                    number.split('.').nth(1).is_none_or(|d| d.len() <= 2),
                    "{number}"
                );
                checked += 1;
            }
        }
    }
    assert!(checked > 0, "{svg}");
}

#[test]
fn figure_names_its_points() {
    let svg = figure().chart().svg().unwrap();
    check_page(&svg);
    let document = Document::parse(&svg).unwrap();
    assert_eq!(document.root_element().attribute("role"), Some("img"));
    assert_eq!(texts(&document, "title"), ["Riser"]);
    let points = "starts at air 8 L/min; duty point 126 at air 168 L/min; best efficiency 55.1 at air 38 L/min; \
                  peak 162 at air 608 L/min; lower water; duty 100 L/min";
    let all = format!("Water flow (L/min) against Air flow (L/min, dry, 20 °C); {points}");
    assert_eq!(texts(&document, "desc"), [all]);
    let shown = texts(&document, "text");
    for name in points
        .split("; ")
        .chain(["Riser", "60 mm bore", "water flow", "interval"])
    {
        assert!(shown.contains(&name), "{name} is not in {shown:?}");
    }
}

/// By hand with 3.785412 L to the gallon, 28.31685 L to the cubic foot and 6.894757 kPa to the psi.
#[test]
fn figures_in_us_units() {
    let mut flows = figure();
    flows.units = UnitSystem::Us;
    let mut supply = pressures();
    supply.units = UnitSystem::Us;
    let mut need = needed();
    need.units = UnitSystem::Us;
    for (chart, axes, words) in [
        (
            flows.chart(),
            ["Air flow (cfm, dry, 68 °F)", "Water flow (gal/min)"],
            "starts at air 0.28 cfm; duty point 33.4 gal/min at air 5.93 cfm; best efficiency 14.6 gal/min at \
             air 1.34 cfm; peak 42.7 gal/min at air 21.5 cfm; lower water; duty 26.4 gal/min",
        ),
        (
            supply.chart(),
            ["Air flow (cfm, dry, 68 °F)", "Pressure rise (psi)"],
            "design 2.26 psi at 38.8 cfm; without bleed 2.36 psi at 42.2 cfm; start-up 1.8 psi",
        ),
        (
            need.chart(),
            ["Date", "Water flow (gal/min)"],
            "installed 31.7 gal/min; 44.4 gal/min on 2027-01-25",
        ),
    ] {
        let svg = chart.svg().unwrap();
        check_page(&svg);
        assert!(!svg.contains("L/min") && !svg.contains("kPa"), "{svg}");
        assert!(chart.description.contains(words), "{}", chart.description);
        assert_eq!([&chart.x.label, &chart.y.label], axes);
        let document = Document::parse(&svg).unwrap();
        let shown = texts(&document, "text");
        for name in words.split("; ").chain(axes) {
            assert!(shown.contains(&name), "{name} is not in {shown:?}");
        }
    }
    // The line of the duty and the interval stand where the words say.
    let chart = flows.chart();
    assert!((chart.lines[2].points[0].1 - 26.4172).abs() < 1e-4);
    assert!((chart.bands[0].points[0].x - 8.0 / 28.316_85).abs() < 1e-6);
}

fn rise(air: f64, kpa: f64) -> RisePoint {
    RisePoint {
        air_at_20_c: flow(air),
        rise: Pressure::new::<kilopascal>(kpa),
    }
}

/// A made-up air supply.
fn pressures() -> PressureFigure {
    let steps = || (0..=40).map(f64::from);
    PressureFigure {
        title: "Supply".into(),
        notes: vec![],
        system: steps()
            .map(|x| rise(40.0 * x, 12.0 + 3e-6 * (40.0 * x).powi(2)))
            .collect(),
        blowers: steps()
            .map(|x| rise(60.0 * x, 22.0 - 4e-6 * (60.0 * x).powi(2)))
            .collect(),
        one_less: steps()
            .map(|x| rise(30.0 * x, 22.0 - 16e-6 * (30.0 * x).powi(2)))
            .collect(),
        design: Some(rise(1100.0, 15.6)),
        unbled: Some(rise(1195.0, 16.3)),
        present: None,
        startup_rise: Some(Pressure::new::<kilopascal>(12.4)),
        units: UnitSystem::Metric,
    }
}

fn shares(lifts: u32) -> AirShares {
    let state = |name: &str, off: f64| LiftShares {
        name: name.into(),
        shares: (0..lifts)
            .map(|n| (n != 2).then(|| Ratio::new::<percent>(100.0 + off * f64::from(n % 4))))
            .collect(),
    };
    AirShares {
        title: "Air".into(),
        states: vec![
            state("drilled", 0.5),
            state("running", -0.4),
            state("valve", 1.5),
        ],
        tolerance: Some(Ratio::new::<percent>(2.0)),
    }
}

#[test]
fn figures_of_a_supply_name_their_points() {
    let points =
        "design 15.6 kPa at 1100 L/min; without bleed 16.3 kPa at 1195 L/min; start-up 12.4 kPa";
    let legend = [
        "needed: main line, header, lifts",
        "given by the running blowers",
        "one blower less",
    ];
    let chart = pressures().chart();
    for svg in [chart.svg().unwrap(), chart.narrow_svg().unwrap()] {
        check_page(&svg);
        let document = Document::parse(&svg).unwrap();
        let all = format!("Pressure rise (kPa) against air flow (L/min); {points}");
        assert_eq!(texts(&document, "desc"), [all]);
        let shown = texts(&document, "text");
        for name in points.split("; ").chain(legend) {
            assert!(shown.contains(&name), "{name} is not in {shown:?}");
        }
    }
    let mut bare = pressures();
    bare.blowers.clear();
    bare.one_less.clear();
    bare.unbled = None;
    let svg = bare.chart().svg().unwrap();
    assert!(
        !svg.contains("blower") && !svg.contains("without bleed"),
        "{svg}"
    );
    check_page(&PressureFigure::default().chart().svg().unwrap());
}

#[test]
fn shares_of_any_number_of_lifts_are_drawn() {
    for lifts in [0, 1, 12, 60] {
        let chart = shares(lifts).chart();
        check_page(&chart.svg().unwrap());
        check_page(&chart.narrow_svg().unwrap());
        let drawn: usize = chart.marks.iter().map(|marks| marks.points.len()).sum();
        let open = usize::try_from(if lifts > 2 { lifts - 1 } else { lifts }).unwrap();
        assert_eq!(drawn, 3 * open);
    }
    check_page(&AirShares::default().chart().svg().unwrap());
}

/// A made-up need of 70 days, governed by each line in turn and by none, and two lifts of 60 L/min.
fn needed() -> NeedFigure {
    let lines = need::Line::ALL.map(Some).into_iter().chain([None]);
    let governing = lines.flat_map(|line| [line; 14]);
    let dates = Date::constant(2026, 12, 1).series(jiff::Span::new().days(1));
    let days = dates.zip((1_u8..).zip(governing));
    let days = days.map(|(date, (n, governing))| DayFlow {
        date,
        flow: flow(governing.map_or(0.0, |_| 3.0 * f64::from(n))),
        governing,
    });
    let days: Vec<DayFlow> = days.collect();
    let lifts = Installed::Alike {
        flow: flow(60.0),
        count: Some(2),
    };
    let weeks = days.chunks(7).enumerate().map(|(n, week)| {
        let most = week
            .iter()
            .fold(week[0], |a, b| if b.flow > a.flow { *b } else { a });
        need::WeekOfLifts {
            week: need::Week {
                number: n + 1,
                first: week[0].date,
                last: week[week.len() - 1].date,
                peak: most.flow,
                governing: most.governing,
                mean: most.flow,
            },
            running: lifts.running(most.flow).unwrap(),
        }
    });
    NeedFigure {
        title: "Water needed".into(),
        lifts: weeks.collect(),
        installed: lifts.all(),
        days,
        ..NeedFigure::default()
    }
}

#[test]
fn a_need_is_drawn_with_what_governs_and_what_is_missing() {
    let chart = needed().chart();
    check_page(&chart.narrow_svg().unwrap());
    let svg = chart.svg().unwrap();
    check_page(&svg);
    let document = Document::parse(&svg).unwrap();
    let texts = texts(&document, "text");
    for words in [
        "oxygen governs",
        "ammonia governs",
        "carbon dioxide governs",
        "turnover governs",
        "missing, up to 48 L/min",
        "installed 120 L/min",
        // The 56th day from 1 December, of 3 × 56 L/min.
        "168 L/min on 2027-01-25",
        "12 Jan 2027",
    ] {
        let times = texts.iter().filter(|text| **text == words).count();
        assert_eq!(times, 1, "{words}: {texts:?}");
    }
    // Three lines: needed, given, installed; given rises from one lift to two and ends at none.
    let given: Vec<f64> = chart.lines[1].points.iter().map(|p| p.1.round()).collect();
    assert_eq!(given, [60.0, 60.0, 120.0, 120.0, 0.0, 0.0]);
    check_page(&NeedFigure::default().chart().svg().unwrap());
}

fn hours(value: f64) -> Time {
    Time::new::<minute>(60.0 * value)
}

fn mg_l(value: f64) -> MassConcentration {
    MassConcentration::new::<milligram_per_liter>(value)
}

/// The invented nursery of the module, with tanks of so many kilograms on one filter and twelve lifts.
fn nursery(biomasses: &[f64]) -> Loop {
    let air = Conditions::fresh(
        ThermodynamicTemperature::new::<degree_celsius>(24.0),
        AbsolutePressure::STANDARD_ATMOSPHERE,
    );
    let tanks = biomasses.iter().zip('A'..).map(|(kg, name)| {
        let animals = Animals {
            biomass: Mass::new::<kilogram>(*kg),
            feed: Feed::Share(Frequency::new::<per_day>(0.03)),
            protein: Ratio::new::<percent>(45.0),
        };
        let load = TankLoad::of(&animals.load(&Coefficients::ANIMALS).unwrap());
        let volume = Volume::new::<cubic_meter>(10.0);
        LoopTank::new(&name.to_string(), volume, load).with_limits(Limits {
            oxygen: Some(mg_l(5.0)),
            carbon_dioxide: Some(mg_l(20.0)),
            tan: Some(mg_l(3.0)),
            ..Limits::NONE
        })
    });
    let cells = defaults::CELLS_PER_NITROGEN.value;
    let yields = Nitrification::with_cells(cells, Base::Bicarbonate).unwrap();
    let filter = Biofilter::new(
        RateLaw::Monod {
            area: Area::new::<square_meter>(700.0),
            most: MassFlux::new::<gram_per_square_meter_day>(0.45),
            half_saturation: mg_l(1.9),
            through: Through::Mixed,
        },
        yields.at_filter(),
    )
    .with_other_bacteria(MassRate::new::<gram_per_day>(390.0));
    let lifts = LiftGroup::new(
        "all",
        12,
        VolumeRate::new::<cubic_meter_per_hour>(5.0),
        LiftExchange::part(
            Ratio::new::<ratio>(0.30),
            Dissolved::saturated(&air).unwrap(),
        ),
    );
    Loop::new(air, tanks.collect(), Some(filter), vec![lifts])
}

/// Two meals, and four of the twelve lifts that stand over midnight.
fn plan() -> DayPlan {
    let meal = |at| Meal {
        at: hours(at),
        share: Ratio::new::<percent>(50.0),
    };
    DayPlan::new(Feeding::new(vec![meal(8.0), meal(16.5)])).with_timer(Timer {
        group: 0,
        off: 4,
        from: hours(22.0),
        to: hours(1.5),
    })
}

fn day_figure(of: &Loop, plan: &DayPlan, units: UnitSystem) -> DayFigure {
    let DayOutcome::Cycle(day) = of.day(plan).unwrap() else {
        panic!("it balances")
    };
    DayFigure::of(of, &day, plan, units).unwrap()
}

/// The frames of the panels: left, top, right, bottom, by the rules along their left and lower edges.
fn frames(svg: &str) -> Vec<[f64; 4]> {
    let document = Document::parse(svg).unwrap();
    let rules: Vec<[f64; 4]> = document
        .descendants()
        .filter(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "line")))
        .filter(|n| n.parent().and_then(|p| p.attribute("stroke")) == Some("#444444"))
        .map(|n| ["x1", "y1", "x2", "y2"].map(|a| n.attribute(a).unwrap().parse().unwrap()))
        .collect();
    let upright = rules.iter().filter(|r| r[0] == r[2] && r[3] - r[1] > 50.0);
    upright
        .map(|left| {
            let lower = rules.iter().find(|r| r[1] == left[3] && r[2] - r[0] > 50.0);
            [left[0], left[1], lower.unwrap()[2], left[3]]
        })
        .collect()
}

/// The picture of [`nursery`]'s day: its words, and every line and mark where it should be.
fn check_picture(svg: &str) {
    check_page(svg);
    let document = Document::parse(svg).unwrap();
    let shown = texts(&document, "text");
    for (words, times) in [
        // Equal tanks are one line in each panel.
        ("A, B", 3),
        ("C, D", 3),
        ("limit 5 mg/L", 1),
        ("limit 20 mg/L", 1),
        ("limit 3 mg/L", 1),
        ("Oxygen (mg/L)", 1),
        ("Free carbon dioxide (mg/L)", 1),
        ("Total ammonia nitrogen (mg/L)", 1),
        ("meal", 1),
        ("4 of 12 lifts off 22:00 to 1:30", 1),
        ("0:00", 1),
        ("12:00", 1),
        ("24:00", 1),
        // 8.418 mg/L by Benson & Krause (1984), from memory.
        ("saturation 8.42 mg/L at 24 °C", 1),
    ] {
        let found = shown.iter().filter(|text| **text == words).count();
        assert_eq!(found, times, "{words}: {shown:?}");
    }
    assert_eq!(texts(&document, "title"), ["A day of the loop"]);
    // Every line lies in one of three frames, one below the other.
    let frames = frames(svg);
    assert_eq!(frames.len(), 3, "{svg}");
    assert!(frames.windows(2).all(|two| two[1][1] > two[0][3]));
    let lines = document.descendants().filter(|n| {
        n.has_tag_name(("http://www.w3.org/2000/svg", "polyline"))
            && n.attribute("stroke-opacity").is_none()
    });
    let mut inside = 0;
    for line in lines {
        let points = line.attribute("points").unwrap().split(' ');
        let points: Vec<(f64, f64)> = points
            .map(|p| p.split_once(',').unwrap())
            .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
            .collect();
        let within = |f: &&[f64; 4]| {
            let mut all = points.iter();
            all.all(|(x, y)| (f[0]..=f[2]).contains(x) && (f[1]..=f[3]).contains(y))
        };
        assert_eq!(frames.iter().filter(within).count(), 1, "{points:?}");
        inside += 1;
    }
    // Two courses with a piece at their names and a limit in each panel, and the saturation.
    assert_eq!(inside, 16);
    // A mark stands at its hour: 24 hours from the left edge to the right one.
    let pointers: Vec<f64> = document
        .descendants()
        .filter(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "polygon")))
        .filter(|n| n.attribute("fill") == Some("#000000"))
        .filter_map(|n| n.attribute("points")?.split(',').next()?.parse().ok())
        .collect();
    let [left, _, right, _] = frames[0];
    for hour in [8.0, 16.5] {
        let x = left + (right - left) * hour / 24.0;
        assert!(
            pointers.iter().any(|p| (p - x).abs() < 0.011),
            "{hour}: {x} of {pointers:?}"
        );
    }
}

#[test]
fn a_day_is_drawn_with_its_limits_and_its_worst_moments() {
    let (of, plan) = (nursery(&[20.0, 20.0, 30.0, 30.0]), plan());
    let figure = day_figure(&of, &plan, UnitSystem::Metric);
    let DayOutcome::Cycle(day) = of.day(&plan).unwrap() else {
        panic!("it balances")
    };
    for svg in [figure.svg().unwrap(), figure.narrow_svg().unwrap()] {
        check_picture(&svg);
    }
    let (n, least) = day.least_oxygen();
    let [oxygen, carbon_dioxide, ammonia] = &figure.panels;
    let at = least.at.get::<minute>() / 60.0;
    let value = least.value.get::<milligram_per_liter>();
    assert_eq!(oxygen.marks[0].points, [(at, value)]);
    let Label::Beside(name) = &oxygen.marks[0].label else {
        panic!("it has a name")
    };
    assert!(name.starts_with(&of.tanks[n].name), "{name}");
    assert!(name.contains(&format!("{value:.2} mg/L at ")), "{name}");
    let most = |of: fn(&TankDay) -> Extreme| {
        let all = day.tanks.iter().map(of);
        all.reduce(|a, b| if b.value > a.value { b } else { a })
            .unwrap()
    };
    for (panel, most) in [
        (carbon_dioxide, most(|tank| tank.most_carbon_dioxide)),
        (ammonia, most(|tank| tank.most_tan)),
    ] {
        let at = most.at.get::<minute>() / 60.0;
        let value = most.value.get::<milligram_per_liter>();
        assert_eq!(panel.marks[0].points, [(at, value)]);
    }
    assert_eq!(figure.meals, [8.0, 16.5]);
    // The note says which limit is nearest, and how near.
    let (n, check, _) = day.governing().unwrap();
    let note = &figure.notes[0];
    let share = 100.0 * (value / 5.0 - 1.0);
    let words = format!(
        "Farthest beyond its limit: oxygen of {} at 1:30: {value:.2} mg/L, limit 5 mg/L ({:.1} % beyond).",
        of.tanks[n].name, -share
    );
    assert!(!check.holds() && *note == words, "{note} {words}");
    // A reader who cannot see it hears every tank, the meals and the timer.
    for words in [
        "A: oxygen at least ",
        "B: oxygen at least ",
        "C: oxygen at least ",
        "D: oxygen at least ",
        "meals at 8:00, 16:30",
        "4 of 12 lifts off 22:00 to 1:30",
    ] {
        assert!(figure.description.contains(words), "{}", figure.description);
    }
    // Corners that are left out lie on the line within a thousandth of the axis.
    let span = value_span(oxygen);
    let drawn = oxygen
        .lines
        .iter()
        .find(|l| l.label == Label::Keyed("C, D".into()))
        .unwrap();
    for sample in &day.samples {
        let at = sample.time.get::<minute>() / 60.0;
        let held = sample.tanks[2].gases.oxygen.get::<milligram_per_liter>();
        let near = drawn.points.windows(2).any(|two| {
            let ((x0, y0), (x1, y1)) = (two[0], two[1]);
            let share = if x1 > x0 { (at - x0) / (x1 - x0) } else { 0.0 };
            (x0..=x1).contains(&at) && (y0 + share * (y1 - y0) - held).abs() <= 0.0011 * span
        });
        assert!(near, "{at} h: {held}");
    }
}

fn value_span(panel: &Chart) -> f64 {
    let all = panel
        .lines
        .iter()
        .flat_map(|line| &line.points)
        .map(|p| p.1);
    let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
        (a.min(v), b.max(v))
    });
    high - low
}

/// Ten tanks, each with its own course: four in colour with their names beside them, six in grey in the legend.
#[test]
fn a_day_of_ten_tanks_names_the_four_with_the_least_slack() {
    let masses = [8.0, 10.0, 12.0, 13.0, 14.0, 8.5, 9.0, 6.0, 11.0, 7.0];
    let (of, plan) = (nursery(&masses), plan());
    let figure = day_figure(&of, &plan, UnitSystem::Us);
    for svg in [figure.svg().unwrap(), figure.narrow_svg().unwrap()] {
        check_page(&svg);
        let document = Document::parse(&svg).unwrap();
        let shown = texts(&document, "text");
        // Where two courses are one line, they are named together.
        for name in ["C", "D", "E", "I"] {
            let named = shown
                .iter()
                .filter(|text| text.split(", ").any(|one| one == name));
            assert_eq!(named.count(), 3, "{name}: {shown:?}");
        }
        assert!(shown.contains(&"B, G, F, A, J, H"), "{shown:?}");
        // 24 °C
        assert!(
            shown.iter().any(|text| text.ends_with("mg/L at 75.2 °F")),
            "{shown:?}"
        );
    }
    let grey = figure.panels[0]
        .lines
        .iter()
        .filter(|line| line.ink == Ink::Grey);
    assert_eq!(grey.filter(|line| !line.points.is_empty()).count(), 6);
}

/// Limits of a tank's own, a limit that is broken, a tank with a name too long for the picture, and none of it at all.
#[test]
fn a_day_names_whose_limit_it_is_and_what_is_broken() {
    let mut of = nursery(&[20.0, 20.0, 30.0, 30.0]);
    of.tanks[3].limits.oxygen = Some(mg_l(7.5));
    of.tanks[3].name = "the long tank behind the old filter house".into();
    let figure = day_figure(&of, &plan(), UnitSystem::Metric);
    let svg = figure.svg().unwrap();
    check_page(&svg);
    check_page(&figure.narrow_svg().unwrap());
    let document = Document::parse(&svg).unwrap();
    let shown = texts(&document, "text");
    for name in [
        "limit of A, B, C 5 mg/L",
        "limit of the long tank behind th… 7.5 mg/L",
    ] {
        assert!(shown.contains(&name), "{name}: {shown:?}");
    }
    assert!(
        figure.notes[0].starts_with(
            "Farthest beyond its limit: oxygen of the long tank behind the old filter house at "
        ) && figure.notes[0].ends_with(" % beyond)."),
        "{:?}",
        figure.notes
    );
    for tank in &mut of.tanks {
        tank.limits = Limits::NONE;
    }
    let figure = day_figure(&of, &DayPlan::new(Feeding::even()), UnitSystem::Metric);
    assert_eq!(figure.notes, ["No limit is set."]);
    assert!(figure.meals.is_empty());
    check_page(&figure.svg().unwrap());
    let drawn = figure.panels.iter().flat_map(|panel| &panel.lines);
    assert_eq!(
        drawn.filter(|line| line.stroke == Stroke::Dashed).count(),
        0
    );
}

#[test]
fn every_colour_has_a_dark_twin() {
    let rules = dark_style("figure");
    let masses = [8.0, 10.0, 12.0, 13.0, 14.0, 8.5];
    let day = day_figure(&nursery(&masses), &plan(), UnitSystem::Metric);
    for svg in [
        figure().chart().svg().unwrap(),
        pressures().chart().svg().unwrap(),
        shares(12).chart().svg().unwrap(),
        needed().chart().svg().unwrap(),
        day.svg().unwrap(),
    ] {
        let mut colours = 0;
        for node in Document::parse(&svg).unwrap().descendants() {
            for what in ["fill", "stroke"] {
                if let Some(color) = node.attribute(what).filter(|color| *color != "none") {
                    let rule = format!("[{what}=\"{color}\"]{{");
                    assert!(rules.contains(&rule), "{rule}: {rules}");
                    colours += 1;
                }
            }
        }
        assert!(colours > 0, "{svg}");
    }
}

#[test]
fn same_input_gives_the_same_text() {
    assert_eq!(figure().chart().svg(), figure().chart().svg());
}

#[test]
fn text_of_any_kind_is_escaped() {
    let words = "</text> & <b> \"'\u{0}\u{1b}\u{ffff}]]>";
    let shown = "</text> & <b> \"'\u{fffd}\u{fffd}\u{fffd}]]>";
    let mut chart = everything(&[(1.0, 2.0), (3.0, 4.0)]);
    chart.title = words.into();
    chart.notes = vec![words.into()];
    chart.description = words.into();
    chart.x = Axis {
        label: words.into(),
        covers: vec![],
        from: None,
    };
    chart.y = Axis {
        label: words.into(),
        covers: vec![],
        from: None,
    };
    chart.bands[0].label = words.into();
    chart.lines[0].label = Label::Legend(words.into());
    chart.marks[0].label = Label::Beside(words.into());
    let svg = chart.svg().unwrap();
    let document = Document::parse(&svg).expect("well-formed XML");
    let count = |tag| {
        texts(&document, tag)
            .into_iter()
            .filter(|text| *text == shown)
            .count()
    };
    assert_eq!(
        (count("title"), count("desc"), count("text")),
        (1, 1, 7),
        "{svg}"
    );
}

#[test]
fn nothing_to_draw_gives_bare_axes() {
    check_page(&Chart::default().svg().unwrap());
    check_page(&everything(&[]).svg().unwrap());
    check_page(&FlowCurve::default().chart().svg().unwrap());
}

/// The numbers beside the ticks of a picture.
fn ticks(svg: &str) -> Vec<f64> {
    let document = Document::parse(svg).unwrap();
    let numbers = texts(&document, "text");
    let numbers = numbers.iter().map(|text| text.replace('\u{2212}', "-"));
    numbers.filter_map(|text| text.parse().ok()).collect()
}

/// The band of a calibrated curve near its threshold may reach any height, and be known beyond the curve.
#[test]
fn a_wide_band_sets_no_axis() {
    // Of any band the picture shows what lies below twice the peak: the same as of one that ends there.
    let mut bare = figure();
    let twice = 2.0 * bare.peak.unwrap().water;
    for band in &mut bare.band {
        (band.low, band.high) = (twice, twice);
    }
    for factor in [2.0, 1e4, 1e290] {
        let mut wide = figure();
        for band in &mut wide.band {
            band.high = band.high * factor + flow(1.0);
            band.low = -band.high;
        }
        wide.band.push(FlowBand {
            air_at_20_c: flow(9e3 * factor),
            low: flow(0.0),
            high: flow(1.0),
        });
        for draw in [Chart::svg, Chart::narrow_svg] {
            let (wide, bare) = (draw(&wide.chart()).unwrap(), draw(&bare.chart()).unwrap());
            assert_eq!(ticks(&wide), ticks(&bare), "{factor}");
            // What is left of it lies within the picture.
            check_page(&wide);
        }
    }
}

/// A band that stays within leaves its two edges; one that is cut has none along the frame.
#[test]
fn a_band_is_cut_at_the_frame_and_nothing_else() {
    let chart = |high: f64| Chart {
        y: Axis {
            covers: vec![0.0, 10.0],
            ..Axis::default()
        },
        bands: vec![Band {
            points: [(0.0, 5.0), (4.0, high), (8.0, high), (10.0, 5.0)]
                .map(|(x, high)| BandPoint { x, low: 1.0, high })
                .to_vec(),
            ..Band::default()
        }],
        lines: vec![Polyline {
            points: vec![(0.0, 4.0), (10.0, 4.0)],
            ..Polyline::default()
        }],
        ..Chart::default()
    };
    let edges = |chart: Chart| {
        let svg = chart.svg().unwrap();
        let document = Document::parse(&svg).unwrap();
        let faint = |n: &Node| n.has_tag_name(("http://www.w3.org/2000/svg", "polyline"));
        let faint = document.descendants().filter(faint);
        let faint = faint.filter(|n| n.attribute("stroke-opacity").is_some());
        faint
            .map(|n| n.attribute("points").unwrap().split(' ').count())
            .collect::<Vec<_>>()
    };
    // Corners of the lower edge and of the upper.
    assert_eq!(edges(chart(8.0)), [4, 4]);
    // The upper edge leaves by the top and comes back: two pieces of two corners.
    assert_eq!(edges(chart(20.0)), [4, 2, 2]);
}

#[test]
fn ranges_of_every_size_are_drawn() {
    let tiny = f64::MIN_POSITIVE;
    for points in [
        &[(0.0, 0.0)][..],
        &[(5.0, 7.0)],
        &[(5.0, 7.0), (5.0, 7.0)],
        &[(5.0, 7.0), (5.0, 9.0)],
        &[(5.0, 7.0), (6.0, 7.0)],
        &[(tiny, 5e-324), (-tiny, 0.0)],
        &[(LARGEST, -LARGEST), (-LARGEST, LARGEST)],
        &[(0.0, 1e300), (1.0, 1e-300)],
        &[(1e9, 1.0), (1e9 + 1e-6, 1.0 + f64::EPSILON)],
        &[(0.1 + 0.2, -0.0), (0.3, 0.0)],
    ] {
        check_page(&everything(points).svg().unwrap());
    }
}

#[test]
fn what_cannot_be_drawn_is_named() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let mut chart = everything(&[(1.0, 2.0)]);
        chart.lines[0].points.push((1.0, bad));
        let expected = ChartError::NotFinite {
            part: ChartPart::Line,
            series: 1,
            point: 2,
        };
        assert_eq!(chart.svg(), Err(expected));
        assert_eq!(
            expected.to_string(),
            "point 2 of line 1 is not a finite number"
        );

        let mut chart = everything(&[(1.0, 2.0)]);
        chart.y.covers = vec![0.0, bad];
        let expected = ChartError::NotFinite {
            part: ChartPart::Axis,
            series: 2,
            point: 2,
        };
        assert_eq!(chart.svg(), Err(expected));
    }
    let error = everything(&[(1.0, 2.0), (1.0, -2e300)]).svg().unwrap_err();
    assert_eq!(
        error.to_string(),
        "point 2 of band 1 is -2e300; it must lie in -1e300 to 1e300"
    );
}

proptest! {
    #[test]
    fn any_numbers_are_drawn_or_refused(
        points in prop::collection::vec((any::<f64>(), any::<f64>()), 0..6),
    ) {
        let fit = points.iter().all(|(x, y)| x.abs().max(y.abs()) <= LARGEST);
        let svg = everything(&points).svg();
        prop_assert_eq!(svg.is_ok(), fit);
        if let Ok(svg) = svg {
            check_page(&svg);
        }
    }

    #[test]
    fn any_words_are_well_formed(words in any::<String>()) {
        let mut chart = everything(&[(1.0, 2.0)]);
        chart.title.clone_from(&words);
        chart.y.label.clone_from(&words);
        chart.marks[0].label = Label::Legend(words);
        let svg = chart.svg().unwrap();
        prop_assert!(Document::parse(&svg).is_ok(), "{svg}");
    }
}

/// The example's riser at work, with some of its values replaced.
fn answer(changes: &[&str]) -> FlowAnswer {
    let bore = changes
        .iter()
        .any(|change| change.starts_with("riser.bore"));
    let pipe = "pipe = \"ASTM D1785 Sch 40 3 in\"";
    let text = EXAMPLE.replace(pipe, if bore { "" } else { pipe });
    let changes: Vec<_> = changes.iter().map(|&change| change.to_owned()).collect();
    let design = DesignFile::parse_with(&text, &changes).unwrap();
    let (riser, air) = design.riser_and_air().unwrap();
    let terms = Terms {
        profile: true,
        ..design.terms(risewater::ErrorLaw::default()).unwrap()
    };
    FlowAnswer::of(&riser, air, &terms).unwrap()
}

/// Shapes and sizes of lifts at the ends of what is built: each a list of values of the file.
const LIFTS: &[&[&str]] = &[
    &[],
    &[
        "riser.bore=15 mm",
        "riser.submergence=10 m",
        "riser.lift=5 m",
        "air.flow=5 L/min",
    ],
    &[
        "riser.bore=300 mm",
        "riser.submergence=0.35 m",
        "riser.lift=0.05 m",
        "air.flow=1500 L/min",
    ],
    &["riser.lift=-0.3 m"],
    &["riser.lift=0.012 m", "tank.level_fall=0.3 m"],
    &[
        "riser.suction_length=3 m",
        "riser.outlet=elbow",
        "riser.outlet_bore=100 mm",
    ],
    &[
        "riser.outlet=submerged",
        "riser.outlet_depth=0.3 m",
        "riser.air_line=20 mm",
    ],
    &[
        "riser.outlet=open_top",
        "riser.outlet_head=30 mm",
        "air.flow=600 L/min",
    ],
    &["air.flow=3000 L/min"],
    &["riser.bore=20 mm", "air.flow=900 L/min"],
    &["air.flow=1 L/min"],
    &["riser.lift=9 m"],
];

#[test]
fn lifts_of_every_shape_stay_on_the_page() {
    for changes in LIFTS {
        let answer = answer(changes);
        for units in [UnitSystem::Metric, UnitSystem::Us] {
            check_page(&answer.drawing(units).svg().unwrap());
            check_page(&answer.profile_figure(units).svg().unwrap());
        }
    }
}

/// What falls from a wide elbow ends before the names on its right begin.
#[test]
fn water_from_an_elbow_leaves_the_names_free() {
    let changes = [
        "riser.bore=200 mm",
        "riser.submergence=0.6 m",
        "riser.outlet=elbow",
        "air.flow=400 L/min",
    ];
    let svg = answer(&changes).drawing(UnitSystem::Metric).svg().unwrap();
    let document = Document::parse(&svg).unwrap();
    let nodes = || document.descendants();
    let name = nodes().find(|node| node.text().is_some_and(|text| text.trim() == "water out"));
    let names: f64 = name.unwrap().attribute("x").unwrap().parse().unwrap();
    // "M x,y q a,1 b,c": the fall goes from x to x + b.
    let mut falls = nodes().filter_map(|node| {
        let (from, way) = node.attribute("d")?.strip_prefix('M')?.split_once(" q")?;
        let way: Vec<&str> = way.split([' ', ',']).collect();
        (way.len() > 4 && way[1] == "1").then(|| {
            let start: f64 = from.split(',').next().unwrap().parse().unwrap();
            start + way[2].parse::<f64>().unwrap()
        })
    });
    let right = falls.next().expect("water falls");
    assert!(right < names, "{right} and {names}");
}

/// A riser that works at its duty tells the number once, beside its mark; the line there has no name of its own.
#[test]
fn a_duty_that_is_met_is_named_once() {
    let mut figure = figure();
    let duty = figure.duty.as_mut().unwrap();
    duty.water = flow(126.3);
    let svg = figure.chart().narrow_svg().unwrap();
    let document = Document::parse(&svg).unwrap();
    let shown = texts(&document, "text");
    let named = shown.iter().filter(|text| text.trim().starts_with("duty"));
    assert_eq!(named.count(), 1, "{shown:?}");
}

#[test]
fn a_lift_is_drawn_with_its_numbers() {
    let svg = answer(&[]).drawing(UnitSystem::Metric).svg().unwrap();
    let document = Document::parse(&svg).unwrap();
    let words = texts(&document, "text");
    for number in [
        "0.15 m",
        "1.2 m",
        "riser 1.35 m",
        "bore 77.27 mm",
        "120.0 L/min",
        "253.6 L/min",
        "(150 to 420)",
        "11.15 kPa gauge",
        "high water +0.05 m",
        "low water \u{2212}0.05 m",
    ] {
        assert!(words.contains(&number), "{number}: {words:?}");
    }
    let description = texts(&document, "desc").concat();
    for number in [
        "77.27 mm",
        "120.0 L/min",
        "1.2 m below",
        "11.15 kPa",
        "0.15 m above",
        "253.6 L/min",
        "150 and 420 L/min",
        "0.22 at the foot",
    ] {
        assert!(description.contains(number), "{number}: {description}");
    }
    // Nothing flows: no flow is drawn.
    let dry = answer(&["air.flow=1 L/min"])
        .drawing(UnitSystem::Metric)
        .svg()
        .unwrap();
    assert!(
        dry.contains("no water flows") && !dry.contains("water out"),
        "{dry}"
    );
    let mut broken = answer(&[]).drawing(UnitSystem::Metric);
    broken.outlet = DrawnOutlet::OpenTop(Length::new::<meter>(f64::NAN));
    assert!(matches!(broken.svg(), Err(ChartError::NotFinite { .. })));
}

/// Bubbles are the only circles. The pipe is as wide as its walls are apart, and as tall as the whole scale, since no
/// part of the lift is higher or lower: their areas are the void fraction's share, to the half row that may be left at the
/// mouth and to the scatter of the bubbles' sizes.
#[test]
fn bubbles_fill_as_much_of_the_picture_as_the_air_of_the_pipe() {
    let answer = answer(&["tank.level_rise=0 m", "tank.level_fall=0 m"]);
    let svg = answer.drawing(UnitSystem::Metric).svg().unwrap();
    let document = Document::parse(&svg).unwrap();
    let circles = document
        .descendants()
        .filter_map(|node| node.attribute("r"));
    let radii: Vec<f64> = circles.map(|r| r.parse().unwrap()).collect();
    let area: f64 = radii.iter().map(|r| std::f64::consts::PI * r * r).sum();
    // The least width of a pipe and the height to scale.
    let share = area / (32.0 * 360.0);
    let point = answer.point.unwrap();
    let void = 0.5 * (point.foot.void_fraction + point.top.void_fraction);
    let scatter = 1.0 / (radii.len() as f64).sqrt();
    assert!(
        (share / void - 1.0).abs() < scatter,
        "{share} of {void}, {} bubbles",
        radii.len()
    );
}
