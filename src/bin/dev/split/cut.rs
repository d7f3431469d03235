//! Cuts a program in two: a first part that runs by itself, and the rest, which joins it later.
//!
//! The first part keeps memory, tables and globals and lends them to the rest. In it, a function of the rest is a short
//! stand-in: it sees to it that the rest is there and then calls through the table of functions, into which the rest puts
//! its own when it joins. So both parts are one program at any time, in one memory; a function that nobody expected to be
//! needed early only makes its caller wait.

use super::links::{Piece, address, gaps, overlap};
use super::program::{Fallible, Program, TABLE, said};
use std::collections::{BTreeMap, BTreeSet};
use wasm_encoder::reencode::{Reencode, RoundtripReencoder};
use wasm_encoder::{
    BlockType, CodeSection, ConstExpr, DataSection, ElementSection, Elements, EntityType,
    ExportKind, ExportSection, Function, FunctionSection, GlobalType, ImportSection, Instruction,
    MemorySection, Module, TableSection, TypeSection, ValType,
};
use wasmparser::{CompositeInnerType, ExternalKind, TypeRef};

/// Field of the function that the program imports to have the rest brought at once.
const BRING: &str = "wholeNow";
/// What the rest imports everything from.
const LENDER: &str = "l";

/// The two parts of a program.
#[derive(Debug)]
pub struct Parts {
    /// Runs by itself.
    pub first: Vec<u8>,
    /// Joins it.
    pub rest: Vec<u8>,
}

/// Writes code with other numbers for its functions.
struct Renumbered<'m>(&'m BTreeMap<u32, u32>);

impl Reencode for Renumbered<'_> {
    type Error = String;

    fn function_index(&mut self, index: u32) -> Result<u32, wasm_encoder::reencode::Error<String>> {
        self.0.get(&index).copied().ok_or_else(|| {
            wasm_encoder::reencode::Error::UserError(format!("function {index} has no number"))
        })
    }
}

impl Program<'_> {
    /// Cuts the program. `mark` is known to both parts: only those of one cut can join.
    pub fn cut(&self, kept: &Kept, mark: &str) -> Fallible<Parts> {
        let plan = Cut::of(self, kept, mark)?;
        Ok(Parts {
            first: plan.first(&kept.data)?,
            rest: plan.rest(&kept.data)?,
        })
    }
}

/// What the first part has. Functions are places among the program's own.
#[derive(Debug)]
pub struct Kept {
    /// Its functions.
    pub functions: BTreeSet<usize>,
    /// Its data.
    pub data: Vec<Piece>,
    /// The functions whose place in the table its code or its data names: any others it cannot call through the table.
    pub handed: BTreeSet<usize>,
}

/// How a program is cut.
struct Cut<'p, 'a> {
    program: &'p Program<'a>,
    early: &'p BTreeSet<usize>,
    mark: &'p str,
    /// The type of each function.
    types: Vec<u32>,
    /// What stands in the table of functions, with places added for stand-ins that had none.
    slots: BTreeMap<u32, u32>,
    /// How many places the table has.
    places: u32,
    /// Functions of the rest that the first part has a stand-in for, and the place each is called through.
    stand_ins: BTreeMap<u32, u32>,
    /// Functions that the rest needs from the first part, imported ones among them.
    lent: BTreeSet<u32>,
}

impl<'p, 'a> Cut<'p, 'a> {
    fn of(program: &'p Program<'a>, kept: &'p Kept, mark: &'p str) -> Fallible<Self> {
        let early = &kept.functions;
        let late = |index: &u32| program.own(*index).is_some_and(|own| !early.contains(&own));
        let mut stood_in: BTreeSet<u32> = BTreeSet::new();
        let mut lent = BTreeSet::new();
        for own in 0..program.len() {
            let callees = program.callees(own)?;
            if early.contains(&own) {
                stood_in.extend(callees.iter().filter(|index| late(index)));
            } else {
                lent.extend(callees.iter().filter(|index| !late(index)));
            }
        }
        for export in program.exports.clone() {
            let export = export.map_err(said)?;
            if export.kind == ExternalKind::Func && late(&export.index) {
                stood_in.insert(export.index);
            }
        }
        let mut slots = program.slots()?;
        let places_of: BTreeMap<u32, u32> = slots.iter().map(|(&at, &of)| (of, at)).collect();
        let handed = kept.handed.iter().map(|&own| program.imported + own as u32);
        stood_in.extend(handed.filter(|index| late(index) && places_of.contains_key(index)));
        let mut stand_ins = BTreeMap::new();
        let table = program.tables.clone().into_iter().next();
        let table = table
            .ok_or_else(|| said("it has no table"))?
            .map_err(said)?;
        let mut places = u32::try_from(table.ty.initial).map_err(said)?;
        for function in stood_in {
            let place = places_of.get(&function).copied().unwrap_or(places);
            stand_ins.insert(function, place);
            if place == places {
                slots.insert(places, function);
                places += 1;
            }
        }
        Ok(Self {
            program,
            early,
            mark,
            types: program.type_indices()?,
            slots,
            places,
            stand_ins,
            lent,
        })
    }

    fn is_late(&self, index: u32) -> bool {
        let own = self.program.own(index);
        own.is_some_and(|own| !self.early.contains(&own))
    }

    /// The type of the table of functions, with the places added.
    fn table_type(
        &self,
        table: &wasmparser::TableType,
        at: usize,
    ) -> Fallible<wasm_encoder::TableType> {
        let mut ty = RoundtripReencoder.table_type(*table).map_err(said)?;
        if at == TABLE as usize {
            ty.minimum = self.places.into();
            ty.maximum = ty.maximum.map(|most| most.max(ty.minimum));
        }
        Ok(ty)
    }

    fn type_section(&self) -> Fallible<TypeSection> {
        let mut types = TypeSection::new();
        let given = self.program.types.clone();
        RoundtripReencoder
            .parse_type_section(&mut types, given)
            .map_err(said)?;
        Ok(types)
    }

    /// Index of the global that tells whether the rest has joined: behind all others.
    fn joined(&self) -> u32 {
        self.program.globals.count()
    }

    fn first(&self, kept: &[Piece]) -> Fallible<Vec<u8>> {
        let program = self.program;
        let own = program.imported;
        let mut numbers: BTreeMap<u32, u32> = (0..own).map(|index| (index, index)).collect();
        let early = self.early.iter().map(|&at| own + at as u32);
        for (number, index) in (own..).zip(early.chain(self.stand_ins.keys().copied())) {
            numbers.insert(index, number);
        }
        let mut code_of = Renumbered(&numbers);
        let mut module = Module::new();
        module.section(&self.type_section()?);

        let mut imports = ImportSection::new();
        let given = program.imports.clone();
        code_of
            .parse_import_section(&mut imports, given)
            .map_err(said)?;
        module.section(&imports);

        let mut functions = FunctionSection::new();
        let early = self.early.iter().map(|&at| own + at as u32);
        for index in early.chain(self.stand_ins.keys().copied()) {
            functions.function(self.types[index as usize]);
        }
        module.section(&functions);

        let mut tables = TableSection::new();
        for (at, table) in program.tables.clone().into_iter().enumerate() {
            tables.table(self.table_type(&table.map_err(said)?.ty, at)?);
        }
        module.section(&tables);

        let mut memories = MemorySection::new();
        let given = program.memories.clone();
        code_of
            .parse_memory_section(&mut memories, given)
            .map_err(said)?;
        module.section(&memories);

        let mut globals = wasm_encoder::GlobalSection::new();
        let given = program.globals.clone();
        code_of
            .parse_global_section(&mut globals, given)
            .map_err(said)?;
        globals.global(JOINED_TYPE, &ConstExpr::i32_const(0));
        module.section(&globals);

        let mut exports = ExportSection::new();
        let given = program.exports.clone();
        code_of
            .parse_export_section(&mut exports, given)
            .map_err(said)?;
        exports.export(":m", ExportKind::Memory, 0);
        for table in 0..program.tables.count() {
            exports.export(&format!(":t{table}"), ExportKind::Table, table);
        }
        for global in 0..self.joined() {
            exports.export(&format!(":g{global}"), ExportKind::Global, global);
        }
        exports.export(self.mark, ExportKind::Global, self.joined());
        for (at, index) in self.lent.iter().enumerate() {
            exports.export(&lent_name(at), ExportKind::Func, numbers[index]);
        }
        module.section(&exports);

        let mut elements = ElementSection::new();
        // A place may be without a function; a stand-in is in the place of its own.
        let known = self.slots.iter();
        write_runs(
            &mut elements,
            known.filter_map(|(slot, index)| Some((*slot, *numbers.get(index)?))),
        );
        module.section(&elements);

        let bring = self.bring()?;
        let mut code = CodeSection::new();
        for &at in self.early {
            code_of
                .parse_function_body(&mut code, program.bodies[at].clone())
                .map_err(said)?;
        }
        let params = self.params()?;
        for (&index, &slot) in &self.stand_ins {
            let ty = self.types[index as usize];
            code.function(&self.stand_in(ty, params[ty as usize], slot, bring));
        }
        module.section(&code);
        module.section(&self.data(|segment| overlap(&segment, kept))?);
        Ok(module.finish())
    }

    /// The code of a stand-in.
    fn stand_in(&self, ty: u32, params: u32, slot: u32, bring: u32) -> Function {
        let mut code = Function::new([]);
        code.instruction(&Instruction::GlobalGet(self.joined()));
        code.instruction(&Instruction::I32Eqz);
        code.instruction(&Instruction::If(BlockType::Empty));
        code.instruction(&Instruction::Call(bring));
        code.instruction(&Instruction::End);
        for param in 0..params {
            code.instruction(&Instruction::LocalGet(param));
        }
        code.instruction(&Instruction::I32Const(slot.cast_signed()));
        code.instruction(&Instruction::CallIndirect {
            type_index: ty,
            table_index: TABLE,
        });
        code.instruction(&Instruction::End);
        code
    }

    /// The function that has the rest brought.
    fn bring(&self) -> Fallible<u32> {
        let imports = self.program.imports.clone().into_imports().flatten();
        let functions = imports.filter(|import| matches!(import.ty, TypeRef::Func(_)));
        let mut numbered = (0_u32..).zip(functions);
        let found = numbered.find(|(_, import)| import.name.contains(BRING));
        found
            .map(|(index, _)| index)
            .ok_or_else(|| said(format!("it imports no {BRING}")))
    }

    /// How many parameters each type of function has.
    fn params(&self) -> Fallible<Vec<u32>> {
        let mut params = Vec::new();
        for group in self.program.types.clone() {
            for ty in group.map_err(said)?.into_types() {
                params.push(match ty.composite_type.inner {
                    CompositeInnerType::Func(function) => function.params().len() as u32,
                    _ => 0,
                });
            }
        }
        Ok(params)
    }

    fn rest(&self, kept: &[Piece]) -> Fallible<Vec<u8>> {
        let program = self.program;
        let late = (program.imported..)
            .take(program.len())
            .filter(|&index| self.is_late(index));
        let mut numbers = BTreeMap::new();
        for (number, index) in (0..).zip(self.lent.iter().copied().chain(late.clone())) {
            numbers.insert(index, number);
        }
        let mut code_of = Renumbered(&numbers);
        let mut module = Module::new();
        module.section(&self.type_section()?);

        let mut imports = ImportSection::new();
        for memory in program.memories.clone() {
            let ty = code_of.memory_type(memory.map_err(said)?).map_err(said)?;
            imports.import(LENDER, ":m", EntityType::Memory(ty));
        }
        for (at, table) in program.tables.clone().into_iter().enumerate() {
            let ty = self.table_type(&table.map_err(said)?.ty, at)?;
            imports.import(LENDER, &format!(":t{at}"), EntityType::Table(ty));
        }
        for (at, global) in program.globals.clone().into_iter().enumerate() {
            let ty = code_of
                .global_type(global.map_err(said)?.ty)
                .map_err(said)?;
            imports.import(LENDER, &format!(":g{at}"), EntityType::Global(ty));
        }
        let joined = self.joined();
        imports.import(LENDER, self.mark, EntityType::Global(JOINED_TYPE));
        for (at, index) in self.lent.iter().enumerate() {
            imports.import(
                LENDER,
                &lent_name(at),
                EntityType::Function(self.types[*index as usize]),
            );
        }
        module.section(&imports);

        let mut functions = FunctionSection::new();
        for index in late.clone() {
            functions.function(self.types[index as usize]);
        }
        // The last function notes that the rest has joined: it runs once table and data are in place.
        let nullary = self.nullary()?;
        functions.function(nullary);
        module.section(&functions);
        module.section(&wasm_encoder::StartSection {
            function_index: numbers.len() as u32,
        });

        let mut elements = ElementSection::new();
        let own = self.slots.iter().filter(|(_, index)| self.is_late(**index));
        write_runs(
            &mut elements,
            own.map(|(slot, index)| (*slot, numbers[index])),
        );
        module.section(&elements);

        let mut code = CodeSection::new();
        for index in late {
            let body = program.bodies[(index - program.imported) as usize].clone();
            code_of.parse_function_body(&mut code, body).map_err(said)?;
        }
        let mut note = Function::new([]);
        note.instruction(&Instruction::I32Const(1));
        note.instruction(&Instruction::GlobalSet(joined));
        note.instruction(&Instruction::End);
        code.function(&note);
        module.section(&code);
        module.section(&self.data(|segment| gaps(&segment, kept))?);
        Ok(module.finish())
    }

    /// The type of a function without parameters and results.
    fn nullary(&self) -> Fallible<u32> {
        let bring = self.bring()?;
        Ok(self.types[bring as usize])
    }

    /// The parts of the data that are chosen of each segment.
    fn data(&self, chosen: impl Fn(Piece) -> Vec<Piece>) -> Fallible<DataSection> {
        let mut section = DataSection::new();
        for data in self.program.data.clone() {
            let data = data.map_err(said)?;
            let start = address(&data.kind)?;
            for piece in chosen(start..start + data.data.len() as u32) {
                let bytes =
                    &data.data[(piece.start - start) as usize..(piece.end - start) as usize];
                let at = ConstExpr::i32_const(piece.start.cast_signed());
                section.active(0, &at, bytes.iter().copied());
            }
        }
        Ok(section)
    }
}

/// A global that tells whether the rest has joined: 0 or 1.
const JOINED_TYPE: GlobalType = GlobalType {
    val_type: ValType::I32,
    mutable: true,
    shared: false,
};

/// The name under which the rest gets a function of the first part.
fn lent_name(at: usize) -> String {
    format!(":{at:x}")
}

/// Writes places of the table and what stands there, as few runs without a gap.
fn write_runs(section: &mut ElementSection, slots: impl Iterator<Item = (u32, u32)>) {
    let mut runs: Vec<(u32, Vec<u32>)> = Vec::new();
    for (slot, function) in slots {
        match runs.last_mut() {
            Some((start, run)) if *start + run.len() as u32 == slot => run.push(function),
            _ => runs.push((slot, vec![function])),
        }
    }
    for (start, run) in runs {
        let at = ConstExpr::i32_const(start.cast_signed());
        section.active(None, &at, Elements::Functions(run.into()));
    }
}
