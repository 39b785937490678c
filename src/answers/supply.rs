//! What a stroke takes, how many strokes one fill gives, how fast the pump makes it good, and what that
//! draws from the battery.

use uom::si::f64::{Energy, Mass, MassDensity, Pressure, Ratio, Time};
use uom::si::mass_density::kilogram_per_cubic_meter;

use super::lift::{Lift, at_least_open};
use crate::Result;
use crate::air::flow::leak::{first_fall, time_of_fall};
use crate::air::gas::{Isentrope, Isotherm};
use crate::rig::{AirSource, Rig};
use crate::sizing::compressor_fill_time::{Delivery, Intake, Pump, kept_up_rate};
use crate::sizing::cylinder_force::Action;
use crate::sizing::linkage::{DemandPoint, Travel};
use crate::sizing::tank_capacity::{
    Count, Demand, Demands, EndPressure, Span, StrokeAir, StrokeDraw, count_quick, count_slow,
};
use crate::units::{AbsolutePressure, FreeAirFlow, FreeAirVolume, GaugePressure, ReferenceState};

/// What a stroke takes and the tank holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirUse {
    /// Air of one stroke at full pressures.
    pub stroke: StrokeAir,
    /// The same as a volume of free air.
    pub stroke_free_air: FreeAirVolume,
    /// Content of the full tank.
    pub tank_full: Mass,
    /// Part of it above set point and headroom.
    pub usable: Mass,
    /// Tank volume that would give the strokes wanted at full pressure, if any are wanted.
    pub tank_for_strokes_wanted: Option<uom::si::f64::Volume>,
}

/// How many strokes one fill gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Strokes {
    /// From cut-out, or from the pressure a bottle is filled to.
    pub from_cut_out: Starts,
    /// From cut-in; `None` without a compressor.
    pub from_cut_in: Option<Starts>,
    /// Tank pressure (slow gas) after each stroke from cut-out that counts until stall.
    pub tank_after: Vec<AbsolutePressure>,
    /// Tank pressure (slow gas) after the last stroke from cut-out at full pressure.
    pub after_full_pressure: Option<AbsolutePressure>,
}

/// The counts from one starting pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Starts {
    /// With the tank back at the temperature of the site before each stroke.
    pub slow: StrokeCounts,
    /// Without rewarming; `None` if the tank would fall below 150 K.
    pub quick: Option<StrokeCounts>,
}

/// Strokes at full pressure and until stall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct StrokeCounts {
    /// The tank stays at or above set point and headroom.
    pub full_pressure: u32,
    /// The stroke still completes.
    pub until_stall: u32,
}

/// How long filling takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// Pressure at which the pump stalls, if that is at or below cut-out. All times are then unknown.
    pub stalls_at: Option<GaugePressure>,
    /// Pressure at which the delivery reaches zero, wherever that is.
    pub stall: GaugePressure,
    /// From the atmosphere to cut-out.
    pub from_empty: Option<Time>,
    /// From cut-in to cut-out.
    pub band: Option<Time>,
    /// Back to cut-out after the strokes at full pressure.
    pub after_strokes: Option<Time>,
    /// Mass that the switch band holds.
    pub band_mass: Mass,
    /// Electric energy over the switch band, if voltage and current are known.
    pub band_energy: Option<Energy>,
    /// Strokes per hour that the pump keeps up all day.
    pub strokes_per_hour_kept_up: Option<f64>,
    /// Delivery that would keep up the rate wanted, if one is wanted.
    pub delivery_for_rate: Option<DeliveryNeeded>,
}

/// A fall that is read off a gauge, in Pa.
const SEEN_PA: f64 = 1e4;

/// What a leak of the tank does while nothing is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankLeak {
    /// By how much the full tank falls at first in the time `within`.
    pub first_fall: Pressure,
    /// The first of a second, a minute and an hour in which it falls by a tenth of a bar or more, else a day.
    pub within: Time,
    /// From the full tank to the pressure at which it must be filled again: cut-in, or set point and headroom of a
    /// bottle. `None` where that is not below the full pressure.
    pub stands: Option<Time>,
    /// Share of what the pump delivers that leaks away, both at the middle of the switch band; `None` without a pump,
    /// or where it delivers nothing there.
    pub share_of_delivery: Option<Ratio>,
}

impl TankLeak {
    /// How fast the full tank falls at first.
    #[must_use]
    pub fn fall_rate_pa_per_s(&self) -> f64 {
        (self.first_fall / self.within).value
    }
}

/// What the leak of the tank does; `None` where none is stated.
pub(super) fn tank_leak(rig: &Rig, air: &Isotherm) -> Result<Option<TankLeak>> {
    let Some(leak) = rig.tank.leak else { return Ok(None) };
    let site = &rig.site;
    let full = rig.full_pressure();
    let again = match &rig.source {
        AirSource::Compressor(compressor) => compressor.cut_in,
        AirSource::Bottle { .. } => rig.regulator.set + rig.regulator.headroom,
    };
    let share_of_delivery = match &rig.source {
        AirSource::Compressor(compressor) => {
            let middle = again + 0.5 * (full - again);
            let lost =
                leak.mass_flow(middle.to_absolute(site.atmosphere)?, site.atmosphere, site.temperature)?;
            let delivery = Pump::new(compressor, air, site.atmosphere)?.mass_rate(middle);
            (delivery.value > 0.0).then(|| lost / delivery)
        }
        AirSource::Bottle { .. } => None,
    };
    let stands = if again < full && again > GaugePressure::new(Pressure::default()) {
        let ends = (full.to_absolute(site.atmosphere)?, again.to_absolute(site.atmosphere)?);
        Some(time_of_fall(leak, rig.tank.volume, site.temperature, ends, site.atmosphere))
    } else {
        None
    };
    let at_full = (full.to_absolute(site.atmosphere)?, site.atmosphere);
    let in_time = |seconds: f64| {
        let time = Time::new::<uom::si::time::second>(seconds);
        (first_fall(leak, rig.tank.volume, site.temperature, at_full, time), time)
    };
    let is_seen = |(fall, _): &(Pressure, Time)| fall.value >= SEEN_PA;
    let times = [1.0, 60.0, 3600.0].map(in_time);
    let (first_fall, within) = times.into_iter().find(is_seen).unwrap_or_else(|| in_time(86_400.0));
    Ok(Some(TankLeak {
        first_fall,
        within,
        stands: stands.filter(|time| time.value.is_finite()),
        share_of_delivery,
    }))
}

/// Delivery that keeps up a rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeliveryNeeded {
    /// As a multiple of the pump's own, at every pressure.
    pub times: Ratio,
    /// The open flow of such a pump, for a delivery given by open flow and stall as an inlet volume.
    pub open: Option<FreeAirFlow>,
}

/// What a stroke draws, and what a charge gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatteryUse {
    /// Energy drawn for one stroke: the pump's, and the battery's steady load where the rate is known. `None`
    /// unless voltage and current of the pump are known.
    pub energy_per_stroke: Option<Energy>,
    /// Strokes that one charge gives.
    pub strokes_per_charge: Option<f64>,
}

/// Whether a rig says enough of its cylinders for the air of a stroke: a question about the pump alone need
/// not.
#[must_use]
pub fn describes_strokes(rig: &Rig) -> bool {
    ["cylinders.bore", "cylinders.stroke", "regulator.set"].iter().all(|field| rig.is_given(field))
}

/// What a stroke takes, what the tank holds, and how many strokes that gives.
pub(super) fn air_and_strokes(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    air: &Isotherm,
) -> Result<(AirUse, Strokes)> {
    let site = rig.site.atmosphere;
    let full = rig.full_pressure().to_absolute(site)?;
    let lowest = rig.regulator.lowest_inlet().to_absolute(site)?;
    let (full_density, lowest_density) = (air.density(full)?, air.density(lowest)?);
    let draw = draw(rig, travel, lift)?;
    let stroke = draw.stroke_air(air)?;
    let between = not_negative(full_density - lowest_density);
    let use_ = AirUse {
        stroke,
        stroke_free_air: crate::air::reference::anr_volume(stroke.total()),
        tank_full: full_density * rig.tank.volume,
        usable: between * rig.tank.volume,
        tank_for_strokes_wanted: rig.cycle.strokes_wanted.and_then(|wanted| {
            (between > MassDensity::default()).then(|| stroke.total() * f64::from(wanted) / between)
        }),
    };
    let cut_in = match &rig.source {
        AirSource::Compressor(compressor) => Some(compressor.cut_in.to_absolute(site)?),
        AirSource::Bottle { .. } => None,
    };
    if !lift.moves() {
        let none = Starts { slow: StrokeCounts::default(), quick: Some(StrokeCounts::default()) };
        let strokes = Strokes {
            from_cut_out: none,
            from_cut_in: cut_in.map(|_| none),
            tank_after: Vec::new(),
            after_full_pressure: None,
        };
        return Ok((use_, strokes));
    }
    let counts = |start: AbsolutePressure| -> Result<(Count, Starts)> {
        let slow = count_slow(&draw, rig.tank.volume, start, lowest, air)?;
        let isentrope = Isentrope::through(start, rig.site.temperature)?;
        let quick = count_quick(&draw, rig.tank.volume, lowest, air, &isentrope)?;
        let starts = Starts { slow: counted(&slow), quick: quick.as_ref().map(counted) };
        Ok((slow, starts))
    };
    let (slow, from_cut_out) = counts(full)?;
    let from_cut_in = cut_in.map(|cut_in| counts(cut_in).map(|(_, starts)| starts)).transpose()?;
    let strokes = Strokes {
        from_cut_out,
        from_cut_in,
        tank_after: slow.tank_after,
        after_full_pressure: slow.after_full_pressure,
    };
    Ok((use_, strokes))
}

fn counted(count: &Count) -> StrokeCounts {
    StrokeCounts { full_pressure: count.full_pressure, until_stall: count.until_stall }
}

fn not_negative(density: MassDensity) -> MassDensity {
    if density > MassDensity::default() { density } else { MassDensity::new::<kilogram_per_cubic_meter>(0.0) }
}

/// One stroke as the tank sees it.
pub(super) fn draw<'a>(rig: &Rig, travel: &'a Travel<'_>, lift: &Lift) -> Result<StrokeDraw<'a>> {
    let site = rig.site.atmosphere;
    let cap_area = rig.cylinders.cap_area();
    // Where the load presses the leg on by itself nothing is asked of the air.
    let open = move |need: GaugePressure| at_least_open(need).to_absolute(site);
    let demand = |point: DemandPoint| -> Result<Demand> {
        Ok(Demand { swept: cap_area * point.travel, need: open(point.need)? })
    };
    let spans = travel.demand_spans(lift.stroke_used).into_iter();
    let spans = spans
        .map(|span| Ok(Span::between(demand(span.from)?, demand(span.to)?, span.above, span.law)))
        .collect::<Result<_>>()?;
    Ok(StrokeDraw {
        raise: cap_area * lift.stroke_used,
        lower: match rig.cylinders.action {
            Action::Single => None,
            Action::Double => Some(rig.air_return(lift.stroke_used)),
        },
        dead: rig.dead_volume(),
        set: rig.regulator.set.to_absolute(site)?,
        end: match rig.cycle.end_pressure {
            EndPressure::SetPoint => None,
            EndPressure::Load => Some(lift.end_pressure.to_absolute(site)?),
        },
        atmosphere: site,
        demand: Demands::new(spans, move |law, swept| {
            open(travel.need_by_law(law, swept / cap_area)).unwrap_or(site)
        }),
    })
}

/// How long filling takes and what rate of strokes it keeps up.
pub(super) fn fill(rig: &Rig, use_: &AirUse, strokes: &Strokes, air: &Isotherm) -> Result<Option<Fill>> {
    let AirSource::Compressor(compressor) = &rig.source else { return Ok(None) };
    let site = rig.site.atmosphere;
    let pump = Pump::new(compressor, air, site)?;
    let density =
        |pressure: GaugePressure| -> Result<MassDensity> { air.density(pressure.to_absolute(site)?) };
    let band_mass = (density(compressor.cut_out)? - density(compressor.cut_in)?) * rig.tank.volume;
    let mut fill = Fill {
        stalls_at: pump.stalls_at(),
        stall: pump.stall(),
        from_empty: None,
        band: None,
        after_strokes: None,
        band_mass,
        band_energy: None,
        strokes_per_hour_kept_up: None,
        delivery_for_rate: None,
    };
    if fill.stalls_at.is_some() {
        return Ok(Some(fill));
    }
    let volume = rig.tank.volume;
    let empty = GaugePressure::new(crate::units::pressure::pascals(0.0));
    let band = pump.run(volume, compressor.cut_in, compressor.cut_out)?;
    let to_cut_in = pump.run(volume, empty, compressor.cut_in)?;
    fill.from_empty = Some((to_cut_in + band).time);
    fill.band = Some(band.time);
    fill.band_energy = band.energy;
    fill.after_strokes = match strokes.after_full_pressure {
        Some(after) => {
            let after = after.to_gauge(site);
            // The stretch above cut-in is part of a run that is already known.
            let run = if after < compressor.cut_in {
                pump.run(volume, after, compressor.cut_in)? + band
            } else {
                pump.run(volume, after, compressor.cut_out)?
            };
            Some(run.time)
        }
        None => None,
    };
    fill.strokes_per_hour_kept_up =
        Some(3600.0 * kept_up_rate(compressor.duty, band_mass, band.time, use_.stroke.total()));
    // The kept-up rate is in proportion to the delivery.
    fill.delivery_for_rate =
        rig.cycle.per_hour.zip(fill.strokes_per_hour_kept_up).map(|(wanted, kept_up)| DeliveryNeeded {
            times: Ratio::from(wanted / kept_up),
            open: match &compressor.delivery {
                Delivery::OpenAndStall { open: Intake::InletVolume(open), .. } => {
                    Some(FreeAirFlow::new(*open * (wanted / kept_up), ReferenceState::Inlet))
                }
                _ => None,
            },
        });
    Ok(Some(fill))
}

/// What a stroke draws, and how many strokes one charge gives.
pub(super) fn battery(rig: &Rig, use_: &AirUse, fill: Option<&Fill>) -> BatteryUse {
    let pump = fill.and_then(|fill| {
        let share: Ratio = use_.stroke.total() / fill.band_mass;
        fill.band_energy.map(|energy| energy * share)
    });
    let Some(battery) = &rig.battery else {
        return BatteryUse { energy_per_stroke: pump, strokes_per_charge: None };
    };
    let energy_per_stroke = pump.map(|pump| battery.energy_per_stroke(pump, rig.cycle.per_hour));
    let strokes = energy_per_stroke.map(|energy| battery.strokes_per_charge(energy));
    BatteryUse { energy_per_stroke, strokes_per_charge: strokes.filter(|strokes| strokes.is_finite()) }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::air::flow::{Conductance, Restriction};
    use crate::answers::evaluate;
    use crate::answers::sample::hive_cart;

    /// analytic: through a choked leak the pressure falls off exponentially, so from `p_1` to `p_2` it takes
    /// `V ln(p_1/p_2) / (C rho_0 R sqrt(T_0 T))`; and it loses `C rho_0 p sqrt(T_0/T)`.
    #[test]
    fn a_choked_leak_empties_the_band_exponentially() {
        let mut rig = hive_cart();
        assert_eq!(evaluate(&rig).unwrap().leak, None);
        rig.tank.leak =
            Some(Restriction::new(Conductance::from_si(1e-11).unwrap(), Ratio::from(0.3)).unwrap());
        let leak = evaluate(&rig).unwrap().leak.unwrap();
        let AirSource::Compressor(compressor) = &rig.source else { panic!("it has a pump") };
        let (site, temperature) = (rig.site.atmosphere.pascals(), rig.site.temperature.value);
        let (high, low) = (compressor.cut_out.pascals() + site, compressor.cut_in.pascals() + site);
        let by_hand = 0.01 * (high / low).ln() / (1e-11 * 1.185 * 287.05 * (293.15 * temperature).sqrt());
        assert_relative_eq!(leak.stands.unwrap().value, by_hand, max_relative = 2e-5);
        let lost = 1e-11 * 1.185 * 0.5 * (high + low) * (293.15 / temperature).sqrt();
        let air = Isotherm::new(rig.site.temperature).unwrap();
        let middle = compressor.cut_in + 0.5 * (compressor.cut_out - compressor.cut_in);
        let delivery = Pump::new(compressor, &air, rig.site.atmosphere).unwrap().mass_rate(middle).value;
        assert_relative_eq!(leak.share_of_delivery.unwrap().value, lost / delivery, max_relative = 1e-6);
    }

    /// analytic: `p` falls off as `exp(-t/tau)`, `tau = V / (C rho_0 R sqrt(T_0 T))`, so at first by `p t / tau`.
    #[test]
    fn the_full_tank_falls_at_first_in_proportion_to_its_leak() {
        let fall = |conductance: f64| {
            let mut rig = hive_cart();
            let leak =
                Restriction::new(Conductance::from_si(conductance).unwrap(), Ratio::from(0.3)).unwrap();
            rig.tank.leak = Some(leak);
            let root = (293.15 * rig.site.temperature.value).sqrt();
            let tau = 0.01 / (conductance * 1.185 * 287.05 * root);
            let full = rig.full_pressure().pascals() + rig.site.atmosphere.pascals();
            let leak = evaluate(&rig).unwrap().leak.unwrap();
            assert_relative_eq!(leak.first_fall.value, full * leak.within.value / tau, max_relative = 2e-5);
            leak.within.value
        };
        // 11.1 bar absolute over a tau of 0.98e-7/C s: 1.1 kPa a second for 1e-10.
        for (conductance, within) in
            [(1e-7, 1.0), (1e-9, 1.0), (1e-10, 60.0), (1e-11, 3600.0), (1e-13, 86_400.0), (1e-15, 86_400.0)]
        {
            assert_relative_eq!(fall(conductance), within);
        }
    }
}
