//! The text of a slot: a head with number, lengths, checksum and time, then the plan, then its history.

/// Which save a slot holds: its number, and the checksum that tells it from another save of the same number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stamp {
    /// Rises with every save of the plan; 0 before the first.
    pub seq: u64,
    /// Checksum of the slot.
    pub sum: u64,
}

/// One slot that checks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Slot {
    /// Which save it is.
    pub stamp: Stamp,
    /// When it was written, in milliseconds since 1970; 0 where it is not known.
    pub saved_ms: u64,
    /// The plan's text.
    pub plan: String,
    /// The history's text, empty if there was no room for it.
    pub history: String,
}

/// `number lengths checksum time`, then the plan, then its history; and the checksum.
pub(super) fn encode(seq: u64, saved_ms: u64, plan: &str, history: &str) -> (String, u64) {
    let sum = checksum(Some((seq, saved_ms)), plan, history);
    let text = format!(
        "{seq} {} {} {sum:016x} {saved_ms}\n{plan}{history}",
        plan.len(),
        history.len()
    );
    (text, sum)
}

/// Reads a slot; `None` if it does not check. The first builds wrote no time and left the head out of the checksum.
pub(super) fn decode(text: &str) -> Option<Slot> {
    let (head, body) = text.split_once('\n')?;
    let mut words = head.split(' ');
    let seq = words.next()?.parse().ok()?;
    let plan_len: usize = words.next()?.parse().ok()?;
    let history_len: usize = words.next()?.parse().ok()?;
    let sum = u64::from_str_radix(words.next()?, 16).ok()?;
    let saved_ms = match words.next() {
        None => None,
        Some(word) => Some(word.parse().ok()?),
    };
    let (plan, history) = body.split_at_checked(plan_len)?;
    let covered = saved_ms.map(|ms| (seq, ms));
    let whole = history.len() == history_len && checksum(covered, plan, history) == sum;
    whole.then(|| Slot {
        stamp: Stamp { seq, sum },
        saved_ms: saved_ms.unwrap_or(0),
        plan: plan.to_owned(),
        history: history.to_owned(),
    })
}

/// FNV-1a, 64 bits: finds a slot that was cut off or changed, nothing more.
fn checksum(head: Option<(u64, u64)>, plan: &str, history: &str) -> u64 {
    let mut sum = 0xcbf2_9ce4_8422_2325_u64;
    let mut eat = |bytes: &[u8]| {
        for &byte in bytes {
            sum = (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    };
    if let Some((seq, saved_ms)) = head {
        eat(&seq.to_le_bytes());
        eat(&saved_ms.to_le_bytes());
    }
    eat(plan.as_bytes());
    eat(history.as_bytes());
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slot_comes_back_and_any_cut_or_change_is_seen() {
        let (text, sum) = encode(7, 1_700_000_000_000, "{\"a\": \"ü\"}", "[]");
        let slot = decode(&text).expect("it checks");
        assert_eq!(slot.stamp, Stamp { seq: 7, sum });
        assert_eq!(
            (slot.plan.as_str(), slot.history.as_str()),
            ("{\"a\": \"ü\"}", "[]")
        );
        for end in (0..text.len()).filter(|&end| text.is_char_boundary(end)) {
            assert_eq!(decode(&text[..end]), None, "cut at {end}");
        }
        for (at, letter) in text.char_indices() {
            let mut other = text.clone();
            let new = if letter == '1' { "2" } else { "1" };
            other.replace_range(at..at + letter.len_utf8(), new);
            assert_eq!(decode(&other), None, "changed at {at}");
        }
    }

    #[test]
    fn slots_of_the_first_builds_still_read() {
        // FNV-1a of "foobar": test vector published by the function's authors.
        let slot = decode("3 3 3 85944171f73967e8\nfoobar").expect("it checks");
        assert_eq!((slot.stamp.seq, slot.saved_ms), (3, 0));
        assert_eq!((slot.plan.as_str(), slot.history.as_str()), ("foo", "bar"));
    }
}
