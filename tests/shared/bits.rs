//! Checksums of `libm` over fixed grids, and the values they must have on every platform.
//!
//! The plan's figures must not depend on the machine. Each function is evaluated on a grid and the
//! 64 bits of every result are folded into one number (FNV-1a). The expected numbers were taken from
//! a native x86-64 build; a wasm build that differs in one last bit gives other numbers.

/// One function with its checksum.
pub struct Case {
    /// The function in `libm`.
    pub name: &'static str,
    /// Computes the checksum here and now.
    pub checksum: fn() -> u64,
    /// The checksum every platform must give.
    pub expected: u64,
}

/// The functions that the core uses, or that a check of its figures may use.
pub const CASES: [Case; 8] = [
    Case {
        name: "exp",
        checksum: || fold(grid(-700.0, 700.0).map(libm::exp)),
        expected: 0x6b61_cda9_73c9_5f9f,
    },
    Case {
        name: "expm1",
        checksum: || fold(grid(-30.0, 30.0).map(libm::expm1)),
        expected: 0xe9fd_c578_e442_f4f0,
    },
    Case {
        name: "log",
        checksum: || fold(grid(1e-9, 2000.0).map(libm::log)),
        expected: 0x11cc_6dca_14da_11c8,
    },
    Case {
        name: "log1p",
        checksum: || fold(grid(-0.999, 40.0).map(libm::log1p)),
        expected: 0xf452_fb7e_8f3a_8aeb,
    },
    Case {
        name: "pow 0.55",
        checksum: || fold(grid(0.0, 30.0).map(|x| libm::pow(x, 0.55))),
        expected: 0x74cb_9062_d8a9_959b,
    },
    Case {
        name: "pow 3.4",
        checksum: || fold(grid(0.0, 2.0).map(|x| libm::pow(x, 3.4))),
        expected: 0xd6a5_63a1_4918_d69e,
    },
    Case {
        name: "tanh",
        checksum: || fold(grid(-20.0, 20.0).map(libm::tanh)),
        expected: 0x972c_cd66_0725_dafa,
    },
    Case {
        name: "hypot",
        checksum: || fold(grid(-50.0, 50.0).map(|x| libm::hypot(x, 7.0))),
        expected: 0xf485_908f_a73a_6a55,
    },
];

/// 10 007 evenly spaced points; a prime count keeps the steps off round binary fractions.
fn grid(from: f64, to: f64) -> impl Iterator<Item = f64> {
    const POINTS: u32 = 10_007;
    (0..POINTS).map(move |i| from + (to - from) * f64::from(i) / f64::from(POINTS - 1))
}

/// FNV-1a over the bytes of the results, lowest byte first.
fn fold(values: impl Iterator<Item = f64>) -> u64 {
    values
        .flat_map(|value| value.to_bits().to_le_bytes())
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        })
}

/// The cases that differ here, as lines of name, expected and found checksum.
pub fn differences() -> String {
    CASES
        .iter()
        .map(|case| (case, (case.checksum)()))
        .filter(|(case, found)| *found != case.expected)
        .map(|(case, found)| {
            format!(
                "{}: {:#018x} became {found:#018x}\n",
                case.name, case.expected
            )
        })
        .collect()
}

/// Whether one last bit changes the checksum, so that [`differences`] can find something.
pub fn one_bit_shows() -> bool {
    let plain = fold(grid(1.0, 2.0));
    let nudged = fold(grid(1.0, 2.0).map(|x| if x == 2.0 { x.next_down() } else { x }));
    plain != nudged
}
