//! The beam cut at its loads and supports; within a piece everything is a polynomial. Raw SI numbers, private
//! to the beam.

use super::reactions::Start;

/// State at the left end of a piece and its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) at: f64,
    length: f64,
    start: State,
}

/// Shear V, moment M, slope and deflection times E I.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct State {
    pub(super) shear: f64,
    pub(super) moment: f64,
    pub(super) tilt: f64,
    pub(super) sag: f64,
}

/// Greatest values by size, each with its place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Peaks {
    pub(super) shear: (f64, f64),
    pub(super) moment: (f64, f64),
    pub(super) sag: (f64, f64),
}

/// `points` must be sorted.
pub(super) fn pieces(start: &Start, points: &[(f64, f64)], uniform: f64, length: f64) -> Vec<Piece> {
    let mut pieces = Vec::with_capacity(points.len() + 2);
    let mut state = State { shear: start.force, moment: start.moment, tilt: start.tilt, sag: 0.0 };
    let mut here = 0.0;
    let mut support = start.inner_support;
    let mut go_to = |there: f64, jump: f64| {
        if there > here {
            let piece = Piece { at: here, length: there - here, start: state };
            state = piece.state(piece.length, uniform);
            pieces.push(piece);
            here = there;
        }
        state.shear += jump;
    };
    for &(at, force) in points {
        if let Some(place) = support.filter(|&place| place <= at) {
            go_to(place, start.other_force);
            support = None;
        }
        go_to(at, -force);
    }
    if let Some(place) = support {
        go_to(place, start.other_force);
    }
    go_to(length, 0.0);
    pieces
}

impl Piece {
    /// State at distance `s` from the left end of the piece.
    pub(super) fn state(&self, s: f64, q: f64) -> State {
        let State { shear, moment, tilt, sag } = self.start;
        State {
            shear: shear - q * s,
            moment: moment + s * (shear - q * s / 2.0),
            tilt: tilt - s * (moment + s * (shear / 2.0 - q * s / 6.0)),
            sag: sag + s * (tilt - s * (moment / 2.0 + s * (shear / 6.0 - q * s / 24.0))),
        }
    }

    /// Places within the piece where the moment is zero, in order: the slope is monotone between them.
    fn moment_zeros(&self, q: f64) -> [Option<f64>; 2] {
        let State { shear, moment, .. } = self.start;
        let inside = |s: f64| (s > 0.0 && s < self.length).then_some(s);
        let root = (shear * shear + 2.0 * q * moment).sqrt();
        if !root.is_finite() {
            return [None, None];
        }
        // The stable pair of roots of M + V s - q s2/2 = 0.
        let sum = shear + root.copysign(shear);
        let (one, other) = (sum / q, -2.0 * moment / sum);
        let (low, high) = if one < other { (one, other) } else { (other, one) };
        [inside(low), inside(high)]
    }

    /// Where the slope is zero between `low` and `high`, if it changes sign there.
    fn level_place(&self, low: f64, high: f64, q: f64) -> Option<f64> {
        let (mut low, mut high) = (low, high);
        let (first, last) = (self.state(low, q).tilt, self.state(high, q).tilt);
        if first * last >= 0.0 {
            return None;
        }
        // Newton, kept within the bracket by halving. The deflection is flat here, so that a place good to
        // half of the digits gives all digits of the deflection; the loop gives the place itself in full.
        let mut s = low + (high - low) * (first / (first - last));
        for _ in 0..100 {
            let state = self.state(s, q);
            if state.tilt == 0.0 {
                break;
            }
            if (state.tilt > 0.0) == (first > 0.0) {
                low = s;
            } else {
                high = s;
            }
            let newton = s + state.tilt / state.moment;
            let next = if newton > low && newton < high { newton } else { f64::midpoint(low, high) };
            let step = (next - s).abs();
            s = next;
            if step <= 1e-15 * self.length {
                break;
            }
        }
        Some(s)
    }
}

fn keep(peak: &mut (f64, f64), value: f64, at: f64) {
    // A later place must be clearly higher, so that rounding does not choose among equals. A value that is not
    // finite must get through, to be refused.
    if value.abs() > peak.0.abs() * (1.0 + 1e-12) || !value.is_finite() {
        *peak = (value, at);
    }
}

pub(super) fn peaks(pieces: &[Piece], q: f64) -> Peaks {
    let mut peaks = Peaks::default();
    for piece in pieces {
        let end = piece.state(piece.length, q);
        for (state, s) in [(piece.start, 0.0), (end, piece.length)] {
            keep(&mut peaks.shear, state.shear, piece.at + s);
            keep(&mut peaks.moment, state.moment, piece.at + s);
            keep(&mut peaks.sag, state.sag, piece.at + s);
        }
        let no_shear = piece.start.shear / q;
        if no_shear > 0.0 && no_shear < piece.length {
            keep(&mut peaks.moment, piece.state(no_shear, q).moment, piece.at + no_shear);
        }
        let mut low = 0.0;
        for high in piece.moment_zeros(q).into_iter().flatten().chain([piece.length]) {
            if let Some(s) = piece.level_place(low, high, q) {
                keep(&mut peaks.sag, piece.state(s, q).sag, piece.at + s);
            }
            low = high;
        }
    }
    peaks
}
