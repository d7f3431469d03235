//! All text for people stands in one place, `static/text/loomwright.pot`, and every translation is whole.
//!
//! Method: the sources are searched for `say!` and `mark!`; what they hold must be what the template file holds, and
//! every translation must have every text, with the same holes. `UPDATE_EXPECT=1 cargo test --test text` writes
//! the template anew and brings the translations into its order; what is new in them is left empty, to be filled in.
#![cfg(not(target_arch = "wasm32"))]

#[path = "../src/say/template.rs"]
#[allow(dead_code)]
mod template;
#[path = "tidy/tree.rs"]
#[allow(dead_code)]
mod tree;

use loomwright::text::{CONTEXT_END, po};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use template::{Piece, key, split, unescape};

/// Key of each text of the sources with the files that say it.
type Texts = BTreeMap<String, BTreeSet<String>>;

/// Reads a string literal at the start of `code`; the text and what follows.
fn literal(code: &str) -> Option<(String, &str)> {
    let end = if let Some(raw) = code.strip_prefix("r\"") {
        raw.find('"')? + 3
    } else {
        let mut escaped = false;
        let inner = code.strip_prefix('"')?;
        let end = inner.char_indices().find(|&(_, letter)| {
            let ends = letter == '"' && !escaped;
            escaped = letter == '\\' && !escaped;
            ends
        })?;
        end.0 + 2
    };
    Some((unescape(&code[..end])?, &code[end..]))
}

/// The texts a file says; a call whose text cannot be read is a complaint.
fn said(path: &str, code: &str, texts: &mut Texts, complaints: &mut Vec<String>) {
    for call in ["say!(", "mark!("] {
        for (at, _) in code.match_indices(call) {
            let line_start = code[..at].rfind('\n').map_or(0, |i| i + 1);
            if code[line_start..at].trim_start().starts_with("//") {
                continue;
            }
            let read = || {
                let (first, rest) = literal(code[at + call.len()..].trim_start())?;
                let (context, text) = match rest.trim_start().strip_prefix("=>") {
                    Some(rest) => (Some(first), literal(rest.trim_start())?.0),
                    None => (None, first),
                };
                let key = key(&split(&text).ok()?);
                Some(context.map_or_else(|| key.clone(), |c| format!("{c}{CONTEXT_END}{key}")))
            };
            match read() {
                Some(key) => {
                    texts.entry(key).or_default().insert(path.to_owned());
                }
                None => {
                    let line = code[..at].matches('\n').count() + 1;
                    complaints.push(format!("{path}:{line}: no text can be read here"));
                }
            }
        }
    }
}

fn all_said() -> Texts {
    let mut texts = Texts::new();
    let mut complaints = Vec::new();
    for file in tree::rust_in("src") {
        // The macros themselves, and what tests them.
        if !file.path.starts_with("src/say/") && !file.path.starts_with("src/text/") {
            said(&file.path, &file.text, &mut texts, &mut complaints);
        }
    }
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
    texts
}

/// A file of entries in order of the files that say them, so that a translator meets them as the user does.
fn written(texts: &Texts, language: &str, translated: &BTreeMap<String, String>) -> String {
    let mut out = format!(
        "# Every text of Loomwright that people read. Written by: UPDATE_EXPECT=1 cargo test --test text\n\
         msgid \"\"\nmsgstr \"\"\n\"Language: {language}\\n\"\n\"Content-Type: text/plain; charset=UTF-8\\n\"\n"
    );
    let mut ordered: Vec<(&String, &String)> = texts
        .iter()
        .filter_map(|(key, files)| Some((files.first()?, key)))
        .collect();
    ordered.sort();
    let mut file = "";
    for (first, key) in ordered {
        out.push('\n');
        if file != first {
            out.push_str(&format!("# {first}\n"));
            file = first;
        }
        out.push_str(&po::entry(key, translated.get(key).map(String::as_str)));
    }
    out
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("static/text")
}

fn translations() -> Vec<PathBuf> {
    let entries = fs::read_dir(folder()).expect("the folder of translations");
    let mut files: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "po"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "there is no translation");
    files
}

#[test]
fn the_template_holds_every_text_of_the_sources() {
    let texts = all_said();
    let template = written(&texts, "en", &BTreeMap::new());
    let path = folder().join("loomwright.pot");
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        fs::write(&path, &template).expect("a writable folder");
        for file in translations() {
            let read = po::read(&fs::read_to_string(&file).expect("a readable file"));
            let language = file
                .file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            fs::write(&file, written(&texts, &language, &read.texts)).expect("a writable file");
        }
    }
    let held = fs::read_to_string(&path).unwrap_or_default();
    let (said, held): (BTreeSet<String>, BTreeSet<String>) = (
        texts.keys().cloned().collect(),
        po::read(&held).keys.into_iter().collect(),
    );
    let missing: Vec<&String> = said.difference(&held).collect();
    let left: Vec<&String> = held.difference(&said).collect();
    assert!(
        missing.is_empty() && left.is_empty(),
        "run UPDATE_EXPECT=1 cargo test --test text; missing: {missing:#?} no longer said: {left:#?}"
    );
}

/// The names of a text's holes; `None` where its braces do not fit.
fn holes(text: &str) -> Option<BTreeSet<String>> {
    let names = split(text)
        .ok()?
        .into_iter()
        .filter_map(|piece| match piece {
            Piece::Hole { name, .. } => Some(name),
            Piece::Words(_) => None,
        });
    Some(names.collect())
}

/// What is wrong with a translation of these texts.
fn wrong_in(file: &str, texts: &BTreeSet<String>) -> Vec<String> {
    let read = po::read(file);
    let mut wrong: Vec<String> = read
        .unread
        .iter()
        .map(|n| format!("line {n} cannot be read"))
        .collect();
    for key in texts {
        let Some(text) = read.texts.get(key) else {
            wrong.push(format!("no translation: {key}"));
            continue;
        };
        if holes(key) != holes(text) {
            wrong.push(format!("other holes: {key} — {text}"));
        }
        // A fragment is joined to what stands beside it.
        let edges = |text: &str| {
            (
                text.starts_with(' '),
                text.ends_with(' '),
                text.ends_with('\n'),
            )
        };
        let bare = key
            .split_once(CONTEXT_END)
            .map_or(key.as_str(), |(_, text)| text);
        if edges(bare) != edges(text) {
            wrong.push(format!("other spaces at an end: {key} — {text}"));
        }
    }
    let known: BTreeSet<&String> = texts.iter().collect();
    wrong.extend(
        read.keys
            .iter()
            .filter(|key| !known.contains(key))
            .map(|key| format!("said nowhere: {key}")),
    );
    wrong
}

#[test]
fn every_translation_is_whole() {
    let texts: BTreeSet<String> = all_said().into_keys().collect();
    for path in translations() {
        let wrong = wrong_in(&fs::read_to_string(&path).expect("a readable file"), &texts);
        assert!(
            wrong.is_empty(),
            "{}:\n{}\n",
            path.display(),
            wrong.join("\n")
        );
    }
}

#[test]
fn a_translation_that_lacks_something_is_noticed() {
    let texts: BTreeSet<String> = ["Parts", "{n} of {all}", " and "].map(str::to_owned).into();
    let wrong = wrong_in(
        "msgid \"{n} of {all}\"\nmsgstr \"{n} von {alle}\"\n\nmsgid \" and \"\nmsgstr \"und\"\n\nmsgid \"Old\"\nmsgstr \"Alt\"\n",
        &texts,
    );
    assert_eq!(wrong.len(), 4, "{wrong:#?}");
}

#[test]
fn a_call_is_found_however_it_is_written() {
    let (mut texts, mut complaints) = (Texts::new(), Vec::new());
    said(
        "a.rs",
        "// say!(\"no\")\nlet a = say!(\n    \"One \\\n     \\\"{x:.1}\\\" {}\",\n    5\n);\nmark!(\"b\"); say!(\"c\" => \"d\"); say!(name);",
        &mut texts,
        &mut complaints,
    );
    let keys: Vec<&str> = texts.keys().map(String::as_str).collect();
    assert_eq!(keys, ["One \"{x}\" {0}", "b", "c\u{4}d"]);
    assert_eq!(complaints.len(), 1);
}
