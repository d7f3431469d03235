//! A drawing on its way out of the page: an SVG file with the plan inside, a picture of a chosen width, sheets for the
//! printer. Nothing is requested; what leaves goes through an object link.

use crate::app::files::{hand_over, object_url};
use crate::drawing::{self, Overlay, Paper, Scene, Sheet, Style};
use crate::plan::{Plan, file};
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::{Closure, JsValue};
use web_sys::{Blob, CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement, Url};
use yew::Callback;

/// Most points of a picture: more than 16 million is more than some phones' browsers draw.
const MOST_POINTS: f64 = 16_000_000.0;

fn svg_url(text: &str) -> Option<String> {
    object_url(text, "image/svg+xml")
}

/// Downloads the drawing as an SVG file that opens again.
pub fn save_svg(plan: &Plan, scene: &Scene, overlay: &Overlay) {
    let text = drawing::export(plan, scene, overlay);
    if let Some(url) = svg_url(&text) {
        hand_over(&file::name(&plan.title, "svg"), url);
    }
}

/// Width and height in points of a picture as wide as wished, or as large as can be.
pub fn points(scene: &Scene, width: f64) -> (u32, u32) {
    let shape = scene.height / scene.width;
    let width = width.min((MOST_POINTS / shape).sqrt()).floor();
    (width as u32, (width * shape).floor() as u32)
}

/// Downloads the drawing as a picture `width` points wide; `done` hears whether it worked.
pub fn save_png(plan: &Plan, scene: &Scene, overlay: &Overlay, width: f64, done: Callback<bool>) {
    let text = drawing::svg(scene, overlay, Style::Embedded);
    let name = file::name(&plan.title, "png");
    let size = points(scene, width);
    let start = || -> Option<(HtmlImageElement, String)> {
        Some((HtmlImageElement::new().ok()?, svg_url(&text)?))
    };
    let Some((image, url)) = start() else {
        done.emit(false);
        return;
    };
    let painted = {
        let (image, url, done) = (image.clone(), url.clone(), done.clone());
        move || {
            let hand = move |blob: JsValue| {
                let blob = blob.dyn_into::<Blob>().ok();
                let link = blob.and_then(|blob| Url::create_object_url_with_blob(&blob).ok());
                done.emit(link.is_some());
                if let Some(link) = link {
                    hand_over(&name, link);
                }
            };
            let hand = Closure::once_into_js(hand);
            let canvas = paint(&image, size);
            let sent = canvas.and_then(|canvas| canvas.to_blob(hand.unchecked_ref()).ok());
            let _ = Url::revoke_object_url(&url);
            sent
        }
    };
    let loaded = Closure::once_into_js(move || {
        painted();
    });
    let failed = Closure::once_into_js(move || done.emit(false));
    image.set_onload(Some(loaded.unchecked_ref()));
    image.set_onerror(Some(failed.unchecked_ref()));
    image.set_src(&url);
}

/// The picture on white.
fn paint(image: &HtmlImageElement, (width, height): (u32, u32)) -> Option<HtmlCanvasElement> {
    let canvas = gloo::utils::document().create_element("canvas").ok()?;
    let canvas: HtmlCanvasElement = canvas.dyn_into().ok()?;
    canvas.set_width(width);
    canvas.set_height(height);
    let context = canvas.get_context("2d").ok()??;
    let context: CanvasRenderingContext2d = context.dyn_into().ok()?;
    let (width, height) = (f64::from(width), f64::from(height));
    context.set_fill_style_str("#ffffff");
    context.fill_rect(0.0, 0.0, width, height);
    context
        .draw_image_with_html_image_element_and_dw_and_dh(image, 0.0, 0.0, width, height)
        .ok()?;
    Some(canvas)
}

/// Today, as ISO 8601 has it.
pub fn today() -> String {
    let now = js_sys::Date::new_0();
    format!(
        "{:04}-{:02}-{:02}",
        now.get_full_year(),
        now.get_month() + 1,
        now.get_date()
    )
}

/// Hands the drawing to the printer on sheets of paper; the sheets stand in the page until they are printed.
pub fn print(plan: &Plan, scene: &Scene, paper: Paper) -> Option<()> {
    let date = today();
    let sheet = Sheet {
        paper,
        date: &date,
        revision: &plan.settings.revision,
    };
    let pages = drawing::pages(scene, &sheet, Style::Linked);
    let document = gloo::utils::document();
    let body = document.body()?;
    if let Some(old) = document.get_element_by_id("print-sheets") {
        old.remove();
    }
    let sheets = document.create_element("div").ok()?;
    sheets.set_id("print-sheets");
    // Every text in it was escaped where the sheets were written.
    sheets.set_inner_html(&pages.concat());
    body.append_child(&sheets).ok()?;
    let window = gloo::utils::window();
    let done = EventListener::once(&window, "afterprint", move |_| sheets.remove());
    done.forget();
    // What was put in is laid out first.
    Timeout::new(50, move || {
        let _ = window.print();
    })
    .forget();
    Some(())
}
