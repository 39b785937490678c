//! Restrictions one after the other, and side by side.

use uom::si::f64::{MassRate, Pressure, Ratio, ThermodynamicTemperature};
use uom::si::thermodynamic_temperature::kelvin;

use super::law::{Law, REFERENCE_DENSITY_KG_PER_M3, REFERENCE_TEMPERATURE_K};
use super::{Conductance, Restriction, kilograms_per_second};
use crate::units::{AbsolutePressure, pressure::pascals};
use crate::{Error, Result, guard, root};

/// Highest critical ratio that a [`Restriction`] takes.
const MOST_CRITICAL_RATIO: f64 = 0.99;

/// Restrictions one after the other, in the order in which air meets them.
///
/// In steady flow each passes the same mass and hands its total pressure to the next. That is solved as it
/// stands: from a trial flow the pressures follow one by one from the outlet up, and the flow is the one
/// that ends at the pressure upstream. Adding reciprocals of conductances does not give it.
/// Temperature upstream of each is taken as the same, as adiabatic flow of an ideal gas has it.
///
/// ```
/// # use lungful::air::flow::{Conductance, Restriction, series::Line};
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// # use uom::si::{f64::{Ratio, ThermodynamicTemperature}, mass_rate::gram_per_second, ratio::ratio};
/// # use uom::si::thermodynamic_temperature::kelvin;
/// let valve = Restriction::new(Conductance::from_si(2e-8)?, Ratio::new::<ratio>(0.5))?;
/// let line = Line::new(vec![valve, valve])?;
/// let bar = |value: f64| AbsolutePressure::new(pascals(value * 1e5));
/// let room = ThermodynamicTemperature::new::<kelvin>(293.15);
/// let steady = line.flow(bar(5.0)?, bar(1.0)?, room)?;
/// // With b = 0.5: q ~ 2 sqrt(p2 (p1 - p2)). The second is choked, q ~ p, so 4 p (5 - p) = p^2, p = 4 bar.
/// assert!((steady.pressures[0].pascals() - 4e5).abs() < 1e-3);
/// assert!((steady.mass_flow.get::<gram_per_second>() - 2e-8 * 1.185 * 4e5 * 1e3).abs() < 1e-6);
/// assert_eq!((steady.limiting, steady.choked), (Some(1), true));
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    elements: Vec<Restriction>,
    laws: Vec<Law>,
}

/// Steady flow through a [`Line`].
#[derive(Debug, Clone, PartialEq)]
pub struct SteadyFlow {
    /// Mass flow, the same in each element; negative when it runs back.
    pub mass_flow: MassRate,
    /// Total pressure after each element but the last, in the order of the line.
    pub pressures: Vec<AbsolutePressure>,
    /// Place of the element that limits the flow, counted from 0: the first choked one that air meets, else
    /// that with the greatest pressure drop; none without flow.
    pub limiting: Option<usize>,
    /// Whether that element is choked.
    pub choked: bool,
}

impl Line {
    /// A line of at least one element.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an empty list.
    pub fn new(elements: Vec<Restriction>) -> Result<Self> {
        if elements.is_empty() {
            return Err(Error::OutOfRange {
                quantity: "number of restrictions in a line",
                value: "0".to_owned(),
                requirement: "at least 1",
            });
        }
        let laws = elements.iter().map(Restriction::law).collect();
        Ok(Self { elements, laws })
    }

    /// The elements.
    #[must_use]
    pub fn elements(&self) -> &[Restriction] {
        &self.elements
    }

    /// Steady flow between two total pressures; it runs back if `downstream` is the higher one.
    /// `temperature` is that of the air on the side it comes from.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] unless the temperature is finite and above zero.
    pub fn flow(
        &self,
        upstream: AbsolutePressure,
        downstream: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<SteadyFlow> {
        guard::positive("temperature of the air", temperature.value, "K")?;
        let (one, two, temperature_k) = (upstream.pascals(), downstream.pascals(), temperature.value);
        let flow = mass_flow(&self.laws, one, two, temperature_k);
        // Pressures from the outlet up, that is against the flow.
        let mut pressures = vec![one.min(two)];
        let mut limiting = None;
        let mut choked = false;
        let mut greatest = 0.0;
        let size = flow.abs();
        let mut visit = |place: usize, law: &Law| {
            let outlet = pressures.last().copied().unwrap_or(one);
            let inlet = if size > 0.0 { law.inlet(size, outlet, temperature_k) } else { outlet };
            let is_choked = size > 0.0 && law.is_choked(inlet, outlet);
            if is_choked || (!choked && inlet - outlet > greatest) {
                (limiting, greatest, choked) = (Some(place), inlet - outlet, is_choked);
            }
            pressures.push(inlet);
        };
        if one >= two {
            self.laws.iter().enumerate().rev().for_each(|(place, law)| visit(place, law));
        } else {
            self.laws.iter().enumerate().for_each(|(place, law)| visit(place, law));
        }
        // Between the elements only; in the order of the line.
        let mut between = pressures.get(1..self.laws.len()).unwrap_or_default().to_vec();
        if one >= two {
            between.reverse();
        }
        let pressures: Result<_> =
            between.into_iter().map(|value| AbsolutePressure::new(pascals(value))).collect();
        Ok(SteadyFlow { mass_flow: kilograms_per_second(flow)?, pressures: pressures?, limiting, choked })
    }

    /// One restriction in the place of the line: with the same choked flow, and the same flow at a ratio of
    /// `ratio` of the pressures after and before it.
    ///
    /// `C` follows from the flow into vacuum. With `s` the share of it that flows at `ratio`, ISO 6358 gives
    /// `k = (1 - s^2)^0.5` and `b = (ratio - k)/(1 - k)`; a `b` below 0 counts as 0. Between the two ratios a
    /// valve with its hose is met within a few percent. Check valves before and behind the narrowest element take their
    /// cracking pressures off what it sees.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] unless `ratio` is above 0 and below 1.
    ///
    /// ```
    /// # use lungful::air::flow::{Conductance, Restriction, series::Line};
    /// # use uom::si::{f64::Ratio, ratio::ratio};
    /// let valve = Restriction::new(Conductance::from_si(2e-8)?, Ratio::new::<ratio>(0.3))?;
    /// let alone = Line::new(vec![valve])?.as_one(Ratio::new::<ratio>(0.8))?;
    /// assert!((alone.conductance().si() / 2e-8 - 1.0).abs() < 1e-9);
    /// assert!((alone.critical_ratio().get::<ratio>() - 0.3).abs() < 1e-9);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn as_one(&self, ratio: Ratio) -> Result<Restriction> {
        const UPSTREAM_PA: f64 = 1e6;
        let share = ratio.value;
        guard::require(share > 0.0 && share < 1.0, "ratio of pressures", share, "", "above 0 and below 1")?;
        if let [only] = self.elements() {
            return Ok(*only);
        }
        let open =
            Self::new(self.elements.iter().map(|element| element.without_cracking_pressure()).collect())?;
        let reference = ThermodynamicTemperature::new::<kelvin>(REFERENCE_TEMPERATURE_K);
        let upstream = AbsolutePressure::new(pascals(UPSTREAM_PA))?;
        let at = |downstream: f64| -> Result<f64> {
            Ok(open.flow(upstream, AbsolutePressure::new(pascals(downstream))?, reference)?.mass_flow.value)
        };
        // A ten-thousandth of the pressure is far below any critical ratio that counts.
        let choked = at(1e-4 * UPSTREAM_PA)?;
        let conductance = Conductance::from_si(choked / (REFERENCE_DENSITY_KG_PER_M3 * UPSTREAM_PA))?;
        let part = (at(share * UPSTREAM_PA)? / choked).clamp(0.0, 1.0);
        let left = (1.0 - part * part).sqrt();
        let critical = if left < share { (share - left) / (1.0 - left) } else { 0.0 };
        let one = Restriction::new(conductance, Ratio::from(critical.clamp(0.0, MOST_CRITICAL_RATIO)))?;
        if self.elements.iter().all(|element| element.cracking_pressure().is_none()) {
            return Ok(one);
        }
        let sizes = self.elements.iter().map(|element| element.conductance().si());
        let narrowest =
            sizes.enumerate().min_by(|(_, one), (_, two)| one.total_cmp(two)).map_or(0, |(at, _)| at);
        let taken = |elements: &[Restriction]| {
            let cracking = elements.iter().filter_map(Restriction::cracking_pressure);
            cracking.fold(Pressure::default(), |sum, cracking| sum + cracking)
        };
        let (before, rest) = self.elements.split_at(narrowest);
        let Some((own, behind)) = rest.split_first() else { return Ok(one) };
        let one = own.cracking_pressure().map_or(Ok(one), |cracking| one.with_cracking_pressure(cracking))?;
        Ok(one.between_check_valves(taken(before), taken(behind)))
    }

    /// The laws of the elements, in order.
    pub(crate) fn laws(&self) -> &[Law] {
        &self.laws
    }
}

/// Mass flow of restrictions side by side: the sum of theirs.
///
/// # Errors
/// As [`Restriction::mass_flow`].
///
/// ```
/// # use lungful::air::flow::{Conductance, Restriction, series::side_by_side};
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// # use uom::si::{f64::{Ratio, ThermodynamicTemperature}, ratio::ratio, thermodynamic_temperature::kelvin};
/// let leak = Restriction::new(Conductance::from_si(1e-10)?, Ratio::new::<ratio>(0.5))?;
/// let (tank, site) = (AbsolutePressure::new(pascals(9e5))?, AbsolutePressure::new(pascals(1e5))?);
/// let room = ThermodynamicTemperature::new::<kelvin>(293.15);
/// let both = side_by_side(&[leak, leak], tank, site, room)?;
/// assert_eq!(both, 2.0 * leak.mass_flow(tank, site, room)?);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn side_by_side(
    elements: &[Restriction],
    upstream: AbsolutePressure,
    downstream: AbsolutePressure,
    temperature: ThermodynamicTemperature,
) -> Result<MassRate> {
    elements.iter().map(|element| element.mass_flow(upstream, downstream, temperature)).sum()
}

/// Mass flow in kg/s through `laws` from `pressure_1` to `pressure_2`, negative when it runs back.
pub(crate) fn mass_flow(laws: &[Law], pressure_1: f64, pressure_2: f64, temperature: f64) -> f64 {
    if pressure_1 >= pressure_2 {
        flow_from(&laws.iter().rev(), |_| pressure_1, pressure_2, temperature)
    } else if laws.iter().any(Law::is_one_way) {
        0.0
    } else {
        -flow_from(&laws.iter(), |_| pressure_2, pressure_1, temperature)
    }
}

/// Mass flow in kg/s from a source, whose pressure may fall with the flow it gives, down to `outlet`.
///
/// `from_outlet` are the laws from the outlet up. No flow if the source at rest is not above `outlet`.
pub(crate) fn flow_from<'a>(
    from_outlet: &(impl Iterator<Item = &'a Law> + Clone),
    source: impl Fn(f64) -> f64,
    outlet: f64,
    temperature: f64,
) -> f64 {
    let at_rest = source(0.0);
    let closed = from_outlet.clone().fold(outlet, |pressure, law| pressure + law.cracking());
    if at_rest <= closed {
        return 0.0;
    }
    // No element sees more than the source at rest, so none passes more than it does choked there.
    let most = from_outlet.clone().map(|law| law.choked_flow(at_rest, temperature)).fold(f64::MAX, f64::min);
    if let (Some(only), None) = first_and_second(from_outlet.clone())
        && source(most) >= at_rest
    {
        return only.forward(at_rest, outlet, temperature);
    }
    let excess = |share: f64| {
        let flow = share * most;
        inlet(from_outlet.clone(), flow, outlet, temperature) - source(flow)
    };
    most * root::in_unit_interval(excess, 1e-15)
}

/// Pressure in Pa that drives `flow` through laws given from the outlet up.
pub(crate) fn inlet<'a>(
    from_outlet: impl Iterator<Item = &'a Law>,
    flow: f64,
    outlet: f64,
    temperature: f64,
) -> f64 {
    from_outlet.fold(outlet, |pressure, law| law.inlet(flow, pressure, temperature))
}

fn first_and_second<T>(mut items: impl Iterator<Item = T>) -> (Option<T>, Option<T>) {
    (items.next(), items.next())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn laws(pairs: &[(f64, f64)]) -> Vec<Law> {
        pairs.iter().map(|&(conductance, ratio)| Law::new(conductance * 1e-8, ratio, 0.5, None)).collect()
    }

    #[track_caller]
    fn assert_is_closed(flow: f64) {
        assert!(flow.abs() <= 0.0, "{flow} kg/s");
    }

    #[test]
    fn a_huge_element_changes_nothing() {
        for outlet in [1e5, 4e5, 6.9e5, 6.999e5] {
            let alone = mass_flow(&laws(&[(2.0, 0.35)]), 7e5, outlet, 300.0);
            for pair in [[(2.0, 0.35), (2e6, 0.4)], [(2e6, 0.4), (2.0, 0.35)]] {
                // The huge one drops about (1e-6)^2 of the pressure outside the linear band, and 4e-8 inside
                // it (its slope 1e6 times that of the small one): of a drop of 100 Pa, 3e-4.
                let flow = mass_flow(&laws(&pair), 7e5, outlet, 300.0);
                assert_relative_eq!(flow, alone, max_relative = if outlet > 6.99e5 { 5e-4 } else { 1e-6 });
            }
        }
    }

    /// analytic: two alike of `b = 0.5` choke at the second, which sees 4/5 of the pressure (`4 p (1 - p) =
    /// p^2`), so `C` is 0.8 of that of one.
    #[test]
    fn one_restriction_stands_for_a_line() {
        let valve = |conductance, ratio| {
            Restriction::new(Conductance::from_si(conductance).unwrap(), Ratio::from(ratio)).unwrap()
        };
        let line = Line::new(vec![valve(2e-8, 0.5), valve(2e-8, 0.5)]).unwrap();
        let one = line.as_one(Ratio::from(0.8)).unwrap();
        assert_relative_eq!(one.conductance().si(), 1.6e-8, max_relative = 1e-9);
        // The two meet at the ratio asked for and keep together around it.
        let bar = |value: f64| AbsolutePressure::new(pascals(value * 1e5)).unwrap();
        let room = ThermodynamicTemperature::new::<kelvin>(300.0);
        for (down, within) in [(1.0, 1e-9), (4.8, 1e-9), (4.0, 0.03), (5.4, 0.03), (3.0, 0.03)] {
            let whole = line.flow(bar(6.0), bar(down), room).unwrap().mass_flow.value;
            let single = one.mass_flow(bar(6.0), bar(down), room).unwrap().value;
            assert_relative_eq!(single, whole, max_relative = within);
        }
    }

    /// The whole line opens where the drops that open its elements add up to, whatever else stands in it, and passes
    /// nothing back.
    #[test]
    fn one_restriction_opens_where_the_line_does() {
        let valve = Restriction::new(Conductance::from_si(1e-8).unwrap(), Ratio::from(0.3)).unwrap();
        let wide = Restriction::new(Conductance::from_si(5e-8).unwrap(), Ratio::from(0.3)).unwrap();
        let check_valve = wide.with_cracking_pressure(pascals(0.4e5)).unwrap();
        let line = Line::new(vec![check_valve, valve, check_valve, wide]).unwrap();
        let one = line.as_one(Ratio::from(0.8)).unwrap();
        assert_relative_eq!(one.opens_at().value, 0.8e5);
        let at = |bar: f64| AbsolutePressure::new(pascals(bar * 1e5)).unwrap();
        let room = ThermodynamicTemperature::new::<kelvin>(293.15);
        // Next to its opening little is left of the drop, and its elements share that otherwise.
        for (before, behind, within) in [(6.0, 1.0, 0.1), (4.0, 2.5, 0.1), (2.0, 1.0, 0.35), (1.9, 1.0, 0.35)]
        {
            let flow = line.flow(at(before), at(behind), room).unwrap().mass_flow;
            let same = one.mass_flow(at(before), at(behind), room).unwrap();
            assert!(flow.value > 0.0);
            assert_relative_eq!(same.value, flow.value, max_relative = within);
        }
        for (before, behind) in [(1.79, 1.0), (5.0, 4.21), (1.0, 3.0)] {
            assert!(one.mass_flow(at(before), at(behind), room).unwrap().value.abs() <= 0.0);
        }
    }

    #[test]
    fn each_element_passes_the_flow() {
        let line = laws(&[(2.0, 0.2), (3.0, 0.528), (1.2, 0.4), (5.0, 0.1)]);
        for outlet in [0.2e5, 1e5, 3e5, 6e5, 6.99e5, 6.9999e5] {
            let flow = mass_flow(&line, 7e5, outlet, 290.0);
            let mut pressure = outlet;
            for law in line.iter().rev() {
                let inlet = law.inlet(flow, pressure, 290.0);
                assert_relative_eq!(law.forward(inlet, pressure, 290.0), flow, max_relative = 1e-9);
                pressure = inlet;
            }
            assert_relative_eq!(pressure, 7e5, max_relative = 1e-11);
        }
    }

    #[test]
    fn flow_falls_as_the_outlet_rises_and_turns() {
        let line = laws(&[(2.0, 0.2), (3.0, 0.528), (1.2, 0.4)]);
        let mut last = f64::MAX;
        for step in 1..=140 {
            let flow = mass_flow(&line, 5e5, f64::from(step) * 0.05e5, 290.0);
            assert!(flow <= last * (1.0 + 1e-13));
            last = flow;
        }
        let backwards: Vec<Law> = line.iter().rev().copied().collect();
        let forwards = mass_flow(&backwards, 5e5, 2e5, 290.0);
        assert_relative_eq!(mass_flow(&line, 2e5, 5e5, 290.0), -forwards, max_relative = 1e-14);
        assert_is_closed(mass_flow(&line, 5e5, 5e5, 290.0));
    }

    #[test]
    fn a_check_valve_in_the_line_holds_backwards_and_opens_late() {
        let mut line = laws(&[(2.0, 0.2)]);
        line.push(Law::new(3e-8, 0.3, 0.5, Some(0.3e5)));
        assert_is_closed(mass_flow(&line, 2e5, 5e5, 290.0));
        assert_is_closed(mass_flow(&line, 5e5, 4.71e5, 290.0));
        assert!(mass_flow(&line, 5e5, 4.6e5, 290.0) > 0.0);
    }

    #[test]
    fn of_two_choked_elements_the_first_one_limits() {
        let element = |conductance: f64, ratio: f64| {
            Restriction::new(Conductance::from_si(conductance).unwrap(), Ratio::from(ratio)).unwrap()
        };
        let line = Line::new(vec![element(1e-9, 0.6), element(1e-9 / 0.59, 0.3)]).unwrap();
        let absolute = |value| AbsolutePressure::new(pascals(value)).unwrap();
        let room = ThermodynamicTemperature::new::<kelvin>(293.15);
        let steady = line.flow(absolute(10e5), absolute(1e5), room).unwrap();
        // analytic: 1e-9 * 10 bar = 1e-9/0.59 * 5.9 bar; the drops are 4.1 and 4.9 bar
        assert_relative_eq!(steady.pressures[0].pascals(), 5.9e5, max_relative = 1e-12);
        assert_eq!((steady.limiting, steady.choked), (Some(0), true));
        let back = line.flow(absolute(1e5), absolute(10e5), room).unwrap();
        assert!(back.mass_flow.value < 0.0 && back.pressures[0] > absolute(1e5));
        assert_eq!(line.flow(absolute(2e5), absolute(2e5), room).unwrap().limiting, None);
    }

    #[test]
    fn an_empty_line_is_refused() {
        assert!(Line::new(Vec::new()).is_err());
    }
}
