//! Rules of the source tree that no compiler checks: who may import whom, how files open, what may
//! not be written in them.
//!
//! Each rule is a function from text to complaints. One test runs it over the tree; another shows
//! it a planted breach, so that a rule which has stopped finding anything is noticed.
#![cfg(not(target_arch = "wasm32"))]

#[path = "tidy/arrows.rs"]
mod arrows;
#[path = "tidy/text.rs"]
mod text;
#[path = "tidy/tree.rs"]
mod tree;

use tree::File;

/// Runs a rule over the files and shows all complaints at once.
#[track_caller]
fn check(files: &[File], rule: impl Fn(&File) -> Vec<String>) {
    assert!(!files.is_empty(), "the rule looked at no file");
    let complaints: Vec<String> = files.iter().flat_map(rule).collect();
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
}

/// A file that does not exist, for planted breaches.
fn planted(path: &str, text: &str) -> File {
    File {
        path: path.to_owned(),
        text: text.to_owned(),
    }
}

#[test]
fn modules_import_only_what_the_table_allows() {
    check(&tree::rust_in("src"), arrows::complaints);
}

#[test]
fn a_forbidden_import_is_found_in_every_form() {
    let findings = |text: &str| arrows::complaints(&planted("src/findings/fuses.rs", text)).len();
    assert_eq!(
        findings("use crate::plan::Plan;\nuse crate::units::Volts;\n"),
        0
    );
    assert_eq!(findings("use crate::solve::solve;\n"), 1);
    assert_eq!(
        findings("use crate::{\n    plan,\n    solve::{self, Sparse},\n    app,\n};\n"),
        2
    );
    assert_eq!(findings("fn f() { crate::solve::solve() }\n"), 1);
    assert_eq!(findings("use super::super::solve;\n"), 1);
    assert_eq!(
        findings("use super::fuses;\nuse super::super::catalog;\n"),
        0
    );
    // Named in a comment or a text, a module is not imported.
    assert_eq!(
        findings("/// See [`crate::solve`].\nconst A: &str = \"crate::solve\";\n"),
        0
    );
    let at = |path: &str, text: &str| arrows::complaints(&planted(path, text)).len();
    assert_eq!(at("src/units.rs", "use super::plan::Plan;\n"), 1);
    assert_eq!(
        at("src/bin/plancheck.rs", "use loomwright::app::Root;\n"),
        1
    );
    assert_eq!(
        at("src/bin/plancheck.rs", "use loomwright::findings::check;\n"),
        0
    );
    assert_eq!(
        at(
            "src/bin/dev/main.rs",
            "use crate::tools;\nuse loomwright::plan;\n"
        ),
        1
    );
    // A module or a name at the crate's root that the table does not have.
    assert_eq!(at("src/helpers.rs", "\n"), 1);
    assert_eq!(at("src/plan.rs", "use crate::Everything;\n"), 1);
}

#[test]
fn rust_files_open_by_saying_what_they_are() {
    check(&tree::rust(), text::no_opening);
    assert_eq!(
        text::no_opening(&planted("a.rs", "use x;\n//! Late.\n")).len(),
        1
    );
    assert_eq!(text::no_opening(&planted("a.rs", "//!\n")).len(), 1);
}

#[test]
fn browser_crates_stay_in_the_app() {
    let core: Vec<File> = tree::rust_in("src")
        .into_iter()
        .filter(|file| !file.path.starts_with("src/app") && file.path != "src/main.rs")
        .collect();
    check(&core, text::browser_crates);
    let breach = "use web_sys::Window;\nfn f() { gloo_timers::x() }\n// yew in a comment\n";
    assert_eq!(
        text::browser_crates(&planted("src/plan.rs", breach)).len(),
        2
    );
}

#[test]
fn no_line_ends_in_blanks() {
    check(&tree::all(), text::trailing_blanks);
    assert_eq!(
        text::trailing_blanks(&planted("a.css", "a \nb\t\nc\r\nd\n")).len(),
        3
    );
    assert_eq!(
        text::trailing_blanks(&planted("a.css", "no line end")).len(),
        1
    );
}

#[test]
fn nothing_is_left_to_do() {
    check(&tree::written(), text::left_to_do);
    let breach = concat!(
        "// TO",
        "DO\n",
        "fn f() { to",
        "do!() }\n",
        "// FIX",
        "ME\n"
    );
    assert_eq!(text::left_to_do(&planted("a.rs", breach)).len(), 3);
    assert_eq!(
        text::left_to_do(&planted("a.rs", "let todo = mastodon(TODAY);\n")).len(),
        0
    );
}

#[test]
fn no_file_names_a_place_on_one_machine() {
    check(&tree::all(), text::machine_paths);
    let breach = concat!("cd /ho", "me/me\n", "(\"/ro", "ot/x\")\n", "/wo", "rk/y\n");
    assert_eq!(text::machine_paths(&planted("a.md", breach)).len(), 3);
    assert_eq!(
        text::machine_paths(&planted("a.md", "static/work/a, src/root/b\n")).len(),
        0
    );
}

/// Longer source files, each with the reason: one list of same-shaped items.
const LONG: [(&str, &str); 0] = [];

#[test]
fn source_files_stay_readable_in_one_sitting() {
    let complaints = |file: &File| {
        let listed = LONG.iter().any(|(path, _)| *path == file.path);
        text::too_long(file, listed)
    };
    check(&tree::rust_in("src"), complaints);
    let long = "x\n".repeat(451);
    assert_eq!(text::too_long(&planted("src/a.rs", &long), false).len(), 1);
    assert_eq!(text::too_long(&planted("src/a.rs", &long), true).len(), 0);
    // An entry that is no longer needed goes.
    assert_eq!(text::too_long(&planted("src/a.rs", "x\n"), true).len(), 1);
}

#[test]
fn the_top_level_holds_only_what_belongs_there() {
    let names = tree::top_level();
    let strange = tree::strangers(&names);
    assert!(strange.is_empty(), "not on the list: {strange:?}");
    let planted = ["src".to_owned(), "notes.txt".to_owned()];
    assert_eq!(tree::strangers(&planted), ["notes.txt"]);
}
