//! A calibration as JSON and as text.

use std::fmt::Write;

use serde_json::{Value, json};

use super::number::{UnitSystem, short};
use super::{cautions_json, table};
use crate::trial::Calibration;
use crate::units::{meter, ratio};

/// The JSON shape `risewater.calibration/1`.
#[must_use]
pub fn calibration_json(calibration: &Calibration) -> Value {
    let fitted: Vec<Value> = calibration
        .fitted
        .iter()
        .map(|one| {
            json!({
                "parameter": one.parameter.name(),
                "start": one.start.get::<ratio>(),
                "value": one.value.get::<ratio>(),
                "standard": one.standard.get::<ratio>(),
                "low": one.low.get::<ratio>(),
                "high": one.high.get::<ratio>(),
            })
        })
        .collect();
    let places = 0..calibration.fitted.len();
    let correlation: Vec<Vec<Option<f64>>> = places
        .clone()
        .map(|i| {
            let row = places.clone().map(|j| calibration.correlation(i, j));
            row.map(|r| r.map(|r| r.get::<ratio>())).collect()
        })
        .collect();
    let settings: Vec<Value> = calibration
        .settings
        .iter()
        .map(|one| {
            json!({
                "submergence_ratio": one.place.submergence_ratio.get::<ratio>(),
                "length_bores": one.place.length_in_bores.get::<ratio>(),
                "bore_m": one.place.bore.get::<meter>(),
                "points": one.points,
                "log_error": one.error.get::<ratio>(),
                "standard": one.standard.get::<ratio>(),
            })
        })
        .collect();
    let model = &calibration.model;
    let rig = &calibration.rig;
    json!({
        "schema": "risewater.calibration/1",
        "slip": model.slip.name(),
        "friction": model.friction.name(),
        "developing_length_before": model.developing_length.to_string(),
        "distribution_factor_before": model.distribution_factor.get::<ratio>(),
        "drift_factor_before": model.drift_factor.get::<ratio>(),
        "coverage_level": Calibration::level().get::<ratio>(),
        "parameters": fitted,
        "correlation": correlation,
        "settings": settings,
        "points": calibration.points,
        "degrees_of_freedom": calibration.degrees_of_freedom(),
        "chi_squared": calibration.chi_squared,
        "model_scatter": calibration.terms.scatter.get::<ratio>(),
        "shared_model_error": calibration.terms.shared.get::<ratio>(),
        "shared_error_reach": calibration.terms.reach.get::<ratio>(),
        "prior": calibration.terms.prior,
        "residual_scatter": calibration.residual.get::<ratio>(),
        "rms_log_error_before": calibration.errors.before,
        "rms_log_error_after": calibration.errors.after,
        "rms_log_error_leave_one_out": calibration.errors.leave_one_out,
        "rms_log_error_setting_left_out": calibration.errors.setting_left_out,
        "rig": {
            "bore_m": [rig.bore.min, rig.bore.max],
            "length_bores": [rig.length.min, rig.length.max],
            "submergence_ratio": [rig.submergence_ratio.min, rig.submergence_ratio.max],
            "air_velocity_m_per_s": [rig.air_velocity.min, rig.air_velocity.max],
        },
        "cautions": cautions_json(&calibration.cautions),
    })
}

/// Text for people.
#[must_use]
pub fn calibration_text(calibration: &Calibration, units: UnitSystem) -> String {
    let rows = calibration.fitted.iter().map(|one| {
        let number = |value: crate::units::Ratio| format!("{:.3}", value.get::<ratio>());
        [
            one.parameter.to_string(),
            number(one.start),
            number(one.value),
            number(one.standard),
            format!("{} to {}", number(one.low), number(one.high)),
        ]
    });
    let mut text = format!("Calibration of {}\n\n", calibration.model.worded(units));
    if calibration.fitted.is_empty() {
        text += if calibration.settings.len() == 1 {
            "No parameter is moved: one setting cannot tell a parameter from an error of the model there;\nvary depth or lift to calibrate parameters.\n"
        } else {
            "No parameter is moved: none lowers the error of settings left out by 5 %.\n"
        };
    } else {
        text += &table(
            ["parameter", "before", "now", "standard", "95 % interval"],
            rows,
        );
    }
    text.push('\n');
    if calibration.terms.shared.get::<ratio>() > 0.0 {
        text += &settings_text(calibration);
    }
    let errors = &calibration.errors;
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "{} points; chi squared {:.1} on {} degrees of freedom{}",
        calibration.points,
        calibration.chi_squared,
        calibration.degrees_of_freedom(),
        if calibration.chi_squared > calibration.degrees_of_freedom() as f64 {
            ": the points scatter more than was stated for them; beyond chance the intervals are widened by it"
        } else {
            ""
        }
    );
    let _ = writeln!(
        text,
        "rms error of ln(flow): {:.4} before, {:.4} now, {:.4} for points left out{}",
        errors.before,
        errors.after,
        errors.leave_one_out,
        errors
            .setting_left_out
            .map(|error| format!(", {error:.4} for settings left out"))
            .unwrap_or_default()
    );
    for i in 0..calibration.fitted.len() {
        for j in i + 1..calibration.fitted.len() {
            if let Some(r) = calibration.correlation(i, j) {
                let _ = writeln!(
                    text,
                    "Correlation of {} and {}: {:.3}",
                    calibration.fitted[i].parameter,
                    calibration.fitted[j].parameter,
                    r.get::<ratio>()
                );
            }
        }
    }
    text += "The rig had:\n";
    for (what, range) in calibration.rig.all() {
        // Bores in metres and velocities in metres a second.
        let (size, unit) = match (units, range.unit) {
            (UnitSystem::Us, "m") => units.bore_unit(),
            (UnitSystem::Us, "m/s") => units.velocity_unit(),
            (_, unit) => (1.0, unit),
        };
        let _ = writeln!(
            text,
            "  {what} {} to {}{}{unit}",
            short(range.min / size),
            short(range.max / size),
            if unit.is_empty() { "" } else { " " },
        );
    }
    for caution in &calibration.cautions {
        let _ = writeln!(text, "Caution: {}", caution.worded(units));
    }
    text
}

/// The errors of the settings.
fn settings_text(calibration: &Calibration) -> String {
    let percent = |x: crate::units::Ratio| format!("{:.1} %", 100.0 * x.get::<ratio>());
    let rows = calibration.settings.iter().map(|one| {
        [
            format!("{:.3}", one.place.submergence_ratio.get::<ratio>()),
            short(one.place.length_in_bores.get::<ratio>()),
            one.points.to_string(),
            format!("{:+.1} %", 100.0 * one.error.get::<ratio>()),
            percent(one.standard),
        ]
    });
    let header = [
        "submergence ratio",
        "length in bores",
        "points",
        "model is high by",
        "standard",
    ];
    format!(
        "Errors of the model at the settings, in ln(flow), {}:\n\n{}\n",
        if calibration.fitted.is_empty() {
            "as it is"
        } else {
            "with the parameters as they are now"
        },
        table(header, rows)
    )
}
