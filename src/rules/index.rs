//! What a change sets off: for each slot and stratum the conditions that look at the slot, in a few
//! flat arrays, so that a change touches few lines of memory however many rules there are.

use super::clause::{Clause, Condition, Range, Test};
use super::program::{Kind, Slot};

/// The conditions of all clauses, by slot and stratum.
#[derive(Debug, Clone, Default)]
pub(crate) struct Index {
    slots: Vec<SlotEntry>,
    groups: Vec<Group>,
    /// Guards and limits of conditions on numbers, in two arrays side by side: most limits are never
    /// looked at.
    number_guards: Vec<Guards>,
    numbers: Vec<(Range, Target)>,
    symbols: Vec<(u32, Guards, Target)>,
    others: Vec<(Guards, Target)>,
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
}

/// Two slots of the same pattern that a clause needs something in besides the one that changed. A
/// clause is not looked at while one of them is empty; most sleeping clauses are passed over by
/// that alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Guards([u32; 2]);

impl Guards {
    /// True if both slots have something, given 1 or 0 for each slot.
    pub(crate) fn are_filled(self, filled: &[u8]) -> bool {
        let [a, b] = self.0;
        let of = |slot: u32| filled.get(slot as usize).copied().unwrap_or(0);
        of(a) & of(b) != 0
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

/// A condition on its way into the arrays.
struct Entry {
    slot: u32,
    stratum: u32,
    sort: Sort,
    range: Range,
    guards: Guards,
    target: Target,
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
        let mut entries: Vec<Entry> = Vec::new();
        for (number, clause) in clauses.iter().enumerate() {
            index.collect(number as u32, clause, &concluded, &mut entries);
        }
        entries.sort_by_key(|e| (e.slot, e.stratum, e.sort, e.guards.0));
        for Entry {
            slot,
            stratum,
            sort,
            range,
            guards,
            target,
        } in entries
        {
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
            index.put(sort, range, guards, target);
        }
        index.number_guards.shrink_to_fit();
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
    fn put(&mut self, sort: Sort, range: Range, guards: Guards, target: Target) {
        let Some(group) = self.groups.last_mut() else {
            return;
        };
        match sort {
            Sort::Number => {
                self.number_guards.push(guards);
                self.numbers.push((range, target));
                group.numbers.to = self.numbers.len() as u32;
                return;
            }
            Sort::Symbol(symbol) => {
                self.symbols.push((symbol, guards, target));
                group.symbols.to = self.symbols.len() as u32;
                return;
            }
            Sort::Any | Sort::Absence | Sort::Column => {}
        }
        self.others.push((guards, target));
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
        entries: &mut Vec<Entry>,
    ) {
        let searches = clause.patterns > 1 || clause.conditions.iter().any(|c| c.on().is_none());
        for (i, condition) in clause.conditions.iter().enumerate() {
            let Some(slot) = condition.slot() else {
                continue;
            };
            let target = Target {
                clause: number,
                condition: i as u8,
            };
            let guards = guards(clause, i, slot, concluded);
            let uses = &mut self.slots[slot as usize].uses;
            uses.searched |= searches && condition.is_positive();
            let mut add = |sort, range| {
                entries.push(Entry {
                    slot,
                    stratum: clause.stratum,
                    sort,
                    range,
                    guards,
                    target,
                });
            };
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
                Condition::Gap { .. } | Condition::Differ { .. } => {}
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

    /// Conditions on the number in use.
    pub(crate) fn numbers(
        &self,
        group: &Group,
    ) -> impl ExactSizeIterator<Item = (&Guards, &(Range, Target))> {
        let guards = group.numbers.of(&self.number_guards).iter();
        guards.zip(group.numbers.of(&self.numbers))
    }

    /// Conditions that wait for this symbol.
    pub(crate) fn symbol(&self, group: &Group, symbol: u32) -> &[(u32, Guards, Target)] {
        let all = group.symbols.of(&self.symbols);
        let from = all.partition_point(|&(s, ..)| s < symbol);
        let rest = &all[from..];
        let count = rest.iter().take_while(|&&(s, ..)| s == symbol).count();
        &rest[..count]
    }

    /// Conditions that wait for any symbol.
    pub(crate) fn any(&self, group: &Group) -> &[(Guards, Target)] {
        group.any.of(&self.others)
    }

    pub(crate) fn absences(&self, group: &Group) -> &[(Guards, Target)] {
        group.absences.of(&self.others)
    }

    pub(crate) fn columns(&self, group: &Group) -> &[(Guards, Target)] {
        group.columns.of(&self.others)
    }

    /// Bytes it takes.
    pub(crate) fn heap_bytes(&self) -> usize {
        self.slots.capacity() * size_of::<SlotEntry>()
            + self.groups.capacity() * size_of::<Group>()
            + self.numbers.capacity() * size_of::<(Range, Target)>()
            + self.symbols.capacity() * size_of::<(u32, Guards, Target)>()
            + self.number_guards.capacity() * size_of::<Guards>()
            + self.others.capacity() * size_of::<(Guards, Target)>()
    }
}

/// Two slots that must have something before the clause can hold for the pattern of a condition:
/// slots that rules fill before others, since those are empty more often.
fn guards(clause: &Clause, condition: usize, own: u32, concluded: &[bool]) -> Guards {
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
    Guards(found)
}
