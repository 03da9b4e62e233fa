//! What a change sets off: for each slot and stratum the conditions that look at the slot, in a few
//! flat arrays, so that a change touches few lines of memory however many rules there are.

use super::clause::{Clause, Condition, Range, Test};
use super::program::{Kind, Slot};

/// The conditions of all clauses, by slot and stratum.
#[derive(Debug, Clone, Default)]
pub(crate) struct Index {
    slots: Vec<SlotEntry>,
    groups: Vec<Group>,
    numbers: Vec<(Range, Target)>,
    symbols: Vec<(u32, Target)>,
    others: Vec<Target>,
}

/// What the engine needs to know of a slot while it runs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SlotEntry {
    first: u32,
    count: u32,
    pub(crate) stratum: u32,
    pub(crate) kind: Kind,
    pub(crate) uses: Uses,
}

impl SlotEntry {
    /// True if it holds numbers.
    pub(crate) const fn is_number(&self) -> bool {
        matches!(self.kind, Kind::Number(_))
    }

    /// True if no condition looks at it.
    pub(crate) const fn is_idle(&self) -> bool {
        self.count == 0
    }
}

/// How rules look at a slot.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Uses {
    /// Some rule searches patterns by it.
    pub(crate) searched: bool,
    /// Some rule tests for absence in it.
    pub(crate) absence: bool,
    /// Some rule counts or averages over it.
    pub(crate) aggregated: bool,
}

/// The conditions on one slot in the clauses of one stratum, as parts of the arrays.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Group {
    stratum: u32,
    numbers: Part,
    symbols: Part,
    any: Part,
    absences: Part,
    columns: Part,
}

#[derive(Debug, Clone, Copy, Default)]
struct Part {
    from: u32,
    to: u32,
}

impl Part {
    fn of<T>(self, all: &[T]) -> &[T] {
        all.get(self.from as usize..self.to as usize).unwrap_or(&[])
    }
}

/// A condition of a clause, to be tried when something changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Target {
    pub(crate) clause: u32,
    pub(crate) condition: u8,
    /// Two slots of the same pattern that the clause needs something in; a clause is not looked at
    /// while one of them is empty. Most sleeping clauses are passed over by these bits alone.
    guards: [u32; 2],
}

impl Target {
    /// True if both guards have a fact, given one bit for each slot.
    pub(crate) fn is_awake(&self, filled: &[u64]) -> bool {
        let bit = |slot: u32| {
            let word = filled.get(slot as usize / 64).copied().unwrap_or(0);
            word >> (slot % 64) & 1
        };
        bit(self.guards[0]) & bit(self.guards[1]) == 1
    }
}

/// In which of the arrays a condition goes, and the symbol it waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Sort {
    Number,
    Symbol(u32),
    Any,
    Absence,
    Column,
}

impl Index {
    pub(crate) fn new(slots: &[Slot], clauses: &[Clause]) -> Self {
        let mut concluded = vec![false; slots.len()];
        for head in clauses.iter().flat_map(|c| c.heads.iter()) {
            concluded[head.slot as usize] = true;
        }
        let mut index = Self {
            slots: slots
                .iter()
                .map(|slot| SlotEntry {
                    first: 0,
                    count: 0,
                    stratum: slot.stratum,
                    kind: slot.kind,
                    uses: Uses::default(),
                })
                .collect(),
            ..Self::default()
        };
        let mut entries: Vec<(u32, u32, Sort, Range, Target)> = Vec::new();
        for (number, clause) in clauses.iter().enumerate() {
            index.collect(number as u32, clause, &concluded, &mut entries);
        }
        entries.sort_by_key(|&(slot, stratum, sort, ..)| (slot, stratum, sort));
        for (slot, stratum, sort, range, target) in entries {
            let entry = &mut index.slots[slot as usize];
            let last = index.groups.last().map(|g| g.stratum);
            if entry.count == 0 || last != Some(stratum) {
                if entry.count == 0 {
                    entry.first = index.groups.len() as u32;
                }
                entry.count += 1;
                let group = index.new_group(stratum);
                index.groups.push(group);
            }
            index.put(sort, range, target);
        }
        index.numbers.shrink_to_fit();
        index.symbols.shrink_to_fit();
        index.others.shrink_to_fit();
        index
    }

    fn new_group(&self, stratum: u32) -> Group {
        let at = |length: usize| Part {
            from: length as u32,
            to: length as u32,
        };
        Group {
            stratum,
            numbers: at(self.numbers.len()),
            symbols: at(self.symbols.len()),
            any: at(self.others.len()),
            absences: at(self.others.len()),
            columns: at(self.others.len()),
        }
    }

    /// Adds a condition to the last group; conditions come in the order of [`Sort`].
    fn put(&mut self, sort: Sort, range: Range, target: Target) {
        let Some(group) = self.groups.last_mut() else {
            return;
        };
        match sort {
            Sort::Number => {
                self.numbers.push((range, target));
                group.numbers.to = self.numbers.len() as u32;
                return;
            }
            Sort::Symbol(symbol) => {
                self.symbols.push((symbol, target));
                group.symbols.to = self.symbols.len() as u32;
                return;
            }
            Sort::Any | Sort::Absence | Sort::Column => {}
        }
        self.others.push(target);
        let end = self.others.len() as u32;
        let parts = [&mut group.any, &mut group.absences, &mut group.columns];
        let own = match sort {
            Sort::Any => 0,
            Sort::Absence => 1,
            Sort::Number | Sort::Symbol(_) | Sort::Column => 2,
        };
        for (i, part) in parts.into_iter().enumerate() {
            if i > own {
                part.from = end;
            }
            if i >= own {
                part.to = end;
            }
        }
    }

    fn collect(
        &mut self,
        number: u32,
        clause: &Clause,
        concluded: &[bool],
        entries: &mut Vec<(u32, u32, Sort, Range, Target)>,
    ) {
        let searches = clause.patterns > 1 || clause.conditions.iter().any(|c| c.on().is_none());
        for (i, condition) in clause.conditions.iter().enumerate() {
            let Some(slot) = condition.slot() else {
                continue;
            };
            let target = Target {
                clause: number,
                condition: i as u8,
                guards: guards(clause, i, slot, concluded),
            };
            let uses = &mut self.slots[slot as usize].uses;
            uses.searched |= searches && condition.is_positive();
            let mut add = |sort, range| entries.push((slot, clause.stratum, sort, range, target));
            match condition {
                Condition::Fact { test, .. } => match test {
                    Test::Any => add(Sort::Any, Range::ALL),
                    Test::Is(symbol) => add(Sort::Symbol(*symbol), Range::ALL),
                    Test::OneOf(many) => {
                        for symbol in many {
                            add(Sort::Symbol(*symbol), Range::ALL);
                        }
                    }
                },
                Condition::Number { range, .. } => add(Sort::Number, *range),
                Condition::Unknown { .. } | Condition::Lacks { .. } => {
                    add(Sort::Absence, Range::ALL);
                    uses.absence = true;
                }
                Condition::Count { .. } | Condition::Mean { .. } => {
                    add(Sort::Column, Range::ALL);
                    uses.aggregated = true;
                }
                Condition::Differ { .. } => {}
            }
        }
    }

    pub(crate) fn slot(&self, slot: u32) -> &SlotEntry {
        &self.slots[slot as usize]
    }

    /// The kind of a slot; none if there is no such slot.
    pub(crate) fn kind(&self, slot: u32) -> Option<Kind> {
        self.slots.get(slot as usize).map(|s| s.kind)
    }

    /// The conditions on a slot in the clauses of a stratum.
    pub(crate) fn group(&self, slot: u32, stratum: u32) -> Option<&Group> {
        let entry = &self.slots[slot as usize];
        let from = entry.first as usize;
        let groups = &self.groups[from..from + entry.count as usize];
        groups.iter().find(|g| g.stratum == stratum)
    }

    pub(crate) fn numbers(&self, group: &Group) -> &[(Range, Target)] {
        group.numbers.of(&self.numbers)
    }

    /// Conditions that wait for this symbol.
    pub(crate) fn symbol(&self, group: &Group, symbol: u32) -> &[(u32, Target)] {
        let all = group.symbols.of(&self.symbols);
        let from = all.partition_point(|&(s, _)| s < symbol);
        let rest = &all[from..];
        let count = rest.iter().take_while(|&&(s, _)| s == symbol).count();
        &rest[..count]
    }

    /// Conditions that wait for any symbol.
    pub(crate) fn any(&self, group: &Group) -> &[Target] {
        group.any.of(&self.others)
    }

    pub(crate) fn absences(&self, group: &Group) -> &[Target] {
        group.absences.of(&self.others)
    }

    pub(crate) fn columns(&self, group: &Group) -> &[Target] {
        group.columns.of(&self.others)
    }

    /// Bytes it takes.
    pub(crate) fn heap_bytes(&self) -> usize {
        self.slots.capacity() * size_of::<SlotEntry>()
            + self.groups.capacity() * size_of::<Group>()
            + self.numbers.capacity() * size_of::<(Range, Target)>()
            + self.symbols.capacity() * size_of::<(u32, Target)>()
            + self.others.capacity() * size_of::<Target>()
    }
}

/// Two slots that must have something before the clause can hold for the pattern of a condition:
/// slots that rules fill before others, since those are empty more often.
fn guards(clause: &Clause, condition: usize, own: u32, concluded: &[bool]) -> [u32; 2] {
    let on = clause.conditions.get(condition).and_then(Condition::on);
    let mut found = [own; 2];
    let mut count = 0;
    for wanted in [true, false] {
        for (i, c) in clause.conditions.iter().enumerate() {
            let suits = i != condition && on.is_some() && c.is_positive() && c.on() == on;
            if let Some(slot) = c.slot().filter(|_| suits)
                && concluded.get(slot as usize) == Some(&wanted)
                && let Some(free) = found.get_mut(count)
            {
                *free = slot;
                count += 1;
            }
        }
    }
    found
}
