//! "Open a file": reads a plan file, the plan inside a drawing or a page, or a backup of plans; or says why it is none of
//! these and changes nothing.

use crate::app::root::Place;
use crate::app::store;
use crate::app::whole;
use crate::drawing::plan_of;
use crate::keep::{BackupError, MAX_BACKUP_BYTES, Trouble};
use crate::plan::Plan;
use crate::plan::file::{self, FileError};
use crate::text::say;
use gloo::file::callbacks::{FileReader, read_as_bytes};
use wasm_bindgen_futures::spawn_local;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// What the button needs.
#[derive(Properties, PartialEq)]
pub struct OpenFileProps {
    /// Shows another place.
    pub go: Callback<Place>,
    /// Plans came back from a backup.
    pub onrestored: Callback<()>,
}

/// What the browser offers first; phones know only some of these endings, so the common ones stand here too.
const ACCEPT: &str = ".loomwright,.loomwright-backup,.json,.svg,.html,application/json,image/svg+xml,text/html,application/octet-stream";

/// Takes a file that is no plan as a backup; what to say when it is none either.
fn bring_back(bytes: &[u8], as_plan: &FileError) -> Result<String, String> {
    if !matches!(as_plan, FileError::NotAPlan | FileError::TooLarge { .. }) {
        return Err(as_plan.to_string());
    }
    let shelf = store::shelf().ok_or_else(|| Trouble::NoStorage.text().to_owned())?;
    match shelf.bring_back(bytes, store::now_ms()) {
        Ok(restored) => Ok(restored.text()),
        Err(BackupError::NotABackup) => Err(as_plan.to_string()),
        Err(error) => Err(error.to_string()),
    }
}

/// The plan of a file: a drawing, and a page with a drawing, has it inside.
pub fn read(bytes: &[u8]) -> Result<Plan, FileError> {
    let drawing = core::str::from_utf8(bytes).ok().and_then(plan_of);
    drawing.unwrap_or_else(|| file::read(bytes))
}

/// The button and its message.
#[component]
pub fn OpenFile(props: &OpenFileProps) -> Html {
    let message = use_state(|| None::<String>);
    let done = use_state(|| None::<String>);
    let reader = use_mut_ref(|| None::<FileReader>);
    let onchange = {
        let (message, done) = (message.setter(), done.setter());
        let after = (props.go.clone(), props.onrestored.clone());
        use_callback(after, move |event: Event, (go, onrestored)| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else {
                return;
            };
            let Some(chosen) = input.files().and_then(|files| files.get(0)) else {
                return;
            };
            let name = chosen.name();
            let (message, done) = (message.clone(), done.clone());
            let (go, onrestored) = (go.clone(), onrestored.clone());
            message.set(None);
            done.set(None);
            let refuse = move |why: String| say!("{name}: {why}. Nothing was changed.");
            // The size is known before anything is read.
            if chosen.size() > MAX_BACKUP_BYTES as f64 {
                message.set(Some(refuse(BackupError::TooLarge.to_string())));
                input.set_value("");
                return;
            }
            let blob = gloo::file::Blob::from(web_sys::Blob::from(chosen));
            *reader.borrow_mut() = Some(read_as_bytes(&blob, move |bytes| {
                let Ok(bytes) = bytes else {
                    let why = say!("the browser could not read the file: choose it again");
                    return message.set(Some(refuse(why.into())));
                };
                spawn_local(async move {
                    if let Err(why) = whole::arrival().await {
                        return message.set(Some(why.to_owned()));
                    }
                    match read(&bytes) {
                        Ok(plan) => go.emit(Place::of_file(plan)),
                        Err(error) => match bring_back(&bytes, &error) {
                            Ok(text) => {
                                done.set(Some(text));
                                onrestored.emit(());
                            }
                            Err(why) => message.set(Some(refuse(why))),
                        },
                    }
                });
            }));
            // The same file can be chosen again after it was mended.
            input.set_value("");
        })
    };
    html! {
        <div class="open-file">
            <input id="open-file" class="file-input" type="file" accept={ACCEPT} {onchange} />
            <label for="open-file" class="button">{ say!("Open a file") }</label>
            if let Some(message) = &*message {
                <p class="wrong" role="alert">{ message }</p>
            }
            if let Some(done) = &*done {
                <p class="caution" role="status">{ done }</p>
            }
        </div>
    }
}
