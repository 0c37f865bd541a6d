//! One riser, and the search for one.

use std::convert::Infallible;
use std::ops::ControlFlow;

use risewater::answer::{CurveAnswer, CurveTerms, FlowAnswer, SizeAnswer, TanksAnswer, Terms};
use risewater::chart::FlowPoint;
use risewater::design::DesignFile;
use risewater::report::what_to_change;
use risewater::sizing::size_watched;
use risewater::uncertainty::Wanted;
use risewater::units::{Length, VolumeRate, quantity};
use risewater::{AirFlow, Error, ErrorLaw, Riser};
use serde_json::json;

use super::{Found, law, open};
use crate::reply::{Faults, Reply};
use crate::request::Request;

/// Points of a curve.
const POINTS: usize = 33;
/// Most that can be asked for.
const MOST_POINTS: usize = 500;
/// Rows of the map of a search.
const MAP_ROWS: usize = 120;
/// Designs in the words of a search.
const SHOWN: usize = 3;

/// A water flow that is wanted, with its law of error's air.
fn wanted(text: &str) -> Result<VolumeRate, Faults> {
    quantity::volume_rate(text).map_err(|error| Faults::at(Some("want"), error.to_string()))
}

fn asked(request: &Request) -> Result<(DesignFile, ErrorLaw, Terms), Faults> {
    let read = open(request)?;
    let law = law(request, &read)?;
    let terms = read.terms(law.clone())?;
    Ok((read, law, terms))
}

/// The riser and its air: that of the file, or that for the flow wanted.
fn running(
    request: &Request,
    read: &DesignFile,
    law: &ErrorLaw,
) -> Result<(Riser, AirFlow), Faults> {
    let Some(text) = &request.options.want else {
        return Ok(read.riser_and_air()?);
    };
    let riser = read.riser()?;
    let point = law.on(&riser)?.air_for(wanted(text)?, Wanted::Predicted)?;
    Ok((riser, point.air))
}

fn flow_of(request: &Request, profile: bool) -> Result<FlowAnswer, Faults> {
    let (read, law, mut terms) = asked(request)?;
    let (riser, air) = running(request, &read, &law)?;
    terms.profile = profile;
    Ok(FlowAnswer::of(&riser, air, &terms)?)
}

/// What one riser does at an air flow.
pub(super) fn flow(request: &Request) -> Found {
    let drawn = request.picture("lift");
    let found = flow_of(request, request.options.profile || drawn.is_some())?;
    let units = request.units();
    let mut reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    reply.put("budget", json!(found.budget_rows(units)));
    let reply = reply.picture(&["lift", "profile"], |name, narrow| {
        let drawing = found.drawing(units);
        Ok(match name {
            "profile" => found.profile_figure(units).svg()?,
            _ if narrow => drawing.low_svg()?,
            _ => drawing.svg()?,
        })
    })?;
    Ok(reply.json())
}

/// The same, drawn.
pub(super) fn lift(request: &Request) -> Found {
    let mut request = request.clone();
    request.options.picture.get_or_insert(true.into());
    flow(&request)
}

/// The curve of one riser, with the point at which it runs.
pub(super) fn curve(request: &Request) -> Found {
    let (read, law, terms) = asked(request)?;
    let (options, units) = (&request.options, request.units());
    let riser = read.riser()?;
    let points = options.points.unwrap_or(POINTS);
    if !(2..=MOST_POINTS).contains(&points) {
        let text = format!("{points} points of a curve; give 2 to {MOST_POINTS}");
        return Err(Faults::at(Some("points"), text));
    }
    let level = |text: &String| {
        quantity::length(text).map_err(|error| Faults::at(Some("levels"), error.to_string()))
    };
    let mut levels = options
        .levels
        .iter()
        .map(level)
        .collect::<Result<Vec<Length>, _>>()?;
    if !levels.is_empty() {
        levels.push(Length::default());
        levels.sort_by(|a, b| a.value.total_cmp(&b.value));
        levels.dedup();
    }
    // A curve asks for no air flow; where the file has one, it tells more.
    let air = read.air().ok();
    let asked = CurveTerms {
        points,
        wanted: options.want.as_deref().map(wanted).transpose()?,
        levels: &levels,
        air: air.filter(|_| !levels.is_empty()),
    };
    let found = CurveAnswer::of(&riser, &asked, &terms)?;
    let mut reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    if request.picture("curve") == Some("panel") {
        // The page beside it has the words, and the point in its own hand.
        let mut figure = found.figure(units);
        figure.notes.clear();
        figure.title.clear();
        let (svg, frame) = figure.chart().panel_svg()?;
        reply.put("picture", svg);
        reply.put("frame", json!(frame));
        return Ok(reply.json());
    }
    let reply = reply.picture(&["curve", "panel"], |_, narrow| {
        let mut figure = found.figure(units);
        if let Some(air) = air {
            let here = law.on(&riser)?.predict(air)?.outcome.water_flow();
            figure.here = Some(FlowPoint {
                air_at_20_c: air.volume_rate_at_20_c(),
                water: here,
            });
        }
        if let Some(text) = &options.most_air {
            let most = quantity::volume_rate(text);
            let most = most.map_err(|error| Faults::at(Some("most_air"), error.to_string()))?;
            let here = figure.here.map_or(most, |here| 1.1 * here.air_at_20_c);
            figure = figure.up_to(most.max(here));
        }
        let chart = figure.chart();
        Ok(if narrow {
            chart.narrow_svg()
        } else {
            chart.svg()
        }?)
    })?;
    Ok(reply.json())
}

/// Designs for a duty; of several duties, the set for their header.
pub(super) fn size(request: &Request) -> Found {
    let (read, _, terms) = asked(request)?;
    if read.has_several_duties() {
        return tanks(request, &read, &terms);
    }
    let (problem, units) = (read.problem()?, request.units());
    let need = read.has_need().then(|| read.room_need()).transpose()?;
    let searched = size_watched(&problem, |progress| {
        crate::page::progress(progress.tried, progress.of);
        ControlFlow::<Infallible>::Continue(())
    })?;
    let sized = match searched {
        ControlFlow::Continue(sized) => sized,
        ControlFlow::Break(never) => match never {},
    };
    let detailed = if request.options.detailed {
        usize::MAX
    } else {
        1
    };
    let found = SizeAnswer::of(&problem, &sized, detailed, &terms, need.as_ref())?;
    let Some(best) = sized.best() else {
        return no_design(&[&found], request);
    };
    let mut reply = Reply::of(
        request,
        &found,
        || found.text(units, SHOWN),
        found.remarks(),
    );
    if request.picture("map") == Some("panel") {
        let mut map = found.map(units, MAP_ROWS);
        map.title.clear();
        let (svg, frame) = map.panel_svg();
        let (columns, rows) = found.map_sides(MAP_ROWS);
        reply.put("picture", svg);
        reply.put(
            "map",
            json!({ "frame": frame, "columns": columns, "rows": rows }),
        );
        return Ok(reply.json());
    }
    let reply = reply.picture(&["map", "curve", "panel"], |name, narrow| {
        if name == "map" {
            let map = found.map(units, MAP_ROWS);
            return Ok(if narrow { map.narrow_svg() } else { map.svg() });
        }
        let asked = CurveTerms {
            points: POINTS,
            wanted: Some(best.point.water_flow),
            ..CurveTerms::default()
        };
        let chart = CurveAnswer::of(&best.riser, &asked, &terms)?
            .figure(units)
            .chart();
        Ok(if narrow {
            chart.narrow_svg()
        } else {
            chart.svg()
        }?)
    })?;
    Ok(reply.json())
}

/// Why nothing was found.
fn no_design(found: &[&SizeAnswer], request: &Request) -> Found {
    let rejected: Vec<_> = found
        .iter()
        .flat_map(|found| found.rejected.clone())
        .collect();
    let groups: String = found
        .iter()
        .map(|found| found.rejected_text(request.units()))
        .collect();
    let text = format!(
        "no candidate meets the duty: {}\n{groups}",
        what_to_change(&rejected)
    );
    // A page has its own width.
    Err(Faults::plain(text.trim_end()))
}

fn tanks(request: &Request, read: &DesignFile, terms: &Terms) -> Found {
    let (asked, units) = (read.tanks_on_header()?, request.units());
    let found = asked.search()?;
    let Some(best) = found.best() else {
        let without = asked
            .tanks
            .iter()
            .zip(&found.sizings)
            .filter(|(_, sized)| sized.best().is_none());
        let of = |(tank, sized): (&risewater::supply::Tank, _)| {
            SizeAnswer::of(&tank.task, sized, 0, &Terms::default(), None)
        };
        let told = without.map(of).collect::<Result<Vec<_>, Error>>()?;
        return no_design(&told.iter().collect::<Vec<_>>(), request);
    };
    let told = TanksAnswer::of(&found, best, terms)?;
    let cautions = told.remarks();
    let reply = Reply::of(
        request,
        &told,
        || told.text(units, SHOWN),
        cautions.iter().map(|(_, one)| *one),
    );
    let reply = reply.picture(&["tanks"], |_, narrow| {
        let chart = told.figure(units).chart();
        Ok(if narrow {
            chart.narrow_svg()
        } else {
            chart.svg()
        }?)
    })?;
    Ok(reply.json())
}
