//! A calibration as a small file of its own: TOML, written and read back exactly.

mod settings;
mod write;

use std::path::Path;
use std::str::FromStr;

use super::fault::{FileError, Problem};
use super::file::read_text;
use super::quantity;
use super::section::Section;
use super::sheet::Sheet;
use crate::caution::Caution;
use crate::error::{Input, Range};
use crate::friction::Friction;
use crate::model::{Model, SLIP_FACTOR};
use crate::slip::Slip;
use crate::trial::{
    Calibration, Errors, FitTerms, Fitted, MODEL_SCATTER, Parameter, REACH, RigRanges, SHARED_ERROR,
};
use crate::units::{Length, Ratio, Velocity, meter, meter_per_second, ratio};

/// Sections of a calibration file.
const SECTIONS: [&str; 8] = [
    "calibration",
    "model",
    "rig",
    "settings",
    "entrance_loss",
    "developing_length",
    "distribution_factor",
    "drift_factor",
];

const POINTS: Range = Range::new(2.0, 1e6, "");
/// Numbers of a fit that can be anything from nought up.
const POSITIVE: Range = Range::new(0.0, 1e15, "");
const COVARIANCE: Range = Range::new(-1e15, 1e15, "");
/// Bores, lengths in bores and air velocities of a rig.
const RIG: Range = Range::new(0.0, 1e9, "");

impl Calibration {
    /// Reads a file.
    ///
    /// # Errors
    /// [`FileError::Unreadable`], and as [`Calibration::parse`].
    pub fn read(path: &Path) -> Result<Self, FileError> {
        Self::parse(&read_text(path)?)
    }

    /// Reads the text of a file.
    ///
    /// # Errors
    /// [`FileError::Faults`] with everything that is wrong, by line.
    ///
    /// # Examples
    /// See [`Calibration::file_text`].
    pub fn parse(text: &str) -> Result<Self, FileError> {
        let sheet = Sheet::parse_as(text.trim_start_matches('\u{feff}'), &[], &SECTIONS)?;
        let mut head = sheet.section("calibration");
        let mut number = |key, range| required(&mut head, key, Input::CalibrationNumber, range);
        let chi_squared = number("chi_squared", POSITIVE);
        let residual = number("residual", POSITIVE);
        let before = number("rms_log_error_before", POSITIVE);
        let after = number("rms_log_error_after", POSITIVE);
        let left_out = number("rms_log_error_left_out", POSITIVE);
        let scatter = number("model_scatter", MODEL_SCATTER);
        let shared = number("shared_error", SHARED_ERROR);
        let reach = number("reach", REACH);
        let setting_left_out = head.number(
            "rms_log_error_setting_left_out",
            Input::CalibrationNumber,
            POSITIVE,
        );
        let points = head.count("points", Input::CalibrationNumber, POINTS);
        let prior = match head.text("prior") {
            Some("yes") => Some(true),
            Some("no") | None => Some(false),
            Some(_) => {
                let expected = "\"yes\" or \"no\"";
                head.fault("prior", Problem::Missing { expected });
                None
            }
        };
        let covariance = numbers(&mut head, "covariance", COVARIANCE, quantity::ratio, |x| {
            x.get::<ratio>()
        });
        if points.is_none() && !head.has("points") {
            missing(&head, "points");
        }
        let (fitted, doubts): (Vec<Fitted>, Vec<Option<Caution>>) = Parameter::ALL
            .iter()
            .filter(|parameter| sheet.has(parameter.name()))
            .filter_map(|parameter| fitted(sheet.section(parameter.name()), *parameter))
            .unzip();
        let p = fitted.len();
        let rows: Option<Vec<Vec<f64>>> = covariance.and_then(|flat| {
            let rows: Vec<Vec<f64>> = flat.chunks(p.max(1)).map(<[f64]>::to_vec).collect();
            let sound = flat.len() == p * p && positive(&rows, &fitted);
            if !sound {
                let expected = "a symmetric covariance of the fitted parameters, row by row, with their standard uncertainties squared on its diagonal";
                head.fault("covariance", Problem::Missing { expected });
            }
            sound.then_some(rows)
        });
        if let Some(points) = points
            && (points as usize) < p + 2
        {
            let expected = "two points more than fitted parameters";
            head.fault("points", Problem::Missing { expected });
        }
        head.close();
        let model = model(&sheet);
        let rig = rig(sheet.section("rig"));
        let parameters: Vec<Parameter> = fitted.iter().map(|one| one.parameter).collect();
        let settings = settings::read(sheet.section("settings"), &parameters, points);
        sheet.verdict()?;
        let whole = || {
            Some(Self {
                model: model?,
                fitted,
                settings: settings?,
                points: points? as usize,
                chi_squared: chi_squared?.value,
                errors: Errors {
                    before: before?.value,
                    after: after?.value,
                    leave_one_out: left_out?.value,
                    setting_left_out: setting_left_out.map(|error| error.value),
                },
                residual: residual?,
                terms: FitTerms {
                    scatter: scatter?,
                    shared: shared?,
                    reach: reach?,
                    prior: prior?,
                },
                rig: rig?,
                cautions: Vec::new(),
                covariance: rows?,
            })
        };
        let mut read = whole().ok_or_else(|| {
            super::sheet::one(
                super::Place::Absent,
                "",
                Problem::Missing {
                    expected: "more of the calibration",
                },
            )
        })?;
        settings::check(&read)?;
        for (n, doubt) in doubts.into_iter().enumerate() {
            let trade_offs = read.trade_offs(n);
            read.cautions.extend(doubt.into_iter().chain(trade_offs));
        }
        read.cautions.extend(read.one_setting());
        Ok(read)
    }
}

/// A number that must be there.
fn required(section: &mut Section, key: &'static str, what: Input, range: Range) -> Option<Ratio> {
    let found = section.number(key, what, range);
    if found.is_none() && !section.has(key) {
        missing(section, key);
    }
    found
}

fn missing(section: &Section, key: &str) {
    let expected = "this key, as a calibration writes it";
    section.fault(key, Problem::Missing { expected });
}

/// A list of texts as numbers.
fn numbers<T: Copy>(
    section: &mut Section,
    key: &'static str,
    range: Range,
    parse: fn(&str) -> Result<T, quantity::QuantityError>,
    number: fn(T) -> f64,
) -> Option<Vec<f64>> {
    let Some(texts) = section.texts(key) else {
        if !section.has(key) {
            missing(section, key);
        }
        return None;
    };
    let one = |text: &&str| {
        let value = parse(text).map_err(Problem::from)?;
        range
            .check(Input::CalibrationNumber, number(value))
            .map_err(Problem::Refused)
    };
    let found: Result<Vec<f64>, Problem> = texts.iter().map(one).collect();
    found.map_err(|problem| section.fault(key, problem)).ok()
}

fn fitted(mut section: Section, parameter: Parameter) -> Option<(Fitted, Option<Caution>)> {
    let (what, range) = (parameter.input(), parameter.range());
    let start = required(&mut section, "before", what, range);
    let value = required(&mut section, "value", what, range);
    let standard = required(&mut section, "standard", Input::CalibrationNumber, POSITIVE);
    let low = required(&mut section, "low", what, range);
    let high = required(&mut section, "high", what, range);
    if let (Some(low), Some(value), Some(high)) = (low, value, high)
        && !(low <= value && value <= high)
    {
        let expected = "a value from low to high";
        section.fault("value", Problem::Missing { expected });
    }
    let flat = section.number("flat", Input::CalibrationNumber, COVARIANCE);
    let ends = [
        section.number("at_end_of_min", what, range),
        section.number("at_end_of_max", what, range),
    ];
    section.close();
    let name = parameter.name();
    let doubt = match (flat, ends, value) {
        (_, [Some(min), Some(max)], Some(value)) => Some(Caution::ParameterAtBound {
            parameter: name,
            value: value.value,
            range: Range::new(min.value, max.value, range.unit),
        }),
        (Some(share), ..) => Some(Caution::FlatObjective {
            parameter: name,
            share: share.value,
        }),
        _ => None,
    };
    let fitted = Fitted {
        parameter,
        start: start?,
        value: value?,
        standard: standard?,
        low: low?,
        high: high?,
    };
    Some((fitted, doubt))
}

/// Whether a covariance is symmetric, with the standard uncertainties on its diagonal and no
/// correlation beyond 1.
fn positive(rows: &[Vec<f64>], fitted: &[Fitted]) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 * a.abs().max(b.abs());
    (0..fitted.len()).all(|i| {
        near(rows[i][i], fitted[i].standard.value.powi(2))
            && rows[i][i] > 0.0
            && (0..i).all(|j| {
                near(rows[i][j], rows[j][i]) && rows[i][j].powi(2) <= rows[i][i] * rows[j][j]
            })
    })
}

fn model(sheet: &Sheet) -> Option<Model> {
    let mut section = sheet.section("model");
    let mut name = |key| {
        let found = section.text(key);
        if found.is_none() && !section.has(key) {
            missing(&section, key);
        }
        found
    };
    let (slip, friction) = (name("slip"), name("friction"));
    let slip = slip.and_then(|name| sheet.keep(Slip::from_str(name), "model.slip"));
    let friction = friction.and_then(|name| sheet.keep(Friction::from_str(name), "model.friction"));
    let length = section.developing_length();
    let mut number = |key, what, range| required(&mut section, key, what, range);
    let distribution = number(
        "distribution_factor",
        Input::DistributionFactor,
        SLIP_FACTOR,
    );
    let drift = number("drift_factor", Input::DriftFactor, SLIP_FACTOR);
    section.close();
    Some(
        Model::new(slip?, friction?)
            .with_developing_length(length.unwrap_or_default())
            .with_distribution_factor(distribution?)
            .with_drift_factor(drift?),
    )
}

fn rig(mut section: Section) -> Option<RigRanges> {
    let bore = numbers(&mut section, "bore", RIG, quantity::length, |x: Length| {
        x.get::<meter>()
    });
    let plain = |x: Ratio| x.get::<ratio>();
    let length = numbers(&mut section, "length_in_bores", RIG, quantity::ratio, plain);
    let depth = numbers(
        &mut section,
        "submergence_ratio",
        RIG,
        quantity::ratio,
        plain,
    );
    let velocity: fn(Velocity) -> f64 = |x| x.get::<meter_per_second>();
    let air = numbers(
        &mut section,
        "air_velocity",
        RIG,
        quantity::velocity,
        velocity,
    );
    let pair = |key, pair: Option<Vec<f64>>, unit| {
        let pair = pair?;
        match pair[..] {
            [min, max] if min <= max => Some(Range::new(min, max, unit)),
            _ => {
                let expected = "two texts, the smaller first";
                section.fault(key, Problem::Missing { expected });
                None
            }
        }
    };
    let (bore, length) = (
        pair("bore", bore, "m"),
        pair("length_in_bores", length, "bores"),
    );
    let (submergence_ratio, air_velocity) = (
        pair("submergence_ratio", depth, ""),
        pair("air_velocity", air, "m/s"),
    );
    section.close();
    Some(RigRanges {
        bore: bore?,
        length: length?,
        submergence_ratio: submergence_ratio?,
        air_velocity: air_velocity?,
    })
}
