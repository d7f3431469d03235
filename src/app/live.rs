//! One state of the plan as the screen shows it: sentence, lamps, paths, and the classes laid over the drawing.
//!
//! Solves the single state only, so it is ready at once however many states the plan has.

use super::overlay::{LIVE_AMPS, Overlay, overlay};
use super::words;
use crate::behaviour::{
    Analyser, Cell, Explanation, Flow, Origin, Path, Shows, State, Step, Tick, Verdict,
};
use crate::catalog::fuse;
use crate::findings::state_words;
use crate::plan::{Kind, Plan, TerminalId};
use crate::text::{self, say};
use crate::units::order::OrdMap;

/// One lamp circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct LampNow {
    /// Identity, `E3.major`.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// What it does in both phases.
    pub cell: Cell,
    /// Its path in the two phases of the flashers.
    pub paths: [Option<Path>; 2],
    /// Why.
    pub why: Explanation,
}

/// One line of a path.
#[derive(Debug, Clone, PartialEq)]
pub struct StepLine {
    /// Identity of the part or wire.
    pub id: String,
    /// What it is.
    pub what: String,
    /// The current through it.
    pub amps: String,
    /// The current runs against the wire's intended direction.
    pub reversed: bool,
    /// What to pick when it is tapped: group of the drawing.
    pub group: String,
}

/// The plan in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Live {
    /// Whether the numbers may be shown.
    pub solved: bool,
    /// Which controls are moved.
    pub head: String,
    /// What the lamps do.
    pub body: String,
    /// Whether something is not as wished.
    pub troubled: bool,
    /// Lamp circuits, in the order of the parts.
    pub lamps: Vec<LampNow>,
    /// Flashes per minute of the fastest flasher; 0 when none flashes.
    pub per_minute: f64,
    /// Classes over the drawing: flashers closed, flashers open.
    pub overlays: [Overlay; 2],
    /// Current of every wire by its identity, in both phases.
    flows: Vec<(String, Flow)>,
    /// Volts of every terminal in both phases; none where nothing joins it to battery negative.
    volts: OrdMap<TerminalId, [Option<f64>; 2]>,
}

impl Live {
    /// Solves `plan` with its controls at `positions`.
    pub fn new(plan: &Plan, positions: &[u8]) -> Self {
        let state = State(positions.to_vec());
        let mut analyser = Analyser::new(plan, &[]);
        let outcome = analyser.solve(&state);
        let cells = analyser.cells(&state, &outcome);
        let circuit = analyser.circuit();
        let circuits = plan.lamp_circuits();
        let label = |id: &crate::plan::LampId| {
            let known = circuits.iter().find(|lamp| lamp.id == *id);
            known.map_or_else(|| id.to_string(), |lamp| words::lamp_name(&lamp.label))
        };
        let lamps: Vec<LampNow> = circuit
            .lamps
            .iter()
            .zip(cells)
            .enumerate()
            .map(|(i, (lamp, cell))| {
                let paths = [0, 1].map(|phase| Path::trace(circuit, &outcome, phase, i));
                let (path, hiding) = (lighting(&cell, &paths), hiding(&cell, &paths));
                LampNow {
                    id: lamp.id.to_string(),
                    label: label(&lamp.id),
                    why: analyser.explain(&state, i, &cell, path, hiding),
                    cell,
                    paths,
                }
            })
            .collect();
        let flows = analyser.flows(&outcome);
        let overlays = [0, 1].map(|phase| overlay(plan, circuit, &outcome, &flows, &lamps, phase));
        let solved = outcome.converged();
        let rate = |run: &crate::behaviour::FlasherRun| match run.tick {
            Tick::Idle => 0.0,
            _ => run.per_minute,
        };
        Self {
            solved,
            head: words::capital(&state_words(plan, &state)),
            body: if solved {
                body(&lamps)
            } else {
                say!("this state could not be solved, so no numbers are shown.").into()
            },
            troubled: !solved || lamps.iter().any(|l| l.cell.verdict != Verdict::AsWished),
            per_minute: outcome.flashers.iter().map(rate).fold(0.0, f64::max),
            lamps,
            overlays,
            volts: circuit
                .terminals
                .iter()
                .map(|(id, &node)| {
                    let volts = [outcome.on.volts(node), outcome.off.volts(node)];
                    (id.clone(), volts)
                })
                .collect(),
            flows: plan
                .wires
                .iter()
                .map(|wire| wire.id.to_string())
                .zip(flows)
                .collect(),
        }
    }

    /// What a wire carries, in words.
    pub fn flow_words(&self, wire: &str) -> String {
        let Some((_, flow)) = self.flows.iter().find(|(id, _)| id == wire) else {
            return String::new();
        };
        let one = |amps: f64| {
            if amps.abs() < LIVE_AMPS {
                say!("nothing").to_owned()
            } else if amps < 0.0 {
                say!("{} backwards", words::amps(amps))
            } else {
                words::amps(amps)
            }
        };
        let (on, off) = (one(flow.on), one(flow.off));
        if on == off {
            say!("It carries {on} now.")
        } else {
            say!("It carries {on} lit and {off} dark.")
        }
    }

    /// Current of a wire in both phases of the flashers.
    pub fn flow(&self, wire: &str) -> Flow {
        let known = self.flows.iter().find(|(id, _)| id == wire);
        known.map_or_else(Flow::default, |(_, flow)| *flow)
    }

    /// Volts of a terminal in both phases; none where nothing joins it to battery negative.
    pub fn volts(&self, terminal: &TerminalId) -> [Option<f64>; 2] {
        self.volts.get(terminal).copied().unwrap_or_default()
    }

    /// The lamp circuit with this identity.
    pub fn lamp(&self, id: &str) -> Option<&LampNow> {
        self.lamps.iter().find(|lamp| lamp.id == id)
    }
}

impl LampNow {
    /// The path to show: of the phase in which the lamp is brighter, else of the other.
    pub fn path(&self) -> Option<&Path> {
        lighting(&self.cell, &self.paths)
    }

    /// The steady feed that hides the flash, of a masked lamp.
    pub fn hiding_path(&self) -> Option<&Path> {
        hiding(&self.cell, &self.paths)
    }

    /// What it does, as short as it can be said.
    pub fn short(&self) -> String {
        let reading = self.cell.bright();
        let now = match self.cell.shows {
            Shows::Off => Shows::Off.word().to_owned(),
            _ => format!(
                "{}, {}, {}",
                words::seen(&self.cell),
                words::volts(reading),
                words::amps(reading.amps)
            ),
        };
        match self.cell.verdict {
            Verdict::AsWished => format!("{now}."),
            verdict => format!("{now}: {}.", verdict.word()),
        }
    }

    /// A sentence about this lamp, which is called `who`.
    pub fn sentence(&self, who: &str) -> String {
        let reading = self.cell.bright();
        let light = words::percent(reading.level);
        let (volts, amps) = (words::volts(reading), words::amps(reading.amps));
        let now = match self.cell.shows {
            Shows::Off => say!("{who} is off."),
            Shows::Faint => say!("{who} glows faintly, {light}."),
            Shows::Dim => say!("{who} is dim, {light} of rated light, {volts}, {amps}."),
            Shows::Steady => say!("{who} is steady, {light} of rated light, {volts}, {amps}."),
            Shows::Flashing => say!("{who} is flashing, {light} of rated light, {volts}, {amps}."),
        };
        let verdict = match self.cell.verdict {
            Verdict::AsWished => say!("As wished.").to_owned(),
            Verdict::BackFed => say!("Back-fed: it should be off.").to_owned(),
            Verdict::Dead => say!("Dead: {} was wished.", self.cell.wish.text()),
            Verdict::Weak => say!("Weak: it should be brighter.").to_owned(),
            Verdict::Masked => {
                say!("Masked: it should flash, but a steady feed hides the flash.").to_owned()
            }
            Verdict::Overdriven => say!("Overdriven: more light than it is made for.").to_owned(),
        };
        format!("{now} {verdict}")
    }
}

fn lighting<'a>(cell: &Cell, [on, off]: &'a [Option<Path>; 2]) -> Option<&'a Path> {
    let bright = if cell.off.level > cell.on.level {
        off
    } else {
        on
    };
    bright.as_ref().or(on.as_ref()).or(off.as_ref())
}

fn hiding<'a>(cell: &Cell, paths: &'a [Option<Path>; 2]) -> Option<&'a Path> {
    let dark = usize::from(cell.off.level <= cell.on.level);
    paths[dark]
        .as_ref()
        .filter(|_| cell.verdict == Verdict::Masked)
}

/// What the lamps do, in words: most important first.
fn body(lamps: &[LampNow]) -> String {
    if lamps.is_empty() {
        return say!("the plan has no lamps yet. Add one under Build.").into();
    }
    let mut parts: Vec<String> = Vec::new();
    // What is said of one lamp and what of several, each with their names and their light.
    let mut tell = |wanted: &dyn Fn(&Cell) -> bool,
                    one: &dyn Fn(&str, &str) -> String,
                    many: &dyn Fn(&str, &str) -> String| {
        let chosen: Vec<&LampNow> = lamps.iter().filter(|lamp| wanted(&lamp.cell)).collect();
        if chosen.is_empty() {
            return;
        }
        let names: Vec<String> = chosen.iter().map(|lamp| lamp.label.clone()).collect();
        let levels = chosen.iter().map(|lamp| lamp.cell.bright().level);
        let (low, high) = levels.fold((f64::MAX, 0.0_f64), |(low, high), level| {
            (low.min(level), high.max(level))
        });
        let (low, high) = (words::percent(low), words::percent(high));
        let amount = if low == high {
            high
        } else {
            say!("{} to {high}", low.trim_end_matches(" %"))
        };
        let sentence = if chosen.len() > 1 { many } else { one };
        parts.push(sentence(&words::list(&names), &amount));
    };
    let verdict = |verdict: Verdict| move |cell: &Cell| cell.verdict == verdict;
    let fine = |shows: Shows| {
        move |cell: &Cell| {
            cell.shows == shows
                && matches!(
                    cell.verdict,
                    Verdict::AsWished | Verdict::Weak | Verdict::Overdriven
                )
        }
    };
    tell(
        &verdict(Verdict::BackFed),
        &|who, light| say!("{who} is lit at {light} but should be off (back-fed)"),
        &|who, light| say!("{who} are lit at {light} but should be off (back-fed)"),
    );
    tell(
        &verdict(Verdict::Masked),
        &|who, light| say!("{who} should flash but is held at {light} by a steady feed (masked)"),
        &|who, light| say!("{who} should flash but are held at {light} by a steady feed (masked)"),
    );
    tell(
        &verdict(Verdict::Dead),
        &|who, _| say!("{who} should be lit but is dead"),
        &|who, _| say!("{who} should be lit but are dead"),
    );
    tell(
        &fine(Shows::Flashing),
        &|who, light| say!("{who} flashes at {light}"),
        &|who, light| say!("{who} flash at {light}"),
    );
    tell(
        &fine(Shows::Steady),
        &|who, light| say!("{who} is steady at {light}"),
        &|who, light| say!("{who} are steady at {light}"),
    );
    tell(
        &fine(Shows::Dim),
        &|who, light| say!("{who} is dim at {light}"),
        &|who, light| say!("{who} are dim at {light}"),
    );
    tell(
        &fine(Shows::Faint),
        &|who, light| say!("{who} is faint at {light}"),
        &|who, light| say!("{who} are faint at {light}"),
    );
    let dark = lamps
        .iter()
        .filter(|lamp| lamp.cell.shows == Shows::Off && lamp.cell.verdict == Verdict::AsWished)
        .count();
    if dark == lamps.len() {
        return say!("all lamps stay dark.").into();
    }
    match dark {
        0 => {}
        1 => parts.push(say!("The other lamp stays dark").into()),
        n => parts.push(say!("The other {n} stay dark")),
    }
    parts.join(". ") + "."
}

/// Identity and drawing group of a step.
pub fn named(plan: &Plan, step: &Step) -> Option<(String, String)> {
    let (id, kind) = match step.origin {
        Origin::Wire(wire) => (plan.wires.get(wire)?.id.to_string(), "wire"),
        Origin::Part { part, .. } => (plan.parts.get(part)?.id.to_string(), "part"),
    };
    let group = format!("{kind}-{id}");
    Some((id, group))
}

/// The lines of a path; ground points in a row are joined by the chassis.
pub fn lines(plan: &Plan, path: &Path) -> Vec<StepLine> {
    let mut lines: Vec<StepLine> = Vec::new();
    let mut at_ground = false;
    for step in &path.steps {
        let Some((id, group)) = named(plan, step) else {
            continue;
        };
        let (what, ground) = match step.origin {
            Origin::Wire(wire) => (
                plan.wires
                    .get(wire)
                    .map_or_else(String::new, |wire| words::wire(plan, wire)),
                false,
            ),
            Origin::Part { part, .. } => {
                let part = plan.parts.get(part);
                let ground = part.is_some_and(|part| matches!(part.kind, Kind::Ground(_)));
                (part.map_or_else(String::new, part_words), ground)
            }
        };
        if ground && at_ground {
            lines.push(StepLine {
                id: say!("step" => "chassis").into(),
                what: say!("the vehicle's metal").into(),
                amps: words::amps(step.amps),
                reversed: false,
                group: String::new(),
            });
        }
        at_ground = ground;
        lines.push(StepLine {
            id,
            what,
            amps: words::amps(step.amps),
            reversed: step.reversed,
            group,
        });
    }
    lines
}

/// A part in words: its label, and its rating where that tells something.
pub fn part_words(part: &crate::plan::Part) -> String {
    let kind = part.kind.text();
    let label = &part.label;
    let named = if label.is_empty() {
        words::capital(kind)
    } else if label.to_lowercase().contains(&kind.to_lowercase()) {
        label.clone()
    } else {
        format!("{label} ({kind})")
    };
    match &part.kind {
        Kind::Fuse(f) => match fuse::find_rating(f.rating_a) {
            // Only a blade has the colour of its rating.
            Some(row) if f.body.is_blade() => {
                format!("{named}, {}, {}", f.rating_a, text::of(row.colour))
            }
            _ => format!("{named}, {}", f.rating_a),
        },
        Kind::Battery(battery) => format!("{named}, {}", battery.open_circuit_v),
        Kind::Charger(charger) => format!("{named}, {}, {}", charger.output_v, charger.rated_a),
        Kind::Converter(converter) => say!(
            "{named}, {} to {}, {}",
            converter.input_v,
            converter.output_v,
            converter.rated_a
        ),
        Kind::Diode(diode) => format!("{named}, {}", diode.model),
        _ => named,
    }
}
