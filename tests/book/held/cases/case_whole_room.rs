use risewater::answer::SupplyAnswer;
use risewater::gas::{Conditions, Gas, saturation};
use risewater::units::{UnitSystem, kilowatt_hour, milligram_per_liter, percent};

use super::*;

const TOML: &str = "case-whole-room.in/room.toml";
/// Milligrams a minute for a kilogram a day.
const A_DAY: f64 = 1e6 / 1440.0;
/// Oxygen and carbon dioxide in water saturated with air, mg/L.
const OXYGEN: f64 = 7.878;
const CARBON_DIOXIDE: f64 = 0.574;
/// Air by the library, L/min; rise in kPa; pressure behind the intake filter over the tables'.
const AIR: f64 = 505.7;
const RISE: f64 = 12.27;
const BEHIND: f64 = 98.17;
/// One of sixteen lifts.
const ONE: Column = Column {
    bore: 0.051_99,
    submergence: 1.0,
    lift: 0.15,
    l_min: 74.76,
    density: 996.8,
    viscosity: 0.000_870,
    atmosphere_kpa: 98.47,
    vapour_kpa: 3.36,
    kelvin: 299.15,
    developing: 0.2,
};

fn table(name: &str) -> String {
    file(&format!("case-whole-room.in/{name}.csv"))
}

fn supply(blower: &str, changes: &[&str]) -> risewater::supply::Supply {
    let changes: Vec<String> = changes.iter().map(|change| (*change).to_owned()).collect();
    design(&file(TOML), &changes)
        .with_blower_table(table(blower))
        .supply()
        .unwrap()
}

/// What the tool says of the room with the larger blower.
fn told() -> String {
    let design = design(&file(TOML), &[]).with_blower_table(table("large"));
    let supply = design.supply().unwrap();
    let solved = supply.solve().unwrap();
    let problem = design.supply_problem().unwrap();
    let terms = design.supply_terms(problem.as_ref(), None).unwrap();
    let answer = SupplyAnswer::of(&supply, &solved, &terms).unwrap();
    answer.full_text(UnitSystem::Metric)
}

#[test]
fn givens_are_the_files() {
    let text = file(TOML);
    let value = |key: &str| said(&text, key).replace("%/d", "%").replace("m3", "m³");
    assert_eq!(
        format!(
            "animals | {} of a warm-water fish in {}, on",
            value("biomass"),
            value("volume")
        ),
        "animals | 400 kg of a warm-water fish in 10 m³, on"
    );
    assert_eq!(
        format!(
            "feed | {} of their mass a day; protein {}",
            value("feed_rate"),
            value("protein")
        ),
        "feed | 1.8 % of their mass a day; protein 40 %"
    );
    assert_eq!(
        format!(
            "water | {}, fresh, pH {}; the site {} above",
            value("temperature"),
            value("ph"),
            value("altitude")
        ),
        "water | 26 °C, fresh, pH 7.2; the site 240 m above"
    );
    assert_eq!(
        format!("saturated to {} with oxygen", value("entering_saturation")),
        "saturated to 90 % with oxygen"
    );
    assert_eq!(
        format!("off ammonia, {} | basin", value("tan_removal")),
        "off ammonia, 40 % | basin"
    );
    assert_eq!(
        format!(
            "lift | {}; room for {} lifts; The wall has room for {}, and",
            value("lift"),
            value("max_lifts"),
            value("max_lifts")
        ),
        "lift | 0.15 m; room for 16 lifts; The wall has room for 16, and"
    );
    assert_eq!(
        format!(
            "pressure up to {}, so; hatchery allows {}: $$",
            value("max_total_gas_pressure"),
            value("max_total_gas_pressure")
        ),
        "pressure up to 105 %, so; hatchery allows 105 %: $$"
    );
    let pipes: Vec<&str> = text
        .lines()
        .filter_map(|line| {
            line.trim()
                .strip_prefix("\"ASTM D1785 Sch 40 ")?
                .split(' ')
                .next()
        })
        .collect();
    assert_eq!(
        format!(
            "pipe | {} to {} in, which",
            pipes[0],
            pipes[pipes.len() - 1]
        ),
        "pipe | 1 to 2 in, which"
    );
    assert_eq!(
        format!("lift stays {} below", value("peak_reserve")),
        "lift stays 30 % below"
    );
    assert_eq!(
        format!("price | {} {} for", value("price"), value("currency")),
        "price | 0.25 EUR for"
    );
    let design = design(&text, &[]);
    ONE.is_of(&design.site().unwrap());
    assert_eq!(
        ONE.constants(),
        [
            "density of the water, rho | 996.8 kg/m³",
            "viscosity, mu | 0.000870 Pa s",
            "vapour pressure, p_v | 3.36 kPa",
            "temperature, T | 299.15 K",
            "atmosphere, p_a | 98.47 kPa",
            "fall, g | 9.807 m/s²",
            "dry, at | 293.15 K and 101.325 kPa",
        ]
    );
    let rearing = design.rearing().unwrap();
    for number in [0.092, 1.375] {
        assert!(
            rearing
                .defaults
                .iter()
                .any(|default| format!("{default:?}").contains(&number.to_string()))
        );
    }
    let site = design.site().unwrap();
    let conditions = Conditions::of(&site.water, site.atmosphere);
    let held = |gas| {
        saturation(gas, &conditions)
            .unwrap()
            .get::<milligram_per_liter>()
    };
    let (oxygen, carbon) = (held(Gas::Oxygen), held(Gas::CarbonDioxide));
    assert_eq!(
        format!("saturated with air | {oxygen:.3} mg/L, {carbon:.3} mg/L | least"),
        "saturated with air | 7.878 mg/L, 0.574 mg/L | least"
    );
    let limits = [5.0, 2.0, 20.0];
    assert_eq!(
        format!(
            "most carbon dioxide | {} mg/L; {} mg/L; {} mg/L Step",
            limits[0], limits[1], limits[2]
        )
        .replace("Step", "div"),
        "most carbon dioxide | 5 mg/L; 2 mg/L; 20 mg/L div"
    );
}

#[test]
fn from_feed_to_water() {
    let (animals, share, protein, per_protein, per_oxygen): (f64, f64, f64, f64, f64) =
        (400.0, 0.018, 0.40, 0.092, 1.375);
    let feed = animals * share;
    let oxygen = 0.5 * feed;
    let (tan, carbon) = (per_protein * protein * feed, per_oxygen * oxygen);
    assert_eq!(
        format!("protein, {per_protein} is. oxygen, {per_oxygen} kg of"),
        "protein, 0.092 is. oxygen, 1.375 kg of"
    );
    assert_eq!(
        format!(
            "feed | {animals} cdot {share} | {feed:.1} | oxygen used | {} cdot {feed:.1} | {oxygen:.1} | TAN",
            oxygen / feed
        ),
        "feed | 400 cdot 0.018 | 7.2 | oxygen used | 0.5 cdot 7.2 | 3.6 | TAN"
    );
    assert_eq!(
        format!("off | {per_protein} cdot {protein:.2} cdot {feed:.1} | {tan:.3} | carbon"),
        "off | 0.092 cdot 0.40 cdot 7.2 | 0.265 | carbon"
    );
    assert_eq!(
        format!("off | {per_oxygen} cdot {oxygen:.1} | {carbon:.2} | Each"),
        "off | 1.375 cdot 3.6 | 4.95 | Each"
    );
    assert_eq!(
        format!("a day is {A_DAY:.1} mg a minute: $$ Q = frac {A_DAY:.1} mathrm mg/min"),
        "a day is 694.4 mg a minute: $$ Q = frac 694.4 mathrm mg/min"
    );
    let (saturated, least, removed, most, stripped, carbon_most) = (0.9, 5.0, 0.4, 2.0, 0.5, 20.0);
    let changes = [
        saturated * OXYGEN - least,
        removed * most,
        stripped * (carbon_most - CARBON_DIOXIDE),
    ];
    let flow = |load: f64, n: usize| format!("{:.0}", A_DAY * load / changes[n]);
    assert_eq!(
        format!(
            "oxygen | {saturated} cdot {OXYGEN} - {least} = {:.3} | {} | ammonia",
            changes[0],
            flow(oxygen, 0)
        ),
        "oxygen | 0.9 cdot 7.878 - 5 = 2.090 | 1196 | ammonia"
    );
    assert_eq!(
        format!(
            "ammonia | {removed} cdot {most} = {} | {} | carbon",
            changes[1],
            flow(tan, 1)
        ),
        "ammonia | 0.4 cdot 2 = 0.8 | 230 | carbon"
    );
    assert_eq!(
        format!(
            "dioxide | {stripped} cdot ({carbon_most} - {CARBON_DIOXIDE}) = {:.3} | {} | turnover",
            changes[2],
            flow(carbon, 2)
        ),
        "dioxide | 0.5 cdot (20 - 0.574) = 9.713 | 354 | turnover"
    );
    let hourly = 10.0 * 1e3 / 60.0;
    assert_eq!(
        format!(
            "once an hour | | {hourly:.0} | Oxygen governs by far: **{} L/min**",
            flow(oxygen, 0)
        ),
        "once an hour | | 167 | Oxygen governs by far: **1196 L/min**"
    );
    let need = design(&file(TOML), &[]).problem().unwrap().duty.water_flow;
    assert_eq!(format!("{:.0}", l_min(need)), flow(oxygen, 0));
    let sold = 300.0;
    let fewer = A_DAY * oxygen * sold / animals / changes[0];
    assert_eq!(format!("leaves {sold} kg. How"), "leaves 300 kg. How");
    assert_eq!(
        format!(
            "governs, with {fewer:.0} L/min. Each lift gives {:.1} L/min",
            fewer / 16.0
        ),
        "governs, with 897 L/min. Each lift gives 56.1 L/min"
    );

    // Oxygen that the lifts bring, and how long it lasts.
    let (water, enters, leaves) = (1196.0, 5.0, 5.462);
    let gain: f64 = leaves - enters;
    let lifts = water * 60.0 * gain / 1e3;
    let used = 1e3 * oxygen / 24.0;
    let basin = water * 60.0 * (saturated * OXYGEN - leaves) / 1e3;
    assert_eq!(
        format!("lift with {enters:.3} mg/L leaves it with {leaves} mg/L. So"),
        "lift with 5.000 mg/L leaves it with 5.462 mg/L. So"
    );
    assert_eq!(
        format!(
            "add {water} cdot {minutes} cdot {gain:.3} mg an hour, or {lifts:.0} g. The animals use {used:.0} g an hour. So **{basin:.0} g** of",
            minutes = 60.0
        ),
        "add 1196 cdot 60 cdot 0.462 mg an hour, or 33 g. The animals use 150 g an hour. So **117 g** of"
    );
    assert_eq!(format!("{:.0}", used - lifts), format!("{basin:.0}"));
    assert_eq!(
        format!("makes the {:.3} mg/L that", saturated * OXYGEN),
        "makes the 7.090 mg/L that"
    );
    let text = file(TOML);
    let coefficient = said(&text, "transfer_coefficient");
    assert_eq!(
        format!(
            "oxygen, {} a second",
            coefficient.split(' ').next().unwrap()
        ),
        "oxygen, 0.1 a second"
    );
    let said = |key: &str| said(&text, key);
    let use_of = said("oxygen_use").replace("mg/(kg h)", "mg");
    assert_eq!(
        format!(
            "stand at {} and use {use_of} of oxygen. water holds {}, and {} is",
            said("density").replace("m3", "m³"),
            said("oxygen"),
            said("oxygen_limit")
        ),
        "stand at 40 kg/m³ and use 375 mg of oxygen. water holds 5 mg/L, and 3 mg/L is",
    );
    let number = |key: &str| said(key).split(' ').next().unwrap().parse::<f64>().unwrap();
    let (density, each) = (number("density"), number("oxygen_use"));
    let (hourly, there) = (
        density * each / 1e3,
        number("oxygen") - number("oxygen_limit"),
    );
    let minutes = 60.0 * there / hourly;
    assert_eq!(
        format!(
            "use {density} cdot {each} mg/(m³ h), which is {hourly} g/(m³ h), and {there} g/m³ are there. That lasts for {minutes:.0} minutes"
        ),
        "use 40 cdot 375 mg/(m³ h), which is 15 g/(m³ h), and 2 g/m³ are there. That lasts for 8 minutes",
    );
    assert!(told().contains(&format!("falls to its limit in {minutes:.0} minutes")));
    assert_eq!(
        format!("limit in {minutes:.0} minutes, so"),
        "limit in 8 minutes, so"
    );
}

#[test]
fn lifts_by_hand() {
    let allowed = 0.05;
    let deepest = 2.0 * allowed * ONE.atmosphere_kpa / (ONE.density * G / 1e3);
    assert_eq!(
        format!(
            "le {:.2} $$ $$ S le frac {two} cdot {allowed} cdot {} mathrm kPa {} cdot {G} mathrm Pa/m = {deepest:.3} mathrm m",
            1.0 + allowed,
            ONE.atmosphere_kpa,
            ONE.density,
            two = 2.0
        ),
        "le 1.05 $$ $$ S le frac 2 cdot 0.05 cdot 98.47 mathrm kPa 996.8 cdot 9.807 mathrm Pa/m = 1.007 mathrm m",
    );
    let problem = design(&file(TOML), &[]).problem().unwrap();
    let best = risewater::sizing::size(&problem).unwrap().designs.remove(0);
    let each = l_min(best.water_flow_total()) / f64::from(best.lifts);
    assert_eq!(
        format!(
            "all that is allowed: {:.1} m. **How",
            best.submergence.get::<meter>()
        ),
        "all that is allowed: 1.0 m. **How"
    );
    assert!((each - ONE.l_min).abs() < 0.005);
    let size = best.pipe.name.rsplit(' ').nth(1).unwrap().to_owned();
    assert_eq!(
        format!(
            "each then gives {each:.2} L/min. Take the {size} in pipe, with a bore D of {:.2} mm and an area of {:.0} mm². The",
            1e3 * ONE.bore,
            1e6 * area(ONE.bore)
        ),
        "each then gives 74.76 L/min. Take the 2 in pipe, with a bore D of 51.99 mm and an area of 2123 mm². The",
    );
    assert_eq!(
        format!("Sixteen lifts of {size} in pipe"),
        "Sixteen lifts of 2 in pipe"
    );
    assert_eq!(
        format!("j_l = Q/A = {:.4} m/s, its", ONE.water()),
        "j_l = Q/A = 0.5869 m/s, its"
    );
    assert_eq!(
        format!(
            "is {:.5} m, the friction factor. mu)^ {}/{} is {:.4}, and the pipe is L = S + H = {:.2} m long. Near",
            ONE.head(),
            1.0,
            4.0,
            ONE.friction(),
            ONE.length()
        ),
        "is 0.01756 m, the friction factor. mu)^ 1/4 is 0.0231, and the pipe is L = S + H = 1.15 m long. Near",
    );
    assert_eq!(
        format!(
            "ell of {} m. This. -L/ ell is {:.3} m. Try",
            ONE.developing,
            ONE.unspread()
        ),
        "ell of 0.2 m. This. -L/ ell is 0.199 m. Try"
    );
    let row = |void| ONE.tried(void);
    assert_eq!(
        row(0.200),
        "| 0.200 | 0.2442 | 0.9200 | 0.0399 | 0.0127 | 0.0351 | 1.0077 |"
    );
    assert_eq!(
        row(0.230),
        "| 0.230 | 0.2934 | 0.8855 | 0.0459 | 0.0135 | 0.0368 | 0.9817 |"
    );
    let third = format!("{:.3}", ONE.third(0.2, 0.23)).parse().unwrap();
    assert_eq!(
        row(third),
        "| 0.209 | 0.2585 | 0.9096 | 0.0417 | 0.0129 | 0.0356 | 0.9999 |"
    );
    assert_eq!(
        format!("rho g S = {:.1} kPa the third", ONE.mean_kpa()),
        "rho g S = 103.4 kPa the third"
    );
    assert_eq!(
        format!(
            "K T = {:.3} j_g A = {:.1} mathrm L/min $$ for",
            ONE.factor(),
            ONE.air(third)
        ),
        "K T = 0.967 j_g A = 31.8 mathrm L/min $$ for"
    );
    let all = l_min(best.air_flow_total_at_20_c());
    assert_eq!(
        format!(
            "says {:.2} L/min, {all:.1} L/min in all",
            all / f64::from(best.lifts)
        ),
        "says 31.61 L/min, 505.7 L/min in all"
    );
    assert_eq!(
        format!("For {all:.1} L/min that. lifts need {all:.1} L/min counted"),
        "For 505.7 L/min that. lifts need 505.7 L/min counted"
    );
    assert!((all - AIR).abs() < 0.05);
    let law = risewater::ErrorLaw::default().on(&best.riser).unwrap();
    let interval = law.predict(best.point.air).unwrap().interval.unwrap();
    let two = |end: VolumeRate| format!("{:.1e}", l_min(end)).parse::<f64>().unwrap();
    let sure = law
        .air_for(of_l_min(each), risewater::uncertainty::Wanted::LowerEnd)
        .unwrap();
    let more = 16.0 * counted(sure.air) - all;
    assert_eq!(
        format!(
            "sure are the {}?** Each gives between {} and {} L/min, four. With {more:.1} L/min of air more",
            best.lifts,
            two(interval.low),
            two(interval.high)
        ),
        "sure are the 16?** Each gives between 46 and 120 L/min, four. With 756.3 L/min of air more",
    );
    let wide = design(
        &file(TOML),
        &["limits.standards=[\"ASTM D1785 Sch 40\"]".to_owned()],
    )
    .problem()
    .unwrap();
    let one = risewater::sizing::size(&wide).unwrap().designs.remove(0);
    assert_eq!(one.lifts, 1);
    let interval = risewater::ErrorLaw::default()
        .on(&one.riser)
        .unwrap()
        .predict(one.point.air)
        .unwrap()
        .interval
        .unwrap();
    assert_eq!(
        format!(
            "lift of {} in pipe would do, with {:.1} L/min of air. lies between {} and {} L/min, four",
            one.pipe.name.rsplit(' ').nth(1).unwrap(),
            l_min(one.air_flow_total_at_20_c()),
            two(interval.low),
            two(interval.high)
        ),
        "lift of 10 in pipe would do, with 456.2 L/min of air. lies between 63 and 3600 L/min, four",
    );

    // The outlet lower.
    let low = Column { lift: 0.10, ..ONE };
    let fall = ONE.lift - low.lift;
    let needed = [0.15, 0.18].map(|void| low.terms(void).needed());
    let third = low.third(0.15, 0.18);
    let all = 16.0 * low.air(third);
    let thin = 0.06 * all * 101.325 / BEHIND;
    assert_eq!(
        format!(
            "basin stands {:.0} mm lower. How. for its {} L/min, by; outlet {:.0} mm lower the",
            1e3 * fall,
            low.l_min,
            1e3 * fall
        ),
        "basin stands 50 mm lower. How. for its 74.76 L/min, by; outlet 50 mm lower the"
    );
    assert_eq!(
        format!(
            "L = {:.2} m. The tries {:.2} and {:.2} need {:.4} and {:.4} m, so the third is {third:.3}. That takes {:.1} L/min of air, {all:.0} L/min for the {}, or {thin:.1} m³/h of. takes in {:.1} m³/h at",
            low.length(),
            0.15,
            0.18,
            needed[0],
            needed[1],
            low.air(third),
            best.lifts,
            small().0
        ),
        "L = 1.10 m. The tries 0.15 and 0.18 need 1.0085 and 0.9836 m, so the third is 0.160. That takes 22.8 L/min of air, 365 L/min for the 16, or 22.6 m³/h of. takes in 29.2 m³/h at",
    );
}

/// Pressure in the tables, kPa.
fn in_table() -> f64 {
    RISE / (BEHIND / 101.325)
}

/// Between two rows of a table: what the blower takes in, m³/h, and its power at the wire, W.
fn between(rows: [[f64; 3]; 2]) -> (f64, f64) {
    let share = (rows[0][0] - in_table()) / (rows[0][0] - rows[1][0]);
    let at = |n: usize| rows[0][n] + share * (rows[1][n] - rows[0][n]);
    (at(1), BEHIND / 101.325 * at(2))
}

fn small() -> (f64, f64) {
    between([[13.0, 28.0, 470.0], [9.1, 42.0, 400.0]])
}

fn large() -> (f64, f64) {
    between([[13.4, 40.0, 620.0], [9.4, 60.0, 530.0]])
}

#[test]
fn power_and_money() {
    for (name, rows) in [
        ("large", ["13.4,40,620", "9.4,60,530"]),
        ("small", ["13.0,28,470", "9.1,42,400"]),
    ] {
        assert!(rows.iter().all(|row| table(name).contains(row)));
    }
    let standing = ONE.density * G * ONE.submergence / 1e3;
    let ideal =
        101.325 * AIR / 60.0 * (ONE.kelvin / 293.15) * (1.0 + standing / ONE.atmosphere_kpa).ln();
    assert_eq!(
        format!("is **{ideal:.0} W in the air**"),
        "is **82 W in the air**"
    );
    let filter = said(&file(TOML), "intake_loss");
    let thinner = BEHIND / 101.325;
    assert_eq!(
        format!(
            "rise of {RISE} kPa (by. takes {filter}, the air has {BEHIND} kPa. Its density is {thinner:.4} of that"
        ),
        "rise of 12.27 kPa (by. takes 0.3 kPa, the air has 98.17 kPa. Its density is 0.9689 of that"
    );
    assert_eq!(
        format!(
            "rise at {RISE}/{thinner:.4} = {:.2} kPa in; at {:.2} kPa it takes",
            in_table(),
            in_table()
        ),
        "rise at 12.27/0.9689 = 12.66 kPa in; at 12.66 kPa it takes"
    );
    let row = |name: &str, rows: [[f64; 3]; 2], found: (f64, f64)| {
        let [a, b] = rows.map(|row| format!("{:.1}, {:.0}, {:.0}", row[0], row[1], row[2]));
        format!(
            "{name} | {a}; {b} | {:.1} m³/h | {:.0} W |",
            found.0, found.1
        )
    };
    assert_eq!(
        row("larger", [[13.4, 40.0, 620.0], [9.4, 60.0, 530.0]], large()),
        "larger | 13.4, 40, 620; 9.4, 60, 530 | 43.7 m³/h | 585 W |"
    );
    assert_eq!(
        row(
            "smaller",
            [[13.0, 28.0, 470.0], [9.1, 42.0, 400.0]],
            small()
        ),
        "smaller | 13.0, 28, 470; 9.1, 42, 400 | 29.2 m³/h | 450 W |"
    );
    let wants = 0.06 * AIR / thinner;
    assert_eq!(
        format!(
            "counted, which is {wants:.1} m³/h of the thinner air. The smaller blower falls {:.0} % short",
            100.0 * (1.0 - small().0 / wants)
        ),
        "counted, which is 31.3 m³/h of the thinner air. The smaller blower falls 7 % short"
    );
    // The larger gives two fifths too much.
    assert!((large().0 / wants - 1.4).abs() < 0.01);
    let wire = large().1;
    let year = wire / 1e3 * 8760.0;
    let price: f64 = said(&file(TOML), "price").parse().unwrap();
    assert_eq!(
        format!(
            "takes {year:.0} kWh a year and costs **{:.0} EUR**",
            price * year
        ),
        "takes 5122 kWh a year and costs **1280 EUR**"
    );

    let supply = supply("large", &[]);
    let solved = supply.solve().unwrap();
    assert!((solved.duty.running_rise.get::<kilopascal>() - RISE).abs() < 0.005);
    let energy = solved.energy.unwrap();
    assert_eq!(
        format!(
            "in the air, W | {ideal:.0} | {:.0} |",
            energy.ideal_power.get::<watt>()
        ),
        "in the air, W | 82 | 81 |"
    );
    assert_eq!(
        format!(
            "at the wire, W | {wire:.0} | {:.0} |",
            energy.wire_power.get::<watt>()
        ),
        "at the wire, W | 585 | 582 |"
    );
    assert_eq!(
        format!(
            "a year, kWh | {year:.0} | {:.0} |",
            energy.per_year().get::<kilowatt_hour>()
        ),
        "a year, kWh | 5122 | 5095 |"
    );
    assert_eq!(
        format!(
            "a year, EUR | {:.0} | {:.0} |",
            price * year,
            solved.yearly_cost.unwrap()
        ),
        "a year, EUR | 1280 | 1274 |"
    );
    let told = told();
    let number = |start: &str, word: usize| {
        let line = told
            .lines()
            .find(|line| line.trim_start().starts_with(start))
            .unwrap();
        line.trim_start()[start.len()..]
            .split_whitespace()
            .nth(word)
            .unwrap()
            .to_owned()
    };
    assert_eq!(
        format!("surplus of {} L/min go", number("surplus", 0)),
        "surplus of 190.5 L/min go"
    );
    assert_eq!(
        format!(
            "lifts give {} L/min of water. - Or",
            number("nothing bled", 11)
        ),
        "lifts give 1351 L/min of water. - Or"
    );
    assert_eq!(
        format!("down: {} of the", number("speed", 0)),
        "down: 0.94 of the"
    );
}

#[test]
fn what_would_change_it() {
    let row = |name: &str, changes: &[&str]| {
        let owned: Vec<String> = changes.iter().map(|change| (*change).to_owned()).collect();
        let need = design(&file(TOML), &owned)
            .problem()
            .unwrap()
            .duty
            .water_flow;
        let solve = |blower: &str| supply(blower, changes).solve().unwrap();
        let (larger, smaller) = (solve("large"), solve("small"));
        let air = counted(larger.duty.air);
        let mut row = format!(
            "| {name} | {:.0} | {air:.0} | {:.1} |",
            l_min(need),
            larger.duty.running_rise.get::<kilopascal>()
        );
        for solved in [larger, smaller] {
            let energy = solved.energy.unwrap();
            row += &format!(
                " {:.0} | {:.0} |",
                energy.wire_power.get::<watt>(),
                (energy.water_flow / need).get::<percent>()
            );
        }
        row
    };
    let (lower, strict, loose) = (50.0, 103.5, 107.0);
    assert_eq!(
        row("none", &[]),
        "| none | 1196 | 506 | 12.3 | 582 | 100 | 444 | 96 |"
    );
    assert_eq!(
        row(
            "what enters is saturated",
            &["need.entering_saturation=100 %"]
        ),
        "| what enters is saturated | 869 | 342 | 12.2 | 579 | 100 | 446 | 101 |"
    );
    assert_eq!(
        row("a quarter sold earlier", &["need.biomass=300 kg"]),
        "| a quarter sold earlier | 897 | 354 | 12.2 | 579 | 100 | 446 | 99 |"
    );
    let outlet = format!("duty.lift={} mm", 150.0 - lower);
    assert_eq!(
        row(&format!("outlet {lower} mm lower"), &[&outlet]),
        "| outlet 50 mm lower | 1196 | 362 | 12.1 | 576 | 100 | 444 | 100 |"
    );
    let limit = |most: f64| format!("limits.max_total_gas_pressure={most} %");
    assert_eq!(
        row(&format!("gas limit {strict} %"), &[&limit(strict)]),
        "| gas limit 103.5 % | 1196 | 880 | 10.2 | 534 | 99 | 387 | 83 |"
    );
    assert_eq!(
        row(&format!("gas limit {loose} %"), &[&limit(loose)]),
        "| gas limit 107 % | 1196 | 332 | 16.0 | 687 | 100 | 506 | 85 |"
    );
}
