//! A blower at another speed, and the speed through a duty point.

use super::rating::Machine;
use super::site::SiteCurve;
use crate::air::AirFlow;
use crate::error::{BlowerError, Error, Input, Solve, range};
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::supply::PRESSURE_RISE;
use crate::units::{Pressure, Ratio, base, kilopascal, pascal, ratio};

range!(SPEED_RATIO, 0.1 to 2, "Speeds over that of the table. The machine's own limits are narrower.");

/// Residual at an end of the table that is rounding, relative to the highest pressure.
const ROUNDING: f64 = 1e-12;

/// Turning a blower up and down.
impl SiteCurve {
    /// The same blower at another speed, as a ratio to the speed of this curve.
    ///
    /// ```text
    /// dynamic                 Q ∝ n    Δp ∝ n²      P ∝ n³
    /// positive displacement   Q ∝ n    Δp the same  P ∝ n
    /// ```
    ///
    /// # Validity
    /// Common practice within some tens of per cent of the rated speed. Leakage in a displacement
    /// machine stays as it is when the speed falls, so that its flow falls faster than this; the
    /// losses of motor and drive do not fall with n either, so that power at the wire is too low at
    /// low speed. The machine's smallest speed is the maker's to say.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`SPEED_RATIO`], [`Error::NotFinite`].
    ///
    /// # References
    /// Dynamic: [Process Heating, fan laws](crate::references::PROCESS_HEATING_FAN_LAWS), "when fan
    /// speed is varied". Displacement: [ISO 1217](crate::references::ISO_1217), from memory.
    pub fn at_speed(&self, speed: Ratio) -> Result<Self, Error> {
        let n = SPEED_RATIO.check(Input::SpeedRatio, speed.get::<ratio>())?;
        match self.machine() {
            Machine::Dynamic => self.scaled(n, n * n, n * n * n),
            Machine::PositiveDisplacement => self.scaled(n, 1.0, n),
        }
    }

    /// The speed, as a ratio to that of this curve, at which the curve passes through a duty point.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] when the speed lies outside [`SPEED_RATIO`] or the pressure outside
    /// [`PRESSURE_RISE`](crate::supply::PRESSURE_RISE); [`Error::Blower`] with
    /// [`BlowerError::SpeedOutOfReach`], or with the flow or pressure that the table does not have at
    /// any of these speeds.
    pub fn speed_for(&self, air: AirFlow, rise: Pressure) -> Result<Ratio, Error> {
        PRESSURE_RISE.check(Input::PressureRise, rise.get::<kilopascal>())?;
        match self.machine() {
            Machine::Dynamic => self.speed_of_dynamic(air, rise),
            Machine::PositiveDisplacement => {
                let full = self.air_flow(rise)?.kg_per_s();
                let n = SPEED_RATIO.check(Input::SpeedRatio, air.kg_per_s() / full)?;
                Ok(base(n))
            }
        }
    }

    fn speed_of_dynamic(&self, air: AirFlow, rise: Pressure) -> Result<Ratio, Error> {
        let flow = self.unbounded_table_flow(air.kg_per_s());
        let (first, last) = self.table_ends();
        // Speeds that bring the flow onto the table.
        let slow = (flow / last).max(SPEED_RATIO.min);
        let fast = if first > 0.0 {
            (flow / first).min(SPEED_RATIO.max)
        } else {
            SPEED_RATIO.max
        };
        if slow > SPEED_RATIO.max {
            let (flow, last) = (self.inlet(flow), self.inlet(last * SPEED_RATIO.max));
            return Err(Error::Blower(BlowerError::BeyondLastFlow { flow, last }));
        }
        if fast < SPEED_RATIO.min {
            let (flow, first) = (self.inlet(flow), self.inlet(first * SPEED_RATIO.min));
            return Err(Error::Blower(BlowerError::BelowFirstFlow { flow, first }));
        }
        // Δp(n) = n² Δp_1(Q/n), rising with n; the cut is rounding alone.
        let rise_pa = |n: f64| {
            let flow = (flow / n).clamp(first, last);
            n * n * self.rise_at_table_flow(flow)
        };
        let (slow_pa, fast_pa) = (rise_pa(slow), rise_pa(fast));
        let target_pa = rise.get::<pascal>();
        let excess = |pa: f64| (pa - target_pa) / fast_pa;
        if excess(slow_pa).abs() <= ROUNDING {
            return Ok(base(slow));
        }
        if excess(fast_pa).abs() <= ROUNDING {
            return Ok(base(fast));
        }
        if excess(slow_pa) > 0.0 || excess(fast_pa) < 0.0 {
            return Err(Error::Blower(BlowerError::SpeedOutOfReach {
                rise,
                slow: base(slow),
                slow_rise: base(slow_pa),
                fast: base(fast),
                fast_rise: base(fast_pa),
            }));
        }
        let bracket = Bracket {
            low: slow,
            f_low: excess(slow_pa),
            high: fast,
            f_high: excess(fast_pa),
        };
        let tolerance = Tolerance {
            relative: 1e-13,
            absolute: 0.0,
            residual: 1e-9,
            rounding: 1e-15,
        };
        let n = bracketed(Solve::BlowerSpeed, bracket, tolerance, |n| {
            excess(rise_pa(n))
        })?;
        Ok(base(n))
    }
}
