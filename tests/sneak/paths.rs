//! Sneak paths in plain words, and which wish they break.

use crate::build::file;
use crate::{said, speaks};
use loomwright::behaviour::table;
use loomwright::plan::Show;

const CHECK: &str = "wishes";

#[test]
fn a_back_fed_cell_is_told_part_by_part() {
    let plan = file("tests/fixtures/tractor-without-diodes.json");
    let found = said(&plan, CHECK);
    let of = |lamp: &str, state: &str| {
        found
            .iter()
            .find(|f| {
                f.about[0] == lamp && f.text.contains(state) && f.text.contains("should be off")
            })
            .unwrap_or_else(|| panic!("{lamp} in {state}"))
    };
    speaks(
        of("E1.main", "1 state of 16: Master on, Right on."),
        &[
            "No wish lights it there. The current creeps in from G1 (Battery) through F1 (Main fuse), S1 (Master \
             switch), K1 (Flasher), S3 (Right switch), backwards through wire W18 and backwards through wire W16 into \
             lamp E1 (Turn front left), and on by XG1 (Ground E1), the chassis and XG5 (Battery ground) to G1 (Battery).",
        ],
    );
}

/// The wish that is broken is the one that decides the cell.
#[test]
fn the_broken_wish_is_named() {
    let mut plan = file("tests/fixtures/tractor-without-diodes.json");
    let mut dark = plan.wishes[0].clone();
    dark.id = "dark".parse().expect("an id");
    dark.when.clear();
    dark.show = Show::Off;
    plan.wishes.push(dark);
    let back_fed = said(&plan, CHECK)
        .into_iter()
        .find(|f| f.about[0] == "E1.main" && f.text.contains("should be off"))
        .expect("still back-fed");
    let number = plan.wishes.len();
    let broken = format!("This breaks wish {number}, which wants it dark.");
    speaks(&back_fed, &[&broken]);
    assert!(back_fed.about.iter().any(|id| id == "dark"));
    let table = table(&plan, &[]);
    let ruled = |cell: &loomwright::behaviour::Cell| cell.ruled_by.map(|i| plan.wishes[i].show);
    assert!(
        table
            .rows
            .iter()
            .flat_map(|r| &r.cells)
            .all(|c| ruled(c).unwrap_or(Show::Off) == c.wish)
    );
}

#[test]
fn a_masked_cell_names_the_feed_that_hides_the_flash() {
    let plan = file("tests/fixtures/tractor-shared-rear-lamps.json");
    for finding in said(&plan, CHECK) {
        speaks(
            &finding,
            &[
                "This breaks wish",
                "The feed by way of S4 (Brake switch) stays on in the pauses of the flasher",
            ],
        );
    }
}
