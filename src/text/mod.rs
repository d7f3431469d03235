//! Text for people, in the language chosen, with the decimal mark chosen.
//!
//! The sources say their text in English with `say!`; that English is the key under which a [`Catalogue`] may hold a
//! translation. What has none stays English. The catalogue is set once, before anything is worked out, and never
//! changes within one run (the page is loaded again when another language is chosen): it is a constant of the run like
//! the tables of `catalog`, and all functions stay pure.
//!
//! Translations are files of GNU gettext's PO format, so that any editor for that format serves; [`po`] reads them.

pub mod po;

pub use loomwright_say::{mark, say};

use core::fmt::Display;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// What stands in a key between a context and the text it tells apart, as in gettext.
pub const CONTEXT_END: char = '\u{4}';

/// The texts of a language and its decimal mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Catalogue {
    /// The language as a tag of BCP 47, such as `de`.
    pub language: String,
    /// What stands between whole and decimal places: `.` or `,`.
    pub decimal: char,
    /// Translations by English text, with holes as `{name}`.
    pub texts: BTreeMap<String, String>,
}

impl Default for Catalogue {
    /// English with a decimal point.
    fn default() -> Self {
        Self {
            language: "en".into(),
            decimal: '.',
            texts: BTreeMap::new(),
        }
    }
}

static CHOSEN: OnceLock<Catalogue> = OnceLock::new();

/// Sets the language of this run. Only the first call counts; a later one returns `false` and changes nothing.
pub fn choose(catalogue: Catalogue) -> bool {
    CHOSEN.set(catalogue).is_ok()
}

/// The language of this run as a tag of BCP 47.
pub fn language() -> &'static str {
    CHOSEN.get().map_or("en", |chosen| &chosen.language)
}

/// The decimal mark of this run.
pub fn decimal() -> char {
    CHOSEN.get().map_or('.', |chosen| chosen.decimal)
}

/// A text without holes in the language chosen. `say!` calls it for literals; call it for what `mark!` marked.
pub fn of(key: &'static str) -> &'static str {
    match CHOSEN.get().and_then(|chosen| chosen.texts.get(key)) {
        Some(text) => text,
        None => bare(key),
    }
}

/// A text with values in its holes, in the language chosen. `say!` calls it.
pub fn fill(key: &str, values: &[(&str, &dyn Display)]) -> String {
    let chosen = CHOSEN.get().and_then(|chosen| chosen.texts.get(key));
    filled(chosen.map_or_else(|| bare(key), String::as_str), values)
}

/// A number as it was written with a decimal point, with the decimal mark chosen.
pub fn number(text: String) -> String {
    match decimal() {
        '.' => text,
        mark => text.replace('.', mark.encode_utf8(&mut [0; 4])),
    }
}

/// The text of a key, without its context.
fn bare(key: &str) -> &str {
    key.split_once(CONTEXT_END).map_or(key, |(_, text)| text)
}

/// Fills holes; `{{` and `}}` are braces, and a hole without a value stays as it stands.
fn filled(template: &str, values: &[(&str, &dyn Display)]) -> String {
    let mut out = String::with_capacity(2 * template.len());
    let mut rest = template;
    while let Some(at) = rest.find(['{', '}']) {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        let doubled = from.starts_with("{{") || from.starts_with("}}");
        let hole = from
            .find('}')
            .filter(|_| !doubled && from.starts_with('{'))
            .and_then(|end| {
                let (_, value) = values.iter().find(|(name, _)| *name == &from[1..end])?;
                Some((value, end + 1))
            });
        rest = if let Some((value, end)) = hole {
            out.push_str(&value.to_string());
            &from[end..]
        } else {
            out.push_str(&from[..1]);
            &from[if doubled { 2 } else { 1 }..]
        };
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn english_is_the_key_itself() {
        let (id, amps) = ("F1", 7.0 / 3.0);
        assert_eq!(say!("Parts"), "Parts");
        assert_eq!(say!("switch" => "off"), "off");
        assert_eq!(
            say!(
                "{id} carries {amps:.2} of {} A, {what}: {{{id}}}",
                5,
                what = "half"
            ),
            "F1 carries 2.33 of 5 A, half: {F1}"
        );
        assert_eq!(
            say!(
                "One line \
                 of two"
            ),
            "One line of two"
        );
        assert_eq!(mark!("later"), "later");
    }

    #[test]
    fn a_translation_may_order_its_values_anew_and_a_broken_one_harms_nothing() {
        let values: [(&str, &dyn Display); 2] = [("id", &"F1"), ("0", &5)];
        assert_eq!(filled("{0} A trägt {id}", &values), "5 A trägt F1");
        assert_eq!(filled("{no} {id", &values), "{no} {id");
        assert_eq!(filled("}{{}}{ü}", &values), "}{}{ü}");
    }
}
