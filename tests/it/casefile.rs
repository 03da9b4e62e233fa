//! Case files: what a golfer types, what a coach would accept. Shared by the test and the benchmark.

#![allow(dead_code, reason = "the test and the benchmark each use a part")]

use std::path::Path;

use serde::Deserialize;
use swingwhy::conversation::{Block, Session};
use swingwhy::knowledge::CautionLevel;
use swingwhy::vocabulary::Hand;

/// One case.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Case {
    pub id: String,
    pub by: String,
    pub hand: String,
    pub say: Vec<String>,
    #[serde(default)]
    pub effects: Vec<String>,
    pub first: Vec<String>,
    #[serde(default)]
    pub never: Vec<String>,
    pub caution: String,
    pub why: String,
    #[serde(skip)]
    pub theme: String,
}

/// What the program made of it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Outcome {
    /// Causes in order, the first ten.
    pub ranked: Vec<String>,
    /// Effects likelier than not.
    pub effects: Vec<String>,
    /// The strongest caution printed.
    pub caution: Option<CautionLevel>,
    /// True if something was judged.
    pub answered: bool,
    /// True if the program itself said that there was little to go on.
    pub little: bool,
}

impl Outcome {
    pub(crate) fn first_accepted(&self, case: &Case) -> bool {
        self.ranked.first().is_some_and(|c| case.first.contains(c))
    }

    pub(crate) fn three_accepted(&self, case: &Case) -> bool {
        self.ranked.iter().take(3).any(|c| case.first.contains(c))
    }

    pub(crate) fn forbidden_leads(&self, case: &Case) -> bool {
        self.ranked.first().is_some_and(|c| case.never.contains(c))
    }

    pub(crate) fn effect_found(&self, case: &Case) -> bool {
        case.effects.is_empty() || self.effects.iter().any(|e| case.effects.contains(e))
    }

    pub(crate) fn caution_right(&self, case: &Case) -> bool {
        match case.caution.as_str() {
            "none" => self.caution.is_none(),
            "first" => self.caution.is_some(),
            _ => self.caution == Some(CautionLevel::Emergency),
        }
    }
}

/// All cases below a folder, in the order of files.
pub(crate) fn cases(folder: &Path) -> Result<Vec<Case>, String> {
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .map_err(|e| e.to_string())?
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "yaml"))
        .collect();
    files.sort();
    let mut out = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).map_err(|e| e.to_string())?;
        let mut list: Vec<Case> =
            serde_yaml::from_str(&text).map_err(|e| format!("{}: {e}", file.display()))?;
        for case in &mut list {
            case.theme = file
                .file_stem()
                .map_or(String::new(), |s| s.to_string_lossy().into_owned());
        }
        out.extend(list);
    }
    Ok(out)
}

/// Plays a case to a session from nothing.
pub(crate) fn judge(session: &mut Session, case: &Case) -> Outcome {
    let hand = match case.hand.as_str() {
        "left" => Some(Hand::Left),
        "right" => Some(Hand::Right),
        _ => None,
    };
    session.start_over(hand);
    let mut outcome = Outcome::default();
    for line in &case.say {
        let reply = session.respond(line);
        for block in &reply.blocks {
            if let Block::Caution { caution, .. } = block {
                let level = session.base().caution(*caution).level;
                outcome.caution = Some(outcome.caution.map_or(level, |l| l.min(level)));
            }
        }
    }
    if let Some(diagnosis) = session.diagnosis() {
        let base = session.base();
        outcome.answered = true;
        outcome.little = diagnosis.judgement.little_to_go_on;
        outcome.ranked = diagnosis
            .judgement
            .causes
            .iter()
            .take(10)
            .map(|c| base.cause(c.cause).id.clone())
            .collect();
        outcome.effects = diagnosis
            .judgement
            .effects
            .iter()
            .filter(|(_, p)| *p >= 0.4)
            .map(|(e, _)| base.effect(*e).id.clone())
            .collect();
    }
    outcome
}
