//! A rig as plain numbers in SI base units, which can be written as a rig file in either unit system.

use std::fmt::Write as _;

use lungful::answers::{Answers, evaluate};
use lungful::report::{Report, document};
use lungful::rig::{Document, Overrides, Rig, Source};
use lungful::units::UnitSystem;
use serde_json::Value;

/// Pressures gauge, Pa; lengths m; volumes m3; masses kg; flows m3/s; shares as fractions.
#[derive(Debug, Clone)]
pub(crate) struct Sample {
    pub(crate) place: Place,
    pub(crate) temperature_k: f64,
    pub(crate) source: AirSource,
    pub(crate) volume: f64,
    pub(crate) rating: f64,
    pub(crate) relief: f64,
    pub(crate) relief_capacity: Option<f64>,
    pub(crate) set: f64,
    pub(crate) droop: f64,
    pub(crate) headroom: f64,
    pub(crate) creep: f64,
    pub(crate) max_inlet: Option<f64>,
    pub(crate) hose: Option<(f64, f64)>,
    pub(crate) line_rating: Option<f64>,
    pub(crate) line_relief: Option<f64>,
    pub(crate) count: u32,
    pub(crate) bore: f64,
    pub(crate) rod: f64,
    pub(crate) stroke: f64,
    /// Back-pressure of a double-acting set.
    pub(crate) double_acting: Option<f64>,
    pub(crate) cylinder_rating: f64,
    pub(crate) friction: f64,
    /// Friction to start over that in motion, if it is stated.
    pub(crate) breakaway: Option<f64>,
    pub(crate) clearance: f64,
    pub(crate) spring_n: f64,
    pub(crate) linkage: Linkage,
    pub(crate) mass: f64,
    pub(crate) said_as_force: bool,
    pub(crate) share: f64,
    pub(crate) moving: f64,
    pub(crate) lift: f64,
    pub(crate) take_up: f64,
    pub(crate) battery: Option<Battery>,
    pub(crate) closed_at_load: bool,
    pub(crate) strokes_wanted: Option<u32>,
    pub(crate) per_hour: Option<f64>,
    pub(crate) load_ratio: f64,
    /// Whether tolerances are stated.
    pub(crate) loose: bool,
}

#[derive(Debug, Clone, Copy)]
pub(crate) enum Place {
    AltitudeM(f64),
    BarometerPa(f64),
}

#[derive(Debug, Clone)]
pub(crate) enum AirSource {
    Bottle { filled_to: f64 },
    Compressor(Compressor),
}

#[derive(Debug, Clone)]
pub(crate) struct Compressor {
    pub(crate) delivery: Delivery,
    pub(crate) cut_in: f64,
    pub(crate) cut_out: f64,
    pub(crate) duty: f64,
    pub(crate) index: f64,
    /// Volts, and amperes at no pressure and at cut-out.
    pub(crate) electric: Option<(f64, f64, f64)>,
    pub(crate) max_run_s: Option<f64>,
}

#[derive(Debug, Clone)]
pub(crate) enum Delivery {
    OpenAndStall { open: f64, stall: f64 },
    Points(Vec<(f64, f64)>),
}

#[derive(Debug, Clone, Copy)]
pub(crate) enum Linkage {
    Direct { efficiency: f64 },
    Lever,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Battery {
    pub(crate) volts: f64,
    pub(crate) capacity_ah: f64,
    pub(crate) usable: f64,
    pub(crate) steady_w: f64,
    pub(crate) strokes_wanted: Option<u32>,
}

/// Name and size of one unit.
type Unit = (&'static str, f64);

/// The units in which a rig file is written. Sizes are the legal definitions, kept apart from the table of the
/// program.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Units {
    pressure: Unit,
    length: Unit,
    volume: Unit,
    mass: Unit,
    force: Unit,
    flow: Unit,
    /// With the place of its zero on the kelvin scale.
    temperature: (&'static str, f64, f64),
}

const POUND: f64 = 0.453_592_37;
const POUND_FORCE: f64 = POUND * GRAVITY;
const INCH: f64 = 0.0254;
pub(crate) const GRAVITY: f64 = 9.806_65;

pub(crate) const METRIC: Units = Units {
    pressure: ("bar", 1e5),
    length: ("mm", 1e-3),
    volume: ("L", 1e-3),
    mass: ("kg", 1.0),
    force: ("N", 1.0),
    flow: ("L/min", 1e-3 / 60.0),
    temperature: ("degC", 1.0, 273.15),
};

pub(crate) const US: Units = Units {
    pressure: ("psi", POUND_FORCE / (INCH * INCH)),
    length: ("in", INCH),
    volume: ("in3", INCH * INCH * INCH),
    mass: ("lb", POUND),
    force: ("lbf", POUND_FORCE),
    flow: ("cfm", 1728.0 * INCH * INCH * INCH / 60.0),
    temperature: ("degF", 5.0 / 9.0, 459.67 * 5.0 / 9.0),
};

/// A rig file while it is written. Numbers are written with all their digits, so that they are read back as
/// they are.
struct Page {
    units: Units,
    text: String,
}

impl Page {
    fn table(&mut self, name: &str) {
        let _ = writeln!(self.text, "\n[{name}]");
    }

    fn line(&mut self, key: &str, value: &str) {
        let _ = writeln!(self.text, "{key} = {value}");
    }

    fn quantity(&mut self, key: &str, value: f64, unit: Unit) {
        self.line(key, &quantity(value, unit));
    }

    fn pressure(&mut self, key: &str, value: f64) {
        self.quantity(key, value, self.units.pressure);
    }

    fn length(&mut self, key: &str, value: f64) {
        self.quantity(key, value, self.units.length);
    }

    fn lengths(&mut self, key: &str, values: [f64; 2]) {
        let [first, second] = values.map(|value| quantity(value, self.units.length));
        self.line(key, &format!("[{first}, {second}]"));
    }

    fn share(&mut self, key: &str, value: f64) {
        self.quantity(key, value, ("%", 0.01));
    }

    /// A quantity, with a tolerance in percent of itself if the rig states any.
    fn loose(&mut self, key: &str, value: f64, (name, size): Unit, tolerance: &str) {
        let _ = writeln!(self.text, "{key} = \"{} {name}{tolerance}\"", value / size);
    }
}

fn quantity(value: f64, (name, size): Unit) -> String {
    format!("\"{} {name}\"", value / size)
}

impl Sample {
    /// The rig file.
    pub(crate) fn text(&self, units: Units) -> String {
        let mut page = Page { units, text: "title = \"Drawn by lot\"\n".to_owned() };
        self.write_site(&mut page);
        if let AirSource::Compressor(compressor) = &self.source {
            compressor.write(&mut page, self.tolerance());
        }
        self.write_tank_and_line(&mut page);
        self.write_cylinders(&mut page);
        self.write_load(&mut page);
        page.text
    }

    fn tolerance(&self) -> &'static str {
        if self.loose { " +- 3 %" } else { "" }
    }

    fn write_site(&self, page: &mut Page) {
        page.table("site");
        match self.place {
            Place::AltitudeM(altitude) => page.length("altitude", altitude),
            Place::BarometerPa(pressure) => page.pressure("barometer", pressure),
        }
        let (name, size, zero) = page.units.temperature;
        page.quantity("temperature", self.temperature_k - zero, (name, size));
    }

    fn write_tank_and_line(&self, page: &mut Page) {
        page.table("tank");
        page.quantity("volume", self.volume, page.units.volume);
        page.pressure("rating", self.rating);
        page.loose("relief", self.relief, page.units.pressure, self.tolerance());
        if let Some(capacity) = self.relief_capacity {
            page.quantity("relief-capacity", capacity, page.units.flow);
        }
        if let AirSource::Bottle { filled_to } = self.source {
            page.pressure("filled-to", filled_to);
        }
        page.table("regulator");
        page.loose("set", self.set, page.units.pressure, self.tolerance());
        page.pressure("droop", self.droop);
        page.pressure("headroom", self.headroom);
        page.share("tolerance", self.creep);
        if let Some(max_inlet) = self.max_inlet {
            page.pressure("max-inlet", max_inlet);
        }
        page.table("line");
        if let Some((bore, length)) = self.hose {
            page.length("hose-bore", bore);
            page.length("hose-length", length);
        }
        if let Some(rating) = self.line_rating {
            page.pressure("rating", rating);
        }
        if let Some(relief) = self.line_relief {
            page.loose("relief", relief, page.units.pressure, self.tolerance());
        }
    }

    fn write_cylinders(&self, page: &mut Page) {
        page.table("cylinders");
        page.line("count", &self.count.to_string());
        page.loose("bore", self.bore, page.units.length, self.tolerance());
        page.length("rod", self.rod);
        page.length("stroke", self.stroke);
        page.line("action", if self.double_acting.is_some() { "\"double\"" } else { "\"single\"" });
        page.pressure("rating", self.cylinder_rating);
        // Its tolerance is in points, and neither end may be below nothing.
        let tolerance = if self.friction < 0.03 { "" } else { self.tolerance() };
        page.loose("friction", self.friction, ("%", 0.01), tolerance);
        if let Some(breakaway) = self.breakaway {
            page.line("breakaway", &breakaway.to_string());
        }
        page.quantity("clearance", self.clearance, page.units.volume);
        page.quantity("return-spring", self.spring_n, page.units.force);
        if let Some(back_pressure) = self.double_acting {
            page.pressure("back-pressure", back_pressure);
        }
    }

    fn write_load(&self, page: &mut Page) {
        page.table("linkage");
        match self.linkage {
            Linkage::Direct { efficiency } => page.share("efficiency", efficiency),
            Linkage::Lever => {
                // Upright under the pin at the start; the pin rises by about half a stroke either side of
                // level, the load by some three halves of that.
                page.line("kind", "\"lever\"");
                page.lengths("foot", [1.9 * self.stroke, -1.8 * self.stroke]);
                page.length("pin-arm", 2.0 * self.stroke);
                page.length("load-arm", 3.0 * self.stroke);
                page.line("start-angle", "\"-15 deg\"");
            }
        }
        page.table("load");
        if self.said_as_force {
            page.loose("force", self.mass * GRAVITY, page.units.force, self.tolerance());
        } else {
            page.loose("mass", self.mass, page.units.mass, self.tolerance());
        }
        page.share("share", self.share);
        page.quantity("moving", self.moving, page.units.mass);
        page.length("lift", self.lift);
        page.length("take-up", self.take_up);
        if let Some(battery) = &self.battery {
            battery.write(page);
        }
        page.table("cycle");
        page.line("end-pressure", if self.closed_at_load { "\"load\"" } else { "\"set point\"" });
        if let Some(wanted) = self.strokes_wanted {
            page.line("strokes-wanted", &wanted.to_string());
        }
        if let Some(per_hour) = self.per_hour {
            page.line("per-hour", &per_hour.to_string());
        }
        page.table("limits");
        page.share("load-ratio", self.load_ratio);
    }

    /// The rig as the program reads it from the file.
    #[track_caller]
    pub(crate) fn rig(&self, units: Units) -> Rig {
        let text = self.text(units);
        Document::read(Some(&Source::new("rig.toml", text.as_str())), &Overrides::none())
            .rig()
            .unwrap_or_else(|problems| panic!("{problems}\n{text}"))
    }

    /// What is said of the rig, written in metric units.
    #[track_caller]
    pub(crate) fn answers(&self) -> Answers {
        evaluate(&self.rig(METRIC)).unwrap()
    }

    /// The JSON of the rig written in some units.
    #[track_caller]
    pub(crate) fn json(&self, units: Units) -> Value {
        let rig = self.rig(units);
        let report = Report::new(&rig, &evaluate(&rig).unwrap(), UnitSystem::Metric);
        serde_json::from_str(&document::json(&report)).unwrap()
    }
}

impl Compressor {
    fn write(&self, page: &mut Page, tolerance: &str) {
        page.table("compressor");
        let (pressure, flow) = (page.units.pressure, page.units.flow);
        page.line(
            "delivery",
            &match &self.delivery {
                Delivery::OpenAndStall { open, stall } => {
                    format!("{{ open = {}, stall = {} }}", quantity(*open, flow), quantity(*stall, pressure))
                }
                Delivery::Points(points) => {
                    let pairs = points.iter().map(|&(p, q)| (quantity(p, pressure), quantity(q, flow)));
                    let pairs: Vec<String> = pairs.map(|(p, q)| format!("[{p}, {q}]")).collect();
                    format!("{{ points = [{}] }}", pairs.join(", "))
                }
            },
        );
        page.loose("cut-in", self.cut_in, pressure, tolerance);
        page.loose("cut-out", self.cut_out, pressure, tolerance);
        page.share("duty", self.duty);
        page.line("index", &self.index.to_string());
        if let Some((volts, idle, full)) = self.electric {
            page.quantity("volts", volts, ("V", 1.0));
            let point = |at: f64, current: f64| {
                format!("[{}, {}]", quantity(at, pressure), quantity(current, ("A", 1.0)))
            };
            page.line("current", &format!("[{}, {}]", point(0.0, idle), point(self.cut_out, full)));
        }
        if let Some(max_run) = self.max_run_s {
            page.quantity("max-run", max_run, ("s", 1.0));
        }
    }
}

impl Battery {
    fn write(&self, page: &mut Page) {
        page.table("battery");
        page.quantity("volts", self.volts, ("V", 1.0));
        page.quantity("capacity", self.capacity_ah, ("Ah", 1.0));
        page.share("usable", self.usable);
        page.quantity("steady-load", self.steady_w, ("W", 1.0));
        if let Some(wanted) = self.strokes_wanted {
            page.line("strokes-wanted", &wanted.to_string());
        }
    }
}
