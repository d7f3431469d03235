//! Short explanations of the words a screen uses, folded away until they are asked for.
//!
//! A plain `<details>`: works by touch, keyboard and screen reader without any state of ours.

use crate::text::{self, mark, say};
use yew::prelude::*;

/// A word and what it means.
type Term = (&'static str, &'static str);

/// Words of the behaviour table.
pub const BEHAVIOUR: &[Term] = &[
    (mark!("state"), mark!("One position of every control.")),
    (
        mark!("as wished"),
        mark!("The lamp circuit does what its wish says; one that no wish names stays dark."),
    ),
    (
        mark!("back-fed"),
        mark!(
            "Lit though it should be dark: current reaches it through another lamp or the wrong way through a wire."
        ),
    ),
    (mark!("dead"), mark!("Should be lit and is dark.")),
    (
        mark!("weak"),
        mark!("Lit with less than the share of its rated light that Build, Settings asks for."),
    ),
    (
        mark!("masked"),
        mark!("Should flash, but a steady feed on the same circuit hides the dark phase."),
    ),
    (
        mark!("overdriven"),
        mark!("More than its rated light: it will not last as long as it should."),
    ),
    (
        mark!("percent"),
        mark!(
            "Light as a share of what the lamp gives at its rated voltage. It falls much faster than the voltage."
        ),
    ),
];

/// Words of the checks.
pub const CHECKS: &[Term] = &[
    (
        mark!("fault"),
        mark!("Breaks a published rule, or something does not work as wished."),
    ),
    (
        mark!("caution"),
        mark!("Against good practice, or near a limit."),
    ),
    (mark!("note"), mark!("Worth knowing.")),
    (
        mark!("from memory"),
        mark!(
            "A figure of a published source that was not at hand when it was entered: look it up before you rely on it."
        ),
    ),
    (
        mark!("common practice"),
        mark!("A rule of the trade without a published source."),
    ),
    (
        mark!("lost ground"),
        mark!(
            "A ground wire that has come loose: the current looks for another way back, often through another lamp."
        ),
    ),
    (
        mark!("worst state"),
        mark!(
            "The state in which a part carries most, with the battery charging and filaments cold where that is worse."
        ),
    ),
];

/// Words of the lists under Build, by the name of the list.
pub fn of_list(list: &str) -> &'static [Term] {
    match list {
        "Parts" => &[
            (
                mark!("part"),
                mark!(
                    "A thing with terminals: battery, fuse, switch, lamp, relay, diode, joint, ground point."
                ),
            ),
            (
                mark!("terminal"),
                mark!(
                    "Where a wire ends on a part; numbered after DIN 72552 where that gives a number (15 switched supply, 30 battery, 31 ground, 49a flasher out)."
                ),
            ),
            (
                mark!("ground point"),
                mark!("Where a wire meets the metal of the vehicle."),
            ),
            (mark!("splice"), mark!("A joint of three or more wires.")),
            (
                mark!("diode"),
                mark!("Lets current through one way only, and takes some of the voltage."),
            ),
            (
                mark!("flasher"),
                mark!(
                    "Opens and closes the feed of the turn lamps. A thermal one needs the load it is made for."
                ),
            ),
        ],
        "Wires" => &[
            (
                mark!("from, to"),
                mark!(
                    "From the supply end to the load end. Current the other way is marked as running backwards."
                ),
            ),
            (
                mark!("size"),
                mark!(
                    "Cross-section of the copper. SAE sizes hold 5 to 11 % less than AWG of the same number."
                ),
            ),
            (
                mark!("colour code"),
                mark!("Two letters a colour after IEC 60757, base first, then stripe."),
            ),
        ],
        "Controls" => &[
            (
                mark!("control"),
                mark!(
                    "What a hand or foot moves. It may move contacts of several switches together."
                ),
            ),
            (
                mark!("position"),
                mark!("Where it can stand. The first is the position at rest."),
            ),
            (
                mark!("momentary"),
                mark!("Goes back to rest when it is let go."),
            ),
        ],
        "Wishes" => &[
            (
                mark!("wish"),
                mark!("What a lamp circuit is to do in which positions: steady, flashing or off."),
            ),
            (
                mark!("order"),
                mark!(
                    "The first wish that fits a state decides; what no wish names is to stay dark."
                ),
            ),
            (
                mark!("lamp circuit"),
                mark!(
                    "One filament or one group of LEDs. A lamp with two filaments has two: major and minor."
                ),
            ),
        ],
        "Places" => &[(
            mark!("place"),
            mark!("Where a part sits on the vehicle, for the lists and the labels."),
        )],
        _ => &[],
    }
}

/// The explanations of some words, folded away; nothing for none.
pub fn terms(list: &'static [Term]) -> Html {
    if list.is_empty() {
        return Html::default();
    }
    html! {
        <details class="terms">
            <summary>{ say!("What the words mean") }</summary>
            <dl>
                { for list.iter().map(|(word, meaning)| html! { <><dt>{ text::of(word) }</dt><dd>{ text::of(meaning) }</dd></> }) }
            </dl>
        </details>
    }
}
