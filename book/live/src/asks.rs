//! What can be asked, each question as the tool's command of that name.

mod bench;
mod file;
mod plants;
mod riser;

use risewater::design::{
    DesignFile, EXAMPLE, EXISTING_EXAMPLE, LOOP_EXAMPLE, NEED_EXAMPLE, SUPPLY_EXAMPLE,
};
use risewater::supply::drill::DrillSystem;
use risewater::units::UnitSystem;
use risewater::units::quantity;
use risewater::{Calibration, ErrorLaw};
use serde_json::Value;

use crate::reply::Faults;
use crate::request::Request;

/// What an ask comes to.
type Found = Result<Value, Faults>;

/// A question, by its name.
type Ask = (&'static str, fn(&Request) -> Found);

const ASKS: [Ask; 19] = [
    ("keys", file::keys),
    ("format", file::format),
    ("value", file::value),
    ("values", file::values),
    ("say", file::say),
    ("dark", file::dark),
    ("check", file::check),
    ("file", file::file),
    ("example", file::example_of),
    ("flow", riser::flow),
    ("curve", riser::curve),
    ("lift", riser::lift),
    ("size", riser::size),
    ("supply", plants::supply),
    ("existing", plants::existing),
    ("need", plants::need),
    ("loop", plants::water_loop),
    ("trial", bench::trial),
    ("next", bench::next),
];

/// The answer to a request, or what is wrong with it.
pub(crate) fn answer(request: &Request) -> Found {
    let known = ASKS.iter().find(|(name, _)| *name == request.ask);
    let Some((_, ask)) = known else {
        let names = ASKS.map(|(name, _)| name).join(", ");
        let text = format!("nothing goes by {:?}; ask {names}", request.ask);
        return Err(Faults::at(Some("ask"), text));
    };
    ask(request)
}

/// The tool's example of a question, with the tables that it names.
fn example(of: &str) -> &'static str {
    match of {
        "supply" => SUPPLY_EXAMPLE,
        "existing" => EXISTING_EXAMPLE,
        "need" => NEED_EXAMPLE,
        "loop" => LOOP_EXAMPLE,
        "trial" => risewater::trial::DEMO_RIG,
        _ => EXAMPLE,
    }
}

/// Tables of the examples.
const TABLES: [(&str, &str); 2] = [
    ("blower.csv", risewater::supply::blower::DEMO),
    ("crop.csv", risewater::need::DEMO),
];

/// The text that is asked about.
fn text(request: &Request) -> &str {
    let own = request.file.as_deref();
    own.unwrap_or_else(|| example(&request.ask))
}

/// The design file of a request, with its law of error.
fn open(request: &Request) -> Result<DesignFile, Faults> {
    let mut read = DesignFile::parse_with(text(request), &request.replacements())?;
    if request.file.is_none() {
        for (name, table) in TABLES {
            read = read.with_text(name, table);
        }
    }
    for (name, table) in &request.tables {
        read = read.with_text(name, table);
    }
    read = read.with_drills(match request.units() {
        UnitSystem::Us => DrillSystem::Inch,
        _ => DrillSystem::Metric,
    });
    let law = law(request, &read)?;
    Ok(read.with_law(law))
}

/// How sure predictions are: the level that is asked for, and what was measured.
fn law(request: &Request, read: &DesignFile) -> Result<ErrorLaw, Faults> {
    let (options, mut law) = (&request.options, ErrorLaw::default());
    if let Some(level) = &options.level {
        let fault = |text: String| Faults::at(Some("level"), text);
        let level = quantity::ratio(level).map_err(|error| fault(error.to_string()))?;
        law = law
            .with_level(level)
            .map_err(|error| fault(error.to_string()))?;
    }
    if let Some(text) = &options.calibration {
        law = law.with_calibration(Calibration::parse(text)?);
    } else if options.measured || !options.readings.is_empty() {
        law = law.with_calibration(bench::measured(request, read)?);
    }
    Ok(law)
}
