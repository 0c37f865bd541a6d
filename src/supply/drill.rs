//! Drills that can be bought, for holes that throttle air.
//!
//! Metric sizes step by 0.02 or 0.03 mm from 0.2 mm, by 0.05 mm from 1 mm, by 0.1 mm from 3 mm and by 0.25 mm from
//! 14 to 25 mm. Inch sizes are numbers 80 to 1, letters A to Z and fractions by 1/64 in to 1 in, in one list.
//!
//! A drill cuts a hole a little wider than itself, in plastic sometimes a little narrower: measure the flow.
//!
//! # References
//! Metric: [BS 328](crate::references::BS_328), as an open encyclopaedia gives its rule; the sizes of
//! [ISO 235](crate::references::ISO_235) are the same from memory. Inch:
//! [ASME B94.11M](crate::references::ASME_B94_11M), from memory; an open table agrees in all numbers and letters.

use std::fmt;
use std::sync::LazyLock;

use crate::error::{Error, Input, NameKind, range};
use crate::name::folded;
use crate::references::{ASME_B94_11M, BS_328, Reference};
use crate::units::{Length, inch, millimeter};

range!(METRIC, 0.2 to 25 "mm",
    "Diameters that [`DrillSize::nearest`] finds a metric drill for: the smallest to the widest.");
range!(INCH, 0.0135 to 1 "in",
    "Diameters that [`DrillSize::nearest`] finds an inch drill for: the smallest to the widest.");

/// A system of drill sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
pub enum DrillSystem {
    /// Millimetres.
    Metric,
    /// Numbers, letters and fractions of an inch.
    Inch,
}

impl DrillSystem {
    /// Both.
    pub const ALL: &[Self] = &[Self::Metric, Self::Inch];

    /// Its drills, diameters rising.
    ///
    /// ```
    /// use risewater::supply::drill::DrillSystem;
    ///
    /// assert_eq!(DrillSystem::Inch.sizes()[0].name, "#80");
    /// ```
    #[must_use]
    pub fn sizes(self) -> &'static [DrillSize] {
        match self {
            Self::Metric => &METRIC_SIZES,
            Self::Inch => &INCH_SIZES,
        }
    }

    /// The standard behind the sizes, with how they reached us.
    #[must_use]
    pub fn reference(self) -> Reference {
        match self {
            Self::Metric => BS_328,
            Self::Inch => ASME_B94_11M,
        }
    }
}

/// A drill.
///
/// ```
/// use risewater::supply::drill::{DrillSize, DrillSystem};
/// use risewater::units::{Length, inch, millimeter};
///
/// let hole = Length::new::<millimeter>(3.27);
/// assert_eq!(DrillSize::nearest(hole, DrillSystem::Metric)?.name, "3.3 mm");
/// assert_eq!(DrillSize::nearest(hole, DrillSystem::Inch)?.name, "#30");
///
/// // Number 7 is 0.2010 in, letter F 0.2570 in, in any list of tap drills.
/// assert_eq!(format!("{:.4}", DrillSize::named("#7")?.diameter.get::<inch>()), "0.2010");
/// assert_eq!(format!("{:.4}", DrillSize::named("F")?.diameter.get::<inch>()), "0.2570");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DrillSize {
    /// As it is sold: "3.3 mm", "#7", "F", "13/64 in".
    pub name: String,
    /// Nominal diameter.
    pub diameter: Length,
    /// The system it belongs to.
    pub system: DrillSystem,
}

impl DrillSize {
    /// The drill of a system whose hole is nearest in area, since flow goes with area; of equals the smaller.
    ///
    /// # Errors
    /// Outside [`METRIC`] or [`INCH`]: a wider hole needs several drilled ones.
    ///
    /// # Examples
    /// As [`DrillSize`].
    pub fn nearest(diameter: Length, system: DrillSystem) -> Result<&'static Self, Error> {
        match system {
            DrillSystem::Metric => METRIC.check(Input::DrilledHole, diameter.get::<millimeter>()),
            DrillSystem::Inch => INCH.check(Input::DrilledHole, diameter.get::<inch>()),
        }?;
        let sizes = system.sizes();
        let next = sizes.partition_point(|size| size.diameter < diameter);
        let (below, above) = (
            &sizes[next.saturating_sub(1)],
            &sizes[next.min(sizes.len() - 1)],
        );
        // |d² − D²|, the areas but for π/4
        let off = |size: &Self| {
            let (d, wanted) = (size.diameter, diameter);
            (d * d - wanted * wanted).abs()
        };
        Ok(if off(below) <= off(above) {
            below
        } else {
            above
        })
    }

    /// The widest drill of a system that is no wider than this.
    ///
    /// ```
    /// use risewater::supply::drill::{DrillSize, DrillSystem};
    /// use risewater::units::{Length, millimeter};
    ///
    /// let hole = Length::new::<millimeter>(3.27);
    /// let names = [DrillSize::below, DrillSize::above]
    ///     .map(|side| side(hole, DrillSystem::Metric).map(|size| size.name.as_str()));
    /// assert_eq!(names, [Some("3.2 mm"), Some("3.3 mm")]);
    /// ```
    #[must_use]
    pub fn below(diameter: Length, system: DrillSystem) -> Option<&'static Self> {
        system
            .sizes()
            .iter()
            .rfind(|size| size.diameter <= diameter)
    }

    /// The smallest drill of a system that is no narrower than this.
    #[must_use]
    pub fn above(diameter: Length, system: DrillSystem) -> Option<&'static Self> {
        system.sizes().iter().find(|size| size.diameter >= diameter)
    }

    /// The drill of this name; letter case and white space do not count. "No. 7" is "#7", and E is "1/4 in".
    ///
    /// # Errors
    /// [`Error::UnknownName`] with the nearest name, if one is near.
    ///
    /// # Examples
    /// ```
    /// use risewater::supply::drill::DrillSize;
    ///
    /// assert_eq!(DrillSize::named("No. 7")?.name, "#7");
    /// assert_eq!(DrillSize::named("letter E")?.name, "1/4 in");
    /// assert_eq!(DrillSize::named("3.30mm")?.name, "3.3 mm");
    /// assert_eq!(
    ///     DrillSize::named("3.35 mm").unwrap_err().to_string(),
    ///     "there is no drill named \"3.35 mm\"; did you mean \"0.35 mm\"?"
    /// );
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn named(name: &str) -> Result<&'static Self, Error> {
        let wanted = plain(name);
        let all = || DrillSystem::ALL.iter().flat_map(|system| system.sizes());
        all()
            .find(|size| plain(&size.name) == wanted)
            .ok_or_else(|| Error::unknown_name(NameKind::Drill, name, all().map(|size| &size.name)))
    }
}

impl fmt::Display for DrillSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.name)
    }
}

/// A name folded, in the one form of each drill.
fn plain(name: &str) -> String {
    let name = folded(name);
    if let Some(number) = name.strip_suffix("mm") {
        // 3.30mm is 3.3mm
        return match number.parse::<f64>() {
            Ok(number) => format!("{number}mm"),
            Err(_) => name,
        };
    }
    let name = name.replace("no.", "#").replace("letter", "");
    if name == "e" {
        "1/4in".to_owned()
    } else {
        name
    }
}

static METRIC_SIZES: LazyLock<Vec<DrillSize>> = LazyLock::new(|| {
    // BS 328: N · 0.1 mm with N from 2 to 9, and 0.02, 0.05 and 0.08 mm more; in hundredths of a millimetre.
    let fine = (20..100).filter(|size| [0, 2, 5, 8].contains(&(size % 10)));
    let rest = (100..300)
        .step_by(5)
        .chain((300..1400).step_by(10))
        .chain((1400..=2500).step_by(25));
    fine.chain(rest)
        .map(|hundredths: u16| {
            let size_mm = f64::from(hundredths) / 100.0;
            DrillSize {
                name: format!("{size_mm} mm"),
                diameter: Length::new::<millimeter>(size_mm),
                system: DrillSystem::Metric,
            }
        })
        .collect()
});

static INCH_SIZES: LazyLock<Vec<DrillSize>> = LazyLock::new(|| {
    let numbers = (1..=80).rev().zip(NUMBERS);
    let numbers = numbers.map(|(number, size)| (format!("#{number}"), f64::from(*size) / 1e4));
    let letters = ('A'..='Z').zip(LETTERS);
    let letters = letters.map(|(letter, size)| (letter.to_string(), f64::from(*size) / 1e3));
    let fractions = (1..=64_u8).map(|n| (fraction(n), f64::from(n) / 64.0));
    let mut sizes: Vec<(String, f64)> = numbers
        .chain(letters.filter(|(letter, _)| letter != "E"))
        .chain(fractions)
        .collect();
    sizes.sort_by(|(_, a), (_, b)| a.total_cmp(b));
    let sizes = sizes.into_iter().map(|(name, size_in)| DrillSize {
        name,
        diameter: Length::new::<inch>(size_in),
        system: DrillSystem::Inch,
    });
    sizes.collect()
});

/// A number of 64ths of an inch in lowest terms, up to 64.
fn fraction(n: u8) -> String {
    let halvings = n.trailing_zeros();
    match (n >> halvings, 64 >> halvings) {
        (whole, 1) => format!("{whole} in"),
        (over, under) => format!("{over}/{under} in"),
    }
}

/// Numbers 80 to 1, in 0.0001 in.
const NUMBERS: &[u16; 80] = &[
    135, 145, 160, 180, 200, 210, 225, 240, 250, 260, // 80 to 71
    280, 292, 310, 320, 330, 350, 360, 370, 380, 390, // 70 to 61
    400, 410, 420, 430, 465, 520, 550, 595, 635, 670, // 60 to 51
    700, 730, 760, 785, 810, 820, 860, 890, 935, 960, // 50 to 41
    980, 995, 1015, 1040, 1065, 1100, 1110, 1130, 1160, 1200, // 40 to 31
    1285, 1360, 1405, 1440, 1470, 1495, 1520, 1540, 1570, 1590, // 30 to 21
    1610, 1660, 1695, 1730, 1770, 1800, 1820, 1850, 1890, 1910, // 20 to 11
    1935, 1960, 1990, 2010, 2040, 2055, 2090, 2130, 2210, 2280, // 10 to 1
];

/// Letters A to Z, in 0.001 in; E is 1/4 in.
const LETTERS: &[u16; 26] = &[
    234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, // A to M
    302, 316, 323, 332, 339, 348, 358, 368, 377, 386, 397, 404, 413, // N to Z
];
