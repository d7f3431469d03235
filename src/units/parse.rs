//! Reads quantities as people write them: `1,5`, `1500 mm`, `5 ft 6 in`, `21W`, `4.8 mΩ`, `#18`.
//!
//! One function per quantity. A number without a unit takes the unit of its field. Capital and small
//! letters are the same except in `MΩ` and `mΩ`. A comma before exactly three digits (`1,500`) is
//! refused, and so is a dot there when the unit is the millimetre, which nobody divides by a
//! thousand; elsewhere the dot marks decimals, as on a meter's display (`12.456 V`).

mod error;
mod number;
mod unit;

pub(crate) use error::clip;
pub use error::{Kind, ParseError};

use super::{
    AmpHours, Amps, Celsius, Lumens, Millimetres, Milliohms, Ohms, SquareMillimetres, Volts, Watts,
};
use number::{Fault, Number};
use unit::{FOOT_MM, INCH_MM};

/// What one field accepts.
struct Field {
    wants: Kind,
    /// How many of the field's own units a base unit of the table has: 1000 for milliohms, else 1.
    finer: f64,
    /// Multiplies a number without a unit, to give the field's own units.
    bare: f64,
    /// Smallest and largest accepted value in the field's own units.
    low: f64,
    high: f64,
    /// The field's own unit, printed after a limit.
    own: &'static str,
}

impl Field {
    fn number<'a>(&self, text: &'a str) -> Result<Number<'a>, ParseError> {
        let wants = self.wants;
        if text.trim().is_empty() {
            return Err(ParseError::Empty { wants });
        }
        number::leading(text).map_err(|fault| match fault {
            Fault::NoDigits => ParseError::NotANumber {
                text: clip(text),
                wants,
            },
            Fault::Grouped => ParseError::Grouped { text: clip(text) },
        })
    }

    /// The value of `text` in the field's own units.
    fn read(&self, text: &str) -> Result<f64, ParseError> {
        let number = self.number(text)?;
        let (scale, offset) = if number.rest.is_empty() {
            (self.bare, 0.0)
        } else {
            let unit = self.unit(text, number.rest)?;
            (unit.scale * self.finer, unit.offset)
        };
        if let Some(doubt) = number.doubt {
            let in_millimetres = self.wants == Kind::Length && scale == 1.0;
            if doubt.sign == ',' || in_millimetres {
                return Err(ParseError::Ambiguous {
                    text: clip(text),
                    as_thousands: doubt.as_thousands,
                    as_decimal: doubt.as_decimal,
                });
            }
        }
        let signed = if number.negative {
            -number.size
        } else {
            number.size
        };
        self.within(text, tidy((signed + offset) * scale))
    }

    fn unit(&self, text: &str, rest: &str) -> Result<&'static unit::Unit, ParseError> {
        let wants = self.wants;
        let unit = unit::find(rest).ok_or_else(|| ParseError::UnknownUnit {
            text: clip(text),
            unit: clip(rest),
            wants,
        })?;
        if unit.kind == wants {
            Ok(unit)
        } else {
            Err(ParseError::OtherKind {
                text: clip(text),
                found: unit.kind,
                wants,
            })
        }
    }

    fn within(&self, text: &str, value: f64) -> Result<f64, ParseError> {
        let (wants, own) = (self.wants, self.own);
        if value < 0.0 && self.low == 0.0 {
            return Err(ParseError::Negative {
                text: clip(text),
                wants,
            });
        }
        let limit = if value > self.high {
            self.high
        } else {
            self.low
        };
        if value > self.high || value < self.low {
            return Err(ParseError::OutOfRange {
                text: clip(text),
                limit: format!("{limit} {own}"),
                wants,
            });
        }
        Ok(value)
    }
}

/// `value` to twelve significant digits, which clears the rounding dirt of a unit (`4.9 mA`) from saved files.
fn tidy(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

const fn field(wants: Kind, bare: f64, low: f64, high: f64, own: &'static str) -> Field {
    Field {
        wants,
        finer: 1.0,
        bare,
        low,
        high,
        own,
    }
}

/// The unit of a length field whose text names none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetre.
    Millimetre,
    /// Metre.
    Metre,
    /// Inch, 25.4 mm.
    Inch,
    /// Foot, 304.8 mm.
    Foot,
}

impl LengthUnit {
    /// How many millimetres one unit has.
    pub const fn millimetres(self) -> f64 {
        match self {
            LengthUnit::Millimetre => 1.0,
            LengthUnit::Metre => 1000.0,
            LengthUnit::Inch => INCH_MM,
            LengthUnit::Foot => FOOT_MM,
        }
    }
}

/// A length from 0 to 1 km: mm, cm, m, in, ft and feet with inches (`5 ft 6 in`, `5' 6 1/2"`).
pub fn length(text: &str, default: LengthUnit) -> Result<Millimetres, ParseError> {
    let field = field(Kind::Length, default.millimetres(), 0.0, 1e6, "mm");
    if let Some((feet, inches)) = feet_and_inches(text) {
        let feet = field.read(feet)?;
        let inches = self::field(Kind::Length, INCH_MM, 0.0, 1e6, "mm").read(inches)?;
        return field.within(text, tidy(feet + inches)).map(Millimetres::of);
    }
    field.read(text).map(Millimetres::of)
}

/// Splits `5 ft 6 in` after the foot sign; `None` for a text without inches after feet.
fn feet_and_inches(text: &str) -> Option<(&str, &str)> {
    let rest = number::leading(text).ok()?.rest;
    let digit = rest.find(|c: char| c.is_ascii_digit())?;
    let foot = unit::find(&rest[..digit]).filter(|unit| unit.kind == Kind::Length)?;
    // `rest` is the end of the text but for trailing blanks.
    let split = text.trim_end().len() - (rest.len() - digit);
    (foot.scale == LengthUnit::Foot.millimetres()).then(|| (&text[..split], &text[split..]))
}

/// A voltage from 0 to 1000 V.
pub fn volts(text: &str) -> Result<Volts, ParseError> {
    field(Kind::Voltage, 1.0, 0.0, 1000.0, "V")
        .read(text)
        .map(Volts::of)
}

/// A meter reading from −1000 to 1000 V.
pub fn signed_volts(text: &str) -> Result<Volts, ParseError> {
    field(Kind::Voltage, 1.0, -1000.0, 1000.0, "V")
        .read(text)
        .map(Volts::of)
}

/// A current from 0 to 10 000 A.
pub fn amps(text: &str) -> Result<Amps, ParseError> {
    field(Kind::Current, 1.0, 0.0, 1e4, "A")
        .read(text)
        .map(Amps::of)
}

/// A meter reading from −10 000 to 10 000 A.
pub fn signed_amps(text: &str) -> Result<Amps, ParseError> {
    field(Kind::Current, 1.0, -1e4, 1e4, "A")
        .read(text)
        .map(Amps::of)
}

/// A resistance from 0 to 1 GΩ; a bare number counts ohms.
pub fn ohms(text: &str) -> Result<Ohms, ParseError> {
    field(Kind::Resistance, 1.0, 0.0, 1e9, "Ω")
        .read(text)
        .map(Ohms::of)
}

/// A resistance from 0 to 1 GΩ in milliohms; a bare number counts milliohms.
pub fn milliohms(text: &str) -> Result<Milliohms, ParseError> {
    Field {
        finer: 1000.0,
        ..field(Kind::Resistance, 1.0, 0.0, 1e12, "mΩ")
    }
    .read(text)
    .map(Milliohms::of)
}

/// A power from 0 to 100 kW.
pub fn watts(text: &str) -> Result<Watts, ParseError> {
    field(Kind::Power, 1.0, 0.0, 1e5, "W")
        .read(text)
        .map(Watts::of)
}

/// A metric cross-section from 0 to 1000 mm².
pub fn area(text: &str) -> Result<SquareMillimetres, ParseError> {
    field(Kind::Area, 1.0, 0.0, 1000.0, "mm²")
        .read(text)
        .map(SquareMillimetres::of)
}

/// A temperature from −100 to 400 °C; °F is converted, a bare number counts degrees Celsius.
pub fn celsius(text: &str) -> Result<Celsius, ParseError> {
    field(Kind::Temperature, 1.0, -100.0, 400.0, "°C")
        .read(text)
        .map(Celsius::of)
}

/// A battery capacity from 0 to 10 000 Ah.
pub fn amp_hours(text: &str) -> Result<AmpHours, ParseError> {
    field(Kind::Charge, 1.0, 0.0, 1e4, "Ah")
        .read(text)
        .map(AmpHours::of)
}

/// A luminous flux from 0 to 1 000 000 lm.
pub fn lumens(text: &str) -> Result<Lumens, ParseError> {
    field(Kind::Light, 1.0, 0.0, 1e6, "lm")
        .read(text)
        .map(Lumens::of)
}

/// A conductor size as written, not yet looked up in a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WireSize {
    /// A metric cross-section.
    Area(SquareMillimetres),
    /// A gauge number; 1/0, 2/0, 3/0 and 4/0 count as 0, −1, −2 and −3.
    Gauge {
        /// The number, −3 to 40.
        number: i8,
        /// Whether SAE was written; plain gauge numbers are AWG.
        sae: bool,
    },
    /// A number without a unit, in the unit it was written: the table must decide or ask.
    Bare(SquareMillimetres),
}

/// A conductor size: `0,75 mm²`, `18 AWG`, `AWG 18`, `#18`, `18 ga`, `18 SAE`, `2/0`, or a bare number.
pub fn wire_size(text: &str) -> Result<WireSize, ParseError> {
    let field = field(Kind::WireSize, 1.0, 0.0, 1000.0, "mm²");
    let lower = text.trim().to_lowercase();
    let word = ["awg", "sae", "gauge", "ga.", "ga", "no.", "#"]
        .iter()
        .find_map(|word| {
            lower
                .strip_prefix(word)
                .or_else(|| lower.strip_suffix(word))
                .map(|number| (*word, number.trim()))
        });
    if let Some((word, number)) = word {
        let number = gauge_number(number).ok_or_else(|| ParseError::NotANumber {
            text: clip(text),
            wants: Kind::WireSize,
        })?;
        return Ok(WireSize::Gauge {
            number,
            sae: word == "sae",
        });
    }
    // Aught sizes are gauge numbers even without the word; plain digits are not.
    if (lower.ends_with("/0") || lower.starts_with("00"))
        && let Some(number) = gauge_number(&lower)
    {
        return Ok(WireSize::Gauge { number, sae: false });
    }
    if field.number(text)?.rest.is_empty() {
        return field
            .read(text)
            .map(|number| WireSize::Bare(SquareMillimetres::of(number)));
    }
    area(text).map(WireSize::Area).map_err(|error| match error {
        ParseError::OtherKind { text, found, .. } => ParseError::OtherKind {
            text,
            found,
            wants: Kind::WireSize,
        },
        ParseError::UnknownUnit { text, unit, .. } => ParseError::UnknownUnit {
            text,
            unit,
            wants: Kind::WireSize,
        },
        other => other,
    })
}

fn gauge_number(text: &str) -> Option<i8> {
    match text {
        "0" | "1/0" => Some(0),
        "00" | "2/0" => Some(-1),
        "000" | "3/0" => Some(-2),
        "0000" | "4/0" => Some(-3),
        _ if text.starts_with(|c: char| c.is_ascii_digit()) => {
            text.parse().ok().filter(|n| (1..=40).contains(n))
        }
        _ => None,
    }
}

// The property tests need a crate that is not built for wasm.
#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
