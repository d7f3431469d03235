//! The files that the rules look at.

use std::path::Path;

/// A text file of the tree.
pub struct File {
    /// Path from the package's root, with forward slashes.
    pub path: String,
    /// What it holds.
    pub text: String,
}

/// What may lie at the top: the package, and what cargo, git and CI need.
const TOP_LEVEL: [&str; 16] = [
    ".cargo",
    ".ci",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "README.md",
    "Trunk.toml",
    "benches",
    "clippy.toml",
    "index.html",
    "rust-toolchain.toml",
    "src",
    "static",
    "tests",
    // The browser's test runner looks for it beside Cargo.toml only.
    "webdriver.json",
];

/// Made by builds and tools, never committed.
const MADE: [&str; 5] = [".git", "target", "dist", "tests/node_modules", "tests/out"];

/// Written by cargo and npm, not by people.
const LOCKS: [&str; 2] = ["Cargo.lock", "tests/package-lock.json"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every text file, sorted by path.
pub fn all() -> Vec<File> {
    let mut files = Vec::new();
    collect("", &mut files);
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

fn collect(folder: &str, files: &mut Vec<File>) {
    let entries = root().join(folder).read_dir().expect("a readable folder");
    for entry in entries {
        let entry = entry.expect("a readable entry");
        let name = entry.file_name().into_string().expect("a UTF-8 name");
        let path = if folder.is_empty() {
            name
        } else {
            format!("{folder}/{name}")
        };
        if MADE.contains(&path.as_str()) {
            continue;
        }
        if entry.path().is_dir() {
            collect(&path, files);
        } else if let Ok(text) = std::fs::read_to_string(entry.path()) {
            // What is not UTF-8 is an image or the like, and no text.
            files.push(File { path, text });
        }
    }
}

/// The text files that people write.
pub fn written() -> Vec<File> {
    let mut files = all();
    files.retain(|file| !LOCKS.contains(&file.path.as_str()));
    files
}

/// Every Rust file.
pub fn rust() -> Vec<File> {
    let mut files = all();
    files.retain(|file| file.path.ends_with(".rs"));
    files
}

/// The Rust files of a folder.
pub fn rust_in(folder: &str) -> Vec<File> {
    let start = format!("{folder}/");
    let mut files = rust();
    files.retain(|file| file.path.starts_with(&start));
    files
}

/// The names at the top level that builds did not make.
pub fn top_level() -> Vec<String> {
    let entries = root().read_dir().expect("a readable folder");
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("a readable entry").file_name())
        .map(|name| name.into_string().expect("a UTF-8 name"))
        .filter(|name| !MADE.contains(&name.as_str()))
        .collect();
    names.sort();
    names
}

/// Those of the names that do not belong at the top level.
pub fn strangers(names: &[String]) -> Vec<&str> {
    names
        .iter()
        .map(String::as_str)
        .filter(|name| !TOP_LEVEL.contains(name))
        .collect()
}
