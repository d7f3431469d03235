//! Sheets of paper: the scene broken over A4 or Letter pages, each with a frame, zones and a title block.
//!
//! The drawing is never printed with letters below 1.7 mm; what is wider or higher than a sheet is cut where no symbol,
//! text or parallel wire lies and the fewest wires run across (as IEC 61082-1 has it, every interrupted wire names sheet
//! and zone of its other end). Zones after ISO 5457, title block after ISO 7200, from memory. Lengths in millimetres.

use super::scene::{Bounds, Group, Point, Role, Scene, Shape, Terminal};
use super::sheet::{frame, letter, round, stroke, text, title_block};
use super::survey::{owner, segments};
use super::svg::{Overlay, Style, escaped, groups, style_element};
use crate::text::say;
use core::fmt::Write;

/// Size of the sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm × 297 mm.
    A4,
    /// 8.5 in × 11 in.
    Letter,
}

/// What stands on every sheet besides the drawing.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// Its size.
    pub paper: Paper,
    /// Date, as text.
    pub date: &'a str,
    /// Revision mark.
    pub revision: &'a str,
}

/// Millimetres a unit of the drawing: letters of 2.5 mm, and the least that can be read.
const LARGE: f64 = 0.32;
const SMALL: f64 = 0.22;
/// Edge of the paper to the frame, and the frame to the drawing.
pub(super) const EDGE: f64 = 7.0;
pub(super) const BAND: f64 = 5.0;
/// Height of the title block.
pub(super) const TITLE: f64 = 18.0;
/// Room for references beside a cut.
const REFERENCE: f64 = 24.0;
/// Edge of a zone, about.
const ZONE: f64 = 50.0;

/// Everything about the grid of sheets.
pub(super) struct Grid {
    /// Name of the paper as it lies, for the printer's choice of page.
    name: &'static str,
    /// Width and height of the paper.
    pub size: (f64, f64),
    /// Millimetres a unit.
    scale: f64,
    /// Borders of the tiles, in units of the drawing.
    xs: Vec<f64>,
    ys: Vec<f64>,
}

impl Grid {
    /// Where a tile's upper left corner lies on its sheet.
    fn origin(&self) -> (f64, f64) {
        let cut = |borders: &[f64]| if borders.len() > 2 { REFERENCE } else { 0.0 };
        let start = EDGE + BAND + 1.0;
        (start + cut(&self.xs), start + cut(&self.ys))
    }

    pub fn count(&self) -> usize {
        (self.xs.len() - 1) * (self.ys.len() - 1)
    }

    /// Number of the sheet of a tile: row by row.
    fn number(&self, column: usize, row: usize) -> usize {
        row * (self.xs.len() - 1) + column + 1
    }

    /// Zone of a point of the drawing on the sheet of a tile.
    fn zone(&self, column: usize, row: usize, at: (f64, f64)) -> String {
        let (origin, (columns, rows)) = (self.origin(), self.zones());
        let place = |at: f64, from: f64, origin: f64, size: f64, count: usize| {
            let along = (origin + (at - from) * self.scale - EDGE) / (size - 2.0 * EDGE);
            ((along * count as f64).max(0.0) as usize).min(count - 1)
        };
        let x = place(at.0, self.xs[column], origin.0, self.size.0, columns);
        let y = place(at.1, self.ys[row], origin.1, self.size.1, rows);
        format!("{}{}", letter(y), x + 1)
    }

    pub fn zones(&self) -> (usize, usize) {
        let count = |length: f64| (((length - 2.0 * EDGE) / ZONE) as usize).max(2);
        (count(self.size.0), count(self.size.1))
    }
}

/// Room for the drawing on a sheet of this size.
fn room(size: (f64, f64)) -> (f64, f64) {
    let frame = 2.0 * (EDGE + BAND + 1.0);
    (size.0 - frame, size.1 - frame - TITLE)
}

/// A drawing on sheets of paper, one SVG each. Nothing in it depends on a clock: the date is what `sheet` says.
pub fn pages(scene: &Scene, sheet: &Sheet<'_>, style: Style) -> Vec<String> {
    let grid = grid(scene, sheet.paper);
    let mut out = Vec::new();
    for row in 0..grid.ys.len() - 1 {
        for column in 0..grid.xs.len() - 1 {
            out.push(page(scene, &grid, (column, row), sheet, style));
        }
    }
    out
}

/// Chooses how the paper lies and how large the drawing is printed, fewest sheets first, then largest letters.
fn grid(scene: &Scene, paper: Paper) -> Grid {
    let (short, long) = match paper {
        Paper::A4 => (210.0, 297.0),
        Paper::Letter => (215.9, 279.4),
    };
    let mut best: Option<Grid> = None;
    let names = match paper {
        Paper::A4 => ["a4", "a4-wide"],
        Paper::Letter => ["letter", "letter-wide"],
    };
    for (size, name) in [(short, long), (long, short)].into_iter().zip(names) {
        let (w, h) = room(size);
        let whole = (w / scene.width).min(h / scene.height);
        let wide = w / scene.width;
        for scale in [whole, wide, SMALL, LARGE] {
            if !(SMALL..=LARGE).contains(&scale.min(LARGE)) {
                continue;
            }
            let scale = scale.min(LARGE);
            let borders = |total: f64, room: f64, level: bool| {
                if total * scale <= room {
                    vec![0.0, total]
                } else {
                    cuts(scene, total, (room - 2.0 * REFERENCE) / scale, level)
                }
            };
            let next = Grid {
                name,
                size,
                scale,
                xs: borders(scene.width, w, false),
                ys: borders(scene.height, h, true),
            };
            let better = best.as_ref().is_none_or(|best| {
                next.count() < best.count() || (next.count() == best.count() && scale > best.scale)
            });
            if better {
                best = Some(next);
            }
        }
    }
    best.unwrap_or(Grid {
        name: names[0],
        size: (short, long),
        scale: SMALL,
        xs: vec![0.0, scene.width],
        ys: vec![0.0, scene.height],
    })
}

/// Borders of tiles no longer than `limit` along one direction; `level` cuts run from left to right. A cut never runs
/// along a wire or between the terminals of one symbol; it crosses few wires and little else, and leaves little empty.
fn cuts(scene: &Scene, total: f64, limit: f64, level: bool) -> Vec<f64> {
    let span = |b: Bounds| if level { (b.y0, b.y1) } else { (b.x0, b.x1) };
    let (mut hard, mut soft) = (Vec::new(), Vec::new());
    let mut wires = Vec::new();
    for group in &scene.groups {
        for (a, b) in segments(group, Role::Halo) {
            let (lo, hi) = span(Bounds::point(a).joined(Bounds::point(b)));
            if lo == hi {
                hard.push((lo - 8.0, hi + 8.0));
            } else {
                wires.push((lo, hi));
            }
        }
        let shown = |shape: &&Shape| !matches!(shape.role(), Role::Hit | Role::Glow);
        let solid = |shape: &&Shape| group.class != "wire" || matches!(shape, Shape::Text { .. });
        let shapes = group.shapes.iter().filter(shown).filter(solid);
        soft.extend(shapes.filter_map(Shape::bounds).map(span));
    }
    for terminals in scene
        .terminals
        .chunk_by(|a, b| a.group == b.group && a.leaves.is_some())
    {
        let points = terminals.iter().map(|t| Bounds::point(t.at));
        if let Some(all) = points.reduce(Bounds::joined) {
            let (lo, hi) = span(all);
            hard.push((lo - 8.0, hi + 8.0));
        }
    }
    let hits =
        |list: &[(f64, f64)], at: f64| list.iter().filter(|(lo, hi)| *lo < at && at < *hi).count();
    let mut out = vec![0.0];
    let mut start = 0.0;
    while total - start > limit {
        let whole = limit.max(50.0) as usize;
        let best = (whole / 2..=whole)
            .map(|d| start + d as f64)
            .min_by_key(|&at| {
                let empty = (start + limit - at) as usize;
                let price = 12 * hits(&wires, at) + 20 * hits(&soft, at) + empty;
                (hits(&hard, at), price)
            });
        start = best.unwrap_or(start + limit);
        out.push(start);
    }
    out.push(total);
    out
}

/// Whether a point lies on a tile; borders belong to the tile after them.
fn on(tile: Bounds, at: Point) -> bool {
    tile.x0 <= at.0 && at.0 < tile.x1 && tile.y0 <= at.1 && at.1 < tile.y1
}

/// The place that decides on which sheet a shape stands: its own middle or, for a symbol, the nearest of its terminals,
/// so that no symbol is torn.
fn home(scene: &Scene, group: &Group, shape: &Shape) -> Option<Point> {
    let b = shape.bounds()?;
    let middle = ((b.x0 + b.x1) / 2.0, (b.y0 + b.y1) / 2.0);
    let id = owner(group);
    let away = |t: &&Terminal| (t.at.0 - middle.0).abs() + (t.at.1 - middle.1).abs();
    let own = scene.terminals.iter().filter(|t| {
        group.class != "wire"
            && t.leaves.is_some()
            && t.group.split_once('-').is_some_and(|(_, o)| o == id)
    });
    let nearest = own.min_by(|a, b| away(a).total_cmp(&away(b)));
    Some(nearest.map_or(middle, |t| t.at))
}

fn page(
    scene: &Scene,
    grid: &Grid,
    (column, row): (usize, usize),
    sheet: &Sheet<'_>,
    style: Style,
) -> String {
    let (w, h) = grid.size;
    let number = grid.number(column, row);
    let title = say!("{}, sheet {number} of {}", scene.title, grid.count());
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="sheet {1}" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="group" aria-label="{0}">
<title>{0}</title>
"#,
        escaped(&title),
        grid.name
    );
    if style == Style::Embedded {
        let _ = writeln!(out, "{}", style_element());
    }
    frame(&mut out, grid);
    title_block(&mut out, &scene.title, grid, number, sheet);
    let tile = Bounds {
        x0: grid.xs[column],
        x1: grid.xs[column + 1],
        y0: grid.ys[row],
        y1: grid.ys[row + 1],
    };
    let (x, y) = grid.origin();
    let (width, height) = (tile.x1 - tile.x0, tile.y1 - tile.y0);
    let layer = |out: &mut String, overflow: &str, wanted: &dyn Fn(&Group, &Shape) -> bool| {
        let _ = writeln!(
            out,
            r#"<svg class="drawing" x="{x}" y="{y}" width="{}" height="{}" viewBox="{} {} {width} {height}" overflow="{overflow}">"#,
            round(width * grid.scale),
            round(height * grid.scale),
            tile.x0,
            tile.y0
        );
        groups(out, scene, &Overlay::new(), |group, shape| {
            shape.role() != Role::Hit && wanted(group, shape)
        });
        out.push_str("</svg>\n");
    };
    let bare = |group: &Group, shape: &Shape| {
        matches!(group.class, "wire" | "coupling") && !matches!(shape, Shape::Text { .. })
    };
    layer(&mut out, "hidden", &|group, shape| {
        bare(group, shape) && shape.bounds().is_some_and(|b| b.grown(1.0).overlaps(tile))
    });
    layer(&mut out, "visible", &|group, shape| {
        !bare(group, shape) && home(scene, group, shape).is_some_and(|at| on(tile, at))
    });
    references(&mut out, scene, grid, (column, row));
    out.push_str("</svg>\n");
    out
}

/// Where wires go on: at every cut, the wires and the sheet and zone of their other end.
fn references(out: &mut String, scene: &Scene, grid: &Grid, (column, row): (usize, usize)) {
    let (x0, x1) = (grid.xs[column], grid.xs[column + 1]);
    let (y0, y1) = (grid.ys[row], grid.ys[row + 1]);
    let origin = grid.origin();
    let on_sheet = |at: (f64, f64)| {
        (
            origin.0 + (at.0 - x0) * grid.scale,
            origin.1 + (at.1 - y0) * grid.scale,
        )
    };
    // Border, whether it is level, the tile beyond it, and the direction of the arrow.
    let mut borders = Vec::new();
    if column > 0 {
        borders.push((x0, false, (column - 1, row), -1.0));
    }
    if column + 2 < grid.xs.len() {
        borders.push((x1, false, (column + 1, row), 1.0));
    }
    if row > 0 {
        borders.push((y0, true, (column, row - 1), -1.0));
    }
    if row + 2 < grid.ys.len() {
        borders.push((y1, true, (column, row + 1), 1.0));
    }
    for (border, level, (c, r), way) in borders {
        let mut crossed: Vec<((f64, f64), Vec<&str>)> = Vec::new();
        for group in scene.groups.iter().filter(|group| group.class == "wire") {
            let id = group.id.trim_start_matches("wire-");
            for (a, b) in segments(group, Role::Halo) {
                let at = if level { (a.0, border) } else { (border, a.1) };
                let (lo, hi) = if level {
                    (a.1.min(b.1), a.1.max(b.1))
                } else {
                    (a.0.min(b.0), a.0.max(b.0))
                };
                let inside = if level {
                    x0 <= at.0 && at.0 < x1
                } else {
                    y0 <= at.1 && at.1 < y1
                };
                if !(lo < border && border < hi && inside) {
                    continue;
                }
                match crossed.iter_mut().find(|(place, _)| *place == at) {
                    Some((_, ids)) => ids.push(id),
                    None => crossed.push((at, vec![id])),
                }
            }
        }
        for (at, ids) in crossed {
            let target = format!("{}/{}", grid.number(c, r), grid.zone(c, r, at));
            let wires = match ids.as_slice() {
                [one] => (*one).to_owned(),
                [one, other] => format!("{one}, {other}"),
                [one, rest @ ..] => format!("{one} +{}", rest.len()),
                [] => continue,
            };
            let label = super::symbol::clipped(&format!("→ {target} {wires}"), 86, false);
            let (x, y) = on_sheet(at);
            let (x, y) = (round(x), round(y));
            if level {
                stroke(
                    out,
                    0.4,
                    &format!(
                        "M{} {}L{x} {}L{} {}",
                        x - 1.2,
                        y + way,
                        y + way * 3.0,
                        x + 1.2,
                        y + way
                    ),
                );
                let anchor = if way > 0.0 { "end" } else { "start" };
                let more = format!(
                    r#" text-anchor="{anchor}" transform="rotate(-90 {} {})""#,
                    round(x + 0.9),
                    round(y + way * 4.0)
                );
                text(out, (x + 0.9, y + way * 4.0), 2.5, &more, &label);
            } else {
                stroke(
                    out,
                    0.4,
                    &format!(
                        "M{} {}L{} {y}L{} {}",
                        x + way,
                        y - 1.2,
                        x + way * 3.0,
                        x + way,
                        y + 1.2
                    ),
                );
                let anchor = if way > 0.0 { "start" } else { "end" };
                text(
                    out,
                    (x + way * 4.0, y + 0.9),
                    2.5,
                    &format!(r#" text-anchor="{anchor}""#),
                    &label,
                );
            }
        }
    }
}
