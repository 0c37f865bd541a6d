//! The solver of a header, in plain SI.
//!
//! Every branch takes what the header's pressure at its tee drives through it, and the header loses
//! pressure from tee to tee. All of it rises with the pressure at the far end, so that pressure is one
//! unknown and the balance at the feed one equation:
//!
//! ```text
//! ṁ_i = ṁ_i(p_i)            p_i: header pressure at tee i
//! M_i = M_{i+1} + ṁ_i       p_{i−1} = p1(M_i, p_i) of the segment between the tees
//! p_0(p_N) = feed(M_0)
//! ```
//!
//! Mass balances at the tees hold by construction. A branch whose tee has less pressure than its
//! water takes no air; it does not run backwards.
//!
//! A lift that runs may need less pressure than one that starts ([`Fold`](super::branch::Fold)). Its air then jumps
//! at a pressure of the header, and the balance may lie within the jump: with the lift running the header has too
//! little pressure for it, without it more than that. There the lift's air is the unknown, from none up:
//!
//! ```text
//! p(tee of lift j, with ṁ_j taken there) = p_j(ṁ_j)          0 ≤ ṁ_j ≤ ṁ at the fold
//! ```
//!
//! Where the header has less pressure than starts the lift, the lift has lost its air.

use super::branch::{DISTANCE, Path, Pressures, WaterPressure};
use super::header::{BRANCHES, BranchFlow, Header, Split};
use super::line::{AirLine, Duct};
use crate::air::AirFlow;
use crate::error::{Error, Input, Solve};
use crate::riser::LOSS_COEFFICIENT;
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::units::{AbsolutePressure, Length, base, meter, ratio};

/// Steps of a fifth past a fold in which a lift's air is sought.
const PAST_FOLD: usize = 40;

/// Relative width of what is left of a bracket within the noise of the flows.
const LAST_DIGITS: f64 = 1e-12;
/// What the last digit of a header's far end may leave of its feed's pressure, relative, where it is choked.
const CHOKED: f64 = 1e-5;

/// A header in plain SI.
#[derive(Clone)]
pub(super) struct Net<'a> {
    paths: Vec<Path<'a>>,
    /// Flows that are given, of lifts within the jump of their air.
    given: Vec<Option<f64>>,
    arms: Vec<Arm>,
    area_m2: f64,
    rt: f64,
}

/// The branches to one side of the feed, nearest first, each behind its segment.
#[derive(Clone)]
struct Arm {
    /// Index of the branch, and the segment before its tee.
    tees: Vec<(usize, Duct)>,
}

/// Why there is no balance.
enum Halt {
    /// The air of a branch jumps there.
    Jump(usize, Error),
    Failed(Error),
}

impl From<Error> for Halt {
    fn from(error: Error) -> Self {
        Self::Failed(error)
    }
}

/// Flows and the feed's pressure.
type Found = (Vec<f64>, f64);

impl<'a> Net<'a> {
    pub fn of(header: &'a Header, water: &[WaterPressure]) -> Result<Self, Error> {
        #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
        BRANCHES.check(Input::Branches, header.branches.len() as f64)?;
        LOSS_COEFFICIENT.check(Input::TeeLoss, header.tee_run_loss.get::<ratio>())?;
        DISTANCE.check(Input::HeaderFeed, header.feed.get::<meter>())?;
        let mut paths = Vec::with_capacity(header.branches.len());
        for (n, branch) in header.branches.iter().enumerate() {
            let water = water.get(n).copied().ok_or(Error::NoReading {
                what: Input::WaterPressure,
            })?;
            paths.push(branch.path(water)?);
        }
        let mut order: Vec<usize> = (0..paths.len()).collect();
        let offset = |n: &usize| (header.branches[*n].distance - header.feed).get::<meter>();
        order.sort_by(|a, b| offset(a).abs().total_cmp(&offset(b).abs()));
        let (before, after): (Vec<usize>, Vec<usize>) =
            order.into_iter().partition(|n| offset(n) < 0.0);
        let mut arms = Vec::new();
        for side in [after, before] {
            let (mut tees, mut last) = (Vec::new(), 0.0);
            for n in side {
                let at = offset(&n).abs();
                let segment = AirLine {
                    length: Length::new::<meter>(at - last),
                    loss: header.tee_run_loss,
                    ..header.pipe
                };
                tees.push((n, segment.duct()?));
                last = at;
            }
            if !tees.is_empty() {
                arms.push(Arm { tees });
            }
        }
        let whole = header.pipe.duct()?;
        Ok(Self {
            given: vec![None; paths.len()],
            paths,
            arms,
            area_m2: whole.area_m2,
            rt: whole.rt,
        })
    }

    /// Lowest pressure at which any branch takes air.
    pub fn threshold_pa(&self) -> f64 {
        self.paths
            .iter()
            .map(Path::threshold_pa)
            .fold(f64::INFINITY, f64::min)
    }

    /// Air of every branch at a feed pressure.
    pub fn at_pressure(&self, pressure_pa: f64) -> Result<Vec<f64>, Error> {
        let found = self.steady(&|net: &Self| {
            let mut flows = vec![0.0; net.paths.len()];
            for arm in &net.arms {
                net.fill(arm, pressure_pa, &|_| pressure_pa, &mut flows)?;
            }
            Ok((flows, pressure_pa))
        });
        Ok(found?.0)
    }

    /// A balance, within the jump of a branch's air if need be.
    fn steady(&self, solve: &dyn Fn(&Self) -> Result<Found, Halt>) -> Result<Found, Error> {
        let (jumping, error) = match solve(self) {
            Ok(found) => return Ok(found),
            Err(Halt::Failed(error)) => return Err(error),
            Err(Halt::Jump(jumping, error)) => (jumping, error),
        };
        let Some(fold) = self.paths[jumping].fold() else {
            return Err(error);
        };
        let with = |kg_per_s: f64| {
            let mut net = self.clone();
            net.given[jumping] = Some(kg_per_s);
            net.steady(solve)
        };
        // A header that cannot carry so much leaves no pressure at the tee.
        let over = |kg_per_s: f64, (flows, pressure): &Found| {
            let tee = self.along(flows, *pressure)[jumping].max(0.0);
            tee - self.paths[jumping].header_pa(kg_per_s)
        };
        // First as it stands still: where other lifts jump too, each further try costs all of theirs.
        let still = with(0.0)?;
        let f_low = over(0.0, &still);
        if f_low <= 0.0 {
            return Ok(still);
        }
        let mut failure = None;
        let mut excess = |kg_per_s: f64| match with(kg_per_s) {
            Ok(found) => over(kg_per_s, &found),
            Err(error) => {
                failure = Some(error);
                f64::NAN
            }
        };
        let mut bracket = Bracket {
            low: 0.0,
            f_low,
            high: fold.kg_per_s,
            f_high: excess(fold.kg_per_s),
        };
        // Just past its fold a lift's air is so steep over the pressure that it looks like a jump.
        for _ in 0..PAST_FOLD {
            if bracket.f_high < 0.0 || bracket.f_high.is_nan() {
                break;
            }
            (bracket.low, bracket.f_low) = (bracket.high, bracket.f_high);
            bracket.high *= 1.2;
            bracket.f_high = excess(bracket.high);
        }
        let size = fold.header_pa;
        let found = bracketed(Solve::HeaderPressure, bracket, tolerance(size), excess);
        match (failure, found) {
            (Some(error), _) => Err(error),
            // More air cannot pass on the way to the tee, which is choked; what leaves there has pressure to spare.
            (_, Err(Error::NotConverged { low, high, .. })) if high - low <= LAST_DIGITS * high => {
                with(low)
            }
            (_, found) => with(found?),
        }
    }

    /// The failure to find a balance, as the jump of a branch's air between the two ends of what was left.
    fn jump(&self, error: Error, flows: impl Fn(f64) -> Result<Vec<f64>, Error>) -> Halt {
        let Error::NotConverged { low, high, .. } = error else {
            return error.into();
        };
        let (Ok(low), Ok(high)) = (flows(low), flows(high)) else {
            return error.into();
        };
        let rise = |n: &usize| (high[*n] - low[*n]).abs();
        // Without a fold nothing jumps, however steep the first air of a wide line is.
        let free =
            (0..high.len()).filter(|n| self.given[*n].is_none() && self.paths[*n].fold().is_some());
        match free.max_by(|a, b| rise(a).total_cmp(&rise(b))) {
            Some(n) => Halt::Jump(n, error),
            None => error.into(),
        }
    }

    /// Air of every branch, and the feed's pressure, for a feed whose pressure falls, or does not rise,
    /// with the mass rate of the air that it gives.
    pub fn at_feed(&self, feed: &dyn Fn(f64) -> f64) -> Result<Found, Error> {
        self.steady(&|net: &Self| net.balanced_feed(feed))
    }

    fn balanced_feed(&self, feed: &dyn Fn(f64) -> f64) -> Result<Found, Halt> {
        let most = feed(0.0);
        let mut flows = vec![0.0; self.paths.len()];
        if most <= self.threshold_pa() {
            return Ok((flows, most));
        }
        if let [arm] = self.arms.as_slice() {
            let pressure = self.fill(arm, most, feed, &mut flows)?;
            return Ok((flows, pressure));
        }
        // Two arms meet at the feed: its pressure is the unknown.
        let mut failure = None;
        let mut excess = |pressure: f64| match self.at_pressure(pressure) {
            Ok(flows) => pressure - feed(flows.iter().sum()),
            Err(error) => {
                failure = Some(error);
                f64::NAN
            }
        };
        let low = self.threshold_pa();
        let bracket = Bracket {
            low,
            f_low: excess(low),
            high: most,
            f_high: excess(most),
        };
        if bracket.f_low >= 0.0 {
            // More air is given to a lift than the feed has.
            return Ok((self.at_pressure(low)?, 0.0));
        }
        let found = bracketed(Solve::HeaderPressure, bracket, tolerance(most), excess);
        if let Some(error) = failure {
            return Err(error.into());
        }
        let pressure = found.map_err(|error| self.jump(error, |p| self.at_pressure(p)))?;
        Ok((self.at_pressure(pressure)?, pressure))
    }

    /// Fills in the flows of one arm whose feed pressure is a function of its air; gives that pressure.
    fn fill(
        &self,
        arm: &Arm,
        most_pa: f64,
        feed: &dyn Fn(f64) -> f64,
        flows: &mut [f64],
    ) -> Result<f64, Halt> {
        let low = arm
            .tees
            .iter()
            .map(|(n, _)| self.given[*n].map_or_else(|| self.paths[*n].threshold_pa(), |_| 0.0))
            .fold(f64::INFINITY, f64::min);
        if most_pa <= low {
            for (n, _) in &arm.tees {
                flows[*n] = 0.0;
            }
            return Ok(most_pa);
        }
        let mut failure = None;
        let mut march = |far_pa: f64, flows: &mut [f64]| match self.march(arm, far_pa, flows) {
            Ok(head) => head,
            Err(error) => {
                failure = Some(error);
                (f64::NAN, f64::NAN)
            }
        };
        let mut excess = |far_pa: f64| {
            let (pressure, air) = march(far_pa, flows);
            pressure - feed(air)
        };
        let bracket = Bracket {
            low,
            f_low: excess(low),
            high: most_pa,
            f_high: excess(most_pa),
        };
        if bracket.f_low >= 0.0 {
            // More air is given to a lift than the feed has.
            self.march(arm, low, flows)?;
            return Ok(0.0);
        }
        let found = bracketed(Solve::HeaderPressure, bracket, tolerance(most_pa), excess);
        if let Some(error) = failure {
            return Err(error.into());
        }
        let ends = match &found {
            Err(Error::NotConverged { low, high, .. }) => [*low, *high],
            _ => [f64::NAN; 2],
        };
        let far = match found {
            Ok(far) => far,
            Err(error) => {
                let halt = self.jump(error, |far_pa| {
                    let mut flows = vec![0.0; self.paths.len()];
                    self.march(arm, far_pa, &mut flows)?;
                    Ok(flows)
                });
                // Past a length that the air chokes the pressure is the feed's own: at the air that it carries the last digit
                // of the far end moves it, as the root of that digit.
                if matches!(halt, Halt::Failed(_)) {
                    for end in ends.into_iter().filter(|end| end.is_finite()) {
                        let (pressure, air) = self.march(arm, end, flows)?;
                        let fed = feed(air);
                        if (pressure - fed).abs() <= CHOKED * most_pa {
                            return Ok(fed);
                        }
                    }
                }
                return Err(halt);
            }
        };
        Ok(self.march(arm, far, flows)?.0)
    }

    /// Air of every branch when all of them together get a fixed amount, and the feed's
    /// pressure.
    pub fn at_air(&self, kg_per_s: f64) -> Result<Found, Error> {
        self.steady(&|net: &Self| net.balanced_air(kg_per_s))
    }

    fn balanced_air(&self, kg_per_s: f64) -> Result<Found, Halt> {
        let low = self.threshold_pa();
        if kg_per_s <= 0.0 || !low.is_finite() {
            return Ok((vec![0.0; self.paths.len()], low));
        }
        let mut failure = None;
        let mut excess = |pressure: f64| match self.at_pressure(pressure) {
            Ok(flows) => flows.iter().sum::<f64>() - kg_per_s,
            Err(error) => {
                failure = Some(error);
                f64::NAN
            }
        };
        let (mut high, mut f_high) = (low, -kg_per_s);
        let mut rise = 1000.0;
        while f_high < 0.0 && high < 1e8 {
            high = low + rise;
            f_high = excess(high);
            rise *= 2.0;
        }
        let bracket = Bracket {
            low,
            f_low: -kg_per_s,
            high,
            f_high,
        };
        let tight = Tolerance {
            relative: 1e-14,
            absolute: 0.0,
            residual: 1e-9 * kg_per_s,
            rounding: 1e-15 * kg_per_s,
        };
        let found = bracketed(Solve::HeaderPressure, bracket, tight, excess);
        if let Some(error) = failure {
            return Err(error.into());
        }
        let pressure = found.map_err(|error| self.jump(error, |p| self.at_pressure(p)))?;
        Ok((self.at_pressure(pressure)?, pressure))
    }

    /// From the pressure at the far tee to pressure and air at the feed.
    fn march(&self, arm: &Arm, far_pa: f64, flows: &mut [f64]) -> Result<(f64, f64), Error> {
        let (mut pressure, mut air) = (far_pa, 0.0);
        for (n, segment) in arm.tees.iter().rev() {
            flows[*n] = match self.given[*n] {
                Some(given) => given,
                None => self.paths[*n].flow_at(pressure, flows[*n])?,
            };
            air += flows[*n];
            pressure = segment.inlet_pa(air, pressure);
        }
        Ok((pressure, air))
    }

    /// The feed pressure that leaves every branch at least what it needs at its flow, and the pressures at
    /// the tees that follow from it.
    pub fn tees(&self, flows: &[f64], needs: &[f64]) -> (f64, Vec<f64>) {
        let mut feed = 0.0_f64;
        for arm in &self.arms {
            let (mut air, mut pressure) = (0.0, 0.0_f64);
            for (n, segment) in arm.tees.iter().rev() {
                pressure = pressure.max(needs[*n]);
                air += flows[*n];
                pressure = segment.inlet_pa(air, pressure);
            }
            feed = feed.max(pressure);
        }
        (feed, self.along(flows, feed))
    }

    /// Pressures at the tees, from the feed outward; none from where the header cannot carry the air.
    fn along(&self, flows: &[f64], feed_pa: f64) -> Vec<f64> {
        let mut pressures = vec![feed_pa; flows.len()];
        for arm in &self.arms {
            let mut air: f64 = arm.tees.iter().map(|(n, _)| flows[*n]).sum();
            let mut pressure = Some(feed_pa);
            for (n, segment) in &arm.tees {
                pressure = pressure.and_then(|pa| segment.outlet_pa(air, pa));
                air -= flows[*n];
                pressures[*n] = pressure.unwrap_or(f64::NAN);
            }
        }
        pressures
    }

    /// Header pressure that a flow needs; none for a closed branch.
    pub fn header_pa(&self, branch: usize, kg_per_s: f64) -> Option<f64> {
        let path = &self.paths[branch];
        path.threshold_pa()
            .is_finite()
            .then(|| path.header_pa(kg_per_s))
    }

    /// Pressure before the orifice that a flow needs, orifices left out.
    pub fn need_pa(&self, branch: usize, kg_per_s: f64) -> f64 {
        self.paths[branch].pressures(kg_per_s).line
    }

    /// The flows with all that goes with them.
    pub fn split(&self, flows: &[f64], pressure_pa: f64) -> Split {
        let mut branches = Vec::with_capacity(flows.len());
        for (path, m) in self.paths.iter().zip(flows) {
            branches.push(path.report(*m));
        }
        // A branch without air stands at the header's pressure, not at its own threshold.
        for (branch, pressure) in branches.iter_mut().zip(self.along(flows, pressure_pa)) {
            branch.header_pressure = AbsolutePressure(base(pressure));
        }
        let most = self
            .arms
            .iter()
            .map(|arm| arm.tees.iter().map(|(n, _)| flows[*n]).sum::<f64>())
            .fold(0.0, f64::max);
        Split {
            pressure: AbsolutePressure(base(pressure_pa)),
            air: AirFlow::from_kg_per_s(flows.iter().sum()),
            branches,
            velocity: base(most / self.area_m2 * self.rt / pressure_pa),
        }
    }
}

impl Path<'_> {
    /// The flow at a header pressure, that of a running lift where it may run; a first guess helps.
    fn flow_at(&self, header_pa: f64, guess: f64) -> Result<f64, Error> {
        if header_pa <= self.threshold_pa() {
            return Ok(0.0);
        }
        // Losses go about with the square of the flow, so u = ṁ² is nearly a straight line of p.
        let excess = |u: f64| self.header_pa(u.sqrt()) - header_pa;
        let end = |kg_per_s: f64, needed_pa: f64| (kg_per_s * kg_per_s, needed_pa - header_pa);
        let (low, most) = match self.fold() {
            Some(fold) if header_pa > fold.header_pa => {
                (end(fold.kg_per_s, fold.header_pa), f64::INFINITY)
            }
            Some(fold) => (end(0.0, self.start_pa()), fold.rest_kg_per_s.powi(2)),
            None => (end(0.0, self.start_pa()), f64::INFINITY),
        };
        let mut high = (guess * guess).max(1.2 * low.0).max(1e-12).min(most);
        let mut f_high = excess(high);
        let mut bracket = Bracket {
            low: low.0,
            f_low: low.1,
            high,
            f_high,
        };
        let mut tries = 0;
        while f_high < 0.0 {
            (bracket.low, bracket.f_low) = (high, f_high);
            // The secant from the low end, with a margin.
            let secant = low.0 + (high - low.0) * low.1 / (low.1 - f_high) * 1.2;
            high = secant.clamp(1.2 * high, 1e4 * high).min(most);
            f_high = excess(high);
            tries += 1;
            if tries > 100 {
                return Err(Error::NotConverged {
                    what: Solve::BranchFlow,
                    iterations: tries,
                    residual: f_high / header_pa,
                    low: bracket.low.sqrt(),
                    high: high.sqrt(),
                });
            }
        }
        (bracket.high, bracket.f_high) = (high, f_high);
        let tight = Tolerance {
            relative: 1e-14,
            absolute: 1e-30,
            residual: 1e-9 * header_pa,
            rounding: 2e-16 * header_pa,
        };
        Ok(bracketed(Solve::BranchFlow, bracket, tight, excess)?.sqrt())
    }

    fn report(&self, kg_per_s: f64) -> BranchFlow {
        let Pressures {
            header,
            line,
            end,
            injector,
            water,
        } = self.pressures(kg_per_s);
        BranchFlow {
            air: AirFlow::from_kg_per_s(kg_per_s),
            header_pressure: AbsolutePressure(base(header)),
            water_pressure: AbsolutePressure(base(water)),
            orifice_loss: base(header - line),
            line_loss: base(line - end),
            check_valve_loss: base(end - injector),
            injector_loss: base(injector - water),
            velocity: base(self.velocity_m_per_s(kg_per_s)),
            choked: self.choked(kg_per_s),
        }
    }
}

fn tolerance(pressure_pa: f64) -> Tolerance {
    Tolerance {
        relative: 1e-14,
        absolute: 0.0,
        residual: 1e-10 * pressure_pa,
        rounding: 4e-16 * pressure_pa,
    }
}
