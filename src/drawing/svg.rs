//! Writes a scene as SVG, with live state laid over it as classes.
//!
//! Halos and glows go under everything else. Every text of the plan is escaped here and nowhere else.

use super::scene::{Anchor, Group, Role, Scene, Shape, Step};
use core::fmt::Write;
use std::collections::BTreeMap;

/// Group id → space separated classes, for example `live`, `back-fed reverse`, `closed`, `level-7 flash`,
/// `selected`, `traced`.
pub type Overlay = BTreeMap<String, String>;

/// Where the looks come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// Classes only; the page brings `drawing.css`.
    Linked,
    /// Self-contained, with a `<style>` element of its own.
    Embedded,
}

const CSS: &str = include_str!("../../static/style/drawing.css");

/// The scene as one `<svg>` element.
pub fn svg(scene: &Scene, overlay: &Overlay, style: Style) -> String {
    let mut out = String::new();
    let (w, h) = (scene.width, scene.height);
    // Writing into a string cannot fail.
    let _ = write!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" class="drawing" viewBox="0 0 {w} {h}" width="{w}" height="{h}" role="group" aria-label="{}">"#,
        escaped(&scene.title)
    );
    let _ = write!(
        out,
        "\n<title>{}</title><desc>{}</desc>\n",
        escaped(&scene.title),
        escaped(&scene.desc)
    );
    if style == Style::Embedded {
        let _ = writeln!(out, "{}", style_element());
    }
    // A file of its own answers no taps.
    groups(&mut out, scene, overlay, |_, shape| {
        style == Style::Linked || shape.role() != Role::Hit
    });
    out.push_str("</svg>\n");
    out
}

/// The looks as an element of the file.
pub(super) fn style_element() -> String {
    format!("<style>\n{CSS}</style>")
}

/// All groups with the shapes that are wanted: halos and glows first, under everything.
pub(super) fn groups(
    out: &mut String,
    scene: &Scene,
    overlay: &Overlay,
    wanted: impl Fn(&Group, &Shape) -> bool,
) {
    let is_under = |shape: &Shape| matches!(shape.role(), Role::Halo | Role::Glow);
    for group in &scene.groups {
        let under = || {
            group
                .shapes
                .iter()
                .filter(|s| is_under(s) && wanted(group, s))
        };
        if under().next().is_some() {
            let _ = write!(out, r#"<g class="under {}">"#, classes(group, overlay));
            under().for_each(|s| shape(out, s));
            out.push_str("</g>\n");
        }
    }
    for group in &scene.groups {
        if !group.shapes.iter().any(|s| wanted(group, s)) {
            continue;
        }
        let _ = write!(
            out,
            r#"<g class="{}" data-id="{}""#,
            classes(group, overlay),
            escaped(&group.id)
        );
        let tappable = group
            .shapes
            .iter()
            .any(|shape| shape.role() == Role::Hit && wanted(group, shape));
        let role = if tappable {
            r#"role="button" tabindex="0""#
        } else {
            r#"role="img""#
        };
        let _ = write!(out, r#" {role} aria-label="{}""#, escaped(&group.label));
        out.push('>');
        for s in &group.shapes {
            if !is_under(s) && wanted(group, s) {
                shape(out, s);
            }
        }
        out.push_str("</g>\n");
    }
}

fn classes(group: &Group, overlay: &Overlay) -> String {
    match overlay.get(&group.id) {
        Some(more) if !more.trim().is_empty() => {
            format!("{} {}", group.class, escaped(more.trim()))
        }
        _ => group.class.to_owned(),
    }
}

fn shape(out: &mut String, shape: &Shape) {
    let class = shape.role().class();
    let _ = match shape {
        Shape::Path { steps, paint, .. } => {
            if steps.is_empty() {
                return;
            }
            let stroke = paint.map_or(String::new(), |paint| format!(r#" stroke="{paint}""#));
            write!(
                out,
                r#"<path class="{class}"{stroke} d="{}"/>"#,
                course(steps)
            )
        }
        Shape::Rect { at, size, .. } => write!(
            out,
            r#"<rect class="{class}" x="{}" y="{}" width="{}" height="{}"/>"#,
            at.0, at.1, size.0, size.1
        ),
        Shape::Circle { at, r, .. } => write!(
            out,
            r#"<circle class="{class}" cx="{}" cy="{}" r="{r}"/>"#,
            at.0, at.1
        ),
        Shape::Text {
            at, anchor, text, ..
        } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            write!(
                out,
                r#"<text class="{class}" x="{}" y="{}" text-anchor="{anchor}">{}</text>"#,
                at.0,
                at.1,
                escaped(text)
            )
        }
    };
}

fn course(steps: &[Step]) -> String {
    let mut d = String::new();
    let mut at = (0.0, 0.0);
    for step in steps {
        let (x, y) = step.end();
        let _ = match step {
            Step::Move(_) => write!(d, "M{x} {y}"),
            Step::Line(_) if y == at.1 => write!(d, "H{x}"),
            Step::Line(_) if x == at.0 => write!(d, "V{y}"),
            Step::Line(_) => write!(d, "L{x} {y}"),
            Step::Hop(_, left) => {
                let r = ((x - at.0).abs() + (y - at.1).abs()) / 2.0;
                write!(d, "A{r} {r} 0 0 {} {x} {y}", u8::from(*left))
            }
        };
        at = (x, y);
    }
    d
}

/// Text safe inside elements and quoted attributes; characters XML forbids become the replacement character.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => {
                out.push('\u{fffd}');
            }
            c => out.push(c),
        }
    }
    out
}
