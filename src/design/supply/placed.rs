//! The lifts: those of the file, or those of the best design of a sizing.

use crate::air::AirFlow;
use crate::design::DesignFile;
use crate::design::fault::Problem;
use crate::design::rules::named;
use crate::error::Error;
use crate::keys::{Row, header, lift, riser};
use crate::riser::{Riser, Site};
use crate::sizing::size;
use crate::units::{Length, VolumeRate};

/// A riser on the header with what it is to do.
pub(super) struct Placed {
    pub name: String,
    pub at: Length,
    pub riser: Riser,
    pub air: AirFlow,
    pub open: bool,
    /// Its section, where the file has one.
    pub section: Option<String>,
}

impl DesignFile {
    pub(super) fn lifts(&self, site: Site) -> Option<Vec<Placed>> {
        if !self.has_lifts() {
            return self.sized(site);
        }
        let numbers = 1..=self.sheet.count("lift");
        let all: Vec<Option<Placed>> = numbers.map(|number| self.placed(number, site)).collect();
        all.into_iter().collect()
    }

    /// One lift of the file.
    fn placed(&self, number: usize, site: Site) -> Option<Placed> {
        let sheet = &self.sheet;
        let section = format!("lift {number}");
        let (own, header) = (sheet.at([&section, "riser"]), sheet.at(["header"]));
        let regular = header.get(&header::FIRST).zip(header.get(&header::SPACING));
        #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
        let regular = regular.map(|(first, spacing)| first + spacing * (number - 1) as f64);
        let at = own.or_missing(own.get(&lift::AT).or(regular), &lift::AT);
        let bore = own.bore(&riser::BORE, &riser::PIPE).map(|(bore, _)| bore);
        let bore = own.or_missing(bore, &lift::BORE);
        let (submergence, lift) = (own.needed(&lift::SUBMERGENCE), own.needed(&lift::LIFT));
        let (water, air) = (own.get(&lift::WATER_FLOW), own.get(&lift::AIR_FLOW));
        let flow = own.or_missing(water.or(air), &lift::WATER_FLOW);
        let mut spec = self.spec(bore?, submergence?, lift?);
        spec.injector = self.injector_kind(Some(&section));
        let refused = |error, row: &Row| {
            sheet.refused_in(&section, error, &own.path(row));
            None
        };
        let riser = match spec.build(&site, self.model()) {
            Ok(riser) => riser,
            Err(error) => return refused(error, &lift::SUBMERGENCE),
        };
        flow?;
        let air = match (water, air) {
            (Some(flow), _) => match self.air_for(&riser, flow) {
                Ok(air) => air,
                Err(error) => return refused(error, &lift::WATER_FLOW),
            },
            (None, air) => self.counted(air?, &own.path(&lift::AIR_FLOW))?,
        };
        Some(Placed {
            name: named(sheet, &section, &lift::NAME)?,
            at: at?,
            riser,
            air,
            open: own.usual(&lift::OPEN)?,
            section: Some(section),
        })
    }

    /// The air that a riser takes for a flow.
    fn air_for(&self, riser: &Riser, flow: VolumeRate) -> Result<AirFlow, Error> {
        let point = self.law.on(riser)?.air_for(flow, self.held_to_duty())?;
        Ok(point.air)
    }

    /// The lifts of the best design of a sizing.
    fn sized(&self, site: Site) -> Option<Vec<Placed>> {
        let (sheet, own) = (&self.sheet, self.sheet.at(["header"]));
        if !sheet.has("duty") || !sheet.has("limits") {
            let expected =
                "each lift as [[lift]], or a [duty] with its [limits], whose best design is taken"
                    .into();
            sheet.fault(sheet.place("lift"), "lift", Problem::Missing { expected });
            return None;
        }
        let (first, spacing) = (own.needed(&header::FIRST), own.needed(&header::SPACING));
        let problem = self.pose(Some(site));
        let (first, spacing) = (first?, spacing?);
        let found = sheet.keep(size(&problem?), "duty")?;
        let Some(best) = found.best() else {
            sheet.fault(sheet.place("duty.water_flow"), "duty", Problem::NoDesign);
            return None;
        };
        let lift = |n: u32| Placed {
            name: format!("lift {}", n + 1),
            at: first + spacing * f64::from(n),
            riser: best.riser,
            air: best.point.air,
            open: true,
            section: None,
        };
        Some((0..best.lifts).map(lift).collect())
    }
}
