//! The drawing: clean on every plan, the same every time, safe against hostile text, and a verifier that sees.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::drawing::{Crossings, Options, Overlay, Style, draw, figures, svg, verify};
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
