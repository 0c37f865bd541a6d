//! The reader beside its tables: lines and cells, what headers may be, and the columns as documents list them.

use super::column::Holds;
use super::records::{Records, plain_lines};
use super::{Column, Layout, TableError};
use crate::error::Range;
use crate::units::quantity::Dimension;

fn lines(text: &str) -> Vec<(usize, Vec<String>)> {
    let text = plain_lines(text);
    Records::of(&text)
        .map(|record| (record.line, record.cells))
        .collect()
}

/// As an editor counts them, whatever ends a line.
#[test]
fn lines_have_their_numbers() {
    let text = "# remark\n\na,b\n1,2\n\n3,\"x\ny\"\n#\n4,5";
    for end in ["\n", "\r\n", "\r"] {
        let found: Vec<usize> = lines(&text.replace('\n', end))
            .iter()
            .map(|l| l.0)
            .collect();
        assert_eq!(found, [3, 4, 6, 9], "{end:?}");
    }
}

#[test]
fn separators_are_told_or_found() {
    for text in ["a;b", "a\tb", "a,b", "sep=|\na|b", "# c;d\na,b"] {
        assert_eq!(lines(text)[0].1, ["a", "b"], "{text:?}");
    }
}

const FLOW: Column = Column::number("flow", (Dimension::VolumeRate, "m3_per_h"))
    .holds("the flow")
    .needed(&[])
    .within(
        Range::new(0.0, 10.0, "m3/h"),
        &[crate::error::Input::InletFlow],
    );
const FLOW_TIME: Column = Column::number("flow_time", (Dimension::Time, "s"))
    .holds("its times")
    .numbered();
const PROBE: Column = Column::number("probe", (Dimension::Concentration, "mg_per_l"))
    .holds("what a probe reads")
    .named("oxygen");

const LAYOUT: &Layout = &Layout {
    row: "line",
    example: "flow_m3_per_h",
    keys: &[],
    columns: &[
        FLOW,
        FLOW_TIME,
        PROBE,
        Column::text("name").holds("a name"),
        Column::note(),
    ],
};

/// Column, number, label and unit.
type Apart = (&'static str, u32, &'static str, Option<&'static str>);

#[test]
fn headers_are_taken_apart() {
    let apart: [(&str, Option<Apart>); 12] = [
        ("flow_m3_per_h", Some(("flow", 1, "", Some("m3/h")))),
        ("Flow", Some(("flow", 1, "", None))),
        ("FLOW_TIME_12_MIN", Some(("flow_time", 12, "", Some("min")))),
        ("flow_time_s", Some(("flow_time", 1, "", Some("s")))),
        ("flow_time_3", Some(("flow_time", 3, "", None))),
        (
            "oxygen_g_per_m3",
            Some(("probe", 1, "oxygen", Some("mg/L"))),
        ),
        (
            "probe_North_2_mg_per_l",
            Some(("probe", 1, "north_2", Some("mg/L"))),
        ),
        (
            "probe_south_x_per_y",
            Some(("probe", 1, "south", Some("?"))),
        ),
        ("probe", None),
        ("name_m", None),
        ("flowed", None),
        ("flow_time_99999999999_s", None),
    ];
    for (header, apart) in apart {
        let parts = LAYOUT.take_apart(header);
        let found = parts.as_ref().map(|(head, wrong)| {
            let unit = head.unit.map(crate::units::quantity::Unit::name);
            let unit = unit.or(wrong.as_ref().map(|_| "?"));
            (head.column.name, head.number, head.label.as_str(), unit)
        });
        assert_eq!(found, apart, "{header}");
    }
}

fn said(text: &str) -> Vec<String> {
    let table = LAYOUT.read(text);
    for row in table.rows() {
        row.number(&FLOW);
    }
    match table.verdict(None::<()>) {
        Err(TableError::Faults { faults }) => faults.iter().map(ToString::to_string).collect(),
        other => panic!("{other:?}"),
    }
}

/// What each reader of a table could do by itself, all of them do.
#[test]
fn one_reader_for_all() {
    let flow = |text: &str| {
        let table = LAYOUT.read(text);
        let found: Vec<Option<f64>> = table.rows().map(|row| row.number(&FLOW)).collect();
        table.verdict(Some(found)).unwrap()
    };
    let one = Some(3.6 / 3600.0);
    for text in [
        "flow_m3_per_h\n3.6\n",
        "\u{feff}sep=;\r\n# remark; and more\r\nflow_m3_per_h;note\r\n3,6;\r\n",
        "note,flow_m3_per_h\n# remark, below\n\"two\nlines\",3.6\n",
        "name,flow\n#1,1 L/s\n# a remark alone\n",
        "NAME,FLOW_L_PER_S\nx,1\n",
    ] {
        assert_eq!(flow(text), [one], "{text:?}");
    }
    for (text, faults) in [
        (
            "flow_m3_per_h\n3.6\nflow_m3_per_h\n",
            "line 3: this is the header again; delete the line",
        ),
        (
            "flow_m3_per_h,\n3.6,7\n",
            "line 2 \"7\": column 2 has no name in the header",
        ),
        (
            "flow_m3_per_h,note\n\"3.6,x\n3.7,y\n",
            "line 2, flow_m3_per_h \"3.6,x\\n3.7,y\": a quote opens this cell and does not close it in its line; close it, or write no quote",
        ),
        (
            "flow_m3_per_h,flow_L_per_s\n1,2\n",
            "line 1, flow_L_per_s: column 2 says what column 1 (flow_m3_per_h) says already; keep one of the two",
        ),
        (
            "flow_m3_per_h\n3,6\n",
            "line 2: 2 cells under 1 columns; a decimal comma or a comma in a text does that: write a decimal point, or separate cells by semicolons, and put texts in quotes",
        ),
        (
            "flow_m3_per_h\n11\n",
            "line 2, flow_m3_per_h \"11\": volume flow at the blower's inlet is 11 m3/h; it must lie in 0 to 10 m3/h",
        ),
        (
            "flwo_m3_per_h\n1\n",
            "line 1, flwo_m3_per_h: there is no such column; did you mean \"flow_m3_per_h\"?",
        ),
        (
            "flow_m3_per_h,weather\n1,2\n",
            "line 1, weather: there is no such column; known are flow_m3_per_h, flow_time_1_s, oxygen_mg_per_l, probe_<name>_mg_per_l, name, note",
        ),
        (
            "flow_scfm\n1\n",
            "line 1, flow_scfm: scfm is a flow of gas at a state that differs from one text to the next; give the flow in L/min, L/s, m3/h, gpm or cfm and its state apart",
        ),
        (
            "a\n1\n",
            "line 1: there is no header; it names the columns, as flow_m3_per_h, with commas, semicolons or tabs between",
        ),
    ] {
        assert_eq!(said(text), [faults], "{text:?}");
    }
}

#[test]
fn times_of_the_clock() {
    let second = |text: &str| FLOW_TIME.si(text, None, false);
    for (text, seconds) in [
        ("1:05", 65.0),
        ("0:50.4", 50.4),
        ("12:03.25", 723.25),
        ("75:00", 4500.0),
        ("1:02:03", 3723.0),
        ("00:01:05", 65.0),
    ] {
        assert_eq!(second(text), Ok(seconds), "{text}");
    }
    for text in [
        "1:5", "1:60", "1:75.2", ":05", "1:", "1:05.", "-1:05", "1:05 s", "1:2:3:4", "1:60:00",
        "1:+5", "1:e1",
    ] {
        assert!(second(text).is_err(), "{text}");
    }
}

/// Holds the table of columns in a document against the list; `COLUMNS=overwrite` writes it.
///
/// Every example of the list reads back as its column, and both ends of every range are in it.
pub(crate) fn documented(layout: &Layout, file: &str) {
    for column in layout.columns {
        let (head, wrong) = layout.take_apart(&column.example("7")).unwrap();
        assert_eq!((head.column.name, wrong), (column.name, None));
        if let Holds::Number(dimension, _) = column.holds {
            let unit = head.unit.is_some() || dimension.takes_plain_number();
            assert!(unit, "{}", column.name);
        }
        for end in column.ends() {
            assert!(
                column.si(&end, None, false).is_ok(),
                "{} {end}",
                column.name
            );
        }
    }
    let due = layout.documented();
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    if std::env::var("COLUMNS").is_ok_and(|value| value == "overwrite") {
        std::fs::write(&path, &due).unwrap();
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(found, due, "{file}: COLUMNS=overwrite writes it");
}
