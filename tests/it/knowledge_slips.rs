//! A coach's slips: one sound entry of each kind, written wrong in every way that comes to mind. What
//! is said of each is a snapshot; none may pass in silence.

use std::fmt::Write as _;

use swingwhy::knowledge::{SourceFile, builtin_files, laid_over, load_and_lint};
use swingwhy::wording::problems;

const CAUSE: &str = "- id: my_wet
  name: wet handle
  family: kit
  is: the handle is slick
  because: A face that turns sends the ball off the line.
  prior: 0.06
  confidence: low
  shifts:
    - face_angle: 0.5 +/- 1.5 deg
  check: ask_grip_palm
  drills: [d_gate_head]
  cue: dry handle
  success: {count: balls through the gate, need: 7, of: 10}
  mistake: squeezing harder
  folk:
    says: just hold on tighter
    but: Hard forearms shorten the arc.
";

const SYMPTOM: &str = "- id: my_club_turns
  name: club turns in the hands
  kind: feel
  is: the handle twists in the hands
  usual: 0.03
  trust: medium
  from: {events: {heel: 1}}
";

const CHECK: &str = "- id: my_ask_handle
  question: Is the handle shiny or damp?
  how: Rub it with a dry thumb and listen.
  cost: free
  tells: {s_grip_loose: [0.85, 0.1]}
";

const RULE: &str = "- id: my_wet_and_wild
  for: pattern
  when:
    - fat: true
    - thin: true
    - contact_heel: true
  then:
    - x_my_wet: true
  because: They belong together.
  kind: elicited
";

const PHRASE: &str = "- id: my_v_slips
  symptoms: [fat]
  near: [my handle grip, slips slides twists, wet damp rain]
  lacks: never not
  weight: 0.7
";

const ANSWER: &str = "- id: my_about_gloves
  asks: [do rain gloves help me, are rain gloves any use]
  claim: rain gloves are a gimmick
  verdict: half true
  text: They help in rain.
";

/// What is said of a file.
fn said(path: &str, text: &str) -> String {
    let file = SourceFile {
        path: path.to_owned(),
        text: text.to_owned(),
    };
    let files = laid_over(builtin_files(), &[file]).files;
    match load_and_lint(&files) {
        Ok((_, remarks)) => {
            let own = remarks.into_iter().filter(|p| p.place.file == path);
            problems(&own.collect::<Vec<_>>())
        }
        Err(found) => problems(&found),
    }
}

/// What is said of a sound entry after each of these slips.
fn after(path: &str, sound: &str, slips: &[(&str, &str)]) -> String {
    let mut out = String::new();
    for (right, wrong) in slips {
        assert!(sound.contains(right), "{right}");
        let text = said(path, &sound.replacen(right, wrong, 1));
        let _ = writeln!(out, "### {right:?} -> {wrong:?}\n{text}");
        assert!(
            !text.starts_with("0 problems"),
            "silent: {right:?} -> {wrong:?}"
        );
    }
    out
}

#[test]
fn the_sound_entries_are_sound() {
    for (path, text) in [
        ("causes/mine.yaml", CAUSE),
        ("symptoms/mine.yaml", SYMPTOM),
        ("checks/mine.yaml", CHECK),
        ("phrases/mine.yaml", PHRASE),
        ("answers.yaml", ANSWER),
        ("rules/mine.yaml", RULE),
    ] {
        let found = said(path, text);
        let unreachable = found.contains("remark[unreachable]") && found.contains("1 remark\n");
        assert!(found.starts_with("0 problems") || unreachable, "{found}");
    }
}

#[test]
fn slips_of_form_in_a_cause() {
    insta::assert_snapshot!(after(
        "causes/mine.yaml",
        CAUSE,
        &[
            ("  prior", "   prior"),
            ("  prior", " prior"),
            ("  prior", "\tprior"),
            ("    but", "   but"),
            ("is: the handle is slick", "is: \"the handle is slick"),
            ("because: A face", "because: Note: a face"),
            ("drills: [d_gate_head]", "drills: [d_gate_head"),
            ("drills: [d_gate_head]", "drills: d_gate_head"),
            ("check: ask_grip_palm", "check: [ask_grip_palm]"),
            ("cue: dry handle", "cue: %dry"),
            ("cue: dry handle", "cue:"),
            ("prior: 0.06", "prior: 0,06"),
            ("prior: 0.06", "prior: 6 %"),
            ("prior: 0.06", "prior: 6"),
            ("prior: 0.06", "prior: 0.06\n  prior: 0.07"),
            ("prior: 0.06", "prior: 0.06\n  condition: yes"),
            ("need: 7", "need: seven"),
            ("need: 7", "need: 17"),
            ("- id: my_wet", "-id: my_wet"),
            ("- id: my_wet", "id: my_wet"),
            ("- id: my_wet", "# mine\nid: my_wet"),
            ("- id: my_wet", "- id: my wet"),
            ("  shifts:\n    - face", "  shifts:\n      face"),
        ]
    ));
}

#[test]
fn slips_of_numbers_and_names_in_a_cause() {
    insta::assert_snapshot!(after(
        "causes/mine.yaml",
        CAUSE,
        &[
            ("1.5 deg", "1.5"),
            ("1.5 deg", "1.5\u{b0}"),
            ("1.5 deg", "1.5 degrees"),
            ("1.5 deg", "1.5 in"),
            ("0.5 +/- 1.5", "0,5 +/- 1,5"),
            ("0.5 +/- 1.5", "0.5 \u{b1} 1.5"),
            ("face_angle", "face_angel"),
            ("ask_grip_palm", "ask_grip_plam"),
            ("d_gate_head", "d_gaet_head"),
            ("confidence: low", "confidence: lo"),
            ("family: kit", "family: kitt"),
            ("shifts:", "shift:"),
            ("says: just", "say: just"),
            ("  folk:", "  kind: published\n  folk:"),
            ("  folk:", "  source: NOPE\n  folk:"),
            ("  folk:", "  caution: sf_wirst\n  folk:"),
            ("  folk:", "  leads_to: {a_flip: 45}\n  folk:"),
            ("  folk:", "  aim: {low_point: [4.7 in, 2 in]}\n  folk:"),
            ("  name: wet", "  keep: rest\n  name: wet"),
        ]
    ));
}

#[test]
fn slips_elsewhere() {
    let mut out = after(
        "symptoms/mine.yaml",
        SYMPTOM,
        &[
            ("kind: feel", "kind: feeling"),
            ("trust: medium", "trust: med"),
            ("{events: {heel: 1}}", "{events: {heal: 1}}"),
            ("{events: {heel: 1}}", "{event: {heel: 1}}"),
            (
                "{events: {heel: 1}}",
                "{events: {heel: 1}, power: {heel: 1.3}}",
            ),
            ("usual: 0.03", "usual: 3"),
        ],
    );
    out += &after(
        "checks/mine.yaml",
        CHECK,
        &[
            ("cost: free", "cost: fre"),
            ("cost: free", "cost: 2"),
            ("[0.85, 0.1]", "[0.85]"),
            ("[0.85, 0.1]", "0.85"),
            ("[0.85, 0.1]", "[85, 10]"),
            ("s_grip_loose", "s_grip_lose"),
        ],
    );
    out += &after(
        "rules/mine.yaml",
        RULE,
        &[
            ("fat: true", "fat: yes"),
            ("fat: true", "fatt: true"),
            ("    - fat: true", "    - fat: true\n      among: club"),
            (
                "- fat: true",
                "- count: {slot: fat, iss: true}\n      at_least: 3",
            ),
            ("- fat: true", "- turf_entry: {above: 0.5}"),
            ("- fat: true", "- turf_entry: {abov: 0.5 in}"),
            ("kind: elicited", "kind: published"),
            ("for: pattern", "for: patern"),
        ],
    );
    out += &after(
        "phrases/mine.yaml",
        PHRASE,
        &[
            ("slips slides", "slips-off slides"),
            ("lacks: never", "lacks: never, \"at all\""),
            ("[my handle grip, slips", "[, my handle grip, slips"),
            ("slips slides twists, wet", "slips slides twists, \"\", wet"),
            ("weight: 0.7", "weight: 70"),
            ("symptoms: [fat]", "symptoms: [fatt]"),
            ("symptoms: [fat]", "symptoms: fat"),
            ("symptoms: [fat]", "symptom: [fat]"),
            ("symptoms: [fat]", "symptoms: [fat]\n  causes: [p_sway]"),
        ],
    );
    out += &after(
        "answers.yaml",
        ANSWER,
        &[
            ("verdict: half true", "verdict: halftrue"),
            ("  verdict: half true\n", ""),
            ("are rain gloves any use", "what is low point"),
        ],
    );
    insta::assert_snapshot!(out);
}

#[test]
fn a_word_that_yaml_takes_for_a_truth_is_a_verdict() {
    let text = ANSWER.replace("half true", "true");
    assert!(said("answers.yaml", &text).starts_with("0 problems"));
}

#[test]
fn nothing_of_a_file_is_left_out_in_silence() {
    for text in [
        "# mine\nname: x\n",
        "\n  - id: d_x\n    nmae: x\n",
        "---\n# mine\nname: x\n",
        "# mine\nnothing but a word\n",
    ] {
        let found = said("drills.yaml", text);
        assert!(found.contains("problem["), "{text}: {found}");
    }
    assert!(said("drills.yaml", "---\n# nothing yet\n").starts_with("0 problems"));
}
