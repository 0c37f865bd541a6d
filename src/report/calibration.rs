//! A calibration as JSON and as text.

use std::fmt::Write;

use serde_json::{Value, json};

use super::{cautions_json, table};
use crate::trial::Calibration;
use crate::units::ratio;

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
    let model = &calibration.model;
    let rig = &calibration.rig;
    json!({
        "schema": "risewater.calibration/1",
        "slip": model.slip.name(),
        "friction": model.friction.name(),
        "developing_length_before_bores": model.developing_length.get::<ratio>(),
        "distribution_factor_before": model.distribution_factor.get::<ratio>(),
        "drift_factor_before": model.drift_factor.get::<ratio>(),
        "coverage_level": Calibration::level().get::<ratio>(),
        "parameters": fitted,
        "correlation": correlation,
        "points": calibration.points,
        "degrees_of_freedom": calibration.degrees_of_freedom(),
        "chi_squared": calibration.chi_squared,
        "model_scatter": calibration.terms.scatter.get::<ratio>(),
        "shared_model_error": calibration.terms.shared.get::<ratio>(),
        "prior": calibration.terms.prior,
        "residual_scatter": calibration.residual.get::<ratio>(),
        "rms_log_error_before": calibration.errors.before,
        "rms_log_error_after": calibration.errors.after,
        "rms_log_error_leave_one_out_before": calibration.errors.before,
        "rms_log_error_leave_one_out_after": calibration.errors.leave_one_out,
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
pub fn calibration_text(calibration: &Calibration) -> String {
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
    let mut text = format!("Calibration of {}\n\n", calibration.model);
    text += &table(
        ["parameter", "before", "now", "standard", "95 % interval"],
        rows,
    );
    let errors = &calibration.errors;
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "\n{} points; chi squared {:.1} on {} degrees of freedom{}",
        calibration.points,
        calibration.chi_squared,
        calibration.degrees_of_freedom(),
        if calibration.chi_squared > calibration.degrees_of_freedom() as f64 {
            ": the points scatter more than was stated for them, and the intervals are widened by it"
        } else {
            ""
        }
    );
    let _ = writeln!(
        text,
        "rms error of ln(flow): {:.4} before, {:.4} now, {:.4} for points left out",
        errors.before, errors.after, errors.leave_one_out
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
        let _ = writeln!(
            text,
            "  {what} {:.4} to {:.4} {}",
            range.min, range.max, range.unit
        );
    }
    for caution in &calibration.cautions {
        let _ = writeln!(text, "Caution: {caution}");
    }
    text
}
