//! A run of pipe: `[main_line]`, `[header]`, `[branch]`, and what a lift has of its own.

use std::sync::Arc;

use super::{in_m, in_mm};
use crate::design::section::{Bound, Section};
use crate::design::sheet::Sheet;
use crate::error::{Input, Range};
use crate::pipe::fittings::Fitting;
use crate::pipe::{BORE, Pipe};
use crate::riser::LOSS_COEFFICIENT;
use crate::supply::{LINE_LENGTH, LINE_ROUGHNESS};
use crate::units::quantity;
use crate::units::{Length, Ratio, micrometer};

/// Numbers of one fitting in a run.
const FITTINGS: Range = Range::new(0.0, 1000.0, "");

/// The keys of a run that differ from section to section, and which it has.
pub struct RunKeys {
    pipe: &'static str,
    bore: &'static str,
    /// Section and key of the bore, for a contradiction.
    bore_path: &'static str,
    has_length: bool,
    has_roughness: bool,
}

impl RunKeys {
    pub const MAIN_LINE: Self = Self {
        pipe: "pipe",
        bore: "bore",
        bore_path: "main_line.bore",
        has_length: true,
        has_roughness: true,
    };
    pub const HEADER: Self = Self {
        bore_path: "header.bore",
        has_length: false,
        ..Self::MAIN_LINE
    };
    pub const BRANCH: Self = Self {
        bore_path: "branch.bore",
        ..Self::MAIN_LINE
    };
    pub const LIFT: Self = Self {
        pipe: "line_pipe",
        bore: "line_bore",
        bore_path: "its line_bore",
        has_length: true,
        has_roughness: false,
    };
}

/// A run of pipe as given.
#[derive(Debug, Default, Clone)]
pub struct GivenRun {
    pub pipe: Option<Arc<Pipe>>,
    pub bore: Option<Length>,
    pub length: Option<Length>,
    pub roughness: Option<Length>,
    pub fittings: Option<Vec<(Fitting, u32)>>,
    pub loss: Option<Ratio>,
}

impl GivenRun {
    pub fn read(sheet: &Sheet, section: &mut Section, keys: &RunKeys) -> Self {
        let mut given = Self {
            bore: section.quantity(keys.bore, quantity::length, in_mm(Input::LineBore, BORE)),
            ..Self::default()
        };
        if let Some(pipe) = section.pipe(keys.pipe, keys.bore, keys.bore_path) {
            given.bore = Some(pipe.bore());
            given.pipe = Some(pipe);
        }
        if keys.has_length {
            given.length = section.quantity(
                "length",
                quantity::length,
                in_m(Input::LineLength, LINE_LENGTH),
            );
            given.loss = section.number("loss", Input::LineLoss, LOSS_COEFFICIENT);
            given.fittings = fittings(sheet, section);
        }
        if keys.has_roughness {
            let bound: Bound<Length> = (Input::LineRoughness, LINE_ROUGHNESS, |length| {
                length.get::<micrometer>()
            });
            given.roughness = section.quantity("roughness", quantity::length, bound);
        }
        given
    }

    /// What it has of its own, and the rest of another.
    pub fn or(&self, other: &Self) -> Self {
        let own = self.bore.is_some();
        Self {
            pipe: if own { &self.pipe } else { &other.pipe }.clone(),
            bore: self.bore.or(other.bore),
            length: self.length.or(other.length),
            roughness: self.roughness.or(other.roughness),
            fittings: self.fittings.clone().or_else(|| other.fittings.clone()),
            loss: self.loss.or(other.loss),
        }
    }
}

fn fittings(sheet: &Sheet, section: &mut Section) -> Option<Vec<(Fitting, u32)>> {
    let counts = section.counts("fittings", Input::FittingCount, FITTINGS)?;
    let path = section.path("fittings");
    counts
        .into_iter()
        .map(|(name, count)| Some((sheet.keep(name.parse::<Fitting>(), &path)?, count)))
        .collect()
}
