//! The wording room.
