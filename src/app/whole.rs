//! The program comes in two parts: the first holds the start page and the form, the rest joins it a little later.
//!
//! `cargo dev build` cuts it (`src/bin/dev/split`); `static/boot.js` fetches the rest once the page can be used. Whatever
//! is called before it is there makes its caller wait, screen and all; so what surely needs the rest asks for it here
//! first and goes on when it has come. A program that was not cut has its rest from the start.

use super::root::Place;
use crate::text::say;
use js_sys::Promise;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use yew::prelude::*;

#[wasm_bindgen]
extern "C" {
    /// Settles when the rest is there.
    #[wasm_bindgen(js_namespace = loomwrightParts, catch)]
    fn whole() -> Result<Promise, JsValue>;

    /// Fetches the rest and waits for it. `cargo dev build` finds it by this name and has it called by every function of
    /// the first part that stands in for one of the rest. An error of it ends the call: there is nothing to go on with.
    #[wasm_bindgen(js_namespace = loomwrightParts, js_name = wholeNow)]
    fn whole_now();

    /// Whether the rest is there.
    #[wasm_bindgen(js_namespace = loomwrightParts, js_name = isWhole, catch)]
    fn whether_whole() -> Result<bool, JsValue>;

    /// The rest as it is compiled, for a worker; nothing if there is none apart.
    #[wasm_bindgen(js_namespace = loomwrightParts, js_name = rest, catch)]
    fn compiled_rest() -> Result<JsValue, JsValue>;
}

/// Whether the whole program is there.
fn is_whole() -> bool {
    // Without the boot script, as in tests, there is nothing to join.
    whether_whole().unwrap_or(true)
}

/// The rest as it is compiled, to be handed on to a worker.
pub fn rest() -> JsValue {
    compiled_rest().unwrap_or_default()
}

/// Waits for the whole program, or tells why it does not come.
pub async fn arrival() -> Result<(), &'static str> {
    if is_whole() {
        return Ok(());
    }
    if let Ok(promise) = whole()
        && JsFuture::from(promise).await.is_ok()
    {
        // It is there, so this does nothing but keep the name in the program by which stand-ins find it.
        whole_now();
        return Ok(());
    }
    Err(say!(
        "The rest of Loomwright could not be loaded. Look at the network and try again; what you entered is kept."
    ))
}

/// Goes to a place that only the whole program can make; says so while that is on its way.
pub fn go(go: &Callback<Place>, place: impl FnOnce() -> Option<Place> + 'static) {
    if is_whole() {
        if let Some(place) = place() {
            go.emit(place);
        }
        return;
    }
    go.emit(Place::Wait(say!("Loading the rest of Loomwright…").into()));
    let go = go.clone();
    spawn_local(async move {
        let place = match arrival().await {
            Ok(()) => place().unwrap_or(Place::Home),
            Err(why) => Place::Wait(why.into()),
        };
        go.emit(place);
    });
}

/// Where the page is on its way to being whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum State {
    /// The rest is on its way.
    Coming,
    /// All is there.
    Here,
    /// It does not come, for this reason.
    Missing(&'static str),
}

/// How far the program is; draws again when that changes.
#[hook]
pub fn use_whole() -> State {
    let state = use_state(|| {
        if is_whole() {
            State::Here
        } else {
            State::Coming
        }
    });
    let tell = state.setter();
    use_effect_with((), move |()| {
        if !is_whole() {
            spawn_local(async move {
                tell.set(
                    arrival()
                        .await
                        .map_or_else(State::Missing, |()| State::Here),
                );
            });
        }
    });
    *state
}
