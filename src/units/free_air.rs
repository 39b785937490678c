//! Amounts and flows of free air, tied to the reference state that gives a volume its meaning.
//!
//! "One litre of free air" is a mass only together with a state. Four states are in use here:
//!
//! | state | pressure | temperature | humidity | document |
//! |---|---|---|---|---|
//! | [`Anr`](ReferenceState::Anr) | 100 kPa | 20 degC | 65 % | ISO 8778; density taken as 1.185 kg/m3 |
//! | [`Normal`](ReferenceState::Normal) | 101.325 kPa | 0 degC | dry | DIN 1343 |
//! | [`Standard`](ReferenceState::Standard) | 14.696 psia | 68 degF | dry | the `scfm` of this program |
//! | [`Inlet`](ReferenceState::Inlet) | of the site | of the site | dry | ISO 1217 (a compressor's delivery) |

use uom::si::f64::{Volume, VolumeRate};

/// The state at which a volume of free air is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReferenceState {
    /// Technical reference atmosphere (ISO 8778): 20 degC, 100 kPa, 65 % relative humidity.
    Anr,
    /// Normal state (DIN 1343): 0 degC, 101.325 kPa, dry.
    Normal,
    /// Standard cubic feet as counted here: 14.696 psia, 68 degF, dry.
    Standard,
    /// The air of the site, at its own pressure and temperature.
    Inlet,
}

impl ReferenceState {
    /// The state in words, as printed beside a figure.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Anr => "ANR (20 degC, 100 kPa, 65 % RH)",
            Self::Normal => "normal (0 degC, 101.325 kPa, dry)",
            Self::Standard => "standard (68 degF, 14.696 psia, dry)",
            Self::Inlet => "inlet (air of the site)",
        }
    }
}

/// A volume flow of free air and the state at which it is counted.
///
/// Two flows at different states do not add, compare or convert without the density of air, so none of
/// these operations exists here; [`air::reference`](crate::air::reference) turns a flow into mass.
///
/// ```
/// # use lungful::units::{FreeAirFlow, ReferenceState};
/// # use uom::si::{f64::VolumeRate, volume_rate::liter_per_minute};
/// let pump = FreeAirFlow::new(VolumeRate::new::<liter_per_minute>(32.0), ReferenceState::Inlet);
/// assert_eq!(pump.reference(), ReferenceState::Inlet);
/// ```
///
/// ```compile_fail,E0369
/// # use lungful::units::{FreeAirFlow, ReferenceState};
/// # use uom::si::{f64::VolumeRate, volume_rate::liter_per_minute};
/// let pump = FreeAirFlow::new(VolumeRate::new::<liter_per_minute>(32.0), ReferenceState::Inlet);
/// let valve = FreeAirFlow::new(VolumeRate::new::<liter_per_minute>(30.0), ReferenceState::Anr);
/// let _ = pump > valve; // no common state, no comparison
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeAirFlow {
    volume_rate: VolumeRate,
    reference: ReferenceState,
}

impl FreeAirFlow {
    /// A flow counted at `reference`.
    #[must_use]
    pub const fn new(volume_rate: VolumeRate, reference: ReferenceState) -> Self {
        Self { volume_rate, reference }
    }

    /// The volume flow at its own reference state.
    #[must_use]
    pub const fn volume_rate(self) -> VolumeRate {
        self.volume_rate
    }

    /// The state at which the volume is counted.
    #[must_use]
    pub const fn reference(self) -> ReferenceState {
        self.reference
    }
}

/// An amount of free air by volume and the state at which it is counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeAirVolume {
    volume: Volume,
    reference: ReferenceState,
}

impl FreeAirVolume {
    /// An amount counted at `reference`.
    #[must_use]
    pub const fn new(volume: Volume, reference: ReferenceState) -> Self {
        Self { volume, reference }
    }

    /// The volume at its own reference state.
    #[must_use]
    pub const fn volume(self) -> Volume {
        self.volume
    }

    /// The state at which the volume is counted.
    #[must_use]
    pub const fn reference(self) -> ReferenceState {
        self.reference
    }
}
