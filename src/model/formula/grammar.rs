//! The grammar of formulas: reads the text, refuses what is not arithmetic, and writes it
//! again with every precedence spelled out in parentheses for the expression crate.

use super::operators::{BINARY, CONSTANTS, UNARY};
use crate::finding::{Code, Finding, Source, nearest};
use crate::units::leading;

/// Most characters of a formula.
const LONGEST: usize = 400;
/// Deepest nesting of parentheses, signs and powers.
const DEEPEST: u32 = 64;

/// A formula that is well formed.
pub(super) struct Parsed {
    /// The same arithmetic, fully parenthesised, names in braces, units resolved.
    pub(super) canonical: String,
}

/// Why a text is not a formula.
pub(super) struct Fault {
    what: String,
    /// In characters from the start of the text.
    at: usize,
    length: usize,
    expected: &'static str,
    help: Option<String>,
    code: Code,
}

impl Fault {
    /// The finding, pointing into the formula where its text stands in the file as it is.
    pub(super) fn finding(self, source: &Source) -> Finding {
        let mut place = source.clone();
        if place.column > 0 && self.at <= place.length as usize {
            place.column += u32::try_from(self.at).unwrap_or(0);
            place.length = u32::try_from(self.length).unwrap_or(1).max(1);
        }
        let finding =
            Finding::stop(self.code, self.what).from(place).expected(self.expected);
        match self.help {
            Some(help) => finding.help(help),
            None => finding,
        }
    }
}

/// Reads a whole formula.
pub(super) fn read(text: &str) -> Result<Parsed, Fault> {
    let length = text.chars().count();
    if length > LONGEST {
        return Err(Fault {
            what: format!("the formula has {length} characters"),
            at: 0,
            length: 1,
            expected: "at most 400 characters",
            help: Some("name parts of it under `let:`".to_owned()),
            code: Code::InputTooLarge,
        });
    }
    let mut reader = Reader { text, at: 0, depth: 0, out: String::new() };
    reader.sum()?;
    reader.blanks();
    match reader.peek() {
        None => Ok(Parsed { canonical: reader.out }),
        Some(')') => Err(reader.fault("a `)` without its `(`", "an operator or the end")),
        Some(c) => {
            let what = format!("`{c}` cannot stand here");
            let fault = reader.fault(&what, "an operator such as `+` or `*`, or the end");
            Err(reader.with_unit_help(fault))
        }
    }
}

struct Reader<'a> {
    text: &'a str,
    /// In bytes.
    at: usize,
    depth: u32,
    out: String,
}

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn blanks(&mut self) {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
    }

    /// Takes one of the characters if it comes next.
    fn take(&mut self, wanted: &[char]) -> Option<char> {
        self.blanks();
        let found = self.peek().filter(|c| wanted.contains(c))?;
        self.at += found.len_utf8();
        Some(found)
    }

    fn fault(&self, what: &str, expected: &'static str) -> Fault {
        let at = self.text.get(..self.at).map_or(0, |head| head.chars().count());
        let what = what.to_owned();
        Fault { what, at, length: 1, expected, help: None, code: Code::FormulaSyntax }
    }

    fn with_unit_help(&self, mut fault: Fault) -> Fault {
        let word = word(self.rest());
        let before = self.text.get(..self.at).unwrap_or_default().trim_end();
        let number = before.ends_with(|c: char| c.is_ascii_digit() || c == '.');
        if number && word.starts_with(char::is_alphabetic) {
            fault.what = format!("unknown unit `{word}`");
            fault.code = Code::BadUnit;
            fault.expected = "one of the units mm, cm, in and deg, or an operator";
            fault.length = word.chars().count();
            fault.help = Some(format!("write `* {word}` to multiply by a name"));
        } else if !word.is_empty() {
            fault.what = format!("`{word}` cannot stand here");
            fault.length = word.chars().count();
            fault.help = Some(format!("write `* {word}` to multiply by it"));
        }
        fault
    }

    /// Runs a part one level deeper.
    fn nested(
        &mut self,
        part: impl FnOnce(&mut Self) -> Result<(), Fault>,
    ) -> Result<(), Fault> {
        self.depth += 1;
        if self.depth > DEEPEST {
            let mut fault =
                self.fault("the formula is nested too deeply", "at most 64 levels");
            fault.code = Code::InputTooLarge;
            return Err(fault);
        }
        self.out.push('(');
        part(self)?;
        self.out.push(')');
        self.depth -= 1;
        Ok(())
    }

    fn sum(&mut self) -> Result<(), Fault> {
        self.product()?;
        while let Some(sign) = self.take(&['+', '-', '−']) {
            self.out.push(if sign == '−' { '-' } else { sign });
            self.product()?;
        }
        Ok(())
    }

    fn product(&mut self) -> Result<(), Fault> {
        self.signed()?;
        while let Some(sign) = self.take(&['*', '/', '·', '×']) {
            self.out.push(if sign == '/' { '/' } else { '*' });
            self.signed()?;
        }
        Ok(())
    }

    fn signed(&mut self) -> Result<(), Fault> {
        match self.take(&['-', '+', '−']) {
            Some('+') => self.nested(Self::signed),
            Some(_) => self.nested(|reader| {
                reader.out.push('-');
                reader.signed()
            }),
            None => self.power(),
        }
    }

    fn power(&mut self) -> Result<(), Fault> {
        let start = self.out.len();
        self.atom()?;
        if self.take(&['^']).is_none() {
            return Ok(());
        }
        let base = self.out.split_off(start);
        self.nested(|reader| {
            reader.out.push_str(&base);
            reader.out.push('^');
            reader.signed()
        })
    }

    fn atom(&mut self) -> Result<(), Fault> {
        self.blanks();
        match self.peek() {
            None => {
                Err(self.fault("the formula ends too early", "a number, a name or `(`"))
            }
            Some('(') => {
                self.at += 1;
                self.nested(|reader| {
                    reader.sum()?;
                    reader.close()
                })
            }
            Some(c) if c.is_ascii_digit() || c == '.' => self.number(),
            Some(c) if c.is_alphabetic() || c == '_' => self.name(),
            Some(c) => {
                let what = format!("`{}` cannot stand here", c.escape_debug());
                Err(self.fault(&what, "a number, a name or `(`"))
            }
        }
    }

    fn close(&mut self) -> Result<(), Fault> {
        match self.take(&[')']) {
            Some(_) => Ok(()),
            None => Err(self.fault("a `)` is missing", "`)` or an operator")),
        }
    }

    fn number(&mut self) -> Result<(), Fault> {
        let (value, bytes) = match leading(self.rest()) {
            Some(found) => (Some(found.value), found.bytes),
            None => plain_number(self.rest()),
        };
        let Some(value) = value.filter(|value| value.is_finite()) else {
            return Err(
                self.fault("a number that cannot be read", "digits, at most one point")
            );
        };
        self.at += bytes;
        // `{}` never writes an exponent, which the expression crate would not read.
        self.out.push_str(&value.to_string());
        Ok(())
    }

    fn name(&mut self) -> Result<(), Fault> {
        let name = word(self.rest());
        let after = self.rest().get(name.len()..).unwrap_or_default();
        if after.trim_start().starts_with('(') {
            return self.call(name);
        }
        if UNARY.contains(&name) || BINARY.contains(&name) {
            let mut fault = self.fault(&format!("`{name}` needs its arguments"), "`(`");
            fault.length = name.len();
            return Err(fault);
        }
        self.at += name.len();
        if CONSTANTS.contains(&name) {
            self.out.push_str(name);
        } else {
            self.out.push('{');
            self.out.push_str(name);
            self.out.push('}');
        }
        Ok(())
    }

    fn call(&mut self, name: &'a str) -> Result<(), Fault> {
        let unary = UNARY.contains(&name);
        if !unary && !BINARY.contains(&name) {
            return Err(self.no_function(name));
        }
        let start = self.at;
        self.at += name.len();
        self.take(&['(']);
        if unary {
            self.out.push_str(name);
            return self.nested(|reader| {
                reader.sum()?;
                reader.close()
            });
        }
        self.nested(|reader| reader.arguments(name, start))
    }

    /// `(a) min (b) min (c)`, run left to right.
    fn arguments(&mut self, name: &str, start: usize) -> Result<(), Fault> {
        let mut count = 0;
        loop {
            self.nested(Self::sum)?;
            count += 1;
            if self.take(&[',']).is_none() {
                break;
            }
            self.out.push_str(name);
        }
        self.close()?;
        let right = if name == "atan2" { count == 2 } else { count >= 2 };
        if right {
            return Ok(());
        }
        self.at = start;
        let mut fault = self.fault(
            &format!(
                "`{name}` with {count} argument{}",
                if count == 1 { "" } else { "s" }
            ),
            if name == "atan2" { "two arguments" } else { "two or more arguments" },
        );
        fault.length = name.len();
        Err(fault)
    }

    fn no_function(&self, name: &str) -> Fault {
        let mut fault = self.fault(
            &format!("`{name}` is not a function"),
            "one of sin, cos, tan, asin, acos, atan, atan2, sqrt, abs, floor, ceil, \
             round, min, max",
        );
        fault.length = name.chars().count();
        let known = UNARY.iter().chain(&BINARY).copied();
        fault.help = Some(nearest(name, known).map_or_else(
            || format!("write `{name} * (` to multiply"),
            |near| format!("did you mean `{near}`?"),
        ));
        fault
    }
}

/// The name at the start: letters, digits and underscores.
fn word(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_alphanumeric() && c != '_');
    end.and_then(|end| text.get(..end)).unwrap_or(text)
}

/// Digits, point, exponent; the value and its length in bytes.
fn plain_number(text: &str) -> (Option<f64>, usize) {
    let digits =
        |from: usize| text.bytes().skip(from).take_while(u8::is_ascii_digit).count();
    let bytes = text.as_bytes();
    let mut end = digits(0);
    if bytes.get(end) == Some(&b'.') {
        end += 1 + digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let power = digits(end + 1 + sign);
        end += if power > 0 { 1 + sign + power } else { 0 };
    }
    (text.get(..end).and_then(|number| number.parse().ok()), end)
}
