//! The browser's storage as a shelf for plans, its clock, and its promise to keep what is stored.

use crate::keep::{Shelf, Store};
use crate::text::{self, say};
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::Storage;

/// Whether the browser has been asked to keep what is stored.
const ASKED: &str = "loomwright.1.asked";

/// The browser's storage for this page.
#[derive(Debug)]
pub struct Browser(Storage);

impl Store for Browser {
    fn get(&self, key: &str) -> Option<String> {
        self.0.get_item(key).ok()?
    }

    fn set(&self, key: &str, text: &str) -> bool {
        self.0.set_item(key, text).is_ok()
    }

    fn remove(&self, key: &str) -> bool {
        self.0.remove_item(key).is_ok()
    }

    fn keys(&self) -> Vec<String> {
        let count = self.0.length().unwrap_or(0);
        (0..count).filter_map(|i| self.0.key(i).ok()?).collect()
    }
}

/// The kept plans, if the browser gives the page any storage.
pub fn shelf() -> Option<Shelf<Browser>> {
    let storage = gloo::utils::window().local_storage().ok()??;
    Some(Shelf(Browser(storage)))
}

/// Now, in milliseconds since 1970.
pub fn now_ms() -> u64 {
    js_sys::Date::now() as u64
}

/// A time as people write it, such as `25 Nov 2026, 23:31`; `an unknown time` for 0.
pub fn when(ms: u64) -> String {
    if ms == 0 {
        return say!("an unknown time").into();
    }
    let options = js_sys::Object::new();
    for (name, value) in [("dateStyle", "medium"), ("timeStyle", "short")] {
        // Without an option the browser writes the time its usual way.
        let _ = js_sys::Reflect::set(&options, &name.into(), &value.into());
    }
    let date = js_sys::Date::new(&JsValue::from_f64(ms as f64));
    // English with the day before the month, as everywhere but in the United States.
    let language = match text::language() {
        "en" => "en-GB",
        other => other,
    };
    date.to_locale_string(language, &options).into()
}

/// Asks the browser, once, to keep what is stored even when space runs short.
pub fn ask_to_persist() {
    let Some(Shelf(store)) = shelf() else { return };
    if store.get(ASKED).is_some() || !store.set(ASKED, "yes") {
        return;
    }
    // A refusal is no trouble: the start screen says what it means.
    if let Ok(promise) = gloo::utils::window().navigator().storage().persist() {
        spawn_local(async move {
            let _ = JsFuture::from(promise).await;
        });
    }
}

/// Tells whether the browser has promised to keep what is stored.
pub fn whether_persisted(tell: impl FnOnce(bool) + 'static) {
    if let Ok(promise) = gloo::utils::window().navigator().storage().persisted() {
        spawn_local(async move {
            let kept = JsFuture::from(promise).await;
            tell(kept.is_ok_and(|kept| kept.is_truthy()));
        });
    }
}
