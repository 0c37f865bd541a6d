//! Charts: well-formed, escaped, the same each time, and whole for ranges of every size.
#![cfg(feature = "chart")]

use proptest::prelude::*;
use risewater::chart::{
    Axis, Band, BandPoint, Chart, ChartError, Duty, FlowCurve, FlowPoint, FlowSpread, Ink, LARGEST,
    Label, Line, Marks, Part, Shape, Stroke,
};
use risewater::units::{VolumeRate, liter_per_minute};
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
    let spread = curve.iter().map(|p| FlowSpread {
        air_at_20_c: p.air_at_20_c,
        low: 0.8 * p.water,
        high: 1.2 * p.water,
    });
    FlowCurve {
        title: "Riser".into(),
        notes: vec!["60 mm bore".into()],
        spread: spread.collect(),
        spread_label: "spread".into(),
        threshold_at_20_c: Some(flow(8.0)),
        best_efficiency: Some(point(38.0, 55.1)),
        peak: Some(point(608.0, 161.7)),
        duty: Some(Duty {
            water: flow(100.0),
            operating_point: Some(point(168.0, 126.3)),
        }),
        curve,
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
        lines: vec![Line {
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
            }
        }
    }
}

#[test]
fn figure_names_its_points() {
    let svg = figure().chart().svg().unwrap();
    check_page(&svg);
    let document = Document::parse(&svg).unwrap();
    assert_eq!(document.root_element().attribute("role"), Some("img"));
    assert_eq!(texts(&document, "title"), ["Riser"]);
    let points = "starts at air 8 L/min; duty point 126 at air 168 L/min; best efficiency 55.1 at air 38 L/min; \
                  peak 162 at air 608 L/min; duty 100 L/min";
    let all = format!("Water flow (L/min) against Air flow (L/min, dry, 20 °C); {points}");
    assert_eq!(texts(&document, "desc"), [all]);
    let shown = texts(&document, "text");
    for name in points
        .split("; ")
        .chain(["Riser", "60 mm bore", "water flow", "spread"])
    {
        assert!(shown.contains(&name), "{name} is not in {shown:?}");
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
    };
    chart.y = Axis {
        label: words.into(),
        covers: vec![],
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
            part: Part::Line,
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
            part: Part::Axis,
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
