//! The sheet of a closed loop: whether it holds with these lifts, what governs, and what can go wrong.

use maud::html;

use super::markup::{self, Section, drawn, facts, html_table, signs, table};
use super::notes::{caution_list, sources};
use super::page::{self, AIR_STOPS, Front};
use crate::answer::{LoopAnswer, LoopLiftFacts, LoopTankFacts};
use crate::chart::{ChartError, DayFigure};
use crate::recirculation::LoopLimit;
use crate::references::Reference;
use crate::report::UnitSystem;
use crate::report::kind::{Column, Kind};
use crate::report::loops::{
    CHOICES_NOTE, WARMER_NOTE, balance_title, budget, changes, choices, clock, lasts, tanks,
};
use crate::units::base;

/// What the sheet of a closed loop is made of.
///
/// # Examples
/// ```
/// # #[cfg(feature = "files")] {
/// use risewater::answer::LoopAnswer;
/// use risewater::chart::DayFigure;
/// use risewater::design::{DesignFile, LOOP_EXAMPLE};
/// use risewater::report::{LoopSheet, UnitSystem};
///
/// let design = DesignFile::parse(LOOP_EXAMPLE)?.water_loop()?;
/// let answer = LoopAnswer::of(&design.water, &design.day, &design.terms())?;
/// let outcome = design.water.day(&design.day)?;
/// let day = outcome.day().expect("it balances");
/// let figure = DayFigure::of(&design.water, day, &design.day, UnitSystem::Metric)?;
/// let page = LoopSheet::of("Nursery", &answer, Some(&figure)).html()?;
/// assert!(page.contains("every limit holds"));
/// # }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct LoopSheet<'a> {
    /// Headline: what the loop is called.
    pub title: &'a str,
    /// What the loop does through a day.
    pub answer: &'a LoopAnswer,
    /// The picture of that day; none where the loop cannot balance.
    pub figure: Option<&'a DayFigure>,
    /// Units of its numbers; those of the picture are its own.
    pub units: UnitSystem,
}

impl<'a> LoopSheet<'a> {
    /// A sheet in metric units.
    #[must_use]
    pub fn of(title: &'a str, answer: &'a LoopAnswer, figure: Option<&'a DayFigure>) -> Self {
        Self {
            title,
            answer,
            figure,
            units: UnitSystem::Metric,
        }
    }

    /// The page.
    ///
    /// # Errors
    /// [`ChartError`] for numbers that no picture takes.
    ///
    /// # Examples
    /// See [`LoopSheet`].
    pub fn html(&self) -> Result<String, ChartError> {
        let sections = [
            Some(self.verdict()),
            self.day()?,
            self.tanks(),
            self.choices(),
            Some(self.changes()),
            self.balance(),
            Some(self.cautions()),
            self.defaults(),
            self.sources(),
        ];
        let sections: Vec<_> = sections.into_iter().flatten().collect();
        Ok(page::page(&self.front(), &sections))
    }

    fn front(&self) -> Front<'a> {
        Front {
            title: self.title,
            kind: "Sheet of a closed loop",
            first: "measure the oxygen in the worst hour before more animals depend on it",
            figures: self.key_figures(),
            alarm: self.alarm(),
            cautions: (self.answer.cautions.len(), "loop"),
        }
    }

    fn key_figures(&self) -> Vec<(String, String)> {
        let (answer, units) = (self.answer, self.units);
        let lifts = if answer.is_ceiling {
            "with these lifts at their ceiling, better than they can be"
        } else {
            "with these lifts"
        };
        let verdict = match (&answer.shortage, answer.holds) {
            (Some(_), _) => "it cannot balance",
            (None, true) => "every limit holds",
            (None, false) => "it does not hold",
        };
        let mut figures = vec![(lifts.to_owned(), verdict.to_owned())];
        figures.extend(answer.least_oxygen.as_ref().map(|least| {
            (
                format!("least oxygen, in {} at {}", least.tank, clock(least.time_s)),
                format!(
                    "{} mg/L",
                    units.number(Kind::Dissolved, least.oxygen_kg_per_m3)
                ),
            )
        }));
        figures.push((
            format!(
                "lifts, {} in all",
                units.say(Kind::Water, answer.water_flow_m3_per_s)
            ),
            answer.lifts.to_string(),
        ));
        let first = self.first_at(|tank| tank.time_to_limit_s);
        figures.extend(first.map(|(tank, time)| {
            let time = if time > 0.0 {
                lasts(time)
            } else {
                "none".to_owned()
            };
            (format!("without air to the limit, in {}", tank.name), time)
        }));
        figures.extend(answer.worst_hour_stock.as_ref().map(|stock| {
            (
                format!(
                    "stock that could live, {:.2} times what is there",
                    stock.factor
                ),
                units.mass(base(stock.biomass_kg)),
            )
        }));
        figures
    }

    /// The tank with the shortest of such times, and that time.
    fn first_at(
        &self,
        time: fn(&LoopTankFacts) -> Option<f64>,
    ) -> Option<(&'a LoopTankFacts, f64)> {
        let tanks = self.answer.tanks.iter();
        let known = tanks.filter_map(|tank| Some((tank, time(tank)?)));
        known.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// What happens when the air stops, from the worst moment of the day.
    fn alarm(&self) -> String {
        let limit = self.first_at(|tank| tank.time_to_limit_s);
        let survival = self.first_at(|tank| tank.time_to_survival_s);
        let mut words = match limit {
            None => AIR_STOPS.to_owned(),
            Some((tank, time)) if time > 0.0 => {
                let at = tank.air_stops_at_s.map(|at| format!(" at {}", clock(at)));
                format!(
                    "If the air stops{}, oxygen in {} falls to its limit in {}.",
                    at.unwrap_or_default(),
                    tank.name,
                    lasts(time)
                )
            }
            Some(_) => {
                let below = self.answer.tanks.iter();
                let below = below.filter(|tank| tank.time_to_limit_s == Some(0.0));
                let names: Vec<&str> = below.map(|tank| tank.name.as_str()).collect();
                format!(
                    "Oxygen is below its limit in the worst hour, with the air on: {}.",
                    names.join(", ")
                )
            }
        };
        if let Some((tank, time)) = survival {
            let when = if time > 0.0 {
                format!("After {}", lasts(time))
            } else {
                "Even with the air on".to_owned()
            };
            words += &format!(
                " {when}, {} is below the oxygen that animals survive.",
                tank.name
            );
        }
        words
    }

    fn verdict(&self) -> Section {
        let answer = self.answer;
        let lines = answer.lines(self.units);
        let names: Vec<_> = lines.iter().map(|(name, _)| name.to_lowercase()).collect();
        let rows = names.iter().zip(lines);
        let rows = rows.map(|(name, (_, words))| (name.as_str(), words, ""));
        Section {
            id: "verdict",
            title: "With these lifts, does it hold?",
            body: html! {
                div.plain { (facts("Through a day, the worst hour included", rows.collect())) }
                @if answer.groups.len() > 1 {
                    (html_table("The lifts", &groups(), &answer.groups, self.units))
                }
            },
            folded: false,
        }
    }

    fn day(&self) -> Result<Option<Section>, ChartError> {
        let Some(figure) = self.figure else {
            return Ok(None);
        };
        Ok(Some(Section {
            id: "day",
            title: "From midnight to midnight",
            body: html! { div.tall { (drawn([figure.svg()?, figure.narrow_svg()?])) } },
            folded: false,
        }))
    }

    fn tanks(&self) -> Option<Section> {
        let all = &self.answer.tanks;
        (!all.is_empty()).then(|| Section {
            id: "tanks",
            title: "Tanks",
            body: html! {
                (html_table("Each tank through the day", &tanks(), all, self.units))
                p.remark { "At: when the oxygen is least. Water: mean of the day, new water apart. TAN: total ammonia nitrogen. Total gas: mean of the day, over the barometer's pressure. Without air: from the moment at which it is shortest, the uptake as it is then." }
                (left(all))
            },
            folded: false,
        })
    }

    fn choices(&self) -> Option<Section> {
        let all = &self.answer.size.as_ref()?.choices;
        (!all.is_empty()).then(|| Section {
            id: "choices",
            title: "Numbers of lifts that hold",
            body: html! {
                (html_table("Every limit holds with any of these", &choices(), all, self.units))
                p.remark {
                    @if all.len() > 1 { (CHOICES_NOTE) " " }
                    "Power of the air: without losses of line and blower."
                }
            },
            folded: false,
        })
    }

    fn changes(&self) -> Section {
        let all = &self.answer.changes;
        Section {
            id: "changes",
            title: "What can go wrong",
            body: html! {
                (html_table("One thing at a time, a whole day of it", &changes(), all, self.units))
                p.remark { (WARMER_NOTE) }
                @if let Some(words) = self.answer.bypass_words() { p { (words) } }
                p.remark { "In, at: the tank and the time of the least oxygen. Left: of the limit that governs; below zero it is exceeded." }
            },
            folded: false,
        }
    }

    fn balance(&self) -> Option<Section> {
        let all = &self.answer.budget;
        (!all.is_empty()).then(|| Section {
            id: "balance",
            title: "What comes to the water and what leaves it",
            body: html! {
                (html_table(&balance_title(self.units), &budget(), all, self.units))
                p.remark { "Below zero: what leaves the water." }
            },
            folded: false,
        })
    }

    fn cautions(&self) -> Section {
        Section {
            id: "cautions",
            title: "Cautions",
            body: caution_list(self.answer.cautions.iter(), self.units),
            folded: false,
        }
    }

    fn defaults(&self) -> Option<Section> {
        let all = &self.answer.defaults;
        (!all.is_empty()).then(|| Section {
            id: "defaults",
            title: "Defaults",
            body: html! {
                p.remark { "Taken where nothing was given. In brackets the values at hand, then the source and how it reached us. Give your own where you know them." }
                ul.sources.origins {
                    @for one in all {
                        @let [taken, origin] = one.words();
                        li { (signs(&taken)) " " span.remark { (signs(&origin)) } }
                    }
                }
            },
            folded: false,
        })
    }

    /// Of the defaults, each source once.
    fn sources(&self) -> Option<Section> {
        let mut all: Vec<&Reference> = Vec::new();
        for source in self
            .answer
            .defaults
            .iter()
            .filter_map(|one| one.source.as_ref())
        {
            if !all.contains(&source) {
                all.push(source);
            }
        }
        (!all.is_empty()).then(|| sources(all))
    }
}

fn groups() -> [Column<LoopLiftFacts>; 5] {
    [
        Column::paged("lifts", Kind::Plain, |one: &LoopLiftFacts, _| {
            (&one.name).into()
        }),
        Column::paged("run", Kind::Count, |one, _| one.count.into()),
        Column::paged("water each", Kind::Water, |one, _| {
            one.water_flow_m3_per_s.into()
        }),
        Column::paged("at least", Kind::Water, |one, _| {
            one.interval.map(|ends| ends.low_m3_per_s).into()
        }),
        Column::paged("at most", Kind::Water, |one, _| {
            one.interval.map(|ends| ends.high_m3_per_s).into()
        }),
    ]
}

/// What is left of each limit at its worst moment, tank by tank.
fn left(tanks: &[LoopTankFacts]) -> maud::Markup {
    let mut limits: Vec<LoopLimit> = Vec::new();
    for one in tanks.iter().flat_map(|tank| &tank.limits) {
        if !limits.contains(&one.limit) {
            limits.push(one.limit);
        }
    }
    if limits.is_empty() {
        return html! { p { "No tank has a limit." } };
    }
    let mut heads = vec![("tank", markup::Column::Words)];
    heads.extend(
        limits
            .iter()
            .map(|limit| (limit.words(), markup::Column::Numbers)),
    );
    let rows = tanks.iter().map(|tank| {
        let mut cells = vec![tank.name.clone()];
        cells.extend(limits.iter().map(|limit| {
            let own = tank.limits.iter().find(|one| one.limit == *limit);
            own.map_or_else(String::new, |one| format!("{:.0} %", 100.0 * one.slack))
        }));
        cells
    });
    html! {
        (table("What is left of each limit at its worst moment", &heads, rows))
        p.remark {
            "Below zero: by how much the limit is exceeded."
            @if limits.contains(&LoopLimit::TotalGasPressure) {
                " Of total gas pressure: of what its limit allows over the barometer's; more than 100 % where the water holds less gas than that."
            }
        }
    }
}
