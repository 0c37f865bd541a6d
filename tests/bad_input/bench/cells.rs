//! Bad cells.

use super::{Case, all, with};

pub fn cells() -> Vec<Case> {
    vec![
        (
            "zero time",
            with("14.2", "0"),
            &["line 2, water_time_1_s \"0\": time of the water is 0 s; it must lie in 0.1 to"],
        ),
        (
            "negative time",
            with("14.2", "-14.2"),
            &["line 2, water_time_1_s \"-14.2\"", "must lie in 0.1 to"],
        ),
        (
            "zero time of air",
            with("11.9", "0"),
            &["line 2, air_time_1_s \"0\"", "must lie in 0.1 to"],
        ),
        (
            "one repeat",
            with("14.2,14.6", "14.2,"),
            &["line 2, water_time_1_s", "repeat it", "water_repeatability"],
        ),
        (
            "no repeat",
            with("14.2,14.6", ","),
            &[
                "line 2, water_time_1_s",
                "fill one of: water_time_1, water_clock_1",
            ],
        ),
        (
            "no bottle",
            with(",4,11.9", ",0,11.9"),
            &["line 2, air_volume_L \"0\"", "must lie in 0.01 to"],
        ),
        (
            "no container",
            with(",15,14.2", ",0,14.2"),
            &["line 2, water_volume_L \"0\"", "must lie in 0.01 to"],
        ),
        (
            "not a number",
            with("14.2", "NaN"),
            &["line 2, water_time_1_s \"NaN\": this is not a finite number"],
        ),
        (
            "infinite",
            with("14.2", "-inf"),
            &["line 2, water_time_1_s \"-inf\": this is not a finite number"],
        ),
        (
            "too large for a number",
            with("14.2", "1e400"),
            &["line 2, water_time_1_s \"1e400\": this is not a finite number"],
        ),
        (
            "huge",
            with("14.2", "1e300"),
            &["line 2, water_time_1_s \"1e300\"", "must lie in"],
        ),
        (
            "digits without end",
            with("14.2", &"9".repeat(200_000)),
            &["line 2, water_time_1_s"],
        ),
        (
            "text",
            with("14.2", "abc"),
            &["line 2, water_time_1_s \"abc\": this is not a number"],
        ),
        (
            "minutes and seconds",
            with("14.2", "0:74.2"),
            &["line 2, water_time_1_s \"0:74.2\": minutes and seconds are written 1:05"],
        ),
        (
            "a formula",
            with("14.2", "=B2"),
            &["line 2, water_time_1_s \"=B2\": this is not a number"],
        ),
        (
            "a failed formula",
            with("14.2", "#DIV/0!"),
            &["line 2, water_time_1_s \"#DIV/0!\": this is not a number"],
        ),
        (
            "decimal comma in quotes",
            with("14.2", "\"14,2\""),
            &["line 2, water_time_1_s \"14,2\": a decimal comma; write a decimal point"],
        ),
        (
            "decimal comma",
            with("14.2", "14,2"),
            &["line 2: 15 cells under 14 columns", "write a decimal point"],
        ),
        (
            "decimal comma and thousands, semicolons",
            String::from_utf8(all(",", ";"))
                .unwrap()
                .replace("14.2", "1.014,2")
                .into_bytes(),
            &["line 2, water_time_1_s \"1.014,2\": a decimal comma"],
        ),
        (
            "thousands",
            with("15,14.2", "\"1,500\",14.2"),
            &[
                "line 2, water_volume_L \"1,500\"",
                "nothing between thousands",
            ],
        ),
        (
            "unit of something else",
            with("14.2", "14.2 L"),
            &["line 2, water_time_1_s \"14.2 L\": L is a unit of volume, not of time; use s, min"],
        ),
        (
            "unknown unit",
            with("14.2", "14.2 sek"),
            &[
                "line 2, water_time_1_s \"14.2 sek\"",
                "no known unit of time, did you mean sec",
            ],
        ),
        (
            "out of range",
            with("98.6", "986"),
            &["line 2, barometer_kPa \"986\"", "must lie in 30 to 120 kPa"],
        ),
    ]
}
