//! The file of a calibration: there and back, and bad ones.

use risewater::Model;
use risewater::trial::{Calibration, FitTerms, Parameter};

use crate::predicted::{fit, points};

#[test]
fn there_and_back_is_exact() {
    let two = [Parameter::EntranceLoss, Parameter::DriftFactor];
    let both = Calibration::of(&points(), Model::default(), &two, &FitTerms::cautious()).unwrap();
    let none = Calibration::of(&points(), Model::default(), &[], &FitTerms::cautious()).unwrap();
    let one = Calibration::best(&points()[..4], Model::default(), &FitTerms::cautious()).unwrap();
    assert_eq!((none.settings.len(), one.settings.len()), (2, 1));
    for fit in [fit(), both, none, one] {
        let text = fit.file_text();
        let read = Calibration::parse(&text).unwrap_or_else(|e| panic!("{e}\n{text}"));
        assert_eq!(read, fit, "{text}");
        assert_eq!(read.file_text(), text);
    }
}

fn good() -> String {
    let terms = FitTerms::cautious();
    let one = [Parameter::DriftFactor];
    Calibration::of(&points(), Model::default(), &one, &terms)
        .unwrap()
        .file_text()
}

/// The first line of a text that starts with a key.
fn line(good: &str, key: &str) -> String {
    let found = good.lines().find(|line| line.starts_with(key)).unwrap();
    format!("{found}\n")
}

fn say_where(cases: &[(String, &str)]) {
    let mut failures = Vec::new();
    for (text, expected) in cases {
        match Calibration::parse(text) {
            Ok(_) => failures.push(format!("{expected}: read all the same")),
            Err(error) if error.to_string().contains(expected) => {}
            Err(error) => failures.push(format!("{expected} not in: {error}")),
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn bad_settings_say_where() {
    let good = good();
    let replaced = |key: &str, with: &str| good.replace(&line(&good, key), &format!("{with}\n"));
    say_where(&[
        (
            replaced("error = ", "error = [\"0.1\"]"),
            "settings.submergence_ratio",
        ),
        (
            replaced("error = ", "error = [\"nan\", \"0.1\"]"),
            "settings.error",
        ),
        (replaced("error = ", "error = [0.1, 0.1]"), "settings.error"),
        (replaced("weight", ""), "settings.weight"),
        (
            replaced("weight", "weight = [\"0\", \"1\"]"),
            "settings.weight",
        ),
        (
            replaced("weight", "weight = [\"10\", \"1\"]"),
            "settings.standard",
        ),
        (replaced("slope_by", ""), "settings.slope_by_drift_factor"),
        (
            replaced("points = [", "points = [\"4\", \"5\"]"),
            "settings.points",
        ),
        (
            replaced("points = [", "points = [\"4.5\", \"3.5\"]"),
            "settings.points",
        ),
        (replaced("reach", "reach = 0.0"), "calibration.reach"),
        (replaced("reach", ""), "calibration.reach"),
        (
            replaced("shared_error", "shared_error = 2.0"),
            "calibration.shared_error",
        ),
        (
            replaced("shared_error", "shared_error = 0.2"),
            "settings.standard",
        ),
        (
            replaced("standard = [", "standard = [\"0.1\", \"0.1\"]"),
            "settings.standard",
        ),
        (
            replaced(
                "rms_log_error_setting",
                "rms_log_error_setting_left_out = -1.0",
            ),
            "calibration.rms_log_error_setting_left_out",
        ),
        (good.replace("[settings]", "[setting]"), "setting"),
    ]);
}

#[test]
fn bad_files_say_where() {
    let good = good();
    let line = |key: &str| line(&good, key);
    let last = |key: &str| {
        let found = good.lines().rfind(|line| line.starts_with(key)).unwrap();
        format!("{found}\n")
    };
    say_where(&[
        (good.replace(&line("points"), ""), "calibration.points"),
        (
            good.replace(&line("points"), "points = 1\n"),
            "calibration.points",
        ),
        (
            good.replace(&line("points"), "points = \"many\"\n"),
            "calibration.points",
        ),
        (
            good.replace(&line("slip"), "slip = \"nicklin\"\n"),
            "model.slip",
        ),
        (
            good.replace(&line("bore"), "bore = [\"50 mm\"]\n"),
            "rig.bore",
        ),
        (
            good.replace(&line("bore"), "bore = [\"50\", \"60\"]\n"),
            "rig.bore",
        ),
        (
            good.replace(&line("value"), "value = 9.0\n"),
            "drift_factor.value",
        ),
        (good.replace(&line("value"), ""), "drift_factor.value"),
        (
            good.replace(&last("standard"), "standard = 7.0\n"),
            "calibration.covariance",
        ),
        (
            good.replace(&line("covariance"), "covariance = []\n"),
            "calibration.covariance",
        ),
        (
            good.replace(&line("residual"), "residual = nan\n"),
            "calibration.residual",
        ),
        (
            good.replace(
                &line("residual"),
                &format!("{}extra = 1\n", line("residual")),
            ),
            "calibration.extra",
        ),
        (format!("{good}[riser]\nbore = \"1 m\"\n"), "[riser]"),
        (
            good.replace("[drift_factor]", "[drift_fudge]"),
            "drift_fudge",
        ),
        (String::new(), "nothing is given"),
        ("[calibration".to_owned(), "not TOML"),
    ]);
    assert!(Calibration::read(std::path::Path::new("/nonexistent")).is_err());
}
