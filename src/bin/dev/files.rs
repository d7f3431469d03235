//! Lists the files of a folder, in one order on every machine.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// All files below the folder, sorted; folders with one of the skipped names are left out.
/// A folder that cannot be read counts as empty.
pub fn under(folder: impl AsRef<Path>, skip: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    collect(folder.as_ref(), skip, &mut found);
    found.sort();
    found
}

fn collect(folder: &Path, skip: &[&str], found: &mut Vec<PathBuf>) {
    let Ok(entries) = folder.read_dir() else {
        return;
    };
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            if !skip.iter().any(|name| path.ends_with(name)) {
                collect(&path, skip, found);
            }
        } else {
            found.push(path);
        }
    }
}

/// The newest change among what the page is built from, and how many files that is:
/// a file taken away changes no time.
pub fn sources_state() -> (Option<SystemTime>, usize) {
    let single = ["index.html", "Trunk.toml", "Cargo.toml", "Cargo.lock"];
    let files: Vec<PathBuf> = ["src", "static"]
        .iter()
        .flat_map(|folder| under(folder, &[]))
        .chain(single.map(PathBuf::from))
        .collect();
    let newest = files
        .iter()
        .filter_map(|path| path.metadata().ok()?.modified().ok())
        .max();
    (newest, files.len())
}
