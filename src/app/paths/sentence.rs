//! The sentence under the drawing: what is happening, the most important first.
//!
//! A long one shows its first lines and opens on a tap, so that the drawing keeps its room; a screen reader always
//! has all of it.

use super::phase::Phase;
use crate::app::live::Live;
use crate::session::ByPtr;
use crate::text::say;
use yew::prelude::*;

/// A text of more characters than this is shown in part.
const LONG: usize = 120;

/// What the sentence needs.
#[derive(Properties, PartialEq)]
pub struct SentenceProps {
    /// The state shown.
    pub live: ByPtr<Live>,
    /// Whether the flashing is held; the beat itself changes nothing here.
    pub still: bool,
    /// Whether the reader wishes less motion.
    pub reduced: bool,
    /// Whether the reader has paused the flashing.
    pub paused: bool,
    /// Pauses the flashing or lets it go on.
    pub onpause: Callback<MouseEvent>,
}

impl SentenceProps {
    /// The properties for a phase.
    pub fn new(
        live: ByPtr<Live>,
        phase: Phase,
        paused: bool,
        onpause: Callback<MouseEvent>,
    ) -> Self {
        Self {
            live,
            still: phase.still,
            reduced: phase.reduced,
            paused,
            onpause,
        }
    }
}

/// The sentence.
#[component]
pub fn Sentence(props: &SentenceProps) -> Html {
    let SentenceProps {
        live,
        still,
        reduced,
        paused,
        onpause,
    } = props;
    let open = use_state(|| false);
    let toggle = use_callback(open.clone(), |_: MouseEvent, open| open.set(!**open));
    let flashes = live.per_minute > 0.0;
    let rate = match (flashes, still) {
        (false, _) => String::new(),
        (true, false) => say!(" Flashing at {:.0} per minute.", live.per_minute),
        (true, true) => say!(" Flashing at {:.0} per minute, shown lit.", live.per_minute),
    };
    let long = live.head.chars().count() + live.body.chars().count() + rate.len() > LONG;
    html! {
        <div class="sentence" data-troubled={live.troubled.then_some("true")}
            data-short={(long && !*open).then_some("true")}>
            <p aria-live="polite" aria-atomic="true">
                <strong>{ format!("{}: ", live.head) }</strong>{ &live.body }{ rate }
            </p>
            if long || (flashes && !reduced) {
                <div class="sentence-tools">
                    if flashes && !reduced {
                        <button type="button" class="small" aria-pressed={paused.to_string()} onclick={onpause}>
                            { if *paused { say!("Paused") } else { say!("Pause") } }
                        </button>
                    }
                    if long {
                        <button type="button" class="small sentence-more" aria-expanded={open.to_string()} onclick={toggle}>
                            { if *open { say!("Less") } else { say!("More") } }
                        </button>
                    }
                </div>
            }
        </div>
    }
}
