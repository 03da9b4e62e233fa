//! The causes room.
