//! The ampacity table against figures printed elsewhere, and what holds between and outside its rows.

use super::*;
use crate::catalog::conductor;

fn amps(key: &str, insulation: f64, around: Surroundings) -> Option<f64> {
    let row = conductor::find(key).unwrap_or_else(|| panic!("{key} is missing"));
    ampacity(row, Celsius::of(insulation), &around).map(Amps::get)
}

const AIR: Surroundings = Surroundings {
    basis: Basis::Boats,
    ambient: Celsius::of(30.0),
    engine_space: false,
    bundle: 1,
};

/// A maker's check table for 105 °C wire: outside and inside engine spaces, by conductors in the bundle. It rounds to
/// 0.1 A; 22.5 × 0.85 = 19.1.
#[test]
fn bundle_and_engine_factors_give_the_printed_check_table() {
    let printed: [(&str, [[f64; 2]; 4]); 7] = [
        (
            "18 AWG",
            [[20.0, 17.0], [14.0, 11.9], [12.0, 10.2], [10.0, 8.5]],
        ),
        (
            "16 AWG",
            [[25.0, 21.3], [17.5, 14.9], [15.0, 12.8], [12.5, 10.6]],
        ),
        (
            "14 AWG",
            [[35.0, 29.8], [24.5, 20.8], [21.0, 17.9], [17.5, 14.9]],
        ),
        (
            "12 AWG",
            [[45.0, 38.3], [31.5, 26.8], [27.0, 23.0], [22.5, 19.1]],
        ),
        (
            "10 AWG",
            [[60.0, 51.0], [42.0, 35.7], [36.0, 30.6], [30.0, 25.5]],
        ),
        (
            "8 AWG",
            [[80.0, 68.0], [56.0, 47.6], [48.0, 40.8], [40.0, 34.0]],
        ),
        (
            "6 AWG",
            [[120.0, 102.0], [84.0, 71.4], [72.0, 61.2], [60.0, 51.0]],
        ),
    ];
    for (key, cells) in printed {
        for (bundle, cell) in [2, 3, 6, 24].into_iter().zip(cells) {
            for (engine_space, printed) in [false, true].into_iter().zip(cell) {
                let got = amps(
                    key,
                    105.0,
                    Surroundings {
                        bundle,
                        engine_space,
                        ..AIR
                    },
                )
                .unwrap_or(0.0);
                assert!(
                    (got - printed).abs() < 0.0501,
                    "{key} × {bundle}, engine {engine_space}: {got} for {printed}"
                );
            }
        }
    }
    assert_eq!([25, 300].map(bundle_factor), [0.4, 0.4]);
}

/// The regulation's engine-space factors follow the heat balance, except the one for 200 °C.
#[test]
fn engine_factors_follow_the_heat_balance() {
    for (class, printed) in CLASSES.into_iter().zip(ENGINE_FACTORS) {
        let got = ambient_factor(class, AMBIENT_C, ENGINE_C);
        if class < 200.0 {
            assert!((got - printed).abs() < 0.0101, "{class}: {got}");
        } else {
            assert!((got - 0.939).abs() < 0.001 && printed == 1.0);
        }
    }
}

#[test]
fn insulation_is_read_at_the_next_lower_column() {
    assert_eq!(amps("14 AWG", 59.9, AIR), None);
    assert_eq!(amps("14 AWG", 60.0, AIR), Some(20.0));
    let at = |class, column| {
        let at_class = amps("14 AWG", class, AIR);
        assert_eq!(at_class, amps("14 AWG", column, AIR), "{class}");
    };
    at(85.0, 80.0);
    at(100.0, 90.0);
    at(104.9, 90.0);
    at(150.0, 125.0);
    at(250.0, 200.0);
}

#[test]
fn other_sizes_lie_between_their_neighbours_and_small_ones_go_with_the_area() {
    for row in conductor::ROWS {
        let got = amps(row.key, 105.0, AIR);
        let bounds = ROWS
            .windows(2)
            .find(|pair| (pair[0].area_mm2..=pair[1].area_mm2).contains(&row.area_mm2));
        match bounds {
            Some([low, high]) => assert!(
                got >= Some(low.amps[4]) && got <= Some(high.amps[4]),
                "{}: {got:?}",
                row.key
            ),
            _ => assert!(
                got.is_some_and(|amps| (amps / (20.0 * row.area_mm2 / 0.823) - 1.0).abs() < 1e-12),
                "{}: {got:?}",
                row.key
            ),
        }
    }
    // SAE wire has less copper than AWG wire of the same number, and may carry less.
    for number in ["16", "14", "12", "10", "8"] {
        let (sae, awg) = (format!("{number} SAE"), format!("{number} AWG"));
        assert!(amps(&sae, 105.0, AIR) < amps(&awg, 105.0, AIR));
    }
}

#[test]
fn heat_takes_ampacity_away_to_nothing() {
    let at = |ambient| {
        let ambient = Celsius::of(ambient);
        amps("14 AWG", 105.0, Surroundings { ambient, ..AIR }).unwrap_or(-1.0)
    };
    assert_eq!(at(30.0), 35.0);
    assert!(at(20.0) > 35.0 && at(60.0) < 35.0 && at(104.0) > 0.0);
    assert_eq!(at(105.0), 0.0);
    assert_eq!(at(1e300), 0.0);
    let hot_engine = Surroundings {
        ambient: Celsius::of(70.0),
        engine_space: true,
        ..AIR
    };
    let engine = Surroundings {
        engine_space: true,
        ..AIR
    };
    assert!(amps("14 AWG", 105.0, hot_engine) < amps("14 AWG", 105.0, engine));
}

#[test]
fn keys_and_areas_are_those_of_the_conductors() {
    for row in ROWS {
        assert_eq!(
            conductor::find(row.key).map(|c| c.area_mm2),
            Some(row.area_mm2),
            "{}",
            row.key
        );
        assert!(row.amps.is_sorted(), "{}", row.key);
    }
    assert_eq!(find("12 awg").map(|row| row.amps[4]), Some(45.0));
}
