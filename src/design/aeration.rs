//! The aeration test of a design file.

use super::Design;
use super::fault::{FileError, Place, Problem};
use super::sections::needed;
use crate::gas::Conditions;
use crate::gas::aeration::{AerationTest, Field, Probe, parse_readings, read_readings};
use crate::table::TableError;
use crate::transfer::AerationBench;

/// A design file of an aeration test in our own invented hatchery. Its readings are
/// [`DEMO_READINGS`](crate::gas::aeration::DEMO_READINGS).
pub const AERATION_EXAMPLE: &str = include_str!("aeration.toml");

impl Design {
    /// With the text of the readings, in the place of the file that `[aeration]` names.
    #[must_use]
    pub fn with_readings(mut self, text: impl Into<String>) -> Self {
        self.readings = Some(text.into());
        self
    }

    /// The aeration test of `[aeration]`, in `[water]` and at `[site]`; with `[air]` and a placed `[riser]`
    /// where the file has them.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused, in the readings too.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{AERATION_EXAMPLE, Design};
    /// use risewater::gas::aeration::DEMO_READINGS;
    ///
    /// let design = Design::parse(AERATION_EXAMPLE)?.with_readings(DEMO_READINGS);
    /// assert_eq!(design.aeration()?.names, ["north", "south"]);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    pub fn aeration(&self) -> Result<AerationBench, FileError> {
        self.answer(self.assemble_aeration())
    }

    pub(super) fn check_aeration(&self) {
        if self.sheet.has("aeration") {
            self.assemble_aeration();
        }
    }

    fn assemble_aeration(&self) -> Option<AerationBench> {
        let (sheet, given) = (&self.sheet, &self.given.aeration);
        let site = self.given.site(sheet);
        let volume = needed(
            sheet,
            given.volume,
            "aeration.volume",
            "the water in the tank, such as \"2 m3\"",
        );
        let probes = self.probes();
        // A reference alone is that of a bench trial.
        let is_there = |key| sheet.place(key) != Place::Absent;
        let has_air = is_there("air.flow") || is_there("air.mass_flow");
        let air = has_air.then(|| self.given.air(sheet));
        let placed = self.given.riser.is_placed();
        let riser = placed.then(|| self.place(site));
        let site = site?;
        let conditions = Conditions::of(&site.water, site.atmosphere);
        let field = given.field_oxygen.map(|oxygen| {
            let temperature = given.field_temperature.unwrap_or(conditions.temperature);
            let mut field = Field::clean(temperature, site.atmosphere, oxygen);
            field.alpha = given.alpha.unwrap_or(field.alpha);
            field.beta = given.beta.unwrap_or(field.beta);
            field
        });
        let (names, readings) = probes?.into_iter().map(|p| (p.name, p.readings)).unzip();
        Some(AerationBench {
            names,
            test: AerationTest::new(volume?, conditions, readings),
            power: given.power,
            air: air.flatten(),
            field,
            riser: riser.flatten(),
        })
    }

    /// The readings; their faults at the key that names the file.
    fn probes(&self) -> Option<Vec<Probe>> {
        let name = needed(
            &self.sheet,
            self.given.aeration.readings.as_ref(),
            "aeration.readings",
            "the file of the readings, such as \"aeration.csv\"",
        )?;
        let read = match &self.readings {
            Some(text) => parse_readings(text),
            None => read_readings(&self.folder.join(name)),
        };
        let fault = |message: String| {
            let file = name.into();
            let problem = Problem::Named { file, message };
            let key = "aeration.readings";
            self.sheet.fault(self.sheet.place(key), key, problem);
        };
        match read {
            Ok(probes) => return Some(probes),
            Err(TableError::Unreadable { reason, .. }) => fault(reason.to_string()),
            Err(TableError::Faults { faults }) => {
                for one in faults {
                    fault(one.to_string());
                }
            }
        }
        None
    }
}
