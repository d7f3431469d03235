//! How long the core takes in wasm: prints CPU milliseconds, asserts only what comes out.
//!
//! Run by hand, in Node (the runner of wasm-bindgen must be on the path):
//! `cargo test --release --target wasm32-unknown-unknown --test pace -- --nocapture`
#![cfg(target_arch = "wasm32")]

#[path = "shared/big.rs"]
mod big;
#[path = "shared/build.rs"]
mod build;
#[path = "shared/lanes.rs"]
mod lanes;
#[path = "shared/random.rs"]
mod random;

use lanes::{Lanes, SIZES};
use loomwright::behaviour::table;
use loomwright::findings::findings;
use loomwright::isolate::{Isolation, advise, isolate};
use loomwright::plan::{Plan, file};
use random::Random;
use wasm_bindgen_test::{console_log, wasm_bindgen_test};

/// CPU milliseconds of this process so far: other work on the machine does not count.
fn cpu() -> f64 {
    js_sys::eval("process.cpuUsage().user / 1000")
        .ok()
        .and_then(|value| value.as_f64())
        .expect("runs in Node")
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let start = cpu();
    let done = work();
    (done, cpu() - start)
}

#[wasm_bindgen_test]
fn tables() {
    for (name, plan) in [
        ("60 parts, 12 controls", big::plan(12)),
        ("12 shared grounds, 3 relays", big::shared_grounds(12, 12)),
        ("30 controls", big::plan(30)),
    ] {
        let (first, warming) = timed(|| table(&plan, &[]));
        let (_, again) = timed(|| table(&plan, &[]));
        let states = first.rows.len();
        console_log!("table of {name}, {states} states: {again:.0} ms (first {warming:.0})");
        assert_eq!(first.solve.missed, 0);
    }
}

fn float() -> Plan {
    let text = include_str!("../static/examples/orchard-float.json");
    file::read(text.as_bytes()).expect("an example opens")
}

#[wasm_bindgen_test]
fn checks() {
    for (name, plan) in [
        ("60 parts, 12 controls", big::plan(12)),
        ("12 shared grounds, 3 relays", big::shared_grounds(12, 12)),
        ("the orchard float", float()),
    ] {
        let parts = plan.parts.len();
        let known = table(&plan, &[]);
        // The first half is for the browser's second compiler, whose own work counts as well.
        let all: Vec<f64> = (0..80)
            .map(|_| timed(|| findings(&plan, &known)).1)
            .collect();
        let mut took = all[40..].to_vec();
        took.sort_by(f64::total_cmp);
        let (least, median) = (took[0], took[took.len() / 2]);
        console_log!(
            "all checks of {name}, {parts} parts: {least:.1} ms least, {median:.1} ms median"
        );
    }
}

#[wasm_bindgen_test]
fn cures() {
    for lanes in SIZES {
        for seed in 0..3 {
            let plan = lanes::plan(&mut Random(seed), lanes);
            pace(lanes, seed, &plan);
        }
    }
}

fn pace(lanes: Lanes, seed: u64, plan: &Plan) {
    let (found, isolating) = timed(|| isolate(plan, "10A04"));
    let mut stages: Vec<(String, f64)> = Vec::new();
    let start = cpu();
    let (advice, advising) = timed(|| {
        advise(plan, "10A04", &mut |progress| {
            let doing = format!("{:?}", progress.doing);
            if stages.last().is_none_or(|(last, _)| *last != doing) {
                stages.push((doing, cpu() - start));
            }
        })
    });
    let words = match &found {
        Isolation::Found { cure, uncut, .. } => format!(
            "{} diodes, {}, {} paths beyond them",
            cure.diodes.len(),
            if found.is_least() {
                "least"
            } else {
                "not proved"
            },
            uncut.len()
        ),
        other => format!("{other:?}"),
    };
    console_log!(
        "{lanes:?} {seed}: {words}: isolate {isolating:.0} ms, advise {advising:.0} ms {stages:.0?}"
    );
    assert!(!advice.proposals.is_empty());
}
