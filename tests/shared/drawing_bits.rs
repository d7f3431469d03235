//! Drawings as bytes: the committed SVG of three plans, and checksums of generated ones. Native and wasm must agree.

use loomwright::drawing::{Options, Overlay, Style, draw, svg};
use loomwright::plan::file;

/// Plan and drawing of each.
pub const DRAWN: [(&str, &str); 3] = [
    (
        include_str!("../fixtures/wagon-four-turn-lamps.json"),
        include_str!("../fixtures/drawing/wagon-four-turn-lamps.svg"),
    ),
    (
        include_str!("../fixtures/tractor-shared-rear-lamps.json"),
        include_str!("../fixtures/drawing/tractor-shared-rear-lamps.svg"),
    ),
    (
        include_str!("../fixtures/float-shared-front-and-rear-lamps.json"),
        include_str!("../fixtures/drawing/float-shared-front-and-rear-lamps.svg"),
    ),
];

/// Numbers of generated vehicles, and the checksums of their drawings.
const VEHICLES: [u64; 3] = [7, 19, 28];

/// Checksums of the drawings of generated vehicles (FNV-1a), one a line, as committed.
pub const CHECKSUMS: &str = include_str!("../fixtures/drawing/checksums.txt");

/// The same, worked out here and now.
pub fn checksums() -> String {
    let sum = |n: u64| {
        let scene = draw(&super::corpus::vehicle(n), &Options::default());
        let text = svg(&scene, &Overlay::new(), Style::Linked);
        text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        })
    };
    VEHICLES
        .iter()
        .map(|&n| format!("{n} {:016x}\n", sum(n)))
        .collect()
}

/// Whether every committed drawing is what its plan gives.
pub fn drawings_agree() -> bool {
    DRAWN.iter().all(|(plan, drawn)| {
        let plan = file::read(plan.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
        let scene = draw(&plan, &Options::default());
        svg(&scene, &Overlay::new(), Style::Linked) == *drawn
    })
}
