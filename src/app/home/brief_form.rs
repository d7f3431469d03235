//! form
use super::GoProps;
use yew::prelude::*;
/// form
#[component]
pub fn BriefForm(_: &GoProps) -> Html {
    html! {}
}
