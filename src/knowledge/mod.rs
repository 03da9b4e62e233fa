//! The knowledge room.
pub mod lexicon;
