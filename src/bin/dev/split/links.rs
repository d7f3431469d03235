//! What every function of the linked program refers to in its data.
//!
//! With `--emit-relocs` the linker leaves a list of all places it filled in (WebAssembly tool conventions, "Linking":
//! <https://github.com/WebAssembly/tool-conventions/blob/main/Linking.md>). Each names the symbol that was meant, whatever
//! was added to its address, so nothing has to be guessed from numbers in the code.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use wasmparser::{
    BinaryReaderError, DataKind, KnownCustom, Linking, Name, NameSectionReader, Operator, Parser,
    Payload, RelocSectionReader, RelocationType, SymbolInfo, TypeRef,
};

/// A piece of the program's data: its addresses, from the first byte to behind the last.
pub type Piece = Range<u32>;

/// The references of a linked program.
#[derive(Debug, Default)]
pub struct Links {
    /// The pieces of data that a function's code names, by the function's name.
    by_function: BTreeMap<String, Vec<Piece>>,
    /// Where there is a pointer in the data, and the piece it points to; by address.
    pointers: Vec<(u32, Piece)>,
    /// All functions.
    functions: BTreeSet<String>,
}

/// Reads the references of a program as the linker wrote it, before anything else changed it.
pub fn read(wasm: &[u8]) -> Result<Links, String> {
    let said = |error: BinaryReaderError| format!("The linked program: {error}.");
    let mut sections: Vec<usize> = Vec::new();
    let mut imported = 0;
    let mut bodies: Vec<Range<usize>> = Vec::new();
    let mut names: BTreeMap<u32, String> = BTreeMap::new();
    // Address of each segment, and where its bytes are in the file.
    let mut segments: Vec<(u32, Range<usize>)> = Vec::new();
    let mut symbols: Vec<Option<Piece>> = Vec::new();
    let mut filled: Vec<RelocSectionReader> = Vec::new();
    for payload in Parser::new(0).parse_all(wasm) {
        let payload = payload.map_err(said)?;
        if let Some((_, range)) = payload.as_section() {
            sections.push(range.start);
        }
        match payload {
            Payload::ImportSection(reader) => {
                for import in reader.into_imports() {
                    let import = import.map_err(said)?;
                    imported += u32::from(matches!(import.ty, TypeRef::Func(_)));
                }
            }
            Payload::CodeSectionEntry(body) => bodies.push(body.range()),
            Payload::DataSection(reader) => {
                for data in reader {
                    let data = data.map_err(said)?;
                    let end = data.range.end;
                    segments.push((address(&data.kind)?, end - data.data.len()..end));
                }
            }
            Payload::CustomSection(reader) => match reader.as_known() {
                KnownCustom::Name(reader) => names = function_names(reader).map_err(said)?,
                KnownCustom::Linking(reader) => {
                    for part in reader.subsections() {
                        if let Linking::SymbolTable(map) = part.map_err(said)? {
                            for symbol in map {
                                symbols.push(piece(&symbol.map_err(said)?, &segments));
                            }
                        }
                    }
                }
                KnownCustom::Reloc(reader) => filled.push(reader),
                _ => {}
            },
            _ => {}
        }
    }
    if symbols.is_empty() || filled.is_empty() {
        return Err("The linked program has no relocations: it needs --emit-relocs.".to_owned());
    }
    let mut links = Links {
        functions: names.values().cloned().collect(),
        ..Links::default()
    };
    for reader in filled {
        let start = *sections
            .get(reader.section_index() as usize)
            .ok_or("The linked program has relocations for a section it lacks.")?;
        for entry in reader.entries() {
            let entry = entry.map_err(said)?;
            if !is_address(entry.ty) {
                continue;
            }
            let Some(Some(meant)) = symbols.get(entry.index as usize) else {
                // A bound of the memory, which the linker alone knows: nothing lies there.
                continue;
            };
            let at = start + entry.offset as usize;
            let stands = filled_in(wasm, at, entry.ty);
            if stands != Some(i64::from(meant.start) + entry.addend) {
                return Err(format!(
                    "The linked program has another address at {at} than its relocations say."
                ));
            }
            let body = bodies.partition_point(|body| body.end <= at);
            if bodies.get(body).is_some_and(|body| body.contains(&at)) {
                let name = names
                    .get(&(imported + body as u32))
                    .ok_or("The linked program has a function without a name.")?;
                let named = links.by_function.entry(name.clone()).or_default();
                named.push(meant.clone());
            } else if let Some((base, bytes)) =
                segments.iter().find(|(_, bytes)| bytes.contains(&at))
            {
                let at = base + (at - bytes.start) as u32;
                links.pointers.push((at, meant.clone()));
            }
        }
    }
    links.pointers.sort_by_key(|(at, meant)| (*at, meant.start));
    Ok(links)
}

impl Links {
    /// Whether the linker knows a function of this name.
    pub fn knows(&self, function: &str) -> bool {
        self.functions.contains(function)
    }

    /// All data that the functions can come upon: what their code names, and what that points to in turn. Ranges that
    /// touch are joined.
    pub fn reach<'a>(&self, functions: impl Iterator<Item = &'a str>) -> Vec<Piece> {
        let named = functions.filter_map(|name| self.by_function.get(name));
        let mut open: Vec<&Piece> = named.flatten().collect();
        let mut seen = BTreeSet::new();
        while let Some(piece) = open.pop() {
            if !seen.insert((piece.start, piece.end)) {
                continue;
            }
            let first = self.pointers.partition_point(|(at, _)| *at < piece.start);
            let inside = self.pointers[first..]
                .iter()
                .take_while(|(at, _)| *at < piece.end);
            open.extend(inside.map(|(_, meant)| meant));
        }
        joined(seen.into_iter().map(|(start, end)| start..end))
    }
}

/// Ranges in order, those that touch as one.
fn joined(pieces: impl Iterator<Item = Piece>) -> Vec<Piece> {
    let mut joined: Vec<Piece> = Vec::new();
    for piece in pieces.filter(|piece| !piece.is_empty()) {
        match joined.last_mut() {
            Some(last) if piece.start <= last.end => last.end = last.end.max(piece.end),
            _ => joined.push(piece),
        }
    }
    joined
}

/// Whether a relocation is for an address in the memory, rather than for a function, a type or a global.
fn is_address(ty: RelocationType) -> bool {
    use RelocationType::{
        EventIndexLeb, FunctionIndexI32, FunctionIndexLeb, FunctionOffsetI32, GlobalIndexI32,
        GlobalIndexLeb, SectionOffsetI32, TableIndexI32, TableIndexSleb, TableNumberLeb,
        TypeIndexLeb,
    };
    // All others count as addresses; one of a kind that is not read here is an error, not overlooked.
    !matches!(
        ty,
        EventIndexLeb
            | FunctionIndexI32
            | FunctionIndexLeb
            | FunctionOffsetI32
            | GlobalIndexI32
            | GlobalIndexLeb
            | SectionOffsetI32
            | TableIndexI32
            | TableIndexSleb
            | TableNumberLeb
            | TypeIndexLeb
    )
}

/// The address that the linker filled in at a place of the file.
fn filled_in(wasm: &[u8], at: usize, ty: RelocationType) -> Option<i64> {
    let bytes = wasm.get(at..at + 5)?;
    // Five bytes of seven bits each, the lowest first.
    let packed = bytes
        .iter()
        .rev()
        .fold(0_i64, |all, byte| all << 7 | i64::from(byte & 127));
    match ty {
        RelocationType::MemoryAddrI32 => Some(
            bytes[..4]
                .iter()
                .rev()
                .fold(0, |all, byte| all << 8 | i64::from(*byte)),
        ),
        RelocationType::MemoryAddrLeb => Some(packed),
        // The sign is the highest of the 35 bits.
        RelocationType::MemoryAddrSleb => Some((packed << 29) >> 29),
        _ => None,
    }
}

/// The address that an active segment is put at.
pub fn address(kind: &DataKind) -> Result<u32, String> {
    if let DataKind::Active { offset_expr, .. } = kind
        && let Ok(Operator::I32Const { value }) = offset_expr.get_operators_reader().read()
    {
        return Ok(value.cast_unsigned());
    }
    Err("The program has data without a fixed address.".to_owned())
}

/// The names of the functions, by index.
pub fn function_names(
    reader: NameSectionReader,
) -> Result<BTreeMap<u32, String>, BinaryReaderError> {
    let mut names = BTreeMap::new();
    for part in reader {
        if let Name::Function(map) = part? {
            for name in map {
                let name = name?;
                names.insert(name.index, name.name.to_owned());
            }
        }
    }
    Ok(names)
}

/// The piece that a symbol stands for, if it stands for data.
fn piece(symbol: &SymbolInfo, segments: &[(u32, Range<usize>)]) -> Option<Piece> {
    let SymbolInfo::Data {
        symbol: Some(data), ..
    } = symbol
    else {
        return None;
    };
    let (base, _) = segments.get(data.index as usize)?;
    let start = base + data.offset;
    Some(start..start + data.size)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_that_touch_are_one() {
        let pieces = [10..20, 15..18, 20..24, 25..25, 30..31];
        assert_eq!(joined(pieces.into_iter()), [10..24, 30..31]);
    }

    #[test]
    fn addresses_are_read_as_the_linker_writes_them() {
        // 1 048 576 = 2^20, and -64 as `wasm-ld` pads them: <https://en.wikipedia.org/wiki/LEB128>.
        let up = [0x80, 0x80, 0xc0, 0x80, 0x00];
        let down = [0xc0, 0xff, 0xff, 0xff, 0x7f];
        assert_eq!(
            filled_in(&up, 0, RelocationType::MemoryAddrLeb),
            Some(1 << 20)
        );
        assert_eq!(
            filled_in(&up, 0, RelocationType::MemoryAddrSleb),
            Some(1 << 20)
        );
        assert_eq!(
            filled_in(&down, 0, RelocationType::MemoryAddrSleb),
            Some(-64)
        );
        assert_eq!(
            filled_in(&[0, 0, 16, 0, 9], 0, RelocationType::MemoryAddrI32),
            Some(1 << 20)
        );
        assert_eq!(filled_in(&up[..3], 0, RelocationType::MemoryAddrLeb), None);
    }

    #[test]
    fn what_is_named_leads_to_what_that_points_to() {
        let links = Links {
            by_function: [
                ("f".to_owned(), vec![0..8, 2..4]),
                ("g".to_owned(), vec![40..44, 42..44]),
            ]
            .into(),
            pointers: vec![(4, 20..24), (21, 30..32), (40, 0..8), (90, 50..60)],
            ..Links::default()
        };
        assert_eq!(links.reach(["f"].into_iter()), [0..8, 20..24, 30..32]);
        assert_eq!(
            links.reach(["g"].into_iter()),
            [0..8, 20..24, 30..32, 40..44]
        );
        assert_eq!(links.reach(["h"].into_iter()), [0..0; 0]);
    }
}
