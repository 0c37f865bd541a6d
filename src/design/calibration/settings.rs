//! The section of a calibration file that has the errors of the settings.

use super::write::slope_key;
use super::{COVARIANCE, POSITIVE, RIG, numbers, quantity};
use crate::design::fault::{FileError, Problem};
use crate::design::section::Section;
use crate::design::sheet;
use crate::error::Range;
use crate::riser::Place;
use crate::trial::{Calibration, Parameter, SettingError};
use crate::units::{Length, Ratio, base, meter, ratio};

/// Ratios of submergence to length of a rig: above 1 where the outlet lies below the water level.
const SUBMERGENCE_RATIO: Range = Range::new(1e-6, 1e6, "");
/// Lengths, bores and weights.
const ABOVE_ZERO: Range = Range::new(1e-9, 1e15, "");
/// Errors of a setting.
const ERROR: Range = Range::new(-10.0, 10.0, "");
/// Nearness at which numbers agree that were written from the same fit.
const SAME: f64 = 1e-6;

/// The settings, when every list is as long as the others and their points add up.
pub(super) fn read(
    mut section: Section,
    parameters: &[Parameter],
    points: Option<u32>,
) -> Option<Vec<SettingError>> {
    let plain: fn(Ratio) -> f64 = |x| x.get::<ratio>();
    let mut list = |key, range| numbers(&mut section, key, range, quantity::ratio, plain);
    let depth = list("submergence_ratio", SUBMERGENCE_RATIO);
    let length = list("length_in_bores", ABOVE_ZERO);
    let count = list("points", POSITIVE);
    let error = list("error", ERROR);
    let standard = list("standard", POSITIVE);
    let weight = list("weight", ABOVE_ZERO);
    let slopes: Option<Vec<Vec<f64>>> = parameters
        .iter()
        .map(|parameter| list(slope_key(*parameter), COVARIANCE))
        .collect();
    let bore = numbers(&mut section, "bore", RIG, quantity::length, |x: Length| {
        x.get::<meter>()
    });
    let all = (|| {
        let (depth, length, bore, count) = (depth?, length?, bore?, count?);
        let (error, standard, weight, slopes) = (error?, standard?, weight?, slopes?);
        let m = depth.len();
        let lists = [&length, &bore, &count, &error, &standard, &weight];
        let even = lists.into_iter().chain(&slopes).all(|list| list.len() == m);
        if m == 0 || !even {
            let expected = "lists of one and the same length in this section";
            section.fault("submergence_ratio", Problem::Missing { expected });
            return None;
        }
        let whole = count.iter().all(|n| *n >= 1.0 && n.fract() == 0.0);
        if !whole || points.is_some_and(|all| count.iter().sum::<f64>() != f64::from(all)) {
            let expected = "whole numbers that add up to the calibration's points";
            section.fault("points", Problem::Missing { expected });
            return None;
        }
        let one = |n: usize| {
            let place = Place {
                submergence_ratio: base(depth[n]),
                length_in_bores: base(length[n]),
                bore: base(bore[n]),
            };
            let slopes = slopes.iter().map(|list| list[n]).collect();
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a whole number of points"
            )]
            let count = count[n] as usize;
            SettingError::new((place, count), (error[n], standard[n]), (weight[n], slopes))
        };
        Some((0..m).map(one).collect())
    })();
    section.close();
    all
}

/// Whether the standard uncertainties are those that weights, slopes and terms make.
pub(super) fn check(calibration: &Calibration) -> Result<(), FileError> {
    let joint = calibration.joint();
    let p = calibration.fitted.len();
    let sound = calibration.settings.iter().enumerate().all(|(n, one)| {
        let (made, written) = (joint.standard(p + n), one.standard.value);
        (made - written).abs() <= SAME * made.abs().max(written.abs())
    });
    if sound {
        Ok(())
    } else {
        let expected = "standard uncertainties that go with its weights, slopes and terms";
        Err(sheet::one(
            crate::design::Place::Absent,
            "settings.standard",
            Problem::Missing { expected },
        ))
    }
}
