//! The rows of the short form, and what each answer does to the brief.

use crate::app::build::{lamp_words, length, options, sizes};
use crate::brief::turn::{Switching, System, TurnBrief};
use crate::catalog::fuse;
use crate::plan::FlasherAction;
use yew::AttrValue;

/// A row of the form.
pub enum Answer {
    /// A heading.
    Heading(&'static str),
    /// One of a list.
    Choice {
        /// Name of the answer.
        name: &'static str,
        /// What is asked.
        label: &'static str,
        /// What to know.
        hint: AttrValue,
        /// As it stands.
        value: AttrValue,
        /// What can be chosen.
        options: Vec<(AttrValue, AttrValue)>,
    },
    /// A text.
    Text {
        /// Name of the answer.
        name: &'static str,
        /// What is asked.
        label: &'static str,
        /// What may be written.
        hint: AttrValue,
        /// As it stands.
        value: AttrValue,
    },
}

/// The four places of a lamp, in words, with whether there is one.
pub fn lamps(brief: &mut TurnBrief) -> [(&'static str, &mut bool); 4] {
    [
        ("Front left", &mut brief.front_left),
        ("Front right", &mut brief.front_right),
        ("Rear left", &mut brief.rear_left),
        ("Rear right", &mut brief.rear_right),
    ]
}

/// The rows for a brief as it stands.
pub fn rows(brief: &TurnBrief) -> Vec<Answer> {
    let lamp = brief.lamp_row().map_or("", |row| row.key);
    let fuse = brief.fuse.map_or_else(String::new, |amps| amps.to_string());
    let choice = |name, label, hint: &str, value: &str, options| Answer::Choice {
        name,
        label,
        hint: AttrValue::from(hint.to_owned()),
        value: AttrValue::from(value.to_owned()),
        options,
    };
    let text = |name, label, hint: &'static str, value: String| Answer::Text {
        name,
        label,
        hint: hint.into(),
        value: value.into(),
    };
    let by_load = format!("by the load: {}", brief.fuse_for_load());
    let fuses = fuse::ROWS
        .iter()
        .map(|row| (row.key.to_owned(), format!("{}, {}", row.key, row.colour)));
    vec![
        choice(
            "system",
            "Battery",
            "",
            brief.system.text(),
            options(System::ALL.map(|s| (s.text(), s.text()))),
        ),
        choice(
            "lamp",
            "Lamp type",
            "As printed on its base.",
            lamp,
            options(brief.system.lamps().map(|row| (row.key, lamp_words(row)))),
        ),
        Answer::Heading("Switches, flasher, fuse"),
        choice(
            "switching",
            "Switches",
            "Two switches give a hazard signal when both are on.",
            switching(brief.switching),
            options(SWITCHINGS.map(|s| (switching(s), switching(s)))),
        ),
        choice(
            "flasher",
            "Flasher",
            "A thermal unit needs the load it is made for; an electronic one flashes faster when a lamp is out.",
            flasher(brief.flasher),
            options(FLASHERS.map(|f| (flasher(f), flasher(f)))),
        ),
        choice(
            "fuse",
            "Fuse",
            &brief.fuse_reason(),
            &fuse,
            options([(String::new(), by_load)].into_iter().chain(fuses)),
        ),
        Answer::Heading("Wires"),
        text(
            "supply",
            "Battery to dash",
            "Along the loom: 1500 mm, 1,5 m or 5 ft",
            brief.battery_to_dash.to_string(),
        ),
        text(
            "front",
            "Dash to a front lamp",
            "",
            brief.dash_to_front.to_string(),
        ),
        text(
            "rear",
            "Dash to a rear lamp",
            "",
            brief.dash_to_rear.to_string(),
        ),
        choice(
            "size",
            "Wire size",
            "1.5 mm² suits most; thicker for long runs.",
            &brief.size,
            sizes(),
        ),
        Answer::Heading("Name"),
        text("title", "Title of the plan", "", brief.title.clone()),
    ]
}

const SWITCHINGS: [Switching; 2] = [Switching::TwoSwitches, Switching::OneControl];
const FLASHERS: [FlasherAction; 2] = [FlasherAction::Electronic, FlasherAction::Thermal];

const fn switching(switching: Switching) -> &'static str {
    match switching {
        Switching::TwoSwitches => "two switches, left and right",
        Switching::OneControl => "one control: left, off, right",
    }
}

const fn flasher(action: FlasherAction) -> &'static str {
    match action {
        FlasherAction::Electronic => "electronic",
        FlasherAction::Thermal => "thermal",
    }
}

/// Puts one answer into the brief, or says what is wrong with it.
pub fn answer(brief: &mut TurnBrief, name: &str, text: &str) -> Result<(), String> {
    match name {
        "system" => {
            brief.system = System::ALL
                .into_iter()
                .find(|s| s.text() == text)
                .unwrap_or(brief.system);
            if !brief.system.lamps().any(|row| row.key == brief.lamp) {
                brief.lamp = brief.system.usual_lamp().into();
            }
        }
        "lamp" => brief.lamp = text.into(),
        "switching" => {
            brief.switching = SWITCHINGS
                .into_iter()
                .find(|&s| switching(s) == text)
                .unwrap_or(brief.switching);
        }
        "flasher" => {
            brief.flasher = FLASHERS
                .into_iter()
                .find(|&f| flasher(f) == text)
                .unwrap_or(brief.flasher);
        }
        "fuse" => brief.fuse = fuse::find(text).map(|row| crate::units::Amps::of(row.rating_amps)),
        "supply" => brief.battery_to_dash = length(text)?,
        "front" => brief.dash_to_front = length(text)?,
        "rear" => brief.dash_to_rear = length(text)?,
        "size" => brief.size = text.into(),
        _ => {
            if text.trim().is_empty() {
                return Err("This field is empty; enter a title such as Hay wagon.".into());
            }
            brief.title = text.trim().chars().take(80).collect();
        }
    }
    Ok(())
}
