//! What number was meant: lengths, angles, speeds and the rest, each with its unit and its error.
//!
//! Takes trade units (inches, degrees, yards, mph) at the edge and keeps one unit inside: metres,
//! radians, metres per second, seconds, radians per second, plain ratios. Nothing here knows golf
//! beyond the sign words of the house: low point + is on the target side of the ball, attack + is
//! up, directions + are to the push side, strike + is toe or high, turf entry is a distance behind
//! the ball.
//!
//! Invariant: every value made here is finite. No other module turns degrees into radians.
//! Start reading at [`Length`] for the shape of a typed quantity and at [`Estimate`] for a number
//! with an error.

use std::fmt;

/// Why a number is no quantity.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// The number is not finite.
    #[error("not a finite number: {0}")]
    NotFinite(f64),
    /// Two dimensions were mixed.
    #[error("{got:?} where {wanted:?} is needed")]
    Dimension {
        /// What was given.
        got: Dimension,
        /// What the place needs.
        wanted: Dimension,
    },
    /// A spread below zero.
    #[error("negative error: {0}")]
    NegativeError(f64),
}

/// What kind of thing a number measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Metres inside.
    Length,
    /// Radians inside.
    Angle,
    /// Metres per second inside.
    Speed,
    /// Radians per second inside.
    Spin,
    /// Seconds inside.
    Time,
    /// A plain number; percentages are hundredths.
    Ratio,
    /// Degrees Celsius, inside and outside.
    Temperature,
}

/// A unit a golfer, a coach or an instrument uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// 25.4 mm.
    Inch,
    /// 10 mm.
    Centimetre,
    /// A thousandth of a metre.
    Millimetre,
    /// The metre.
    Metre,
    /// 0.9144 m.
    Yard,
    /// 12 in.
    Foot,
    /// A finger's width, taken as 20 mm (common practice).
    Finger,
    /// A ball's width, 42.67 mm (Equipment Rules: least diameter).
    BallWidth,
    /// A hand's width, taken as 90 mm (common practice).
    Hand,
    /// The degree.
    Degree,
    /// The radian.
    Radian,
    /// 0.44704 m/s.
    MilePerHour,
    /// Kilometres per hour.
    KilometrePerHour,
    /// Metres per second.
    MetrePerSecond,
    /// Turns per minute.
    Rpm,
    /// Seconds.
    Second,
    /// Thousandths of a second.
    Millisecond,
    /// A plain number.
    One,
    /// Hundredths.
    Percent,
    /// Degrees Celsius.
    Celsius,
}

const TAU: f64 = std::f64::consts::TAU;

impl Unit {
    /// Every unit, in a fixed order.
    pub const ALL: [Self; 20] = [
        Self::Inch,
        Self::Centimetre,
        Self::Millimetre,
        Self::Metre,
        Self::Yard,
        Self::Foot,
        Self::Finger,
        Self::BallWidth,
        Self::Hand,
        Self::Degree,
        Self::Radian,
        Self::MilePerHour,
        Self::KilometrePerHour,
        Self::MetrePerSecond,
        Self::Rpm,
        Self::Second,
        Self::Millisecond,
        Self::One,
        Self::Percent,
        Self::Celsius,
    ];

    /// What the unit measures.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Inch
            | Self::Centimetre
            | Self::Millimetre
            | Self::Metre
            | Self::Yard
            | Self::Foot
            | Self::Finger
            | Self::BallWidth
            | Self::Hand => Dimension::Length,
            Self::Degree | Self::Radian => Dimension::Angle,
            Self::MilePerHour | Self::KilometrePerHour | Self::MetrePerSecond => Dimension::Speed,
            Self::Rpm => Dimension::Spin,
            Self::Second | Self::Millisecond => Dimension::Time,
            Self::One | Self::Percent => Dimension::Ratio,
            Self::Celsius => Dimension::Temperature,
        }
    }

    /// How many inside units one of these is.
    pub const fn scale(self) -> f64 {
        match self {
            Self::Inch => 0.0254,
            Self::Centimetre | Self::Percent => 0.01,
            Self::Millimetre | Self::Millisecond => 0.001,
            Self::Metre
            | Self::Radian
            | Self::MetrePerSecond
            | Self::Second
            | Self::One
            | Self::Celsius => 1.0,
            Self::Yard => 0.9144,
            Self::Foot => 0.3048,
            Self::Finger => 0.020,
            Self::BallWidth => 0.042_67,
            Self::Hand => 0.090,
            Self::Degree => TAU / 360.0,
            Self::MilePerHour => 0.447_04,
            Self::KilometrePerHour => 1.0 / 3.6,
            Self::Rpm => TAU / 60.0,
        }
    }

    /// The symbol used in knowledge files and JSON.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
            Self::Metre => "m",
            Self::Yard => "yd",
            Self::Foot => "ft",
            Self::Finger => "finger",
            Self::BallWidth => "ball",
            Self::Hand => "hand",
            Self::Degree => "deg",
            Self::Radian => "rad",
            Self::MilePerHour => "mph",
            Self::KilometrePerHour => "km/h",
            Self::MetrePerSecond => "m/s",
            Self::Rpm => "rpm",
            Self::Second => "s",
            Self::Millisecond => "ms",
            Self::One => "",
            Self::Percent => "%",
            Self::Celsius => "C",
        }
    }

    /// The unit with this symbol.
    pub fn from_symbol(symbol: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|u| u.symbol() == symbol)
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

macro_rules! typed {
    ($(#[$doc:meta])* $name:ident, $dimension:expr, $( $(#[$cdoc:meta])* $make:ident / $read:ident = $unit:expr ),+ $(,)?) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            $(
                $(#[$cdoc])*
                pub const fn $make(value: f64) -> Self {
                    Self(value * $unit.scale())
                }

                /// The value in the unit of the constructor of the same name.
                pub const fn $read(self) -> f64 {
                    self.0 / $unit.scale()
                }
            )+

            /// The value in the unit used inside.
            pub const fn base(self) -> f64 {
                self.0
            }

            /// A value given in the unit used inside.
            pub const fn from_base(value: f64) -> Self {
                Self(value)
            }

            /// The size without the sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// True unless the number inside is infinite or not a number.
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl From<$name> for Amount {
            fn from(value: $name) -> Self {
                Self { base: value.0, dimension: $dimension }
            }
        }

        impl TryFrom<Amount> for $name {
            type Error = QuantityError;
            fn try_from(amount: Amount) -> Result<Self, QuantityError> {
                if amount.dimension == $dimension {
                    Ok(Self(amount.base))
                } else {
                    Err(QuantityError::Dimension { got: amount.dimension, wanted: $dimension })
                }
            }
        }
    };
}

typed!(
    /// A length, distance or height; metres inside.
    Length, Dimension::Length,
    /// From inches.
    inches / as_inches = Unit::Inch,
    /// From millimetres.
    millimetres / as_millimetres = Unit::Millimetre,
    /// From centimetres.
    centimetres / as_centimetres = Unit::Centimetre,
    /// From metres.
    metres / as_metres = Unit::Metre,
    /// From yards.
    yards / as_yards = Unit::Yard,
);
typed!(
    /// An angle; radians inside.
    Angle, Dimension::Angle,
    /// From degrees.
    degrees / as_degrees = Unit::Degree,
    /// From radians.
    radians / as_radians = Unit::Radian,
);
typed!(
    /// A speed; metres per second inside.
    Speed, Dimension::Speed,
    /// From miles per hour.
    mph / as_mph = Unit::MilePerHour,
    /// From metres per second.
    metres_per_second / as_metres_per_second = Unit::MetrePerSecond,
);
typed!(
    /// A rate of turning; radians per second inside.
    Spin, Dimension::Spin,
    /// From turns per minute.
    rpm / as_rpm = Unit::Rpm,
);
typed!(
    /// A duration; seconds inside.
    Time, Dimension::Time,
    /// From seconds.
    seconds / as_seconds = Unit::Second,
);
typed!(
    /// A temperature; degrees Celsius inside.
    Temperature, Dimension::Temperature,
    /// From degrees Celsius.
    celsius / as_celsius = Unit::Celsius,
);
typed!(
    /// A plain number; hundredths for percentages.
    Ratio, Dimension::Ratio,
    /// From a plain number.
    of_one / as_of_one = Unit::One,
    /// From hundredths.
    percent / as_percent = Unit::Percent,
);

impl Angle {
    /// Sine.
    pub fn sin(self) -> f64 {
        self.0.sin()
    }

    /// Cosine.
    pub fn cos(self) -> f64 {
        self.0.cos()
    }

    /// Tangent.
    pub fn tan(self) -> f64 {
        self.0.tan()
    }
}

/// A finite number of some dimension, kept in the inside unit.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Amount {
    base: f64,
    dimension: Dimension,
}

impl Amount {
    /// A number in a unit.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`] for infinities and not-a-number.
    pub fn new(value: f64, unit: Unit) -> Result<Self, QuantityError> {
        Self::from_base(value * unit.scale(), unit.dimension())
    }

    /// A number already in the inside unit.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`] for infinities and not-a-number.
    pub fn from_base(base: f64, dimension: Dimension) -> Result<Self, QuantityError> {
        if base.is_finite() {
            Ok(Self { base, dimension })
        } else {
            Err(QuantityError::NotFinite(base))
        }
    }

    /// The number in the inside unit.
    pub const fn base(self) -> f64 {
        self.base
    }

    /// What it measures.
    pub const fn dimension(self) -> Dimension {
        self.dimension
    }

    /// The number in a unit.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] if the unit measures something else.
    pub fn value_in(self, unit: Unit) -> Result<f64, QuantityError> {
        if unit.dimension() == self.dimension {
            Ok(self.base / unit.scale())
        } else {
            Err(QuantityError::Dimension {
                got: unit.dimension(),
                wanted: self.dimension,
            })
        }
    }
}

/// A number with an error: mean and one standard deviation, in the inside unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    mean: f64,
    sd: f64,
    dimension: Dimension,
}

impl Estimate {
    /// A mean and a standard deviation in a unit.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`] or [`QuantityError::NegativeError`].
    ///
    /// ```
    /// use swingwhy::quantity::{Estimate, Unit};
    /// let attack = Estimate::new(-4.0, 0.5, Unit::Degree)?;
    /// assert!((attack.low().value_in(Unit::Degree)? - -4.98).abs() < 1e-9);
    /// # Ok::<(), swingwhy::quantity::QuantityError>(())
    /// ```
    pub fn new(mean: f64, sd: f64, unit: Unit) -> Result<Self, QuantityError> {
        Self::from_base(mean * unit.scale(), sd * unit.scale(), unit.dimension())
    }

    /// A mean and a standard deviation in the inside unit.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`] or [`QuantityError::NegativeError`].
    pub fn from_base(mean: f64, sd: f64, dimension: Dimension) -> Result<Self, QuantityError> {
        if !mean.is_finite() {
            return Err(QuantityError::NotFinite(mean));
        }
        if !sd.is_finite() {
            return Err(QuantityError::NotFinite(sd));
        }
        if sd < 0.0 {
            return Err(QuantityError::NegativeError(sd));
        }
        Ok(Self {
            mean,
            sd,
            dimension,
        })
    }

    /// A number without error.
    pub const fn exact(amount: Amount) -> Self {
        Self {
            mean: amount.base,
            sd: 0.0,
            dimension: amount.dimension,
        }
    }

    /// The mean in the inside unit.
    pub const fn mean(self) -> f64 {
        self.mean
    }

    /// The standard deviation in the inside unit.
    pub const fn sd(self) -> f64 {
        self.sd
    }

    /// What it measures.
    pub const fn dimension(self) -> Dimension {
        self.dimension
    }

    /// The middle value.
    pub const fn middle(self) -> Amount {
        Amount {
            base: self.mean,
            dimension: self.dimension,
        }
    }

    /// 1.96 standard deviations below the mean: the low end of a 95 % range.
    pub const fn low(self) -> Amount {
        Amount {
            base: self.mean - 1.96 * self.sd,
            dimension: self.dimension,
        }
    }

    /// 1.96 standard deviations above the mean: the high end of a 95 % range.
    pub const fn high(self) -> Amount {
        Amount {
            base: self.mean + 1.96 * self.sd,
            dimension: self.dimension,
        }
    }

    /// Two independent estimates of one number made into one, weighted by their precision. An
    /// exact number wins over one with an error; of two exact ones the first is kept.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] if they measure different things.
    pub fn pooled(self, other: Self) -> Result<Self, QuantityError> {
        if self.dimension != other.dimension {
            return Err(QuantityError::Dimension {
                got: other.dimension,
                wanted: self.dimension,
            });
        }
        if self.sd <= 0.0 {
            return Ok(self);
        }
        if other.sd <= 0.0 {
            return Ok(other);
        }
        let (a, b) = (self.sd.powi(-2), other.sd.powi(-2));
        Self::from_base(
            (self.mean * a + other.mean * b) / (a + b),
            (a + b).sqrt().recip(),
            self.dimension,
        )
    }
}
