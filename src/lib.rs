//! Swingwhy reasons from a golfer's words to what the club did at the bottom of its arc, and from
//! there to what most likely caused it.

mod beside;
pub mod quantity;
pub mod vocabulary;

pub mod geometry;

pub mod causes;
pub mod rules;

pub mod knowledge;

pub mod diagnosis;
pub mod shots;

pub mod explanation;
pub mod lesson;
pub mod reading;

pub mod learning;

pub mod conversation;
pub mod trial;
pub mod wording;

pub mod sitting;

pub mod cli;
pub mod pasted;
pub mod terminal;
pub mod transcript;
