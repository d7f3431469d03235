//! The corpus the drawing is measured on: 48 plans of 6 to 150 parts, the same on every machine.
//!
//! The examples and fixtures of the repository, drafts from briefs, and vehicles put together from circuits as people
//! wire them: shared filaments with diodes, relays, hazard switches, trailer sockets, wires added later across it all.
#![allow(dead_code, reason = "each test uses some of these")]

use super::random::Random;
use loomwright::brief::{self, Across, Brief, ControlAnswer, End, Fitting, Lamps, Return, Signal};
use loomwright::plan::{Light, Plan, file};
use serde_json::{Value, json};

/// Every plan with its name.
pub fn plans() -> Vec<(String, Plan)> {
    let mut out = repository();
    out.extend(drafts());
    for n in 0..VEHICLES {
        let plan = vehicle(n);
        out.push((format!("vehicle-{n:02}-{}", plan.parts.len()), plan));
    }
    out
}

/// Vehicles in the corpus.
const VEHICLES: u64 = 34;

/// Examples and fixtures.
fn repository() -> Vec<(String, Plan)> {
    let folders = ["static/examples", "tests/fixtures"];
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<_> = folders
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).expect("folder is there"))
        .map(|entry| entry.expect("entry can be read").path())
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| {
            let bytes = std::fs::read(path).expect("file can be read");
            let name = path.file_stem().expect("file has a name");
            let plan = file::read(&bytes).expect("plan opens");
            (name.to_string_lossy().into_owned(), plan)
        })
        .collect()
}

/// Plans as the form drafts them.
fn drafts() -> Vec<(String, Plan)> {
    let lamps = |end, across, fitting, light, strong: &[Signal], weak: &[Signal]| Lamps {
        end,
        across,
        fitting,
        light,
        strong: strong.into(),
        weak: weak.into(),
        model: None,
    };
    let usual = Brief::default();
    let apart = Brief {
        lamps: vec![
            lamps(
                End::Front,
                Across::Pair,
                Fitting::Filament,
                Light::Amber,
                &[Signal::Turn],
                &[],
            ),
            lamps(
                End::Rear,
                Across::Pair,
                Fitting::Filament,
                Light::Amber,
                &[Signal::Turn],
                &[],
            ),
            lamps(
                End::Rear,
                Across::Pair,
                Fitting::TwoFilaments,
                Light::Red,
                &[Signal::Stop],
                &[Signal::Tail],
            ),
            lamps(
                End::Rear,
                Across::Centre,
                Fitting::Led,
                Light::White,
                &[Signal::Licence],
                &[],
            ),
        ],
        controls: vec![
            ControlAnswer::Turn,
            ControlAnswer::Hazard,
            ControlAnswer::Pedal {
                signals: vec![Signal::Stop],
            },
            ControlAnswer::Switch {
                signals: vec![Signal::Tail, Signal::Licence],
            },
        ],
        ..Brief::default()
    };
    let lit = Brief {
        lamps: vec![
            lamps(
                End::Front,
                Across::Pair,
                Fitting::Filament,
                Light::White,
                &[Signal::Head],
                &[],
            ),
            lamps(
                End::Rear,
                Across::Pair,
                Fitting::Led,
                Light::Red,
                &[Signal::Tail],
                &[],
            ),
            lamps(
                End::Rear,
                Across::Centre,
                Fitting::Filament,
                Light::White,
                &[Signal::Work],
                &[],
            ),
        ],
        controls: vec![
            ControlAnswer::Switch {
                signals: vec![Signal::Head, Signal::Tail],
            },
            ControlAnswer::Push {
                signals: vec![Signal::Work],
            },
        ],
        ..Brief::default()
    };
    let mut out = Vec::new();
    for (name, brief) in [("usual", usual), ("apart", apart), ("lit", lit)] {
        for (way, wiring) in [("chassis", Return::Chassis), ("wired", Return::Wired)] {
            let brief = Brief {
                wiring,
                ..brief.clone()
            };
            out.push((format!("draft-{name}-{way}"), brief::draft(&brief)));
        }
    }
    let priority = |priority| {
        brief::draft(&Brief {
            priority,
            ..Brief::default()
        })
    };
    out.push((
        "draft-relays".to_owned(),
        priority(brief::TurnPriority::Relays),
    ));
    out.push((
        "draft-contacts".to_owned(),
        priority(brief::TurnPriority::Contacts),
    ));
    out
}

/// A plan under construction.
struct Vehicle {
    random: Random,
    parts: Vec<Value>,
    wires: Vec<(String, String)>,
    /// Lamp terminals, for wires added later.
    fed: Vec<String>,
    chassis: bool,
}

impl Vehicle {
    fn part(&mut self, letter: &str, kind: &str, label: &str, spec: Value) -> String {
        let stem = |part: &Value| {
            let id = part["id"].as_str().unwrap_or("");
            id.trim_end_matches(|c: char| c.is_ascii_digit()) == letter
        };
        let id = format!(
            "{letter}{}",
            self.parts.iter().filter(|p| stem(p)).count() + 1
        );
        self.parts
            .push(json!({"id": id, "kind": kind, "label": label, "spec": spec}));
        id
    }

    fn wire(&mut self, from: &str, to: &str) {
        self.wires.push((from.to_owned(), to.to_owned()));
    }

    fn splice(&mut self) -> String {
        format!("{}:1", self.part("X", "splice", "", json!({})))
    }

    fn ground(&mut self, from: &str) {
        if self.chassis {
            let id = self.part("XG", "ground", "", json!({"joint_mohm": 5}));
            self.wire(from, &format!("{id}:31"));
        } else {
            self.wire(from, "XM:1");
        }
    }

    fn fuse(&mut self, from: &str) -> String {
        let rating = [3, 5, 10, 15][self.random.below(4)];
        let id = self.part("F", "fuse", "", json!({"rating_a": rating}));
        self.wire(from, &format!("{id}:1"));
        format!("{id}:2")
    }

    /// A switch with a contact from `from` to each of `to` new terminals, which it gives.
    fn switch(&mut self, from: &str, label: &str, to: usize) -> Vec<String> {
        let names: Vec<&str> = ["82a", "82b", "82c", "82d"].into_iter().take(to).collect();
        let contacts: Vec<Value> = names
            .iter()
            .map(|name| json!({"from": "82", "to": name, "closed_in": ["on"]}))
            .collect();
        let id = self.part(
            "S",
            "switch",
            label,
            json!({"control": format!("c{label}"), "contact_mohm": 10, "contacts": contacts}),
        );
        self.wire(from, &format!("{id}:82"));
        names.iter().map(|name| format!("{id}:{name}")).collect()
    }

    fn lamp(&mut self, from: &str, label: &str, duty: &str) {
        let spec = json!({"light": "red", "common": "31", "filaments": [
            {"id": "main", "terminal": "1", "rated_v": 13.5, "rated_a": 1.9, "duties": [duty]}]});
        let id = self.part("E", "lamp", label, spec);
        self.wire(from, &format!("{id}:1"));
        self.fed.push(format!("{id}:1"));
        self.ground(&format!("{id}:31"));
    }

    fn twin(&mut self, strong: &str, weak: &str, label: &str) {
        let spec = json!({"light": "red", "common": "31", "filaments": [
            {"id": "major", "terminal": "54", "rated_v": 13.5, "rated_a": 1.9, "duties": ["stop"]},
            {"id": "minor", "terminal": "58", "rated_v": 13.5, "rated_a": 0.5, "duties": ["tail"]}]});
        let id = self.part("E", "lamp", label, spec);
        self.wire(strong, &format!("{id}:54"));
        self.wire(weak, &format!("{id}:58"));
        self.fed.push(format!("{id}:58"));
        self.ground(&format!("{id}:31"));
    }

    fn diode(&mut self, from: &str, to: &str) {
        let id = self.part("V", "diode", "", json!({"model": "10A04"}));
        self.wire(from, &format!("{id}:A"));
        self.wire(&format!("{id}:K"), to);
    }

    /// Flasher, turn switch, a splice for each side; the splices.
    fn turn(&mut self, from: &str) -> Vec<String> {
        let spec = json!({"action": "electronic", "per_minute": 90, "min_a": 1, "max_a": 12, "closed_mohm": 20});
        let id = self.part("K", "flasher", "", spec);
        self.wire(from, &format!("{id}:49"));
        let sides = self.switch(&format!("{id}:49a"), "Turn", 2);
        let splices: Vec<String> = sides.iter().map(|_| self.splice()).collect();
        for (side, splice) in sides.iter().zip(&splices) {
            self.wire(side, splice);
            self.lamp(splice, "Turn front", "turn-left");
        }
        splices
    }

    /// One circuit behind a fuse, of a kind the random source picks.
    fn circuit(&mut self, from: &str) {
        let fused = self.fuse(from);
        match self.random.below(7) {
            0 => {
                let to = self.switch(&fused, "Work", 1);
                let lamps = 1 + self.random.below(3);
                for _ in 0..lamps {
                    self.lamp(&to[0], "Work lamp", "work");
                }
            }
            1 => {
                for splice in self.turn(&fused) {
                    self.lamp(&splice, "Turn rear", "turn-right");
                }
            }
            2 => {
                let (stop, tail) = (
                    self.switch(&fused, "Brake", 1),
                    self.switch(&fused, "Lights", 1),
                );
                let (a, b) = (self.splice(), self.splice());
                self.wire(&stop[0], &a);
                self.wire(&tail[0], &b);
                self.twin(&a, &b, "Rear left");
                self.twin(&a, &b, "Rear right");
            }
            // Stop and turn on one filament, kept apart by diodes.
            3 => {
                let splices = self.turn(&fused);
                let stop = self.switch(from, "Brake", 1);
                for splice in splices {
                    let lamp = self.splice();
                    self.diode(&splice, &lamp);
                    self.diode(&stop[0], &lamp);
                    self.lamp(&lamp, "Stop turn", "stop");
                }
            }
            4 => {
                let coil = self.switch(from, "Head", 1);
                let spec =
                    json!({"coil_ohm": 85, "pull_in_v": 8, "drop_out_v": 1.5, "contact_mohm": 2});
                let id = self.part("K", "relay", "Head", spec);
                self.wire(&coil[0], &format!("{id}:86"));
                self.wire(&fused, &format!("{id}:30"));
                self.ground(&format!("{id}:85"));
                for _ in 0..2 {
                    self.lamp(&format!("{id}:87"), "Head lamp", "head");
                }
            }
            5 => {
                let ways: Vec<String> = (1..=3).map(|way| way.to_string()).collect();
                let id = self.part(
                    "XC",
                    "connector",
                    "Socket",
                    json!({"ways": ways, "contact_mohm": 5}),
                );
                let to = self.switch(&fused, "Trailer", 3);
                for (way, to) in (1..).zip(&to) {
                    self.wire(to, &format!("{id}:{way}a"));
                    self.lamp(&format!("{id}:{way}b"), "Trailer", "tail");
                }
            }
            _ => {
                let to = self.switch(&fused, "Fan", 2);
                let resistor = self.part("R", "resistor", "", json!({"ohms": 2, "rating_w": 10}));
                let load = self.part("M", "load", "Fan", json!({"rated_v": 12, "rated_a": 3}));
                self.wire(&to[0], &format!("{load}:+"));
                self.wire(&to[1], &format!("{resistor}:1"));
                self.wire(&format!("{resistor}:2"), &format!("{load}:+"));
                self.ground(&format!("{load}:-"));
            }
        }
    }
}

/// Vehicle number `n` of the corpus: about 6 parts for the first, 150 for the last.
pub fn vehicle(n: u64) -> Plan {
    let mut v = Vehicle {
        random: Random(0x10_0717 + n),
        parts: Vec::new(),
        wires: Vec::new(),
        fed: Vec::new(),
        chassis: n % 4 != 3,
    };
    let target = (7 + n * 136 / (VEHICLES - 1)) as usize;
    let battery =
        json!({"chemistry": "agm", "open_circuit_v": 12.6, "internal_mohm": 8, "capacity_ah": 60});
    v.part("G", "battery", "", battery);
    if v.chassis {
        v.part("XG", "ground", "", json!({"joint_mohm": 2}));
        v.wire("XG1:31", "G1:-");
    } else {
        v.parts
            .push(json!({"id": "XM", "kind": "splice", "label": "", "spec": {}}));
        v.wire("XM:1", "G1:-");
    }
    let main = v.fuse("G1:+");
    let rail = v.splice();
    if n.is_multiple_of(3) {
        let master = v.switch(&main, "Master", 1);
        v.wire(&master[0], &rail);
    } else {
        v.wire(&main, &rail);
    }
    while v.parts.len() + 3 < target {
        v.circuit(&rail);
    }
    // Wires added later: a lamp fed a second time through a diode or straight.
    for _ in 0..(n as usize % 5) * target / 60 {
        let (from, to) = (v.random.below(v.fed.len()), v.random.below(v.fed.len()));
        let (from, to) = (v.fed[from].clone(), v.fed[to].clone());
        if from != to {
            v.diode(&from, &to);
        }
    }
    finished(v, n)
}

fn finished(v: Vehicle, n: u64) -> Plan {
    let sizes = ["0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2"];
    let colours = ["RD", "BK", "YE", "GNYE", "BN", "BU", "WH", "BKWH"];
    let wires: Vec<Value> = v
        .wires
        .iter()
        .enumerate()
        .map(|(i, (from, to))| {
            json!({"id": format!("W{}", i + 1), "from": from, "to": to, "length_mm": 1500,
                "size": sizes[(i * 7 + n as usize) % 4], "insulation_c": 105, "colour": colours[(i * 3) % 8]})
        })
        .collect();
    let document = json!({"format": file::FORMAT, "version": 1, "title": format!("Vehicle {n}"),
        "parts": v.parts, "wires": wires});
    file::read(document.to_string().as_bytes()).unwrap_or_else(|e| panic!("{e}"))
}
