//! Plastic pipe of published standards, default losses ([`losses`]), and the losses of lines ([`fittings`],
//! [`bore_change`]). The wall takes [`darcy_factor`] in risers, [`colebrook_factor`] in lines that carry air or
//! water alone.
//!
//! A pipe is named by standard, series (where the standard has several) and size; the size is
//! `<n> in` for inch standards and `DN <n>` for metric ones, where n is the outside diameter in mm:
//! "ASTM D1785 Sch 40 2 in", "EN ISO 1452-2 PN10 DN 63", "ASTM D2729 4 in".
//!
//! Real pipe differs from its standard: measure the bore before a design depends on it.

use std::sync::LazyLock;

use crate::error::{Error, NameKind};
use crate::name::folded;
use crate::references::{Reference, Trust};
use crate::units::{Length, inch, millimeter};

pub mod bore_change;
mod catalogue;
pub mod churchill_1977;
pub mod colebrook_1939;
pub mod fittings;
pub mod losses;
mod series;

use catalogue::SERIES;
pub use churchill_1977::darcy_factor;
pub use colebrook_1939::colebrook_factor;
pub use series::Series;
use series::Unit;

/// A pipe of the catalogue.
///
/// ```
/// use risewater::pipe::{BoreBasis, Pipe};
/// use risewater::units::{inch, millimeter};
///
/// // ASTM D1785: 2 in schedule 40 is 2.375 in outside, with walls of 0.154 to 0.174 in.
/// let pipe = Pipe::named("astm d1785 sch40 2in")?;
/// assert_eq!(pipe.name, "ASTM D1785 Sch 40 2 in");
/// assert_eq!(format!("{:.3}", pipe.outside_diameter().get::<inch>()), "2.375");
/// assert_eq!(format!("{:.2}", pipe.bore().get::<millimeter>()), "51.99");
/// assert_eq!(pipe.bore_basis(), BoreBasis::MeanWall);
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Pipe {
    /// Unique name; see [the module](self) for the rule.
    pub name: String,
    /// The standard, such as "EN ISO 1452-2".
    pub standard: &'static str,
    /// The series as it stands in the name; empty where the standard has one only.
    pub series: &'static str,
    /// The series in full, such as "PN10 (S 10, SDR 21)".
    pub series_title: &'static str,
    /// Nominal size, such as "1-1/2 in" or "DN 63".
    pub nominal: String,
    /// Where the dimensions are from.
    pub reference: Reference,
    /// How the numbers of this row reached us.
    pub trust: Trust,
    /// What to know before use; may be empty.
    pub note: &'static str,
    /// Whether the pipe is made for pressure; not so for drain, sewer and waste pipe.
    pub pressure_pipe: bool,
    outside_diameter: Length,
    wall_min: Length,
    wall_max: Option<Length>,
}

/// Which wall a catalogue bore is taken at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
pub enum BoreBasis {
    /// The middle of the tolerance: OD − e_min − e_max.
    #[strum(to_string = "at the mean wall")]
    MeanWall,
    /// The smallest wall, for want of a largest: OD − 2 e_min. Real pipe of the standard is narrower.
    #[strum(to_string = "at the smallest wall")]
    MinimumWall,
}

static CATALOGUE: LazyLock<Vec<Pipe>> = LazyLock::new(|| {
    SERIES
        .iter()
        .flat_map(|s| (0..s.sizes.len()).map(|index| Pipe::of_series(s, index)))
        .collect()
});

impl Pipe {
    /// Every pipe, by standard and series, sizes rising.
    ///
    /// ```
    /// use risewater::pipe::Pipe;
    ///
    /// assert_eq!(Pipe::catalogue()[0].name, "ASTM D1785 Sch 40 1/2 in");
    /// ```
    #[must_use]
    pub fn catalogue() -> &'static [Pipe] {
        &CATALOGUE
    }

    /// The tables of the catalogue: one a series and wall rule, with source and count.
    ///
    /// ```
    /// use risewater::pipe::Pipe;
    ///
    /// let pipes: usize = Pipe::standards().iter().map(|series| series.count()).sum();
    /// assert_eq!(pipes, Pipe::catalogue().len());
    /// ```
    #[must_use]
    pub fn standards() -> &'static [Series] {
        SERIES
    }

    /// The pipe of this name; letter case and white space do not count.
    ///
    /// # Errors
    /// [`Error::UnknownName`] with the nearest name, if one is near.
    ///
    /// # Examples
    /// ```
    /// use risewater::pipe::Pipe;
    ///
    /// assert_eq!(Pipe::named("en iso 1452-2 pn10 dn63")?.name, "EN ISO 1452-2 PN10 DN 63");
    /// assert_eq!(
    ///     Pipe::named("EN ISO 1452-2 PN10 DN 64").unwrap_err().to_string(),
    ///     "there is no pipe named \"EN ISO 1452-2 PN10 DN 64\"; \
    ///      did you mean \"EN ISO 1452-2 PN10 DN 63\"?"
    /// );
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn named(name: &str) -> Result<&'static Pipe, Error> {
        let wanted = plain(name);
        Self::catalogue()
            .iter()
            .find(|pipe| plain(&pipe.name) == wanted)
            .ok_or_else(|| {
                let names = Self::catalogue().iter().map(|pipe| &pipe.name);
                Error::unknown_name(NameKind::Pipe, name, names)
            })
    }

    /// The pipes of these standards, each with or without a series ("ASTM D1785",
    /// "ASTM D1785 Sch 40", "EN ISO 1452"), in the order of the catalogue and none twice.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for the first standard that the catalogue does not have.
    ///
    /// # Examples
    /// ```
    /// use risewater::pipe::Pipe;
    ///
    /// let pipes = Pipe::of_standards(&["ASTM D1785 Schedule 40", "EN ISO 1452 PN10"])?;
    /// assert_eq!(pipes.len(), 14 + 16);
    /// assert!(Pipe::of_standards(&["ASTM D1784"]).is_err());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn of_standards(standards: &[&str]) -> Result<Vec<&'static Pipe>, Error> {
        let mut chosen: Vec<&Series> = Vec::new();
        for &name in standards {
            let known = chosen.len();
            let wanted = plain(name);
            chosen.extend(SERIES.iter().filter(|series| answers_to(series, &wanted)));
            if chosen.len() == known {
                let names = SERIES
                    .iter()
                    .flat_map(|s| [s.standard.to_owned(), s.label()]);
                return Err(Error::unknown_name(NameKind::Standard, name, names));
            }
        }
        let is_chosen = |pipe: &&Pipe| {
            chosen
                .iter()
                .any(|s| s.standard == pipe.standard && s.title == pipe.series_title)
        };
        Ok(Self::catalogue().iter().filter(is_chosen).collect())
    }

    /// Outside diameter, nominal.
    #[must_use]
    pub fn outside_diameter(&self) -> Length {
        self.outside_diameter
    }

    /// Smallest wall that the standard allows.
    #[must_use]
    pub fn wall_min(&self) -> Length {
        self.wall_min
    }

    /// Largest wall that the standard allows, where the catalogue has it.
    #[must_use]
    pub fn wall_max(&self) -> Option<Length> {
        self.wall_max
    }

    /// The bore to reckon with, at the wall that [`Pipe::bore_basis`] names.
    ///
    /// ```text
    /// D = OD − e_min − e_max        or, without e_max,        D = OD − 2 e_min
    /// ```
    #[must_use]
    pub fn bore(&self) -> Length {
        self.outside_diameter - self.wall_min - self.wall_max.unwrap_or(self.wall_min)
    }

    /// Which wall the bore is taken at.
    #[must_use]
    pub fn bore_basis(&self) -> BoreBasis {
        if self.wall_max.is_some() {
            BoreBasis::MeanWall
        } else {
            BoreBasis::MinimumWall
        }
    }

    /// The pipe of the same standard and series with the next wider bore.
    ///
    /// ```
    /// use risewater::pipe::Pipe;
    ///
    /// let pipe = Pipe::named("EN ISO 1452-2 PN10 DN 90")?;
    /// assert_eq!(pipe.next_up().map(|p| p.nominal.as_str()), Some("DN 110"));
    /// assert_eq!(pipe.next_down().map(|p| p.nominal.as_str()), Some("DN 75"));
    /// # Ok::<(), risewater::Error>(())
    /// ```
    #[must_use]
    pub fn next_up(&self) -> Option<&'static Pipe> {
        self.kin()
            .filter(|pipe| pipe.bore() > self.bore())
            .min_by(|a, b| a.bore().value.total_cmp(&b.bore().value))
    }

    /// The pipe of the same standard and series with the next narrower bore.
    #[must_use]
    pub fn next_down(&self) -> Option<&'static Pipe> {
        self.kin()
            .filter(|pipe| pipe.bore() < self.bore())
            .max_by(|a, b| a.bore().value.total_cmp(&b.bore().value))
    }

    pub(crate) fn kin(&self) -> impl Iterator<Item = &'static Pipe> {
        let (standard, series) = (self.standard, self.series);
        Self::catalogue()
            .iter()
            .filter(move |p| p.standard == standard && p.series == series)
    }

    fn of_series(series: &Series, index: usize) -> Self {
        let (size, outside_diameter, wall_min) = series.sizes[index];
        let (length, nominal): (fn(f64) -> Length, String) = match series.unit {
            Unit::Inch => (Length::new::<inch>, format!("{size} in")),
            Unit::Millimeter => (Length::new::<millimeter>, format!("DN {size}")),
        };
        Self {
            name: format!("{} {nominal}", series.label()),
            standard: series.standard,
            series: series.name,
            series_title: series.title,
            nominal,
            reference: series.reference,
            trust: series.trust(index),
            note: series.note,
            pressure_pipe: series.pressure_pipe,
            outside_diameter: length(outside_diameter),
            wall_min: length(wall_min),
            wall_max: series.tolerance.wall_max(wall_min).map(length),
        }
    }
}

/// A name folded, with the long forms of the standards made short.
fn plain(name: &str) -> String {
    folded(name)
        .replace("schedule", "sch")
        .replace("dn/od", "dn")
}

/// Whether a folded name means this series, alone or with its standard's others.
fn answers_to(series: &Series, wanted: &str) -> bool {
    std::iter::once(&series.standard)
        .chain(series.aliases)
        .any(|standard| {
            let standard = plain(standard);
            wanted.strip_prefix(&standard).is_some_and(|rest| {
                rest.is_empty() || rest == plain(series.name) || rest == plain(series.title)
            })
        })
}
