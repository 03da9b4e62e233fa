//! The numbers that instruments and eyes give of one shot: any subset of them.
//!
//! Takes and gives typed quantities under the house's signs; a number that was not measured is
//! absent. Invariant: [`MeasuredName`] names every number of [`Measured`] once.
//! Does not know: how sure a number is, or which instrument it came from.

use super::strike::StrikeClass;
use crate::quantity::{Amount, Angle, Dimension, Length, QuantityError, Speed, Spin, Time};

/// What was measured of one shot. Lengths ahead of the ball +, angles by the house's signs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// Speed of the clubhead before impact.
    pub club_speed: Option<Speed>,
    /// Speed of the ball after it.
    pub ball_speed: Option<Speed>,
    /// Attack angle, up +.
    pub attack: Option<Angle>,
    /// Dynamic loft.
    pub dynamic_loft: Option<Angle>,
    /// Spin loft as stated.
    pub spin_loft: Option<Angle>,
    /// Launch angle.
    pub launch: Option<Angle>,
    /// Start direction.
    pub start: Option<Angle>,
    /// Face angle.
    pub face: Option<Angle>,
    /// Club path.
    pub path: Option<Angle>,
    /// Face against path, as stated.
    pub face_to_path: Option<Angle>,
    /// Swing direction.
    pub swing_direction: Option<Angle>,
    /// Inclination of the plane.
    pub plane: Option<Angle>,
    /// Low point ahead of the ball.
    pub low_point: Option<Length>,
    /// Spin.
    pub spin: Option<Spin>,
    /// Tilt of the spin axis.
    pub axis_tilt: Option<Angle>,
    /// Carry.
    pub carry: Option<Length>,
    /// Carry and run.
    pub total: Option<Length>,
    /// Greatest height.
    pub apex: Option<Length>,
    /// Time in the air.
    pub time: Option<Time>,
    /// Angle of the fall at landing, down +.
    pub landing: Option<Angle>,
    /// Where the divot starts, ahead of the ball +.
    pub divot_start: Option<Length>,
    /// Where it ends.
    pub divot_end: Option<Length>,
    /// What the strike was said to be.
    pub strike: Option<StrikeClass>,
    /// Usual least and greatest spin with this club, if knowledge has them.
    pub usual_spin: Option<(Spin, Spin)>,
}

/// A number of [`Measured`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MeasuredName {
    /// Club speed.
    ClubSpeed,
    /// Ball speed.
    BallSpeed,
    /// Attack angle.
    Attack,
    /// Dynamic loft.
    DynamicLoft,
    /// Spin loft.
    SpinLoft,
    /// Launch angle.
    Launch,
    /// Start direction.
    Start,
    /// Face angle.
    Face,
    /// Club path.
    Path,
    /// Face against path.
    FaceToPath,
    /// Swing direction.
    SwingDirection,
    /// Inclination of the plane.
    Plane,
    /// Low point.
    LowPoint,
    /// Spin.
    Spin,
    /// Axis tilt.
    AxisTilt,
    /// Carry.
    Carry,
    /// Total distance.
    Total,
    /// Greatest height.
    Apex,
    /// Time in the air.
    Time,
    /// Landing angle.
    Landing,
    /// Divot start.
    DivotStart,
    /// Divot end.
    DivotEnd,
}

impl MeasuredName {
    /// Every name, in a fixed order.
    pub const ALL: [Self; 22] = [
        Self::ClubSpeed,
        Self::BallSpeed,
        Self::Attack,
        Self::DynamicLoft,
        Self::SpinLoft,
        Self::Launch,
        Self::Start,
        Self::Face,
        Self::Path,
        Self::FaceToPath,
        Self::SwingDirection,
        Self::Plane,
        Self::LowPoint,
        Self::Spin,
        Self::AxisTilt,
        Self::Carry,
        Self::Total,
        Self::Apex,
        Self::Time,
        Self::Landing,
        Self::DivotStart,
        Self::DivotEnd,
    ];

    /// The quantity's id in the knowledge files.
    pub const fn id(self) -> &'static str {
        match self {
            Self::ClubSpeed => "club_speed",
            Self::BallSpeed => "ball_speed",
            Self::Attack => "attack_angle",
            Self::DynamicLoft => "dynamic_loft",
            Self::SpinLoft => "spin_loft",
            Self::Launch => "launch_angle",
            Self::Start => "start_direction",
            Self::Face => "face_angle",
            Self::Path => "club_path",
            Self::FaceToPath => "face_to_path",
            Self::SwingDirection => "swing_direction",
            Self::Plane => "plane",
            Self::LowPoint => "low_point",
            Self::Spin => "spin_rate",
            Self::AxisTilt => "axis_tilt",
            Self::Carry => "carry",
            Self::Total => "total",
            Self::Apex => "apex",
            Self::Time => "hang_time",
            Self::Landing => "landing_angle",
            Self::DivotStart => "mark_start",
            Self::DivotEnd => "mark_end",
        }
    }

    /// What it measures.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::ClubSpeed | Self::BallSpeed => Dimension::Speed,
            Self::Attack
            | Self::DynamicLoft
            | Self::SpinLoft
            | Self::Launch
            | Self::Start
            | Self::Face
            | Self::Path
            | Self::FaceToPath
            | Self::SwingDirection
            | Self::Plane
            | Self::AxisTilt
            | Self::Landing => Dimension::Angle,
            Self::Spin => Dimension::Spin,
            Self::Time => Dimension::Time,
            Self::LowPoint
            | Self::Carry
            | Self::Total
            | Self::Apex
            | Self::DivotStart
            | Self::DivotEnd => Dimension::Length,
        }
    }

    /// True for directions, which are mirrored between right- and left-handed golfers.
    pub const fn sided(self) -> bool {
        matches!(
            self,
            Self::Start
                | Self::Face
                | Self::Path
                | Self::FaceToPath
                | Self::SwingDirection
                | Self::AxisTilt
        )
    }
}

impl Measured {
    /// The measured numbers among these, by their ids in the knowledge files. A number of the wrong
    /// dimension or with another id is left out: the loader has checked both.
    pub fn from_named<'a>(numbers: impl IntoIterator<Item = (&'a str, Amount)>) -> Self {
        let mut out = Self::default();
        for (id, amount) in numbers {
            if let Some(name) = MeasuredName::ALL.into_iter().find(|name| name.id() == id) {
                let _ = out.set(name, amount);
            }
        }
        out
    }

    /// Takes in the number of this name.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] if the number measures something else.
    pub fn set(&mut self, name: MeasuredName, amount: Amount) -> Result<(), QuantityError> {
        match name {
            MeasuredName::ClubSpeed => self.club_speed = Some(amount.try_into()?),
            MeasuredName::BallSpeed => self.ball_speed = Some(amount.try_into()?),
            MeasuredName::Attack => self.attack = Some(amount.try_into()?),
            MeasuredName::DynamicLoft => self.dynamic_loft = Some(amount.try_into()?),
            MeasuredName::SpinLoft => self.spin_loft = Some(amount.try_into()?),
            MeasuredName::Launch => self.launch = Some(amount.try_into()?),
            MeasuredName::Start => self.start = Some(amount.try_into()?),
            MeasuredName::Face => self.face = Some(amount.try_into()?),
            MeasuredName::Path => self.path = Some(amount.try_into()?),
            MeasuredName::FaceToPath => self.face_to_path = Some(amount.try_into()?),
            MeasuredName::SwingDirection => self.swing_direction = Some(amount.try_into()?),
            MeasuredName::Plane => self.plane = Some(amount.try_into()?),
            MeasuredName::LowPoint => self.low_point = Some(amount.try_into()?),
            MeasuredName::Spin => self.spin = Some(amount.try_into()?),
            MeasuredName::AxisTilt => self.axis_tilt = Some(amount.try_into()?),
            MeasuredName::Carry => self.carry = Some(amount.try_into()?),
            MeasuredName::Total => self.total = Some(amount.try_into()?),
            MeasuredName::Apex => self.apex = Some(amount.try_into()?),
            MeasuredName::Time => self.time = Some(amount.try_into()?),
            MeasuredName::Landing => self.landing = Some(amount.try_into()?),
            MeasuredName::DivotStart => self.divot_start = Some(amount.try_into()?),
            MeasuredName::DivotEnd => self.divot_end = Some(amount.try_into()?),
        }
        Ok(())
    }

    /// The number of this name, if it was measured and is finite.
    pub fn get(&self, name: MeasuredName) -> Option<Amount> {
        let amount = match name {
            MeasuredName::ClubSpeed => self.club_speed.map(Amount::from),
            MeasuredName::BallSpeed => self.ball_speed.map(Amount::from),
            MeasuredName::Attack => self.attack.map(Amount::from),
            MeasuredName::DynamicLoft => self.dynamic_loft.map(Amount::from),
            MeasuredName::SpinLoft => self.spin_loft.map(Amount::from),
            MeasuredName::Launch => self.launch.map(Amount::from),
            MeasuredName::Start => self.start.map(Amount::from),
            MeasuredName::Face => self.face.map(Amount::from),
            MeasuredName::Path => self.path.map(Amount::from),
            MeasuredName::FaceToPath => self.face_to_path.map(Amount::from),
            MeasuredName::SwingDirection => self.swing_direction.map(Amount::from),
            MeasuredName::Plane => self.plane.map(Amount::from),
            MeasuredName::LowPoint => self.low_point.map(Amount::from),
            MeasuredName::Spin => self.spin.map(Amount::from),
            MeasuredName::AxisTilt => self.axis_tilt.map(Amount::from),
            MeasuredName::Carry => self.carry.map(Amount::from),
            MeasuredName::Total => self.total.map(Amount::from),
            MeasuredName::Apex => self.apex.map(Amount::from),
            MeasuredName::Time => self.time.map(Amount::from),
            MeasuredName::Landing => self.landing.map(Amount::from),
            MeasuredName::DivotStart => self.divot_start.map(Amount::from),
            MeasuredName::DivotEnd => self.divot_end.map(Amount::from),
        };
        amount.filter(|a| a.base().is_finite())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Unit;

    #[test]
    fn every_name_is_read_back() {
        let units = [
            Unit::Inch,
            Unit::Degree,
            Unit::MilePerHour,
            Unit::Rpm,
            Unit::Second,
        ];
        for name in MeasuredName::ALL {
            let found = units.iter().any(|unit| {
                let amount = Amount::new(1.0, *unit).unwrap();
                Measured::from_named([(name.id(), amount)]).get(name) == Some(amount)
            });
            assert!(found, "{}", name.id());
        }
    }
}
