//! What can be wrong with a typed quantity, each as one sentence that also says how to mend it.

use crate::text::{number, say};
use core::fmt;

/// What a field asks for, or what a text turned out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Length of a wire or a distance.
    Length,
    /// Electric potential difference.
    Voltage,
    /// Electric current.
    Current,
    /// Electric resistance.
    Resistance,
    /// Electric power.
    Power,
    /// Metric cross-section of a conductor.
    Area,
    /// Temperature.
    Temperature,
    /// Charge a battery holds.
    Charge,
    /// Luminous flux.
    Light,
    /// Conductor size, metric or by gauge number.
    WireSize,
}

impl Kind {
    /// The kind with its article, for a sentence.
    pub fn noun(self) -> &'static str {
        match self {
            Kind::Length => say!("a length"),
            Kind::Voltage => say!("a voltage"),
            Kind::Current => say!("a current"),
            Kind::Resistance => say!("a resistance"),
            Kind::Power => say!("a power"),
            Kind::Area => say!("a cross-section"),
            Kind::Temperature => say!("a temperature"),
            Kind::Charge => say!("a battery capacity"),
            Kind::Light => say!("a light output"),
            Kind::WireSize => say!("a wire size"),
        }
    }

    /// Texts that a field of this kind accepts.
    pub fn examples(self) -> &'static str {
        match self {
            Kind::Length => say!("1500 mm or 1.5 m"),
            Kind::Voltage => say!("12 V or 13.5 V"),
            Kind::Current => say!("5 A or 500 mA"),
            Kind::Resistance => say!("85 Ω or 4.8 mΩ"),
            Kind::Power => say!("21 W or 5 W"),
            Kind::Area => say!("0.75 mm² or 2.5 mm²"),
            Kind::Temperature => say!("20 °C or -10 °C"),
            Kind::Charge => say!("45 Ah or 7.2 Ah"),
            Kind::Light => say!("460 lm or 35 lm"),
            Kind::WireSize => say!("0.75 mm² or 18 AWG"),
        }
    }
}

/// Why a text could not be read. `Display` gives the sentence shown under the field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ParseError {
    /// Nothing but blanks.
    Empty {
        /// What the field asks for.
        wants: Kind,
    },
    /// No number where one was expected.
    NotANumber {
        /// The text as typed, clipped.
        text: String,
        /// What the field asks for.
        wants: Kind,
    },
    /// Both dot and comma, or one of them twice: thousands are grouped, or seem to be.
    Grouped {
        /// The text as typed, clipped.
        text: String,
    },
    /// One dot or comma that may group thousands or mark decimals.
    Ambiguous {
        /// The text as typed, clipped.
        text: String,
        /// The number if the sign groups thousands.
        as_thousands: String,
        /// The number if the sign marks decimals.
        as_decimal: String,
    },
    /// A unit that is not known here.
    UnknownUnit {
        /// The text as typed, clipped.
        text: String,
        /// The part taken for a unit, clipped.
        unit: String,
        /// What the field asks for.
        wants: Kind,
    },
    /// A readable quantity of another kind.
    OtherKind {
        /// The text as typed, clipped.
        text: String,
        /// What it is.
        found: Kind,
        /// What the field asks for.
        wants: Kind,
    },
    /// Below zero where that has no meaning.
    Negative {
        /// The text as typed, clipped.
        text: String,
        /// What the field asks for.
        wants: Kind,
    },
    /// Outside what any small vehicle needs: most likely a slip of the finger or of the unit.
    OutOfRange {
        /// The text as typed, clipped.
        text: String,
        /// The limit it passed, with its unit.
        limit: String,
        /// What the field asks for.
        wants: Kind,
    },
    /// A bare number that names a size in two systems.
    WhichSize {
        /// The text as typed, clipped.
        text: String,
        /// The sizes it could mean.
        choices: Vec<&'static str>,
    },
    /// A wire size that the catalogue does not hold.
    NoSuchSize {
        /// The text as typed, clipped.
        text: String,
        /// The catalogue sizes next to it.
        near: Vec<&'static str>,
    },
}

/// `text` without outer blanks, cut to a length that still fits a sentence.
pub(crate) fn clip(text: &str) -> String {
    const LONGEST: usize = 24;
    let text = text.trim();
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.into(),
    }
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ParseError::Empty { wants } => {
                f.write_str(&say!("This field is empty; enter {}, such as {}.",
                    wants.noun(),
                    wants.examples()
                ))
            }
            ParseError::NotANumber { text, wants } => {
                f.write_str(&say!("‘{text}’ does not read as a number; enter {}, such as {}.",
                    wants.noun(),
                    wants.examples()
                ))
            }
            ParseError::Grouped { text } => {
                f.write_str(&say!("‘{text}’ has more than one dot or comma; write one decimal sign at most, such as 1500 or 1.5."
                ))
            }
            ParseError::Ambiguous {
                text,
                as_thousands,
                as_decimal,
            } => {
                f.write_str(&say!("‘{text}’ can mean {as_thousands} or {as_decimal}; write the one you mean.",
                    as_decimal = number(as_decimal.clone())
                ))
            }
            ParseError::UnknownUnit { text, unit, wants } => {
                f.write_str(&say!("‘{unit}’ in ‘{text}’ is not a unit known here; enter {}, such as {}.",
                    wants.noun(),
                    wants.examples()
                ))
            }
            ParseError::OtherKind { text, found, wants } => {
                f.write_str(&say!("‘{text}’ is {}; this field wants {}, such as {}.",
                    found.noun(),
                    wants.noun(),
                    wants.examples()
                ))
            }
            ParseError::Negative { text, wants } => {
                f.write_str(&say!("‘{text}’ is below zero; enter {} without a minus sign, such as {}.",
                    wants.noun(),
                    wants.examples()
                ))
            }
            ParseError::OutOfRange { text, limit, wants } => {
                f.write_str(&say!("‘{text}’ is beyond {limit}; check the number and its unit, such as {}.",
                    wants.examples()
                ))
            }
            ParseError::WhichSize { text, choices } => {
                f.write_str(&say!("‘{text}’ can mean {}; write the unit too.",
                    number(choices.join(say!(" or ")))
                ))
            }
            ParseError::NoSuchSize { text, near } => {
                f.write_str(&say!("‘{text}’ is not a wire size listed here; the nearest listed: {}.",
                    number(near.join(say!(" and ")))
                ))
            }
        }
    }
}

impl core::error::Error for ParseError {}
