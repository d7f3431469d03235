//! The Wright omega function ω(x), the solution of ω + ln ω = x, for real x.
//!
//! It gives the current of a diode with series resistance in closed form: with y = V/nVt,
//! I = (nVt/Rs)·ω(…) − Is. One correction of fourth order after Fritsch, Shafer and Crowley, "Algorithm 443",
//! Comm. ACM 16 (1973) 123, in the form of Lawrence, Corless and Jeffrey, "Algorithm 917", ACM Trans. Math. Software 38
//! (2012) 20. It leaves (2ω² − 8ω − 1)/(72 (1 + ω)⁶)·r⁴ of a residual r, so the start values here are near enough for
//! one: the series of the tree function below −3, polynomials through the Chebyshev points up to 20, the first terms
//! of the asymptotic series above.

/// Polynomial in (x + 1)/2 for −3 … 1.
const LOW: [f64; 8] = [
    0.278_470_68,
    0.435_626_35,
    0.266_324_33,
    0.048_070_944,
    -0.024_318_986,
    -0.008_837_136,
    0.003_268_057_6,
    0.001_402_878_6,
];

/// Polynomial in (x − 10.5)/9.5 for 1 … 20.
const HIGH: [f64; 8] = [
    8.374_580_7,
    8.486_695_1,
    0.464_938_03,
    -0.262_028_6,
    0.126_674_54,
    -0.088_553_419,
    0.112_551_06,
    -0.057_440_207,
];

/// ω(x). For large x it grows as x − ln x.
pub fn wright_omega(x: f64) -> f64 {
    let w = if x < -3.0 {
        let e = libm::exp(x);
        let w = e * (1.0 - e * (1.0 - e * (1.5 - 8.0 / 3.0 * e)));
        if x < -9.7 {
            // The next term of the series, 125/24·e⁵, is nothing beside the first.
            return w;
        }
        w
    } else if x < 1.0 {
        polynomial(&LOW, 0.5 * (x + 1.0))
    } else if x < 20.0 {
        polynomial(&HIGH, (x - 10.5) * (1.0 / 9.5))
    } else {
        let l = libm::log(x);
        x - l + l / x
    };
    let r = x - w - libm::log(w);
    let w1 = w + 1.0;
    let t = 2.0 * w1 * (w1 + 2.0 / 3.0 * r);
    w * (1.0 + r * (t - r) / (w1 * (t - 2.0 * r)))
}

fn polynomial(of: &[f64; 8], t: f64) -> f64 {
    of.iter().rev().fold(0.0, |sum, c| sum * t + c)
}

#[cfg(test)]
mod tests {
    use super::wright_omega;

    /// The defining equation, put back, over the whole range a diode law asks for.
    #[test]
    fn satisfies_its_equation() {
        for i in -4000..4000 {
            let x = f64::from(i) / 16.0;
            let w = wright_omega(x);
            assert!(w > 0.0);
            if x > -37.0 {
                let back = w + libm::log(w);
                assert!(
                    (back - x).abs() <= 4e-15 * (1.0 + x.abs()),
                    "x {x}: ω {w}, back {back}"
                );
            }
        }
    }

    /// ω(0) is the omega constant 0.5671432904097838 (OEIS A030178); ω(1) = 1; ω(1 + e) = e.
    #[test]
    fn published_values() {
        assert!((wright_omega(0.0) - 0.567_143_290_409_783_8).abs() < 2e-16);
        assert!((wright_omega(1.0) - 1.0).abs() < 2e-16);
        let e = core::f64::consts::E;
        assert!((wright_omega(1.0 + e) - e).abs() < 1e-15);
    }
}
