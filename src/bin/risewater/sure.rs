//! How sure predictions are to be: the level of their intervals, and a bench trial.

use risewater::units::{Ratio, quantity};
use risewater::{Calibration, Error, ErrorLaw};

use crate::args::SureArgs;
use crate::failure::Failure;

/// A share that an option gives.
pub fn share(option: &'static str, text: &str) -> Result<Ratio, Failure> {
    quantity::ratio(text).map_err(|error| Failure::Option {
        option,
        message: error.to_string(),
    })
}

/// The law that the command line asks for.
pub fn law(args: &SureArgs) -> Result<ErrorLaw, Failure> {
    let level = share("--level", &args.level)?;
    let law = ErrorLaw::default().with_level(level);
    let law = law.map_err(|error: Error| Failure::Option {
        option: "--level",
        message: error.to_string(),
    })?;
    let Some(file) = &args.calibration else {
        return Ok(law);
    };
    let trial = Calibration::read(file).map_err(|error| Failure::Design {
        file: Some(file.clone()),
        error,
    })?;
    Ok(law.with_calibration(trial))
}
