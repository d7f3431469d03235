//! Faults planted in a clean drawing: every rule of the verifier finds the one made for it.

use super::*;
use loomwright::drawing::{Anchor, Group, Step};

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
                anchor: Anchor::Start,
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
