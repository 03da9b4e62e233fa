//! The geometry room.
