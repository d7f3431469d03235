//! The bits on this machine are those where the expected values were taken: of `libm`, and of the whole chain
//! for the examples. `tests/web.rs` asks the same of the wasm build.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/behaviour_text.rs"]
mod behaviour_text;
#[path = "shared/bits.rs"]
mod bits;
#[path = "shared/corpus.rs"]
mod corpus;
#[path = "shared/drawing_bits.rs"]
mod drawing_bits;
#[path = "shared/random.rs"]
mod random;

#[test]
fn native_libm_gives_the_agreed_bits() {
    assert_eq!(bits::differences(), "");
}

#[test]
fn a_single_bit_changes_the_checksum() {
    assert!(bits::one_bit_shows());
}

/// `UPDATE_EXPECT=1` rewrites the expected texts.
#[test]
fn examples_behave_to_the_last_bit_as_written_down() {
    for (name, plan, expected) in behaviour_text::EXAMPLES {
        let text = behaviour_text::text(plan);
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/behaviour");
            std::fs::write(format!("{folder}/{name}.txt"), text).expect("file can be written");
        } else {
            assert!(text == expected, "{name} behaves otherwise:\n{text}");
        }
    }
}

/// `UPDATE_EXPECT=1` rewrites the checksums.
#[test]
fn drawings_have_the_agreed_bytes() {
    let found = drawing_bits::checksums();
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/tests/fixtures/drawing/checksums.txt"
        );
        std::fs::write(path, found).expect("file can be written");
    } else {
        assert_eq!(found, drawing_bits::CHECKSUMS);
        assert!(drawing_bits::drawings_agree());
    }
}
