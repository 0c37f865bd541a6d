//! A plan as a sheet to fill in.

use std::fmt::Write;

use super::plan::{FEWEST_REPEATS, Plan, PlanFlag};
use super::vessels::AirGauge;
use crate::units::{
    Time, Volume, degree_celsius, kilopascal, liter, liter_per_minute, meter, per_mille, second,
};

impl Plan {
    /// A sheet with a row for each run that should pump, with blank cells for the readings.
    ///
    /// Filled in, it is a sheet that [`parse_runs`](super::parse_runs) reads. What is planned and
    /// predicted stands in columns of its own, which are not read; runs without water are remarks
    /// above the header.
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::design::DesignFile;
    /// use risewater::trial::DEMO_RIG;
    ///
    /// let sheet = DesignFile::parse(DEMO_RIG)?.bench()?.plan()?.blank_sheet();
    /// assert!(sheet.contains("run,configuration,submergence_m,lift_m,planned_air_L_per_min"));
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn blank_sheet(&self) -> String {
        let dry = |run: &&super::PlannedRun| run.flags.contains(&PlanFlag::NoWater);
        let mut text = String::from(
            "# To fill in at the bench. Planned air is dry, at 20 degC and 101.325 kPa; planned and predicted columns are\n# not read. Take a column for each repeat, as many as you need; delete rows that were not run; where no water\n# came, write \"no flow\" for the first time.\n",
        );
        for run in self.runs.iter().filter(dry) {
            // Writing to a string cannot fail.
            let _ = writeln!(
                text,
                "# {}: no water predicted at submergence {} m; lift {} m; air {:.2} L/min",
                run.label,
                rounded(run.submergence.get::<meter>()),
                rounded(run.lift.get::<meter>()),
                run.air.volume_rate_at_20_c().get::<liter_per_minute>(),
            );
        }
        let most = |repeats: Option<usize>| repeats.unwrap_or(FEWEST_REPEATS);
        let efforts = self.runs.iter().filter_map(|run| run.effort);
        let water_times = efforts
            .map(|effort| most(effort.repeats))
            .max()
            .unwrap_or(FEWEST_REPEATS);
        let times = |fluid: &str, n: usize| -> String {
            (1..=n).map(|k| format!(",{fluid}_time_{k}_s")).collect()
        };
        let gauges = || self.runs.iter().filter_map(|run| run.air_gauge);
        let bottles = gauges().any(|gauge| gauge.bottle().is_some());
        let meters = gauges().any(|gauge| gauge.full_scale().is_some());
        let air_columns = [
            (meters, ",air_flow_L_per_min,air_reference".to_owned()),
            (
                bottles,
                format!(
                    ",air_volume_L{},bottle_level_mm",
                    times("air", FEWEST_REPEATS)
                ),
            ),
        ];
        let air_columns = air_columns.into_iter().filter(|(there, _)| *there);
        let air_columns: String = air_columns.map(|(_, names)| names).collect();
        let salt = self.bench.site.water.salinity().get::<per_mille>();
        let _ = writeln!(
            text,
            "run,configuration,submergence_m,lift_m,planned_air_L_per_min,predicted_water_L_per_min,predicted_fill_s,water_volume_L{}{air_columns},air_temperature_degC,water_temperature_degC,barometer_kPa{},note",
            times("water", water_times),
            if salt > 0.0 { ",salinity_g_per_kg" } else { "" },
        );
        let seconds = |time: Option<Time>| time.map_or(0.0, |t| t.get::<second>());
        for run in self.runs.iter().filter(|run| !dry(run)) {
            let flags: Vec<String> = run.flags.iter().map(ToString::to_string).collect();
            let bottle = run.air_gauge.and_then(AirGauge::bottle);
            let cells = [
                (meters, ",,".to_owned()),
                (
                    bottles,
                    format!(",{}{},", litres(bottle), ",".repeat(FEWEST_REPEATS)),
                ),
            ];
            let air: String = cells
                .into_iter()
                .filter(|(there, _)| *there)
                .map(|(_, cells)| cells)
                .collect();
            let salinity = if salt > 0.0 {
                format!(",{}", rounded(salt))
            } else {
                String::new()
            };
            let _ = writeln!(
                text,
                "{},,{},{},{:.2},{:.2},{:.1},{}{}{air},,{},{}{salinity},{}",
                run.label,
                rounded(run.submergence.get::<meter>()),
                rounded(run.lift.get::<meter>()),
                run.air.volume_rate_at_20_c().get::<liter_per_minute>(),
                run.water_flow.get::<liter_per_minute>(),
                seconds(run.fill_time),
                litres(run.container),
                ",".repeat(water_times),
                rounded(self.bench.site.water.temperature().get::<degree_celsius>()),
                rounded(self.bench.site.atmosphere.get::<kilopascal>()),
                flags.join("; "),
            );
        }
        text
    }
}

/// A volume, or a blank cell.
fn litres(volume: Option<Volume>) -> String {
    volume.map_or_else(String::new, |volume| {
        rounded(volume.get::<liter>()).to_string()
    })
}

/// Without the noise of binary fractions.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
