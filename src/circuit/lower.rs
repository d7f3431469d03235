//! From plan to circuit, part by part and wire by wire.

use super::{
    Circuit, Fault, FlasherContact, Gate, LampBranch, LightLaw, Lowered, Origin, Problem, RelayCoil,
};
use crate::catalog::{conductor, diode, fuse, lamp as lamps, led};
use crate::network::{Element, NodeId};
use crate::plan::{Duty, Kind, LampId, LedCircuit, LedDrive, Part, Plan, TerminalId, Wire};
use crate::text::mark;
use crate::units::Milliohms;
use crate::units::order::OrdSet;

/// Least resistance of a joint, contact or short wire in ohms: 0.1 mΩ, below any real one.
pub(super) const JOINT_OHMS: f64 = 1e-4;
/// Size taken for a wire whose size the catalogue does not have.
const DEFAULT_SIZE: &str = "1 mm2";
/// Type taken for a diode the catalogue does not have.
pub(super) const DEFAULT_DIODE: &str = "1N4004";
/// Leakage of an LED lamp in siemens: 1 µA at 10 V, common practice.
const LED_LEAK: f64 = 1e-7;
/// Share of its regulation voltage below which a regulated LED circuit is dark, common practice.
const REGULATED_START: f64 = 0.8;
impl Circuit {
    /// Resolves a plan with faults worked in.
    pub fn new(plan: &Plan, faults: &[Fault]) -> Circuit {
        let mut lowering = Lowering {
            plan,
            out: Circuit::default(),
            battery: None,
            charger: None,
        };
        lowering.controls();
        lowering.terminals();
        let mut seen = OrdSet::new();
        for (i, part) in plan.parts.iter().enumerate() {
            if seen.insert(&part.id) {
                lowering.part(i, part);
            } else {
                lowering.problem(Problem::PartTwice(part.id.clone()));
            }
        }
        let mut seen = OrdSet::new();
        for (i, wire) in plan.wires.iter().enumerate() {
            if !seen.insert(&wire.id) {
                lowering.problem(Problem::WireTwice(wire.id.clone()));
            }
            lowering.wire(i, wire);
        }
        lowering.wishes();
        let mut circuit = lowering.out;
        match lowering.battery.or(lowering.charger) {
            Some(negative) => circuit.datum = negative,
            None => {
                circuit.datum = circuit.chassis;
                circuit.problems.push(Problem::NoBattery);
            }
        }
        circuit.apply_faults(plan, faults);
        circuit
    }
}

pub(super) struct Lowering<'a> {
    pub plan: &'a Plan,
    pub out: Circuit,
    /// Negative terminal of the first battery.
    battery: Option<NodeId>,
    /// Negative terminal of the first charger.
    pub charger: Option<NodeId>,
}

impl Lowering<'_> {
    pub fn problem(&mut self, problem: Problem) {
        self.out.problems.push(problem);
    }

    fn node(&mut self) -> NodeId {
        let node = self.out.nodes as NodeId;
        self.out.nodes += 1;
        node
    }

    fn terminals(&mut self) {
        for part in &self.plan.parts {
            for name in part.terminals() {
                let id = TerminalId::new(&part.id, name);
                if !self.out.terminals.contains_key(&id) {
                    let node = self.node();
                    self.out.terminals.insert(id, node);
                }
            }
        }
        self.out.chassis = self.node();
    }

    /// Node of a terminal that `Part::terminals` lists.
    pub fn terminal(&mut self, part: &Part, name: &str) -> NodeId {
        match self.out.terminals.get(&TerminalId::new(&part.id, name)) {
            Some(&node) => node,
            None => self.node(),
        }
    }

    pub fn branch(
        &mut self,
        from: NodeId,
        to: NodeId,
        element: Element,
        gate: Gate,
        origin: Origin,
    ) {
        self.out.branches.push(Lowered {
            from,
            to,
            element,
            gate,
            origin,
        });
    }

    /// A rating that must be above zero.
    pub fn above_zero(&mut self, part: &Part, value: f64, rating: &'static str) -> f64 {
        if value <= 0.0 {
            self.problem(Problem::BadRating {
                subject: part.id.to_string(),
                rating,
            });
        }
        value
    }

    /// A resistance in milliohms that may be as small as nothing, as a branch law.
    fn joint(&mut self, part: &Part, milliohms: Milliohms) -> Element {
        if milliohms.get() < 0.0 {
            let rating = mark!("a resistance below zero");
            self.problem(Problem::BadRating {
                subject: part.id.to_string(),
                rating,
            });
        }
        Element::resistor(milliohms.ohms().max(JOINT_OHMS))
    }

    fn part(&mut self, index: usize, part: &Part) {
        let origin = |branch| Origin::Part {
            part: index,
            branch,
        };
        let always = Gate::Always;
        match &part.kind {
            Kind::Battery(battery) => {
                let (plus, minus) = (self.terminal(part, "+"), self.terminal(part, "-"));
                let ohms = self.above_zero(
                    part,
                    battery.internal_mohm.ohms(),
                    mark!("internal resistance"),
                );
                let source = Element::source(battery.open_circuit_v.get(), ohms.max(JOINT_OHMS));
                self.branch(plus, minus, source, always, origin(0));
                self.battery.get_or_insert(minus);
            }
            Kind::Charger(charger) => self.charger(index, part, charger),
            Kind::Converter(converter) => self.converter(index, part, converter),
            Kind::Fuse(fuse) => {
                let (a, b) = (self.terminal(part, "1"), self.terminal(part, "2"));
                let rating = self.above_zero(part, fuse.rating_a.get(), mark!("rating"));
                let cold = if rating > 0.0 {
                    fuse::cold_milliohms(fuse.rating_a).get()
                } else {
                    0.0
                };
                // A blade sits in two clips.
                let ohms = (cold + 2.0 * fuse::CLIP_MILLIOHMS) / 1000.0;
                self.branch(a, b, Element::resistor(ohms), always, origin(0));
            }
            Kind::Switch(switch) => {
                let element = self.joint(part, switch.contact_mohm);
                for (i, contact) in switch.contacts.iter().enumerate() {
                    let gate = self.contact_gate(part, &switch.control, &contact.closed_in);
                    let (a, b) = (
                        self.terminal(part, &contact.from),
                        self.terminal(part, &contact.to),
                    );
                    self.branch(a, b, element, gate, origin(i));
                }
            }
            Kind::Flasher(flasher) => {
                let (a, b) = (self.terminal(part, "49"), self.terminal(part, "49a"));
                self.above_zero(part, f64::from(flasher.per_minute), mark!("flash rate"));
                let gate = Gate::Flasher(self.out.flashers.len());
                self.out.flashers.push(FlasherContact {
                    part: index,
                    branch: self.out.branches.len(),
                    action: flasher.action,
                    per_minute: f64::from(flasher.per_minute),
                    window: (flasher.min_a.get(), flasher.max_a.get()),
                });
                let element = self.joint(part, flasher.closed_mohm);
                self.branch(a, b, element, gate, origin(0));
            }
            Kind::Diode(diode) => {
                let (a, k) = (self.terminal(part, "A"), self.terminal(part, "K"));
                let row = diode::find(&diode.model).or_else(|| {
                    let model = diode.model.clone();
                    self.problem(Problem::UnknownDiode {
                        part: part.id.clone(),
                        model,
                    });
                    diode::find(DEFAULT_DIODE)
                });
                if let Some(row) = row {
                    let thermal = row.n * diode::VT_VOLTS;
                    let element =
                        Element::junction(row.is_amps, thermal, row.rs_ohms, row.leakage_siemens());
                    self.branch(a, k, element, always, origin(0));
                }
            }
            Kind::Lamp(lamp) => {
                let common = self.terminal(part, &lamp.common);
                for (i, filament) in lamp.filaments.iter().enumerate() {
                    let volts =
                        self.above_zero(part, filament.rated_v.get(), mark!("rated voltage"));
                    let amps =
                        self.above_zero(part, filament.rated_a.get(), mark!("rated current"));
                    let from = self.terminal(part, &filament.terminal);
                    let light = LightLaw::Filament {
                        volts: volts.max(1e-3),
                    };
                    self.lamp(part, &filament.id, &filament.duties, light);
                    let element = Element::filament(volts, amps, lamps::COLD_RATIO);
                    self.branch(from, common, element, always, origin(i));
                }
            }
            Kind::LedLamp(lamp) => {
                let common = self.terminal(part, &lamp.common);
                for (i, circuit) in lamp.circuits.iter().enumerate() {
                    let amps = self.above_zero(part, circuit.rated_a.get(), mark!("rated current"));
                    let from = self.terminal(part, &circuit.terminal);
                    let light = LightLaw::Led {
                        amps: amps.max(1e-9),
                    };
                    self.lamp(part, &circuit.id, &circuit.duties, light);
                    let element = self.led(part, circuit);
                    self.branch(from, common, element, always, origin(i));
                }
            }
            Kind::Resistor(resistor) => {
                let (a, b) = (self.terminal(part, "1"), self.terminal(part, "2"));
                let ohms = self.above_zero(part, resistor.ohms.get(), mark!("resistance"));
                self.branch(
                    a,
                    b,
                    Element::resistor(ohms.max(JOINT_OHMS)),
                    always,
                    origin(0),
                );
            }
            Kind::Load(load) => {
                let (a, b) = (self.terminal(part, "+"), self.terminal(part, "-"));
                let volts = self.above_zero(part, load.rated_v.get(), mark!("rated voltage"));
                let amps = self.above_zero(part, load.rated_a.get(), mark!("rated current"));
                let ohms = volts.max(1e-3) / amps.max(1e-9);
                self.branch(a, b, Element::resistor(ohms), always, origin(0));
            }
            Kind::Splice(_) => {}
            Kind::Connector(connector) => {
                let element = self.joint(part, connector.contact_mohm);
                for (i, way) in connector.ways.iter().enumerate() {
                    if connector.ways[..i].contains(way) {
                        let name = way.clone();
                        self.problem(Problem::NameTwice {
                            part: part.id.clone(),
                            name,
                        });
                    }
                    let a = self.terminal(part, &format!("{way}a"));
                    let b = self.terminal(part, &format!("{way}b"));
                    self.branch(a, b, element, always, origin(i));
                }
            }
            Kind::Ground(ground) => {
                let (a, chassis) = (self.terminal(part, "31"), self.out.chassis);
                let element = self.joint(part, ground.joint_mohm);
                self.branch(a, chassis, element, always, origin(0));
            }
            Kind::Relay(relay) => {
                let [c1, c2, common, make, rest] =
                    ["86", "85", "30", "87", "87a"].map(|name| self.terminal(part, name));
                let coil = self.above_zero(part, relay.coil_ohm.get(), mark!("coil resistance"));
                if relay.pull_in_v <= relay.drop_out_v || relay.drop_out_v.get() < 0.0 {
                    let rating = mark!("pull-in voltage, which must be above drop-out");
                    self.problem(Problem::BadRating {
                        subject: part.id.to_string(),
                        rating,
                    });
                }
                let number = self.out.relays.len();
                self.out.relays.push(RelayCoil {
                    part: index,
                    branch: self.out.branches.len(),
                    pull_in: relay.pull_in_v.get(),
                    drop_out: relay.drop_out_v.get(),
                    either_way: true,
                });
                let contact = self.joint(part, relay.contact_mohm);
                self.branch(
                    c1,
                    c2,
                    Element::resistor(coil.max(JOINT_OHMS)),
                    always,
                    origin(0),
                );
                let at = |pulled| Gate::Relay {
                    relay: number,
                    pulled,
                };
                self.branch(common, rest, contact, at(false), origin(1));
                self.branch(common, make, contact, at(true), origin(2));
            }
        }
    }

    /// Registers the branch that is added next as a lamp circuit.
    fn lamp(&mut self, part: &Part, circuit: &str, duties: &[Duty], light: LightLaw) {
        let id = LampId::new(&part.id, circuit);
        if self.out.lamps.iter().any(|lamp| lamp.id == id) {
            self.problem(Problem::NameTwice {
                part: part.id.clone(),
                name: circuit.into(),
            });
        }
        let branch = self.out.branches.len();
        self.out.lamps.push(LampBranch {
            id,
            duties: duties.to_vec(),
            branch,
            light,
        });
    }

    fn led(&mut self, part: &Part, circuit: &LedCircuit) -> Element {
        let knee = self.above_zero(part, circuit.knee_v.get(), mark!("knee voltage"));
        let amps = circuit.rated_a.get();
        match circuit.drive {
            LedDrive::Resistor => {
                let volts = circuit.rated_v.get();
                if volts <= knee {
                    let rating = mark!("rated voltage, which must be above the knee voltage");
                    self.problem(Problem::BadRating {
                        subject: part.id.to_string(),
                        rating,
                    });
                }
                let string = led::emission_volts(knee);
                Element::led_string(volts, amps, knee, string, LED_LEAK)
            }
            LedDrive::Regulated => Element::regulated(amps, REGULATED_START * knee, knee, LED_LEAK),
        }
    }

    fn wire(&mut self, index: usize, wire: &Wire) {
        if wire.from == wire.to {
            self.problem(Problem::WireToItself(wire.id.clone()));
        }
        let mut end = |terminal: &TerminalId| match self.out.terminals.get(terminal) {
            Some(&node) => node,
            None => {
                let (wire, terminal) = (wire.id.clone(), terminal.clone());
                self.problem(Problem::LooseEnd { wire, terminal });
                self.node()
            }
        };
        let (from, to) = (end(&wire.from), end(&wire.to));
        let row = conductor::find(&wire.size).or_else(|| {
            let size = wire.size.clone();
            self.problem(Problem::UnknownSize {
                wire: wire.id.clone(),
                size,
            });
            conductor::find(DEFAULT_SIZE)
        });
        if wire.length_mm.get() < 0.0 {
            let rating = mark!("length, which must not be below zero");
            self.problem(Problem::BadRating {
                subject: wire.id.to_string(),
                rating,
            });
        }
        let copper = self.plan.settings.conductor_c;
        let ohms = row.map_or(0.0, |row| row.resistance(wire.length_mm, copper).get());
        let element = Element::resistor(ohms.max(JOINT_OHMS));
        self.branch(from, to, element, Gate::Always, Origin::Wire(index));
    }
}
