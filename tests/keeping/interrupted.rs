//! Saves that are cut off: every write of a save, killed, torn, refused or changed, then thousands of random ones.

use crate::build::file;
use crate::faulty::{Fault, Faulty};
use crate::titled;
use loomwright::keep::{Shelf, Stamp, Trouble};
use loomwright::plan::{History, Plan};

/// Interrupted saves of the random run; `SAVES=20000` for a longer one.
fn runs() -> usize {
    let wanted = std::env::var("SAVES").ok();
    wanted.and_then(|runs| runs.parse().ok()).unwrap_or(3000)
}

/// A generator of its own, so that a failure can be run again: xorshift64 (Marsaglia 2003).
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n as u64) as usize
    }
}

/// A plan as it is being worked on.
struct Work {
    store: Faulty,
    key: String,
    plan: Plan,
    history: History,
    seen: Stamp,
    clock: u64,
    /// The last plan whose save was confirmed, and the one that was being saved.
    confirmed: Plan,
}

impl Work {
    fn new() -> Self {
        let plan = file("tests/fixtures/wagon-four-turn-lamps.json");
        let mut work = Self {
            store: Faulty::new(),
            key: "p1".into(),
            confirmed: plan.clone(),
            plan,
            history: History::default(),
            seen: Stamp::default(),
            clock: 0,
        };
        work.save().expect("a sound store");
        work
    }

    fn edit(&mut self, n: usize) {
        self.plan = titled(&self.plan, &mut self.history, &format!("Edit {n}"));
    }

    /// As the page does it: what cannot go on under its key goes on under a new one.
    fn save(&mut self) -> Result<(), Trouble> {
        self.clock += 60_000;
        let shelf = Shelf(core::mem::replace(&mut self.store, Faulty::new()));
        let mut result = shelf.save(&self.key, self.seen, &self.plan, &self.history, self.clock);
        if matches!(result, Err(Trouble::Damaged | Trouble::Elsewhere)) {
            let key = shelf.fresh_key();
            result = shelf.save(
                &key,
                Stamp::default(),
                &self.plan,
                &self.history,
                self.clock,
            );
            if result.is_ok() {
                self.key = key.to_string();
            }
        }
        self.store = shelf.0;
        self.seen = result?;
        self.confirmed = self.plan.clone();
        Ok(())
    }

    /// A new tab opens what is there: the confirmed plan or the one that was being saved, nothing older.
    #[track_caller]
    fn killed_and_reopened(&mut self, what: &str) {
        let shelf = Shelf(self.store.reopened());
        let newest = shelf.list().into_iter().find_map(|kept| {
            let opened = shelf.load(&kept.key)?;
            (opened.plan == self.plan || opened.plan == self.confirmed).then_some((kept, opened))
        });
        let Some((kept, opened)) = newest else {
            panic!("{what}: neither the confirmed plan nor the newer one opens");
        };
        (self.plan, self.history, self.seen) = (opened.plan, opened.history, opened.stamp);
        self.key = kept.key.to_string();
        self.confirmed = self.plan.clone();
        self.store = shelf.0;
    }
}

#[test]
fn a_save_cut_off_at_any_write_loses_nothing_that_was_confirmed() {
    let kinds: [fn(usize) -> Fault; 4] = [
        |after| Fault::Killed { after },
        |after| Fault::Torn { after, keep: 900 },
        |after| Fault::Refused { after },
        |after| Fault::Changed { after },
    ];
    let mut cut = 0;
    for kind in kinds {
        // Saves into either slot, with and without a version to be kept.
        for saves in 1..24 {
            let mut last = usize::MAX;
            for after in 0.. {
                let mut work = Work::new();
                for n in 0..saves {
                    work.edit(n);
                    work.save().expect("a sound store");
                }
                work.store.next(kind(after));
                work.edit(saves);
                let _ = work.save();
                let writes = work.store.writes();
                work.killed_and_reopened(&format!("{:?} after {saves} saves", kind(after)));
                work.edit(saves + 1);
                work.save().expect("a sound store");
                work.killed_and_reopened("after going on");
                assert_eq!(work.plan.title, format!("Edit {}", saves + 1));
                cut += 1;
                last = last.min(writes);
                if after > writes {
                    break;
                }
            }
        }
    }
    assert!(cut >= 300, "{cut} cut");
    println!("{cut} saves cut off, each at one of its writes");
}

#[test]
fn a_torn_write_of_any_length_loses_nothing_that_was_confirmed() {
    let mut base = Work::new();
    base.edit(0);
    base.save().expect("a sound store");
    let length = base.store.text("loomwright.1.p1.b").expect("a slot").len();
    for keep in (0..=length).step_by(7) {
        let mut work = Work::new();
        work.edit(0);
        work.store.next(Fault::Torn { after: 0, keep });
        let _ = work.save();
        work.killed_and_reopened(&format!("torn after {keep} bytes"));
    }
}

#[test]
fn thousands_of_random_interruptions_lose_nothing_that_was_confirmed() {
    let mut chance = Chance(0x9e37_79b9_7f4a_7c15);
    let mut work = Work::new();
    let mut cut = 0;
    let runs = runs();
    for n in 0..runs {
        work.edit(n);
        let after = chance.below(4);
        let keep = chance.below(9000);
        let fault = match chance.below(6) {
            0 => Fault::Torn { after, keep },
            1 => Fault::Refused { after },
            2 => Fault::Changed { after },
            3 | 4 => Fault::Killed { after },
            _ => Fault::None,
        };
        work.store.next(fault);
        if chance.below(40) == 0 {
            work.store.limit(chance.below(60_000));
        }
        cut += usize::from(work.save().is_err());
        work.killed_and_reopened(&format!("run {n}: {fault:?}"));
        if work.history.len() > 60 || Shelf(work.store.reopened()).list().len() > 6 {
            work = Work::new();
        }
    }
    assert!(cut > runs / 10, "only {cut} of {runs} were cut");
    println!("{runs} interrupted saves, {cut} of them not confirmed");
}
