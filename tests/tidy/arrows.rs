//! The table of modules: who may import whom.
//!
//! Method: comments and texts are blanked, then every `crate::…`, `loomwright::…` and every chain of
//! `super::` that leaves its module is expanded into the module names it reaches.

use crate::tree::File;

/// The modules of `src/` with those they may import; `text` and `units` are open to all of them.
/// Keep it equal to the map in DEVELOPERS.md.
const TABLE: [(&str, &[&str]); 21] = [
    ("text", &[]),
    ("units", &[]),
    ("network", &[]),
    ("solve", &["network"]),
    ("lanes", &[]),
    ("hitting", &[]),
    ("catalog", &[]),
    ("plan", &["catalog"]),
    ("brief", &["catalog", "plan"]),
    ("circuit", &["plan", "catalog", "network"]),
    ("behaviour", &["circuit", "solve", "plan", "network"]),
    ("findings", &["plan", "catalog", "behaviour"]),
    ("size", &["plan", "catalog", "behaviour", "findings"]),
    (
        "isolate",
        &["plan", "catalog", "circuit", "behaviour", "hitting"],
    ),
    ("faults", &["plan", "circuit", "behaviour"]),
    ("drawing", &["plan", "catalog", "lanes"]),
    ("sheets", &["plan", "catalog", "behaviour"]),
    ("session", &["plan"]),
    ("keep", &["plan"]),
    (
        "share",
        &["plan", "catalog", "behaviour", "findings", "drawing"],
    ),
    ("app", ALL),
];

/// Every module but the app.
const ALL: &[&str] = &[
    "network",
    "solve",
    "lanes",
    "hitting",
    "catalog",
    "plan",
    "brief",
    "circuit",
    "behaviour",
    "findings",
    "size",
    "isolate",
    "faults",
    "drawing",
    "sheets",
    "session",
    "keep",
    "share",
];

/// What a file may import.
enum Rule {
    /// The crate's root declares the modules.
    Root,
    /// A module: itself, `text`, `units`, and these.
    Module(&'static str, &'static [&'static str]),
    /// A program: its `crate` is its own, and of the library it may use these.
    Program(Vec<&'static str>),
}

fn rule_for(path: &str) -> Result<Rule, String> {
    let inner = path.strip_prefix("src/").unwrap_or(path);
    // The kernel is a package of its own; its modules have the same names there.
    let inner = inner.strip_prefix("kernel/").unwrap_or(inner);
    let with_units = |modules: &[&'static str]| [modules, &["units", "text"]].concat();
    match inner {
        "lib.rs" => return Ok(Rule::Root),
        // The macros write the name of the crate into what they make.
        "say/lib.rs" | "say/template.rs" => return Ok(Rule::Root),
        "main.rs" => return Ok(Rule::Program(with_units(&[ALL, &["app"]].concat()))),
        _ => {}
    }
    if let Some(program) = inner.strip_prefix("bin/") {
        // The developer commands build and test the package; they need nothing of it.
        let dev = program.starts_with("dev/");
        return Ok(Rule::Program(if dev {
            Vec::new()
        } else {
            with_units(ALL)
        }));
    }
    let name = inner.split(['/', '.']).next().unwrap_or("");
    TABLE
        .iter()
        .find(|(module, _)| *module == name)
        .map(|(module, may)| Rule::Module(module, may))
        .ok_or_else(|| format!("{path}: `{name}` is not in the table of modules"))
}

/// The imports of a file that the table does not allow.
pub fn complaints(file: &File) -> Vec<String> {
    let rule = match rule_for(&file.path) {
        Ok(rule) => rule,
        Err(sentence) => return vec![sentence],
    };
    let code = code_of(&file.text);
    let allowed = |name: &str, by_crate: bool| match &rule {
        Rule::Root => true,
        Rule::Module(own, may) => {
            name == *own || name == "text" || name == "units" || may.contains(&name)
        }
        Rule::Program(may) => by_crate || may.contains(&name),
    };
    let mut found = Vec::new();
    let mut complain = |at: usize, name: &str, by_crate: bool| {
        if !allowed(name, by_crate) {
            let line = code[..at].matches('\n').count() + 1;
            found.push(format!("{}:{line}: may not import `{name}`", file.path));
        }
    };
    for (root, by_crate) in [("crate", true), ("loomwright", false)] {
        for (at, rest) in paths_from(&code, root) {
            for name in first_names(rest) {
                complain(at, name, by_crate);
            }
        }
    }
    if let Rule::Module(..) = rule {
        for (at, supers, rest) in chains_of_super(&code) {
            if supers >= depth(&file.path) {
                // Inside a nested module the chain may end at an item of this file: only names of
                // other modules count.
                for name in first_names(rest) {
                    if TABLE.iter().any(|(module, _)| *module == name) {
                        complain(at, name, true);
                    }
                }
            }
        }
    }
    found
}

/// How many `super`s lead from the file's module to the crate's root.
fn depth(path: &str) -> usize {
    let inner = path.strip_prefix("src/").unwrap_or(path);
    let inner = inner.strip_prefix("kernel/").unwrap_or(inner);
    inner.split('/').filter(|part| *part != "mod.rs").count()
}

/// What follows each `root::` that stands as a word of its own, with its place.
fn paths_from<'a>(code: &'a str, root: &'a str) -> impl Iterator<Item = (usize, &'a str)> {
    code.match_indices(root).filter_map(move |(at, _)| {
        let in_name = |c: char| c.is_alphanumeric() || c == '_';
        if code[..at].ends_with(in_name) {
            return None;
        }
        let rest = code[at + root.len()..].trim_start().strip_prefix("::")?;
        Some((at, rest))
    })
}

/// Each chain of `super::`: place, length, and what follows.
fn chains_of_super(code: &str) -> Vec<(usize, usize, &str)> {
    let mut chains = Vec::new();
    for (at, mut rest) in paths_from(code, "super") {
        if code[..at].trim_end().ends_with("::") {
            continue;
        }
        let mut length = 1;
        while let Some(next) = rest.trim_start().strip_prefix("super") {
            let Some(after) = next.trim_start().strip_prefix("::") else {
                break;
            };
            length += 1;
            rest = after;
        }
        chains.push((at, length, rest));
    }
    chains
}

/// The first names of a path: one, or those of a brace list at its first level.
fn first_names(rest: &str) -> Vec<&str> {
    let name = |text: &'_ str| -> usize {
        text.find(|c: char| !c.is_alphanumeric() && c != '_')
            .unwrap_or(text.len())
    };
    let rest = rest.trim_start();
    let Some(list) = rest.strip_prefix('{') else {
        return vec![&rest[..name(rest)]];
    };
    let mut names = Vec::new();
    let (mut level, mut start) = (0_usize, 0_usize);
    for (at, c) in list.char_indices() {
        match c {
            '{' => level += 1,
            '}' | ',' if level == 0 => {
                let item = list[start..at].trim_start();
                names.push(&item[..name(item)]);
                start = at + 1;
                if c == '}' {
                    break;
                }
            }
            '}' => level -= 1,
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

/// The code with comments and texts blanked, so that places and lines stay the same.
pub fn code_of(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut kept = bytes.to_vec();
    let mut at = 0;
    while at < bytes.len() {
        let length = match bytes[at] {
            b'/' if bytes[at..].starts_with(b"//") => length_to(&bytes[at..], b"\n"),
            b'/' if bytes[at..].starts_with(b"/*") => block_comment(&bytes[at..]),
            b'"' => quoted(&bytes[at..]),
            b'r' if !at.checked_sub(1).is_some_and(|i| is_name(bytes[i])) => raw(&bytes[at..]),
            b'\'' => character(&bytes[at..]),
            _ => 0,
        };
        for byte in &mut kept[at..at + length] {
            if *byte != b'\n' {
                *byte = b' ';
            }
        }
        at += length.max(1);
    }
    String::from_utf8_lossy(&kept).into_owned()
}

fn is_name(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte == b'_'
}

/// Bytes up to and without the end mark, or all that are left.
fn length_to(bytes: &[u8], end: &[u8]) -> usize {
    bytes
        .windows(end.len())
        .position(|window| window == end)
        .unwrap_or(bytes.len())
}

/// Length of a block comment; they nest.
fn block_comment(bytes: &[u8]) -> usize {
    let (mut level, mut at) = (0_usize, 0);
    while at < bytes.len() {
        if bytes[at..].starts_with(b"/*") {
            level += 1;
            at += 2;
        } else if bytes[at..].starts_with(b"*/") {
            level -= 1;
            at += 2;
            if level == 0 {
                break;
            }
        } else {
            at += 1;
        }
    }
    at.min(bytes.len())
}

/// Length of a text in quotes, with its escapes.
fn quoted(bytes: &[u8]) -> usize {
    let mut at = 1;
    while at < bytes.len() && bytes[at] != b'"' {
        at += if bytes[at] == b'\\' { 2 } else { 1 };
    }
    (at + 1).min(bytes.len())
}

/// Length of a raw text (`r"…"`, `r#"…"#`); 0 if none starts here.
fn raw(bytes: &[u8]) -> usize {
    let hashes = bytes[1..].iter().take_while(|b| **b == b'#').count();
    if bytes.get(1 + hashes) != Some(&b'"') {
        return 0;
    }
    let start = 2 + hashes;
    let end = [b"\"".as_slice(), &vec![b'#'; hashes]].concat();
    (start + length_to(&bytes[start..], &end) + end.len()).min(bytes.len())
}

/// Length of a character in quotes; 0 for a lifetime.
fn character(bytes: &[u8]) -> usize {
    match bytes {
        [_, b'\\', ..] => 3 + length_to(&bytes[3.min(bytes.len())..], b"'") + 1,
        [_, first, ..] => {
            // A character takes one to four bytes by its first one.
            let width = match first {
                0xf0.. => 4,
                0xe0.. => 3,
                0xc0.. => 2,
                _ => 1,
            };
            if bytes.get(1 + width) == Some(&b'\'') {
                2 + width
            } else {
                0
            }
        }
        _ => 0,
    }
    .min(bytes.len())
}

#[test]
fn comments_and_texts_are_blanked_and_code_is_kept() {
    let blanked = |text: &str| {
        code_of(text)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert_eq!(blanked("a // b\nc /* d /* e */ f */ g"), "a c g");
    assert_eq!(blanked(r#"a("b \" c", d)"#), "a( , d)");
    assert_eq!(blanked("a(r#\"b \" c\"#, d, br)"), "a( , d, br)");
    assert_eq!(blanked("f('\"', '\\'', 'µ', x)"), "f( , , , x)");
    assert_eq!(
        blanked("fn f<'a>(x: &'a str) {}"),
        "fn f<'a>(x: &'a str) {}"
    );
    assert_eq!(code_of("µ\n\"x\ny\"\nz").matches('\n').count(), 3);
}
