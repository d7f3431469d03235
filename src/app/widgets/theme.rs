//! Which of the two looks the page has: sunlight or garage. Kept in the browser; `static/boot.js` sets it before
//! anything is drawn.

use crate::text::say;
use gloo::utils::{document_element, window};
use yew::prelude::*;

/// Name under which the browser keeps the choice; the boot script reads it.
const KEY: &str = "loomwright.theme";
/// The look that is chosen; the other one is what stands where nothing is.
const DARK: &str = "dark";

fn is_dark() -> bool {
    document_element().get_attribute("data-theme").as_deref() == Some(DARK)
}

/// The choice between the two.
#[component]
pub fn ThemeChoice() -> Html {
    let dark = use_state_eq(is_dark);
    let toggle = use_callback(dark.clone(), |_: MouseEvent, dark| {
        let now = !**dark;
        let theme = if now { DARK } else { "light" };
        let _ = document_element().set_attribute("data-theme", theme);
        // Where nothing can be kept the choice holds until the page is left.
        if let Ok(Some(storage)) = window().local_storage() {
            let _ = storage.set_item(KEY, theme);
        }
        dark.set(now);
    });
    html! {
        <button type="button" class="toggle" aria-pressed={dark.to_string()} onclick={toggle}>
            { say!("Dark, for the garage") }
        </button>
    }
}
