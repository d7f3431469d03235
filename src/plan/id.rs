//! Typed identifiers of a plan and the written forms `part:terminal` and `part.circuit`.
//!
//! An identifier is a short word without white space, `:` or `.`; a part's identifier doubles as its
//! reference designation (`F1`, `E3`). Anything else is refused when a file is read.

use crate::text::say;
use core::fmt;
use core::str::FromStr;
use serde::{Deserialize, Serialize};

/// Longest identifier accepted, in characters.
pub const MAX_ID: usize = 40;

/// A word cannot serve as an identifier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadId(pub String);

impl fmt::Display for BadId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!(
            "{:?} is no identifier: use 1 to {MAX_ID} letters, digits, hyphens or underscores",
            self.0
        ))
    }
}

impl core::error::Error for BadId {}

fn checked(text: &str) -> Result<String, BadId> {
    let fits = (1..=MAX_ID).contains(&text.chars().count());
    if fits
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || c == '-' || c == '_')
    {
        Ok(text.into())
    } else {
        Err(BadId(text.chars().take(60).collect()))
    }
}

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(String);

        impl $name {
            /// The identifier as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }
        impl FromStr for $name {
            type Err = BadId;
            fn from_str(text: &str) -> Result<Self, BadId> {
                checked(text).map(Self)
            }
        }
        impl TryFrom<String> for $name {
            type Error = BadId;
            fn try_from(text: String) -> Result<Self, BadId> {
                text.parse()
            }
        }
        impl From<$name> for String {
            fn from(id: $name) -> String {
                id.0
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id!(
    /// Identifies a part and is its reference designation.
    PartId
);
id!(
    /// Identifies a wire.
    WireId
);
id!(
    /// Identifies a control.
    ControlId
);
id!(
    /// Identifies a wish.
    WishId
);
id!(
    /// Identifies a place on the vehicle.
    PlaceId
);

macro_rules! pair {
    ($(#[$doc:meta])* $name:ident, $member:ident, $mark:literal, $example:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name {
            /// The part.
            pub part: PartId,
            #[doc = concat!("The ", stringify!($member), " on that part.")]
            pub $member: String,
        }

        impl $name {
            #[doc = concat!("The ", stringify!($member), " named on a part.")]
            pub fn new(part: &PartId, $member: impl Into<String>) -> Self {
                Self { part: part.clone(), $member: $member.into() }
            }
        }
        impl FromStr for $name {
            type Err = BadId;
            fn from_str(text: &str) -> Result<Self, BadId> {
                let (part, $member) = text.split_once($mark).ok_or_else(|| {
                    BadId(say!("{} (expected the form {})", text, $example))
                })?;
                if $member.is_empty() || $member.chars().count() > MAX_ID {
                    return Err(BadId(text.chars().take(60).collect()));
                }
                Ok(Self { part: part.parse()?, $member: $member.into() })
            }
        }
        impl TryFrom<String> for $name {
            type Error = BadId;
            fn try_from(text: String) -> Result<Self, BadId> {
                text.parse()
            }
        }
        impl From<$name> for String {
            fn from(pair: $name) -> String {
                pair.to_string()
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}{}{}", self.part, $mark, self.$member)
            }
        }
    };
}

pair!(
    /// A terminal of a part, written `K1:49a`.
    TerminalId, terminal, ":", "K1:49a"
);
pair!(
    /// A lamp circuit of a part, written `E3.major`.
    LampId, circuit, ".", "E3.major"
);
