//! Design files: TOML with a unit in every value, read into typed input.
//!
//! ```
//! use risewater::design::DesignFile;
//! use risewater::units::liter_per_minute;
//!
//! let design = DesignFile::parse(risewater::design::EXAMPLE)?;
//! let riser = design.riser()?;
//! let outcome = riser.operate(design.air()?)?;
//! assert!(outcome.water_flow().get::<liter_per_minute>() > 0.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A value without its unit is an error that says what would do:
//!
//! ```
//! use risewater::design::DesignFile;
//!
//! let error = DesignFile::parse("[riser]\nbore = 76.2\n").unwrap_err();
//! assert!(error.to_string().starts_with("line 2, riser.bore: \"76.2\" has no unit"));
//! ```

mod aeration;
mod calibration;
mod fault;
mod layers;
mod loops;
mod need;
mod read;
mod rules;
mod sheet;
mod supply;
#[cfg(feature = "sweep")]
mod sweep;
mod tanks;
mod texts;
mod trial;
mod values;

use std::path::Path;
use std::sync::Arc;

pub use crate::file::Unreadable;
pub use aeration::AERATION_EXAMPLE;
pub use fault::{Fault, FileError, Place, Problem};
pub use loops::{LOOP_EXAMPLE, LoopDesign};
pub use need::{NEED_EXAMPLE, Rearing};
pub use supply::{Assumption, EXISTING_EXAMPLE, SUPPLY_EXAMPLE};
#[cfg(feature = "sweep")]
pub use sweep::SweptError;
pub use tanks::TANKS_EXAMPLE;
pub use values::{value_of, with_values};

use crate::air::AirFlow;
use crate::error::{Error, Input};
use crate::file::text_of;
use crate::keys::described::{self, set};
use crate::keys::{Key, Section, air, duty, gas, limits, riser, tank, water};
use crate::model::Model;
use crate::pipe::Pipe;
use crate::riser::{Riser, RiserSpec, Site};
use crate::sizing;
use crate::transfer::GasTerms;
use crate::uncertainty::{ErrorLaw, Wanted};
use crate::units::{Length, VolumeRate, base, millimeter};
use layers::Layers;
use sheet::{Sheet, one};

/// A design file of our own invented hatchery, to start from.
pub const EXAMPLE: &str = include_str!("example.toml");

/// A design file, read and checked as far as a file can be without knowing what it is for.
#[derive(Debug)]
pub struct DesignFile {
    sheet: Sheet,
    /// How sure predicted flows are.
    law: ErrorLaw,
    /// Files that this one names.
    texts: texts::Texts,
    /// The tanks without any fault, and what they need.
    room: std::cell::OnceCell<(crate::need::Room, crate::need::RoomNeed)>,
    /// Drills where the file does not say.
    drills: crate::supply::drill::DrillSystem,
}

/// The text of a design file on disk, for [`DesignFile::parse_with`].
///
/// # Errors
/// [`FileError::Unreadable`].
pub fn read_text(path: &Path) -> Result<String, FileError> {
    text_of(path).map_err(|reason| FileError::Unreadable {
        path: path.to_owned(),
        reason,
    })
}

impl DesignFile {
    /// Reads a file.
    ///
    /// # Errors
    /// [`FileError::Unreadable`], and as [`DesignFile::parse`].
    pub fn read(path: &Path) -> Result<Self, FileError> {
        let read = Self::parse(&read_text(path)?)?;
        let read = read.in_folder(path.parent().unwrap_or(Path::new("")));
        Ok(read)
    }

    /// Reads the text of a file.
    ///
    /// # Errors
    /// [`FileError::Faults`] with everything that is wrong, by line.
    pub fn parse(text: &str) -> Result<Self, FileError> {
        Self::parse_with(text, &[])
    }

    /// Which flow must meet what is asked for: `duty.at_lower_end`.
    #[must_use]
    pub fn held_to_duty(&self) -> Wanted {
        if self.duty_asks(&duty::AT_LOWER_END) {
            Wanted::LowerEnd
        } else {
            Wanted::Predicted
        }
    }

    /// Whether any duty of the file asks for it.
    fn duty_asks(&self, key: &Key<bool>) -> bool {
        let duties = self.duties().into_iter();
        duties
            .map(|duty| self.sheet.at([&duty]))
            .any(|duty| asks(&duty, key))
    }

    /// What questions about its risers are asked with, under a law of error.
    ///
    /// # Errors
    /// As [`DesignFile::gas`].
    #[cfg(feature = "report")]
    pub fn terms(&self, law: ErrorLaw) -> Result<crate::answer::Terms, FileError> {
        Ok(crate::answer::Terms {
            law,
            gas: self.gas()?,
            states_outlet: self.states_outlet(),
            level_fall: self.sheet.at(["tank"]).get(&tank::LEVEL_FALL),
            level_rise: self.sheet.at(["tank"]).get(&tank::LEVEL_RISE),
            profile: false,
        })
    }

    /// Whether the file says how the water leaves.
    #[must_use]
    pub fn states_outlet(&self) -> bool {
        self.sheet.at(["riser"]).has(&riser::OUTLET)
    }

    /// With a bench trial, or another level of intervals: searches and supplies are asked with it.
    #[must_use]
    pub fn with_law(mut self, law: ErrorLaw) -> Self {
        self.law = law;
        self
    }

    /// Reads the text of a file, some of whose values are replaced: `riser.lift=0.2 m`.
    ///
    /// # Errors
    /// As [`DesignFile::parse`]; [`Problem::NoKey`] when a replacement names no key.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, EXAMPLE};
    ///
    /// let shallow = DesignFile::parse_with(EXAMPLE, &["riser.submergence=0.6 m".to_owned()])?;
    /// let deep = DesignFile::parse(EXAMPLE)?;
    /// let flow = |design: &DesignFile| -> Result<_, Box<dyn std::error::Error>> {
    ///     Ok(design.riser()?.operate(design.air()?)?.water_flow())
    /// };
    /// assert!(flow(&shallow)? < flow(&deep)?);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn parse_with(text: &str, replacements: &[String]) -> Result<Self, FileError> {
        let mut sheet = Sheet::parse(text.trim_start_matches('\u{feff}'), replacements)?;
        sheet.pipes = rules::own_pipes(&sheet);
        rules::check(&sheet);
        sheet.verdict()?;
        Ok(Self {
            sheet,
            law: ErrorLaw::default(),
            texts: texts::Texts::default(),
            room: std::cell::OnceCell::new(),
            drills: crate::supply::drill::DrillSystem::Metric,
        })
    }

    /// Checks every section that is there, and asks for nothing that is not.
    ///
    /// # Errors
    /// [`FileError::Faults`].
    pub fn check(&self) -> Result<(), FileError> {
        let (placed, duty) = (self.is_placed(), self.sheet.has("duty"));
        let site = if placed || duty || self.sheet.has("water") {
            self.read_site()
        } else {
            None
        };
        if self.has_gas() && site.is_some() {
            self.gas_terms(site);
        }
        // On a bench, the runs set depth, lift and air; in a supply, the lifts do.
        let others = self.check_bench();
        let others = others || self.has_lifts();
        // A sweep may give what the file does not.
        #[cfg(feature = "sweep")]
        let (placed, air) = {
            let swept = |section| self.is_swept(section);
            (placed && !swept("riser"), !swept("air"))
        };
        #[cfg(not(feature = "sweep"))]
        let air = true;
        let own = self.sheet.at(["riser"]);
        if placed && (!others || own.has(&riser::SUBMERGENCE) && own.has(&riser::LIFT)) {
            self.place(site);
        }
        if air && self.sheet.has("air") && (!others || self.has_air_flow()) {
            self.read_air();
        }
        if duty {
            self.pose_all(site);
        }
        self.check_need(duty);
        self.check_supply();
        self.check_aeration();
        #[cfg(feature = "sweep")]
        self.check_sweep();
        self.sheet.verdict_and_forget()
    }

    /// The sections that the file has, in the order of [`SECTIONS`](crate::keys::SECTIONS).
    pub fn sections(&self) -> impl Iterator<Item = &'static Section> {
        const ALL: &[Section] = &crate::keys::SECTIONS;
        ALL.iter().filter(|section| self.sheet.has(section.name))
    }

    /// Water and atmosphere, of `[water]` and `[site]`.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn site(&self) -> Result<Site, FileError> {
        self.answer(self.read_site())
    }

    /// The closures, of `[model]`.
    #[must_use]
    pub fn model(&self) -> Model {
        described::model(&self.sheet.at(["model"]))
    }

    /// The riser of `[riser]`, in its site.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn riser(&self) -> Result<Riser, FileError> {
        self.answer(self.place(self.read_site()))
    }

    fn place(&self, site: Option<Site>) -> Option<Riser> {
        let own = self.sheet.at(["riser"]);
        let bore = own.or_missing(self.bore(), &riser::BORE);
        let (submergence, lift) = (own.needed(&riser::SUBMERGENCE), own.needed(&riser::LIFT));
        let spec = self.spec(bore?, submergence?, lift?);
        self.sheet.keep(spec.build(&site?, self.model()), "riser")
    }

    fn bore(&self) -> Option<Length> {
        let own = self.sheet.at(["riser"]);
        Some(own.bore(&riser::BORE, &riser::PIPE)?.0)
    }

    /// Whether any of the keys is there that place one riser.
    fn is_placed(&self) -> bool {
        let own = self.sheet.at(["riser"]);
        own.has(&riser::SUBMERGENCE) || own.has(&riser::LIFT) || self.bore().is_some()
    }

    /// A riser in its place, with what `[riser]` says of all.
    fn spec(&self, bore: Length, submergence: Length, lift: Length) -> RiserSpec {
        let own = self.sheet.at(["riser"]);
        let mut spec = described::spec(&own, [bore, submergence, lift]);
        spec.injector = self.injector_kind(None);
        spec
    }

    /// The air flow of `[air]`.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn air(&self) -> Result<AirFlow, FileError> {
        self.answer(self.read_air())
    }

    /// How far the water stands from its normal level at its lowest and its highest, as `[tank]` has it; without what does
    /// not change.
    ///
    /// # Errors
    /// [`FileError::Faults`] as everywhere.
    pub fn levels(&self) -> Result<Vec<Length>, FileError> {
        self.answer(Some(self.levels_of_tank()))
    }

    /// The riser and its air flow together, so that whatever either lacks is told at once.
    ///
    /// # Errors
    /// As [`DesignFile::riser`] and [`DesignFile::air`].
    pub fn riser_and_air(&self) -> Result<(Riser, AirFlow), FileError> {
        let riser = self.place(self.read_site());
        let air = self.read_air();
        self.answer(riser.zip(air))
    }

    /// What `[gas]` knows of the gases of the water, and `[need]` of the tanks' water at its limits; the defaults
    /// where neither says anything.
    ///
    /// # Errors
    /// [`FileError::Faults`] when it gives a transfer coefficient that the water of the site cannot have: the
    /// gases' own ranges of temperature and salinity are narrower.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, EXAMPLE};
    /// use risewater::units::hertz;
    ///
    /// let text = format!("{EXAMPLE}\n[gas]\ntransfer_coefficient = \"72 1/h\"\n");
    /// let coefficient = DesignFile::parse(&text)?.gas()?.coefficient.expect("given");
    /// assert!((coefficient.get::<hertz>() - 0.02).abs() < 1e-12);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    pub fn gas(&self) -> Result<GasTerms, FileError> {
        let terms = self.answer(self.gas_terms(self.read_site()))?;
        self.with_tanks(terms)
    }

    /// Whether the file has a section `[gas]`.
    #[must_use]
    pub fn has_gas(&self) -> bool {
        self.sheet.has("gas")
    }

    fn gas_terms(&self, site: Option<Site>) -> Option<GasTerms> {
        let (gas, mut terms) = (self.sheet.at(["gas"]), GasTerms::default());
        // In the order of `Gas::ALL`.
        terms.entering = [
            &gas::OXYGEN,
            &gas::NITROGEN,
            &gas::ARGON,
            &gas::CARBON_DIOXIDE,
        ]
        .map(|key| gas.get(key));
        terms.coefficient = gas.get(&gas::TRANSFER_COEFFICIENT);
        terms.coefficient_temperature = gas.get(&gas::TRANSFER_TEMPERATURE);
        set(
            &mut terms.diffusion_exponent,
            gas.get(&gas::DIFFUSION_EXPONENT),
        );
        set(
            &mut terms.carbon_dioxide_of_air,
            gas.get(&gas::CARBON_DIOXIDE_OF_AIR),
        );
        let limits = self.sheet.at(["limits"]);
        let limit = gas.get(&gas::TOTAL_GAS_PRESSURE_LIMIT);
        terms.limit = limit.or_else(|| limits.get(&limits::MAX_TOTAL_GAS_PRESSURE));
        self.sheet
            .keep(terms.transfer(&site?), gas::TRANSFER_COEFFICIENT.path)
            .map(|_| terms)
    }

    /// The water flow of `[duty]`, where there is one.
    #[must_use]
    pub fn duty_flow(&self) -> Option<crate::units::VolumeRate> {
        self.sheet.at(["duty"]).get(&duty::WATER_FLOW)
    }

    /// The sizing problem of `[duty]`, `[limits]`, `[tank]` and the shared keys of `[riser]`; the water flow is
    /// what `[need]` comes to where the file has that in place of a flow.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn problem(&self) -> Result<sizing::Task, FileError> {
        self.answer(self.pose(self.read_site()))
    }

    fn pose(&self, site: Option<Site>) -> Option<sizing::Task> {
        if let duties @ [_, other, ..] = &self.duties()[..] {
            let count = duties.len();
            let place = self.sheet.place(other);
            self.sheet
                .fault(place, "duty", Problem::SeveralDuties { count });
            return None;
        }
        let duty = self.duty();
        let limits = self.sheet.at(["limits"]);
        let problem = self.within("duty", &limits, duty, site)?;
        self.sheet
            .keep(problem.validate(), "duty")
            .map(|()| problem)
    }

    /// The problem of one duty of the file; what its limits lack is told of some sections.
    fn within(
        &self,
        section: &str,
        told: &Layers,
        duty: Option<sizing::Duty>,
        site: Option<Site>,
    ) -> Option<sizing::Task> {
        let own = self.sheet.at([section, "limits"]);
        let pipes = told.or_missing(self.pipes(&own), &limits::STANDARDS);
        told.or_missing(own.get(&limits::MAX_SUBMERGENCE), &limits::MAX_SUBMERGENCE);
        let depths = rules::searched_depths(&own).and_then(Result::ok);
        Some(self.assemble(section, duty?, site?, (pipes?, depths?)))
    }

    /// The duty; its flow is that of a need where the file has one, which has told its faults.
    fn duty(&self) -> Option<sizing::Duty> {
        let own = self.sheet.at(["duty"]);
        let need = self.needed_flow();
        let water_flow = need.unwrap_or_else(|| self.flow_of("duty"));
        let lift = own.needed(&duty::LIFT);
        if asks(&own, &duty::AT_LOW_WATER) && !own.has(&duty::LEVEL_FALL) {
            self.sheet.at(["tank"]).needed(&tank::LEVEL_FALL)?;
        }
        Some(sizing::Duty {
            water_flow: water_flow?,
            lift: lift?,
        })
    }

    /// The pipes of standards and of names, each once, of the nearest section that has any; those that are not too wide.
    fn pipes(&self, limits: &Layers) -> Option<Vec<Arc<Pipe>>> {
        let widest = limits.get(&limits::MAX_BORE);
        let held = limits.with(&[&limits::MAX_BORE]);
        let limits = limits.with(&[&limits::STANDARDS, &limits::PIPES])?;
        let standards = limits.get(&limits::STANDARDS);
        let names = limits.get(&limits::PIPES);
        let standards = standards.iter().flatten();
        let of_standards = standards.flat_map(|name| Pipe::of_standards(&[name]));
        let by_name = names.iter().flatten().map(|name| self.sheet.pipe(name));
        let mut all: Vec<Arc<Pipe>> = Vec::new();
        for pipe in of_standards.flatten().chain(by_name.flatten().flatten()) {
            if !all.iter().any(|known| known.name == pipe.name) {
                all.push(pipe);
            }
        }
        let Some((widest, held)) = widest.zip(held) else {
            return Some(all);
        };
        let bore = |pipe: &Arc<Pipe>| pipe.bore();
        let narrowest = all
            .iter()
            .map(bore)
            .min_by(|a, b| a.value.total_cmp(&b.value));
        all.retain(|pipe| pipe.bore() <= widest);
        if let Some(narrowest) = narrowest.filter(|_| all.is_empty()) {
            let mm = |bore: Length| bore.get::<millimeter>();
            let error = Error::Inconsistent {
                larger: Input::MaxBore,
                larger_value: mm(widest),
                smaller: Input::NarrowestPipe,
                smaller_value: mm(narrowest),
                unit: "mm",
            };
            held.fault(&limits::MAX_BORE, Problem::Refused(error));
            return None;
        }
        Some(all)
    }

    fn assemble(
        &self,
        section: &str,
        duty: sizing::Duty,
        site: Site,
        (pipes, depths): (Vec<Arc<Pipe>>, Vec<Length>),
    ) -> sizing::Task {
        let asked = self.sheet.at([section]);
        let (own, tank) = (
            self.sheet.at([section, "limits"]),
            self.sheet.at([section, "tank"]),
        );
        // The search sets bore and submergence.
        let shared = self.spec(base(0.0), base(0.0), duty.lift);
        let mut problem = sizing::Task::new(duty, site, shared, pipes, depths);
        problem.model = self.model();
        set(&mut problem.min_lifts, own.usual(&limits::MIN_LIFTS));
        set(&mut problem.max_lifts, own.usual(&limits::MAX_LIFTS));
        problem.max_air_pressure = own.get(&limits::MAX_AIR_PRESSURE);
        problem.max_total_gas_pressure = own.get(&limits::MAX_TOTAL_GAS_PRESSURE);
        set(&mut problem.peak_reserve, own.usual(&limits::PEAK_RESERVE));
        set(&mut problem.fouling, own.usual(&limits::FOULING));
        set(&mut problem.objective, asked.usual(&duty::OBJECTIVE));
        set(&mut problem.level_fall, tank.usual(&tank::LEVEL_FALL));
        set(&mut problem.level_rise, tank.usual(&tank::LEVEL_RISE));
        problem.at_low_water = asks(&asked, &duty::AT_LOW_WATER);
        problem.at_lower_end = asks(&asked, &duty::AT_LOWER_END);
        problem.law = self.law.clone();
        problem
    }

    /// Water and atmosphere; faults are noted.
    fn read_site(&self) -> Option<Site> {
        let own = self.sheet.at(["water"]);
        own.needed(&water::TEMPERATURE)?;
        let site = described::site(&own, &self.sheet.at(["site"]))?;
        self.sheet.keep(site, "water")
    }

    /// The air flow, as a mass of dry air; faults are noted.
    fn read_air(&self) -> Option<AirFlow> {
        let own = self.sheet.at(["air"]);
        let key = if own.has(&air::MASS_FLOW) {
            air::MASS_FLOW.path
        } else {
            let (flow, reference) = (own.needed(&air::FLOW), own.needed(&air::REFERENCE));
            flow.and(reference)?;
            air::FLOW.path
        };
        self.sheet.keep(described::air_flow(&own)?, key)
    }

    /// A volume flow at the reference of `[air]`.
    fn counted(&self, flow: VolumeRate, key: &str) -> Option<AirFlow> {
        let reference = self.sheet.at(["air"]).needed(&air::REFERENCE)?;
        self.sheet.keep(AirFlow::at(flow, &reference), key)
    }

    /// Whether the file says how much air there is.
    #[must_use]
    pub fn has_air_flow(&self) -> bool {
        let flows = [&air::FLOW.row, &air::MASS_FLOW.row];
        self.sheet.at(["air"]).with(&flows).is_some()
    }

    /// What was asked for, or every fault noted on the way to it.
    fn answer<T>(&self, found: Option<T>) -> Result<T, FileError> {
        self.sheet.verdict_and_forget()?;
        found.ok_or_else(|| {
            one(
                Place::Absent,
                "",
                Problem::Missing {
                    expected: "more of the design".into(),
                },
            )
        })
    }
}

/// Whether a duty asks for it.
fn asks(duty: &Layers, key: &Key<bool>) -> bool {
    duty.usual(key).unwrap_or_default()
}
