//! Tests of the conductor table against tables it was not made from.

use super::*;

fn row(key: &str) -> &'static Row {
    find(key).unwrap_or_else(|| panic!("{key} is missing"))
}

fn near(got: f64, want: f64, relative: f64) -> bool {
    (got - want).abs() <= relative * want.abs()
}

#[test]
fn awg_areas_follow_astm_b258() {
    let numbers = [
        24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3,
    ];
    let rows = ROWS.iter().filter(|row| row.system == System::Awg);
    assert_eq!(rows.clone().count(), numbers.len());
    for (row, number) in rows.zip(numbers) {
        assert!(
            near(row.area_mm2, awg_area(f64::from(number)), 4e-4),
            "{}",
            row.key
        );
        assert_eq!(gauge(number, false), Some(row));
    }
}

/// "Lessons In Electric Circuits", volume DC, wire table for solid round copper: diameter (inch) and
/// circular mils, with the mΩ/m that follow for solid 100 % IACS copper.
#[test]
fn awg_agrees_with_the_textbook_table_of_solid_wire() {
    for (key, inch, cmil, solid_mohm_per_m) in [
        ("4/0 AWG", 0.4600, 211_600.0, 0.1608),
        ("2/0 AWG", 0.3648, 133_100.0, 0.2557),
        ("1/0 AWG", 0.3249, 105_500.0, 0.322),
        ("2 AWG", 0.2576, 66_370.0, 0.513),
        ("4 AWG", 0.2043, 41_740.0, 0.815),
        ("6 AWG", 0.1620, 26_250.0, 1.296),
        ("8 AWG", 0.1285, 16_510.0, 2.061),
        ("10 AWG", 0.1019, 10_380.0, 3.277),
        ("12 AWG", 0.08081, 6_530.0, 5.211),
        ("14 AWG", 0.06408, 4_107.0, 8.285),
        ("16 AWG", 0.05082, 2_583.0, 13.17),
        ("18 AWG", 0.04030, 1_624.0, 20.95),
        ("20 AWG", 0.03196, 1_022.0, 33.31),
        ("22 AWG", 0.02535, 642.5, 52.96),
    ] {
        let row = row(key);
        let diameter_mm = inch * 25.4;
        assert!(
            near(
                row.area_mm2,
                core::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm,
                2e-3
            ),
            "{key}"
        );
        assert!(near(row.area_mm2, cmil * 5.067e-4, 2e-3), "{key}");
        assert!(
            near(row.ohms_per_km_20c / STRANDING, solid_mohm_per_m, 1.5e-3),
            "{key}"
        );
    }
}

/// NEC chapter 9 Table 8, uncoated stranded (7 strands), Ω per 1000 ft at 75 °C (from memory); its note 2
/// converts with α = 0.00323 at 75 °C.
#[test]
#[expect(clippy::approx_constant, reason = "14 AWG happens to have 3.14 ohms")]
fn awg_agrees_with_nec_table_8_within_one_and_a_half_percent() {
    for (key, ohms_per_kft_75c) in [
        ("18 AWG", 7.95),
        ("16 AWG", 4.99),
        ("14 AWG", 3.14),
        ("12 AWG", 1.98),
        ("10 AWG", 1.24),
        ("8 AWG", 0.778),
        ("6 AWG", 0.491),
        ("4 AWG", 0.308),
        ("2 AWG", 0.194),
    ] {
        let at_20c = ohms_per_kft_75c * (1.0 + 0.00323 * (20.0 - 75.0)) / 0.3048;
        assert!(
            near(row(key).ohms_per_km_20c, at_20c, 0.015),
            "{key}: {at_20c}"
        );
    }
}

/// AC 43.13-1B Table 11-9, maximum Ω per 1000 ft at 20 °C and circular mils of tinned aircraft wire. At
/// equal area that wire is the worse conductor, by at most a third: the thin tinned strands of 24 AWG.
#[test]
fn aircraft_wire_bounds_awg_from_above_at_equal_area() {
    for (key, ohms_per_kft, cmil) in [
        ("24 AWG", 28.40, 475.0),
        ("22 AWG", 16.20, 755.0),
        ("20 AWG", 9.88, 1_216.0),
        ("18 AWG", 6.23, 1_900.0),
        ("16 AWG", 4.81, 2_426.0),
        ("14 AWG", 3.06, 3_831.0),
        ("12 AWG", 2.02, 5_874.0),
        ("10 AWG", 1.26, 9_354.0),
        ("8 AWG", 0.70, 16_983.0),
        ("6 AWG", 0.44, 26_818.0),
        ("4 AWG", 0.28, 42_615.0),
        ("2 AWG", 0.18, 66_500.0),
        ("1 AWG", 0.15, 81_700.0),
        ("1/0 AWG", 0.12, 104_500.0),
        ("2/0 AWG", 0.09, 133_000.0),
        ("4/0 AWG", 0.06, 210_900.0),
    ] {
        let row = row(key);
        let aircraft = ohms_per_kft / 0.3048 * cmil * 5.067e-4;
        let share = row.ohms_per_km_20c * row.area_mm2 / aircraft;
        assert!((0.75..1.0).contains(&share), "{key}: {share}");
    }
}

/// No standard's maximum is below ideal copper; the sheet found them 4–16 % above it, 22 % for the 0.22 mm²
/// of VDE 0295, which is not IEC 60228 proper.
#[test]
fn metric_maxima_lie_above_ideal_copper_and_fall_with_size() {
    let metric: Vec<_> = ROWS
        .iter()
        .filter(|row| row.system == System::Metric)
        .collect();
    for row in &metric {
        let over = row.ohms_per_km_20c * row.area_mm2 / (1000.0 * RHO20_COPPER);
        assert!((1.04..1.23).contains(&over), "{}: {over}", row.key);
    }
    for system in [System::Metric, System::Awg, System::Sae] {
        let rows: Vec<_> = ROWS.iter().filter(|row| row.system == system).collect();
        for pair in rows.windows(2) {
            assert!(pair[0].area_mm2 < pair[1].area_mm2, "{}", pair[1].key);
            assert!(
                pair[0].ohms_per_km_20c > pair[1].ohms_per_km_20c,
                "{}",
                pair[1].key
            );
        }
    }
}

/// The circular mils of SAE and AWG sizes as tabled in ABYC E-11 (from memory; 12 SAE seen).
#[test]
fn sae_sizes_are_five_to_eleven_percent_smaller_than_awg() {
    for (number, sae_cmil) in [
        (18, 1_537.0),
        (16, 2_336.0),
        (14, 3_702.0),
        (12, 5_833.0),
        (10, 9_343.0),
        (8, 14_810.0),
        (6, 24_538.0),
        (4, 37_360.0),
        (2, 62_450.0),
    ] {
        let sae = row(&format!("{number} SAE"));
        let awg = row(&format!("{number} AWG"));
        assert!(near(sae.area_mm2, sae_cmil * 5.067e-4, 1e-3), "{number}");
        assert!(
            (0.89..0.95).contains(&(sae.area_mm2 / awg.area_mm2)),
            "{number}"
        );
    }
}

/// AC 43.13-1B paragraph 11-66 scales copper by (234.5 + T)/254.5.
#[test]
fn temperature_form_agrees_with_the_aircraft_handbook() {
    for celsius in [-40.0, 0.0, 20.0, 75.0, 105.0, 200.0] {
        let got = ohms_at(Ohms::of(1.0), Celsius::of(celsius)).get();
        assert!(
            near(got, (234.5 + celsius) / 254.5, 2e-4),
            "{celsius}: {got}"
        );
    }
    assert_eq!(
        ohms_at(Ohms::of(1.0), Celsius::of(-1e300)),
        ohms_at(Ohms::of(1.0), Celsius::of(-50.0))
    );
}

/// Textbook problem: 20 m of 12 AWG solid copper has 0.10 Ω (with ρ 1.68e-8 Ω·m).
#[test]
fn twenty_metres_of_twelve_gauge_have_a_tenth_of_an_ohm() {
    let got = row("12 AWG")
        .resistance(Millimetres::of(20_000.0), Celsius::of(20.0))
        .get();
    assert!(near(got, 0.1015, 0.05), "{got}");
}

#[test]
fn an_absurd_length_stays_absurd() {
    let got = row("18 AWG").resistance(Millimetres::of(f64::MAX), Celsius::of(105.0));
    assert!(got.get() > 1e300, "{got:?}");
}

#[test]
fn sizes_are_found_as_people_write_them() {
    for (text, key) in [
        ("#18", "18 AWG"),
        ("AWG 18", "18 AWG"),
        ("18", "18 AWG"),
        ("0", "1/0 AWG"),
        ("00", "2/0 AWG"),
        ("4/0", "4/0 AWG"),
        ("12 sae", "12 SAE"),
        ("0,75 mm²", "0.75 mm2"),
        ("0.75", "0.75 mm2"),
        ("1.50 MM2", "1.5 mm2"),
    ] {
        assert_eq!(conductor_key(text), Ok(key), "{text}");
    }
    assert_eq!(find(" 0.75 MM2 ").map(|row| row.label), Some("0.75 mm²"));
}

#[test]
fn sizes_not_in_the_table_name_their_neighbours() {
    let says = |text| {
        conductor_key(text)
            .err()
            .map(|error| error.to_string())
            .unwrap_or_default()
    };
    assert_eq!(
        says("4"),
        "‘4’ can mean 4 mm² or 4 AWG; write the unit too."
    );
    assert_eq!(
        says("0.8 mm²"),
        "‘0.8 mm²’ is not a wire size listed here; the nearest listed: 0.75 mm² and 1 mm²."
    );
    assert_eq!(
        says("17 AWG"),
        "‘17 AWG’ is not a wire size listed here; the nearest listed: 18 AWG and 16 AWG."
    );
    assert_eq!(
        says("50 mm2"),
        "‘50 mm2’ is not a wire size listed here; the nearest listed: 35 mm²."
    );
    assert!(says("0 SAE").ends_with("the nearest listed: 2 SAE."));
    assert!(says("5 V").contains("is a voltage"));
}
