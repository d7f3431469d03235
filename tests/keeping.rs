//! Keeping plans: saves cut off at every step, full and faulty stores, two tabs, versions, backups, starts after a crash.
//!
//! The store of these tests fails or stops on order, so that what a killed tab, a full quota or a torn write leaves can
//! be looked at in every case. Method: whatever happens, what opens afterwards is the last plan whose save was
//! confirmed, or the one that was being saved.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;
#[path = "keeping/faulty.rs"]
mod faulty;
#[path = "keeping/interrupted.rs"]
mod interrupted;
#[path = "keeping/tabs.rs"]
mod tabs;

use faulty::{Fault, Faulty};
use loomwright::keep::{MOST_VERSIONS, Shelf, Stamp, State, Trouble, VERSION_EVERY_MS};
use loomwright::plan::{Edit, History, Plan, file};
use serde_json::json;

const MINUTE: u64 = 60_000;

fn wagon() -> Plan {
    build::file("tests/fixtures/wagon-four-turn-lamps.json")
}

/// The plan with another title, and the step that gave it.
fn titled(plan: &Plan, history: &mut History, title: &str) -> Plan {
    let mut next = plan.clone();
    let done = history.apply(
        &mut next,
        Edit::Title(title.into()),
        format!("Title {title}"),
        "",
    );
    assert_eq!(done, Ok(()));
    next
}

#[test]
fn two_hundred_steps_and_more_can_be_undone_and_redone_after_a_reload() {
    let shelf = Shelf(Faulty::new());
    let (mut plan, mut history, mut seen) = (wagon(), History::default(), Stamp::default());
    let first = plan.clone();
    for n in 0..260 {
        plan = titled(&plan, &mut history, &format!("Wagon {n}"));
        seen = shelf
            .save("p1", seen, &plan, &history, n)
            .expect("it is kept");
    }
    let mut opened = shelf.load("p1").expect("it opens");
    assert_eq!(opened.plan, plan);
    for _ in 0..260 {
        assert!(opened.history.undo(&mut opened.plan).is_some());
    }
    assert_eq!(opened.plan, first);
    shelf
        .save("p1", seen, &opened.plan, &opened.history, 300)
        .expect("it is kept");
    let mut again = shelf.load("p1").expect("it opens");
    for _ in 0..260 {
        assert!(again.history.redo(&mut again.plan).is_some());
    }
    assert_eq!(again.plan, plan);
}

#[test]
fn a_full_store_gives_up_versions_first_then_steps_and_keeps_the_plan() {
    let shelf = Shelf(Faulty::new());
    let (mut plan, mut history, mut seen) = (wagon(), History::default(), Stamp::default());
    for n in 0..40 {
        plan = titled(&plan, &mut history, &format!("Wagon {n}"));
        seen = shelf
            .save("p1", seen, &plan, &history, n * 11 * MINUTE)
            .expect("it is kept");
    }
    assert_eq!(shelf.versions("p1").len(), MOST_VERSIONS);
    // Room for what is there, and no more.
    shelf.0.limit(shelf.0.size());
    let long = "x".repeat(3000);
    plan = titled(&plan, &mut history, &long);
    seen = shelf
        .save("p1", seen, &plan, &history, 40 * 11 * MINUTE)
        .expect("versions give way");
    let left = shelf.versions("p1").len();
    assert!((1..MOST_VERSIONS).contains(&left), "{left} versions");
    assert_eq!(
        shelf.load("p1").map(|opened| opened.history),
        Some(history.clone())
    );

    // Room for two slots of half the size: versions and most steps go, the plan stays.
    let slot = file::write_small(&plan).len() + 400;
    shelf.0.limit(2 * slot + shelf.0.size() / 3);
    for n in 0..6 {
        plan = titled(&plan, &mut history, &format!("{long} {n}"));
        seen = shelf
            .save("p1", seen, &plan, &history, 50 * 11 * MINUTE)
            .expect("steps give way");
    }
    let opened = shelf.load("p1").expect("it opens");
    assert_eq!(opened.plan, plan);
    assert!(opened.history.len() < history.len());

    // No room at all: refused in words, and what was there stays.
    shelf.0.limit(0);
    let next = titled(&plan, &mut history, &"y".repeat(20_000));
    assert_eq!(
        shelf.save("p1", seen, &next, &history, 0),
        Err(Trouble::Full)
    );
    assert!(Trouble::Full.text().contains("Download"));
    assert_eq!(shelf.load("p1").map(|opened| opened.plan), Some(plan));
}

#[test]
fn what_does_not_read_is_listed_told_apart_and_never_touched() {
    let shelf = Shelf(Faulty::new());
    let plan = wagon();
    let seen = shelf
        .save("p1", Stamp::default(), &plan, &History::default(), 1)
        .expect("it is kept");
    shelf
        .save("p1", seen, &plan, &History::default(), 2)
        .expect("it is kept");
    shelf.0.spoil("loomwright.1.p1.b");
    let spoilt = shelf.0.text("loomwright.1.p1.b");
    // The slot before opens; saving over the damaged one is refused.
    let opened = shelf.load("p1").expect("the slot before opens");
    assert_eq!(opened.stamp.seq, 1);
    let refused = shelf.save("p1", opened.stamp, &plan, &History::default(), 3);
    assert_eq!(refused, Err(Trouble::Damaged));
    assert_eq!(shelf.0.text("loomwright.1.p1.b"), spoilt);
    shelf.0.spoil("loomwright.1.p1.a");
    assert!(shelf.load("p1").is_none());
    assert_eq!(shelf.list()[0].state, State::Damaged);
    assert!(shelf.raw("p1").contains(&spoilt.expect("it is there")));
    // Taking it out leaves what does not check.
    shelf.delete("p1");
    assert_eq!(shelf.list().len(), 1);
    assert_eq!(&*shelf.fresh_key(), "p2");
}

#[test]
fn a_plan_of_a_newer_build_is_listed_and_left_alone() {
    let shelf = Shelf(Faulty::new());
    let newer = file::write(&wagon()).replacen("\"version\": 1", "\"version\": 2", 1);
    shelf.0.plant("loomwright.1.p1.a", &newer, 5);
    let listed = shelf.list();
    assert_eq!(listed[0].state, State::Newer);
    assert!(listed[0].title.contains("newer"));
    assert!(shelf.load("p1").is_none());
    assert_eq!(shelf.raw("p1"), newer);
    // A tab that still runs the older build and saw an earlier save is held back.
    let seen = Stamp { seq: 4, sum: 1 };
    let refused = shelf.save("p1", seen, &wagon(), &History::default(), 9);
    assert_eq!(refused, Err(Trouble::Elsewhere));
    assert_eq!(shelf.raw("p1"), newer);
    // It goes into a backup as it is, and the backup says so when an older build brings it back.
    let other = Shelf(Faulty::new());
    let restored = other
        .bring_back(shelf.backup().as_bytes(), 1)
        .expect("a backup");
    assert_eq!((restored.plans, restored.unread), (0, 1));
}

#[test]
fn versions_are_kept_while_work_goes_on_and_can_be_returned_to() {
    let shelf = Shelf(Faulty::new());
    let (mut plan, mut history, mut seen) = (wagon(), History::default(), Stamp::default());
    let day = 24 * 60 * MINUTE;
    seen = shelf
        .save("p1", seen, &plan, &history, day)
        .expect("it is kept");
    assert!(shelf.versions("p1").is_empty());
    // A day later: what it was is kept before the change.
    plan = titled(&plan, &mut history, "Second day");
    seen = shelf
        .save("p1", seen, &plan, &history, 2 * day)
        .expect("it is kept");
    let versions = shelf.versions("p1");
    assert_eq!(versions.len(), 1);
    assert_eq!(versions[0].plan, wagon());
    assert_eq!(versions[0].saved_ms, day);
    // A minute later there is none, after ten there is one.
    for (after, count) in [(MINUTE, 1), (2 * MINUTE, 1), (VERSION_EVERY_MS, 2)] {
        plan = titled(&plan, &mut history, &format!("After {after}"));
        seen = shelf
            .save("p1", seen, &plan, &history, 2 * day + after)
            .expect("it is kept");
        assert_eq!(shelf.versions("p1").len(), count, "after {after}");
    }
    // Taken out with the plan, and put back with it.
    let taken = shelf.delete("p1");
    assert!(shelf.list().is_empty() && shelf.versions("p1").is_empty());
    shelf.restore(&taken).expect("there is room");
    assert_eq!(shelf.versions("p1").len(), 2);
    assert_eq!(shelf.load("p1").map(|opened| opened.plan), Some(plan));
    assert_eq!(shelf.stamp("p1"), seen);
}

#[test]
fn a_backup_brings_every_plan_back_and_overwrites_none() {
    let shelf = Shelf(Faulty::new());
    let names = [
        "wagon-four-turn-lamps",
        "tractor-shared-rear-lamps",
        "cart-48-volts",
    ];
    for (n, name) in names.iter().enumerate() {
        let plan = build::file(&format!("tests/fixtures/{name}.json"));
        let key = shelf.fresh_key();
        shelf
            .save(
                &key,
                Stamp::default(),
                &plan,
                &History::default(),
                n as u64 + 1,
            )
            .expect("it is kept");
    }
    shelf.0.plant("loomwright.1.p9.a", "{", 1);
    shelf.0.spoil("loomwright.1.p9.a");
    let text = shelf.backup();
    let value: serde_json::Value = serde_json::from_str(&text).expect("a backup is JSON");
    assert_eq!(value["plans"].as_array().map(Vec::len), Some(3));
    assert_eq!(value["unread"].as_array().map(Vec::len), Some(1));

    let other = Shelf(Faulty::new());
    other
        .save("p1", Stamp::default(), &wagon(), &History::default(), 1)
        .expect("it is kept");
    let changed = titled(&wagon(), &mut History::default(), "My wagon");
    other
        .save("p2", Stamp::default(), &changed, &History::default(), 1)
        .expect("it is kept");
    let restored = other.bring_back(text.as_bytes(), 7).expect("a backup");
    assert_eq!((restored.plans, restored.known, restored.unread), (2, 1, 1));
    assert_eq!(
        restored.text(),
        "2 plans brought back. 1 plan here already. 1 plan left in the file, since this Loomwright cannot read them."
    );
    assert_eq!(other.load("p2").map(|opened| opened.plan), Some(changed));
    let again = other.bring_back(text.as_bytes(), 8).expect("a backup");
    assert_eq!((again.plans, again.known), (0, 3));
    // No room: said, and nothing half kept.
    let full = Shelf(Faulty::new());
    full.0.limit(5000);
    let restored = full.bring_back(text.as_bytes(), 7).expect("a backup");
    assert_eq!(restored.plans + restored.no_room, 3);
    assert!(restored.no_room > 0 && full.list().len() == restored.plans);

    for (wrong, word) in [
        (json!({"format": "diary"}).to_string(), "no backup"),
        ("{".into(), "damaged"),
        (
            json!({"format": "loomwright-backup", "version": 2}).to_string(),
            "newer",
        ),
    ] {
        let error = other
            .bring_back(wrong.as_bytes(), 1)
            .expect_err("no backup")
            .to_string();
        assert!(error.contains(word), "{error}");
    }
}

#[test]
fn a_plan_that_stopped_the_program_is_not_opened_by_itself() {
    let shelf = Shelf(Faulty::new());
    shelf
        .save("p1", Stamp::default(), &wagon(), &History::default(), 1)
        .expect("it is kept");
    shelf.set_open(Some("p1"));
    // Starts that live, or are left in order, go on for ever.
    for _ in 0..10 {
        assert!(shelf.begin());
        shelf.came_through();
    }
    // An error of the program: told at the next start until the user has answered.
    assert!(shelf.begin());
    shelf.stopped();
    shelf.came_through();
    assert!(!shelf.begin() && shelf.was_stopped());
    assert!(!shelf.begin());
    shelf.told();
    assert!(shelf.begin());
    shelf.came_through();
    // A page that dies without a word: three times in a row are enough.
    let died = (0..10).take_while(|_| shelf.begin()).count();
    assert_eq!(died, 3);
    shelf.came_through();
    assert!(shelf.was_stopped() && !shelf.begin());
    // With no plan open there is nothing to be careful about.
    shelf.set_open(None);
    assert!(!shelf.was_stopped());
}

#[test]
fn faults_of_the_store_are_what_they_say() {
    // The store of these tests can do what it is used for.
    let store = Faulty::new();
    store.next(Fault::Torn { after: 0, keep: 2 });
    assert!(!loomwright::keep::Store::set(&store, "k", "abcd"));
    assert_eq!(store.text("k").as_deref(), Some("ab"));
}
