//! What a block of balls gave: hits out of balls, or one measured number a ball; and what a better
//! block would look like.
//!
//! Takes what golfer, coach or instrument stated and keeps it as said, unit and all, so that the
//! lesson book can show it again. Invariants: hits never exceed balls and there is at least one ball;
//! a figure is finite; the figures of one block share a unit. Whether a difference means anything is
//! the verdict's question.

use serde::{Deserialize, Serialize};

use crate::quantity::{Amount, QuantityError, Unit};

/// Why something is no result of a block.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MeasureError {
    /// More hits than balls, or no balls.
    #[error("{hits} of {balls} balls")]
    Tally {
        /// Hits given.
        hits: u32,
        /// Balls given.
        balls: u32,
    },
    /// A number that is not finite.
    #[error(transparent)]
    Number(#[from] QuantityError),
    /// A unit the program does not know.
    #[error("unknown unit")]
    Unit,
    /// A block without balls.
    #[error("no balls")]
    Empty,
}

/// How many balls of a block did what was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "TallyText")]
pub struct Tally {
    hits: u32,
    balls: u32,
}

#[derive(Deserialize)]
struct TallyText {
    hits: u32,
    balls: u32,
}

impl TryFrom<TallyText> for Tally {
    type Error = MeasureError;

    fn try_from(text: TallyText) -> Result<Self, MeasureError> {
        Self::new(text.hits, text.balls)
    }
}

impl Tally {
    /// So many hits of so many balls.
    ///
    /// # Errors
    /// [`MeasureError::Tally`] with more hits than balls or without balls.
    pub const fn new(hits: u32, balls: u32) -> Result<Self, MeasureError> {
        if balls == 0 || hits > balls {
            Err(MeasureError::Tally { hits, balls })
        } else {
            Ok(Self { hits, balls })
        }
    }

    /// Balls that did what was asked.
    pub const fn hits(self) -> u32 {
        self.hits
    }

    /// Balls hit, at least one.
    pub const fn balls(self) -> u32 {
        self.balls
    }
}

/// A number as somebody said or read it, in the unit they used. Signs are those of the house.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "FigureText", into = "FigureText")]
pub struct Figure {
    value: f64,
    unit: Unit,
}

#[derive(Serialize, Deserialize)]
struct FigureText {
    value: f64,
    unit: String,
}

impl From<Figure> for FigureText {
    fn from(figure: Figure) -> Self {
        Self {
            value: figure.value,
            unit: figure.unit.symbol().to_owned(),
        }
    }
}

impl TryFrom<FigureText> for Figure {
    type Error = MeasureError;

    fn try_from(text: FigureText) -> Result<Self, MeasureError> {
        let unit = Unit::from_symbol(&text.unit).ok_or(MeasureError::Unit)?;
        Self::new(text.value, unit)
    }
}

impl Figure {
    /// A number in a unit.
    ///
    /// # Errors
    /// [`MeasureError::Number`] unless it is finite.
    pub fn new(value: f64, unit: Unit) -> Result<Self, MeasureError> {
        Amount::new(value, unit)?;
        Ok(Self { value, unit })
    }

    /// The number, in [`Figure::unit`].
    pub const fn value(self) -> f64 {
        self.value
    }

    /// The unit it was said in.
    pub const fn unit(self) -> Unit {
        self.unit
    }

    /// The quantity it stands for.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`] never happens for a figure made by [`Figure::new`].
    pub fn amount(self) -> Result<Amount, QuantityError> {
        Amount::new(self.value, self.unit)
    }

    /// The number in another unit of the same dimension.
    pub(super) fn value_in(self, unit: Unit) -> Result<f64, QuantityError> {
        if unit == self.unit {
            Ok(self.value)
        } else {
            self.amount()?.value_in(unit)
        }
    }
}

/// What the balls of one block did.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shots {
    /// Counted: so many of so many.
    #[serde(rename = "tally")]
    Hits(Tally),
    /// Measured: one number a ball, in the order hit.
    Measured(Series),
}

/// Measured numbers of one block in one unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "SeriesText", into = "SeriesText")]
pub struct Series {
    unit: Unit,
    values: Vec<f64>,
}

#[derive(Serialize, Deserialize)]
struct SeriesText {
    unit: String,
    values: Vec<f64>,
}

impl From<Series> for SeriesText {
    fn from(series: Series) -> Self {
        Self {
            unit: series.unit.symbol().to_owned(),
            values: series.values,
        }
    }
}

impl TryFrom<SeriesText> for Series {
    type Error = MeasureError;

    fn try_from(text: SeriesText) -> Result<Self, MeasureError> {
        let unit = Unit::from_symbol(&text.unit).ok_or(MeasureError::Unit)?;
        Self::new(text.values, unit)
    }
}

impl Series {
    /// One number a ball, in the order hit.
    ///
    /// # Errors
    /// [`MeasureError::Empty`] without numbers, [`MeasureError::Number`] with one that is not finite.
    pub fn new(values: Vec<f64>, unit: Unit) -> Result<Self, MeasureError> {
        if values.is_empty() {
            return Err(MeasureError::Empty);
        }
        for &value in &values {
            Amount::new(value, unit)?;
        }
        Ok(Self { unit, values })
    }

    /// The unit of all of them.
    pub const fn unit(&self) -> Unit {
        self.unit
    }

    /// The numbers, in [`Series::unit`], in the order hit.
    pub fn figures(&self) -> impl Iterator<Item = Figure> + '_ {
        self.values.iter().map(|&value| Figure {
            value,
            unit: self.unit,
        })
    }

    /// Balls measured, at least one.
    pub const fn balls(&self) -> usize {
        self.values.len()
    }
}

/// Which way a measured number gets better.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Better {
    /// The larger, with its sign, the better.
    Higher,
    /// The smaller, with its sign, the better.
    Lower,
    /// The nearer to this the better; a miss to either side counts by its distance.
    CloserTo(Figure),
}

/// The least that would be worth having: what the prescription aims for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// At least this share of hits.
    Hits(Tally),
    /// A mean that is better by at least this much, a figure above zero.
    Measured {
        /// Which way is better.
        better: Better,
        /// The change aimed for.
        change: Figure,
    },
}

/// When a block was hit, whether somebody counted, and what it gave.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Block {
    /// Ball by ball, or from memory.
    pub taken: Taken,
    /// The result.
    #[serde(flatten)]
    pub shots: Shots,
}

/// How a result came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Taken {
    /// Balls hit for the purpose and counted or measured one by one.
    Counted,
    /// Recalled from a round or an earlier session. Good for talking, no baseline: golfers come after
    /// a bad day, and a bad day is followed by a better one whatever they practise.
    Recalled,
}
