//! Both sets of symbols: laid out alike, both clean, chosen by the plan or by the caller.

use super::*;
use loomwright::drawing::Symbols;

const IEEE: Options = Options {
    crossings: Crossings::Plain,
    symbols: Some(Symbols::Ieee),
};

#[test]
fn both_sets_are_clean_and_laid_out_alike() {
    for (name, plan) in plans() {
        let (iec, ieee) = (draw(&plan, &Options::default()), draw(&plan, &IEEE));
        assert_eq!(verify(&plan, &ieee), Vec::<String>::new(), "{name}");
        assert_eq!(iec.terminals, ieee.terminals, "{name}");
        assert_eq!((iec.width, iec.height), (ieee.width, ieee.height), "{name}");
    }
}

#[test]
fn the_plan_chooses_unless_the_caller_does() {
    let (mut plan, usual) = wagon();
    plan.settings.symbols = Symbols::Ieee;
    let chosen = draw(&plan, &Options::default());
    assert!(chosen.groups != usual.groups);
    assert!(chosen.groups == draw(&plan, &IEEE).groups);
    let iec = Options {
        symbols: Some(Symbols::Iec),
        ..IEEE
    };
    assert!(draw(&plan, &iec).groups == usual.groups);
    let text = file::write(&plan);
    assert!(text.contains("\"symbols\": \"ieee\""));
    assert_eq!(file::read(text.as_bytes()), Ok(plan.clone()));
    plan.settings.symbols = Symbols::Iec;
    assert!(
        !file::write(&plan).contains("symbols"),
        "the usual set is not written"
    );
}

/// The wagon with a second switch on the control of `S1`.
pub fn twin() -> Plan {
    let (mut plan, _) = wagon();
    let own = plan.parts.iter().find(|p| p.id.as_str() == "S1");
    let mut twin = own.expect("part is there").clone();
    twin.id = "S9".parse().expect("id");
    plan.parts.push(twin);
    plan
}

fn says(scene: &Scene, id: &str, what: &str) -> bool {
    let group = scene.groups.iter().find(|g| g.id == id);
    let shapes = group.expect("part is drawn").shapes.iter();
    shapes
        .filter(|s| matches!(s, Shape::Text { text, .. } if text == what))
        .count()
        > 0
}

#[test]
fn contacts_of_one_control_that_stand_apart_are_coupled() {
    let plan = twin();
    let scene = draw(&plan, &Options::default());
    assert_eq!(verify(&plan, &scene), Vec::<String>::new());
    let coupled = |scene: &Scene| scene.groups.iter().any(|g| g.class == "coupling");
    assert!(coupled(&scene));
    assert!(!says(&scene, "part-S1", "moves with S9"));
    // Without the line nothing tells, and the verifier says so.
    let mut bare = scene.clone();
    bare.groups.retain(|group| group.class != "coupling");
    let faults = verify(&plan, &bare);
    assert!(
        faults
            .iter()
            .any(|f| f.contains("S1 does not tell what moves with it")),
        "{faults:?}"
    );
    // Each wire, text and symbol it is shoved onto is named.
    let mut found = std::collections::BTreeSet::new();
    for (dx, dy) in (-30..=30).flat_map(|dx| (-60..=30).map(move |dy| (dx, dy))) {
        let mut moved = scene.clone();
        let own = moved.groups.iter_mut().find(|g| g.class == "coupling");
        for shape in &mut own.expect("coupling is there").shapes {
            if let Shape::Path { steps, .. } = shape {
                for step in steps {
                    use loomwright::drawing::Step;
                    let (Step::Move(p) | Step::Line(p) | Step::Hop(p, _)) = step;
                    *p = (p.0 + 3.0 * f64::from(dx), p.1 + 3.0 * f64::from(dy));
                }
            }
        }
        for fault in verify(&plan, &moved) {
            for what in [
                "touches wire-",
                "touches the symbol of",
                "touches a text of",
                "touches the dot of",
            ] {
                if fault.starts_with("coupling-") && fault.contains(what) {
                    found.insert(what);
                }
            }
        }
    }
    assert_eq!(found.len(), 4, "{found:?}");
}

/// Where no clean line can be had, both switches name each other. Ten of them far apart on many crossing wires.
#[test]
fn contacts_that_cannot_be_coupled_name_each_other() {
    let mut notes = 0;
    let mut lines = 0;
    for (_, mut plan) in plans() {
        let Some(first) = plan.controls.first().map(|c| c.id.clone()) else {
            continue;
        };
        for part in &mut plan.parts {
            if let loomwright::plan::Kind::Switch(switch) = &mut part.kind {
                switch.control = first.clone();
            }
        }
        let scene = draw(&plan, &Options::default());
        assert_eq!(verify(&plan, &scene), Vec::<String>::new());
        let texts =
            scene.groups.iter().flat_map(|g| &g.shapes).filter(
                |s| matches!(s, Shape::Text { text, .. } if text.starts_with("moves with ")),
            );
        notes += texts.count();
        lines += scene
            .groups
            .iter()
            .filter(|g| g.class == "coupling")
            .count();
    }
    assert!(notes > 0 && lines > 0, "{notes} notes, {lines} lines");
}

/// A number that fits is printed; every number printed is one of the standard's.
#[test]
fn terminal_numbers_are_shown() {
    let (_, scene) = wagon();
    let texts = |id: &str| -> Vec<String> {
        let group = scene
            .groups
            .iter()
            .find(|g| g.id == id)
            .expect("part is drawn");
        let texts = group.shapes.iter().filter_map(|s| match s {
            Shape::Text {
                role: Role::Note,
                text,
                ..
            } => Some(text.clone()),
            _ => None,
        });
        texts.collect()
    };
    assert_eq!(texts("part-K1"), ["49", "49a"]);
}
