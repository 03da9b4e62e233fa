//! The knowledge compiled into the program, so that it runs from any place without files.
//!
//! The list is checked against the `knowledge` folder by a test; nothing here knows what is in a
//! file.

use super::KnowledgeBase;
use super::load::load;
use super::problem::Problem;
use super::yaml::SourceFile;

macro_rules! files {
    ($folder:literal: $($path:literal),+ $(,)?) => {
        &[$(($path, include_str!(concat!("../../", $folder, $path)))),+]
    };
}

const FILES: &[(&str, &str)] = files!["knowledge/":
    "answers.yaml",
    "causes/arms.yaml",
    "causes/body.yaml",
    "causes/ground.yaml",
    "causes/intent.yaml",
    "causes/kit.yaml",
    "causes/pivot.yaml",
    "causes/setup.yaml",
    "cautions.yaml",
    "changes.yaml",
    "checks/arms.yaml",
    "checks/body.yaml",
    "checks/family.yaml",
    "checks/ground.yaml",
    "checks/intent.yaml",
    "checks/kit.yaml",
    "checks/pivot.yaml",
    "checks/setup.yaml",
    "clubs.yaml",
    "course/lessons.yaml",
    "course/levels.yaml",
    "drills.yaml",
    "effects.yaml",
    "groups.yaml",
    "lies.yaml",
    "phrases/answers.yaml",
    "phrases/clubs.yaml",
    "phrases/contact.yaml",
    "phrases/context.yaml",
    "phrases/english.yaml",
    "phrases/feel.yaml",
    "phrases/flight.yaml",
    "phrases/hand.yaml",
    "phrases/hints.yaml",
    "phrases/lies.yaml",
    "phrases/numbers.yaml",
    "phrases/observed_motion.yaml",
    "phrases/observed_setup.yaml",
    "phrases/often.yaml",
    "phrases/quantities.yaml",
    "phrases/seen.yaml",
    "phrases/stop.yaml",
    "phrases/told_of_causes.yaml",
    "phrases/told_of_flights.yaml",
    "phrases/told_of_kit.yaml",
    "phrases/told_of_motion.yaml",
    "phrases/told_of_setup.yaml",
    "phrases/told_of_shots.yaml",
    "phrases/told_of_strikes.yaml",
    "phrases/told_of_times.yaml",
    "phrases/tone.yaml",
    "phrases/turf.yaml",
    "phrases/well.yaml",
    "population.yaml",
    "quantities.yaml",
    "rules/arc.yaml",
    "rules/chain.yaml",
    "rules/consistency.yaml",
    "rules/flight.yaml",
    "rules/pattern.yaml",
    "rules/strike.yaml",
    "sources.yaml",
    "strengths.yaml",
    "symptoms/contact.yaml",
    "symptoms/feel.yaml",
    "symptoms/flight.yaml",
    "symptoms/pattern.yaml",
    "symptoms/turf.yaml",
    "told/arms.yaml",
    "told/body.yaml",
    "told/ground.yaml",
    "told/intent.yaml",
    "told/kit.yaml",
    "told/pivot.yaml",
    "told/setup.yaml",
];

/// Cases written by teachers, which the built-in knowledge is held against.
const CASES: &[(&str, &str)] = files!["tests/cases/":
    "blind/answers.yaml",
    "blind/by_cause_arms.yaml",
    "blind/by_cause_body.yaml",
    "blind/by_cause_ground.yaml",
    "blind/by_cause_intent.yaml",
    "blind/by_cause_kit.yaml",
    "blind/by_cause_pivot.yaml",
    "blind/by_cause_setup.yaml",
    "blind/by_sixty.yaml",
    "blind/by_telling.yaml",
    "blind/driver.yaml",
    "blind/drop_kick.yaml",
    "blind/equipment.yaml",
    "blind/fat.yaml",
    "blind/fear_pressure.yaml",
    "blind/heel.yaml",
    "blind/high.yaml",
    "blind/hooks.yaml",
    "blind/kids_seniors.yaml",
    "blind/left_handers.yaml",
    "blind/long_clubs.yaml",
    "blind/low.yaml",
    "blind/mats.yaml",
    "blind/mixed_contact.yaml",
    "blind/numbers.yaml",
    "blind/pain_danger.yaml",
    "blind/pulls.yaml",
    "blind/pushes.yaml",
    "blind/shanks.yaml",
    "blind/sky.yaml",
    "blind/slices.yaml",
    "blind/slopes_lies.yaml",
    "blind/thin.yaml",
    "blind/time_patterns.yaml",
    "blind/toe.yaml",
    "blind/tops.yaml",
    "blind/two_faults.yaml",
    "blind/vague.yaml",
    "blind/wedges.yaml",
    "blind/woods_turf.yaml",
    "fresh/fourth.yaml",
    "fresh/golfers.yaml",
    "fresh/second.yaml",
    "fresh/third.yaml",
    "knowing/kit.yaml",
    "knowing/lies.yaml",
    "knowing/motion.yaml",
    "knowing/seconds.yaml",
    "knowing/setup.yaml",
    "rules/arc.yaml",
    "rules/chain.yaml",
    "rules/consistency.yaml",
    "rules/flight.yaml",
    "rules/pattern.yaml",
    "rules/strike.yaml",
];

/// The files compiled in.
pub fn builtin_files() -> Vec<SourceFile> {
    source_files(FILES)
}

/// The cases compiled in.
pub fn builtin_cases() -> Vec<SourceFile> {
    source_files(CASES)
}

fn source_files(files: &[(&str, &str)]) -> Vec<SourceFile> {
    files
        .iter()
        .map(|(path, text)| SourceFile {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect()
}

/// The knowledge compiled in.
///
/// # Errors
/// Its problems; a test keeps it free of them.
pub fn builtin() -> Result<KnowledgeBase, Vec<Problem>> {
    load(&builtin_files())
}
