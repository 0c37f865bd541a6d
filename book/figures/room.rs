//! The figures of the worked cases of a whole room and of a nursery.

use risewater::chart::{DayFigure, PressureFigure};
use risewater::design::DesignFile;
use risewater::units::UnitSystem;

use super::{Drawn, Picture};

const ROOM: &str = include_str!("../src/case-whole-room.in/room.toml");
const BLOWER: &str = include_str!("../src/case-whole-room.in/large.csv");
const AUGUST: &str = include_str!("../src/case-nursery.in/august.toml");

/// What the room's lifts need and what its larger blower gives: `risewater supply room.toml --svg FILE`.
pub fn pressure() -> Drawn {
    let supply = DesignFile::parse(ROOM)?
        .with_blower_table(BLOWER)
        .supply()?;
    let figure = PressureFigure::of(&supply.plant, &supply.solve()?)?;
    Picture::of(&figure.chart())
}

/// A day of the nursery with a bad afternoon: `risewater loop august.toml --set loop.lifts=12 --svg FILE`.
pub fn nursery() -> Drawn {
    let asked = DesignFile::parse_with(AUGUST, &["loop.lifts=12".to_owned()])?.water_loop()?;
    let outcome = asked.water.day(&asked.day)?;
    let day = outcome.day().ok_or("the nursery does not balance")?;
    let figure = DayFigure::of(&asked.water, day, &asked.day, UnitSystem::Metric)?;
    Ok(Picture {
        wide: figure.svg()?,
        narrow: Some(figure.narrow_svg()?),
    })
}
