//! The decisions of the form, in their order.

use super::words::{self, CHARGINGS, CHEMISTRIES, FLASHERS, PRIORITIES, RETURNS, SOCKETS, SYSTEMS};
use super::{Choice, Page, Row, control, key, lamp, one, read, take};
use crate::brief::{Brief, End, Signal, Size};
use crate::catalog::conductor;
use crate::plan::Sizing;
use crate::text::{self, mark, say};
use crate::units::{Millimetres, parse};

/// Sizes offered as the thinnest wire; the first is what is taken where nothing is answered.
const SIZES: [&str; 5] = ["0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2"];
/// Longest title, in characters.
const TITLE: usize = 80;

/// A decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Topic {
    /// Volts of the vehicle.
    System,
    /// The lamps.
    Lamps,
    /// The controls.
    Controls,
    /// Principle of the flasher.
    Flasher,
    /// How turn gets past stop.
    Priority,
    /// How the current gets back.
    Wiring,
    /// Connector to the trailer.
    Trailer,
    /// Size of the vehicle.
    Size,
    /// The battery.
    Battery,
    /// What charges it.
    Charging,
    /// Thinnest wire.
    Thinnest,
    /// Title of the plan.
    Name,
}

impl Topic {
    /// All of them, in their order.
    pub const ALL: [Topic; 12] = [
        Topic::System,
        Topic::Lamps,
        Topic::Controls,
        Topic::Flasher,
        Topic::Priority,
        Topic::Wiring,
        Topic::Trailer,
        Topic::Size,
        Topic::Battery,
        Topic::Charging,
        Topic::Thinnest,
        Topic::Name,
    ];

    /// What is asked, in a few words.
    pub fn title(self) -> &'static str {
        match self {
            Topic::System => say!("Volts of the vehicle"),
            Topic::Lamps => say!("Lamps"),
            Topic::Controls => say!("Controls"),
            Topic::Flasher => say!("Flasher"),
            Topic::Priority => say!("Turn before stop"),
            Topic::Wiring => say!("Way back to the battery"),
            Topic::Trailer => say!("Trailer connector"),
            Topic::Size => say!("Size of the vehicle"),
            Topic::Battery => say!("Battery"),
            Topic::Charging => say!("Charging"),
            Topic::Thinnest => say!("Thinnest wire"),
            Topic::Name => say!("Name of the plan"),
        }
    }

    /// What to know before answering.
    pub fn hint(self) -> &'static str {
        match self {
            Topic::System => say!("As printed on the battery, or cells times 2 V for lead-acid."),
            Topic::Lamps => say!("What is there or will be there. Change, take out or add."),
            Topic::Controls => say!("What hand and foot move, and what each lights."),
            Topic::Flasher => say!("It makes turn and hazard signals flash."),
            Topic::Priority => {
                say!(
                    "Stop and turn share a filament: a steady stop feed would hide the flash of the turn signal."
                )
            }
            Topic::Wiring => say!("Bare metal carries the current back, or a wire does."),
            Topic::Trailer => say!("It decides which signals reach the trailer."),
            Topic::Size => {
                say!("Lengths of wires follow from it. 2500 mm, 2.5 m and 8 ft all read.")
            }
            Topic::Battery => say!("Capacity as printed on it, at the 20 h rate."),
            Topic::Charging => {
                say!("A charging battery gives more volts: lamps and fuses must bear it.")
            }
            Topic::Thinnest => say!("No wire gets thinner than this; the load may ask for more."),
            Topic::Name => "",
        }
    }

    /// Whether the other answers leave anything to decide here.
    pub fn applies(self, brief: &Brief) -> bool {
        let on_one_circuit = |signal: Signal| {
            move |signals: &Vec<Signal>| {
                signals.contains(&signal) && signals.contains(&Signal::Stop)
            }
        };
        let circuits = || brief.lamps.iter().flat_map(|l| [&l.strong, &l.weak]);
        match self {
            Topic::Flasher => circuits().flatten().any(|signal| signal.flashes()),
            Topic::Priority => circuits().any(on_one_circuit(Signal::Turn)),
            Topic::Trailer => {
                brief.socket.is_some() || brief.lamps.iter().any(|l| l.end == End::Trailer)
            }
            _ => true,
        }
    }

    /// The rows of the page.
    pub(super) fn rows(self, brief: &Brief, units: &Sizing) -> Vec<Row> {
        let usual = Brief::default();
        match self {
            Topic::System => vec![one(
                "system",
                "",
                brief.system,
                Some(usual.system),
                &SYSTEMS,
            )],
            Topic::Lamps => {
                let listed = brief.lamps.iter().enumerate();
                let items = listed.map(|(i, l)| item(Page::Lamp(i), words::lamps(l)));
                items
                    .chain([add(say!("Add lamps"), lamp::to_add())])
                    .collect()
            }
            Topic::Controls => {
                let listed = brief.controls.iter().enumerate();
                let items = listed.map(|(i, c)| item(Page::Control(i), words::control(c)));
                items
                    .chain([add(say!("Add a control"), control::to_add())])
                    .collect()
            }
            Topic::Flasher => vec![one(
                "flasher",
                "",
                brief.flasher,
                Some(usual.flasher),
                &FLASHERS,
            )],
            Topic::Priority => {
                vec![one(
                    "priority",
                    "",
                    brief.priority,
                    Some(usual.priority),
                    &PRIORITIES,
                )]
            }
            Topic::Wiring => vec![one(
                "wiring",
                "",
                brief.wiring,
                Some(usual.wiring),
                &RETURNS,
            )],
            Topic::Trailer => vec![socket(brief)],
            Topic::Size => sizes(&brief.size, brief, units),
            Topic::Battery => vec![
                one(
                    "chemistry",
                    say!("Kind"),
                    brief.chemistry,
                    Some(usual.chemistry),
                    &CHEMISTRIES,
                ),
                field(
                    "capacity",
                    say!("Capacity"),
                    say!("Usual: {}", usual.capacity_ah),
                    brief.capacity_ah.to_string(),
                    false,
                ),
            ],
            Topic::Charging => vec![one(
                "charging",
                "",
                brief.charging,
                Some(usual.charging),
                &CHARGINGS,
            )],
            Topic::Thinnest => vec![thinnest(brief, units)],
            Topic::Name => vec![field(
                "title",
                say!("Title"),
                say!("Usual: {}", usual.title),
                brief.title.clone(),
                true,
            )],
        }
    }

    /// The answer in words.
    pub(super) fn lines(self, brief: &Brief, units: &Sizing) -> Vec<String> {
        let one = |word: &str| vec![word.to_owned()];
        match self {
            Topic::System => one(words::word(&SYSTEMS, &brief.system)),
            Topic::Lamps => brief.lamps.iter().map(words::lamps).collect(),
            Topic::Controls => brief.controls.iter().map(words::control).collect(),
            Topic::Flasher => one(words::word(&FLASHERS, &brief.flasher)),
            Topic::Priority => one(words::word(&PRIORITIES, &brief.priority)),
            Topic::Wiring => one(words::word(&RETURNS, &brief.wiring)),
            Topic::Trailer => one(match &brief.socket {
                Some(socket) => words::word(&SOCKETS, socket),
                None => say!("none"),
            }),
            Topic::Size => {
                let size = &brief.size;
                let mut lines = vec![say!(
                    "{} long, {} wide",
                    units.length_text(size.length_mm),
                    units.length_text(size.width_mm)
                )];
                if Topic::Trailer.applies(brief) {
                    lines.push(say!("trailer {} long", units.length_text(size.trailer_mm)));
                }
                for (_, name, slot) in MEASURED {
                    if let Some(length) = slot(&mut size.clone()) {
                        let length = units.length_text(*length);
                        lines.push(match name {
                            "battery-to-dash" => say!("battery to dash: {length}"),
                            "dash-to-front" => say!("dash to a front lamp: {length}"),
                            _ => say!("dash to a rear lamp: {length}"),
                        });
                    }
                }
                lines
            }
            Topic::Battery => vec![format!(
                "{}, {}",
                words::word(&CHEMISTRIES, &brief.chemistry),
                brief.capacity_ah
            )],
            Topic::Charging => one(words::word(&CHARGINGS, &brief.charging)),
            Topic::Thinnest => vec![size_words(
                brief.least_size.as_deref().unwrap_or(SIZES[0]),
                units,
            )],
            Topic::Name => one(&brief.title),
        }
    }

    /// Takes an answer of the page, or says what is wrong with it.
    pub(super) fn set(
        self,
        brief: &mut Brief,
        units: &Sizing,
        name: &str,
        text: &str,
    ) -> Result<(), String> {
        let length = |text: &str| units.read_length(text).map_err(|error| error.to_string());
        match (self, name) {
            (Topic::Lamps, "add") => lamp::add(brief, text),
            (Topic::Controls, "add") => control::add(brief, text),
            (_, "system") => take(&mut brief.system, text),
            (_, "flasher") => take(&mut brief.flasher, text),
            (_, "priority") => take(&mut brief.priority, text),
            (_, "wiring") => take(&mut brief.wiring, text),
            (_, "socket") => brief.socket = read(text),
            (_, "chemistry") => take(&mut brief.chemistry, text),
            (_, "charging") => take(&mut brief.charging, text),
            (_, "capacity") => {
                brief.capacity_ah = parse::amp_hours(text).map_err(|error| error.to_string())?;
            }
            (_, "length") => brief.size.length_mm = length(text)?,
            (_, "width") => brief.size.width_mm = length(text)?,
            (_, "trailer") => brief.size.trailer_mm = length(text)?,
            (_, "thinnest") => brief.least_size = (text != SIZES[0]).then(|| text.to_owned()),
            (_, "title") => {
                if text.trim().is_empty() {
                    return Err(
                        say!("This field is empty; enter a title such as Hay wagon.").into(),
                    );
                }
                brief.title = text.trim().chars().take(TITLE).collect();
            }
            _ => {
                let found = MEASURED.iter().find(|(_, known, _)| *known == name);
                if let Some((_, _, slot)) = found {
                    let measured = match text.trim() {
                        "" => None,
                        text => Some(length(text)?),
                    };
                    *slot(&mut brief.size) = measured;
                }
            }
        }
        Ok(())
    }
}

type Slot = fn(&mut Size) -> &mut Option<Millimetres>;

/// Lengths that can be measured: label, name, place in the answers.
const MEASURED: [(&str, &str, Slot); 3] = [
    (mark!("Battery to dash"), "battery-to-dash", |size| {
        &mut size.battery_to_dash_mm
    }),
    (mark!("Dash to a front lamp"), "dash-to-front", |size| {
        &mut size.dash_to_front_mm
    }),
    (mark!("Dash to a rear lamp"), "dash-to-rear", |size| {
        &mut size.dash_to_rear_mm
    }),
];

fn item(page: Page, words: String) -> Row {
    Row::Item { page, words }
}

fn add(label: &str, options: Vec<(String, String)>) -> Row {
    Row::Add {
        name: "add".into(),
        label: label.into(),
        options,
    }
}

fn field(name: &str, label: &str, hint: String, value: String, is_text: bool) -> Row {
    Row::Field {
        name: name.into(),
        label: label.into(),
        hint,
        value,
        is_text,
    }
}

fn socket(brief: &Brief) -> Row {
    let none = Choice {
        value: "none".into(),
        words: say!("none: no trailer").into(),
        usual: true,
    };
    let some = SOCKETS.map(|(socket, words)| Choice {
        value: key(socket),
        words: text::of(words).into(),
        usual: false,
    });
    Row::One {
        name: "socket".into(),
        label: String::new(),
        value: brief.socket.map_or_else(|| "none".into(), key),
        choices: core::iter::once(none).chain(some).collect(),
    }
}

fn sizes(size: &Size, brief: &Brief, units: &Sizing) -> Vec<Row> {
    let usual = Size::default();
    let row = |name, label, now: Millimetres, usual: Millimetres| {
        field(
            name,
            label,
            say!("Usual: {}", units.length_text(usual)),
            units.length_text(now),
            false,
        )
    };
    let mut rows = vec![
        row(
            "length",
            say!("Length, front to rear"),
            size.length_mm,
            usual.length_mm,
        ),
        row("width", say!("Width"), size.width_mm, usual.width_mm),
    ];
    if Topic::Trailer.applies(brief) {
        rows.push(row(
            "trailer",
            say!("Length of the trailer"),
            size.trailer_mm,
            usual.trailer_mm,
        ));
    }
    for (label, name, slot) in MEASURED {
        let now = *slot(&mut size.clone());
        let value = now.map_or_else(String::new, |length| units.length_text(length));
        rows.push(field(
            name,
            text::of(label),
            say!("Usual: empty, it follows from the size").into(),
            value,
            false,
        ));
    }
    rows
}

fn size_words(size: &str, units: &Sizing) -> String {
    conductor::find(size).map_or_else(|| say!("as the load asks").into(), |row| units.size(row))
}

fn thinnest(brief: &Brief, units: &Sizing) -> Row {
    let choice = |&size: &&str| Choice {
        value: size.into(),
        words: size_words(size, units),
        usual: size == SIZES[0],
    };
    Row::One {
        name: "thinnest".into(),
        label: String::new(),
        value: brief.least_size.clone().unwrap_or_else(|| SIZES[0].into()),
        choices: SIZES.iter().map(choice).collect(),
    }
}
