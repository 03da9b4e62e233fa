//! What a golfer sees over a hundred shots: the rate of every event, from the golfer's axes.
//!
//! A shot has a low point, loft, swing direction and place across the face, taken at sixteen fixed
//! nodes (twelve ordinary, four of poor swings), and a height and a face angle, which are integrated
//! exactly given the node: strike classes are slices of height between closed-form limits, start
//! side and curve are slices of face angle. So the rates are smooth in every axis, quiet, and cost
//! microseconds. Limits are those of the strike window (one edge point on the arc, a ball on the
//! turf or a tee) and of the small-angle flight model.
//!
//! Invariant: whiff, topped, thin, clean, slightly heavy and fat share out all shots (with a tee:
//! whiff, topped, thin, clean, sky and drop-kick). Knows nothing of causes or evidence.

use super::model::{Axis, Event, GroupModel};
use super::quantities::{Axes, BALL, DEGREE, FACE_MIDDLE, GroupTables, INCH, neck};
use super::scores::Normal;

/// Number of events.
pub(super) const EVENTS: usize = Event::ALL.len();
/// A golfer's rates, by `Event as usize`.
pub(super) type Rates = [f32; EVENTS];

/// Normal scores of a shot's low point, loft, swing direction and place across the face: twelve
/// equally likely nodes with mean 0, spread 1 and next to no correlation up to third order (found
/// by search over permutations of twelve strata).
const CORE: [[f32; 4]; 12] = [
    [1.8262, -0.3360, 0.8565, -0.8565],
    [0.8565, -1.8262, -0.3360, 0.1103],
    [0.3360, 1.8262, 0.5785, -1.2131],
    [-1.2131, -1.2131, -0.8565, 1.2131],
    [0.1103, -0.1103, 0.3360, 0.8565],
    [-1.8262, 1.2131, -0.1103, 0.3360],
    [-0.8565, -0.8565, 1.8262, -0.5785],
    [-0.1103, 0.3360, -0.5785, -0.1103],
    [1.2131, 0.8565, -1.8262, 0.5785],
    [-0.5785, -0.5785, -1.2131, -1.8262],
    [0.5785, 0.5785, 1.2131, 1.8262],
    [-0.3360, 0.1103, 0.1103, -0.3360],
];
/// The same for poor swings: the corners of a half cube.
const POOR: [[f32; 4]; 4] = [
    [1.0, 1.0, -1.0, 1.0],
    [1.0, -1.0, 1.0, -1.0],
    [-1.0, 1.0, 1.0, -1.0],
    [-1.0, -1.0, -1.0, 1.0],
];
/// In a poor swing the arc rides up by this many usual height spreads: most of them are tops.
const POOR_LIFT: f32 = 1.6;
/// Share of the face's scatter that goes with the swing direction.
const FACE_WITH_SWING: f32 = 0.4;
/// Offline per degree of axis tilt as a share of carry (common practice: about 0.7 to 0.8 %).
const CURVE: f32 = 0.0078;
/// Rate at which a sole that skids turns a heavy shot into a thin one.
const SKID: f32 = 0.79;
/// Share of shots in which lost friction shows as a flyer.
const FLIES: f32 = 0.27;

/// The rates of a golfer with these axes.
pub(super) fn rates(tables: &GroupTables, axes: &Axes, normal: &Normal) -> Rates {
    let swing = Swing::new(tables, axes);
    let mut sums = Sums {
        rates: [0.0; EVENTS],
        between: 0.0,
        low_launch: 0.0,
        moments: [0.0; 6],
    };
    let tail = tables.model.tail_share as f32;
    for z in &CORE {
        swing.add(&mut sums, z, (1.0 - tail) / CORE.len() as f32, 1.0, normal);
    }
    for z in &POOR {
        let factor = tables.model.tail_factor as f32;
        swing.add(&mut sums, z, tail / POOR.len() as f32, factor, normal);
    }
    swing.finish(sums, normal)
}

struct Sums {
    rates: Rates,
    /// Share of shots launched neither low nor high, and of those launched low.
    between: f32,
    low_launch: f32,
    /// Launch angle, its square, mark start, its square, carry, its square.
    moments: [f32; 6],
}

impl Sums {
    #[inline]
    fn add(&mut self, event: Event, rate: f32) {
        self.rates[event as usize] += rate;
    }

    #[inline]
    fn moment(&mut self, which: usize, weight: f32, value: f32) {
        self.moments[which] += weight * value;
        self.moments[which + 1] += weight * value * value;
    }
}

/// Constants of one golfer and group.
struct Swing<'a> {
    m: &'a GroupModel,
    low: f32,
    low_spread: f32,
    height: f32,
    height_spread: f32,
    direction: f32,
    direction_spread: f32,
    face: f32,
    face_own_spread: f32,
    face_per_low: f32,
    loft: (f32, f32),
    loft_deg: f32,
    across: f32,
    across_spread: f32,
    across_edge: f32,
    speed: f32,
    speed_spread: f32,
    /// 1 / (2 K), per mm.
    bend: f32,
    attack_per_mm: f32,
    path_per_mm: f32,
    grass: f32,
    dig: f32,
    skid: f32,
    stuck: f32,
    spin_loft: f32,
    strike_up: f32,
    friction: f32,
    usual_launch: f32,
    usual_spin_loft: f32,
    gear_tilt: f32,
    gear_start: f32,
    nodes_loft: f32,
    heavy_from: f32,
    fat_from: f32,
}

/// Where the height of one node's shots stands against its limits.
struct Heights<'a> {
    normal: &'a Normal,
    mean: f32,
    inverse: f32,
}

impl Heights<'_> {
    /// Share of the shots with the arc's bottom below this height.
    #[inline]
    fn below(&self, limit: f32) -> f32 {
        self.normal.below((limit - self.mean) * self.inverse)
    }
}

impl<'a> Swing<'a> {
    fn new(tables: &'a GroupTables, a: &Axes) -> Self {
        let m = &tables.model;
        let at = |axis: Axis| a[axis as usize];
        let usual = |axis: Axis| tables.usual[axis as usize];
        let radius = m.radius_m as f32 * 1000.0;
        let plane = (m.plane_deg as f32 + at(Axis::Plane)) * DEGREE;
        let (sin_plane, cos_plane) = plane.sin_cos();
        let plane0 = m.plane_deg as f32 * DEGREE;
        let loft = at(Axis::DeliveredLoft);
        let swing_spread = at(Axis::SwingDirectionSpread);
        let face_own = at(Axis::FaceAngleSpread).powi(2) - (FACE_WITH_SWING * swing_spread).powi(2);
        let bounce = at(Axis::Bounce);
        // Digging and skidding set in smoothly about 2 and 12 deg of effective bounce.
        let digs = if m.teed {
            0.0
        } else {
            soft((2.0 - bounce) / 0.8)
        };
        let grass = at(Axis::GrassTolerance);
        let (gear_tilt, gear_start) = if m.teed {
            (-0.45, 0.09)
        } else if m.static_loft_deg < 18.0 {
            (-0.28, 0.04)
        } else {
            (-0.08, 0.0)
        };
        let (loft0, attack0) = (usual(Axis::DeliveredLoft), usual(Axis::AttackAngle));
        Self {
            m,
            low: at(Axis::LowPoint) * INCH,
            low_spread: at(Axis::LowPointSpread) * INCH,
            height: at(Axis::ArcHeight),
            height_spread: at(Axis::ArcHeightSpread).max(0.2),
            direction: at(Axis::SwingDirection),
            direction_spread: swing_spread,
            face: at(Axis::FaceAngle),
            face_own_spread: face_own.max(1.0).sqrt(),
            face_per_low: 0.9 * plane0.cos() / radius / DEGREE,
            loft: (loft * DEGREE).sin_cos(),
            loft_deg: loft,
            across: at(Axis::StrikeAcross),
            across_spread: at(Axis::StrikeAcrossSpread),
            across_edge: m.playable_strike_mm as f32,
            speed: 1.0 + at(Axis::ClubSpeed) / 100.0,
            speed_spread: at(Axis::ClubSpeedSpread) / 100.0,
            bend: sin_plane / (2.0 * radius),
            attack_per_mm: -sin_plane / radius / DEGREE,
            path_per_mm: cos_plane / radius / DEGREE,
            grass: grass + digs * (grass.min(0.5) - grass),
            dig: 1.0 - 0.75 * digs,
            skid: if m.teed {
                0.0
            } else {
                SKID * soft(bounce - 12.0)
            },
            stuck: soft((3.5 - bounce) / 0.8),
            spin_loft: at(Axis::SpinLoft),
            strike_up: at(Axis::StrikeUp),
            friction: at(Axis::FrictionLost),
            usual_launch: launch(loft0, attack0),
            usual_spin_loft: loft0 - attack0,
            gear_tilt,
            gear_start,
            nodes_loft: m.loft_ssd as f32 * DEGREE,
            heavy_from: tables.heavy_from,
            fat_from: tables.fat_from,
        }
    }

    /// Adds the shots of one node with the given share of all shots.
    fn add(&self, sums: &mut Sums, z: &[f32; 4], weight: f32, factor: f32, normal: &Normal) {
        let root = factor.sqrt();
        let low_moved = self.low_spread * z[0] * root;
        let s = self.low + low_moved;
        let turn = self.nodes_loft * z[1];
        let (sin, cos) = {
            // Small turn of the loft: exact to third order.
            let (st, ct) = (turn - turn.powi(3) / 6.0, 1.0 - 0.5 * turn * turn);
            (
                self.loft.0 * ct + self.loft.1 * st,
                self.loft.1 * ct - self.loft.0 * st,
            )
        };
        let lift = if factor > 1.0 {
            POOR_LIFT * self.m.height_ssd as f32
        } else {
            0.0
        };
        let heights = Heights {
            normal,
            mean: self.height + lift,
            inverse: 1.0 / (self.height_spread * factor),
        };
        let node = Node {
            weight,
            s,
            sin,
            cos,
            tan: sin / cos,
            loft: self.loft_deg + turn / DEGREE,
            attack: s * self.attack_per_mm,
            spread: self.height_spread * factor,
        };
        let strike = if self.m.teed {
            self.off_tee(sums, &node, &heights)
        } else {
            self.off_turf(sums, &node, &heights)
        };
        let across = self.across + self.across_spread * z[3] * root;
        let swing_moved = self.direction_spread * z[2];
        let face = self.face + FACE_WITH_SWING * swing_moved + self.face_per_low * low_moved;
        let path = self.direction + swing_moved + s * self.path_per_mm;
        self.flight(sums, &node, &strike, across, face, path, normal);
    }
}

struct Node {
    weight: f32,
    s: f32,
    sin: f32,
    cos: f32,
    tan: f32,
    loft: f32,
    attack: f32,
    spread: f32,
}

/// What the flight needs to know of a node's strikes.
struct Strike {
    /// Share clean, of this node.
    clean: f32,
    /// Share that flies at all.
    airborne: f32,
}

/// A smooth step at 0, close to the normal distribution.
fn soft(x: f32) -> f32 {
    1.0 / (1.0 + (-1.702 * x).exp())
}

/// Launch angle from loft and attack, deg: the ball leaves most of the way from the path to the
/// loft; fit to published vertical shares of .83 (driver), .81 (mid iron), .72 (wedge), Wood,
/// Henrikson and Broadie 2018.
fn launch(loft: f32, attack: f32) -> f32 {
    attack + (0.88 - 0.004 * loft).clamp(0.6, 0.9) * (loft - attack)
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

    fn off_turf(&self, sums: &mut Sums, n: &Node, h: &Heights<'_>) -> Strike {
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

    fn off_tee(&self, sums: &mut Sums, n: &Node, h: &Heights<'_>) -> Strike {
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

    /// Launch and height of the ball. `zero` is the height of contact at arc height 0; a strike
    /// higher on the face launches higher, and thin ones come out 3 deg lower.
    fn launches(
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

    /// Carry against a solid strike, by class of strike; what the place across the face costs is
    /// added at the end.
    fn carries(sums: &mut Sums, w: f32, class: &Classes, clean: f32) {
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

    /// Start side, curve and where the ball finishes: slices of face angle, given path, spin loft
    /// and place across the face.
    #[allow(clippy::too_many_arguments, reason = "one node's delivery")]
    fn flight(
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

    /// What needs all nodes: the place across the face by itself, the neck, spreads.
    fn finish(&self, mut sums: Sums, normal: &Normal) -> Rates {
        let tail = self.m.tail_share as f32;
        let root = (self.m.tail_factor as f32).sqrt();
        let below = |x: f32| {
            let z = (x - self.across) / self.across_spread;
            (1.0 - tail) * normal.below(z) + tail * normal.below(z / root)
        };
        let r = &mut sums.rates;
        let get = |r: &Rates, event: Event| r[event as usize];
        r[Event::Heel as usize] = below(-8.0);
        r[Event::Toe as usize] = 1.0 - below(8.0);
        r[Event::Centre as usize] = below(10.0) - below(-10.0);
        let shank = below(-neck(self.m)) * (1.0 - get(r, Event::Whiff));
        r[Event::Shank as usize] = shank;
        for event in [Event::StartsPush, Event::MissPush] {
            r[event as usize] = get(r, event) * (1.0 - shank) + shank;
        }
        let edge = below(self.across_edge) - below(-self.across_edge);
        r[Event::Playable as usize] *= edge;
        let off_12 = 1.0 - below(12.0) + below(-12.0);
        let off_26 = 1.0 - below(26.0) + below(-26.0);
        let far_toe = 1.0 - below(12.0);
        let (thin, bladed) = (get(r, Event::Thin), get(r, Event::Bladed));
        let thin_only = (thin - bladed).max(0.0);
        let heavy = get(r, Event::SlightlyHeavy);
        r[Event::Sting as usize] = bladed + thin_only * far_toe;
        r[Event::ShortByMishit as usize] = get(r, Event::Fat)
            + get(r, Event::Sky)
            + bladed
            + get(r, Event::Topped)
            + get(r, Event::Whiff)
            + (heavy + thin_only) * off_12
            + get(r, Event::Clean) * off_26;
        r[Event::Flyer as usize] = self.friction * get(r, Event::Clean) * FLIES;
        // Ballooning: much spin for the launch; diving: hardly any. Low strikes spin more.
        let spin_loft = self.loft_deg - self.low * self.attack_per_mm + self.spin_loft;
        let spin = (spin_loft - self.usual_spin_loft) / self.usual_spin_loft;
        let more = if self.m.teed { 0.18 } else { 0.09 };
        let (much, with_low) = (
            soft((spin - 0.28) / 0.06),
            soft((spin + more - 0.28) / 0.06),
        );
        let share = much + (with_low - much) * get(r, Event::LowFace);
        r[Event::Balloons as usize] = share * sums.between;
        r[Event::Dives as usize] = soft((-0.3 - spin) / 0.06) * sums.low_launch;
        let [l1, l2, m1, m2, c1, c2] = sums.moments;
        let sd = |one: f32, two: f32| (two - one * one).max(0.0).sqrt();
        r[Event::LaunchSpread as usize] = sd(l1, l2);
        r[Event::MarkStartSpread as usize] = if self.m.teed { 0.0 } else { sd(m1, m2) };
        // Off-centre loss: .0011 (distance beyond 5 mm)^1.6, by its mean and spread over a normal.
        let wide = (self.across.powi(2) + self.across_spread.powi(2)).sqrt();
        let loss = 0.0011 * (wide - 3.0).max(0.0).powf(1.6) * if self.m.teed { 0.55 } else { 1.0 };
        let mean = c1.max(0.05);
        let spread = (c2 - c1 * c1).max(0.0) / (mean * mean)
            + self.speed_spread.powi(2)
            + loss.min(0.3).powi(2);
        r[Event::CarrySpread as usize] = spread.sqrt();
        r[Event::SolidCarry as usize] = self.speed
            - 0.004 * (self.loft_deg - (self.usual_loft())).abs()
            - if self.spin_loft < -2.0 { 0.04 } else { 0.0 };
        for rate in r.iter_mut().take(Event::LaunchSpread as usize) {
            *rate = rate.clamp(0.0, 1.0);
        }
        sums.rates
    }

    fn usual_loft(&self) -> f32 {
        (self.m.static_loft_deg + self.m.loft_off_deg) as f32
    }
}

struct Classes {
    whiff: f32,
    topped: f32,
    fat: f32,
    heavy: f32,
    thin: f32,
    bladed: f32,
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
