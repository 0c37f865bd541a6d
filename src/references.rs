//! Every published source behind a number of this library, as values that can be cited and printed.
//!
//! A docstring cites its source by a link to one of these constants with equation, table or page.
//! [`Trust`] says how the number came to us.

/// How a number of a source reached this library.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
pub enum Trust {
    /// Read in the source, or in an open transcription of it.
    Read,
    /// Recalled or taken from secondary texts; re-check it against the source.
    #[strum(to_string = "from memory")]
    Memory,
    /// The project's own fit or combination.
    Own,
}

/// A published source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reference {
    /// Short key: author and year, or body and number.
    pub key: &'static str,
    /// Full citation.
    pub text: &'static str,
    /// What this library takes from it.
    pub used_for: &'static str,
    /// How the numbers reached us.
    pub trust: Trust,
}

/// As its key.
impl serde::Serialize for Reference {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key)
    }
}

macro_rules! references {
    ($($name:ident = $key:literal, $trust:ident, $text:literal, $used:literal;)*) => {
        $(
            #[doc = $text]
            pub const $name: Reference = Reference { key: $key, text: $text, used_for: $used, trust: Trust::$trust };
        )*
        /// All of them, in order of the constants' names.
        pub const ALL: &[Reference] = &[$($name),*];

        #[cfg(test)]
        const NAMES: &[&str] = &[$(stringify!($name)),*];
    };
}

references! {
    AMCA_210 = "AMCA 210", Memory,
        "ANSI/AMCA Standard 210 and ANSI/ASHRAE Standard 51. Laboratory methods of testing fans for certified aerodynamic performance rating. Air Movement and Control Association International, Arlington Heights.",
        "reference state of US fan tests";
    APHA_4500_O = "APHA 4500-O", Memory,
        "American Public Health Association, American Water Works Association & Water Environment Federation. Standard methods for the examination of water and wastewater, method 4500-O, oxygen (dissolved).",
        "oxygen in water against pressure; a few saturation values that are tested";
    AQUARIUM_RINGS = "Aquarium rings", Memory,
        "Posted test of an aquarium's lift: a tube of 17 mm and 0.3 m with one, two or three rings of 25 holes of 1.4 mm. Author, date and address not known here: second hand.",
        "how much an injector may change: the same water with one, two and three rings at 100 L/h of air, 13 % less with one ring at 150 L/h";
    ASCE_EWRI_2 = "ASCE/EWRI 2-06", Memory,
        "ASCE/EWRI 2-06. Measurement of oxygen transfer in clean water. American Society of Civil Engineers, Reston (superseded by ASCE/EWRI 2-22).",
        "evaluation of an aeration test: correction to 20 degC and one atmosphere, SOTR, SAE, SOTE, field transfer; that kLa C* is averaged over the probes was read";
    ASHRAE_2005 = "ASHRAE 2005", Memory,
        "ASHRAE (2005). Handbook: Fundamentals, chapter 6, Psychrometrics. American Society of Heating, Refrigerating and Air-Conditioning Engineers, Atlanta.",
        "gas constant of dry air";
    ASME_B94_11M = "ASME B94.11M", Memory,
        "ASME B94.11M. Twist Drills. American Society of Mechanical Engineers, New York.",
        "number, letter and fractional drill sizes, from memory; an open table agrees in all of them";
    ASME_PTC_9 = "ASME PTC 9", Memory,
        "ASME PTC 9. Displacement Compressors, Vacuum Pumps and Blowers. American Society of Mechanical Engineers, New York.",
        "reference state of the US standard cubic foot at 68 degF, 36 % humidity";
    ASTM_D1785 = "ASTM D1785", Read,
        "ASTM D1785-88. Standard specification for poly(vinyl chloride) (PVC) plastic pipe, schedules 40, 80 and 120.",
        "pipe dimensions: 1/2 to 8 in read in an open transcription, 10 and 12 in from memory";
    ASTM_D2241 = "ASTM D2241", Memory,
        "ASTM D2241. Standard specification for poly(vinyl chloride) (PVC) pressure-rated pipe (SDR series).",
        "pipe dimensions, checked against wall = OD/SDR";
    ASTM_D2729 = "ASTM D2729", Memory,
        "ASTM D2729-96a. Standard specification for poly(vinyl chloride) (PVC) sewer pipe and fittings.",
        "pipe dimensions; the outside diameters agree with the standard's socket diameters";
    ASTM_D3034 = "ASTM D3034", Memory,
        "ASTM D3034. Standard specification for type PSM poly(vinyl chloride) (PVC) sewer pipe and fittings.",
        "pipe dimensions";
    BARRUT_2012 = "Barrut et al. 2012", Read,
        "Barrut, B., Blancheton, J.-P., Champagne, J.-Y. & Grasmick, A. (2012). Mass transfer efficiency of a vacuum airlift - Application to water recycling in aquaculture systems. Aquacultural Engineering 46, 18-26.",
        "no number: that injector, air flow and water move the transfer coefficient of an airlift of 2 to 6 m, by the first part of its abstract alone";
    BELL_FLUIDS = "Bell, fluids 1.3.1", Read,
        "Bell, C. fluids: fluid dynamics component of the Chemical Engineering Design Library (ChEDL), version 1.3.1.",
        "open transcription of published loss coefficients";
    BENSON_KRAUSE_1984 = "Benson & Krause 1984", Read,
        "Benson, B. B. & Krause, D. (1984). The concentration and isotopic fractionation of oxygen dissolved in freshwater and seawater in equilibrium with the atmosphere. Limnol. Oceanogr. 29, 620-632.",
        "oxygen in water at equilibrium with air; read in open transcriptions";
    BHAGWAT_GHAJAR_2014 = "Bhagwat & Ghajar 2014", Read,
        "Bhagwat, S. M. & Ghajar, A. J. (2014). A flow pattern independent drift flux model based void fraction correlation for a wide range of gas-liquid two phase flow. Int. J. Multiphase Flow 59, 186-205.",
        "void fraction, the default closure";
    BS_328 = "BS 328", Read,
        "BS 328. Drills and Reamers. British Standards Institution, London.",
        "metric drill sizes, as an open encyclopaedia gives its rule";
    BUBBLY_COMBINATION = "own combination, bubbly flow", Own,
        "Combination of this project: distribution parameter of Ishii (1977), rise velocity of Harmathy (1960), swarm exponent as in Gomez et al. (2000).",
        "void fraction of fine bubbles";
    CAGI = "CAGI", Memory,
        "Compressed Air and Gas Institute. Practice for the rating of compressors: standard air at 68 degF, 14.5 psia, 0 % humidity.",
        "reference state of the US standard cubic foot at 14.5 psia";
    CCME = "CCME", Memory,
        "Canadian Council of Ministers of the Environment. Canadian water quality guidelines for the protection of aquatic life: ammonia.",
        "spread of the limit of un-ionised ammonia: 0.019 mg/L as NH3, as a national table of statistics gives it";
    CCME_1999 = "CCME 1999", Memory,
        "Canadian Council of Ministers of the Environment (1999). Canadian water quality guidelines for the protection of aquatic life: dissolved gas supersaturation.",
        "guideline of total gas pressure in water shallower than 1 m, about 103 %";
    CHOW_1959 = "Chow 1959", Read,
        "Chow, V. T. (1959). Open-Channel Hydraulics. McGraw-Hill, New York.",
        "critical depth at the brink of a part-full pipe";
    CHURCHILL_1977 = "Churchill 1977", Read,
        "Churchill, S. W. (1977). Friction-factor equation spans all fluid-flow regimes. Chem. Eng. 84(24), 91-92.",
        "Darcy friction factor";
    CODATA_2018 = "CODATA 2018", Read,
        "Tiesinga, E., Mohr, P. J., Newell, D. B. & Taylor, B. N. (2021). CODATA recommended values of the fundamental physical constants: 2018. Rev. Mod. Phys. 93, 025010.",
        "molar gas constant";
    COLEBROOK_1939 = "Colebrook 1939", Read,
        "Colebrook, C. F. (1939). Turbulent flow in pipes, with particular reference to the transition region between the smooth and rough pipe laws. J. Inst. Civ. Eng. 11, 133-156.",
        "Darcy friction factor of lines that carry air or water alone";
    COLT_2006 = "Colt 2006", Memory,
        "Colt, J. (2006). Water quality requirements for reuse systems. Aquac. Eng. 34, 143-156.",
        "limits of oxygen and carbon dioxide for animals; that criteria made for wild life may not suit one species or stage was read in it";
    CRANE_TP410 = "Crane TP-410", Memory,
        "Crane Co. Flow of fluids through valves, fittings, and pipe. Technical paper 410.",
        "loss coefficients of entrances and elbows";
    CUSSLER_2009 = "Cussler 2009", Memory,
        "Cussler, E. L. (2009). Diffusion: mass transfer in fluid systems, 3rd edition. Cambridge University Press.",
        "diffusion coefficients of gases in water at 25 degC; penetration and film theory";
    DARBY_1999 = "Silverberg & Darby 1999", Read,
        "Silverberg, P. & Darby, R. (1999). Correlate pressure drops through fittings. Chem. Eng. 106(7), 101-104.",
        "loss coefficients of elbows, tees and valves by the 3-K method";
    DIN_1343 = "DIN 1343", Memory,
        "DIN 1343:1990. Referenzzustand, Normzustand, Normvolumen; Begriffe und Werte. Deutsches Institut fuer Normung, Berlin.",
        "reference state of the normal cubic metre";
    EBELING_2006 = "Ebeling et al. 2006", Memory,
        "Ebeling, J. M., Timmons, M. B. & Bisogni, J. J. (2006). Engineering analysis of the stoichiometry of photoautotrophic, autotrophic, and heterotrophic removal of ammonia-nitrogen in aquaculture systems. Aquaculture 257, 346-358.",
        "cells that nitrifying bacteria make; the abstract was read, the numbers are from memory";
    EDING_2006 = "Eding et al. 2006", Memory,
        "Eding, E. H., Kamstra, A., Verreth, J. A. J., Huisman, E. A. & Klapwijk, A. (2006). Design and operation of nitrifying trickling filters in recirculating aquaculture: a review. Aquac. Eng. 34, 234-260.",
        "order of a filter's rate: half below, zero above; the abstract was read, the numbers are from memory";
    EIFAC = "EIFAC", Memory,
        "European Inland Fisheries Advisory Commission. Water quality criteria for European freshwater fish: ammonia. FAO, Rome.",
        "spread of the limit of un-ionised ammonia: 0.025 mg/L as NH3, which is 0.0206 mg/L as nitrogen";
    EMERSON_1975 = "Emerson et al. 1975", Read,
        "Emerson, K., Russo, R. C., Lund, R. E. & Thurston, R. V. (1975). Aqueous ammonia equilibrium calculations: effect of pH and temperature. J. Fish. Res. Board Can. 32, 2379-2383.",
        "un-ionised share of ammonia; read in open transcriptions";
    EN_1329_1 = "EN 1329-1", Memory,
        "EN 1329-1. Plastics piping systems for soil and waste discharge within the building structure: PVC-U. Part 1.",
        "pipe dimensions";
    EN_1401_1 = "EN 1401-1", Memory,
        "EN 1401-1. Plastics piping systems for non-pressure underground drainage and sewerage: PVC-U. Part 1.",
        "pipe dimensions";
    EN_ISO_1452_2 = "EN ISO 1452-2", Memory,
        "EN ISO 1452-2. Plastics piping systems for water supply and for buried and above-ground drainage and sewerage under pressure: PVC-U. Part 2: pipes, table 2.",
        "pipe dimensions, each wall checked by the rule of ISO 4065";
    FRIEDEL_1979 = "Friedel 1979", Read,
        "Friedel, L. (1979). Improved friction pressure drop correlations for horizontal and vertical two-phase pipe flow. European Two-phase Flow Group Meeting, Ispra, paper E2.",
        "two-phase friction multiplier";
    FRITSCH_BUTLAND_1984 = "Fritsch & Butland 1984", Read,
        "Fritsch, F. N. & Butland, J. (1984). A method for constructing local monotone piecewise cubic interpolants. SIAM J. Sci. Stat. Comput. 5(2), 300-304.",
        "slopes inside a blower's table; read in an open transcription";
    GARCIA_GORDON_1992 = "Garcia & Gordon 1992", Read,
        "Garcia, H. E. & Gordon, L. I. (1992). Oxygen solubility in seawater: better fitting equations. Limnol. Oceanogr. 37, 1307-1312.",
        "what oxygen in water is held against, as the Python package gsw has it";
    GLUECKAUF_1951 = "Glueckauf 1951", Memory,
        "Glueckauf, E. (1951). The composition of atmospheric air. In: Malone, T. F. (ed.), Compendium of meteorology. American Meteorological Society, Boston, 3-10.",
        "mole fractions of oxygen, nitrogen and argon in dry air";
    GOHARZADEH_FERNANDES = "Goharzadeh & Fernandes", Memory,
        "Goharzadeh, A. & Fernandes, K. (about 2014). Experiments on an airlift pump with a riser of 19 mm bore and 0.8 m length. Title and journal not known here: second hand.",
        "the shortest riser behind the developing length; second hand, its points are not held";
    GOMEZ_2000 = "Gomez et al. 2000", Memory,
        "Gomez, L. E., Shoham, O., Schmidt, Z., Chokshi, R. N. & Northug, T. (2000). Unified mechanistic model for steady-state two-phase flow. SPE Journal 5(3), 339-350.",
        "swarm exponent of the bubbly closure";
    GRUBBS_1969 = "Grubbs 1969", Memory,
        "Grubbs, F. E. (1969). Procedures for detecting outlying observations in samples. Technometrics 11(1), 1-21.",
        "test that marks a repeat out of line";
    GUM_2008 = "JCGM 100:2008", Memory,
        "JCGM 100:2008. Evaluation of measurement data: guide to the expression of uncertainty in measurement (GUM 1995 with minor corrections). Joint Committee for Guides in Metrology, BIPM, Sevres.",
        "propagation of uncertainty, degrees of freedom and coverage of bench measurements";
    HAALAND_1983 = "Haaland 1983", Read,
        "Haaland, S. E. (1983). Simple and explicit formulas for the friction factor in turbulent pipe flow. J. Fluids Eng. 105, 89-90.",
        "first guess for Colebrook's law";
    HAMME_EMERSON_2004 = "Hamme & Emerson 2004", Read,
        "Hamme, R. C. & Emerson, S. R. (2004). The solubility of neon, nitrogen and argon in distilled water and seawater. Deep-Sea Res. I 51, 1517-1528.",
        "nitrogen and argon in water at equilibrium with air; read in open transcriptions";
    HARMATHY_1960 = "Harmathy 1960", Memory,
        "Harmathy, T. Z. (1960). Velocity of large drops and bubbles in media of infinite or restricted extent. AIChE J. 6(2), 281-288.",
        "bubble rise velocity of the bubbly closure";
    HARRIS_1928 = "Harris 1928", Read,
        "Harris, C. W. (1928). The influence of pipe thickness on re-entrant intake losses. Univ. of Washington Engineering Experiment Station, bulletin 48.",
        "spread of the re-entrant entrance loss";
    HEARN_2007 = "Hearn et al. 2007", Read,
        "Hearn, R. A., Pfeiffer, T. J. & Malone, R. F. (2007). Flow, aeration, and carbon dioxide transfer rates for airlifts used in recirculating aquaculture systems (abstract). International Sustainable Marine Fish Culture Conference and Workshop, Book of Abstracts, 24.",
        "what airlifts of 102 to 203 mm did: 170 to 490 L/min of water and 0.05 to 0.19 kg/h of oxygen, by its abstract alone";
    HEARN_2009 = "Hearn 2009", Memory,
        "Hearn, R. (2009). Gas transfer in air-lifts used to recirculate aquaculture systems. Thesis, Louisiana State University.",
        "nothing: only its title page was found";
    HOOPER_1981 = "Hooper 1981", Read,
        "Hooper, W. B. (1981). The two-K method predicts head losses in pipe fittings. Chem. Eng. 88, 96-100.",
        "loss coefficients of elbows, tees and valves";
    IAPWS_R12_08 = "IAPWS R12-08", Read,
        "IAPWS R12-08 (2008). Release on the IAPWS formulation 2008 for the viscosity of ordinary water substance. International Association for the Properties of Water and Steam.",
        "viscosity of fresh water";
    IAPWS_R1_76 = "IAPWS R1-76(2014)", Read,
        "IAPWS R1-76(2014). Revised release on surface tension of ordinary water substance. International Association for the Properties of Water and Steam.",
        "surface tension of fresh water";
    IAPWS_R6_95 = "IAPWS R6-95(2018)", Read,
        "IAPWS R6-95(2018). Revised release on the IAPWS formulation 1995 for the thermodynamic properties of ordinary water substance for general and scientific use. International Association for the Properties of Water and Steam.",
        "standard that density and vapour pressure of fresh water are held against; molar mass of water";
    IAPWS_SR6_08 = "IAPWS SR6-08(2011)", Read,
        "IAPWS SR6-08(2011). Revised supplementary release on properties of liquid water at 0.1 MPa. International Association for the Properties of Water and Steam.",
        "density of fresh water";
    IDELCHIK = "Idelchik", Read,
        "Idelchik, I. E. Handbook of hydraulic resistance.",
        "spread of the entrance losses";
    IGLEWICZ_HOAGLIN_1993 = "Iglewicz & Hoaglin 1993", Memory,
        "Iglewicz, B. & Hoaglin, D. C. (1993). How to detect and handle outliers. ASQC Basic References in Quality Control, vol. 16. ASQC Quality Press, Milwaukee.",
        "modified z-score that marks a repeat out of line";
    ISAKSEN_2026 = "Isaksen et al. 2026", Read,
        "Isaksen, T. E., Pulg, U., Lennox, R. J., Stranzl, S. F., Bye-Ingebrigtsen, E., Handegard, R. & Velle, G. (2026). Tolerance to total dissolved gas supersaturation in Atlantic salmon, brown trout, rainbow trout, and European minnow. PLOS One, doi 10.1371/journal.pone.0342556.",
        "that a trial of Atlantic salmon parr at 110 % total gas pressure was ended after 10 days; read in its abstract and the captions of its figures";
    ISHII_1977 = "Ishii 1977", Memory,
        "Ishii, M. (1977). One-dimensional drift-flux model and constitutive equations for relative motion between phases in various two-phase flow regimes. Argonne National Laboratory, ANL-77-47.",
        "distribution parameter of the bubbly and large-bore closures";
    ISO_11922_1 = "ISO 11922-1", Memory,
        "ISO 11922-1. Thermoplastics pipes for the conveyance of fluids: dimensions and tolerances. Part 1: metric series.",
        "largest wall of metric pressure pipe, grade W";
    ISO_1217 = "ISO 1217:2009", Memory,
        "ISO 1217:2009. Displacement compressors: acceptance tests. International Organization for Standardization, Geneva.",
        "reference state of compressor ratings; flow and power of displacement machines in proportion to speed";
    ISO_13443 = "ISO 13443:1996", Memory,
        "ISO 13443:1996. Natural gas: standard reference conditions. International Organization for Standardization, Geneva.",
        "reference state of natural gas";
    ISO_235 = "ISO 235", Memory,
        "ISO 235. Parallel shank jobber and stub series drills and Morse taper shank drills. International Organization for Standardization, Geneva.",
        "preferred metric drill sizes";
    ISO_2533 = "ISO 2533:1975", Read,
        "ISO 2533:1975. Standard atmosphere. International Organization for Standardization, Geneva.",
        "pressure at an altitude; viscosity of air; reference state of standard air";
    ISO_4065 = "ISO 4065", Memory,
        "ISO 4065. Thermoplastics pipes: universal wall thickness table.",
        "check of the metric walls; the rounding rule was found by fitting, not read";
    ISO_4787 = "ISO 4787", Memory,
        "ISO 4787. Laboratory glass and plastic ware: volumetric instruments, methods for testing of capacity and for use. International Organization for Standardization, Geneva.",
        "buoyancy of air in weighing water";
    ISO_5167_2 = "ISO 5167-2:2003", Read,
        "ISO 5167-2:2003. Measurement of fluid flow by means of pressure differential devices inserted in circular cross-section conduits running full. Part 2: orifice plates.",
        "flow and pressure loss of an orifice plate in a line; read in an open transcription, the pressure ratio from memory";
    ISO_5801 = "ISO 5801", Memory,
        "ISO 5801. Fans: performance testing using standardized airways. International Organization for Standardization, Geneva.",
        "laws of similar fans, from memory; that standard air of fan tests is defined by its density, read in an open transcription of GB/T 10178-2006, which takes over the definition";
    ISO_8778 = "ISO 8778:2003", Memory,
        "ISO 8778:2003. Pneumatic fluid power: standard reference atmosphere. International Organization for Standardization, Geneva.",
        "reference state of pneumatics (ANR)";
    IUPAC_1982 = "IUPAC 1982", Memory,
        "International Union of Pure and Applied Chemistry (1982). Standard temperature and pressure: 273.15 K and 1 bar.",
        "reference state of chemistry";
    JCGM_101_2008 = "JCGM 101:2008", Memory,
        "JCGM 101:2008. Evaluation of measurement data: supplement 1 to the guide to the expression of uncertainty in measurement, propagation of distributions using a Monte Carlo method. Joint Committee for Guides in Metrology, BIPM, Sevres.",
        "check of the linear propagation by random draws";
    KASSAB_2022 = "Kassab et al. 2022", Read,
        "Kassab, S. Z., Abdelrazek, A. A. & Lotfy, E. R. (2022). Effects of injection mechanism on air-water air lift pump performance. Alexandria Engineering Journal 61(10), 7541-7553. Abstract.",
        "how much an injector may change, by the abstract alone: 823 or 928 kg/h of water at most with a narrow or a wide one; best efficiency 34.7 % with air blown upward, 29.7 % downward, 28.9 % from the side";
    KATAOKA_ISHII_1987 = "Kataoka & Ishii 1987", Memory,
        "Kataoka, I. & Ishii, M. (1987). Drift flux model for large diameter pipe and new correlation for pool void fraction. Int. J. Heat Mass Transfer 30, 1927-1939.",
        "void fraction in wide bores";
    KENNEDY_OHAGAN_2001 = "Kennedy & O'Hagan 2001", Memory,
        "Kennedy M C, O'Hagan A (2001). Bayesian calibration of computer models. J. R. Statist. Soc. B 63(3), 425-464.",
        "a model's error as a Gaussian process beside its parameters";
    LEMMON_2000 = "Lemmon et al. 2000", Read,
        "Lemmon, E. W., Jacobsen, R. T., Penoncello, S. G. & Friend, D. G. (2000). Thermodynamic properties of air and mixtures of nitrogen, argon, and oxygen from 60 to 2000 K at pressures to 2000 MPa. J. Phys. Chem. Ref. Data 29, 331-385.",
        "standard that the density of dry air is held against";
    LEMMON_JACOBSEN_2004 = "Lemmon & Jacobsen 2004", Read,
        "Lemmon, E. W. & Jacobsen, R. T. (2004). Viscosity and thermal conductivity equations for nitrogen, oxygen, argon, and air. Int. J. Thermophys. 25, 21-69.",
        "standard that the viscosity of air is held against";
    LIDDELL_1922 = "Liddell 1922", Read,
        "Liddell, D. M., editor (1922). Handbook of Chemical Engineering, vol. 1. McGraw-Hill, New York: air lifts.",
        "displacement of the compressor of a deep-well air lift, which a worked case holds the model against; read by machine in a scan, so its loss factor is taken to 20 %";
    LOSORDO_HOBBS_2000 = "Losordo & Hobbs 2000", Memory,
        "Losordo, T. M. & Hobbs, A. O. (2000). Using computer spreadsheets for water flow and biofilter sizing in recirculating aquaculture production systems. Aquac. Eng. 23, 95-102.",
        "oxygen used by fish and bacteria for the feed, from memory; the method (mass balances by daily feed) was read in its abstract";
    MEADE_1985 = "Meade 1985", Read,
        "Meade, J. W. (1985). Allowable ammonia for fish culture. Prog. Fish-Cult. 47, 135-145.",
        "0.0125 mg/L of un-ionised ammonia as what fish culturists commonly accept, read in its abstract; the citation from memory";
    METCALF_EDDY = "Metcalf & Eddy", Memory,
        "Metcalf & Eddy, Inc. Wastewater Engineering: treatment and reuse. McGraw-Hill, New York.",
        "adiabatic power and discharge temperature of blowers";
    MILLER = "Miller", Read,
        "Miller, D. S. Internal flow systems.",
        "spread of the entrance losses";
    MILLERO_2008 = "Millero et al. 2008", Read,
        "Millero, F. J., Feistel, R., Wright, D. G. & McDougall, T. J. (2008). The composition of standard seawater and the definition of the reference-composition salinity scale. Deep-Sea Res. I 55, 50-72.",
        "practical salinity from salinity by mass";
    MIL_HDBK_1164 = "MIL-HDBK-1164", Read,
        "MIL-HDBK-1164. Operation and maintenance of water supply systems. US Department of Defense, Washington.",
        "submergence of air lifts in wells, table 4, for a worked case";
    MISHIMA_ISHII_1984 = "Mishima & Ishii 1984", Memory,
        "Mishima, K. & Ishii, M. (1984). Flow regime transition criteria for upward two-phase flow in vertical tubes. Int. J. Heat Mass Transfer 27(5), 723-737.",
        "slug to churn boundary";
    MOLER_2004 = "Moler 2004", Memory,
        "Moler, C. B. (2004). Numerical Computing with MATLAB. SIAM, Philadelphia. Chapter 3, Interpolation.",
        "slopes at the two ends of a blower's table";
    MORAN_2010 = "Moran 2010", Read,
        "Moran (2010). Carbon dioxide degassing in fresh and saline water. II: Degassing performance of an air-lift. Aquacultural Engineering.",
        "air over water of a hatchery's lift, least at 60 to 70 L/min, 0.3 to 0.6: by its abstract alone; author, year and journal from memory";
    MURPHY_KOOP_2005 = "Murphy & Koop 2005", Memory,
        "Murphy, D. M. & Koop, T. (2005). Review of the vapour pressures of ice and supercooled water for atmospheric applications. Q. J. R. Meteorol. Soc. 131, 1539-1565.",
        "standard that the vapour pressure below 0 degC is held against";
    NAYAR_2014 = "Nayar et al. 2014", Read,
        "Nayar, K. G., Panchanathan, D., McKinley, G. H. & Lienhard V, J. H. (2014). Surface tension of seawater. J. Phys. Chem. Ref. Data 43, 043103; also IAPWS G14-19 (2019).",
        "surface tension of seawater";
    NICKENS_YANNITELL_1987 = "Nickens & Yannitell 1987", Memory,
        "Nickens, H. V. & Yannitell, D. W. (1987). The effects of surface tension and viscosity on the rise velocity of a large gas bubble in a closed, vertical liquid-filled tube. Int. J. Multiphase Flow 13, 57-69.",
        "drift velocity in small bores";
    NICKLIN_1962 = "Nicklin et al. 1962", Read,
        "Nicklin, D. J., Wilkes, J. O. & Davidson, J. F. (1962). Two-phase flow in vertical tubes. Trans. Inst. Chem. Eng. 40, 61-68.",
        "slug-flow void fraction";
    NICKLIN_1963 = "Nicklin 1963", Read,
        "Nicklin, D. J. (1963). The air-lift pump: theory and optimisation. Trans. Inst. Chem. Eng. 41, 29-39.",
        "efficiency; friction on the liquid slug";
    NIST_SP_811 = "NIST SP 811", Memory,
        "Thompson, A. & Taylor, B. N. (2008). Guide for the use of the International System of Units (SI). NIST Special Publication 811, appendix B.",
        "factors of customary units";
    OWN_CARBON_DIOXIDE = "Own carbon dioxide of air", Own,
        "Own default for carbon dioxide in dry outdoor air, 420e-6 by mole: about the mean of the early 2020s, from memory.",
        "default carbon dioxide of the site's air; indoor air can have several times as much";
    OWN_SATURATION_FIT = "Own saturation fit", Own,
        "Fit of this library to saturation pressures of IAPWS R6-95(2018) at 401 temperatures from 0.01 to 200 degC, computed with the Python package iapws 1.5.5.",
        "vapour pressure of fresh water";
    PARKER_SUTTLE_1987 = "Parker & Suttle 1987", Read,
        "Parker, N. C. & Suttle, M. A. (1987). Design of airlift pumps for water circulation and aeration in aquaculture. Aquacultural Engineering 6, 97-110.",
        "no number: that a lift costs wide pipes much and narrow ones little, and that water grows with the logarithm of the air, by its abstract alone";
    PICARD_2008 = "Picard et al. 2008", Read,
        "Picard, A., Davis, R. S., Glaeser, M. & Fujii, K. (2008). Revised formula for the density of moist air (CIPM-2007). Metrologia 45, 149-155.",
        "standard that the density of moist air is held against";
    PORTER_1987 = "Porter et al. 1987", Read,
        "Porter, C. B., Krom, M. D., Robbins, M. G., Brickell, L. & Davidson, A. (1987). Ammonia excretion and total N budget for gilthead seabream (Sparus aurata) and its effect on water quality conditions. Aquaculture 66, 287-297.",
        "ammonia after a meal over the mean of the day, our quotient of the abstract's numbers; authors, volume and pages from memory";
    PROCESS_HEATING_FAN_LAWS = "Process Heating, fan laws", Read,
        "Process Heating (trade journal). Fan laws and formulas.",
        "pressure and power of a dynamic blower with density and speed";
    RASMUSSEN_WILLIAMS_2006 = "Rasmussen & Williams 2006", Memory,
        "Rasmussen C E, Williams C K I (2006). Gaussian Processes for Machine Learning. MIT Press, Cambridge, Massachusetts.",
        "a Gaussian process given points (ch. 2), and with one of them left out (eq. 5.12)";
    REINEMANN_1990 = "Reinemann et al. 1990", Read,
        "Reinemann, D. J., Parlange, J. Y. & Timmons, M. B. (1990). Theory of small-diameter airlift pumps. Int. J. Multiphase Flow 16, 113-122.",
        "void fraction in small bores";
    RENNELS_HUDSON_2012 = "Rennels & Hudson 2012", Read,
        "Rennels, D. C. & Hudson, H. M. (2012). Pipe flow: a practical and comprehensive guide. Wiley.",
        "loss coefficients of bends, and spread of the entrance losses";
    SAINT_VENANT_WANTZEL_1839 = "Saint-Venant & Wantzel 1839", Memory,
        "de Saint-Venant, B. & Wantzel, L. (1839). Memoire et experiences sur l'ecoulement de l'air. J. Ecole Polytechnique 16(27), 85-122.",
        "flow of air through drilled holes, choked or not";
    SAUNDERS_1990 = "Saunders 1990", Memory,
        "Saunders, P. M. (1990). The international temperature scale of 1990, ITS-90. WOCE Newsletter 10, 10.",
        "temperature scale of EOS-80";
    SHARQAWY_2010 = "Sharqawy et al. 2010", Read,
        "Sharqawy, M. H., Lienhard V, J. H. & Zubair, S. M. (2010). Thermophysical properties of seawater: a review of existing correlations and data. Desalination Water Treat. 16, 354-380.",
        "viscosity and vapour pressure of seawater";
    SMITH_1969 = "Smith 1969", Read,
        "Smith, S. L. (1969). Void fractions in two-phase flow: a correlation based upon an equal velocity head model. Proc. Inst. Mech. Eng. 184(1), 647-664.",
        "slip ratio of the closure for low submergence ratios; read in the open transcription of fluids 1.3.1";
    SMITH_COMBINATION = "own combination, Smith with drift", Own,
        "Combination of this project: slip ratio of Smith (1969) as a distribution parameter, drift velocity of Bhagwat & Ghajar (2014) times (1 - void fraction)^1.5.",
        "void fraction at submergence ratios below 0.4";
    STARRY_FLOUNDER_OXYGEN = "Starry flounder, oxygen by day and night", Read,
        "Diel rhythm of oxygen consumption of the starry flounder Platichthys stellatus. Abstract; authors, year and journal not seen.",
        "oxygen that a nocturnal flatfish takes in the dark and in the light, at 15 degC";
    STENNING_MARTIN_1968 = "Stenning & Martin 1968", Memory,
        "Stenning, A. H. & Martin, C. B. (1968). An analytical and experimental study of air-lift pump performance. J. Eng. Power 90(2), 106-110.",
        "a riser behind the developing length; second hand, its points are not held";
    TAITEL_1980 = "Taitel et al. 1980", Memory,
        "Taitel, Y., Barnea, D. & Dukler, A. E. (1980). Modelling flow pattern transitions for steady upward gas-liquid flow in vertical tubes. AIChE J. 26(3), 345-354.",
        "flow pattern boundaries";
    TIMMONS_EBELING = "Timmons & Ebeling", Memory,
        "Timmons, M. B. & Ebeling, J. M. Recirculating Aquaculture. Cayuga Aqua Ventures, Ithaca.",
        "oxygen, ammonia and solids for the feed; limits for animals; balances, which lecture notes of the first author also have (read)";
    UNESCO_1983 = "UNESCO 1983", Read,
        "Fofonoff, N. P. & Millard, R. C. (1983). Algorithms for computation of fundamental properties of seawater. UNESCO Technical Papers in Marine Science 44.",
        "density of seawater (EOS-80)";
    USGS_2011_03 = "USGS 2011.03", Read,
        "U.S. Geological Survey (2011). Change to solubility equations for oxygen in water. Office of Water Quality Technical Memorandum 2011.03.",
        "oxygen in water against pressure; read in open transcriptions";
    US_GAS_INDUSTRY = "US gas industry", Memory,
        "Practice of the US gas industry: standard cubic foot at 60 degF and 14.696 psia, dry.",
        "reference state of the US standard cubic foot at 60 degF";
    US_STANDARD_ATMOSPHERE_1976 = "US Standard Atmosphere 1976", Read,
        "NOAA, NASA & USAF (1976). U.S. Standard Atmosphere, 1976. NOAA-S/T 76-1562, Washington.",
        "viscosity of air";
    WAC_173_201A = "WAC 173-201A-200", Read,
        "Washington Administrative Code, chapter 173-201A, Water quality standards for surface waters of the State of Washington, section 173-201A-200, Fresh water designated uses and criteria, (1)(f).",
        "limit of total gas pressure in fresh water, 110 % at any point of sample collection";
    WALLIS_1969 = "Wallis 1969", Read,
        "Wallis, G. B. (1969). One-dimensional Two-phase Flow. McGraw-Hill, New York.",
        "homogeneous friction";
    WEISS_1974 = "Weiss 1974", Read,
        "Weiss, R. F. (1974). Carbon dioxide in water and seawater: the solubility of a non-ideal gas. Mar. Chem. 2, 203-215.",
        "carbon dioxide in water; read in open transcriptions";
    WEISS_PRICE_1980 = "Weiss & Price 1980", Read,
        "Weiss, R. F. & Price, B. A. (1980). Nitrous oxide solubility in water and seawater. Mar. Chem. 8, 347-359.",
        "vapour pressure over fresh and salt water, eq. (10), in gas equilibria; read in open transcriptions";
    WIESER_BERGLUND_2009 = "Wieser & Berglund 2009", Memory,
        "Wieser, M. E. & Berglund, M. (2009). Atomic weights of the elements 2007 (IUPAC technical report). Pure Appl. Chem. 81, 2131-2156.",
        "molar masses of the gases";
    ZHU_CHEN_1999 = "Zhu & Chen 1999", Memory,
        "Zhu, S. & Chen, S. (1999). An experimental study on nitrification biofilm performances using a series reactor system. Aquac. Eng. 20, 245-259.",
        "Monod form of a filter's rate";
}

#[cfg(test)]
mod tests {
    use super::NAMES;

    #[test]
    fn in_order_of_the_names() {
        for pair in NAMES.windows(2) {
            assert!(pair[0] < pair[1], "{} before {}", pair[0], pair[1]);
        }
    }
}
