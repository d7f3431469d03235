//! The drawing: clean on every plan, the same every time, safe against hostile text, and a verifier that sees.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::drawing::{
    Crossings, Group, Options, Overlay, Role, Scene, Shape, Step, Style, draw, figures, svg, verify,
};
use loomwright::plan::{Plan, file};
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
    for (name, plan) in plans() {
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

/// The SVG of every example, as committed. `UPDATE_EXPECT=1` rewrites them.
#[test]
fn examples_are_drawn_as_committed() {
    let folder = root().join("tests/fixtures/drawing");
    for name in [
        "wagon-four-turn-lamps",
        "tractor-shared-rear-lamps",
        "float-shared-front-and-rear-lamps",
    ] {
        let (_, plan) = plans()
            .into_iter()
            .find(|(known, _)| known == name)
            .expect("example is there");
        let scene = draw(&plan, &Options::default());
        let text = svg(&scene, &Overlay::new(), Style::Linked);
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
    for (name, widest) in [("wagon", 360.0), ("tractor", 480.0), ("float", 500.0)] {
        for (known, plan) in plans().iter().filter(|(known, _)| known.starts_with(name)) {
            let scene = draw(plan, &Options::default());
            let figures = figures(plan, &scene);
            assert!(scene.width <= widest, "{known} is {} wide", scene.width);
            assert!(figures.bends_per_wire <= 1.5, "{known}: {figures:?}");
            assert!(figures.crossings <= 5, "{known}: {figures:?}");
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

/// Prints how long drawings take.
#[test]
#[ignore = "a measurement"]
fn time_drawings() {
    for copies in [1, 2, 5] {
        let plan = large(copies);
        let start = std::time::Instant::now();
        for _ in 0..20 {
            std::hint::black_box(draw(&plan, &Options::default()));
        }
        let scene = draw(&plan, &Options::default());
        println!(
            "{} parts, {} wires: {:?}, {} x {}, {:?}",
            plan.parts.len(),
            plan.wires.len(),
            start.elapsed() / 20,
            scene.width,
            scene.height,
            figures(&plan, &scene)
        );
        if let Some(folder) = std::env::var_os("DRAWINGS") {
            let path = PathBuf::from(folder).join(format!("large-{copies}.svg"));
            let text = svg(&scene, &Overlay::new(), Style::Embedded);
            std::fs::write(path, text).expect("file can be written");
        }
    }
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

/// Moves every shape of the group with this id.
fn shove(scene: &mut Scene, id: &str, dx: f64, dy: f64) {
    let group = scene
        .groups
        .iter_mut()
        .find(|group| group.id == id)
        .expect("group is there");
    for shape in &mut group.shapes {
        match shape {
            Shape::Path { steps, .. } => {
                for step in steps {
                    match step {
                        Step::Move(p) | Step::Line(p) | Step::Hop(p, _) => {
                            p.0 += dx;
                            p.1 += dy;
                        }
                    }
                }
            }
            Shape::Rect { at, .. } | Shape::Circle { at, .. } | Shape::Text { at, .. } => {
                at.0 += dx;
                at.1 += dy;
            }
        }
    }
}

fn group<'a>(scene: &'a mut Scene, id: &str) -> &'a mut Group {
    let found = scene.groups.iter_mut().find(|group| group.id == id);
    found.expect("group is there")
}

/// First point of a wire's course.
fn start(scene: &Scene, id: &str) -> (f64, f64) {
    let group = scene
        .groups
        .iter()
        .find(|group| group.id == id)
        .expect("group is there");
    group
        .shapes
        .iter()
        .find_map(|shape| match shape {
            Shape::Path {
                role: Role::Halo,
                steps,
                ..
            } => steps.first().map(|step| step.end()),
            _ => None,
        })
        .expect("wire has a course")
}

/// Every rule of the verifier finds the fault planted for it.
#[test]
fn the_verifier_sees_planted_faults() {
    type Plant = fn(&mut Plan, &mut Scene);
    let faults: [(&str, Plant); 16] = [
        ("is not drawn", |_, scene| {
            scene.groups.retain(|g| g.id != "part-F1")
        }),
        ("lamp circuit E1.main is not drawn", |_, scene| {
            scene.groups.retain(|g| g.id != "lamp-E1.main");
        }),
        ("has no label", |_, scene| {
            group(scene, "wire-W5")
                .shapes
                .retain(|s| s.role() != Role::Code);
        }),
        ("leaves the drawing", |_, scene| scene.width = 100.0),
        ("overlaps", |_, scene| {
            let texts = group(scene, "wire-W1").shapes.clone();
            let code = texts.into_iter().filter(|s| s.role() == Role::Code);
            group(scene, "wire-W2").shapes.extend(code);
        }),
        ("touches wire-W1", |_, scene| {
            let at = start(scene, "wire-W1");
            group(scene, "part-G1").shapes.push(Shape::Text {
                role: Role::Note,
                at: (at.0 + 3.0, at.1 + 4.0),
                anchor: loomwright::drawing::Anchor::Start,
                text: "x".to_owned(),
            });
        }),
        ("touches the symbol of", |_, scene| {
            shove(scene, "lamp-E1.main", 0.0, -24.0)
        }),
        ("the symbols of", |_, scene| {
            shove(scene, "part-F1", 75.0, 0.0);
        }),
        ("tap areas", |_, scene| {
            let hit = group(scene, "lamp-E1.main").shapes[0].clone();
            group(scene, "part-S1").shapes.push(hit);
        }),
        ("look joined", |_, scene| {
            shove(scene, "wire-W5", 0.0, 122.0)
        }),
        ("without a dot", |_, scene| {
            group(scene, "joint-X1").shapes.clear()
        }),
        ("joins nothing", |_, scene| {
            let (x, y) = start(scene, "wire-W1");
            let dot = Shape::Circle {
                role: Role::Dot,
                at: (x + 9.0, y),
                r: 3.5,
            };
            group(scene, "joint-S1:82").shapes.push(dot);
        }),
        ("runs through the symbol of", |_, scene| {
            shove(scene, "part-K1", -40.0, 0.0)
        }),
        ("does not reach", |_, scene| {
            shove(scene, "wire-W1", 0.0, 20.0)
        }),
        ("are mixed up", |plan, _| {
            plan.wires[1].to = plan.wires[0].to.clone()
        }),
        ("without colour", |_, scene| {
            group(scene, "wire-W1")
                .shapes
                .retain(|s| s.role() != Role::Colour);
        }),
    ];
    for (words, plant) in faults {
        let (mut plan, mut scene) = wagon();
        plant(&mut plan, &mut scene);
        let found = verify(&plan, &scene);
        assert!(
            found.iter().any(|fault| fault.contains(words)),
            "planted for {words:?}, found {found:?}"
        );
    }
}

/// A joint with four arms, a dot on a foreign wire and a broken course need a drawing of their own.
#[test]
fn the_verifier_sees_crossed_joints() {
    let (plan, clean) = wagon();
    let joint = |scene: &Scene| {
        let group = scene
            .groups
            .iter()
            .find(|g| g.id == "joint-X1")
            .expect("joint is there");
        group.shapes.iter().find_map(|s| match s {
            Shape::Circle { at, .. } => Some(*at),
            _ => None,
        })
    };
    let (x, y) = joint(&clean).expect("joint has a dot");
    let halo = |points: &[(f64, f64)]| Shape::lines(Role::Halo, points);

    let mut four = clean.clone();
    group(&mut four, "wire-W6")
        .shapes
        .push(halo(&[(x, y), (x, y - 30.0)]));
    assert!(verify(&plan, &four).iter().any(|f| f.contains("four arms")));

    let mut foreign = clean.clone();
    let at = start(&clean, "wire-W8");
    let dot = Shape::Circle {
        role: Role::Dot,
        at: (at.0 + 12.0, at.1),
        r: 3.5,
    };
    group(&mut foreign, "joint-X1").shapes.push(dot);
    let wire = halo(&[(at.0 + 12.0, at.1 - 20.0), (at.0 + 12.0, at.1 + 20.0)]);
    group(&mut foreign, "wire-W6").shapes.push(wire);
    let found = verify(&plan, &foreign);
    assert!(
        found.iter().any(|f| f.contains("lies on wire-W8")),
        "{found:?}"
    );
    assert!(
        found.iter().any(|f| f.contains("wire-W6 is broken")),
        "{found:?}"
    );
}

#[path = "drawing/random.rs"]
mod random;
