//! Files handed to the browser, and their names.

use crate::plan::{Plan, file};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, Url};

/// A link to `text` as a file; it holds until the page is left.
pub fn object_url(text: &str, media_type: &str) -> Option<String> {
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let kind = BlobPropertyBag::new();
    kind.set_type(media_type);
    let blob = Blob::new_with_str_sequence_and_options(&parts, &kind).ok()?;
    Url::create_object_url_with_blob(&blob).ok()
}

/// Hands `text` to the browser as a download.
pub fn download(name: &str, media_type: &str, text: &str) {
    if let Some(url) = object_url(text, media_type) {
        hand_over(name, url);
    }
}

/// Hands what an object link holds to the browser as a download, and frees it later.
pub fn hand_over(name: &str, url: String) {
    let link = || -> Option<()> {
        let document = gloo::utils::document();
        let link: HtmlAnchorElement = document.create_element("a").ok()?.dyn_into().ok()?;
        link.set_href(&url);
        link.set_download(name);
        document.body()?.append_child(&link).ok()?;
        link.click();
        link.remove();
        // The browser fetches the object after the click; free it well after.
        gloo::timers::callback::Timeout::new(60_000, move || {
            let _ = Url::revoke_object_url(&url);
        })
        .forget();
        Some(())
    };
    link();
}

/// Downloads a plan under its own name.
pub fn download_plan(plan: &Plan) {
    let name = file::name(&plan.title, file::EXTENSION);
    download(&name, file::MEDIA_TYPE, &file::write(plan));
}
