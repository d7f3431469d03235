//! The last line of defence: when the program stops on an error, the page says so and offers the plan.
//!
//! A panic in wasm leaves the page without a program. Everything up to the last change is in the browser's
//! storage already, so the message names that and hands out the stored text as a file.

use super::{files, store};
use std::panic;
use wasm_bindgen::JsCast;

/// Sets the panic hook.
pub fn install() {
    panic::set_hook(Box::new(|info| {
        gloo::console::error!(info.to_string());
        // Whatever fails in here must not panic again.
        let _ = show();
    }));
}

fn show() -> Option<()> {
    let document = gloo::utils::document();
    let body = document.body()?;
    let message = document.create_element("p").ok()?;
    message.set_attribute("role", "alert").ok()?;
    message.set_attribute("class", "rescue").ok()?;
    message.set_text_content(Some(
        "Loomwright met an error of its own and stopped. Your plan is kept up to the last change: \
         load the page again. ",
    ));
    if let Some(text) = store::Shelf::open().and_then(|shelf| shelf.last_text()) {
        let link = document.create_element("a").ok()?;
        let link: web_sys::HtmlAnchorElement = link.dyn_into().ok()?;
        link.set_href(&files::object_url(&text)?);
        link.set_download("rescued.loomwright.json");
        link.set_text_content(Some("Download the plan"));
        message.append_child(&link).ok()?;
    }
    body.prepend_with_node_1(&message).ok()
}
