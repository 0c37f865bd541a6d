//! A plant that stands, as text for people and as CSV.

use super::UnitSystem;
use super::interval::{ends, words};
use super::kind::{Column, Kind, csv_table, text_table};
use super::number::{change, short};
use super::supply::air;
use super::{grounds, site_and_model, wrapped};
use crate::air::at_20_c;
use crate::answer::{
    AskedFacts, BlowerPointFacts, ExistingAnswer, RemedyFacts, StandingLevelFacts,
    StandingLiftFacts,
};
use crate::supply::{Aim, BlowerPlace, CurvePlace, RemedyKind, SAME_START_PA};

/// Lifts that a text shows.
const SHOWN: usize = 16;
/// Letters of a list of drills that a row has room for.
const LONGEST: usize = 24;
/// Lifts that lose which a sentence tells.
const LOSERS: usize = 3;
/// Names that a sentence spells out.
const NAMED: usize = 2;

/// A lift, the pressure of the air outside, and its water at low and at high water.
type Row<'a> = (&'a StandingLiftFacts, f64, [Option<f64>; 2]);

impl CurvePlace {
    /// In words, for a cell.
    fn words(self) -> &'static str {
        match self {
            Self::Closed => "closed",
            Self::NoAir => "no air",
            Self::NoWater => "no water",
            Self::NearThreshold => "near threshold",
            Self::BelowBest => "below best",
            Self::PastBest => "past best",
            Self::PastPeak => "past its peak",
        }
    }
}

/// The lifts; with what is wanted of them where anything is, and with their water at the levels that are told.
fn columns<'a>(asked: bool, [low, high]: [bool; 2]) -> Vec<Column<Row<'a>>> {
    let wanted = asked.then(|| {
        Column::shown("wanted", Kind::Plain, |(one, ..): &Row<'a>, units| {
            let wanted = one.wanted_water_flow_m3_per_s;
            wanted.map(|flow| short(flow / units.water_unit().0)).into()
        })
    });
    let before: Vec<Column<Row<'a>>> = vec![
        Column::new("lift", "lift", Kind::Plain, |(one, ..), _| {
            (&one.lift).into()
        }),
        Column::saved("at_{}", Kind::Height, |(one, ..), _| one.distance_m.into()),
        Column::new("depth", "submergence_{}", Kind::Height, |(one, ..), _| {
            one.riser.submergence_m.into()
        }),
        Column::saved("lift_{}", Kind::Height, |(one, ..), _| {
            one.riser.lift_m.into()
        }),
        Column::saved("bore_{}", Kind::Bore, |(one, ..), _| {
            one.riser.bore_m.into()
        }),
        Column::new("air", "air_{}", Kind::Air, |(one, ..), _| {
            at_20_c(one.air_mass_flow_kg_per_s).into()
        }),
        Column::new("water", "water_{}", Kind::Water, |(one, ..), _| {
            one.water_flow_m3_per_s.into()
        }),
        Column::shown("between", Kind::Plain, |(one, ..), units| {
            ends(one.interval, units).into()
        }),
        Column::saved("water_low_{}", Kind::Water, |(one, ..), _| {
            one.interval.map(|ends| ends.low_m3_per_s).into()
        }),
        Column::saved("water_high_{}", Kind::Water, |(one, ..), _| {
            one.interval.map(|ends| ends.high_m3_per_s).into()
        }),
    ];
    let after: Vec<Column<Row<'a>>> = vec![
        Column::saved("wanted_{}", Kind::Water, |(one, ..), _| {
            one.wanted_water_flow_m3_per_s.into()
        }),
        Column::new("tee", "tee_{}", Kind::Pressure, |(one, outside, _), _| {
            (one.header_pressure_pa - outside).into()
        }),
        Column::saved("injection_{}", Kind::Pressure, |(one, outside, _), _| {
            (one.water_pressure_pa - outside).into()
        }),
        Column::saved("orifice_loss_{}", Kind::Pressure, |(one, ..), _| {
            one.orifice_loss_pa.into()
        }),
        Column::saved("line_loss_{}", Kind::Pressure, |(one, ..), _| {
            one.line_loss_pa.into()
        }),
        Column::new("on its curve", "place", Kind::Plain, |(one, ..), _| {
            one.place.words().into()
        }),
        Column::saved("peak_air_{}", Kind::Air, |(one, ..), _| {
            one.peak_air_mass_flow_kg_per_s.map(at_20_c).into()
        }),
        Column::saved("peak_water_{}", Kind::Water, |(one, ..), _| {
            one.peak_water_flow_m3_per_s.into()
        }),
    ];
    let low = low.then(|| {
        Column::new(
            "at low",
            "water_at_low_{}",
            Kind::Water,
            |row: &Row<'a>, _| row.2[0].into(),
        )
    });
    let high = high.then(|| {
        Column::new(
            "at high",
            "water_at_high_{}",
            Kind::Water,
            |row: &Row<'a>, _| row.2[1].into(),
        )
    });
    let levels = low.into_iter().chain(high);
    before
        .into_iter()
        .chain(wanted)
        .chain(levels)
        .chain(after)
        .collect()
}

impl ExistingAnswer {
    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = self.lines(units);
        let assumed = self.assumptions.said(units).len();
        if assumed > 0 {
            text += &format!(
                "\n{assumed} keys that the file leaves out have their defaults: -v lists them, and the sources.\n"
            );
        }
        wrapped(&text)
    }

    /// The same with all that stands behind it: the drills of plates, what was taken for granted, the sources.
    #[must_use]
    pub fn full_text(&self, units: UnitSystem) -> String {
        let mut text = self.lines(units);
        text += &self.plates_text(units);
        text += &grounds(self.assumptions.said(units), &self.sources);
        text += &site_and_model(&self.site, &self.model, units);
        wrapped(&text)
    }

    /// What comes out, the lifts, and what to change first.
    fn lines(&self, units: UnitSystem) -> String {
        let mut text = self.glance(units);
        text += "\nLifts\n";
        let rows = self.rows();
        text += &text_table(
            &columns(self.asked.is_some(), self.told_levels()),
            rows.iter().take(SHOWN),
            units,
        );
        if let Some(more) = rows.len().checked_sub(SHOWN).filter(|more| *more > 0) {
            text += &format!("and {more} more: --csv has all\n");
        }
        text += &format!(
            "Air is dry, at {}; the pressure at each lift's tee is gauge.\n",
            units.air_state()
        );
        text + &self.advice_text(units)
    }

    /// A row for each lift.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        csv_table(&columns(true, [true; 2]), &self.rows(), units)
    }

    fn rows(&self) -> Vec<Row<'_>> {
        let outside = self.outside_pressure_pa;
        let levels = [
            self.level(f64::is_sign_negative),
            self.level(f64::is_sign_positive),
        ];
        let at = |n: usize| levels.map(|level| level?.lift_water_flows_m3_per_s.get(n).copied());
        let lifts = self.lifts.iter().enumerate();
        lifts.map(|(n, lift)| (lift, outside, at(n))).collect()
    }

    /// The level that is lower, or higher.
    fn level(&self, is: fn(f64) -> bool) -> Option<&StandingLevelFacts> {
        self.levels.iter().find(|level| is(level.level_rise_m))
    }

    fn told_levels(&self) -> [bool; 2] {
        [
            self.level(f64::is_sign_negative),
            self.level(f64::is_sign_positive),
        ]
        .map(|level| level.is_some())
    }

    /// Water at other levels, and which lift that hits hardest.
    fn levels_text(&self, units: UnitSystem) -> String {
        let one = |level: &StandingLevelFacts| {
            let rise = level.level_rise_m;
            let way = if rise < 0.0 { "lower" } else { "higher" };
            let at = format!("{} {way}", units.say(Kind::Height, rise.abs()));
            let Some(flow) = level.water_flow_m3_per_s else {
                let why = level.no_answer.as_deref().unwrap_or_default();
                return format!("Level   {at}: {why}\n");
            };
            let now = self.water_flow_m3_per_s;
            let share = (now > 0.0).then(|| format!(" ({})", change(flow / now - 1.0)));
            let mut text = format!(
                "Level   {at}: {}{}",
                units.say(Kind::Water, flow),
                share.unwrap_or_default()
            );
            if let Some(missing) = level.missing_m3_per_s.filter(|flow| *flow > 0.0) {
                text += &format!(", {} missing", units.say(Kind::Water, missing));
            }
            let then = self.lifts.iter().zip(&level.lift_water_flows_m3_per_s);
            let lost = then.map(|(lift, flow)| (lift, lift.water_flow_m3_per_s - flow));
            let hit = lost.max_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((lift, lost)) = hit.filter(|(_, lost)| *lost > 0.0 && self.lifts.len() > 1)
            {
                let left = lift.water_flow_m3_per_s - lost;
                text += &format!(
                    "; {} loses most, {} is left of {}",
                    lift.lift,
                    short(left / units.water_unit().0),
                    units.say(Kind::Water, lift.water_flow_m3_per_s)
                );
            }
            if !level.would_not_restart.is_empty() {
                let names: Vec<&str> = level.would_not_restart.iter().map(String::as_str).collect();
                text += &format!("; {} would not start again there", self.named(&names));
            }
            text + "\n"
        };
        self.levels.iter().map(one).collect()
    }

    /// Names of lifts, or how many; how many of those that are alike, where it is chance which of them it is.
    fn named(&self, names: &[&str]) -> String {
        let of = |name: &&str| self.lifts.iter().find(|lift| lift.lift == **name);
        let like = names.first().and_then(of).map(|lift| &lift.like);
        let is_alike = |lift: &&StandingLiftFacts| Some(&lift.like) == like;
        let group: Vec<&StandingLiftFacts> = self.lifts.iter().filter(is_alike).collect();
        let alone = names
            .iter()
            .filter_map(of)
            .all(|lift| Some(&lift.like) == like);
        if names.len() == self.lifts.len() && names.len() > NAMED {
            return format!("all {} lifts", names.len());
        }
        // Where all of a kind are in the same state, its lifts have names.
        let mixed = group.iter().any(|lift| lift.place != group[0].place);
        if !alone || group.len() == names.len() || !mixed {
            return named(names);
        }
        let of_all = if group.len() == self.lifts.len() {
            ""
        } else {
            &format!(" like {}", group[0].lift)
        };
        let some = if names.len() == 1 {
            "one".to_owned()
        } else {
            format!("any {}", names.len())
        };
        format!("{some} of the {} lifts{of_all}", group.len())
    }

    fn gauge(&self, pressure_pa: f64, units: UnitSystem) -> String {
        units.say(Kind::Pressure, pressure_pa - self.outside_pressure_pa)
    }

    /// What comes out, a line for each matter.
    fn glance(&self, units: UnitSystem) -> String {
        let pump = self
            .lifts
            .iter()
            .filter(|lift| lift.water_flow_m3_per_s > 0.0);
        let (pump, all) = (pump.count(), self.lifts.len());
        let of = match (pump, all) {
            (1, 1) => "from the lift".to_owned(),
            (pump, all) if pump == all => format!("from {all} lifts"),
            (pump, all) => format!("from {pump} of {all} lifts"),
        };
        let mut text = if pump == 0 {
            "Water   none: no lift pumps\n".to_owned()
        } else {
            let sure = self.interval.map_or_else(
                || "; how sure that is is not known".to_owned(),
                |found| format!("; {}", words(Some(found), [None; 2], units)),
            );
            let flow = units.say(Kind::Water, self.water_flow_m3_per_s);
            format!("Water   {flow} {of}{sure}\n")
        };
        text += &self.levels_text(units);
        text += &self.silent_text(units);
        text += &self.wasted_text(units);
        if let Some(asked) = &self.asked {
            text += &asked.text(units);
        }
        text += &self.blower.text(units);
        if let Some(energy) = &self.energy {
            let mut told = vec![format!(
                "{} at the wire",
                units.say(Kind::Power, energy.wire_power_w)
            )];
            told.push(format!(
                "{} a day",
                units.say(Kind::Energy, energy.daily_energy_j)
            ));
            told.extend(energy.for_water(units).map(|(joule, water)| {
                format!("{} for {water} of water", units.say(Kind::Energy, joule))
            }));
            told.extend(energy.cost_of_a_year().map(|cost| format!("{cost} a year")));
            text += &format!("Power   {}\n", told.join(", "));
        }
        if let Some(gas) = &self.gas {
            let deepest = &gas.deepest;
            let share = |share| units.say(Kind::Percent(1), share);
            if let Some(bound) = deepest.total_gas_pressure_bound {
                text += &format!(
                    "Gas     water leaves with up to {} total gas pressure, limit {}\n",
                    share(bound),
                    share(deepest.total_gas_pressure_limit)
                );
            }
        }
        text
    }

    /// The lift without air that is nearest to starting, and what it lacks.
    fn silent_text(&self, units: UnitSystem) -> String {
        let silent = || {
            self.lifts
                .iter()
                .filter(|lift| lift.place == CurvePlace::NoAir)
        };
        let lacks = |lift: &StandingLiftFacts| lift.starting_pressure_pa - lift.header_pressure_pa;
        let Some(nearest) = silent().min_by(|a, b| lacks(a).total_cmp(&lacks(b))) else {
            return String::new();
        };
        let count = silent().count();
        let who = if count == self.lifts.len() {
            "no lift gets air".to_owned()
        } else {
            let names: Vec<&str> = silent().map(|lift| lift.lift.as_str()).collect();
            let verb = if count == 1 { "gets" } else { "get" };
            let who = self.named(&names);
            let chance = if who.contains(" of the ") {
                ", chance tells which"
            } else {
                ""
            };
            format!("{who} {verb} none{chance}")
        };
        let at = match self.lifts.len() {
            1 => "it starts",
            _ if who.contains(" of the ") || count == self.lifts.len() => "one starts",
            _ if count == 1 => "it starts",
            _ => &format!("{} starts", nearest.lift),
        };
        format!(
            "Air     {who}: {at} at {} at its tee, and the header has {} there\n",
            self.gauge(nearest.starting_pressure_pa, units),
            self.gauge(nearest.header_pressure_pa, units),
        )
    }

    /// The first lift that has air and lifts no water, and why.
    fn wasted_text(&self, units: UnitSystem) -> String {
        let wasted = || {
            let lifts = self.lifts.iter();
            lifts.filter(|lift| lift.place == CurvePlace::NoWater)
        };
        let Some(first) = wasted().next() else {
            return String::new();
        };
        let names: Vec<&str> = wasted().map(|lift| lift.lift.as_str()).collect();
        let own = air(first.air_mass_flow_kg_per_s, units);
        let why = match first.threshold_air_mass_flow_kg_per_s {
            Some(start) => format!("pumps from {} on", air(start, units)),
            None => "its water is never lifted so high, however much air it gets".to_owned(),
        };
        format!(
            "Air     no water with the air of {}: {} has {own}, and {why}\n",
            self.named(&names),
            first.lift
        )
    }

    /// What to change first.
    fn advice_text(&self, units: UnitSystem) -> String {
        let advice = &self.advice;
        let aim = match advice.aim {
            Aim::Water => "for more water",
            Aim::Asked => "for the water that is missing",
            Aim::Power => "for less power, with all that is wanted still given",
        };
        let mut text = format!("\nWhat to change first, {aim} ({} tried)\n", advice.tried);
        let Some(best) = advice.changes.first() else {
            return text + "  None of the changes tried gains half a per cent.\n";
        };
        let rows = advice.changes.iter().zip(1..);
        let rows: Vec<ChangeRow> = rows.map(|(one, n)| (one, n, self)).collect();
        let any_loses = advice
            .changes
            .iter()
            .any(|one| !self.losers(one).is_empty());
        text += &text_table(
            &change_columns(self.asked.is_some(), any_loses),
            &rows,
            units,
        );
        if self.energy.is_none() {
            text += "Power is that in the air, without exchange of heat: that at the wire is not known.\n";
        }
        text += &format!("Why the first: {}.\n", self.why(best, units));
        text + &self.losers_text(best, units)
    }

    /// The lifts that lose by a change, and their water then; but for those that it shuts or throttles, and those that
    /// still have what is wanted of them.
    fn losers<'a>(&'a self, one: &'a RemedyFacts) -> Vec<(&'a StandingLiftFacts, f64)> {
        let meant = matches!(one.change, RemedyKind::Close | RemedyKind::Throttle);
        let loses = |(lift, then): &(&StandingLiftFacts, f64)| {
            one.losers.contains(&lift.lift)
                && !(meant && one.lifts.contains(&lift.lift))
                && lift
                    .wanted_water_flow_m3_per_s
                    .is_none_or(|wanted| *then < wanted)
        };
        let then = one.lift_water_flows_m3_per_s.iter().copied();
        self.lifts.iter().zip(then).filter(loses).collect()
    }

    /// What is left to those that lose, those that lose the largest share first.
    fn losers_text(&self, one: &RemedyFacts, units: UnitSystem) -> String {
        let mut losers = self.losers(one);
        if losers.is_empty() {
            return String::new();
        }
        let left = |(lift, then): &(&StandingLiftFacts, f64)| then / lift.water_flow_m3_per_s;
        losers.sort_by(|a, b| left(a).total_cmp(&left(b)));
        let told = losers.iter().take(LOSERS).map(|(lift, then)| {
            let now = units.say(Kind::Water, lift.water_flow_m3_per_s);
            let then = short(then / units.water_unit().0);
            format!("{} keeps {then} of {now}", lift.lift)
        });
        let mut told: Vec<String> = told.collect();
        if let Some(more) = losers.len().checked_sub(LOSERS).filter(|more| *more > 0) {
            told.push(format!("{more} more lose less"));
        }
        let asks = if self.asked.is_some() {
            ""
        } else {
            ". Say by lift.water_flow what each must have"
        };
        format!("Who loses by it: {}{asks}.\n", told.join(", "))
    }

    /// The drills of each change with plates.
    fn plates_text(&self, units: UnitSystem) -> String {
        let with_drills = self.advice.changes.iter().zip(1..);
        let mut text = String::new();
        for (one, n) in with_drills.filter(|(one, _)| !one.drills.is_empty()) {
            text += &format!("\nDrills and water with change {n}\n");
            let rows = self
                .lifts
                .iter()
                .zip(&one.drills)
                .zip(&one.lift_water_flows_m3_per_s);
            let rows: Vec<PlateRow> = rows
                .map(|((lift, drill), flow)| (lift, drill, *flow))
                .collect();
            text += &text_table(&plate_columns(), &rows, units);
        }
        text
    }

    /// Why a change helps.
    fn why(&self, one: &RemedyFacts, units: UnitSystem) -> String {
        let lift = |name: Option<&String>| {
            let named = |lift: &&StandingLiftFacts| Some(&lift.lift) == name;
            self.lifts.iter().find(named)
        };
        let first = lift(one.lifts.first());
        let pressure = |pascal| units.say(Kind::Pressure, pascal);
        let name = first.map_or("", |lift| lift.lift.as_str());
        match one.change {
            RemedyKind::StartInTurn => "a lift that runs needs less pressure than one that starts, so each keeps its air once it runs".to_owned(),
            RemedyKind::CloseBleed => format!(
                "the bleed lets out {} of the {} that the blower gives",
                air(self.blower.bled_air_mass_flow_kg_per_s, units),
                air(self.blower.air_mass_flow_kg_per_s, units)
            ),
            RemedyKind::Bleed => "there is more air than at the peak of a lift, where less air lifts more water".to_owned(),
            RemedyKind::Close => "its air lifts more water in the others".to_owned(),
            RemedyKind::Throttle => {
                let (now, best) = first.map_or((0.0, None), |lift| {
                    (lift.air_mass_flow_kg_per_s, lift.best_air_mass_flow_kg_per_s)
                });
                let best = best.map_or_else(String::new, |best| {
                    format!(" and has its best efficiency at {}", air(best, units))
                });
                format!("{name} takes {}{best}; what it leaves goes to the others", air(now, units))
            }
            RemedyKind::Speed | RemedyKind::Blowers => match self.advice.aim {
                _ if self.air_mass_flow_kg_per_s <= 0.0 => {
                    "its highest rise is then above what starts a lift".to_owned()
                }
                Aim::Power => "all that is wanted is given with less air".to_owned(),
                _ if one.air_mass_flow_kg_per_s > self.air_mass_flow_kg_per_s => {
                    "the lifts have less air than at their peaks".to_owned()
                }
                _ => "there is more air than at the peak of a lift, where less air lifts more water".to_owned(),
            },
            RemedyKind::FitHoles => self.why_plates(units),
            RemedyKind::ScaleHoles => match one.factor {
                Some(scale) if scale > 1.0 => "the holes take pressure that the blower has not to spare".to_owned(),
                _ => "smaller holes share the air more evenly".to_owned(),
            },
            RemedyKind::Inject => match one.up_m {
                Some(up) if up > 0.0 => "against less water the blower gives more air".to_owned(),
                _ => format!(
                    "the same air lifts more water from deeper, and the blower has the pressure{}",
                    self.blower.room(units).map_or_else(String::new, |room| format!(" ({room} of room)"))
                ),
            },
            RemedyKind::InjectAt => first.map_or_else(String::new, |lift| {
                format!(
                    "{name} starts at {} at its tee, and the header has {} there",
                    self.gauge(lift.starting_pressure_pa, units),
                    self.gauge(lift.header_pressure_pa, units)
                )
            }),
            RemedyKind::WidenBranches => {
                let lost = self.lifts.iter().max_by(|a, b| a.line_loss_pa.total_cmp(&b.line_loss_pa));
                lost.map_or_else(String::new, |lift| {
                    format!(
                        "the branch of {} takes {} of the {} between its tee and its water",
                        lift.lift,
                        pressure(lift.line_loss_pa),
                        pressure(lift.header_pressure_pa - lift.water_pressure_pa)
                    )
                })
            }
            RemedyKind::WidenMain => format!(
                "between blower and header {} are lost",
                pressure(self.blower.pressure_rise_pa - (self.header_pressure_pa - self.outside_pressure_pa))
            ),
            RemedyKind::WidenHeader => {
                let far = self.lifts.iter().map(|lift| lift.header_pressure_pa).fold(f64::INFINITY, f64::min);
                format!("along the header {} are lost", pressure(self.header_pressure_pa - far))
            }
            RemedyKind::AddLift => "the air does more water where each lift has less of it".to_owned(),
        }
    }

    /// Why plates help: what the air does without them.
    fn why_plates(&self, units: UnitSystem) -> String {
        let open = || self.lifts.iter().filter(|lift| lift.open);
        let start = |lift: &StandingLiftFacts| lift.starting_pressure_pa;
        let least = open().map(start).fold(f64::INFINITY, f64::min);
        let most = open().map(start).fold(0.0, f64::max);
        let stand = if most - least > SAME_START_PA {
            format!(
                "through open branches the air goes where the water is shallowest, and starting pressures differ by {}",
                units.say(Kind::Pressure, most - least)
            )
        } else if open().any(|lift| lift.place == CurvePlace::NoAir) {
            "a lift that runs needs less pressure than one that starts, so the first to run keep the others from starting".to_owned()
        } else {
            let own = |lift: &StandingLiftFacts| lift.air_mass_flow_kg_per_s;
            let most = open().max_by(|a, b| own(a).total_cmp(&own(b)));
            let least = open().min_by(|a, b| own(a).total_cmp(&own(b)));
            let told =
                |lift: &StandingLiftFacts| format!("{} takes {}", lift.lift, air(own(lift), units));
            let ends = most.into_iter().chain(least).map(told);
            format!(
                "through open branches {}",
                ends.collect::<Vec<_>>().join(" and ")
            )
        };
        format!("{stand}; plates give each lift its share")
    }
}

/// A lift, its drill and its water with it.
type PlateRow<'a> = (&'a StandingLiftFacts, &'a Option<String>, f64);

fn plate_columns<'a>() -> Vec<Column<PlateRow<'a>>> {
    vec![
        Column::shown("lift", Kind::Plain, |(lift, ..): &PlateRow<'a>, _| {
            (&lift.lift).into()
        }),
        Column::shown("drill", Kind::Plain, |(_, drill, _), _| {
            drill.as_deref().unwrap_or("as it is").into()
        }),
        Column::shown("water", Kind::Water, |(.., flow), _| (*flow).into()),
        Column::shown("now", Kind::Water, |(lift, ..), _| {
            lift.water_flow_m3_per_s.into()
        }),
    ]
}

/// A change, its place from 1, and the answer that it is of.
type ChangeRow<'a> = (&'a RemedyFacts, usize, &'a ExistingAnswer);

/// The changes, the best first; with what is still missing where anything is asked, and how many lifts lose where any does.
fn change_columns<'a>(asked: bool, any_loses: bool) -> Vec<Column<ChangeRow<'a>>> {
    let lose = any_loses.then(|| {
        Column::shown(
            "lifts that lose",
            Kind::Plain,
            |(one, _, all): &ChangeRow<'a>, _| all.losers(one).len().to_string().into(),
        )
    });
    let missing = asked.then(|| {
        Column::shown(
            "missing",
            Kind::Plain,
            |(one, ..): &ChangeRow<'a>, units| {
                let missing = one.missing_m3_per_s;
                missing
                    .map(|flow| short(flow / units.water_unit().0))
                    .into()
            },
        )
    });
    let mut columns = vec![
        Column::shown(" ", Kind::Plain, |(one, n, all): &ChangeRow<'a>, units| {
            format!("{n}. {}", one.words(all, units)).into()
        }),
        Column::shown("water", Kind::Water, |(one, ..), _| {
            one.water_flow_m3_per_s.into()
        }),
        Column::shown(" ", Kind::Plain, |(one, _, all), _| {
            let now = all.water_flow_m3_per_s;
            let share = one.water_flow_m3_per_s / now - 1.0;
            (now > 0.0).then(|| change(share)).into()
        }),
    ];
    columns.extend(missing);
    columns.extend(lose);
    columns.push(Column::shown("power", Kind::Power, |(one, ..), _| {
        one.wire_power_w.unwrap_or(one.adiabatic_power_w).into()
    }));
    columns
}

impl AskedFacts {
    fn text(self, units: UnitSystem) -> String {
        let water = |flow| units.say(Kind::Water, flow);
        let mut parts = Vec::new();
        if self.lifts_short > 0 {
            let lifts = if self.lifts_short == 1 {
                "lift"
            } else {
                "lifts"
            };
            parts.push(format!(
                "{} missing in {} {lifts}",
                water(self.missing_m3_per_s),
                self.lifts_short
            ));
        }
        if self.surplus_m3_per_s > 0.0 {
            let most = if parts.is_empty() {
                ""
            } else {
                " in the others"
            };
            parts.push(format!(
                "{} more than that{most}",
                water(self.surplus_m3_per_s)
            ));
        }
        if parts.is_empty() {
            parts.push("all of it is given".to_owned());
        }
        format!(
            "Wanted  {}: {}\n",
            water(self.wanted_water_flow_m3_per_s),
            parts.join(", ")
        )
    }
}

impl BlowerPointFacts {
    /// Pressure to the highest of its curve.
    fn room(&self, units: UnitSystem) -> Option<String> {
        let room = self.curve?.highest_rise_pa - self.pressure_rise_pa;
        (room > 0.0).then(|| units.say(Kind::Pressure, room))
    }

    fn text(&self, units: UnitSystem) -> String {
        let flow = |flow| units.say(Kind::BlowerAir, flow);
        let pressure = |pascal| units.say(Kind::Pressure, pascal);
        let given = match self.inlet_flow_m3_per_s {
            Some(inlet) => format!("{} at its inlet", flow(inlet)),
            None => air(self.air_mass_flow_kg_per_s, units),
        };
        let mut text = format!(
            "Blower  {given} against {}",
            pressure(self.pressure_rise_pa)
        );
        if self.bled_air_mass_flow_kg_per_s > 0.0 {
            text += &format!(
                ", {} of it bled",
                air(self.bled_air_mass_flow_kg_per_s, units)
            );
        }
        let Some(curve) = &self.curve else {
            return text + "\n";
        };
        let most = curve.most_inlet_flow_m3_per_s;
        text += &match curve.place {
            BlowerPlace::OnTable => {
                let inlet = self.inlet_flow_m3_per_s.unwrap_or_default();
                format!(
                    ": {} of its largest flow; its highest rise in this air is {}",
                    units.say(Kind::Percent(0), inlet / most),
                    pressure(curve.highest_rise_pa)
                )
            }
            BlowerPlace::ShutOff => ": shut off, which no blower stands for long".to_owned(),
            BlowerPlace::BeforeFirst => format!(
                ": before its table, which starts at {}",
                flow(curve.least_inlet_flow_m3_per_s)
            ),
            BlowerPlace::PastLast => format!(
                ": past its table, where it still gives {}",
                pressure(curve.lowest_rise_pa)
            ),
        };
        text + "\n"
    }
}

impl RemedyFacts {
    /// The change in words.
    fn words(&self, of: &ExistingAnswer, units: UnitSystem) -> String {
        let names: Vec<&str> = self.lifts.iter().map(String::as_str).collect();
        let lifts = of.named(&names);
        let wider = || {
            let bore = self.bore_m.map(|bore| units.say(Kind::Bore, bore));
            self.pipe.clone().or(bore).unwrap_or_default()
        };
        let percent = || units.say(Kind::Percent(0), self.factor.unwrap_or_default());
        match self.change {
            RemedyKind::StartInTurn => "start the lifts in turn, the other valves shut".to_owned(),
            RemedyKind::CloseBleed => "shut the bleed".to_owned(),
            RemedyKind::Bleed => format!("bleed {} of the air", percent()),
            RemedyKind::Close => format!("shut off {lifts}"),
            RemedyKind::Throttle => format!(
                "throttle {lifts} to {}{}",
                air(self.own_air_mass_flow_kg_per_s.unwrap_or_default(), units),
                if names.len() > 1 { " each" } else { "" }
            ),
            RemedyKind::Speed => format!("run the blower at {} of its speed", percent()),
            RemedyKind::Blowers => match self.running {
                Some(1) => "run one blower".to_owned(),
                running => format!("run {} blowers at once", running.unwrap_or_default()),
            },
            RemedyKind::FitHoles => format!("a plate in each branch: {}", self.holes()),
            RemedyKind::ScaleHoles => format!("drill holes of {} of their diameter", percent()),
            RemedyKind::Inject => {
                let up = self.up_m.unwrap_or_default();
                let way = if up > 0.0 { "higher" } else { "deeper" };
                let all = names.len() == of.lifts.len() && names.len() > 1;
                let whose = if all {
                    " of all lifts".to_owned()
                } else {
                    format!(" of {lifts}")
                };
                let whose = if of.lifts.len() == 1 { "" } else { &whose };
                format!(
                    "let the air{whose} in {} {way}",
                    units.say(Kind::Height, up.abs())
                )
            }
            RemedyKind::InjectAt => format!(
                "let the air of {lifts} in at {}",
                units.say(Kind::Height, self.depth_m.unwrap_or_default())
            ),
            RemedyKind::WidenBranches if names.len() > NAMED => {
                format!("{} branches of {}", names.len(), wider())
            }
            RemedyKind::WidenBranches => format!("a branch of {} to {lifts}", wider()),
            RemedyKind::WidenMain => format!("a main line of {}", wider()),
            RemedyKind::WidenHeader => format!("a header of {}", wider()),
            RemedyKind::AddLift => format!("one more lift like {lifts}, at its tee"),
        }
    }

    /// The drills, equal neighbours together.
    fn holes(&self) -> String {
        let mut runs: Vec<(usize, &str)> = Vec::new();
        for drill in self.drills.iter().flatten() {
            match runs.last_mut() {
                Some((count, known)) if *known == drill => *count += 1,
                _ => runs.push((1, drill)),
            }
        }
        let told = runs.iter().map(|(count, drill)| match count {
            1 => (*drill).to_owned(),
            _ => format!("{count} x {drill}"),
        });
        let told = told.collect::<Vec<_>>().join(", ");
        if told.len() > LONGEST {
            "drills by -v".to_owned()
        } else {
            told
        }
    }
}

/// Names of lifts, or how many.
fn named(names: &[&str]) -> String {
    match names {
        [] => "all lifts".to_owned(),
        few if few.len() <= NAMED => few.join(" and "),
        many => format!("{} and {} more", many[0], many.len() - 1),
    }
}
