//! Giving a plan away: as a link that holds it, as a QR code of that link, as one page to read without Loomwright.
//!
//! Nothing here packs or unpacks: the caller does that (a browser has zlib of its own) and hands over bytes.

mod link;
mod page;
mod qr;

pub use link::{LinkError, MOST_LETTERS, SHORT_LINK, link, packed, unpacked};
pub use page::page;
pub use qr::{Code, QrError, qr};
