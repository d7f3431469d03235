//! `say!`: text of the page and of the core, in the language chosen; `mark!`: text that is said later.
//!
//! `say!("…")` is the text itself, `say!("The fuse {id} carries {}", amps)` one with values in it, like `format!`. The
//! English text is the key under which a translation is found. `say!("switch" => "off")` tells apart words that English
//! writes alike. `mark!("…")` leaves the text as it is, for tables of constants; it is said by `text::of`.
//!
//! Method: tokens are taken apart by hand; a call of `loomwright::text::of` or `loomwright::text::fill` comes out.

#[allow(dead_code)]
mod template;

use proc_macro::{Delimiter, Group, Ident, Literal, Punct, Spacing, Span, TokenStream, TokenTree};
use template::{Piece, key, split, unescape};

/// What stands between the context and the text in a key, as in gettext.
const CONTEXT_END: char = '\u{4}';

/// Text in the language chosen: a `&'static str` without holes, a `String` with them.
#[proc_macro]
pub fn say(input: TokenStream) -> TokenStream {
    match read(input).and_then(|said| said.call()) {
        Ok(call) => call,
        Err(wrong) => complaint(&wrong),
    }
}

/// The English text as a literal, known to be translated later by `text::of`.
#[proc_macro]
pub fn mark(input: TokenStream) -> TokenStream {
    match read(input) {
        Ok(said) if said.arguments.is_empty() => match said.key() {
            Ok(key) => TokenTree::from(Literal::string(&key)).into(),
            Err(wrong) => complaint(&wrong),
        },
        Ok(_) => complaint("a marked text takes no values"),
        Err(wrong) => complaint(&wrong),
    }
}

/// What stands between the parentheses.
struct Said {
    context: Option<String>,
    text: String,
    /// Values by name or number.
    arguments: Vec<(String, TokenStream)>,
}

fn read(input: TokenStream) -> Result<Said, String> {
    let mut parts = at_commas(input).into_iter();
    let first: Vec<TokenTree> = parts.next().unwrap_or_default();
    let (context, text) = match first.as_slice() {
        [text] => (None, literal(text)?),
        [context, TokenTree::Punct(a), TokenTree::Punct(b), text]
            if a.as_char() == '=' && b.as_char() == '>' =>
        {
            (Some(literal(context)?), literal(text)?)
        }
        _ => return Err("a text is wanted, or \"context\" => \"text\"".to_owned()),
    };
    let mut arguments = Vec::new();
    let mut unnamed = 0;
    for part in parts {
        match part.as_slice() {
            [] => {}
            [TokenTree::Ident(name), TokenTree::Punct(p), value @ ..]
                if p.as_char() == '=' && p.spacing() == Spacing::Alone && !value.is_empty() =>
            {
                arguments.push((name.to_string(), value.iter().cloned().collect()));
            }
            value => {
                arguments.push((unnamed.to_string(), value.iter().cloned().collect()));
                unnamed += 1;
            }
        }
    }
    Ok(Said {
        context,
        text,
        arguments,
    })
}

/// The tokens between top-level commas.
fn at_commas(input: TokenStream) -> Vec<Vec<TokenTree>> {
    let mut parts = vec![Vec::new()];
    for token in input {
        match &token {
            TokenTree::Punct(p) if p.as_char() == ',' => parts.push(Vec::new()),
            _ => {
                if let Some(part) = parts.last_mut() {
                    part.push(token);
                }
            }
        }
    }
    parts
}

fn literal(token: &TokenTree) -> Result<String, String> {
    match token {
        TokenTree::Literal(literal) => unescape(&literal.to_string()),
        // A literal handed on by another macro comes in an invisible group.
        TokenTree::Group(group) if group.delimiter() == Delimiter::None => {
            return group
                .stream()
                .into_iter()
                .next()
                .map_or_else(|| Err("a text is wanted".to_owned()), |t| literal(&t));
        }
        _ => None,
    }
    .ok_or_else(|| "a text is wanted, as a literal".to_owned())
}

impl Said {
    fn key(&self) -> Result<String, String> {
        let key = key(&split(&self.text)?);
        Ok(match &self.context {
            Some(context) => format!("{context}{CONTEXT_END}{key}"),
            None => key,
        })
    }

    fn call(self) -> Result<TokenStream, String> {
        let key = TokenTree::from(Literal::string(&self.key()?));
        let mut values = Vec::new();
        let mut named: Vec<String> = Vec::new();
        for piece in split(&self.text)? {
            let Piece::Hole { name, format } = piece else {
                continue;
            };
            let given = self.arguments.iter().find(|(known, _)| *known == name);
            let value = match given {
                Some((_, value)) => parenthesised(value.clone()),
                None if name.starts_with(|c: char| c.is_ascii_digit()) => {
                    return Err(format!("there is no value for {{{name}}}"));
                }
                None => TokenTree::from(Ident::new(&name, Span::call_site())).into(),
            };
            if named.contains(&name) {
                if format.is_empty() {
                    continue;
                }
                return Err(format!(
                    "the second {{{name}}} has a format: give it a name of its own"
                ));
            }
            values.push(entry(&name, &format, value)?);
            named.push(name);
        }
        if let Some((unused, _)) = self
            .arguments
            .iter()
            .find(|(name, _)| !named.contains(name))
        {
            return Err(format!("the text has no {{{unused}}}"));
        }
        if values.is_empty() {
            let mut call = path("of");
            call.extend([parenthesised(key.into())]);
            return Ok(call.into_iter().collect());
        }
        let mut arguments: TokenStream = key.into();
        arguments.extend(tokens(", &")?);
        let list: TokenStream = values.into_iter().collect();
        arguments.extend([TokenTree::from(Group::new(Delimiter::Bracket, list))]);
        let mut call = path("fill");
        call.extend([parenthesised(arguments)]);
        Ok(call.into_iter().collect())
    }
}

/// `("name", &value as &dyn Display),`, the value formatted first where a format is given.
fn entry(name: &str, format: &str, value: TokenStream) -> Result<TokenStream, String> {
    let mut inner: TokenStream = TokenTree::from(Literal::string(name)).into();
    inner.extend([TokenTree::from(Punct::new(',', Spacing::Alone))]);
    inner.extend([TokenTree::from(Punct::new('&', Spacing::Alone))]);
    if format.is_empty() {
        inner.extend([parenthesised(value)]);
    } else {
        let mut written: TokenStream =
            TokenTree::from(Literal::string(&format!("{{:{format}}}"))).into();
        written.extend([TokenTree::from(Punct::new(',', Spacing::Alone))]);
        written.extend([parenthesised(value)]);
        let mut text = tokens("::std::format!")?;
        text.extend([parenthesised(written)]);
        inner.extend(path("number"));
        inner.extend([parenthesised(text)]);
    }
    inner.extend(tokens(" as &dyn ::core::fmt::Display")?);
    let mut entry = parenthesised(inner);
    entry.extend([TokenTree::from(Punct::new(',', Spacing::Alone))]);
    Ok(entry)
}

fn path(function: &str) -> TokenStream {
    let mut path = tokens("::loomwright::text::").unwrap_or_default();
    path.extend([TokenTree::from(Ident::new(function, Span::call_site()))]);
    path
}

fn parenthesised(inner: TokenStream) -> TokenStream {
    TokenTree::from(Group::new(Delimiter::Parenthesis, inner)).into()
}

fn tokens(source: &str) -> Result<TokenStream, String> {
    source
        .parse()
        .map_err(|_| "these tokens cannot be read".to_owned())
}

fn complaint(wrong: &str) -> TokenStream {
    let mut out = tokens("::core::compile_error!").unwrap_or_default();
    out.extend(parenthesised(
        TokenTree::from(Literal::string(wrong)).into(),
    ));
    out
}
