//! How the ball is struck, four nodes at a time: slices of the arc's height between limits.
//!
//! Takes four nodes of a golfer's shots and their distribution of height; adds the shares of the strike
//! classes, turf marks and face heights. The limits are closed forms of the strike window: one edge
//! point on a parabola, a ball on the turf or on a tee; a test holds the classes to the geometry
//! room, which integrates the same window finely. Knows nothing of direction or flight.

use super::lanes::{Four, at_least, at_most, four, where_less, where_more};
use super::model::Event;
use super::quantities::{BALL, DEGREE, FACE_MIDDLE};
use super::shots::{FourSums, Heights, Nodes, Strike, Swing};

/// Shares of the strike classes of four nodes.
pub(super) struct Classes {
    pub whiff: Four,
    pub topped: Four,
    pub fat: Four,
    pub heavy: Four,
    pub thin: Four,
    pub bladed: Four,
}

/// A slice is never less than nothing.
#[inline]
fn positive(share: Four) -> Four {
    at_least(share, four(0.0))
}

#[inline]
fn square(x: Four) -> Four {
    x * x
}

impl Swing<'_> {
    /// Deepest arc bottom, mm, at which not more than `cut` mm of turf is cut before contact.
    #[inline]
    fn turf_limit(&self, nodes: &Nodes, contact: Four, cut: f32) -> Four {
        let (bend, grass, whole) = (four(self.bend), four(self.grass), four(cut));
        let mut x = contact;
        let mut height = four(0.0);
        for _ in 0..2 {
            let reach = at_least(whole - x + nodes.s, four(0.5 * cut));
            height = -grass - square(reach) * bend;
            x = contact - (height + square(x - nodes.s) * bend) * nodes.tan;
        }
        height
    }

    pub(super) fn off_turf(&self, sums: &mut FourSums, n: &Nodes, h: &Heights) -> Strike {
        let (w, s, bend) = (n.weight, n.s, four(self.bend));
        let (one, ball) = (four(1.0), four(BALL));
        // Limits of height, mm.
        let contact = -ball * n.cos / (one + n.sin);
        let blade_edge = ball * (one - n.sin);
        let clean_edge = blade_edge - four(self.m.clean_from_mm as f32) * n.cos;
        let edge_at = |t: Four| t - square(contact - t * n.tan - s) * bend;
        let h_whiff = four(2.0 * BALL) - square(s) * bend;
        let h_top = ball - square(ball + s) * bend;
        let h_clean = edge_at(clean_edge);
        let h_blade = edge_at(blade_edge);
        let h_heavy = at_most(
            self.turf_limit(n, contact, self.heavy_from * self.dig),
            h_top,
        );
        let h_fat = at_most(
            self.turf_limit(n, contact, self.fat_from * self.dig),
            h_heavy,
        );
        let h_cut = at_most(self.turf_limit(n, contact, 10.0), h_top);
        // Slices.
        let (b_whiff, b_top) = (h.below(h_whiff), h.below(h_top));
        let b_heavy = h.below(h_heavy);
        let b_clean = at_most(at_least(h.below(h_clean), b_heavy), b_top);
        let b_fat = h.below(h_fat);
        let (skid, cuts) = (four(self.skid), four(1.0 - self.skid));
        let skidded = skid * b_heavy;
        let (whiff, topped) = (one - b_whiff, b_whiff - b_top);
        let fat = b_fat * cuts;
        let heavy = (b_heavy - b_fat) * cuts;
        let clean = b_clean - b_heavy;
        let thin = b_top - b_clean + skidded;
        let bladed = b_top - at_most(at_least(h.below(h_blade), b_heavy), b_top)
            + where_more(n.loft, four(38.0), skidded, four(0.0));
        sums.add(Event::Whiff, w * whiff);
        sums.add(Event::Topped, w * topped);
        sums.add(Event::Fat, w * fat);
        sums.add(Event::SlightlyHeavy, w * heavy);
        sums.add(Event::Clean, w * clean);
        sums.add(Event::Thin, w * thin);
        sums.add(Event::Bladed, w * bladed);
        sums.add(Event::TurfBefore, w * h.below(h_cut));
        let b_mat = h.below(at_most(self.turf_limit(n, contact, 75.0), h_heavy));
        sums.add(Event::HiddenByMat, w * (b_heavy - b_mat) * cuts);
        if self.skid > 1e-4 {
            let touched = h.below(at_most(self.turf_limit(n, contact, 2.0), h_top));
            sums.add(Event::Skidded, w * skid * touched);
        }
        let deep = h.below(four(-12.0));
        let heavies = fat + heavy;
        sums.add(
            Event::Stuck,
            w * (deep + four(self.stuck) * positive(heavies - deep)),
        );
        let peg = h.below(edge_at(clean_edge + four(12.0)))
            - h.below(at_least(edge_at(clean_edge - four(8.0)), four(-14.0)));
        sums.add(Event::CleanOffTee, w * positive(peg));
        self.marks(sums, n, h, [h_heavy, h_clean, h_top], heavies);
        let class = Classes {
            whiff,
            topped,
            fat,
            heavy,
            thin,
            bladed,
        };
        // Height of contact against the usual, linear in the height of the arc.
        let zero = (blade_edge - square(contact - s) * bend) / n.cos
            + four(self.strike_up - self.m.strike_up_usual as f32);
        let band = four(self.m.strike_up_band as f32);
        sums.add(Event::HighFace, w * h.below((zero - band) * n.cos));
        sums.add(Event::LowFace, w * (one - h.below((zero + band) * n.cos)));
        self.launches(sums, n, h, &class, zero, at_most(h_clean, h_top));
        Self::carries(sums, w, &class, clean);
        Strike {
            clean,
            airborne: one - whiff - topped,
        }
    }

    pub(super) fn off_tee(&self, sums: &mut FourSums, n: &Nodes, h: &Heights) -> Strike {
        let (w, s, bend) = (n.weight, n.s, four(self.bend));
        let (one, ball, tee) = (four(1.0), four(BALL), four(self.m.tee_mm as f32));
        // The ball stands about 12 mm inside the arc when it is met.
        let curve = square(four(12.0) + s) * bend;
        // Height of contact against the middle of the face: zero less height over cos.
        let zero =
            (tee + ball * (one - n.sin) - curve) / n.cos + four(self.strike_up - FACE_MIDDLE);
        let up_at = |up: f32| (zero - four(up)) * n.cos;
        let h_whiff = tee + four(2.0 * BALL) - curve;
        let h_top = tee + four(0.9 * BALL) - curve;
        let h_ground = four(-1.0) - square(positive(s + four(20.0))) * bend;
        let h_thin = at_most(up_at(-15.0), h_top);
        let h_sky = at_most(at_least(up_at(20.0), at_most(h_ground, h_thin)), h_thin);
        let (b_whiff, b_top) = (h.below(h_whiff), h.below(h_top));
        let b_ground = h.below(h_ground);
        let b_thin = at_least(h.below(h_thin), b_ground);
        let b_sky = at_most(at_least(h.below(h_sky), b_ground), b_thin);
        let (whiff, topped) = (one - b_whiff, b_whiff - b_top);
        let thin = b_top - b_thin;
        let bladed = b_top - at_most(at_least(h.below(up_at(-25.0)), b_thin), b_top);
        let sky = b_sky - b_ground;
        let clean = b_thin - b_sky;
        let fat = h.below(at_most(h_ground, four(-7.0)));
        let heavy = b_ground - fat;
        sums.add(Event::Whiff, w * whiff);
        sums.add(Event::Topped, w * topped);
        sums.add(Event::Fat, w * fat);
        sums.add(Event::SlightlyHeavy, w * heavy);
        sums.add(Event::Clean, w * clean);
        sums.add(Event::CleanOffTee, w * clean);
        sums.add(Event::Thin, w * thin);
        sums.add(Event::Bladed, w * bladed);
        sums.add(Event::Sky, w * sky);
        sums.add(Event::DropKick, w * b_ground);
        sums.add(Event::ScuffBehindTee, w * b_ground);
        sums.add(Event::TurfBefore, w * b_ground);
        sums.add(Event::CrownMark, w * h.below(up_at(18.0)));
        sums.add(Event::TeeStanding, w * (one - h.below(tee - curve)));
        let band = self.m.strike_up_band as f32;
        let middle = self.m.strike_up_usual as f32;
        sums.add(Event::HighFace, w * h.below(up_at(middle + band)));
        sums.add(Event::LowFace, w * (one - h.below(up_at(middle - band))));
        let class = Classes {
            whiff,
            topped,
            fat: fat + sky,
            heavy,
            thin,
            bladed,
        };
        self.launches(sums, n, h, &class, zero - four(middle), h_thin);
        Self::carries(sums, w, &class, clean);
        Strike {
            clean,
            airborne: one - whiff - topped,
        }
    }

    /// Where turf marks start. A heavy strike cuts from where the undisturbed arc goes under the
    /// turf; after a solid strike the head is kicked down, more so when struck in the middle, and
    /// the mark begins where that steeper line is 1.5 mm deep; a mark shallower than 2 mm is not
    /// seen as one.
    fn marks(&self, sums: &mut FourSums, n: &Nodes, h: &Heights, limits: [Four; 3], heavies: Four) {
        let (w, s, bend) = (n.weight, n.s, four(self.bend));
        let (nothing, grass) = (four(0.0), four(self.grass));
        let [h_heavy, h_clean, h_top] = limits;
        let behind = |x: f32| h.below(-grass - square(positive(s + four(x))) * bend);
        let (far, near, level) = (behind(50.0), behind(12.0), behind(0.0));
        let h_before = at_most(-grass - square(positive(s)) * bend, h_top);
        let mut level_too = nothing;
        let (mut ahead, mut far_ahead, mut deep_after, mut shallow) =
            (nothing, nothing, nothing, nothing);
        let kick = self.m.kick_deg as f32;
        let zero = square(s) * bend;
        for (from, to, kick) in [
            (h_before, at_most(h_clean, h_top), kick),
            (at_least(h_clean, h_before), h_top, 0.4 * kick),
        ] {
            // Where there is no slice, or the head does not go down, nothing is marked.
            let slope = positive((four(kick) - n.attack) * four(DEGREE));
            let b_from = h.below(from);
            let b_to = where_more(slope, nothing, at_least(h.below(to), b_from), b_from);
            let under =
                |height: Four| at_most(at_least(h.below(height - zero), b_from), b_to) - b_from;
            let turns = slope / (four(2.0) * bend);
            let deepest = four(0.5) * slope * turns;
            let starts_by = |x: f32| {
                let x = at_most(four(x), turns);
                x * slope - square(x) * bend
            };
            let seen = under(deepest - four(2.0));
            let by_level = at_most(under(starts_by(12.0) - four(1.5)), seen);
            let by_ahead = at_most(
                at_least(under(starts_by(110.0) - four(1.5)), by_level),
                seen,
            );
            level_too += by_level;
            ahead += by_ahead - by_level;
            far_ahead += seen - by_ahead;
            deep_after += under(deepest - four(17.0));
            shallow += under(deepest - four(1.0)) - under(deepest - four(6.0));
        }
        let levels = level - near + level_too;
        let none = positive(four(1.0) - level - level_too - ahead - far_ahead);
        sums.add(Event::MarkFarBehind, w * far);
        sums.add(Event::MarkBehind, w * (near - far));
        sums.add(Event::MarkLevel, w * levels);
        sums.add(Event::MarkAhead, w * ahead);
        sums.add(Event::MarkFarAhead, w * far_ahead);
        sums.add(Event::NoMark, w * none);
        let deep = h.below(at_most(four(-7.7), h_heavy)) + deep_after;
        sums.add(Event::DeepMark, w * deep);
        sums.add(Event::ShallowMark, w * positive(shallow));
        let steep = where_less(n.attack, four(-5.5), deep, nothing);
        let stabbed = four(self.stuck) * at_most(heavies + deep_after, four(1.0));
        sums.add(Event::Stabbed, w * at_least(stabbed, steep));
        for (share, start) in [
            (far, -80.0),
            (near - far, -30.0),
            (levels, 0.0),
            (ahead, 45.0),
            (far_ahead, 120.0),
            (none, 60.0),
        ] {
            sums.moment(2, w * share, four(start));
        }
    }

    /// Carry against a solid strike, by class of strike; what the place across the face costs is
    /// added at the end.
    fn carries(sums: &mut FourSums, w: Four, class: &Classes, clean: Four) {
        let thin_only = positive(class.thin - class.bladed);
        for (share, carry) in [
            (class.fat, 0.5),
            (class.heavy, 0.88),
            (thin_only, 0.88),
            (class.bladed, 0.73),
            (class.topped + class.whiff, 0.25),
            (clean, 1.0),
        ] {
            sums.moment(4, w * share, four(carry));
        }
    }
}
