//! Where the ball goes, node by node: slices of height for launch, of face angle for direction.
//!
//! Takes one node's delivery; adds the shares of launch heights, start sides, curves and shapes,
//! and of shots that finish on line. Start and curve rise steadily with the face angle, so every
//! class is a slice between two face angles, given path, spin loft and place across the face.
//! Small-angle flight; knows nothing of turf.

use super::model::Event;
use super::quantities::DEGREE;
use super::scores::Normal;
use super::shots::{Heights, Node, Strike, Sums, Swing, launch};
use super::strikes::Classes;

/// Offline per degree of axis tilt as a share of carry (common practice: about 0.7 to 0.8 %).
const CURVE: f32 = 0.0078;

impl Swing<'_> {
    /// Launch and height of the ball. `zero` is the height of contact at arc height 0; a strike
    /// higher on the face launches higher, and thin ones come out 3 deg lower.
    pub(super) fn launches(
        &self,
        sums: &mut Sums,
        n: &Node,
        h: &Heights<'_>,
        class: &Classes,
        zero: f32,
        h_thin: f32,
    ) {
        let w = n.weight;
        let per_mm = if self.m.teed { 0.25 } else { 0.12 };
        let base = launch(n.loft, n.attack);
        // Less speed flies lower as well: 10 % counts as 2.5 deg.
        let level = base - self.usual_launch + 25.0 * (self.speed - 1.0);
        let b_air = 1.0 - class.whiff - class.topped;
        let lower_than = |limit: f32| {
            // Above which height of the arc is the launch below `limit`, thin or not?
            let at = |thin: f32| {
                let up = (limit + thin - level) / per_mm;
                if up > 14.0 {
                    f32::NEG_INFINITY
                } else if up < -10.0 {
                    f32::INFINITY
                } else {
                    (zero - up) * n.cos
                }
            };
            let thin = (b_air - h.below(at(3.0).max(h_thin))).max(0.0);
            let b_thin = h.below(h_thin).min(b_air);
            let solid = (b_thin - h.below(at(0.0)).min(b_thin)).max(0.0);
            (solid + thin).min(b_air.max(0.0))
        };
        let low = lower_than(-4.0).max(class.bladed);
        sums.add(Event::TooLow, w * low);
        sums.add(Event::TooHigh, w * (b_air - lower_than(4.0)).max(0.0));
        sums.add(Event::Worm, w * (lower_than(-9.0) + class.topped));
        sums.between += w * (lower_than(6.0) - lower_than(-3.0)).max(0.0);
        sums.low_launch += w * lower_than(-3.0);
        let up = ((zero - h.mean / n.cos).clamp(-10.0, 14.0)) * per_mm;
        sums.moment(0, w, base + up);
        sums.moments[1] += w * (per_mm * (n.spread / n.cos).min(8.0)).powi(2);
    }

    /// Start side, curve and where the ball finishes: slices of face angle, given path, spin loft
    /// and place across the face.
    #[allow(clippy::too_many_arguments, reason = "one node's delivery")]
    pub(super) fn flight(
        &self,
        sums: &mut Sums,
        n: &Node,
        strike: &Strike,
        across: f32,
        face: f32,
        path: f32,
        normal: &Normal,
    ) {
        let spin_loft = (n.loft - n.attack + self.spin_loft).max(4.0);
        let sin_spin = (spin_loft * DEGREE).sin();
        // Share of the way from path to face at which the ball starts: .77 to .64, near the
        // published horizontal .76, .69, .61 (Wood, Henrikson and Broadie 2018).
        let share = (0.96 - 0.0071 * spin_loft).clamp(0.55, 0.9) * 0.9;
        let f = Flight {
            normal,
            face,
            inverse: 1.0 / self.face_own_spread,
            path,
            share,
            sin_spin,
            per_tilt: CURVE * self.speed.clamp(0.7, 1.1),
            gear: self.gear_tilt * across,
            start_off: self.gear_start * across
                + if self.gear_start < 0.01 {
                    0.12 * (across - 14.0).max(0.0)
                } else {
                    0.0
                },
        };
        let air = n.weight * strike.airborne;
        let start = |limit: f32| f.face_for_start(limit);
        let curve = |limit: f32| f.face_for_curve(limit);
        let above = |face: f32| 1.0 - f.below(face);
        let between = |from: f32, to: f32| (f.below(to) - f.below(from)).max(0.0);
        let (s2, s25, sm2, sm25) = (start(2.0), start(2.5), start(-2.0), start(-2.5));
        let (c3, cm3, c45, c6, cm6) = (
            curve(0.03),
            curve(-0.03),
            curve(0.045),
            curve(0.06),
            curve(-0.06),
        );
        sums.add(Event::StartsPush, air * above(start(3.0)));
        sums.add(Event::StartsPull, air * f.below(start(-3.0)));
        let (big, mild) = (f.below(curve(0.07)), f.below(curve(0.025)));
        sums.add(Event::CurvePushBig, air * (1.0 - big));
        sums.add(Event::CurvePushMild, air * (big - mild).max(0.0));
        let (big, mild) = (f.below(curve(-0.07)), f.below(curve(-0.025)));
        sums.add(Event::CurvePullBig, air * big);
        sums.add(Event::CurvePullMild, air * (mild - big).max(0.0));
        sums.add(Event::PushStraight, air * between(s25.max(cm3), c3));
        sums.add(Event::PullStraight, air * between(cm3, sm25.min(c3)));
        sums.add(Event::PushSlice, air * above(s2.max(c45)));
        sums.add(Event::PullFade, air * between(c3, sm2));
        sums.add(Event::OnlineSlice, air * between(c6.max(sm25), s25));
        sums.add(Event::PushHook, air * between(s2, cm3));
        sums.add(Event::OnlineHook, air * between(sm25, cm6.min(s25)));
        sums.add(Event::PullHook, air * f.below(sm2.min(curve(-0.04))));
        sums.add(Event::MissPush, air * above(f.face_for_offline(0.07)));
        sums.add(Event::MissPull, air * f.below(f.face_for_offline(-0.07)));
        // Playable: the place across the face is kept within the edge that counts.
        let kept = across.max(-self.across_edge).min(self.across_edge);
        let inner = Flight {
            gear: self.gear_tilt * kept,
            start_off: self.gear_start * kept,
            ..f
        };
        let wide = self.m.playable_offline as f32;
        let on_line = (inner.below(inner.face_for_offline(wide))
            - inner.below(inner.face_for_offline(-wide)))
        .max(0.0);
        sums.add(Event::Playable, n.weight * strike.clean * on_line);
    }
}

struct Flight<'a> {
    normal: &'a Normal,
    face: f32,
    inverse: f32,
    path: f32,
    share: f32,
    sin_spin: f32,
    per_tilt: f32,
    gear: f32,
    start_off: f32,
}

impl Flight<'_> {
    /// Share of the node's shots with the face below this angle.
    #[inline]
    fn below(&self, face: f32) -> f32 {
        self.normal.below((face - self.face) * self.inverse)
    }

    /// The face angle at which the ball starts at this direction, deg.
    #[inline]
    fn face_for_start(&self, start: f32) -> f32 {
        self.path + (start - self.start_off - self.path) / self.share
    }

    /// The face angle at which the ball curves by this share of its carry.
    #[inline]
    fn face_for_curve(&self, offline: f32) -> f32 {
        let tilt = (offline / self.per_tilt - self.gear) * DEGREE;
        // tan and asin to fifth order; beyond a right angle the limit is never reached.
        let t2 = tilt * tilt;
        let y = tilt * (1.0 + t2 * (1.0 / 3.0 + t2 * (2.0 / 15.0))) * self.sin_spin;
        if y.abs() >= 0.9 {
            return self.path + y.signum() * 90.0;
        }
        let y2 = y * y;
        self.path + y * (1.0 + y2 * (1.0 / 6.0 + y2 * 0.075)) / DEGREE
    }

    /// The face angle at which the ball finishes this share of its carry off the line: start and
    /// curve are both nearly linear in the face; one correction for the curve's flattening.
    #[inline]
    fn face_for_offline(&self, offline: f32) -> f32 {
        let fixed = (self.path + self.start_off) * DEGREE + self.per_tilt * self.gear;
        let from_start = self.share * DEGREE;
        let from_curve = self.per_tilt / self.sin_spin;
        let first = (offline - fixed) / (from_start + from_curve);
        let x = first * DEGREE / self.sin_spin;
        let flatter = 1.0 / (1.0 + x * x * (1.0 / 3.0));
        self.path + (offline - fixed) / (from_start + from_curve * flatter)
    }
}
