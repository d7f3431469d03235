//! Connectors between vehicle and trailer: their ways, and what each is for.
//!
//! Sources: ISO 11446 and ISO 1724 (pins and colours, read in published tables), SAE J1239 and J2863 (colours, read in
//! published tables; the 4-way and 7-way blade have colours instead of pin numbers, so the colour is the name).

use super::place::Side;
use super::resolve::{Circuit, Feed, Resolved, Way};
use super::{Signal, Socket};
use crate::text::{mark, say};

/// Colour of the trailer's return in every standard here: white.
pub(super) const RETURN_COLOUR: &str = "WH";

/// What a way carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Carries {
    Return,
    /// Steady signals; of one side only, where the standard keeps the sides apart.
    Steady(&'static [Signal], Option<Side>),
    Turn(Side),
    StopAndTurn(Side),
    /// Nothing this form asks for.
    Spare,
}

/// A way of a connector.
#[derive(Debug, Clone, Copy)]
pub(super) struct PinRow {
    /// Number or colour, as the standard names it.
    pub name: &'static str,
    /// Colour of the wire.
    pub colour: &'static str,
    /// What it is for.
    pub what: &'static str,
    carries: Carries,
}

const fn way(
    name: &'static str,
    colour: &'static str,
    what: &'static str,
    carries: Carries,
) -> PinRow {
    PinRow {
        name,
        colour,
        what,
        carries,
    }
}

const TAIL: &[Signal] = &[
    Signal::Tail,
    Signal::Marker,
    Signal::Licence,
    Signal::Running,
];

/// The 4-way flat is the first four ways of the blade.
const FOUR: &[PinRow] = BLADE.split_at(4).0;

const BLADE: &[PinRow] = &[
    way("WH", "WH", mark!("ground"), Carries::Return),
    way(
        "BN",
        "BN",
        mark!("tail, marker and licence"),
        Carries::Steady(TAIL, None),
    ),
    way(
        "YE",
        "YE",
        mark!("left stop and turn"),
        Carries::StopAndTurn(Side::Left),
    ),
    way(
        "GN",
        "GN",
        mark!("right stop and turn"),
        Carries::StopAndTurn(Side::Right),
    ),
    way("BU", "BU", mark!("electric brake"), Carries::Spare),
    way("BK", "BK", mark!("charging supply"), Carries::Spare),
    way(
        "VT",
        "VT",
        mark!("reversing, the centre pin"),
        Carries::Steady(&[Signal::Reverse], None),
    ),
];

/// The 7-pin round has the first seven pins of the 13-pin one.
const SEVEN: &[PinRow] = THIRTEEN.split_at(7).0;

const THIRTEEN: &[PinRow] = &[
    way("1", "YE", mark!("left turn"), Carries::Turn(Side::Left)),
    way(
        "2",
        "BU",
        mark!("rear fog"),
        Carries::Steady(&[Signal::Fog], None),
    ),
    way("3", "WH", mark!("return"), Carries::Return),
    way("4", "GN", mark!("right turn"), Carries::Turn(Side::Right)),
    way(
        "5",
        "BN",
        mark!("right tail, marker and licence"),
        Carries::Steady(TAIL, Some(Side::Right)),
    ),
    way(
        "6",
        "RD",
        mark!("stop"),
        Carries::Steady(&[Signal::Stop], None),
    ),
    way(
        "7",
        "BK",
        mark!("left tail, marker and licence"),
        Carries::Steady(TAIL, Some(Side::Left)),
    ),
    way(
        "8",
        "PK",
        mark!("reversing"),
        Carries::Steady(&[Signal::Reverse], None),
    ),
    way("9", "OG", mark!("permanent supply"), Carries::Spare),
    way("10", "GY", mark!("switched supply"), Carries::Spare),
    way("11", "WHBK", mark!("return for way 10"), Carries::Spare),
    way("12", "", mark!("reserved"), Carries::Spare),
    way("13", "WHRD", mark!("return for way 9"), Carries::Spare),
];

impl Socket {
    /// As people call it.
    pub fn text(self) -> &'static str {
        match self {
            Socket::FourWay => say!("4-way flat (SAE J1239)"),
            Socket::SevenBlade => say!("7-way blade (SAE J2863)"),
            Socket::SevenPin => say!("7-pin round (ISO 1724)"),
            Socket::ThirteenPin => say!("13-pin round (ISO 11446)"),
        }
    }

    /// Whether stop and turn of a side share a way.
    pub const fn combines(self) -> bool {
        matches!(self, Socket::FourWay | Socket::SevenBlade)
    }
}

/// The ways of a connector.
pub(super) const fn ways(socket: Socket) -> &'static [PinRow] {
    match socket {
        Socket::FourWay => FOUR,
        Socket::SevenBlade => BLADE,
        Socket::SevenPin => SEVEN,
        Socket::ThirteenPin => THIRTEEN,
    }
}

/// Index of the return way.
pub(super) fn return_way(socket: Socket) -> Option<usize> {
    ways(socket)
        .iter()
        .position(|row| row.carries == Carries::Return)
}

/// Index of the way that brings what a lamp circuit gets in one way; `None` where the connector has none.
pub(super) fn pin(
    socket: Socket,
    want: &Resolved,
    side: Side,
    circuit: &Circuit,
    brought: &Way,
) -> Option<usize> {
    // A lamp in the middle takes from the left.
    let side = match side {
        Side::Right => Side::Right,
        _ => Side::Left,
    };
    let combined =
        circuit.signals.contains(&Signal::Stop) && circuit.signals.contains(&Signal::Turn);
    let carries = |row: &PinRow| match (brought.feed, row.carries) {
        (Feed::StopOrFlash(_), Carries::StopAndTurn(s)) => s == side,
        // Without priority stop and flash come apart, and meet in front of the way.
        (Feed::Flash(_), Carries::StopAndTurn(s)) => s == side && combined,
        (Feed::Flash(_), Carries::Turn(s)) => s == side && !combined,
        (Feed::Steady(group), Carries::StopAndTurn(s)) => {
            let stop = want.groups[group].signals.contains(&Signal::Stop);
            s == side && combined && stop && !brought.dim
        }
        (Feed::Steady(group), Carries::Steady(signals, of)) => {
            let mut own = circuit
                .signals
                .iter()
                .filter(|signal| want.groups[group].signals.contains(signal))
                .peekable();
            own.peek().is_some()
                && own.all(|signal| signals.contains(signal))
                && of.is_none_or(|of| of == side)
                && !(combined && signals.contains(&Signal::Stop))
        }
        _ => false,
    };
    ways(socket).iter().position(carries)
}
