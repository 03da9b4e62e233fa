//! Which phrases begin with these words? The tree of words that all phrases share.
//!
//! A phrase is a path from the root; phrases that begin alike share its beginning. The tree grows
//! one phrase at a time and is then laid out for looking up: the edges of each node together, in
//! the order of their symbols. What a symbol or an entry means is not known here.

use hashbrown::HashTable;

use super::Symbol;

/// A tree laid out: made once, then walked.
#[derive(Debug, Clone, Default)]
pub(super) struct Tree {
    /// Where the edges of each node begin; one more at the end.
    starts: Vec<u32>,
    /// Symbol and the node it leads to, sorted for each node.
    edges: Vec<(Symbol, u32)>,
    /// Entry of each node, if a phrase ends there.
    ends: Vec<Option<u16>>,
}

impl Tree {
    /// The node where every phrase begins.
    pub(super) const ROOT: u32 = 0;

    /// The node that a word leads to. Logarithmic in the words that may follow.
    pub(super) fn step(&self, node: u32, symbol: Symbol) -> Option<u32> {
        let from = *self.starts.get(node as usize)? as usize;
        let to = *self.starts.get(node as usize + 1)? as usize;
        let edges = self.edges.get(from..to)?;
        let place = edges.binary_search_by_key(&symbol, |(s, _)| *s).ok()?;
        edges.get(place).map(|(_, node)| *node)
    }

    /// The entry whose phrase ends at a node.
    pub(super) fn end(&self, node: u32) -> Option<u16> {
        self.ends.get(node as usize).copied().flatten()
    }
}

/// A tree that takes phrases. Neighbours that begin alike cost only what they do not share.
#[derive(Debug)]
pub(super) struct Growing {
    /// The node an edge leaves and its symbol. The edge at a place leads to the node one above it.
    edges: Vec<(u32, Symbol)>,
    ends: Vec<Option<u16>>,
    /// Places of the edges by the number of the edge. Never gone through.
    known: HashTable<u32>,
    /// The phrase before, and the node of each of its words.
    path: Vec<(Symbol, u32)>,
}

impl Default for Growing {
    fn default() -> Self {
        Self {
            edges: Vec::new(),
            ends: vec![None],
            known: HashTable::new(),
            path: Vec::new(),
        }
    }
}

/// A number for an edge, its bits well mixed.
fn mixed((node, symbol): (u32, Symbol)) -> u64 {
    let both = u64::from(node) << 32 | u64::from(symbol);
    let spread = both.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (spread ^ spread >> 29).wrapping_mul(0xbf58_476d_1ce4_e5b9)
}

impl Growing {
    /// Takes a phrase of an entry. The first to say a phrase keeps it: its entry is given back if that
    /// is another.
    pub(super) fn add(&mut self, symbols: &[Symbol], entry: u16) -> Option<u16> {
        let alike = |((symbol, _), other): &(&(Symbol, u32), &Symbol)| symbol == *other;
        let shared = self.path.iter().zip(symbols).take_while(alike).count();
        self.path.truncate(shared);
        for symbol in symbols.iter().skip(shared) {
            let node = self.path.last().map_or(Tree::ROOT, |(_, node)| *node);
            let next = self.next(node, *symbol);
            self.path.push((*symbol, next));
        }
        let (_, node) = self.path.last()?;
        match self.ends.get_mut(*node as usize)? {
            Some(other) => (*other != entry).then_some(*other),
            end => {
                *end = Some(entry);
                None
            }
        }
    }

    /// The node that a word leads to, new if need be.
    fn next(&mut self, node: u32, symbol: Symbol) -> u32 {
        let edge = (node, symbol);
        let edges = &self.edges;
        let is = |place: &u32| edges.get(*place as usize) == Some(&edge);
        if let Some(place) = self.known.find(mixed(edge), is) {
            return place + 1;
        }
        let place = self.edges.len() as u32;
        let again = |place: &u32| edges.get(*place as usize).map_or(0, |edge| mixed(*edge));
        self.known.insert_unique(mixed(edge), place, again);
        self.edges.push(edge);
        self.ends.push(None);
        place + 1
    }

    /// Lays the tree out.
    pub(super) fn laid_out(self) -> Tree {
        let Self {
            edges: grown,
            mut ends,
            known,
            ..
        } = self;
        drop(known);
        ends.shrink_to_fit();
        let mut starts = vec![0_u32; ends.len() + 1];
        for (node, _) in &grown {
            if let Some(count) = starts.get_mut(*node as usize + 1) {
                *count += 1;
            }
        }
        let mut sum = 0;
        for start in &mut starts {
            sum += *start;
            *start = sum;
        }
        let mut free = starts.clone();
        let mut edges = vec![(0, 0); grown.len()];
        for ((node, symbol), to) in grown.iter().zip(1..) {
            if let Some(place) = free.get_mut(*node as usize) {
                if let Some(edge) = edges.get_mut(*place as usize) {
                    *edge = (*symbol, to);
                }
                *place += 1;
            }
        }
        for ends in starts.windows(2) {
            if let [from, to] = ends
                && let Some(own) = edges.get_mut(*from as usize..*to as usize)
            {
                own.sort_unstable();
            }
        }
        Tree {
            starts,
            edges,
            ends,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Growing, Tree};

    fn end_of(tree: &Tree, symbols: &[u32]) -> Option<u16> {
        let step = |node, symbol: &u32| tree.step(node, *symbol);
        symbols
            .iter()
            .try_fold(Tree::ROOT, step)
            .and_then(|node| tree.end(node))
    }

    #[test]
    fn a_phrase_is_found_by_its_words_and_the_first_to_say_it_keeps_it() {
        let mut growing = Growing::default();
        let phrases: [&[u32]; 6] = [&[5, 3, 9], &[5, 3], &[7], &[5, 1, 9], &[5, 3, 2], &[7, 5]];
        for (symbols, entry) in phrases.iter().zip(10..) {
            assert_eq!(growing.add(symbols, entry), None);
        }
        assert_eq!(growing.add(&[5, 3], 11), None, "its own again");
        assert_eq!(growing.add(&[5, 3], 40), Some(11), "another's");
        assert_eq!(growing.add(&[], 41), None);
        let tree = growing.laid_out();
        for (symbols, entry) in phrases.iter().zip(10..) {
            assert_eq!(end_of(&tree, symbols), Some(entry), "{symbols:?}");
        }
        for symbols in [&[5][..], &[], &[3], &[5, 3, 9, 1], &[7, 3]] {
            assert_eq!(end_of(&tree, symbols), None, "{symbols:?}");
        }
    }
}
