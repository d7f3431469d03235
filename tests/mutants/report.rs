//! What came of it: results that a later run goes on from, and a report with the score of every module and the survivors.

use crate::sites::Mutant;
use crate::tree::{MODULES, module_of};
use crate::trial::Verdict;
use std::collections::HashMap;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::Path;

/// Adds a verdict to the file of results.
pub fn note(path: &Path, mutant: &Mutant, verdict: &Verdict) {
    let word = match verdict {
        Verdict::Killed(by) => format!("killed\t{by}"),
        Verdict::Stopped(by) => format!("stopped\t{by}"),
        Verdict::Survived(_) => "survived\t".to_owned(),
        Verdict::Undecided(..) => "undecided\t".to_owned(),
    };
    let file = OpenOptions::new().append(true).create(true).open(path);
    let _ = file.and_then(|mut file| writeln!(file, "{word}\t{}", mutant.key));
}

/// The mutants that earlier runs killed, by key.
pub fn killed(path: &Path) -> HashMap<String, Verdict> {
    let text = fs::read_to_string(path).unwrap_or_default();
    let lines = text.lines().filter_map(|line| {
        let mut fields = line.splitn(3, '\t');
        let (word, by, key) = (fields.next()?, fields.next()?, fields.next()?);
        match word {
            "killed" => Some((key.to_owned(), Verdict::Killed(by.to_owned()))),
            "stopped" => Some((key.to_owned(), Verdict::Stopped(by.to_owned()))),
            _ => None,
        }
    });
    lines.collect()
}

/// The report as text: first the figures, then every survivor with its place.
pub fn text(all: &[Mutant], sample: &[Mutant], verdicts: &[Verdict]) -> String {
    let mut text = format!(
        "{:<10} {:>7} {:>6} {:>6} {:>7} {:>9} {:>9} {:>9} {:>6}\n",
        "module",
        "mutants",
        "tried",
        "failed",
        "stopped",
        "survived",
        "unreached",
        "undecided",
        "score"
    );
    for module in MODULES.iter().map(|m| Some(*m)).chain([None]) {
        let of = |m: &Mutant| module.is_none() || module_of(&m.file) == module;
        let tried: Vec<&Verdict> = sample
            .iter()
            .zip(verdicts)
            .filter(|(m, _)| of(m))
            .map(|(_, v)| v)
            .collect();
        if tried.is_empty() {
            continue;
        }
        let count = |is: fn(&Verdict) -> bool| tried.iter().filter(|v| is(v)).count();
        let (failed, stopped) = (
            count(|v| matches!(v, Verdict::Killed(_))),
            count(|v| matches!(v, Verdict::Stopped(_))),
        );
        text.push_str(&format!(
            "{:<10} {:>7} {:>6} {:>6} {:>7} {:>9} {:>9} {:>9} {:>5.1}%\n",
            module.unwrap_or("all"),
            all.iter().filter(|m| of(m)).count(),
            tried.len(),
            failed,
            stopped,
            count(|v| matches!(v, Verdict::Survived(1..))),
            count(|v| matches!(v, Verdict::Survived(0))),
            count(|v| matches!(v, Verdict::Undecided(..))),
            100.0 * (failed + stopped) as f64 / tried.len() as f64,
        ));
    }
    text.push_str("\nSurvivors:\n");
    let mut listed: Vec<(&Mutant, &Verdict)> = sample.iter().zip(verdicts).collect();
    listed.sort_by_key(|(mutant, _)| mutant.number);
    for (mutant, verdict) in listed {
        let why = match verdict {
            Verdict::Killed(_) | Verdict::Stopped(_) => continue,
            Verdict::Survived(0) => "no test reaches it".to_owned(),
            Verdict::Survived(tests) => format!("{tests} tests reach it"),
            Verdict::Undecided(run, of) => format!("{run} of {of} tests run"),
        };
        let Mutant {
            file,
            line,
            function,
            change,
            ..
        } = mutant;
        text.push_str(&format!("{file}:{line}: {function}: {change} ({why})\n"));
    }
    text
}
