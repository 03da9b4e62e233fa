//! The knowledge room.

pub mod rule_shapes;
