//! Tests of the quantity reader: forms people write, refusals, and two properties over any text.

use super::*;
use proptest::prelude::*;

const MM: LengthUnit = LengthUnit::Millimetre;

#[test]
fn lengths_in_the_forms_people_write() {
    let read = |text| length(text, MM).map(Millimetres::get);
    for (text, mm) in [
        ("1500", 1500.0),
        ("1500 mm", 1500.0),
        ("1,5 m", 1500.0),
        ("1.5m", 1500.0),
        ("1 500 mm", 1500.0),
        ("150 cm", 1500.0),
        ("6 in", 152.4),
        ("5'", 1524.0),
        ("5 feet", 1524.0),
        ("5 ft 6 in", 1676.4),
        ("5'6\"", 1676.4),
        ("5' 6 1/2\"", 1689.1),
        ("2.125 in", 53.975),
        ("0,750 m", 750.0),
    ] {
        assert!(
            read(text).is_ok_and(|got| (got - mm).abs() < 1e-9),
            "{text}: {:?}",
            read(text)
        );
    }
    assert_eq!(length("3", LengthUnit::Metre), Ok(Millimetres::of(3000.0)));
    assert_eq!(length("5", LengthUnit::Foot), Ok(Millimetres::of(1524.0)));
}

#[test]
fn other_quantities_in_the_forms_people_write() {
    assert_eq!(amps("5 A"), Ok(Amps::of(5.0)));
    assert_eq!(amps("500mA"), Ok(Amps::of(0.5)));
    assert_eq!(amps("4.9 mA"), Ok(Amps::of(0.0049)));
    assert_eq!(watts("21W"), Ok(Watts::of(21.0)));
    assert_eq!(volts("12 V"), Ok(Volts::of(12.0)));
    assert_eq!(volts("12.456 V"), Ok(Volts::of(12.456)));
    assert_eq!(signed_volts("−0,2"), Ok(Volts::of(-0.2)));
    assert_eq!(signed_amps("-3 amps"), Ok(Amps::of(-3.0)));
    assert_eq!(area("0,75 mm²"), Ok(SquareMillimetres::of(0.75)));
    assert_eq!(area("2.5 mm2"), Ok(SquareMillimetres::of(2.5)));
    assert_eq!(celsius("-10"), Ok(Celsius::of(-10.0)));
    assert_eq!(celsius("212 °F").map(|t| t.get().round()), Ok(100.0));
    assert_eq!(amp_hours("45 Ah"), Ok(AmpHours::of(45.0)));
    assert_eq!(lumens("460 lm"), Ok(Lumens::of(460.0)));
}

#[test]
fn ohms_know_both_ohm_signs_and_keep_milli_from_mega() {
    for text in ["85 Ω", "85 \u{2126}", "85 ohm", "85 Ohms", "85"] {
        assert_eq!(ohms(text), Ok(Ohms::of(85.0)), "{text}");
    }
    assert_eq!(ohms("2 MΩ"), Ok(Ohms::of(2e6)));
    assert_eq!(ohms("2 kΩ"), Ok(Ohms::of(2000.0)));
    for text in ["4.8 mΩ", "4.8 mohm", "4,8"] {
        assert_eq!(milliohms(text), Ok(Milliohms::of(4.8)), "{text}");
    }
    assert_eq!(milliohms("0.5 Ω"), Ok(Milliohms::of(500.0)));
}

#[test]
fn wire_sizes_by_gauge_and_by_area() {
    let awg = |number| Ok(WireSize::Gauge { number, sae: false });
    for text in [
        "#18", "18 AWG", "awg 18", "18AWG", "18 ga", "18 gauge", "# 18", "AWG18",
    ] {
        assert_eq!(wire_size(text), awg(18), "{text}");
    }
    assert_eq!(wire_size("2/0"), awg(-1));
    assert_eq!(wire_size("0000 AWG"), awg(-3));
    assert_eq!(wire_size("0 AWG"), awg(0));
    assert_eq!(
        wire_size("12 SAE"),
        Ok(WireSize::Gauge {
            number: 12,
            sae: true
        })
    );
    assert_eq!(
        wire_size("0,75 mm²"),
        Ok(WireSize::Area(SquareMillimetres::of(0.75)))
    );
    assert_eq!(
        wire_size("16"),
        Ok(WireSize::Bare(SquareMillimetres::of(16.0)))
    );
    assert!(matches!(
        wire_size("18.5 AWG"),
        Err(ParseError::NotANumber { .. })
    ));
    assert!(matches!(
        wire_size("AWG"),
        Err(ParseError::NotANumber { .. })
    ));
    assert!(matches!(
        wire_size("5 V"),
        Err(ParseError::OtherKind {
            wants: Kind::WireSize,
            ..
        })
    ));
}

#[test]
fn refusals_name_the_fault_and_a_way_out() {
    let says =
        |result: Result<Millimetres, ParseError>| result.err().map(|error| error.to_string());
    assert_eq!(
        says(length("5 V", MM)).as_deref(),
        Some("‘5 V’ is a voltage; this field wants a length, such as 1500 mm or 1.5 m.")
    );
    assert_eq!(
        says(length("1,500", MM)).as_deref(),
        Some("‘1,500’ can mean 1500 or 1.5; write the one you mean.")
    );
    assert_eq!(
        says(length(" ", MM)).as_deref(),
        Some("This field is empty; enter a length, such as 1500 mm or 1.5 m.")
    );
    assert_eq!(
        says(length("-2 m", MM)).as_deref(),
        Some(
            "‘-2 m’ is below zero; enter a length without a minus sign, such as 1500 mm or 1.5 m."
        )
    );
    assert_eq!(
        says(length("5000 m", MM)).as_deref(),
        Some(
            "‘5000 m’ is beyond 1000000 mm; check the number and its unit, such as 1500 mm or 1.5 m."
        )
    );
    assert_eq!(
        says(length("5 bananas", MM)).as_deref(),
        Some(
            "‘bananas’ in ‘5 bananas’ is not a unit known here; enter a length, such as 1500 mm or 1.5 m."
        )
    );
    assert!(matches!(
        length("18 AWG", MM),
        Err(ParseError::OtherKind {
            found: Kind::WireSize,
            ..
        })
    ));
}

#[test]
fn what_may_group_thousands_is_refused() {
    assert!(matches!(
        length("1.500,0", MM),
        Err(ParseError::Grouped { .. })
    ));
    assert!(matches!(
        length("1,500.5", MM),
        Err(ParseError::Grouped { .. })
    ));
    assert!(matches!(
        length("1.500 mm", MM),
        Err(ParseError::Ambiguous { .. })
    ));
    assert!(matches!(watts("1,500"), Err(ParseError::Ambiguous { .. })));
    assert_eq!(length("1.500 m", MM), Ok(Millimetres::of(1500.0)));
}

/// A tape measure's fraction is two digits at most over a power of two up to 64; anything else there is a slip.
#[test]
fn only_fractions_of_a_tape_measure_are_read() {
    let read = |text| length(text, MM).map(Millimetres::get);
    assert!(read("1 63/64 in").is_ok_and(|mm| (mm - 50.403_125).abs() < 1e-9));
    for text in [
        "1 +3/8 in",
        "1 -3/8 in",
        "1 .5/8 in",
        "1 1e1/8 in",
        "1 100/64 in",
        "1 3/7 in",
        "1 3/128 in",
    ] {
        assert!(read(text).is_err(), "{text}: {:?}", read(text));
    }
}

#[test]
fn numbers_too_long_for_a_float_and_words_for_floats_are_refused() {
    let long = "9".repeat(400);
    assert!(
        matches!(volts(&long), Err(ParseError::OutOfRange { text, .. }) if text.chars().count() == 25)
    );
    for text in ["inf", "NaN", "infinity V", "--", ".", ",", "-"] {
        assert!(
            matches!(volts(text), Err(ParseError::NotANumber { .. })),
            "{text}"
        );
    }
}

proptest! {
    #[test]
    fn any_text_is_answered_without_a_panic(text in "\\PC{0,20}", near in "[-+0-9., '\"/a-zA-ZΩ²°#−½]{0,14}") {
        for text in [text.as_str(), near.as_str()] {
            let errors = [
                length(text, MM).err(), volts(text).err(), signed_volts(text).err(), amps(text).err(),
                signed_amps(text).err(), ohms(text).err(), milliohms(text).err(), watts(text).err(),
                area(text).err(), celsius(text).err(), amp_hours(text).err(), lumens(text).err(),
                wire_size(text).err(),
            ];
            for error in errors.iter().flatten() {
                prop_assert!(error.to_string().ends_with('.'));
            }
        }
    }

    #[test]
    fn a_printed_quantity_reads_back_as_printed(exponent in -4.0..2.9_f64, sign in prop::bool::ANY) {
        let size = libm::pow(10.0, exponent);
        let signed = if sign { -size } else { size };
        macro_rules! back {
            ($type:ident, $value:expr, $read:expr) => {{
                let printed = $type::of($value).to_string();
                let read = $read(printed.as_str()).map(|q| q.to_string());
                prop_assert_eq!(read, Ok(printed));
            }};
        }
        back!(Millimetres, size * 100.0, |text| length(text, LengthUnit::Foot));
        back!(Volts, signed, signed_volts);
        back!(Amps, signed, signed_amps);
        back!(Ohms, size, ohms);
        back!(Milliohms, size, milliohms);
        back!(Watts, size, watts);
        back!(SquareMillimetres, size, area);
        back!(Celsius, signed / 10.0, celsius);
        back!(AmpHours, size, amp_hours);
        back!(Lumens, size, lumens);
    }
}
