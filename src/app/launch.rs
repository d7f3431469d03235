//! Files that the system opens with the installed page: looked at before anything is kept, like a plan from a link.
//!
//! The browser hands them over through its launch queue, also those that arrive before the page listens. `web-sys` does
//! not know the queue, so its three members are reached by name.

use super::home::read_plan;
use super::root::Place;
use super::whole;
use crate::plan::Plan;
use crate::plan::file::{FileError, MAX_BYTES};
use crate::text::say;
use js_sys::{Array, Function, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use yew::prelude::*;

/// Shows every file that the system hands over.
#[hook]
pub fn use_launched(go: &Callback<Place>) {
    use_effect_with(go.clone(), |go| {
        let _ = listen(go.clone());
    });
}

fn listen(go: Callback<Place>) -> Result<(), JsValue> {
    let queue = Reflect::get(&gloo::utils::window(), &"launchQueue".into())?;
    if !queue.is_object() {
        return Ok(());
    }
    let set: Function = Reflect::get(&queue, &"setConsumer".into())?.dyn_into()?;
    let hear = Closure::<dyn Fn(JsValue)>::new(move |launch: JsValue| {
        let files = Reflect::get(&launch, &"files".into()).unwrap_or_default();
        // A start without a file says so, too. Each of several files comes in a launch of its own.
        let first = files.dyn_into::<Array>().map(|files| files.get(0));
        let Some(handle) = first.ok().filter(JsValue::is_object) else {
            return;
        };
        go.emit(Place::Link(say!("Reading it…").into()));
        let go = go.clone();
        spawn_local(async move {
            let place = match read(handle).await {
                Ok(plan) => Place::file_to_look_at(plan),
                Err(why) => Place::Link(say!("{why}. Nothing was changed.").into()),
            };
            go.emit(place);
        });
    });
    set.call1(&queue, hear.as_ref())?;
    // The queue speaks for as long as the page lives.
    hear.forget();
    Ok(())
}

/// The plan of a file behind its handle, or what is wrong with it.
async fn read(handle: JsValue) -> Result<Plan, String> {
    whole::arrival().await?;
    let unable = |_: JsValue| say!("The browser could not read the file: open it again").to_owned();
    let file: web_sys::File = later(&handle, "getFile").await.map_err(unable)?;
    let name = file.name();
    let refuse = |error: FileError| format!("{name}: {error}");
    // The size is known before anything is read.
    if file.size() > MAX_BYTES as f64 {
        let bytes = file.size() as usize;
        return Err(refuse(FileError::TooLarge { bytes }));
    }
    let bytes: JsValue = later(&file, "arrayBuffer").await.map_err(unable)?;
    read_plan(&Uint8Array::new(&bytes).to_vec()).map_err(refuse)
}

/// What a method without arguments promises.
async fn later<T: JsCast>(of: &JsValue, method: &str) -> Result<T, JsValue> {
    let method: Function = Reflect::get(of, &method.into())?.dyn_into()?;
    let promise: Promise = method.call0(of)?.dyn_into()?;
    JsFuture::from(promise).await?.dyn_into()
}
