//! After one edit the drawing stays: few other parts move, next to none change their order.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/corpus.rs"]
mod corpus;
#[path = "shared/random.rs"]
mod random;

use loomwright::drawing::{Options, Scene, draw, draw_near, verify};
use loomwright::plan::{Kind, Plan};
use random::Random;
use serde_json::json;
use std::collections::BTreeMap;

/// One edit of a kind people make, at a place the random source picks; the ids it touches.
fn edited(plan: &Plan, random: &mut Random) -> (Plan, Vec<String>) {
    let mut plan = plan.clone();
    let wire = random.below(plan.wires.len());
    let part = random.below(plan.parts.len());
    let new = |kind: &str, id: &str, spec: serde_json::Value| {
        serde_json::from_value(json!({"id": id, "kind": kind, "spec": spec}))
            .expect("part is well formed")
    };
    let joined = |from: &str, to: &str, id: &str| {
        let wire = json!({"id": id, "from": from, "to": to, "length_mm": 900, "size": "1 mm2",
            "insulation_c": 105, "colour": "RD"});
        serde_json::from_value(wire).expect("wire is well formed")
    };
    match random.below(6) {
        0 => {
            let gone = plan.wires.remove(wire);
            (
                plan,
                vec![gone.from.part.to_string(), gone.to.part.to_string()],
            )
        }
        1 => {
            let gone = plan.parts.remove(part).id;
            let mut touched = vec![gone.to_string()];
            plan.wires.retain(|wire| {
                let ends = [wire.from.part.to_string(), wire.to.part.to_string()];
                let goes = ends.contains(&gone.to_string());
                if goes {
                    touched.extend(ends);
                }
                !goes
            });
            (plan, touched)
        }
        2 => {
            plan.wires[wire].colour = "VT".to_owned();
            plan.wires[wire].size = "4 mm2".to_owned();
            (plan, Vec::new())
        }
        3 => {
            plan.parts[part].label = "Another name".to_owned();
            let touched = vec![plan.parts[part].id.to_string()];
            (plan, touched)
        }
        // A diode in a wire.
        4 => {
            plan.parts
                .push(new("diode", "V99", json!({"model": "10A04"})));
            let to = plan.wires[wire].to.clone();
            let touched = vec![
                "V99".to_owned(),
                plan.wires[wire].from.part.to_string(),
                to.part.to_string(),
            ];
            plan.wires[wire].to = "V99:A".parse().expect("terminal");
            plan.wires.push(joined("V99:K", &to.to_string(), "W9999"));
            (plan, touched)
        }
        // One more lamp beside another.
        _ => {
            let lamp = json!({"light": "red", "common": "31", "filaments": [
                {"id": "main", "terminal": "1", "rated_v": 13.5, "rated_a": 1.9, "duties": ["tail"]}]});
            plan.parts.push(new("lamp", "E99", lamp));
            plan.parts
                .push(new("ground", "XG99", json!({"joint_mohm": 5})));
            let from = plan.wires[wire].to.clone();
            plan.wires.push(joined(&from.to_string(), "E99:1", "W9998"));
            plan.wires.push(joined("E99:31", "XG99:31", "W9999"));
            (
                plan,
                vec!["E99".to_owned(), "XG99".to_owned(), from.part.to_string()],
            )
        }
    }
}

/// Middle of every part that was not touched.
fn places(plan: &Plan, scene: &Scene, touched: &[String]) -> BTreeMap<String, (f64, f64)> {
    let mut out = BTreeMap::new();
    for part in &plan.parts {
        if matches!(part.kind, Kind::Ground(_)) || touched.contains(&part.id.to_string()) {
            continue;
        }
        let ends = [format!("part-{}", part.id), format!("joint-{}", part.id)];
        let mut at = scene.terminals.iter().filter(|t| ends.contains(&t.group));
        if let Some(first) = at.next() {
            out.insert(part.id.to_string(), first.at);
        }
    }
    out
}

/// What changed between two drawings: parts looked at, parts that moved against their neighbours, pairs looked at, pairs
/// whose order from top to bottom flipped. A part has moved if another stands above it in its column than before, or the
/// parts of its column went elsewhere.
fn change(
    before: &BTreeMap<String, (f64, f64)>,
    after: &BTreeMap<String, (f64, f64)>,
) -> [usize; 4] {
    let both: Vec<&String> = before.keys().filter(|id| after.contains_key(*id)).collect();
    let above = |places: &BTreeMap<String, (f64, f64)>, id: &String| {
        let at = places[id];
        let column = both
            .iter()
            .filter(|other| places[**other].0 == at.0 && places[**other].1 < at.1);
        column
            .max_by(|a, b| places[**a].1.total_cmp(&places[**b].1))
            .copied()
    };
    let moved = both
        .iter()
        .filter(|id| above(before, id) != above(after, id))
        .count();
    let (mut pairs, mut flips) = (0, 0);
    for (i, a) in both.iter().enumerate() {
        for b in &both[i + 1..] {
            pairs += 1;
            let order =
                |places: &BTreeMap<String, (f64, f64)>| places[*a].1.total_cmp(&places[*b].1);
            flips += usize::from(order(before) == order(after).reverse() && order(before).is_ne());
        }
    }
    [both.len(), moved, pairs, flips]
}

#[test]
fn after_one_edit_the_drawing_stays() {
    let mut sum = [0; 4];
    let mut random = Random(20_260_131);
    let options = Options::default();
    for (name, plan) in corpus::plans() {
        let scene = draw(&plan, &options);
        for _ in 0..6 {
            let (next, touched) = edited(&plan, &mut random);
            let near = draw_near(&next, &options, &scene.hint);
            assert_eq!(verify(&next, &near), Vec::<String>::new(), "{name}");
            assert!(
                near == draw_near(&next, &options, &scene.hint),
                "{name} is drawn in two ways"
            );
            let change = change(
                &places(&plan, &scene, &touched),
                &places(&next, &near, &touched),
            );
            sum = [0, 1, 2, 3].map(|i| sum[i] + change[i]);
        }
    }
    let (moved, flipped) = (sum[1] as f64 / sum[0] as f64, sum[3] as f64 / sum[2] as f64);
    println!(
        "{:.2} % of other parts moved, {:.3} % of pairs flipped",
        100.0 * moved,
        100.0 * flipped
    );
    assert!(moved <= 0.05, "{moved} of the other parts moved");
    assert!(
        flipped <= 0.002,
        "{flipped} of the pairs changed their order"
    );
}

#[test]
fn drawn_near_itself_a_plan_stays_exactly() {
    for (name, plan) in corpus::plans() {
        let scene = draw(&plan, &Options::default());
        let again = draw_near(&plan, &Options::default(), &scene.hint);
        assert!(again.terminals == scene.terminals, "{name}");
    }
}

/// A hint from quite another plan does no harm.
#[test]
fn a_foreign_hint_gives_a_clean_drawing() {
    let plans = corpus::plans();
    for pair in plans.windows(2) {
        let foreign = draw(&pair[0].1, &Options::default()).hint;
        let scene = draw_near(&pair[1].1, &Options::default(), &foreign);
        assert_eq!(
            verify(&pair[1].1, &scene),
            Vec::<String>::new(),
            "{}",
            pair[1].0
        );
    }
}
