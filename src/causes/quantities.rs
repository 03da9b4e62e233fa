//! How a golfer's causes and person move the arc, the face and their spreads with one club group.
//!
//! Takes a golfer (causes, personal deviations) and the tables of a group; gives one number for
//! every [`Axis`], in the axis' trade unit. Each rule is a small function below, with its reason:
//! shifts in one direction add less than their sum, golfers re-aim, the face follows the arc, the
//! height of the arc is steered towards what suits the low point, and every rescue costs spread.
//! The sizes are elicited; the geometry is exact. Invariant: a golfer without causes and without
//! deviations has the usual values of the group. Knows nothing of shots or evidence.

use super::model::{Axis, CauseModel, GroupModel, Settings};
use super::population::{Golfer, Person};
use super::scores::Normal;
use crate::vocabulary::CauseId;

/// Number of axes.
pub(super) const AXES: usize = Axis::ALL.len();
/// A golfer's numbers, by `Axis as usize`.
pub(super) type Axes = [f32; AXES];

/// Radius of the ball, mm: half of the least diameter of the Equipment Rules.
pub(super) const BALL: f32 = 21.335;
pub(super) const INCH: f32 = 25.4;
pub(super) const DEGREE: f32 = std::f32::consts::PI / 180.0;

/// Share of a personal deviation that goes with the golfer to every club; the other part belongs
/// to the club (.84 squared + .54 squared = 1; elicited).
const SHARED: f32 = 0.84;
const CLUBS_OWN: f32 = 0.54;
/// Share of the face's turn by a wrong lie that golfers have not adapted to (elicited).
const LIE_FELT: f32 = 0.8;
/// Share of a personal swing direction that the face goes along with (elicited).
const FACE_WITH_SWING: f32 = 0.25;
/// Effective bounce of the usual sole, deg, and how much of added loft or flatter attack it shows.
const USUAL_BOUNCE: f32 = 6.5;
const BOUNCE_SHOWN: f32 = 0.35;
/// Turf that costs nothing with the usual lie, mm (physics: grass brushed less deep).
const USUAL_GRASS: f32 = 1.5;
/// The strike window counts as at most this wide, mm, when golfers seek its middle.
const WINDOW: f32 = 7.5;
/// The same where the low point is ahead and the arc has only to reach deeper, which comes by
/// itself: nobody has to hold anything up.
const STEERED_DEEPER: f32 = 1.0;
/// How much of the height that a moved low point calls for is left undone per share regulated.
const STEERED_AWAY: f32 = 0.35;
/// A shift among larger ones moves its axis at least this much of its own size.
const LEAST_PART: f32 = 0.2;
/// Base chance, in normal score, that friction or response is off without any cause: 1.5 %.
const OFF_BY_CHANCE: f32 = 2.17;

/// One shift in single precision with the key of its score.
#[derive(Debug, Clone, Copy)]
struct Priced {
    axis: usize,
    mean: f32,
    sd: f32,
    key: u64,
}

/// What the inner loop needs of a group.
#[derive(Debug, Clone)]
pub(super) struct GroupTables {
    pub model: GroupModel,
    shifts: Vec<Vec<Priced>>,
    power: [f32; AXES],
    own_keys: [u64; 7],
    settings: Constants,
    radius: f32,
    plane: f32,
    usual_height: f32,
    /// Turf cut before the ball from which a shot counts as slightly heavy and as fat, mm.
    pub heavy_from: f32,
    pub fat_from: f32,
    /// The usual golfer of the group.
    pub usual: Axes,
}

#[derive(Debug, Clone, Copy)]
struct Constants {
    reaim: f32,
    face_follows: f32,
    regulation: (f32, f32),
    radius_to_height: f32,
    hub_to_height: f32,
    rescue: (f32, f32, f32),
}

/// Keys of scores are the same for all clubs: one golfer has one size of each shift.
const SHIFT_KEY: u64 = 5 << 40;
const GROUP_KEY: u64 = 6 << 40;

impl GroupTables {
    /// The tables of the group at this place of the model.
    pub(super) fn new(
        model: &GroupModel,
        place: usize,
        causes: &[CauseModel],
        settings: &Settings,
        normal: &Normal,
    ) -> Self {
        let shifts = causes
            .iter()
            .enumerate()
            .map(|(c, cause)| {
                cause
                    .shifts
                    .get(place)
                    .map_or(&[][..], Vec::as_slice)
                    .iter()
                    .map(|shift| {
                        let scale = if shift.axis == Axis::LowPoint {
                            model.low_point_scale
                        } else {
                            1.0
                        };
                        Priced {
                            axis: shift.axis as usize,
                            mean: (shift.mean * scale) as f32,
                            sd: (shift.sd * scale) as f32,
                            key: SHIFT_KEY | (c as u64) << 8 | shift.axis as u64,
                        }
                    })
                    .collect()
            })
            .collect();
        let mut power = [1.3f32; AXES];
        for axis in [
            Axis::LowPointSpread,
            Axis::ArcHeightSpread,
            Axis::SwingDirectionSpread,
            Axis::FaceAngleSpread,
            Axis::StrikeAcrossSpread,
            Axis::ClubSpeedSpread,
        ] {
            power[axis as usize] = 2.0;
        }
        for &(axis, p) in &settings.p_norm {
            power[axis as usize] = p as f32;
        }
        let mut own_keys = [0; 7];
        for (d, key) in own_keys.iter_mut().enumerate() {
            *key = GROUP_KEY | (place as u64) << 8 | d as u64;
        }
        let pair = |(a, b): (f64, f64)| (a as f32, b as f32);
        let mut tables = Self {
            model: model.clone(),
            shifts,
            power,
            own_keys,
            settings: Constants {
                reaim: settings.reaim as f32,
                face_follows: settings.face_follows as f32,
                regulation: pair(settings.regulation),
                radius_to_height: settings.radius_to_height as f32,
                hub_to_height: settings.hub_to_height as f32,
                rescue: (
                    settings.rescue.0 as f32,
                    settings.rescue.1 as f32,
                    settings.rescue.2 as f32,
                ),
            },
            radius: model.radius_m as f32 * 1000.0,
            plane: model.plane_deg as f32 * DEGREE,
            usual_height: 0.0,
            heavy_from: settings.heavy_from_mm as f32,
            fat_from: settings.fat_from_mm as f32,
            usual: [0.0; AXES],
        };
        let (s, loft) = (
            model.low_point_in as f32 * INCH,
            (model.static_loft_deg + model.loft_off_deg) as f32,
        );
        tables.usual_height =
            tables.best_height(s, loft, tables.radius / tables.plane.sin(), USUAL_GRASS);
        let nobody = Golfer::NOBODY;
        tables.usual = tables.quantities(&nobody, normal, true, &[0.0; AXES]);
        tables
    }

    /// Every axis of a golfer.
    pub(super) fn axes(&self, golfer: &Golfer<'_>, normal: &Normal) -> Axes {
        self.quantities(golfer, normal, false, &[0.0; AXES])
    }

    /// Every axis of a golfer whose shifts have something added, axis by axis; what follows from
    /// an axis moves with it. What is moved here and now has not been aimed away: a low point moved
    /// turns the path by all that the arc turns it, and the face with it.
    pub(super) fn moved(&self, golfer: &Golfer<'_>, normal: &Normal, by: &Axes) -> Axes {
        self.quantities(golfer, normal, false, by)
    }

    /// Keys of the scores that belong to the club.
    pub(super) fn own_keys(&self) -> impl Iterator<Item = u64> + '_ {
        self.own_keys.iter().copied()
    }

    /// For every shift of these causes along a wanted axis whose size differs from golfer to golfer:
    /// the key of its score, the axis, and how far the axis moves for one score (shifts in one
    /// direction add less than their sum; taken at the sizes they have on the whole, since a shift
    /// that goes either way is nothing on average and a lot in each golfer).
    pub(super) fn sizes<'a>(
        &'a self,
        causes: &'a [CauseId],
        wanted: impl Fn(usize) -> bool + Clone + 'a,
    ) -> impl Iterator<Item = (u64, usize, f64)> + 'a {
        let shifts = causes.iter().flat_map(|cause| {
            let shifts = self.shifts.get(cause.index());
            shifts.map_or(&[][..], Vec::as_slice)
        });
        let shifts =
            shifts.filter(move |p| p.axis < Axis::LowPointSpread as usize && wanted(p.axis));
        // What they add up to, downwards and upwards.
        let size = |p: &Priced| p.mean.hypot(p.sd);
        let mut all = [[0.0f32; 2]; AXES];
        for p in shifts.clone() {
            if let Some([down, up]) = all.get_mut(p.axis) {
                let sum = if p.mean >= 0.0 { up } else { down };
                *sum = together(*sum, size(p), self.power_of(p.axis));
            }
        }
        shifts.filter(|p| p.sd > 0.0).map(move |p| {
            let [down, up] = all.get(p.axis).copied().unwrap_or_default();
            let all = if p.mean >= 0.0 { up } else { down }.max(1e-6);
            let part = (size(p) / all).powf(self.power_of(p.axis) - 1.0);
            (p.key, p.axis, f64::from(p.sd * part.max(LEAST_PART)))
        })
    }

    fn power_of(&self, axis: usize) -> f32 {
        self.power.get(axis).copied().unwrap_or(1.3)
    }

    /// What the causes add up to on each axis: shifts in one direction combine as a p-norm, so that
    /// three causes that each move the low point 2 in do not move it 6; the two directions are
    /// taken apart and then subtracted. Spreads are never negative and add in quadrature (p = 2);
    /// chances add as independent chances.
    fn shifted(&self, golfer: &Golfer<'_>, normal: &Normal) -> Axes {
        let mut up = [0.0f32; AXES];
        let mut down = [0.0f32; AXES];
        for cause in golfer.causes {
            for p in self
                .shifts
                .get(cause.index())
                .map_or(&[][..], Vec::as_slice)
            {
                let spread = p.axis >= Axis::LowPointSpread as usize;
                let chance = p.axis >= Axis::FrictionLost as usize;
                let mut size = p.mean;
                if p.sd > 0.0 && !chance {
                    size += p.sd * golfer.score(normal, p.key);
                }
                if spread {
                    size = size.max(0.0);
                }
                let side = if size >= 0.0 { &mut up } else { &mut down };
                if let Some(slot) = side.get_mut(p.axis) {
                    *slot = if chance {
                        1.0 - (1.0 - *slot) * (1.0 - size.clamp(0.0, 1.0))
                    } else {
                        together(*slot, size.abs(), self.power[p.axis])
                    };
                }
            }
        }
        for (u, d) in up.iter_mut().zip(&down) {
            *u -= d;
        }
        up
    }

    fn quantities(&self, golfer: &Golfer<'_>, normal: &Normal, usual: bool, moved: &Axes) -> Axes {
        let mut shifts = self.shifted(golfer, normal);
        for (shift, by) in shifts.iter_mut().zip(moved) {
            *shift += by;
        }
        let mut making = Making {
            tables: self,
            golfer,
            normal,
            usual,
            shifts,
            just_moved: moved.get(Axis::LowPoint as usize).copied().unwrap_or(0.0),
            axes: [0.0; AXES],
        };
        making.arc();
        making.face();
        making.body();
        making.spreads();
        making.height();
        making.strike();
        making.axes
    }

    /// The height of the arc's bottom that suits a low point, mm: the middle of the strike window
    /// between cutting turf before the ball and meeting the ball too low on the face. With a tee,
    /// the height that brings the edge 14 mm up at the ball, never under 2 mm.
    fn best_height(&self, s: f32, loft: f32, curve: f32, grass: f32) -> f32 {
        if self.model.teed {
            return (14.0 - s * s / (2.0 * curve)).max(2.0);
        }
        let (sin, cos) = (loft * DEGREE).sin_cos();
        let contact = -BALL * cos / (1.0 + sin);
        let clean = BALL * (1.0 - sin) - self.model.clean_from_mm as f32 * cos;
        let upper = clean - (s - contact).powi(2) / (2.0 * curve);
        let lower = -grass - (s - contact + 6.0).max(0.0).powi(2) / (2.0 * curve);
        lower + 0.5 * (upper - lower).min(WINDOW)
    }
}

/// A golfer's axes in the making: each step fills in what the steps before it allow.
struct Making<'a> {
    tables: &'a GroupTables,
    golfer: &'a Golfer<'a>,
    normal: &'a Normal,
    usual: bool,
    shifts: Axes,
    /// What of the low point was moved here and now, in.
    just_moved: f32,
    axes: Axes,
}

impl Making<'_> {
    fn shift(&self, axis: Axis) -> f32 {
        self.shifts[axis as usize]
    }

    fn get(&self, axis: Axis) -> f32 {
        self.axes[axis as usize]
    }

    fn put(&mut self, axis: Axis, value: f32) {
        self.axes[axis as usize] = value;
    }

    fn person(&self, which: Person) -> f32 {
        self.golfer.deviation(which)
    }

    /// The club's own part of a deviation.
    fn own(&self, dimension: usize) -> f32 {
        if self.usual {
            return 0.0;
        }
        self.golfer
            .score(self.normal, self.tables.own_keys[dimension])
    }

    /// A deviation, shared over clubs for the most part.
    fn mixed(&self, which: Person) -> f32 {
        SHARED * self.person(which) + CLUBS_OWN * self.own(which as usize)
    }

    /// Where the arc bottoms out, and the path and attack that follow from it exactly.
    fn arc(&mut self) {
        let (t, m) = (self.tables, &self.tables.model);
        let s0 = m.low_point_in as f32;
        let s =
            s0 + m.low_point_psd as f32 * self.mixed(Person::LowPoint) + self.shift(Axis::LowPoint);
        let tilt = 2.0 * self.person(Person::Plane) + self.shift(Axis::Plane);
        let (sin, cos) = (t.plane + tilt * DEGREE).sin_cos();
        let per_inch = INCH / t.radius / DEGREE;
        let swing = m.swing_deg as f32
            + m.swing_psd as f32 * self.mixed(Person::Swing)
            + self.shift(Axis::SwingDirection)
            - reaimed(
                t.settings.reaim,
                (s - s0 - self.just_moved) * per_inch * t.plane.cos(),
            );
        self.put(Axis::LowPoint, s);
        self.put(Axis::Plane, tilt);
        self.put(Axis::SwingDirection, swing);
        self.put(Axis::ClubPath, swing + s * per_inch * cos);
        self.put(Axis::AttackAngle, -s * per_inch * sin);
    }

    /// Lie, loft and face: a wrong lie turns the face, and the face follows most of a turn of the
    /// path that the low point made.
    fn face(&mut self) {
        let (t, m) = (self.tables, &self.tables.model);
        let lie = 1.1 * self.person(Person::Lie) + self.shift(Axis::LieAtImpact);
        let moved = m.loft_psd as f32 * self.mixed(Person::Loft) + self.shift(Axis::DynamicLoft);
        let loft0 = (m.static_loft_deg + m.loft_off_deg) as f32;
        let loft = (loft0 + moved).clamp(5.0, 65.0);
        let per_inch = INCH / t.radius / DEGREE;
        let (path, attack) = (self.get(Axis::ClubPath), self.get(Axis::AttackAngle));
        let s0 = m.low_point_in as f32;
        let now = self.just_moved * per_inch * t.plane.cos();
        let turned = path - self.get(Axis::SwingDirection) - s0 * per_inch * t.plane.cos() - now;
        let face = m.face_deg as f32
            + m.face_psd as f32 * self.mixed(Person::Face)
            + FACE_WITH_SWING * m.swing_psd as f32 * self.mixed(Person::Swing)
            + self.shift(Axis::FaceAngle)
            + LIE_FELT * lie_push(loft, lie)
            + t.settings.face_follows * ((1.0 - t.settings.reaim) * turned + now);
        let attack0 = -s0 * per_inch * t.plane.sin();
        self.put(Axis::LieAtImpact, lie);
        self.put(Axis::DynamicLoft, moved);
        self.put(Axis::DeliveredLoft, loft);
        self.put(Axis::FaceAngle, face);
        self.put(Axis::FaceToPath, face - path);
        self.put(Axis::SpinLoft, self.shift(Axis::SpinLoft));
        let spin_loft = loft - attack + self.shift(Axis::SpinLoft) - (loft0 - attack0);
        self.put(Axis::SpinLoftDelivered, spin_loft);
        let bounce = USUAL_BOUNCE
            + 2.3 * self.person(Person::Bounce)
            + self.shift(Axis::Bounce)
            + BOUNCE_SHOWN * (moved + attack - attack0);
        self.put(Axis::Bounce, bounce);
    }

    /// What stands by itself: hub, radius, aim, speed, place across the face, grass, ball.
    fn body(&mut self) {
        let m = &self.tables.model;
        self.put(
            Axis::StrikeAcross,
            m.strike_mm as f32
                + m.strike_psd as f32 * self.mixed(Person::Across)
                + self.shift(Axis::StrikeAcross),
        );
        self.put(
            Axis::ClubSpeed,
            m.speed_psd as f32 * self.person(Person::Speed) + self.shift(Axis::ClubSpeed),
        );
        let hub = 6.0 * self.person(Person::Hub) + self.shift(Axis::HubHeight);
        self.put(Axis::HubHeight, hub);
        let lost = 3.5 * self.person(Person::Radius) + self.shift(Axis::RadiusLost);
        self.put(Axis::RadiusLost, lost);
        self.put(
            Axis::Aim,
            1.8 * self.person(Person::Aim) + self.shift(Axis::Aim),
        );
        let grass = (USUAL_GRASS + self.shift(Axis::GrassTolerance)).max(0.2);
        self.put(Axis::GrassTolerance, grass);
        let strike_up = self.shift(Axis::StrikeUp) + if m.teed { 2.5 * self.own(6) } else { 0.0 };
        self.put(Axis::StrikeUp, strike_up);
        for (axis, which) in [
            (Axis::FrictionLost, Person::Friction),
            (Axis::Response, Person::Response),
        ] {
            let score = self.person(which);
            let off = self.normal.below(score) < self.shift(axis) || score > OFF_BY_CHANCE;
            self.put(axis, if off { 1.0 } else { 0.0 });
        }
    }

    fn spreads(&mut self) {
        let m = &self.tables.model;
        let height_factor = if m.teed { 1.3 } else { 1.0 };
        for (axis, base, which, factor) in [
            (
                Axis::LowPointSpread,
                m.low_point_ssd,
                Person::LowPointSpread,
                1.0,
            ),
            (
                Axis::ArcHeightSpread,
                m.height_ssd,
                Person::HeightSpread,
                height_factor,
            ),
            (
                Axis::SwingDirectionSpread,
                m.swing_ssd,
                Person::SwingSpread,
                1.0,
            ),
            (Axis::FaceAngleSpread, m.face_ssd, Person::FaceSpread, 1.0),
            (
                Axis::StrikeAcrossSpread,
                m.strike_ssd,
                Person::AcrossSpread,
                1.0,
            ),
            (Axis::ClubSpeedSpread, m.speed_ssd, Person::SpeedSpread, 1.0),
        ] {
            let own = base as f32 * (0.18 * self.person(which)).exp();
            let added = factor * self.shift(axis);
            self.put(axis, (own * own + added * added).sqrt());
        }
        self.put(Axis::OwnHeightSpread, self.get(Axis::ArcHeightSpread));
    }

    /// Height of the arc's bottom: instinct steers it towards what suits the low point and takes
    /// out much of what raised or dropped it; the rescue comes back as spread.
    fn height(&mut self) {
        let (t, m, c) = (self.tables, &self.tables.model, &self.tables.settings);
        let tilt = self.get(Axis::Plane);
        let curve = t.radius / (t.plane + tilt * DEGREE).sin();
        let s = self.get(Axis::LowPoint) * INCH;
        let raw = self.shift(Axis::ArcHeight)
            + c.hub_to_height * self.shift(Axis::HubHeight)
            + c.radius_to_height * self.shift(Axis::RadiusLost);
        let grass = self.get(Axis::GrassTolerance);
        let best = t.best_height(s, self.get(Axis::DeliveredLoft), curve, grass);
        let called_for = t.usual_height - best;
        let instinct = (c.regulation.0 + c.regulation.1 * self.person(Person::Regulation))
            .clamp(0.1, 0.9)
            * if m.teed { 0.7 } else { 1.0 };
        let steered = if called_for > 0.0 {
            STEERED_DEEPER
        } else {
            STEERED_AWAY
        };
        let height = best
            + m.height_bias_mm as f32
            + m.height_psd as f32 * self.mixed(Person::Height)
            + (1.0 - instinct) * raw
            + (1.0 - steered * instinct) * called_for;
        let own = self.get(Axis::OwnHeightSpread);
        self.put(Axis::ArcHeight, height);
        self.put(Axis::Rescued, instinct * raw);
        self.put(
            Axis::ArcHeightSpread,
            with_rescue(own, instinct * raw, called_for, c.rescue),
        );
        self.put(Axis::EdgeAtBall, height + s * s / (2.0 * curve));
    }

    /// Where on the face and through how much turf.
    fn strike(&mut self) {
        let (t, m) = (self.tables, &self.tables.model);
        let across = self.get(Axis::StrikeAcross);
        let neck = (-neck(m) - across) / self.get(Axis::StrikeAcrossSpread);
        self.put(Axis::OnTheNeck, self.normal.below(neck));
        let (sin, cos) = (self.get(Axis::DeliveredLoft) * DEGREE).sin_cos();
        let edge = self.get(Axis::EdgeAtBall);
        if m.teed {
            let up = (m.tee_mm as f32 + BALL * (1.0 - sin) - edge) / cos - FACE_MIDDLE;
            self.put(Axis::StrikeUpDelivered, up + self.get(Axis::StrikeUp));
            return;
        }
        let loft0 = ((m.static_loft_deg + m.loft_off_deg) as f32 * DEGREE).sin_cos();
        let up = (BALL * (1.0 - sin) - edge) / cos - BALL * (1.0 - loft0.0) / loft0.1;
        self.put(Axis::StrikeUpDelivered, up);
        let grass = self.get(Axis::GrassTolerance);
        let free = if self.get(Axis::Bounce) < 2.0 {
            grass.min(0.5)
        } else {
            grass
        };
        let curve = t.radius / (t.plane + self.get(Axis::Plane) * DEGREE).sin();
        let reach = (self.get(Axis::LowPoint) * INCH + 23.0).max(0.0);
        let deep = reach * reach / (2.0 * curve) + free;
        let spread = self.get(Axis::ArcHeightSpread);
        let share = (-deep - self.get(Axis::ArcHeight)) / (spread * spread + 2.25).sqrt();
        self.put(Axis::TurfBefore, self.normal.below(share));
    }
}

/// Middle of a driver's face above its edge, mm (common practice).
pub(super) const FACE_MIDDLE: f32 = 29.0;

/// How far from the middle the neck begins, mm: 30 with irons and hybrids, 33 with fairway woods,
/// 40 with a driver (common practice).
pub(super) fn neck(model: &GroupModel) -> f32 {
    if model.teed {
        40.0
    } else if model.static_loft_deg < 18.0 {
        33.0
    } else {
        30.0
    }
}

/// Two shifts in one direction: `(x^p + y^p)^(1/p)`.
#[inline]
fn together(x: f32, y: f32, p: f32) -> f32 {
    let (small, large) = if x < y { (x, y) } else { (y, x) };
    if small <= 0.0 {
        large
    } else if p >= 2.0 {
        (large * large + small * small).sqrt()
    } else {
        large * (1.0 + (small / large).powf(p)).powf(1.0 / p)
    }
}

/// What golfers take out of the path by re-aiming the swing when the low point has turned it: the
/// stated share of the turn, deg. (One who always pulls learns to swing right.)
fn reaimed(share: f32, turn: f32) -> f32 {
    share * turn
}

/// How far a wrong lie turns the face, deg, + to the push side: a toe that sits up points the loft
/// to the pull side. Exact for a plane face.
fn lie_push(loft: f32, lie: f32) -> f32 {
    -((loft * DEGREE).tan() * (lie * DEGREE).sin()).atan() / DEGREE
}

/// Spread of the height with the rescue: what instinct takes out in mid-swing is never taken out
/// exactly, so a share of its size comes back as spread. `called_for` below zero means that the low
/// point is back and the arc has to be held up, which is the costlier rescue.
fn with_rescue(own: f32, taken_out: f32, called_for: f32, rescue: (f32, f32, f32)) -> f32 {
    let held = if called_for < 0.0 { rescue.1 } else { rescue.2 } * called_for;
    (own * own + (rescue.0 * taken_out).powi(2) + held * held).sqrt()
}

#[cfg(test)]
mod tests;
