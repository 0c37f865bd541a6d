//! Single values of a design file: what stands at a key, what a text is worth there, a file with others written into it.

use toml_edit::{Document, DocumentMut, Item, Table, TableLike};

use super::DesignFile;
use super::fault::{FileError, Place, Problem};
use super::read::Reading;
use super::sheet::{Sheet, number_of, one, text};
use crate::keys::{Row, Section, Usual, Value, section};

/// A path such as `riser.bore`, or `lift.3.bore` of a section that there are several of.
struct Path<'a> {
    section: &'static Section,
    number: Option<&'a str>,
    row: &'static Row,
}

impl<'a> Path<'a> {
    fn of(path: &'a str) -> Option<Self> {
        let (name, rest) = path.split_once('.')?;
        let section = section(name)?;
        let (number, key) = match rest.split_once('.') {
            Some((number, key)) => (Some(number), key),
            None => (None, rest),
        };
        let row = section.row(key)?;
        Some(Self {
            section,
            number,
            row,
        })
    }

    /// Its section as a sheet looks it up.
    fn place(&self) -> String {
        match self.number {
            Some(number) => format!("{} {number}", self.section.name),
            None => self.section.name.to_owned(),
        }
    }
}

fn no_key(path: &str) -> Problem {
    let text = path.to_owned();
    Problem::NoKey { text }
}

/// What a text is worth as the value of a key, in SI base units: `riser.bore`, "3 in".
///
/// # Errors
/// [`Problem`] as a file has it for the same text; [`Problem::NoKey`] for no key, and for one that holds no one number.
///
/// # Examples
/// ```
/// use risewater::design::value_of;
///
/// assert!((value_of("riser.bore", "3 in")? - 0.0762).abs() < 1e-12);
/// let refused = value_of("riser.bore", "3 km").unwrap_err();
/// assert!(refused.to_string().contains("1 to 3000 mm"));
/// # Ok::<(), risewater::design::Problem>(())
/// ```
pub fn value_of(path: &str, text: &str) -> Result<f64, Problem> {
    let at = Path::of(path).ok_or_else(|| no_key(path))?;
    let sheet = Sheet::parse("", &[]).map_err(|_| no_key(path))?;
    let literal = text.trim();
    let parse = |literal: &str| Document::parse(format!("value = {literal}"));
    let quoted = toml_edit::Value::from(literal).to_string();
    let document = parse(literal).or_else(|_| parse(&quoted));
    let document = document.map_err(|_| no_key(path))?;
    let mut problem = None;
    let item = document.get("value").unwrap_or(&Item::None);
    let mut note = |one: Problem| problem = Some(one);
    let mut reading = Reading {
        sheet: &sheet,
        row: at.row,
        item,
        note: &mut note,
    };
    let value = reading.value();
    match (value, problem) {
        (_, Some(problem)) => Err(problem),
        (Some(Value::Number(number) | Value::Bores(number)), None) => Ok(number),
        (Some(Value::Whole(count)), None) => Ok(count.into()),
        _ => Err(no_key(path)),
    }
}

/// A file with values written into it, each `section.key=value` as [`DesignFile::parse_with`] takes them: the text that reads
/// as the file does with them. Remarks stay.
///
/// # Errors
/// [`FileError::Faults`] where the text is not TOML, or a value names no key of the file.
///
/// # Examples
/// ```
/// use risewater::design::with_values;
///
/// let file = "[riser]\nbore = \"60 mm\" # as built\n";
/// let set = ["riser.bore=52 mm".to_owned(), "air.flow=30 L/min".to_owned()];
/// let text = with_values(file, &set)?;
/// assert_eq!(text, "[riser]\nbore = \"52 mm\" # as built\n\n[air]\nflow = \"30 L/min\"\n");
/// # Ok::<(), risewater::design::FileError>(())
/// ```
pub fn with_values(file: &str, replacements: &[String]) -> Result<String, FileError> {
    let file = file.trim_start_matches('\u{feff}');
    let document: Result<DocumentMut, _> = file.parse();
    let mut document = document.map_err(|error| text::syntax(file, &error))?;
    for replacement in replacements {
        let given = text::replacement(replacement)?;
        let path = replacement.split('=').next().unwrap_or_default().trim();
        let refused = |problem| one(Place::Replaced, "", problem);
        let at = Path::of(path).ok_or_else(|| refused(no_key(path)))?;
        let Some(value) = Sheet::table_of(&given, &at.place()).and_then(|t| t.get(at.row.name))
        else {
            return Err(refused(no_key(path)));
        };
        let missing = Problem::NoSuchTable {
            name: at.section.name.to_owned(),
            number: at.number.unwrap_or("1").to_owned(),
            count: 0,
        };
        let tables = tables(&mut document, &at);
        if tables.is_empty() {
            return Err(refused(missing));
        }
        for table in tables {
            for other in at.row.instead {
                table.remove(other);
            }
            put(table, at.row.name, value);
        }
    }
    Ok(document.to_string())
}

/// The sections that a path means; a new one where there is none and there may be one.
fn tables<'d>(document: &'d mut DocumentMut, at: &Path) -> Vec<&'d mut dyn TableLike> {
    if at.section.single && at.number.is_none() && !document.contains_key(at.section.name) {
        let mut own = Table::new();
        if !document.is_empty() {
            own.decor_mut().set_prefix("\n");
        }
        document.insert(at.section.name, Item::Table(own));
    }
    let Some(item) = document.get_mut(at.section.name) else {
        return Vec::new();
    };
    let number = at
        .number
        .map(|number| number_of(number).unwrap_or_default());
    if let Item::ArrayOfTables(all) = item {
        let chosen = all.iter_mut().enumerate();
        return chosen
            .filter(|(n, _)| number.is_none_or(|number| number == n + 1))
            .map(|(_, table)| table as &mut dyn TableLike)
            .collect();
    }
    let own = item.as_table_like_mut();
    own.filter(|_| number.is_none_or(|number| number == 1))
        .into_iter()
        .collect()
}

/// A value at a key, with the remark that stands behind it.
fn put(table: &mut dyn TableLike, key: &str, value: &Item) {
    let Some(mut value) = value.as_value().cloned() else {
        return;
    };
    let old = table.get(key).and_then(Item::as_value);
    *value.decor_mut() =
        old.map_or_else(|| toml_edit::Decor::new(" ", ""), |old| old.decor().clone());
    table.insert(key, Item::Value(value));
}

impl DesignFile {
    /// What stands at a key, as the file writes it, or its default; none where neither is there.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::DesignFile;
    ///
    /// let read = DesignFile::parse("[riser]\nbore = \"60 mm\"\n")?;
    /// assert_eq!(read.text_at("riser.bore").as_deref(), Some("60 mm"));
    /// assert_eq!(read.text_at("riser.entrance_loss").as_deref(), Some("0.5"));
    /// assert_eq!(read.text_at("riser.lift"), None);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    #[must_use]
    pub fn text_at(&self, path: &str) -> Option<String> {
        let at = Path::of(path)?;
        let found = self.sheet.find(&at.place(), at.row.name);
        match (found, at.row.usual) {
            (Some((item, _)), _) => Some(match item.as_str() {
                Some(text) => text.to_owned(),
                None => item.to_string().trim().to_owned(),
            }),
            (None, Usual::Value(value, _)) => Some(value.to_owned()),
            _ => None,
        }
    }
}
