//! Makes one file of the built page's style sheets, in their order.
//!
//! A browser opens six connections to a host that speaks HTTP/1.1. Seven style sheets took all of them on a first visit, and
//! the program waited for a round trip of the network.

use sha2::{Digest, Sha256};
use std::fs;
use std::path::Path;

/// What a link to a style sheet starts with, as trunk writes it.
const LINK: &str = "<link rel=\"stylesheet\" href=\"./";

/// Joins the style sheets of the page in this folder.
pub fn write(folder: &str) -> Result<(), String> {
    let folder = Path::new(folder);
    let page = folder.join("index.html");
    let read = |path: &Path| {
        fs::read_to_string(path).map_err(|e| format!("Cannot read {}: {e}.", path.display()))
    };
    let html = read(&page)?;
    let names = named(&html);
    if names.len() < 2 {
        return Ok(());
    }
    let mut all = String::new();
    for name in &names {
        all.push_str(&bare(&read(&folder.join(name))?)?);
    }
    let sum: String = Sha256::digest(&all)[..6]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let joined = format!("style-{sum}.css");
    let save = |name: &str, text: &str| {
        fs::write(folder.join(name), text).map_err(|e| format!("Cannot write {name}: {e}."))
    };
    save(&joined, &all)?;
    save("index.html", &linked(&html, &joined))?;
    for name in names {
        let path = folder.join(name);
        fs::remove_file(&path).map_err(|e| format!("Cannot remove {}: {e}.", path.display()))?;
    }
    Ok(())
}

/// The names of the page's style sheets, in its order.
fn named(html: &str) -> Vec<&str> {
    html.split(LINK)
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect()
}

/// The page with one link, where the first of its style sheets stood.
fn linked(html: &str, name: &str) -> String {
    let mut parts = html.split(LINK);
    let mut page = parts.next().unwrap_or_default().to_owned();
    page.push_str(&format!("{LINK}{name}\"/>"));
    for part in parts {
        page.push_str(
            part.split_once("/>")
                .map_or("", |(_, rest)| rest)
                .trim_start(),
        );
    }
    page
}

/// A style sheet without comments and indents.
fn bare(css: &str) -> Result<String, String> {
    let mut text = String::new();
    let mut rest = css;
    while let Some((before, comment)) = rest.split_once("/*") {
        text.push_str(before);
        rest = comment
            .split_once("*/")
            .ok_or("A comment in a style sheet has no end.")?
            .1;
    }
    text.push_str(rest);
    Ok(text
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .fold(String::new(), |all, line| all + line + "\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_link_stands_for_all_in_their_order() {
        let html = "<head><link rel=\"stylesheet\" href=\"./b-1.css\" integrity=\"x\"/>\n\
                    <link rel=\"stylesheet\" href=\"./a-2.css\"/>\n<meta name=\"app\"></head>";
        assert_eq!(named(html), ["b-1.css", "a-2.css"]);
        assert_eq!(
            linked(html, "style-3.css"),
            "<head><link rel=\"stylesheet\" href=\"./style-3.css\"/><meta name=\"app\"></head>"
        );
    }

    #[test]
    fn comments_and_indents_go_and_rules_stay() {
        let css = "/* Why. */\n@layer a {\n  b { color: red; /* no */ }\n\n}\n";
        assert_eq!(
            bare(css).as_deref(),
            Ok("@layer a {\nb { color: red;  }\n}\n")
        );
        assert!(bare("a /* b").is_err());
    }
}
