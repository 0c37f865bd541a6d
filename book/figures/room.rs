//! The figure of the worked case of a whole room.

use std::error::Error;

use risewater::chart::PressureFigure;
use risewater::design::DesignFile;

const ROOM: &str = include_str!("../src/case-whole-room.in/room.toml");
const BLOWER: &str = include_str!("../src/case-whole-room.in/large.csv");

/// What the room's lifts need and what its larger blower gives: `risewater supply room.toml --svg FILE`.
pub fn pressure() -> Result<String, Box<dyn Error>> {
    let supply = DesignFile::parse(ROOM)?
        .with_blower_table(BLOWER)
        .supply()?;
    let figure = PressureFigure::of(&supply.plant, &supply.solve()?)?;
    Ok(figure.chart().svg()?)
}
