//! scratch
#![allow(missing_docs, dead_code, clippy::disallowed_methods)]
#[path = "../tests/shared/big.rs"]
mod big;
#[path = "../tests/shared/build.rs"]
mod build;
#[path = "../tests/shared/lanes.rs"]
mod lanes;
#[path = "../tests/shared/random.rs"]
mod random;
use loomwright::isolate::*;
fn cpu() -> f64 {
    let s = std::fs::read_to_string("/proc/self/schedstat").unwrap();
    s.split(' ').next().unwrap().parse::<f64>().unwrap() / 1e6
}
fn main() {
    let a: Vec<usize> = std::env::args()
        .skip(1)
        .map(|a| a.parse().unwrap())
        .collect();
    for seed in 0..a[4] as u64 {
        let mut r = random::Random(seed);
        let plan = lanes::plan(
            &mut r,
            lanes::Lanes {
                controls: a[0],
                lamps: a[1],
                feeds: a[2],
                flashing: a[3],
            },
        );
        let t = cpu();
        let table = loomwright::behaviour::table(&plan, &[]);
        let t0 = cpu() - t;
        let masked = table
            .rows
            .iter()
            .flat_map(|r| &r.cells)
            .filter(|c| c.verdict == loomwright::behaviour::Verdict::Masked)
            .count();
        let t = cpu();
        let found = isolate(&plan, "10A04");
        let t1 = cpu() - t;
        let words = match &found {
            Isolation::Clean => "clean".into(),
            Isolation::Found {
                cure,
                uncut,
                at_least,
            } => format!(
                "{} (≥{at_least}) uncut {} light {:.6}",
                cure.diodes.len(),
                uncut.len(),
                cure.least_light
            ),
            Isolation::Impossible(u) => format!("impossible {}", u.len()),
            Isolation::Unproved {
                trials,
                at_least,
                uncut,
            } => format!("unproved {trials} ≥{at_least} {}", uncut.len()),
        };
        let mut n = std::collections::BTreeMap::new();
        let t = cpu();
        if a.len() > 5 {
            let mut last = cpu();
            let mut doing = None;
            let advice = advise(&plan, "10A04", &mut |p| {
                let d = format!("{:?}", p.doing);
                if let Some(known) = doing.replace(d) {
                    let e: &mut (usize, f64) = n.entry(known).or_default();
                    e.0 += 1;
                    e.1 += cpu() - last;
                }
                last = cpu();
            });
            let e: &mut (usize, f64) = n.entry("end".into()).or_default();
            e.1 += cpu() - last;
            println!(
                "  {:?}",
                advice
                    .proposals
                    .iter()
                    .map(|p| (&p.title, p.after.words()))
                    .collect::<Vec<_>>()
            );
        }
        let t2 = cpu() - t;
        println!(
            "seed {seed}: masked {masked} table {:.1} ms isolate {:.1} ms: {words} advise {:.1} {n:?}",
            t0, t1, t2
        );
    }
}
