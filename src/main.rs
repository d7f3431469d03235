//! The page's entry point; a native build of it only says where the page is built.

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    eprintln!("loomwright is a web page: run `cargo dev serve` to build and open it.");
}

#[cfg(target_arch = "wasm32")]
fn main() {
    loomwright::app::start();
}
