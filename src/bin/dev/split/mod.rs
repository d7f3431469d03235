//! Cuts the built program in two, so that a first visit has the start page and the form before the rest has come.
//!
//! `early.txt` lists the functions that ran on such a visit; `cargo dev early` writes it from a build whose functions leave
//! marks ([`Program::marked`]). The build puts them, and the data they can come upon ([`links`]), into the first part.
//! The list only decides what is fast: a function that is missing in it is fetched when it is called.

mod cut;
mod links;
mod program;

use crate::{browser, files, offline, run, tools};
use cut::Kept;
use program::Program;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The names of the functions that run early, one in a line.
const LIST: &str = "src/bin/dev/split/early.txt";
/// Functions smaller than this, in bytes, go along with those that call them: a stand-in is hardly smaller.
const SMALL: usize = 24;
/// The same for generic functions of the standard library. The compiler makes one of those that come out alike for several
/// types, under the name of any of them, so another change elsewhere in the program can give them another name than
/// the list has.
const SMALL_GENERIC: usize = 96;

/// Settings under which the compiler leaves what the cut needs: names, and the places that the linker filled in.
pub const SETTINGS: [(&str, &str); 2] = [
    ("CARGO_PROFILE_RELEASE_STRIP", "debuginfo"),
    (
        "RUSTFLAGS",
        "-Csymbol-mangling-version=v0 -Clink-arg=--emit-relocs",
    ),
];

fn read(path: &Path) -> Result<Vec<u8>, String> {
    fs::read(path).map_err(|e| format!("Cannot read {}: {e}.", path.display()))
}

fn save(path: &Path, bytes: &[u8]) -> Result<(), String> {
    fs::write(path, bytes).map_err(|e| format!("Cannot write {}: {e}.", path.display()))
}

/// The program in a built page.
fn program(folder: &Path) -> Result<PathBuf, String> {
    files::under(folder, &[])
        .into_iter()
        .find(|path| path.to_string_lossy().ends_with("_bg.wasm"))
        .ok_or_else(|| format!("There is no program in {}.", folder.display()))
}

/// A function's name as people write it, without what differs between machines and from one build to the next: numbers
/// that tell copies apart, and places in the table. What is left may stand for several functions.
fn plain(name: &str) -> String {
    // The glue writer's own functions have a word behind the name of the one they wrap.
    let (mangled, kind) = name.split_at(name.find(' ').unwrap_or(name.len()));
    let copy = mangled.trim_end_matches(|c: char| c.is_ascii_digit());
    let mangled = copy.strip_suffix('.').unwrap_or(mangled);
    let name = format!("{:#}{kind}", rustc_demangle::demangle(mangled));
    match name.split_once("shim_idx: ") {
        Some((before, place)) => {
            let behind = place.trim_start_matches(|c: char| c.is_ascii_digit());
            format!("{before}shim_idx{behind}")
        }
        None => name,
    }
}

/// Whether a function is one of the standard library, made for a type.
fn is_generic(name: &str) -> bool {
    let name = plain(name);
    let name = name.trim_start_matches('<');
    ["core::", "alloc::"]
        .iter()
        .any(|library| name.starts_with(library))
}

/// Cuts the program of a page that trunk has just built.
pub fn write(folder: &str) -> Result<(), String> {
    let folder = Path::new(folder);
    let built = program(folder)?;
    let bytes = read(&built)?;
    let whole = Program::read(&bytes)?;
    let linked = read(&linked()?)?;
    let links = links::read(&linked)?;
    let listed = String::from_utf8(read(Path::new(LIST))?).unwrap_or_default();
    let listed: BTreeSet<&str> = listed.lines().collect();
    let mut early: BTreeSet<usize> = (0..whole.len())
        .filter(|&own| listed.contains(plain(whole.name(own)).as_str()))
        .collect();
    let mut added: Vec<usize> = early.iter().copied().collect();
    while let Some(own) = added.pop() {
        for callee in whole.own_callees(own)? {
            let size = whole.size(callee);
            let along = size < SMALL || (size < SMALL_GENERIC && is_generic(whole.name(callee)));
            if along && early.insert(callee) {
                added.push(callee);
            }
        }
    }
    let mut handed = BTreeSet::new();
    for &own in &early {
        // The glue writer adds functions that the linker never saw; they handle what crosses to the browser, no data.
        if links.knows(whole.name(own)) {
            continue;
        }
        if whole.may_name_data(own)? {
            let name = plain(whole.name(own));
            return Err(format!(
                "What data `{name}` needs is not known: the program cannot be cut."
            ));
        }
        handed.extend(whole.may_hand_on(own)?);
    }
    let names = || early.iter().map(|&own| whole.name(own));
    let data = links.reach(names());
    let by_name = links.handed(names(), &data);
    handed.extend((0..whole.len()).filter(|&own| by_name.contains(whole.name(own))));
    // Trunk names files before the glue writer changes them, and the list changes them as well.
    let mut sum = Sha256::new();
    sum.update(&bytes);
    for &own in &early {
        sum.update(own.to_le_bytes());
    }
    let sum: String = sum.finalize()[..6]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let kept = Kept {
        functions: early,
        data,
        handed,
    };
    let parts = whole.cut(&kept, &sum)?;
    let named = |part: &str| format!("loomwright-{sum}_{part}.wasm");
    save(&folder.join(named("first")), &parts.first)?;
    save(&folder.join(named("rest")), &parts.rest)?;
    fs::remove_file(&built).map_err(|e| format!("Cannot remove {}: {e}.", built.display()))?;
    let page = folder.join("index.html");
    let html =
        String::from_utf8(read(&page)?).map_err(|_| "index.html is not UTF-8.".to_owned())?;
    let old = built.file_name().unwrap_or_default().to_string_lossy();
    let html = html.replace(&*old, &named("first"));
    save(
        &page,
        offline::noted(&html, "rest", &named("rest"))?.as_bytes(),
    )
}

/// The program as the linker left it.
fn linked() -> Result<PathBuf, String> {
    let mut cargo = run::cargo(&[]);
    cargo.args(["metadata", "--format-version", "1", "--no-deps"]);
    let said = run::output_of(&mut cargo).ok_or("cargo metadata gives no answer.")?;
    let said: serde_json::Value = serde_json::from_str(&said).map_err(|e| e.to_string())?;
    let target = said["target_directory"]
        .as_str()
        .ok_or("cargo metadata names no target folder.")?;
    Ok(Path::new(target)
        .join(tools::WASM)
        .join("release/loomwright.wasm"))
}

/// `cargo dev early`: finds out again which functions run before the rest is needed.
pub fn run(words: &[String]) -> Result<(), String> {
    if !words.is_empty() {
        return Err("`early` takes no words.".to_owned());
    }
    let browser = browser::ensure()?;
    browser::ensure_node()?;
    let folders = tools::for_page()?;
    tools::trunk(true, &folders)?;
    let built = program(Path::new("dist"))?;
    let bytes = read(&built)?;
    let whole = Program::read(&bytes)?;
    save(&built, &whole.marked()?)?;
    let mut node = run::command("node", &[]);
    node.arg("tests/journeys/early.mjs")
        .env("CHROMIUM", &browser.chromium);
    let marks = run::output_of(&mut node)
        .ok_or("The visit with a marked program failed: run node tests/journeys/early.mjs.")?;
    let marks: Vec<usize> = serde_json::from_str(&marks).map_err(|e| format!("The marks: {e}."))?;
    let names: BTreeSet<String> = marks.iter().map(|&own| plain(whole.name(own))).collect();
    println!("{} of {} functions run early", names.len(), whole.len());
    let list: String = names.iter().map(|name| format!("{name}\n")).collect();
    save(Path::new(LIST), list.as_bytes())?;
    tools::build_page(true, &folders)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_without_what_differs_between_machines() {
        // A name as the compiler writes it, its crate with a sum over versions and paths.
        let name = "_RNvMNtCsgXGp5Oqx2Ny_4core3strNtB2_3Str4trim";
        assert_eq!(plain(name), "<core::str::Str>::trim");
        assert_eq!(
            plain(&format!("{name} externref shim")),
            "<core::str::Str>::trim externref shim"
        );
        assert_eq!(plain(&format!("{name}.1659")), "<core::str::Str>::trim");
        assert_eq!(plain("__wbindgen_malloc"), "__wbindgen_malloc");
        assert_eq!(
            plain("Closure(shim_idx: 69, ret: Unit) externref shim"),
            "Closure(shim_idx, ret: Unit) externref shim"
        );
    }
}
