//! The Wright omega function ω(x), the solution of ω + ln ω = x, for real x.
//!
//! It gives the current of a diode with series resistance in closed form: with y = V/nVt,
//! I = (nVt/Rs)·ω(…) − Is. Start values and the fourth-order correction follow Fritsch, Shafer and
//! Crowley, "Algorithm 443", Comm. ACM 16 (1973) 123, in the form of Lawrence, Corless and Jeffrey,
//! "Algorithm 917", ACM Trans. Math. Software 38 (2012) 20: two corrections reach full precision.

/// ω(x). For x < −38 it equals eˣ to full precision; for large x it grows as x − ln x.
pub fn wright_omega(x: f64) -> f64 {
    if x < -38.0 {
        return libm::exp(x);
    }
    let mut w = if x < -1.0 {
        let e = libm::exp(x);
        e * (1.0 - e * (1.0 - 1.5 * e))
    } else if x < 1.0 + core::f64::consts::PI {
        // Taylor about x = 1, where ω = 1.
        let d = x - 1.0;
        1.0 + d * (0.5 + d * (1.0 / 16.0 + d * (-1.0 / 192.0)))
    } else {
        let l = libm::log(x);
        x - l + l / x
    };
    for _ in 0..2 {
        let r = x - w - libm::log(w);
        let w1 = w + 1.0;
        let t = 2.0 * w1 * (w1 + 2.0 / 3.0 * r);
        w *= 1.0 + r / w1 * (t - r) / (t - 2.0 * r);
    }
    w
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
