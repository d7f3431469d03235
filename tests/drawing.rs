//! The drawing: clean on every plan, the same every time, safe against hostile text, and a verifier that sees.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::drawing::{
    Crossings, Group, Options, Overlay, Paper, Role, Scene, Shape, Sheet, Style, Symbols, draw,
    figures, pages as drawing_pages, svg, verify,
};
use loomwright::plan::{Gauge, Plan, file};
use std::path::PathBuf;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn plans() -> Vec<(String, Plan)> {
    let mut paths: Vec<PathBuf> = ["static/examples", "tests/fixtures"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root().join(folder)).expect("folder is there"))
        .map(|entry| entry.expect("entry can be read").path())
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| {
            let bytes = std::fs::read(path).expect("file can be read");
            let name = path.file_stem().expect("file has a name");
            (
                name.to_string_lossy().into_owned(),
                file::read(&bytes).expect("plan opens"),
            )
        })
        .collect()
}

#[test]
fn every_plan_of_the_repository_is_drawn_clean() {
    let plans = plans();
    assert!(plans.len() >= 5);
    for (name, plan) in &plans {
        let scene = draw(plan, &Options::default());
        assert_eq!(verify(plan, &scene), Vec::<String>::new(), "{name}");
        let hopped = Options {
            crossings: Crossings::Hopped,
            ..Options::default()
        };
        assert_eq!(
            verify(plan, &draw(plan, &hopped)),
            Vec::<String>::new(),
            "{name}, hopped"
        );
    }
}

/// Some state: wires by turns live, back-fed, back-fed against their course and dead; lamps at all levels.
fn lit(plan: &Plan) -> Overlay {
    let mut overlay = Overlay::new();
    for (i, wire) in plan.wires.iter().enumerate() {
        let class = ["live", "live", "back-fed", "back-fed reverse", "", "traced"][i % 6];
        overlay.insert(format!("wire-{}", wire.id), class.to_owned());
    }
    for (i, lamp) in plan.lamp_circuits().iter().enumerate() {
        let class = format!("level-{}", (3 * i + 4) % 11);
        overlay.insert(format!("lamp-{}", lamp.id), class);
    }
    for part in plan.parts.iter().step_by(2) {
        overlay.insert(format!("contact-{}.0", part.id), "closed".to_owned());
    }
    overlay.insert("part-K1".to_owned(), "selected".to_owned());
    overlay
}

/// Writes every drawing into the folder named by `DRAWINGS`, to be looked at.
#[test]
#[ignore = "writes files, for the eye"]
fn write_drawings() {
    let folder = PathBuf::from(std::env::var_os("DRAWINGS").expect("DRAWINGS names a folder"));
    let twin = ("twin".to_owned(), sets::twin());
    for (name, plan) in plans().into_iter().chain([twin]) {
        let scene = draw(&plan, &Options::default());
        println!(
            "{name}: {} x {}, {:?}",
            scene.width,
            scene.height,
            figures(&plan, &scene)
        );
        for fault in verify(&plan, &scene) {
            println!("  {fault}");
        }
        let text = svg(&scene, &Overlay::new(), Style::Embedded);
        std::fs::write(folder.join(format!("{name}.svg")), text).expect("file can be written");
        let hopped = Options {
            crossings: Crossings::Hopped,
            ..Options::default()
        };
        let text = svg(&draw(&plan, &hopped), &lit(&plan), Style::Embedded);
        std::fs::write(folder.join(format!("{name}-lit.svg")), text).expect("file can be written");
    }
}

/// The SVG of some plans in both sets of symbols, and one sheet, as committed. `UPDATE_EXPECT=1` rewrites them.
#[test]
fn plans_are_drawn_as_committed() {
    let folder = root().join("tests/fixtures/drawing");
    let written = |name: &str, set: Symbols| {
        let (_, plan) = plans()
            .into_iter()
            .find(|(known, _)| known == name)
            .expect("plan is there");
        let options = Options {
            symbols: Some(set),
            ..Options::default()
        };
        draw(&plan, &options)
    };
    let mut drawings = Vec::new();
    for name in [
        "wagon-four-turn-lamps",
        "tractor-shared-rear-lamps",
        "float-shared-front-and-rear-lamps",
    ] {
        for (set, suffix) in [(Symbols::Iec, ""), (Symbols::Ieee, "-ieee")] {
            let text = svg(&written(name, set), &Overlay::new(), Style::Linked);
            drawings.push((format!("{name}{suffix}"), text));
        }
    }
    let sheet = Sheet {
        paper: Paper::A4,
        date: "2026-01-31",
        revision: "A",
    };
    let scene = written("wagon-four-turn-lamps", Symbols::Iec);
    let page = drawing_pages(&scene, &sheet, Style::Linked).remove(0);
    drawings.push(("wagon-four-turn-lamps-sheet".to_owned(), page));
    for (name, text) in drawings {
        let path = folder.join(format!("{name}.svg"));
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            std::fs::create_dir_all(&folder).expect("folder can be made");
            std::fs::write(&path, &text).expect("file can be written");
        }
        let expected = std::fs::read_to_string(&path).expect("expected file is there");
        assert!(
            text == expected,
            "{name} is drawn differently: set UPDATE_EXPECT=1 and look at the change"
        );
    }
}

/// Widths a phone can show, and how easy the examples are to follow.
#[test]
fn examples_fit_a_phone() {
    for (name, widest) in [("wagon", 360.0), ("tractor", 480.0), ("float", 520.0)] {
        for (known, plan) in plans().iter().filter(|(known, _)| known.starts_with(name)) {
            let scene = draw(plan, &Options::default());
            let figures = figures(plan, &scene);
            assert!(scene.width <= widest, "{known} is {} wide", scene.width);
            assert!(figures.bends_per_wire <= 1.5, "{known}: {figures:?}");
            assert!(figures.crossings <= 5, "{known}: {figures:?}");
        }
    }
}

/// A finger finds every lamp circuit: its tap area is 44 units in both directions.
#[test]
fn lamps_are_easy_to_hit() {
    for (name, plan) in plans() {
        let scene = draw(&plan, &Options::default());
        for group in scene
            .groups
            .iter()
            .filter(|group| group.id.starts_with("lamp-"))
        {
            let size = group.shapes.iter().find_map(|shape| match shape {
                Shape::Rect {
                    role: Role::Hit,
                    size,
                    ..
                } => Some(*size),
                _ => None,
            });
            let (w, h) = size.expect("lamp has a tap area");
            assert!(w >= 44.0 && h >= 44.0, "{name}: {} is {w} by {h}", group.id);
        }
    }
}

/// The float's plan several times over on one supply: a plan as large as wanted.
fn large(copies: usize) -> Plan {
    let (_, seed) = plans()
        .into_iter()
        .find(|(name, _)| name.starts_with("float-shared"))
        .expect("example is there");
    let mut all = seed.clone();
    for copy in 1..copies {
        let mut next = seed.clone();
        next.parts
            .iter_mut()
            .for_each(|part| part.id = format!("{}x{copy}", part.id).parse().expect("id"));
        for wire in &mut next.wires {
            wire.id = format!("{}x{copy}", wire.id).parse().expect("id");
            for end in [&mut wire.from, &mut wire.to] {
                // All copies hang on the first master switch's splice.
                if end.part.as_str() != "X1" {
                    end.part = format!("{}x{copy}", end.part).parse().expect("id");
                }
            }
        }
        let dropped = ["G1", "F1", "S1", "X1", "XG5"].map(|id| format!("{id}x{copy}"));
        next.parts
            .retain(|part| !dropped.contains(&part.id.to_string()));
        next.wires.retain(|wire| {
            ![&wire.from, &wire.to]
                .iter()
                .any(|end| dropped.contains(&end.part.to_string()))
        });
        all.parts.extend(next.parts);
        all.wires.extend(next.wires);
    }
    all
}

#[test]
fn a_large_plan_is_drawn_clean() {
    let plan = large(5);
    assert!(plan.parts.len() >= 150);
    let scene = draw(&plan, &Options::default());
    assert_eq!(verify(&plan, &scene), Vec::<String>::new());
}

fn wagon() -> (Plan, Scene) {
    let plans = plans();
    let (_, plan) = plans
        .into_iter()
        .find(|(name, _)| name.starts_with("wagon"))
        .expect("example is there");
    let scene = draw(&plan, &Options::default());
    (plan, scene)
}

#[test]
fn labels_are_in_the_sizes_of_the_plan() {
    use std::collections::BTreeSet;
    let (mut plan, scene) = wagon();
    let codes = |scene: &Scene| -> BTreeSet<String> {
        let shapes = scene.groups.iter().flat_map(|group| &group.shapes);
        let texts = shapes.filter_map(|shape| match shape {
            Shape::Text {
                role: Role::Code,
                text,
                ..
            } => Some(text.clone()),
            _ => None,
        });
        let words = texts.flat_map(|text| text.split(' ').map(str::to_owned).collect::<Vec<_>>());
        words.collect()
    };
    let has = |codes: &BTreeSet<String>, word: &str| codes.contains(word);
    let as_is = codes(&scene);
    assert!(has(&as_is, "1.5") && !has(&as_is, "AWG"), "{as_is:?}");
    plan.settings.sizing.gauge = Gauge::Awg;
    let scene = draw(&plan, &Options::default());
    assert_eq!(verify(&plan, &scene), Vec::<String>::new());
    let awg = codes(&scene);
    // 1.5 mm² lies between 16 AWG (1.309 mm², ASTM B258) and 15 AWG.
    assert!(
        has(&awg, ">16") && has(&awg, "AWG") && !has(&awg, "1.5"),
        "{awg:?}"
    );
    let named = |group: &Group| group.label.contains("1.5 mm² (above 16 AWG)");
    assert!(scene.groups.iter().any(named));
    // A wire bought by gauge, in a plan that speaks of areas: 18 AWG is 0.823 mm².
    plan.settings.sizing.gauge = Gauge::Metric;
    plan.wires[0].size = "18 AWG".into();
    let metric = codes(&draw(&plan, &Options::default()));
    assert!(has(&metric, "0.823") && !has(&metric, "AWG"), "{metric:?}");
}

#[test]
fn hostile_text_stays_text() {
    let (mut plan, _) = wagon();
    let evil = r#""><script>alert('1')</script>&\u{0};"#;
    plan.title = evil.to_owned();
    for part in &mut plan.parts {
        part.label = evil.to_owned();
    }
    for wire in &mut plan.wires {
        wire.colour = evil.to_owned();
        wire.size = "<b>".to_owned();
    }
    let scene = draw(&plan, &Options::default());
    assert_eq!(verify(&plan, &scene), Vec::<String>::new());
    let overlay = Overlay::from([("part-K1".to_owned(), evil.to_owned())]);
    for style in [Style::Linked, Style::Embedded] {
        let text = svg(&scene, &overlay, style);
        assert!(!text.contains("<script"), "markup got through");
        assert!(!text.contains("<b>"), "markup got through");
        assert!(
            !text.contains('\u{0}'),
            "a character XML forbids got through"
        );
        assert!(text.contains("&lt;script&gt;"), "the text itself is kept");
        let quotes = text
            .lines()
            .find(|line| line.contains("part-K1"))
            .expect("part is there");
        assert!(!quotes.contains(r#""><script"#));
    }
    let linked = svg(&scene, &overlay, Style::Linked);
    assert!(
        !linked.contains("style="),
        "the page's policy forbids style attributes"
    );
    assert!(
        !linked.contains("<style"),
        "the page's policy forbids style elements"
    );
}

#[test]
fn the_overlay_reaches_the_groups_it_names() {
    let (_, scene) = wagon();
    let overlay = Overlay::from([
        ("wire-W1".to_owned(), "back-fed reverse".to_owned()),
        ("contact-S1.0".to_owned(), "closed".to_owned()),
        ("lamp-E1.main".to_owned(), "level-7".to_owned()),
    ]);
    let text = svg(&scene, &overlay, Style::Linked);
    assert!(text.contains(r#"class="wire back-fed reverse" data-id="wire-W1""#));
    assert!(text.contains(r#"class="under wire back-fed reverse""#));
    assert!(text.contains(r#"class="contact closed" data-id="contact-S1.0""#));
    assert!(
        text.contains(r#"class="lamp light-amber level-7" data-id="lamp-E1.main" role="button""#)
    );
}

#[path = "drawing/export.rs"]
mod export;
#[path = "drawing/pages.rs"]
mod pages;
#[path = "drawing/planted.rs"]
mod planted;
#[path = "drawing/random.rs"]
mod random;
#[path = "drawing/sets.rs"]
mod sets;
