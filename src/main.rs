//! The page's entry point; a native build of it only says where the page is built.

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    eprintln!("loomwright is a web page: run `cargo dev serve` to build and open it.");
}

#[cfg(target_arch = "wasm32")]
fn main() {
    // Loading the program runs nothing: `static/boot.js` and `static/worker.js` call `begin` once both parts of it are in place.
}

/// Starts the page, or in a worker what serves it.
#[cfg(target_arch = "wasm32")]
#[wasm_bindgen::prelude::wasm_bindgen]
pub fn begin() {
    loomwright::app::start();
}
