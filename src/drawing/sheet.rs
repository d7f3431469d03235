//! What stands on a sheet around the drawing: frame, zones and title block. Lengths in millimetres.

use super::pages::{BAND, EDGE, Grid, Sheet, TITLE};
use super::svg::escaped;
use crate::text::say;
use core::fmt::Write;

/// Name of a row of zones.
pub(super) fn letter(row: usize) -> char {
    char::from(b'A' + (row % 26) as u8)
}

/// Hundredths of a millimetre are enough.
pub(super) fn round(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

pub(super) fn text(out: &mut String, (x, y): (f64, f64), size: f64, more: &str, content: &str) {
    let _ = writeln!(
        out,
        r#"<text x="{}" y="{}" font-size="{size}" font-family="system-ui, sans-serif" fill="black"{more}>{}</text>"#,
        round(x),
        round(y),
        escaped(content)
    );
}

pub(super) fn stroke(out: &mut String, width: f64, d: &str) {
    let _ = writeln!(
        out,
        r#"<path fill="none" stroke="black" stroke-width="{width}" d="{d}"/>"#
    );
}

/// Frame with zone marks: numbers along the top, letters down the side.
pub(super) fn frame(out: &mut String, grid: &Grid) {
    let (w, h) = grid.size;
    let inner = EDGE + BAND;
    stroke(
        out,
        0.25,
        &format!("M{EDGE} {EDGE}H{}V{}H{EDGE}Z", w - EDGE, h - EDGE),
    );
    stroke(
        out,
        0.7,
        &format!("M{inner} {inner}H{}V{}H{inner}Z", w - inner, h - inner),
    );
    let (columns, rows) = grid.zones();
    let place = |i: f64, count: usize, length: f64| EDGE + (length - 2.0 * EDGE) * i / count as f64;
    for i in 0..columns {
        let x = round(place(i as f64, columns, w));
        if i > 0 {
            stroke(
                out,
                0.25,
                &format!("M{x} {EDGE}v{BAND}M{x} {}v{BAND}", h - inner),
            );
        }
        let middle = place(i as f64 + 0.5, columns, w);
        for y in [inner - 1.4, h - EDGE - 1.4] {
            text(
                out,
                (middle, y),
                3.0,
                r#" text-anchor="middle""#,
                &format!("{}", i + 1),
            );
        }
    }
    for i in 0..rows {
        let y = round(place(i as f64, rows, h));
        if i > 0 {
            stroke(
                out,
                0.25,
                &format!("M{EDGE} {y}h{BAND}M{} {y}h{BAND}", w - inner),
            );
        }
        let middle = place(i as f64 + 0.5, rows, h) + 1.0;
        for x in [EDGE + BAND / 2.0, w - EDGE - BAND / 2.0] {
            text(
                out,
                (x, middle),
                3.0,
                r#" text-anchor="middle""#,
                &letter(i).to_string(),
            );
        }
    }
}

/// Title, plan, date, revision mark and number of the sheet.
pub(super) fn title_block(
    out: &mut String,
    name: &str,
    grid: &Grid,
    number: usize,
    sheet: &Sheet<'_>,
) {
    let inner = EDGE + BAND;
    let (left, right) = (inner, grid.size.0 - inner);
    let bottom = grid.size.1 - inner;
    let top = bottom - TITLE + 4.0;
    let width = right - left;
    stroke(out, 0.7, &format!("M{left} {top}H{right}"));
    let page = say!("{number} of {}", grid.count());
    // Of a text in letters of `size`, what a cell of this share holds.
    let clip = |text: &str, share: f64, size: f64| {
        let unit = size / 11.0;
        super::symbol::clipped(text, ((width * share - 3.0) / unit) as i32, false)
    };
    let revision = match sheet.revision.trim() {
        "" => "–",
        revision => revision,
    };
    let cells = [
        (say!("Title"), say!("Wiring diagram"), 0.0, 0.185),
        (say!("Plan"), name, 0.185, 0.425),
        (say!("Date"), sheet.date, 0.61, 0.14),
        (say!("Revision"), revision, 0.75, 0.12),
        (say!("Sheet"), page.as_str(), 0.87, 0.13),
    ];
    for (what, content, from, share) in cells {
        let x = round(left + width * from);
        if from > 0.0 {
            stroke(out, 0.25, &format!("M{x} {top}V{bottom}"));
        }
        text(out, (x + 1.5, top + 4.0), 2.4, "", what);
        let large = clip(content, share, 3.6);
        if large == content {
            text(out, (x + 1.5, top + 10.5), 3.6, "", &large);
        } else {
            text(
                out,
                (x + 1.5, top + 10.5),
                2.7,
                "",
                &clip(content, share, 2.7),
            );
        }
    }
}
