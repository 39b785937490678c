//! The course of a session in rows. Numbers in SI units with the unit in the name.

use std::fmt::Write;

use super::model::Position;
use super::schedule::Action;

/// One moment of a session.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Time.
    pub time_s: f64,
    /// What is being done.
    pub action: Action,
    /// How the pistons stand.
    pub mode: Mode,
    /// Tank pressure.
    pub tank_pa_gauge: f64,
    /// Temperature of the air in the tank.
    pub tank_k: f64,
    /// Pressure on the cap side.
    pub cap_pa_gauge: f64,
    /// Temperature of the air there.
    pub cap_k: f64,
    /// Pressure on a driven rod side.
    pub rod_pa_gauge: Option<f64>,
    /// Temperature of the air there.
    pub rod_k: Option<f64>,
    /// Travel of the pistons.
    pub travel_m: f64,
    /// Height of the load above its start.
    pub height_m: f64,
    /// Whether the pump runs.
    pub pump_on: bool,
    /// Energy drawn from the battery so far.
    pub drawn_j: f64,
}

/// How the pistons stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// At the start of the travel.
    Resting,
    /// Moving outward.
    Rising,
    /// Standing on the way, by friction or by the balance of air and load.
    Held,
    /// Moving inward.
    Falling,
    /// At the end of the travel.
    AtStop,
}

impl From<Position> for Mode {
    fn from(position: Position) -> Self {
        match position {
            Position::Bottom => Self::Resting,
            Position::Rising => Self::Rising,
            Position::Held => Self::Held,
            Position::Falling => Self::Falling,
            Position::Top => Self::AtStop,
        }
    }
}

impl Mode {
    /// The word for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Resting => "resting",
            Self::Rising => "rising",
            Self::Held => "held",
            Self::Falling => "falling",
            Self::AtStop => "at stop",
        }
    }
}

impl Action {
    /// The word for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Raise => "raise",
            Self::Hold => "hold",
            Self::Lower => "lower",
            Self::Rest => "rest",
        }
    }
}

impl Row {
    /// Names of the columns, as a CSV line without its end.
    pub const CSV_HEAD: &'static str = "time_s,action,mode,tank_pa_gauge,tank_k,cap_pa_gauge,cap_k,rod_pa_gauge,\
                                        rod_k,travel_m,height_m,pump_on,drawn_j";

    /// The row as a CSV line without its end; what does not apply is empty.
    ///
    /// ```
    /// # use lungful::rehearsal::{Action, Mode, Row};
    /// let row = Row {
    ///     time_s: 1.5,
    ///     action: Action::Hold,
    ///     mode: Mode::AtStop,
    ///     tank_pa_gauge: 8e5,
    ///     tank_k: 290.25,
    ///     cap_pa_gauge: 5e5,
    ///     cap_k: 295.0,
    ///     rod_pa_gauge: None,
    ///     rod_k: None,
    ///     travel_m: 0.4,
    ///     height_m: 0.4,
    ///     pump_on: false,
    ///     drawn_j: 0.0,
    /// };
    /// assert_eq!(row.csv(), "1.5,hold,at stop,800000,290.25,500000,295,,,0.4,0.4,0,0");
    /// assert_eq!(row.csv().split(',').count(), Row::CSV_HEAD.split(',').count());
    /// assert!(row.json().contains("\"rod_k\":null"));
    /// ```
    #[must_use]
    pub fn csv(&self) -> String {
        let mut line = String::with_capacity(128);
        let optional = |value: Option<f64>| value.map(|value| value.to_string()).unwrap_or_default();
        // Writing to a string cannot fail.
        let _ = write!(
            line,
            "{},{},{},{},{},{},{},{},{},{},{},{},{}",
            self.time_s,
            self.action.name(),
            self.mode.name(),
            self.tank_pa_gauge,
            self.tank_k,
            self.cap_pa_gauge,
            self.cap_k,
            optional(self.rod_pa_gauge),
            optional(self.rod_k),
            self.travel_m,
            self.height_m,
            u8::from(self.pump_on),
            self.drawn_j,
        );
        line
    }

    /// The row as a JSON object on one line; what does not apply is `null`.
    #[must_use]
    pub fn json(&self) -> String {
        let mut line = String::with_capacity(256);
        let optional =
            |value: Option<f64>| value.map_or_else(|| "null".to_owned(), |value| value.to_string());
        let _ = write!(
            line,
            "{{\"time_s\":{},\"action\":\"{}\",\"mode\":\"{}\",\"tank_pa_gauge\":{},\"tank_k\":{},\
             \"cap_pa_gauge\":{},\"cap_k\":{},\"rod_pa_gauge\":{},\"rod_k\":{},\"travel_m\":{},\
             \"height_m\":{},\"pump_on\":{},\"drawn_j\":{}}}",
            self.time_s,
            self.action.name(),
            self.mode.name(),
            self.tank_pa_gauge,
            self.tank_k,
            self.cap_pa_gauge,
            self.cap_k,
            optional(self.rod_pa_gauge),
            optional(self.rod_k),
            self.travel_m,
            self.height_m,
            self.pump_on,
            self.drawn_j,
        );
        line
    }
}
