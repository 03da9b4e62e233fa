//! How the ball is struck, node by node: slices of the arc's height between limits.
//!
//! Takes one node of a golfer's shots and its distribution of height; adds the shares of the strike
//! classes, turf marks and face heights. The limits are closed forms of the strike window: one edge
//! point on a parabola, a ball on the turf or on a tee; a test holds the classes to the geometry
//! room, which integrates the same window finely. Knows nothing of direction or flight.

use super::model::Event;
use super::quantities::{BALL, DEGREE, FACE_MIDDLE};
use super::shots::{Heights, Node, Strike, Sums, Swing};

/// Shares of the strike classes of one node.
pub(super) struct Classes {
    pub whiff: f32,
    pub topped: f32,
    pub fat: f32,
    pub heavy: f32,
    pub thin: f32,
    pub bladed: f32,
}

impl Swing<'_> {
    /// Deepest arc bottom, mm, at which not more than `cut` mm of turf is cut before contact.
    #[inline]
    fn turf_limit(&self, node: &Node, contact: f32, cut: f32) -> f32 {
        let mut x = contact;
        let mut height = 0.0;
        for _ in 0..2 {
            let reach = (0.5 * cut).max(cut - x + node.s);
            height = -self.grass - reach * reach * self.bend;
            x = contact - (height + (x - node.s).powi(2) * self.bend) * node.tan;
        }
        height
    }

    pub(super) fn off_turf(&self, sums: &mut Sums, n: &Node, h: &Heights<'_>) -> Strike {
        let (w, s, bend) = (n.weight, n.s, self.bend);
        // Limits of height, mm.
        let contact = -BALL * n.cos / (1.0 + n.sin);
        let blade_edge = BALL * (1.0 - n.sin);
        let clean_edge = blade_edge - self.m.clean_from_mm as f32 * n.cos;
        let edge_at = |t: f32| t - (contact - t * n.tan - s).powi(2) * bend;
        let h_whiff = 2.0 * BALL - s * s * bend;
        let h_top = BALL - (BALL + s).powi(2) * bend;
        let h_clean = edge_at(clean_edge);
        let h_blade = edge_at(blade_edge);
        let h_heavy = self
            .turf_limit(n, contact, self.heavy_from * self.dig)
            .min(h_top);
        let h_fat = self
            .turf_limit(n, contact, self.fat_from * self.dig)
            .min(h_heavy);
        let h_cut = self.turf_limit(n, contact, 10.0).min(h_top);
        // Slices.
        let (b_whiff, b_top) = (h.below(h_whiff), h.below(h_top));
        let b_heavy = h.below(h_heavy);
        let b_clean = h.below(h_clean).max(b_heavy).min(b_top);
        let b_fat = h.below(h_fat);
        let skidded = self.skid * b_heavy;
        let (whiff, topped) = (1.0 - b_whiff, b_whiff - b_top);
        let fat = b_fat * (1.0 - self.skid);
        let heavy = (b_heavy - b_fat) * (1.0 - self.skid);
        let clean = b_clean - b_heavy;
        let thin = b_top - b_clean + skidded;
        let bladed = b_top - h.below(h_blade).max(b_heavy).min(b_top)
            + if n.loft > 38.0 { skidded } else { 0.0 };
        sums.add(Event::Whiff, w * whiff);
        sums.add(Event::Topped, w * topped);
        sums.add(Event::Fat, w * fat);
        sums.add(Event::SlightlyHeavy, w * heavy);
        sums.add(Event::Clean, w * clean);
        sums.add(Event::Thin, w * thin);
        sums.add(Event::Bladed, w * bladed);
        sums.add(Event::TurfBefore, w * h.below(h_cut));
        let b_mat = h.below(self.turf_limit(n, contact, 75.0).min(h_heavy));
        sums.add(
            Event::HiddenByMat,
            w * (b_heavy - b_mat) * (1.0 - self.skid),
        );
        sums.add(
            Event::Skidded,
            w * if self.skid > 1e-4 {
                self.skid * h.below(self.turf_limit(n, contact, 2.0).min(h_top))
            } else {
                0.0
            },
        );
        let deep = h.below(-12.0);
        let heavies = fat + heavy;
        sums.add(
            Event::Stuck,
            w * (deep + self.stuck * (heavies - deep).max(0.0)),
        );
        let peg =
            h.below(edge_at(clean_edge + 12.0)) - h.below(edge_at(clean_edge - 8.0).max(-14.0));
        sums.add(Event::CleanOffTee, w * peg.max(0.0));
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
        let zero = (blade_edge - (contact - s).powi(2) * bend) / n.cos
            - self.m.strike_up_usual as f32
            + self.strike_up;
        let band = self.m.strike_up_band as f32;
        sums.add(Event::HighFace, w * h.below((zero - band) * n.cos));
        sums.add(Event::LowFace, w * (1.0 - h.below((zero + band) * n.cos)));
        self.launches(sums, n, h, &class, zero, h_clean.min(h_top));
        Self::carries(sums, w, &class, clean);
        Strike {
            clean,
            airborne: 1.0 - whiff - topped,
        }
    }

    pub(super) fn off_tee(&self, sums: &mut Sums, n: &Node, h: &Heights<'_>) -> Strike {
        let (w, s, bend) = (n.weight, n.s, self.bend);
        let tee = self.m.tee_mm as f32;
        // The ball stands about 12 mm inside the arc when it is met.
        let curve = (12.0 + s).powi(2) * bend;
        // Height of contact against the middle of the face: zero less height over cos.
        let zero = (tee + BALL * (1.0 - n.sin) - curve) / n.cos - FACE_MIDDLE + self.strike_up;
        let up_at = |up: f32| (zero - up) * n.cos;
        let h_whiff = tee + 2.0 * BALL - curve;
        let h_top = tee + 0.9 * BALL - curve;
        let h_ground = -1.0 - (s + 20.0).max(0.0).powi(2) * bend;
        let h_thin = up_at(-15.0).min(h_top);
        let h_sky = up_at(20.0).max(h_ground.min(h_thin)).min(h_thin);
        let (b_whiff, b_top) = (h.below(h_whiff), h.below(h_top));
        let b_ground = h.below(h_ground);
        let b_thin = h.below(h_thin).max(b_ground);
        let b_sky = h.below(h_sky).max(b_ground).min(b_thin);
        let (whiff, topped) = (1.0 - b_whiff, b_whiff - b_top);
        let thin = b_top - b_thin;
        let bladed = b_top - h.below(up_at(-25.0)).max(b_thin).min(b_top);
        let sky = b_sky - b_ground;
        let clean = b_thin - b_sky;
        let fat = h.below(h_ground.min(-7.0));
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
        sums.add(Event::TeeStanding, w * (1.0 - h.below(tee - curve)));
        let band = self.m.strike_up_band as f32;
        let middle = self.m.strike_up_usual as f32;
        sums.add(Event::HighFace, w * h.below(up_at(middle + band)));
        sums.add(Event::LowFace, w * (1.0 - h.below(up_at(middle - band))));
        let class = Classes {
            whiff,
            topped,
            fat: fat + sky,
            heavy,
            thin,
            bladed,
        };
        self.launches(sums, n, h, &class, zero - middle, h_thin);
        Self::carries(sums, w, &class, clean);
        Strike {
            clean,
            airborne: 1.0 - whiff - topped,
        }
    }

    /// Where turf marks start. A heavy strike cuts from where the undisturbed arc goes under the
    /// turf; after a solid strike the head is kicked down, more so when struck in the middle, and
    /// the mark begins where that steeper line is 1.5 mm deep; a mark shallower than 2 mm is not
    /// seen as one.
    fn marks(&self, sums: &mut Sums, n: &Node, h: &Heights<'_>, limits: [f32; 3], heavies: f32) {
        let (w, s, bend) = (n.weight, n.s, self.bend);
        let [h_heavy, h_clean, h_top] = limits;
        let behind = |x: f32| h.below(-self.grass - (s + x).max(0.0).powi(2) * bend);
        let (far, near, level) = (behind(50.0), behind(12.0), behind(0.0));
        let h_before = (-self.grass - s.max(0.0).powi(2) * bend).min(h_top);
        let mut level_too = 0.0;
        let (mut ahead, mut far_ahead, mut deep_after, mut shallow) = (0.0, 0.0, 0.0, 0.0);
        let kick = self.m.kick_deg as f32;
        let zero = s * s * bend;
        for (from, to, kick) in [
            (h_before, h_clean.min(h_top), kick),
            (h_clean.max(h_before), h_top, 0.4 * kick),
        ] {
            if to <= from {
                continue;
            }
            let slope = (kick - n.attack) * DEGREE;
            if slope <= 0.0 {
                continue;
            }
            let (b_from, b_to) = (h.below(from), h.below(to));
            let under = |height: f32| h.below(height - zero).max(b_from).min(b_to) - b_from;
            let deepest = slope * slope / (4.0 * bend);
            let starts_by = |x: f32| {
                if 2.0 * bend * x >= slope {
                    deepest
                } else {
                    x * slope - x * x * bend
                }
            };
            let seen = under(deepest - 2.0);
            let by_level = under(starts_by(12.0) - 1.5).min(seen);
            let by_ahead = under(starts_by(110.0) - 1.5).max(by_level).min(seen);
            level_too += by_level;
            ahead += by_ahead - by_level;
            far_ahead += seen - by_ahead;
            deep_after += under(deepest - 17.0);
            shallow += under(deepest - 1.0) - under(deepest - 6.0);
        }
        let levels = level - near + level_too;
        let none = (1.0 - level - level_too - ahead - far_ahead).max(0.0);
        sums.add(Event::MarkFarBehind, w * far);
        sums.add(Event::MarkBehind, w * (near - far));
        sums.add(Event::MarkLevel, w * levels);
        sums.add(Event::MarkAhead, w * ahead);
        sums.add(Event::MarkFarAhead, w * far_ahead);
        sums.add(Event::NoMark, w * none);
        let deep = h.below((-7.7f32).min(h_heavy)) + deep_after;
        sums.add(Event::DeepMark, w * deep);
        sums.add(Event::ShallowMark, w * shallow.max(0.0));
        let steep = if n.attack < -5.5 { deep } else { 0.0 };
        let stabbed = self.stuck * (heavies + deep_after).min(1.0);
        sums.add(Event::Stabbed, w * stabbed.max(steep));
        for (share, start) in [
            (far, -80.0),
            (near - far, -30.0),
            (levels, 0.0),
            (ahead, 45.0),
            (far_ahead, 120.0),
            (none, 60.0),
        ] {
            sums.moment(2, w * share, start);
        }
    }

    /// Carry against a solid strike, by class of strike; what the place across the face costs is
    /// added at the end.
    pub(super) fn carries(sums: &mut Sums, w: f32, class: &Classes, clean: f32) {
        let thin_only = (class.thin - class.bladed).max(0.0);
        for (share, carry) in [
            (class.fat, 0.5),
            (class.heavy, 0.88),
            (thin_only, 0.88),
            (class.bladed, 0.73),
            (class.topped + class.whiff, 0.25),
            (clean, 1.0),
        ] {
            sums.moment(4, w * share, carry);
        }
    }
}
