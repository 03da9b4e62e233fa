//! Which slot must be settled before which: the strata of a program, or the cycle that forbids them.
//!
//! Takes edges "a rule leads from slot `from` to slot `to`". A strict edge says that the rule looks
//! at `from` as a whole: it tests for absence, counts, takes a mean or reads a number. The stratum
//! of a slot is the largest number of strict edges on any path to it; that exists exactly when no
//! cycle holds a strict edge.

use std::collections::VecDeque;

/// One dependency between slots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Edge {
    pub(crate) from: u32,
    pub(crate) to: u32,
    pub(crate) rule: u32,
    pub(crate) strict: bool,
}

/// The stratum of each slot, or one cycle with a strict edge, which comes first in it. The cycle
/// found is the same for every order of the edges.
pub(crate) fn strata(slots: usize, mut edges: Vec<Edge>) -> Result<Vec<u32>, Vec<Edge>> {
    edges.sort_unstable();
    edges.dedup();
    let outgoing = Outgoing::new(slots, &edges);
    let component = components(slots, &outgoing);
    for edge in edges.iter().filter(|e| e.strict) {
        if component.get(edge.from as usize) == component.get(edge.to as usize) {
            let mut cycle = vec![*edge];
            cycle.extend(shortest_path(slots, &outgoing, edge.to, edge.from));
            return Err(cycle);
        }
    }
    // Components are numbered in reverse topological order: sources have the highest number.
    let mut order: Vec<usize> = (0..slots).collect();
    order.sort_by_key(|&s| std::cmp::Reverse(component.get(s).copied()));
    let count = component.iter().max().map_or(0, |&c| c as usize + 1);
    let mut level = vec![0_u32; count];
    for slot in order {
        let from = component[slot] as usize;
        for edge in outgoing.of(slot) {
            let to = component[edge.to as usize] as usize;
            level[to] = level[to].max(level[from] + u32::from(edge.strict));
        }
    }
    Ok(component.iter().map(|&c| level[c as usize]).collect())
}

/// Edges grouped by where they start.
struct Outgoing<'a> {
    edges: &'a [Edge],
    start: Vec<usize>,
}

impl<'a> Outgoing<'a> {
    fn new(slots: usize, sorted: &'a [Edge]) -> Self {
        let mut start = vec![0; slots + 1];
        for edge in sorted {
            start[edge.from as usize + 1] += 1;
        }
        for i in 0..slots {
            start[i + 1] += start[i];
        }
        Self {
            edges: sorted,
            start,
        }
    }

    fn of(&self, slot: usize) -> &'a [Edge] {
        &self.edges[self.start[slot]..self.start[slot + 1]]
    }
}

/// Strongly connected components by Tarjan's algorithm (Tarjan 1972), without recursion.
fn components(slots: usize, outgoing: &Outgoing<'_>) -> Vec<u32> {
    const UNSEEN: u32 = u32::MAX;
    let mut number = vec![UNSEEN; slots];
    let mut low = vec![0_u32; slots];
    let mut component = vec![UNSEEN; slots];
    let mut stack: Vec<usize> = Vec::new();
    let (mut next, mut found) = (0, 0);
    for root in 0..slots {
        if number[root] != UNSEEN {
            continue;
        }
        let mut walk = vec![(root, 0_usize)];
        while let Some(&mut (slot, ref mut edge)) = walk.last_mut() {
            if *edge == 0 {
                number[slot] = next;
                low[slot] = next;
                next += 1;
                stack.push(slot);
            }
            if let Some(e) = outgoing.of(slot).get(*edge) {
                *edge += 1;
                let to = e.to as usize;
                if number[to] == UNSEEN {
                    walk.push((to, 0));
                } else if component[to] == UNSEEN {
                    low[slot] = low[slot].min(number[to]);
                }
                continue;
            }
            walk.pop();
            if let Some(&(parent, _)) = walk.last() {
                low[parent] = low[parent].min(low[slot]);
            }
            if low[slot] == number[slot] {
                while let Some(member) = stack.pop() {
                    component[member] = found;
                    if member == slot {
                        break;
                    }
                }
                found += 1;
            }
        }
    }
    component
}

/// The edges of a shortest path; empty if `from` is `to`.
fn shortest_path(slots: usize, outgoing: &Outgoing<'_>, from: u32, to: u32) -> Vec<Edge> {
    let mut came_by: Vec<Option<Edge>> = vec![None; slots];
    let mut queue = VecDeque::from([from]);
    while let Some(slot) = queue.pop_front() {
        if slot == to {
            break;
        }
        for edge in outgoing.of(slot as usize) {
            let reached = &mut came_by[edge.to as usize];
            if reached.is_none() && edge.to != from {
                *reached = Some(*edge);
                queue.push_back(edge.to);
            }
        }
    }
    let mut path = Vec::new();
    let mut at = to;
    while at != from {
        let Some(edge) = came_by[at as usize] else {
            break;
        };
        path.push(edge);
        at = edge.from;
    }
    path.reverse();
    path
}
