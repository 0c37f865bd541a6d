//! Charts: well-formed, escaped, the same each time, and whole for ranges of every size.
#![cfg(feature = "report")]

use proptest::prelude::*;
use risewater::answer::{FlowAnswer, Terms};
use risewater::chart::{
    AirShares, Axis, Band, BandPoint, Chart, ChartError, ChartPart, DrawnOutlet, DutyPoint,
    FlowBand, FlowCurve, FlowPoint, Ink, LARGEST, Label, LiftShares, Marks, NeedFigure, OtherCurve,
    Polyline, PressureFigure, RisePoint, Shape, Stroke, dark_style,
};
use risewater::design::{DesignFile, EXAMPLE};
use risewater::need::{self, Date, DayFlow, Installed};
use risewater::units::{Length, meter};
use risewater::units::{
    Pressure, Ratio, UnitSystem, VolumeRate, kilopascal, liter_per_minute, percent,
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
        units: UnitSystem::Metric,
    }
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

#[test]
fn every_colour_has_a_dark_twin() {
    let rules = dark_style("figure");
    for chart in [
        figure().chart(),
        pressures().chart(),
        shares(12).chart(),
        needed().chart(),
    ] {
        let svg = chart.svg().unwrap();
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
