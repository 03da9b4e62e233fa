//! The ball's flight: carry, side, apex, landing and time, from how it leaves and through what air.
//!
//! Drag against the air that passes, lift across it and across the spin axis, gravity; the spin
//! slows a little. Coefficients are published fits ([`Aerodynamics`]); equations and the slowing
//! of spin as in Penner 2001 and Smits and Smith 1994. Fixed steps of the classical fourth-order
//! rule of Runge and Kutta; landing and apex by the cubic through the ends of their step. Halving
//! the step cuts the error by some sixteen (tested), and at the step used it is under a millimetre.
//! Fits with a jump in them lose some of that.
//!
//! Invariants: mirrored start, tilt and cross wind give mirrored side; no air gives the parabola.
//! Does not know: roll, wet balls, knuckle balls, chips: shots outside the coefficients' range are
//! refused with the number that lies outside. Carry is good to about 5 % ([`CARRY_ERROR`]).

use super::air::Air;
use super::{BALL_RADIUS, GRAVITY, GeometryError, Input, angle_within, within};
use crate::quantity::{Angle, Dimension, Estimate, Length, Ratio, Speed, Spin, Time};

/// One standard deviation of carry as a share of it: published fits of drag and lift differ by
/// 15 % at the same spin parameter (5 % of carry), balls by 4 % more (elicited from that spread).
pub const CARRY_ERROR: Ratio = Ratio::of_one(0.032);

/// [`CARRY_ERROR`] up to a spin parameter of 0.25, rising to twice that at 0.5: with so much spin the
/// published fits part further, and tour players' pitching wedges (102 mph, 24.2 deg, 9300 rpm) carry
/// 136 yd (published average, from memory) where the fit used here gives 126.
pub fn carry_error(spin_parameter: Ratio) -> Ratio {
    let more = ((spin_parameter.base() - 0.25) / 0.25).clamp(0.0, 1.0);
    CARRY_ERROR * (1.0 + more)
}

/// One standard deviation of the apex, 1.5 yd (elicited, as [`CARRY_ERROR`]).
pub const APEX_ERROR: Length = Length::yards(1.5);

/// Greatest mass that is allowed, in kilograms (Equipment Rules, published).
const MASS: f64 = 0.045_93;
const RADIUS: f64 = BALL_RADIUS.base();
/// Seconds a step.
const STEP: f64 = 0.05;
/// Seconds until a flight is given up.
const LONGEST: f64 = 60.0;

/// Whose drag and lift.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Aerodynamics {
    /// Naruo, Mizota and Shimozono 2004 (published): spin parameter 0.03 to 1.13, Reynolds number
    /// 0.71e5 to 1.25e5. The default: closed form with the widest range.
    Naruo2004,
    /// Smits and Smith 1994 (published): drives only, spin parameter 0.08 to 0.2, Reynolds number
    /// 0.7e5 to 2.1e5.
    SmitsSmith1994,
    /// Lyu, Kensrud, Smith and Tosaya 2018 (published): one ball, spin parameter 0.04 to 0.32.
    Lyu2018,
    /// The example ball of Lieberman and others 2001, US 6,186,002 (published): spin parameter
    /// 0.044 to 0.22, Reynolds number 0.81e5 to 2.0e5.
    Lieberman2001,
    /// No air at all.
    Vacuum,
}

impl Aerodynamics {
    /// Drag and lift coefficients at a spin parameter S and Reynolds number. Beyond the greatest
    /// S of the fit its value there is used.
    pub fn coefficients(self, spin_parameter: Ratio, reynolds: Ratio) -> (Ratio, Ratio) {
        let (drag, lift) = self.drag_and_lift(spin_parameter.base(), reynolds.base());
        (Ratio::of_one(drag), Ratio::of_one(lift))
    }

    fn drag_and_lift(self, s: f64, re: f64) -> (f64, f64) {
        match self {
            Self::Naruo2004 => {
                let s = s.min(1.13);
                (
                    (((0.7510 * s - 1.760) * s + 1.098) * s + 0.2148) * s + 0.2049,
                    (((-0.2158 * s + 1.006) * s - 1.644) * s + 1.250) * s + 0.0616,
                )
            }
            Self::SmitsSmith1994 => (
                0.24 + 0.18 * s + 0.06 * (std::f64::consts::PI * (re - 9e4) / 2e5).sin(),
                0.54 * s.max(0.0).powf(0.4),
            ),
            Self::Lyu2018 => {
                let s = s.min(0.306);
                let drag = if re > 7.5e4 {
                    (1.91e-11 * re - 5.40e-6) * re + 0.56
                } else {
                    (1.29e-10 * re - 2.59e-5) * re + 1.50
                };
                (drag, (1.99 - 3.25 * s) * s)
            }
            Self::Lieberman2001 => {
                let (s, re) = (s.min(0.22), re / 1e5);
                (
                    0.2028 + (2.8466 * s - 0.2159) * s + 0.0165 * re,
                    0.0860 + (0.6463 + 1.4789 * s) * s - 0.0122 / (re * re),
                )
            }
            Self::Vacuum => (0.0, 0.0),
        }
    }

    /// Least spin parameter at the start of a flight.
    const fn least_spin_parameter(self) -> f64 {
        match self {
            Self::Naruo2004 => 0.03,
            Self::SmitsSmith1994 => 0.06,
            Self::Lyu2018 | Self::Lieberman2001 => 0.04,
            Self::Vacuum => 0.0,
        }
    }

    /// Greatest spin parameter at the start of a flight.
    const fn greatest_spin_parameter(self) -> f64 {
        match self {
            Self::Naruo2004 => 1.13,
            Self::SmitsSmith1994 => 0.2,
            Self::Lyu2018 => 0.32,
            Self::Lieberman2001 => 0.22,
            Self::Vacuum => f64::MAX,
        }
    }
}

/// How the spin slows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SpinDecay {
    /// In proportion to air density, speed and spin, lambda 2.0e-5 (Smits and Smith 1994).
    WithSpeed,
    /// By this share a second, 0 to 0.5.
    EachSecond(Ratio),
}

/// The ball and how the air takes hold of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ball {
    /// Whose coefficients.
    pub aerodynamics: Aerodynamics,
    /// Added to the drag coefficient, -0.05 to 0.05: balls differ by 0.02.
    pub more_drag: Ratio,
    /// Added to the lift coefficient, -0.05 to 0.05.
    pub more_lift: Ratio,
    /// How the spin slows.
    pub spin_decay: SpinDecay,
}

impl Ball {
    /// The recommended model.
    pub const USUAL: Self = Self::with(Aerodynamics::Naruo2004);

    /// A ball with these coefficients and the usual slowing of spin.
    pub const fn with(aerodynamics: Aerodynamics) -> Self {
        Self {
            aerodynamics,
            more_drag: Ratio::ZERO,
            more_lift: Ratio::ZERO,
            spin_decay: SpinDecay::WithSpeed,
        }
    }
}

/// Wind at ball height.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wind {
    /// From behind +, against -.
    pub tail: Speed,
    /// Blowing to the push side +.
    pub cross: Speed,
}

/// How the ball leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Launch {
    /// 60 to 180 mph: full shots.
    pub ball_speed: Speed,
    /// Angle above the ground, 0 to 60 degrees.
    pub launch: Angle,
    /// Direction over the ground, push side +, within 45 degrees.
    pub start: Angle,
    /// 0 to 15000 rpm.
    pub spin: Spin,
    /// Tilt of the axis about the start, curves to the push side +, within 60 degrees.
    pub axis_tilt: Angle,
}

/// A flight down to the height it started from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flight {
    /// Distance over the ground from start to landing.
    pub carry: Length,
    /// Where it lands beside the target line, push side +.
    pub side: Length,
    /// How much of `side` is curve: beside the line it started on.
    pub curve: Length,
    /// Greatest height.
    pub apex: Length,
    /// Angle of the fall to the ground at landing, down +.
    pub landing: Angle,
    /// Time in the air.
    pub time: Time,
    /// Speed at landing.
    pub landing_speed: Speed,
    /// Spin at landing over spin at the start.
    pub spin_left: Ratio,
    /// Speed of the ball's surface over its speed through the air, at the start.
    pub spin_parameter: Ratio,
    /// Steepest climb on the way.
    pub steepest: Angle,
    /// Reynolds numbers passed through, least and greatest.
    pub reynolds: (Ratio, Ratio),
}

impl Flight {
    /// Carry with its error.
    ///
    /// # Errors
    /// None for a flight that was computed.
    pub fn carry_estimate(self) -> Result<Estimate, GeometryError> {
        let carry = self.carry.base();
        Ok(Estimate::from_base(
            carry,
            carry * carry_error(self.spin_parameter).base(),
            Dimension::Length,
        )?)
    }

    /// Apex with its error.
    ///
    /// # Errors
    /// None for a flight that was computed.
    pub fn apex_estimate(self) -> Result<Estimate, GeometryError> {
        Ok(Estimate::from_base(
            self.apex.base(),
            APEX_ERROR.base(),
            Dimension::Length,
        )?)
    }
}

/// The flight of this ball.
///
/// # Errors
/// [`GeometryError::OutOfRange`] naming the number that the model does not cover (ball speed,
/// launch, start, spin, tilt, wind beyond 60 mph, spin parameter outside the coefficients' range),
/// [`GeometryError::NotFinite`], or [`GeometryError::NoLanding`].
///
/// ```
/// use swingwhy::geometry::air::Air;
/// use swingwhy::geometry::flight::{Ball, Launch, Wind, fly};
/// use swingwhy::quantity::{Angle, Length, Ratio, Speed, Spin, Temperature};
/// let air = Air::new(Temperature::celsius(25.0), Length::ZERO, Ratio::ZERO)?;
/// let driver = Launch {
///     ball_speed: Speed::mph(150.0),
///     launch: Angle::degrees(12.0),
///     start: Angle::ZERO,
///     spin: Spin::rpm(2700.0),
///     axis_tilt: Angle::ZERO,
/// };
/// let flight = fly(driver, Ball::USUAL, air, Wind::default())?;
/// assert!((flight.carry.as_yards() - 242.473).abs() < 0.01);
/// # Ok::<(), swingwhy::geometry::GeometryError>(())
/// ```
pub fn fly(launch: Launch, ball: Ball, air: Air, wind: Wind) -> Result<Flight, GeometryError> {
    fly_in_steps(launch, ball, air, wind, Time::seconds(STEP))
}

/// [`fly`] with another step, 0.001 to 0.2 s: for studies of the integration's error.
///
/// # Errors
/// As [`fly`].
pub fn fly_in_steps(
    launch: Launch,
    ball: Ball,
    air: Air,
    wind: Wind,
    step: Time,
) -> Result<Flight, GeometryError> {
    let dt = within(Input::Value, step.base(), 0.001, 0.2)?;
    let (forces, start) = set_up(launch, ball, air, wind)?;
    let mut now = start;
    let mut rates = forces.rates(&now);
    let (mut apex, mut steepest) = (0.0_f64, launch.launch.base());
    let mut speeds = (f64::MAX, 0.0_f64);
    let mut elapsed = 0.0;
    while elapsed < LONGEST {
        let next = forces.stepped(&now, &rates, dt);
        let next_rates = forces.rates(&next);
        speeds = (
            speeds.0.min(forces.through_air(&now)),
            speeds.1.max(forces.through_air(&now)),
        );
        steepest = steepest.max(now.vz().atan2(now.vx().hypot(now.vy())));
        let part = Part {
            from: now,
            to: next,
            from_rates: rates,
            to_rates: next_rates,
            dt,
        };
        if now.vz() > 0.0 && next.vz() <= 0.0 {
            let top = part.zero_of(State::vz);
            apex = apex.max(part.at(top).z());
        }
        if next.z() <= 0.0 && next.vz() < 0.0 {
            let share = part.zero_of(State::z);
            let end = part.at(share);
            let over_ground = end.vx().hypot(end.vy());
            let (sin, cos) = launch.start.base().sin_cos();
            let reynolds = |speed: f64| Ratio::of_one(air.reynolds(speed, 2.0 * RADIUS));
            return Ok(Flight {
                carry: Length::from_base(end.x().hypot(end.y())),
                side: Length::from_base(end.y()),
                curve: Length::from_base(end.y() * cos - end.x() * sin),
                apex: Length::from_base(apex),
                landing: Angle::radians((-end.vz()).atan2(over_ground)),
                time: Time::seconds(elapsed + share * dt),
                landing_speed: Speed::from_base(over_ground.hypot(end.vz())),
                spin_left: Ratio::of_one(if start.spin() > 0.0 {
                    end.spin() / start.spin()
                } else {
                    1.0
                }),
                spin_parameter: Ratio::of_one(
                    RADIUS * start.spin() / forces.through_air(&start).max(1.0),
                ),
                steepest: Angle::radians(steepest),
                reynolds: (reynolds(speeds.0), reynolds(speeds.1)),
            });
        }
        (now, rates) = (next, next_rates);
        elapsed += dt;
    }
    Err(GeometryError::NoLanding {
        after: Time::seconds(LONGEST),
    })
}

fn set_up(
    launch: Launch,
    ball: Ball,
    air: Air,
    wind: Wind,
) -> Result<(Forces, State), GeometryError> {
    let mph = Speed::mph(1.0).base();
    let v = within(
        Input::BallSpeed,
        launch.ball_speed.base(),
        60.0 * mph,
        180.0 * mph,
    )?;
    angle_within(Input::Launch, launch.launch, 0.0, 60.0)?;
    angle_within(Input::StartDirection, launch.start, -45.0, 45.0)?;
    angle_within(Input::AxisTilt, launch.axis_tilt, -60.0, 60.0)?;
    let w = within(
        Input::Spin,
        launch.spin.base(),
        0.0,
        Spin::rpm(15_000.0).base(),
    )?;
    for blow in [wind.tail, wind.cross] {
        within(Input::Wind, blow.base(), -60.0 * mph, 60.0 * mph)?;
    }
    for more in [ball.more_drag, ball.more_lift] {
        within(Input::Value, more.base(), -0.05, 0.05)?;
    }
    let (up, over) = launch.launch.base().sin_cos();
    let (sin, cos) = launch.start.base().sin_cos();
    let (tilt_sin, tilt_cos) = launch.axis_tilt.base().sin_cos();
    let lambda = 2.0e-5;
    let forces = Forces {
        pull: air.density().base() * std::f64::consts::PI * RADIUS * RADIUS / (2.0 * MASS),
        wind: [wind.tail.base(), wind.cross.base()],
        // Pure backspin points to the pull side, at right angles to the start; tilt lifts it.
        axis: [tilt_cos * sin, -tilt_cos * cos, tilt_sin],
        slowing: match ball.spin_decay {
            SpinDecay::WithSpeed => (lambda * air.density().base() / 1.18 / RADIUS, 0.0),
            SpinDecay::EachSecond(share) => (0.0, within(Input::Value, share.base(), 0.0, 0.5)?),
        },
        per_speed: air.reynolds(1.0, 2.0 * RADIUS),
        ball,
    };
    let start = State([0.0, 0.0, 0.0, v * over * cos, v * over * sin, v * up, w]);
    let s = RADIUS * w / forces.through_air(&start).max(1.0);
    let model = ball.aerodynamics;
    within(
        Input::SpinParameter,
        s,
        model.least_spin_parameter(),
        model.greatest_spin_parameter(),
    )?;
    Ok((forces, start))
}

/// Place, velocity and spin: along, to the push side, up; metres, seconds, radians.
#[derive(Debug, Clone, Copy)]
struct State([f64; 7]);

impl State {
    const fn x(&self) -> f64 {
        self.0[0]
    }
    const fn y(&self) -> f64 {
        self.0[1]
    }
    const fn z(&self) -> f64 {
        self.0[2]
    }
    const fn vx(&self) -> f64 {
        self.0[3]
    }
    const fn vy(&self) -> f64 {
        self.0[4]
    }
    const fn vz(&self) -> f64 {
        self.0[5]
    }
    const fn spin(&self) -> f64 {
        self.0[6]
    }

    fn plus(&self, rates: &Self, dt: f64) -> Self {
        let mut sum = self.0;
        for (value, rate) in sum.iter_mut().zip(rates.0) {
            *value += rate * dt;
        }
        Self(sum)
    }
}

struct Forces {
    pull: f64,
    wind: [f64; 2],
    axis: [f64; 3],
    slowing: (f64, f64),
    per_speed: f64,
    ball: Ball,
}

impl Forces {
    fn through_air(&self, state: &State) -> f64 {
        let (a, b, c) = (
            state.vx() - self.wind[0],
            state.vy() - self.wind[1],
            state.vz(),
        );
        (a * a + b * b + c * c).sqrt()
    }

    fn rates(&self, state: &State) -> State {
        let u = [
            state.vx() - self.wind[0],
            state.vy() - self.wind[1],
            state.vz(),
        ];
        let speed = (u[0] * u[0] + u[1] * u[1] + u[2] * u[2]).sqrt().max(1e-9);
        let spin = state.spin();
        let s = RADIUS * spin / speed;
        let (drag, lift) = self
            .ball
            .aerodynamics
            .drag_and_lift(s, self.per_speed * speed);
        let (drag, lift) = if self.ball.aerodynamics == Aerodynamics::Vacuum {
            (0.0, 0.0)
        } else {
            (
                drag + self.ball.more_drag.base(),
                lift + self.ball.more_lift.base(),
            )
        };
        let a = &self.axis;
        let across = [
            a[1] * u[2] - a[2] * u[1],
            a[2] * u[0] - a[0] * u[2],
            a[0] * u[1] - a[1] * u[0],
        ];
        let size = (across[0] * across[0] + across[1] * across[1] + across[2] * across[2]).sqrt();
        let against = -self.pull * drag * speed;
        let aside = self.pull * lift * speed * speed / size.max(1e-9);
        State([
            state.vx(),
            state.vy(),
            state.vz(),
            against * u[0] + aside * across[0],
            against * u[1] + aside * across[1],
            against * u[2] + aside * across[2] - GRAVITY,
            -(self.slowing.0 * speed + self.slowing.1) * spin,
        ])
    }

    fn stepped(&self, from: &State, first: &State, dt: f64) -> State {
        let second = self.rates(&from.plus(first, 0.5 * dt));
        let third = self.rates(&from.plus(&second, 0.5 * dt));
        let fourth = self.rates(&from.plus(&third, dt));
        let mut to = from.0;
        for (i, value) in to.iter_mut().enumerate() {
            let middle = second.0[i] + third.0[i];
            *value += dt / 6.0 * (first.0[i] + 2.0 * middle + fourth.0[i]);
        }
        State(to)
    }
}

/// One step and the cubic through its ends.
struct Part {
    from: State,
    to: State,
    from_rates: State,
    to_rates: State,
    dt: f64,
}

impl Part {
    fn at(&self, share: f64) -> State {
        let (a, b) = (share, 1.0 - share);
        let mut state = [0.0; 7];
        for (i, value) in state.iter_mut().enumerate() {
            *value = b * b * (1.0 + 2.0 * a) * self.from.0[i]
                + a * a * (1.0 + 2.0 * b) * self.to.0[i]
                + self.dt * a * b * (b * self.from_rates.0[i] - a * self.to_rates.0[i]);
        }
        State(state)
    }

    /// The share of the step at which a falling number of the state passes nothing.
    fn zero_of(&self, number: impl Fn(&State) -> f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..48 {
            let middle = 0.5 * (low + high);
            if number(&self.at(middle)) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }
}
