//! What a need could be: the file solved again with its defaults elsewhere in the spread of their sources.

use crate::design::DesignFile;
use crate::keys::{Row, need};
use crate::need::defaults::{self, NeedDefault};
use crate::need::{Factor, NeedRange, RoomNeed};
use crate::units::VolumeRate;

/// A change of the flow below this share is none.
const NONE: f64 = 1e-3;

impl DesignFile {
    /// How far the flow may be off by the defaults that the file leaves in use, and what it is without bacteria.
    pub(super) fn need_range(&self, need: &RoomNeed) -> NeedRange {
        let now = need.flow();
        let used = self.need_defaults();
        let bears = |one: &&&NeedDefault<f64>| {
            let mut tanks = need.tanks.iter();
            tanks.any(|tank| tank.need.governing().is_some_and(|line| one.serves(line)))
        };
        let (mut least, mut most) = (Vec::new(), Vec::new());
        let mut factors = Vec::new();
        for one in used.iter().filter(|one| one.reference.is_some()) {
            let Some(key) = key_of(one.name) else {
                continue;
            };
            let ends = [one.low, one.high]
                .map(|value| format!("{}={value} {}", key.path, one.unit.replace("kg/kg", "")));
            let flows = ends.clone().map(|text| self.flow_with(&[text]));
            let size = |flow: Option<VolumeRate>| flow.map_or(f64::INFINITY, |flow| flow.value);
            let [low, high] = ends;
            let rises = size(flows[1]) >= size(flows[0]);
            let [less, more] = if rises { flows } else { [flows[1], flows[0]] };
            if size(more) - size(less) <= NONE * now.value {
                continue;
            }
            let (at_less, at_more) = if rises { (low, high) } else { (high, low) };
            least.push(at_less);
            most.push(at_more);
            factors.push(Factor {
                default: one,
                least: less,
                most: more,
            });
        }
        factors.sort_by(|a, b| b.width().total_cmp(&a.width()));
        let changes = |texts: &[String]| {
            if texts.is_empty() {
                Some(now)
            } else {
                self.flow_with(texts)
            }
        };
        let bare = used
            .iter()
            .any(|one| one.name == defaults::OXYGEN_WITH_BACTERIA.name)
            .then(|| self.flow_with(&[format!("{}=false", need::BACTERIA.path)]))
            .flatten();
        NeedRange {
            least: changes(&least),
            most: changes(&most),
            factors,
            without_spread: used
                .iter()
                .filter(|one| one.reference.is_none())
                .filter(bears)
                .copied()
                .collect(),
            without_bacteria: bare.filter(|bare| (*bare - now).value.abs() > NONE * now.value),
        }
    }

    /// The flow with other values; none where no flow holds the limits then.
    fn flow_with(&self, replacements: &[String]) -> Option<VolumeRate> {
        let changed = Self {
            sheet: self.sheet.with(replacements).ok()?,
            law: self.law.clone(),
            texts: self.texts.clone(),
            room: std::cell::OnceCell::new(),
            drills: self.drills,
        };
        changed.room().map(|(_, need)| need.flow())
    }
}

/// The key that says otherwise than a default.
fn key_of(default: &str) -> Option<&'static Row> {
    let keys: [(&Row, &[&str]); 6] = [
        (
            &need::OXYGEN_PER_FEED.row,
            &[
                defaults::OXYGEN_ANIMALS.name,
                defaults::OXYGEN_WITH_BACTERIA.name,
            ],
        ),
        (
            &need::TAN_PER_PROTEIN.row,
            &[defaults::TAN_PER_PROTEIN.name],
        ),
        (
            &need::LEAST_OXYGEN.row,
            &[defaults::OXYGEN_WARM.name, defaults::OXYGEN_COOL.name],
        ),
        (
            &need::TAN_LIMIT.row,
            &[defaults::TAN_WARM.name, defaults::TAN_COOL.name],
        ),
        (
            &need::AMMONIA_LIMIT.row,
            &[defaults::AMMONIA_WARM.name, defaults::AMMONIA_COOL.name],
        ),
        (
            &need::CARBON_DIOXIDE_LIMIT.row,
            &[
                defaults::CARBON_DIOXIDE_WARM.name,
                defaults::CARBON_DIOXIDE_COOL.name,
            ],
        ),
    ];
    let says = |(_, names): &(&Row, &[&str])| names.contains(&default);
    keys.into_iter().find(says).map(|(row, _)| row)
}
