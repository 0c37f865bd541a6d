//! The wording of cautions, free to improve.

use std::fmt;

use super::Caution;
use crate::error::{Range, Short};
use crate::units::system::{ShownUnit, developing, to_decimals};
use crate::units::{Length, ThermodynamicTemperature, UnitSystem, degree_celsius, meter};

impl Caution {
    /// Its words, with numbers in a system of units; `to_string` has them in metric units.
    ///
    /// ```
    /// use risewater::Caution;
    /// use risewater::units::UnitSystem;
    ///
    /// let caution = Caution::GasSupersaturation { depth_m: 1.2 };
    /// assert!(caution.to_string().starts_with("air injected 1.20 m down"));
    /// assert!(caution.worded(UnitSystem::Us).starts_with("air injected 3.94 ft down"));
    /// ```
    #[must_use]
    pub fn worded(&self, units: UnitSystem) -> String {
        Words(self, units).to_string()
    }

    /// In what a design stands outside what was measured, in a few words, so that the interval itself is a guess; none for
    /// other cautions.
    ///
    /// ```
    /// use risewater::Caution;
    ///
    /// assert_eq!(Caution::BoreLarge { bore_mm: 150.0 }.outside_data(), Some("a wide bore"));
    /// assert_eq!(Caution::NotPressurePipe.outside_data(), None);
    /// ```
    #[must_use]
    pub fn outside_data(&self) -> Option<&'static str> {
        Some(match self {
            Self::SubmergenceRatioLow { .. } => "a low submergence ratio",
            Self::BoreSmall { .. } => "a narrow bore",
            Self::BoreLarge { .. } => "a wide bore",
            Self::RiserShort { .. } => "a riser of a few bores",
            Self::AnnularAtTop => "annular flow",
            Self::OutsideClosure { .. } => "a number beyond its closure",
            Self::LowOnCurve { .. } => "a flow low on its curve",
            _ => return None,
        })
    }

    /// A few words for a general caution, which holds for every such plant whatever its design; none for one of the case
    /// itself, which is always to be told in full.
    ///
    /// ```
    /// use risewater::Caution;
    ///
    /// assert_eq!(Caution::MainsNearWater.in_short(), Some("mains near water"));
    /// assert_eq!(Caution::Choked.in_short(), None);
    /// ```
    #[must_use]
    pub fn in_short(&self) -> Option<&'static str> {
        Some(match self {
            Self::LossOfAir => "loss of air (alarm, standby air)",
            Self::GasSupersaturation { .. } => "gas supersaturation",
            Self::AirInPlasticPipe => "compressed air in plastic pipe",
            Self::BackSiphon => "siphon",
            Self::CheckValveAlone => "check valves",
            Self::DeadHead => "closed lines",
            Self::IntakeAir => "intake air",
            Self::Noise => "noise",
            Self::MainsNearWater => "mains near water",
            Self::DevelopingLengthDecides { .. } => "ranking by our own fit",
            Self::MeansOfTheDay => "more oxygen is used after meals",
            _ => return None,
        })
    }
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Words(self, UnitSystem::Metric).fmt(f)
    }
}

/// A caution in a system of units.
struct Words<'a>(&'a Caution, UnitSystem);

impl fmt::Display for Words<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.words(&Numbers(self.1), f)
    }
}

/// The numbers of the words.
struct Numbers(UnitSystem);

impl Numbers {
    /// A bore, its decimals in mm and in inches.
    fn bore(&self, bore_mm: f64, decimals: [usize; 2]) -> String {
        to_decimals(self.0, self.0.bore_unit(), 1e-3 * bore_mm, decimals)
    }

    fn height(&self, height_m: f64) -> String {
        let unit = self.0.small_height_unit(Length::new::<meter>(height_m));
        to_decimals(self.0, unit, height_m, [2, 2])
    }

    fn pressure(&self, kpa: f64) -> String {
        to_decimals(self.0, self.0.pressure_unit(), 1e3 * kpa, [2, 3])
    }

    fn temperature(&self, temperature_c: f64) -> String {
        let temperature = ThermodynamicTemperature::new::<degree_celsius>(temperature_c);
        self.0.temperature_to(0, temperature)
    }

    /// A water flow to four digits.
    fn digits(&self, l_per_min: f64) -> String {
        let (size, unit) = self.0.water_unit();
        format!("{} {unit}", Short(four_digits(l_per_min / 6e4 / size)))
    }

    /// An air flow to four digits.
    fn air(&self, l_per_min: f64) -> String {
        let (size, unit) = self.0.air_unit();
        format!("{} {unit}", Short(four_digits(l_per_min / 6e4 / size)))
    }

    fn water(&self, l_per_min: f64, decimals: [usize; 2]) -> String {
        let unit = self.0.water_unit();
        to_decimals(self.0, unit, l_per_min / 6e4, decimals)
    }

    /// A value and the range that it is held against, in the unit of that range or its like in US units.
    fn ranged(&self, what: &str, value: f64, range: &Range) -> (f64, Range) {
        let like: Option<(f64, ShownUnit)> = match (self.0, range.unit) {
            (UnitSystem::Metric, _) => None,
            (_, "mm") => Some((1e-3, self.0.bore_unit())),
            (_, "m") if what == "bore" => Some((1.0, self.0.bore_unit())),
            (_, "m") => Some((1.0, self.0.height_unit())),
            (_, "m/s") => Some((1.0, self.0.velocity_unit())),
            _ => None,
        };
        like.map_or((value, *range), |(si, (size, unit))| {
            let limit = |value: f64| four_digits(value * si / size);
            (
                value * si / size,
                Range::new(limit(range.min), limit(range.max), unit),
            )
        })
    }
}

impl Caution {
    #[allow(clippy::too_many_lines, reason = "one arm for each caution")]
    fn words(&self, say: &Numbers, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let units = say.0;
        match self {
            Self::SubmergenceRatioLow { ratio, lowest, closure } => {
                write!(f, "outside the data: submergence ratio {ratio:.2} is below {lowest}; flow is uncertain there, even whether it starts")?;
                match closure {
                    Some(name) => write!(f, ": set model.slip = \"{name}\", the closure for such risers"),
                    None => Ok(()),
                }
            }
            Self::BoreSmall { bore_mm } => {
                write!(f, "outside the data: a bore of {} is below {}, where surface tension rules", say.bore(*bore_mm, [1, 3]), say.bore(10.0, [0, 3]))
            }
            Self::BoreLarge { bore_mm } => {
                write!(f, "outside the data: a bore of {} is above the widest published riser, {}", say.bore(*bore_mm, [1, 3]), say.bore(100.0, [0, 3]))
            }
            Self::RiserShort { bores } => {
                write!(f, "outside the data: a riser of {bores:.1} bores is shorter than 5; the flow never develops")
            }
            Self::AnnularAtTop => f.write_str("annular flow at the top: outside the data behind the void fraction; use less air or a wider bore"),
            Self::OutsideClosure { closure, what, value, range } => {
                let (value, range) = say.ranged(what, *value, range);
                write!(f, "{closure} is outside its range: {what} is {value:.4} {}, stated for {range}", range.unit)
            }
            Self::Choked => f.write_str("the mouth is choked: more air cannot leave any faster"),
            Self::OutletHeadUnstated => f.write_str(
                "open top with no outlet head: water must rise some way above the rim to spill, so the real flow is lower; measure that height and give it as outlet_head",
            ),
            Self::OutletRunsFull { flow_l_per_min, limit_l_per_min } => write!(
                f,
                "the horizontal outlet runs full at {} (part-full up to {}): beyond that its head is extrapolated, by no published formula; use a wider outlet pipe",
                say.water(*flow_l_per_min, [0, 1]), say.water(*limit_l_per_min, [0, 1])
            ),
            Self::BrinkReading => f.write_str(
                "the head at the outlet's brink is taken as a height of mixture; if it were clear water, the flow would be some 6 to 10 % lower",
            ),
            Self::SaltWater { salinity_g_per_kg } => write!(
                f,
                "no closure was fitted to salt water ({salinity_g_per_kg:.1} g/kg): bubbles are smaller"
            ),
            Self::AirLineInside => f.write_str("the air line runs inside the riser: the annulus is computed by its hydraulic diameter, which no airlift data test"),
            Self::RunsByGravity => f.write_str("the outlet lies below the source's water level: water runs without air, and a stop of the air does not stop it"),
            Self::LowOnCurve { share_of_peak } => write!(
                f,
                "the flow is {:.0} % of this riser's peak; below 30 % small changes of level and air change it much",
                100.0 * share_of_peak
            ),
            Self::ShortAtLowWater { fall_m, given_l_per_min, share_l_per_min, air_l_per_min } => {
                let (water, air) = (units.water_unit(), units.air_unit());
                let number = |l_per_min: f64, (size, _): ShownUnit| Short(four_digits(l_per_min / 6e4 / size));
                let flow = |l_per_min, unit: ShownUnit| format!("{} {}", number(l_per_min, unit), unit.1);
                write!(f, "at low water, {} below normal, each lift gives ", say.height(*fall_m))?;
                if *given_l_per_min > 0.0 {
                    write!(f, "{} of its {}", number(*given_l_per_min, water), flow(*share_l_per_min, water))?;
                } else {
                    write!(f, "no water instead of {}", flow(*share_l_per_min, water))?;
                }
                match air_l_per_min {
                    Some(most) => write!(f, "; {} of air each would be enough", flow(*most, air))?,
                    None => f.write_str("; no amount of air would be enough")?,
                }
                f.write_str(" (set duty.at_low_water = true)")
            }
            Self::DevelopingLengthDecides { length_m, bores } => write!(
                f,
                "ranking and rejections depend on the developing length of {}, the project's own fit: a shorter one favours short wide risers, a longer one the others; a bench trial decides",
                developing(units, (*length_m, *bores))
            ),
            Self::LossOfAir => f.write_str(
                "loss of air is loss of flow and of oxygen: provide an alarm, standby air and emergency oxygen before animals depend on it",
            ),
            Self::TotalGasPressureAbove { bound_percent, limit_percent } => write!(
                f,
                "water can leave this depth of injection with up to {bound_percent:.1} % total gas pressure, above the limit of {limit_percent:.1} %: inject higher, or let the water degas over a fall or packing"
            ),
            Self::EntersWithMuchGas { percent, limit_percent } => write!(
                f,
                "the water enters with {percent:.1} % total gas pressure, above the limit of {limit_percent:.1} %: the bound from the depth holds only for water that enters with less, so measure total gas pressure and degas the water first"
            ),
            Self::OxygenAboveSaturation { entering_mg_per_l, saturation_mg_per_l } => write!(
                f,
                "the water enters with {} mg/L of oxygen, and against air it can keep only {} mg/L: aeration and open surfaces lose the rest; so much oxygen also raises the total gas pressure unless nitrogen was taken out, so measure that",
                Short(four_digits(*entering_mg_per_l)), Short(four_digits(*saturation_mg_per_l))
            ),
            Self::GasSupersaturation { depth_m } => write!(
                f,
                "air injected {} down can supersaturate the water with nitrogen: measure total gas pressure before stocking",
                say.height(*depth_m)
            ),
            Self::AirInPlasticPipe => f.write_str(
                "compressed air in plastic pipe can burst it into shards, and a blower's hot air softens it: follow the pipe maker and local codes",
            ),
            Self::MainsNearWater => f.write_str(
                "mains power near water: have a licensed electrician fit residual-current protection and bonding, to the local code",
            ),
            Self::OxygenTakenOut => f.write_str(
                "an aeration test takes the oxygen out of the water, and that kills: keep no animals in the tank, and let none of its water reach animals while oxygen is low or sulphite is left",
            ),
            Self::BackSiphon => f.write_str("set the blower above the highest water level, or water siphons back into it when it stops"),
            Self::CheckValveAlone => f.write_str("a check valve can fail by dirt or wear: place the blower above the water, which keeps the water out of it, and let the air line rise above the water before it drops to the injector"),
            Self::BlowerBelowWater { height_m } => write!(
                f,
                "the blower stands {} below the highest water level: when it stops, water runs back into it; set it above the water, or raise the line above the water with a vacuum break",
                say.height(-height_m)
            ),
            Self::OxygenRunsOut { minutes } => write!(
                f,
                "loss of air is loss of life support: oxygen falls to the limit in {:.0} min (a plain balance; fed or frightened animals take more), so an alarm, standby air and emergency oxygen must act well before that",
                minutes.floor()
            ),
            Self::IntakeAir => f.write_str("what the blower takes in reaches the animals: filter the intake, and place it away from oil mist, exhaust and solvents"),
            Self::DeadHead => f.write_str("a blower must never run against a closed line: a displacement blower needs a relief valve, a side-channel blower a bleed or relief below its rated maximum"),
            Self::Noise => f.write_str("blowers are loud: wear hearing protection, and keep the local law's limits of exposure (often 80 to 90 dBA over a working day)"),
            Self::NoStandby => f.write_str("there is no standby blower: one failure stops every lift"),
            Self::EfficiencyUnknown => f.write_str("the efficiency of blower and motor is not given, so there is no power at the wire: take it from the maker's table"),
            Self::HotDischarge { temperature_c, at_least } => write!(
                f,
                "air leaves the blower at {}{}, heated by its own losses: use metal pipe for the first {}, until the air has cooled (PVC keeps half its strength at {} and none of its rating above {}), and guard hot surfaces",
                if *at_least { "no less than " } else { "" },
                say.temperature(*temperature_c),
                units.pick("metres", "yards"),
                say.temperature(43.0),
                units.pick(60, 140)
            ),
            Self::HeaderTooHot { temperature_c, given } => write!(
                f,
                "air reaches the header at {}{}: PVC has no pressure rating above {}",
                say.temperature(*temperature_c),
                if *given { "" } else { ", as hot as it leaves the blower, since no arrival_temperature is given" },
                say.temperature(60.0)
            ),
            Self::FastAir { line, velocity_m_per_s, usual } => {
                let (velocity, usual) = say.ranged("velocity", *velocity_m_per_s, usual);
                write!(
                    f,
                    "the air in the {line} goes {velocity:.1} {}, faster than usual ({usual}): it will be loud, and a wider pipe costs less pressure",
                    usual.unit
                )
            }
            Self::PastBlowerTable { last_l_per_min, needed_kpa, given_kpa } => write!(
                f,
                "the blower runs past the end of its table: at its last point, {} of air, it gives {} and the lifts need only {}; they are computed with the air of that point and get at least that much: give more of the table",
                say.air(*last_l_per_min), say.pressure(*given_kpa), say.pressure(*needed_kpa)
            ),
            Self::BeforeBlowerTable { air_l_per_min, first_l_per_min } => write!(
                f,
                "the blower runs before the start of its table, with {} of air where the table starts at {}: it may surge or open its relief valve, and is taken here to hold the pressure of that point; bleed air, or use a smaller blower",
                say.air(*air_l_per_min), say.air(*first_l_per_min)
            ),
            Self::LiftWithoutAir { lifts: 1, lift, header_kpa, water_kpa } => write!(
                f,
                "{lift} gets no air: the header has {} at its tee, and its water needs {}",
                say.pressure(*header_kpa), say.pressure(*water_kpa)
            ),
            Self::LiftWithoutAir { lifts, lift, header_kpa, water_kpa } => write!(
                f,
                "{lifts} lifts get no air: the header has {} at the tee of {lift}, the first of them, and its water needs {}",
                say.pressure(*header_kpa), say.pressure(*water_kpa)
            ),
            Self::AirOffDesign { lifts: 1, lift, off, tolerance } => write!(
                f,
                "the air of {lift} is {:+.1} % off its design, beyond the {:.1} % allowed",
                100.0 * off, 100.0 * tolerance
            ),
            Self::AirOffDesign { lifts, lift, off, tolerance } => write!(
                f,
                "the air of {lifts} lifts is off its design by more than the {:.1} % allowed, that of {lift} most: {:+.1} %",
                100.0 * tolerance, 100.0 * off
            ),
            Self::OrificeWide { lifts, lift, over_bore } => write!(
                f,
                "the orifice of {lift}{} is {over_bore:.3} of its branch's bore, and the standard behind its loss ends at 0.75: use a wider branch, or orifices that lose more pressure (least_loss)",
                match lifts {
                    1 => String::new(),
                    _ => format!(", the widest of {lifts} such,"),
                }
            ),
            Self::BranchChoked { lift } => write!(f, "the air to {lift} reaches the velocity of sound somewhere: it is loud, and more pressure brings no more air"),
            Self::BeyondLossCurve { lift } => write!(f, "the diffuser of {lift} gets more air than its loss curve covers: its loss is extrapolated in a straight line"),
            Self::SoftBalance { loss_kpa } => write!(
                f,
                "a branch loses only {} between header and water: a change of level of {} moves much of its air to other lifts; use orifices that lose several times that",
                to_decimals(units, units.pressure_unit(), 1e3 * loss_kpa, [2, 3]),
                units.pick("5 cm (0.49 kPa)", "2 in (0.072 psi)")
            ),
            Self::SomeLiftsDoNotStart => f.write_str("while all risers stand full of water, this blower gives some lift no air: start lifts one after the other, or use more pressure"),
            Self::NotPressurePipe => f.write_str("this is drain or sewer pipe, not a pressure pipe: use it for the riser alone, never for the air line"),
            Self::PipeFromMemory => f.write_str("this pipe's wall is from memory, not read in its standard: measure the bore before you build"),
            Self::AnotherRig { part } => write!(
                f,
                "the bench trial was of another rig ({part}), so it says nothing of this riser: the interval is that of published rigs"
            ),
            Self::BeyondTrialAir { times } => write!(
                f,
                "the nearest measured air flow is a factor of {times:.1} away; beyond a factor of 2 a trial no longer helps, so measure nearer"
            ),
            Self::BeyondTrialDepth { away } => write!(
                f,
                "the nearest measured depth is {away:.2} of the riser's length away; beyond 0.15 the calibrated flow may be worse than the plain one, so measure a point at this depth"
            ),
            Self::IntervalStretched { wider } => {
                f.write_str("interval widened: the riser is ")?;
                for (n, (what, factor)) in wider.iter().enumerate() {
                    f.write_str(if n == 0 { "" } else { ", " })?;
                    write!(f, "{what} (x {factor:.2})")?;
                }
                Ok(())
            }
            Self::InjectorUnlikeRigs { injector } => write!(
                f,
                "the interval is wider, since no rig behind it is known to have had {injector}: what that changes is not known, so measure it, or two injectors pair by pair (`risewater trial plan`, `trial compare`)"
            ),
            Self::OutletDecides { plain_l_per_min, elbow_l_per_min } => write!(
                f,
                "how does the water leave? Assumed is a plain open end ({}); through an elbow at the same height it would be {}, so give riser.outlet",
                say.digits(*plain_l_per_min),
                say.digits(*elbow_l_per_min)
            ),
            Self::ReadingStandsOut { run, deviations, points } => write!(
                f,
                "run {run} is {:.1} standard deviations {} what the other readings lead one to expect{}",
                deviations.abs(),
                if *deviations > 0.0 { "above" } else { "below" },
                if *points > 3 { ": repeat it" } else { "; three readings cannot tell which of them is wrong, so repeat all" }
            ),
            Self::ReadingFarOff { run, read_l_per_min, low_l_per_min, high_l_per_min } => write!(
                f,
                "run {run} gave {}, where {} to {} were expected: read its amounts, times and units again",
                say.digits(*read_l_per_min),
                say.digits(*low_l_per_min),
                say.digits(*high_l_per_min)
            ),
            Self::ReadingNarrowsLittle { run, low_l_per_min, high_l_per_min } => write!(
                f,
                "run {run} lies near the air at which water starts to flow, where its own interval stays wide, {} to {}: there each cause of error is followed by itself, and one reading narrows none of them much",
                say.digits(*low_l_per_min),
                say.digits(*high_l_per_min)
            ),
            Self::UnfedAnimals => f.write_str(
                "animals without feed are counted as using no oxygen, but they breathe: give their least_oxygen_use",
            ),
            Self::MeansOfTheDay => f.write_str(
                "the need is the mean over a day: animals use more oxygen for hours after a meal, so leave a margin or feed in small parts, and measure the oxygen then",
            ),
            Self::LoopAtCeiling => f.write_str(
                "no transfer coefficient is given, so each lift is taken at its ceiling: no lift can aerate more. \
                 The real loop is worse; an aeration test of one lift gives gas.transfer_coefficient, and tells how much",
            ),
            Self::FreeCarbonDioxide => f.write_str(
                "carbon dioxide is followed as free gas alone: water with alkalinity swings less, and lifts strip less of it",
            ),
            Self::FilterOxygenNotFollowed => f.write_str(
                "the filter oxidises ammonia whatever its oxygen: see that enough is left after it",
            ),
            Self::DefaultFromMemory { line, defaults } => write!(
                f,
                "{} governs, by defaults from memory ({}): give your own values",
                line.replace('_', " "),
                defaults.join("; ")
            ),
            Self::LiftsNotEnough { missing_l_per_min, weeks } => {
                write!(f, "the lifts are not enough: {} are missing", say.digits(*missing_l_per_min))?;
                for (n, (first, last)) in weeks.iter().enumerate() {
                    f.write_str(if n == 0 { ", in weeks " } else { ", " })?;
                    if first == last {
                        write!(f, "{first}")?;
                    } else {
                        write!(f, "{first} to {last}")?;
                    }
                }
                f.write_str("; install more lifts, or hold fewer animals")
            }
        }
    }
}

fn four_digits(value: f64) -> f64 {
    format!("{value:.3e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers by hand: 25.4 mm to the inch, 0.3048 m to the foot, 3.785412 L to the gallon, 6.894757 kPa to the psi.
    #[test]
    fn us_numbers() {
        let metric = |range: (f64, f64), unit| Range::new(range.0, range.1, unit);
        let cases = [
            (
                Caution::BoreSmall { bore_mm: 8.0 },
                "a bore of 0.315 in is below 0.394 in",
            ),
            (
                Caution::BoreLarge { bore_mm: 150.0 },
                "a bore of 5.906 in is above the widest published riser, 3.937 in",
            ),
            (
                Caution::OutsideClosure {
                    closure: "bubbly",
                    what: "bore",
                    value: 25.4,
                    range: metric((52.0, 600.0), "mm"),
                },
                "bore is 1.0000 in, stated for 2.047 to 23.62 in",
            ),
            (
                Caution::OutsideClosure {
                    closure: "bubbly",
                    what: "void fraction at the top",
                    value: 0.4,
                    range: metric((0.0, 0.3), ""),
                },
                "void fraction at the top is 0.4000 , stated for 0 to 0.3",
            ),
            (
                Caution::OutletRunsFull {
                    flow_l_per_min: 100.0,
                    limit_l_per_min: 80.0,
                },
                "full at 26.4 gal/min (part-full up to 21.1 gal/min)",
            ),
            (
                Caution::GasSupersaturation { depth_m: 0.2 },
                "air injected 7.87 in down",
            ),
            (
                Caution::BlowerBelowWater { height_m: -1.2 },
                "the blower stands 3.94 ft below",
            ),
            (
                Caution::HotDischarge {
                    temperature_c: 75.0,
                    at_least: false,
                },
                "at 167 degF, heated by its own losses: use metal pipe for the first yards, until the air has cooled (PVC keeps half its strength at 109 degF and none of its rating above 140)",
            ),
            (
                Caution::HeaderTooHot {
                    temperature_c: 65.0,
                    given: true,
                },
                "at 149 degF: PVC has no pressure rating above 140 degF",
            ),
            (
                Caution::FastAir {
                    line: "header",
                    velocity_m_per_s: 12.0,
                    usual: metric((6.1, 9.1), "m/s"),
                },
                "goes 39.4 ft/s, faster than usual (20.01 to 29.86 ft/s)",
            ),
            (
                Caution::SoftBalance { loss_kpa: 0.8 },
                "loses only 0.116 psi between header and water: a change of level of 2 in (0.072 psi)",
            ),
            (
                Caution::LiftsNotEnough {
                    missing_l_per_min: 615.1,
                    weeks: vec![],
                },
                "162.5 gal/min are missing",
            ),
        ];
        for (caution, words) in cases {
            let text = caution.worded(UnitSystem::Us);
            assert!(text.contains(words), "{text}");
        }
    }
}
