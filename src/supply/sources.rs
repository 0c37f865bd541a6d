//! The sources behind the numbers of a plant.

use super::blower::Machine;
use super::parts::Piping;
use super::plant::Plant;
use super::run::PipeRun;
use crate::pipe::losses;
use crate::references::{self, Reference};
use crate::riser::Outlet;
use crate::units::{Ratio, base};

impl Plant {
    /// The sources that its numbers and those of its pipes come from, in the order of [`references::ALL`].
    #[must_use]
    pub fn sources(&self, piping: &Piping) -> Vec<Reference> {
        let mut used = always();
        for riser in self.manifold.risers() {
            let model = riser.model();
            used.extend([model.slip.reference(), model.friction.reference()]);
            if riser.site().water.salinity() > base(0.0) {
                used.extend([
                    references::UNESCO_1983,
                    references::MILLERO_2008,
                    references::SAUNDERS_1990,
                    references::SHARQAWY_2010,
                    references::NAYAR_2014,
                ]);
            }
            used.extend(of_loss(riser.spec().entrance_loss));
            if let Outlet::Elbow { loss, .. } = riser.spec().outlet {
                used.push(references::CHOW_1959);
                used.extend(of_loss(loss));
            }
        }
        let runs = [&piping.main, &piping.header]
            .into_iter()
            .chain(&piping.branches);
        runs.for_each(|run| of_run(run, &mut used));
        let mut branches = self.manifold.header().branches.iter();
        if self.balancing.is_some() || branches.any(|branch| branch.orifice.is_some()) {
            used.extend([references::ISO_5167_2, references::BELL_FLUIDS]);
        }
        if let Some(system) = self.balancing.and_then(|balancing| balancing.drills) {
            used.push(system.reference());
        }
        if let Some(blowers) = &self.blowers {
            used.extend([
                references::FRITSCH_BUTLAND_1984,
                references::MOLER_2004,
                references::PROCESS_HEATING_FAN_LAWS,
            ]);
            if blowers.blower.rating().machine == Machine::Dynamic {
                used.push(references::ISO_5801);
            }
        }
        let known = |reference: &&Reference| used.contains(reference);
        references::ALL.iter().filter(known).copied().collect()
    }
}

/// Behind every plant: air, water, lines, flow patterns, reference states.
fn always() -> Vec<Reference> {
    vec![
        references::ASHRAE_2005,
        references::ASME_PTC_9,
        references::CHURCHILL_1977,
        references::CODATA_2018,
        references::COLEBROOK_1939,
        references::DIN_1343,
        references::HAALAND_1983,
        references::IAPWS_R12_08,
        references::IAPWS_R1_76,
        references::IAPWS_SR6_08,
        references::ISO_1217,
        references::ISO_2533,
        references::METCALF_EDDY,
        references::MISHIMA_ISHII_1984,
        references::OWN_SATURATION_FIT,
        references::SAINT_VENANT_WANTZEL_1839,
        references::TAITEL_1980,
    ]
}

fn of_run(run: &PipeRun, used: &mut Vec<Reference>) {
    used.extend(run.pipe.as_ref().and_then(|pipe| pipe.reference));
    used.extend(run.fittings.iter().map(|(fitting, _)| fitting.reference()));
}

/// The source of a loss coefficient that is one of the library's own defaults.
fn of_loss(loss: Ratio) -> Option<Reference> {
    let default = losses::ALL.iter().find(|default| default.value == loss)?;
    default.reference
}
