//! The rules room.
