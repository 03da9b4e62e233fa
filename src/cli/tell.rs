//! `tell` answers one message; `replay` re-runs transcripts.

use std::path::PathBuf;
use std::process::ExitCode;

use serde_json::Value;

use super::{BAD_DATA, NOT_WRITTEN, PROBLEMS, written};
use crate::conversation::{Reply, Session};
use crate::pasted::together;
use crate::transcript::{first_difference, plain, replay as replayed};
use crate::wording::json::judged;

/// Answers the lines of one message.
pub(super) fn tell(session: &mut Session, message: &[String], json: bool) -> ExitCode {
    let lines: Vec<&str> = message.iter().flat_map(|m| m.lines()).collect();
    let mut messages: Vec<String> = Vec::new();
    let mut rest = lines.as_slice();
    while !rest.is_empty() {
        let (now, later) = rest.split_at(together(rest.iter().copied()).clamp(1, rest.len()));
        messages.push(now.join("\n"));
        rest = later;
    }
    if lines.iter().all(|l| l.trim().is_empty()) {
        eprintln!("tell needs a message, such as: swingwhy tell \"7 iron fat\"");
        return ExitCode::from(2);
    }
    let replies: Vec<Reply> = messages.iter().map(|line| session.respond(line)).collect();
    if json {
        let object = judged(session, &replies, &Value::Null);
        return written(&format!("{object}\n"));
    }
    let last = replies
        .last()
        .map_or_else(String::new, |reply| plain(session, reply));
    written(&last)
}

/// Re-runs transcripts, each from nothing.
pub(super) fn replay(session: &Session, files: &[PathBuf], update: bool) -> ExitCode {
    let mut code = ExitCode::SUCCESS;
    for path in files {
        let text = match std::fs::read_to_string(path) {
            Ok(text) => text,
            Err(error) => {
                eprintln!("cannot read {}: {error}", path.display());
                code = ExitCode::from(BAD_DATA);
                continue;
            }
        };
        let now = replayed(session, &text);
        match first_difference(text.trim_end(), now.trim_end()) {
            None => {
                let said = written(&format!("{}: same\n", path.display()));
                if said != ExitCode::SUCCESS {
                    return said;
                }
            }
            Some(_) if update => {
                if let Err(error) = std::fs::write(path, &now) {
                    eprintln!("could not write {}: {error}", path.display());
                    return ExitCode::from(NOT_WRITTEN);
                }
                let _ = written(&format!("{}: rewritten\n", path.display()));
            }
            Some((line, expected, got)) => {
                let _ = written(&format!(
                    "{}:{line}: differs\n  was: {expected}\n  now: {got}\n",
                    path.display()
                ));
                code = ExitCode::from(PROBLEMS);
            }
        }
    }
    code
}
