//! Reads the number at the front of a text: sign, decimal dot or comma, spaced thousands, inch fractions.
//!
//! A dot and a comma are both decimal signs. What may group thousands is reported, never guessed,
//! because a wrong guess is wrong by a factor of a thousand.

/// A number and what follows it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Number<'a> {
    /// Size of the number, never below zero; infinite if it has more digits than `f64` can hold.
    pub size: f64,
    /// Whether a minus sign stood before it.
    pub negative: bool,
    /// The text after the number, outer blanks removed.
    pub rest: &'a str,
    /// Set where the only decimal sign may as well group thousands.
    pub doubt: Option<Doubt>,
}

/// The two readings of a number such as `1,500`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Doubt {
    /// The sign in question, `.` or `,`.
    pub sign: char,
    /// The number if the sign groups thousands.
    pub as_thousands: String,
    /// The number if the sign marks decimals.
    pub as_decimal: String,
}

/// Why there is no number to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    /// No digit at the front.
    NoDigits,
    /// More than one dot or comma.
    Grouped,
}

/// Reads the number that `text` begins with.
pub(super) fn leading(text: &str) -> Result<Number<'_>, Fault> {
    let text = text.trim();
    let mut after_sign = text.chars();
    let (negative, text) = match after_sign.next() {
        // Phones type a true minus sign or an en dash as readily as a hyphen.
        Some('-' | '−' | '–') => (true, after_sign.as_str()),
        Some('+') => (false, after_sign.as_str()),
        _ => (false, text),
    };
    let text = text.trim_start();
    let (digits, end) = digits_and_end(text);
    if !digits.contains(|c: char| c.is_ascii_digit()) {
        return Err(Fault::NoDigits);
    }
    if digits.chars().filter(|c| matches!(c, '.' | ',')).count() > 1 {
        return Err(Fault::Grouped);
    }
    let rest = &text[end..];
    let size = digits.replace(',', ".").parse().unwrap_or(f64::INFINITY);
    if !digits.contains(['.', ','])
        && let Some((size, rest)) = with_fraction(size, rest)
    {
        return Ok(Number {
            size,
            negative,
            rest,
            doubt: None,
        });
    }
    Ok(Number {
        size,
        negative,
        rest: rest.trim(),
        doubt: doubt(&digits),
    })
}

/// The digits and decimal signs at the front of `text`, spaces that group thousands dropped, and where they end.
fn digits_and_end(text: &str) -> (String, usize) {
    let mut digits = String::new();
    let mut end = 0;
    for (at, c) in text.char_indices() {
        let groups = matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}')
            && !digits.is_empty()
            && !digits.contains(['.', ','])
            && three_digits(&text[at + c.len_utf8()..]);
        if c.is_ascii_digit() || matches!(c, '.' | ',') {
            digits.push(c);
        } else if !groups {
            break;
        }
        end = at + c.len_utf8();
    }
    (digits, end)
}

/// Whether `text` begins with exactly three digits that are not the top of a fraction.
fn three_digits(text: &str) -> bool {
    let count = text.bytes().take_while(u8::is_ascii_digit).count();
    count == 3 && !text[3..].starts_with('/')
}

/// `whole/below`, or `whole above/below`, where the denominator is one found on an inch rule.
fn with_fraction(whole: f64, rest: &str) -> Option<(f64, &str)> {
    fn denominator(text: &str) -> Option<(f64, &str)> {
        let end = text.bytes().take_while(u8::is_ascii_digit).count();
        let (below, rest) = text.split_at(end);
        matches!(below, "2" | "4" | "8" | "16" | "32" | "64")
            .then(|| below.parse().ok().map(|below| (below, rest.trim())))
            .flatten()
    }
    if let Some(below) = rest.strip_prefix('/') {
        let (below, rest) = denominator(below)?;
        return Some((whole / below, rest));
    }
    let (above, after) = rest.trim_start().split_once('/')?;
    if above.len() > 2 || !above.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let above: f64 = above.parse().ok()?;
    let (below, rest) = denominator(after)?;
    Some((whole + above / below, rest))
}

/// One decimal sign after one to three digits (no leading zero) and before exactly three: `1,500`.
fn doubt(digits: &str) -> Option<Doubt> {
    let at = digits.find(['.', ','])?;
    let (before, after) = (&digits[..at], &digits[at + 1..]);
    if !(1..=3).contains(&before.len()) || before.starts_with('0') || after.len() != 3 {
        return None;
    }
    let decimals = after.trim_end_matches('0');
    Some(Doubt {
        sign: if digits.as_bytes()[at] == b',' {
            ','
        } else {
            '.'
        },
        as_thousands: format!("{before}{after}"),
        as_decimal: if decimals.is_empty() {
            before.into()
        } else {
            format!("{before}.{decimals}")
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<(f64, &str)> {
        let number = leading(text).ok()?;
        Some((
            if number.negative {
                -number.size
            } else {
                number.size
            },
            number.rest,
        ))
    }

    #[test]
    fn dots_commas_signs_and_spaced_thousands() {
        assert_eq!(read(" 1,5 m"), Some((1.5, "m")));
        assert_eq!(read("−0.75mm²"), Some((-0.75, "mm²")));
        assert_eq!(read("1 500 mm"), Some((1500.0, "mm")));
        assert_eq!(read("1\u{202f}500"), Some((1500.0, "")));
        assert_eq!(read("--5"), None);
        assert_eq!(read(".5"), Some((0.5, "")));
        assert_eq!(read("5. A"), Some((5.0, "A")));
    }

    #[test]
    fn inch_fractions() {
        assert_eq!(read("1/2 in"), Some((0.5, "in")));
        assert_eq!(read("5 3/8\""), Some((5.375, "\"")));
        // Not on any rule, so it is left for the unit reader to refuse.
        assert_eq!(read("1/3 in"), Some((1.0, "/3 in")));
    }

    #[test]
    fn a_lone_separator_before_three_digits_is_doubtful() {
        let doubt = leading("1,500").ok().and_then(|n| n.doubt);
        assert_eq!(
            doubt,
            Some(Doubt {
                sign: ',',
                as_thousands: "1500".into(),
                as_decimal: "1.5".into()
            })
        );
        assert_eq!(leading("0,750").map(|n| n.doubt), Ok(None));
        assert_eq!(leading("12,5").map(|n| n.doubt), Ok(None));
        assert_eq!(leading("1.500,0"), Err(Fault::Grouped));
        assert_eq!(leading("1,500.5"), Err(Fault::Grouped));
        assert_eq!(leading("V"), Err(Fault::NoDigits));
    }
}
