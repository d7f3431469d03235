//! Reads the literal of a text to be translated: its escapes, its holes, and the key under which it is translated.
//!
//! Used by the macros and, by path, by the test that collects all texts of the sources.

/// A part of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// Words as they stand.
    Words(String),
    /// A place for a value: its name (a number for an unnamed one) and its format after the colon.
    Hole {
        /// Name or number.
        name: String,
        /// What stands after the colon, such as `.1`; empty without one.
        format: String,
    },
}

/// The text a string literal of Rust stands for, escapes resolved; `None` for what is no such literal.
pub fn unescape(literal: &str) -> Option<String> {
    if let Some(raw) = literal.strip_prefix('r') {
        return Some(raw.trim_matches('#').trim_matches('"').to_owned());
    }
    let inner = literal.strip_prefix('"')?.strip_suffix('"')?;
    let mut out = String::new();
    let mut letters = inner.chars().peekable();
    while let Some(letter) = letters.next() {
        if letter != '\\' {
            out.push(letter);
            continue;
        }
        match letters.next()? {
            'n' => out.push('\n'),
            't' => out.push('\t'),
            'r' => out.push('\r'),
            '0' => out.push('\0'),
            'u' => {
                let code: String = letters.by_ref().take_while(|&c| c != '}').collect();
                let code = u32::from_str_radix(code.trim_start_matches('{'), 16).ok()?;
                out.push(char::from_u32(code)?);
            }
            // A line broken in the source: the break and the indent of the next line are no part of the text.
            '\n' => while letters.next_if(|c| c.is_whitespace()).is_some() {},
            other => out.push(other),
        }
    }
    Some(out)
}

/// Splits a text at its holes, numbering unnamed ones; `{{` and `}}` stand for braces.
///
/// # Errors
/// A sentence on what is wrong with a brace.
pub fn split(text: &str) -> Result<Vec<Piece>, String> {
    let mut pieces = Vec::new();
    let mut words = String::new();
    let mut unnamed = 0;
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '{' | '}' if letters.next_if_eq(&letter).is_some() => words.push(letter),
            '}' => return Err("a closing brace without an opening one".to_owned()),
            '{' => {
                let mut hole = String::new();
                loop {
                    match letters.next() {
                        Some('}') => break,
                        Some(c) => hole.push(c),
                        None => return Err("an opening brace without a closing one".to_owned()),
                    }
                }
                let (name, format) = hole.split_once(':').unwrap_or((&hole, ""));
                let name = if name.is_empty() {
                    unnamed += 1;
                    (unnamed - 1).to_string()
                } else {
                    name.to_owned()
                };
                if !words.is_empty() {
                    pieces.push(Piece::Words(core::mem::take(&mut words)));
                }
                pieces.push(Piece::Hole {
                    name,
                    format: format.to_owned(),
                });
            }
            other => words.push(other),
        }
    }
    if !words.is_empty() {
        pieces.push(Piece::Words(words));
    }
    Ok(pieces)
}

/// The key of a text: itself with its holes as `{name}` and without their formats.
pub fn key(pieces: &[Piece]) -> String {
    let mut out = String::new();
    for piece in pieces {
        match piece {
            Piece::Words(words) => out.push_str(&words.replace('{', "{{").replace('}', "}}")),
            Piece::Hole { name, .. } => {
                out.push('{');
                out.push_str(name);
                out.push('}');
            }
        }
    }
    out
}
