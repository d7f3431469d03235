//! Tests that must run in a browser, on the wasm build.
#![cfg(target_arch = "wasm32")]

use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

#[path = "shared/bits.rs"]
mod bits;

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn wasm_libm_gives_the_agreed_bits() {
    assert_eq!(bits::differences(), "");
}

#[wasm_bindgen_test]
fn a_single_bit_changes_the_checksum() {
    assert!(bits::one_bit_shows());
}
