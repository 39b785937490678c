//! The pump, its fill times and the battery; relief valve and stuck regulator.

use uom::si::f64::{MassRate, Power, Ratio, Time};
use uom::si::power::watt;
use uom::si::ratio::ratio;

use super::{Amount, Bench, Step};
use crate::Result;
use crate::answers::Fill;
use crate::answers::checks::spread;
use crate::answers::faults::{relief_duty, strongest};
use crate::answers::stuck_open::{LineRelief, stuck_open};
use crate::formulas::{
    BAND_ENERGY, DELIVERY, DELIVERY_NEEDED, ENERGY_PER_STROKE, FILL_TIME, KEPT_UP_RATE, STALL,
    STROKES_PER_CHARGE, STUCK_REGULATOR, VOLUMETRIC_EFFICIENCY,
};
use crate::rig::AirSource;
use crate::sizing::compressor_fill_time::{
    Compressor, Delivery, Intake, Pump, stall_clearance, volumetric_efficiency,
};
use crate::units::{GaugePressure, pressure::pascals};

impl Bench<'_> {
    pub(super) fn pump(&self, steps: &mut Vec<Step>) -> Result<()> {
        if let (AirSource::Compressor(compressor), Some(fill)) = (&self.rig.source, &self.answers.fill) {
            let pump = Pump::new(compressor, &self.air, self.rig.site.atmosphere)?;
            if let Delivery::OpenAndStall { stall, .. } = &compressor.delivery {
                steps.push(
                    Step::new("stall pressure on site", &STALL, fill.stall)
                        .with("p_stall", *stall)
                        .with("p_atm", self.rig.site.atmosphere),
                );
            }
            let at_cut_in = ["volumetric efficiency at cut-in", "delivery at cut-in"];
            self.delivery(at_cut_in, &pump, compressor, compressor.cut_in, steps)?;
            let at_cut_out = ["volumetric efficiency at cut-out", "delivery at cut-out"];
            self.delivery(at_cut_out, &pump, compressor, compressor.cut_out, steps)?;
            self.fill_times(&pump, compressor, fill, steps)?;
            self.battery(&pump, compressor, fill, steps)?;
        }
        Ok(())
    }

    /// Volumetric efficiency, where it is used, and delivery at a tank pressure.
    fn delivery(
        &self,
        [efficiency, delivery]: [&'static str; 2],
        pump: &Pump<'_>,
        compressor: &Compressor,
        at: GaugePressure,
        steps: &mut Vec<Step>,
    ) -> Result<()> {
        let site = self.rig.site.atmosphere;
        let inlet = self.air.density(site)?;
        let step = Step::new(delivery, &DELIVERY, pump.mass_rate(at));
        match &compressor.delivery {
            Delivery::OpenAndStall { open, stall, index } => {
                let pressure_ratio: f64 = (at.to_absolute(site)? / site).value;
                let kept = volumetric_efficiency(stall_clearance(*stall, *index), pressure_ratio, *index);
                let kept = Ratio::new::<ratio>(kept.max(0.0));
                steps.push(
                    Step::new(efficiency, &VOLUMETRIC_EFFICIENCY, kept)
                        .with("p_stall", *stall)
                        .with("n", *index)
                        .with("p", at)
                        .with("p_atm", site),
                );
                let step = match *open {
                    Intake::InletVolume(volume) => step.with("rho_in", inlet).with("Q_open", volume),
                    Intake::Mass(mass) => step.with("m_open", mass),
                };
                steps.push(step.with("eta_v", kept));
            }
            Delivery::Points(points) => {
                let Some(above) = points.iter().position(|point| point.0 >= at) else { return Ok(()) };
                let Some(&(p_b, upper)) = points.get(above) else { return Ok(()) };
                let lower = above.checked_sub(1).and_then(|below| points.get(below));
                let volumes = points.iter().all(|point| matches!(point.1, Intake::InletVolume(_)));
                let step = if volumes { step.with("rho_in", inlet) } else { step };
                let put = |step: Step, volume_symbol, mass_symbol, intake: Intake| match intake {
                    Intake::InletVolume(volume) if volumes => step.with(volume_symbol, volume),
                    other => step.with(mass_symbol, other.mass_rate(inlet)),
                };
                let step = match lower {
                    Some(&(p_a, intake)) => {
                        put(step.with("p", at).with("p_a", p_a), "Q_a", "m_a", intake).with("p_b", p_b)
                    }
                    None => step,
                };
                steps.push(put(step, "Q_b", "m_b", upper));
            }
        }
        Ok(())
    }

    fn fill_times(
        &self,
        pump: &Pump<'_>,
        compressor: &Compressor,
        fill: &Fill,
        steps: &mut Vec<Step>,
    ) -> Result<()> {
        let (cut_in, cut_out) = (compressor.cut_in, compressor.cut_out);
        let empty = GaugePressure::new(pascals(0.0));
        let after = self.answers.strokes.after_full_pressure;
        let after = after.map(|after| after.to_gauge(self.rig.site.atmosphere));
        let runs: [(&'static str, Option<GaugePressure>, Option<Time>); 3] = [
            ("fill time from empty to cut-out", Some(empty), fill.from_empty),
            ("fill time from cut-in to cut-out", Some(cut_in), fill.band),
            ("fill time after the strokes at full pressure", after, fill.after_strokes),
        ];
        for (figure, from, time) in runs {
            if let (Some(from), Some(time)) = (from, time) {
                let [m1, m_mid, m2] = rates(pump, from, cut_out);
                steps.push(
                    Step::new(figure, &FILL_TIME, time)
                        .with("V", self.rig.tank.volume)
                        .with("p1", from)
                        .with("p2", cut_out)
                        .with("rho1", self.density(from)?)
                        .with("rho2", self.density(cut_out)?)
                        .with("m1", m1)
                        .with("m_mid", m_mid)
                        .with("m2", m2),
                );
            }
        }
        let stroke = self.answers.air.stroke;
        if let (Some(rate), Some(time)) = (fill.strokes_per_hour_kept_up, fill.band) {
            steps.push(
                Step::new("strokes kept up", &KEPT_UP_RATE, Amount::per_hour(rate))
                    .with("V", self.rig.tank.volume)
                    .with("rho_cut_out", self.density(cut_out)?)
                    .with("rho_cut_in", self.density(cut_in)?)
                    .with("duty", compressor.duty)
                    .with("t_band", time)
                    .with("m_stroke", stroke.total()),
            );
            if let (Some(needed), Some(wanted)) = (fill.delivery_for_rate, self.rig.cycle.per_hour) {
                steps.push(
                    Step::new("delivery needed, as a multiple", &DELIVERY_NEEDED, needed.times.value)
                        .with("n_wanted", Amount::per_hour(wanted))
                        .with("n_hour", Amount::per_hour(rate)),
                );
            }
        }
        Ok(())
    }

    fn battery(
        &self,
        pump: &Pump<'_>,
        compressor: &Compressor,
        fill: &Fill,
        steps: &mut Vec<Step>,
    ) -> Result<()> {
        let answers = self.answers.battery;
        let stroke = self.answers.air.stroke;
        let Some(band) = fill.band_energy else { return Ok(()) };
        let (from, to) = (compressor.cut_in, compressor.cut_out);
        let [m1, m_mid, m2] = rates(pump, from, to);
        let power = |at| pump.power_w(at).map(Power::new::<watt>);
        steps.push(
            Step::new("electric energy over the switch band", &BAND_ENERGY, band)
                .with("V", self.rig.tank.volume)
                .with("rho1", self.density(from)?)
                .with("rho2", self.density(to)?)
                .with_some("P1", power(from))
                .with_some("P_mid", power(half_way(from, to)))
                .with_some("P2", power(to))
                .with("m1", m1)
                .with("m_mid", m_mid)
                .with("m2", m2),
        );
        let battery = self.rig.battery.as_ref();
        let per_hour = self.rig.cycle.per_hour.filter(|_| battery.is_some());
        if let Some(energy) = answers.energy_per_stroke {
            steps.push(
                Step::new("energy per stroke", &ENERGY_PER_STROKE, energy)
                    .with("E_band", band)
                    .with("m_stroke", stroke.total())
                    .with("m_band", fill.band_mass)
                    .with_some("P_steady", per_hour.and(battery).map(|battery| battery.steady_load))
                    .with_some("n_hour", per_hour.map(Amount::per_hour)),
            );
            steps.extend(battery.zip(answers.strokes_per_charge).map(|(battery, strokes)| {
                Step::new("strokes per charge", &STROKES_PER_CHARGE, strokes)
                    .with("U", battery.volts)
                    .with("Q", battery.capacity)
                    .with("usable", battery.usable)
                    .with("E_stroke", energy)
            }));
        }
        Ok(())
    }

    /// What the pump delivers where the relief valve must pass it.
    pub(super) fn relief(&self, steps: &mut Vec<Step>) -> Result<()> {
        if let (AirSource::Compressor(compressor), Some(relief)) = (&self.rig.source, self.rig.tank.relief) {
            let compressor = &strongest(self.rig, compressor);
            let pump = Pump::new(compressor, &self.air, self.rig.site.atmosphere)?;
            let (at, _) = relief_duty(self.rig, &pump, relief);
            let names =
                ["volumetric efficiency for the relief valve", "delivery that the relief valve must pass"];
            self.delivery(names, &pump, compressor, at, steps)?;
        }
        Ok(())
    }

    pub(super) fn stuck_regulator(&self) -> Result<Step> {
        let stuck = stuck_open(self.rig)?;
        let step = Step::new("pressure after a stuck regulator", &STUCK_REGULATOR, stuck.opens);
        Ok(self.stuck_inputs(step, stuck.relief != LineRelief::Outrun))
    }

    /// What comes through a stuck regulator, and what holds it: a relief valve that is outrun holds nothing.
    pub(super) fn stuck_inputs(&self, step: Step, counts: bool) -> Step {
        let rig = self.rig;
        let field = match rig.source {
            AirSource::Compressor(_) => "compressor.cut-out",
            AirSource::Bottle { .. } => "tank.filled-to",
        };
        let relief = rig.line.relief.filter(|_| counts);
        step.with("p_full", rig.full_pressure())
            .with("w_full", pascals(spread(rig, field)))
            .with_some("p_line_relief", relief)
            .with_some("w_line_relief", relief.map(|_| pascals(spread(rig, "line.relief"))))
    }
}

fn half_way(from: GaugePressure, to: GaugePressure) -> GaugePressure {
    from + (to - from) / 2.0
}

/// Deliveries at the ends and half way.
fn rates(pump: &Pump<'_>, from: GaugePressure, to: GaugePressure) -> [MassRate; 3] {
    [from, half_way(from, to), to].map(|pressure| pump.mass_rate(pressure))
}
