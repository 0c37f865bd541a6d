//! What a file leaves out of an air supply, and what is taken for it.

use super::{HUMIDITY, INTAKE_C, RISE_MARGIN};
use crate::design::Design;
use crate::design::fault::Place;
use crate::design::sections::{GivenBranch, LEAST_LOSS_PA, TOLERANCE};
use crate::units::system::to_decimals;
use crate::units::{ThermodynamicTemperature, UnitSystem, degree_celsius};

/// Something taken for granted since the file does not say it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Assumption {
    /// The key that says it.
    pub key: &'static str,
    /// What is taken.
    pub value: String,
}

impl Design {
    /// What is assumed of the air supply for want of a key, with values in a system of units.
    #[must_use]
    #[allow(clippy::too_many_lines, reason = "a list of keys, each once")]
    pub fn supply_assumptions(&self, units: UnitSystem) -> Vec<Assumption> {
        let given = &self.given.supply;
        let is_there = |key: &str| self.sheet.place(key) != Place::Absent;
        let mut all = Vec::new();
        let mut assume = |key: &'static str, there: bool, value: String| {
            if !there {
                all.push(Assumption { key, value });
            }
        };
        let plain = |key: &'static str, value: &str| (key, is_there(key), value.to_owned());
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        for (key, there, value) in [
            plain(
                "blower.intake_temperature",
                &units.temperature_to(0, ThermodynamicTemperature::new::<degree_celsius>(INTAKE_C)),
            ),
            plain("blower.intake_humidity", &percent(HUMIDITY)),
            plain("blower.intake_loss", "none, a clean filter"),
            plain(
                "blower.arrival_temperature",
                "that of the blower's outlet: no cooling on the way to the header",
            ),
            plain(
                "blower.rise_margin",
                &format!("{}, common practice", percent(RISE_MARGIN)),
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
            let (key, there) = match run {
                "main_line" => ("main_line.roughness", given.main.roughness.is_some()),
                "header" => ("header.roughness", given.header.run.roughness.is_some()),
                _ => ("branch.roughness", given.branch.run.roughness.is_some()),
            };
            let roughness = units.pick("1.5 um, smooth plastic", "0.00006 in, smooth plastic");
            assume(key, there, roughness.to_owned());
        }
        let branches: Vec<_> = if given.lifts.is_empty() {
            vec![given.branch.clone()]
        } else {
            let lifts = given.lifts.iter();
            lifts.map(|lift| lift.branch.or(&given.branch)).collect()
        };
        let all_have = |has: &dyn Fn(&GivenBranch) -> bool| branches.iter().all(has);
        let open_tube = branches
            .iter()
            .any(|branch| branch.injector.unwrap_or("open_tube") == "open_tube");
        assume(
            "branch.injector",
            all_have(&|branch| branch.injector.is_some()),
            "open_tube, the open end of the branch".to_owned(),
        );
        assume(
            "branch.loss",
            all_have(&|branch| branch.run.loss.is_some()),
            if open_tube {
                "a threaded tee used as elbow, and 1 for an open end".to_owned()
            } else {
                "a threaded tee used as elbow".to_owned()
            },
        );
        assume(
            "branch.valve_loss",
            all_have(&|branch| branch.valve_loss.is_some()),
            "that of an open ball valve".to_owned(),
        );
        assume(
            "branch.check_valve",
            all_have(&|branch| branch.check_valve.is_some()),
            "none".to_owned(),
        );
        let ring = branches
            .iter()
            .any(|branch| branch.injector == Some("drilled_ring") && branch.discharge.is_none());
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
        if given.balance.orifices.unwrap_or(true) {
            let drills = self.drills.to_string();
            let least = format!(
                "{}, four times the pressure of {} of water",
                to_decimals(units, units.pressure_unit(), LEAST_LOSS_PA, [0, 2]),
                units.pick("5 cm", "2 in")
            );
            for (key, value) in [
                ("balance.least_loss", least.as_str()),
                ("balance.drills", drills.as_str()),
                ("balance.tolerance", &percent(TOLERANCE)),
                ("balance.discharge_coefficient", "0.62, thin sharp edges"),
            ] {
                assume(key, is_there(key), value.to_owned());
            }
        }
        all
    }
}
