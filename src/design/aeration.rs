//! The aeration test of a design file.

use super::fault::FileError;
use super::{DesignFile, set};
use crate::gas::Conditions;
use crate::gas::aeration::{AerationTest, AeratorPower, Field, parse_readings};
use crate::keys::aeration;
use crate::transfer::AerationBench;

/// A design file of an aeration test in our own invented hatchery. Its readings are
/// [`DEMO_READINGS`](crate::gas::aeration::DEMO_READINGS).
pub const AERATION_EXAMPLE: &str = include_str!("aeration.toml");

impl DesignFile {
    /// With the text of the readings, in the place of the file that `[aeration]` names.
    #[must_use]
    pub fn with_readings(self, text: impl Into<String>) -> Self {
        self.with_text_of("aeration", &aeration::READINGS, text)
    }

    /// The aeration test of `[aeration]`, in `[water]` and at `[site]`; with `[air]` and a placed `[riser]`
    /// where the file has them.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused, in the readings too.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{AERATION_EXAMPLE, DesignFile};
    /// use risewater::gas::aeration::DEMO_READINGS;
    ///
    /// let design = DesignFile::parse(AERATION_EXAMPLE)?.with_readings(DEMO_READINGS);
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
        let own = self.sheet.at(["aeration"]);
        let site = self.read_site();
        let volume = own.needed(&aeration::VOLUME);
        let file = own.needed(&aeration::READINGS);
        let probes =
            file.and_then(|file| self.in_file((aeration::READINGS.path, &file), parse_readings));
        // A reference alone is that of a bench trial.
        let air = self.has_air_flow().then(|| self.read_air());
        let placed = self.is_placed();
        let riser = placed.then(|| self.place(site));
        let site = site?;
        let conditions = Conditions::of(&site.water, site.atmosphere);
        let field = own.get(&aeration::FIELD_OXYGEN).map(|oxygen| {
            let temperature = own.get(&aeration::FIELD_TEMPERATURE);
            let temperature = temperature.unwrap_or(conditions.temperature);
            let mut field = Field::clean(temperature, site.atmosphere, oxygen);
            set(&mut field.alpha, own.get(&aeration::ALPHA));
            set(&mut field.beta, own.get(&aeration::BETA));
            field
        });
        let kind = match own.usual(&aeration::POWER_KIND)?.as_str() {
            "shaft" => AeratorPower::Shaft,
            "air" => AeratorPower::Air,
            _ => AeratorPower::Wire,
        };
        let (names, readings) = probes?.into_iter().map(|p| (p.name, p.readings)).unzip();
        Some(AerationBench {
            names,
            test: AerationTest::new(volume?, conditions, readings),
            power: own.get(&aeration::POWER).map(kind),
            air: air.flatten(),
            field,
            riser: riser.flatten(),
        })
    }
}
