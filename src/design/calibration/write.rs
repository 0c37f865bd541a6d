//! The text of a calibration file.

use crate::caution::Caution;
use crate::trial::{Calibration, Parameter};
use crate::units::ratio;

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
            "# A calibration, made by risewater. Intervals are 95 %.\n[calibration]\npoints = {}\nchi_squared = {:?}\nresidual = {:?}\nrms_log_error_before = {:?}\nrms_log_error_after = {:?}\nrms_log_error_left_out = {:?}\nmodel_scatter = {:?}\nshared_error = {:?}\nprior = \"{}\"\ncovariance = [{}]\n",
            self.points,
            self.chi_squared,
            self.residual.get::<ratio>(),
            errors.before,
            errors.after,
            errors.leave_one_out,
            terms.scatter.get::<ratio>(),
            terms.shared.get::<ratio>(),
            if terms.prior { "yes" } else { "no" },
            self.covariance
                .iter()
                .flatten()
                .map(|c| format!("\"{c:e}\""))
                .collect::<Vec<_>>()
                .join(", "),
        );
        text += &format!(
            "\n# The model before: other closures cannot use this file.\n[model]\nslip = \"{}\"\nfriction = \"{}\"\ndeveloping_length = {:?}\ndistribution_factor = {:?}\ndrift_factor = {:?}\n",
            model.slip.name(),
            model.friction.name(),
            model.developing_length.get::<ratio>(),
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
