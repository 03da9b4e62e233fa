//! `flight`: where the ball goes, from how it leaves or from how the club meets it.
//!
//! Takes ball speed, launch and spin (start and tilt if they are not nothing), or club speed,
//! attack, face and path with the loft at the ball, the loft on the club or the club alone, and the
//! air; prints carry, side, peak, landing and time with their
//! ranges. Exit code 65 with the reason for what lies outside the model.

use std::process::ExitCode;

use clap::Args;

use super::{BAD_DATA, measure, written};
use crate::geometry::GeometryError;
use crate::geometry::air::Air;
use crate::geometry::flight::Wind;
use crate::geometry::impact::{Delivery, Head};
use crate::geometry::outcome::{Leaving, Outcome, outcome};
use crate::knowledge::KnowledgeBase;
use crate::quantity::{Angle, Dimension, Estimate, Length, Ratio, Speed, Spin, Temperature};
use crate::vocabulary::Hand;
use crate::wording::{Drawing, LoftFrom, flight_json, flight_lines, refusal};

/// How the ball leaves, or how the club meets it. Numbers may carry a unit (67m/s).
#[derive(Debug, Clone, Args)]
pub(super) struct Flown {
    /// Ball speed.
    #[arg(long, value_name = "MPH", value_parser = measure::speed, required_unless_present = "club_speed", requires = "launch", requires = "spin")]
    ball_speed: Option<Speed>,
    /// Angle above the ground at which the ball leaves.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = measure::angle)]
    launch: Option<Angle>,
    /// Spin.
    #[arg(long, value_name = "RPM", value_parser = measure::spin)]
    spin: Option<Spin>,
    /// Tilt of the spin axis, + curves to the push side.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = measure::angle)]
    axis_tilt: Option<Angle>,
    /// Start direction, + to the push side.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = measure::angle)]
    start: Option<Angle>,
    /// Club speed, instead of ball speed, launch and spin.
    #[arg(long, value_name = "MPH", value_parser = measure::speed, conflicts_with_all = ["ball_speed", "launch", "spin", "axis_tilt", "start"], requires = "attack")]
    club_speed: Option<Speed>,
    /// Attack angle, + up.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true, value_parser = measure::angle)]
    attack: Option<Angle>,
    /// Dynamic loft: of the face at the ball, not the loft on the club.
    #[arg(long, visible_alias = "dynamic-loft", value_name = "DEG", value_parser = measure::angle)]
    loft: Option<Angle>,
    /// Loft on the club; the loft at the ball is then what is usual with it.
    #[arg(long, value_name = "DEG", value_parser = measure::angle, conflicts_with = "loft")]
    static_loft: Option<Angle>,
    /// The club: its usual loft at the ball where no loft is given, and the spin of its sort of head.
    #[arg(long, value_name = "CLUB", requires = "club_speed")]
    club: Option<String>,
    /// Face angle, + to the push side.
    #[arg(long, default_value = "0", value_name = "DEG", allow_negative_numbers = true, value_parser = measure::angle)]
    face: Angle,
    /// Club path, + to the push side.
    #[arg(long, default_value = "0", value_name = "DEG", allow_negative_numbers = true, value_parser = measure::angle)]
    path: Angle,
    /// Wind along the target line, from behind +, against -.
    #[arg(long, visible_alias = "tail", default_value = "0", value_name = "MPH", allow_negative_numbers = true, value_parser = measure::speed)]
    wind: Speed,
    /// Wind across it, blowing to the push side +.
    #[arg(long, default_value = "0", value_name = "MPH", allow_negative_numbers = true, value_parser = measure::speed)]
    cross: Speed,
    /// Temperature of the air.
    #[arg(long, default_value = "25", value_name = "C", allow_negative_numbers = true, value_parser = measure::temperature)]
    temperature: Temperature,
    /// Altitude above the sea.
    #[arg(long, default_value = "0", value_name = "M", allow_negative_numbers = true, value_parser = measure::altitude)]
    altitude: Length,
    /// Relative humidity.
    #[arg(long, default_value = "0", value_name = "PERCENT", value_parser = measure::humidity)]
    humidity: Ratio,
    /// Metres and kilometres an hour in what is printed.
    #[arg(long)]
    metric: bool,
    /// Print one JSON object (format version 1) instead of text.
    #[arg(long)]
    json: bool,
}

/// The loft at the ball and where it comes from.
struct Lofted {
    middle: Angle,
    error: Angle,
    head: Option<Head>,
    from: LoftFrom,
}

fn lofted(base: &KnowledgeBase, flown: &Flown) -> Result<Lofted, String> {
    let named = match &flown.club {
        Some(club) => Some(measure::club(base, club)?),
        None => None,
    };
    if let Some(loft) = flown.loft {
        return Ok(Lofted {
            middle: loft,
            error: Angle::ZERO,
            head: named.map(|club| club.head),
            from: LoftFrom::Given,
        });
    }
    let near = |loft| {
        let id = measure::club_of_loft(base, loft).unwrap_or_default();
        measure::club(base, id)
    };
    let head = named.as_ref().map(|club| club.head);
    let club = match (named, flown.static_loft) {
        (Some(club), _) => club,
        (None, Some(loft)) => near(loft)?,
        (None, None) if flown.club_speed.is_some() => {
            return Err(
                "give --loft (at the ball), --static-loft (on the club) or --club".to_owned(),
            );
        }
        (None, None) => {
            return Ok(Lofted {
                middle: Angle::ZERO,
                error: Angle::ZERO,
                head: None,
                from: LoftFrom::Given,
            });
        }
    };
    let on_club = flown.static_loft.unwrap_or(club.shape.static_loft);
    let off = club.shape.loft_off;
    Ok(Lofted {
        middle: on_club + Angle::from_base(off.mean()),
        error: Angle::from_base(off.sd()),
        head: head.or(Some(club.head)),
        from: LoftFrom::Usual {
            club: club.name,
            on_club,
            given: flown.static_loft.is_some(),
        },
    })
}

/// Computes and prints the flight.
pub(super) fn flight(base: &KnowledgeBase, flown: &Flown, hand: Option<Hand>) -> ExitCode {
    let lofted = match lofted(base, flown) {
        Ok(lofted) => lofted,
        Err(message) => {
            eprintln!("{message}");
            return ExitCode::from(2);
        }
    };
    let (leaving, outcome) = match computed(flown, &lofted) {
        Ok(done) => done,
        Err(error) => {
            eprintln!("this flight is not computed: {}", refusal(&error));
            return ExitCode::from(BAD_DATA);
        }
    };
    if flown.json {
        return written(&format!("{}\n", flight_json(&leaving, &outcome)));
    }
    let drawing = Drawing {
        plain: true,
        metric: flown.metric,
        hand,
    };
    let loft = Estimate::from_base(lofted.middle.base(), lofted.error.base(), Dimension::Angle)
        .ok()
        .filter(|_| flown.club_speed.is_some())
        .map(|loft| (loft, &lofted.from));
    written(&flight_lines(&leaving, &outcome, loft, drawing))
}

fn computed(flown: &Flown, lofted: &Lofted) -> Result<(Leaving, Outcome), GeometryError> {
    let air = Air::new(flown.temperature, flown.altitude, flown.humidity)?;
    let wind = Wind {
        tail: flown.wind,
        cross: flown.cross,
    };
    let leaving = match flown.club_speed {
        Some(speed) => Leaving::of_delivery(
            speed,
            Delivery {
                face: flown.face,
                path: flown.path,
                dynamic_loft: lofted.middle,
                attack: flown.attack.unwrap_or(Angle::ZERO),
            },
            lofted.error,
            lofted.head,
        )?,
        None => Leaving {
            ball_speed: Estimate::exact(flown.ball_speed.unwrap_or(Speed::ZERO).into()),
            launch: Estimate::exact(flown.launch.unwrap_or(Angle::ZERO).into()),
            start: Estimate::exact(flown.start.unwrap_or(Angle::ZERO).into()),
            spin: Estimate::exact(flown.spin.unwrap_or(Spin::ZERO).into()),
            axis_tilt: Estimate::exact(flown.axis_tilt.unwrap_or(Angle::ZERO).into()),
        },
    };
    let outcome = outcome(&leaving, air, wind)?;
    Ok((leaving, outcome))
}
