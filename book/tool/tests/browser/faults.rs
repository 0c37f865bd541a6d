//! Faults of a book, each told once with the pages and views that have it.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// Faults: by kind and text, then by page, the views in which they show.
#[derive(Default)]
pub struct Faults(BTreeMap<(String, String), BTreeMap<String, BTreeSet<&'static str>>>);

impl Faults {
    /// Puts one down; the same in another page or view is told with it.
    pub fn add(&mut self, check: &str, text: impl Into<String>, page: &str, view: &'static str) {
        let pages = self.0.entry((check.to_owned(), text.into())).or_default();
        pages.entry(page.to_owned()).or_default().insert(view);
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Kinds of fault of one page.
    pub fn kinds(&self, page: &str) -> BTreeSet<&str> {
        let of_page = self.0.iter().filter(|(_, pages)| pages.contains_key(page));
        of_page.map(|((check, _), _)| check.as_str()).collect()
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for ((check, text), pages) in &self.0 {
            writeln!(f, "{check}: {text}")?;
            for (page, views) in pages.iter().take(4) {
                let views: Vec<_> = views.iter().copied().collect();
                writeln!(f, "    {page} ({})", views.join(", "))?;
            }
            if pages.len() > 4 {
                writeln!(f, "    and {} more pages", pages.len() - 4)?;
            }
        }
        Ok(())
    }
}
