//! `arc`: the numbers that are known in, everything that follows out.
//!
//! Takes any of low point, attack, turf entry, length and depth of the mark, brush mark, path and
//! swing direction, with a club; gives the arc, what a good strike wants, and a side view.

use std::fmt::Write as _;
use std::process::ExitCode;

use clap::Args;

use super::{BAD_DATA, written};
use crate::conversation::{Reply, Session};
use crate::knowledge::KnowledgeBase;
use crate::transcript::plain;

/// What is known.
#[derive(Debug, Clone, Args)]
pub(super) struct Known {
    /// The club, as an id of the knowledge or in words.
    #[arg(long, default_value = "7 iron")]
    club: String,
    /// Low point in inches, + on the target side of the ball.
    #[arg(long, allow_negative_numbers = true, value_name = "IN")]
    low_point: Option<f64>,
    /// Attack angle in degrees, + up.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG")]
    attack: Option<f64>,
    /// Where the mark starts, inches behind the ball.
    #[arg(long, allow_negative_numbers = true, value_name = "IN")]
    turf_entry: Option<f64>,
    /// Length of the mark in inches.
    #[arg(long, value_name = "IN")]
    mark_length: Option<f64>,
    /// Where a practice swing starts to brush the ground, inches on the target side of the line.
    #[arg(long, allow_negative_numbers = true, value_name = "IN")]
    brush: Option<f64>,
    /// Club path in degrees, + to the push side.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG")]
    path: Option<f64>,
    /// Face angle in degrees, + to the push side.
    #[arg(long, allow_negative_numbers = true, value_name = "DEG")]
    face: Option<f64>,
    /// Dynamic loft in degrees.
    #[arg(long, value_name = "DEG")]
    loft: Option<f64>,
}

/// Says the known numbers to a talk and shows every number that follows.
pub(super) fn arc(base: &std::sync::Arc<KnowledgeBase>, known: &Known) -> ExitCode {
    let mut line = known.club.replace(['\n', '\r'], " ");
    let mut any = false;
    let mut say = |value: Option<f64>, text: &dyn Fn(f64) -> String| {
        if let Some(value) = value {
            any = true;
            let _ = write!(line, ", {}", text(value));
        }
    };
    let side = |v: f64, plus: &str, minus: &str| {
        format!("{} {}", v.abs(), if v < 0.0 { minus } else { plus })
    };
    say(known.low_point, &|v| {
        format!("low point {}", side(v, "in ahead", "in behind"))
    });
    say(known.attack, &|v| {
        format!("attack angle {}", side(v, "deg up", "deg down"))
    });
    say(known.turf_entry, &|v| {
        format!(
            "divot starts {}",
            side(v, "in behind the ball", "in ahead of the ball")
        )
    });
    say(known.mark_length, &|v| format!("divot {v} in long"));
    say(known.brush, &|v| {
        format!(
            "practice swing brushes {}",
            side(v, "in ahead", "in behind")
        )
    });
    say(known.path, &|v| format!("path {v:+} deg"));
    say(known.face, &|v| format!("face {v:+} deg"));
    say(known.loft, &|v| format!("dynamic loft {v} deg"));
    if !any {
        eprintln!("give at least one number, such as --low-point 3.5 or --attack -4");
        return ExitCode::from(2);
    }
    let Ok(mut session) = Session::new(
        std::sync::Arc::clone(base),
        Some(crate::vocabulary::Hand::Right),
    ) else {
        return ExitCode::from(BAD_DATA);
    };
    let told: Reply = session.respond(&line);
    let mut text = String::new();
    for block in &told.blocks {
        use crate::conversation::Block;
        if matches!(
            block,
            Block::Impossible { .. } | Block::Clash(..) | Block::Arc(_)
        ) {
            text.push_str(&plain(&session, &Reply::of(block.clone())));
        }
    }
    text.push('\n');
    let drawing = session.respond("draw");
    text.push_str(&plain(&session, &drawing));
    written(&text)
}
