//! What a file leaves out of an air supply, and what is taken for it.

use crate::design::DesignFile;
use crate::design::fault::Place;
use crate::design::layers::Layers;
use crate::keys::{Key, Row, balance, blower, branch};
use crate::riser::InjectorKind;
use crate::units::system::to_decimals;
use crate::units::{Ratio, UnitSystem, percent};

/// Something taken for granted since the file does not say it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Assumption {
    /// The key that says it.
    pub key: &'static str,
    /// What is taken.
    pub value: String,
}

#[cfg(feature = "report")]
impl From<Assumption> for crate::answer::AssumptionFacts {
    fn from(one: Assumption) -> Self {
        Self {
            key: one.key.to_owned(),
            value: one.value,
        }
    }
}

#[cfg(feature = "report")]
impl DesignFile {
    /// What an air supply is asked with; its duty and its need beside it.
    ///
    /// # Errors
    /// As [`DesignFile::gas`].
    pub fn supply_terms<'a>(
        &self,
        problem: Option<&'a crate::sizing::Task>,
        need: Option<&'a crate::need::RoomNeed>,
    ) -> Result<crate::answer::SupplyTerms<'a>, crate::design::FileError> {
        let of_risers = self.terms(self.law.clone())?;
        Ok(crate::answer::SupplyTerms {
            problem,
            need,
            gas: of_risers.gas,
            level_fall: of_risers.level_fall,
            level_rise: of_risers.level_rise,
            wanted: self.held_to_duty(),
            assumptions: crate::answer::Worded::of(|units| {
                let assumed = self.supply_assumptions(units).into_iter();
                assumed.map(Into::into).collect()
            }),
        })
    }

    /// What a plant that stands is asked with.
    ///
    /// # Errors
    /// As [`DesignFile::gas`].
    pub fn existing_terms(&self) -> Result<crate::answer::ExistingTerms, crate::design::FileError> {
        Ok(crate::answer::ExistingTerms {
            gas: self.gas()?,
            assumptions: crate::answer::Worded::of(|units| {
                let assumed = self.existing_assumptions(units).into_iter();
                assumed.map(Into::into).collect()
            }),
        })
    }
}

impl DesignFile {
    /// What is assumed of the air supply for want of a key, with values in a system of units.
    #[must_use]
    #[allow(clippy::too_many_lines, reason = "a list of keys, each once")]
    pub fn supply_assumptions(&self, units: UnitSystem) -> Vec<Assumption> {
        let is_there = |key: &str| self.sheet.place(key) != Place::Absent;
        let mut all = Vec::new();
        let mut assume = |key: &'static str, there: bool, value: String| {
            if !there {
                all.push(Assumption { key, value });
            }
        };
        let plain = |key: &'static str, value: &str| (key, is_there(key), value.to_owned());
        let (intake, balance) = (self.sheet.at(["blower"]), self.sheet.at(["balance"]));
        let share = |own: &Layers, key: &Key<Ratio>| {
            format!(
                "{:.0} %",
                own.usual(key).unwrap_or_default().get::<percent>()
            )
        };
        let temperature = intake.usual(&blower::INTAKE_TEMPERATURE);
        let temperature = temperature.map(|usual| units.temperature_to(0, usual));
        for (key, there, value) in [
            plain(
                "blower.intake_temperature",
                &temperature.unwrap_or_default(),
            ),
            plain(
                "blower.intake_humidity",
                &share(&intake, &blower::INTAKE_HUMIDITY),
            ),
            plain("blower.intake_loss", "none, a clean filter"),
            plain(
                "blower.arrival_temperature",
                "that of the blower's outlet: no cooling on the way to the header",
            ),
            plain(
                "blower.rise_margin",
                &format!("{}, common practice", share(&intake, &blower::RISE_MARGIN)),
            ),
            plain(
                "main_line.loss",
                "1, the velocity head that is lost where it enters the header",
            ),
            plain(
                "header.tee_run_loss",
                "that of a threaded tee, straight through",
            ),
        ] {
            assume(key, there, value);
        }
        assume(
            "tank.level_fall, tank.level_rise",
            is_there("tank.level_fall") || is_there("tank.level_rise"),
            units
                .pick("5 and 10 cm either way", "1.97 and 3.94 in either way")
                .to_owned(),
        );
        for run in ["main_line", "header", "branch"] {
            let key = match run {
                "main_line" => "main_line.roughness",
                "header" => "header.roughness",
                _ => "branch.roughness",
            };
            let roughness = units.pick("1.5 um, smooth plastic", "0.00006 in, smooth plastic");
            assume(key, is_there(key), roughness.to_owned());
        }
        let lifts = (1..=self.sheet.count("lift")).map(|number| format!("lift {number}"));
        let mut branches: Vec<_> = lifts.map(|lift| self.sheet.at([&lift, "branch"])).collect();
        if branches.is_empty() {
            branches.push(self.sheet.at(["branch"]));
        }
        let all_have = |row: &Row| branches.iter().all(|branch| branch.has(row));
        let of_riser = self.injector_kind(None);
        let injector = |own: &Layers| own.get(&branch::INJECTOR).or(of_riser);
        let is_open = |own: &Layers| matches!(injector(own), None | Some(InjectorKind::OpenTube));
        let open_tube = branches.iter().any(is_open);
        assume(
            "branch.injector",
            branches.iter().all(|own| injector(own).is_some()),
            "open_tube, the open end of the branch".to_owned(),
        );
        assume(
            "branch.loss",
            all_have(&branch::LOSS),
            if open_tube {
                "a threaded tee used as elbow, and 1 for an open end".to_owned()
            } else {
                "a threaded tee used as elbow".to_owned()
            },
        );
        assume(
            "branch.valve_loss",
            all_have(&branch::VALVE_LOSS),
            "that of an open ball valve".to_owned(),
        );
        assume(
            "branch.check_valve",
            all_have(&branch::CHECK_VALVE),
            "none".to_owned(),
        );
        let ring = branches.iter().any(|own| {
            injector(own) == Some(InjectorKind::DrilledRing)
                && !own.has(&branch::DISCHARGE_COEFFICIENT)
        });
        assume(
            "branch.discharge_coefficient",
            !ring,
            "0.62, thin sharp edges".to_owned(),
        );
        assume(
            "balance.orifices",
            is_there("balance.orifices"),
            "true: an orifice in every branch".to_owned(),
        );
        if balance.usual(&balance::ORIFICES) == Some(true) {
            let drills = self.drills.to_string();
            let least = balance
                .usual(&balance::LEAST_LOSS)
                .unwrap_or_default()
                .value;
            let least = format!(
                "{}, four times the pressure of {} of water",
                to_decimals(units, units.pressure_unit(), least, [0, 2]),
                units.pick("5 cm", "2 in")
            );
            for (key, value) in [
                ("balance.least_loss", least.as_str()),
                ("balance.drills", drills.as_str()),
                ("balance.tolerance", &share(&balance, &balance::TOLERANCE)),
                ("balance.discharge_coefficient", "0.62, thin sharp edges"),
            ] {
                assume(key, is_there(key), value.to_owned());
            }
        }
        all
    }
}
