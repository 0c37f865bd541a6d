//! Several tanks on one header as text, CSV and picture.

use super::interval::{ends, odds};
use super::kind::{Cell, Column, Kind, csv_table, text_table};
use super::number::{UnitSystem, change, count, place};
use super::{site_line, wrapped};
use crate::air::at_20_c;
use crate::answer::{
    HeaderTankFacts, IntervalFacts, MemberFacts, TankSetFacts, TanksAnswer, TwoBlowersFacts,
};
use crate::chart::{TankBar, TanksFigure};
use crate::units::{GaugePressure, base};

/// Letters of a tank's name in a table.
const NAME: usize = 14;

fn lifts(tank: &HeaderTankFacts) -> f64 {
    f64::from(tank.design.lifts)
}

/// Air of all lifts of a tank.
fn air(tank: &HeaderTankFacts) -> f64 {
    at_20_c(tank.design.air_mass_flow_total_kg_per_s)
}

/// The interval of all lifts of a tank: equal lifts err alike.
fn interval(tank: &HeaderTankFacts) -> Option<IntervalFacts> {
    let each = tank.design.detail.as_ref()?.interval?;
    Some(IntervalFacts {
        low_m3_per_s: each.low_m3_per_s * lifts(tank),
        high_m3_per_s: each.high_m3_per_s * lifts(tank),
        ..each
    })
}

fn tank_name(tank: &HeaderTankFacts, _: UnitSystem) -> Cell {
    Cell::from(clipped(&tank.name))
}

/// The first letters of a long name.
fn clipped(name: &str) -> String {
    if name.chars().count() <= NAME {
        return name.to_owned();
    }
    name.chars().take(NAME - 1).chain(['…']).collect()
}

/// What each tank gets.
fn gets<'a>() -> [Column<&'a HeaderTankFacts>; 6] {
    [
        Column::shown("tank", Kind::Plain, |t, u| tank_name(t, u)),
        Column::shown("lifts", Kind::Plain, |t, _| {
            format!("{} x {}", t.design.lifts, t.design.pipe).into()
        }),
        Column::shown("depth", Kind::Height, |t, _| t.design.submergence_m.into()),
        Column::shown("water", Kind::Water, |t, _| {
            t.design.water_flow_total_m3_per_s.into()
        }),
        Column::shown("between", Kind::Plain, |t, u| ends(interval(t), u).into()),
        Column::shown("air", Kind::Air, |t, _| air(t).into()),
    ]
}

/// What each tank does to the header.
fn pressures<'a>() -> [Column<&'a HeaderTankFacts>; 7] {
    [
        Column::shown("tank", Kind::Plain, |t, u| tank_name(t, u)),
        Column::shown("asked", Kind::Water, |t, _| {
            t.duty.water_flow_m3_per_s.into()
        }),
        Column::shown("start", Kind::Pressure, |t, _| {
            t.design.startup_gauge_pressure_pa.into()
        }),
        Column::shown("running", Kind::Pressure, |t, _| {
            t.design.injection_gauge_pressure_pa.into()
        }),
        Column::shown("throttled", Kind::Pressure, |t, _| {
            t.throttled_off_pa.into()
        }),
        Column::shown("lost", Kind::Power, |t, _| t.throttled_power_w.into()),
        Column::shown("own blower", Kind::Power, |t, _| {
            t.own_blower.adiabatic_power_w.into()
        }),
    ]
}

/// A tank as CSV has it.
fn saved<'a>() -> [Column<&'a HeaderTankFacts>; 18] {
    [
        Column::saved("tank", Kind::Plain, |t, _| Cell::from(&t.name)),
        Column::saved("duty_{}", Kind::Water, |t, _| {
            t.duty.water_flow_m3_per_s.into()
        }),
        Column::saved("lift_{}", Kind::Height, |t, _| t.duty.lift_m.into()),
        Column::saved("pipe", Kind::Plain, |t, _| Cell::from(&t.design.pipe)),
        Column::saved("bore_{}", Kind::Bore, |t, _| t.design.bore_m.into()),
        Column::saved("lifts", Kind::Count, |t, _| t.design.lifts.into()),
        Column::saved("submergence_{}", Kind::Height, |t, _| {
            t.design.submergence_m.into()
        }),
        Column::saved("water_{}_total", Kind::Water, |t, _| {
            t.design.water_flow_total_m3_per_s.into()
        }),
        Column::saved("low_{}_total", Kind::Water, |t, _| {
            interval(t).map(|found| found.low_m3_per_s).into()
        }),
        Column::saved("high_{}_total", Kind::Water, |t, _| {
            interval(t).map(|found| found.high_m3_per_s).into()
        }),
        Column::saved("air_dry_20c_101325pa_{}_total", Kind::Air, |t, _| {
            air(t).into()
        }),
        Column::saved("startup_{}_gauge", Kind::Pressure, |t, _| {
            t.design.startup_gauge_pressure_pa.into()
        }),
        Column::saved("running_{}_gauge", Kind::Pressure, |t, _| {
            t.design.injection_gauge_pressure_pa.into()
        }),
        Column::saved("sets_pressure", Kind::Yes, |t, _| t.sets_pressure.into()),
        Column::saved("throttled_off_{}", Kind::Pressure, |t, _| {
            t.throttled_off_pa.into()
        }),
        Column::saved("throttled_power_{}", Kind::Power, |t, _| {
            t.throttled_power_w.into()
        }),
        Column::saved("own_blower_power_{}", Kind::Power, |t, _| {
            t.own_blower.adiabatic_power_w.into()
        }),
        Column::saved("own_blower_rise_{}", Kind::Pressure, |t, _| {
            t.own_blower.pressure_rise_pa.into()
        }),
    ]
}

/// The sets, one a common pressure.
fn sets<'a>(held: bool) -> Vec<Column<&'a TankSetFacts>> {
    let fed = held.then(|| {
        Column::shown("fed", Kind::Yes, |s: &&TankSetFacts, _| {
            s.fed.unwrap_or_default().into()
        })
    });
    let mut columns = vec![
        Column::shown("header", Kind::Pressure, |s: &&TankSetFacts, _| {
            s.header_gauge_pressure_pa.into()
        }),
        Column::shown("power", Kind::Power, |s, _| s.adiabatic_power_w.into()),
        Column::shown("air", Kind::Air, |s, _| {
            at_20_c(s.air_mass_flow_total_kg_per_s).into()
        }),
        Column::shown("lifts", Kind::Count, |s, _| s.lifts.into()),
        Column::shown("depth of each tank, as above", Kind::Plain, |s, u| {
            depths(&s.members, u).into()
        }),
    ];
    columns.splice(4..4, fed);
    columns
}

/// The lifts of a set that is not the best.
fn members<'a>() -> [Column<&'a MemberFacts>; 3] {
    [
        Column::shown("tank", Kind::Plain, |m: &&MemberFacts, _| {
            clipped(&m.tank).into()
        }),
        Column::shown("lifts", Kind::Plain, |m, _| {
            format!("{} x {}", m.lifts, m.pipe).into()
        }),
        Column::shown("depth", Kind::Height, |m, _| m.submergence_m.into()),
    ]
}

fn depths(members: &[MemberFacts], units: UnitSystem) -> String {
    let (size, unit) = units.height_unit();
    let all = members.iter().map(|one| place(one.submergence_m / size));
    format!("{} {unit}", all.collect::<Vec<_>>().join(", "))
}

impl TanksAnswer {
    /// CSV of the tanks as the best set has them, with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        let tanks: Vec<&HeaderTankFacts> = self.tanks.iter().collect();
        csv_table(&saved(), &tanks, units)
    }

    /// Text for people, with the `top` sets; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem, top: usize) -> String {
        let Some(best) = self.best() else {
            return String::new();
        };
        let tanks: Vec<&HeaderTankFacts> = self.tanks.iter().collect();
        let all: Vec<&TankSetFacts> = self.sets.iter().collect();
        let more = if all.len() > top {
            format!(": {top} of {} (--top shows more)", count(all.len()))
        } else {
            String::new()
        };
        wrapped(&format!(
            "{}{}\n{}\n{}\n{}\nThe best set at each common pressure{more}\n{}\n{}",
            self.whole(best, units),
            self.fed_text(best, units),
            text_table(&gets(), &tanks, units),
            text_table(&pressures(), &tanks, units),
            self.binding_text(best, units),
            text_table(&sets(best.fed.is_some()), all.iter().take(top), units),
            self.notes(units),
        ))
    }

    /// The same with the lifts of the other sets that it names.
    #[must_use]
    pub fn full_text(&self, units: UnitSystem, top: usize) -> String {
        let others = [
            ("fewer lifts", &self.fewer_lifts),
            ("lifts inside the measured data", &self.best_inside_data),
        ];
        let others = others.into_iter().filter_map(|(of, set)| {
            let lifts: Vec<&MemberFacts> = set.as_ref()?.members.iter().collect();
            let table = text_table(&members(), &lifts, units);
            Some(format!("\nThe set of {of}\n{table}"))
        });
        self.text(units, top) + &wrapped(&others.collect::<String>())
    }

    /// What the blower does for all.
    fn whole(&self, best: &TankSetFacts, units: UnitSystem) -> String {
        let say = |kind, si| units.say(kind, si);
        let least = match self.objective.as_str() {
            "air_power" => "least power at the blower",
            "lifts" => "fewest lifts",
            "air_flow" => "least air",
            _ => "least pressure",
        };
        let wire = best.wire_power_w.map_or_else(String::new, |wire| {
            format!("        {} at the wire\n", say(Kind::Power, wire))
        });
        let loss = if self.supply_loss_pa > 0.0 {
            format!(
                " ({} of it for lines)",
                say(Kind::Pressure, self.supply_loss_pa)
            )
        } else {
            String::new()
        };
        let own = self.own_blowers_adiabatic_power_w;
        format!(
            "Best    {} tanks with {} lifts: {least}\n{}Blower  {}: {} of air, raised by {}{loss}\n{wire}Header  {} to start, {} running; set by {}\nValves  {} of it is lost in them; a blower for each tank: {} in all ({})\nSite    {}\nModel   {}\n",
            self.tanks.len(),
            best.lifts,
            self.against_text(best, units),
            say(Kind::Power, best.adiabatic_power_w),
            say(Kind::Air, at_20_c(best.air_mass_flow_total_kg_per_s)),
            say(Kind::Pressure, best.pressure_rise_pa),
            say(Kind::Pressure, best.startup_gauge_pressure_pa),
            say(Kind::Pressure, best.running_gauge_pressure_pa),
            some_of(&best.pressure_set_by),
            say(Kind::Power, self.throttled_power_w),
            say(Kind::Power, own),
            change(own / best.adiabatic_power_w - 1.0),
            site_line(&self.site, units),
            self.model.worded(units),
        )
    }

    /// The lifts of the best set that the blowers feed, where the best set of all is not it.
    fn fed_text(&self, best: &TankSetFacts, units: UnitSystem) -> String {
        let fed = self.best_fed.as_ref().filter(|_| best.fed == Some(false));
        fed.map_or_else(String::new, |fed| {
            format!(
                "\nThe best set that the blower feeds\n{}",
                text_table(&members(), &fed.members.iter().collect::<Vec<_>>(), units)
            )
        })
    }

    /// The set of which the blowers give the largest share of the air, where they feed none.
    fn nearest_fed(&self, units: UnitSystem) -> String {
        let share = |set: &&TankSetFacts| {
            set.given_air_mass_flow_kg_per_s.unwrap_or_default() / set.air_mass_flow_total_kg_per_s
        };
        let nearest = self
            .sets
            .iter()
            .max_by(|a, b| share(a).total_cmp(&share(b)));
        nearest
            .filter(|set| share(set) > 0.0)
            .map_or_else(String::new, |set| {
                let air = set.air_mass_flow_total_kg_per_s;
                format!(
                    ", nearest {} of {} at {} in the header",
                    units.number(Kind::Air, at_20_c(share(&set) * air)),
                    units.say(Kind::Air, at_20_c(air)),
                    units.say(Kind::Pressure, set.header_gauge_pressure_pa)
                )
            })
    }

    /// What stands against the best set: data, blower, fewer lifts.
    fn against_text(&self, best: &TankSetFacts, units: UnitSystem) -> String {
        let air = |kg_per_s| units.say(Kind::Air, at_20_c(kg_per_s));
        let mut text = String::new();
        let outside = self
            .tanks
            .iter()
            .filter(|tank| !tank.design.outside_data.is_empty());
        let outside: Vec<String> = outside
            .map(|tank| {
                format!(
                    "{} ({})",
                    clipped(&tank.name),
                    tank.design.outside_data.join(", ")
                )
            })
            .collect();
        if !outside.is_empty() {
            let inside = match &self.best_inside_data {
                Some(set) => format!("best inside it: {}", with_lifts(set, best, units)),
                None => "no set stands inside it".to_owned(),
            };
            text += &format!(
                "Data    outside what was measured: {}; {inside}\n",
                outside.join(", ")
            );
        }
        if let (Some(given), Some(fed)) = (best.given_air_mass_flow_kg_per_s, best.fed) {
            let needed = best.air_mass_flow_total_kg_per_s;
            let words = match (fed, &self.best_fed) {
                (true, _) => format!(
                    "gives {} at that rise, enough: {} to spare",
                    air(given),
                    air(given - needed)
                ),
                (false, of_fed) => {
                    let gives = if given > 0.0 {
                        air(given)
                    } else {
                        "nothing".to_owned()
                    };
                    let feeds = match of_fed {
                        Some(set) => format!("it feeds {}", with_lifts(set, best, units)),
                        None => format!("it feeds no set{}", self.nearest_fed(units)),
                    };
                    format!("gives {gives} at that rise, too little; {feeds}")
                }
            };
            text += &format!("Yours   the blower of the file {words}\n");
        }
        if let Some(set) = &self.fewer_lifts {
            text += &format!(
                "Fewer   {}: duty.objective or max_lifts asks for it, -v has its lifts\n",
                with_lifts(set, best, units)
            );
        }
        text
    }

    /// What the tanks that set the pressure cost the others.
    fn binding_text(&self, best: &TankSetFacts, units: UnitSystem) -> String {
        let names = some_of(&self.binding.tanks);
        let mut text = format!("With less depth in {names}, all sized again\n");
        if self.binding.shallower.is_empty() {
            text = format!("{names}: no lesser depth is searched\n");
        }
        for one in &self.binding.shallower {
            let held = one.limits.iter();
            let mut held: Vec<String> = held
                .map(|held| units.say(Kind::Height, held.max_submergence_m))
                .collect();
            held.dedup();
            text += &match &one.set {
                None => format!("  {}: no lift meets its duty\n", held.join(", ")),
                Some(set) => format!("  {}: {}\n", held.join(", "), against(set, best, units)),
            };
        }
        if let Some(two) = &self.binding.two_blowers {
            text += &two_text(two, best, units);
        }
        text
    }

    /// What the numbers are of.
    fn notes(&self, units: UnitSystem) -> String {
        let mut text = format!(
            "Air is dry, at {}; power is of air compressed without loss of heat,\nbefore the blower's own losses. Between: {}; equal lifts err alike.\n",
            units.air_state(),
            odds(self.level),
        );
        text += "`risewater supply` lays these lifts along the header of the file.\n";
        if self.supply_loss_pa == 0.0 {
            text += "Lines, open valves and injectors are not counted: limits.supply_loss is for them.\n";
        }
        if self.tanks.iter().any(|tank| tank.duty.at_low_water) {
            text += "With at_low_water a tank's air is what low water takes; at the normal level it lifts more.\n";
        }
        if self.tanks.iter().any(|tank| tank.duty.at_lower_end) {
            text += "With at_lower_end a tank's air is what the lower end of its water takes.\n";
        }
        text
    }

    /// The figure of the best set.
    #[must_use]
    pub fn figure(&self, units: UnitSystem) -> TanksFigure {
        let bar = |tank: &HeaderTankFacts| TankBar {
            name: tank.name.clone(),
            submergence: base(tank.design.submergence_m),
            air_at_20_c: base(air(tank)),
            running: GaugePressure(base(tank.design.injection_gauge_pressure_pa)),
        };
        let best = self.best();
        let power = best.map_or(0.0, |best| best.adiabatic_power_w);
        TanksFigure {
            title: "What each tank needs of the header".to_owned(),
            notes: vec![format!(
                "{} at the blower, of which {} are throttled off",
                units.say(Kind::Power, power),
                units.say(Kind::Power, self.throttled_power_w),
            )],
            tanks: self.tanks.iter().map(bar).collect(),
            header: GaugePressure(base(best.map_or(0.0, |best| best.header_gauge_pressure_pa))),
            units,
        }
    }
}

/// Names of tanks, of many the first.
fn some_of(names: &[String]) -> String {
    match names {
        [first, _, _, ..] => format!("{} and {} more", clipped(first), names.len() - 1),
        few => few
            .iter()
            .map(|name| clipped(name))
            .collect::<Vec<_>>()
            .join(", "),
    }
}

/// A set against the best.
fn against(set: &TankSetFacts, best: &TankSetFacts, units: UnitSystem) -> String {
    format!(
        "{} ({}), {} of air; {} by {}",
        units.say(Kind::Power, set.adiabatic_power_w),
        change(set.adiabatic_power_w / best.adiabatic_power_w - 1.0),
        units.say(Kind::Air, at_20_c(set.air_mass_flow_total_kg_per_s)),
        units.say(Kind::Pressure, set.header_gauge_pressure_pa),
        some_of(&set.pressure_set_by),
    )
}

/// A set by its lifts, and its power against the best.
fn with_lifts(set: &TankSetFacts, best: &TankSetFacts, units: UnitSystem) -> String {
    format!(
        "{} lifts at {} in the header for {} ({})",
        set.lifts,
        units.say(Kind::Pressure, set.header_gauge_pressure_pa),
        units.say(Kind::Power, set.adiabatic_power_w),
        change(set.adiabatic_power_w / best.adiabatic_power_w - 1.0),
    )
}

fn two_text(two: &TwoBlowersFacts, best: &TankSetFacts, units: UnitSystem) -> String {
    let power = |si| units.say(Kind::Power, si);
    format!(
        "  two blowers: {} and, for the others at {}, {}: {} ({})\n",
        power(two.binding.adiabatic_power_w),
        units.say(Kind::Pressure, two.others.header_gauge_pressure_pa),
        power(two.others.adiabatic_power_w),
        power(two.adiabatic_power_w),
        change(two.adiabatic_power_w / best.adiabatic_power_w - 1.0),
    )
}
