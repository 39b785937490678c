//! The thermal cut-out of a pump.

/// Heat of the motor between 0 (cold) and 1 (cut out): it rises evenly over the longest run and falls evenly
/// over the rest that the duty asks for. A pump that was cut out starts again when it is cold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ThermalCutOut {
    run: f64,
    rest: f64,
    heat: f64,
    at: f64,
    running: bool,
    tripped: bool,
}

impl ThermalCutOut {
    /// None for a pump that may run all the time.
    pub(super) fn new((run, rest): (f64, f64)) -> Option<Self> {
        (rest > 0.0).then_some(Self { run, rest, heat: 0.0, at: 0.0, running: false, tripped: false })
    }

    /// Follows the heat up to a time through which the pump ran or stood.
    pub(super) fn advance(&mut self, running: bool, time: f64) {
        let elapsed = time - self.at;
        let change = if running { elapsed / self.run } else { -elapsed / self.rest };
        self.heat = (self.heat + change).clamp(0.0, 1.0);
        self.at = time;
        self.running = running;
    }

    /// The next time at which it will switch, if the pump goes on as it is.
    pub(super) fn next(&self, now: f64) -> f64 {
        if self.tripped {
            now + self.heat * self.rest
        } else if self.running {
            now + (1.0 - self.heat) * self.run
        } else {
            f64::INFINITY
        }
    }

    /// Says that the pump now runs or stands.
    pub(super) fn set_running(&mut self, running: bool) {
        self.running = running;
    }

    /// Switches if it is time; whether it did.
    pub(super) fn switch(&mut self) -> bool {
        const ROUNDING: f64 = 1e-9;
        if self.tripped && self.heat <= ROUNDING {
            self.tripped = false;
            return true;
        }
        if !self.tripped && self.running && self.heat >= 1.0 - ROUNDING {
            self.tripped = true;
            return true;
        }
        false
    }

    pub(super) const fn tripped(&self) -> bool {
        self.tripped
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_duty_rests_as_long_as_it_runs() {
        // 600 s of run and, at 50 %, 600 s of rest.
        let mut cut_out = ThermalCutOut::new((600.0, 600.0)).unwrap();
        cut_out.set_running(true);
        assert!((cut_out.next(0.0) - 600.0).abs() < 1e-12);
        cut_out.advance(true, 300.0);
        cut_out.advance(false, 450.0);
        cut_out.set_running(true);
        // Heat 0.5 - 0.25, so 450 s are left.
        assert!((cut_out.next(450.0) - 900.0).abs() < 1e-9);
        cut_out.advance(true, 900.0);
        assert!(cut_out.switch() && cut_out.tripped());
        assert!((cut_out.next(900.0) - 1500.0).abs() < 1e-9);
        cut_out.advance(false, 1500.0);
        assert!(cut_out.switch() && !cut_out.tripped());
    }

    #[test]
    fn a_pump_for_all_day_has_none() {
        assert!(ThermalCutOut::new((600.0, 0.0)).is_none());
    }
}
