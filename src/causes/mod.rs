//! The causes room: the graph of causes and the simulated golfers.

pub mod model;
