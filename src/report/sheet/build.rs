//! The build page: one page for who builds an air supply and sets it to work.

use maud::{Markup, PreEscaped, html};

use super::markup::{Column, given, signs, table};
use super::notes::parts_list;
use super::page::{GENERATOR, document};
use crate::answer::{LiftFacts, SupplyAnswer};
use crate::caution::Caution;
use crate::chart::ChartError;
use crate::report::UnitSystem;
use crate::report::interval::odds;
use crate::report::kind::Kind;
use crate::report::supply::air;
use crate::units::base;

const STYLE: &str = include_str!("build.css");

/// Lifts with a row each; of more, those that are built alike share one.
const ROWS: usize = 20;
/// Rows of the table up to which two kinds are drawn; with more there is room for one.
const TWO_DRAWN: usize = 12;

/// What the one page for the builder is made of: the lift to scale, the parts, what to drill, what to set and how to
/// check it.
///
/// # Examples
/// ```
/// use risewater::answer::{SupplyAnswer, SupplyTerms};
/// use risewater::design::{DesignFile, SUPPLY_EXAMPLE};
/// use risewater::report::BuildPage;
/// use risewater::supply::blower::DEMO;
///
/// let supply = DesignFile::parse(SUPPLY_EXAMPLE)?.with_blower_table(DEMO).supply()?;
/// let answer = SupplyAnswer::of(&supply, &supply.solve()?, &SupplyTerms::default())?;
/// let page = BuildPage::of("Nursery", &answer).html()?;
/// assert!(page.contains("tank 1"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct BuildPage<'a> {
    /// Headline: what the design is called.
    pub title: &'a str,
    /// What the plant comes to.
    pub answer: &'a SupplyAnswer,
    /// Units of its numbers.
    pub units: UnitSystem,
}

impl<'a> BuildPage<'a> {
    /// A page in metric units.
    #[must_use]
    pub fn of(title: &'a str, answer: &'a SupplyAnswer) -> Self {
        Self {
            title,
            answer,
            units: UnitSystem::Metric,
        }
    }

    /// The page.
    ///
    /// # Errors
    /// [`ChartError`] for numbers that no picture takes.
    ///
    /// # Examples
    /// See [`BuildPage`].
    pub fn html(&self) -> Result<String, ChartError> {
        let groups = self.groups();
        let drawings = self.drawings(groups.len())?;
        let body = html! {
            header {
                h1 { (self.title) ": to build and set" }
                p.remark { (signs(&self.gist())) }
            }
            main {
                (drawings)
                section.parts { h2 { "Parts" } (self.parts()) }
                section.lifts { (self.table(&groups)) }
                section.steps { h2 { "Set it, in this order" } (self.steps()) }
                section.checks { h2 { "Check each lift with a vessel and a watch" } (self.checks()) }
                section.dangers { h2 { "Take care" } (self.dangers()) }
            }
        };
        Ok(document(self.title, STYLE, &body))
    }

    fn say(&self, kind: Kind, si: f64) -> String {
        self.units.say(kind, si)
    }

    fn gauge(&self, pascal: f64) -> String {
        self.say(Kind::Pressure, self.answer.gauge(pascal))
    }

    /// What it is, in a line.
    fn gist(&self) -> String {
        let answer = self.answer;
        format!(
            "{} lifts on one header: {} of water with {} of air (dry, at {}). Heights are to scale, widths of pipes are not. In brackets: where the true flow lies{}. Computed with {GENERATOR}: predictions, not measurements.",
            answer.lifts.len(),
            self.say(Kind::Water, answer.water_flow_m3_per_s),
            air(answer.air_mass_flow_kg_per_s, self.units),
            self.units.air_state(),
            self.often(),
        )
    }

    /// How often the true flow of a lift lies in its interval, in words with a space before them.
    fn often(&self) -> String {
        let known = self.answer.lifts.iter().find_map(|lift| lift.interval);
        known.map_or_else(String::new, |found| format!(" {}", odds(found.level)))
    }

    /// Lifts in the rows of the table.
    fn groups(&self) -> Vec<Vec<&'a LiftFacts>> {
        let lifts = &self.answer.lifts;
        let mut groups: Vec<Vec<&LiftFacts>> = Vec::new();
        for lift in lifts {
            let like = |group: &&mut Vec<&LiftFacts>| {
                lifts.len() > ROWS && built_as(group[0]) == built_as(lift)
            };
            match groups.iter_mut().find(like) {
                Some(group) => group.push(lift),
                None => groups.push(vec![lift]),
            }
        }
        groups
    }

    /// A lift of the first kind, or of the first two, to scale.
    fn drawings(&self, rows: usize) -> Result<Markup, ChartError> {
        let kinds = &self.answer.kinds;
        let shown = if rows > TWO_DRAWN { 1 } else { 2 };
        let mut pictures = Vec::new();
        for kind in kinds.iter().take(shown) {
            let mut drawing = kind.flow.drawing(self.units);
            let mut of = self.answer.lifts.iter();
            let of = of.find(|lift| lift.kind == kind.name);
            drawing.title = match (kinds.len(), of) {
                (1, _) => "Each lift, heights to scale".to_owned(),
                (_, Some(lift)) => format!("As {}: {} such", lift.lift, kind.lifts),
                (_, None) => format!("Kind {}, heights to scale", kind.name),
            };
            drawing.notes.clear();
            pictures.push(drawing.low_svg()?);
        }
        Ok(html! {
            section class={ "drawn" @if pictures.len() > 1 { " two" } } {
                @for picture in &pictures { figure { (PreEscaped(picture)) } }
            }
        })
    }

    fn parts(&self) -> Markup {
        html! {
            (parts_list(self.answer.parts.said(self.units), self.units))
            p.remark { "Lengths are net. Mounts, cables, alarm, gauges and the bleed valve are not in it."
                @if self.answer.kinds.len() > 1 { " The table below has the lifts that are not drawn too." }
            }
        }
    }

    fn table(&self, groups: &[Vec<&LiftFacts>]) -> Markup {
        let units = self.units;
        let answer = self.answer;
        let in_unit = |name: &str, kind: Kind| format!("{name} ({})", kind.unit(units).1);
        let smallest = answer.lifts.iter().map(|lift| lift.riser.lift_m.abs());
        let small = units.small_height_unit(base(smallest.fold(0.0, f64::max)));
        let heads = [
            ("lift".to_owned(), Column::Words),
            (in_unit("at", Kind::Height), Column::Numbers),
            ("riser pipe".to_owned(), Column::Words),
            (in_unit("inlet below water", Kind::Height), Column::Numbers),
            (format!("outlet above water ({})", small.1), Column::Numbers),
            ("injector".to_owned(), Column::Words),
            ("orifice drill".to_owned(), Column::Words),
            (in_unit("orifice loss", Kind::Pressure), Column::Numbers),
            (in_unit("water", Kind::Water), Column::Numbers),
            ("vessel".to_owned(), Column::Words),
            ("fills in (s)".to_owned(), Column::Numbers),
            ("good between (s)".to_owned(), Column::Numbers),
        ];
        let heads: Vec<_> = heads
            .iter()
            .map(|(head, column)| (head.as_str(), *column))
            .collect();
        let rows = groups.iter().map(|group| {
            let first = group[0];
            let over = |kind, value: fn(&LiftFacts) -> f64| {
                span(group.iter().map(|lift| value(lift)), |si| {
                    units.number(kind, si)
                })
            };
            let caught: Option<Vec<_>> = group.iter().map(|lift| *lift.catch.said(units)).collect();
            let [caught_in, time, good] = match &caught {
                Some(all) => {
                    let times = |value: f64| format!("{value:.0}");
                    let shortest = all.iter().filter_map(|one| one.shortest_time_s);
                    let shortest = shortest.reduce(f64::min);
                    let longest: Option<Vec<_>> =
                        all.iter().map(|one| one.longest_time_s).collect();
                    let longest = longest.map(|all| all.into_iter().fold(0.0, f64::max));
                    [
                        vessel(all[0].vessel_m3, units),
                        span(all.iter().map(|one| one.time_s), seconds),
                        match (shortest, longest) {
                            (Some(low), Some(high)) => {
                                format!("{} and {}", times(low), times(high))
                            }
                            (Some(low), None) => format!("{} or more", times(low)),
                            (None, _) => "not known".to_owned(),
                        },
                    ]
                }
                None => ["none".to_owned(), String::new(), String::new()],
            };
            vec![
                names(group),
                over(Kind::Height, |lift| lift.distance_m),
                first.pipe.clone().unwrap_or_else(|| {
                    format!("bore {}", units.say(Kind::Bore, first.riser.bore_m))
                }),
                over(Kind::Height, |lift| lift.riser.submergence_m),
                span(group.iter().map(|lift| lift.riser.lift_m / small.0), given),
                ring(first, units),
                hole(first, units),
                if first.orifice_m.is_some() {
                    over(Kind::Pressure, |lift| lift.orifice_loss_pa)
                } else {
                    String::new()
                },
                over(Kind::Water, |lift| lift.water_flow_m3_per_s),
                caught_in,
                time,
                good,
            ]
        });
        table("What to drill, and what each lift then does", &heads, rows)
    }

    /// The settings, in order.
    fn steps(&self) -> Markup {
        let answer = self.answer;
        let closed: Vec<_> = answer.lifts.iter().filter(|lift| !lift.open).collect();
        let but = if closed.is_empty() {
            String::new()
        } else {
            format!(", but for {}", names(&closed))
        };
        let shared = if answer.lifts.iter().any(|lift| lift.orifice_m.is_some()) {
            "the orifices share the air"
        } else {
            "no orifice shares the air, so a deeper lift gets less"
        };
        let valves = format!("Open every branch valve fully{but}: {shared}.");
        let surplus = answer
            .operation
            .as_ref()
            .map(|blowers| blowers.surplus_air_mass_flow_kg_per_s);
        let bleed = if surplus == Some(None) {
            ""
        } else {
            " Open the bleed at the blower."
        };
        let header = self.gauge(answer.header_pressure_pa);
        let outlet = self.gauge(answer.outlet_pressure_pa);
        let start = self.say(Kind::Pressure, answer.duty.startup_rise_pa);
        let set = match &answer.operation {
            None => format!(
                "Start the blower. Turn its bleed or its speed until the gauge on the header, where the air comes in, reads {header}. The blower's gauge then reads {outlet}."
            ),
            Some(blowers) => {
                let mut text = match blowers.surplus_air_mass_flow_kg_per_s {
                    Some(surplus) => format!(
                        "Start {}. Close the bleed slowly until the gauge on the header, where the air comes in, reads {header}; {} then leave by the bleed.",
                        counted(blowers.running),
                        air(surplus, self.units)
                    ),
                    None => format!(
                        "Start {}, with nothing bled: the gauge on the header, where the air comes in, reads {header}.",
                        counted(blowers.running)
                    ),
                };
                if let Some(words) = blowers.lacks(self.units) {
                    text += &format!(" {words}");
                }
                text += &format!(" The blower's gauge then reads {outlet}");
                if let Some(power) = blowers.wire_power_w {
                    text += &format!(", a meter at the plug {}", self.say(Kind::Power, power));
                }
                text += ".";
                if let Some(speed) = blowers.speed_over_table
                    && blowers.surplus_air_mass_flow_kg_per_s.is_some()
                {
                    text += &format!(
                        " With a frequency drive instead: bleed shut, {} of full speed, the same gauge on the header.",
                        self.say(Kind::Percent(0), speed)
                    );
                }
                text
            }
        };
        let starts = match &answer.operation {
            Some(blowers) if !blowers.starts => format!(
                "Start the lifts one after the other: not all of them start against full risers. The deepest takes {start}."
            ),
            _ => format!(
                "Look at every lift: water must run from each. To push the water out of the deepest line takes {start}."
            ),
        };
        let stop = answer.without_air.as_ref().map_or_else(
            || "before the animals' oxygen runs low".to_owned(),
            |stop| {
                format!(
                    "well within {:.0} min, after which the animals' oxygen is at its limit",
                    stop.minutes()
                )
            },
        );
        let alarm = format!(
            "Then stop the blower once, before animals depend on it: no water may come back up the air line, the alarm must sound, and standby air must run {stop}."
        );
        html! {
            ol {
                @for step in [
                    format!("{valves}{bleed}"),
                    set,
                    starts,
                    alarm,
                ] { li { (signs(&step)) } }
            }
        }
    }

    /// How to check the water and the air of a lift.
    fn checks(&self) -> Markup {
        let answer = self.answer;
        let sure = match self.often().as_str() {
            "" => {
                "How far the true flow may be from the predicted one is not known here.".to_owned()
            }
            often => format!("The true time lies in the last column{often}."),
        };
        let air = answer.lifts.iter().any(|lift| lift.orifice_m.is_some());
        html! {
            ul {
                li { "Let the lift run for five minutes, catch all its water in the vessel of its row, take the mean of three fills. " (sure) }
                li { b { "Slower, all lifts: " } "gauge on the header too low, bleed too far open, levels low." }
                li { b { "Slower, one lift: " } "its level low, valve not full open, plate or ring blocked, hole too small, pipe too high or not as deep as in the table." }
                li { b { "Faster: " } "level high, hole too wide or rounded, a plate left out; the others then lack its air." }
                @if air {
                    li { b { "Air: " } "a water tube or gauge on either side of the plate reads its loss. Less loss is less air." }
                }
            }
        }
    }

    /// What can hurt, in few words, and what is to be said of this plant.
    fn dangers(&self) -> Markup {
        let cautions = self.answer.cautions.iter();
        let own: Vec<&Caution> = cautions
            .filter(|caution| caution.in_short().is_none() && concerns_the_builder(caution))
            .collect();
        let is_hot = |caution: &&&Caution| {
            matches!(
                caution,
                Caution::HotDischarge { .. } | Caution::HeaderTooHot { .. }
            )
        };
        // Heat is told once: in the general words, or by the caution of the hottest place.
        let hot = own.iter().filter(is_hot).count();
        let soft = if hot == 0 {
            ", and hot air softens it"
        } else {
            ""
        };
        let own = own.into_iter().filter(|caution| {
            hot < 2 || !matches!(caution, Caution::HeaderTooHot { given: false, .. })
        });
        let general = format!(
            "Loss of air is loss of life support: alarm, standby air and emergency oxygen come before the animals. Compressed air bursts plastic pipe into shards{soft}. Set the blower above the highest water, or water siphons back into it. Never run it against a closed line. Mains power near water: residual-current protection and bonding by a licensed electrician. Air let in at depth can supersaturate the water with nitrogen: measure total gas pressure before stocking. Local codes and licensed practice come before this page."
        );
        html! {
            p { (signs(&general)) }
            @for caution in own { p.own { (signs(&caution.worded(self.units))) "." } }
        }
    }
}

/// What two lifts must share to stand in one row: kind, riser's pipe, drill, holes, ring, and whether they are open.
fn built_as(lift: &LiftFacts) -> (&str, Option<&str>, Option<&str>, [Option<u64>; 4], bool) {
    // Without a drill, holes are alike to a hundredth of a millimetre.
    let fine = |length: Option<f64>| length.map(|length| (length * 1e5).round().to_bits());
    (
        &lift.kind,
        lift.pipe.as_deref(),
        lift.drill.as_deref(),
        [
            lift.holes.map(u64::from),
            lift.injector_holes.map(u64::from),
            fine(lift.injector_hole_m),
            fine(lift.orifice_m).filter(|_| lift.drill.is_none()),
        ],
        lift.open,
    )
}

fn ring(lift: &LiftFacts, units: UnitSystem) -> String {
    match (lift.injector_holes, lift.injector_hole_m) {
        (Some(holes), Some(hole)) => {
            let (size, unit) = units.bore_unit();
            format!("{holes} × {} {unit}", given(hole / size))
        }
        _ => match lift.riser.injector.as_deref() {
            Some("diffuser") => "diffuser".to_owned(),
            _ => "open end".to_owned(),
        },
    }
}

fn hole(lift: &LiftFacts, units: UnitSystem) -> String {
    let Some(exact) = lift.orifice_m else {
        return if lift.open { "none" } else { "shut" }.to_owned();
    };
    let hole = lift
        .drill
        .clone()
        .unwrap_or_else(|| units.say(Kind::Bore, exact));
    match lift.holes {
        Some(holes) if holes > 1 => format!("{holes} × {hole}"),
        _ => hole,
    }
}

/// Smallest and largest of numbers, one where they read alike.
fn span(values: impl Iterator<Item = f64>, say: impl Fn(f64) -> String) -> String {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| {
        (low.min(one), high.max(one))
    });
    let (low, high) = (say(low), say(high));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// A vessel as it is sold.
fn vessel(volume_m3: f64, units: UnitSystem) -> String {
    let (size, unit) = units.vessel_unit();
    format!("{} {unit}", given(volume_m3 / size))
}

/// As a watch tells it.
fn seconds(value: f64) -> String {
    if value < 100.0 {
        format!("{value:.1}")
    } else {
        format!("{value:.0}")
    }
}

fn counted(blowers: u32) -> String {
    match blowers {
        1 => "one blower".to_owned(),
        n => format!("{n} blowers"),
    }
}

/// Names of lifts; those that end in numbers have what they share once: "tank 1 to 4, 7".
fn names(lifts: &[&LiftFacts]) -> String {
    let names: Vec<&str> = lifts.iter().map(|lift| lift.lift.as_str()).collect();
    let stem = |name: &str| name.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let number = |name: &str| name[stem(name)..].parse::<u64>().ok();
    let follows = |last: &str, name: &str| {
        let next = number(last).and_then(|n| n.checked_add(1));
        last[..stem(last)] == name[..stem(name)] && next.is_some() && next == number(name)
    };
    let mut runs: Vec<Vec<&str>> = Vec::new();
    for name in names {
        match runs.last_mut() {
            Some(run) if run.last().is_some_and(|last| follows(last, name)) => run.push(name),
            _ => runs.push(vec![name]),
        }
    }
    let mut text = String::new();
    let mut shared = "";
    for run in &runs {
        for (n, name) in run.iter().enumerate() {
            // Two in a row are named, of more the first and the last.
            if n > 0 && n + 1 < run.len() {
                continue;
            }
            let (own, digits) = name.split_at(stem(name));
            let between = match (text.is_empty(), n > 0 && run.len() > 2) {
                (true, _) => "",
                (false, true) => " to ",
                (false, false) => ", ",
            };
            let short = own == shared && !own.is_empty() && !digits.is_empty();
            text = text + between + if short { digits } else { name };
            shared = own;
        }
    }
    text
}

/// Whether a caution says something of how the plant is built or set, not of how it was computed.
fn concerns_the_builder(caution: &Caution) -> bool {
    matches!(
        caution,
        Caution::TotalGasPressureAbove { .. }
            | Caution::EntersWithMuchGas { .. }
            | Caution::BlowerBelowWater { .. }
            | Caution::NoStandby
            | Caution::HotDischarge { .. }
            | Caution::HeaderTooHot { .. }
            | Caution::PastBlowerTable { .. }
            | Caution::BeforeBlowerTable { .. }
            | Caution::LiftWithoutAir { .. }
            | Caution::AirOffDesign { .. }
            | Caution::BranchChoked { .. }
            | Caution::SomeLiftsDoNotStart
            | Caution::NotPressurePipe
            | Caution::PipeFromMemory
            | Caution::RunsByGravity
            | Caution::LiftsNotEnough { .. }
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_read_alike_are_said_once() {
        let whole = |value: f64| format!("{value:.0}");
        assert_eq!(span([1.0, 1.2].into_iter(), whole), "1");
        assert_eq!(span([3.0, 1.0, 2.0].into_iter(), whole), "1 to 3");
        assert_eq!(seconds(15.96), "16.0");
        assert_eq!(seconds(123.4), "123");
    }
}
