//! Tests that must run in a browser, on the wasm build.
#![cfg(target_arch = "wasm32")]

use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

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

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn wasm_libm_gives_the_agreed_bits() {
    assert_eq!(bits::differences(), "");
}

#[wasm_bindgen_test]
fn a_single_bit_changes_the_checksum() {
    assert!(bits::one_bit_shows());
}

#[wasm_bindgen_test]
fn examples_behave_to_the_last_bit_as_on_native() {
    for (name, plan, expected) in behaviour_text::EXAMPLES {
        assert!(
            behaviour_text::text(plan) == expected,
            "{name} behaves otherwise"
        );
    }
}

#[wasm_bindgen_test]
fn drawings_have_the_agreed_bytes() {
    assert!(drawing_bits::drawings_agree());
    assert_eq!(drawing_bits::checksums(), drawing_bits::CHECKSUMS);
}
