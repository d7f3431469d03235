//! "Open a file": reads a plan file or the plan inside a saved drawing, or says why it is none and changes nothing.

use super::GoProps;
use crate::app::root::{Opened, Place};
use crate::drawing::plan_of;
use crate::plan::{Plan, file};
use crate::session::ByPtr;
use gloo::file::callbacks::{FileReader, read_as_bytes};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The plan of a file: a drawing has it inside.
fn read(bytes: &[u8]) -> Result<Plan, file::FileError> {
    let drawing = core::str::from_utf8(bytes).ok().and_then(plan_of);
    drawing.unwrap_or_else(|| file::read(bytes))
}

/// The button and its message.
#[component]
pub fn OpenFile(props: &GoProps) -> Html {
    let message = use_state(|| None::<String>);
    let reader = use_mut_ref(|| None::<FileReader>);
    let onchange = {
        let (message, go) = (message.setter(), props.go.clone());
        use_callback(go, move |event: Event, go| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else {
                return;
            };
            let Some(chosen) = input.files().and_then(|files| files.get(0)) else {
                return;
            };
            let name = chosen.name();
            let (message, go) = (message.clone(), go.clone());
            // The size is known before anything is read.
            let too_large = chosen.size() > file::MAX_BYTES as f64;
            let refuse = move |why: String| format!("{name}: {why}. Nothing was changed.");
            if too_large {
                let error = file::FileError::TooLarge {
                    bytes: chosen.size() as usize,
                };
                message.set(Some(refuse(error.to_string())));
                input.set_value("");
                return;
            }
            let blob = gloo::file::Blob::from(web_sys::Blob::from(chosen));
            *reader.borrow_mut() = Some(read_as_bytes(&blob, move |bytes| {
                match bytes.map(|bytes| read(&bytes)) {
                    Ok(Ok(plan)) => go.emit(Place::Plan(ByPtr::new(Opened::fresh(plan)))),
                    Ok(Err(error)) => message.set(Some(refuse(error.to_string()))),
                    Err(_) => message.set(Some(refuse(
                        "the browser could not read the file: choose it again".into(),
                    ))),
                }
            }));
            // The same file can be chosen again after it was mended.
            input.set_value("");
        })
    };
    html! {
        <div class="open-file">
            <input id="open-file" class="file-input" type="file" accept=".json,.svg,application/json,image/svg+xml" {onchange} />
            <label for="open-file" class="button">{ "Open a file" }</label>
            if let Some(message) = &*message {
                <p class="wrong" role="alert">{ message }</p>
            }
        </div>
    }
}
