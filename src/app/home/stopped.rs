//! After an error of the program: says so and offers the plan that was open, instead of opening it by itself.

use super::GoProps;
use crate::app::root::{Opened, Place};
use crate::app::{files, store};
use crate::plan::file;
use crate::session::ByPtr;
use crate::text::say;
use yew::prelude::*;

/// The notice; nothing after a start in order.
#[component]
pub fn Stopped(props: &GoProps) -> Html {
    let shown = use_state(|| store::shelf().is_some_and(|shelf| shelf.was_stopped()));
    let open = use_callback(
        (props.go.clone(), shown.setter()),
        |_: MouseEvent, (go, shown)| {
            shown.set(false);
            if let Some(shelf) = store::shelf() {
                shelf.told();
            }
            if let Some(opened) = Opened::last() {
                go.emit(Place::Plan(ByPtr::new(opened)));
            }
        },
    );
    let download = use_callback((), |_: MouseEvent, ()| {
        if let Some(text) = store::shelf().and_then(|shelf| shelf.last_text()) {
            files::download(
                &format!("rescued.{}", file::EXTENSION),
                file::MEDIA_TYPE,
                &text,
            );
        }
    });
    let close = use_callback(shown.setter(), |_: MouseEvent, shown| {
        if let Some(shelf) = store::shelf() {
            shelf.told();
            shelf.set_open(None);
        }
        shown.set(false);
    });
    if !*shown {
        return html! {};
    }
    html! {
        <div class="notice" role="alert">
            <span>
                { say!("Loomwright stopped last time while a plan was open. The plan is kept up to its last change. It is not \
                   opened by itself, in case it stops the page again.") }
            </span>
            <button type="button" onclick={download}>{ say!("Download it") }</button>
            <button type="button" onclick={open}>{ say!("Open it") }</button>
            <button type="button" onclick={close}>{ say!("Leave it") }</button>
        </div>
    }
}
