//! New things with ordinary ratings, ready to be corrected in their form.

use crate::catalog::letter;
use crate::plan::*;
use crate::text::{mark, say};
use crate::units::order::OrdMap;
use crate::units::{AmpHours, Amps, Milliohms, Ohms, Share, Volts, Watts};
use core::str::FromStr;

/// Kinds of part, as a form lists them.
pub const KINDS: [&str; 16] = [
    mark!("lamp"),
    mark!("LED lamp"),
    mark!("switch"),
    mark!("fuse"),
    mark!("circuit breaker"),
    mark!("battery"),
    mark!("charger"),
    mark!("converter"),
    mark!("flasher"),
    mark!("diode"),
    mark!("relay"),
    mark!("splice"),
    mark!("ground point"),
    mark!("connector"),
    mark!("resistor"),
    mark!("load"),
];

/// A new part of the kind with this name.
pub fn part(plan: &Plan, kind: &str) -> Part {
    let stem = match kind {
        "ground point" => "XG".to_owned(),
        "load" => "E".to_owned(),
        "circuit breaker" => "F".to_owned(),
        _ => letter::find(kind).map_or('X', |row| row.letter).to_string(),
    };
    Part {
        id: plan.free_part_id(&stem),
        label: String::new(),
        place: None,
        why: String::new(),
        kind: kind_of(plan, kind),
        extra: Extra::new(),
    }
}

fn kind_of(plan: &Plan, kind: &str) -> Kind {
    let extra = Extra::new;
    let mohm = Milliohms::of;
    match kind {
        "lamp" => Kind::Lamp(Lamp {
            model: Some("P21W".into()),
            light: Light::Amber,
            filaments: vec![Filament {
                id: "main".into(),
                terminal: "1".into(),
                rated_v: Volts::of(13.5),
                rated_a: Amps::of(1.963),
                duties: Vec::new(),
            }],
            common: "31".into(),
            extra: extra(),
        }),
        "LED lamp" => Kind::LedLamp(LedLamp {
            light: Light::Amber,
            circuits: vec![LedCircuit {
                id: "main".into(),
                terminal: "1".into(),
                rated_v: Volts::of(13.5),
                rated_a: Amps::of(0.25),
                knee_v: Volts::of(8.4),
                drive: LedDrive::Resistor,
                duties: Vec::new(),
            }],
            common: "31".into(),
            extra: extra(),
        }),
        "switch" => {
            let control = plan.controls.last();
            let closed = control.and_then(|c| c.positions.last().cloned());
            Kind::Switch(Switch {
                control: control
                    .map_or_else(|| id("control", |_: &ControlId| false), |c| c.id.clone()),
                contacts: vec![Contact {
                    from: "82".into(),
                    to: "82a".into(),
                    closed_in: closed.into_iter().collect(),
                }],
                contact_mohm: mohm(10.0),
                rating_a: None,
                extra: extra(),
            })
        }
        "fuse" | "circuit breaker" => Kind::Fuse(Fuse {
            rating_a: Amps::of(10.0),
            body: if kind == "fuse" {
                FuseBody::Blade
            } else {
                FuseBody::Breaker
            },
            extra: extra(),
        }),
        "battery" => Kind::Battery(Battery {
            chemistry: Chemistry::Agm,
            open_circuit_v: Volts::of(12.6),
            internal_mohm: mohm(10.0),
            capacity_ah: AmpHours::of(18.0),
            extra: extra(),
        }),
        "charger" => Kind::Charger(Charger {
            output_v: Volts::of(14.4),
            internal_mohm: mohm(50.0),
            rated_a: Amps::of(10.0),
            runs: None,
            extra: extra(),
        }),
        "converter" => Kind::Converter(Converter {
            input_v: Volts::of(48.0),
            output_v: Volts::of(13.0),
            rated_a: Amps::of(10.0),
            internal_mohm: mohm(30.0),
            efficiency: Share::of(0.9),
            starts_v: Volts::of(36.0),
            extra: extra(),
        }),
        "flasher" => Kind::Flasher(Flasher {
            action: FlasherAction::Electronic,
            per_minute: 90,
            min_a: Amps::of(1.0),
            max_a: Amps::of(12.0),
            closed_mohm: mohm(20.0),
            extra: extra(),
        }),
        "diode" => Kind::Diode(Diode {
            model: "1N5400".into(),
            extra: extra(),
        }),
        "relay" => Kind::Relay(Relay {
            model: Some("mini ISO 12 V".into()),
            coil_ohm: Ohms::of(85.0),
            pull_in_v: Volts::of(8.0),
            drop_out_v: Volts::of(1.5),
            contact_mohm: mohm(1.5),
            extra: extra(),
        }),
        "ground point" => Kind::Ground(Ground {
            joint_mohm: mohm(5.0),
            extra: extra(),
        }),
        "connector" => Kind::Connector(Connector {
            ways: vec!["1".into(), "2".into()],
            contact_mohm: mohm(5.0),
            extra: extra(),
        }),
        "resistor" => Kind::Resistor(Resistor {
            ohms: Ohms::of(6.0),
            rating_w: Watts::of(50.0),
            extra: extra(),
        }),
        "load" => Kind::Load(Load {
            rated_v: Volts::of(12.0),
            rated_a: Amps::of(1.0),
            extra: extra(),
        }),
        _ => Kind::Splice(Splice::default()),
    }
}

/// A new control with two positions.
pub fn control(plan: &Plan) -> Control {
    let id = id("control", |id: &ControlId| plan.control(id).is_some());
    Control {
        label: say!("Switch {}", plan.controls.len() + 1),
        id,
        action: Action::Latching,
        // Names of positions are the same in every language; `position_word` says them.
        positions: vec!["off".into(), "on".into()],
        extra: Extra::new(),
    }
}

/// A new wish: the last control in its last position.
pub fn wish(plan: &Plan) -> Wish {
    let when = plan
        .controls
        .last()
        .and_then(|c| Some((c.id.clone(), c.positions.last()?.clone())));
    Wish {
        id: wish_id(plan),
        when: OrdMap::from_iter(when),
        lamps: Vec::new(),
        show: Show::Steady,
        at_least: None,
        extra: Extra::new(),
    }
}

/// An identity no wish has.
pub fn wish_id(plan: &Plan) -> WishId {
    id("wish", |id: &WishId| {
        plan.wishes.iter().any(|wish| wish.id == *id)
    })
}

/// A new place.
pub fn place(plan: &Plan) -> Place {
    Place {
        id: id("place", |id: &PlaceId| plan.place(id).is_some()),
        label: say!("Place {}", plan.places.len() + 1),
        extra: Extra::new(),
    }
}

/// A new wire between two terminals.
pub fn wire(plan: &Plan, from: TerminalId, to: TerminalId) -> Wire {
    Wire {
        id: plan.free_wire_id(),
        from,
        to,
        length_mm: crate::units::Millimetres::of(1000.0),
        size: match plan.settings.sizing.gauge {
            Gauge::AsIs | Gauge::Metric => "1 mm2",
            Gauge::Awg => "16 AWG",
            Gauge::Sae => "16 SAE",
        }
        .into(),
        insulation_c: crate::units::Celsius::of(105.0),
        colour: "BK".into(),
        why: String::new(),
        extra: Extra::new(),
    }
}

/// The first of `stem`1, `stem`2 … that is free. Stems are plain words, so one always reads.
fn id<Id: FromStr>(stem: &str, taken: impl Fn(&Id) -> bool) -> Id {
    let mut ids = (1_u64..).filter_map(|n| format!("{stem}{n}").parse().ok());
    loop {
        if let Some(id) = ids.next()
            && !taken(&id)
        {
            return id;
        }
    }
}
