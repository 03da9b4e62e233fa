//! Tables about the knowledge: how cases went, what a change changed, what a cause implies.
//!
//! Takes counts and outcomes; gives lines of at most 78 columns, but for the words of golfers.

use std::fmt::Write as _;

use super::page::{Page, Style, clean};
use crate::causes::Implied;
use crate::knowledge::{Change, How, KnowledgeBase, WrittenCase};
use crate::trial::{Compared, Difference, Figures, Hits, Outcome, Tally};
use crate::vocabulary::{CauseId, GroupId};

/// Cases with what came out of them.
pub struct Trial<'a> {
    /// The knowledge.
    pub base: &'a KnowledgeBase,
    /// The cases.
    pub cases: &'a [WrittenCase],
    /// What came out of each.
    pub outcomes: &'a [Outcome],
    /// The figures over all.
    pub figures: &'a Figures,
}

/// A cause, a rule or a check of which there are fewer cases than this is listed.
const ENOUGH: usize = 2;
/// Shares under this in all club groups are left out of a table of effects.
const WORTH_SHOWING: f64 = 0.1;

fn hits(hits: Hits) -> String {
    if hits.of == 0 {
        return "     -              n   0".to_owned();
    }
    let (low, high) = hits.interval();
    format!(
        "{:5.1} % ({:3.0}-{:3.0})  n {:3}",
        hits.share() * 100.0,
        low * 100.0,
        high * 100.0,
        hits.of
    )
}

fn tally_line(name: &str, tally: &Tally) -> String {
    let (low, high) = tally.first.interval();
    let (low3, high3) = tally.three.interval();
    format!(
        "{name:<22} {:>4}  {:3.0} ({:3.0}-{:3.0})  {:3.0} ({:3.0}-{:3.0})  {:>4}  {:>5.1}\n",
        tally.first.of,
        tally.first.share() * 100.0,
        low * 100.0,
        high * 100.0,
        tally.three.share() * 100.0,
        low3 * 100.0,
        high3 * 100.0,
        tally.forbidden.hits,
        tally.mean_questions(),
    )
}

fn tallies<'a>(title: &str, rows: impl Iterator<Item = (String, &'a Tally)>) -> String {
    let mut out = format!("\n{title:<22}    n  first %         first three %   never  questions\n");
    for (name, tally) in rows.filter(|(_, tally)| tally.first.of > 0) {
        out.push_str(&tally_line(&name, tally));
    }
    out
}

/// How a run over cases went, with every failure unless `brief`.
pub fn figures_lines(trial: &Trial<'_>, brief: bool) -> String {
    let (base, figures) = (trial.base, trial.figures);
    let mut out = format!(
        "{} cases, knowledge {}; shares with 95 % intervals\n\n",
        trial.cases.len(),
        base.hash
    );
    for (what, share) in [
        ("something was judged", figures.answered),
        ("accepted cause first", figures.all.first),
        ("in the first three", figures.all.three),
        ("forbidden cause first", figures.all.forbidden),
        ("an effect asked for", figures.effect),
        ("all symptoms read", figures.findings),
        ("caution as wanted", figures.caution),
        ("question as wanted", figures.check),
    ] {
        let _ = writeln!(out, "{what:<22} {}", hits(share));
    }
    let _ = writeln!(
        out,
        "{:<22} {:5.2} a case",
        "questions put",
        figures.all.mean_questions()
    );
    let named = |rows: &std::collections::BTreeMap<String, Tally>, title: &str| {
        tallies(
            title,
            rows.iter().map(|(name, tally)| (name.clone(), tally)),
        )
    };
    out.push_str(&named(&figures.writers, "written by"));
    out.push_str(&named(&figures.families, "family of causes"));
    let group = |id: &Option<GroupId>| {
        id.map_or_else(
            || "(no club named)".to_owned(),
            |g| base.group(g).name.clone(),
        )
    };
    let groups = figures.groups.iter().map(|(id, tally)| (group(id), tally));
    out.push_str(&tallies("club group", groups));
    out.push_str(&named(&figures.themes, "file"));
    out.push_str("\nhow sure of the first, and how often it was accepted\n");
    for sure in &figures.sure {
        if sure.accepted.of > 0 {
            let _ = writeln!(
                out,
                "from {:3.0} %: said {:3.0} %, accepted {}",
                sure.from * 100.0,
                sure.mean() * 100.0,
                hits(sure.accepted)
            );
        }
    }
    out.push_str(&coverage(trial));
    if !brief {
        out.push_str(&failures(trial));
    }
    out
}

/// What too few cases reach.
fn coverage(trial: &Trial<'_>) -> String {
    let (base, figures) = (trial.base, trial.figures);
    let mut out = format!(
        "\ncauses of which there are fewer than {ENOUGH} cases (accepted, came first, came second)\n"
    );
    let mut none = true;
    for (cause, (accepted, first, second)) in base.causes.iter().zip(&figures.causes) {
        if (*accepted).min(*first).min(*second) < ENOUGH {
            let _ = writeln!(
                out,
                "  {:<24} {accepted:>3} {first:>3} {second:>3}",
                cause.id
            );
            none = false;
        }
    }
    if none {
        out.push_str("  none\n");
    }
    let list = |out: &mut String, title: &str, wanted: &dyn Fn((usize, usize)) -> bool| {
        let _ = writeln!(out, "{title}");
        let rules = base.program.rules().iter().zip(&figures.rules);
        let found: Vec<&str> = rules
            .filter(|(_, n)| wanted(**n))
            .map(|(rule, _)| rule.id.as_str())
            .collect();
        if found.is_empty() {
            out.push_str("  none\n");
        }
        for id in found {
            let _ = writeln!(out, "  {id}");
        }
    };
    list(&mut out, "rules that no case fires", &|n| n.0 == 0);
    list(
        &mut out,
        "rules that no case comes near without firing them",
        &|n| n.1 == 0,
    );
    out
}

fn ids(base: &KnowledgeBase, causes: impl Iterator<Item = CauseId>) -> String {
    let names: Vec<&str> = causes.map(|c| base.cause(c).id.as_str()).collect();
    if names.is_empty() {
        return "nothing".to_owned();
    }
    names.join(" ")
}

fn failures(trial: &Trial<'_>) -> String {
    let base = trial.base;
    let mut out = "\ncases that went wrong (!! forbidden first, . in the first three)\n".to_owned();
    for (case, outcome) in trial.cases.iter().zip(trial.outcomes) {
        let mut wrong = Vec::new();
        if !case.first.is_empty() && !outcome.first_accepted(case) {
            wrong.push(format!(
                "first wanted {}, got {}",
                ids(base, case.first.iter().copied()),
                ids(base, outcome.ranked.iter().take(4).map(|r| r.0))
            ));
        }
        if !outcome.effect_found(case) {
            let names: Vec<&str> = case
                .effects
                .iter()
                .map(|e| base.effect(*e).id.as_str())
                .collect();
            wrong.push(format!("effect wanted {}", names.join(" ")));
        }
        let unread: Vec<&str> = case
            .findings
            .iter()
            .filter(|s| !outcome.findings.contains(s))
            .map(|s| base.symptom(*s).id.as_str())
            .collect();
        if !unread.is_empty() {
            wrong.push(format!("not read: {}", unread.join(" ")));
        }
        if !outcome.caution_right(case) {
            wrong.push(format!(
                "caution wanted {:?}, got {:?}",
                case.caution, outcome.caution
            ));
        }
        if !outcome.check_right(case) {
            let names: Vec<&str> = case
                .asks
                .iter()
                .map(|c| base.check(*c).id.as_str())
                .collect();
            wrong.push(format!("question wanted {}", names.join(" ")));
        }
        for rule in outcome.rules_wrong(case) {
            let id = base.program.rule(rule).map_or("", |r| r.id.as_str());
            let way = if case.fires.contains(&rule) {
                "did not fire"
            } else {
                "fired"
            };
            wrong.push(format!("rule {id} {way}"));
        }
        if wrong.is_empty() {
            continue;
        }
        let mark = if outcome.forbidden_leads(case) {
            "!!"
        } else if outcome.three_accepted(case) {
            " ."
        } else {
            "  "
        };
        let _ = writeln!(out, "{mark} {}", case.id);
        for text in wrong {
            let _ = writeln!(out, "     {text}");
        }
        let _ = writeln!(out, "     \"{}\"", clean(&case.say.join(" / ")));
    }
    out
}

/// What folders laid over the knowledge change, in one line.
pub fn changes_line(changes: &[Change]) -> String {
    let new = changes.iter().filter(|c| c.how == How::New).count();
    let word = |n: usize| if n == 1 { "entry" } else { "entries" };
    let other = changes.len() - new;
    format!("{new} new {}, {other} in place of built-in ones", word(new))
}

/// What folders laid over the knowledge change, one line each.
pub fn changes_lines(changes: &[Change]) -> String {
    let mut out = String::new();
    for change in changes {
        let what = match &change.how {
            How::New => "new".to_owned(),
            How::Instead(keys) if keys.is_empty() => "as built in".to_owned(),
            How::Instead(keys) => format!("other than built in: {}", keys.join(", ")),
        };
        let _ = writeln!(out, "{}: {} {what}", clean(&change.sort), clean(&change.id));
    }
    out
}

/// Cases whose first cause, first three or practice changed.
pub fn differences_lines(cases: &[WrittenCase], found: &[Difference]) -> String {
    let count = |f: &dyn Fn(&Difference) -> bool| found.iter().filter(|d| f(d)).count();
    let mut out = format!(
        "{} cases: {} changed; {} have another first cause, {} another practice; accepted first: {} won, {} lost\n",
        cases.len(),
        found.len(),
        count(&Difference::first_changed),
        count(&Difference::practice_changed),
        count(&|d| !d.accepted.0 && d.accepted.1),
        count(&|d| d.accepted.0 && !d.accepted.1),
    );
    let list = |ids: &[String]| {
        if ids.is_empty() {
            "nothing".to_owned()
        } else {
            ids.join(" ")
        }
    };
    for difference in found {
        let id = cases.get(difference.case).map_or("", |c| c.id.as_str());
        let mark = match difference.accepted {
            (false, true) => "+",
            (true, false) => "-",
            _ => " ",
        };
        let _ = writeln!(out, "{mark} {id}");
        if difference.three.0 != difference.three.1 {
            let _ = writeln!(
                out,
                "    first three: {} -> {}",
                list(&difference.three.0),
                list(&difference.three.1)
            );
        }
        if difference.practice_changed() {
            let name = |p: &Option<String>| p.clone().unwrap_or_else(|| "nothing".to_owned());
            let _ = writeln!(
                out,
                "    practice: {} -> {}",
                name(&difference.practice.0),
                name(&difference.practice.1)
            );
        }
    }
    out
}

/// One row of a table over club groups: with and without the cause, in per cent.
fn row(name: &str, shares: &[Option<(f64, f64)>]) -> String {
    let mut out = format!("{name:<26}");
    for share in shares {
        match share {
            Some((with, without)) => {
                let _ = write!(out, " {:>3.0}/{:<3.0}", with * 100.0, without * 100.0);
            }
            None => out.push_str("    -   "),
        }
    }
    out.trim_end().to_owned() + "\n"
}

/// What a cause implies: of a hundred golfers with it and without anything, in how many each effect
/// holds and each symptom is mentioned, for each club group.
pub fn effects_lines(
    base: &KnowledgeBase,
    cause: CauseId,
    implied: &[(GroupId, Implied)],
    compared: &[Compared],
) -> String {
    let mut out = format!(
        "{} ({})\nOf 100 golfers with this cause / with nothing at work:\n\n",
        base.cause(cause).name,
        base.cause(cause).id
    );
    let mut head = format!("{:<26}", "effect");
    for (group, _) in implied {
        let name = base.group(*group).id.replace('_', " ");
        let short: String = name.chars().take(7).collect();
        let _ = write!(head, " {short:<7}");
    }
    out.push_str(head.trim_end());
    out.push('\n');
    let shown = |shares: &[Option<(f64, f64)>]| {
        shares
            .iter()
            .flatten()
            .any(|(with, without)| (with - without).abs() >= WORTH_SHOWING)
    };
    for (index, effect) in base.effects.iter().enumerate() {
        let shares: Vec<_> = implied
            .iter()
            .map(|(group, i)| {
                let tests = base.model.effects.get(index)?.any_of.get(group.index())?;
                let share = i.effects.get(index)?;
                (!tests.is_empty()).then_some((share.with, share.without))
            })
            .collect();
        if shown(&shares) {
            out.push_str(&row(&effect.id, &shares));
        }
    }
    out.push_str("\nmentioned\n");
    for (index, symptom) in base.symptoms.iter().enumerate() {
        let shares: Vec<_> = implied
            .iter()
            .map(|(_, i)| {
                let found = i.symptoms.iter().find(|s| s.symptom.index() == index)?;
                Some((found.with, found.without))
            })
            .collect();
        if shown(&shares) {
            out.push_str(&row(&symptom.id, &shares));
        }
    }
    let _ = writeln!(
        out,
        "\nLeft out: what differs by less than {:.0} in 100 with every club.",
        WORTH_SHOWING * 100.0
    );
    if !compared.is_empty() {
        out.push_str("\nexpected by teachers (estimates), and implied by the shifts\n");
        for one in compared {
            out.push_str(&compared_line(base, one));
        }
    }
    out
}

fn compared_line(base: &KnowledgeBase, one: &Compared) -> String {
    let mark = match (one.is_far(), &one.argued) {
        (false, _) => "",
        (true, Some(_)) => "  far apart, argued",
        (true, None) => "  far apart",
    };
    let mut out = format!(
        "  {:<24} {:.2}  {:.2}  {}{mark}\n",
        base.effect(one.effect).id,
        one.expected,
        one.implied,
        base.group(one.group).name
    );
    if let (true, Some(text)) = (one.is_far(), &one.argued) {
        let mut page = Page::new();
        page.labelled("      Because", text.clone());
        out.push_str(&page.render(Style::default()));
    }
    out
}

/// Every strength that lies over 0.2 from the implied one, and how close the others are.
pub fn compared_lines(base: &KnowledgeBase, all: &[Compared]) -> String {
    let far: Vec<&Compared> = all.iter().filter(|c| c.is_far()).collect();
    let n = all.len().max(1) as f64;
    let mean = all
        .iter()
        .map(|c| (c.expected - c.implied).abs())
        .sum::<f64>()
        / n;
    let mut out = format!(
        "{} strengths expected by teachers (estimates) beside those the shifts imply:\nmean difference {mean:.3}; over 0.1: {}; over 0.2: {}\n",
        all.len(),
        all.iter()
            .filter(|c| (c.expected - c.implied).abs() > 0.1)
            .count(),
        far.len(),
    );
    for one in far {
        let _ = writeln!(out, "{}", base.cause(one.cause).id);
        out.push_str(&compared_line(base, one));
    }
    out
}
