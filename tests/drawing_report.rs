//! Figures of the drawing over the corpus, and the same graphs as JSON for the comparison in `tests/elk`.
//!
//! `cargo test --test drawing_report -- --ignored --nocapture` prints the table and writes `tests/out/corpus.json`;
//! `node tests/elk/compare.mjs` then lays the same graphs out with a general-purpose library, `node
//! tests/journeys/redraw.mjs` times the plans in the page.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::disallowed_methods,
    reason = "the report times the layout; the core has no clocks"
)]

#[path = "shared/corpus.rs"]
mod corpus;
#[path = "shared/random.rs"]
mod random;

use loomwright::drawing::{
    Figures, Leaves, Options, Overlay, Paper, Role, Scene, Shape, Sheet, Style, Symbols, draw,
    figures, pages, svg, verify,
};
use loomwright::plan::Plan;
use serde_json::{Value, json};
use std::time::Instant;

#[test]
fn the_corpus_is_as_wide_as_said() {
    let sizes: Vec<usize> = corpus::plans().iter().map(|(_, p)| p.parts.len()).collect();
    assert!(sizes.len() >= 40, "{} plans", sizes.len());
    assert!(sizes.iter().all(|n| (5..=156).contains(n)), "{sizes:?}");
    assert!(
        sizes.iter().any(|&n| n <= 6) && sizes.iter().any(|&n| n >= 145),
        "{sizes:?}"
    );
}

#[test]
fn the_corpus_is_drawn_clean_and_within_bounds() {
    let mut bends = 0.0;
    let mut count = 0;
    for (name, plan) in corpus::plans() {
        let scene = draw(&plan, &Options::default());
        assert_eq!(verify(&plan, &scene), Vec::<String>::new(), "{name}");
        bends += figures(&plan, &scene).bends_per_wire;
        count += 1;
    }
    let mean = bends / f64::from(count);
    assert!(mean <= 1.5, "{mean} bends per wire");
}

/// A finger finds every switch at the usual size, which is 1:1 at least: its tap area is 44 units in both directions.
#[test]
fn switches_of_the_corpus_are_easy_to_hit() {
    let mut small = Vec::new();
    let mut count = 0;
    for (name, plan) in corpus::plans() {
        let scene = draw(&plan, &Options::default());
        let switches = plan
            .parts
            .iter()
            .filter(|part| matches!(&part.kind, loomwright::plan::Kind::Switch(_)));
        for id in switches.map(|part| format!("part-{}", part.id)) {
            let group = scene.groups.iter().find(|group| group.id == id);
            let size = group
                .into_iter()
                .flat_map(|g| &g.shapes)
                .find_map(|s| match s {
                    Shape::Rect {
                        role: Role::Hit,
                        size,
                        ..
                    } => Some(*size),
                    _ => None,
                });
            count += 1;
            if !size.is_some_and(|(w, h)| w >= 44.0 && h >= 44.0) {
                small.push(format!("{name} {id} {size:?}"));
            }
        }
    }
    assert!(count > 100);
    assert_eq!(small, Vec::<String>::new(), "of {count}");
}

/// Every terminal named once per chassis symbol, every wire at two of them.
#[test]
fn terminals_name_every_wire_twice() {
    for (name, plan) in corpus::plans() {
        let scene = draw(&plan, &Options::default());
        for wire in &plan.wires {
            let group = format!("wire-{}", wire.id);
            let at: Vec<&str> = scene
                .terminals
                .iter()
                .flat_map(|t| {
                    t.wires
                        .iter()
                        .filter(|w| **w == group)
                        .map(|_| t.name.as_str())
                })
                .collect();
            let mut wanted = [wire.from.to_string(), wire.to.to_string()];
            let mut found = at.clone();
            found.sort_unstable();
            wanted.sort();
            assert_eq!(found, wanted, "{name}: {}", wire.id);
        }
    }
}

#[test]
#[ignore = "prints the table and writes a file for the comparison"]
fn report() {
    println!(
        "{:<40} {:>5} {:>5} {:>6} {:>6} {:>8} {:>7} {:>8} {:>6}",
        "plan", "parts", "wires", "cross", "bends", "area/k", "longest", "time/ms", "faults"
    );
    let mut out = Vec::new();
    let mut total = (0, 0.0, 0.0);
    let plans = corpus::plans();
    for (name, plan) in &plans {
        let scene = draw(plan, &Options::default());
        let mut times: Vec<f64> = (0..3)
            .map(|_| {
                let start = Instant::now();
                let _ = draw(plan, &Options::default());
                start.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        times.sort_by(f64::total_cmp);
        let f = figures(plan, &scene);
        println!(
            "{name:<40} {:>5} {:>5} {:>6} {:>6.2} {:>8.0} {:>7} {:>8.1} {:>6}",
            plan.parts.len(),
            plan.wires.len(),
            f.crossings,
            f.bends_per_wire,
            f.area / 1e3,
            f.longest,
            times[1],
            verify(plan, &scene).len()
        );
        total = (
            total.0 + f.crossings,
            total.1 + f.bends_per_wire,
            total.2 + times[1],
        );
        out.push(exported(name, plan, &scene, &f));
    }
    println!(
        "total: {} crossings, {:.2} bends per wire, {:.0} ms",
        total.0,
        total.1 / plans.len() as f64,
        total.2
    );
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/out");
    std::fs::create_dir_all(format!("{folder}/plans")).expect("folder can be made");
    for (name, plan) in &plans {
        let text = loomwright::plan::file::write(plan);
        std::fs::write(format!("{folder}/plans/{name}.json"), text).expect("file can be written");
    }
    let text = Value::from(out).to_string();
    std::fs::write(format!("{folder}/corpus.json"), text).expect("file can be written");
}

/// Writes the drawing of every plan of the corpus whose name holds `ONLY` into the folder `DRAWINGS`, to be looked at.
#[test]
#[ignore = "writes files, for the eye"]
fn write_drawings() {
    let folder = std::env::var("DRAWINGS").expect("DRAWINGS names a folder");
    let only = std::env::var("ONLY").unwrap_or_default();
    for (name, plan) in corpus::plans()
        .iter()
        .filter(|(name, _)| name.contains(&only))
    {
        let scene = draw(plan, &Options::default());
        let ieee = Options {
            symbols: Some(Symbols::Ieee),
            ..Options::default()
        };
        let sheet = Sheet {
            paper: Paper::A4,
            date: "2026-01-31",
            revision: "A",
        };
        let mut files = vec![
            (String::new(), svg(&scene, &Overlay::new(), Style::Embedded)),
            (
                "-ieee".to_owned(),
                svg(&draw(plan, &ieee), &Overlay::new(), Style::Embedded),
            ),
        ];
        for (i, page) in pages(&scene, &sheet, Style::Embedded)
            .into_iter()
            .enumerate()
        {
            files.push((format!("-page{}", i + 1), page));
        }
        for (suffix, text) in files {
            let path = format!("{folder}/{name}{suffix}.svg");
            std::fs::write(path, text).expect("file can be written");
        }
        if std::path::Path::new(&format!("{folder}/plans")).is_dir() {
            let text = loomwright::plan::file::write(plan);
            std::fs::write(format!("{folder}/plans/{name}.json"), text)
                .expect("file can be written");
        }
    }
}

/// The graph as it was drawn: boxes with their size and the place of their terminals, and the wires.
fn exported(name: &str, plan: &Plan, scene: &Scene, figures: &Figures) -> Value {
    let mut nodes: Vec<Value> = Vec::new();
    let mut ends: Vec<[Option<String>; 2]> = vec![[None, None]; plan.wires.len()];
    let mut grounds = 0;
    let mut at = 0;
    while let Some(first) = scene.terminals.get(at) {
        let several = plan.parts.iter().any(|part| {
            format!("part-{}", part.id) == first.group && part.kind.text() == "ground point"
        });
        let same = scene.terminals[at..]
            .iter()
            .take_while(|t| t.group == first.group)
            .count();
        let terminals = &scene.terminals[at..at + if several { 1 } else { same }];
        at += terminals.len();
        let id = if several {
            grounds += 1;
            format!("{}#{grounds}", first.group)
        } else {
            first.group.clone()
        };
        let body = if several || first.leaves.is_none() {
            None
        } else {
            body(scene, &first.group)
        };
        let (y0, y1) = body.map_or((first.at.1 - 15.0, first.at.1 + 15.0), |b| (b.0, b.1));
        let xs: Vec<f64> = terminals.iter().map(|t| t.at.0).collect();
        let wide = xs.iter().copied().fold(f64::NEG_INFINITY, f64::max)
            - xs.iter().copied().fold(f64::INFINITY, f64::min);
        let ports: Vec<Value> = terminals
            .iter()
            .enumerate()
            .map(|(i, t)| {
                for wire in &t.wires {
                    let index = plan
                        .wires
                        .iter()
                        .position(|w| format!("wire-{}", w.id) == *wire);
                    if let Some(index) = index {
                        let wire = &plan.wires[index];
                        let slot = usize::from(
                            ends[index][0].is_some() || wire.from.to_string() != t.name,
                        );
                        ends[index][slot] = Some(format!("{id}/{i}"));
                    }
                }
                let side = match t.leaves {
                    Some(Leaves::Left) => "WEST",
                    Some(Leaves::Right) => "EAST",
                    None => "ANY",
                };
                json!({"id": format!("{id}/{i}"), "side": side, "y": t.at.1 - y0, "net": t.name})
            })
            .collect();
        let (width, height) = if first.leaves.is_none() {
            (7.0, 7.0)
        } else {
            (wide.max(12.0), y1 - y0)
        };
        nodes.push(json!({"id": id, "width": width, "height": height, "ports": ports}));
    }
    let wires: Vec<Value> = plan
        .wires
        .iter()
        .zip(&ends)
        .map(|(wire, [from, to])| {
            json!({"id": wire.id, "from": from, "to": to,
                "nets": [wire.from.to_string(), wire.to.to_string()]})
        })
        .collect();
    json!({"name": name, "parts": plan.parts.len(), "nodes": nodes, "wires": wires, "ours": {
        "crossings": figures.crossings, "bends": figures.bends_per_wire, "area": figures.area,
        "length": figures.length, "longest": figures.longest}})
}

/// Top and bottom of a part with its contacts, lamp circuits and text.
fn body(scene: &Scene, group: &str) -> Option<(f64, f64)> {
    let id = group.strip_prefix("part-")?;
    let own = |other: &str| {
        other == group
            || ["lamp-", "contact-"].iter().any(|kind| {
                other
                    .strip_prefix(kind)
                    .is_some_and(|o| o.split('.').next() == Some(id))
            })
    };
    scene
        .groups
        .iter()
        .filter(|g| own(&g.id))
        .flat_map(|g| &g.shapes)
        .filter(|shape| !matches!(shape.role(), Role::Hit | Role::Glow))
        .filter_map(Shape::bounds)
        .map(|b| (b.y0, b.y1))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}
