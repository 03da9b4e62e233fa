//! The conversation room.
