//! The lifts: those of the file, or those of the best design of a sizing.

use crate::air::AirFlow;
use crate::design::Design;
use crate::design::fault::Problem;
use crate::design::sections::{GivenLift, LiftFlow, needed};
use crate::error::Error;
use crate::riser::{Riser, Site};
use crate::sizing::size;
use crate::units::{Length, VolumeRate};

/// A riser on the header with what it is to do.
pub(super) struct Placed<'a> {
    pub name: String,
    pub at: Length,
    pub riser: Riser,
    pub air: AirFlow,
    pub open: bool,
    pub given: Option<&'a GivenLift>,
}

impl Design {
    pub(super) fn lifts(&self, site: Site) -> Option<Vec<Placed<'_>>> {
        let given = &self.given.supply;
        if given.lifts.is_empty() {
            return self.sized(site);
        }
        let all: Vec<Option<Placed>> = given
            .lifts
            .iter()
            .map(|lift| self.placed(lift, site))
            .collect();
        all.into_iter().collect()
    }

    /// One lift of the file.
    fn placed<'a>(&'a self, lift: &'a GivenLift, site: Site) -> Option<Placed<'a>> {
        let sheet = &self.sheet;
        let section = format!("lift {}", lift.number);
        let path = |key: &str| format!("{section}.{key}");
        let header = &self.given.supply.header;
        let regular = header.first.zip(header.spacing).map(|(first, spacing)| {
            #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
            let steps = (lift.number - 1) as f64;
            first + spacing * steps
        });
        let at = needed(
            sheet,
            lift.at.or(regular),
            &path("at"),
            "where it leaves the header, such as \"4 m\" from its first end",
        );
        let spec = self.given.riser.at(
            sheet,
            [
                (lift.bore, path("bore")),
                (lift.submergence, path("submergence")),
                (lift.lift, path("lift")),
            ],
        );
        let flow = if lift.flow.is_none() && lift.flow_told {
            None
        } else {
            needed(
                sheet,
                lift.flow,
                &path("water_flow"),
                "the water that it is to lift, such as \"50 L/min\", or its air_flow",
            )
        };
        let riser = match spec?.build(&site, self.given.model) {
            Ok(riser) => riser,
            Err(error) => {
                sheet.refused_in(&section, error, &path("submergence"));
                return None;
            }
        };
        let air = match flow? {
            LiftFlow::Air(flow) => self.given.air_flow(sheet, flow, &path("air_flow"))?,
            LiftFlow::Water(flow) => match self.air_for(&riser, flow) {
                Ok(air) => air,
                Err(error) => {
                    sheet.refused_in(&section, error, &path("water_flow"));
                    return None;
                }
            },
        };
        Some(Placed {
            name: lift.name.clone(),
            at: at?,
            riser,
            air,
            open: lift.open,
            given: Some(lift),
        })
    }

    /// The air that a riser takes for a flow.
    fn air_for(&self, riser: &Riser, flow: VolumeRate) -> Result<AirFlow, Error> {
        let point = self.law.on(riser)?.air_for(flow, self.given.wanted())?;
        Ok(point.air)
    }

    /// The lifts of the best design of a sizing.
    fn sized(&self, site: Site) -> Option<Vec<Placed<'_>>> {
        let (sheet, header) = (&self.sheet, &self.given.supply.header);
        if !sheet.has("duty") || !sheet.has("limits") {
            let expected =
                "each lift as [[lift]], or a [duty] with its [limits], whose best design is taken";
            sheet.fault(sheet.place("lift"), "lift", Problem::Missing { expected });
            return None;
        }
        let first = needed(
            sheet,
            header.first,
            "header.first",
            "where the first lift leaves the header, such as \"2 m\" from its first end, or every lift as [[lift]]",
        );
        let spacing = needed(
            sheet,
            header.spacing,
            "header.spacing",
            "how far apart the lifts stand, such as \"1.5 m\"",
        );
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
            given: None,
        };
        Some((0..best.lifts).map(lift).collect())
    }
}
