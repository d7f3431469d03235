//! A plan as one HTML page that needs nothing else and runs no script: notes, drawing, behaviour, findings, parts, wires.
//! The drawing in it carries the plan, so the page can be opened in Loomwright again.

use crate::behaviour::{Table, Verdict};
use crate::catalog::conductor;
use crate::drawing::{Options, Overlay, draw, escaped, export};
use crate::findings::{Finding, state_words};
use crate::plan::Plan;
use crate::text::{self, say};
use core::fmt::Write;

/// States written; a page of more helps nobody on paper.
const MOST_STATES: usize = 400;

/// Everything is inside; even if a text escaped its escaping, nothing would run and nothing would be fetched.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";

const CSS: &str = "body{margin:1rem auto;max-width:64rem;padding:0 1rem;font:1rem/1.45 system-ui,sans-serif;color:#14202b;background:#fff}\
h1{font-size:1.5rem}h2{font-size:1.2rem;margin-top:2rem;border-top:3px solid #14202b;padding-top:.5rem}\
.wide{overflow-x:auto}table{border-collapse:collapse}th,td{border:1px solid #8a949e;padding:.3rem .5rem;text-align:left;vertical-align:top}\
thead th{background:#f2f4f6}.wrong{background:#fdeef9;font-weight:600}.notes{white-space:pre-wrap}.caution{border-left:6px solid #f0a000;background:#fff3db;padding:.5rem .75rem}\
svg{max-width:100%;height:auto}@media print{thead{display:table-header-group}tr{break-inside:avoid}}";

/// The page.
pub fn page(plan: &Plan, table: &Table, findings: &[Finding]) -> String {
    let title = if plan.title.trim().is_empty() {
        say!("Plan without a title")
    } else {
        plan.title.as_str()
    };
    let title = escaped(title);
    let language = text::language();
    let mut out = String::new();
    // Writing into a string cannot fail.
    let _ = write!(
        out,
        "<!doctype html>\n<html lang=\"{language}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>{CSS}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n\
         <p class=\"caution\"><strong>{}</strong> {}</p>\n",
        say!("Before you work:"),
        say!(
            "disconnect the battery. Made with Loomwright, which advises and does not certify; on the road your local \
             code applies."
        )
    );
    if !plan.notes.trim().is_empty() {
        let _ = write!(
            out,
            "<h2>{}</h2>\n<p class=\"notes\">{}</p>\n",
            say!("Notes"),
            escaped(&plan.notes)
        );
    }
    let scene = draw(plan, &Options::default());
    // Nothing answers a tap here. No text of the plan holds these words: its quotation marks are escaped.
    let drawing = export(plan, &scene, &Overlay::new())
        .replace("role=\"button\" tabindex=\"0\"", "role=\"img\"");
    let _ = writeln!(out, "<h2>{}</h2>", say!("Drawing"));
    wide(&mut out, say!("Drawing"), &drawing);
    behaviour(&mut out, plan, table);
    let name = say!("What the checks say");
    if findings.is_empty() {
        let _ = write!(
            out,
            "<h2>{name}</h2>\n<p>{}</p>\n",
            say!("Nothing to look at.")
        );
    } else {
        let rows = findings.iter().map(|finding| {
            let about = finding.about.join(", ");
            texts([
                &finding.text,
                finding.severity.word(),
                &about,
                text::of(finding.source),
            ])
        });
        listing(
            &mut out,
            name,
            texts([
                say!("What"),
                say!("Severity"),
                say!("About"),
                say!("Source"),
            ]),
            rows.collect(),
        );
    }
    let rows = plan.parts.iter().map(|part| {
        let place = part.place.as_ref().map(|id| match plan.place(id) {
            Some(place) => place.label.as_str(),
            None => id.as_str(),
        });
        texts([
            part.id.as_str(),
            part.kind.text(),
            &part.label,
            place.unwrap_or_default(),
            &part.why,
        ])
    });
    listing(
        &mut out,
        say!("Parts"),
        texts([
            say!("Part"),
            say!("Kind"),
            say!("Name"),
            say!("Place"),
            say!("Why"),
        ]),
        rows.collect(),
    );
    let rows = plan.wires.iter().map(|wire| {
        let size =
            conductor::find(&wire.size).map_or_else(|| wire.size.clone(), conductor::Row::name);
        texts([
            wire.id.as_str(),
            &wire.from.to_string(),
            &wire.to.to_string(),
            &wire.length_mm.to_string(),
            &size,
            &wire.colour,
            &wire.why,
        ])
    });
    let heads = texts([
        say!("Wire"),
        say!("From"),
        say!("To"),
        say!("Length"),
        say!("Size"),
        say!("Colour"),
        say!("Why"),
    ]);
    listing(&mut out, say!("Wires"), heads, rows.collect());
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// The behaviour table: a row for each state, a column for each lamp circuit.
fn behaviour(out: &mut String, plan: &Plan, table: &Table) {
    let circuits = plan.lamp_circuits();
    let mut heads = texts([say!("State")]);
    heads.extend(table.lamps.iter().map(|lamp| {
        let known = circuits.iter().find(|circuit| circuit.id == *lamp);
        known.map_or_else(|| lamp.to_string(), |circuit| circuit.label.clone())
    }));
    let rows = table.rows.iter().take(MOST_STATES).map(|row| {
        let mut cells = vec![state_words(plan, &row.state)];
        cells.extend(row.cells.iter().map(|cell| match cell.verdict {
            Verdict::AsWished => say!("{}, as wished", cell.shows.word()),
            other => format!("{WRONG}{}, {}", cell.shows.word(), other.word()),
        }));
        cells
    });
    listing(out, say!("Behaviour"), heads, rows.collect());
    if let Some(left @ 1..) = table.rows.len().checked_sub(MOST_STATES) {
        let _ = writeln!(
            out,
            "<p>{}</p>",
            say!("{left} more states are in Loomwright.")
        );
    }
}

/// Stands before what is not as wished, for the eye and for a search of the page.
const WRONG: &str = "! ";

fn texts<const N: usize>(of: [&str; N]) -> Vec<String> {
    of.into_iter().map(str::to_owned).collect()
}

/// A heading and a table; the first cell of a row is its head.
fn listing(out: &mut String, name: &str, heads: Vec<String>, rows: Vec<Vec<String>>) {
    let mut inner = String::from("<table>\n<thead><tr>");
    for head in heads {
        let _ = write!(inner, "<th scope=\"col\">{}</th>", escaped(&head));
    }
    inner.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        inner.push_str("<tr>");
        for (at, cell) in row.iter().enumerate() {
            let tag = match (at, cell.starts_with(WRONG)) {
                (0, _) => "th scope=\"row\"",
                (_, true) => "td class=\"wrong\"",
                (_, false) => "td",
            };
            let _ = write!(inner, "<{tag}>{}</{}>", escaped(cell), &tag[..2]);
        }
        inner.push_str("</tr>\n");
    }
    inner.push_str("</tbody>\n</table>\n");
    let _ = writeln!(out, "<h2>{name}</h2>");
    wide(out, name, &inner);
}

/// Something that may be wider than the screen, and then scrolls on its own.
fn wide(out: &mut String, name: &str, inner: &str) {
    let _ = writeln!(
        out,
        "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{name}\">\n{inner}</div>"
    );
}
