//! The knowledge room.
