//! Priority of a flashing signal over a steady one on the same lamp circuit.
//!
//! Diodes cannot give it: the steady feed is wished in other states. What can is a contact in the steady feed
//! that opens while the flash is wished: a second pole of the turn switch, or the rest contact of a relay that
//! the turn switch pulls in from the unbroken supply. Each is put into the wire nearest the lamp in which it
//! breaks no other wish, and the whole is solved in every state before it is offered.

use super::progress::{Doing, Watch};
use super::rows::{bright_and_loaded, first_of_each};
use crate::behaviour::{Analyser, Cell, Path, State, Table, Verdict, table, table_of};
use crate::catalog::relay;
use crate::circuit::Origin;
use crate::plan::{
    Change, Contact, Control, Edit, Extra, Ground, Kind, Part, PartId, Plan, Relay, Show, Switch,
    TerminalId, Wire,
};
use crate::text::say;
use crate::units::order::OrdSet;
use crate::units::{Celsius, Millimetres, Milliohms, Ohms, Volts};

/// How priority is arranged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrangement {
    /// A second pole on the turn switch opens the steady feed.
    SecondPole,
    /// A relay's rest contact opens the steady feed; the turn switch feeds its coil.
    Relay,
}

impl Arrangement {
    /// Both, simpler one first.
    pub const ALL: [Arrangement; 2] = [Arrangement::SecondPole, Arrangement::Relay];

    fn doing(self) -> Doing {
        match self {
            Arrangement::SecondPole => Doing::SecondPole,
            Arrangement::Relay => Doing::Relay,
        }
    }
}

/// An arrangement worked out for a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Priority {
    /// Which one.
    pub arrangement: Arrangement,
    /// The edit that builds it.
    pub edit: Edit,
    /// Parts it adds.
    pub parts: Vec<PartId>,
    /// The behaviour with it, in every state.
    pub table: Table,
}

/// Times the whole table may show amiss what the few states did not.
const MAX_ROUNDS: usize = 8;
/// Resistance of an added switch contact, common practice.
const CONTACT_MOHM: f64 = 10.0;
/// Resistance of an added ground point, common practice.
const GROUND_MOHM: f64 = 5.0;
/// Length of an added wire where nothing is known of the distance.
const WIRE_MM: f64 = 300.0;

/// Works out an arrangement that leaves no flash hidden; `None` if the plan has none hidden or it cannot.
pub fn priority(plan: &Plan, arrangement: Arrangement) -> Option<Priority> {
    let now = table(plan, &[]);
    priority_watched(plan, &now, arrangement, &mut Watch::new(&mut |_| {}))
}

/// The same with the behaviour of the plan known and every trial told.
///
/// Trials are made in a few states, in which each masked circuit is masked in each way; only what stands them is solved
/// in all.
pub(super) fn priority_watched(
    plan: &Plan,
    now: &Table,
    arrangement: Arrangement,
    watch: &mut Watch<'_>,
) -> Option<Priority> {
    watch.begin(arrangement.doing(), None);
    if masked(now) == 0 {
        return None;
    }
    let before: Vec<PartId> = plan.parts.iter().map(|part| part.id.clone()).collect();
    let mut rows = telling(now);
    for _ in 0..MAX_ROUNDS {
        let states: Vec<State> = rows
            .iter()
            .map(|&row| now.rows[row].state.clone())
            .collect();
        let mut built = plan.clone();
        let mut edits = Vec::new();
        let mut few = table_of(&built, states.clone());
        while masked(&few) > 0 {
            let (step, next) = cure_first(&built, &few, &states, arrangement, watch)?;
            step.clone().apply(&mut built).ok()?;
            edits.push(step);
            few = next;
        }
        let after = table(&built, &[]);
        watch.step();
        if masked(&after) == 0 && otherwise_bad(&after) <= otherwise_bad(now) {
            let parts = built.parts.iter().map(|part| part.id.clone());
            return Some(Priority {
                arrangement,
                edit: Edit::All(edits),
                parts: parts.filter(|id| !before.contains(id)).collect(),
                table: after,
            });
        }
        // What went wrong in other states is looked at from the start next time.
        let known = rows.len();
        rows.extend(went_wrong(now, &after));
        if rows.len() == known {
            return None;
        }
    }
    None
}

/// The first rows in which a circuit is masked, or is amiss otherwise and was not before.
fn went_wrong(before: &Table, after: &Table) -> Vec<usize> {
    let cells = first_of_each(after, |_, _| ());
    let new = |&&(row, lamp): &&(usize, usize)| {
        let verdict = |table: &Table| Some(table.rows.get(row)?.cells.get(lamp)?.verdict);
        verdict(after) == Some(Verdict::Masked) || verdict(after) != verdict(before)
    };
    cells.iter().filter(new).map(|&(row, _)| row).collect()
}

fn cells(table: &Table) -> impl Iterator<Item = &Cell> {
    table.rows.iter().flat_map(|row| &row.cells)
}

fn masked(table: &Table) -> usize {
    cells(table)
        .filter(|cell| cell.verdict == Verdict::Masked)
        .count()
}

fn otherwise_bad(table: &Table) -> usize {
    let fine = |v: Verdict| matches!(v, Verdict::AsWished | Verdict::Masked);
    cells(table).filter(|cell| !fine(cell.verdict)).count()
}

/// Rows in which each circuit is masked by each feed that does so, and the plainest ones.
fn telling(table: &Table) -> OrdSet<usize> {
    let way = |row: usize, lamp: usize| {
        let steps = table.path(row, lamp).map(|path| path.steps.iter());
        steps.map(|steps| steps.map(|step| step.origin).collect::<Vec<_>>())
    };
    let mut rows: OrdSet<usize> = bright_and_loaded(table).into_iter().collect();
    let masked =
        |&(row, lamp): &(usize, usize)| table.rows[row].cells[lamp].verdict == Verdict::Masked;
    let cells = first_of_each(table, way);
    rows.extend(
        cells
            .iter()
            .filter(|cell| masked(cell))
            .map(|&(row, _)| row),
    );
    rows
}

/// The edit that frees the first hidden flash, and the table of these states after it.
fn cure_first(
    plan: &Plan,
    now: &Table,
    states: &[State],
    arrangement: Arrangement,
    watch: &mut Watch<'_>,
) -> Option<(Edit, Table)> {
    let hidden = |row: usize, lamp: usize| now.rows[row].cells[lamp].verdict == Verdict::Masked;
    let evidence = now.evidence.iter().find(|e| hidden(e.row, e.lamp))?;
    let state = &now.rows[evidence.row].state;
    let (limit, worse) = (masked(now), otherwise_bad(now));
    let analyser = Analyser::new(plan, &[]);
    for (index, control) in plan.controls.iter().enumerate() {
        let Some(flashing) = flash_positions(&analyser, state, evidence.lamp, index, control)
        else {
            continue;
        };
        // From the lamp towards the battery: the nearer, the fewer other circuits it can break.
        for wire in wires_before_lamp(&evidence.path).rev() {
            let Some(wire) = plan.wires.get(wire) else {
                continue;
            };
            let edit = match arrangement {
                Arrangement::SecondPole => second_pole(plan, wire, control, &flashing),
                Arrangement::Relay => match with_relay(plan, wire, control, &flashing) {
                    Some(edit) => edit,
                    None => continue,
                },
            };
            let mut after = plan.clone();
            if edit.clone().apply(&mut after).is_err() {
                continue;
            }
            let after = table_of(&after, states.to_vec());
            watch.step();
            if masked(&after) < limit && otherwise_bad(&after) <= worse {
                return Some((edit, after));
            }
        }
    }
    None
}

/// Positions of a control in which the flash is wished while all else stands as in `state`; `None` if the
/// control does not decide it.
fn flash_positions(
    analyser: &Analyser<'_>,
    state: &State,
    lamp: usize,
    index: usize,
    control: &Control,
) -> Option<Vec<String>> {
    let mut flashing = Vec::new();
    for (position, name) in control.positions.iter().enumerate() {
        if analyser.wish(lamp, &state.with(index, position)) == Show::Flashing {
            flashing.push(name.clone());
        }
    }
    (!flashing.is_empty() && flashing.len() < control.positions.len()).then_some(flashing)
}

fn wires_before_lamp(path: &Path) -> impl DoubleEndedIterator<Item = usize> + '_ {
    path.steps[..path.lamp]
        .iter()
        .filter_map(|step| match step.origin {
            Origin::Wire(wire) => Some(wire),
            Origin::Part { .. } => None,
        })
}

fn others(control: &Control, flashing: &[String]) -> Vec<String> {
    control
        .positions
        .iter()
        .filter(|p| !flashing.contains(p))
        .cloned()
        .collect()
}

fn pole(plan: &Plan, control: &Control, closed_in: Vec<String>, why: String) -> Part {
    let id = plan.free_part_id("S");
    let owner = plan
        .parts
        .iter()
        .find(|part| matches!(&part.kind, Kind::Switch(switch) if switch.control == control.id));
    Part {
        label: say!("{}, second pole", control.label),
        place: owner.and_then(|part| part.place.clone()),
        why,
        kind: Kind::Switch(Switch {
            control: control.id.clone(),
            contacts: vec![Contact {
                from: "81".into(),
                to: "81a".into(),
                closed_in,
            }],
            contact_mohm: Milliohms::of(CONTACT_MOHM),
            rating_a: None,
            extra: Extra::new(),
        }),
        extra: Extra::new(),
        id,
    }
}

/// Cuts a wire and leads it through two terminals.
fn through(plan: &Plan, wire: &Wire, entry: TerminalId, exit: TerminalId) -> [Edit; 2] {
    let half = Millimetres::of(wire.length_mm.get() / 2.0);
    let first = Wire {
        to: entry,
        length_mm: half,
        ..wire.clone()
    };
    let rest = Wire {
        id: plan.free_wire_id(),
        from: exit,
        length_mm: half,
        ..wire.clone()
    };
    [
        Edit::Wire(Change::Replace {
            id: wire.id.clone(),
            item: first,
        }),
        Edit::add_wire(rest),
    ]
}

fn second_pole(plan: &Plan, wire: &Wire, control: &Control, flashing: &[String]) -> Edit {
    let why = say!(
        "opens the steady feed in wire {} while the turn signal flashes",
        wire.id
    );
    let part = pole(plan, control, others(control, flashing), why);
    let [entry, exit] = ["81", "81a"].map(|terminal| TerminalId::new(&part.id, terminal));
    let [cut, rest] = through(plan, wire, entry, exit);
    Edit::All(vec![Edit::add_part(part), cut, rest])
}

fn with_relay(plan: &Plan, wire: &Wire, control: &Control, flashing: &[String]) -> Option<Edit> {
    // The coil must not flash: it takes the supply in front of the flasher.
    let flasher = plan
        .parts
        .iter()
        .find(|part| matches!(part.kind, Kind::Flasher(_)))?;
    let nominal = plan.parts.iter().find_map(|part| match &part.kind {
        Kind::Battery(battery) => Some(battery.open_circuit_v),
        _ => None,
    })?;
    let row = relay::ROWS.iter().find(|row| {
        let share = nominal.get() / row.coil_volts;
        row.break_.is_some() && (0.8..1.3).contains(&share)
    })?;
    let mut edits = Vec::new();
    let mut built = plan.clone();
    let mut add = |built: &mut Plan, edit: Edit| -> Option<()> {
        edits.push(edit.clone());
        edit.apply(built).ok().map(|_| ())
    };
    let why = say!(
        "feeds the coil of the priority relay while {} is on",
        control.label
    );
    let switch = pole(&built, control, flashing.to_vec(), why);
    let switch_id = switch.id.clone();
    let place = switch.place.clone();
    add(&mut built, Edit::add_part(switch))?;
    let part = |id: PartId, label: String, why: String, kind: Kind| Part {
        id,
        label,
        place: place.clone(),
        why,
        kind,
        extra: Extra::new(),
    };
    let id = built.free_part_id("K");
    let spec = Relay {
        model: Some(row.key.into()),
        coil_ohm: Ohms::of(row.coil_ohms),
        pull_in_v: Volts::of(row.operate_volts),
        drop_out_v: Volts::of(row.release_volts),
        contact_mohm: Milliohms::of(row.make.typical_milliohms),
        extra: Extra::new(),
    };
    let why = say!(
        "opens the steady feed in wire {} while the turn signal flashes",
        wire.id
    );
    let label = say!("{} priority relay", control.label);
    add(
        &mut built,
        Edit::add_part(part(id.clone(), label, why, Kind::Relay(spec))),
    )?;
    let ground = built.free_part_id("XG");
    let point = Ground {
        joint_mohm: Milliohms::of(GROUND_MOHM),
        extra: Extra::new(),
    };
    let why = say!("takes the return of the coil of {id} to the chassis");
    let label = say!("Ground {id}");
    add(
        &mut built,
        Edit::add_part(part(ground.clone(), label, why, Kind::Ground(point))),
    )?;
    let [cut, rest] = through(
        &built,
        wire,
        TerminalId::new(&id, "30"),
        TerminalId::new(&id, "87a"),
    );
    add(&mut built, cut)?;
    add(&mut built, rest)?;
    for (from, to, colour) in [
        (
            TerminalId::new(&flasher.id, "49"),
            TerminalId::new(&switch_id, "81"),
            "RD",
        ),
        (
            TerminalId::new(&switch_id, "81a"),
            TerminalId::new(&id, "86"),
            "WH",
        ),
        (
            TerminalId::new(&id, "85"),
            TerminalId::new(&ground, "31"),
            "BK",
        ),
    ] {
        let coil = Wire {
            id: built.free_wire_id(),
            from,
            to,
            length_mm: Millimetres::of(WIRE_MM),
            size: "0.75 mm2".into(),
            insulation_c: Celsius::of(105.0),
            colour: colour.into(),
            why: say!("coil circuit of {id}"),
            extra: Extra::new(),
        };
        add(&mut built, Edit::add_wire(coil))?;
    }
    Some(Edit::All(edits))
}
