//! The explanation room.
