//! Printed tables of lamps, diodes, relays, batteries, law and signs.

use super::Cell::{Letter, Lights, Maybe, Number, Range, Text};
use super::Sheet;
use crate::catalog::{
    Mark, battery, colour, diode, flasher, lamp, law, led, letter, relay, switch_derating,
    terminal, transient, tungsten,
};
use crate::text::mark;

pub fn lamps() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("Lamp"),
        mark!("Filament"),
        mark!("At, V"),
        mark!("Current, A"),
        mark!("Light, lm"),
        mark!("Life, h"),
        mark!("Cap"),
        mark!("Mark"),
    ]);
    for row in lamp::rows() {
        for filament in row.filaments {
            let cells = [
                Text(row.key),
                Text(filament.name),
                Number(filament.design_volts),
                Number(filament.amps),
                Maybe(filament.light.lumens().map(|light| light.get())),
                Maybe(filament.life_hours),
                Text(row.cap.unwrap_or("–")),
            ];
            sheet.row(row.mark, &cells);
        }
    }
    let mut laws = Sheet::new(&[
        mark!("With volts over design volts"),
        mark!("Exponent"),
        mark!("Mark"),
    ]);
    for (name, value) in [
        (mark!("Current"), lamp::CURRENT_EXPONENT),
        (mark!("Power"), lamp::POWER_EXPONENT),
        (mark!("Light"), lamp::FLUX_EXPONENT),
        (mark!("Life"), lamp::LIFE_EXPONENT),
    ] {
        laws.row(Mark::Seen, &[Text(name), Number(value)]);
    }
    vec![sheet, laws]
}

pub fn tungsten_rows() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[mark!("Kelvin"), "µΩ·cm", mark!("Over 300 K"), mark!("Mark")]);
    for row in tungsten::ROWS {
        let ratio = tungsten::ratio_to_300k(row.kelvin);
        sheet.row(
            Mark::FromMemory,
            &[Number(row.kelvin), Number(row.micro_ohm_cm), Number(ratio)],
        );
    }
    vec![sheet]
}

pub fn leds() -> Vec<Sheet> {
    let mut lamps = Sheet::new(&[
        mark!("LED lamp"),
        mark!("At, V"),
        mark!("Current, A"),
        mark!("Light from, V"),
        mark!("Window, V"),
        mark!("Mark"),
    ]);
    for row in led::ROWS {
        let cells = [
            Text(row.label),
            Number(row.test_volts),
            Number(row.amps),
            Number(row.knee_volts),
            Range(row.min_volts, row.max_volts),
        ];
        lamps.row(row.mark, &cells);
    }
    let mut colours = Sheet::new(&[mark!("LED colour"), mark!("Forward, V"), mark!("Mark")]);
    for row in led::COLOURS {
        colours.row(
            row.mark,
            &[Text(row.key), Range(row.low_volts, row.high_volts)],
        );
    }
    let mut windows = Sheet::new(&[mark!("Supply code"), mark!("Window, V"), mark!("Mark")]);
    for &(code, low, high) in led::WINDOWS {
        windows.row(Mark::FromMemory, &[Letter(code), Range(low, high)]);
    }
    vec![lamps, colours, windows]
}

pub fn diodes() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("Type"),
        mark!("Reverse, V"),
        mark!("Average, A"),
        mark!("Surge 8.3 ms, A"),
        mark!("Drop at average, V"),
        mark!("Leak 25 °C, mA"),
        mark!("Leak hot, mA"),
        mark!("Junction to air, K/W"),
        mark!("Junction, °C"),
        mark!("Mark"),
    ]);
    for row in diode::ROWS {
        let cells = [
            Text(row.key),
            Number(row.vrrm_volts),
            Number(row.if_av_amps),
            Number(row.ifsm_amps),
            Number(row.drop_at(crate::units::Amps::of(row.if_av_amps)).get()),
            Number(1e3 * row.ir_amps),
            Maybe(row.ir_hot_amps.map(|amps| 1e3 * amps)),
            Maybe(row.rth_ja_k_per_w),
            Maybe(row.tj_max_c),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn relays() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("Relay"),
        mark!("Coil, V"),
        mark!("Coil, Ω"),
        mark!("Operate, V"),
        mark!("Release, V"),
        mark!("Make 23 °C, A"),
        mark!("Make 85 °C, A"),
        mark!("Break 23 °C, A"),
        mark!("Closes on, A"),
        mark!("Mark"),
    ]);
    for row in relay::ROWS {
        let cells = [
            Text(row.label),
            Number(row.coil_volts),
            Number(row.coil_ohms),
            Number(row.operate_volts),
            Number(row.release_volts),
            Number(row.make.amps_23c),
            Maybe(row.make.amps_85c),
            Maybe(row.break_.map(|contact| contact.amps_23c)),
            Maybe(row.making_amps),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn batteries() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("Chemistry"),
        mark!("Peukert"),
        mark!("To use, %"),
        mark!("Low, V a cell"),
        mark!("Charging, V a cell"),
        mark!("Mark"),
    ]);
    let mut rest = Sheet::new(&[
        mark!("Chemistry"),
        mark!("Charge, %"),
        mark!("Rest, V a cell"),
        mark!("Mark"),
    ]);
    for row in battery::ROWS {
        let cells = [
            Text(row.name),
            Number(row.peukert),
            Number(100.0 * row.depth),
            Number(row.low_cell_volts),
            Number(row.charging_cell_volts),
        ];
        sheet.row(row.mark, &cells);
        for &(share, volts) in row.rest {
            rest.row(
                row.mark,
                &[Text(row.name), Number(100.0 * share), Number(volts)],
            );
        }
    }
    vec![sheet, rest]
}

pub fn switches() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("System"),
        mark!("Lamp"),
        mark!("Coil"),
        mark!("Resistance"),
        mark!("Motor"),
        mark!("Mark"),
    ]);
    for row in switch_derating::ROWS {
        let cells = [
            Text(row.key),
            Number(row.lamp),
            Number(row.coil),
            Number(row.resistive),
            Number(row.motor),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn transients() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("System"),
        mark!("Jump start, V"),
        mark!("Reversed, −V"),
        mark!("Clamped dump, V"),
        mark!("Load dump, V"),
        mark!("Practice for diodes, V"),
        mark!("Mark"),
    ]);
    for row in transient::ROWS {
        let cells = [
            Text(row.key),
            Number(row.jump_volts),
            Number(row.reversed_volts),
            Number(row.clamped_dump_volts),
            Range(row.dump_volts.0, row.dump_volts.1),
            Number(row.practice_volts),
        ];
        sheet.row(row.mark, &cells);
    }
    vec![sheet]
}

pub fn flashers() -> Vec<Sheet> {
    let mut rates = Sheet::new(&[
        mark!("Rule"),
        mark!("Flashes a minute"),
        mark!("First light, s"),
        mark!("Mark"),
    ]);
    for row in flasher::RATES {
        let cells = [
            Text(row.scope),
            Range(row.min_per_minute, row.max_per_minute),
            Maybe(row.first_light_s),
        ];
        rates.row(row.mark, &cells);
    }
    let mut units = Sheet::new(&[
        mark!("Unit"),
        mark!("Made for, W"),
        mark!("Outage sign below, W"),
        mark!("Flashes from, W"),
        mark!("Drop, V"),
        mark!("Mark"),
    ]);
    for row in flasher::ROWS {
        let cells = [
            Text(row.label),
            Maybe(row.load_watts),
            Maybe(row.outage_below_watts),
            Number(row.min_load_watts),
            Number(row.drop_volts),
        ];
        units.row(row.mark, &cells);
    }
    vec![rates, units]
}

pub fn law_rows() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[mark!("Lamp"), mark!("US"), mark!("UN"), mark!("Mark")]);
    for row in law::ROWS {
        sheet.row(row.mark, &[Text(row.key), Lights(row.us), Lights(row.un)]);
    }
    let mut ratio = Sheet::new(&[
        mark!("Stop over tail, times as bright"),
        mark!("Figure"),
        mark!("Mark"),
    ]);
    ratio.row(
        Mark::Seen,
        &[Text(mark!("everywhere")), Number(law::STOP_TO_TAIL)],
    );
    ratio.row(
        Mark::Seen,
        &[
            Text(mark!("on the axis")),
            Number(law::STOP_TO_TAIL_ON_AXIS),
        ],
    );
    vec![sheet, ratio]
}

pub fn terminals() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[mark!("Number"), mark!("Meaning"), mark!("Mark")]);
    for row in terminal::ROWS {
        sheet.row(row.mark, &[Text(row.key), Text(row.meaning)]);
    }
    vec![sheet]
}

pub fn colours() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[mark!("Code"), mark!("Colour"), mark!("Mark")]);
    for row in colour::ROWS {
        sheet.row(row.mark, &[Text(row.key), Text(row.name)]);
    }
    vec![sheet]
}

pub fn letters() -> Vec<Sheet> {
    let mut sheet = Sheet::new(&[
        mark!("Part"),
        mark!("catalogue" => "Letter"),
        mark!("Class"),
        mark!("Mark"),
    ]);
    for row in letter::ROWS {
        sheet.row(
            row.mark,
            &[Text(row.key), Letter(row.letter), Text(row.class)],
        );
    }
    vec![sheet]
}
