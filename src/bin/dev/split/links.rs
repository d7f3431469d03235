//! What every function of the linked program refers to: data, and functions by their place in the table.
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
    /// The functions whose place in the table a function's code names, by the function's name.
    handed_by_function: BTreeMap<String, BTreeSet<String>>,
    /// Where there is a function's place in the data, and the function; by address.
    handlers: Vec<(u32, String)>,
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
    let mut symbols: Vec<Meant> = Vec::new();
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
                                symbols.push(meant(&symbol.map_err(said)?, &segments));
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
            let at = start + entry.offset as usize;
            let place = {
                let body = bodies.partition_point(|body| body.end <= at);
                let inside = bodies.get(body).is_some_and(|body| body.contains(&at));
                let data = segments.iter().find(|(_, bytes)| bytes.contains(&at));
                match (inside.then_some(body), data) {
                    (Some(body), _) => Place::Code(
                        names
                            .get(&(imported + body as u32))
                            .ok_or("The linked program has a function without a name.")?,
                    ),
                    (None, Some((base, bytes))) => Place::Data(base + (at - bytes.start) as u32),
                    // What says where the code came from, for people.
                    (None, None) => continue,
                }
            };
            match symbols.get(entry.index as usize) {
                Some(Meant::Function(index)) if is_place(entry.ty) => {
                    let name = names
                        .get(index)
                        .ok_or("The linked program hands on a function without a name.")?;
                    links.note_function(place, name);
                }
                Some(Meant::Data(piece)) if is_address(entry.ty) => {
                    let stands = filled_in(wasm, at, entry.ty);
                    if stands != Some(i64::from(piece.start) + entry.addend) {
                        return Err(format!(
                            "The linked program has another address at {at} than its relocations say."
                        ));
                    }
                    links.note_data(place, piece);
                }
                // A bound of the memory, which the linker alone knows: nothing lies there. Or a call, a type, a global.
                _ => {}
            }
        }
    }
    links.pointers.sort_by_key(|(at, meant)| (*at, meant.start));
    links.handlers.sort();
    Ok(links)
}

/// What a symbol stands for.
enum Meant {
    Data(Piece),
    /// A function by its index.
    Function(u32),
    Other,
}

/// Where something is named.
enum Place<'n> {
    /// In the code of a function.
    Code(&'n str),
    /// At an address of the data.
    Data(u32),
}

impl Links {
    fn note_data(&mut self, place: Place, piece: &Piece) {
        match place {
            Place::Code(name) => {
                let named = self.by_function.entry(name.to_owned()).or_default();
                named.push(piece.clone());
            }
            Place::Data(at) => self.pointers.push((at, piece.clone())),
        }
    }

    fn note_function(&mut self, place: Place, function: &str) {
        match place {
            Place::Code(name) => {
                let named = self.handed_by_function.entry(name.to_owned()).or_default();
                named.insert(function.to_owned());
            }
            Place::Data(at) => self.handlers.push((at, function.to_owned())),
        }
    }

    /// The functions whose places in the table these functions and these pieces of the data name.
    pub fn handed<'a>(
        &self,
        functions: impl Iterator<Item = &'a str>,
        kept: &[Piece],
    ) -> BTreeSet<&str> {
        let code = functions.filter_map(|name| self.handed_by_function.get(name));
        let data = kept.iter().flat_map(|piece| {
            let first = self.handlers.partition_point(|(at, _)| *at < piece.start);
            let inside = self.handlers[first..].iter();
            inside.take_while(|(at, _)| *at < piece.end)
        });
        let data = data.map(|(_, function)| function);
        code.flatten().chain(data).map(String::as_str).collect()
    }

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

/// The parts of a range that lie in the pieces. The pieces are in order and do not touch.
pub fn overlap(range: &Piece, pieces: &[Piece]) -> Vec<Piece> {
    let cut = pieces
        .iter()
        .map(|piece| piece.start.max(range.start)..piece.end.min(range.end));
    cut.filter(|piece| !piece.is_empty()).collect()
}

/// The parts of a range that lie in none of the pieces.
pub fn gaps(range: &Piece, pieces: &[Piece]) -> Vec<Piece> {
    let mut start = range.start;
    let mut gaps = Vec::new();
    for piece in overlap(range, pieces) {
        gaps.push(start..piece.start);
        start = piece.end;
    }
    gaps.push(start..range.end);
    gaps.retain(|gap| !gap.is_empty());
    gaps
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

/// Whether a relocation is for a function's place in the table.
const fn is_place(ty: RelocationType) -> bool {
    use RelocationType::{TableIndexI32, TableIndexI64, TableIndexRelSleb, TableIndexSleb};
    matches!(
        ty,
        TableIndexI32 | TableIndexI64 | TableIndexRelSleb | TableIndexSleb
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

/// What a symbol stands for.
fn meant(symbol: &SymbolInfo, segments: &[(u32, Range<usize>)]) -> Meant {
    match symbol {
        SymbolInfo::Func { index, .. } => Meant::Function(*index),
        SymbolInfo::Data {
            symbol: Some(data), ..
        } => segments
            .get(data.index as usize)
            .map_or(Meant::Other, |(base, _)| {
                let start = base + data.offset;
                Meant::Data(start..start + data.size)
            }),
        _ => Meant::Other,
    }
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

    #[test]
    fn a_place_in_the_table_is_handed_on_by_code_and_by_data() {
        let name = str::to_owned;
        let links = Links {
            handed_by_function: [(name("f"), [name("a"), name("b")].into())].into(),
            handlers: vec![(8, name("c")), (12, name("d")), (40, name("e"))],
            ..Links::default()
        };
        let handed = |functions: &[&str], kept: &[Piece]| -> String {
            let all = links.handed(functions.iter().copied(), kept);
            all.into_iter().collect()
        };
        assert_eq!(handed(&["f", "g"], &[]), "ab");
        assert_eq!(handed(&[], &[0..12, 40..44]), "ce");
        assert_eq!(handed(&["f"], &[9..11, 12..13]), "abd");
    }

    #[test]
    fn every_byte_of_the_data_goes_to_one_part() {
        let pieces = [0..5, 12..14, 18..40];
        assert_eq!(overlap(&(10..20), &pieces), [12..14, 18..20]);
        assert_eq!(gaps(&(10..20), &pieces), [10..12, 14..18]);
        assert_eq!(gaps(&(18..20), &pieces), [0..0; 0]);
        assert_eq!(gaps(&(30..44), &pieces).first(), Some(&(40..44)));
    }
}
