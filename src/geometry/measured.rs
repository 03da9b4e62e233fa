//! The names that measured numbers go by in the knowledge files.
//!
//! Takes numbers by name and gives the struct that the consistency checks read; a number of the
//! wrong dimension or with an unknown name is left out, because the loader has checked both.

use super::consistency::{Disagreement, Measured, MeasuredName};
use crate::quantity::Amount;

impl MeasuredName {
    /// Every name, in a fixed order.
    pub const ALL: [Self; 21] = [
        Self::ClubSpeed,
        Self::BallSpeed,
        Self::Attack,
        Self::DynamicLoft,
        Self::SpinLoft,
        Self::Launch,
        Self::Start,
        Self::Face,
        Self::Path,
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
}

impl Measured {
    /// The measured numbers among these, by id.
    pub fn from_named<'a>(numbers: impl IntoIterator<Item = (&'a str, Amount)>) -> Self {
        let mut out = Self::default();
        for (id, amount) in numbers {
            match id {
                "club_speed" => out.club_speed = amount.try_into().ok(),
                "ball_speed" => out.ball_speed = amount.try_into().ok(),
                "attack_angle" => out.attack = amount.try_into().ok(),
                "dynamic_loft" => out.dynamic_loft = amount.try_into().ok(),
                "spin_loft" => out.spin_loft = amount.try_into().ok(),
                "launch_angle" => out.launch = amount.try_into().ok(),
                "start_direction" => out.start = amount.try_into().ok(),
                "face_angle" => out.face = amount.try_into().ok(),
                "club_path" => out.path = amount.try_into().ok(),
                "swing_direction" => out.swing_direction = amount.try_into().ok(),
                "plane" => out.plane = amount.try_into().ok(),
                "low_point" => out.low_point = amount.try_into().ok(),
                "spin_rate" => out.spin = amount.try_into().ok(),
                "axis_tilt" => out.axis_tilt = amount.try_into().ok(),
                "carry" => out.carry = amount.try_into().ok(),
                "total" => out.total = amount.try_into().ok(),
                "apex" => out.apex = amount.try_into().ok(),
                "hang_time" => out.time = amount.try_into().ok(),
                "landing_angle" => out.landing = amount.try_into().ok(),
                "mark_start" => out.divot_start = amount.try_into().ok(),
                "mark_end" => out.divot_end = amount.try_into().ok(),
                _ => {}
            }
        }
        out
    }
}

impl Disagreement {
    /// The number of this name, if it is one of the two.
    pub fn value(&self, name: MeasuredName) -> Option<Amount> {
        if name == self.between.0 {
            Some(self.values.0)
        } else if name == self.between.1 {
            Some(self.values.1)
        } else {
            None
        }
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
