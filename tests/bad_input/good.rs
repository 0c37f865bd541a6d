//! Design files in which nothing is wrong, with every key that there is, and what each key takes.

/// What a key takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Takes {
    /// A number with a unit, such as this one.
    Unit(&'static str),
    Number,
    /// A number of bores, or a length.
    Bores,
    Count,
    Text,
    Texts,
    /// A reference state of air.
    State,
}
use Takes::{Bores, Count, Number, State, Text, Texts, Unit};

/// A key: section, name, a good value, what it takes, whether -1 and 0 of its unit are legal.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    pub section: &'static str,
    pub name: &'static str,
    pub value: &'static str,
    pub takes: Takes,
    pub negative: bool,
    pub zero: bool,
}

const fn key(
    section: &'static str,
    name: &'static str,
    value: &'static str,
    takes: Takes,
    legal: &str,
) -> Key {
    let legal = legal.as_bytes();
    Key {
        section,
        name,
        value,
        takes,
        negative: legal[0] == b'-',
        zero: legal[1] == b'0',
    }
}

/// A good file as its keys, section by section.
#[derive(Debug, Clone)]
pub struct Good {
    pub name: &'static str,
    pub keys: Vec<Key>,
}

impl Good {
    /// The text of the file.
    pub fn text(&self) -> String {
        self.with(|key| Some(format!("{} = {}", key.name, key.value)))
    }

    /// The same, each key written by a function; none leaves it out.
    pub fn with(&self, write: impl Fn(&Key) -> Option<String>) -> String {
        let mut text = String::new();
        let mut section = "";
        for key in &self.keys {
            if key.section != section {
                section = key.section;
                text.extend(["[", section, "]\n"]);
            }
            text.extend(write(key).map(|line| line + "\n"));
        }
        text
    }

    /// The line of a key, counted from 1.
    pub fn line(&self, wanted: &Key) -> usize {
        let start = format!("{} = ", wanted.name);
        let text = self.text();
        let mut lines = text
            .lines()
            .enumerate()
            .skip_while(|(_, line)| *line != format!("[{}]", wanted.section));
        1 + lines.find(|(_, line)| line.starts_with(&start)).unwrap().0
    }
}

/// In all files.
const SHARED: [Key; 43] = [
    key("duty", "water_flow", "\"120 L/min\"", Unit("L/min"), "  "),
    key("duty", "lift", "\"0.15 m\"", Unit("m"), "-0"),
    key("duty", "objective", "\"air_power\"", Text, "  "),
    key(
        "limits",
        "standards",
        "[\"ASTM D1785 Sch 40\"]",
        Texts,
        "  ",
    ),
    key(
        "limits",
        "pipes",
        "[\"EN ISO 1452-2 PN10 DN 90\"]",
        Texts,
        "  ",
    ),
    key("limits", "min_submergence", "\"1.1 m\"", Unit("m"), "  "),
    key("limits", "max_submergence", "\"1.4 m\"", Unit("m"), "  "),
    key("limits", "submergence_step", "\"0.2 m\"", Unit("m"), "  "),
    key("limits", "max_lifts", "2", Count, "  "),
    key(
        "limits",
        "max_air_pressure",
        "\"18 kPa\"",
        Unit("kPa"),
        "  ",
    ),
    key("limits", "max_total_gas_pressure", "1.3", Number, "  "),
    key("limits", "peak_reserve", "0.1", Number, " 0"),
    key("limits", "fouling", "\"3 mm\"", Unit("mm"), " 0"),
    key("tank", "level_fall", "\"50 mm\"", Unit("mm"), " 0"),
    key("tank", "level_rise", "\"50 mm\"", Unit("mm"), " 0"),
    key(
        "gas",
        "transfer_coefficient",
        "\"0.02 1/s\"",
        Unit("1/s"),
        " 0",
    ),
    key(
        "gas",
        "transfer_temperature",
        "\"20 degC\"",
        Unit("degC"),
        " 0",
    ),
    key("gas", "diffusion_exponent", "0.6", Number, "  "),
    key("gas", "oxygen", "\"5 mg/L\"", Unit("mg/L"), " 0"),
    key("gas", "carbon_dioxide", "\"12 mg/L\"", Unit("mg/L"), " 0"),
    key("gas", "nitrogen", "\"17 mg/L\"", Unit("mg/L"), " 0"),
    key("gas", "argon", "\"0.6 mg/L\"", Unit("mg/L"), " 0"),
    key("gas", "carbon_dioxide_of_air", "\"900 ppm\"", Number, " 0"),
    key("gas", "total_gas_pressure_limit", "1.05", Number, "  "),
    // What to try on a bench is tried in `trial`; a difference of temperatures may be in degC too.
    key("trial", "container_reading", "\"0.1 L\"", Unit("L"), " 0"),
    key("trial", "container_calibration", "0.0025", Number, " 0"),
    key("trial", "bottle_reading", "\"20 mL\"", Unit("mL"), " 0"),
    key("trial", "bottle_calibration", "0.005", Number, " 0"),
    key("trial", "balance", "\"20 g\"", Unit("g"), " 0"),
    key("trial", "water_density", "0.0005", Number, " 0"),
    key("trial", "start_reaction", "\"0.1 s\"", Unit("s"), " 0"),
    key("trial", "stop_reaction", "\"0.1 s\"", Unit("s"), " 0"),
    key("trial", "systematic_reaction", "0.5", Number, " 0"),
    key("trial", "watch_step", "\"0.01 s\"", Unit("s"), " 0"),
    key("trial", "shared_timing", "1", Number, " 0"),
    key("trial", "level", "\"2 mm\"", Unit("mm"), " 0"),
    key("trial", "barometer", "\"0.1 kPa\"", Unit("kPa"), " 0"),
    key("trial", "air_meter", "0.04", Number, " 0"),
    key("trial", "tape", "\"2 mm\"", Unit("mm"), " 0"),
    key("trial", "wanted", "0.02", Number, "  "),
    key("trial", "pulsation", "0.01", Number, " 0"),
    key("trial", "wanted_width", "0.1", Number, "  "),
    key("trial", "tank_area", "\"0.5 m2\"", Unit("m2"), "  "),
];

const RISER: [Key; 11] = [
    key("riser", "submergence", "\"1.2 m\"", Unit("m"), "  "),
    key("riser", "lift", "\"0.15 m\"", Unit("m"), "-0"),
    key("riser", "roughness", "\"1.5 um\"", Unit("mm"), " 0"),
    key("riser", "lost_bore", "\"1 mm\"", Unit("mm"), " 0"),
    key("riser", "suction_length", "\"0.2 m\"", Unit("m"), " 0"),
    key("riser", "entrance_loss", "0.5", Number, " 0"),
    key("riser", "injector_loss", "0.2", Number, " 0"),
    key("riser", "injector", "\"drilled_ring\"", Text, "  "),
    key("riser", "air_line", "\"12 mm\"", Unit("mm"), "  "),
    key("riser", "outlet_loss", "0.5", Number, " 0"),
    key("model", "slip", "\"bhagwat_ghajar_2014\"", Text, "  "),
];

const MODEL: [Key; 2] = [
    key("model", "friction", "\"homogeneous\"", Text, "  "),
    key("model", "developing_length", "8.0", Bores, " 0"),
];

/// Four files that hold all keys between them: one for each outlet.
pub fn all() -> [Good; 4] {
    let good = |name, own: &[Key]| Good {
        name,
        keys: {
            let mut keys = [own, &SHARED, &RISER, &MODEL].concat();
            // Keys of one section together, in the order of first mention.
            let order: Vec<&str> = keys.iter().map(|key| key.section).collect();
            keys.sort_by_key(|key| order.iter().position(|section| *section == key.section));
            keys
        },
    };
    let temperature = key("water", "temperature", "\"14 degC\"", Unit("degC"), " 0");
    let salinity = key("water", "salinity", "\"5 g/kg\"", Unit("g/kg"), " 0");
    let altitude = key("site", "altitude", "\"240 m\"", Unit("m"), "-0");
    let pressure = key("site", "pressure", "\"98.5 kPa\"", Unit("kPa"), "  ");
    let bore = key("riser", "bore", "\"76.2 mm\"", Unit("mm"), "  ");
    let pipe = key("riser", "pipe", "\"ASTM D1785 Sch 40 3 in\"", Text, "  ");
    let flow = key("air", "flow", "\"120 L/min\"", Unit("L/min"), " 0");
    let table = "{ temperature = \"20 degC\", pressure = \"101.325 kPa\", humidity = 0.5 }";
    let outlet = |name| key("riser", "outlet", name, Text, "  ");
    [
        good(
            "plain",
            &[
                temperature,
                salinity,
                altitude,
                bore,
                outlet("\"plain\""),
                flow,
                key("air", "reference", table, State, "  "),
            ],
        ),
        good(
            "elbow",
            &[
                temperature,
                pressure,
                pipe,
                outlet("\"elbow\""),
                key("riser", "outlet_bore", "\"80 mm\"", Unit("mm"), "  "),
                key("riser", "outlet_brink", "\"clear_water\"", Text, "  "),
                key("air", "mass_flow", "\"8 kg/h\"", Unit("kg/s"), " 0"),
            ],
        ),
        good(
            "submerged",
            &[
                // Below 0 degC is legal for given properties, but not with a coefficient in [gas].
                temperature,
                salinity,
                key("water", "density", "\"999 kg/m3\"", Unit("kg/m3"), "  "),
                key("water", "viscosity", "\"1.2 mPa s\"", Unit("mPa s"), "  "),
                key(
                    "water",
                    "surface_tension",
                    "\"73 mN/m\"",
                    Unit("mN/m"),
                    "  ",
                ),
                key("water", "vapour_pressure", "\"1.6 kPa\"", Unit("kPa"), " 0"),
                bore,
                outlet("\"submerged\""),
                key("riser", "outlet_depth", "\"50 mm\"", Unit("mm"), " 0"),
                flow,
                key("air", "reference", "\"normal_din_1343\"", State, "  "),
            ],
        ),
        good(
            "open_top",
            &[
                temperature,
                bore,
                outlet("\"open_top\""),
                key("riser", "outlet_head", "\"10 mm\"", Unit("mm"), " 0"),
                flow,
                key("air", "reference", "\"normal_din_1343\"", State, "  "),
            ],
        ),
    ]
}
