//! Does a cause lead back to itself? A walk over the links, with the way round shown.

use super::KnowledgeBase;
use super::files::Read;
use super::problem::ProblemKind;
use super::report::Report;
use super::shapes::CauseShape;

/// Causes that lead back to themselves.
pub(super) fn cycles(base: &KnowledgeBase, causes: &Read<'_, CauseShape>, report: &mut Report) {
    let n = base.model.causes.len();
    // 0 not seen, 1 on the path, 2 done.
    let mut state = vec![0_u8; n];
    let mut path: Vec<usize> = Vec::new();
    for start in 0..n {
        walk(start, base, &mut state, &mut path, causes, report);
    }
}

fn walk(
    at: usize,
    base: &KnowledgeBase,
    state: &mut [u8],
    path: &mut Vec<usize>,
    causes: &Read<'_, CauseShape>,
    report: &mut Report,
) {
    match state.get(at) {
        Some(0) => {}
        Some(1) => {
            let from = path.iter().position(|i| *i == at).unwrap_or(0);
            let name = |i: &usize| {
                base.causes
                    .iter()
                    .nth(*i)
                    .map_or(String::new(), |c| c.id.clone())
            };
            let names: Vec<String> = path.iter().skip(from).chain([&at]).map(name).collect();
            if let Some((_, place)) = causes.entries.get(at) {
                report.push(ProblemKind::Cycle { path: names }, "leads_to", None, place);
            }
            return;
        }
        _ => return,
    }
    if let Some(s) = state.get_mut(at) {
        *s = 1;
    }
    path.push(at);
    let next: Vec<usize> = base
        .model
        .causes
        .get(at)
        .map(|c| c.leads_to.iter().map(|(id, _)| id.index()).collect())
        .unwrap_or_default();
    for child in next {
        walk(child, base, state, path, causes, report);
    }
    path.pop();
    if let Some(s) = state.get_mut(at) {
        *s = 2;
    }
}
