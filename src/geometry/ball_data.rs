//! What the ball's numbers say of the blow: spin, ball speed and launch back to loft and attack, and
//! what a strike off the middle does to the spin axis.
//!
//! The forward formulae are in [`super::impact`]; these are the same, turned round. Takes numbers of a
//! strike near the middle of the face: low on a driver's face adds several hundred rpm, high takes as
//! many off, and neither shows in launch and ball speed alone. Invariant: the way forward from what is
//! given back here gives the numbers again.
//! Does not know: where the ball was struck up and down the face, grass between, or wind.

use super::impact::{FaceShare, HeadGear};
use super::{BALL_RADIUS, GeometryError, Input, angle_within, length_within, within};
use crate::quantity::{Angle, Length, Ratio, Speed, Spin};

/// Ball speed over club speed.
///
/// # Errors
/// A ball faster than 120 m/s, or a club speed outside 0.1 to 100 m/s.
pub fn speed_ratio(ball: Speed, club: Speed) -> Result<Ratio, GeometryError> {
    let club = within(Input::ClubSpeed, club.base(), 0.1, 100.0)?;
    let ball = within(Input::Value, ball.base(), 0.0, 120.0)?;
    Ok(Ratio::of_one(ball / club))
}

/// The spin loft behind a spin: spin is `share` times (5/7) V sin S / r and the ball leaves with 1.5 V
/// cos S, so that their quotient gives tan S whatever the club speed.
///
/// # Errors
/// A ball speed outside 0.1 to 120 m/s, a share outside 0.1 to 3, or spin beyond 1600 radians a second.
pub fn spin_loft_from_spin(
    spin: Spin,
    ball_speed: Speed,
    share: Ratio,
) -> Result<Angle, GeometryError> {
    let speed = within(Input::Value, ball_speed.base(), 0.1, 120.0)?;
    let share = within(Input::Share, share.base(), 0.1, 3.0)?;
    let spin = within(Input::Value, spin.base(), -1600.0, 1600.0)?;
    let tangent = spin * BALL_RADIUS.base() * 1.5 * 1.4 / (share * speed);
    Ok(Angle::radians(tangent.atan()))
}

/// The attack behind a launch angle: the ball leaves the fitted share of the way from attack to loft.
///
/// # Errors
/// Spin loft outside 0 to 180 degrees.
pub fn attack_from_launch(
    launch: Angle,
    spin_loft: Angle,
    share_error: Ratio,
) -> Result<Angle, GeometryError> {
    let share = FaceShare::Fitted.at(spin_loft)?.base();
    let share = share + within(Input::Share, share_error.base(), -0.5, 0.5)?;
    Ok(launch - spin_loft * share)
}

/// The dynamic loft behind a launch angle and an attack, with face and path alike: the loft from which the
/// ball leaves the fitted share of the way (Wood, Henrikson and Broadie 2018). Halving, until the step is
/// under a millionth of a degree.
///
/// # Errors
/// A launch below the attack, or so far above it that no spin loft up to 60 degrees gives it.
pub fn loft_from_launch_and_attack(
    launch: Angle,
    attack: Angle,
    share_error: Ratio,
) -> Result<Angle, GeometryError> {
    const STEPS: u32 = 30;
    let most = Angle::degrees(60.0);
    let error = within(Input::Share, share_error.base(), -0.5, 0.5)?;
    let above = |spin_loft: Angle| -> Result<Angle, GeometryError> {
        Ok(spin_loft * (FaceShare::Fitted.at(spin_loft)?.base() + error))
    };
    let wanted = launch - attack;
    angle_within(Input::Loft, wanted, 0.0, above(most)?.as_degrees())?;
    let (mut low, mut high) = (Angle::ZERO, most);
    for _ in 0..STEPS {
        let middle = (low + high) * 0.5;
        if above(middle)? < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(attack + (low + high) * 0.5)
}

/// Tilt of the spin axis by a strike `toward_toe` of the middle, times a factor for heads that differ.
///
/// # Errors
/// A strike more than 150 mm off.
pub fn gear_tilt(
    toward_toe: Length,
    head: HeadGear,
    factor: Ratio,
) -> Result<Angle, GeometryError> {
    length_within(Input::StrikePlace, toward_toe, -0.15, 0.15)?;
    Ok(head.tilt_per_mm * (toward_toe.as_millimetres() * factor.base()))
}

#[cfg(test)]
mod tests {
    use super::super::impact::{
        Delivery, ball_speed_ratio, launch_angle, rolling_spin, usual_spin_share,
    };
    use super::*;

    #[test]
    fn the_way_back_meets_the_way_forward() {
        for (loft, attack, speed) in [(13.0, -1.0, 95.0), (27.5, -4.0, 80.0), (46.0, -6.0, 70.0)] {
            let (loft, attack) = (Angle::degrees(loft), Angle::degrees(attack));
            let club = Speed::mph(speed);
            let s = Delivery {
                face: Angle::ZERO,
                path: Angle::ZERO,
                dynamic_loft: loft,
                attack,
            }
            .spin_loft()
            .unwrap();
            let ball = club * ball_speed_ratio(s).unwrap().base();
            let share = usual_spin_share(s, None).unwrap();
            let spin = Spin::from_base(rolling_spin(club, s).unwrap().base() * share.base());
            let back = spin_loft_from_spin(spin, ball, share).unwrap();
            assert!((back - s).abs() < Angle::degrees(0.01), "{back:?} {s:?}");
            let none = Ratio::of_one(0.0);
            let launch = launch_angle(loft, attack, FaceShare::Fitted, none).unwrap();
            let down = attack_from_launch(launch, s, none).unwrap();
            assert!((down - attack).abs() < Angle::degrees(0.01));
            let behind = loft_from_launch_and_attack(launch, attack, none).unwrap();
            assert!((behind - loft).abs() < Angle::degrees(0.001));
        }
        let deg = Angle::degrees;
        let none = Ratio::of_one(0.0);
        assert!(loft_from_launch_and_attack(deg(-6.0), deg(-4.0), none).is_err());
        assert!(loft_from_launch_and_attack(deg(45.0), deg(-4.0), none).is_err());
    }

    #[test]
    fn a_heel_strike_tips_a_drive_to_the_push_side() {
        let one = Ratio::of_one(1.0);
        let tilt = |mm| gear_tilt(Length::millimetres(mm), HeadGear::DRIVER, one).unwrap();
        // 0.45 degrees a millimetre (elicited); the side is published (Penner 2001).
        assert!((tilt(-20.0).as_degrees() - 9.0).abs() < 1e-9);
        assert!(tilt(20.0) < Angle::ZERO);
    }
}
