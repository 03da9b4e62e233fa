//! How a rule looks in a knowledge file, and how it becomes a [`RuleSpec`].
//!
//! ```yaml
//! - id: turf_entry_gives_low_point
//!   for: arc                      # the group of rules it belongs to, by purpose
//!   when:                         # all of these hold
//!     - turf_entry: known         # it has a value; `as` gives the value a name
//!       as: e
//!     - mark_depth: unknown       # nobody says anything of it
//!     - fat: true                 # or false: a stated "no", not silence
//!     - divot_depth: deep         # or [deep, steep]: one of these
//!     - divot_depth: {not: deep}  # it has a value, and not this one
//!     - divot_depth: {lacks: deep}            # not this one, perhaps none at all
//!     - fat: {lacks: true}        # nobody says it is fat
//!     - turf_entry: {above: 0.5 in, at_most: 3 in}    # above, below, at_least, at_most
//!     - turf_entry: {between: [1 in, 3 in]}   # both ends included
//!     - fat: true                 # conditions speak of pattern p; `on` names another one
//!       on: q
//!       different: p              # q is not p
//!     - on: q
//!       same: group               # q and p have a common symbol in that slot
//!       with: p                   # p may be left out
//!     - any:                      # at least one of these; a list in the list is an "and"
//!         - thin: true
//!         - [topped: true, lie: tee]
//!     - count: {slot: fat, is: true}          # how many patterns are fat
//!       at_least: 3
//!     - mean: attack_angle        # over all patterns that have one
//!       above: 0 deg
//!     - count: {slot: fat, is: true}          # over the patterns with the club of p alone
//!       among: club               # the same goes for a mean
//!       at_least: 2
//!     - difference: [a, b]        # the number named a less the one named b, of one pattern or two
//!       above: 2 deg
//!   then:                         # each of these follows
//!     - low_point: {by: low_point_from_turf_entry, of: [e, 3 mm +/- 1.5 mm]}
//!     - low_point: 2 in +/- 0.5 in
//!     - club_used: {value_of: c}  # the value named c
//!     - low_point_behind: true
//!       on: q
//!     - contradiction: [fat, mark_ahead]      # these two cannot both be so
//!   because: one sentence with the mechanism
//!   kind: common                  # published, common, memory or elicited
//!   source: id                    # for published rules
//! ```
//!
//! Numbers carry a unit of [`Unit`] ("in", "deg", "mph", "%"); a number without a unit is a plain
//! number. An item of `when` with several slots means all of them; an item of `then` has one.
//! Names are not checked here: the compiler of the rules does that against the schema.

use super::shapes::Kind;
use crate::quantity::{Amount, Estimate, QuantityError, Unit};
use crate::rules::{
    AmongSpec, Bound, ConclusionSpec, ConditionSpec, DEFAULT_PATTERN, InputSpec, OutcomeSpec,
    Place, RangeSpec, RuleSpec, TestSpec,
};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// A rule as it stands in a file.
#[derive(Debug, Clone, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RuleShape {
    /// Unique name among the rules, such as `my_wet_and_wild`. With the id of a built-in entry it takes
    /// that one's place.
    pub id: String,
    /// What it is for, such as `arc`, `strike`, `flight`, `pattern`, `chain` or `consistency`;
    /// `knowledge show` tells it.
    #[serde(rename = "for")]
    pub purpose: String,
    /// Conditions, all of which must hold, a line each after `- `. A symptom: `fat: true`; told not to
    /// be so: `fat: false`; not told of: `fat: {lacks: true}`. A number: `turf_entry: known` or
    /// `unknown`, `turf_entry: {above: 0.5 in}`, `below`, `at_least`, `at_most`, or
    /// `{between: [1 in, 3 in]}`. A word: `lie: tee`, `lie: [tee, mat]`, `lie: {not: tee}`. At least
    /// one of several: `any:` and a list. Of several shots or clubs: `count: {slot: fat, is: true}` or
    /// `mean: attack_angle` with a limit beside it, `difference: [a, b]`. `on: q` speaks of another
    /// pattern; `as: e` gives a number a name.
    pub when: Vec<Loose>,
    /// Conclusions, all of which follow, a line each after `- `: a sign such as `x_wet: true` (how to
    /// read a combination) or `ch_wet: true` (a chain of causes), an effect, or a number with its
    /// unit, as `low_point: 2 in +/- 0.5 in` or `low_point: {by: low_point_from_turf_entry, of: [e]}`;
    /// `contradiction: [fat, thin]` says that both cannot be so.
    pub then: Vec<Loose>,
    /// The mechanism, in one sentence.
    pub because: String,
    /// Where it comes from: `published` (then `source` too), `common`, `memory` or `elicited`.
    pub kind: Kind,
    /// The id of the entry of `sources.yaml` that it rests on; needed where `kind` is `published`.
    /// Left out: none.
    pub source: Option<String>,
}

/// Anything that can stand in a knowledge file.
#[derive(Debug, Clone, PartialEq)]
pub enum Loose {
    /// Nothing.
    Nothing,
    /// True or false.
    Truth(bool),
    /// A number without a unit.
    Number(f64),
    /// A word, or a number with a unit.
    Text(String),
    /// A list.
    List(Vec<Self>),
    /// Keys and values, in the order written.
    Map(Vec<(String, Self)>),
}

/// Something in a rule that cannot be read.
#[derive(Debug, Clone, PartialEq)]
pub struct ShapeProblem {
    /// The rule.
    pub rule: String,
    /// Where in it.
    pub place: Place,
    /// What is wrong.
    pub kind: ShapeProblemKind,
}

/// What cannot be read.
#[derive(Debug, Clone, PartialEq)]
pub enum ShapeProblemKind {
    /// The item is not made of keys and values.
    NotKeysAndValues,
    /// The value of this key has the wrong form.
    WrongForm {
        /// The key.
        key: String,
    },
    /// Not a number with a unit.
    NotAQuantity {
        /// What was written.
        text: String,
    },
    /// No unit has this symbol.
    UnknownUnit {
        /// What was written.
        unit: String,
    },
    /// The number cannot be used.
    BadNumber(QuantityError),
    /// `as` needs exactly one slot beside it.
    AmbiguousName,
    /// A condition or conclusion that says nothing, or a conclusion that says two things.
    NotOneThing,
    /// This key has no meaning here.
    UnexpectedKey {
        /// The key.
        key: String,
    },
}

impl JsonSchema for Loose {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Item".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A condition or a conclusion: keys with values",
            "type": "object",
        })
    }
}

impl<'de> Deserialize<'de> for Loose {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(LooseVisitor)
    }
}

struct LooseVisitor;

impl<'de> Visitor<'de> for LooseVisitor {
    type Value = Loose;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_unit<E>(self) -> Result<Loose, E> {
        Ok(Loose::Nothing)
    }

    fn visit_bool<E>(self, truth: bool) -> Result<Loose, E> {
        Ok(Loose::Truth(truth))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Loose, E> {
        Ok(Loose::Number(number as f64))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Loose, E> {
        Ok(Loose::Number(number as f64))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Loose, E> {
        Ok(Loose::Number(number))
    }

    fn visit_str<E>(self, text: &str) -> Result<Loose, E> {
        Ok(Loose::Text(text.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Loose, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = seq.next_element()? {
            list.push(item);
        }
        Ok(Loose::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Loose, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Loose::Map(entries))
    }
}

type Read<T> = Result<T, ShapeProblemKind>;

impl RuleShape {
    /// The rule as plain data, with one condition or conclusion for each item of the file.
    ///
    /// # Errors
    /// Every item that cannot be read.
    pub fn to_spec(&self) -> Result<RuleSpec, Vec<ShapeProblem>> {
        let mut problems = Vec::new();
        let mut when = Vec::new();
        for (i, item) in self.when.iter().enumerate() {
            match conditions(item) {
                Ok(mut one) if one.len() == 1 => when.extend(one.pop()),
                Ok(several) => when.push(ConditionSpec::Any(vec![several])),
                Err(kind) => problems.push(self.problem(Place::When(i), kind)),
            }
        }
        let mut then = Vec::new();
        for (i, item) in self.then.iter().enumerate() {
            match conclusion(item) {
                Ok(one) => then.push(one),
                Err(kind) => problems.push(self.problem(Place::Then(i), kind)),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(RuleSpec {
            id: self.id.clone(),
            purpose: self.purpose.clone(),
            when,
            then,
            because: self.because.clone(),
            kind: self.kind.word().to_owned(),
            source: self.source.clone(),
        })
    }

    fn problem(&self, place: Place, kind: ShapeProblemKind) -> ShapeProblem {
        ShapeProblem {
            rule: self.id.clone(),
            place,
            kind,
        }
    }
}

/// Keys that limit a number.
const LIMITS: [&str; 5] = ["above", "below", "at_least", "at_most", "between"];

fn conditions(item: &Loose) -> Read<Vec<ConditionSpec>> {
    let entries = entries(item)?;
    let on = word(entries, "on")?.unwrap_or_else(|| DEFAULT_PATTERN.to_owned());
    let bind = word(entries, "as")?;
    let mut found = Vec::new();
    let mut slots = 0;
    for (key, value) in entries {
        match key.as_str() {
            "on" | "as" => {}
            "with" | "among" => {
                let has =
                    |wanted: &[&str]| entries.iter().any(|(k, _)| wanted.contains(&k.as_str()));
                let goes_with: &[&str] = if key == "with" {
                    &["same"]
                } else {
                    &["count", "mean"]
                };
                if !has(goes_with) {
                    return Err(ShapeProblemKind::UnexpectedKey { key: key.clone() });
                }
            }
            "different" => found.push(ConditionSpec::Different {
                on: on.clone(),
                from: text(key, value)?,
            }),
            "same" => {
                let with = word(entries, "with")?;
                found.push(ConditionSpec::Same {
                    on: on.clone(),
                    with: with.unwrap_or_else(|| DEFAULT_PATTERN.to_owned()),
                    slot: text(key, value)?,
                });
            }
            "any" => {
                let alternatives: Read<Vec<_>> =
                    list(key, value)?.iter().map(alternative).collect();
                found.push(ConditionSpec::Any(alternatives?));
            }
            "count" => found.push(count(key, value, entries)?),
            "mean" => {
                if let Loose::Map(inner) = value
                    && let Some((key, _)) = inner.iter().find(|(k, _)| k != "slot")
                {
                    return Err(ShapeProblemKind::UnexpectedKey { key: key.clone() });
                }
                found.push(ConditionSpec::Mean {
                    slot: slot_of(key, value)?,
                    range: range(entries)?,
                    among: among(entries)?,
                });
            }
            "difference" => {
                let of = <[String; 2]>::try_from(words(key, value)?).map_err(|_| wrong(key))?;
                let range = range(entries)?;
                found.push(ConditionSpec::Difference { of, range });
            }
            limit if LIMITS.contains(&limit) => {
                let aggregates = ["count", "mean", "difference"];
                let aggregate = |(k, _): &(String, Loose)| aggregates.contains(&k.as_str());
                if !entries.iter().any(aggregate) {
                    return Err(ShapeProblemKind::UnexpectedKey { key: key.clone() });
                }
            }
            _ => {
                slots += 1;
                found.push(ConditionSpec::Slot {
                    on: on.clone(),
                    slot: key.clone(),
                    test: test(key, value)?,
                    bind: bind.clone(),
                });
            }
        }
    }
    if bind.is_some() && slots != 1 {
        return Err(ShapeProblemKind::AmbiguousName);
    }
    if found.is_empty() {
        return Err(ShapeProblemKind::NotOneThing);
    }
    Ok(found)
}

fn alternative(item: &Loose) -> Read<Vec<ConditionSpec>> {
    match item {
        Loose::List(items) => {
            let all: Read<Vec<Vec<ConditionSpec>>> = items.iter().map(conditions).collect();
            Ok(all?.into_iter().flatten().collect())
        }
        Loose::Nothing | Loose::Truth(_) | Loose::Number(_) | Loose::Text(_) | Loose::Map(_) => {
            conditions(item)
        }
    }
}

fn count(key: &str, value: &Loose, around: &[(String, Loose)]) -> Read<ConditionSpec> {
    let inner = entries(value)?;
    let slot = slot_of(key, value)?;
    if let Some((key, _)) = inner
        .iter()
        .find(|(k, _)| !["slot", "is"].contains(&k.as_str()) && !LIMITS.contains(&k.as_str()))
    {
        return Err(ShapeProblemKind::UnexpectedKey { key: key.clone() });
    }
    let test = match inner.iter().find(|(k, _)| k == "is") {
        Some((key, value)) => test(key, value)?,
        None if inner.iter().any(|(k, _)| LIMITS.contains(&k.as_str())) => {
            TestSpec::Range(range(inner)?)
        }
        None => TestSpec::Known,
    };
    Ok(ConditionSpec::Count {
        slot,
        test,
        range: range(around)?,
        among: among(around)?,
    })
}

/// The group of patterns that a count or a mean is about: those that share a symbol with one.
fn among(around: &[(String, Loose)]) -> Read<Option<AmongSpec>> {
    let on = word(around, "on")?.unwrap_or_else(|| DEFAULT_PATTERN.to_owned());
    Ok(word(around, "among")?.map(|slot| AmongSpec { on, slot }))
}

fn slot_of(key: &str, value: &Loose) -> Read<String> {
    match value {
        Loose::Text(slot) => Ok(slot.clone()),
        Loose::Map(inner) => word(inner, "slot")?.ok_or_else(|| wrong(key)),
        Loose::Nothing | Loose::Truth(_) | Loose::Number(_) | Loose::List(_) => Err(wrong(key)),
    }
}

fn test(key: &str, value: &Loose) -> Read<TestSpec> {
    match value {
        Loose::Truth(truth) => Ok(TestSpec::Flag(*truth)),
        Loose::Text(t) if t == "known" => Ok(TestSpec::Known),
        Loose::Text(t) if t == "unknown" => Ok(TestSpec::Unknown),
        Loose::Text(_) | Loose::List(_) => Ok(TestSpec::Is(words(key, value)?)),
        Loose::Map(inner) => {
            if let [(word, value)] = inner.as_slice() {
                match word.as_str() {
                    "is" => return test(word, value),
                    "not" => return Ok(TestSpec::Not(words(word, value)?)),
                    "lacks" => {
                        return Ok(TestSpec::Lacks(match value {
                            Loose::Truth(truth) => vec![truth.to_string()],
                            Loose::Nothing
                            | Loose::Number(_)
                            | Loose::Text(_)
                            | Loose::List(_)
                            | Loose::Map(_) => words(word, value)?,
                        }));
                    }
                    _ => {}
                }
            }
            let odd = inner.iter().find(|(k, _)| !LIMITS.contains(&k.as_str()));
            match odd {
                Some((key, _)) => Err(ShapeProblemKind::UnexpectedKey { key: key.clone() }),
                None => Ok(TestSpec::Range(range(inner)?)),
            }
        }
        Loose::Nothing | Loose::Number(_) => Err(wrong(key)),
    }
}

/// The limits among some keys.
fn range(entries: &[(String, Loose)]) -> Read<RangeSpec> {
    let mut range = RangeSpec::default();
    for (key, value) in entries {
        let bound = |value: &Loose, inclusive| -> Read<Option<Bound>> {
            let at = quantity(key, value)?.middle();
            Ok(Some(Bound { at, inclusive }))
        };
        match key.as_str() {
            "above" => range.low = bound(value, false)?,
            "at_least" => range.low = bound(value, true)?,
            "below" => range.high = bound(value, false)?,
            "at_most" => range.high = bound(value, true)?,
            "between" => match list(key, value)? {
                [low, high] => {
                    range.low = bound(low, true)?;
                    range.high = bound(high, true)?;
                }
                _ => return Err(wrong(key)),
            },
            _ => {}
        }
    }
    if range == RangeSpec::default() {
        return Err(ShapeProblemKind::NotOneThing);
    }
    Ok(range)
}

fn conclusion(item: &Loose) -> Read<ConclusionSpec> {
    let entries = entries(item)?;
    let on = word(entries, "on")?.unwrap_or_else(|| DEFAULT_PATTERN.to_owned());
    let mut things = entries.iter().filter(|(k, _)| k != "on");
    let (Some((key, value)), None) = (things.next(), things.next()) else {
        return Err(ShapeProblemKind::NotOneThing);
    };
    if key == "contradiction" {
        let between = words(key, value)?;
        let between = <[String; 2]>::try_from(between).map_err(|_| wrong(key))?;
        return Ok(ConclusionSpec::Contradiction { on, between });
    }
    let slot = key.clone();
    let to = match value {
        Loose::Truth(truth) => OutcomeSpec::Flag(*truth),
        Loose::Number(_) => OutcomeSpec::Number(quantity(key, value)?),
        Loose::Text(text) if starts_like_a_number(text) => {
            OutcomeSpec::Number(quantity(key, value)?)
        }
        Loose::Text(text) => OutcomeSpec::Symbol(text.clone()),
        Loose::Map(inner) => computed(key, inner)?,
        Loose::Nothing | Loose::List(_) => return Err(wrong(key)),
    };
    Ok(ConclusionSpec::Set { on, slot, to })
}

fn computed(key: &str, inner: &[(String, Loose)]) -> Read<OutcomeSpec> {
    let known = ["by", "of", "value_of"];
    if let Some((key, _)) = inner.iter().find(|(k, _)| !known.contains(&k.as_str())) {
        return Err(ShapeProblemKind::UnexpectedKey { key: key.clone() });
    }
    if let Some(name) = word(inner, "value_of")? {
        return Ok(OutcomeSpec::Variable(name));
    }
    let by = word(inner, "by")?.ok_or_else(|| wrong(key))?;
    let of = inner.iter().find(|(k, _)| k == "of").map(|(_, v)| v);
    let single;
    let of: &[Loose] = match of {
        None => &[],
        Some(Loose::List(items)) => items,
        Some(one) => {
            single = [one.clone()];
            &single
        }
    };
    let of: Read<Vec<InputSpec>> = of
        .iter()
        .map(|input| match input {
            Loose::Text(name) if !starts_like_a_number(name) => {
                Ok(InputSpec::Variable(name.clone()))
            }
            Loose::Nothing
            | Loose::Truth(_)
            | Loose::Number(_)
            | Loose::Text(_)
            | Loose::List(_)
            | Loose::Map(_) => quantity("of", input).map(InputSpec::Number),
        })
        .collect();
    Ok(OutcomeSpec::Computed { by, of: of? })
}

fn starts_like_a_number(text: &str) -> bool {
    let first = text.trim_start_matches(['-', '+', '.']).chars().next();
    first.is_some_and(|c| c.is_ascii_digit())
}

/// A number with its unit, such as `0.5 in`, `3 mm +/- 1.5 mm`, `3 +/- 1.5 mm` or `40 %`.
///
/// # Errors
/// [`ShapeProblemKind`] if it is not one.
pub fn parse_quantity(text: &str) -> Result<Estimate, ShapeProblemKind> {
    let (mean, error) = match text.split_once("+/-") {
        Some((mean, error)) => (number_and_unit(mean)?, Some(number_and_unit(error)?)),
        None => (number_and_unit(text)?, None),
    };
    let (value, unit) = mean;
    let estimate = match error {
        None => Estimate::new(value, 0.0, unit.unwrap_or(Unit::One)),
        Some((sd, sd_unit)) => {
            let unit_of_both = unit.or(sd_unit).unwrap_or(Unit::One);
            let sd_unit = sd_unit.or(unit).unwrap_or(Unit::One);
            if sd_unit.dimension() != unit_of_both.dimension() {
                let text = text.to_owned();
                return Err(ShapeProblemKind::NotAQuantity { text });
            }
            let mean = value * unit_of_both.scale();
            Estimate::from_base(mean, sd * sd_unit.scale(), unit_of_both.dimension())
        }
    };
    estimate.map_err(ShapeProblemKind::BadNumber)
}

fn number_and_unit(text: &str) -> Read<(f64, Option<Unit>)> {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let number: f64 = number
        .parse()
        .map_err(|_| ShapeProblemKind::NotAQuantity { text: text.into() })?;
    let unit = unit.trim();
    if unit.is_empty() {
        return Ok((number, None));
    }
    let found = Unit::from_symbol(unit);
    let unknown = || ShapeProblemKind::UnknownUnit { unit: unit.into() };
    found.map_or_else(|| Err(unknown()), |u| Ok((number, Some(u))))
}

fn quantity(key: &str, value: &Loose) -> Read<Estimate> {
    match value {
        Loose::Number(n) => {
            let amount = Amount::new(*n, Unit::One).map_err(ShapeProblemKind::BadNumber)?;
            Ok(Estimate::exact(amount))
        }
        Loose::Text(text) => parse_quantity(text),
        Loose::Nothing | Loose::Truth(_) | Loose::List(_) | Loose::Map(_) => Err(wrong(key)),
    }
}

fn wrong(key: &str) -> ShapeProblemKind {
    ShapeProblemKind::WrongForm { key: key.into() }
}

fn entries(item: &Loose) -> Read<&[(String, Loose)]> {
    match item {
        Loose::Map(entries) => Ok(entries),
        Loose::Nothing | Loose::Truth(_) | Loose::Number(_) | Loose::Text(_) | Loose::List(_) => {
            Err(ShapeProblemKind::NotKeysAndValues)
        }
    }
}

fn list<'a>(key: &str, value: &'a Loose) -> Read<&'a [Loose]> {
    match value {
        Loose::List(items) => Ok(items),
        Loose::Nothing | Loose::Truth(_) | Loose::Number(_) | Loose::Text(_) | Loose::Map(_) => {
            Err(wrong(key))
        }
    }
}

fn text(key: &str, value: &Loose) -> Read<String> {
    match value {
        Loose::Text(text) => Ok(text.clone()),
        Loose::Nothing | Loose::Truth(_) | Loose::Number(_) | Loose::List(_) | Loose::Map(_) => {
            Err(wrong(key))
        }
    }
}

/// One word, or a list of words.
fn words(key: &str, value: &Loose) -> Read<Vec<String>> {
    match value {
        Loose::List(items) => items.iter().map(|item| text(key, item)).collect(),
        Loose::Nothing | Loose::Truth(_) | Loose::Number(_) | Loose::Text(_) | Loose::Map(_) => {
            Ok(vec![text(key, value)?])
        }
    }
}

fn word(entries: &[(String, Loose)], key: &str) -> Read<Option<String>> {
    let found = entries.iter().find(|(k, _)| k == key);
    found.map(|(_, value)| text(key, value)).transpose()
}
