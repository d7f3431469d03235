//! Screen colours for IEC 60757 colour codes, picked so that neighbours in a loom stay apart on white paper.

/// Base colour and stripe of a colour code; a code not known is drawn grey, its text still says it.
pub(super) fn of(code: &str) -> (&'static str, Option<&'static str>) {
    let letters: Vec<char> = code
        .chars()
        .filter(|c| c.is_ascii_alphabetic())
        .map(|c| c.to_ascii_uppercase())
        .collect();
    let pair = |at: usize| {
        let first = letters.get(at)?;
        let second = letters.get(at + 1)?;
        one(*first, *second)
    };
    let base = pair(0).unwrap_or(GREY);
    (base, pair(2).filter(|stripe| *stripe != base))
}

const GREY: &str = "#8b949c";

fn one(first: char, second: char) -> Option<&'static str> {
    Some(match (first, second) {
        ('B', 'K') => "#22272c",
        ('B', 'N') => "#8a5a34",
        ('R', 'D') => "#e23b3b",
        ('O', 'G') => "#f08a1d",
        ('Y', 'E') => "#f4c400",
        ('G', 'N') => "#1d9a4e",
        ('B', 'U') => "#2f6fd6",
        ('V', 'T') => "#7d4bc4",
        ('G', 'Y') => GREY,
        ('W', 'H') => "#ececec",
        ('P', 'K') => "#f29cb7",
        ('T', 'Q') => "#2bb5b5",
        _ => return None,
    })
}
