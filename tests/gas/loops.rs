//! Rows L066 to L070 of tests/data/loop_checks.csv: total gas pressure of a closed loop with lifts alone.

use risewater::gas::total_gas_pressure_bound;
use risewater::units::{
    AbsolutePressure, Length, MassDensity, kilogram_per_cubic_meter, meter, pascal, percent,
};

use crate::table::rows;
use crate::{Report, digits};

/// A number of `name=value; name=value`.
fn number(pairs: &str, name: &str) -> f64 {
    let mut named = pairs.split("; ").filter_map(|pair| pair.split_once('='));
    let (_, value) = named.find(|pair| pair.0 == name).unwrap();
    value.parse().unwrap()
}

/// The excess of a loop is the bound's times 2w, w = 1/N − 1/(e^N − 1), and comes to the bound itself where a pass
/// exchanges nothing. The head of the file allows 1e-9.
#[test]
fn the_bound_of_a_closed_loop() {
    let mut report = Report::default();
    for row in rows("loop_checks.csv") {
        if row.text("formula") != "7" {
            continue;
        }
        let (given, found) = (row.text("inputs"), row.text("outputs"));
        let bound = total_gas_pressure_bound(
            Length::new::<meter>(number(given, "foot_depth_m")),
            Length::new::<meter>(0.0),
            MassDensity::new::<kilogram_per_cubic_meter>(number(given, "density")),
            AbsolutePressure::new::<pascal>(number(found, "p_air_Pa")),
        );
        let bound = bound.unwrap().get::<percent>();
        let expected = number(found, "TGP_percent_if_oxygen_as_inert");
        let n = number(given, "ntu");
        // For a small N the difference is lost in rounding: w = ½ − N/12 + …
        let weight = if n < 1e-6 {
            0.5 - n / 12.0
        } else {
            1.0 / n - 1.0 / n.exp_m1()
        };
        let got = 100.0 + (bound - 100.0) * 2.0 * weight;
        report.row(row.text("id"), expected, got, 1e-9 * expected);
        assert!(expected <= bound + digits(bound, 12), "{expected} {bound}");
        // Animals take up oxygen, so that the water holds less.
        assert!(number(found, "TGP_percent") < expected);
    }
    report.done("loop_checks.csv", 5);
}
