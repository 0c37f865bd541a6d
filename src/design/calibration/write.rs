//! The text of a calibration file.

use crate::caution::Caution;
use crate::model::DevelopingLength;
use crate::trial::{Calibration, Parameter};
use crate::units::{Ratio, meter, ratio};

impl Calibration {
    /// The text of its file.
    ///
    /// # Examples
    /// ```
    /// use risewater::published::Rig;
    /// use risewater::trial::{Calibration, FitPoint, FitTerms};
    /// use risewater::Model;
    ///
    /// let rig = &Rig::all()[3];
    /// let points: Vec<FitPoint> = rig
    ///     .points
    ///     .iter()
    ///     .map(|point| FitPoint::of_published(rig, point))
    ///     .collect::<Result<_, _>>()?;
    /// let best = Calibration::best(&points, Model::default(), &FitTerms::cautious())?;
    /// assert_eq!(Calibration::parse(&best.file_text())?, best);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn file_text(&self) -> String {
        let (model, errors, rig, terms) = (&self.model, &self.errors, &self.rig, &self.terms);
        let mut text = format!(
            "# A calibration, made by risewater. Intervals are 95 %.\n[calibration]\npoints = {}\nchi_squared = {:?}\nresidual = {:?}\nrms_log_error_before = {:?}\nrms_log_error_after = {:?}\nrms_log_error_left_out = {:?}\n{}model_scatter = {:?}\nshared_error = {:?}\nreach = {:?}\nprior = \"{}\"\ncovariance = [{}]\n",
            self.points,
            self.chi_squared,
            self.residual.get::<ratio>(),
            errors.before,
            errors.after,
            errors.leave_one_out,
            errors
                .setting_left_out
                .map(|error| format!("rms_log_error_setting_left_out = {error:?}\n"))
                .unwrap_or_default(),
            terms.scatter.get::<ratio>(),
            terms.shared.get::<ratio>(),
            terms.reach.get::<ratio>(),
            if terms.prior { "yes" } else { "no" },
            list(self.covariance.iter().flatten().copied(), ""),
        );
        text += &format!(
            "\n# The model before: other closures cannot use this file.\n[model]\nslip = \"{}\"\nfriction = \"{}\"\n{}distribution_factor = {:?}\ndrift_factor = {:?}\n",
            model.slip.name(),
            model.friction.name(),
            developing_length(model.developing_length),
            model.distribution_factor.get::<ratio>(),
            model.drift_factor.get::<ratio>(),
        );
        text += &format!(
            "\n# What was tried: smallest and largest. Lengths in bores, air dry at 20 degC and 101.325 kPa.\n[rig]\nbore = [\"{:?} m\", \"{:?} m\"]\nlength_in_bores = [\"{:?}\", \"{:?}\"]\nsubmergence_ratio = [\"{:?}\", \"{:?}\"]\nair_velocity = [\"{:?} m/s\", \"{:?} m/s\"]\n",
            rig.bore.min,
            rig.bore.max,
            rig.length.min,
            rig.length.max,
            rig.submergence_ratio.min,
            rig.submergence_ratio.max,
            rig.air_velocity.min,
            rig.air_velocity.max,
        );
        text += &self.settings_text();
        for (n, one) in self.fitted.iter().enumerate() {
            text += &format!(
                "\n[{}]\nbefore = {:?}\nvalue = {:?}\nstandard = {:?}\nlow = {:?}\nhigh = {:?}\n",
                one.parameter,
                one.start.get::<ratio>(),
                one.value.get::<ratio>(),
                one.standard.get::<ratio>(),
                one.low.get::<ratio>(),
                one.high.get::<ratio>(),
            );
            for caution in &self.cautions {
                text += &doubt_text(caution, one.parameter);
            }
            for caution in self.trade_offs(n) {
                text += &format!("# {caution}\n");
            }
        }
        text
    }

    /// The section of the settings: a list for each number, with a place for each setting.
    fn settings_text(&self) -> String {
        let all = &self.settings;
        let plain = |x: Ratio| x.get::<ratio>();
        let counts: Vec<String> = all.iter().map(|s| format!("\"{}\"", s.points)).collect();
        let mut text = "\n# Errors of the model at the settings: ln(predicted/true) with the parameters below. Weights are the sum\n# of 1/u2 of the points, slopes the mean of de/dx.\n[settings]\n".to_owned();
        let mut line = |key: &str, list: String| text += &format!("{key} = [{list}]\n");
        line(
            "submergence_ratio",
            list(all.iter().map(|s| plain(s.place.submergence_ratio)), ""),
        );
        line(
            "length_in_bores",
            list(all.iter().map(|s| plain(s.place.length_in_bores)), ""),
        );
        line(
            "bore",
            list(all.iter().map(|s| s.place.bore.get::<meter>()), " m"),
        );
        line("points", counts.join(", "));
        line("error", list(all.iter().map(|s| plain(s.error)), ""));
        line("standard", list(all.iter().map(|s| plain(s.standard)), ""));
        line("weight", list(all.iter().map(|s| s.weight), ""));
        for (n, one) in self.fitted.iter().enumerate() {
            line(
                slope_key(one.parameter),
                list(all.iter().map(|s| s.slopes[n]), ""),
            );
        }
        text
    }
}

/// The line of the developing length; none for the default rule.
fn developing_length(length: DevelopingLength) -> String {
    match length {
        DevelopingLength::Shorter => String::new(),
        DevelopingLength::Bores(bores) => {
            format!("developing_length = {:?}\n", bores.get::<ratio>())
        }
        DevelopingLength::Length(length) => {
            format!("developing_length = \"{:?} m\"\n", length.get::<meter>())
        }
    }
}

/// Numbers as texts with a unit.
fn list(numbers: impl Iterator<Item = f64>, unit: &str) -> String {
    let each: Vec<String> = numbers.map(|x| format!("\"{x:?}{unit}\"")).collect();
    each.join(", ")
}

/// The key of the slopes by a parameter.
pub(super) fn slope_key(parameter: Parameter) -> &'static str {
    match parameter {
        Parameter::EntranceLoss => "slope_by_entrance_loss",
        Parameter::DevelopingLength => "slope_by_developing_length",
        Parameter::DistributionFactor => "slope_by_distribution_factor",
        Parameter::DriftFactor => "slope_by_drift_factor",
    }
}

/// The keys of a caution on one parameter.
fn doubt_text(caution: &Caution, of: Parameter) -> String {
    match caution {
        Caution::FlatObjective { parameter, share } if *parameter == of.name() => {
            format!("# {caution}\nflat = {share:?}\n")
        }
        Caution::ParameterAtBound {
            parameter, range, ..
        } if *parameter == of.name() => format!(
            "# {caution}\nat_end_of_min = {:?}\nat_end_of_max = {:?}\n",
            range.min, range.max
        ),
        _ => String::new(),
    }
}
