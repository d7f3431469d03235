//! The beat of the flashers on the screen: one timer, bright and dark half and half.

use gloo::timers::callback::Interval;
use yew::prelude::*;

/// What the flashers do at this moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Phase {
    /// Flashers open: the dark half.
    dark: bool,
    /// Held lit, by pause or by the reader's wish for less motion.
    pub still: bool,
    /// The reader asked the system for less motion.
    pub reduced: bool,
}

impl Phase {
    /// 0: flashers closed, 1: open.
    pub fn index(self) -> usize {
        usize::from(self.dark)
    }
}

/// Beats at `per_minute` (0: not at all) until paused.
#[hook]
pub fn use_phase(per_minute: f64, paused: bool) -> Phase {
    let dark = use_state(|| false);
    let reduced = *use_memo((), |()| {
        let query = gloo::utils::window().match_media("(prefers-reduced-motion: reduce)");
        query.ok().flatten().is_some_and(|query| query.matches())
    });
    let still = paused || reduced;
    {
        let dark = dark.setter();
        // Half a period in milliseconds; 0 stands for no beat.
        let half = if per_minute > 0.0 && !still {
            (30_000.0 / per_minute) as u32
        } else {
            0
        };
        use_effect_with(half, move |&half| {
            dark.set(false);
            let mut now_dark = false;
            let timer = (half > 0).then(|| {
                Interval::new(half.max(100), move || {
                    now_dark = !now_dark;
                    dark.set(now_dark);
                })
            });
            move || drop(timer)
        });
    }
    Phase {
        dark: *dark && !still && per_minute > 0.0,
        still,
        reduced,
    }
}
