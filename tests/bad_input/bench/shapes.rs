//! Sheets of a bad shape: headers, separators, quotes, rows.

use super::{Case, all, with};
use crate::trial::{RIG, SHEET};

pub fn shapes() -> Vec<Case> {
    let renamed = |to: &str| SHEET.replacen("water_time_2_s", to, 1).into_bytes();
    let utf16 = |text: &str| -> Vec<u8> {
        let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
        units.flat_map(u16::to_le_bytes).collect()
    };
    let header = SHEET.lines().next().unwrap();
    vec![
        ("empty", Vec::new(), &["line 1: there is no header"]),
        ("blank lines", b"\n\n\r\n".to_vec(), &["there is no header"]),
        (
            "byte order mark alone",
            "\u{feff}".into(),
            &["there is no header"],
        ),
        (
            "remarks alone",
            b"# one\n# two\n".to_vec(),
            &["line 3: there is no header"],
        ),
        (
            "header alone",
            header.into(),
            &["line 1: there is no run below the header"],
        ),
        (
            "header and empty rows",
            format!("{header}\n,,,,\n\n").into(),
            &["line 1: there is no run below the header"],
        ),
        (
            "no header",
            SHEET.lines().nth(1).unwrap().into(),
            &["line 1: there is no header"],
        ),
        (
            "other separators",
            all(",", "|"),
            &["line 1: there is no header", "commas, semicolons or tabs"],
        ),
        (
            "no separators",
            all(",", " "),
            &["line 1: there is no header"],
        ),
        (
            "binary",
            b"\x7fELF\x02\x01\x01\0\0\xff\xfe\n,,\"".to_vec(),
            &["not a text file in UTF-8", "save as CSV UTF-8"],
        ),
        ("zeros", vec![0; 4096], &["line 1: there is no header"]),
        (
            "two bytes a letter",
            utf16(SHEET),
            &["not a text file in UTF-8", "save as CSV UTF-8"],
        ),
        ("another file", RIG.into(), &["line 1: there is no header"]),
        (
            "more cells than columns",
            with("14.2", "14.2,7"),
            &["line 2: 15 cells under 14 columns", "put texts in quotes"],
        ),
        (
            "fewer cells than columns",
            with(",16,98.6", ",16"),
            &["line 2, barometer_kPa: the cell is empty; give the absolute pressure"],
        ),
        (
            "column without a name",
            format!("{header},\nx{}", ",1".repeat(14)).into(),
            &["line 2 \"1\": column 15 has no name in the header"],
        ),
        (
            "line break in a cell",
            with("14.2", "\"14.2\n14.3\""),
            &["line 2, water_time_1_s \"14.2\\n14.3\": a quote opens this cell"],
        ),
        (
            "open quote",
            with("14.2", "\"14.2"),
            &[
                "line 2, water_time_1_s",
                "a quote opens this cell and does not close it",
            ],
        ),
        (
            "open quote in a text",
            with("A,ring", "A,\"ring"),
            &["line 2, configuration", "a quote opens this cell"],
        ),
        (
            "open quote in the header",
            with("run,", "\"run,"),
            &["line 1: a quote opens this cell"],
        ),
        (
            "column renamed",
            with("submergence_m", "depth_m"),
            &[
                "line 1, depth_m: there is no such column",
                "line 1, submergence_m: this column is missing; it holds",
            ],
        ),
        (
            "column misspelt",
            with("lift_m", "lfit_m"),
            &["line 1, lfit_m: there is no such column; did you mean \"lift_m\"?"],
        ),
        (
            "column of another unit",
            with("lift_m", "lift_kPa"),
            &["line 1, lift_kPa: kPa is a unit of pressure, not of length"],
        ),
        (
            "column with a state in its unit",
            with("air_volume_L", "air_flow_scfm"),
            &["line 1, air_flow_scfm", "\"air_reference\""],
        ),
        (
            "column twice",
            renamed("water_time_1_s"),
            &[
                "line 1, water_time_1_s: column 7 says what column 6 (water_time_1_s) says already; keep one of the two",
            ],
        ),
        (
            "column twice, other unit",
            renamed("water_time_1_min"),
            &["line 1, water_time_1_min: column 7"],
        ),
        (
            "column of numbers past counting",
            renamed("water_time_99999999999_s"),
            &["line 1, water_time_99999999999_s: there is no such column"],
        ),
        (
            "run twice",
            with("\nB,", "\nA,"),
            &["line 3, run \"A\": the run of line 2 has this name; give each run its own"],
        ),
        (
            "sheet twice",
            format!("{SHEET}{SHEET}").into(),
            &[
                "line 4: this is the header again; delete the line",
                "line 5, run \"A\"",
            ],
        ),
        (
            "a line of means",
            format!("{SHEET}Mean,,,,,15.2,15.6\n").into(),
            &["line 4, submergence_m: the cell is empty"],
        ),
    ]
}
