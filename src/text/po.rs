//! Reads and writes translations in the PO format of GNU gettext (manual, chapter "The Format of PO Files"): comments,
//! `msgctxt`, `msgid` and `msgstr`, each a string in quotes that may go on over lines. No plural forms: the sources
//! say singular and plural as texts of their own.

use super::CONTEXT_END;
use std::collections::BTreeMap;

/// Which string a line in quotes goes on with.
#[derive(Clone, Copy, PartialEq)]
enum Field {
    None,
    Context,
    Id,
    Text,
}

/// One entry while it is read.
#[derive(Default)]
struct Entry {
    context: Option<String>,
    id: String,
    text: String,
    fuzzy: bool,
}

/// What a file holds.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct Read {
    /// Translations by key; empty and unsure ("fuzzy") ones are left out.
    pub texts: BTreeMap<String, String>,
    /// Keys in their order, those without a translation too.
    pub keys: Vec<String>,
    /// Numbers of lines that could not be read, from 1.
    pub unread: Vec<usize>,
}

/// Reads a file. A line that cannot be read is passed over and counted.
pub fn read(file: &str) -> Read {
    let mut out = Read::default();
    let mut entry = Entry::default();
    let mut field = Field::None;
    for (number, line) in file.lines().enumerate() {
        let line = line.trim();
        let mut begin = |entry: &mut Entry, field: Field, next: Field| {
            // After a text, anything but more of it begins another entry.
            if field == Field::Text {
                out.take(core::mem::take(entry));
            }
            next
        };
        let quoted = if line.is_empty() {
            continue;
        } else if let Some(flags) = line.strip_prefix("#,") {
            field = begin(&mut entry, field, Field::None);
            entry.fuzzy |= flags.contains("fuzzy");
            continue;
        } else if line.starts_with('#') {
            field = begin(&mut entry, field, Field::None);
            continue;
        } else if let Some(rest) = line.strip_prefix("msgctxt ") {
            field = begin(&mut entry, field, Field::Context);
            entry.context = Some(String::new());
            rest
        } else if let Some(rest) = line.strip_prefix("msgid ") {
            field = begin(&mut entry, field, Field::Id);
            rest
        } else if let Some(rest) = line.strip_prefix("msgstr ") {
            field = Field::Text;
            rest
        } else {
            line
        };
        let target = match field {
            Field::None => None,
            Field::Context => entry.context.as_mut(),
            Field::Id => Some(&mut entry.id),
            Field::Text => Some(&mut entry.text),
        };
        match (target, unquoted(quoted)) {
            (Some(target), Some(text)) => target.push_str(&text),
            _ => out.unread.push(number + 1),
        }
    }
    if field == Field::Text {
        out.take(entry);
    }
    out
}

impl Read {
    fn take(&mut self, entry: Entry) {
        // The entry without a text of its own is the file's header.
        if entry.id.is_empty() {
            return;
        }
        let key = match entry.context {
            Some(context) => format!("{context}{CONTEXT_END}{}", entry.id),
            None => entry.id,
        };
        if !entry.text.is_empty() && !entry.fuzzy {
            self.texts.insert(key.clone(), entry.text);
        }
        self.keys.push(key);
    }
}

/// One entry as lines of a file, with an empty translation where there is none.
pub fn entry(key: &str, text: Option<&str>) -> String {
    let mut out = String::new();
    let id = match key.split_once(CONTEXT_END) {
        Some((context, id)) => {
            out.push_str(&format!("msgctxt {}\n", quoted(context)));
            id
        }
        None => key,
    };
    out.push_str(&format!(
        "msgid {}\nmsgstr {}\n",
        quoted(id),
        quoted(text.unwrap_or_default())
    ));
    out
}

fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            other => out.push(other),
        }
    }
    out.push('"');
    out
}

fn unquoted(quoted: &str) -> Option<String> {
    let inner = quoted.strip_prefix('"')?.strip_suffix('"')?;
    let mut out = String::with_capacity(inner.len());
    let mut letters = inner.chars();
    while let Some(letter) = letters.next() {
        out.push(match letter {
            '\\' => match letters.next()? {
                'n' => '\n',
                't' => '\t',
                other => other,
            },
            '"' => return None,
            other => other,
        });
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// After the examples of the gettext manual: a header, a context, a text over lines, a fuzzy one.
    const FILE: &str = r#"
# Translator's comment
msgid ""
msgstr ""
"Language: de\n"

#: src/a.rs
msgid "Parts"
msgstr "Teile"

msgctxt "switch"
msgid "off"
msgstr "aus"

msgid "two "
"lines\n"
msgstr ""
"zwei "
"Zeilen\n"

#, fuzzy
msgid "unsure"
msgstr "unsicher"

msgid "open"
msgstr ""
nonsense
"#;

    #[test]
    fn a_file_as_the_manual_has_it_is_read() {
        let read = read(FILE);
        let pairs: Vec<(&str, &str)> = read
            .texts
            .iter()
            .map(|(key, text)| (key.as_str(), text.as_str()))
            .collect();
        assert_eq!(
            pairs,
            [
                ("Parts", "Teile"),
                ("switch\u{4}off", "aus"),
                ("two lines\n", "zwei Zeilen\n"),
            ]
        );
        assert_eq!(read.keys.len(), 5);
        assert_eq!(read.unread, [27]);
    }

    #[test]
    fn what_is_written_is_read_back() {
        let (key, text) = ("a\u{4}say \"{x}\"\\\n", "sag „{x}“\t\\\"\n");
        let read = read(&entry(key, Some(text)));
        assert_eq!(read.texts.get(key).map(String::as_str), Some(text));
        assert!(read.unread.is_empty());
    }
}
