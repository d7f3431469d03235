//! Sheets of paper: numbered, titled, nothing lost, every interrupted wire with its reference.

use super::*;
use loomwright::drawing::{Paper, Sheet, pages};

const SHEET: Sheet<'_> = Sheet {
    paper: Paper::A4,
    date: "2026-01-31",
    revision: "B",
};

fn shown(pages: &[String], what: &str) -> usize {
    pages.iter().map(|page| page.matches(what).count()).sum()
}

#[test]
fn a_small_plan_is_one_sheet_with_its_title_block() {
    let (plan, scene) = wagon();
    for (paper, size) in [(Paper::A4, "210mm"), (Paper::Letter, "215.9mm")] {
        let out = pages(&scene, &Sheet { paper, ..SHEET }, Style::Embedded);
        assert_eq!(out.len(), 1);
        assert!(out[0].contains(&format!("width=\"{size}\"")));
        for text in [
            "Wiring diagram",
            plan.title.as_str(),
            "2026-01-31",
            ">B<",
            "1 of 1",
        ] {
            assert!(out[0].contains(text), "{text:?} is missing");
        }
        assert!(!out[0].contains('→'), "nothing is interrupted");
    }
}

#[test]
fn a_long_plan_is_broken_where_nothing_is_cut() {
    let plan = large(5);
    let scene = draw(&plan, &Options::default());
    let out = pages(&scene, &SHEET, Style::Linked);
    assert!(out.len() > 1, "{} sheets", out.len());
    for (i, page) in out.iter().enumerate() {
        assert!(page.contains(&format!(">{} of {}<", i + 1, out.len())));
        assert!(!page.contains("<style"));
    }
    // Each text of the drawing stands on exactly one sheet: none is cut, none is lost.
    let mut wanted: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for shape in scene.groups.iter().flat_map(|g| &g.shapes) {
        if let Shape::Text { text, .. } = shape {
            *wanted.entry(text).or_default() += 1;
        }
    }
    for (text, count) in wanted.into_iter().filter(|(text, _)| text.len() > 4) {
        let text = text.replace('&', "&amp;");
        assert_eq!(shown(&out, &format!(">{text}<")), count, "{text:?}");
    }
    // References come in pairs: one where the wire leaves, one where it goes on.
    let arrows = shown(&out, ">→ ");
    assert!(
        arrows > 0 && arrows.is_multiple_of(2),
        "{arrows} references"
    );
    for (i, page) in out.iter().enumerate() {
        let refers = |other: usize| page.contains(&format!(">→ {other}/"));
        let back = |other: usize| out[other - 1].contains(&format!(">→ {}/", i + 1));
        for other in (1..=out.len()).filter(|&other| refers(other)) {
            assert!(
                back(other),
                "sheet {} names {other}, which does not name it",
                i + 1
            );
        }
    }
}

/// A wire that is interrupted is named on both sides of the border, and no reference stands beyond the paper's edge.
#[test]
fn references_answer_each_other_and_stay_on_the_paper() {
    let scene = draw(&large(5), &Options::default());
    for paper in [Paper::A4, Paper::Letter] {
        let out = pages(&scene, &Sheet { paper, ..SHEET }, Style::Linked);
        let mut named = std::collections::BTreeSet::new();
        for (page, text) in (1..).zip(&out) {
            let number = |line: &str, name: &str| {
                let value = line
                    .split(&format!(" {name}=\""))
                    .nth(1)
                    .and_then(|rest| rest.split('"').next());
                let value = value.map(|value| value.trim_end_matches("mm").parse::<f64>());
                value
                    .and_then(Result::ok)
                    .unwrap_or_else(|| panic!("{name} in {line}"))
            };
            let (width, height) = (number(text, "width"), number(text, "height"));
            for line in text.lines().filter(|line| line.contains(">→ ")) {
                let (x, y) = (number(line, "x"), number(line, "y"));
                assert!(
                    (0.0..width).contains(&x) && (0.0..height).contains(&y),
                    "sheet {page}: {line}"
                );
                let label = line
                    .split(">→ ")
                    .nth(1)
                    .and_then(|rest| rest.split('<').next());
                let (to, rest) = label
                    .and_then(|label| label.split_once('/'))
                    .expect("sheet and zone");
                let (_, wires) = rest.split_once(' ').expect("the wires");
                named.insert((
                    page,
                    to.parse::<usize>().expect("a sheet"),
                    wires.to_owned(),
                ));
            }
        }
        assert!(named.len() > 10, "{} references", named.len());
        for (from, to, wires) in &named {
            let answer = (*to, *from, wires.clone());
            assert!(
                wires.ends_with('…') || named.contains(&answer),
                "{wires} leaves {from} for {to} only"
            );
        }
    }
}

#[test]
fn the_same_sheets_every_time_and_no_markup_from_texts() {
    let (mut plan, _) = wagon();
    plan.title = "<b>&\"x".to_owned();
    let scene = draw(&plan, &Options::default());
    let sheet = Sheet {
        date: "<i>",
        revision: "\"><script>",
        ..SHEET
    };
    let out = pages(&scene, &sheet, Style::Linked);
    assert_eq!(out, pages(&scene, &sheet, Style::Linked));
    assert!(!out[0].contains("<b>") && !out[0].contains("<i>") && !out[0].contains("<script"));
    assert!(
        !out[0].contains("style="),
        "the page's policy forbids style attributes"
    );
}
