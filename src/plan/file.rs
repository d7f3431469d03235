//! The file format: JSON with a format name and a version, canonical key order, unknown fields kept.
//!
//! Reading is in two stages, so that a complaint can say where: text to a JSON tree (line and column), then
//! item by item to a plan (list, position and identity). Nothing is guessed; a file is taken whole or not at all.

use super::{Control, Plan, complaint};
use crate::text::say;
use core::fmt;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Value of the `format` field.
pub const FORMAT: &str = "loomwright-plan";
/// The version this build writes.
pub const VERSION: u64 = 1;
/// Largest file read, in bytes.
pub const MAX_BYTES: usize = 4 << 20;
/// Most items read in one list.
pub const MAX_ITEMS: usize = 4000;
/// Most entries read in a list inside an item.
pub const MAX_INNER: usize = 1000;
/// Most positions read of one control: the states of a plan are their products.
pub const MAX_POSITIONS: usize = 32;
/// Longest text read, in bytes; a page of notes has about three thousand.
pub const MAX_TEXT: usize = 100_000;
/// Extension of plan files.
pub const EXTENSION: &str = "loomwright";
/// Media type of plan files.
pub const MEDIA_TYPE: &str = "application/vnd.loomwright+json";

/// Why a file was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileError {
    /// More bytes than [`MAX_BYTES`].
    TooLarge {
        /// Its size in bytes.
        bytes: usize,
    },
    /// Not UTF-8 text.
    NotText,
    /// Lists in lists beyond what any plan has.
    TooDeep,
    /// Not JSON: broken off or damaged.
    Damaged {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What the parser met.
        what: String,
    },
    /// JSON, but not a plan.
    NotAPlan,
    /// Written by a newer build.
    TooNew {
        /// Its version.
        version: u64,
    },
    /// A list is longer than [`MAX_ITEMS`].
    TooMany {
        /// Name of the list.
        list: &'static str,
        /// Its length.
        len: usize,
    },
    /// A field does not hold what it must.
    Field {
        /// Where, e.g. `parts[3] (E1)`.
        place: String,
        /// What is wrong.
        what: String,
    },
}

impl fmt::Display for FileError {
    /// One sentence: what is wrong, where, and one way to mend it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FileError::TooLarge { bytes } => f.write_str(&say!("the file holds {} kB, more than the {} kB a plan may have: choose a plan file",
                bytes / 1024,
                MAX_BYTES / 1024
            )),
            FileError::NotText => f.write_str(
                say!("the file is not text, so it is no plan: choose a file that Loomwright saved"),
            ),
            FileError::TooDeep => f.write_str(
                say!("the file has lists in lists more than a hundred deep, which no plan has: choose a file that Loomwright saved"),
            ),
            FileError::Damaged { line, column, what } => f.write_str(&say!("the file is damaged at line {line}, column {column} ({what}): \
                 open an earlier download or mend that line"
            )),
            FileError::NotAPlan => f.write_str(&say!("the file has no \"format\": \"{FORMAT}\", so it is not a Loomwright plan: \
                 choose a file that Loomwright saved"
            )),
            FileError::TooNew { version } => f.write_str(&say!("the file has version {version} and this page reads up to {VERSION}: \
                 reload the page for the newest Loomwright and open the file again"
            )),
            FileError::TooMany { list, len } => f.write_str(&say!("{list} has {len} entries, more than the {MAX_ITEMS} read here: split the plan"
            )),
            FileError::Field { place, what } => {
                f.write_str(&say!("{place}: {what}: mend that entry in the file and open it again"
                ))
            }
        }
    }
}

impl core::error::Error for FileError {}

/// Reads a plan from the bytes of a file.
pub fn read(bytes: &[u8]) -> Result<Plan, FileError> {
    if bytes.len() > MAX_BYTES {
        return Err(FileError::TooLarge { bytes: bytes.len() });
    }
    let text = core::str::from_utf8(bytes).map_err(|_| FileError::NotText)?;
    let value: Value = serde_json::from_str(text.trim_start_matches('\u{feff}')).map_err(|e| {
        let message = e.to_string();
        if message.starts_with("recursion limit") {
            return FileError::TooDeep;
        }
        FileError::Damaged {
            line: e.line(),
            column: e.column(),
            what: complaint::damage(&message),
        }
    })?;
    from_value(value)
}

/// The canonical text of a plan: same plan, same bytes.
pub fn write(plan: &Plan) -> String {
    // A plan is made of strings, finite numbers, lists and maps with text keys: all of it is JSON, and an object.
    let plan = serde_json::to_string_pretty(plan).unwrap_or_default();
    let fields = plan.strip_prefix('{').unwrap_or_default();
    format!("{{\n  \"format\": \"{FORMAT}\",\n  \"version\": {VERSION},{fields}\n")
}

/// A part of a plan as a JSON tree; null for what is none. By way of its text, since one writer for both keeps the page
/// small.
pub fn tree<T: Serialize>(item: &T) -> Value {
    let text = serde_json::to_string_pretty(item).unwrap_or_default();
    serde_json::from_str(&text).unwrap_or_default()
}

/// The canonical text without its line breaks and blanks: for stores and links.
pub fn write_small(plan: &Plan) -> String {
    small(&write(plan))
}

/// JSON without the blanks between its tokens. One writer serves both forms: a second one would cost the page more.
pub fn small(json: &str) -> String {
    let mut out = String::with_capacity(json.len() / 2);
    let (mut in_text, mut escaped) = (false, false);
    for c in json.chars() {
        if in_text {
            let ends = c == '"' && !escaped;
            escaped = c == '\\' && !escaped;
            in_text = !ends;
        } else if matches!(c, ' ' | '\n' | '\r' | '\t') {
            continue;
        } else {
            in_text = c == '"';
        }
        out.push(c);
    }
    out
}

/// `title` as a file name: letters, digits and single hyphens, so that any system takes it.
pub fn name(title: &str, extension: &str) -> String {
    let mut name = String::new();
    for c in title.chars().take(60) {
        if c.is_alphanumeric() {
            name.extend(c.to_lowercase());
        } else if !name.ends_with('-') && !name.is_empty() {
            name.push('-');
        }
    }
    let name = name.trim_matches('-');
    let name = if name.is_empty() { "plan" } else { name };
    // Names that one system keeps for its devices.
    let reserved = matches!(name, "con" | "prn" | "aux" | "nul")
        || (name.len() == 4 && (name.starts_with("com") || name.starts_with("lpt")));
    let end = if reserved { "-plan" } else { "" };
    format!("{name}{end}.{extension}")
}

/// Reads a plan from JSON that has been parsed already.
pub fn from_value(value: Value) -> Result<Plan, FileError> {
    let Value::Object(mut map) = value else {
        return Err(FileError::NotAPlan);
    };
    if map.remove("format").as_ref().and_then(Value::as_str) != Some(FORMAT) {
        return Err(FileError::NotAPlan);
    }
    match map.remove("version").as_ref().and_then(Value::as_u64) {
        Some(1..=VERSION) => {}
        Some(version @ 2..) => return Err(FileError::TooNew { version }),
        _ => {
            return Err(FileError::Field {
                place: "version".into(),
                what: say!("must be a whole number from 1 to {VERSION}"),
            });
        }
    }
    let places = list(&mut map, "places")?;
    let controls: Vec<Control> = list(&mut map, "controls")?;
    let parts = list(&mut map, "parts")?;
    let wires = list(&mut map, "wires")?;
    let wishes = list(&mut map, "wishes")?;
    let rest: Plan = item(Value::Object(map), say!("the plan"))?;
    let many = |control: &&Control| control.positions.len() > MAX_POSITIONS;
    if let Some(control) = controls.iter().find(many) {
        return Err(FileError::Field {
            place: format!("controls ({})", control.id),
            what: say!(
                "{} positions, more than the {MAX_POSITIONS} read of one control",
                control.positions.len()
            ),
        });
    }
    Ok(Plan {
        places,
        controls,
        parts,
        wires,
        wishes,
        ..rest
    })
}

fn list<T: DeserializeOwned>(
    map: &mut serde_json::Map<String, Value>,
    name: &'static str,
) -> Result<Vec<T>, FileError> {
    let values = match map.remove(name) {
        None | Some(Value::Null) => return Ok(Vec::new()),
        Some(Value::Array(values)) => values,
        Some(_) => {
            return Err(FileError::Field {
                place: name.into(),
                what: say!("must be a list").into(),
            });
        }
    };
    if values.len() > MAX_ITEMS {
        return Err(FileError::TooMany {
            list: name,
            len: values.len(),
        });
    }
    let entry = |(i, value): (usize, Value)| {
        let id = value
            .get("id")
            .and_then(Value::as_str)
            .unwrap_or(say!("no id"))
            .to_owned();
        item(value, &format!("{name}[{i}] ({id})"))
    };
    values.into_iter().enumerate().map(entry).collect()
}

fn item<T: DeserializeOwned>(value: Value, place: &str) -> Result<T, FileError> {
    if let Some(what) = beyond(&value) {
        return Err(FileError::Field {
            place: place.into(),
            what,
        });
    }
    T::deserialize(value).map_err(|e| FileError::Field {
        place: place.into(),
        what: complaint::field(&e.to_string()),
    })
}

/// What of a value is beyond the limits inside an item. As deep as the parser went, which is bounded.
fn beyond(value: &Value) -> Option<String> {
    match value {
        Value::String(text) if text.len() > MAX_TEXT => Some(say!(
            "a text of {} bytes, more than the {MAX_TEXT} read",
            text.len()
        )),
        Value::Array(list) if list.len() > MAX_INNER => Some(say!(
            "a list of {} entries, more than the {MAX_INNER} read inside an entry",
            list.len()
        )),
        Value::Array(list) => list.iter().find_map(beyond),
        Value::Object(map) if map.len() > MAX_ITEMS => {
            Some(say!("{} fields, more than the {MAX_ITEMS} read", map.len()))
        }
        Value::Object(map) => map.values().find_map(beyond),
        _ => None,
    }
}
