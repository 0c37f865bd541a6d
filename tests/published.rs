//! The default model against published experiments, rig by rig.
//!
//! The limits are those that an independent implementation of the same equations reached, plus 0.01:
//! not a target that our own code set. Row selection: see `risewater::published`.

use risewater::Model;
use risewater::published::{Rig, Score};

/// Rig, points selected, rms of ln(predicted/measured) of the independent implementation.
const RIGS: [(&str, usize, f64); 5] = [
    ("Kassab 2009, 25.4 mm, 1.75 m", 85, 0.577),
    ("Kassab 2009, 25.4 mm, 2.75 m", 122, 0.155),
    ("Kassab 2009, 25.4 mm, 3.75 m", 157, 0.111),
    ("Todoroki 1973, 50.6 mm, 6.8 m", 45, 0.119),
    ("Pickert 1932, 100 mm, 42 m", 70, 0.376),
];
const MARGIN: f64 = 0.01;

#[test]
fn the_default_model_holds_on_every_rig() {
    let mut failures = Vec::new();
    println!("{:<30} {:>6} {:>6} {:>6} {:>6} {:>6}", "rig", "points", "20 %", "mean", "bias", "rms");
    for (rig, (name, points, rms)) in Rig::all().iter().zip(RIGS) {
        assert_eq!(rig.name, name);
        let score = Score::of(&rig.residuals(Model::default()).unwrap());
        println!(
            "{name:<30} {:>6} {:>6.2} {:>6.2} {:>+6.2} {:>6.3}",
            score.points, score.within_20_percent, score.mean_absolute_error, score.bias, score.rms_log_error
        );
        if score.points != points {
            failures.push(format!("{name}: {} points selected, {points} expected", score.points));
        }
        if score.rms_log_error > rms + MARGIN {
            failures.push(format!("{name}: rms log error {:.3}, limit {:.3}", score.rms_log_error, rms + MARGIN));
        }
    }
    assert_eq!(Rig::all().len(), RIGS.len());
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
