//! Many lifts: on a blower, for animals, in a closed loop.

use risewater::answer::{ExistingAnswer, LoopAnswer, NeedAnswer, SupplyAnswer};
use risewater::chart::{DayFigure, NeedFigure, PressureFigure};

use super::{Found, open};
use crate::reply::{Faults, PICTURE, Reply};
use crate::request::Request;

/// An air supply from one blower to many lifts.
pub(super) fn supply(request: &Request) -> Found {
    let (read, units) = (open(request)?, request.units());
    let (supply, problem) = (read.supply()?, read.supply_problem()?);
    let need = read.has_need().then(|| read.room_need()).transpose()?;
    let terms = read.supply_terms(problem.as_ref(), need.as_ref())?;
    let solved = supply.solve()?;
    let found = SupplyAnswer::of(&supply, &solved, &terms)?;
    let reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    let reply = reply.picture(&["pressure"], |_, narrow| {
        pressures(PressureFigure::of(&supply.plant, &solved)?, request, narrow)
    })?;
    Ok(reply.json())
}

/// A plant that stands.
pub(super) fn existing(request: &Request) -> Found {
    let (read, units) = (open(request)?, request.units());
    let (existing, terms) = (read.existing()?, read.existing_terms()?);
    let steady = existing.steady()?;
    let found = ExistingAnswer::of(&existing, &steady, &terms)?;
    let reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    let reply = reply.picture(&["pressure"], |_, narrow| {
        pressures(
            PressureFigure::of_existing(&existing, &steady)?,
            request,
            narrow,
        )
    })?;
    Ok(reply.json())
}

fn pressures(
    mut figure: PressureFigure,
    request: &Request,
    narrow: bool,
) -> Result<String, Faults> {
    figure.units = request.units();
    let chart = figure.chart();
    Ok(if narrow {
        chart.narrow_svg()
    } else {
        chart.svg()
    }?)
}

/// The water that animals need.
pub(super) fn need(request: &Request) -> Found {
    let (read, units) = (open(request)?, request.units());
    let rearing = read.rearing()?;
    let installed = rearing.installed.as_ref();
    let found = NeedAnswer::of(&rearing.room, &rearing.need, installed, &rearing.defaults)?;
    let reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    let reply = reply.picture(&["weeks"], |_, narrow| {
        if rearing.need.days.is_empty() {
            let text = "no tank follows a cycle, so there is nothing to draw";
            return Err(Faults::at(Some(PICTURE), text));
        }
        let chart = NeedFigure::of(&rearing.need, installed, units)?.chart();
        Ok(if narrow {
            chart.narrow_svg()
        } else {
            chart.svg()
        }?)
    })?;
    Ok(reply.json())
}

/// A closed loop through a day.
pub(super) fn water_loop(request: &Request) -> Found {
    let (read, units) = (open(request)?, request.units());
    let asked = read.water_loop()?.sized()?;
    let found = LoopAnswer::of(&asked.water, &asked.day, &asked.terms())?;
    let reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    let reply = reply.picture(&["day"], |_, narrow| {
        let outcome = asked.water.day(&asked.day)?;
        let Some(day) = outcome.day() else {
            let text = "the loop cannot balance, so there is no day to draw";
            return Err(Faults::at(Some(PICTURE), text));
        };
        let figure = DayFigure::of(&asked.water, day, &asked.day, units)?;
        Ok(if narrow {
            figure.narrow_svg()
        } else {
            figure.svg()
        }?)
    })?;
    Ok(reply.json())
}
