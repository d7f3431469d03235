//! A drawing to give away: one SVG file that needs nothing else and carries its plan, and the way back.
//!
//! The plan's text goes into a `metadata` element. What XML forbids or a parser would change is written as the escapes
//! JSON has for it, so the plan comes back to the last character.

use super::scene::Scene;
use super::svg::{Overlay, Style, escaped, svg};
use crate::plan::Plan;
use crate::plan::file::{self, FileError};

const OPEN: &str = "<metadata id=\"loomwright-plan\">";
const CLOSE: &str = "</metadata>";

/// The scene as a file of its own with the plan inside.
pub fn export(plan: &Plan, scene: &Scene, overlay: &Overlay) -> String {
    let drawn = svg(scene, overlay, Style::Embedded);
    let mut json = String::new();
    for c in file::write(plan).chars() {
        match c {
            // Between tokens JSON has only these; inside its texts they are escaped already.
            '\n' | '\r' | '\t' => json.push(' '),
            '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => {
                json.push_str(&format!("\\u{:04x}", c as u32));
            }
            c => json.push(c),
        }
    }
    let metadata = format!("{OPEN}{}{CLOSE}\n", escaped(&json));
    match drawn.find("<desc>") {
        Some(at) => format!("{}{metadata}{}", &drawn[..at], &drawn[at..]),
        None => drawn,
    }
}

/// The plan inside an exported drawing; nothing if there is none.
pub fn plan_of(svg: &str) -> Option<Result<Plan, FileError>> {
    let start = svg.find(OPEN)? + OPEN.len();
    let end = start + svg.get(start..)?.find(CLOSE)?;
    let text = unescaped(svg.get(start..end)?);
    Some(file::read(text.as_bytes()))
}

/// Undoes `escaped`.
fn unescaped(text: &str) -> String {
    let named = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&amp;", "&"),
    ];
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        match named.iter().find(|(name, _)| rest.starts_with(name)) {
            Some((name, plain)) => {
                out.push_str(plain);
                rest = &rest[name.len()..];
            }
            None => {
                out.push('&');
                rest = &rest[1..];
            }
        }
    }
    out.push_str(rest);
    out
}
