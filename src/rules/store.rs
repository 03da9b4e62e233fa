//! Where a state keeps its facts: facts, the cells they share, their justifications and the links
//! between them. All of it lives in a few vectors that are cut to nothing when the state is
//! cleared, so a settled session allocates nothing for a single fact.
//!
//! A cell is one slot of one pattern. A justification is one clause with one set of premises. A
//! link says "this justification stands on that premise"; links of one premise form a list.
//! A fact or a justification that has gone stays in its vector, marked, until the next rebuild.

use super::fact::Stored;
use super::index::Uses;
use super::program::{CLASH, Compiled};
use crate::quantity::Estimate;

/// No fact, cell, link or justification.
pub(crate) const NONE: u32 = u32::MAX;
/// Marks a value that is a place in the list of numbers.
const NUMBER: u32 = 1 << 31;
/// A cell with more symbols than this gets a table.
const CROWDED: u32 = 8;

#[derive(Debug, Clone)]
pub(crate) struct FactEntry {
    pub(crate) pattern: u32,
    pub(crate) slot: u32,
    pub(crate) cell: u32,
    /// A symbol, or a place in `numbers` with [`NUMBER`] set.
    value: u32,
    /// Later than every premise of the same stratum of at least one of its justifications.
    pub(crate) birth: u32,
    /// How many times it is told.
    pub(crate) told: u32,
    pub(crate) next_in_cell: u32,
    pub(crate) first_support: u32,
    pub(crate) first_use: u32,
    pub(crate) alive: bool,
    /// Not yet seen by the rules of the stratum at work.
    pub(crate) pending: bool,
    /// Its support is in doubt.
    pub(crate) taken: bool,
}

impl FactEntry {
    /// The symbol, unless it holds a number.
    pub(crate) fn symbol(&self) -> Option<u32> {
        (self.value & NUMBER == 0).then_some(self.value)
    }
}

#[derive(Debug, Clone)]
pub(crate) struct Cell {
    pub(crate) pattern: u32,
    pub(crate) slot: u32,
    pub(crate) first: u32,
    pub(crate) count: u32,
    /// Place in `tables`, for crowded cells.
    pub(crate) table: u32,
    /// The number in use.
    pub(crate) best: u32,
    /// Justifications that stand on something not being here.
    pub(crate) first_absence: u32,
    pub(crate) number_pending: bool,
    pub(crate) absence_pending: bool,
    pub(crate) changed: bool,
}

/// One slot over all patterns; empty for slots that rules neither search nor count.
#[derive(Debug, Clone, Default)]
pub(crate) struct Column {
    pub(crate) cells: Vec<u32>,
    /// Facts by symbol, for slots that rules search.
    pub(crate) by_symbol: Vec<Vec<u32>>,
    /// Justifications that stand on a count or a mean.
    pub(crate) first_use: u32,
    pub(crate) pending: bool,
    pub(crate) changed: bool,
}

#[derive(Debug, Clone)]
pub(crate) struct Justification {
    pub(crate) clause: u32,
    pub(crate) head: u8,
    pub(crate) alive: bool,
    pub(crate) fact: u32,
    pub(crate) first_link: u32,
    pub(crate) next_support: u32,
}

/// What a condition stood on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Premise {
    Fact(u32),
    /// Something not being in this cell.
    Absence(u32),
    /// A count or a mean over this slot.
    Column(u32),
    /// Nothing that could change.
    Fixed,
}

#[derive(Debug, Clone)]
pub(crate) struct Link {
    /// The premise, its kind in the two highest bits.
    premise: u32,
    pub(crate) justification: u32,
    pub(crate) next: u32,
}

/// How many facts, cells or slots a link can tell apart.
pub(crate) const PREMISE_LIMIT: usize = 1 << 30;

impl Link {
    pub(crate) const fn premise(&self) -> Premise {
        let number = self.premise & (PREMISE_LIMIT as u32 - 1);
        match self.premise >> 30 {
            0 => Premise::Fact(number),
            1 => Premise::Absence(number),
            2 => Premise::Column(number),
            _ => Premise::Fixed,
        }
    }
}

const fn packed(premise: Premise) -> u32 {
    match premise {
        Premise::Fact(f) => f,
        Premise::Absence(c) => 1 << 30 | c,
        Premise::Column(s) => 2 << 30 | s,
        Premise::Fixed => 3 << 30,
    }
}

/// One pattern over all slots.
#[derive(Debug, Clone, Default)]
struct Row {
    cells: Vec<u32>,
    /// For each slot 1 if it has a fact, else 0.
    filled: Vec<u8>,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Store {
    pub(crate) facts: Vec<FactEntry>,
    numbers: Vec<Estimate>,
    pub(crate) cells: Vec<Cell>,
    pub(crate) justifications: Vec<Justification>,
    pub(crate) links: Vec<Link>,
    pub(crate) columns: Vec<Column>,
    rows: Vec<Row>,
    tables: Vec<Vec<u32>>,
    /// Tables that were used before the state was last cleared.
    spare_tables: Vec<Vec<u32>>,
    /// Slots whose column has a cell.
    tracked: Vec<u32>,
    /// Slots whose column carries a justification.
    used_columns: Vec<u32>,
    /// Facts that are alive.
    pub(crate) living: usize,
    /// Those of them that the engine keeps for itself.
    pub(crate) own: usize,
    /// Entries that have gone.
    pub(crate) garbage: usize,
}

impl Store {
    pub(crate) fn new(slots: usize) -> Self {
        Self {
            columns: vec![
                Column {
                    first_use: NONE,
                    ..Column::default()
                };
                slots
            ],
            ..Self::default()
        }
    }

    /// Nothing told, nothing derived; what was allocated is kept.
    pub(crate) fn clear(&mut self) {
        for cell in &self.cells {
            let row = &mut self.rows[cell.pattern as usize];
            row.cells[cell.slot as usize] = NONE;
            row.filled[cell.slot as usize] = 0;
        }
        for slot in self.tracked.drain(..) {
            let column = &mut self.columns[slot as usize];
            column.pending = false;
            column.changed = false;
            column.cells.clear();
            column.by_symbol.iter_mut().for_each(Vec::clear);
        }
        for slot in self.used_columns.drain(..) {
            self.columns[slot as usize].first_use = NONE;
        }
        self.facts.clear();
        self.numbers.clear();
        self.cells.clear();
        self.justifications.clear();
        self.links.clear();
        self.spare_tables.append(&mut self.tables);
        self.living = 0;
        self.own = 0;
        self.garbage = 0;
    }

    /// The cell, if anything was ever said of it.
    pub(crate) fn cell(&self, pattern: u32, slot: u32) -> Option<u32> {
        let row = self.rows.get(pattern as usize)?;
        row.cells.get(slot as usize).copied().filter(|&c| c != NONE)
    }

    /// The cell, made if need be.
    pub(crate) fn cell_mut(&mut self, pattern: u32, slot: u32, uses: Uses) -> u32 {
        let slots = self.columns.len();
        if self.rows.len() <= pattern as usize {
            self.rows.resize(pattern as usize + 1, Row::default());
        }
        let row = &mut self.rows[pattern as usize];
        if row.cells.is_empty() {
            row.cells.resize(slots, NONE);
            row.filled.resize(slots, 0);
        }
        let entry = &mut row.cells[slot as usize];
        if *entry == NONE {
            *entry = self.cells.len() as u32;
            if uses.searched || uses.aggregated {
                let column = &mut self.columns[slot as usize];
                if column.cells.is_empty() {
                    self.tracked.push(slot);
                }
                column.cells.push(*entry);
            }
            self.cells.push(Cell {
                pattern,
                slot,
                first: NONE,
                count: 0,
                table: NONE,
                best: NONE,
                first_absence: NONE,
                number_pending: false,
                absence_pending: false,
                changed: false,
            });
        }
        *entry
    }

    /// For each slot of a pattern 1 if it has a fact, else 0.
    pub(crate) fn filled(&self, pattern: u32) -> &[u8] {
        self.rows
            .get(pattern as usize)
            .map_or(&[], |row| row.filled.as_slice())
    }

    /// The facts of a cell, in no particular order.
    pub(crate) fn in_cell(&self, cell: u32) -> impl Iterator<Item = u32> {
        let first = self.cells.get(cell as usize).map_or(NONE, |c| c.first);
        chain(first, |f| self.facts[f as usize].next_in_cell)
    }

    /// The fact with this symbol.
    pub(crate) fn symbol_in(&self, cell: u32, symbol: u32) -> Option<u32> {
        let entry = &self.cells[cell as usize];
        if entry.table != NONE {
            let table = &self.tables[entry.table as usize];
            return table.get(symbol as usize).copied().filter(|&f| f != NONE);
        }
        self.in_cell(cell)
            .find(|&f| self.facts[f as usize].value == symbol)
    }

    /// The value of a fact.
    pub(crate) fn value(&self, fact: u32) -> Stored {
        let value = self.facts[fact as usize].value;
        match self.numbers.get((value ^ NUMBER) as usize) {
            Some(number) if value & NUMBER != 0 => Stored::Number(*number),
            _ => Stored::Symbol(value),
        }
    }

    /// The symbol of a fact, unless it holds a number.
    pub(crate) fn symbol(&self, fact: u32) -> Option<u32> {
        self.facts.get(fact as usize)?.symbol()
    }

    /// The number of a fact; none for [`NONE`].
    pub(crate) fn number(&self, fact: u32) -> Option<Estimate> {
        let value = self.facts.get(fact as usize)?.value;
        let found = self.numbers.get((value ^ NUMBER) as usize).copied();
        found.filter(|_| value & NUMBER != 0)
    }

    /// The fact with this value.
    pub(crate) fn find(&self, cell: u32, value: Stored) -> Option<u32> {
        match value {
            Stored::Symbol(symbol) => self.symbol_in(cell, symbol),
            Stored::Number(_) => self.in_cell(cell).find(|&f| self.value(f).same(value)),
        }
    }

    /// Adds a fact that is not there yet.
    pub(crate) fn add(&mut self, cell: u32, value: Stored, birth: u32, searched: bool) -> u32 {
        let number = self.facts.len() as u32;
        let entry = &mut self.cells[cell as usize];
        let stored = match value {
            Stored::Symbol(symbol) => symbol,
            Stored::Number(n) => {
                self.numbers.push(n);
                NUMBER | (self.numbers.len() - 1) as u32
            }
        };
        self.facts.push(FactEntry {
            pattern: entry.pattern,
            slot: entry.slot,
            cell,
            value: stored,
            birth,
            told: 0,
            next_in_cell: entry.first,
            first_support: NONE,
            first_use: NONE,
            alive: true,
            pending: false,
            taken: false,
        });
        entry.first = number;
        entry.count += 1;
        self.living += 1;
        self.own += usize::from(entry.slot <= CLASH);
        let slot = entry.slot as usize;
        self.rows[entry.pattern as usize].filled[slot] = 1;
        if let Stored::Symbol(symbol) = value {
            let crowded = entry.count > CROWDED;
            if entry.table != NONE {
                let table = entry.table as usize;
                set(&mut self.tables[table], symbol, number);
            } else if crowded {
                entry.table = self.tables.len() as u32;
                let mut table = self.spare_tables.pop().unwrap_or_default();
                table.fill(NONE);
                for f in self.in_cell(cell) {
                    set(&mut table, self.facts[f as usize].value, f);
                }
                self.tables.push(table);
            }
            if searched {
                let by_symbol = &mut self.columns[slot].by_symbol;
                if by_symbol.len() <= symbol as usize {
                    by_symbol.resize(symbol as usize + 1, Vec::new());
                }
                by_symbol[symbol as usize].push(number);
            }
        }
        number
    }

    /// Takes a fact out of its cell and marks it.
    pub(crate) fn remove(&mut self, fact: u32) {
        let entry = &mut self.facts[fact as usize];
        entry.alive = false;
        let (cell, next, value) = (entry.cell, entry.next_in_cell, entry.value);
        self.living -= 1;
        self.own -= usize::from(entry.slot <= CLASH);
        self.garbage += 1;
        let first = self.cells[cell as usize].first;
        if first == fact {
            self.cells[cell as usize].first = next;
        } else {
            let mut at = first;
            while at != NONE {
                let follower = self.facts[at as usize].next_in_cell;
                if follower == fact {
                    self.facts[at as usize].next_in_cell = next;
                    break;
                }
                at = follower;
            }
        }
        let entry = &mut self.cells[cell as usize];
        entry.count -= 1;
        if entry.count == 0 {
            let slot = entry.slot as usize;
            self.rows[entry.pattern as usize].filled[slot] = 0;
        }
        if entry.table != NONE {
            let table = entry.table as usize;
            set(&mut self.tables[table], value, NONE);
        }
    }

    /// Adds a justification with one premise for each condition of its clause.
    pub(crate) fn justify(&mut self, fact: u32, clause: u32, head: u8, premises: &[Premise]) {
        let number = self.justifications.len() as u32;
        let first_link = self.links.len() as u32;
        let Self {
            facts,
            cells,
            columns,
            links,
            used_columns,
            ..
        } = self;
        links.extend(premises.iter().zip(first_link..).map(|(&premise, link)| {
            let next = match premise {
                Premise::Fact(f) => std::mem::replace(&mut facts[f as usize].first_use, link),
                Premise::Absence(c) => {
                    std::mem::replace(&mut cells[c as usize].first_absence, link)
                }
                Premise::Column(s) => {
                    let column = &mut columns[s as usize];
                    if column.first_use == NONE {
                        used_columns.push(s);
                    }
                    std::mem::replace(&mut column.first_use, link)
                }
                Premise::Fixed => NONE,
            };
            Link {
                premise: packed(premise),
                justification: number,
                next,
            }
        }));
        let entry = &mut self.facts[fact as usize];
        self.justifications.push(Justification {
            clause,
            head,
            alive: true,
            fact,
            first_link,
            next_support: entry.first_support,
        });
        entry.first_support = number;
    }

    /// The living justifications of a fact.
    pub(crate) fn support(&self, fact: u32) -> impl Iterator<Item = u32> {
        let first = self.facts[fact as usize].first_support;
        chain(first, |j| self.justifications[j as usize].next_support)
            .filter(|&j| self.justifications[j as usize].alive)
    }

    /// The living justifications of a list of links.
    pub(crate) fn users(&self, first: u32) -> impl Iterator<Item = u32> {
        chain(first, |l| self.links[l as usize].next)
            .map(|l| self.links[l as usize].justification)
            .filter(|&j| self.justifications[j as usize].alive)
    }

    /// What a justification stands on, one premise for each condition.
    pub(crate) fn premises(&self, program: &Compiled, justification: u32) -> &[Link] {
        let entry = &self.justifications[justification as usize];
        let count = program.clauses[entry.clause as usize].conditions.len();
        let first = entry.first_link as usize;
        &self.links[first..first + count]
    }
}

fn set(table: &mut Vec<u32>, symbol: u32, fact: u32) {
    if table.len() <= symbol as usize {
        table.resize(symbol as usize + 1, NONE);
    }
    table[symbol as usize] = fact;
}

/// The entries of a list, from its first one on.
fn chain(first: u32, next: impl Fn(u32) -> u32) -> impl Iterator<Item = u32> {
    let mut at = first;
    std::iter::from_fn(move || {
        let here = (at != NONE).then_some(at)?;
        at = next(here);
        Some(here)
    })
}
