//! Sizing everything: no fault on sizes is left, one size thinner or one rating larger brings one back, the edit is undone.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/big.rs"]
mod big;
#[path = "shared/build.rs"]
mod build;
#[path = "shared/sized.rs"]
mod sized;

use loomwright::brief::{Brief, draft};
use loomwright::catalog::{conductor, fuse, wire_choice};
use loomwright::findings::{Finding, SIZING, Severity};
use loomwright::plan::{Gauge, Kind, Plan};
use loomwright::size::{Choice, lines, rewrite, size_all};
use loomwright::units::{Amps, Celsius, Millimetres};
use proptest::prelude::*;
use sized::rate;

fn files() -> Vec<(String, Plan)> {
    let names = [
        "static/examples/parade-wagon.json",
        "static/examples/ferry-slip-tractor.json",
        "static/examples/orchard-float.json",
        "tests/fixtures/wagon-four-turn-lamps.json",
        "tests/fixtures/tractor-shared-rear-lamps.json",
        "tests/fixtures/float-shared-front-and-rear-lamps.json",
        "tests/fixtures/tractor-without-diodes.json",
        "tests/fixtures/float-without-diodes.json",
    ];
    let mut plans: Vec<(String, Plan)> = names
        .iter()
        .map(|&name| (name.to_owned(), build::file(name)))
        .collect();
    plans.push(("sound".into(), sized::sound()));
    let mut big = big::plan(4);
    big.wires[0].length_mm = Millimetres::of(150.0);
    plans.push(("generated".into(), big));
    plans
}

/// The plans drafted from the saved briefs.
fn drafts() -> Vec<(String, Plan)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/briefs");
    let mut found: Vec<(String, Plan)> = std::fs::read_dir(folder)
        .expect("the folder of briefs")
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let text = std::fs::read_to_string(&path).expect("readable");
            let name = path
                .file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            let brief: Brief =
                serde_json::from_str(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
            (name, draft(&brief))
        })
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(found.len() >= 25);
    found
}

/// Faults on sizes.
fn faults(plan: &Plan) -> Vec<Finding> {
    let mut found = sized::all(plan);
    found.retain(|f| f.severity == Severity::Fault && SIZING.contains(&f.check));
    found
}

/// The plan with everything sized, and the list; what is sized once stays as it is.
#[track_caller]
fn all_sized(name: &str, plan: &Plan) -> (Plan, Vec<Choice>) {
    let (edit, list) = size_all(plan);
    let mut sized = plan.clone();
    let inverse = edit.apply(&mut sized).expect("a ready edit");
    let left = faults(&sized);
    assert!(left.is_empty(), "{name}: {left:#?}");
    let mut back = sized.clone();
    inverse.apply(&mut back).expect("an inverse");
    assert_eq!(back, *plan, "{name}: undone");
    (sized, list)
}

/// One size thinner than the smallest, one rating larger than the largest, or smaller than the smallest, is a fault.
#[track_caller]
fn tight(name: &str, sized: &Plan, list: &[Choice]) -> usize {
    let mut tried = 0;
    for choice in list {
        match choice.kind {
            "wire" => {
                let at = sized.wires.iter().position(|w| w.id.as_str() == choice.id);
                let least = conductor::ROWS
                    .iter()
                    .find(|row| row.label == choice.smallest);
                let (Some(at), Some(least)) = (at, least) else {
                    panic!("{name}: {choice:?}")
                };
                let mut plan = sized.clone();
                plan.wires[at].size = least.key.into();
                assert_eq!(faults(&plan), [], "{name}: {choice:?}");
                let Some(thinner) = wire_choice::thinner(least) else {
                    continue;
                };
                plan.wires[at].size = thinner.key.into();
                assert!(
                    !faults(&plan).is_empty(),
                    "{name}: {} bears {}",
                    thinner.key,
                    choice.id
                );
                tried += 1;
            }
            "fuse" => {
                let amps =
                    |text: &str| text.trim_end_matches(" A").parse::<f64>().expect("amperes");
                let mut plan = sized.clone();
                let smaller = fuse::ROWS
                    .iter()
                    .rfind(|r| r.rating_amps < amps(&choice.smallest));
                if let Some(row) = smaller {
                    rate(&mut plan, &choice.id, row.rating_amps);
                    assert!(!faults(&plan).is_empty(), "{name}: {choice:?} bears less");
                    tried += 1;
                }
                if let Some(most) = &choice.largest {
                    let larger = fuse::ROWS.iter().find(|r| r.rating_amps > amps(most));
                    if let Some(row) = larger {
                        rate(&mut plan, &choice.id, row.rating_amps);
                        assert!(
                            !faults(&plan).is_empty(),
                            "{name}: {choice:?} at {}",
                            row.key
                        );
                        tried += 1;
                    }
                }
            }
            _ => {}
        }
    }
    tried
}

#[test]
fn sized_plans_have_no_fault_and_no_size_to_spare() {
    let mut tried = 0;
    for (name, plan) in files() {
        let (sized, list) = all_sized(&name, &plan);
        let listed = plan
            .parts
            .iter()
            .filter(|part| matches!(part.kind, Kind::Fuse(_) | Kind::Diode(_) | Kind::Relay(_)));
        let listed = listed.count();
        assert_eq!(list.len(), plan.wires.len() + listed, "{name}");
        // Many a short wire could do with the thinnest size there is; the others are tried.
        tried += tight(&name, &sized, &list);
        let cautions: Vec<Finding> = sized::all(&sized)
            .into_iter()
            .filter(|f| f.severity == Severity::Caution && SIZING.contains(&f.check))
            .collect();
        assert!(cautions.is_empty(), "{name}: {cautions:#?}");
        // Sized once is sized for good.
        let (edit, again) = size_all(&sized);
        assert_eq!(
            edit,
            loomwright::plan::Edit::All(Vec::new()),
            "{name}: {again:#?}"
        );
    }
    assert!(tried > 40, "{tried}");
}

#[test]
fn drafted_plans_stay_sound_when_sized() {
    let mut tried = 0;
    for (name, plan) in drafts() {
        let (sized, list) = all_sized(&name, &plan);
        assert!(
            list.iter()
                .all(|c| c.kind != "wire" || c.smallest != "none"),
            "{name}"
        );
        // Every wire and every fuse is tried: one size thinner, one rating larger or smaller.
        tried += tight(&name, &sized, &list);
        let sized_parts = list
            .iter()
            .filter(|c| matches!(c.kind, "wire" | "fuse"))
            .count();
        let of_plan = sized.wires.len()
            + sized
                .parts
                .iter()
                .filter(|part| matches!(part.kind, Kind::Fuse(_)))
                .count();
        assert_eq!(sized_parts, of_plan, "{name}");
        // Before and after stand in words, with the smallest that does and the reason.
        for line in lines(&list) {
            assert!(
                line.contains(" at least; ") && line.ends_with('.'),
                "{name}: {line}"
            );
        }
    }
    assert!(tried > 500, "{tried}");
}

/// Sizes are chosen from the system the plan is bought in, and every wire can be turned into it, none thinner.
/// A blade fuse carries three quarters of its rating for good: the next standard rating above that is recommended, on both
/// sides of each bound, and the table of sizes says the amperes.
#[test]
fn fuses_are_recommended_from_three_quarters_of_their_rating() {
    for (amps, rating) in [
        (3.7, 5.0),
        (3.8, 7.5),
        (5.6, 7.5),
        (5.7, 10.0),
        (7.4, 10.0),
        (7.6, 15.0),
        (11.2, 15.0),
        (11.3, 20.0),
    ] {
        let (_, list) = size_all(&sized::drawing(amps));
        let choice = list
            .iter()
            .find(|choice| choice.id == "F1")
            .expect("the fuse");
        assert_eq!(choice.recommended, Amps::of(rating).to_string(), "{amps} A");
        let words = format!("{} for good, at most 75 %", Amps::of(amps));
        assert!(choice.reason.starts_with(&words), "{}", choice.reason);
        let margin = choice.margin.expect("it carries something");
        assert!(
            (amps * (1.0 + margin) / rating - 1.0).abs() < 1e-3,
            "{choice:?}"
        );
    }
}

/// What decides the size of a wire is said: its drop where it is long, the crimp where it carries little, the fuse where the
/// wire is short and the load large.
#[test]
fn what_decides_a_wire_is_said() {
    for (amps, metres, words) in [
        (0.2, 0.1, "thinner wire breaks at the crimp"),
        (8.0, 20.0, "the drop decides"),
        (0.2, 100.0, "the drop decides"),
        (16.0, 0.1, "the fuse of 25 A in front decides"),
    ] {
        let mut plan = sized::drawing(amps);
        for wire in &mut plan.wires {
            wire.length_mm = Millimetres::of(100.0);
        }
        plan.wires[2].length_mm = Millimetres::of(1000.0 * metres);
        let (_, list) = size_all(&plan);
        let choice = list
            .iter()
            .find(|choice| choice.id == "W3")
            .expect("the wire");
        assert!(
            choice.reason.contains(words),
            "{amps} A over {metres} m: {}",
            choice.reason
        );
    }
}

#[test]
fn sizes_are_those_that_are_bought() {
    let mut plan = build::file("tests/fixtures/tractor-shared-rear-lamps.json");
    assert_eq!(rewrite(&plan), None);
    for (gauge, ends) in [
        (Gauge::Awg, "AWG"),
        (Gauge::Sae, "SAE"),
        (Gauge::Metric, "mm2"),
    ] {
        plan.settings.sizing.gauge = gauge;
        let (sized, list) = all_sized(ends, &plan);
        assert!(sized.wires.iter().all(|wire| wire.size.ends_with(ends)));
        tight(ends, &sized, &list);
        if gauge == Gauge::Metric {
            assert_eq!(rewrite(&plan), None, "it is metric already");
            continue;
        }
        let mut turned = plan.clone();
        rewrite(&plan)
            .expect("other sizes")
            .apply(&mut turned)
            .expect("a ready edit");
        for (old, new) in plan.wires.iter().zip(&turned.wires) {
            let area =
                |wire: &loomwright::plan::Wire| conductor::find(&wire.size).map(|row| row.area_mm2);
            assert!(
                new.size.ends_with(ends) && area(new) >= area(old),
                "{new:?}"
            );
        }
        assert_eq!(faults(&turned), []);
    }
}

/// Held to the ampacity instead of 150 % of it, fuses and wires are chosen by that, and nothing is to spare again.
#[test]
fn the_strict_fuse_rule_holds_too() {
    for (name, mut plan) in files() {
        plan.settings.sizing.strict_fuses = true;
        let (sized, list) = all_sized(&name, &plan);
        tight(&name, &sized, &list);
    }
}

#[test]
fn a_plan_with_everything_wrong_is_put_right() {
    let mut plan = build::file("tests/fixtures/tractor-shared-rear-lamps.json");
    rate(&mut plan, "F1", 40.0);
    for wire in &mut plan.wires {
        wire.size = "24 AWG".into();
    }
    if let Kind::Diode(diode) = sized::kind(&mut plan, "V1") {
        diode.model = "1N4001".into();
    }
    assert!(faults(&plan).len() > 3);
    let (sized, list) = all_sized("wrong", &plan);
    // AWG stays AWG; 8.8 A in the bright phase, with all lamps lit, want more than 10 A.
    assert!(sized.wires.iter().all(|wire| wire.size.ends_with("AWG")));
    let fuse = list.iter().find(|c| c.id == "F1").expect("the fuse");
    assert_eq!(
        (fuse.now.as_str(), fuse.recommended.as_str()),
        ("40 A", "15 A")
    );
    assert!(fuse.changes() && fuse.margin.is_some_and(|m| m > 0.3));
    let diode = list.iter().find(|c| c.id == "V1").expect("the diode");
    assert!(
        diode.changes() && diode.recommended.starts_with("1N54"),
        "{diode:?}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Whatever lengths, temperatures and bundles: sized plans have no fault, and not a size to spare.
    #[test]
    fn sized_plans_stay_tight(
        file in 0_usize..10, stretch in 0.3_f64..4.0, ambient in 10.0_f64..60.0, bundle in 1_u16..8,
        insulation in prop::sample::select(vec![75.0, 90.0, 105.0, 125.0]),
        size in prop::sample::select(vec!["1 mm2", "18 AWG", "16 SAE"]),
    ) {
        let (name, mut plan) = files().swap_remove(file);
        plan.settings.sizing.ambient_c = Celsius::of(ambient);
        plan.settings.sizing.bundle = bundle;
        for wire in &mut plan.wires[1..] {
            wire.length_mm = Millimetres::of(stretch * wire.length_mm.get());
            wire.insulation_c = Celsius::of(insulation);
            wire.size = size.into();
        }
        let (sized, list) = all_sized(&name, &plan);
        tight(&name, &sized, &list);
    }
}
