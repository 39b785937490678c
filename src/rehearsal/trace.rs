//! The course of a session in rows. Numbers in SI units with the unit in the name.

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

/// A value of a row.
enum Cell {
    /// A number; `None` if it does not apply.
    Number(Option<f64>),
    /// One of a few words.
    Word(&'static str),
    /// Yes or no.
    Flag(bool),
}

impl Cell {
    fn number(value: f64) -> Self {
        Self::Number(Some(nine_digits(value)))
    }
}

/// Decimals that anything is written with at most; what is smaller is what rounding left of zero.
const DECIMALS: f64 = 1e9;

/// A time to the nearest 1e-9 s.
fn nine_decimals(value: f64) -> f64 {
    // The sum turns -0 into 0.
    (value * DECIMALS).round() / DECIMALS + 0.0
}

/// A value to nine digits, none of them beyond the ninth decimal.
fn nine_digits(value: f64) -> f64 {
    let value = nine_decimals(value);
    format!("{value:.8e}").parse().unwrap_or(value)
}

/// What gives the value of a column.
type Of = fn(&Row) -> Cell;

/// The columns, in their order.
const COLUMNS: [(&str, Of); 13] = [
    ("time_s", |row| Cell::Number(Some(nine_decimals(row.time_s)))),
    ("action", |row| Cell::Word(row.action.name())),
    ("mode", |row| Cell::Word(row.mode.name())),
    ("tank_pa_gauge", |row| Cell::number(row.tank_pa_gauge)),
    ("tank_k", |row| Cell::number(row.tank_k)),
    ("cap_pa_gauge", |row| Cell::number(row.cap_pa_gauge)),
    ("cap_k", |row| Cell::number(row.cap_k)),
    ("rod_pa_gauge", |row| Cell::Number(row.rod_pa_gauge.map(nine_digits))),
    ("rod_k", |row| Cell::Number(row.rod_k.map(nine_digits))),
    ("travel_m", |row| Cell::number(row.travel_m)),
    ("height_m", |row| Cell::number(row.height_m)),
    ("pump_on", |row| Cell::Flag(row.pump_on)),
    ("drawn_j", |row| Cell::number(row.drawn_j)),
];

impl Row {
    /// Names of the columns, as a CSV line without its end.
    #[must_use]
    pub fn csv_head() -> String {
        COLUMNS.map(|(name, _)| name).join(",")
    }

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
    /// assert_eq!(row.csv().split(',').count(), Row::csv_head().split(',').count());
    /// assert!(row.json().contains("\"rod_k\":null"));
    /// ```
    #[must_use]
    pub fn csv(&self) -> String {
        let cell = |(_, of): (&str, Of)| match of(self) {
            Cell::Number(value) => value.map(|value| value.to_string()).unwrap_or_default(),
            Cell::Word(word) => word.to_owned(),
            Cell::Flag(flag) => u8::from(flag).to_string(),
        };
        COLUMNS.map(cell).join(",")
    }

    /// The row as a JSON object on one line; what does not apply is `null`.
    #[must_use]
    pub fn json(&self) -> String {
        let member = |(name, of): (&str, Of)| {
            let value = match of(self) {
                Cell::Number(value) => value.map_or_else(|| "null".to_owned(), |value| value.to_string()),
                Cell::Word(word) => format!("\"{word}\""),
                Cell::Flag(flag) => flag.to_string(),
            };
            format!("\"{name}\":{value}")
        };
        format!("{{{}}}", COLUMNS.map(member).join(","))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_rounded_alike_in_either_form() {
        let row = Row {
            time_s: 1.000_000_000_000_108_8,
            action: Action::Raise,
            mode: Mode::Rising,
            tank_pa_gauge: 917_723.001_831_740_3,
            tank_k: 288.580_668_117_122_1,
            cap_pa_gauge: 1.455e-11,
            cap_k: 291.15,
            rod_pa_gauge: Some(-6.6e-17),
            rod_k: Some(290.0),
            travel_m: 0.218_602_138_857_008_16,
            height_m: 6.6e-17,
            pump_on: true,
            drawn_j: 1_234_567_890.123,
        };
        let csv = "1,raise,rising,917723.002,288.580668,0,291.15,0,290,0.218602139,0,1,1234567890";
        assert_eq!(row.csv(), csv);
        let json: serde_json::Value = serde_json::from_str(&row.json()).unwrap_or_default();
        for (name, cell) in Row::csv_head().split(',').zip(csv.split(',')) {
            let value = json.get(name).cloned().unwrap_or_default();
            let same = match cell.parse::<f64>() {
                Ok(_) if name == "pump_on" => value == true,
                Ok(number) => value.as_f64() == Some(number),
                Err(_) => value == cell,
            };
            assert!(same, "{name}: {cell} {value}");
        }
        // Nine digits would not tell the milliseconds of a long session apart.
        let late = Row { time_s: 1_234_567.890_5, ..row };
        assert!(late.csv().starts_with("1234567.8905,"), "{}", late.csv());
    }
}
