//! The browser application: holds a plan, calls the core and shows what it returns.
//!
//! Yew function components, one per file. Documents travel as [`ByPtr`](crate::session::ByPtr), so that a
//! view is drawn again only when its own value is a new one; the dispatcher never changes. Nothing here
//! works anything out: sentences, rows and overlays come prepared from [`live`] and [`words`].

mod brief;
mod build;
mod catalogue;
mod files;
mod home;
mod language;
mod later;
mod launch;
mod live;
mod overlay;
mod paths;
mod plan;
mod readings;
#[cfg(test)]
mod renders;
mod rescue;
mod root;
mod settings;
mod share;
mod store;
mod terms;
mod update;
mod views;
mod whole;
mod widgets;
mod words;
mod worker;
mod zip;

use crate::session::{Action, Session};
use std::rc::Rc;
use yew::{Reducible, UseReducerDispatcher};

/// Starts the application in the page's body, or in a worker what serves it there.
// Never inlined: the glue writer renames the function that the scripts call, and what data that needs is then not known to
// the cut of the program (`src/bin/dev/split`).
#[inline(never)]
pub fn start() {
    language::take_up();
    if worker::serve() {
        return;
    }
    rescue::install();
    yew::Renderer::<root::Root>::new().render();
}

/// Scrolls the open plan's screen to its top.
fn screen_to_top() {
    if let Some(main) = gloo::utils::document().get_element_by_id("screen") {
        main.set_scroll_top(0);
    }
}

/// Hands actions to the open plan's session; stable for as long as the plan is open.
type Dispatch = UseReducerDispatcher<Session>;

impl Reducible for Session {
    type Action = Action;

    fn reduce(self: Rc<Self>, action: Action) -> Rc<Self> {
        let next = Session::reduce(&self, action);
        // The same allocation tells Yew that there is nothing to draw.
        if next.same(&self) {
            self
        } else {
            Rc::new(next)
        }
    }
}
