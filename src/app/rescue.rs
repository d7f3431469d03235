//! The last line of defence: when the program stops on an error, the page says so and offers the plan.
//!
//! A panic in wasm leaves the page without a program. Everything up to the last change is in the browser's
//! storage already, so the page is replaced by one that says so, hands out the stored text as a file, and marks the
//! plan so that the next start does not open it by itself.

use super::{files, store};
use crate::plan::file;
use crate::text::say;
use gloo::events::EventListener;
use std::panic;
use wasm_bindgen::JsCast;
use web_sys::ErrorEvent;

/// Sets the panic hook, and a watch on errors that are no panics: a browser call that fails where it never should, a
/// stack that is used up.
pub fn install() {
    let window = gloo::utils::window();
    EventListener::new(&window, "error", |event| {
        if event.dyn_ref::<ErrorEvent>().is_some() {
            let _ = show();
        }
    })
    .forget();
    panic::set_hook(Box::new(|info| {
        gloo::console::error!(info.to_string());
        // Whatever fails in here must not panic again.
        let _ = show();
    }));
}

fn show() -> Option<()> {
    let document = gloo::utils::document();
    let body = document.body()?;
    if body.has_attribute("data-stopped") {
        return None;
    }
    body.set_attribute("data-stopped", "true").ok()?;
    let make = |tag: &str, text: &str| {
        let element = document.create_element(tag).ok()?;
        element.set_text_content(Some(text));
        Some(element)
    };
    let page = make("main", "")?;
    page.set_attribute("class", "rescue-page").ok()?;
    let head = make("h1", say!("Loomwright stopped"))?;
    let text = make(
        "p",
        say!(
            "Loomwright met an error of its own and stopped. Your plan is kept up to the last change. Load the page again: \
         it then starts without opening this plan by itself."
        ),
    )?;
    text.set_attribute("role", "alert").ok()?;
    page.append_child(&head).ok()?;
    page.append_child(&text).ok()?;
    let shelf = store::shelf();
    if let Some(shelf) = &shelf {
        shelf.stopped();
    }
    let link = |text: &str, href: &str| {
        let link: web_sys::HtmlAnchorElement = make("a", text)?.dyn_into().ok()?;
        link.set_class_name("button");
        link.set_href(href);
        page.append_child(&link).ok()?;
        Some(link)
    };
    if let Some(text) = shelf.and_then(|shelf| shelf.last_text()) {
        let url = files::object_url(&text, file::MEDIA_TYPE)?;
        link(say!("Download the plan"), &url)?
            .set_download(&format!("rescued.{}", file::EXTENSION));
    }
    link(say!("Load the page again"), ".")?;
    // What is left of the program no longer answers: nothing of it stays on the page.
    body.set_text_content(None);
    body.append_child(&page).ok()?;
    Some(())
}
