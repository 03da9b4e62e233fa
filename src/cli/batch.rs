//! `batch`: JSON Lines in, JSON Lines out, one object a message, in order.
//!
//! Input: `{"id": ..., "handed": "right"|"left"|null, "message": "..." or ["...", ...],
//! "answers": {check id: true|false|"yes"|"no"|"don't know"}}`. A line that is no such object gets
//! an object with `error` and its line number, and the exit code is 65 at the end. Lines do not
//! influence each other, so an archive may be cut anywhere and run in parts.

use std::io::{self, BufRead, BufWriter, Write};
use std::process::ExitCode;

use serde_json::{Value, json};

use super::{BAD_DATA, NOT_WRITTEN};
use crate::conversation::{Reply, Session};
use crate::knowledge::{KnowledgeBase, nearest};
use crate::vocabulary::{CheckId, Hand};
use crate::wording::clean;
use crate::wording::json::{FORMAT, judged};

/// Maps standard input to standard output.
pub(super) fn batch(session: &mut Session) -> ExitCode {
    let mut input = io::stdin().lock();
    let mut out = BufWriter::new(io::stdout().lock());
    let mut bytes = Vec::new();
    let mut number = 0_usize;
    let mut bad = false;
    loop {
        bytes.clear();
        match input.read_until(b'\n', &mut bytes) {
            Ok(0) => break,
            Ok(_) => number += 1,
            Err(error) => {
                eprintln!("could not read: {error}");
                return ExitCode::from(BAD_DATA);
            }
        }
        let line = String::from_utf8_lossy(&bytes);
        if line.trim().is_empty() {
            continue;
        }
        let object = match one(session, &line) {
            Ok(object) => object,
            Err(error) => {
                bad = true;
                json!({ "format": FORMAT, "line": number, "error": clean(&error) })
            }
        };
        let done = writeln!(out, "{object}");
        if let Err(code) = checked(done) {
            return code;
        }
    }
    match checked(out.flush()) {
        Err(code) => code,
        Ok(()) if bad => ExitCode::from(BAD_DATA),
        Ok(()) => ExitCode::SUCCESS,
    }
}

fn checked(result: io::Result<()>) -> Result<(), ExitCode> {
    match result {
        Ok(()) => Ok(()),
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Err(ExitCode::SUCCESS),
        Err(e) => {
            eprintln!("could not write: {e}");
            Err(ExitCode::from(NOT_WRITTEN))
        }
    }
}

fn one(session: &mut Session, line: &str) -> Result<Value, String> {
    let input: Value = serde_json::from_str(line).map_err(|e| format!("no JSON: {e}"))?;
    let object = input.as_object().ok_or("an object is needed")?;
    for key in object.keys() {
        if !["id", "handed", "message", "answers"].contains(&key.as_str()) {
            let near = nearest(key, ["id", "handed", "message", "answers"].into_iter());
            let help = near.map_or(String::new(), |n| format!("; did you mean \"{n}\"?"));
            return Err(format!("unknown key \"{key}\"{help}"));
        }
    }
    let hand = match object.get("handed") {
        None | Some(Value::Null) => None,
        Some(Value::String(hand)) if hand == "right" => Some(Hand::Right),
        Some(Value::String(hand)) if hand == "left" => Some(Hand::Left),
        Some(_) => return Err("\"handed\" is \"right\", \"left\" or null".to_owned()),
    };
    let lines: Vec<String> = match object.get("message") {
        Some(Value::String(message)) => message.lines().map(str::to_owned).collect(),
        Some(Value::Array(lines)) => lines
            .iter()
            .map(|l| {
                l.as_str()
                    .map(str::to_owned)
                    .ok_or("\"message\" holds texts only")
            })
            .collect::<Result<_, _>>()?,
        Some(_) => return Err("\"message\" is a text or a list of texts".to_owned()),
        None => return Err("\"message\" is missing".to_owned()),
    };
    session.start_over(hand);
    let replies: Vec<Reply> = lines.iter().map(|line| session.respond(line)).collect();
    if let Some(answers) = object.get("answers") {
        let answers = answers.as_object().ok_or("\"answers\" is an object")?;
        let mut known = Vec::new();
        for (id, answer) in answers {
            if let Some(answer) = answered(session.base(), id, answer)? {
                known.push(answer);
            }
        }
        session.answer_checks(&known);
    }
    let id = object.get("id").cloned().unwrap_or(Value::Null);
    Ok(judged(session, &replies, &id))
}

fn answered(
    base: &KnowledgeBase,
    id: &str,
    answer: &Value,
) -> Result<Option<(CheckId, bool)>, String> {
    let check = base.find_check(id).ok_or_else(|| {
        let near = nearest(id, base.checks.ids());
        let help = near.map_or(String::new(), |n| format!("; did you mean \"{n}\"?"));
        format!("no check is called \"{id}\"{help}")
    })?;
    match answer {
        Value::Bool(yes) => Ok(Some((check, *yes))),
        Value::Null => Ok(None),
        Value::String(text) => match text.trim().to_lowercase().as_str() {
            "yes" | "y" | "true" => Ok(Some((check, true))),
            "no" | "n" | "false" => Ok(Some((check, false))),
            "don't know" | "dont know" | "unknown" | "skip" | "" => Ok(None),
            other => Err(format!(
                "\"{other}\" is no answer to \"{id}\": yes, no or don't know"
            )),
        },
        _ => Err(format!("the answer to \"{id}\" is yes, no or don't know")),
    }
}
