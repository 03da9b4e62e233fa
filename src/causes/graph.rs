//! Which cause leads to which: order, cycles, chains from a root to its consequence, and the graph
//! as text for drawing tools.
//!
//! Takes the causes with their links; gives the order in which a golfer is drawn (roots first),
//! the strongest chain between two causes, neighbourhoods and layers for a picture. Invariant: a
//! [`CauseGraph`] has no cycle; whoever builds one with a cycle is told which. Knows nothing of
//! shifts, golfers or evidence, and is the only file that names the graph library.

use petgraph::algo::{tarjan_scc, toposort};
use petgraph::graphmap::DiGraphMap;

use super::CausesError;
use super::model::CauseModel;
use crate::vocabulary::CauseId;

/// The links between causes, free of cycles.
#[derive(Debug, Clone)]
pub struct CauseGraph {
    order: Vec<CauseId>,
    parents: Vec<Vec<(CauseId, f64)>>,
    children: Vec<Vec<(CauseId, f64)>>,
}

impl CauseGraph {
    /// The graph of these causes, in the order of their ids.
    ///
    /// # Errors
    /// [`CausesError::Cycle`] with the causes of one cycle in order, the first repeated at the
    /// end; [`CausesError::UnknownCause`] for a link that leads nowhere.
    pub fn new(causes: &[CauseModel]) -> Result<Self, CausesError> {
        let mut graph = DiGraphMap::<u32, f64>::new();
        for index in 0..causes.len() {
            graph.add_node(index as u32);
        }
        let mut parents = vec![Vec::new(); causes.len()];
        let mut children = vec![Vec::new(); causes.len()];
        for (index, cause) in causes.iter().enumerate() {
            let from = CauseId::from_index(index);
            for &(to, strength) in &cause.leads_to {
                let Some(above) = parents.get_mut(to.index()) else {
                    return Err(CausesError::UnknownCause(to));
                };
                above.push((from, strength));
                if let Some(below) = children.get_mut(index) {
                    below.push((to, strength));
                }
                graph.add_edge(index as u32, to.index() as u32, strength);
            }
        }
        match toposort(&graph, None) {
            Ok(order) => Ok(Self {
                order: order
                    .into_iter()
                    .map(|n| CauseId::from_index(n as usize))
                    .collect(),
                parents,
                children,
            }),
            Err(_) => Err(CausesError::Cycle(one_cycle(&graph))),
        }
    }

    /// Every cause, roots first: no cause stands before one that leads to it.
    pub fn order(&self) -> &[CauseId] {
        &self.order
    }

    /// What leads to this cause, with the stated chance.
    pub fn parents(&self, cause: CauseId) -> &[(CauseId, f64)] {
        self.parents.get(cause.index()).map_or(&[], Vec::as_slice)
    }

    /// What this cause leads to, with the stated chance.
    pub fn children(&self, cause: CauseId) -> &[(CauseId, f64)] {
        self.children.get(cause.index()).map_or(&[], Vec::as_slice)
    }

    /// The strongest chain from one cause to another, both ends included, by the product of the
    /// stated chances; `None` if there is none. Ties go to the smaller id.
    pub fn path(&self, from: CauseId, to: CauseId) -> Option<Vec<CauseId>> {
        let mut best: Vec<Option<(f64, Option<CauseId>)>> = vec![None; self.parents.len()];
        *best.get_mut(from.index())? = Some((1.0, None));
        for &here in &self.order {
            let Some(&Some((strength, _))) = best.get(here.index()) else {
                continue;
            };
            for &(next, link) in self.children(here) {
                let reached = strength * link;
                if let Some(slot) = best.get_mut(next.index())
                    && slot.is_none_or(|(old, _)| reached > old)
                {
                    *slot = Some((reached, Some(here)));
                }
            }
        }
        let mut chain = vec![to];
        let mut at = to;
        while at != from {
            at = (*best.get(at.index())?)?.1?;
            chain.push(at);
        }
        chain.reverse();
        Some(chain)
    }

    /// The causes at most `steps` links away from this one, up or down, itself included, by id.
    pub fn around(&self, cause: CauseId, steps: usize) -> Vec<CauseId> {
        let mut found = vec![cause];
        let mut rim = vec![cause];
        for _ in 0..steps {
            let mut next = Vec::new();
            for &here in &rim {
                for &(other, _) in self.parents(here).iter().chain(self.children(here)) {
                    if !found.contains(&other) {
                        found.push(other);
                        next.push(other);
                    }
                }
            }
            rim = next;
        }
        found.sort_unstable();
        found
    }

    /// These causes in layers for a picture: each stands one layer below its deepest parent among
    /// them; within a layer by id.
    pub fn layers(&self, of: &[CauseId]) -> Vec<Vec<CauseId>> {
        let mut depth = vec![None; self.parents.len()];
        let mut layers: Vec<Vec<CauseId>> = Vec::new();
        for &cause in self.order.iter().filter(|c| of.contains(c)) {
            let below = self
                .parents(cause)
                .iter()
                .filter_map(|(p, _)| depth.get(p.index()).copied().flatten())
                .map(|d: usize| d + 1)
                .max()
                .unwrap_or(0);
            if let Some(slot) = depth.get_mut(cause.index()) {
                *slot = Some(below);
            }
            if layers.len() <= below {
                layers.resize(below + 1, Vec::new());
            }
            if let Some(layer) = layers.get_mut(below) {
                layer.push(cause);
            }
        }
        for layer in &mut layers {
            layer.sort_unstable();
        }
        layers
    }

    /// These causes and the links among them in the DOT language. `name` labels a cause, `note`
    /// adds a second line (the shifts, say); the id number is the node's name.
    pub fn dot(
        &self,
        of: &[CauseId],
        name: &dyn Fn(CauseId) -> String,
        note: &dyn Fn(CauseId) -> String,
    ) -> String {
        let mut out = String::from("digraph causes {\n  rankdir=LR;\n  node [shape=box];\n");
        for &cause in of {
            let (name, note) = (quoted(&name(cause)), quoted(&note(cause)));
            let line = if note.is_empty() {
                name
            } else {
                format!("{name}\\n{note}")
            };
            out.push_str(
                &[
                    "  c",
                    &cause.index().to_string(),
                    " [label=\"",
                    &line,
                    "\"];\n",
                ]
                .concat(),
            );
        }
        for &cause in of {
            for &(to, strength) in self.children(cause) {
                if of.contains(&to) {
                    let (from, to) = (cause.index(), to.index());
                    let edge = format!("  c{from} -> c{to} [label=\"{strength:.2}\"];\n");
                    out.push_str(&edge);
                }
            }
        }
        out.push_str("}\n");
        out
    }
}

fn quoted(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control())
        .flat_map(|c| match c {
            '"' | '\\' => vec!['\\', c],
            _ => vec![c],
        })
        .collect()
}

/// One cycle of a graph known to have one: the shortest way from a member of the smallest-numbered
/// tangle back to itself.
fn one_cycle(graph: &DiGraphMap<u32, f64>) -> Vec<CauseId> {
    let mut tangles: Vec<Vec<u32>> = tarjan_scc(graph)
        .into_iter()
        .filter(|t| t.len() > 1 || t.iter().any(|&n| graph.contains_edge(n, n)))
        .collect();
    for tangle in &mut tangles {
        tangle.sort_unstable();
    }
    tangles.sort();
    let Some((tangle, &start)) = tangles.first().and_then(|t| t.first().map(|s| (t, s))) else {
        return Vec::new();
    };
    let mut came_from = vec![(start, None::<usize>)];
    let mut at = 0;
    while at < came_from.len() {
        let node = came_from.get(at).map_or(start, |&(n, _)| n);
        for next in graph.neighbors(node) {
            if next == start {
                let mut chain = vec![start];
                let mut step = Some(at);
                while let Some((n, before)) = step.and_then(|i| came_from.get(i)).copied() {
                    chain.push(n);
                    step = before;
                }
                chain.reverse();
                return chain
                    .into_iter()
                    .map(|n| CauseId::from_index(n as usize))
                    .collect();
            }
            if tangle.contains(&next) && !came_from.iter().any(|&(n, _)| n == next) {
                came_from.push((next, Some(at)));
            }
        }
        at += 1;
    }
    Vec::new()
}
