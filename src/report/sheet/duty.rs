//! What the lifts do together, and of what kinds they are.

use maud::html;

use super::DesignSheet;
use super::markup::{Column, Section, facts, signs, table};
use crate::air::{AirFlow, at_20_c};
use crate::answer::DesignFacts;
use crate::report::kind::Kind as Of;
use crate::report::number::{place, short};
use crate::report::size::margin_words;
use crate::riser::Riser;
use crate::sizing::MarginCase;
use crate::units::{VolumeRate, base, pascal, per_mille, percent};

/// Designs of a search that are shown.
const SHOWN: usize = 5;

/// Lifts that are alike: riser and design air.
pub(super) struct Kind {
    /// A letter, or more past the alphabet.
    pub name: String,
    pub riser: Riser,
    pub air: AirFlow,
    /// Their places in the header's order.
    pub lifts: Vec<usize>,
}

impl Kind {
    /// Whether a lift is of this kind. Risers hold numbers that are none, so they are not compared themselves.
    fn is_of(&self, riser: &Riser, air: AirFlow) -> bool {
        self.air == air
            && self.riser.spec() == riser.spec()
            && self.riser.site() == riser.site()
            && self.riser.model() == riser.model()
    }
}

/// The kinds of lifts of a plant, in order of their first.
pub(super) fn kinds(sheet: &DesignSheet) -> Vec<Kind> {
    let plant = &sheet.supply.plant;
    let mut kinds: Vec<Kind> = Vec::new();
    for (n, (riser, air)) in plant
        .manifold
        .risers()
        .iter()
        .zip(&plant.design)
        .enumerate()
    {
        match kinds.iter_mut().find(|kind| kind.is_of(riser, *air)) {
            Some(kind) => kind.lifts.push(n),
            None => kinds.push(Kind {
                name: letter(kinds.len()),
                riser: *riser,
                air: *air,
                lifts: vec![n],
            }),
        }
    }
    kinds
}

/// A, B … Z, 27, 28 …
fn letter(n: usize) -> String {
    match u8::try_from(n) {
        Ok(n) if n < 26 => char::from(b'A' + n).to_string(),
        _ => (n + 1).to_string(),
    }
}

pub(super) fn section(sheet: &DesignSheet) -> Section {
    let (solved, units) = (sheet.solved, sheet.units);
    let plant = &sheet.supply.plant;
    let state = format!("dry, at {}, as everywhere on this sheet", units.air_state());
    let mut rows = Vec::new();
    if let Some(size) = sheet.size {
        rows.push((
            "water wanted",
            format!(
                "{} over a lift of {}",
                units.say(Of::Water, size.duty.water_flow_m3_per_s),
                units.say(Of::Height, size.duty.lift_m)
            ),
            if size.duty.at_low_water {
                "at low water too: the air is what that takes, all else holds at the normal level"
            } else {
                ""
            },
        ));
    }
    rows.push((
        "water given",
        units.water(solved.running.water_flow()),
        match &solved.operation {
            Some(operation) if operation.surplus.is_some() => "on the blowers, their surplus bled",
            Some(_) => "on the blowers",
            None => "at the header pressure of the design",
        },
    ));
    rows.push((
        "air of the design",
        format!(
            "{}, {}",
            units.air(solved.duty.air.volume_rate_at_20_c()),
            units.mass_flow(solved.duty.air.dry_mass_rate().value)
        ),
        state.as_str(),
    ));
    if let Some(riser) = plant.manifold.risers().first() {
        let site = riser.site();
        rows.push((
            "water",
            format!(
                "{}, salinity {:.1} g/kg",
                units.temperature(site.water.temperature()),
                site.water.salinity().get::<per_mille>()
            ),
            "",
        ));
    }
    rows.push((
        "air outside",
        format!(
            "{}, {:.0} % humidity, {} absolute",
            units.temperature(plant.outside.temperature),
            plant.outside.humidity.get::<percent>(),
            units.pressure(plant.outside.pressure.pascal())
        ),
        "",
    ));
    let body = html! {
        (facts("Duty and site", rows))
        (kinds_table(sheet))
        (search(sheet))
    };
    Section {
        id: "duty",
        title: "Duty and lifts",
        body,
        new_page: false,
    }
}

fn kinds_table(sheet: &DesignSheet) -> maud::Markup {
    let units = sheet.units;
    let risers = sheet.supply.plant.manifold.risers().iter();
    let lifts = risers.map(|riser| riser.spec().dimensions.lift);
    let most = lifts.fold(
        base(0.0),
        |most, lift| if lift > most { lift } else { most },
    );
    let lift = units.small_height_unit(most);
    let rows = kinds(sheet).into_iter().map(|kind| {
        let spec = kind.riser.spec();
        let law = sheet.solved.manifold.law();
        let outcome = law.on(&kind.riser).and_then(|one| one.operate(kind.air));
        let water = outcome
            .as_ref()
            .map_or(VolumeRate::default(), crate::Outcome::water_flow);
        let injection = outcome
            .as_ref()
            .ok()
            .and_then(|outcome| outcome.point())
            .map_or_else(String::new, |point| {
                let gauge = point.injection_pressure.gauge(kind.riser.site().atmosphere);
                short(gauge.get::<pascal>() / units.pressure_unit().0)
            });
        vec![
            kind.name,
            kind.lifts.len().to_string(),
            short(spec.free_bore().value / units.bore_unit().0),
            place(spec.dimensions.submergence.value / units.height_unit().0),
            place(spec.dimensions.lift.value / lift.0),
            spec.outlet.to_string(),
            short(kind.air.volume_rate_at_20_c().value / units.air_unit().0),
            short(water.value / units.water_unit().0),
            injection,
        ]
    });
    let (bore, height, air, water, pressure) = (
        units.bore_unit().1,
        units.height_unit().1,
        units.air_unit().1,
        units.water_unit().1,
        units.pressure_unit().1,
    );
    let heads = [
        ("kind".to_owned(), Column::Words),
        ("lifts".to_owned(), Column::Numbers),
        (format!("bore ({bore})"), Column::Numbers),
        (format!("submergence ({height})"), Column::Numbers),
        (format!("lift ({})", lift.1), Column::Numbers),
        ("outlet".to_owned(), Column::Words),
        (format!("air each ({air})"), Column::Numbers),
        (format!("water each ({water})"), Column::Numbers),
        (format!("at the injector ({pressure})"), Column::Numbers),
    ];
    let heads: Vec<_> = heads
        .iter()
        .map(|(head, column)| (head.as_str(), *column))
        .collect();
    html! {
        (table("The lifts, at their design air", &heads, rows))
        p.remark { "Submergence: depth of the air inlet below the running water level. Lift: from that level to the outlet. Pressures are over that of the air outside." }
    }
}

/// The search behind the lifts, and the margins of its best design.
fn search(sheet: &DesignSheet) -> maud::Markup {
    let Some(size) = sheet.size else {
        return html! {};
    };
    let units = sheet.units;
    let row = |design: &DesignFacts| {
        vec![
            design.pipe.clone(),
            design.lifts.to_string(),
            place(design.submergence_m / units.height_unit().0),
            short(at_20_c(design.each.air_mass_flow_kg_per_s) / units.air_unit().0),
            short(design.each.water_flow_m3_per_s / units.water_unit().0),
            short(design.injection_power_total_w / units.power_unit().0),
        ]
    };
    let heads = [
        "lifts".to_owned(),
        format!("submergence ({})", units.height_unit().1),
        format!("air each ({})", units.air_unit().1),
        format!("water each ({})", units.water_unit().1),
        format!("air power, all ({})", units.power_unit().1),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let heads = super::markup::numbers("pipe", &heads);
    let best = size.best();
    let margins = size.margins.iter().filter_map(|margin| {
        let winner = best?;
        let flow = margin.water_flow_each_m3_per_s;
        Some(vec![
            margin_words(margin.case).to_owned(),
            units.say(Of::Water, flow),
            crate::report::number::change(flow / winner.each.water_flow_m3_per_s - 1.0),
            match (margin.case, margin.air_needed_each_kg_per_s) {
                (MarginCase::LessAir | MarginCase::MoreAir, _) => String::new(),
                (_, Some(air)) => units.say(Of::Air, at_20_c(air)),
                (_, None) => "out of reach".to_owned(),
            },
        ])
    });
    let caption = format!(
        "The search: {} candidates, {} meet the duty, best first by least {}",
        size.candidates,
        size.designs.len(),
        size.duty.objective.replace('_', " ")
    );
    html! {
        (table(&caption, &heads, size.designs.iter().take(SHOWN).map(row)))
        @if !size.margins.is_empty() {
            (table(
                "Margins of the best design, each lift alone at its design air",
                &super::markup::numbers("change", &["water each", "against the design", "air that meets the duty"]),
                margins,
            ))
        }
        @if best.is_none() { p { (signs("No candidate meets the duty.")) } }
    }
}
