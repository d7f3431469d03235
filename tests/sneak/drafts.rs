//! Drafted plans in which every lamp does what was wished: no sneak check finds a fault in them, and every second ground
//! that is offered quiets the lost ground it is offered for.

use crate::SNEAKS;
use crate::briefs::{mended, random_brief};
use crate::random::Random;
use loomwright::behaviour::table;
use loomwright::brief::draft;
use loomwright::findings::{Severity, findings};

#[test]
fn second_grounds_quiet_what_they_are_offered_for() {
    let mut random = Random(12);
    let (mut sound, mut offered) = (0, 0);
    for _ in 0..400 {
        let brief = random_brief(&mut random);
        let plan = draft(&mended(&mut random, brief).0);
        let before = table(&plan, &[]);
        if !before.as_wished() {
            continue;
        }
        sound += 1;
        for finding in findings(&plan, &before) {
            let sneak = SNEAKS.contains(&finding.check);
            assert!(!sneak || finding.severity != Severity::Fault, "{finding:?}");
            if finding.check != "lost ground" {
                continue;
            }
            let mut mended = plan.clone();
            let edit = finding.remedies[0].edit.clone();
            edit.apply(&mut mended).expect("the edit fits");
            let after = table(&mended, &[]);
            assert!(after.as_wished());
            let left = findings(&mended, &after);
            assert!(
                !left
                    .iter()
                    .any(|f| f.check == finding.check && f.about[0] == finding.about[0]),
                "{finding:?}"
            );
            offered += 1;
        }
    }
    assert!(sound > 200 && offered > 20, "{sound} {offered}");
}
