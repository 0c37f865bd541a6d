//! Design files: TOML with a unit in every value, read into typed input.
//!
//! ```
//! use risewater::design::Design;
//! use risewater::units::liter_per_minute;
//!
//! let design = Design::parse(risewater::design::EXAMPLE)?;
//! let riser = design.riser()?;
//! let outcome = riser.operate(design.air()?)?;
//! assert!(outcome.water_flow().get::<liter_per_minute>() > 0.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A value without its unit is an error that says what would do:
//!
//! ```
//! use risewater::design::Design;
//!
//! let error = Design::parse("[riser]\nbore = 76.2\n").unwrap_err();
//! assert!(error.to_string().starts_with("line 2, riser.bore: \"76.2\" has no unit"));
//! ```

#[cfg(all(feature = "trial", feature = "supply"))]
mod aeration;
mod calibration;
mod fault;
#[cfg(feature = "supply")]
mod need;
mod section;
mod sections;
mod sheet;
#[cfg(feature = "supply")]
mod supply;

use std::path::Path;

pub use crate::file::Unreadable;
#[cfg(all(feature = "trial", feature = "supply"))]
pub use aeration::AERATION_EXAMPLE;
pub use fault::{Fault, FileError, Place, Problem};
#[cfg(feature = "supply")]
pub use need::{NEED_EXAMPLE, Rearing};
pub use sheet::SECTIONS;
#[cfg(feature = "supply")]
pub use supply::{Assumption, SUPPLY_EXAMPLE};

use crate::air::AirFlow;
use crate::file::text_of;
use crate::model::Model;
use crate::riser::{Riser, Site};
use crate::sizing;
use crate::transfer::GasTerms;
use crate::uncertainty::{ErrorLaw, Wanted};
use crate::units::Length;
use sections::{Given, Limits, own_pipes};
use sheet::{Sheet, one};

/// A design file of our own invented hatchery, to start from.
pub const EXAMPLE: &str = include_str!("example.toml");

/// A design file, read and checked as far as a file can be without knowing what it is for.
#[derive(Debug)]
pub struct Design {
    sheet: Sheet,
    given: Given,
    /// How sure predicted flows are.
    law: ErrorLaw,
    /// Where files that this one names are looked for.
    #[cfg(feature = "supply")]
    folder: std::path::PathBuf,
    /// Text of the blower's table, in the place of its file.
    #[cfg(feature = "supply")]
    blower_table: Option<String>,
    /// Drills where the file does not say.
    #[cfg(feature = "supply")]
    drills: crate::supply::drill::DrillSystem,
    /// Texts of crop tables, in the place of their files.
    #[cfg(feature = "supply")]
    crop_tables: std::collections::BTreeMap<String, String>,
    /// Text of the readings of an aeration test, in the place of their file.
    #[cfg(all(feature = "trial", feature = "supply"))]
    readings: Option<String>,
}

/// The text of a design file on disk, for [`Design::parse_with`].
///
/// # Errors
/// [`FileError::Unreadable`].
pub fn read_text(path: &Path) -> Result<String, FileError> {
    text_of(path).map_err(|reason| FileError::Unreadable {
        path: path.to_owned(),
        reason,
    })
}

impl Design {
    /// Reads a file.
    ///
    /// # Errors
    /// [`FileError::Unreadable`], and as [`Design::parse`].
    pub fn read(path: &Path) -> Result<Self, FileError> {
        let read = Self::parse(&read_text(path)?)?;
        #[cfg(feature = "supply")]
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
        self.given.wanted()
    }

    /// What questions about its risers are asked with, under a law of error.
    ///
    /// # Errors
    /// As [`Design::gas`].
    #[cfg(feature = "report")]
    pub fn terms(&self, law: ErrorLaw) -> Result<crate::answer::Terms, FileError> {
        Ok(crate::answer::Terms {
            law,
            gas: self.gas()?,
            states_outlet: self.states_outlet(),
        })
    }

    /// Whether the file says how the water leaves.
    #[must_use]
    pub fn states_outlet(&self) -> bool {
        self.given.riser.states_outlet()
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
    /// As [`Design::parse`]; [`Problem::NoKey`] when a replacement names no key.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{Design, EXAMPLE};
    ///
    /// let shallow = Design::parse_with(EXAMPLE, &["riser.submergence=0.6 m".to_owned()])?;
    /// let deep = Design::parse(EXAMPLE)?;
    /// let flow = |design: &Design| -> Result<_, Box<dyn std::error::Error>> {
    ///     Ok(design.riser()?.operate(design.air()?)?.water_flow())
    /// };
    /// assert!(flow(&shallow)? < flow(&deep)?);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn parse_with(text: &str, replacements: &[String]) -> Result<Self, FileError> {
        let mut sheet = Sheet::parse(text.trim_start_matches('\u{feff}'), replacements)?;
        sheet.pipes = own_pipes(&sheet);
        let given = Given::read(&sheet);
        sheet.verdict()?;
        Ok(Self {
            sheet,
            given,
            law: ErrorLaw::default(),
            #[cfg(feature = "supply")]
            folder: std::path::PathBuf::new(),
            #[cfg(feature = "supply")]
            blower_table: None,
            #[cfg(feature = "supply")]
            drills: crate::supply::drill::DrillSystem::Metric,
            #[cfg(feature = "supply")]
            crop_tables: std::collections::BTreeMap::new(),
            #[cfg(all(feature = "trial", feature = "supply"))]
            readings: None,
        })
    }

    /// Checks every section that is there, and asks for nothing that is not.
    ///
    /// # Errors
    /// [`FileError::Faults`].
    pub fn check(&self) -> Result<(), FileError> {
        let (placed, duty) = (self.given.riser.is_placed(), self.sheet.has("duty"));
        let site = if placed || duty || self.sheet.has("water") {
            self.given.site(&self.sheet)
        } else {
            None
        };
        if self.has_gas() && site.is_some() {
            self.gas_terms(site);
        }
        // On a bench, the runs set depth, lift and air; in a supply, the lifts do.
        let others = self.check_bench();
        #[cfg(feature = "supply")]
        let others = others || self.has_lifts();
        let is_there = |key| self.sheet.place(key) != Place::Absent;
        if placed && !(others && !(is_there("riser.submergence") && is_there("riser.lift"))) {
            self.place(site);
        }
        let has_flow = is_there("air.flow") || is_there("air.mass_flow");
        if self.sheet.has("air") && (!others || has_flow) {
            self.given.air(&self.sheet);
        }
        if duty {
            self.pose(site);
        }
        #[cfg(feature = "supply")]
        {
            self.check_need(duty);
            self.check_supply();
        }
        #[cfg(all(feature = "trial", feature = "supply"))]
        self.check_aeration();
        self.sheet.verdict_and_forget()
    }

    /// Whether the file plans a trial; what that lacks is noted.
    #[cfg(feature = "trial")]
    fn check_bench(&self) -> bool {
        let plans = self.given.trial.plans();
        if plans && let Some(bench) = self.given.bench(&self.sheet) {
            self.sheet.keep(bench.check(), "trial");
        }
        plans
    }

    #[cfg(not(feature = "trial"))]
    fn check_bench(&self) -> bool {
        self.sheet.has("trial")
    }

    /// Water and atmosphere, of `[water]` and `[site]`.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn site(&self) -> Result<Site, FileError> {
        self.answer(self.given.site(&self.sheet))
    }

    /// The closures, of `[model]`.
    #[must_use]
    pub fn model(&self) -> Model {
        self.given.model
    }

    /// The riser of `[riser]`, in its site.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn riser(&self) -> Result<Riser, FileError> {
        self.answer(self.place(self.given.site(&self.sheet)))
    }

    fn place(&self, site: Option<Site>) -> Option<Riser> {
        let spec = self.given.riser.placed(&self.sheet);
        self.sheet
            .keep(spec?.build(&site?, self.given.model), "riser")
    }

    /// The air flow of `[air]`.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn air(&self) -> Result<AirFlow, FileError> {
        self.answer(self.given.air(&self.sheet))
    }

    /// The riser and its air flow together, so that whatever either lacks is told at once.
    ///
    /// # Errors
    /// As [`Design::riser`] and [`Design::air`].
    pub fn riser_and_air(&self) -> Result<(Riser, AirFlow), FileError> {
        let riser = self.place(self.given.site(&self.sheet));
        let air = self.given.air(&self.sheet);
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
    /// use risewater::design::{Design, EXAMPLE};
    /// use risewater::units::hertz;
    ///
    /// let text = format!("{EXAMPLE}\n[gas]\ntransfer_coefficient = \"72 1/h\"\n");
    /// let coefficient = Design::parse(&text)?.gas()?.coefficient.expect("given");
    /// assert!((coefficient.get::<hertz>() - 0.02).abs() < 1e-12);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    pub fn gas(&self) -> Result<GasTerms, FileError> {
        let terms = self.answer(self.gas_terms(self.given.site(&self.sheet)))?;
        self.with_tanks(terms)
    }

    /// Without tables of crops a file gives no need.
    #[cfg(not(feature = "supply"))]
    #[allow(
        clippy::unnecessary_wraps,
        clippy::unused_self,
        reason = "as with the feature"
    )]
    fn with_tanks(&self, terms: GasTerms) -> Result<GasTerms, FileError> {
        Ok(terms)
    }

    /// Whether the file has a section `[gas]`.
    #[must_use]
    pub fn has_gas(&self) -> bool {
        self.sheet.has("gas")
    }

    fn gas_terms(&self, site: Option<Site>) -> Option<GasTerms> {
        let mut terms = self.given.gas;
        terms.limit = terms.limit.or(self.given.limits.max_total_gas_pressure);
        self.sheet
            .keep(terms.transfer(&site?), "gas.transfer_coefficient")
            .map(|_| terms)
    }

    /// The bench of `[trial]`: the riser to move, what to try, and the instruments.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::Design;
    /// use risewater::trial::DEMO_RIG;
    ///
    /// let bench = Design::parse(DEMO_RIG)?.bench()?;
    /// assert_eq!(bench.submergences.len(), 3);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    #[cfg(feature = "trial")]
    pub fn bench(&self) -> Result<crate::trial::Bench, FileError> {
        let bench = self.answer(self.given.bench(&self.sheet))?;
        Ok(bench.with_law(self.law.clone()))
    }

    /// The instruments of `[trial]`, with their defaults.
    #[cfg(feature = "trial")]
    #[must_use]
    pub fn instruments(&self) -> crate::trial::Instruments {
        self.given.trial.instruments
    }

    /// The relative standard uncertainty that `[trial]` wants, where it does.
    #[cfg(feature = "trial")]
    #[must_use]
    pub fn wanted(&self) -> Option<crate::units::Ratio> {
        self.given.trial.wanted
    }

    /// The riser of `[riser]`, whose depth and lift each run of a trial sets.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    #[cfg(feature = "trial")]
    pub fn movable_riser(&self) -> Result<crate::riser::RiserSpec, FileError> {
        self.answer(self.given.riser.movable(&self.sheet))
    }

    /// The water flow of `[duty]`, where there is one.
    #[must_use]
    pub fn duty_flow(&self) -> Option<crate::units::VolumeRate> {
        self.given.water_flow
    }

    /// The sizing problem of `[duty]`, `[limits]`, `[tank]` and the shared keys of `[riser]`; the water flow is
    /// what `[need]` comes to where the file has that in place of a flow.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn problem(&self) -> Result<sizing::Problem, FileError> {
        self.answer(self.pose(self.given.site(&self.sheet)))
    }

    fn pose(&self, site: Option<Site>) -> Option<sizing::Problem> {
        let duty = self.given.duty(&self.sheet, self.needed_flow());
        let limits = self.given.limits.complete(&self.sheet);
        let problem = self.assemble(duty?, site?, limits?);
        self.sheet
            .keep(problem.validate(), "duty")
            .map(|()| problem)
    }

    /// Without tables of crops a file gives no need.
    #[cfg(not(feature = "supply"))]
    fn needed_flow(&self) -> Option<Option<crate::units::VolumeRate>> {
        None
    }

    fn assemble(&self, duty: sizing::Duty, site: Site, limits: Limits) -> sizing::Problem {
        let shared = self.given.riser.shared(duty.lift);
        let mut problem =
            sizing::Problem::new(duty, site, shared, limits.pipes, limits.submergences);
        problem.model = self.given.model;
        problem.max_lifts = limits.max_lifts;
        problem.max_air_pressure = limits.max_air_pressure;
        problem.max_total_gas_pressure = limits.max_total_gas_pressure;
        problem.peak_reserve = limits.peak_reserve;
        problem.objective = self.given.objective;
        let or_none = |length: Option<Length>| length.unwrap_or_default();
        problem.level_fall = or_none(self.given.level_fall);
        problem.level_rise = or_none(self.given.level_rise);
        problem.at_low_water = self.given.at_low_water;
        problem.at_lower_end = self.given.at_lower_end;
        problem.law = self.law.clone();
        problem.fouling = or_none(limits.fouling);
        problem
    }

    /// What was asked for, or every fault noted on the way to it.
    fn answer<T>(&self, found: Option<T>) -> Result<T, FileError> {
        self.sheet.verdict_and_forget()?;
        found.ok_or_else(|| {
            one(
                Place::Absent,
                "",
                Problem::Missing {
                    expected: "more of the design",
                },
            )
        })
    }
}
