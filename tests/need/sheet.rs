//! The table of a cycle: what it holds, and each fault at its line and column.

use risewater::need::{CycleNeed, DEMO, Limits, parse_cycle};
use risewater::table::TableError;
use risewater::units::{kilogram, kilogram_per_day};

use crate::gases::gases;
use crate::tank;

fn needs(text: &str) -> CycleNeed {
    let cycle = parse_cycle(text, &tank(Limits::WARM_WATER), gases).unwrap();
    cycle.needs(gases).unwrap()
}

fn faults(text: &str) -> Vec<String> {
    match parse_cycle(text, &tank(Limits::WARM_WATER), gases) {
        Err(TableError::Faults { faults }) => faults.iter().map(ToString::to_string).collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_demo() {
    let needs = needs(DEMO);
    // 1 March to 31 August.
    assert_eq!(needs.days.len(), 184);
    assert!((needs.days[0].feed.get::<kilogram_per_day>() - 0.8).abs() < 1e-12);
    let last = needs.days.last().unwrap();
    assert!((last.biomass.get::<kilogram>() - 420.0).abs() < 1e-9);
}

#[test]
fn units_separators_and_order_are_free() {
    let plain = "date,biomass_kg,feed_kg_per_d,temperature_degC\n2026-05-01,10,0.2,25\n2026-05-03,12,0.25,26\n";
    let other = "\u{feff}# a remark\r\ntemperature_degF;feed_g_per_d;biomass_g;date;note\r\n77;200;10000;2026-05-01;a\r\n26 degC;0.25 kg/d;12 kg;2026-05-03;\r\n";
    let (plain, other) = (needs(plain), needs(other));
    for (one, two) in plain.days.iter().zip(&other.days) {
        let ratio = one.need.flow() / two.need.flow();
        assert!((ratio.value - 1.0).abs() < 1e-9);
        assert_eq!(one.date, two.date);
    }
}

#[test]
fn faults_by_line() {
    let text = "date,biomass_kg,feed_rate_percent_per_d,temperature_degC,protein_percent\n\
        2026-05-01,-5,2,25,42\n\
        1 May,10,2,25,42\n\
        2026-04-30,ten,2,25,42\n\
        2026-04-29,10,2,250,142\n\
        2026-04-28,10,,25,42\n\
        2026-02-30,10,2,25,42\n\
        20260502,10,2,25,42\n";
    let got = faults(text);
    let expected = [
        "line 2, biomass_kg \"-5\": mass of the animals is -5 kg",
        "line 3, date \"1 May\": give a calendar date as year-month-day, such as 2026-03-01",
        "line 4, biomass_kg \"ten\": this is not a number",
        "line 5, date \"2026-04-29\": row 4: 2026-04-29 comes after 2026-05-01",
        "line 5, temperature_degC \"250\": water temperature is 250 degC",
        "line 6, feed_rate_percent_per_d: no feed in this row; fill one of: feed, feed_rate",
        "line 7, date \"2026-02-30\": give a calendar date",
        "line 8, date \"20260502\": give a calendar date",
    ];
    assert_eq!(got.len(), expected.len(), "{got:#?}");
    for (got, start) in got.iter().zip(expected) {
        assert!(got.starts_with(start), "{got}");
    }
}

#[test]
fn faults_of_the_header() {
    let one = |text: &str| faults(text).join("\n");
    assert!(one("").starts_with("line 1: there is no header; it names the columns, as date,"));
    assert!(
        one("date,biomass_kg,feed_kg_per_d,temperature_degC\n").contains("there is no day below")
    );
    let missing = one("date,biomass_kg\n2026-05-01,10\n");
    assert!(missing.contains("line 1, temperature_degC: this column is missing"));
    assert!(missing.contains("line 1, feed_kg_per_d: this column is missing"));
    let header = "date,biomas_kg,feed_kg_per_d,temperature_kPa,feed_lb_per_d\n2026-05-01,1,1,1,1\n";
    let wrong = one(header);
    assert!(wrong.contains("biomas_kg: there is no such column; did you mean \"biomass_kg\"?"));
    assert!(wrong.contains("temperature_kPa: "));
    assert!(
        wrong.contains("feed_lb_per_d: column 5 says what column 3 (feed_kg_per_d) says already")
    );
}

#[test]
fn feed_once_in_each_row() {
    let header = "date,biomass_kg,feed_kg_per_d,feed_rate_percent_per_d,temperature_degC\n";
    let both = faults(&format!("{header}2026-05-01,10,0.2,2,25\n")).join("\n");
    assert!(
        both.contains(
            "feed_rate_percent_per_d \"2\": given beside feed; give one of the two in each row"
        ),
        "{both}"
    );
    let none = faults(&format!("{header}2026-05-01,10,,,25\n")).join("\n");
    assert!(
        none.contains("feed_rate_percent_per_d: no feed in this row; fill one of: feed, feed_rate"),
        "{none}"
    );
    let mixed = needs(&format!(
        "{header}2026-05-01,10,0.2,,25\n2026-05-02,10,,2,25\n"
    ));
    assert!((mixed.days[1].feed.get::<kilogram_per_day>() - 0.2).abs() < 1e-12);
}

#[test]
fn a_row_with_too_many_cells() {
    let text = "date,biomass_kg,feed_kg_per_d,temperature_degC\n2026-05-01,10,0,2,25\n";
    assert!(faults(text)[0].starts_with("line 2: 5 cells under 4 columns"));
}

#[test]
fn decimal_commas_and_blank_lines() {
    let header = "date;biomass_kg;feed_kg_per_d;temperature_degC\n";
    let comma = needs(&format!("\n{header}\n\n2026-05-01;10,5;0.2;25\n"));
    let point = needs(&format!("{header}2026-05-01;10.5;0.2;25\n"));
    assert_eq!(comma.days, point.days);
    let both = faults(&format!("\n{header}\n\n2026-05-01;1.010,5;0.2;25\n"));
    assert_eq!(both.len(), 1);
    assert!(
        both[0].starts_with("line 5, biomass_kg \"1.010,5\""),
        "{both:?}"
    );
    let blank = needs(&format!(
        "\r\n{header};;;\r\n2026-05-01;10.5;0.2;25\r\n \r\n2026-05-03;11;0.2;25\r\n"
    ));
    assert_eq!(blank.days.len(), 3);
}

/// What only the gases show has its line too: water of 36 °C holds less than 7 mg/L.
#[test]
fn a_limit_above_saturation() {
    let text = "date,biomass_kg,feed_kg_per_d,temperature_degC\n2026-05-01,10,0.2,10\n2026-05-02,10,0.2,36\n";
    let error = parse_cycle(text, &tank(Limits::SALMONIDS), gases).unwrap_err();
    assert!(
        error.to_string().starts_with(
            "line 3, temperature_degC \"36\": the limit of dissolved oxygen (7 mg/L) must be less"
        ),
        "{error}"
    );
}
