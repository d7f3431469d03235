//! A plan as one HTML page that needs nothing else and runs no script: notes, drawing, behaviour, findings, parts, wires.
//! The drawing in it carries the plan, so the page can be opened in Loomwright again.

use crate::behaviour::{Cell, Table};
use crate::catalog::conductor;
use crate::drawing::{Options, Overlay, draw, escaped, export};
use crate::findings::{Finding, state_words};
use crate::plan::Plan;
use core::fmt::{Display, Write};

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
        "Plan without a title"
    } else {
        plan.title.as_str()
    };
    let title = escaped(title);
    let mut out = String::new();
    // Writing into a string cannot fail.
    let _ = write!(
        out,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>{CSS}</style>\n</head>\n<body>\n<h1>{title}</h1>\n\
         <p class=\"caution\"><strong>Before you work:</strong> disconnect the battery. Made with Loomwright, which advises and \
         does not certify; on the road your local code applies.</p>\n"
    );
    if !plan.notes.trim().is_empty() {
        let _ = write!(
            out,
            "<h2>Notes</h2>\n<p class=\"notes\">{}</p>\n",
            escaped(&plan.notes)
        );
    }
    let scene = draw(plan, &Options::default());
    let _ = write!(
        out,
        "<h2>Drawing</h2>\n<div class=\"wide\">\n{}</div>\n",
        export(plan, &scene, &Overlay::new())
    );
    behaviour(&mut out, plan, table);
    out.push_str("<h2>What the checks say</h2>\n");
    if findings.is_empty() {
        out.push_str("<p>Nothing to look at.</p>\n");
    } else {
        let rows = findings.iter().map(|finding| {
            let about = finding.about.join(", ");
            [
                finding.severity.text().into(),
                finding.text.clone(),
                about,
                finding.source.into(),
            ]
        });
        rows_of(&mut out, ["Severity", "What", "About", "Source"], rows);
    }
    out.push_str("<h2>Parts</h2>\n");
    let rows = plan.parts.iter().map(|part| {
        let place = part.place.as_ref().map(|id| {
            let place = plan.place(id).map(|place| place.label.clone());
            place.unwrap_or_else(|| id.to_string())
        });
        [
            part.id.to_string(),
            part.kind.text().into(),
            part.label.clone(),
            place.unwrap_or_default(),
            part.why.clone(),
        ]
    });
    rows_of(&mut out, ["Part", "Kind", "Name", "Place", "Why"], rows);
    out.push_str("<h2>Wires</h2>\n");
    let rows = plan.wires.iter().map(|wire| {
        let size = conductor::find(&wire.size).map_or(wire.size.as_str(), |row| row.label);
        [
            wire.id.to_string(),
            wire.from.to_string(),
            wire.to.to_string(),
            wire.length_mm.to_string(),
            size.into(),
            wire.colour.clone(),
            wire.why.clone(),
        ]
    });
    rows_of(
        &mut out,
        ["Wire", "From", "To", "Length", "Size", "Colour", "Why"],
        rows,
    );
    out.push_str("</body>\n</html>\n");
    out
}

/// The behaviour table: a row for each state, a column for each lamp circuit.
fn behaviour(out: &mut String, plan: &Plan, table: &Table) {
    out.push_str("<h2>Behaviour</h2>\n<div class=\"wide\">\n<table>\n<thead><tr><th scope=\"col\">State</th>");
    let circuits = plan.lamp_circuits();
    for lamp in &table.lamps {
        let known = circuits.iter().find(|circuit| circuit.id == *lamp);
        let label = known.map_or_else(|| lamp.to_string(), |circuit| circuit.label.clone());
        let _ = write!(out, "<th scope=\"col\">{}</th>", escaped(&label));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in table.rows.iter().take(MOST_STATES) {
        let _ = write!(
            out,
            "<tr><th scope=\"row\">{}</th>",
            escaped(&state_words(plan, &row.state))
        );
        for cell in &row.cells {
            let Cell { shows, verdict, .. } = cell;
            let (class, verdict) = match verdict {
                crate::behaviour::Verdict::AsWished => ("", "as wished"),
                other => (" class=\"wrong\"", other.text()),
            };
            let _ = write!(out, "<td{class}>{}<br>{verdict}</td>", shows.text());
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n</div>\n");
    if let Some(left @ 1..) = table.rows.len().checked_sub(MOST_STATES) {
        let _ = writeln!(out, "<p>{left} more states are in Loomwright.</p>");
    }
}

fn rows_of<const N: usize>(
    out: &mut String,
    heads: [&str; N],
    rows: impl Iterator<Item = [String; N]>,
) {
    out.push_str("<div class=\"wide\">\n<table>\n<thead><tr>");
    for head in heads {
        let _ = write!(out, "<th scope=\"col\">{head}</th>");
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for cell in row {
            cell_of(out, &escaped(&cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n</div>\n");
}

fn cell_of(out: &mut String, text: &dyn Display) {
    let _ = write!(out, "<td>{text}</td>");
}
