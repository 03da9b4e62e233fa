//! Does a key stand twice in one place of a YAML text?
//!
//! A struct refuses that by itself; a map keeps the last value and is silent about the first. Takes a
//! text that can be read; gives the reader's fault for the first key that stands twice. Knows no entry.

use std::collections::BTreeSet;
use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};

use super::yaml_text::{Fault, from_yaml};

/// The words with which the reader names a key that stands twice.
pub(super) const TWICE: &str = "duplicate field ";

/// The fault of a text in which a key stands twice.
pub(super) fn twice(text: &str) -> Option<Fault> {
    let fault = from_yaml::<Once>(text).err()?;
    fault.message.contains(TWICE).then_some(fault)
}

/// A value in which every key stands once.
struct Once;

/// A key, as text.
struct Key(String);

impl<'de> Deserialize<'de> for Once {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(OnceVisitor)
    }
}

impl<'de> Deserialize<'de> for Key {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(KeyVisitor)
    }
}

struct OnceVisitor;
struct KeyVisitor;

impl<'de> Visitor<'de> for OnceVisitor {
    type Value = Once;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_unit<E>(self) -> Result<Once, E> {
        Ok(Once)
    }

    fn visit_bool<E>(self, _: bool) -> Result<Once, E> {
        Ok(Once)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Once, E> {
        Ok(Once)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Once, E> {
        Ok(Once)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Once, E> {
        Ok(Once)
    }

    fn visit_str<E>(self, _: &str) -> Result<Once, E> {
        Ok(Once)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Once, A::Error> {
        while list.next_element::<Once>()?.is_some() {}
        Ok(Once)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Once, A::Error> {
        let mut keys = BTreeSet::new();
        while let Some(Key(key)) = map.next_key()? {
            if keys.contains(&key) {
                map.next_value::<IgnoredAny>()?;
                return Err(A::Error::custom(format!("{TWICE}`{key}`")));
            }
            keys.insert(key);
            map.next_value::<Once>()?;
        }
        Ok(Once)
    }
}

impl Visitor<'_> for KeyVisitor {
    type Value = Key;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a key")
    }

    fn visit_unit<E>(self) -> Result<Key, E> {
        Ok(Key("null".to_owned()))
    }

    fn visit_bool<E>(self, truth: bool) -> Result<Key, E> {
        Ok(Key(truth.to_string()))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Key, E> {
        Ok(Key(number.to_string()))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Key, E> {
        Ok(Key(number.to_string()))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Key, E> {
        Ok(Key(number.to_string()))
    }

    fn visit_str<E>(self, text: &str) -> Result<Key, E> {
        Ok(Key(text.to_owned()))
    }
}
