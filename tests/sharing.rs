//! Links, QR codes and the page to read: what comes out goes in again, what is too large says so, and no text of a plan
//! gets out of its place.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

use loomwright::behaviour::table;
use loomwright::drawing::{Options, Overlay, draw, export, plan_of};
use loomwright::findings::findings;
use loomwright::plan::{Kind, Plan, file};
use loomwright::share::{LinkError, link, packed, page, qr, unpacked};
use miniz_oxide::deflate::compress_to_vec_zlib;
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;

const ADDRESS: &str = "https://plans.example/loomwright/";

fn packed_plan(plan: &Plan) -> Vec<u8> {
    compress_to_vec_zlib(file::write_small(plan).as_bytes(), 9)
}

fn fixtures() -> Vec<(String, Plan)> {
    let names = [
        "cart-48-volts",
        "float-shared-front-and-rear-lamps",
        "tractor-shared-rear-lamps",
        "wagon-four-turn-lamps",
        "golden/version-1",
    ];
    names
        .into_iter()
        .map(|name| {
            (
                name.to_owned(),
                build::file(&format!("tests/fixtures/{name}.json")),
            )
        })
        .collect()
}

#[test]
fn a_link_brings_the_whole_plan() {
    for (name, plan) in fixtures() {
        let link = link(ADDRESS, &packed_plan(&plan)).expect("short enough");
        println!(
            "{name}: {} parts, {} characters",
            plan.parts.len(),
            link.len()
        );
        assert!(link.is_ascii() && link.len() < 6000, "{name}");
        let fragment = link.strip_prefix(ADDRESS).expect("behind the address");
        let bytes = packed(fragment).expect("one of ours").expect("whole");
        let text = decompress_to_vec_zlib_with_limit(&bytes, file::MAX_BYTES).expect("it unpacks");
        assert_eq!(unpacked(&text).as_ref(), Ok(&plan), "{name}");
        // Cut off anywhere, it is found out.
        for end in (fragment.len() / 2..fragment.len()).step_by(5) {
            let cut = match packed(&fragment[..end]) {
                Some(Ok(bytes)) => {
                    decompress_to_vec_zlib_with_limit(&bytes, file::MAX_BYTES).is_err()
                }
                Some(Err(error)) => error == LinkError::Damaged,
                None => false,
            };
            assert!(cut, "{name}, cut at {end}");
        }
    }
}

#[test]
fn what_a_link_holds_may_be_no_plan_or_too_much() {
    assert!(matches!(unpacked(b"{}"), Err(LinkError::File(_))));
    assert_eq!(
        unpacked(&vec![b' '; file::MAX_BYTES + 1]),
        Err(LinkError::TooLarge)
    );
    let error = unpacked(b"[]").expect_err("no plan").to_string();
    assert!(error.contains("does not open") && error.contains("not a Loomwright plan"));
}

/// The dark modules of a code, read back from its path.
fn modules(path: &str, side: i32) -> Vec<Vec<bool>> {
    let mut dark = vec![vec![false; side as usize]; side as usize];
    for run in path.split('M').skip(1) {
        let numbers: Vec<i32> = run
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|number| number.parse().ok())
            .collect();
        let (x, y, length) = (numbers[0], numbers[1], numbers[2]);
        for x in x..x + length {
            dark[y as usize][x as usize] = true;
        }
    }
    dark
}

#[test]
fn a_code_is_drawn_as_the_standard_says_up_to_version_25() {
    let mut versions = Vec::new();
    for bytes in [1, 40, 300, 700, 940] {
        let payload: Vec<u8> = (0..bytes).map(|n| (n * 31 % 251) as u8).collect();
        let code = qr(ADDRESS, &payload).expect("it fits");
        assert_eq!(code.side, 17 + 4 * i32::from(code.version) + 8);
        let dark = modules(&code.path, code.side);
        // ISO/IEC 18004: finder patterns of seven modules in three corners, four light modules around everything.
        let far = code.side - 11;
        for (left, top) in [(4, 4), (far, 4), (4, far)] {
            for (y, row) in dark.iter().enumerate().skip(top as usize).take(7) {
                for (x, module) in row.iter().enumerate().skip(left as usize).take(7) {
                    let ring = (x as i32 - left - 3).abs().max((y as i32 - top - 3).abs());
                    assert_eq!(*module, ring != 2, "{bytes}: {x} {y}");
                }
            }
        }
        let edge = |at: usize| at < 4 || at >= code.side as usize - 4;
        let outside = dark.iter().enumerate().flat_map(|(y, row)| {
            row.iter()
                .enumerate()
                .filter(move |(x, _)| edge(*x) || edge(y))
                .map(|(_, module)| *module)
        });
        assert!(outside.into_iter().all(|module| !module));
        versions.push(code.version);
    }
    assert!(versions.is_sorted() && versions[4] == 25, "{versions:?}");
}

#[test]
fn a_plan_too_large_for_a_code_says_by_how_much() {
    let error = qr(ADDRESS, &[7; 4000]).expect_err("too large");
    assert!(error.to_string().contains("packed it has 4000 bytes"));
    // The room it names is the room there is, give or take the last group of digits.
    let error = qr(ADDRESS, &[7; 1100]).expect_err("too large");
    assert!(qr(ADDRESS, &vec![7; error.room - 8]).is_ok(), "{error}");
    assert!(qr(ADDRESS, &vec![7; error.room + 8]).is_err(), "{error}");
}

/// Texts that end elements, open scripts, start formulas, turn the writing round, or are no XML at all.
const HOSTILE: [&str; 9] = [
    "</script><script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "' onload='alert(1)",
    "]]></metadata><script/>",
    "<!--",
    "&lt;b&gt;&amp;#x3c;",
    "=HYPERLINK(\"http://a.example\")",
    "\u{202e}\u{0}\u{1}\u{fffe}\u{7f}",
    "</style><svg onload=alert(1)>",
];

fn poisoned(text: &str) -> Plan {
    let mut plan = build::file("tests/fixtures/tractor-shared-rear-lamps.json");
    plan.title = text.into();
    plan.notes = format!("{text}\n{text}");
    for place in &mut plan.places {
        place.label = text.into();
    }
    for control in &mut plan.controls {
        control.label = text.into();
    }
    for part in &mut plan.parts {
        part.label = text.into();
        part.why = text.into();
        match &mut part.kind {
            Kind::Lamp(lamp) => lamp.model = Some(text.into()),
            Kind::Diode(diode) => diode.model = text.into(),
            _ => {}
        }
    }
    for wire in &mut plan.wires {
        wire.colour = text.into();
        wire.size = text.into();
        wire.why = text.into();
    }
    plan
}

/// Names of elements and attributes of a page, and a complaint where its marks do not pair.
fn anatomy(html: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        let inner = &rest[at + 1..];
        let mut quoted = None;
        let end = inner.char_indices().find(|&(_, c)| match (quoted, c) {
            (None, '"') => {
                quoted = Some(c);
                false
            }
            (Some(open), c) => {
                if c == open {
                    quoted = None;
                }
                false
            }
            (None, c) => c == '>',
        });
        let end = end.expect("an element ends").0;
        let mut outside = String::new();
        for (i, piece) in inner[..end].split('"').enumerate() {
            if i % 2 == 0 {
                outside.push_str(piece);
            }
        }
        found.extend(outside.split_whitespace().map(str::to_owned));
        rest = &inner[end..];
    }
    found.sort();
    found.dedup();
    found
}

#[test]
fn no_text_of_a_plan_becomes_a_mark() {
    // The same plan with harmless texts has the same elements and attributes.
    let pages = |plan: &Plan| {
        let table = table(plan, &[]);
        let scene = draw(plan, &Options::default());
        let svg = export(plan, &scene, &Overlay::new());
        assert_eq!(
            plan_of(&svg),
            Some(Ok(plan.clone())),
            "the plan comes back from its drawing"
        );
        let html = page(plan, &table, &findings(plan, &table));
        assert_eq!(plan_of(&html), Some(Ok(plan.clone())), "and from the page");
        (svg, html)
    };
    let harmless = pages(&poisoned("word"));
    let known = [anatomy(&harmless.0), anatomy(&harmless.1)];
    for text in HOSTILE {
        let (svg, html) = pages(&poisoned(text));
        for (made, known) in [(&svg, &known[0]), (&html, &known[1])] {
            let strange: Vec<String> = anatomy(made)
                .into_iter()
                .filter(|name| !known.contains(name))
                .collect();
            assert!(strange.is_empty(), "{text:?}: {strange:?}");
            let control = |c: char| c < ' ' && c != '\n' || matches!(c, '\u{fffe}' | '\u{ffff}');
            assert!(!made.contains(control), "{text:?}");
        }
    }
}

#[test]
fn the_page_says_what_the_plan_says() {
    let mut plan = build::file("tests/fixtures/tractor-without-diodes.json");
    plan.notes = "Rear lamps are new.".into();
    let table = table(&plan, &[]);
    let found = findings(&plan, &table);
    let html = page(&plan, &table, &found);
    for word in [
        "<!doctype html>",
        "<h1>Ferry-slip tractor",
        "Rear lamps are new.",
        "back-fed",
        "disconnect the battery",
        "default-src 'none'",
    ] {
        assert!(html.contains(word), "{word}");
    }
    assert!(!html.contains("<script") && !html.contains("http-equiv=\"refresh\""));
    let rows = |name: &str| {
        let start = html.find(&format!("<h2>{name}</h2>")).expect("a heading");
        let end = html[start..].find("</table>").expect("a table");
        html[start..start + end].matches("<tr>").count() - 1
    };
    assert_eq!(rows("Parts"), plan.parts.len());
    assert_eq!(rows("Wires"), plan.wires.len());
    assert_eq!(rows("Behaviour"), table.rows.len());
    assert_eq!(rows("What the checks say"), found.len());
}
