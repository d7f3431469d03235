//! The four screens of a plan, in the thumb zone.

use crate::app::{Dispatch, screen_to_top};
use crate::session::{Action, Screen};
use crate::text::say;
use yew::prelude::*;

const SCREENS: [Screen; 4] = [
    Screen::Paths,
    Screen::Behaviour,
    Screen::Checks,
    Screen::Build,
];

/// A screen's name in the page.
pub const fn name(screen: Screen) -> &'static str {
    match screen {
        Screen::Paths => "paths",
        Screen::Behaviour => "behaviour",
        Screen::Checks => "checks",
        Screen::Build => "build",
        Screen::Answers => "answers",
        Screen::Share => "share",
        Screen::Settings => "settings",
        Screen::Catalogue => "catalogue",
    }
}

/// A screen's name for people.
fn label(screen: Screen) -> &'static str {
    match screen {
        Screen::Paths => say!("Paths"),
        Screen::Behaviour => say!("Behaviour"),
        Screen::Checks => say!("Checks"),
        _ => say!("Build"),
    }
}

/// What the navigation needs.
#[derive(Properties, PartialEq)]
pub struct NavProps {
    /// Screen shown.
    pub screen: Screen,
}

/// The navigation.
#[component]
pub fn Nav(props: &NavProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let deps = (dispatch, props.screen);
    let show = use_callback(deps, |event: MouseEvent, (dispatch, now)| {
        let name_of = event
            .target_dyn_into::<web_sys::Element>()
            .and_then(|target| target.get_attribute("data-show"));
        let screen = SCREENS
            .into_iter()
            .find(|&screen| Some(name(screen)) == name_of.as_deref());
        if let (Some(screen), Some(dispatch)) = (screen, dispatch) {
            dispatch.dispatch(Action::Show(screen));
            // Another screen starts at its top when it is there.
            if screen == *now {
                screen_to_top();
            }
        }
    });
    html! {
        <nav class="nav" aria-label={say!("Screens of this plan")} onclick={show}>
            { for SCREENS.into_iter().map(|screen| html! {
                <button type="button" key={name(screen)} data-show={name(screen)}
                    aria-current={(screen == props.screen).then_some("page")}>
                    { label(screen) }
                </button>
            }) }
        </nav>
    }
}
