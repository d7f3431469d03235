//! The system's share sheet, where the browser has one.

use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{File, FilePropertyBag};

/// A function of the navigator that not every browser has.
fn function(name: &str) -> Option<(JsValue, Function)> {
    let navigator: JsValue = gloo::utils::window().navigator().into();
    let function = Reflect::get(&navigator, &name.into())
        .ok()?
        .dyn_into()
        .ok()?;
    Some((navigator, function))
}

/// Whether there is a share sheet.
pub fn is_there() -> bool {
    function("share").is_some()
}

fn send(data: &Object) -> bool {
    let able = function("canShare").and_then(|(navigator, can)| can.call1(&navigator, data).ok());
    if !able.is_some_and(|able| able.is_truthy()) {
        return false;
    }
    let Some((navigator, share)) = function("share") else {
        return false;
    };
    let Ok(promise) = share.call1(&navigator, data) else {
        return false;
    };
    spawn_local(async move {
        // Closing the sheet without sending counts as a failure there; it is none.
        let _ = JsFuture::from(js_sys::Promise::from(promise)).await;
    });
    true
}

fn data(title: &str, key: &str, value: &JsValue) -> Object {
    let data = Object::new();
    // Setting a field of a fresh object cannot fail.
    let _ = Reflect::set(&data, &"title".into(), &title.into());
    let _ = Reflect::set(&data, &key.into(), value);
    data
}

/// Opens the sheet with a file; whether the browser takes such a file.
pub fn send_file(title: &str, name: &str, media_type: &str, text: &str) -> bool {
    let kind = FilePropertyBag::new();
    kind.set_type(media_type);
    let parts = Array::of1(&text.into());
    match File::new_with_str_sequence_and_options(&parts, name, &kind) {
        Ok(file) => send(&data(title, "files", &Array::of1(&file))),
        Err(_) => false,
    }
}

/// Opens the sheet with a link; whether the browser takes it.
pub fn send_link(title: &str, link: &str) -> bool {
    send(&data(title, "url", &link.into()))
}
