//! What the current comes from: battery, converter, alternator or mains charger.

use super::build::{Build, round};
use super::place::Spot;
use super::{Charging, System, fitting};
use crate::plan::{
    Action, Battery, Charger, Chemistry, Control, ControlId, Converter, Extra, Kind, PartId, Runs,
    free,
};
use crate::text::say;
use crate::units::{Amps, Milliohms, Share, Volts, significant};

/// Output ratings of converters in amperes, common practice.
const CONVERTERS_A: [f64; 7] = [5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0];
/// Output of a converter for 12 V lamps: within what they are rated for, common practice.
const CONVERTER_VOLTS: f64 = 13.2;
/// Share of a converter's input power that comes out, common practice.
const EFFICIENCY: f64 = 0.9;
/// A converter gives no more than its rating: it has to be this much above the fuse behind it for a short to open that
/// (blade fuses open within 10 minutes at 135 %, and faster the more).
const OVER_FUSE: f64 = 1.6;
/// Share of its nominal input from which a 48 V converter works, common practice.
const STARTS_SHARE: f64 = 0.75;
/// Output of an alternator over nominal: 14.2 V at 12 V.
const ALTERNATOR_SHARE: f64 = 14.2 / 12.0;
/// Output of a mains charger over nominal: 14.4 V at 12 V.
const MAINS_SHARE: f64 = 14.4 / 12.0;
/// Rated current of a small alternator, common practice.
const ALTERNATOR_A: f64 = 20.0;
/// A mains charger gives this share of the battery's ampere-hours in amperes, common practice.
const CHARGE_RATE: f64 = 0.1;

/// Where the lamps are fed from.
pub(super) struct Source {
    pub part: PartId,
    pub plus: &'static str,
    pub minus: &'static str,
}

impl Build<'_> {
    /// Battery with what charges it, and a converter where the lamps have another voltage. `main_a` is the rating of
    /// the fuse the lamps hang behind.
    pub fn source(&mut self, total: f64, main_a: f64) -> Source {
        let brief = self.brief;
        let volts = brief.system.volts();
        // A full, rested lead-acid battery has 2.1 V a cell, a lithium iron phosphate one 3.3 V for every 3.2 V.
        let (open_circuit, internal) = match brief.chemistry {
            Chemistry::Lifepo4 => (volts * 13.2 / 12.0, volts / 12.0 * 8.0),
            _ => (volts * 1.05, volts / 12.0 * 10.0),
        };
        let kind = Kind::Battery(Battery {
            chemistry: brief.chemistry,
            open_circuit_v: Volts::of(round(open_circuit)),
            internal_mohm: Milliohms::of(round(internal)),
            capacity_ah: brief.capacity_ah,
            extra: Extra::new(),
        });
        let spot = Spot::BatteryBox;
        let battery = self.draft.part(
            "battery",
            "G",
            say!("Battery"),
            spot,
            say!("feeds everything"),
            kind,
        );
        let source = if brief.system == System::V48 {
            self.converter(&battery, total, main_a)
        } else {
            Source {
                part: battery.clone(),
                plus: "+",
                minus: "-",
            }
        };
        self.charger(&battery);
        source
    }

    fn converter(&mut self, battery: &PartId, total: f64, main_a: f64) -> Source {
        let spot = Spot::BatteryBox;
        let needed = main_a * OVER_FUSE;
        let rated = CONVERTERS_A.iter().find(|&&amps| amps >= needed);
        let rated = rated.or(CONVERTERS_A.last()).copied().unwrap_or(needed);
        let input_v = self.brief.system.volts();
        let input = rated * CONVERTER_VOLTS / EFFICIENCY / input_v;
        let fuse_a = fitting::fuse_for(input).get();
        let why = say!(
            "protects the {input_v:.0} V wires to the converter, which takes {} A at its rating",
            significant(input)
        );
        let fuse = self.fuse("converter", say!("Converter fuse"), spot, fuse_a, &why);
        let why = say!(
            "makes {CONVERTER_VOLTS:.0} V for the lamps, {} A, out of the whole battery: a lamp on a part of it would \
             discharge that part alone",
            significant(total)
        );
        let kind = Kind::Converter(Converter {
            input_v: Volts::of(input_v),
            output_v: Volts::of(CONVERTER_VOLTS),
            rated_a: Amps::of(rated),
            internal_mohm: Milliohms::of(10.0),
            efficiency: Share::of(EFFICIENCY),
            starts_v: Volts::of(STARTS_SHARE * input_v),
            extra: Extra::new(),
        });
        let part = self
            .draft
            .part("converter", "T", say!("Converter"), spot, &why, kind);
        for (role, why, from, to, colour) in [
            (
                "48 V battery",
                say!("battery to fuse, kept short"),
                (battery, "+"),
                (&fuse, "1"),
                "OG",
            ),
            (
                "48 V feed",
                say!("fused supply of the converter"),
                (&fuse, "2"),
                (&part, "in+"),
                "OG",
            ),
            (
                "48 V return",
                say!("return of the converter, apart from the frame"),
                (&part, "in-"),
                (battery, "-"),
                "BU",
            ),
        ] {
            let net = self.draft.net(role, spot, colour, why, fuse_a);
            self.draft.feed(net, from.0, from.1, input);
            self.draft.load(net, to.0, to.1, input);
        }
        Source {
            part,
            plus: "out+",
            minus: "out-",
        }
    }

    /// Alternator or mains charger at the battery, behind a fuse of its own.
    fn charger(&mut self, battery: &PartId) {
        let brief = self.brief;
        let nominal = brief.system.volts();
        let (id, label, positions, name, share, rated) = match brief.charging {
            Charging::Elsewhere => return,
            Charging::Engine => (
                "engine",
                say!("Engine"),
                ["stopped", "running"],
                say!("Alternator"),
                ALTERNATOR_SHARE,
                ALTERNATOR_A,
            ),
            Charging::Mains => (
                "charger",
                say!("Charger"),
                ["unplugged", "plugged"],
                say!("Mains charger"),
                MAINS_SHARE,
                (CHARGE_RATE * brief.capacity_ah.get()).clamp(1.0, 20.0),
            ),
        };
        let controls = &mut self.draft.plan.controls;
        let taken = |id: &ControlId| controls.iter().any(|control| control.id == *id);
        let id: ControlId = match id.parse() {
            Ok(id) if !taken(&id) => id,
            _ => free(id, taken),
        };
        controls.push(Control {
            id: id.clone(),
            label: label.into(),
            action: Action::Latching,
            positions: positions.iter().map(|&p| p.to_owned()).collect(),
            extra: Extra::new(),
        });
        let kind = Kind::Charger(Charger {
            output_v: Volts::of(round(share * nominal)),
            internal_mohm: Milliohms::of(round(20.0 * nominal / 12.0)),
            rated_a: Amps::of(round(rated)),
            runs: Some(Runs {
                control: id,
                positions: vec![positions[1].into()],
            }),
            extra: Extra::new(),
        });
        let spot = Spot::BatteryBox;
        let why = if brief.charging == Charging::Engine {
            say!("charges the battery while running")
        } else {
            say!("charges the battery while plugged")
        };
        let part = self.draft.part("charger", "G", name, spot, why, kind);
        let fuse_a = fitting::fuse_for(rated).get();
        let why = say!(
            "at the battery, which would feed a short of the charging wire; {} A charge it at most",
            significant(rated)
        );
        let fuse = self.fuse("charger", say!("Charging fuse"), spot, fuse_a, &why);
        for (role, why, from, to, colour) in [
            (
                "charging",
                say!("charging wire"),
                (&part, "+"),
                (&fuse, "1"),
                "RD",
            ),
            (
                "charging battery",
                say!("charging wire at the battery, kept short"),
                (&fuse, "2"),
                (battery, "+"),
                "RD",
            ),
            (
                "charging return",
                say!("return of the charging current"),
                (battery, "-"),
                (&part, "-"),
                "BK",
            ),
        ] {
            let net = self.draft.net(role, spot, colour, why, fuse_a);
            self.draft.feed(net, from.0, from.1, rated);
            self.draft.load(net, to.0, to.1, rated);
        }
    }
}
