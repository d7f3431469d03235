//! Numbers out of range, connectors with too few ways, loads beyond the catalogue.

use super::{Found, drop_signal};
use crate::brief::build::{Build, has_relay};
use crate::brief::resolve::{Feed, Resolved, Way, names};
use crate::brief::signals::SWITCH_AMPS;
use crate::brief::{Brief, End, Fitting, Signal, Size, Socket, fitting, trailer};
use crate::catalog::fuse;
use crate::text::say;
use crate::units::order::OrdMap;
use crate::units::{AmpHours, Millimetres};

/// Lengths a form takes, in millimetres: from a hand cart to a long trailer.
const LENGTHS_MM: (f64, f64) = (200.0, 30_000.0);
/// Capacities a form takes, in ampere-hours.
const CAPACITIES_AH: (f64, f64) = (0.5, 2000.0);

pub(super) fn numbers(found: &mut Found) {
    let brief = found.brief;
    let ah = brief.capacity_ah.get();
    if !(CAPACITIES_AH.0..=CAPACITIES_AH.1).contains(&ah) {
        let mend = found.mend(say!("take 33 Ah"), |b| b.capacity_ah = AmpHours::of(33.0));
        let text = say!("A battery of {} is out of range.", brief.capacity_ah);
        found.say(text, vec![mend]);
    }
    type Get = fn(&mut Size) -> Option<&mut Millimetres>;
    let lengths: [(&str, Get); 6] = [
        (say!("length of the vehicle"), |s| Some(&mut s.length_mm)),
        (say!("width of the vehicle"), |s| Some(&mut s.width_mm)),
        (say!("length of the trailer"), |s| Some(&mut s.trailer_mm)),
        (say!("distance from battery to dash"), |s| {
            s.battery_to_dash_mm.as_mut()
        }),
        (say!("distance from dash to front"), |s| {
            s.dash_to_front_mm.as_mut()
        }),
        (say!("distance from dash to rear"), |s| {
            s.dash_to_rear_mm.as_mut()
        }),
    ];
    for (word, get) in lengths {
        let mut size = brief.size.clone();
        let Some(length) = get(&mut size).copied() else {
            continue;
        };
        if !(LENGTHS_MM.0..=LENGTHS_MM.1).contains(&length.get()) {
            let mend = found.mend(say!("take 2500 mm"), |b| {
                if let Some(length) = get(&mut b.size) {
                    *length = Millimetres::of(2500.0);
                }
            });
            let text = say!("The {word}, {length}, is out of range.");
            found.say(text, vec![mend]);
        }
    }
}

/// Trailer lamps that the connector has no way for.
pub(super) fn trailer(found: &mut Found) {
    let brief = found.brief;
    let Some(socket) = brief.socket else { return };
    let want = Resolved::of(brief);
    // Feeds that a way would join, with the signals they bring.
    type Use = (Vec<Feed>, Vec<Signal>);
    let mut ways: OrdMap<usize, Vec<Use>> = OrdMap::new();
    for lamp in want.lamps.iter().filter(|lamp| lamp.end == End::Trailer) {
        for circuit in &lamp.circuits {
            let mut own: OrdMap<usize, Vec<Feed>> = OrdMap::new();
            for way in &circuit.ways {
                match trailer::pin(socket, &want, lamp.side, circuit, way) {
                    Some(pin) => own.entry(pin).or_default().push(way.feed),
                    None => {
                        no_way(
                            found,
                            socket,
                            lamp.group,
                            &brought(&want, &circuit.signals, way),
                        );
                    }
                }
            }
            for (pin, feeds) in own {
                ways.entry(pin)
                    .or_default()
                    .push((feeds, circuit.signals.clone()));
            }
        }
    }
    for uses in ways.values() {
        let Some((first, signals)) = uses.first() else {
            continue;
        };
        let Some((_, others)) = uses.iter().find(|(feeds, _)| feeds != first) else {
            continue;
        };
        let odd = others
            .iter()
            .find(|s| !signals.contains(s))
            .or(others.first());
        let Some(&odd) = odd else { continue };
        let mend = found.mend(say!("leave {} off the trailer", odd.text()), |b| {
            off_trailer(b, odd);
        });
        let text = say!(
            "One way of the connector would have to carry {} and {} apart.",
            names(signals),
            odd.text()
        );
        found.say(text, vec![mend]);
    }
}

/// The signals of a circuit that a way brings.
fn brought(want: &Resolved, signals: &[Signal], way: &Way) -> Vec<Signal> {
    let brings = |signal: &&Signal| match way.feed {
        Feed::Steady(group) => want.groups[group].signals.contains(signal),
        Feed::Flash(_) => **signal == Signal::Turn,
        Feed::FlashHazard => **signal == Signal::Hazard,
        Feed::StopOrFlash(_) => matches!(signal, Signal::Stop | Signal::Turn),
    };
    signals.iter().filter(brings).copied().collect()
}

fn off_trailer(brief: &mut Brief, signal: Signal) {
    for lamps in &mut brief.lamps {
        if lamps.end == End::Trailer {
            lamps.strong.retain(|&s| s != signal);
            lamps.weak.retain(|&s| s != signal);
        }
    }
    brief
        .lamps
        .retain(|lamps| !lamps.strong.is_empty() || !lamps.weak.is_empty());
    if !brief.lamps.iter().any(|lamps| lamps.end == End::Trailer) {
        brief.socket = None;
    }
}

fn no_way(found: &mut Found, socket: Socket, group: usize, signals: &[Signal]) {
    let what = names(signals);
    let both = signals.contains(&Signal::Stop) && signals.contains(&Signal::Turn);
    let apart = signals == [Signal::Stop] || signals == [Signal::Turn];
    let mut mends = Vec::new();
    if both && !socket.combines() {
        mends.push(found.mend(say!("use a 4-way flat connector"), |b| {
            b.socket = Some(Socket::FourWay);
        }));
        mends.push(found.mend(say!("show turn alone on these lamps"), |b| {
            b.lamps[group].strong.retain(|&s| s != Signal::Stop);
        }));
    } else if apart && socket.combines() {
        mends.push(found.mend(say!("show stop and turn on these lamps"), |b| {
            let lamps = &mut b.lamps[group];
            for signal in [Signal::Stop, Signal::Turn] {
                if !lamps.strong.contains(&signal) {
                    lamps.strong.push(signal);
                }
            }
            lamps.light = crate::plan::Light::Red;
            lamps.across = crate::brief::Across::Pair;
        }));
    }
    let better = match signals.first() {
        Some(Signal::Fog | Signal::Reverse | Signal::Stop | Signal::Turn) => {
            Some(Socket::ThirteenPin)
        }
        _ => None,
    };
    if let Some(better) = better.filter(|&better| better != socket && !both) {
        mends.push(found.mend(say!("use a {} connector", better.text()), |b| {
            b.socket = Some(better);
        }));
    }
    for &signal in signals {
        mends.push(
            found.mend(say!("leave {} off the trailer", signal.text()), |b| {
                off_trailer(b, signal);
            }),
        );
    }
    let text = say!("The {} connector has no way for {what}.", socket.text());
    found.say(text, mends);
}

/// Loads beyond the fuses, relays and diodes of the catalogue.
pub(super) fn loads(found: &mut Found) {
    let brief = found.brief;
    let want = Resolved::of(brief);
    let nothing = OrdMap::new();
    let build = Build::of(brief, &want, &nothing, &[]);
    let most = fuse::ROWS.last().map_or(0.0, |row| row.rating_amps) * fuse::CONTINUOUS_SHARE;
    let total = build.sum(|_, _| true);
    if total > most {
        let text = say!(
            "All lamps together draw {total:.0} A; the largest blade fuse carries {most:.0} A for long."
        );
        let mends = less(found);
        found.say(text, mends);
        return;
    }
    for (index, group) in want.groups.iter().enumerate() {
        let load = build.load_of(Feed::Steady(index));
        if load > SWITCH_AMPS && !group.lit.is_empty() && !has_relay(brief.system) {
            let what = names(&group.signals);
            let text = say!(
                "{what} draws {load:.0} A, too much for a small switch, and the catalogue has no relay for this voltage."
            );
            let mut mends = less(found);
            let last = group.signals.last().copied();
            mends.extend(last.map(|signal| {
                found.mend(say!("leave {} out", signal.text()), |b| {
                    drop_signal(b, signal);
                })
            }));
            found.say(text, mends);
        }
    }
    let bears = fitting::most_diode_amps();
    for (signals, amps) in build.through_diodes() {
        if amps > bears {
            let text = say!(
                "{} would draw {amps:.1} A through one diode; the largest of the catalogue bears {bears:.1} A in a loom.",
                names(&signals)
            );
            let mends = less(found);
            found.say(text, mends);
        }
    }
}

/// Ways to draw less.
fn less(found: &Found) -> Vec<super::Mend> {
    let mut mends = Vec::new();
    let brief = found.brief;
    let twelve = brief.system.lamp_volts() == 12.0;
    let filament = |lamps: &crate::brief::Lamps| lamps.fitting.has_filaments();
    if twelve && brief.lamps.iter().any(filament) {
        mends.push(found.mend(say!("use LED lamps"), |b| {
            for lamps in &mut b.lamps {
                lamps.model = None;
                lamps.fitting = match lamps.fitting {
                    Fitting::TwoFilaments => Fitting::TwoLeds,
                    Fitting::Filament => Fitting::Led,
                    other => other,
                };
            }
            b.flasher = crate::plan::FlasherAction::Electronic;
        }));
    }
    if brief.lamps.len() > 1 {
        mends.push(found.mend(say!("leave the last lamps out"), |b| drop(b.lamps.pop())));
    } else {
        mends.push(found.mend(say!("start from the usual lamps"), |b| {
            b.lamps = Brief::default().lamps;
            b.controls = Brief::default().controls;
        }));
    }
    mends
}
