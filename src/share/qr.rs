//! A link as a QR code (ISO/IEC 18004), as an SVG path: level M, at most version 25, so that a phone still reads it off a
//! screen or a page.

use super::link::for_qr;
use crate::text::say;
use core::fmt;
use core::fmt::Write;
use qrcodegen::{DataTooLong, Mask, QrCode, QrCodeEcc, QrSegment, Version};

/// Largest version made.
const LARGEST: u8 = 25;
/// Light ground around the code, in modules: what the standard asks for.
const QUIET: i32 = 4;

/// A QR code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code {
    /// Side of the whole square with its light ground, in modules.
    pub side: i32,
    /// Data of an SVG path that fills the dark modules.
    pub path: String,
    /// Its version, 1 to 25.
    pub version: u8,
}

/// The link does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QrError {
    /// Bytes of the packed plan.
    pub bytes: usize,
    /// Bytes of a packed plan that would fit with this address.
    pub room: usize,
}

impl fmt::Display for QrError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!("The plan is too large for a QR code that a phone reads well: packed it has {} bytes, and {} fit. Send the \
             link or the file.",
            self.bytes, self.room
        ))
    }
}

impl core::error::Error for QrError {}

/// The code of the link to a packed plan at the page's own address.
pub fn qr(address: &str, packed: &[u8]) -> Result<Code, QrError> {
    let (start, digits) = for_qr(address, packed);
    let segments = [
        QrSegment::make_bytes(start.as_bytes()),
        QrSegment::make_numeric(&digits),
    ];
    let made = QrCode::encode_segments_advanced(
        &segments,
        QrCodeEcc::Medium,
        Version::MIN,
        Version::new(LARGEST),
        // A fixed mask would do as well and cost less time; the standard wants the best of eight.
        None::<Mask>,
        true,
    );
    match made {
        Ok(code) => Ok(drawn(&code)),
        Err(DataTooLong::DataOverCapacity(bits, most)) => {
            let over = bits.saturating_sub(most).div_ceil(8);
            Err(QrError {
                bytes: packed.len(),
                room: packed.len().saturating_sub(over + 1),
            })
        }
        // One segment alone is longer than the largest version counts.
        Err(DataTooLong::SegmentTooLong) => Err(QrError {
            bytes: packed.len(),
            room: 980_usize.saturating_sub(start.len()),
        }),
    }
}

fn drawn(code: &QrCode) -> Code {
    let mut path = String::new();
    let size = code.size();
    for y in 0..size {
        let mut x = 0;
        while x < size {
            let run = (x..size).take_while(|&x| code.get_module(x, y)).count() as i32;
            if run > 0 {
                // Writing into a string cannot fail.
                let _ = write!(path, "M{} {}h{run}v1h-{run}z", x + QUIET, y + QUIET);
            }
            x += run.max(1);
        }
    }
    Code {
        side: size + 2 * QUIET,
        path,
        version: code.version().value(),
    }
}
