//! A plan in the fragment of a link. A browser sends no fragment to any server, so the plan reaches only who has the link.
//!
//! The canonical text without blanks, packed by zlib (RFC 1950, whose checksum finds a link that was cut off), then
//! written in base64url (RFC 4648, section 5) after `plan=`, or in decimal digits after `n=`. A QR code packs digits three
//! to ten bits, so that they cost it 0.7 % more than the bytes themselves; letters would cost a third more.

use crate::plan::Plan;
use crate::plan::file::{self, FileError};
use crate::text::say;
use core::fmt;

/// Longest link made, in characters. Browsers open far longer ones; what carries links from hand to hand does not.
pub const MOST_LETTERS: usize = 16_000;
/// Links up to this many characters pass about everywhere: common practice.
pub const SHORT_LINK: usize = 2000;

const LETTERS: &str = "plan=";
const DIGITS: &str = "n=";
const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
/// Bytes that are written together as digits.
const GROUP: usize = 7;
/// Digits that so many bytes take: the least that hold them.
const TAKES: [usize; GROUP + 1] = [0, 3, 5, 8, 10, 13, 15, 17];

/// Why a link cannot be made or opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LinkError {
    /// It would be longer than [`MOST_LETTERS`].
    TooLong {
        /// Its length in characters.
        letters: usize,
    },
    /// It was cut off or changed on its way.
    Damaged,
    /// It unpacks to more than a plan may have.
    TooLarge,
    /// It holds no plan that this build reads.
    File(FileError),
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LinkError::TooLong { letters } => f.write_str(&say!("The link would have {letters} characters, more than the {MOST_LETTERS} that pass from hand to hand: \
                 send the plan as a file."
            )),
            LinkError::Damaged => f.write_str(
                say!("The link was cut off or changed on its way: ask for it again, or for the plan as a file."),
            ),
            LinkError::TooLarge => f.write_str(say!("The link holds more than a plan may have.")),
            LinkError::File(error) => f.write_str(&say!("What the link holds does not open: {error}.")),
        }
    }
}

impl core::error::Error for LinkError {}

/// The link to a packed plan at the page's own address (which may end in a fragment of its own).
pub fn link(address: &str, packed: &[u8]) -> Result<String, LinkError> {
    let link = format!("{}#{LETTERS}{}", bare(address), letters(packed));
    match link.len() {
        letters if letters > MOST_LETTERS => Err(LinkError::TooLong { letters }),
        _ => Ok(link),
    }
}

/// The packed bytes in a fragment (with or without its `#`); `None` if it is not one of ours.
pub fn packed(fragment: &str) -> Option<Result<Vec<u8>, LinkError>> {
    let text = fragment.strip_prefix('#').unwrap_or(fragment);
    let bytes = match (text.strip_prefix(LETTERS), text.strip_prefix(DIGITS)) {
        (Some(text), _) => of_letters(text),
        (None, Some(text)) => of_digits(text),
        (None, None) => return None,
    };
    Some(bytes.ok_or(LinkError::Damaged))
}

/// The plan in what was unpacked.
pub fn unpacked(bytes: &[u8]) -> Result<Plan, LinkError> {
    match file::read(bytes) {
        Err(FileError::TooLarge { .. }) => Err(LinkError::TooLarge),
        read => read.map_err(LinkError::File),
    }
}

/// The address up to a fragment.
pub(super) fn bare(address: &str) -> &str {
    address.split('#').next().unwrap_or(address)
}

/// Bytes in base64url without padding.
fn letters(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len() / 3 * 4 + 4);
    for three in bytes.chunks(3) {
        let mut all = [0_u8; 4];
        all[1..=three.len()].copy_from_slice(three);
        let all = u32::from_be_bytes(all);
        for at in 0..=three.len() {
            out.push(ALPHABET[(all >> (18 - 6 * at)) as usize & 63].into());
        }
    }
    out
}

fn of_letters(text: &str) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(text.len() / 4 * 3 + 3);
    let value = |letter: u8| ALPHABET.iter().position(|&known| known == letter);
    for four in text.as_bytes().chunks(4) {
        let mut all = 0_u32;
        for (at, &letter) in four.iter().enumerate() {
            all |= (value(letter)? as u32) << (18 - 6 * at);
        }
        let bytes = all.to_be_bytes();
        let (kept, rest) = bytes[1..].split_at(four.len().checked_sub(1).filter(|&n| n > 0)?);
        if rest.iter().any(|&byte| byte != 0) {
            return None;
        }
        out.extend_from_slice(kept);
    }
    Some(out)
}

/// Bytes in decimal digits, seven bytes to seventeen digits.
fn digits(bytes: &[u8]) -> String {
    let group = |bytes: &[u8]| {
        let all = bytes
            .iter()
            .fold(0_u64, |all, &byte| all << 8 | u64::from(byte));
        format!("{all:0width$}", width = TAKES[bytes.len()])
    };
    bytes.chunks(GROUP).map(group).collect()
}

fn of_digits(text: &str) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(text.len() / 2);
    for group in text.as_bytes().chunks(TAKES[GROUP]) {
        let count = TAKES.iter().position(|&takes| takes == group.len())?;
        let mut all = 0_u64;
        for digit in group {
            let digit = digit.is_ascii_digit().then(|| u64::from(digit - b'0'))?;
            all = all * 10 + digit;
        }
        let bytes = all.to_be_bytes();
        let (over, kept) = bytes.split_at(8 - count);
        if over.iter().any(|&byte| byte != 0) {
            return None;
        }
        out.extend_from_slice(kept);
    }
    Some(out)
}

/// The link for a QR code, in the part that is written as it is and the part in digits.
pub(super) fn for_qr(address: &str, packed: &[u8]) -> (String, String) {
    (format!("{}#{DIGITS}", bare(address)), digits(packed))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of RFC 4648, section 10, without their padding.
    #[test]
    fn letters_are_those_of_the_standard() {
        let vectors = [
            ("", ""),
            ("f", "Zg"),
            ("fo", "Zm8"),
            ("foo", "Zm9v"),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, coded) in vectors {
            assert_eq!(letters(plain.as_bytes()), coded);
            assert_eq!(of_letters(coded).as_deref(), Some(plain.as_bytes()));
        }
        assert_eq!(letters(&[0xfb, 0xef, 0xff]), "--__");
        for wrong in ["Z", "Zm9vY", "Zm9+", "Zm9v=", "Zh", "ü"] {
            assert_eq!(of_letters(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn digits_hold_every_length_and_no_more() {
        for length in 0..40 {
            for byte in [0, 1, 0x7f, 0xff] {
                let bytes = vec![byte; length];
                assert_eq!(of_digits(&digits(&bytes)), Some(bytes));
            }
        }
        for wrong in ["1", "1234", "999", "12a", "99999999999999999"] {
            assert_eq!(of_digits(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn only_fragments_of_ours_are_taken() {
        assert_eq!(packed("#there"), None);
        assert_eq!(packed(""), None);
        assert_eq!(packed("#plan=Zm8"), Some(Ok(b"fo".to_vec())));
        assert_eq!(packed("n=102"), Some(Ok(b"f".to_vec())));
        assert_eq!(packed("#plan=Zm8!"), Some(Err(LinkError::Damaged)));
        assert_eq!(
            link("https://a.example/#x", b"fo"),
            Ok("https://a.example/#plan=Zm8".into())
        );
        let error = link("https://a.example/", &[7; 12_000]).expect_err("too long");
        assert!(
            error.to_string().contains("16024 characters")
                && error.to_string().contains("as a file")
        );
    }
}
