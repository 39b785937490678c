//! Load, linkage and cylinders together, along the travel.

use std::f64::consts::FRAC_PI_2;
use std::sync::OnceLock;

use uom::si::f64::{Angle, Energy, Force, Length, Mass, Ratio};
use uom::si::{energy::joule, mass::kilogram};

use super::Linkage;
use super::extremes::{Peak, highest, places};
use super::motion::{Forces, Pose, Side, mm, refuse};
use super::plane::{ForceOn, Reaction, meters, newtons, radians};
use super::profile::{Piece, Profile};
use crate::Result;
use crate::guard::require;
use crate::sizing::cylinder_force::Cylinders;
use crate::sizing::travel::{Load, STANDARD_GRAVITY_M_PER_S2, WorstPoint};
use crate::units::GaugePressure;

/// Samples of a stretch in the search for its highest force.
const STEPS: u32 = 64;

/// Largest mass taken, in kg, so that no force overflows.
const MOST_MASS: f64 = 1e12;

/// The load along the travel of its cylinders.
///
/// Force needed from all cylinders at travel `x`:
/// `F(x) = (W(h) r + g sum m_i dh_i/dx) / eta + N F_s x / s`, with
/// `W(h) = g (share * mass * borne(h) + moving)`, `r = dh/dx`, the arms `m_i` of the linkage, its efficiency
/// `eta` and the return springs. Over the travel the first term adds up to the work on load and arms over
/// `eta`.
///
/// Source: virtual work. Slow motion: nothing is spent on speeding up. Where the load comes down (a leg over
/// centre) the first term is negative and `eta` makes it larger; the figure there is nominal.
///
/// ```
/// # use lungful::sizing::cylinder_force::{Action, Cylinders};
/// # use lungful::sizing::linkage::{Linkage, Profile, Scissor, ScissorDrive, ScissorGeometry, Travel};
/// # use lungful::sizing::travel::Load;
/// # use lungful::units::{GaugePressure, pressure::pascals};
/// # use uom::si::f64::{Angle, Force, Length, Mass, Pressure, Ratio, Volume};
/// # use uom::si::{angle::degree, force::newton, length::millimeter, mass::kilogram, ratio::percent};
/// # let mm = Length::new::<millimeter>;
/// # let cylinders = Cylinders {
/// #     count: 1, bore: mm(80.0), rod: mm(25.0), stroke: mm(200.0), action: Action::Single,
/// #     rating: GaugePressure::new(pascals(10e5)), friction: Ratio::default(), clearance: Volume::default(),
/// #     return_spring: Force::default(), back_pressure: Pressure::default(),
/// # };
/// let load = Load {
///     mass: Mass::new::<kilogram>(90.0),
///     share: Ratio::new::<percent>(100.0),
///     moving: Mass::new::<kilogram>(10.0),
///     lift: mm(100.0),
///     take_up: mm(0.0),
/// };
/// let geometry = ScissorGeometry {
///     stages: 1,
///     arm_length: mm(1000.0),
///     start_angle: Angle::new::<degree>(30.0),
///     end_angle: None,
///     drive: ScissorDrive::SlidingFoot,
///     closed_length: None,
///     arm_mass: Mass::default(),
/// };
/// let scissor = Linkage::Scissor(Scissor::new(&geometry, cylinders.stroke)?);
/// let travel = Travel::new(&cylinders, &load, scissor, &Profile::whole(), Ratio::new::<percent>(80.0))?;
/// // 100 kg weigh 980.665 N; over tan(30 deg) = 0.57735 and 0.8 that is 2123 N, at the start.
/// let worst = travel.worst();
/// assert!((worst.force.get::<newton>() - 2123.2).abs() < 0.1);
/// assert_eq!(worst.travel, mm(0.0));
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Travel<'a> {
    cylinders: &'a Cylinders,
    load: &'a Load,
    linkage: Linkage,
    efficiency: Ratio,
    stretches: Vec<Stretch>,
    /// Below this `r` is rounding: the load is neither raised nor lowered.
    least_ratio: f64,
    samples: Samples,
}

/// Poses at even steps of each stretch, once they are asked for. They follow from all the rest.
#[derive(Debug, Clone, Default)]
struct Samples(OnceLock<Vec<Vec<(f64, Pose)>>>);

impl PartialEq for Samples {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// Part of the travel on which the load changes smoothly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    pub(super) from: f64,
    pub(super) to: f64,
    piece: Piece,
}

/// One point of the travel.
#[derive(Debug, Clone, PartialEq)]
pub struct TravelPoint {
    /// Cylinder travel x.
    pub travel: Length,
    /// Height h of the load above its start.
    pub height: Length,
    /// `r = dh/dx`.
    pub ratio: Ratio,
    /// Angle of the linkage, as [`Linkage::angle`].
    pub angle: Option<Angle>,
    /// Force needed from all cylinders.
    pub force: Force,
    /// `F / (N A)`.
    pub load_pressure: GaugePressure,
    /// Pressure needed, with friction and back-pressure.
    pub needed_pressure: GaugePressure,
    /// Load mass that the available force moves here, as [`Travel::capacity_at`].
    pub capacity: Option<Mass>,
    /// Force through each pin, frictionless.
    pub reactions: Vec<Reaction>,
}

/// The point of the travel that sets how much can be lifted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Travel at which the least is lifted.
    pub travel: Length,
    /// Load mass (all of it, before `share`) that can be lifted there, at least 0.
    pub capacity: Mass,
}

/// Where the work of the cylinders goes, over the whole travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorkBalance {
    /// Integral of the force needed less springs, by quadrature.
    pub by_cylinders: Energy,
    /// Work on the load and the moving parts at the load point, from heights.
    pub on_load: Energy,
    /// Work on the arms of the linkage, from heights.
    pub on_arms: Energy,
    /// Lost in the linkage: `(on_load + on_arms) (1/eta - 1)`.
    pub lost: Energy,
    /// Stored in the return springs, besides.
    pub in_springs: Energy,
}

impl WorkBalance {
    /// What is not accounted for, as a share of all that is counted.
    #[must_use]
    pub fn gap(&self) -> Ratio {
        let gap = self.by_cylinders - self.on_load - self.on_arms - self.lost;
        let scale = self.by_cylinders.abs() + self.on_load.abs() + self.on_arms.abs();
        if scale.value > 0.0 { gap / scale } else { Ratio::default() }
    }
}

impl<'a> Travel<'a> {
    /// Load, linkage and cylinders together.
    ///
    /// `linkage` is built for the stroke of these cylinders, `profile` counts from the take-up, `efficiency`
    /// is the share of the cylinders' work that reaches the load.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for an efficiency or share outside 0 to 1 or a mass
    /// that is negative, [`Error::Geometry`](crate::Error::Geometry) if the linkage moves further than the
    /// stroke or the load never comes to rest on it.
    pub fn new(
        cylinders: &'a Cylinders,
        load: &'a Load,
        linkage: Linkage,
        profile: &Profile,
        efficiency: Ratio,
    ) -> Result<Self> {
        let fraction = |value: f64| value > 0.0 && value <= 1.0;
        let eta = efficiency.value;
        require(fraction(eta), "linkage efficiency", eta, "", "above 0 and at most 1")?;
        let share = load.share.value;
        require(fraction(share), "share of the load", share, "", "above 0 and at most 1")?;
        for (name, mass) in [("load mass", load.mass), ("moving mass", load.moving)] {
            let mass = mass.value;
            require((0.0..=MOST_MASS).contains(&mass), name, mass, "kg", "0 or more, up to 1e12 kg")?;
        }
        let (stroke, end) = (cylinders.stroke.value, linkage.motion().end());
        if end.is_nan() || end > stroke * (1.0 + 1e-9) {
            let problem = format!("the linkage is laid out for {}", mm(end));
            return refuse("stroke", mm(stroke), problem, "lay it out for the stroke of its cylinders");
        }
        let stretches = stretches(&linkage, profile, load.take_up.value)?;
        let least_ratio = least_ratio(&linkage, &stretches);
        let samples = Samples::default();
        Ok(Self { cylinders, load, linkage, efficiency, stretches, least_ratio, samples })
    }

    /// The linkage.
    #[must_use]
    pub fn linkage(&self) -> &Linkage {
        &self.linkage
    }

    /// Travel at which the motion ends: the full stroke, or less if a stop comes first.
    #[must_use]
    pub fn end(&self) -> Length {
        self.linkage.end()
    }

    /// Height of the load above its start at travel `x`.
    #[must_use]
    pub fn height(&self, travel: Length) -> Length {
        self.linkage.height(travel)
    }

    /// First travel at which the load has risen by `lift` after the take-up, or the end of the travel if it
    /// never does.
    #[must_use]
    pub fn travel_for_lift(&self) -> Length {
        let wanted = self.load.take_up + self.load.lift;
        self.linkage.travel_at(wanted).unwrap_or_else(|| self.end())
    }

    /// Weight at the load point at travel `x`: `g (share * mass * borne(h) + moving)`.
    #[must_use]
    pub fn weight(&self, travel: Length) -> Force {
        self.weight_and_height(travel).0
    }

    /// [`weight`](Self::weight) and [`height`](Self::height) at travel `x`, for little more than one of them.
    #[must_use]
    pub fn weight_and_height(&self, travel: Length) -> (Force, Length) {
        let travel = self.linkage.within(travel);
        let pose = self.linkage.motion().pose(travel);
        (newtons(self.weight_at(self.stretch_at(travel).borne(&pose))), meters(pose.height))
    }

    /// Greatest weight at the load point along the travel.
    ///
    /// The load is linear in height between its corners, so that it is greatest at one of them.
    #[must_use]
    pub fn heaviest(&self) -> Force {
        let weight_at = |stretch: &Stretch, travel: f64| {
            self.weight_at(stretch.borne(&self.linkage.motion().pose(travel)))
        };
        let weights = self
            .stretches
            .iter()
            .flat_map(|stretch| [weight_at(stretch, stretch.from), weight_at(stretch, stretch.to)]);
        newtons(weights.fold(0.0, f64::max))
    }

    /// Force needed from all cylinders at travel `x`.
    ///
    /// Where the load changes in a step, this is the force after it.
    #[must_use]
    pub fn force(&self, travel: Length) -> Force {
        let travel = self.linkage.within(travel);
        newtons(self.force_in(&self.stretch_at(travel), travel))
    }

    /// `F / (N A)` at travel `x`.
    #[must_use]
    pub fn load_pressure(&self, travel: Length) -> GaugePressure {
        self.cylinders.load_pressure(self.force(travel))
    }

    /// Pressure needed at travel `x`, with friction and back-pressure.
    #[must_use]
    pub fn needed_pressure(&self, travel: Length) -> GaugePressure {
        self.cylinders.needed_pressure(self.force(travel))
    }

    /// The point at which the cylinders must give most; the first of several that are alike.
    ///
    /// At a step down of the load it is the force just before.
    #[must_use]
    pub fn worst(&self) -> WorstPoint {
        let peak = self.peak(|stretch, travel, pose| self.force_at(stretch, travel, pose));
        let force = newtons(peak.value);
        WorstPoint {
            travel: meters(peak.at),
            force,
            load_pressure: self.cylinders.load_pressure(force),
            needed_pressure: self.cylinders.needed_pressure(force),
        }
    }

    /// Greatest force with which all cylinders must pull somewhere along the way back; zero where they never do.
    ///
    /// Past straight a leg bears down on its stop: on the way back the cylinders raise the load a little, and work
    /// against the friction of the linkage: `-F(x)`.
    #[must_use]
    pub fn greatest_pull(&self) -> Force {
        let peak = self.peak(|stretch, travel, pose| -self.force_at(stretch, travel, pose));
        newtons(peak.value.max(0.0))
    }

    /// Load mass (all of it, before `share`) that `force` from all cylinders moves at travel `x`:
    /// `((F - N F_s x/s) eta / g - moving r - sum m_i dh_i/dx) / (share borne r)`, at least 0.
    ///
    /// `None` where any mass would do, since the load does not rest on the rig there, comes down, or stands at
    /// its top, where `r` is 0 but for rounding.
    #[must_use]
    pub fn capacity_at(&self, travel: Length, force: Force) -> Option<Mass> {
        let travel = self.linkage.within(travel);
        capacity(self.capacity_in(&self.stretch_at(travel), travel, force))
    }

    /// Where the least can be lifted with `force` from all cylinders, and how much.
    #[must_use]
    pub fn limit(&self, force: Force) -> Limit {
        let peak =
            self.peak(|stretch, travel, pose| -self.capacity_of(pose, stretch.borne(pose), travel, force));
        Limit { travel: meters(peak.at), capacity: capacity(-peak.value).unwrap_or_default() }
    }

    /// Load mass (all of it, before `share`) for which the highest force along the travel is `force`; never
    /// below zero.
    #[must_use]
    pub fn load_for(&self, force: Force) -> Mass {
        self.limit(force).capacity
    }

    /// What `force` from all cylinders leaves over at the end of the travel; negative if it does not reach.
    #[must_use]
    pub fn spare_at_end(&self, force: Force) -> Force {
        force - self.force(self.end())
    }

    /// Upper bound of the energy with which load and linkage arrive at the end, if the cylinders give
    /// `force` all along: `F x_end` less the work that the travel needs; at least 0.
    #[must_use]
    pub fn energy_at_stop(&self, force: Force) -> Energy {
        let balance = self.heights_balance();
        let given: Energy = force * self.end();
        let needed = (balance.on_load + balance.on_arms) / self.efficiency + balance.in_springs;
        (given - needed).max(Energy::default())
    }

    /// Where the work goes.
    #[must_use]
    pub fn work_balance(&self) -> WorkBalance {
        let by_cylinders = self
            .stretches
            .iter()
            .map(|stretch| {
                integral(stretch.from, stretch.to, |travel| {
                    self.force_in(stretch, travel) - self.cylinders.spring_force(meters(travel)).value
                })
            })
            .sum();
        WorkBalance { by_cylinders: joules(by_cylinders), ..self.heights_balance() }
    }

    /// `count` points evenly along the travel, both ends among them; `force` is what all cylinders give, for
    /// the capacity.
    #[must_use]
    pub fn points(&self, count: u32, force: Force) -> Vec<TravelPoint> {
        let steps = f64::from(count.saturating_sub(1).max(1));
        let end = self.linkage.motion().end();
        (0..count).map(|step| self.point(end * (f64::from(step) / steps), force)).collect()
    }

    fn point(&self, travel: f64, available: Force) -> TravelPoint {
        let stretch = self.stretch_at(travel);
        let pose = self.linkage.motion().pose(travel);
        let weight = self.weight_at(stretch.borne(&pose));
        let force = newtons(self.force_of(&pose, weight, travel));
        let mut reactions = Vec::with_capacity(8);
        let mut keep = |one: ForceOn, side: Side| {
            if side == Side::First {
                reactions.extend(one.reaction());
            }
        };
        self.linkage.motion().statics(travel, &pose, weight, 1.0, &mut Forces { each: &mut keep });
        TravelPoint {
            travel: meters(travel),
            height: meters(pose.height),
            ratio: Ratio::from(pose.ratio),
            angle: (!matches!(self.linkage, Linkage::Direct(_))).then(|| radians(pose.angle)),
            force,
            load_pressure: self.cylinders.load_pressure(force),
            needed_pressure: self.cylinders.needed_pressure(force),
            capacity: capacity(self.capacity_of(&pose, stretch.borne(&pose), travel, available)),
            reactions,
        }
    }

    /// Every force on every member at travel `x`, without friction: the forces on one member are in
    /// equilibrium, and those of a pin on its two members are opposite.
    #[must_use]
    pub fn forces_on_members(&self, travel: Length) -> Vec<ForceOn> {
        let mut all = Vec::new();
        let mut keep = |one: ForceOn, _: Side| all.push(one);
        let travel = self.linkage.within(travel);
        let pose = self.linkage.motion().pose(travel);
        let weight = self.weight_at(self.stretch_at(travel).borne(&pose));
        self.linkage.motion().statics(travel, &pose, weight, 1.0, &mut Forces { each: &mut keep });
        all
    }

    /// Raw parts for the modules beside this one.
    pub(super) fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    /// Pressure needed for a force.
    pub(super) fn need_for(&self, force: Force) -> GaugePressure {
        self.cylinders.needed_pressure(force)
    }

    /// Share of the cylinders' work that reaches the load.
    pub(crate) fn efficiency(&self) -> f64 {
        self.efficiency.value
    }

    /// Every force on every member where the linkage stands so within a stretch, friction counted.
    pub(super) fn statics_at(
        &self,
        stretch: &Stretch,
        (travel, pose): (f64, &Pose),
        each: &mut dyn FnMut(ForceOn, Side),
    ) {
        let (weight, efficiency) = (self.weight_at(stretch.borne(pose)), self.efficiency.value);
        self.linkage.motion().statics(travel, pose, weight, efficiency, &mut Forces { each });
    }

    /// Where the linkage stands.
    pub(super) fn pose(&self, travel: f64) -> Pose {
        self.linkage.motion().pose(travel)
    }

    /// Steps in which a stretch is looked through where `many` would do for any linkage.
    pub(super) fn steps(&self, many: u32) -> u32 {
        if self.linkage.motion().is_even() { 1 } else { many }
    }

    /// Pressure needed within a stretch, its ends included.
    pub(super) fn need_in(&self, stretch: &Stretch, travel: f64) -> GaugePressure {
        self.cylinders.needed_pressure(newtons(self.force_in(stretch, travel)))
    }

    /// Ends of the stretches on which the load changes smoothly, in order, in m.
    pub(crate) fn smooth_stretches(&self) -> Vec<(f64, f64)> {
        self.stretches.iter().map(|stretch| (stretch.from, stretch.to)).collect()
    }

    /// `W r + g sum m_i dh_i/dx` in N at a travel in m by the law of one stretch, its ends included.
    pub(crate) fn raising_force_on(&self, stretch: usize, travel: f64) -> f64 {
        let Some(stretch) = self.stretches.get(stretch) else { return 0.0 };
        let pose = self.linkage.motion().pose(travel);
        self.weight_at(stretch.borne(&pose)) * pose.ratio + STANDARD_GRAVITY_M_PER_S2 * pose.arms
    }

    /// Return springs of all cylinders, N/m.
    pub(crate) fn spring_rate(&self) -> f64 {
        (self.cylinders.spring_force(self.cylinders.stroke) / self.cylinders.stroke).value
    }

    /// The stretch that begins at or before a travel.
    fn stretch_at(&self, travel: f64) -> Stretch {
        let found = self.stretches.iter().rev().find(|stretch| stretch.from <= travel);
        found.or(self.stretches.first()).copied().unwrap_or_default()
    }

    fn weight_at(&self, borne: f64) -> f64 {
        let load = self.load.share * self.load.mass * borne;
        (load + self.load.moving).value * STANDARD_GRAVITY_M_PER_S2
    }

    fn force_of(&self, pose: &Pose, weight: f64, travel: f64) -> f64 {
        let raised = weight * pose.ratio + STANDARD_GRAVITY_M_PER_S2 * pose.arms;
        raised / self.efficiency.value + self.cylinders.spring_force(meters(travel)).value
    }

    pub(super) fn force_in(&self, stretch: &Stretch, travel: f64) -> f64 {
        self.force_at(stretch, travel, &self.linkage.motion().pose(travel))
    }

    /// Mass in kg before it is held to 0; infinite where any mass would do.
    fn capacity_in(&self, stretch: &Stretch, travel: f64, force: Force) -> f64 {
        let pose = self.linkage.motion().pose(travel);
        self.capacity_of(&pose, stretch.borne(&pose), travel, force)
    }

    fn capacity_of(&self, pose: &Pose, borne: f64, travel: f64, force: Force) -> f64 {
        let driving = (force - self.cylinders.spring_force(meters(travel))).value;
        let raised = driving * self.efficiency.value / STANDARD_GRAVITY_M_PER_S2;
        let left = raised - self.load.moving.value * pose.ratio - pose.arms;
        let borne = self.load.share.value * borne * pose.ratio;
        if borne > 0.0 && pose.ratio > self.least_ratio {
            left / borne
        } else if left < 0.0 {
            f64::NEG_INFINITY
        } else {
            f64::INFINITY
        }
    }

    /// Poses at even steps of each stretch.
    fn samples(&self) -> &[Vec<(f64, Pose)>] {
        // With an even ratio, a linear load and a linear spring nothing peaks between the ends of a stretch.
        let steps = self.steps(STEPS);
        let posed = |travel: f64| (travel, self.linkage.motion().pose(travel));
        let of_stretch =
            |stretch: &Stretch| places(stretch.from, stretch.to, steps).map(posed).collect::<Vec<_>>();
        self.samples.0.get_or_init(|| self.stretches.iter().map(of_stretch).collect())
    }

    /// The stretches with their poses at even steps.
    pub(super) fn sampled(&self) -> impl Iterator<Item = (&Stretch, &Vec<(f64, Pose)>)> {
        self.stretches.iter().zip(self.samples())
    }

    /// Force needed where the linkage stands so within a stretch.
    pub(super) fn force_at(&self, stretch: &Stretch, travel: f64, pose: &Pose) -> f64 {
        self.force_of(pose, self.weight_at(stretch.borne(pose)), travel)
    }

    /// Highest value over all stretches.
    fn peak(&self, function: impl Fn(&Stretch, f64, &Pose) -> f64) -> Peak {
        let peak_of = |(stretch, samples): (&Stretch, &Vec<(f64, Pose)>)| {
            let values: Vec<f64> =
                samples.iter().map(|(travel, pose)| function(stretch, *travel, pose)).collect();
            highest(stretch.from, stretch.to, &values, |travel| {
                function(stretch, travel, &self.linkage.motion().pose(travel))
            })
        };
        let peaks = self.sampled().map(peak_of);
        peaks.reduce(Peak::higher).unwrap_or(Peak { at: 0.0, value: 0.0 })
    }

    /// Work from heights alone; that of the cylinders is what follows from it.
    fn heights_balance(&self) -> WorkBalance {
        let height = |travel: f64| self.linkage.motion().pose(travel).height;
        let on_load: f64 = self
            .stretches
            .iter()
            .map(|stretch| {
                // The load is linear in height: its mean is that at mid height.
                let (from, to) = (height(stretch.from), height(stretch.to));
                self.weight_at(stretch.piece.borne(0.5 * (from + to))) * (to - from)
            })
            .sum();
        let end = self.linkage.motion().end();
        let on_arms = STANDARD_GRAVITY_M_PER_S2 * self.linkage.motion().pose(end).arms_raised;
        let work = joules(on_load + on_arms);
        let by_cylinders: Energy = work / self.efficiency;
        WorkBalance {
            by_cylinders,
            on_load: joules(on_load),
            on_arms: joules(on_arms),
            lost: by_cylinders - work,
            in_springs: 0.5 * self.cylinders.spring_force(meters(end)) * meters(end),
        }
    }
}

impl Default for Stretch {
    fn default() -> Self {
        Self { from: 0.0, to: 0.0, piece: Piece::default() }
    }
}

impl Stretch {
    fn borne(&self, pose: &Pose) -> f64 {
        self.piece.borne(pose.height).max(0.0)
    }
}

/// Parts the travel where the load has a step or a corner, and where it turns to come down.
fn stretches(linkage: &Linkage, profile: &Profile, take_up: f64) -> Result<Vec<Stretch>> {
    let motion = linkage.motion();
    let (end, top) = (motion.end(), motion.top());
    let mut marks = vec![0.0, top, end];
    for corner in profile.corners(take_up).filter(|&corner| corner > 0.0) {
        marks.extend(motion.travel_at(corner));
        marks.extend(motion.travel_back_at(corner));
    }
    marks.sort_by(f64::total_cmp);
    // Marks that rounding alone keeps apart are one.
    marks.dedup_by(|later, earlier| *later - *earlier <= 1e-12 * end);
    let mut stretches: Vec<Stretch> = Vec::with_capacity(marks.len());
    for pair in marks.windows(2) {
        if let &[from, to] = pair {
            let middle = motion.pose(0.5 * (from + to)).height;
            stretches.push(Stretch { from, to, piece: profile.piece(middle, take_up) });
        }
    }
    let bears = |stretch: &Stretch| stretch.piece.share > 0.0 || stretch.piece.slope > 0.0;
    if take_up >= 0.0 && stretches.iter().any(bears) {
        return Ok(stretches);
    }
    refuse(
        "take-up",
        mm(take_up),
        format!(
            "the linkage rises by {}, and the load never comes to rest on it",
            mm(motion.pose(top).height)
        ),
        "make the take-up shorter, from 0 up to less than that rise, or the stroke longer",
    )
}

/// A `r` of this size is rounding: a billionth of the largest along the travel.
fn least_ratio(linkage: &Linkage, stretches: &[Stretch]) -> f64 {
    let ratio = |travel: f64| linkage.motion().pose(travel).ratio.abs();
    let largest = stretches
        .iter()
        .flat_map(|stretch| [stretch.from, 0.5 * (stretch.from + stretch.to), stretch.to])
        .map(ratio)
        .fold(0.0, f64::max);
    (1e-9 * largest).max(1e-12)
}

/// A mass that is held to 0; `None` for any mass.
fn capacity(kilograms: f64) -> Option<Mass> {
    (kilograms < f64::INFINITY).then(|| Mass::new::<kilogram>(kilograms.max(0.0)))
}

fn joules(value: f64) -> Energy {
    Energy::new::<joule>(value)
}

/// Integral by Gauss-Legendre quadrature, five points on each of 64 panels, with
/// `x = from + (to - from) sin^2(u)` so that a ratio which grows steeply towards a dead point beyond either end keeps its digits.
///
/// Source of nodes and weights: Abramowitz and Stegun (1964), table 25.4.
fn integral(from: f64, to: f64, function: impl Fn(f64) -> f64) -> f64 {
    const PANELS: u32 = 64;
    const NODES: [(f64, f64); 5] = [
        (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
        (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
        (0.0, 0.568_888_888_888_888_9),
        (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
        (0.906_179_845_938_664, 0.236_926_885_056_189_1),
    ];
    let half = 0.5 * FRAC_PI_2 / f64::from(PANELS);
    let at = |u: f64| {
        let (sin, cos) = u.sin_cos();
        function(from + (to - from) * sin * sin) * 2.0 * sin * cos
    };
    let panel = |index: u32| {
        let middle = half * f64::from(2 * index + 1);
        NODES.iter().map(|(node, weight)| weight * at(middle + half * node)).sum::<f64>()
    };
    (0..PANELS).map(panel).sum::<f64>() * half * (to - from)
}
