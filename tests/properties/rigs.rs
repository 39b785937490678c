//! Rigs drawn by lot, each of them one that could be built: the parts are in proportion to each other, so that
//! a fill gives between no stroke and a few hundred.

use std::f64::consts::FRAC_PI_4;

use proptest::option;
use proptest::prelude::*;

use super::sample::{AirSource, Battery, Compressor, Delivery, GRAVITY, Linkage, Place, Sample};

const BAR: f64 = 1e5;
const MM: f64 = 1e-3;
const LITRE: f64 = 1e-3;

/// Any rig, some with a linkage whose force this version does not follow.
pub(crate) fn any_rig() -> impl Strategy<Value = Sample> {
    (direct_rig(), prop::bool::weighted(0.05)).prop_map(|(mut rig, lever)| {
        if lever {
            rig.linkage = Linkage::Lever;
        }
        rig
    })
}

/// A rig whose cylinders push the load themselves.
pub(crate) fn direct_rig() -> impl Strategy<Value = Sample> {
    (site(), regulator(), cylinders(), load(), source(), limits()).prop_map(
        |((place, temperature_k), regulator, cylinders, load, source, limits)| {
            let mut rig = Sample { place, temperature_k, ..EMPTY };
            regulator.set_in(&mut rig);
            cylinders.set_in(&mut rig);
            load.set_in(&mut rig);
            limits.set_in(&mut rig);
            source.set_in(&mut rig);
            rig
        },
    )
}

/// What the parts are set into.
const EMPTY: Sample = Sample {
    place: Place::AltitudeM(0.0),
    temperature_k: 0.0,
    source: AirSource::Bottle { filled_to: 0.0 },
    volume: 0.0,
    rating: 0.0,
    relief: 0.0,
    relief_capacity: None,
    set: 0.0,
    droop: 0.0,
    headroom: 0.0,
    creep: 0.0,
    max_inlet: None,
    hose: None,
    line_rating: None,
    line_relief: None,
    count: 0,
    bore: 0.0,
    rod: 0.0,
    stroke: 0.0,
    double_acting: None,
    cylinder_rating: 0.0,
    friction: 0.0,
    breakaway: None,
    clearance: 0.0,
    spring_n: 0.0,
    linkage: Linkage::Lever,
    mass: 0.0,
    said_as_force: false,
    share: 0.0,
    moving: 0.0,
    lift: 0.0,
    take_up: 0.0,
    battery: None,
    closed_at_load: false,
    strokes_wanted: None,
    per_hour: None,
    load_ratio: 0.0,
    loose: false,
};

fn site() -> impl Strategy<Value = (Place, f64)> {
    let place = prop_oneof![
        (-100.0..3000.0_f64).prop_map(Place::AltitudeM),
        (70e3..105e3_f64).prop_map(Place::BarometerPa),
    ];
    (place, 253.15..318.15_f64)
}

#[derive(Debug, Clone)]
struct Regulator {
    set: f64,
    droop: f64,
    headroom: f64,
    creep: f64,
    max_inlet: Option<f64>,
    line_rating: Option<f64>,
    line_relief: Option<f64>,
    cylinder_rating: f64,
}

fn regulator() -> impl Strategy<Value = Regulator> {
    let set = (1.5..8.0_f64, 0.0..0.2_f64, 0.0..0.3_f64, 0.0..0.1_f64);
    let ratings = (
        option::of(10.0..30.0_f64),
        option::of(6.0..16.0_f64),
        option::weighted(0.4, 4.0..10.0_f64),
        6.0..16.0_f64,
    );
    (set, ratings).prop_map(|((set, droop, headroom, creep), (max_inlet, line, relief, cylinders))| {
        let bar = |value: f64| value * BAR;
        Regulator {
            set: bar(set),
            droop: bar(set * droop),
            headroom: bar(set * headroom),
            creep,
            max_inlet: max_inlet.map(bar),
            line_rating: line.map(bar),
            line_relief: relief.map(bar),
            cylinder_rating: bar(cylinders),
        }
    })
}

impl Regulator {
    fn set_in(self, rig: &mut Sample) {
        rig.set = self.set;
        rig.droop = self.droop;
        rig.headroom = self.headroom;
        rig.creep = self.creep;
        rig.max_inlet = self.max_inlet;
        rig.line_rating = self.line_rating;
        rig.line_relief = self.line_relief;
        rig.cylinder_rating = self.cylinder_rating;
    }
}

#[derive(Debug, Clone)]
struct Cylinders {
    count: u32,
    bore: f64,
    rod: f64,
    stroke: f64,
    /// Back-pressure as a share of what is left of the moving pressure after friction.
    double_acting: Option<f64>,
    friction: f64,
    breakaway: Option<f64>,
    clearance: f64,
    /// Spring as a share of the thrust.
    spring: Option<f64>,
    hose: Option<(f64, f64)>,
}

fn cylinders() -> impl Strategy<Value = Cylinders> {
    let body = (1..6_u32, 16.0..125.0_f64, 0.2..0.7_f64, 40.0..800.0_f64);
    let rest = (
        option::weighted(0.4, 0.0..0.5_f64),
        0.0..0.25_f64,
        // Of at most 28 % with its tolerance.
        option::weighted(0.3, 1.0..3.5_f64),
        0.0..0.2_f64,
        option::weighted(0.3, 0.0..0.1_f64),
        option::of((3.0..10.0_f64, 0.2..6.0_f64)),
    );
    (body, rest).prop_map(
        |((count, bore, rod, stroke), (double_acting, friction, breakaway, clearance, spring, hose))| {
            Cylinders {
                count,
                bore: bore * MM,
                rod: rod * bore * MM,
                stroke: stroke * MM,
                double_acting,
                friction,
                breakaway,
                clearance: clearance * FRAC_PI_4 * (bore * MM).powi(2) * stroke * MM,
                spring,
                hose: hose.map(|(bore, length)| (bore * MM, length)),
            }
        },
    )
}

impl Cylinders {
    fn set_in(self, rig: &mut Sample) {
        rig.count = self.count;
        rig.bore = self.bore;
        rig.rod = self.rod;
        rig.stroke = self.stroke;
        rig.friction = self.friction;
        rig.breakaway = self.breakaway;
        rig.clearance = self.clearance;
        rig.hose = self.hose;
        let moving = rig.set - rig.droop;
        rig.double_acting = self.double_acting.map(|share| share * moving * (1.0 - rig.friction));
        rig.spring_n = self.spring.unwrap_or(0.0) * moving * FRAC_PI_4 * rig.bore.powi(2);
    }
}

#[derive(Debug, Clone)]
struct Load {
    /// Weight as a share of the thrust at the moving pressure.
    weight: f64,
    said_as_force: bool,
    share: f64,
    /// Moving parts as a share of the mass.
    moving: f64,
    /// Lift and take-up as shares of the stroke.
    lift: f64,
    take_up: Option<f64>,
    efficiency: f64,
    closes: bool,
}

fn load() -> impl Strategy<Value = Load> {
    let mass = (0.05..0.95_f64, any::<bool>(), 0.3..1.0_f64, 0.0..0.3_f64);
    let path = (0.5..1.05_f64, option::of(0.0..0.2_f64), 0.8..1.0_f64, any::<bool>());
    (mass, path).prop_map(|((weight, said_as_force, share, moving), (lift, take_up, efficiency, closes))| {
        Load { weight, said_as_force, share, moving, lift, take_up, efficiency, closes }
    })
}

impl Load {
    fn set_in(self, rig: &mut Sample) {
        let thrust = f64::from(rig.count) * FRAC_PI_4 * rig.bore.powi(2) * (rig.set - rig.droop);
        rig.mass = self.weight * thrust / GRAVITY / self.share;
        rig.said_as_force = self.said_as_force;
        rig.share = self.share;
        rig.moving = self.moving * rig.mass;
        rig.lift = self.lift * rig.stroke;
        rig.take_up = self.take_up.unwrap_or(0.0) * rig.stroke;
        rig.linkage = Linkage::Direct { efficiency: self.efficiency };
        rig.closed_at_load = self.closes;
    }
}

#[derive(Debug, Clone)]
enum AnySource {
    Bottle(Bottle),
    Compressor(Box<Pump>),
}

#[derive(Debug, Clone)]
struct Bottle {
    filled_to: f64,
    size: f64,
}

/// Pressures in proportion to the set point, tank size to the volume swept.
#[derive(Debug, Clone)]
struct Pump {
    size: f64,
    /// Cut-in over set point, cut-out over cut-in.
    cut_in: f64,
    band: f64,
    delivery: AnyDelivery,
    duty: f64,
    index: f64,
    electric: Option<(f64, f64, f64)>,
    max_run_s: Option<f64>,
    battery: Option<Battery>,
}

#[derive(Debug, Clone)]
enum AnyDelivery {
    /// Open flow in L/min, stall over cut-out.
    OpenAndStall(f64, f64),
    /// Flow at no pressure in L/min; then what is left of it at half of cut-out, at cut-out and beyond.
    Points(f64, [f64; 3]),
}

fn source() -> impl Strategy<Value = AnySource> {
    prop_oneof![
        1 => (20.0..250.0_f64, 1.5..60.0_f64)
            .prop_map(|(filled_to, size)| AnySource::Bottle(Bottle { filled_to: filled_to * BAR, size })),
        3 => pump().prop_map(|pump| AnySource::Compressor(Box::new(pump))),
    ]
}

fn pump() -> impl Strategy<Value = Pump> {
    let delivery = prop_oneof![
        (5.0..200.0_f64, 0.9..2.0_f64).prop_map(|(open, stall)| AnyDelivery::OpenAndStall(open, stall)),
        (5.0..200.0_f64, [0.6..1.0_f64, 0.2..0.6_f64, 0.0..0.2_f64])
            .prop_map(|(open, left)| AnyDelivery::Points(open, left)),
    ];
    let tank = (1.5..60.0_f64, 0.9..2.5_f64, 1.05..1.6_f64);
    let motor = (
        0.1..1.0_f64,
        1.0..1.67_f64,
        option::of((prop::sample::select(vec![12.0, 24.0]), 2.0..8.0_f64, 8.0..30.0_f64)),
        option::of(60.0..3000.0_f64),
    );
    (tank, delivery, motor, option::of(battery())).prop_map(
        |((size, cut_in, band), delivery, (duty, index, electric, max_run_s), battery)| Pump {
            size,
            cut_in,
            band,
            delivery,
            duty,
            index,
            electric,
            max_run_s,
            battery,
        },
    )
}

fn battery() -> impl Strategy<Value = Battery> {
    (
        prop::sample::select(vec![12.0, 24.0]),
        2.0..100.0_f64,
        0.3..1.0_f64,
        0.0..30.0_f64,
        option::of(1..200_u32),
    )
        .prop_map(|(volts, capacity_ah, usable, steady_w, strokes_wanted)| Battery {
            volts,
            capacity_ah,
            usable,
            steady_w,
            strokes_wanted,
        })
}

impl AnySource {
    fn set_in(self, rig: &mut Sample) {
        match self {
            Self::Bottle(bottle) => {
                rig.volume = tank(rig, bottle.size, bottle.filled_to);
                rig.source = AirSource::Bottle { filled_to: bottle.filled_to };
            }
            Self::Compressor(pump) => {
                let cut_in = pump.cut_in * rig.set;
                let cut_out = pump.band * cut_in;
                rig.volume = tank(rig, pump.size, cut_out);
                rig.battery = pump.battery;
                rig.source = AirSource::Compressor(Compressor {
                    delivery: pump.delivery.against(cut_out),
                    cut_in,
                    cut_out,
                    duty: pump.duty,
                    index: pump.index,
                    electric: pump.electric,
                    max_run_s: pump.max_run_s,
                });
            }
        }
        let full = match &rig.source {
            AirSource::Bottle { filled_to } => *filled_to,
            AirSource::Compressor(compressor) => compressor.cut_out,
        };
        // Around the usual order, on either side of it.
        rig.relief *= full;
        rig.rating *= full;
    }
}

/// A tank that gives about `size` strokes from `full`; the file takes none below a millilitre.
fn tank(rig: &Sample, size: f64, full: f64) -> f64 {
    let swept = f64::from(rig.count) * FRAC_PI_4 * rig.bore.powi(2) * rig.stroke;
    (size * swept * (rig.set / full).min(1.0)).max(2e-3 * LITRE)
}

impl AnyDelivery {
    fn against(self, cut_out: f64) -> Delivery {
        let flow = |value: f64| value * LITRE / 60.0;
        match self {
            Self::OpenAndStall(open, stall) => {
                Delivery::OpenAndStall { open: flow(open), stall: stall * cut_out }
            }
            Self::Points(open, [half, full, beyond]) => Delivery::Points(vec![
                (0.0, flow(open)),
                (0.5 * cut_out, flow(open * half)),
                (cut_out, flow(open * full)),
                (1.2 * cut_out, flow(open * beyond)),
            ]),
        }
    }
}

#[derive(Debug, Clone)]
struct Limits {
    load_ratio: f64,
    strokes_wanted: Option<u32>,
    per_hour: Option<f64>,
    relief_capacity: Option<f64>,
    /// Relief and rating over the pressure of the full tank.
    relief: f64,
    rating: f64,
    loose: bool,
}

fn limits() -> impl Strategy<Value = Limits> {
    (
        0.4..1.0_f64,
        option::of(1..60_u32),
        option::of(1.0..200.0_f64),
        option::of(20.0..500.0_f64),
        1.0..1.3_f64,
        1.0..1.4_f64,
        prop::bool::weighted(0.3),
    )
        .prop_map(|(load_ratio, strokes_wanted, per_hour, relief_capacity, relief, rating, loose)| {
            Limits {
                load_ratio,
                strokes_wanted,
                per_hour,
                relief_capacity: relief_capacity.map(|flow| flow * LITRE / 60.0),
                relief,
                rating,
                loose,
            }
        })
}

impl Limits {
    fn set_in(self, rig: &mut Sample) {
        rig.load_ratio = self.load_ratio;
        rig.strokes_wanted = self.strokes_wanted;
        rig.per_hour = self.per_hour;
        rig.relief_capacity = self.relief_capacity;
        rig.relief = self.relief;
        rig.rating = self.rating;
        rig.loose = self.loose;
    }
}
