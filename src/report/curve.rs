//! A performance curve as text, CSV and picture.

use super::interval::percents;
use super::interval::{ends, odds};
use super::kind::{Cell, Column, Kind, csv_table, text_table};
use super::number::UnitSystem;
use super::riser_lines;
use super::site_line;
use super::wrapped;
use crate::air::at_20_c;
use crate::answer::{CurveAnswer, CurvePoint, LevelCurve, PointFacts};
use crate::chart::{DutyPoint, FlowBand, FlowCurve, FlowPoint, OtherCurve};
use crate::uncertainty::Basis;
use crate::units::base;

/// A point of the curve and the pressure of its site's air, Pa.
type Row<'a> = (&'a CurvePoint, f64);

fn points<'a>() -> [Column<Row<'a>>; 12] {
    [
        Column::new("air", "air_dry_20c_101325pa_{}", Kind::Air, |(p, _), _| {
            at_20_c(p.point.air_mass_flow_kg_per_s).into()
        }),
        Column::new("water", "water_{}", Kind::Water, |(p, _), _| {
            p.point.water_flow_m3_per_s.into()
        }),
        Column::shown("interval", Kind::Plain, |(p, _), units| {
            ends(p.interval, units).into()
        }),
        Column::saved("interval_low_{}", Kind::Water, |(p, _), _| {
            p.interval.map(|found| found.low_m3_per_s).into()
        }),
        Column::saved("interval_high_{}", Kind::Water, |(p, _), _| {
            p.interval.map(|found| found.high_m3_per_s).into()
        }),
        Column::saved("interval_level", Kind::Share(2), |(p, _), _| {
            p.interval.map(|found| found.level).into()
        }),
        Column::saved("interval_basis", Kind::Plain, |(p, _), _| {
            p.interval.map(|found| found.basis.to_string()).into()
        }),
        Column::saved("injection_{}_gauge", Kind::Pressure, |(p, outside), _| {
            (p.point.injection_pressure_pa - outside).into()
        }),
        Column::new("efficiency", "efficiency", Kind::Percent(1), |(p, _), _| {
            p.point.efficiency.into()
        }),
        Column::new(
            "void foot",
            "void_fraction_foot",
            Kind::Share(3),
            |(p, _), _| p.point.foot.void_fraction.into(),
        ),
        Column::new(
            "void top",
            "void_fraction_top",
            Kind::Share(3),
            |(p, _), _| p.point.top.void_fraction.into(),
        ),
        Column::shown("pattern at top", Kind::Plain, |(p, _), _| {
            Cell::from(&p.point.top.pattern)
        }),
    ]
}

/// What a level is called.
fn level_words(level_change_m: f64, units: UnitSystem) -> String {
    let by = units.say(Kind::Height, level_change_m.abs());
    match level_change_m {
        0.0 => "as it is".to_owned(),
        fall if fall < 0.0 => format!("{by} lower"),
        _ => format!("{by} higher"),
    }
}

fn levels() -> [Column<LevelCurve>; 7] {
    [
        Column::shown("level", Kind::Plain, |l, units| {
            level_words(l.level_change_m, units).into()
        }),
        Column::shown("depth", Kind::Height, |l, _| l.submergence_m.into()),
        Column::shown("lift", Kind::Height, |l, _| l.lift_m.into()),
        Column::shown("starts at air", Kind::Air, |l, _| {
            l.threshold_air_mass_flow_kg_per_s.map(at_20_c).into()
        }),
        Column::shown("most water", Kind::Water, |l, _| {
            l.peak.as_ref().map(|peak| peak.water_flow_m3_per_s).into()
        }),
        Column::shown("water", Kind::Water, |l, _| l.water_flow_m3_per_s.into()),
        Column::shown("interval", Kind::Plain, |l, units| {
            ends(l.interval, units).into()
        }),
    ]
}

impl CurveAnswer {
    fn rows(&self) -> Vec<Row<'_>> {
        let outside = self.site.atmospheric_pressure_pa;
        self.points.iter().map(|point| (point, outside)).collect()
    }

    /// CSV with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        csv_table(&points(), &self.rows(), units)
    }

    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let air = |kg_per_s| units.say(Kind::Air, at_20_c(kg_per_s));
        let mut text = match self.threshold_air_mass_flow_kg_per_s {
            0.0 => "Water runs without air.\n".to_owned(),
            start => format!("Threshold        {} of air\n", air(start)),
        };
        let line = |name: &str, p: &PointFacts| {
            format!(
                "{name:<16} {} of water at {} of air, efficiency {}\n",
                units.say(Kind::Water, p.water_flow_m3_per_s),
                air(p.air_mass_flow_kg_per_s),
                units.say(Kind::Percent(1), p.efficiency)
            )
        };
        if let Some(best) = &self.best_efficiency {
            text += &line("Best efficiency", best);
        }
        text += &line("Peak", &self.peak);
        text.push('\n');
        text += &text_table(&points(), &self.rows(), units);
        text += &self.levels_text(units);
        let interval = self.points.iter().find_map(|point| point.interval);
        text += &format!(
            "\nAir is dry, at {}. {}\n",
            units.air_state(),
            match interval {
                Some(found) => format!(
                    "The true flow lies in the interval {} ({}).",
                    odds(found.level),
                    found.basis
                ),
                None => "No interval is known at a submergence ratio below 0.4.".to_owned(),
            }
        );
        text += &riser_lines(&self.riser, &self.site, &self.model, units);
        wrapped(&text)
    }

    /// What the riser does at other levels of the water.
    fn levels_text(&self, units: UnitSystem) -> String {
        let Some(first) = self.levels.first() else {
            return String::new();
        };
        let mut text = "\nLevels of the source's water, the outlet staying\n".to_owned();
        text += &text_table(&levels(), &self.levels, units);
        if let Some(air) = first.air_mass_flow_kg_per_s {
            text += &format!(
                "Water is what {} of air then lifts.\n",
                units.say(Kind::Air, at_20_c(air))
            );
        }
        text
    }

    /// The figure of the curve with its intervals, and the flow wanted where there is one.
    #[must_use]
    pub fn figure(&self, units: UnitSystem) -> FlowCurve {
        let at = |p: &PointFacts| FlowPoint {
            air_at_20_c: base(at_20_c(p.air_mass_flow_kg_per_s)),
            water: base(p.water_flow_m3_per_s),
        };
        let start = self.threshold_air_mass_flow_kg_per_s;
        let starts = (start > 0.0).then(|| FlowPoint {
            air_at_20_c: base(at_20_c(start)),
            water: base(0.0),
        });
        let band = self.points.iter().filter_map(|p| {
            let found = p.interval?;
            Some(FlowBand {
                air_at_20_c: at(&p.point).air_at_20_c,
                low: base(found.low_m3_per_s),
                high: base(found.high_m3_per_s),
            })
        });
        let interval = self.points.iter().find_map(|point| point.interval);
        FlowCurve {
            title: format!(
                "Airlift of {} bore",
                units.say(Kind::Bore, self.riser.bore_m)
            ),
            notes: vec![
                format!(
                    "submergence {}, lift {}, outlet {}",
                    units.say(Kind::Height, self.riser.submergence_m),
                    units.say(Kind::Height, self.riser.lift_m),
                    self.riser.outlet
                ),
                site_line(&self.site, units),
                self.model.worded(units),
            ],
            curve: starts
                .into_iter()
                .chain(self.points.iter().map(|p| at(&p.point)))
                .collect(),
            others: self
                .levels
                .iter()
                .filter(|level| level.level_change_m != 0.0)
                .map(|level| OtherCurve {
                    label: level_words(level.level_change_m, units),
                    curve: level.points.iter().map(|p| at(&p.point)).collect(),
                })
                .collect(),
            band: band.collect(),
            band_label: interval.map_or_else(String::new, |found| {
                let percents = percents(found.level);
                match found.basis {
                    Basis::PublishedRigs => format!("{percents} % interval, by published rigs"),
                    Basis::BenchTrial => format!("{percents} % interval, after a bench trial"),
                }
            }),
            threshold_at_20_c: starts.map(|p| p.air_at_20_c),
            best_efficiency: self.best_efficiency.as_ref().map(at),
            peak: Some(at(&self.peak)),
            duty: self.wanted.as_ref().map(|wanted| DutyPoint {
                water: base(wanted.water_flow_m3_per_s),
                operating_point: wanted.point.as_ref().map(at),
            }),
            here: None,
            units,
        }
    }
}
