//! `[branch]`: from the header to a riser's injector; what a lift has of its own overrides it.

use strum::VariantNames;

use super::run::{GivenRun, RunKeys};
use super::{in_kpa, in_mm};
use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::design::sections::air::VOLUME_FLOW;
use crate::design::sheet::Sheet;
use crate::error::{Error, Input, NameKind, Range};
use crate::riser::LOSS_COEFFICIENT;
use crate::supply::{
    DISCHARGE_COEFFICIENT, HOLE_DIAMETER, HOLES, INJECTOR_LOSS, Injector, OPENING_PRESSURE,
};
use crate::units::quantity;
use crate::units::{Length, Pressure, Ratio, VolumeRate, kilopascal, liter_per_minute};

/// Which injector a key belongs to.
const OWN: [(&str, &str); 4] = [
    ("holes", "drilled_ring"),
    ("hole_diameter", "drilled_ring"),
    ("discharge_coefficient", "drilled_ring"),
    ("diffuser_loss", "diffuser"),
];

/// A branch as given.
#[derive(Debug, Default, Clone)]
pub struct GivenBranch {
    pub run: GivenRun,
    pub valve_loss: Option<Ratio>,
    pub check_valve: Option<Pressure>,
    pub injector: Option<&'static str>,
    pub holes: Option<u32>,
    pub hole_diameter: Option<Length>,
    pub discharge: Option<Ratio>,
    pub diffuser_loss: Option<Vec<(VolumeRate, Pressure)>>,
    /// Section that the injector is chosen in.
    pub chosen_in: Option<String>,
}

impl GivenBranch {
    /// `[branch]`.
    pub fn read(sheet: &Sheet, mut branch: Section) -> Self {
        let given = Self::keys(sheet, &mut branch, &RunKeys::BRANCH);
        given.foreign(&branch);
        branch.close();
        given
    }

    /// The keys of a branch in a section that may have others.
    pub(super) fn keys(sheet: &Sheet, section: &mut Section, run: &RunKeys) -> Self {
        let injector = section.text("injector").and_then(|name| {
            let found = Injector::VARIANTS
                .iter()
                .copied()
                .find(|known| *known == name);
            if found.is_none() {
                let error = Error::unknown_name(NameKind::Injector, name, Injector::VARIANTS);
                sheet.refused(error, &section.path("injector"));
            }
            found
        });
        Self {
            run: GivenRun::read(sheet, section, run),
            valve_loss: section.number("valve_loss", Input::ValveLoss, LOSS_COEFFICIENT),
            check_valve: section.quantity(
                "check_valve",
                quantity::pressure,
                in_kpa(Input::CheckValve, OPENING_PRESSURE),
            ),
            injector,
            holes: section.count("holes", Input::Holes, HOLES),
            hole_diameter: section.quantity(
                "hole_diameter",
                quantity::length,
                in_mm(Input::HoleDiameter, HOLE_DIAMETER),
            ),
            discharge: section.number(
                "discharge_coefficient",
                Input::DischargeCoefficient,
                DISCHARGE_COEFFICIENT,
            ),
            diffuser_loss: diffuser(section),
            chosen_in: injector.map(|_| section.path("injector")),
        }
    }

    /// What it has of its own, and the rest of another.
    pub fn or(&self, other: &Self) -> Self {
        Self {
            run: self.run.or(&other.run),
            valve_loss: self.valve_loss.or(other.valve_loss),
            check_valve: self.check_valve.or(other.check_valve),
            injector: self.injector.or(other.injector),
            holes: self.holes.or(other.holes),
            hole_diameter: self.hole_diameter.or(other.hole_diameter),
            discharge: self.discharge.or(other.discharge),
            diffuser_loss: self
                .diffuser_loss
                .clone()
                .or_else(|| other.diffuser_loss.clone()),
            chosen_in: self.chosen_in.clone().or_else(|| other.chosen_in.clone()),
        }
    }

    /// Notes keys of a section that belong to another injector than this one.
    pub fn foreign(&self, section: &Section) {
        let injector = self.injector.unwrap_or("open_tube");
        for (key, belongs_to) in OWN {
            if section.has(key) && injector != belongs_to {
                let problem = Problem::OtherInjector {
                    belongs_to,
                    injector,
                };
                section.fault(key, problem);
            }
        }
    }
}

/// The loss curve of a diffuser.
fn diffuser(section: &mut Section) -> Option<Vec<(VolumeRate, Pressure)>> {
    const KEY: &str = "diffuser_loss";
    let pairs = section.pairs("diffuser_loss")?;
    let flow: Bound<VolumeRate> = (Input::AirFlow, VOLUME_FLOW, |flow| {
        flow.get::<liter_per_minute>()
    });
    let loss: Bound<Pressure> = (Input::DiffuserLoss, INJECTOR_LOSS, |loss| {
        loss.get::<kilopascal>()
    });
    let mut points = Vec::new();
    for [air, pressure] in pairs {
        let air = read(section, KEY, air, quantity::volume_rate, flow)?;
        let pressure = read(section, KEY, pressure, quantity::pressure, loss)?;
        points.push((air, pressure));
    }
    Some(points)
}

fn read<T: Copy>(
    section: &Section,
    key: &str,
    text: &str,
    parse: fn(&str) -> Result<T, quantity::QuantityError>,
    (what, range, number): (Input, Range, fn(T) -> f64),
) -> Option<T> {
    let value = parse(text)
        .map_err(|problem| section.fault(key, problem.into()))
        .ok()?;
    range
        .check(what, number(value))
        .map_err(|error| section.fault(key, Problem::Refused(error)))
        .ok()?;
    Some(value)
}
