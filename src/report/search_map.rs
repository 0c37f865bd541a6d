//! A search as one map: pipes across, depths up.

use super::kind::Kind;
use super::number::{UnitSystem, place};
use crate::answer::{DesignFacts, SizeAnswer};
use crate::chart::{MapCell, SearchMap};
use crate::sizing::Reason;

/// A column or a row of the map by its place in the search.
type Place<'a> = (&'a str, f64);

impl SizeAnswer {
    /// The search as one map, with at most `most` rows: of each pipe at each depth the best number of lifts, or, where
    /// none meets the duty, why the one that came nearest does not. Of more depths some are left out, never the best.
    #[must_use]
    pub fn map(&self, units: UnitSystem, most: usize) -> SearchMap {
        let (pipes, rows) = self.places(most);
        self.mapped(units, &pipes, &rows)
    }

    /// The pipes of the map's columns and the depths of its rows, m.
    #[must_use]
    pub fn map_sides(&self, most: usize) -> (Vec<&str>, Vec<f64>) {
        let (pipes, rows) = self.places(most);
        (pipes.into_iter().map(|(pipe, _)| pipe).collect(), rows)
    }

    fn places(&self, most: usize) -> (Vec<Place<'_>>, Vec<f64>) {
        let of_design = |d: &'_ DesignFacts| d.submergence_m;
        let mut depths: Vec<f64> = self.designs.iter().map(of_design).collect();
        depths.extend(self.rejected.iter().map(|one| one.submergence_m));
        depths.sort_by(f64::total_cmp);
        depths.dedup();
        let mut pipes: Vec<Place<'_>> = self.designs.iter().map(|d| (&*d.pipe, d.bore_m)).collect();
        pipes.extend(self.rejected.iter().map(|one| (&*one.pipe, one.bore_m)));
        pipes.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(b.0)));
        pipes.dedup();
        let stride = depths.len().div_ceil(most.max(1)).max(1);
        let chosen_depth = self.best().map(|best| best.submergence_m);
        let kept = depths.iter().position(|d| Some(*d) == chosen_depth);
        let kept = kept.unwrap_or(depths.len().saturating_sub(1)) % stride;
        let rows = depths.iter().copied().skip(kept).step_by(stride).collect();
        (pipes, rows)
    }

    fn mapped(&self, units: UnitSystem, pipes: &[Place], rows: &[f64]) -> SearchMap {
        let row = |depth: f64| rows.iter().position(|d| *d == depth);
        let column = |pipe: &str, bore: f64| pipes.iter().position(|p| *p == (pipe, bore));

        let (measure, of) = self.measure();
        let least = self.best().map_or(1.0, of);
        let mut found = vec![vec![None::<f64>; pipes.len()]; rows.len()];
        for design in &self.designs {
            let place = row(design.submergence_m).zip(column(&design.pipe, design.bore_m));
            if let Some((row, column)) = place {
                let excess = of(design) / least - 1.0;
                let before = &mut found[row][column];
                *before = Some(before.map_or(excess, |before| before.min(excess)));
            }
        }
        let mut nearest = vec![vec![None::<&Reason>; pipes.len()]; rows.len()];
        for one in &self.rejected {
            let place = row(one.submergence_m).zip(column(&one.pipe, one.bore_m));
            if let Some((row, column)) = place {
                let before = &mut nearest[row][column];
                if before.is_none_or(|before| one.reason.nearness() >= before.nearness()) {
                    *before = Some(&one.reason);
                }
            }
        }
        let mut reasons: Vec<String> = Vec::new();
        let mut cell = |found: Option<f64>, nearest: Option<&Reason>| {
            if let Some(excess) = found {
                return MapCell::Meets(excess);
            }
            let words = nearest.map_or_else(String::new, Reason::in_short);
            let known = reasons.iter().position(|one| *one == words);
            MapCell::Fails(known.unwrap_or_else(|| {
                reasons.push(words);
                reasons.len() - 1
            }))
        };
        let cells = found.iter().zip(&nearest).map(|(found, nearest)| {
            let pairs = found.iter().zip(nearest);
            pairs
                .map(|(found, nearest)| cell(*found, *nearest))
                .collect()
        });
        let cells: Vec<Vec<MapCell>> = cells.collect();
        let chosen = self
            .best()
            .and_then(|best| row(best.submergence_m).zip(column(&best.pipe, best.bore_m)));
        let head = |words: &str, kind: Kind| format!("{words} ({})", kind.unit(units).1);
        SearchMap {
            title: format!(
                "Where {} are met over a lift of {}",
                units.say(Kind::Water, self.duty.water_flow_m3_per_s),
                units.say(Kind::Height, self.duty.lift_m)
            ),
            notes: self.best().map_or_else(Vec::new, |best| {
                vec![format!(
                    "The ring is the best design: {} x {} at {}.",
                    best.lifts,
                    best.pipe,
                    units.say(Kind::Height, best.submergence_m)
                )]
            }),
            across: head("bore", Kind::Bore),
            up: head("depth of the air inlet", Kind::Height),
            measure,
            columns: pipes
                .iter()
                .map(|(_, bore)| bore_in_short(bore / Kind::Bore.unit(units).0))
                .collect(),
            rows: rows
                .iter()
                .map(|depth| place(depth / Kind::Height.unit(units).0))
                .collect(),
            cells,
            reasons,
            chosen,
        }
    }

    /// What designs are compared by: what is asked for, or where that is the number of lifts, the power.
    fn measure(&self) -> (String, fn(&DesignFacts) -> f64) {
        match self.duty.objective.as_str() {
            "air_flow" => ("air flow".to_owned(), |d| d.air_mass_flow_total_kg_per_s),
            "pressure" => ("pressure".to_owned(), |d| d.injection_gauge_pressure_pa),
            _ => ("air power".to_owned(), |d| d.injection_power_total_w),
        }
    }
}

/// A bore in few digits: pipes of a series differ in them.
fn bore_in_short(bore: f64) -> String {
    let decimals = usize::from(bore < 10.0);
    format!("{bore:.decimals$}")
}
