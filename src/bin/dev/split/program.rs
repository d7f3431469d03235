//! A program as the glue writer left it: its sections, what can be asked of it, and a copy of it whose functions leave marks.

use super::links::{address, function_names};
use std::collections::{BTreeMap, BTreeSet};
use wasm_encoder::reencode::{Reencode, RoundtripReencoder};
use wasm_encoder::{
    CodeSection, DataSection, ElementSection, ExportKind, ExportSection, FunctionSection,
    ImportSection, Instruction, MemorySection, Module, TableSection, TypeSection,
};
use wasmparser::{
    DataSectionReader, ElementItems, ElementKind, ElementSectionReader, ExportSectionReader,
    FunctionBody, FunctionSectionReader, GlobalSectionReader, ImportSectionReader, KnownCustom,
    MemorySectionReader, Operator, Parser, Payload, TableSectionReader, TypeRef, TypeSectionReader,
};

/// The table of functions.
pub const TABLE: u32 = 0;

/// A program, read.
#[derive(Debug)]
pub struct Program<'a> {
    pub(super) types: TypeSectionReader<'a>,
    pub(super) imports: ImportSectionReader<'a>,
    pub(super) functions: FunctionSectionReader<'a>,
    pub(super) tables: TableSectionReader<'a>,
    pub(super) memories: MemorySectionReader<'a>,
    pub(super) globals: GlobalSectionReader<'a>,
    pub(super) exports: ExportSectionReader<'a>,
    pub(super) elements: ElementSectionReader<'a>,
    pub(super) data: DataSectionReader<'a>,
    pub(super) bodies: Vec<FunctionBody<'a>>,
    pub(super) names: BTreeMap<u32, String>,
    /// How many functions are imported: they come first in the numbering.
    pub(super) imported: u32,
}

pub(super) type Fallible<T> = Result<T, String>;

pub(super) fn said(error: impl std::fmt::Display) -> String {
    format!("The built program: {error}.")
}

impl<'a> Program<'a> {
    /// Reads a program as the glue writer left it.
    pub fn read(wasm: &'a [u8]) -> Fallible<Self> {
        let mut sections = Sections::default();
        for payload in Parser::new(0).parse_all(wasm) {
            match payload.map_err(said)? {
                Payload::TypeSection(reader) => sections.types = Some(reader),
                Payload::ImportSection(reader) => sections.imports = Some(reader),
                Payload::FunctionSection(reader) => sections.functions = Some(reader),
                Payload::TableSection(reader) => sections.tables = Some(reader),
                Payload::MemorySection(reader) => sections.memories = Some(reader),
                Payload::GlobalSection(reader) => sections.globals = Some(reader),
                Payload::ExportSection(reader) => sections.exports = Some(reader),
                Payload::ElementSection(reader) => sections.elements = Some(reader),
                Payload::DataSection(reader) => sections.data = Some(reader),
                Payload::CodeSectionEntry(body) => sections.bodies.push(body),
                Payload::CustomSection(reader) => {
                    if let KnownCustom::Name(reader) = reader.as_known() {
                        sections.names = function_names(reader).map_err(said)?;
                    }
                }
                Payload::Version { .. }
                | Payload::CodeSectionStart { .. }
                | Payload::DataCountSection { .. }
                | Payload::End(_) => {}
                other => return Err(said(format!("a section that cannot be cut: {other:?}"))),
            }
        }
        sections.whole().ok_or_else(|| said("a section is missing"))
    }

    /// How many functions it has of its own.
    pub fn len(&self) -> usize {
        self.bodies.len()
    }

    /// The name of one of its own functions; empty if it has none.
    pub fn name(&self, own: usize) -> &str {
        let index = self.imported + own as u32;
        self.names.get(&index).map_or("", String::as_str)
    }

    /// The size of a function's code in bytes.
    pub fn size(&self, own: usize) -> usize {
        self.bodies[own].range().len()
    }

    /// The place among its own functions of a function by its index; `None` for an imported one.
    pub(super) fn own(&self, index: u32) -> Option<usize> {
        index.checked_sub(self.imported).map(|own| own as usize)
    }

    /// The functions that a function's code names.
    pub(super) fn callees(&self, own: usize) -> Fallible<BTreeSet<u32>> {
        let mut callees = BTreeSet::new();
        for operator in self.bodies[own].get_operators_reader().map_err(said)? {
            match operator.map_err(said)? {
                Operator::Call { function_index }
                | Operator::ReturnCall { function_index }
                | Operator::RefFunc { function_index } => {
                    callees.insert(function_index);
                }
                _ => {}
            }
        }
        Ok(callees)
    }

    /// Those of its own functions that a function's code names.
    pub fn own_callees(&self, own: usize) -> Fallible<Vec<usize>> {
        let callees = self.callees(own)?;
        Ok(callees
            .into_iter()
            .filter_map(|index| self.own(index))
            .collect())
    }

    /// Whether a function's code has a number that could be an address of the program's data.
    pub fn may_name_data(&self, own: usize) -> Fallible<bool> {
        let mut data = Vec::new();
        for segment in self.data.clone() {
            let segment = segment.map_err(said)?;
            let start = address(&segment.kind)?;
            data.push(start..start + segment.data.len() as u32);
        }
        let numbers = self.numbers(own)?;
        Ok(numbers
            .iter()
            .any(|number| data.iter().any(|range| range.contains(number))))
    }

    /// Its own functions whose place in the table could be a number in a function's code.
    pub fn may_hand_on(&self, own: usize) -> Fallible<Vec<usize>> {
        let (slots, numbers) = (self.slots()?, self.numbers(own)?);
        let functions = numbers.iter().filter_map(|number| slots.get(number));
        Ok(functions.filter_map(|&index| self.own(index)).collect())
    }

    /// The numbers in a function's code.
    fn numbers(&self, own: usize) -> Fallible<BTreeSet<u32>> {
        let mut numbers = BTreeSet::new();
        for operator in self.bodies[own].get_operators_reader().map_err(said)? {
            if let Operator::I32Const { value } = operator.map_err(said)? {
                numbers.insert(value.cast_unsigned());
            }
        }
        Ok(numbers)
    }

    /// What stands in the table of functions at the start: place and function.
    pub(super) fn slots(&self) -> Fallible<BTreeMap<u32, u32>> {
        let mut slots = BTreeMap::new();
        for element in self.elements.clone() {
            let element = element.map_err(said)?;
            let (
                ElementKind::Active {
                    table_index: None | Some(TABLE),
                    offset_expr,
                },
                ElementItems::Functions(functions),
            ) = (element.kind, element.items)
            else {
                return Err(said("elements of a kind that cannot be cut"));
            };
            let Operator::I32Const { value } =
                offset_expr.get_operators_reader().read().map_err(said)?
            else {
                return Err(said("elements without a fixed place"));
            };
            for (at, function) in (value.cast_unsigned()..).zip(functions) {
                slots.insert(at, function.map_err(said)?);
            }
        }
        Ok(slots)
    }

    /// The index of each function's type, imported functions first.
    pub(super) fn type_indices(&self) -> Fallible<Vec<u32>> {
        let mut indices = Vec::new();
        for import in self.imports.clone().into_imports() {
            if let TypeRef::Func(index) = import.map_err(said)?.ty {
                indices.push(index);
            }
        }
        for index in self.functions.clone() {
            indices.push(index.map_err(said)?);
        }
        Ok(indices)
    }
}

/// The sections of a program while it is read.
#[derive(Default)]
struct Sections<'a> {
    types: Option<TypeSectionReader<'a>>,
    imports: Option<ImportSectionReader<'a>>,
    functions: Option<FunctionSectionReader<'a>>,
    tables: Option<TableSectionReader<'a>>,
    memories: Option<MemorySectionReader<'a>>,
    globals: Option<GlobalSectionReader<'a>>,
    exports: Option<ExportSectionReader<'a>>,
    elements: Option<ElementSectionReader<'a>>,
    data: Option<DataSectionReader<'a>>,
    bodies: Vec<FunctionBody<'a>>,
    names: BTreeMap<u32, String>,
}

impl<'a> Sections<'a> {
    fn whole(self) -> Option<Program<'a>> {
        let imports = self.imports?;
        let imported = imports
            .clone()
            .into_imports()
            .flatten()
            .filter(|import| matches!(import.ty, TypeRef::Func(_)))
            .count() as u32;
        Some(Program {
            types: self.types?,
            imports,
            functions: self.functions?,
            tables: self.tables?,
            memories: self.memories?,
            globals: self.globals?,
            exports: self.exports?,
            elements: self.elements?,
            data: self.data?,
            bodies: self.bodies,
            names: self.names,
            imported,
        })
    }
}

impl Program<'_> {
    /// The program with a second memory, exported as `marks`, in which every function that runs sets the byte of its place.
    pub fn marked(&self) -> Fallible<Vec<u8>> {
        let mut code_of = RoundtripReencoder;
        let mut module = Module::new();
        let mut types = TypeSection::new();
        code_of
            .parse_type_section(&mut types, self.types.clone())
            .map_err(said)?;
        let mut imports = ImportSection::new();
        code_of
            .parse_import_section(&mut imports, self.imports.clone())
            .map_err(said)?;
        let mut functions = FunctionSection::new();
        code_of
            .parse_function_section(&mut functions, self.functions.clone())
            .map_err(said)?;
        let mut tables = TableSection::new();
        code_of
            .parse_table_section(&mut tables, self.tables.clone())
            .map_err(said)?;
        let mut memories = MemorySection::new();
        code_of
            .parse_memory_section(&mut memories, self.memories.clone())
            .map_err(said)?;
        let marks = memories.len();
        memories.memory(wasm_encoder::MemoryType {
            minimum: (self.len() as u64).div_ceil(1 << 16),
            maximum: None,
            memory64: false,
            shared: false,
            page_size_log2: None,
        });
        let mut globals = wasm_encoder::GlobalSection::new();
        code_of
            .parse_global_section(&mut globals, self.globals.clone())
            .map_err(said)?;
        let mut exports = ExportSection::new();
        code_of
            .parse_export_section(&mut exports, self.exports.clone())
            .map_err(said)?;
        exports.export("marks", ExportKind::Memory, marks);
        let mut elements = ElementSection::new();
        code_of
            .parse_element_section(&mut elements, self.elements.clone())
            .map_err(said)?;
        let mut code = CodeSection::new();
        for (own, body) in self.bodies.iter().enumerate() {
            let mut function = code_of
                .new_function_with_parsed_locals(body)
                .map_err(said)?;
            function.instruction(&Instruction::I32Const(own as i32));
            function.instruction(&Instruction::I32Const(1));
            function.instruction(&Instruction::I32Store8(wasm_encoder::MemArg {
                offset: 0,
                align: 0,
                memory_index: marks,
            }));
            let mut reader = body.get_operators_reader().map_err(said)?;
            while !reader.eof() {
                let instruction = code_of.parse_instruction(&mut reader).map_err(said)?;
                function.instruction(&instruction);
            }
            code.function(&function);
        }
        let mut data = DataSection::new();
        code_of
            .parse_data_section(&mut data, self.data.clone())
            .map_err(said)?;
        module
            .section(&types)
            .section(&imports)
            .section(&functions)
            .section(&tables);
        module
            .section(&memories)
            .section(&globals)
            .section(&exports)
            .section(&elements);
        module.section(&code).section(&data);
        Ok(module.finish())
    }
}
