//! Quantity types: one per physical dimension, each a finite `f64` in its named unit.
//!
//! A value that is not finite is refused at construction, so everything behind a quantity may
//! compare, order and hash it (`Eq`, `Ord`). Raw `f64` appears only inside the numeric kernel.
//! Text in the forms people write (`1,5`, `1500 mm`, `21W`) is read by [`parse`].

use crate::text::number;
use core::cmp::Ordering;
use core::fmt;
use serde::{Deserialize, Serialize};

pub mod order;
pub mod parse;

/// A number that is infinite or not a number was offered as a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotFinite;

impl fmt::Display for NotFinite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a finite number")
    }
}

impl core::error::Error for NotFinite {}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, Default, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// Zero of this quantity.
            pub const ZERO: Self = Self(0.0);
            /// The unit as printed after a number.
            pub const UNIT: &'static str = $unit;

            /// A quantity of `value` units; refuses infinities and NaN.
            pub const fn new(value: f64) -> Result<Self, NotFinite> {
                if value.is_finite() {
                    // Adding zero turns −0 into +0, so equal quantities are equal bits.
                    Ok(Self(value + 0.0))
                } else {
                    Err(NotFinite)
                }
            }

            /// A quantity for a literal or a value known to be finite; anything else becomes zero.
            pub const fn of(value: f64) -> Self {
                match Self::new(value) {
                    Ok(quantity) => quantity,
                    Err(NotFinite) => Self::ZERO,
                }
            }

            /// The number of units.
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.0.total_cmp(&other.0) == Ordering::Equal
            }
        }
        impl Eq for $name {}
        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
                Some(self.cmp(other))
            }
        }
        impl Ord for $name {
            fn cmp(&self, other: &Self) -> Ordering {
                self.0.total_cmp(&other.0)
            }
        }
        impl core::hash::Hash for $name {
            fn hash<H: core::hash::Hasher>(&self, state: &mut H) {
                self.0.to_bits().hash(state);
            }
        }
        impl TryFrom<f64> for $name {
            type Error = NotFinite;
            fn try_from(value: f64) -> Result<Self, NotFinite> {
                Self::new(value)
            }
        }
        impl From<$name> for f64 {
            fn from(quantity: $name) -> f64 {
                quantity.0
            }
        }
        impl fmt::Display for $name {
            /// Three significant digits and the unit, e.g. `12.1 V`.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&significant(self.0))?;
                if $unit.is_empty() { Ok(()) } else { write!(f, " {}", $unit) }
            }
        }
    };
}

quantity!(
    /// Electric potential difference in volts.
    Volts, "V"
);
quantity!(
    /// Electric current in amperes.
    Amps, "A"
);
quantity!(
    /// Resistance in ohms.
    Ohms, "Ω"
);
quantity!(
    /// Resistance in milliohms: contacts, fuses, grounds, batteries.
    Milliohms, "mΩ"
);
quantity!(
    /// Power in watts.
    Watts, "W"
);
quantity!(
    /// Length in millimetres.
    Millimetres, "mm"
);
quantity!(
    /// Cross-section in square millimetres.
    SquareMillimetres, "mm²"
);
quantity!(
    /// Temperature in degrees Celsius.
    Celsius, "°C"
);
quantity!(
    /// Charge in ampere-hours.
    AmpHours, "Ah"
);
quantity!(
    /// Luminous flux in lumens.
    Lumens, "lm"
);

quantity!(
    /// A dimensionless ratio, such as light as a share of rated light.
    Share, ""
);

impl Milliohms {
    /// The same resistance in ohms.
    pub const fn ohms(self) -> f64 {
        self.0 / 1000.0
    }
}

/// `value` with three significant digits and no exponent, trailing zeros kept off, with the decimal mark chosen, for
/// people. What a machine reads takes [`plain`].
///
/// Whole numbers of four and more digits are shown in full.
pub fn significant(value: f64) -> String {
    number(plain(value))
}

/// As [`significant`], always with a decimal point.
pub fn plain(value: f64) -> String {
    let size = value.abs();
    let decimals = if size >= 100.0 || size == 0.0 {
        0
    } else if size >= 10.0 {
        1
    } else if size >= 1.0 {
        2
    } else if size >= 0.1 {
        3
    } else if size >= 1e-3 {
        4
    } else if size >= 5e-7 {
        6
    } else {
        return "0".into();
    };
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_finite_numbers_become_quantities() {
        assert_eq!(Volts::new(f64::NAN), Err(NotFinite));
        assert_eq!(Amps::new(f64::INFINITY), Err(NotFinite));
        assert!(serde_json::from_str::<Volts>("1e999").is_err());
        assert_eq!(Volts::new(-0.0), Ok(Volts::ZERO));
        assert_eq!(
            serde_json::from_str::<Volts>("12.5").ok(),
            Volts::new(12.5).ok()
        );
    }

    #[test]
    fn quantities_print_three_digits_and_their_unit() {
        assert_eq!(Volts::of(12.096).to_string(), "12.1 V");
        assert_eq!(Amps::of(0.4894).to_string(), "0.489 A");
        assert_eq!(Milliohms::of(4.8).to_string(), "4.8 mΩ");
        assert_eq!(Millimetres::of(1500.0).to_string(), "1500 mm");
        assert_eq!(Amps::of(0.0).to_string(), "0 A");
    }
}
