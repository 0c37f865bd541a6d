//! What a sweep wrote, in a few lines.

use super::kind::Kind;
use super::number::{UnitSystem, count};
use crate::answer::{RowCountFacts, SweepAnswer, SweptRowFacts};

/// Widest line, and room for how many more there are.
const WIDTH: usize = 92;
const MORE: usize = 10;

impl SweepAnswer {
    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let keys = self.keys.iter();
        let keys = keys.map(|key| format!("{} ({})", key.key, count(key.values)));
        let mut text = format!(
            "{} {} in {}",
            count(self.rows),
            if self.rows == 1 { "row" } else { "rows" },
            self.file
        );
        if self.resumed_parts > 0 {
            let (there, all) = (count(self.resumed_parts), count(self.parts));
            text += &format!(", {there} of {all} parts from a run before");
        }
        text += "\n";
        text += &fitted("Keys     ", keys, " x ");
        text += &fitted("Rows     ", counted(&self.outcomes), ", ");
        if let (Some(most), Some(least)) = (&self.most, &self.least) {
            text += &extreme("Most", most, units);
            text += &extreme("Least", least, units);
        }
        if !self.cautions.is_empty() {
            text += &fitted("Cautions ", counted(&self.cautions), ", ");
        }
        text
    }
}

fn counted(all: &[RowCountFacts]) -> impl Iterator<Item = String> {
    all.iter()
        .map(|one| format!("{} {}", count(one.rows), one.name))
}

fn extreme(name: &str, row: &SweptRowFacts, units: UnitSystem) -> String {
    let values = row.values.iter();
    let values = values.map(|one| format!("{} = {}", one.key, one.value));
    let flow = units.say(Kind::Water, row.water_flow_m3_per_s);
    fitted(&format!("{name:<8} {flow} of water at "), values, ", ")
}

/// At most two lines of items, and how many more there are.
fn fitted(start: &str, items: impl Iterator<Item = String>, between: &str) -> String {
    let items: Vec<String> = items.collect();
    let (mut text, mut width, mut lines) = (start.to_owned(), start.len(), 1);
    for (place, item) in items.iter().enumerate() {
        let between = if place == 0 { "" } else { between };
        if place > 0 && width + between.len() + item.len() > WIDTH - MORE {
            if lines == 2 {
                text += &format!("{between}{} more", items.len() - place);
                break;
            }
            text += between.trim_end();
            text += "\n         ";
            (width, lines) = (9, 2);
        } else {
            text += between;
            width += between.len();
        }
        text += item;
        width += item.len();
    }
    text + "\n"
}
