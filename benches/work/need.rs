//! A cycle of production.

use risewater::need::{
    Animals, Cycle, CycleRow, Date, Entering, EnteringOxygen, Feed, Limits, Tank, TankWater,
};
use risewater::units::{
    AbsolutePressure, Frequency, Mass, Ratio, ThermodynamicTemperature, Volume, cubic_meter,
    degree_celsius, kilogram, per_day, per_hour, per_mille, percent, ratio,
};

/// Five years, a row each month: crops of a year that grow from 100 to 1200 kg, water of 16 to 28 °C, and
/// every limit.
pub fn five_years() -> Cycle {
    let animals = Animals {
        biomass: Mass::new::<kilogram>(0.0),
        feed: Feed::Share(Frequency::new::<per_day>(0.0)),
        protein: Ratio::new::<percent>(42.0),
    };
    let water = TankWater {
        temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
        salinity: Ratio::new::<per_mille>(0.2),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        ph: Ratio::new::<ratio>(7.2),
    };
    let mut tank = Tank::new(animals, water, Limits::WARM_WATER);
    tank.limits.turnover = Some(Frequency::new::<per_hour>(1.0));
    tank.volume = Some(Volume::new::<cubic_meter>(20.0));
    tank.inlet.oxygen = EnteringOxygen::Reaerated(Ratio::new::<ratio>(0.6));
    tank.inlet.tan = Entering::Treated(Ratio::new::<ratio>(0.5));
    tank.inlet.carbon_dioxide = Entering::Treated(Ratio::new::<ratio>(0.5));
    let mut rows = Vec::new();
    for year in 2026..2031 {
        for month in 1..=12_i8 {
            let season = f64::from(month - 1) / 12.0 * std::f64::consts::TAU;
            rows.push(CycleRow::new(
                Date::constant(year, month, 1),
                Mass::new::<kilogram>(100.0 * f64::from(month)),
                Feed::Share(Frequency::new::<per_day>(0.02)),
                ThermodynamicTemperature::new::<degree_celsius>(22.0 - 6.0 * season.cos()),
            ));
        }
    }
    let last = CycleRow {
        date: Date::constant(2030, 12, 31),
        ..rows[rows.len() - 1]
    };
    rows.push(last);
    Cycle::new(tank, &rows).unwrap()
}
