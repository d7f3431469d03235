//! The plan files of the repository: each opens, and is written back byte for byte.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::plan::file;
use std::path::PathBuf;

fn plan_files() -> Vec<PathBuf> {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<PathBuf> = ["static/examples", "tests/fixtures"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).expect("folder is there"))
        .map(|entry| entry.expect("entry can be read").path())
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    files.sort();
    files
}

/// Canonical form is the form on disk. `UPDATE_EXPECT=1` rewrites the files.
#[test]
fn every_plan_file_is_in_canonical_form() {
    let files = plan_files();
    assert!(
        files.len() >= 5,
        "examples and fixtures are missing: {files:?}"
    );
    for path in files {
        let text = std::fs::read_to_string(&path).expect("file can be read");
        let plan =
            file::read(text.as_bytes()).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let canonical = file::write(&plan);
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            std::fs::write(&path, &canonical).expect("file can be written");
        } else {
            assert_eq!(
                text,
                canonical,
                "{} is not in canonical form",
                path.display()
            );
        }
        assert_eq!(file::read(canonical.as_bytes()).as_ref(), Ok(&plan));
    }
}
