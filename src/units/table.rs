//! The one list of units that a person may write.
//!
//! | quantity | spellings |
//! |---|---|
//! | pressure | `Pa` `hPa` `kPa` `MPa` `mPa` `mbar` `bar` `psi` `ksi` `atm` `kgf/cm2` `mmHg` `torr` `inHg` `inH2O`; gauge: `psig` `barg` `kPag`; absolute: `psia` `bara` `kPaa`; and every one of them with `(g)`, `gauge`, `(a)` or `abs` behind it |
//! | length | `m` `cm` `mm` `um` `km` `in` `inch` `"` `ft` `'` `yd` |
//! | area | `mm2` `cm2` `m2` `in2` `sq in` `ft2` `sq ft` |
//! | volume | `L` `l` `mL` `cL` `cm3` `cc` `mm3` `dm3` `m3` `in3` `cu in` `ft3` `cu ft` `gal` `US gal` |
//! | mass | `kg` `g` `t` `tonne` `lb` `lbs` `oz` |
//! | force | `N` `kN` `kgf` `lbf` `kip` |
//! | flow of free air | `L/min` `lpm` `L/s` `L/h` `dm3/min` `m3/min` `m3/h` `m3/s` `cfm` `ft3/min`; normal state: `NL/min` `Nm3/h`; standard state: `scfm` `scfh`; and every plain one with `ANR`, `normal`, `standard`, `inlet` or `FAD` (the same as `inlet`) behind it |
//! | volume of free air | `L` `mL` `m3` `ft3` and `NL` `Nm3` `scf`, with the same words behind them |
//! | mass flow | `kg/s` `g/s` `kg/min` `g/min` `kg/h` `lb/s` `lb/min` `lb/h` |
//! | temperature | `degC` `°C` `C` `degF` `°F` `F` `K` |
//! | time | `s` `ms` `min` `h` `day` and the words |
//! | angle | `deg` `°` `rad` |
//! | electric | `V` `mV` `A` `mA` `Ah` `mAh` |
//! | power, energy | `W` `kW` `hp`; `J` `kJ` `MJ` `mJ` `N m` `Wh` `kWh` `ft lbf` `Btu` |
//! | share | `%`, `percent`, or a plain fraction such as `0.7` |
//! | sonic conductance | `L/(s bar)` `L/s/bar` `dm3/(s bar)` `L/(min bar)` `m3/(s Pa)` |
//! | speed | `m/s` `mm/s` `cm/s` `m/min` `ft/s` `ft/min` `in/s` |
//! | rate | `per hour` `/h` `1/h` `per minute` `/min` `/s` `per day` |
//!
//! Factors are exact where the definition is: the inch is 25.4 mm, the pound 0.45359237 kg, standard gravity
//! 9.80665 m/s2, the US gallon 231 in3, the atmosphere 101325 Pa. The conventional columns are of mercury at
//! 13595.1 kg/m3 and of water at 1000 kg/m3.
//!
//! Source: NIST Special Publication 811 (2008), appendix B; ISO 80000-4.

use super::free_air::ReferenceState;
use Dimension::{
    Angle, Area, Charge, Conductance, Current, Density, Energy, Force, Fraction, FreeAirFlow, FreeAirVolume,
    HeatExchange, HeatTransfer, Length, Mass, MassFlow, Moment, Number, PerHour, Power, Pressure, Rate,
    SecondMoment, Speed, Stiffness, Stress, Temperature, Time, Voltage, Volume,
};

/// What kind of quantity a text or a figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Dimension {
    /// Pressure; whether gauge, absolute or a difference is said by the field. SI base: Pa.
    Pressure,
    /// Length, m.
    Length,
    /// Area, m2.
    Area,
    /// Volume, m3.
    Volume,
    /// Mass, kg.
    Mass,
    /// Force, N.
    Force,
    /// Volume flow of free air at the unit's reference state, m3/s.
    FreeAirFlow,
    /// Mass flow, kg/s. Accepted wherever a free-air flow is.
    MassFlow,
    /// A point on the temperature scale, K.
    Temperature,
    /// Time, s.
    Time,
    /// Plane angle, rad.
    Angle,
    /// Electric potential, V.
    Voltage,
    /// Electric current, A.
    Current,
    /// Electric charge, C (a battery's ampere-hours).
    Charge,
    /// Power, W.
    Power,
    /// Energy, J.
    Energy,
    /// A share: percent or a plain fraction, 1.
    Fraction,
    /// Sonic conductance C of ISO 6358, m3/(s Pa) at ANR.
    Conductance,
    /// Volume of free air, m3 ANR. For figures that are shown.
    FreeAirVolume,
    /// Events in a time, 1/s, shown per hour.
    Rate,
    /// Events counted per hour, 1/h. For figures that are shown.
    PerHour,
    /// Speed, m/s.
    Speed,
    /// Density, kg/m3. For figures that are shown.
    Density,
    /// Heat flow by difference of temperature, W/K.
    HeatExchange,
    /// The same by area of wall, W/(m2 K).
    HeatTransfer,
    /// Stress in a solid, Pa. For figures that are shown.
    Stress,
    /// Moment of a force, N m. For figures that are shown.
    Moment,
    /// Second moment of area, m4. For figures that are shown.
    SecondMoment,
    /// Bending stiffness, N m2. For figures that are shown.
    Stiffness,
    /// A plain number without a unit.
    Number,
}

/// What a spelling says beyond its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Nothing: `bar` and `psi` take the kind of their field, `L/min` the field's reference state.
    Plain,
    /// Marked gauge: `psig`, `bar(g)`.
    Gauge,
    /// Marked absolute: `psia`, `bar(a)`, `kPa abs`.
    Absolute,
    /// Tied to a reference state: `L/min ANR`, `NL/min`, `scfm`.
    FreeAir(ReferenceState),
}

/// The units a person of one habit or the other would write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// Metric.
    Metric,
    /// US customary.
    Us,
    /// Common to both: seconds, volts, percent.
    Both,
}

/// One accepted spelling of a unit: `si = value * factor + offset`.
///
/// ```
/// use lungful::units::table::UNITS;
/// let psi = UNITS.iter().find(|unit| unit.spelling == "psi").unwrap();
/// assert!((psi.factor - 6894.757293).abs() < 1e-6); // 4.4482216152605 N / (0.0254 m)^2
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As it is written; empty for a plain number.
    pub spelling: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Size of one unit in the SI base unit of its dimension.
    pub factor: f64,
    /// Place of its zero on the kelvin scale, K. Zero for all but temperatures.
    pub offset: f64,
    /// What the spelling says beyond its size.
    pub mark: Mark,
    /// Who writes it.
    pub system: System,
}

impl Unit {
    const fn marked(self, mark: Mark) -> Self {
        Self { mark, ..self }
    }

    const fn zero_at(self, kelvin: f64) -> Self {
        Self { offset: kelvin, ..self }
    }

    /// A number of this unit in SI, as a difference. A unit that is a whole part of the SI unit is divided by
    /// how many make one: `70 %` is then 0.7 to the last bit, which `70 * 0.01` is not.
    pub(crate) fn scaled(&self, number: f64) -> f64 {
        let parts = self.factor.recip().round();
        // The factor itself carries a rounding or two.
        let is_whole_part = parts > 1.0 && (parts * self.factor - 1.0).abs() <= 2.0 * f64::EPSILON;
        if is_whole_part { number / parts } else { number * self.factor }
    }

    /// Whether two spellings mean the same in every respect, as `L` and `l` do.
    pub(crate) fn same_meaning(&self, other: &Self) -> bool {
        // Bits, since both sides come from this table and equal factors are equal to the last bit.
        self.factor.to_bits() == other.factor.to_bits()
            && self.offset.to_bits() == other.offset.to_bits()
            && self.mark == other.mark
    }
}

impl Dimension {
    /// The kind of quantity in words, with its article, to stand in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pressure => "a pressure",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Mass => "a mass",
            Self::Force => "a force",
            Self::FreeAirFlow => "a flow of free air",
            Self::MassFlow => "a mass flow",
            Self::Temperature => "a temperature",
            Self::Time => "a time",
            Self::Angle => "an angle",
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Charge => "an electric charge",
            Self::Power => "a power",
            Self::Energy => "an energy",
            Self::Fraction => "a share",
            Self::Conductance => "a sonic conductance",
            Self::FreeAirVolume => "a volume of free air",
            Self::Rate | Self::PerHour => "a rate",
            Self::Speed => "a speed",
            Self::Density => "a density",
            Self::HeatExchange => "a heat exchange",
            Self::HeatTransfer => "a heat transfer",
            Self::Stress => "a stress",
            Self::Moment => "a moment",
            Self::SecondMoment => "a second moment of area",
            Self::Stiffness => "a bending stiffness",
            Self::Number => "a plain number",
        }
    }
}

/// The units to name when somebody asks what to write: the usual ones, the most usual first.
///
/// ```
/// use lungful::units::{Dimension, table::units_for};
/// assert_eq!(units_for(Dimension::Force), ["N", "kN", "lbf", "kgf"]);
/// ```
#[must_use]
pub fn units_for(dimension: Dimension) -> Vec<&'static str> {
    usual(dimension).to_vec()
}

pub(crate) const fn usual(dimension: Dimension) -> &'static [&'static str] {
    match dimension {
        Pressure => &["bar", "kPa", "MPa", "psi"],
        Length => &["mm", "cm", "m", "in", "ft"],
        Area => &["mm2", "cm2", "in2"],
        Volume => &["L", "mL", "cm3", "in3", "gal"],
        Mass => &["kg", "g", "lb", "oz"],
        Force => &["N", "kN", "lbf", "kgf"],
        FreeAirFlow => &["L/min", "L/min ANR", "NL/min", "m3/h", "cfm", "scfm", "g/s"],
        MassFlow => &["g/s", "kg/s", "kg/h", "lb/min"],
        Temperature => &["degC", "degF", "K"],
        Time => &["s", "min", "h"],
        Angle => &["deg", "rad"],
        Voltage => &["V", "mV"],
        Current => &["A", "mA"],
        Charge => &["Ah", "mAh"],
        Power => &["W", "kW", "hp"],
        Energy => &["J", "kJ", "Wh", "ft lbf"],
        Fraction => &["%"],
        Conductance => &["L/(s bar)", "dm3/(s bar)", "m3/(s Pa)"],
        FreeAirVolume => &["L ANR", "NL", "ft3 ANR", "scf"],
        Rate => &["per hour", "per minute"],
        HeatExchange => &["W/K", "Btu/(h degF)"],
        HeatTransfer => &["W/(m2 K)", "Btu/(h ft2 degF)"],
        Speed => &["mm/s", "m/s", "in/s", "ft/s"],
        // Shown, never asked for.
        Density | PerHour | Number | Stress | Moment | SecondMoment | Stiffness => &[],
    }
}

// Definitions, exact.
pub(crate) const INCH: f64 = 0.0254;
pub(crate) const FOOT: f64 = 0.3048;
const BTU: f64 = 1_055.055_852_62;
/// A degree Fahrenheit is 5/9 K.
pub(crate) const BTU_PER_HOUR_AND_DEGREE: f64 = BTU * 9.0 / (5.0 * 3600.0);
pub(crate) const POUND: f64 = 0.453_592_37;
pub(crate) const OUNCE: f64 = POUND / 16.0;
/// Standard gravity, m/s2.
pub(crate) const GRAVITY: f64 = 9.806_65;
pub(crate) const POUND_FORCE: f64 = 4.448_221_615_260_5;
pub(crate) const PSI: f64 = POUND_FORCE / (INCH * INCH);
pub(crate) const BAR: f64 = 100_000.0;
const ATMOSPHERE: f64 = 101_325.0;
const MILLIMETRE_MERCURY: f64 = 133.322_387_415;
const INCH_WATER: f64 = 249.088_91;
pub(crate) const LITRE: f64 = 0.001;
pub(crate) const CUBIC_INCH: f64 = 1.638_706_4e-5;
pub(crate) const CUBIC_FOOT: f64 = 0.028_316_846_592;
pub(crate) const GALLON: f64 = 0.003_785_411_784;
pub(crate) const MINUTE: f64 = 60.0;
pub(crate) const HOUR: f64 = 3600.0;
const DAY: f64 = 86_400.0;
pub(crate) const DEGREE: f64 = std::f64::consts::PI / 180.0;
pub(crate) const FOOT_POUND: f64 = 1.355_817_948_331_400_4;
pub(crate) const ICE_POINT: f64 = 273.15;
pub(crate) const FAHRENHEIT: f64 = 5.0 / 9.0;
pub(crate) const FAHRENHEIT_ZERO: f64 = 459.67 * 5.0 / 9.0;
/// One L/(s bar) in m3/(s Pa).
pub(crate) const LITRE_PER_SECOND_BAR: f64 = 1e-8;

const NORMAL: Mark = Mark::FreeAir(ReferenceState::Normal);
const STANDARD: Mark = Mark::FreeAir(ReferenceState::Standard);

const fn metric(spelling: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit { spelling, dimension, factor, offset: 0.0, mark: Mark::Plain, system: System::Metric }
}

const fn us(spelling: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit { spelling, dimension, factor, offset: 0.0, mark: Mark::Plain, system: System::Us }
}

const fn both(spelling: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit { spelling, dimension, factor, offset: 0.0, mark: Mark::Plain, system: System::Both }
}

/// A share without a unit, such as `0.7`.
pub(crate) static PLAIN_FRACTION: Unit = both("", Fraction, 1.0);
/// A number without a unit.
pub(crate) static PLAIN_NUMBER: Unit = both("", Number, 1.0);

/// Every accepted spelling. `mPa` and `mJ` are here so that `MPA` or `mj` is seen to be ambiguous instead of
/// being read as a thousand million times something else.
pub static UNITS: &[Unit] = &[
    metric("bar", Pressure, BAR),
    metric("mbar", Pressure, 100.0),
    metric("Pa", Pressure, 1.0),
    metric("hPa", Pressure, 100.0),
    metric("kPa", Pressure, 1000.0),
    metric("MPa", Pressure, 1e6),
    metric("mPa", Pressure, 0.001),
    metric("barg", Pressure, BAR).marked(Mark::Gauge),
    metric("bara", Pressure, BAR).marked(Mark::Absolute),
    metric("kPag", Pressure, 1000.0).marked(Mark::Gauge),
    metric("kPaa", Pressure, 1000.0).marked(Mark::Absolute),
    metric("atm", Pressure, ATMOSPHERE),
    metric("kgf/cm2", Pressure, 98_066.5),
    metric("kg/cm2", Pressure, 98_066.5),
    metric("mmHg", Pressure, MILLIMETRE_MERCURY),
    metric("torr", Pressure, ATMOSPHERE / 760.0),
    us("psi", Pressure, PSI),
    us("psig", Pressure, PSI).marked(Mark::Gauge),
    us("psia", Pressure, PSI).marked(Mark::Absolute),
    us("lbf/in2", Pressure, PSI),
    us("lb/in2", Pressure, PSI),
    us("ksi", Pressure, 1000.0 * PSI),
    us("inHg", Pressure, 25.4 * MILLIMETRE_MERCURY),
    us("inH2O", Pressure, INCH_WATER),
    metric("mm", Length, 0.001),
    metric("cm", Length, 0.01),
    metric("m", Length, 1.0),
    metric("um", Length, 1e-6),
    metric("km", Length, 1000.0),
    metric("metre", Length, 1.0),
    metric("metres", Length, 1.0),
    metric("meter", Length, 1.0),
    metric("meters", Length, 1.0),
    us("in", Length, INCH),
    us("in.", Length, INCH),
    us("inch", Length, INCH),
    us("inches", Length, INCH),
    us("\"", Length, INCH),
    us("ft", Length, FOOT),
    us("ft.", Length, FOOT),
    us("foot", Length, FOOT),
    us("feet", Length, FOOT),
    us("'", Length, FOOT),
    us("yd", Length, 3.0 * FOOT),
    metric("mm2", Area, 1e-6),
    metric("cm2", Area, 1e-4),
    metric("m2", Area, 1.0),
    metric("sq mm", Area, 1e-6),
    metric("sq cm", Area, 1e-4),
    us("in2", Area, INCH * INCH),
    us("sq in", Area, INCH * INCH),
    us("ft2", Area, FOOT * FOOT),
    us("sq ft", Area, FOOT * FOOT),
    metric("L", Volume, LITRE),
    metric("l", Volume, LITRE),
    metric("litre", Volume, LITRE),
    metric("litres", Volume, LITRE),
    metric("liter", Volume, LITRE),
    metric("liters", Volume, LITRE),
    metric("mL", Volume, 1e-6),
    metric("ml", Volume, 1e-6),
    metric("cL", Volume, 1e-5),
    metric("cl", Volume, 1e-5),
    metric("cm3", Volume, 1e-6),
    metric("cc", Volume, 1e-6),
    metric("mm3", Volume, 1e-9),
    metric("dm3", Volume, LITRE),
    metric("m3", Volume, 1.0),
    us("in3", Volume, CUBIC_INCH),
    us("cu in", Volume, CUBIC_INCH),
    us("ft3", Volume, CUBIC_FOOT),
    us("cu ft", Volume, CUBIC_FOOT),
    us("gal", Volume, GALLON),
    us("US gal", Volume, GALLON),
    us("gallon", Volume, GALLON),
    us("gallons", Volume, GALLON),
    us("US gallon", Volume, GALLON),
    us("US gallons", Volume, GALLON),
    metric("kg", Mass, 1.0),
    metric("g", Mass, 0.001),
    metric("t", Mass, 1000.0),
    metric("tonne", Mass, 1000.0),
    metric("tonnes", Mass, 1000.0),
    us("lb", Mass, POUND),
    us("lbs", Mass, POUND),
    us("lbm", Mass, POUND),
    us("pound", Mass, POUND),
    us("pounds", Mass, POUND),
    us("oz", Mass, OUNCE),
    metric("N", Force, 1.0),
    metric("kN", Force, 1000.0),
    metric("kgf", Force, GRAVITY),
    us("lbf", Force, POUND_FORCE),
    us("kip", Force, 1000.0 * POUND_FORCE),
    metric("L/min", FreeAirFlow, LITRE / MINUTE),
    metric("l/min", FreeAirFlow, LITRE / MINUTE),
    metric("lpm", FreeAirFlow, LITRE / MINUTE),
    metric("L/s", FreeAirFlow, LITRE),
    metric("l/s", FreeAirFlow, LITRE),
    metric("L/h", FreeAirFlow, LITRE / HOUR),
    metric("l/h", FreeAirFlow, LITRE / HOUR),
    metric("dm3/min", FreeAirFlow, LITRE / MINUTE),
    metric("dm3/s", FreeAirFlow, LITRE),
    metric("m3/s", FreeAirFlow, 1.0),
    metric("m3/min", FreeAirFlow, 1.0 / MINUTE),
    metric("m3/h", FreeAirFlow, 1.0 / HOUR),
    metric("NL/min", FreeAirFlow, LITRE / MINUTE).marked(NORMAL),
    metric("Nl/min", FreeAirFlow, LITRE / MINUTE).marked(NORMAL),
    metric("NL/s", FreeAirFlow, LITRE).marked(NORMAL),
    metric("NL/h", FreeAirFlow, LITRE / HOUR).marked(NORMAL),
    metric("Nm3/min", FreeAirFlow, 1.0 / MINUTE).marked(NORMAL),
    metric("Nm3/h", FreeAirFlow, 1.0 / HOUR).marked(NORMAL),
    us("cfm", FreeAirFlow, CUBIC_FOOT / MINUTE),
    us("ft3/min", FreeAirFlow, CUBIC_FOOT / MINUTE),
    us("cu ft/min", FreeAirFlow, CUBIC_FOOT / MINUTE),
    us("cfh", FreeAirFlow, CUBIC_FOOT / HOUR),
    us("ft3/h", FreeAirFlow, CUBIC_FOOT / HOUR),
    us("ft3/s", FreeAirFlow, CUBIC_FOOT),
    us("scfm", FreeAirFlow, CUBIC_FOOT / MINUTE).marked(STANDARD),
    us("scfh", FreeAirFlow, CUBIC_FOOT / HOUR).marked(STANDARD),
    metric("g/s", MassFlow, 0.001),
    metric("kg/s", MassFlow, 1.0),
    metric("kg/min", MassFlow, 1.0 / MINUTE),
    metric("g/min", MassFlow, 0.001 / MINUTE),
    metric("kg/h", MassFlow, 1.0 / HOUR),
    us("lb/s", MassFlow, POUND),
    us("lb/min", MassFlow, POUND / MINUTE),
    us("lb/h", MassFlow, POUND / HOUR),
    metric("degC", Temperature, 1.0).zero_at(ICE_POINT),
    metric("°C", Temperature, 1.0).zero_at(ICE_POINT),
    metric("deg C", Temperature, 1.0).zero_at(ICE_POINT),
    metric("C", Temperature, 1.0).zero_at(ICE_POINT),
    metric("celsius", Temperature, 1.0).zero_at(ICE_POINT),
    metric("K", Temperature, 1.0),
    metric("kelvin", Temperature, 1.0),
    us("degF", Temperature, FAHRENHEIT).zero_at(FAHRENHEIT_ZERO),
    us("°F", Temperature, FAHRENHEIT).zero_at(FAHRENHEIT_ZERO),
    us("deg F", Temperature, FAHRENHEIT).zero_at(FAHRENHEIT_ZERO),
    us("F", Temperature, FAHRENHEIT).zero_at(FAHRENHEIT_ZERO),
    us("fahrenheit", Temperature, FAHRENHEIT).zero_at(FAHRENHEIT_ZERO),
    both("s", Time, 1.0),
    both("sec", Time, 1.0),
    both("secs", Time, 1.0),
    both("second", Time, 1.0),
    both("seconds", Time, 1.0),
    both("ms", Time, 0.001),
    both("min", Time, MINUTE),
    both("mins", Time, MINUTE),
    both("minute", Time, MINUTE),
    both("minutes", Time, MINUTE),
    both("h", Time, HOUR),
    both("hr", Time, HOUR),
    both("hrs", Time, HOUR),
    both("hour", Time, HOUR),
    both("hours", Time, HOUR),
    both("day", Time, DAY),
    both("days", Time, DAY),
    both("deg", Angle, DEGREE),
    both("°", Angle, DEGREE),
    both("degree", Angle, DEGREE),
    both("degrees", Angle, DEGREE),
    both("rad", Angle, 1.0),
    both("V", Voltage, 1.0),
    both("mV", Voltage, 0.001),
    both("volt", Voltage, 1.0),
    both("volts", Voltage, 1.0),
    both("A", Current, 1.0),
    both("mA", Current, 0.001),
    both("amp", Current, 1.0),
    both("amps", Current, 1.0),
    both("Ah", Charge, HOUR),
    both("mAh", Charge, 0.001 * HOUR),
    both("A h", Charge, HOUR),
    both("W", Power, 1.0),
    both("kW", Power, 1000.0),
    both("watt", Power, 1.0),
    both("watts", Power, 1.0),
    us("hp", Power, 550.0 * FOOT_POUND),
    metric("J", Energy, 1.0),
    metric("kJ", Energy, 1000.0),
    metric("MJ", Energy, 1e6),
    metric("mJ", Energy, 0.001),
    metric("N m", Energy, 1.0),
    metric("Nm", Energy, 1.0),
    metric("Wh", Energy, HOUR),
    metric("kWh", Energy, 1000.0 * HOUR),
    us("ft lbf", Energy, FOOT_POUND),
    us("ft lb", Energy, FOOT_POUND),
    us("Btu", Energy, BTU),
    both("%", Fraction, 0.01),
    both("percent", Fraction, 0.01),
    both("per cent", Fraction, 0.01),
    metric("L/(s bar)", Conductance, LITRE_PER_SECOND_BAR),
    metric("l/(s bar)", Conductance, LITRE_PER_SECOND_BAR),
    metric("L/s/bar", Conductance, LITRE_PER_SECOND_BAR),
    metric("l/s/bar", Conductance, LITRE_PER_SECOND_BAR),
    metric("dm3/(s bar)", Conductance, LITRE_PER_SECOND_BAR),
    metric("dm3/s/bar", Conductance, LITRE_PER_SECOND_BAR),
    metric("L/(min bar)", Conductance, LITRE_PER_SECOND_BAR / MINUTE),
    metric("l/(min bar)", Conductance, LITRE_PER_SECOND_BAR / MINUTE),
    metric("L/min/bar", Conductance, LITRE_PER_SECOND_BAR / MINUTE),
    metric("l/min/bar", Conductance, LITRE_PER_SECOND_BAR / MINUTE),
    metric("dm3/(min bar)", Conductance, LITRE_PER_SECOND_BAR / MINUTE),
    metric("m3/(s Pa)", Conductance, 1.0),
    metric("m3/s/Pa", Conductance, 1.0),
    metric("L", FreeAirVolume, LITRE),
    metric("W/K", HeatExchange, 1.0),
    us("Btu/(h degF)", HeatExchange, BTU_PER_HOUR_AND_DEGREE),
    metric("W/(m2 K)", HeatTransfer, 1.0),
    us("Btu/(h ft2 degF)", HeatTransfer, BTU_PER_HOUR_AND_DEGREE / (FOOT * FOOT)),
    metric("l", FreeAirVolume, LITRE),
    metric("litre", FreeAirVolume, LITRE),
    metric("litres", FreeAirVolume, LITRE),
    metric("liter", FreeAirVolume, LITRE),
    metric("liters", FreeAirVolume, LITRE),
    metric("mL", FreeAirVolume, 1e-6),
    metric("ml", FreeAirVolume, 1e-6),
    metric("dm3", FreeAirVolume, LITRE),
    metric("m3", FreeAirVolume, 1.0),
    metric("NL", FreeAirVolume, LITRE).marked(NORMAL),
    metric("Nl", FreeAirVolume, LITRE).marked(NORMAL),
    metric("Nm3", FreeAirVolume, 1.0).marked(NORMAL),
    us("ft3", FreeAirVolume, CUBIC_FOOT),
    us("cu ft", FreeAirVolume, CUBIC_FOOT),
    us("scf", FreeAirVolume, CUBIC_FOOT).marked(STANDARD),
    both("per hour", Rate, 1.0 / HOUR),
    both("per h", Rate, 1.0 / HOUR),
    both("/h", Rate, 1.0 / HOUR),
    both("1/h", Rate, 1.0 / HOUR),
    both("/hour", Rate, 1.0 / HOUR),
    both("an hour", Rate, 1.0 / HOUR),
    both("per minute", Rate, 1.0 / MINUTE),
    both("per min", Rate, 1.0 / MINUTE),
    both("/min", Rate, 1.0 / MINUTE),
    both("1/min", Rate, 1.0 / MINUTE),
    both("per second", Rate, 1.0),
    both("/s", Rate, 1.0),
    both("1/s", Rate, 1.0),
    both("per day", Rate, 1.0 / DAY),
    both("/day", Rate, 1.0 / DAY),
    metric("mm/s", Speed, 0.001),
    metric("cm/s", Speed, 0.01),
    metric("m/s", Speed, 1.0),
    metric("m/min", Speed, 1.0 / MINUTE),
    metric("mm/min", Speed, 0.001 / MINUTE),
    metric("km/h", Speed, 1000.0 / HOUR),
    us("in/s", Speed, INCH),
    us("ft/s", Speed, FOOT),
    us("ft/min", Speed, FOOT / MINUTE),
    us("in/min", Speed, INCH / MINUTE),
];

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    /// Sizes worked out from the definitions in exact rational arithmetic (inch 0.0254 m, pound 0.45359237 kg,
    /// gravity 9.80665 m/s2, gallon 231 in3, mercury 13595.1 kg/m3, water 1000 kg/m3, Btu(IT) 4186.8 J for one
    /// kg and degree Celsius) and rounded once to f64. Analytic.
    const SIZES: &[(Dimension, f64, &[&str])] = &[
        (Pressure, 0.001, &["mPa"]),
        (Pressure, 1.0, &["Pa"]),
        (Pressure, 100.0, &["hPa", "mbar"]),
        (Pressure, 1e3, &["kPa", "kPag", "kPaa"]),
        (Pressure, 1e5, &["bar", "barg", "bara"]),
        (Pressure, 1e6, &["MPa"]),
        (Pressure, 101_325.0, &["atm"]),
        (Pressure, 98_066.5, &["kgf/cm2", "kg/cm2"]),
        (Pressure, 133.322_387_415, &["mmHg"]),
        (Pressure, 133.322_368_421_052_63, &["torr"]),
        (Pressure, 3_386.388_640_341, &["inHg"]),
        (Pressure, 249.088_91, &["inH2O"]),
        (Pressure, 6_894.757_293_168_362, &["psi", "psig", "psia", "lbf/in2", "lb/in2"]),
        (Pressure, 6_894_757.293_168_362, &["ksi"]),
        (Length, 1e-6, &["um"]),
        (Length, 0.001, &["mm"]),
        (Length, 0.01, &["cm"]),
        (Length, 1.0, &["m", "metre", "metres", "meter", "meters"]),
        (Length, 1e3, &["km"]),
        (Length, 0.0254, &["in", "in.", "inch", "inches", "\""]),
        (Length, 0.3048, &["ft", "ft.", "foot", "feet", "'"]),
        (Length, 0.9144, &["yd"]),
        (Area, 1e-6, &["mm2", "sq mm"]),
        (Area, 1e-4, &["cm2", "sq cm"]),
        (Area, 1.0, &["m2"]),
        (Area, 0.000_645_16, &["in2", "sq in"]),
        (Area, 0.092_903_04, &["ft2", "sq ft"]),
        (Volume, 1e-9, &["mm3"]),
        (Volume, 1e-6, &["mL", "ml", "cm3", "cc"]),
        (Volume, 1e-5, &["cL", "cl"]),
        (Volume, 1e-3, &["L", "l", "litre", "litres", "liter", "liters", "dm3"]),
        (Volume, 1.0, &["m3"]),
        (Volume, 1.638_706_4e-5, &["in3", "cu in"]),
        (Volume, 0.028_316_846_592, &["ft3", "cu ft"]),
        (Volume, 0.003_785_411_784, &["gal", "US gal", "gallon", "gallons", "US gallon", "US gallons"]),
        (Mass, 0.001, &["g"]),
        (Mass, 1.0, &["kg"]),
        (Mass, 1e3, &["t", "tonne", "tonnes"]),
        (Mass, 0.453_592_37, &["lb", "lbs", "lbm", "pound", "pounds"]),
        (Mass, 0.028_349_523_125, &["oz"]),
        (Force, 1.0, &["N"]),
        (Force, 1e3, &["kN"]),
        (Force, 9.806_65, &["kgf"]),
        (Force, 4.448_221_615_260_5, &["lbf"]),
        (Force, 4_448.221_615_260_5, &["kip"]),
        (FreeAirFlow, 1e-3 / 60.0, &["L/min", "l/min", "lpm", "dm3/min", "NL/min", "Nl/min"]),
        (FreeAirFlow, 1e-3, &["L/s", "l/s", "dm3/s", "NL/s"]),
        (FreeAirFlow, 1e-3 / 3600.0, &["L/h", "l/h", "NL/h"]),
        (FreeAirFlow, 1.0, &["m3/s"]),
        (FreeAirFlow, 1.0 / 60.0, &["m3/min", "Nm3/min"]),
        (FreeAirFlow, 1.0 / 3600.0, &["m3/h", "Nm3/h"]),
        (FreeAirFlow, 4.719_474_432e-4, &["cfm", "ft3/min", "cu ft/min", "scfm"]),
        (FreeAirFlow, 4.719_474_432e-4 / 60.0, &["cfh", "ft3/h", "scfh"]),
        (FreeAirFlow, 0.028_316_846_592, &["ft3/s"]),
        (MassFlow, 1e-3, &["g/s"]),
        (MassFlow, 1.0, &["kg/s"]),
        (MassFlow, 1.0 / 60.0, &["kg/min"]),
        (MassFlow, 1e-3 / 60.0, &["g/min"]),
        (MassFlow, 1.0 / 3600.0, &["kg/h"]),
        (MassFlow, 0.453_592_37, &["lb/s"]),
        (MassFlow, 0.007_559_872_833_333_333, &["lb/min"]),
        (MassFlow, 0.453_592_37 / 3600.0, &["lb/h"]),
        (Temperature, 1.0, &["degC", "°C", "deg C", "C", "celsius", "K", "kelvin"]),
        (Temperature, 5.0 / 9.0, &["degF", "°F", "deg F", "F", "fahrenheit"]),
        (Time, 0.001, &["ms"]),
        (Time, 1.0, &["s", "sec", "secs", "second", "seconds"]),
        (Time, 60.0, &["min", "mins", "minute", "minutes"]),
        (Time, 3600.0, &["h", "hr", "hrs", "hour", "hours"]),
        (Time, 86_400.0, &["day", "days"]),
        (Angle, 0.017_453_292_519_943_295, &["deg", "°", "degree", "degrees"]),
        (Angle, 1.0, &["rad"]),
        (Voltage, 1.0, &["V", "volt", "volts"]),
        (Voltage, 0.001, &["mV"]),
        (Current, 1.0, &["A", "amp", "amps"]),
        (Current, 0.001, &["mA"]),
        (Charge, 3600.0, &["Ah", "A h"]),
        (Charge, 3.6, &["mAh"]),
        (Power, 1.0, &["W", "watt", "watts"]),
        (Power, 1e3, &["kW"]),
        (Power, 745.699_871_582_270_2, &["hp"]),
        (Energy, 0.001, &["mJ"]),
        (Energy, 1.0, &["J", "N m", "Nm"]),
        (Energy, 1e3, &["kJ"]),
        (Energy, 1e6, &["MJ"]),
        (Energy, 3600.0, &["Wh"]),
        (Energy, 3.6e6, &["kWh"]),
        (Energy, 1.355_817_948_331_400_3, &["ft lbf", "ft lb"]),
        (Energy, 1_055.055_852_62, &["Btu"]),
        (Fraction, 0.01, &["%", "percent", "per cent"]),
        (Conductance, 1e-8, &["L/(s bar)", "l/(s bar)", "L/s/bar", "l/s/bar", "dm3/(s bar)", "dm3/s/bar"]),
        (
            Conductance,
            1e-8 / 60.0,
            &["L/(min bar)", "l/(min bar)", "L/min/bar", "l/min/bar", "dm3/(min bar)"],
        ),
        (Conductance, 1.0, &["m3/(s Pa)", "m3/s/Pa"]),
        (HeatExchange, 1.0, &["W/K"]),
        // 1055.05585262 J in 3600 s, by 5/9 K; an area of 0.09290304 m2.
        (HeatExchange, 0.527_527_926_31, &["Btu/(h degF)"]),
        (HeatTransfer, 1.0, &["W/(m2 K)"]),
        (HeatTransfer, 0.527_527_926_31 / 0.092_903_04, &["Btu/(h ft2 degF)"]),
        (FreeAirVolume, 1e-3, &["L", "l", "litre", "litres", "liter", "liters", "dm3", "NL", "Nl"]),
        (FreeAirVolume, 1e-6, &["mL", "ml"]),
        (FreeAirVolume, 1.0, &["m3", "Nm3"]),
        (FreeAirVolume, 0.028_316_846_592, &["ft3", "cu ft", "scf"]),
        (Rate, 1.0 / 3600.0, &["per hour", "per h", "/h", "1/h", "/hour", "an hour"]),
        (Rate, 1.0 / 60.0, &["per minute", "per min", "/min", "1/min"]),
        (Rate, 1.0, &["per second", "/s", "1/s"]),
        (Rate, 1.0 / 86_400.0, &["per day", "/day"]),
        (Speed, 0.001, &["mm/s"]),
        (Speed, 0.01, &["cm/s"]),
        (Speed, 1.0, &["m/s"]),
        (Speed, 1.0 / 60.0, &["m/min"]),
        (Speed, 0.001 / 60.0, &["mm/min"]),
        (Speed, 1.0 / 3.6, &["km/h"]),
        (Speed, 0.0254, &["in/s"]),
        (Speed, 0.3048, &["ft/s"]),
        (Speed, 0.005_08, &["ft/min"]),
        (Speed, 0.0254 / 60.0, &["in/min"]),
    ];

    #[test]
    fn every_factor_follows_from_its_definition() {
        for unit in UNITS {
            let size = SIZES
                .iter()
                .find(|(dimension, _, spellings)| {
                    *dimension == unit.dimension && spellings.contains(&unit.spelling)
                })
                .unwrap_or_else(|| {
                    panic!("no definition for `{}`, {}", unit.spelling, unit.dimension.words())
                })
                .1;
            // A few roundings of f64.
            assert_relative_eq!(unit.factor, size, max_relative = 1e-15);
        }
    }

    #[test]
    fn scales_have_their_zero_in_the_right_place() {
        for unit in UNITS {
            // 0 degF is -17.777... degC, 459.67 steps of 5/9 K above absolute zero. Analytic.
            let zero = match unit.spelling {
                "degC" | "°C" | "deg C" | "C" | "celsius" => 273.15,
                "degF" | "°F" | "deg F" | "F" | "fahrenheit" => 255.372_222_222_222_2,
                _ => 0.0,
            };
            assert_relative_eq!(unit.offset, zero, max_relative = 1e-15);
        }
    }

    #[test]
    fn marks_stand_on_the_units_that_say_them() {
        for unit in UNITS {
            let mark = match unit.spelling {
                "psig" | "barg" | "kPag" => Mark::Gauge,
                "psia" | "bara" | "kPaa" => Mark::Absolute,
                "scfm" | "scfh" | "scf" => STANDARD,
                "NL/min" | "Nl/min" | "NL/s" | "NL/h" | "Nm3/min" | "Nm3/h" | "NL" | "Nl" | "Nm3" => NORMAL,
                _ => Mark::Plain,
            };
            assert_eq!(unit.mark, mark, "{}", unit.spelling);
        }
    }
}
