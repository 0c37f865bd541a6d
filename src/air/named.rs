//! Published reference states of air.

use std::str::FromStr;

use crate::air::AirState;
use crate::error::{Error, NameKind, among};
use crate::references::{
    AMCA_210, ASME_PTC_9, CAGI, DIN_1343, ISO_1217, ISO_2533, ISO_8778, ISO_13443, IUPAC_1982,
    Reference, US_GAS_INDUSTRY,
};
use crate::units::{AbsolutePressure, base};

/// One pound-force per square inch, Pa: 0.45359237 kg × 9.80665 m/s² / (0.0254 m)².
const PSI_PA: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254);

/// A published reference state of air, with its name in design files and its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NamedAirState {
    /// Name in design files.
    pub name: &'static str,
    /// The state.
    pub state: AirState,
    /// Where it is from; nothing for the state of this library.
    pub reference: Option<Reference>,
}

/// Every named state.
///
/// # Examples
/// ```
/// use risewater::air::NAMED;
///
/// assert!(NAMED.iter().any(|named| named.name == "reference_iso_1217"));
/// ```
pub const NAMED: &[NamedAirState] = &[
    entry("dry_20_c", AirState::DRY_20_C, None),
    entry("normal_din_1343", AirState::NORMAL_DIN_1343, Some(DIN_1343)),
    entry(
        "standard_iso_2533",
        AirState::STANDARD_ISO_2533,
        Some(ISO_2533),
    ),
    entry(
        "standard_iso_13443",
        AirState::STANDARD_ISO_13443,
        Some(ISO_13443),
    ),
    entry(
        "reference_iso_1217",
        AirState::REFERENCE_ISO_1217,
        Some(ISO_1217),
    ),
    entry("anr_iso_8778", AirState::ANR_ISO_8778, Some(ISO_8778)),
    entry("scfm_cagi", AirState::SCFM_CAGI, Some(CAGI)),
    entry("scfm_asme", AirState::SCFM_ASME, Some(ASME_PTC_9)),
    entry("scfm_60_f", AirState::SCFM_60_F, Some(US_GAS_INDUSTRY)),
    entry(
        "standard_air_fan",
        AirState::STANDARD_AIR_FAN,
        Some(AMCA_210),
    ),
    entry("stp_iupac", AirState::STP_IUPAC, Some(IUPAC_1982)),
];

/// The published states. "From memory" marks what was recalled or read in secondary texts.
impl AirState {
    /// 20 °C, 101.325 kPa, dry: the state at which this library reports air flows.
    pub const DRY_20_C: Self = state(293.15, 101_325.0, 0.0);

    /// Normal air: 0 °C, 101.325 kPa; dry is assumed.
    /// [DIN 1343](crate::references::DIN_1343), from secondary texts.
    pub const NORMAL_DIN_1343: Self = state(273.15, 101_325.0, 0.0);

    /// Standard atmosphere at sea level: 15 °C, 101.325 kPa, dry.
    /// [ISO 2533](crate::references::ISO_2533).
    pub const STANDARD_ISO_2533: Self = state(288.15, 101_325.0, 0.0);

    /// Natural gas: 15 °C, 101.325 kPa, dry.
    /// [ISO 13443](crate::references::ISO_13443), from memory.
    pub const STANDARD_ISO_13443: Self = state(288.15, 101_325.0, 0.0);

    /// Compressor inlet: 20 °C, 100 kPa, dry.
    /// [ISO 1217](crate::references::ISO_1217), annex F, from memory.
    pub const REFERENCE_ISO_1217: Self = state(293.15, 100_000.0, 0.0);

    /// Pneumatics (ANR): 20 °C, 100 kPa, 65 % humidity.
    /// [ISO 8778](crate::references::ISO_8778), from memory; some texts print 101.325 kPa.
    pub const ANR_ISO_8778: Self = state(293.15, 100_000.0, 0.65);

    /// US standard cubic foot of compressors: 68 °F, 14.5 psia, dry.
    /// [CAGI](crate::references::CAGI), from memory.
    pub const SCFM_CAGI: Self = state(293.15, 14.5 * PSI_PA, 0.0);

    /// US standard cubic foot of blowers: 68 °F, 14.696 psia, 36 % humidity.
    /// [ASME PTC 9](crate::references::ASME_PTC_9), from secondary texts.
    pub const SCFM_ASME: Self = state(293.15, 14.696 * PSI_PA, 0.36);

    /// US standard cubic foot of gas: 60 °F, 14.696 psia, dry; 14.73 psia is in use too.
    /// [US gas industry](crate::references::US_GAS_INDUSTRY), from memory.
    pub const SCFM_60_F: Self = state((60.0 - 32.0) / 1.8 + 273.15, 14.696 * PSI_PA, 0.0);

    /// Standard air of US fan tests: 20 °C, 101.325 kPa, 50 % humidity, which comes to 1.2 kg/m³.
    /// [AMCA 210](crate::references::AMCA_210), from memory.
    ///
    /// [ISO 5801](crate::references::ISO_5801) defines standard air by its density alone, exactly
    /// 1.2 kg/m³. The state that it names beside that, 16 °C, 100 kPa and 65 % humidity, is no part of the
    /// definition; a cubic metre of it holds the same dry air within a thousandth.
    pub const STANDARD_AIR_FAN: Self = state(293.15, 101_325.0, 0.5);

    /// Chemistry (STP since 1982): 0 °C, 100 kPa, dry.
    /// [IUPAC](crate::references::IUPAC_1982), from memory.
    pub const STP_IUPAC: Self = state(273.15, 100_000.0, 0.0);

    /// The state of a name in [`NAMED`].
    ///
    /// # Errors
    /// [`Error::UnknownName`] for any other name, with the nearest one that exists.
    ///
    /// # Examples
    /// ```
    /// use risewater::air::AirState;
    ///
    /// assert_eq!(AirState::named("scfm_cagi")?, AirState::SCFM_CAGI);
    /// let text = AirState::named("scfm_cagy").unwrap_err().to_string();
    /// assert!(text.ends_with("did you mean \"scfm_cagi\"?"), "{text}");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn named(name: &str) -> Result<Self, Error> {
        among(NameKind::AirState, name, NAMED, |named| named.name).map(|named| named.state)
    }
}

impl FromStr for AirState {
    type Err = Error;

    /// As [`AirState::named`].
    fn from_str(name: &str) -> Result<Self, Error> {
        Self::named(name)
    }
}

const fn entry(name: &'static str, state: AirState, reference: Option<Reference>) -> NamedAirState {
    NamedAirState {
        name,
        state,
        reference,
    }
}

const fn state(t_k: f64, p_pa: f64, humidity: f64) -> AirState {
    AirState {
        temperature: base(t_k),
        pressure: AbsolutePressure(base(p_pa)),
        humidity: base(humidity),
    }
}
