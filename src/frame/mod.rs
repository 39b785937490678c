//! The steel of a rig: cross-sections, materials, beams, parts that help one another, joints.
//!
//! Nothing here reads a file or knows a rig. Lengths, forces and stresses are typed; loads count positive
//! downwards, deflections downwards, moments positive where the beam sags.
//!
//! From dimensions to a verdict, a fork of square tube with a load at its end:
//!
//! ```
//! use lungful::answers::steel_grade;
//! use lungful::frame::beam::{Beam, Loads, PointLoad, Support};
//! use lungful::frame::material::Place;
//! use lungful::frame::reinforcement::{Bond, Member, Part};
//! use lungful::frame::section::{Axis, Corners, Shape};
//! use uom::si::{f64::{Force, Length, Ratio}, force::newton, length::millimeter, ratio::ratio};
//!
//! let mm = Length::new::<millimeter>;
//! let tube = Part {
//!     name: "fork".to_owned(),
//!     shape: Shape::SquareTube { side: mm(40.0), wall: mm(3.0), corners: Corners::ColdFormed },
//!     axis: Axis::Level,
//!     material: steel_grade("S235").ok_or("no such grade")?,
//! };
//! let member = Member::new(tube, Bond::Unjoined)?;
//! let beam = Beam { support: Support::Cantilever, span: mm(420.0), rigidity: member.rigidity() };
//! let load = PointLoad { at: mm(420.0), force: Force::new::<newton>(600.0) };
//! let answer = beam.respond(&Loads {
//!     points: &[load],
//!     uniform: member.weight_per_length(),
//!     dynamic_factor: Ratio::new::<ratio>(1.2),
//! })?;
//! let stresses = member.stresses(answer.max_moment.value, Place::Plain)?;
//! // 1.2 * (600 N * 0.42 m + 3.303 kg/m * 9.80665 m/s2 * 0.42^2 m2 / 2) / 4.662 cm3 / 235 MPa
//! assert!((stresses[0].yield_ratio.value - 0.279).abs() < 1e-3);
//! // 1.2 * (600 * 0.42^3/3 + 32.4 * 0.42^4/8) / (210e9 * 9.324e-8), in m
//! assert!((answer.max_deflection.value.get::<millimeter>() - 0.916).abs() < 2e-3);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod beam;
pub mod joint;
pub mod material;
pub mod quantity;
pub mod reinforcement;
pub mod section;
