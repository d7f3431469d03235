//! The headless check as a user runs it: exit status, report, and the one JSON object.
#![cfg(not(target_arch = "wasm32"))]

use serde_json::Value;
use std::process::{Command, Output};

fn plancheck(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_plancheck"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts")
}

fn json(path: &str) -> (Option<i32>, Value) {
    let output = plancheck(&["--json", path]);
    (
        output.status.code(),
        serde_json::from_slice(&output.stdout).expect("one JSON object"),
    )
}

#[test]
fn exit_status_says_whether_something_must_be_mended() {
    for (path, status) in [
        ("tests/fixtures/wagon-four-turn-lamps.json", 0),
        ("tests/fixtures/tractor-shared-rear-lamps.json", 1),
        ("tests/fixtures/float-without-diodes.json", 1),
    ] {
        let output = plancheck(&[path]);
        assert_eq!(output.status.code(), Some(status), "{path}");
        assert!(output.stderr.is_empty());
        assert!(String::from_utf8_lossy(&output.stdout).contains("cells as wished"));
    }
}

/// Unreadable files: one line on standard error with what, where and how to mend, nothing on standard output.
#[test]
fn unreadable_files_give_one_line() {
    for arguments in [
        &["no-such-file.json"][..],
        &["Cargo.toml"],
        &["--json", "tests"],
        &[],
    ] {
        let output = plancheck(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty());
        let error = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(error.trim_end().lines().count(), 1, "{error}");
        assert!(error.contains(": "), "{error}");
    }
}

#[test]
fn json_covers_every_state_once_with_the_fields_agreed() {
    let (status, report) = json("tests/fixtures/float-shared-front-and-rear-lamps.json");
    assert_eq!(status, Some(1));
    let keys = |value: &Value| -> Vec<String> {
        value
            .as_object()
            .expect("an object")
            .keys()
            .cloned()
            .collect()
    };
    assert_eq!(
        keys(&report),
        ["controls", "findings", "lamps", "plan", "rows", "solve"]
    );
    assert_eq!(
        keys(&report["solve"]),
        ["iterations_max", "states", "worst_residual"]
    );
    let rows = report["rows"].as_array().expect("a list");
    let mut states: Vec<String> = rows
        .iter()
        .map(|row| row["positions"].to_string())
        .collect();
    states.sort();
    states.dedup();
    assert_eq!((rows.len(), states.len()), (32, 32));
    let lamps: Vec<&Value> = report["lamps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| &l["id"])
        .collect();
    for row in rows {
        let cells = row["cells"].as_array().expect("a list");
        assert_eq!(
            cells.iter().map(|cell| &cell["lamp"]).collect::<Vec<_>>(),
            lamps
        );
        for cell in cells {
            assert_eq!(
                keys(cell),
                [
                    "amps_off",
                    "amps_on",
                    "lamp",
                    "level_off",
                    "level_on",
                    "shows",
                    "verdict",
                    "volts_off",
                    "volts_on",
                    "wish"
                ]
            );
            let flashing = cell["shows"] == "flashing";
            assert!(flashing || cell["verdict"] == "masked" || cell["amps_on"].is_number());
        }
    }
    let finding = &report["findings"][0];
    assert_eq!(
        keys(finding),
        ["about", "check", "severity", "source", "text"]
    );
}

/// Masked is shown as masked in example 2, and only where brake and turn meet.
#[test]
fn example_two_shows_masked_cells() {
    let (_, report) = json("tests/fixtures/tractor-shared-rear-lamps.json");
    let mut masked = 0;
    for row in report["rows"].as_array().unwrap() {
        for cell in row["cells"].as_array().unwrap() {
            if cell["verdict"] == "masked" {
                masked += 1;
                assert_eq!(row["positions"]["brake"], "pressed");
                assert_eq!(cell["wish"], "flashing");
            } else {
                assert_eq!(cell["verdict"], "as-wished");
            }
        }
    }
    assert_eq!(masked, 4);
}
