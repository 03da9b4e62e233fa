//! The reading room.
