//! Makes a built page work offline: writes its service worker, with every file and its SHA-256 sum.
//!
//! Names say nothing about contents: trunk hashes the program before the glue writer changes it. So the version is a sum
//! over all files, and each file is fetched with its own sum. Run by the commands that build the page, after trunk; a
//! hook of trunk would have to compile this program, and with it the whole library, once more.

use crate::files;
use sha2::{Digest, Sha256};
use std::fs;
use std::path::Path;

/// The worker's name in the built page.
const WORKER: &str = "sw.js";

/// Writes `sw.js` into the folder and names it in its `index.html`.
pub fn write(folder: &str) -> Result<(), String> {
    let folder = Path::new(folder);
    let read =
        |path: &Path| fs::read(path).map_err(|e| format!("Cannot read {}: {e}.", path.display()));
    let page = folder.join("index.html");
    let html = read(&page)?;
    let html = String::from_utf8(html).map_err(|_| "index.html is not UTF-8.".to_owned())?;
    let html = noted(&html, "offline", WORKER)?;
    save(&page, &html)?;

    let mut sums = Vec::new();
    for path in files::under(folder, &[]) {
        let name = path.strip_prefix(folder).unwrap_or(&path);
        let name = name.to_string_lossy().replace('\\', "/");
        if name != WORKER {
            sums.push((name, Sha256::digest(read(&path)?).to_vec()));
        }
    }
    let source = read(Path::new("static/sw.js"))?;
    let source = String::from_utf8(source).map_err(|_| "sw.js is not UTF-8.".to_owned())?;
    save(&folder.join(WORKER), &worker(&source, &sums)?)
}

fn save(path: &Path, text: &str) -> Result<(), String> {
    fs::write(path, text).map_err(|e| format!("Cannot write {}: {e}.", path.display()))
}

/// The page with a file named beside the names of the program; the same page again if it is there already.
pub fn noted(html: &str, what: &str, name: &str) -> Result<String, String> {
    let mark = "<meta name=\"app\" ";
    let attribute = format!("data-{what}=\"{name}\" ");
    if html.contains(&attribute) {
        return Ok(html.to_owned());
    }
    match html.find(mark) {
        Some(at) => {
            let (before, after) = html.split_at(at + mark.len());
            Ok(format!("{before}{attribute}{after}"))
        }
        None => Err("index.html has no <meta name=\"app\">: Trunk.toml writes it.".to_owned()),
    }
}

/// The worker's text with version and files filled in.
fn worker(source: &str, sums: &[(String, Vec<u8>)]) -> Result<String, String> {
    let mut whole = Sha256::new();
    let mut list = String::new();
    for (name, sum) in sums {
        whole.update(name);
        whole.update(sum);
        // The page itself is asked for by its address: some hosts send `index.html` there with a redirect.
        let path = if name == "index.html" { "./" } else { name };
        list.push_str(&format!("  ['{path}', 'sha256-{}'],\n", base64(sum)));
    }
    let version: String = whole.finalize()[..8]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    if !source.contains("@VERSION@") || !source.contains("  // @FILES@\n") {
        return Err("static/sw.js has lost its marks.".to_owned());
    }
    Ok(source
        .replace("@VERSION@", &version)
        .replace("  // @FILES@\n", &list))
}

/// Base64 after RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::new();
    for three in bytes.chunks(3) {
        let all = three
            .iter()
            .fold(0_u32, |all, &byte| all << 8 | u32::from(byte))
            << (8 * (3 - three.len()));
        for at in 0..4 {
            let letter = LETTERS[(all >> (18 - 6 * at)) as usize & 63];
            out.push(if at <= three.len() {
                letter.into()
            } else {
                '='
            });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of RFC 4648, section 10.
    #[test]
    fn base64_is_that_of_the_standard() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("fooba", "Zm9vYmE="),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn every_file_is_listed_and_any_change_is_another_version() {
        let source = include_str!("../../../static/sw.js");
        let sums = |text: &str| {
            let of = |text: &str| Sha256::digest(text).to_vec();
            vec![
                ("app.wasm".to_owned(), of(text)),
                ("index.html".to_owned(), of("page")),
            ]
        };
        let one = worker(source, &sums("a")).expect("a worker");
        assert!(
            one.contains("['app.wasm', 'sha256-ypeBEsobvcr6wjGzmiPcTaeG7/gUfE5yuYB3ha/uSLs=']")
        );
        assert!(one.contains("['./', 'sha256-") && !one.contains('@'));
        assert_ne!(one, worker(source, &sums("b")).expect("a worker"));
        assert_eq!(one, worker(source, &sums("a")).expect("a worker"));
        assert!(worker("const FILES = [];", &[]).is_err());
    }

    #[test]
    fn the_worker_is_named_once() {
        let html = "<head><meta name=\"app\" data-js=\"./a.js\"></head>";
        let once = noted(html, "offline", WORKER).expect("a page");
        assert_eq!(
            once,
            "<head><meta name=\"app\" data-offline=\"sw.js\" data-js=\"./a.js\"></head>"
        );
        assert_eq!(noted(&once, "offline", WORKER), Ok(once.clone()));
        assert!(noted("<head></head>", "offline", WORKER).is_err());
    }
}
