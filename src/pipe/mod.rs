//! Plastic pipe of published standards, default losses ([`losses`]), and the losses of lines ([`fittings`],
//! [`bore_change`]). The wall takes [`darcy_factor`] in risers, [`colebrook_factor`] in lines that carry air or
//! water alone.
//!
//! A pipe is named by standard, series (where the standard has several) and size; the size is
//! `<n> in` for inch standards and `DN <n>` for metric ones, where n is the outside diameter in mm:
//! "ASTM D1785 Sch 40 2 in", "EN ISO 1452-2 PN10 DN 63", "ASTM D2729 4 in". What is not in the catalogue is a
//! [pipe of your own](Pipe::new).
//!
//! Real pipe differs from its standard: measure the bore before a design depends on it.

use std::fmt;
use std::sync::{Arc, LazyLock};

use crate::error::{Error, Input, NameKind, range};
use crate::name::folded;
use crate::references::{Reference, Trust};
use crate::units::system::to_decimals;
use crate::units::{Length, Ratio, UnitSystem, inch, millimeter};

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

range!(BORE, 1 to 3000 "mm",
    "Bores that the library computes. Far wider than the data behind any closure: outside those data a result \
     carries cautions.");
range!(OUTSIDE_DIAMETER, 1 to 6000 "mm", "Outside diameters that a pipe can have; its bore lies in [`BORE`].");

/// A pipe: one of the catalogue, or [your own](Pipe::new).
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
    /// Unique name; see [the module](self) for the rule of the catalogue.
    pub name: String,
    /// The standard, such as "EN ISO 1452-2"; empty for a pipe of your own.
    pub standard: &'static str,
    /// The series as it stands in the name; empty where the standard has one only.
    pub series: &'static str,
    /// The series in full, such as "PN10 (S 10, SDR 21)".
    pub series_title: &'static str,
    /// Nominal size, such as "1-1/2 in" or "DN 63"; the name of a pipe of your own.
    pub nominal: String,
    /// Where the dimensions of a catalogue pipe are from.
    pub reference: Option<Reference>,
    /// How the numbers of a catalogue pipe reached us.
    pub trust: Option<Trust>,
    /// What to know before use; may be empty.
    pub note: &'static str,
    /// Whether the pipe is made for pressure; not so for drain, sewer and waste pipe.
    pub pressure_pipe: bool,
    outside_diameter: Length,
    bore: Length,
    wall_min: Length,
    wall_max: Option<Length>,
}

impl fmt::Display for Pipe {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

/// Which wall a bore is taken at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
pub enum BoreBasis {
    /// The middle of the tolerance: OD − e_min − e_max.
    #[strum(to_string = "at the mean wall")]
    MeanWall,
    /// The smallest wall, for want of a largest: OD − 2 e_min. Real pipe of the standard is narrower.
    #[strum(to_string = "at the smallest wall")]
    MinimumWall,
    /// The bore itself is given: a pipe of your own.
    #[strum(to_string = "as given")]
    Given,
}

static CATALOGUE: LazyLock<Vec<Arc<Pipe>>> = LazyLock::new(|| {
    SERIES
        .iter()
        .flat_map(|s| (0..s.sizes.len()).map(|index| Arc::new(Pipe::of_series(s, index))))
        .collect()
});

impl Pipe {
    /// A pipe of your own, by a name that is not checked, made for pressure unless
    /// [`pressure_pipe`](Self::pressure_pipe) is set otherwise.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a bore outside [`BORE`] or an outside diameter outside [`OUTSIDE_DIAMETER`],
    /// [`Error::Inconsistent`] for a bore that is not the smaller of the two.
    ///
    /// # Examples
    /// ```
    /// use std::sync::Arc;
    ///
    /// use risewater::pipe::Pipe;
    /// use risewater::units::{Length, millimeter};
    ///
    /// let mm = Length::new::<millimeter>;
    /// let pipe = Arc::new(Pipe::new("shop 63", mm(57.0), mm(63.0))?);
    /// assert_eq!((pipe.bore(), pipe.outside_diameter()), (mm(57.0), mm(63.0)));
    /// assert!(Pipe::new("shop 63", mm(63.0), mm(57.0)).is_err());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn new(
        name: impl Into<String>,
        bore: Length,
        outside_diameter: Length,
    ) -> Result<Self, Error> {
        let (bore_mm, outside_mm) = (
            BORE.check(Input::PipeBore, bore.get::<millimeter>())?,
            OUTSIDE_DIAMETER.check(
                Input::PipeOutsideDiameter,
                outside_diameter.get::<millimeter>(),
            )?,
        );
        if bore_mm >= outside_mm {
            return Err(Error::Inconsistent {
                larger: Input::PipeOutsideDiameter,
                larger_value: outside_mm,
                smaller: Input::PipeBore,
                smaller_value: bore_mm,
                unit: "mm",
            });
        }
        let name = name.into();
        let wall = 0.5 * (outside_diameter - bore);
        Ok(Self {
            nominal: name.clone(),
            name,
            standard: "",
            series: "",
            series_title: "",
            reference: None,
            trust: None,
            note: "",
            pressure_pipe: true,
            outside_diameter,
            bore,
            wall_min: wall,
            wall_max: Some(wall),
        })
    }

    /// Whether it is not of the catalogue.
    pub(crate) fn is_own(&self) -> bool {
        self.reference.is_none()
    }

    /// Every pipe of the catalogue, by standard and series, sizes rising.
    ///
    /// ```
    /// use risewater::pipe::Pipe;
    ///
    /// assert_eq!(Pipe::catalogue()[0].name, "ASTM D1785 Sch 40 1/2 in");
    /// ```
    #[must_use]
    pub fn catalogue() -> &'static [Arc<Pipe>] {
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

    /// The catalogue pipe of this name; letter case and white space do not count.
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
    pub fn named(name: &str) -> Result<Arc<Pipe>, Error> {
        Self::named_among(name, &[])
    }

    /// The pipe of this name, of some of your own or of the catalogue.
    pub(crate) fn named_among(name: &str, own: &[Arc<Pipe>]) -> Result<Arc<Pipe>, Error> {
        let wanted = plain(name);
        let mut all = own.iter().chain(Self::catalogue());
        let found = all.clone().find(|pipe| plain(&pipe.name) == wanted);
        found.cloned().ok_or_else(|| {
            Error::unknown_name(NameKind::Pipe, name, all.by_ref().map(|pipe| &pipe.name))
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
    pub fn of_standards(standards: &[&str]) -> Result<Vec<Arc<Pipe>>, Error> {
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
        let is_chosen = |pipe: &&Arc<Pipe>| {
            chosen
                .iter()
                .any(|s| s.standard == pipe.standard && s.title == pipe.series_title)
        };
        Ok(Self::catalogue()
            .iter()
            .filter(is_chosen)
            .cloned()
            .collect())
    }

    /// Outside diameter, nominal.
    #[must_use]
    pub fn outside_diameter(&self) -> Length {
        self.outside_diameter
    }

    /// What to ask for in a shop: the name, which has standard and nominal size, material and outside diameter. Every
    /// standard of the catalogue is one of PVC pipe, as its title says; what a pipe of your own is made of is not known.
    #[must_use]
    pub fn trade_name(&self, units: UnitSystem) -> String {
        let outside = to_decimals(
            units,
            units.bore_unit(),
            self.outside_diameter.value,
            [1, 3],
        );
        let material = if self.is_own() { "" } else { "PVC, " };
        format!("{}: {material}{outside} outside", self.name)
    }

    /// The pressure pipe of the catalogue whose bore is nearest to one, where it is within some share of it.
    #[must_use]
    pub fn nearest(bore: Length, within: Ratio) -> Option<Arc<Self>> {
        let off = |pipe: &&Arc<Self>| ((pipe.bore() - bore) / bore).value.abs();
        let made = Self::catalogue().iter().filter(|pipe| pipe.pressure_pipe);
        let nearest = made.min_by(|a, b| off(a).total_cmp(&off(b)))?;
        (off(&nearest) <= within.value).then(|| Arc::clone(nearest))
    }

    /// Smallest wall that the standard allows, or the wall of a pipe of your own.
    #[must_use]
    pub fn wall_min(&self) -> Length {
        self.wall_min
    }

    /// Largest wall that the standard allows, where the catalogue has it, or the wall of a pipe of your own.
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
        self.bore
    }

    /// Which wall the bore is taken at.
    #[must_use]
    pub fn bore_basis(&self) -> BoreBasis {
        if self.is_own() {
            BoreBasis::Given
        } else if self.wall_max.is_some() {
            BoreBasis::MeanWall
        } else {
            BoreBasis::MinimumWall
        }
    }

    /// The catalogue pipe of the same standard and series with the next wider bore; none for a pipe of your own.
    ///
    /// ```
    /// use risewater::pipe::Pipe;
    ///
    /// let pipe = Pipe::named("EN ISO 1452-2 PN10 DN 90")?;
    /// assert_eq!(pipe.next_up().expect("there is one").nominal, "DN 110");
    /// assert_eq!(pipe.next_down().expect("there is one").nominal, "DN 75");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    #[must_use]
    pub fn next_up(&self) -> Option<Arc<Pipe>> {
        self.neighbours(self.kin())[1].clone()
    }

    /// The catalogue pipe of the same standard and series with the next narrower bore.
    #[must_use]
    pub fn next_down(&self) -> Option<Arc<Pipe>> {
        self.neighbours(self.kin())[0].clone()
    }

    /// The next narrower and the next wider of some pipes.
    pub(crate) fn neighbours<'a>(
        &self,
        pipes: impl Iterator<Item = &'a Arc<Pipe>> + Clone,
    ) -> [Option<Arc<Pipe>>; 2] {
        let by_bore = |a: &&Arc<Pipe>, b: &&Arc<Pipe>| a.bore.value.total_cmp(&b.bore.value);
        let narrower = pipes.clone().filter(|pipe| pipe.bore < self.bore);
        let wider = pipes.filter(|pipe| pipe.bore > self.bore);
        [narrower.max_by(by_bore), wider.min_by(by_bore)].map(Option::<&_>::cloned)
    }

    /// The pipes of the same standard and series, of the catalogue.
    pub(crate) fn kin(&self) -> impl Iterator<Item = &'static Arc<Pipe>> + Clone {
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
        let wall_max = series.tolerance.wall_max(wall_min).map(length);
        let (outside_diameter, wall_min) = (length(outside_diameter), length(wall_min));
        Self {
            name: format!("{} {nominal}", series.label()),
            standard: series.standard,
            series: series.name,
            series_title: series.title,
            nominal,
            reference: Some(series.reference),
            trust: Some(series.trust(index)),
            note: series.note,
            pressure_pipe: series.pressure_pipe,
            outside_diameter,
            bore: outside_diameter - wall_min - wall_max.unwrap_or(wall_min),
            wall_min,
            wall_max,
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
