//! Short explanations of the words a screen uses, folded away until they are asked for.
//!
//! A plain `<details>`: works by touch, keyboard and screen reader without any state of ours.

use yew::prelude::*;

/// A word and what it means.
type Term = (&'static str, &'static str);

/// Words of the behaviour table.
pub const BEHAVIOUR: &[Term] = &[
    ("state", "One position of every control."),
    (
        "as wished",
        "The lamp circuit does what its wish says; one that no wish names stays dark.",
    ),
    (
        "back-fed",
        "Lit though it should be dark: current reaches it through another lamp or the wrong way through a wire.",
    ),
    ("dead", "Should be lit and is dark."),
    (
        "weak",
        "Lit with less than the share of its rated light that Build, Settings asks for.",
    ),
    (
        "masked",
        "Should flash, but a steady feed on the same circuit hides the dark phase.",
    ),
    (
        "overdriven",
        "More than its rated light: it will not last as long as it should.",
    ),
    (
        "percent",
        "Light as a share of what the lamp gives at its rated voltage. It falls much faster than the voltage.",
    ),
];

/// Words of the checks.
pub const CHECKS: &[Term] = &[
    (
        "fault",
        "Breaks a published rule, or something does not work as wished.",
    ),
    ("caution", "Against good practice, or near a limit."),
    ("note", "Worth knowing."),
    (
        "from memory",
        "A figure of a published source that was not at hand when it was entered: look it up before you rely on it.",
    ),
    (
        "common practice",
        "A rule of the trade without a published source.",
    ),
    (
        "lost ground",
        "A ground wire that has come loose: the current looks for another way back, often through another lamp.",
    ),
    (
        "worst state",
        "The state in which a part carries most, with the battery charging and filaments cold where that is worse.",
    ),
];

/// Words of the lists under Build, by the name of the list.
pub fn of_list(list: &str) -> &'static [Term] {
    match list {
        "Parts" => &[
            (
                "part",
                "A thing with terminals: battery, fuse, switch, lamp, relay, diode, joint, ground point.",
            ),
            (
                "terminal",
                "Where a wire ends on a part; numbered after DIN 72552 where that gives a number (15 switched supply, 30 battery, 31 ground, 49a flasher out).",
            ),
            (
                "ground point",
                "Where a wire meets the metal of the vehicle.",
            ),
            ("splice", "A joint of three or more wires."),
            (
                "diode",
                "Lets current through one way only, and takes some of the voltage.",
            ),
            (
                "flasher",
                "Opens and closes the feed of the turn lamps. A thermal one needs the load it is made for.",
            ),
        ],
        "Wires" => &[
            (
                "from, to",
                "From the supply end to the load end. Current the other way is marked as running backwards.",
            ),
            (
                "size",
                "Cross-section of the copper. SAE sizes hold 5 to 11 % less than AWG of the same number.",
            ),
            (
                "colour code",
                "Two letters a colour after IEC 60757, base first, then stripe.",
            ),
        ],
        "Controls" => &[
            (
                "control",
                "What a hand or foot moves. It may move contacts of several switches together.",
            ),
            (
                "position",
                "Where it can stand. The first is the position at rest.",
            ),
            ("momentary", "Goes back to rest when it is let go."),
        ],
        "Wishes" => &[
            (
                "wish",
                "What a lamp circuit is to do in which positions: steady, flashing or off.",
            ),
            (
                "order",
                "The first wish that fits a state decides; what no wish names is to stay dark.",
            ),
            (
                "lamp circuit",
                "One filament or one group of LEDs. A lamp with two filaments has two: major and minor.",
            ),
        ],
        "Places" => &[(
            "place",
            "Where a part sits on the vehicle, for the lists and the labels.",
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
            <summary>{ "What the words mean" }</summary>
            <dl>
                { for list.iter().map(|(word, meaning)| html! { <><dt>{ *word }</dt><dd>{ *meaning }</dd></> }) }
            </dl>
        </details>
    }
}
