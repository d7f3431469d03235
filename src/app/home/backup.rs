//! All plans in one file, with the reason to make one.

use crate::app::{files, store};
use crate::plan::file;
use crate::text::say;
use yew::prelude::*;

/// The warning and the button.
#[component]
pub fn Backup() -> Html {
    let promised = use_state(|| false);
    {
        let promised = promised.setter();
        use_effect_with((), move |()| {
            store::whether_persisted(move |kept| promised.set(kept));
        });
    }
    let save = use_callback((), |_: MouseEvent, ()| {
        if let Some(shelf) = store::shelf() {
            let name = file::name("Loomwright all plans", "loomwright-backup");
            files::download(&name, "application/json", &shelf.backup());
        }
    });
    html! {
        <div class="backup">
            <button type="button" class="main-button" data-plain="true" onclick={save}>{ say!("Back up all plans") }</button>
            <p class="mute">
                if *promised {
                    { say!("This browser has promised to keep these plans until you delete its data for this page. ") }
                } else {
                    { say!("A browser may clear what it keeps for a page: when space runs short, after weeks without a visit, \
                       or with its history. ") }
                }
                { say!("The backup is one file with every plan; “Open a file” brings it back, here or on another device.") }
            </p>
        </div>
    }
}
