//! Rules on the text of one file. Each returns its complaints, with path and line.

use crate::arrows::code_of;
use crate::tree::File;

/// Longest source file, in lines.
const LONGEST: usize = 450;

/// Complains about the lines that `is_wrong` names; the text may differ from the file's own (code
/// without comments) but has the same lines.
fn lines<'a>(
    file: &File,
    text: &'a str,
    is_wrong: impl Fn(&'a str) -> bool,
    what: &str,
) -> Vec<String> {
    text.split('\n')
        .enumerate()
        .filter(|(_, line)| is_wrong(line))
        .map(|(i, _)| format!("{}:{}: {what}", file.path, i + 1))
        .collect()
}

/// The places of `part` in `line`, as what stands before and after each.
fn around<'a>(line: &'a str, part: &'a str) -> impl Iterator<Item = (Option<char>, Option<char>)> {
    line.match_indices(part).map(move |(at, _)| {
        (
            line[..at].chars().next_back(),
            line[at + part.len()..].chars().next(),
        )
    })
}

/// Whether a character can be part of a name.
fn in_name(c: Option<char>) -> bool {
    c.is_some_and(|c| c.is_alphanumeric() || c == '_')
}

fn has_word(line: &str, word: &str) -> bool {
    around(line, word).any(|(before, after)| !in_name(before) && !in_name(after))
}

/// A Rust file opens with `//!` and a sentence.
pub fn no_opening(file: &File) -> Vec<String> {
    let first = file.text.lines().next().unwrap_or("");
    let says = first
        .strip_prefix("//!")
        .is_some_and(|s| !s.trim().is_empty());
    if says {
        Vec::new()
    } else {
        vec![format!(
            "{}:1: does not open with `//!` and what it is",
            file.path
        )]
    }
}

/// The core compiles without a browser.
pub fn browser_crates(file: &File) -> Vec<String> {
    const CRATES: [&str; 5] = ["yew", "web_sys", "js_sys", "wasm_bindgen", "gloo"];
    let names_one =
        |line: &str| CRATES.iter().any(|name| has_word(line, name)) || line.contains("gloo_");
    lines(
        file,
        &code_of(&file.text),
        names_one,
        "names a browser crate outside src/app",
    )
}

/// No line ends in a blank, a tab or a carriage return; the file ends in a line end.
pub fn trailing_blanks(file: &File) -> Vec<String> {
    let mut found = lines(
        file,
        &file.text,
        |line| line.ends_with([' ', '\t', '\r']),
        "ends in blanks",
    );
    if !file.text.is_empty() && !file.text.ends_with('\n') {
        found.push(format!("{}: the last line has no end", file.path));
    }
    found
}

/// No marks for later. The marks are put together here so that this file does not hold them.
pub fn left_to_do(file: &File) -> Vec<String> {
    const WORDS: [&str; 3] = [
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
        concat!("XX", "X"),
    ];
    const CALLS: [&str; 2] = [concat!("to", "do!("), concat!("unimple", "mented!(")];
    let is_wrong = |line: &str| {
        WORDS.iter().any(|word| has_word(line, word))
            || CALLS.iter().any(|call| line.contains(call))
    };
    lines(file, &file.text, is_wrong, "something is left to do")
}

/// No absolute path of somebody's machine.
pub fn machine_paths(file: &File) -> Vec<String> {
    const STARTS: [&str; 4] = [
        concat!("/ho", "me/"),
        concat!("/ro", "ot/"),
        concat!("/wo", "rk/"),
        concat!("/Us", "ers/"),
    ];
    let is_wrong = |line: &str| {
        STARTS.iter().any(|start| {
            around(line, start).any(|(before, _)| {
                !in_name(before) && !matches!(before, Some('.' | '-' | '}' | '*'))
            })
        })
    };
    lines(file, &file.text, is_wrong, "names a place on one machine")
}

/// A source file is short, or listed with a reason; a listed one is long.
pub fn too_long(file: &File, listed: bool) -> Vec<String> {
    let count = file.text.lines().count();
    match (count > LONGEST, listed) {
        (true, false) => vec![format!("{}: {count} lines, more than {LONGEST}", file.path)],
        (false, true) => vec![format!(
            "{}: listed as long, but has {count} lines",
            file.path
        )],
        _ => Vec::new(),
    }
}
