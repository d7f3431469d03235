//! Any bytes through the whole chain: file, behaviour table, checks, drawing, page. A plan may be nonsense; nothing may
//! panic, and the drawing's verifier has nothing to say.
#![no_main]

use libfuzzer_sys::fuzz_target;
use loomwright::behaviour::table_within;
use loomwright::drawing::{Options, Overlay, draw, export, plan_of};
use loomwright::findings::findings;
use loomwright::plan::file;
use loomwright::share::page;

/// Larger plans only slow the search down.
const MOST: usize = 60;

fuzz_target!(|bytes: &[u8]| {
    let Ok(plan) = file::read(bytes) else { return };
    if plan.parts.len() > MOST || plan.wires.len() > 2 * MOST {
        return;
    }
    let table = table_within(&plan, &[], 64);
    let found = findings(&plan, &table);
    let scene = draw(&plan, &Options::default());
    let svg = export(&plan, &scene, &Overlay::new());
    assert!(plan_of(&svg) == Some(Ok(plan.clone())));
    assert!(page(&plan, &table, &found).ends_with("</html>\n"));
});
