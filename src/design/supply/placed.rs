//! The lifts: those of the file, or those of the best design of a sizing.

use std::sync::Arc;

use crate::air::AirFlow;
use crate::design::DesignFile;
use crate::design::fault::Problem;
use crate::design::rules::named;
use crate::error::Error;
use crate::keys::{Row, header, lift, riser};
use crate::pipe::Pipe;
use crate::riser::{Riser, Site};
use crate::sizing::size;
use crate::supply::Tanks;
use crate::units::{Length, VolumeRate, base};

/// A riser on the header with what it is to do.
pub(super) struct Placed {
    pub name: String,
    pub at: Length,
    pub riser: Riser,
    /// What it is made of, where the file names it.
    pub pipe: Option<Arc<Pipe>>,
    pub air: AirFlow,
    /// Water that it is wanted to give.
    pub asked: Option<VolumeRate>,
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
        let all: Vec<Option<Placed>> = numbers
            .map(|number| self.placed(number, site, None))
            .collect();
        all.into_iter().collect()
    }

    /// The lifts of a plant that stands, with the air that they are taken to have; without a `[[lift]]` that of `[riser]`.
    pub(super) fn standing(
        &self,
        site: Site,
        air: impl Fn(usize) -> AirFlow,
    ) -> Option<Vec<Placed>> {
        if !self.has_lifts() {
            let lift = Placed {
                name: "lift".to_owned(),
                at: base(0.0),
                riser: self.place(Some(site))?,
                pipe: None,
                air: air(0),
                asked: None,
                open: true,
                section: None,
            };
            return Some(vec![lift]);
        }
        let numbers = 1..=self.sheet.count("lift");
        let all: Vec<Option<Placed>> = numbers
            .map(|number| self.placed(number, site, Some(air(number - 1))))
            .collect();
        all.into_iter().collect()
    }

    /// One lift of the file, with the air that it is to have or, where it stands, is taken to have.
    fn placed(&self, number: usize, site: Site, stands: Option<AirFlow>) -> Option<Placed> {
        let sheet = &self.sheet;
        let section = format!("lift {number}");
        let (own, header) = (sheet.at([&section, "riser"]), sheet.at(["header"]));
        let regular = header.get(&header::FIRST).zip(header.get(&header::SPACING));
        #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
        let regular = regular.map(|(first, spacing)| first + spacing * (number - 1) as f64);
        let alone = stands.is_some() && !sheet.has("header") && sheet.count("lift") == 1;
        let regular = regular.or(alone.then(|| base(0.0)));
        let at = own.or_missing(own.get(&lift::AT).or(regular), &lift::AT);
        let bore = own.bore(&riser::BORE, &riser::PIPE);
        let bore = own.or_missing(bore, &lift::BORE);
        let (submergence, lift) = (own.needed(&lift::SUBMERGENCE), own.needed(&lift::LIFT));
        let (water, air) = (own.get(&lift::WATER_FLOW), own.get(&lift::AIR_FLOW));
        let flow = stands.map_or_else(
            || own.or_missing(water.or(air), &lift::WATER_FLOW).map(|_| ()),
            |_| Some(()),
        );
        let (bore, pipe) = bore?;
        let mut spec = self.spec(bore, submergence?, lift?);
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
        let given = air.and_then(|air| self.counted(air, &own.path(&lift::AIR_FLOW)));
        let asked = water.or(match given {
            Some(air) => Some(sheet.keep(riser.operate(air), "lift")?.water_flow()),
            None => None,
        });
        let air = match (water, air) {
            _ if stands.is_some() => stands?,
            (Some(flow), _) => match self.air_for(&riser, flow) {
                Ok(air) => air,
                Err(error) => return refused(error, &lift::WATER_FLOW),
            },
            (None, _) => given?,
        };
        Some(Placed {
            name: named(sheet, &section, &lift::NAME)?,
            at: at?,
            riser,
            pipe,
            air,
            asked,
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
        if self.has_several_duties() {
            let tanks = self.pose_tanks(Some(site));
            return self.sized_tanks(&tanks?, (first?, spacing?));
        }
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
            pipe: Some(Arc::clone(&best.pipe)),
            air: best.point.air,
            asked: None,
            open: true,
            section: None,
        };
        Some((0..best.lifts).map(lift).collect())
    }

    /// The lifts of the best set of several tanks, tank by tank along the header.
    fn sized_tanks(
        &self,
        tanks: &Tanks,
        (first, spacing): (Length, Length),
    ) -> Option<Vec<Placed>> {
        let sheet = &self.sheet;
        let found = sheet.keep(tanks.search(), "duty")?;
        let Some(best) = found.best() else {
            sheet.fault(sheet.place("duty 1"), "duty", Problem::NoDesign);
            return None;
        };
        let mut all: Vec<Placed> = Vec::new();
        for member in &best.members {
            let design = found.design(member);
            let tank = &tanks.tanks[member.tank].name;
            for n in 1..=design.lifts {
                all.push(Placed {
                    name: match design.lifts {
                        1 => tank.clone(),
                        _ => format!("{tank} {n}"),
                    },
                    #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
                    at: first + spacing * all.len() as f64,
                    riser: design.riser,
                    pipe: Some(Arc::clone(&design.pipe)),
                    air: design.point.air,
                    asked: None,
                    open: true,
                    section: None,
                });
            }
        }
        Some(all)
    }
}
