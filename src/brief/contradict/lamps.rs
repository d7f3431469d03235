//! Lamps that cannot show what they are to show.

use super::{Found, drop_signal, volts_word};
use crate::brief::place::{Side, end_word};
use crate::brief::resolve::names;
use crate::brief::{Across, Brief, End, Fitting, Lamps, Signal, System, fitting};
use crate::plan::{FlasherAction, Light};
use crate::text::say;

pub(super) fn check(found: &mut Found) {
    let brief = found.brief;
    if brief.lamps.is_empty() {
        let mend = found.mend(say!("take the usual four lamps"), |b| {
            b.lamps = Brief::default().lamps;
        });
        found.say(say!("There are no lamps.").into(), vec![mend]);
    }
    for (i, lamps) in brief.lamps.iter().enumerate() {
        circuits(found, i, lamps);
        sharing(found, i, lamps);
        colour(found, i, lamps);
        catalogue(found, i, lamps);
        sides(found, i, lamps);
        if lamps.end == End::Trailer && brief.socket.is_none() {
            let socket = found.mend(say!("use a 4-way flat connector"), |b| {
                b.socket = Some(crate::brief::Socket::FourWay);
            });
            let off = found.mend(say!("leave the trailer's lamps out"), |b| {
                b.lamps.retain(|lamps| lamps.end != End::Trailer);
            });
            let text = say!("Lamps on a trailer need a connector, and none is chosen.");
            found.say(text.into(), vec![socket, off]);
        }
    }
    if brief.socket.is_some() && !brief.lamps.iter().any(|lamps| lamps.end == End::Trailer) {
        let off = found.mend(say!("leave the connector out"), |b| b.socket = None);
        found.say(
            say!("There is a trailer connector but no lamp on the trailer.").into(),
            vec![off],
        );
    }
    one_sided(found);
    thermal(found);
}

/// A group in words: `the rear pair`, `the left side lamp`.
pub(super) fn group(lamps: &Lamps) -> String {
    let end = end_word(lamps.end);
    match lamps.across {
        Across::Pair => say!("the {end} pair"),
        Across::Left => say!("the left {end} lamp"),
        Across::Right => say!("the right {end} lamp"),
        Across::Centre => say!("the {end} lamp in the middle"),
    }
}

fn circuits(found: &mut Found, i: usize, lamps: &Lamps) {
    let who = group(lamps);
    if lamps.strong.is_empty() && lamps.weak.is_empty() {
        let tail = found.mend(say!("let it show the tail signal"), |b| {
            b.lamps[i].strong = vec![Signal::Tail];
            b.lamps[i].light = Light::Red;
        });
        let off = found.mend(say!("leave it out"), |b| drop(b.lamps.remove(i)));
        found.say(say!("{who} shows nothing."), vec![off, tail]);
        return;
    }
    let two = lamps.fitting.circuits() == 2;
    if two && (lamps.weak.is_empty() || lamps.strong.is_empty()) {
        let one = one_circuit(lamps.fitting);
        let mend = found.mend(say!("use a lamp with one circuit"), |b| {
            let lamps = &mut b.lamps[i];
            lamps.fitting = one;
            lamps.model = None;
            let weak = core::mem::take(&mut lamps.weak);
            lamps.strong.extend(weak);
        });
        found.say(
            say!("{who} has two circuits, and one of them shows nothing."),
            vec![mend],
        );
    }
    if !two && !lamps.weak.is_empty() {
        let pair = two_circuits(lamps.fitting);
        let two = found.mend(say!("use a lamp with two circuits"), |b| {
            b.lamps[i].fitting = pair;
            b.lamps[i].model = None;
        });
        let join = found.mend(say!("show both on the one circuit"), |b| {
            let weak = core::mem::take(&mut b.lamps[i].weak);
            b.lamps[i].strong.extend(weak);
        });
        let text = say!(
            "{who} has one circuit, but {} is to be on a second one.",
            names(&lamps.weak)
        );
        found.say(text, vec![two, join]);
    }
    let strong_on_weak: Vec<Signal> = lamps
        .weak
        .iter()
        .copied()
        .filter(|s| !s.is_weak())
        .collect();
    if two && !strong_on_weak.is_empty() {
        let mend = found.mend(say!("put it on the strong circuit"), |b| {
            let lamps = &mut b.lamps[i];
            lamps.weak.retain(|s| s.is_weak());
            for signal in &strong_on_weak {
                if !lamps.strong.contains(signal) {
                    lamps.strong.push(*signal);
                }
            }
        });
        let text = say!(
            "The weak circuit of {who} is too dim for {}.",
            names(&strong_on_weak)
        );
        found.say(text, vec![mend]);
    }
    for &signal in &Signal::ALL {
        let count = |list: &[Signal]| list.iter().filter(|&&s| s == signal).count();
        if count(&lamps.strong) + count(&lamps.weak) > 1 {
            let mend = found.mend(say!("name it once"), |b| {
                let lamps = &mut b.lamps[i];
                lamps.strong.retain(|&s| s != signal);
                lamps.weak.retain(|&s| s != signal);
                if signal.is_weak() && lamps.fitting.circuits() == 2 {
                    lamps.weak.push(signal);
                } else {
                    lamps.strong.push(signal);
                }
            });
            found.say(
                say!("{who} is to show {} twice.", signal.text()),
                vec![mend],
            );
        }
    }
}

const fn one_circuit(fitting: Fitting) -> Fitting {
    match fitting {
        Fitting::TwoFilaments => Fitting::Filament,
        Fitting::TwoLeds => Fitting::Led,
        other => other,
    }
}

const fn two_circuits(fitting: Fitting) -> Fitting {
    match fitting {
        Fitting::Filament => Fitting::TwoFilaments,
        Fitting::Led | Fitting::RegulatedLed => Fitting::TwoLeds,
        other => other,
    }
}

/// Signals that cannot share a circuit.
fn sharing(found: &mut Found, i: usize, lamps: &Lamps) {
    let who = group(lamps);
    let has = |signal| lamps.strong.contains(&signal);
    let steady: Vec<Signal> = lamps
        .strong
        .iter()
        .copied()
        .filter(|s| !s.is_weak() && !s.flashes())
        .collect();
    // Turn may share with stop, which gives way to it; hazard alone shares with nothing that burns steadily in full.
    let clash = |signal: &&Signal| !(has(Signal::Turn) && **signal == Signal::Stop);
    if (has(Signal::Turn) || has(Signal::Hazard))
        && let Some(&other) = steady.iter().find(clash)
    {
        let flash = if has(Signal::Turn) {
            Signal::Turn
        } else {
            Signal::Hazard
        };
        let mut mends = vec![
            found.mend(say!("take {} off it", other.text()), |b| {
                b.lamps[i].strong.retain(|&s| s != other);
            }),
            found.mend(say!("take {} off it", flash.text()), |b| {
                b.lamps[i].strong.retain(|s| !s.flashes());
            }),
        ];
        if flash == Signal::Hazard && other == Signal::Stop {
            let turn = found.mend(say!("let it show turn, which gets past stop"), |b| {
                let strong = &mut b.lamps[i].strong;
                strong.retain(|&s| s != Signal::Hazard);
                strong.push(Signal::Turn);
            });
            mends.insert(0, turn);
        }
        let text = say!(
            "On {who}, {} and {} cannot share a circuit: the steady light would hide the flash.",
            flash.text(),
            other.text()
        );
        found.say(text, mends);
    }
    let weak: Vec<Signal> = lamps
        .strong
        .iter()
        .copied()
        .filter(|s| s.is_weak())
        .collect();
    let stronger = lamps.strong.iter().any(|s| !s.is_weak());
    if lamps.fitting == Fitting::RegulatedLed && stronger && !weak.is_empty() {
        let two = found.mend(say!("use an LED lamp with two circuits"), |b| {
            let lamps = &mut b.lamps[i];
            lamps.fitting = Fitting::TwoLeds;
            lamps.strong.retain(|s| !s.is_weak());
            lamps.weak.clone_from(&weak);
        });
        let plain = found.mend(say!("use an LED lamp with series resistors"), |b| {
            b.lamps[i].fitting = Fitting::Led;
        });
        let text = say!(
            "{who} has LEDs with a regulator, which cannot burn low for {}.",
            names(&weak)
        );
        found.say(text, vec![two, plain]);
    }
}

/// Colours of light that law allows a signal: FMVSS 108 table I and UN R48, from memory; a hint, as local code decides.
pub(in crate::brief) fn colours(signal: Signal, end: End) -> &'static [Light] {
    let front = end == End::Front;
    match signal {
        Signal::Stop => &[Light::Red],
        Signal::Tail => &[Light::Red],
        Signal::Turn | Signal::Hazard if matches!(end, End::Rear | End::Trailer) => {
            &[Light::Amber, Light::Red]
        }
        Signal::Turn | Signal::Hazard => &[Light::Amber],
        Signal::Running if front => &[Light::White, Light::Amber],
        Signal::Running => &[Light::Amber, Light::Red],
        Signal::Marker if front => &[Light::Amber, Light::White],
        Signal::Marker => &[Light::Amber, Light::Red],
        Signal::Reverse | Signal::Head => &[Light::White],
        // A tail lamp with a clear window below lights the plate.
        Signal::Licence => &[Light::White, Light::Red],
        Signal::Fog if front => &[Light::White, Light::Amber],
        Signal::Fog => &[Light::Red],
        Signal::Work => &[Light::White, Light::Amber],
        Signal::Other => &[Light::White, Light::Amber, Light::Red],
    }
}

fn colour(found: &mut Found, i: usize, lamps: &Lamps) {
    let signals = || lamps.strong.iter().chain(&lamps.weak).copied();
    let fits = |light: &Light| signals().all(|s| colours(s, lamps.end).contains(light));
    if fits(&lamps.light) {
        return;
    }
    let who = group(lamps);
    let all = [Light::Red, Light::Amber, Light::White];
    let Some(light) = all.into_iter().find(fits) else {
        let (first, odd) = clash(lamps, signals());
        let mend = found.mend(say!("take {} off it", odd.text()), |b| {
            b.lamps[i].strong.retain(|&s| s != odd);
            b.lamps[i].weak.retain(|&s| s != odd);
        });
        let text = say!(
            "On {who}, {} and {} have no colour in common.",
            first.text(),
            odd.text()
        );
        found.say(text, vec![mend]);
        return;
    };
    let mend = found.mend(say!("make it {}", light_word(light)), |b| {
        b.lamps[i].light = light;
    });
    let text = say!(
        "{who} is {}, which is no colour for {}.",
        light_word(lamps.light),
        names(&signals().collect::<Vec<_>>())
    );
    found.say(text, vec![mend]);
}

/// Two signals without a common colour, or three: the first and the one that leaves none.
fn clash(lamps: &Lamps, signals: impl Iterator<Item = Signal>) -> (Signal, Signal) {
    let mut left = vec![Light::Red, Light::Amber, Light::White];
    let mut first = Signal::Other;
    for signal in signals {
        let allowed = colours(signal, lamps.end);
        if !left.iter().any(|light| allowed.contains(light)) {
            return (first, signal);
        }
        if left.iter().any(|light| !allowed.contains(light)) {
            first = signal;
        }
        left.retain(|light| allowed.contains(light));
    }
    (first, first)
}

fn light_word(light: Light) -> &'static str {
    match light {
        Light::Amber => say!("amber"),
        Light::Red => say!("red"),
        Light::White => say!("white"),
    }
}

/// Lamps that the catalogue does not have.
fn catalogue(found: &mut Found, i: usize, lamps: &Lamps) {
    let brief = found.brief;
    let volts = volts_word(brief.system);
    if !lamps.fitting.has_filaments() {
        let circuit = |signals: &Vec<Signal>| {
            fitting::led_row(brief.system, lamps.fitting, signals).is_some()
        };
        if circuit(&lamps.strong) && (lamps.fitting.circuits() == 1 || circuit(&lamps.weak)) {
            return;
        }
        let mut mends = Vec::new();
        if brief.system == System::V24 {
            mends.push(found.mend(say!("use LEDs with a regulator"), |b| {
                let lamps = &mut b.lamps[i];
                lamps.fitting = Fitting::RegulatedLed;
                lamps.weak.clear();
            }));
        }
        let other = match lamps.fitting {
            Fitting::TwoLeds => Fitting::TwoFilaments,
            _ => Fitting::Filament,
        };
        mends.insert(
            0,
            found.mend(say!("use filament lamps"), |b| {
                b.lamps[i].fitting = other;
                b.lamps[i].model = None;
            }),
        );
        found.say(
            say!("The catalogue has no such LED lamp for {volts}."),
            mends,
        );
        return;
    }
    if let Some(model) = &lamps.model {
        let row = fitting::lamp_row(brief, lamps);
        if row.is_none_or(|row| row.key != model.as_str()) {
            let mend = found.mend(say!("use the usual lamp"), |b| b.lamps[i].model = None);
            let text = say!("{model} is no lamp for {}, {volts}.", group(lamps));
            found.say(text, vec![mend]);
        }
    }
}

/// Signals of a side on lamps that sit on none.
fn sides(found: &mut Found, i: usize, lamps: &Lamps) {
    if lamps.across != Across::Centre || !lamps.strong.contains(&Signal::Turn) {
        return;
    }
    let pair = found.mend(say!("make it a pair"), |b| b.lamps[i].across = Across::Pair);
    let off = found.mend(say!("take turn off it"), |b| {
        b.lamps[i].strong.retain(|&s| s != Signal::Turn);
    });
    let text = say!(
        "{} cannot tell left from right, so it cannot show turn.",
        group(lamps)
    );
    found.say(text, vec![pair, off]);
}

/// Turn on one side only.
fn one_sided(found: &mut Found) {
    let on = |side: Side| {
        let sits = |lamps: &&Lamps| match lamps.across {
            Across::Pair => true,
            Across::Left => side == Side::Left,
            Across::Right => side == Side::Right,
            Across::Centre => false,
        };
        let turns = |lamps: &Lamps| lamps.strong.contains(&Signal::Turn);
        found.brief.lamps.iter().filter(sits).any(turns)
    };
    let (left, right) = (on(Side::Left), on(Side::Right));
    if left == right {
        return;
    }
    let word = if left { say!("right") } else { say!("left") };
    let pair = found.mend(say!("make the lamps pairs"), |b| {
        for lamps in &mut b.lamps {
            if lamps.strong.contains(&Signal::Turn) {
                lamps.across = Across::Pair;
            }
        }
    });
    let off = found.mend(say!("leave turn out"), |b| drop_signal(b, Signal::Turn));
    found.say(say!("No lamp shows turn {word}."), vec![pair, off]);
}

/// A thermal flasher with loads it does not feel.
fn thermal(found: &mut Found) {
    let brief = found.brief;
    if brief.flasher != FlasherAction::Thermal {
        return;
    }
    let led = brief
        .lamps
        .iter()
        .any(|lamps| !lamps.fitting.has_filaments() && lamps.strong.iter().any(|s| s.flashes()));
    let shared = brief.priority == crate::brief::TurnPriority::None
        && brief.lamps.iter().any(|lamps| {
            lamps.strong.contains(&Signal::Turn) && lamps.strong.contains(&Signal::Stop)
        });
    let text = if led {
        say!("A thermal flasher is heated by the lamp current; with LED lamps it would not flash.")
    } else if shared {
        say!(
            "A thermal flasher is heated by the lamp current, which the stop signal takes away where it hides the flash."
        )
    } else {
        return;
    };
    let mend = found.mend(say!("use an electronic flasher"), |b| {
        b.flasher = FlasherAction::Electronic;
    });
    found.say(text.into(), vec![mend]);
}
