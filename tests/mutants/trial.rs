//! Which mutants are tried, and trying them: each against the tests that reach it, until one fails.

use crate::process::{self, End};
use crate::sites::Mutant;
use crate::suite::{Suite, Test};
use crate::tree::{MODULES, module_of};
use std::collections::HashMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

/// What became of a mutant.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// This test fails.
    Killed(String),
    /// This test does not end in its time.
    Stopped(String),
    /// All tests that reach it pass: this many.
    Survived(usize),
    /// All that were run pass, but the time for one mutant was used up: so many run, of so many.
    Undecided(usize, usize),
}

/// A number from a text and a seed, the same everywhere (FNV-1a, then the mixing steps of MurmurHash3).
fn mixed(text: &str, seed: u64) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325 ^ seed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    for byte in text.bytes() {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    hash = (hash ^ (hash >> 33)).wrapping_mul(0xff51_afd7_ed55_8ccd);
    hash = (hash ^ (hash >> 33)).wrapping_mul(0xc4ce_b9fe_1a85_ec53);
    hash ^ (hash >> 33)
}

/// A random sample in which every module has a share that grows as the root of its number of mutants, so that small modules are
/// seen as well. Which are drawn depends on the seed and on each mutant's own key alone.
pub fn sample(mutants: &[Mutant], size: usize, seed: u64) -> Vec<Mutant> {
    let mut strata: Vec<Vec<&Mutant>> = MODULES
        .iter()
        .map(|module| {
            mutants
                .iter()
                .filter(|m| module_of(&m.file) == Some(module))
                .collect()
        })
        .collect();
    for stratum in &mut strata {
        stratum.sort_by_key(|m| (mixed(&m.key, seed), m.number));
    }
    let weights: Vec<f64> = strata.iter().map(|s| (s.len() as f64).sqrt()).collect();
    let mut shares = vec![0_usize; strata.len()];
    for _ in 0..size.min(mutants.len()) {
        // Next comes whoever is furthest behind; a module that is used up takes no more.
        let open = (0..strata.len()).filter(|&i| shares[i] < strata[i].len());
        let next = open.max_by(|&a, &b| {
            let want = |i: usize| weights[i] / (shares[i] as f64 + 0.5);
            want(a).total_cmp(&want(b)).then(b.cmp(&a))
        });
        shares[next.expect("fewer are asked for than there are")] += 1;
    }
    let drawn = strata
        .iter()
        .zip(&shares)
        .flat_map(|(stratum, &share)| &stratum[..share]);
    let mut drawn: Vec<Mutant> = drawn.map(|&mutant| mutant.clone()).collect();
    // Modules mixed, so that a run cut short has seen something of each.
    drawn.sort_by_key(|m| (mixed(&m.key, seed), m.number));
    drawn
}

/// Tries every mutant of the sample; `budget` is how long the tests of one mutant may take together, in seconds by their
/// normal times, and `each` hears every verdict as it falls.
pub fn run(
    sample: &[Mutant],
    suite: &Suite,
    jobs: usize,
    budget: f64,
    each: impl Fn(&Mutant, &Verdict) + Sync,
) -> Vec<Verdict> {
    // What has killed in a file is likely to kill there again, so it is tried sooner. The verdict does not depend on the order.
    let kills: Mutex<HashMap<(String, String), usize>> = Mutex::new(HashMap::new());
    let done = AtomicUsize::new(0);
    process::in_turn(sample, jobs, |_, mutant| {
        let key = |test: &Test| (mutant.file.clone(), test.name.clone());
        let mut tests: Vec<(f64, &Test)> = {
            let kills = kills.lock().unwrap_or_else(|e| e.into_inner());
            let reaching = suite
                .tests
                .iter()
                .filter(|test| test.reached.contains(&mutant.number));
            reaching
                .map(|test| {
                    (
                        test.seconds / (1 + 4 * kills.get(&key(test)).unwrap_or(&0)) as f64,
                        test,
                    )
                })
                .collect()
        };
        tests.sort_by(|a, b| a.0.total_cmp(&b.0));
        let verdict = one(mutant, &tests, budget);
        if let Verdict::Killed(by) | Verdict::Stopped(by) = &verdict {
            let mut kills = kills.lock().unwrap_or_else(|e| e.into_inner());
            *kills.entry((mutant.file.clone(), by.clone())).or_default() += 1;
        }
        let count = done.fetch_add(1, Ordering::Relaxed) + 1;
        if count.is_multiple_of(50) {
            println!("  {count} of {} tried", sample.len());
        }
        each(mutant, &verdict);
        verdict
    })
}

fn one(mutant: &Mutant, tests: &[(f64, &Test)], budget: f64) -> Verdict {
    let mut used = 0.0;
    for (run, (_, test)) in tests.iter().enumerate() {
        if used > budget {
            return Verdict::Undecided(run, tests.len());
        }
        used += test.seconds;
        let limit = Duration::from_secs_f64(test.seconds * 5.0 + 5.0);
        match process::run(
            test.command().env("LW_MUTANT", mutant.number.to_string()),
            limit,
        ) {
            End::Passed(_) => {}
            End::Failed => return Verdict::Killed(test.name.clone()),
            End::TooLong => return Verdict::Stopped(test.name.clone()),
        }
    }
    Verdict::Survived(tests.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mutants(counts: &[(&str, usize)]) -> Vec<Mutant> {
        let files = counts.iter().flat_map(|(module, count)| {
            (0..*count).map(move |i| (format!("src/{module}/a.rs"), i))
        });
        files
            .enumerate()
            .map(|(number, (file, i))| Mutant {
                number: number as u32,
                key: format!("{file} {i}"),
                file,
                line: i,
                function: String::new(),
                change: String::new(),
                node: 0..0,
            })
            .collect()
    }

    #[test]
    fn small_modules_are_seen_and_the_draw_can_be_repeated() {
        let all = mutants(&[("kernel", 900), ("share", 25), ("keep", 3)]);
        let drawn = sample(&all, 60, 7);
        let count = |module: &str| {
            drawn
                .iter()
                .filter(|m| module_of(&m.file) == Some(module))
                .count()
        };
        assert_eq!(drawn.len(), 60);
        assert_eq!((count("kernel"), count("share"), count("keep")), (49, 8, 3));
        let keys = |drawn: &[Mutant]| drawn.iter().map(|m| m.key.clone()).collect::<Vec<_>>();
        assert_eq!(keys(&drawn), keys(&sample(&all, 60, 7)));
        assert_ne!(keys(&drawn), keys(&sample(&all, 60, 8)));
        assert_eq!(sample(&all, 5000, 7).len(), 928);
    }

    #[test]
    fn more_of_the_code_moves_only_a_few_of_the_sample() {
        let (few, more) = (mutants(&[("kernel", 300)]), mutants(&[("kernel", 310)]));
        let (a, b) = (sample(&few, 100, 1), sample(&more, 100, 1));
        let same = a
            .iter()
            .filter(|m| b.iter().any(|n| n.key == m.key))
            .count();
        assert!(same > 85, "{same}");
    }
}
