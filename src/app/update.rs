//! The line that says that another build of the page is ready; only a tap on it changes anything.
//!
//! `static/offline.js` leaves the news at the page's body and listens for the answer.

use crate::text::say;
use gloo::events::EventListener;
use web_sys::Event;
use yew::prelude::*;

/// What `static/offline.js` has told last: `ready`, `elsewhere`, or nothing.
fn news() -> String {
    gloo::utils::body()
        .get_attribute("data-update")
        .unwrap_or_default()
}

/// The line; nothing while there is no news.
#[component]
pub fn UpdateLine() -> Html {
    let shown = use_state(news);
    {
        let shown = shown.setter();
        use_effect_with((), move |()| {
            let window = gloo::utils::window();
            let listener =
                EventListener::new(&window, "loomwright-update", move |_| shown.set(news()));
            move || drop(listener)
        });
    }
    let take = use_callback((), |_: MouseEvent, ()| {
        if let Ok(event) = Event::new("loomwright-take") {
            let _ = gloo::utils::window().dispatch_event(&event);
        }
    });
    let reload = use_callback((), |_: MouseEvent, ()| {
        let _ = gloo::utils::window().location().reload();
    });
    match shown.as_str() {
        "ready" => html! {
            <div class="notice" role="status">
                <span>{ say!("A new Loomwright is ready. Your plans and answers stay.") }</span>
                <button type="button" onclick={take}>{ say!("Update now") }</button>
            </div>
        },
        "elsewhere" => html! {
            <div class="notice" role="status">
                <span>{ say!("Loomwright was updated in another tab. Your plans and answers stay.") }</span>
                <button type="button" onclick={reload}>{ say!("Load it here too") }</button>
            </div>
        },
        _ => html! {},
    }
}
