//! The air a ball flies through: density and viscosity from temperature, altitude and humidity.
//!
//! Ideal gas with water vapour, pressure of the standard atmosphere, viscosity by Sutherland's
//! law (published formulae, constants from memory). Takes ranges in which people play golf.
//! Invariants: hotter, higher or damper air is thinner.
//! Does not know: the day's barometer; a storm changes density by some 3 %.

use super::{GeometryError, Input, length_within, within};
use crate::quantity::{Length, Ratio, Temperature};

/// Still air of known density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    density: f64,
    kinematic_viscosity: f64,
}

impl Air {
    /// Air at a temperature (-20 to 50 C), altitude (-500 to 5000 m) and relative humidity (0 to 1).
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`] or [`GeometryError::OutOfRange`].
    ///
    /// ```
    /// use swingwhy::geometry::air::Air;
    /// use swingwhy::quantity::{Length, Ratio, Temperature};
    /// let air = Air::new(Temperature::celsius(15.0), Length::ZERO, Ratio::ZERO)?;
    /// assert!((air.density().as_of_one() - 1.225).abs() < 0.0006);
    /// # Ok::<(), swingwhy::geometry::GeometryError>(())
    /// ```
    pub fn new(
        temperature: Temperature,
        altitude: Length,
        humidity: Ratio,
    ) -> Result<Self, GeometryError> {
        let c = within(Input::Temperature, temperature.base(), -20.0, 50.0)?;
        let high = length_within(Input::Altitude, altitude, -500.0, 5000.0)?.base();
        let damp = within(Input::Humidity, humidity.base(), 0.0, 1.0)?;
        let kelvin = c + 273.15;
        let pressure = 101_325.0 * (1.0 - 2.255_77e-5 * high).powf(5.255_88);
        let vapour = damp * 611.21 * ((18.678 - c / 234.5) * c / (257.14 + c)).exp();
        let density = (pressure - vapour) / (287.058 * kelvin) + vapour / (461.495 * kelvin);
        let viscosity =
            1.716e-5 * (kelvin / 273.15).powf(1.5) * (273.15 + 110.4) / (kelvin + 110.4);
        Ok(Self {
            density,
            kinematic_viscosity: viscosity / density,
        })
    }

    /// Air of a stated density in kilograms per cubic metre (0.5 to 1.6), with the viscosity of 25 C.
    ///
    /// # Errors
    /// [`GeometryError::NotFinite`] or [`GeometryError::OutOfRange`].
    pub fn of_density(density: Ratio) -> Result<Self, GeometryError> {
        let density = within(Input::Value, density.base(), 0.5, 1.6)?;
        Ok(Self {
            density,
            kinematic_viscosity: 1.837e-5 / density,
        })
    }

    /// Kilograms per cubic metre.
    pub const fn density(self) -> Ratio {
        Ratio::of_one(self.density)
    }

    /// Speed times length over viscosity, for a length of the ball's diameter.
    pub(crate) fn reynolds(self, speed: f64, diameter: f64) -> f64 {
        speed * diameter / self.kinematic_viscosity
    }
}
