//! Two tabs with the same plan: noticed whatever the order of their saves.

use crate::faulty::Faulty;
use crate::{titled, wagon};
use loomwright::keep::{Clash, Shelf, Stamp, Store, Trouble};
use loomwright::plan::History;
use std::rc::Rc;

/// One store seen by two tabs.
#[derive(Clone)]
struct Shared(Rc<Faulty>);

impl Store for Shared {
    fn get(&self, key: &str) -> Option<String> {
        self.0.get(key)
    }
    fn set(&self, key: &str, text: &str) -> bool {
        self.0.set(key, text)
    }
    fn remove(&self, key: &str) -> bool {
        self.0.remove(key)
    }
    fn keys(&self) -> Vec<String> {
        self.0.keys()
    }
}

fn two_tabs() -> (Shelf<Shared>, Shelf<Shared>, Stamp) {
    let store = Shared(Rc::new(Faulty::new()));
    let (here, there) = (Shelf(store.clone()), Shelf(store));
    let seen = here
        .save("p1", Stamp::default(), &wagon(), &History::default(), 1)
        .expect("it is kept");
    (here, there, seen)
}

#[test]
fn a_save_of_another_tab_is_noticed_and_not_overwritten() {
    let (here, there, seen) = two_tabs();
    let mut history = History::default();
    let theirs = titled(&wagon(), &mut history, "Theirs");
    there
        .save("p1", seen, &theirs, &history, 2)
        .expect("it is kept");
    assert_eq!(here.clash("p1", seen), Some(Clash::WentOn));
    let mine = titled(&wagon(), &mut History::default(), "Mine");
    let refused = here.save("p1", seen, &mine, &History::default(), 3);
    assert_eq!(refused, Err(Trouble::Elsewhere));
    assert_eq!(
        here.load("p1").map(|opened| opened.plan),
        Some(theirs.clone())
    );
    // Keep mine: theirs stays as a version.
    here.remember("p1", 4);
    let seen = here
        .save("p1", here.stamp("p1"), &mine, &History::default(), 5)
        .expect("it is kept");
    assert_eq!(here.clash("p1", seen), None);
    assert_eq!(here.load("p1").map(|opened| opened.plan), Some(mine));
    assert!(
        here.versions("p1")
            .iter()
            .any(|version| version.plan == theirs)
    );
}

/// Both tabs see the same state and save at once: the same slot, the same number. The one that was overwritten
/// notices by the checksum.
#[test]
fn saves_at_the_same_moment_are_noticed() {
    let (here, there, seen) = two_tabs();
    let mine = titled(&wagon(), &mut History::default(), "Mine");
    let after_mine = here
        .save("p1", seen, &mine, &History::default(), 2)
        .expect("it is kept");
    // The other tab's view was from before: replayed on a copy from before, then written over.
    let before = Shelf(Shared(Rc::new(Faulty::new())));
    before
        .save("p1", Stamp::default(), &wagon(), &History::default(), 1)
        .expect("it is kept");
    let theirs = titled(&wagon(), &mut History::default(), "Theirs");
    before
        .save("p1", seen, &theirs, &History::default(), 2)
        .expect("it is kept");
    for key in ["loomwright.1.p1.b", "loomwright.1.p1.at"] {
        assert!(
            there
                .0
                .set(key, &before.0.get(key).expect("it was written"))
        );
    }
    assert_eq!(here.clash("p1", after_mine), Some(Clash::Overwrote));
    let refused = here.save("p1", after_mine, &mine, &History::default(), 3);
    assert_eq!(refused, Err(Trouble::Elsewhere));
}

#[test]
fn a_plan_deleted_in_another_tab_is_noticed() {
    let (here, there, seen) = two_tabs();
    there.delete("p1");
    assert_eq!(here.clash("p1", seen), Some(Clash::Deleted));
    let refused = here.save("p1", seen, &wagon(), &History::default(), 3);
    assert_eq!(refused, Err(Trouble::Elsewhere));
    // Keep mine: it is there again.
    here.save("p1", here.stamp("p1"), &wagon(), &History::default(), 4)
        .expect("it is kept");
    assert_eq!(here.list().len(), 1);
}

/// Thousands of turns of two tabs, each choosing at random to save, to look, to take over or to go on beside: no
/// confirmed plan of either disappears without the other having chosen so.
#[test]
fn turns_of_two_tabs_lose_no_confirmed_plan() {
    let (here, there, seen) = two_tabs();
    let tabs = [&here, &there];
    let mut view = [(seen, 0_usize), (seen, 0_usize)];
    let mut turn = 0x2545_f491_4f6c_dd1d_u64;
    let mut noticed = 0;
    for n in 1..4000 {
        turn ^= turn << 13;
        turn ^= turn >> 7;
        turn ^= turn << 17;
        let me = (turn % 2) as usize;
        let title = format!("Edit {n}");
        let plan = titled(&wagon(), &mut History::default(), &title);
        match tabs[me].save(
            "p1",
            view[me].0,
            &plan,
            &History::default(),
            n as u64 * 1000,
        ) {
            Ok(stamp) => view[me] = (stamp, n),
            Err(Trouble::Elsewhere) => {
                // Only ever because the other tab saved since.
                assert_ne!(view[me].0, tabs[me].stamp("p1"));
                let opened = tabs[me].load("p1").expect("it opens");
                assert_eq!(opened.plan.title, format!("Edit {}", view[1 - me].1));
                view[me] = (opened.stamp, view[1 - me].1);
                noticed += 1;
            }
            Err(other) => panic!("{other:?}"),
        }
    }
    assert!(noticed > 500, "{noticed} noticed");
}
