//! Rows of `tests/data/error_law_checks.csv`: slopes, standard deviations before and after, means.

use risewater::uncertainty::{Cause, Points};

use crate::{predicted, reading, riser};

/// Of slopes, mean and standard deviation: what the table's authors state that two implementations agree to.
const AGREEMENT: f64 = 2e-3;

/// The number behind a name in a text such as `... K_in 1.5`.
fn named(text: &str, name: &str) -> Option<f64> {
    let after = text.split(name).nth(1)?;
    after.trim().split([';', ' ']).next()?.parse().ok()
}

#[test]
fn every_row() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/error_law_checks.csv"
    );
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    let heads: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    let (mut rows, mut failures) = (0, Vec::new());
    for row in reader.records().map(Result::unwrap) {
        let place = |head: &str| heads.iter().position(|one| one == head).unwrap();
        let number = |head: &str| row[place(head)].parse::<f64>().unwrap();
        let measured = &row[place("measured_at")];
        let entrance = named(measured, "K_in").unwrap_or(0.5);
        let shared = if measured.contains("more that all share") {
            Some(0.05)
        } else {
            None
        };
        assert_eq!(number("suction_m"), 0.0);
        let at_depth = |depth: f64| {
            // A published series keeps its lift; the invented cases keep theirs at every depth.
            riser(
                number("bore_mm"),
                depth,
                number("lift_m"),
                number("roughness_um"),
                entrance,
            )
        };
        let own = at_depth(number("submergence_m"));
        let mut readings = Vec::new();
        // "1.5 m: 40 -> 40, 80 -> 66; 1.1 m: 60 -> 33" or "128 -> 22.84; 252.4 -> 48.17"
        for series in measured.split(';').filter(|part| part.contains("->")) {
            let (depth, pairs) = match series.split_once(':') {
                Some((depth, pairs)) => {
                    let depth = depth.trim().trim_end_matches(" m");
                    (depth.parse().unwrap(), pairs)
                }
                None => (number("submergence_m"), series),
            };
            let stood = at_depth(depth);
            for pair in pairs.split(',') {
                let (air, water) = pair.split_once("->").unwrap();
                let (air, water) = (air.trim().parse().unwrap(), water.trim().parse().unwrap());
                readings.push(reading(&stood, air, water, 0.03));
            }
        }
        assert!(!readings.is_empty());
        let blocks: Vec<Vec<f64>> = shared
            .into_iter()
            .map(|error| vec![error; readings.len()])
            .collect();
        let points = Points::new(readings, blocks).unwrap();
        let (flow, doubt) = predicted(&own, number("air_l_min"));
        let expected = points.expected(&doubt);
        let pairs = [
            ("g_developing", doubt.slope(Cause::DevelopingLength)),
            ("g_wide", doubt.slope(Cause::WidePipe)),
            ("g_entrance", doubt.slope(Cause::Entrance)),
            ("prior_sd", doubt.standard()),
            ("mean", expected.mean),
            ("sd", expected.standard),
        ];
        for (head, got) in pairs {
            if (got - number(head)).abs() > AGREEMENT {
                failures.push(format!(
                    "case {} at {}: {head} {got}, {}",
                    &row[0],
                    number("air_l_min"),
                    number(head)
                ));
            }
        }
        if (flow / number("model_l_min") - 1.0).abs() > AGREEMENT {
            failures.push(format!(
                "case {}: {flow} L/min, {}",
                &row[0],
                number("model_l_min")
            ));
        }
        rows += 1;
    }
    assert_eq!(rows, 95);
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
