//! `libm` gives the bits on this machine that it gave where the expected checksums were taken.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/bits.rs"]
mod bits;

#[test]
fn native_libm_gives_the_agreed_bits() {
    assert_eq!(bits::differences(), "");
}

#[test]
fn a_single_bit_changes_the_checksum() {
    assert!(bits::one_bit_shows());
}
