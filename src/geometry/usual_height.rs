//! How high an arc usually bottoms, where nobody knows: from the strike that it gave, or a clean one.
//!
//! Takes an arc with its low point and what counts as which strike; gives the same arc at another
//! height. Invariant: the arc that comes back gives the class that was asked for, or none does.
//! Does not know: how often golfers bottom at which height.

use super::GeometryError;
use super::arc::Arc;
use super::strike::{StrikeClass, StrikeWindow, height_thresholds};
use super::teed::{TeedClass, TeedWindow, teed_thresholds};
use crate::quantity::Length;

/// How far beyond its limit a class without a far end is drawn.
const BEYOND_LIMIT: Length = Length::millimetres(3.0);

/// The arc with its bottom at the middle of the heights that strike clean from its low point; where
/// none does, halfway between heavy and thin. The flag says whether any does.
///
/// # Errors
/// A window out of range.
pub fn at_clean_height(arc: Arc, window: StrikeWindow) -> Result<(Arc, bool), GeometryError> {
    let limits = height_thresholds(arc.low_point(), arc.shape(), window)?;
    let (low, high) = limits
        .clean()
        .unwrap_or((limits.heavy_below, limits.thin_above));
    let middle = low + (high - low) * 0.5;
    Ok((arc.with_height(middle)?, limits.clean().is_some()))
}

/// The arc with its bottom at a usual height of this class of strike: in the middle of the heights
/// that give it, or a little beyond the limit of a class without a far end. `None` where the class
/// cannot come from this low point.
///
/// # Errors
/// A window out of range.
pub fn at_height_of(
    arc: Arc,
    window: StrikeWindow,
    class: StrikeClass,
) -> Result<Option<Arc>, GeometryError> {
    let limits = height_thresholds(arc.low_point(), arc.shape(), window)?;
    let middle = |low: Length, high: Length| low + (high - low) * 0.5;
    let height = match class {
        StrikeClass::Whiff => limits.whiff_above + BEYOND_LIMIT,
        StrikeClass::Topped => middle(limits.topped_above, limits.whiff_above),
        StrikeClass::Thin => middle(limits.thin_above, limits.bladed_above),
        StrikeClass::Clean => middle(limits.heavy_below, limits.thin_above),
        StrikeClass::SlightlyHeavy => middle(limits.fat_below, limits.heavy_below),
        StrikeClass::Fat => limits.fat_below - BEYOND_LIMIT,
    };
    let comes = limits.class(height) == class;
    comes.then(|| arc.with_height(height)).transpose()
}

/// [`at_height_of`] off a tee; a strike that is only slightly heavy is a drop-kick there.
///
/// # Errors
/// A window out of range.
pub fn at_height_of_off_tee(
    arc: Arc,
    window: TeedWindow,
    class: StrikeClass,
) -> Result<Option<Arc>, GeometryError> {
    let limits = teed_thresholds(arc.low_point(), arc.shape(), window)?;
    let middle = |low: Length, high: Length| low + (high - low) * 0.5;
    let (height, class) = match class {
        StrikeClass::Whiff => (limits.whiff_above + BEYOND_LIMIT, TeedClass::Whiff),
        StrikeClass::Topped => (
            middle(limits.topped_above, limits.whiff_above),
            TeedClass::Topped,
        ),
        StrikeClass::Thin => (
            middle(limits.low_above, limits.bladed_above),
            TeedClass::LowFace,
        ),
        StrikeClass::Clean => return Ok(None),
        StrikeClass::SlightlyHeavy => (
            middle(limits.fat_below, limits.drop_kick_below),
            TeedClass::DropKick,
        ),
        StrikeClass::Fat => (limits.fat_below - BEYOND_LIMIT, TeedClass::Fat),
    };
    let comes = limits.class(height) == class;
    comes.then(|| arc.with_height(height)).transpose()
}

/// [`at_clean_height`] off a tee: halfway between a sky and low on the face, without touching the
/// ground first if that can be.
///
/// # Errors
/// A window out of range.
pub fn at_clean_height_off_tee(arc: Arc, window: TeedWindow) -> Result<(Arc, bool), GeometryError> {
    let limits = teed_thresholds(arc.low_point(), arc.shape(), window)?;
    let floor = if limits.drop_kick_below > limits.sky_below {
        limits.drop_kick_below
    } else {
        limits.sky_below
    };
    let middle = floor + (limits.low_above - floor) * 0.5;
    Ok((arc.with_height(middle)?, floor < limits.low_above))
}
