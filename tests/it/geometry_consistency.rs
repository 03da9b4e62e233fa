//! Measured numbers that do not go together: the test vectors of the reference, one for each rule.

use super::geometry::{deg, inches};
use swingwhy::geometry::consistency::{
    ConsistencyRule, Level, Measured, MeasuredName, disagreements, divot_against_strike, unusual,
};
use swingwhy::geometry::strike::StrikeClass;
use swingwhy::quantity::{Amount, Length, Speed, Spin, Time};

fn measured() -> Measured {
    Measured::default()
}

/// The test vectors of the reference for numbers that do not go together.
#[test]
#[allow(clippy::too_many_lines, reason = "one row for each rule")]
fn consistency_vectors() {
    use ConsistencyRule as C;
    let iron = || Measured {
        club_speed: Some(Speed::mph(80.0)),
        ball_speed: Some(Speed::mph(106.0)),
        attack: Some(deg(-4.0)),
        dynamic_loft: Some(deg(24.0)),
        launch: Some(deg(17.0)),
        spin: Some(Spin::rpm(6500.0)),
        low_point: Some(inches(3.5)),
        ..measured()
    };
    let lofted = || Measured {
        attack: Some(deg(-4.0)),
        dynamic_loft: Some(deg(24.0)),
        ..measured()
    };
    let speeds = |club, ball| Measured {
        club_speed: Some(Speed::mph(club)),
        ball_speed: Some(Speed::mph(ball)),
        ..measured()
    };
    let low = |s, a| Measured {
        low_point: Some(inches(s)),
        attack: Some(deg(a)),
        ..measured()
    };
    let spun = |rpm| Measured {
        club_speed: Some(Speed::mph(90.0)),
        spin: Some(Spin::rpm(rpm)),
        ..lofted()
    };
    let carried = |ball, carry| Measured {
        ball_speed: Some(Speed::mph(ball)),
        carry: Some(Length::yards(carry)),
        ..measured()
    };
    let cases: Vec<(Measured, &[(C, Level)])> = vec![
        (iron(), &[]),
        (measured(), &[]),
        (speeds(90.0, 150.0), &[(C::SpeedRatio, Level::Impossible)]),
        (speeds(113.0, 173.0), &[(C::SpeedRatio, Level::Check)]),
        (speeds(100.0, 80.0), &[(C::SpeedRatio, Level::Check)]),
        (low(4.0, 3.0), &[(C::LowPointSign, Level::Impossible)]),
        (low(4.0, -1.0), &[(C::LowPointSize, Level::Check)]),
        (low(101.6, -4.5), &[(C::LowPointSize, Level::Check)]),
        (
            Measured {
                launch: Some(deg(26.5)),
                ..lofted()
            },
            &[(C::LaunchBetween, Level::Impossible)],
        ),
        (
            Measured {
                launch: Some(deg(5.0)),
                ..lofted()
            },
            &[(C::LaunchShare, Level::Check)],
        ),
        (
            Measured {
                spin_loft: Some(deg(20.0)),
                ..lofted()
            },
            &[(C::SpinLoft, Level::Check)],
        ),
        (
            Measured {
                face: Some(deg(3.0)),
                path: Some(deg(-3.0)),
                start: Some(deg(-4.0)),
                ..measured()
            },
            &[(C::DirectionBetween, Level::Check)],
        ),
        (
            Measured {
                path: Some(deg(6.0)),
                swing_direction: Some(deg(0.0)),
                attack: Some(deg(-4.0)),
                plane: Some(deg(60.0)),
                ..measured()
            },
            &[(C::PathShift, Level::Check)],
        ),
        (spun(70970.0), &[(C::SpinSize, Level::Check)]),
        (spun(709.0), &[(C::SpinSize, Level::Check)]),
        (
            Measured {
                face: Some(deg(2.0)),
                path: Some(deg(0.0)),
                dynamic_loft: Some(deg(14.0)),
                attack: Some(deg(0.0)),
                axis_tilt: Some(deg(-12.0)),
                ..measured()
            },
            &[(C::Axis, Level::Check)],
        ),
        (carried(120.0, 272.0), &[(C::CarrySize, Level::Check)]),
        (carried(62.0, 90.0), &[(C::CarryVacuum, Level::Impossible)]),
        (
            Measured {
                apex: Some(Length::yards(32.0)),
                time: Some(Time::seconds(3.0)),
                ..measured()
            },
            &[(C::TimeApex, Level::Check)],
        ),
        (
            Measured {
                launch: Some(deg(16.0)),
                landing: Some(deg(12.0)),
                ..measured()
            },
            &[(C::Descent, Level::Check)],
        ),
        (
            Measured {
                carry: Some(Length::yards(172.0)),
                total: Some(Length::yards(160.0)),
                ..measured()
            },
            &[(C::Total, Level::Check)],
        ),
        (
            Measured {
                divot_start: Some(inches(3.0)),
                divot_end: Some(inches(1.0)),
                ..measured()
            },
            &[(C::DivotEnds, Level::Impossible)],
        ),
        (
            Measured {
                dynamic_loft: Some(deg(2.0)),
                attack: Some(deg(4.0)),
                ..measured()
            },
            &[(C::LoftAboveAttack, Level::Check)],
        ),
    ];
    for (input, expected) in cases {
        let got: Vec<_> = disagreements(&input)
            .iter()
            .map(|found| (found.rule, found.level))
            .collect();
        assert_eq!(got, expected, "{input:?}");
    }
    let found = disagreements(&Measured {
        ball_speed: Some(Speed::mph(75.0)),
        ..iron()
    });
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].rule, C::RatioSpinLoft);
    assert_eq!(
        found[0].between,
        (MeasuredName::ClubSpeed, MeasuredName::BallSpeed)
    );
    assert_eq!(found[0].values.1, Amount::from(Speed::mph(75.0)));

    let odd = unusual(&Measured {
        attack: Some(deg(40.0)),
        spin: Some(Spin::rpm(900.0)),
        usual_spin: Some((Spin::rpm(1200.0), Spin::rpm(5000.0))),
        path: Some(deg(3.0)),
        ..measured()
    });
    let names: Vec<_> = odd.iter().map(|u| u.name).collect();
    assert_eq!(names, [MeasuredName::Attack, MeasuredName::Spin]);
    let divot = Measured {
        divot_start: Some(inches(-2.0)),
        strike: Some(StrikeClass::Clean),
        ..measured()
    };
    assert!(divot_against_strike(&divot).is_some());
    assert!(
        divot_against_strike(&Measured {
            strike: Some(StrikeClass::Fat),
            ..divot
        })
        .is_none()
    );
}
