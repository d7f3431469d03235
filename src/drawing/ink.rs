//! Screen colours of wires, from the catalogue's colour codes.

use crate::catalog::colour;

/// Drawn where a code is not known; its text still says it.
const GREY: &str = "#8b949c";

/// Base colour and stripe of a colour code.
pub(super) fn of(code: &str) -> (&'static str, Option<&'static str>) {
    match colour::parse(code) {
        Some((base, stripe)) => {
            let stripe = stripe
                .map(|row| row.hex)
                .filter(|stripe| *stripe != base.hex);
            (base.hex, stripe)
        }
        None => (GREY, None),
    }
}
