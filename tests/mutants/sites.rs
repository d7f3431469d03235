//! Finds the mutants of one source file and rewrites the file so that each can be switched on by its number.
//!
//! A rewritten expression stands twice, as it was and changed, in the two arms of an `if`: only one is evaluated, so what is
//! borrowed, moved and inferred stays as it was. A changed condition is `condition ^ on(number)`. A changed body
//! is an early return. All of it is text put between the bytes of the file: no line moves.

use proc_macro2::Span;
use quote::ToTokens;
use std::collections::{HashMap, HashSet};
use std::ops::Range;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{BinOp, Expr, ReturnType, Type};

/// One change of the code.
#[derive(Debug, Clone)]
pub struct Mutant {
    /// What `::mutant::on` is asked for.
    pub number: u32,
    /// File, function, place in the function and change: the same from run to run while the function stays.
    pub key: String,
    /// The file, from the root of the package.
    pub file: String,
    /// The line of the change.
    pub line: usize,
    /// The function it is in.
    pub function: String,
    /// What is changed, in words of the code.
    pub change: String,
    /// The bytes of the original that the change replaces or guards.
    pub node: Range<usize>,
}

/// Text to be put in at a byte of the file.
struct Insert {
    at: usize,
    /// Ends stand before starts; of ends the inner first, of starts the outer.
    order: (bool, i64),
    text: String,
    mutant: Option<u32>,
}

/// A file with its mutants compiled in.
pub struct Rewritten {
    /// The new text.
    pub text: String,
    /// Every mutant that was found, also those left out.
    pub mutants: Vec<Mutant>,
    /// Which bytes of the new text belong to which mutant.
    pub owners: Vec<(Range<usize>, u32)>,
    /// Where each byte of the new text stood in the old one: starts of runs, in the new and the old text.
    runs: Vec<(usize, usize)>,
}

impl Rewritten {
    /// The byte of the original behind a byte of the new text.
    pub fn original(&self, at: usize) -> usize {
        let run = self.runs.partition_point(|&(new, _)| new <= at);
        let (new, old) = self.runs[run.saturating_sub(1)];
        old + (at - new)
    }
}

/// Rewrites one file. Numbers start at `first`; keys in `dropped` keep their number and are left out.
pub fn rewrite(
    file: &str,
    text: &str,
    first: u32,
    dropped: &HashSet<String>,
) -> Result<Rewritten, String> {
    let parsed = syn::parse_file(text).map_err(|e| format!("{file} does not parse: {e}."))?;
    let mut finder = Finder {
        file,
        dropped,
        path: Vec::new(),
        counts: HashMap::new(),
        inserts: Vec::new(),
        mutants: Vec::new(),
        next: first,
        turn: 0,
    };
    finder.visit_file(&parsed);
    let (mut inserts, mutants) = (finder.inserts, finder.mutants);
    inserts.sort_by_key(|insert| (insert.at, insert.order));
    let mut new = Rewritten {
        text: String::new(),
        mutants,
        owners: Vec::new(),
        runs: vec![(0, 0)],
    };
    let mut done = 0;
    for insert in inserts {
        new.text.push_str(&text[done..insert.at]);
        done = insert.at;
        let start = new.text.len();
        new.text.push_str(&insert.text);
        if let Some(number) = insert.mutant {
            new.owners.push((start..new.text.len(), number));
        }
        new.runs.push((new.text.len(), done));
    }
    new.text.push_str(&text[done..]);
    Ok(new)
}

/// The modules that this file declares for tests only.
pub fn test_modules(text: &str) -> Vec<String> {
    let items = syn::parse_file(text)
        .map(|file| file.items)
        .unwrap_or_default();
    let declared = items.iter().filter_map(|item| match item {
        syn::Item::Mod(module) if module.content.is_none() && only_for_tests(&module.attrs) => {
            Some(module.ident.to_string())
        }
        _ => None,
    });
    declared.collect()
}

struct Finder<'a> {
    file: &'a str,
    dropped: &'a HashSet<String>,
    path: Vec<String>,
    counts: HashMap<String, usize>,
    inserts: Vec<Insert>,
    mutants: Vec<Mutant>,
    next: u32,
    turn: i64,
}

impl Finder<'_> {
    /// Takes up a mutant; `None` if it was left out.
    fn mutant(&mut self, span: Span, node: Range<usize>, change: String) -> Option<u32> {
        let number = self.next;
        self.next += 1;
        let function = self.path.join("::");
        let count = self
            .counts
            .entry(format!("{function} {change}"))
            .or_default();
        *count += 1;
        let key = format!("{} {function} {count} {change}", self.file);
        let kept = !self.dropped.contains(&key);
        self.mutants.push(Mutant {
            number,
            key,
            file: self.file.to_owned(),
            line: span.start().line,
            function,
            change,
            node,
        });
        kept.then_some(number)
    }

    fn start(&mut self, at: usize, text: String, mutant: Option<u32>) {
        self.turn += 1;
        self.inserts.push(Insert {
            at,
            order: (true, self.turn),
            text,
            mutant,
        });
    }

    fn end(&mut self, at: usize, text: String, mutant: Option<u32>) {
        self.turn += 1;
        self.inserts.push(Insert {
            at,
            order: (false, self.turn),
            text,
            mutant,
        });
    }

    /// Puts the other code beside a node, visits what is inside, and negates the whole if that is asked for.
    fn choose(
        &mut self,
        expr: &Expr,
        at: Span,
        other: Option<(String, String)>,
        negated: Option<String>,
        inside: impl FnOnce(&mut Self),
    ) {
        let node = expr.span().byte_range();
        let other =
            other.and_then(|(change, code)| Some((self.mutant(at, node.clone(), change)?, code)));
        let negated = negated.and_then(|change| self.mutant(at, node.clone(), change));
        if negated.is_some() {
            self.start(node.start, "((".to_owned(), None);
        }
        if let Some((number, code)) = &other {
            let text = format!("(if ::mutant::on({number}) {{ {code} }} else {{ ");
            self.start(node.start, text, Some(*number));
        }
        inside(self);
        if let Some((number, _)) = other {
            self.end(node.end, " })".to_owned(), Some(number));
        }
        if let Some(number) = negated {
            self.end(
                node.end,
                format!(") ^ ::mutant::on({number}))"),
                Some(number),
            );
        }
    }

    fn binary(&mut self, expr: &Expr, binary: &syn::ExprBinary) {
        let (left, right) = (code(&binary.left), code(&binary.right));
        let old = one_line(&binary.op);
        let swap = |new: &str| {
            let change = format!("`{old}` becomes `{new}`: {}", short(expr));
            Some((change, format!("{left} {new} {right}")))
        };
        let not = |sign: &str| Some(format!("`{old}` becomes `{sign}`: {}", short(expr)));
        let (other, negated) = match binary.op {
            BinOp::Lt(_) => (swap("<="), not(">=")),
            BinOp::Le(_) => (swap("<"), not(">")),
            BinOp::Gt(_) => (swap(">="), not("<=")),
            BinOp::Ge(_) => (swap(">"), not("<")),
            BinOp::Eq(_) => (None, not("!=")),
            BinOp::Ne(_) => (None, not("==")),
            BinOp::And(_) => (swap("||"), None),
            BinOp::Or(_) => (swap("&&"), None),
            BinOp::Add(_) => (swap("-"), None),
            BinOp::Sub(_) => (swap("+"), None),
            BinOp::Mul(_) => (swap("/"), None),
            BinOp::Div(_) | BinOp::Rem(_) => (swap("*"), None),
            BinOp::BitAnd(_) => (swap("|"), None),
            BinOp::BitOr(_) => (swap("&"), None),
            BinOp::Shl(_) => (swap(">>"), None),
            BinOp::Shr(_) => (swap("<<"), None),
            BinOp::AddAssign(_) => (swap("-="), None),
            BinOp::SubAssign(_) => (swap("+="), None),
            BinOp::MulAssign(_) => (swap("/="), None),
            BinOp::DivAssign(_) => (swap("*="), None),
            BinOp::BitAndAssign(_) => (swap("|="), None),
            BinOp::BitOrAssign(_) => (swap("&="), None),
            _ => (None, None),
        };
        self.choose(expr, binary.op.span(), other, negated, |finder| {
            visit::visit_expr_binary(finder, binary)
        });
    }

    /// The condition of an `if`, a `while` or an arm, unless its own operator is changed already.
    fn condition(&mut self, condition: &Expr) {
        if operator(condition) || has_let(condition) {
            return self.visit_expr(condition);
        }
        let change = format!("condition negated: {}", short(condition));
        self.choose(condition, condition.span(), None, Some(change), |finder| {
            finder.visit_expr(condition)
        });
    }

    /// A body that is left at once with a value of its type.
    fn body(&mut self, output: &ReturnType, block: &syn::Block) {
        let body = match block.stmts.as_slice() {
            [] => return,
            [syn::Stmt::Expr(value, None)] => one_line(value),
            _ => String::new(),
        };
        let values = values(output);
        if values.iter().any(|value| body == value.replace(' ', ""))
            || body.ends_with("::default()")
        {
            return;
        }
        let place = block.brace_token.span.open().byte_range().end;
        for value in values {
            let change = format!("returns at once: {value}");
            let node = block.span().byte_range();
            if let Some(number) = self.mutant(block.brace_token.span.open(), node, change) {
                let text = format!(" if ::mutant::on({number}) {{ return {value}; }} ");
                self.start(place, text, Some(number));
            }
        }
    }

    fn function(
        &mut self,
        signature: &syn::Signature,
        attrs: &[syn::Attribute],
        block: &syn::Block,
    ) {
        if signature.constness.is_some() || only_for_tests(attrs) || signature.ident == "default" {
            return;
        }
        self.path.push(signature.ident.to_string());
        self.body(&signature.output, block);
        self.visit_block(block);
        self.path.pop();
    }
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_expr(&mut self, expr: &'ast Expr) {
        match expr {
            Expr::Binary(binary) if !has_let(expr) => self.binary(expr, binary),
            Expr::Unary(unary) => {
                let sign = one_line(&unary.op);
                let other = (!matches!(unary.op, syn::UnOp::Deref(_))
                    && !matches!(*unary.expr, Expr::Lit(_)))
                .then(|| {
                    (
                        format!("`{sign}` removed: {}", short(expr)),
                        code(&unary.expr),
                    )
                });
                self.choose(expr, unary.op.span(), other, None, |finder| {
                    visit::visit_expr_unary(finder, unary)
                });
            }
            Expr::If(branch) => {
                self.condition(&branch.cond);
                self.visit_block(&branch.then_branch);
                if let Some((_, other)) = &branch.else_branch {
                    self.visit_expr(other);
                }
            }
            Expr::While(turn) => {
                self.condition(&turn.cond);
                self.visit_block(&turn.body);
            }
            // The length of an array is a constant.
            Expr::Repeat(repeat) => self.visit_expr(&repeat.expr),
            Expr::Const(_) => {}
            _ => visit::visit_expr(self, expr),
        }
    }

    fn visit_arm(&mut self, arm: &'ast syn::Arm) {
        if let Some((_, guard)) = &arm.guard {
            self.condition(guard);
        }
        self.visit_expr(&arm.body);
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        self.function(&item.sig, &item.attrs, &item.block);
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        self.function(&item.sig, &item.attrs, &item.block);
    }

    fn visit_trait_item_fn(&mut self, item: &'ast syn::TraitItemFn) {
        if let Some(block) = &item.default {
            self.function(&item.sig, &item.attrs, block);
        }
    }

    fn visit_item_impl(&mut self, item: &'ast syn::ItemImpl) {
        let name = item
            .trait_
            .as_ref()
            .and_then(|(_, path, _)| path.segments.last());
        let text_only = name.is_some_and(|name| name.ident == "Display" || name.ident == "Debug");
        if !text_only && !only_for_tests(&item.attrs) {
            self.path.push(one_line(&item.self_ty));
            visit::visit_item_impl(self, item);
            self.path.pop();
        }
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if !only_for_tests(&item.attrs) {
            visit::visit_item_mod(self, item);
        }
    }

    // What is worked out while compiling cannot be switched afterwards; patterns and types hold no operators.
    fn visit_item_const(&mut self, _: &'ast syn::ItemConst) {}
    fn visit_item_static(&mut self, _: &'ast syn::ItemStatic) {}
    fn visit_impl_item_const(&mut self, _: &'ast syn::ImplItemConst) {}
    fn visit_trait_item_const(&mut self, _: &'ast syn::TraitItemConst) {}
    fn visit_item_enum(&mut self, _: &'ast syn::ItemEnum) {}
    fn visit_type(&mut self, _: &'ast Type) {}
    fn visit_pat(&mut self, _: &'ast syn::Pat) {}
    fn visit_generics(&mut self, _: &'ast syn::Generics) {}
    fn visit_generic_argument(&mut self, _: &'ast syn::GenericArgument) {}
    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}
}

/// Whether an expression's own operator has a mutant that turns its truth.
fn operator(expr: &Expr) -> bool {
    match expr {
        Expr::Paren(inner) => operator(&inner.expr),
        Expr::Binary(_) => true,
        Expr::Unary(unary) => matches!(unary.op, syn::UnOp::Not(_)),
        _ => false,
    }
}

/// Whether a condition binds names: `let` in it, or in one side of `&&`.
fn has_let(expr: &Expr) -> bool {
    match expr {
        Expr::Let(_) => true,
        Expr::Binary(binary) if matches!(binary.op, BinOp::And(_)) => {
            has_let(&binary.left) || has_let(&binary.right)
        }
        _ => false,
    }
}

fn only_for_tests(attrs: &[syn::Attribute]) -> bool {
    attrs.iter().any(|attr| {
        let text = one_line(&attr.meta);
        text == "test"
            || (text.starts_with("cfg") && text.contains("test") && !text.contains("not(test"))
    })
}

/// The values a function of this type may return instead of its own.
fn values(output: &ReturnType) -> Vec<String> {
    let ReturnType::Type(_, ty) = output else {
        return vec!["()".to_owned()];
    };
    let texts: &[&str] = match &**ty {
        Type::ImplTrait(_) | Type::Never(_) => &[],
        Type::Tuple(tuple) if tuple.elems.is_empty() => &["()"],
        Type::Path(path) => match path
            .path
            .segments
            .last()
            .map(|s| s.ident.to_string())
            .as_deref()
        {
            Some("bool") => &["true", "false"],
            Some(
                "u8" | "u16" | "u32" | "u64" | "usize" | "i8" | "i16" | "i32" | "i64" | "isize"
                | "u128" | "i128",
            ) => &["0", "1"],
            Some("f64" | "f32") => &["0.0", "1.0"],
            Some("Option") => &["None"],
            Some("Result") => &["Ok(Default::default())"],
            Some("String") => &["String::new()"],
            Some("Vec") => &["Vec::new()"],
            _ => &["Default::default()"],
        },
        _ => &["Default::default()"],
    };
    texts.iter().map(|&text| text.to_owned()).collect()
}

/// Code on one line, without comments, to be compiled.
fn code(part: &impl ToTokens) -> String {
    part.to_token_stream().to_string()
}

/// Code on one line, to be shown.
fn one_line(part: &impl ToTokens) -> String {
    code(part)
        .replace(" :: ", "::")
        .replace(" . ", ".")
        .replace(" (", "(")
        .replace("( ", "(")
        .replace(" )", ")")
}

/// Code short enough for a line of the report.
fn short(code: &impl ToTokens) -> String {
    let text = one_line(code);
    let text: Vec<&str> = text.split_whitespace().collect();
    let text = text.join(" ");
    if text.chars().count() <= 70 {
        text
    } else {
        format!("{}…", text.chars().take(69).collect::<String>())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rewritten(text: &str) -> Rewritten {
        rewrite("a.rs", text, 0, &HashSet::new()).unwrap()
    }

    #[test]
    fn lines_stay_and_changes_stand_in_their_function() {
        let text =
            "fn f(a: i32, b: i32) -> bool {\n    // Why.\n    a < b &&\n        !(a + 1 == b)\n}\n";
        let new = rewritten(text);
        assert_eq!(new.text.lines().count(), text.lines().count());
        let changes: Vec<(usize, &str)> = new
            .mutants
            .iter()
            .map(|m| (m.line, m.change.split(':').next().unwrap()))
            .collect();
        let expected = [
            (1, "returns at once"),
            (1, "returns at once"),
            (3, "`&&` becomes `||`"),
            (3, "`<` becomes `<=`"),
            (3, "`<` becomes `>=`"),
            (4, "`!` removed"),
            (4, "`==` becomes `!=`"),
            (4, "`+` becomes `-`"),
        ];
        assert_eq!(changes, expected);
        assert!(syn::parse_file(&new.text).is_ok(), "{}", new.text);
        // `^` binds closer than what it turns.
        assert!(new.text.contains("b) ^ ::mutant::on(6))"), "{}", new.text);
        // A byte behind what was put in leads back to where it stood.
        let (at, old) = (new.text.rfind("== b").unwrap(), text.rfind("== b").unwrap());
        assert_eq!(new.original(at), old);
    }

    #[test]
    fn constants_tests_and_texts_are_left_alone() {
        let text = "const A: u8 = 1 + 1;\nconst fn f() -> u8 { 1 + 1 }\n#[cfg(test)]\nmod tests { fn f() -> bool { 1 < 2 } }\n\
            impl Display for A { fn fmt(&self) -> bool { 1 < 2 } }\nstruct B([u8; 1 + 1]);\n";
        let new = rewritten(text);
        assert_eq!((new.mutants.len(), new.text.as_str()), (0, text));
        assert_eq!(
            test_modules(
                "#[cfg(all(test, not(wasm)))]\nmod checks;\n#[cfg(not(test))]\nmod other;\n"
            ),
            ["checks"]
        );
    }

    #[test]
    fn a_condition_with_let_is_changed_only_inside() {
        let new = rewritten("fn f(a: Option<u8>) { if let Some(a) = a && a > 3 { g() } }");
        assert_eq!(new.mutants.len(), 3);
        assert!(syn::parse_file(&new.text).is_ok(), "{}", new.text);
    }

    #[test]
    fn what_is_left_out_keeps_its_number() {
        let text = "fn f(a: u8) -> u8 { a + a }";
        let all = rewritten(text);
        let dropped = HashSet::from([all.mutants[1].key.clone()]);
        let fewer = rewrite("a.rs", text, 0, &dropped).unwrap();
        assert_eq!(fewer.mutants.len(), 3);
        assert!(!fewer.text.contains("on(1)") && fewer.text.contains("on(2)"));
    }
}
