//! Where the ball goes, four nodes at a time: slices of height for launch, of face angle for direction.
//!
//! Takes the delivery of four nodes; adds the shares of launch heights, start sides, curves and shapes,
//! and of shots that finish on line. Start and curve rise steadily with the face angle, so every
//! class is a slice between two face angles, given path, spin loft and place across the face.
//! Small-angle flight; knows nothing of turf.

use super::lanes::{Four, at_least, at_most, below, four, where_less, where_more};
use super::model::Event;
use super::quantities::DEGREE;
use super::shots::{Delivery, FourSums, Heights, Nodes, Strike, Swing, launch};
use super::strikes::Classes;

/// Offline per degree of axis tilt as a share of carry (common practice: about 0.7 to 0.8 %).
const CURVE: f32 = 0.0078;
/// A height of the arc, mm, that no shot reaches.
const OUT_OF_REACH: f32 = 1e6;

impl Swing<'_> {
    /// Launch and height of the ball. `zero` is the height of contact at arc height 0; a strike
    /// higher on the face launches higher, and thin ones come out 3 deg lower.
    pub(super) fn launches(
        &self,
        sums: &mut FourSums,
        n: &Nodes,
        h: &Heights,
        class: &Classes,
        zero: Four,
        h_thin: Four,
    ) {
        let (w, nothing) = (n.weight, four(0.0));
        let per_mm: f32 = if self.m.teed { 0.25 } else { 0.12 };
        let base = launch(n.loft, n.attack);
        // Less speed flies lower as well: 10 % counts as 2.5 deg.
        let level = base + four(25.0 * (self.speed - 1.0) - self.usual_launch);
        let b_air = four(1.0) - class.whiff - class.topped;
        let b_thin = at_most(h.below(h_thin), b_air);
        let lower_than = |limit: f32| {
            // Above which height of the arc is the launch below `limit`, thin or not?
            let at = |thin: f32| {
                let up = (four(limit + thin) - level) * four(1.0 / per_mm);
                let height = (zero - up) * n.cos;
                let high = where_less(up, four(-10.0), four(OUT_OF_REACH), height);
                where_more(up, four(14.0), four(-OUT_OF_REACH), high)
            };
            let thin = at_least(b_air - h.below(at_least(at(3.0), h_thin)), nothing);
            let solid = at_least(b_thin - at_most(h.below(at(0.0)), b_thin), nothing);
            at_most(solid + thin, at_least(b_air, nothing))
        };
        let low = at_least(lower_than(-4.0), class.bladed);
        sums.add(Event::TooLow, w * low);
        sums.add(
            Event::TooHigh,
            w * at_least(b_air - lower_than(4.0), nothing),
        );
        sums.add(Event::Worm, w * (lower_than(-9.0) + class.topped));
        let lowish = lower_than(-3.0);
        sums.between += w * at_least(lower_than(6.0) - lowish, nothing);
        sums.low_launch += w * lowish;
        let up = at_most(at_least(zero - h.mean / n.cos, four(-10.0)), four(14.0));
        sums.moment(0, w, base + up * four(per_mm));
        let spread = at_most(four(n.spread) / n.cos, four(8.0)) * four(per_mm);
        sums.moments[1] += w * spread * spread;
    }

    /// Start side, curve and where the ball finishes: slices of face angle, given path, spin loft
    /// and place across the face.
    pub(super) fn flight(&self, sums: &mut FourSums, n: &Nodes, strike: &Strike, to: &Delivery) {
        let spin_loft = at_least(n.loft - n.attack + four(self.spin_loft), four(4.0));
        let (sin_spin, _) = (spin_loft * four(DEGREE)).sin_cos();
        // Share of the way from path to face at which the ball starts: .77 to .64, near the
        // published horizontal .76, .69, .61 (Wood, Henrikson and Broadie 2018).
        let share = at_least(four(0.96) - four(0.0071) * spin_loft, four(0.55));
        let share = at_most(share, four(0.9)) * four(0.9);
        let off_toe = at_least(to.across - four(14.0), four(0.0));
        let f = Flight {
            face: to.face,
            inverse: four(1.0 / self.face_own_spread),
            path: to.path,
            share,
            sin_spin,
            per_tilt: CURVE * self.speed.clamp(0.7, 1.1),
            gear: four(self.gear_tilt) * to.across,
            start_off: four(self.gear_start) * to.across
                + if self.gear_start < 0.01 {
                    four(0.12) * off_toe
                } else {
                    four(0.0)
                },
        };
        let air = n.weight * strike.airborne;
        let start = |limit: f32| f.face_for_start(limit);
        let curve = |limit: f32| f.face_for_curve(limit);
        let above = |face: Four| four(1.0) - f.below(face);
        let slice = |from: Four, to: Four| at_least(to - from, four(0.0));
        let between = |from: Four, to: Four| slice(f.below(from), f.below(to));
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
        sums.add(Event::CurvePushBig, air * (four(1.0) - big));
        sums.add(Event::CurvePushMild, air * slice(mild, big));
        let (big, mild) = (f.below(curve(-0.07)), f.below(curve(-0.025)));
        sums.add(Event::CurvePullBig, air * big);
        sums.add(Event::CurvePullMild, air * slice(big, mild));
        sums.add(Event::PushStraight, air * between(at_least(s25, cm3), c3));
        sums.add(Event::PullStraight, air * between(cm3, at_most(sm25, c3)));
        sums.add(Event::PushSlice, air * above(at_least(s2, c45)));
        sums.add(Event::PullFade, air * between(c3, sm2));
        sums.add(Event::OnlineSlice, air * between(at_least(c6, sm25), s25));
        sums.add(Event::PushHook, air * between(s2, cm3));
        sums.add(Event::OnlineHook, air * between(sm25, at_most(cm6, s25)));
        sums.add(Event::PullHook, air * f.below(at_most(sm2, curve(-0.04))));
        sums.add(Event::MissPush, air * above(f.face_for_offline(0.07)));
        sums.add(Event::MissPull, air * f.below(f.face_for_offline(-0.07)));
        // Playable: the place across the face is kept within the edge that counts.
        let edge = four(self.across_edge);
        let kept = at_most(at_least(to.across, -edge), edge);
        let inner = Flight {
            gear: four(self.gear_tilt) * kept,
            start_off: four(self.gear_start) * kept,
            ..f
        };
        let wide = self.m.playable_offline as f32;
        let (right, left) = (inner.face_for_offline(wide), inner.face_for_offline(-wide));
        let on_line = slice(inner.below(left), inner.below(right));
        sums.add(Event::Playable, n.weight * strike.clean * on_line);
    }
}

struct Flight {
    face: Four,
    inverse: Four,
    path: Four,
    share: Four,
    sin_spin: Four,
    per_tilt: f32,
    gear: Four,
    start_off: Four,
}

impl Flight {
    /// Share of the nodes' shots with the face below this angle.
    #[inline]
    fn below(&self, face: Four) -> Four {
        below((face - self.face) * self.inverse)
    }

    /// The face angle at which the ball starts at this direction, deg.
    #[inline]
    fn face_for_start(&self, start: f32) -> Four {
        self.path + (four(start) - self.start_off - self.path) / self.share
    }

    /// The face angle at which the ball curves by this share of its carry.
    #[inline]
    fn face_for_curve(&self, offline: f32) -> Four {
        let tilt = (four(offline / self.per_tilt) - self.gear) * four(DEGREE);
        // tan and asin to fifth order; beyond a right angle the limit is never reached.
        let t2 = tilt * tilt;
        let tan = tilt * (four(1.0) + t2 * (four(1.0 / 3.0) + t2 * four(2.0 / 15.0)));
        let y = tan * self.sin_spin;
        let y2 = y * y;
        let turn = y * (four(1.0) + y2 * (four(1.0 / 6.0) + y2 * four(0.075)));
        let turn = turn * four(1.0 / DEGREE);
        let turn = where_more(y, four(0.9), four(90.0), turn);
        self.path + where_less(y, four(-0.9), four(-90.0), turn)
    }

    /// The face angle at which the ball finishes this share of its carry off the line: start and
    /// curve are both nearly linear in the face; one correction for the curve's flattening.
    #[inline]
    fn face_for_offline(&self, offline: f32) -> Four {
        let fixed = (self.path + self.start_off) * four(DEGREE) + four(self.per_tilt) * self.gear;
        let from_start = self.share * four(DEGREE);
        let from_curve = four(self.per_tilt) / self.sin_spin;
        let past = four(offline) - fixed;
        let first = past / (from_start + from_curve);
        let x = first * four(DEGREE) / self.sin_spin;
        let flatter = four(1.0) / (four(1.0) + x * x * four(1.0 / 3.0));
        self.path + past / (from_start + from_curve * flatter)
    }
}
