//! How sure predictions are to be: the level of their intervals, and a bench trial.

use risewater::units::quantity;
use risewater::{Calibration, ErrorLaw};

use crate::args::SureArgs;
use crate::failure::Failure;

/// The law that the command line asks for.
pub fn law(args: &SureArgs) -> Result<ErrorLaw, Failure> {
    let failed = |message| Failure::Option {
        option: "--level",
        message,
    };
    let level = quantity::ratio(&args.level).map_err(|error| failed(error.to_string()))?;
    let law = ErrorLaw::default()
        .with_level(level)
        .map_err(|error| failed(error.to_string()))?;
    let Some(file) = &args.calibration else {
        return Ok(law);
    };
    let trial = Calibration::read(file).map_err(|error| Failure::Design {
        file: Some(file.clone()),
        error,
    })?;
    Ok(law.with_calibration(trial))
}
