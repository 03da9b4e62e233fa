//! What a golfer sees over a hundred shots: the rate of every event, from the golfer's axes.
//!
//! A shot has a low point, loft, swing direction and place across the face, taken at sixteen fixed
//! nodes (twelve ordinary, four of poor swings), four at a time, and a height and a face angle, which are integrated
//! exactly given the node: strike classes are slices of height between closed-form limits, start
//! side and curve are slices of face angle. So the rates are smooth in every axis, quiet, and cost
//! microseconds. Limits are those of the strike window (one edge point on the arc, a ball on the
//! turf or a tee) and of the small-angle flight model.
//!
//! Invariant: whiff, topped, thin, clean, slightly heavy and fat share out all shots (with a tee:
//! whiff, topped, thin, clean, sky and drop-kick). Knows nothing of causes or evidence.

use super::lanes::{Four, at_least, at_most, below, four, sum};
use super::model::{Axis, Event, GroupModel};
use super::quantities::{Axes, DEGREE, GroupTables, INCH, neck};
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
/// In a poor swing the arc rides up by this many usual height spreads, and what instinct takes out of
/// the height in other swings stays in: who stands up tops it, who dips buries it.
const POOR_LIFT: f32 = 1.6;
/// Share of the face's scatter that goes with the swing direction.
const FACE_WITH_SWING: f32 = 0.4;
/// Rate at which a sole that skids turns a heavy shot into a thin one.
const SKID: f32 = 0.79;
/// Share of shots in which lost friction shows as a flyer.
const FLIES: f32 = 0.27;

/// The rates of a golfer with these axes.
pub(super) fn rates(tables: &GroupTables, axes: &Axes, normal: &Normal) -> Rates {
    let swing = Swing::new(tables, axes);
    let mut sums = FourSums::nothing();
    let tail = tables.model.tail_share as f32;
    let (nodes, _) = CORE.as_chunks();
    for nodes in nodes {
        let weight = four((1.0 - tail) / CORE.len() as f32);
        swing.add(&mut sums, &side_by_side(nodes), weight, 1.0);
    }
    let weight = four(tail / POOR.len() as f32);
    let factor = tables.model.tail_factor as f32;
    swing.add(&mut sums, &side_by_side(&POOR), weight, factor);
    swing.finish(sums.together(), normal)
}

/// Four nodes with each of their scores side by side.
#[inline]
fn side_by_side(nodes: &[[f32; 4]; 4]) -> [Four; 4] {
    let [a, b, c, d] = nodes;
    std::array::from_fn(|z| Four::new([a[z], b[z], c[z], d[z]]))
}

/// What decides one shot: normal scores, one by one, and whether it is a poor swing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dice {
    pub low: f32,
    pub height: f32,
    pub loft: f32,
    pub swing: f32,
    pub face: f32,
    pub across: f32,
    pub poor: bool,
}

/// One shot: what happened, as rates of 0 and 1 (chances where the golfer's numbers leave it open),
/// and its delivery in mm and deg.
#[derive(Debug, Clone, Copy)]
pub(super) struct OneShot {
    pub rates: Rates,
    pub low: f32,
    pub height: f32,
    pub loft: f32,
    pub path: f32,
    pub face: f32,
    pub across: f32,
    pub attack: f32,
    /// Where the undisturbed arc goes under the turf, mm behind the ball; only if before it.
    pub entry_behind: Option<f32>,
}

/// Width of the distribution that stands for a single value.
const POINT: f32 = 1e-3;

/// One shot of a golfer with these axes: the same limits as [`rates`], with every spread taken out.
pub(super) fn one(tables: &GroupTables, axes: &Axes, dice: &Dice) -> OneShot {
    let mut swing = Swing::new(tables, axes);
    let factor = if dice.poor {
        tables.model.tail_factor as f32
    } else {
        1.0
    };
    let root = factor.sqrt();
    let lift = if dice.poor {
        POOR_LIFT * swing.m.height_ssd as f32
    } else {
        0.0
    };
    let low_moved = swing.low_spread * dice.low * root;
    let swing_moved = swing.direction_spread * dice.swing;
    let turn = swing.nodes_loft * dice.loft;
    swing.low += low_moved;
    swing.height += lift + swing.height_spread * factor * dice.height;
    swing.height_spread = POINT;
    swing.face += FACE_WITH_SWING * swing_moved
        + swing.face_per_low * low_moved
        + swing.face_own_spread * dice.face;
    swing.face_own_spread = POINT;
    swing.direction += swing_moved;
    swing.loft_deg += turn / DEGREE;
    swing.loft = (swing.loft_deg * DEGREE).sin_cos();
    swing.across += swing.across_spread * dice.across * root;
    let mut sums = FourSums::nothing();
    let alone = Four::new([1.0, 0.0, 0.0, 0.0]);
    swing.add(&mut sums, &[four(0.0); 4], alone, 1.0);
    let mut rates = sums.together().rates;
    let shank = swing.across < -neck(swing.m);
    for (event, so) in [
        (Event::Heel, swing.across < -8.0),
        (Event::Toe, swing.across > 8.0),
        (Event::Centre, swing.across.abs() < 10.0),
        (Event::Shank, shank),
    ] {
        rates[event as usize] = if so { 1.0 } else { 0.0 };
    }
    if shank {
        rates[Event::StartsPush as usize] = 1.0;
        rates[Event::StartsPull as usize] = 0.0;
    }
    if swing.across.abs() > swing.across_edge {
        rates[Event::Playable as usize] = 0.0;
    }
    let under = (-swing.grass - swing.height) / swing.bend;
    let entry = (under > 0.0).then(|| under.sqrt() - swing.low);
    OneShot {
        rates,
        low: swing.low,
        height: swing.height,
        loft: swing.loft_deg,
        path: swing.direction + swing.low * swing.path_per_mm,
        face: swing.face,
        across: swing.across,
        attack: swing.low * swing.attack_per_mm,
        entry_behind: entry.filter(|e| *e > 0.0),
    }
}

/// What the shots of all nodes add up to.
struct Sums {
    rates: Rates,
    /// Share of shots launched neither low nor high, and of those launched low.
    between: f32,
    low_launch: f32,
    /// Launch angle, its square, mark start, its square, carry, its square.
    moments: [f32; 6],
}

/// The same of every fourth node.
pub(super) struct FourSums {
    rates: [Four; EVENTS],
    pub between: Four,
    pub low_launch: Four,
    pub moments: [Four; 6],
}

impl FourSums {
    fn nothing() -> Self {
        Self {
            rates: [four(0.0); EVENTS],
            between: four(0.0),
            low_launch: four(0.0),
            moments: [four(0.0); 6],
        }
    }

    #[inline]
    pub(super) fn add(&mut self, event: Event, rate: Four) {
        self.rates[event as usize] += rate;
    }

    #[inline]
    pub(super) fn moment(&mut self, which: usize, weight: Four, value: Four) {
        self.moments[which] += weight * value;
        self.moments[which + 1] += weight * value * value;
    }

    fn together(&self) -> Sums {
        Sums {
            rates: self.rates.map(sum),
            between: sum(self.between),
            low_launch: sum(self.low_launch),
            moments: self.moments.map(sum),
        }
    }
}

/// Constants of one golfer and group.
pub(super) struct Swing<'a> {
    pub m: &'a GroupModel,
    pub low: f32,
    pub low_spread: f32,
    pub height: f32,
    /// What instinct takes out of the height in ordinary swings.
    pub rescued: f32,
    pub height_spread: f32,
    pub direction: f32,
    pub direction_spread: f32,
    pub face: f32,
    pub face_own_spread: f32,
    pub face_per_low: f32,
    pub loft: (f32, f32),
    pub loft_deg: f32,
    pub across: f32,
    pub across_spread: f32,
    pub across_edge: f32,
    pub speed: f32,
    pub speed_spread: f32,
    /// 1 / (2 K), per mm.
    pub bend: f32,
    pub attack_per_mm: f32,
    pub path_per_mm: f32,
    pub grass: f32,
    pub dig: f32,
    pub skid: f32,
    pub stuck: f32,
    pub spin_loft: f32,
    pub strike_up: f32,
    pub friction: f32,
    pub usual_launch: f32,
    pub usual_spin_loft: f32,
    pub gear_tilt: f32,
    pub gear_start: f32,
    pub nodes_loft: f32,
    pub heavy_from: f32,
    pub fat_from: f32,
}

/// Where the height of four nodes' shots stands against its limits.
pub(super) struct Heights {
    pub mean: Four,
    pub inverse: Four,
}

impl Heights {
    /// Share of the shots with the arc's bottom below this height.
    #[inline]
    pub(super) fn below(&self, limit: Four) -> Four {
        below((limit - self.mean) * self.inverse)
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
            rescued: at(Axis::Rescued),
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
            usual_launch: sum(launch(four(loft0), four(attack0))) / 4.0,
            usual_spin_loft: loft0 - attack0,
            gear_tilt,
            gear_start,
            nodes_loft: m.loft_ssd as f32 * DEGREE,
            heavy_from: tables.heavy_from,
            fat_from: tables.fat_from,
        }
    }

    /// Adds the shots of four nodes with the given shares of all shots.
    fn add(&self, sums: &mut FourSums, z: &[Four; 4], weight: Four, factor: f32) {
        let root = factor.sqrt();
        let low_moved = four(self.low_spread * root) * z[0];
        let s = four(self.low) + low_moved;
        let turn = four(self.nodes_loft) * z[1];
        let (sin, cos) = {
            // Small turn of the loft: exact to third order.
            let st = turn - turn * turn * turn * four(1.0 / 6.0);
            let ct = four(1.0) - four(0.5) * turn * turn;
            let (sin, cos) = (four(self.loft.0), four(self.loft.1));
            (sin * ct + cos * st, cos * ct - sin * st)
        };
        let lift = if factor > 1.0 {
            POOR_LIFT * self.m.height_ssd as f32 + self.rescued
        } else {
            0.0
        };
        let heights = Heights {
            mean: four(self.height + lift),
            inverse: four(1.0 / (self.height_spread * factor)),
        };
        let nodes = Nodes {
            weight,
            s,
            sin,
            cos,
            tan: sin / cos,
            loft: four(self.loft_deg) + turn * four(1.0 / DEGREE),
            attack: s * four(self.attack_per_mm),
            spread: self.height_spread * factor,
        };
        let strike = if self.m.teed {
            self.off_tee(sums, &nodes, &heights)
        } else {
            self.off_turf(sums, &nodes, &heights)
        };
        let swing_moved = four(self.direction_spread) * z[2];
        let delivery = Delivery {
            across: four(self.across) + four(self.across_spread * root) * z[3],
            face: four(self.face)
                + four(FACE_WITH_SWING) * swing_moved
                + four(self.face_per_low) * low_moved,
            path: four(self.direction) + swing_moved + s * four(self.path_per_mm),
        };
        self.flight(sums, &nodes, &strike, &delivery);
    }
}

/// Four nodes of a golfer's shots: share, low point (mm), loft and attack (deg), and how much their
/// height spreads.
pub(super) struct Nodes {
    pub weight: Four,
    pub s: Four,
    pub sin: Four,
    pub cos: Four,
    pub tan: Four,
    pub loft: Four,
    pub attack: Four,
    pub spread: f32,
}

/// Place across the face (mm), face and path (deg) of four nodes.
pub(super) struct Delivery {
    pub across: Four,
    pub face: Four,
    pub path: Four,
}

/// What the flight needs to know of the strikes of four nodes.
pub(super) struct Strike {
    /// Share clean, of each node.
    pub clean: Four,
    /// Share that flies at all.
    pub airborne: Four,
}

/// A smooth step at 0, close to the normal distribution.
fn soft(x: f32) -> f32 {
    1.0 / (1.0 + (-1.702 * x).exp())
}

/// Launch angle from loft and attack, deg: the ball leaves most of the way from the path to the
/// loft; fit to published vertical shares of .83 (driver), .81 (mid iron), .72 (wedge), Wood,
/// Henrikson and Broadie 2018.
#[inline]
pub(super) fn launch(loft: Four, attack: Four) -> Four {
    let share = at_most(
        at_least(four(0.88) - four(0.004) * loft, four(0.6)),
        four(0.9),
    );
    attack + share * (loft - attack)
}

impl Swing<'_> {
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

#[cfg(test)]
mod tests {
    use super::super::mid_iron::{mid_iron, settings};
    use super::*;
    use crate::geometry::arc::Shape;
    use crate::geometry::rates::{Scatter, Spread, Tail, class_rates};
    use crate::geometry::strike::StrikeWindow;
    use crate::quantity::{Angle, Length, Ratio};

    fn tables(change: impl FnOnce(&mut GroupModel)) -> GroupTables {
        let mut model = mid_iron();
        change(&mut model);
        GroupTables::new(&model, 0, &[], &settings(), &Normal::new(8))
    }

    fn of(tables: &GroupTables, moved: &[(Axis, f32)]) -> Rates {
        let mut axes = tables.usual;
        for &(axis, value) in moved {
            axes[axis as usize] = value;
        }
        rates(tables, &axes, &Normal::new(8))
    }

    /// The strike classes against the geometry room, which is written apart from this file and
    /// integrates finely over low points: within a point and a half at sixteen nodes.
    #[test]
    fn strike_classes_agree_with_the_geometry_room() {
        let tables = tables(|m| m.loft_ssd = 0.0);
        let m = &tables.model;
        for (low, height, spread) in [
            (2.5, -2.0, 2.1),
            (2.5, 0.5, 3.0),
            (0.0, 1.5, 2.5),
            (-2.0, -1.0, 4.0),
            (4.5, -4.0, 2.0),
        ] {
            let found = of(
                &tables,
                &[
                    (Axis::LowPoint, low),
                    (Axis::ArcHeight, height),
                    (Axis::ArcHeightSpread, spread),
                ],
            );
            let window = StrikeWindow {
                loft: Angle::degrees(m.static_loft_deg + m.loft_off_deg),
                fat_cut: Length::millimetres(25.4),
                ..StrikeWindow::MID_IRON
            };
            let scatter = Scatter {
                low_point: Spread {
                    mean: Length::inches(f64::from(low)),
                    sd: Length::inches(m.low_point_ssd),
                },
                height: Spread {
                    mean: Length::millimetres(f64::from(height)),
                    sd: Length::millimetres(f64::from(spread)),
                },
                tail: Some(Tail {
                    share: Ratio::of_one(m.tail_share),
                    low_point_factor: Ratio::of_one(m.tail_factor.sqrt()),
                    height_factor: Ratio::of_one(m.tail_factor),
                    lift: Length::millimetres(1.6 * m.height_ssd),
                }),
            };
            let shape =
                Shape::new(Length::metres(m.radius_m), Angle::degrees(m.plane_deg)).unwrap();
            let exact = class_rates(shape, window, scatter).unwrap();
            for (event, exact) in [
                (Event::Clean, exact.clean),
                (Event::Thin, exact.thin),
                (Event::Fat, exact.fat),
                (Event::SlightlyHeavy, exact.slightly_heavy),
                (Event::Topped, exact.topped),
                (Event::Bladed, exact.bladed),
            ] {
                let (found, exact) = (f64::from(found[event as usize]), exact.base());
                let at = format!("{event:?} at {low} in, {height} mm, {spread} mm");
                assert!((found - exact).abs() < 0.015, "{at}: {found} for {exact}");
            }
        }
    }

    #[test]
    fn strikes_share_out_all_shots() {
        let tables = tables(|_| ());
        for low in [-3.0, 0.0, 2.5, 6.0] {
            for height in [-10.0, -2.0, 5.0, 20.0, 60.0] {
                let r = of(&tables, &[(Axis::LowPoint, low), (Axis::ArcHeight, height)]);
                let sum: f32 = [
                    Event::Whiff,
                    Event::Topped,
                    Event::Thin,
                    Event::Clean,
                    Event::SlightlyHeavy,
                    Event::Fat,
                ]
                .iter()
                .map(|e| r[*e as usize])
                .sum();
                assert!((sum - 1.0).abs() < 1e-3, "{low} {height}: {sum}");
                assert!(
                    r.iter()
                        .take(Event::LaunchSpread as usize)
                        .all(|x| (0.0..=1.0).contains(x))
                );
            }
        }
    }

    #[test]
    fn higher_arcs_are_thinner_and_open_faces_slice() {
        let tables = tables(|_| ());
        let mut last = (1.0, 0.0);
        for height in [-6.0, -4.0, -2.0, 0.0, 2.0, 4.0] {
            let r = of(&tables, &[(Axis::ArcHeight, height)]);
            let (fat, thin) = (r[Event::Fat as usize], r[Event::Thin as usize]);
            assert!(fat <= last.0 + 1e-6 && thin >= last.1 - 1e-6, "{height}");
            last = (fat, thin);
        }
        let mut last = 0.0;
        for face in [-4.0, -2.0, 0.0, 2.0, 4.0, 8.0] {
            let r = of(&tables, &[(Axis::FaceAngle, face)]);
            let slices = r[Event::CurvePushBig as usize];
            assert!(slices >= last, "{face}");
            last = slices;
        }
        let square = of(
            &tables,
            &[(Axis::FaceAngle, 0.0), (Axis::SwingDirection, -1.4)],
        );
        let pushes = square[Event::StartsPush as usize] - square[Event::Shank as usize];
        let pulls = square[Event::StartsPull as usize];
        assert!((pushes - pulls).abs() < 0.03, "{pushes} {pulls}");
    }
}
