//! What one stroke draws from the battery, and how many strokes one charge gives.

use uom::si::f64::{ElectricCharge, ElectricPotential, Energy, Power, Ratio, Time};

/// A battery that feeds the compressor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// Voltage.
    pub volts: ElectricPotential,
    /// Capacity.
    pub capacity: ElectricCharge,
    /// Share of the capacity that may be used.
    pub usable: Ratio,
    /// What fans, valves and lamps draw while the rig is on.
    pub steady_load: Power,
    /// Strokes wanted on one charge.
    pub strokes_wanted: Option<u32>,
}

impl Battery {
    /// Energy that one charge may give: `E = U * Q * usable`, with `U` the voltage and `Q` the capacity.
    ///
    /// Not covered: loss of capacity in the cold and at high current.
    ///
    /// ```
    /// # use lungful::sizing::battery::Battery;
    /// # use uom::si::{electric_charge::ampere_hour, electric_potential::volt, energy::watt_hour, ratio::percent};
    /// # use uom::si::f64::{ElectricCharge, ElectricPotential, Power, Ratio};
    /// let battery = Battery {
    ///     volts: ElectricPotential::new::<volt>(24.0),
    ///     capacity: ElectricCharge::new::<ampere_hour>(20.0),
    ///     usable: Ratio::new::<percent>(80.0),
    ///     steady_load: Power::default(),
    ///     strokes_wanted: None,
    /// };
    /// assert!((battery.usable_energy().get::<watt_hour>() - 384.0).abs() < 1e-9); // 24 * 20 * 0.8
    /// ```
    #[must_use]
    pub fn usable_energy(&self) -> Energy {
        self.volts * self.capacity * self.usable
    }

    /// Energy drawn for one stroke: the pump's share, and the steady load over the time between strokes
    /// where the rate is known: `E = E_pump + P_steady * 3600 s / n_hour`.
    #[must_use]
    pub fn energy_per_stroke(&self, pump: Energy, per_hour: Option<f64>) -> Energy {
        match per_hour {
            Some(per_hour) => pump + self.steady_load * Time::new::<uom::si::time::second>(3600.0 / per_hour),
            None => pump,
        }
    }

    /// Strokes that one charge gives, not rounded: `n = U Q usable / E`.
    #[must_use]
    pub fn strokes_per_charge(&self, energy_per_stroke: Energy) -> f64 {
        (self.usable_energy() / energy_per_stroke).value
    }
}
