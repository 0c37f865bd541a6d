//! Several tanks of a design file: a duty each, on one header.

use super::fault::{FileError, Problem};
use super::{DesignFile, asks};
use crate::error::{Error, Input};
use crate::keys::{duty, limits, section, tank};
use crate::riser::Site;
use crate::sizing::{Duty, Objective};
use crate::supply::{AirSide, Tank, Tanks};

/// A design file of our own invented hatchery: six unlike tanks on one header.
pub const TANKS_EXAMPLE: &str = include_str!("tanks.toml");

impl DesignFile {
    /// The sections of duties: `duty` where there is one.
    pub(super) fn duties(&self) -> Vec<String> {
        section("duty").map_or_else(Vec::new, |section| self.sheet.all(section))
    }

    /// Whether the file has several duties, one for each tank on a header.
    #[must_use]
    pub fn has_several_duties(&self) -> bool {
        self.duties().len() > 1
    }

    /// The tanks of `[[duty]]` on one header; one tank where there is one duty. What a duty does not say comes from
    /// `[limits]` and `[tank]`, and its flow, where it names a tank, from `[[rearing_tank]]`.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, TANKS_EXAMPLE};
    ///
    /// let tanks = DesignFile::parse(TANKS_EXAMPLE)?.tanks_on_header()?;
    /// assert_eq!(tanks.tanks.len(), 6);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    pub fn tanks_on_header(&self) -> Result<Tanks, FileError> {
        let site = self.read_site();
        self.answer(self.pose_tanks(site))
    }

    /// What the duty asks, or every duty of several.
    pub(super) fn pose_all(&self, site: Option<Site>) {
        if self.has_several_duties() {
            self.pose_tanks(site);
        } else {
            self.pose(site);
        }
    }

    pub(super) fn pose_tanks(&self, site: Option<Site>) -> Option<Tanks> {
        let duties = self.duties();
        if let [_] = duties[..] {
            let task = self.pose(site)?;
            let name = self.sheet.at(["duty"]).get(&duty::NAME);
            let name = name.unwrap_or_else(|| "tank 1".to_owned());
            return self.on_header(vec![Tank { name, task }], site?);
        }
        self.one_objective(&duties);
        let tanks: Vec<Option<Tank>> = duties.iter().map(|own| self.tank_of(own, site)).collect();
        let tanks: Option<Vec<Tank>> = tanks.into_iter().collect();
        self.on_header(tanks?, site?)
    }

    fn on_header(&self, mut tanks: Vec<Tank>, site: Site) -> Option<Tanks> {
        let duties = self.duties().into_iter();
        let mut objectives = duties.filter_map(|own| self.sheet.at([&own]).get(&duty::OBJECTIVE));
        let objective: Objective = objectives.next().unwrap_or_default();
        for tank in &mut tanks {
            tank.task.objective = objective;
        }
        let loss = self.sheet.at(["limits"]).get(&limits::SUPPLY_LOSS);
        let blowers = self.blowers()?;
        Some(Tanks {
            tanks,
            objective,
            air_side: AirSide {
                intake: self.outside(site)?,
                loss: loss.unwrap_or_default(),
                efficiency: self.efficiency(),
            },
            blowers,
        })
    }

    /// Notes each duty whose objective is another than that of a duty before it.
    fn one_objective(&self, duties: &[String]) {
        let mut first = None;
        for own in duties.iter().map(|own| self.sheet.at([own])) {
            let Some(objective) = own.get(&duty::OBJECTIVE) else {
                continue;
            };
            if *first.get_or_insert(objective) != objective {
                let other = "another objective in a [[duty]] before it: all tanks have one";
                own.fault(&duty::OBJECTIVE, Problem::Contradiction { other });
            }
        }
    }

    fn tank_of(&self, section: &str, site: Option<Site>) -> Option<Tank> {
        let own = self.sheet.at([section]);
        let flow = self.flow_of(section);
        let lift = own.needed(&duty::LIFT);
        let low = self.sheet.at([section, "tank"]);
        if asks(&own, &duty::AT_LOW_WATER) && !low.has(&tank::LEVEL_FALL) {
            own.needed(&duty::LEVEL_FALL);
        }
        let duty = flow
            .zip(lift)
            .map(|(water_flow, lift)| Duty { water_flow, lift });
        let task = self.within(section, &own, duty, site)?;
        let name = super::rules::named(&self.sheet, section, &duty::NAME)?;
        match task.validate() {
            Ok(()) => Some(Tank { name, task }),
            Err(error) => {
                self.refused_of_tank(section, name, &error);
                None
            }
        }
    }

    /// What the library refuses of one tank, at the key to blame.
    fn refused_of_tank(&self, section: &str, tank: String, error: &Error) {
        let inputs = || error.inputs().into_iter().flatten();
        let own = |input: Input| {
            let rows = duty::ALL.iter().filter(move |row| row.input == Some(input));
            rows.map(|row| format!("{section}.{}", row.name))
        };
        let is_there = |path: &String| {
            let (section, key) = path.split_once('.').unwrap_or((path, ""));
            self.sheet.find(section, key).is_some()
        };
        let shared = |input: Input| input.keys().map(str::to_owned);
        let mut keys = inputs().flat_map(own).chain(inputs().flat_map(shared));
        let key = keys.find(is_there).unwrap_or_else(|| section.to_owned());
        let problem = Problem::OfTank {
            tank,
            error: Box::new(error.clone()),
        };
        self.sheet.fault(self.sheet.place(&key), &key, problem);
    }
}
