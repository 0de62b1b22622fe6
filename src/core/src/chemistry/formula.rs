//! Chemical formulas: their composition and molar mass.
//!
//! What is read: element symbols (case counts), `D` and `T`, isotopes in brackets (`[13C]`), brackets `()`, `[]` and
//! `{}` inside each other, subscripts (whole or decimal, also as Unicode subscripts), a coefficient before a part
//! (`2H2O`), parts joined by a dot, and a charge at the end of the formula (`Fe^3+`, `SO4^2-`, `I3-`, `Fe³⁺`).
//!
//! Three readings that need a rule:
//! - A full stop between digits is decimal (`TiO1.95`, `Zn0.5Mg0.5O`), unless a number of waters follows the subscript:
//!   `CuSO4.5H2O` is a hydrate. A full stop anywhere else joins parts, also before `0.5H2O` in `CaSO4.0.5H2O`. Middle
//!   dots, bullets and `*` always join.
//! - Digits before a sign at the end belong to the subscript: `I3-` is one charge on I₃, and so is `Fe3+` one charge on
//!   Fe₃. More charges are written `Fe^3+` or with superscripts.
//! - Each charge adds or removes the mass of an electron.
//!
//! The molar mass constant is taken as 1 g/mol; since 2019 that holds to 3e-10 (CODATA 2018).

use core::fmt;

use super::atomic_weights::{self, ELECTRON, Element, Isotope};
use crate::problem::Source;

/// The longest formula read, in characters.
pub const LONGEST: usize = 300;
/// The deepest nesting of brackets read.
pub const DEEPEST: usize = 20;
/// The largest number read as coefficient, subscript or charge.
pub const LARGEST: f64 = 1e6;

/// What counts as one kind of atom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Atom {
    /// An element in its natural composition.
    Element(&'static Element),
    /// One isotope.
    Isotope(&'static Isotope),
}

impl Atom {
    /// Relative atomic mass and its standard uncertainty.
    #[must_use]
    pub fn weight(self) -> (f64, f64) {
        match self {
            Atom::Element(element) => (element.weight, element.uncertainty),
            Atom::Isotope(isotope) => (isotope.mass, isotope.uncertainty),
        }
    }
}

impl fmt::Display for Atom {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Atom::Element(element) => out.write_str(element.symbol),
            Atom::Isotope(isotope) => write!(out, "[{}{}]", isotope.number, isotope.symbol),
        }
    }
}

/// What a formula counts: every kind of atom once, in the order of its first appearance, and the charge.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// Atoms and how many of each.
    pub atoms: Vec<(Atom, f64)>,
    /// Charge in elementary charges.
    pub charge: f64,
}

/// A molar mass in kg/mol.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MolarMass {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty.
    pub uncertainty: f64,
}

/// Why a text is no formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormulaError {
    /// The character it is about, counted from 1; the one after the last where something is missing.
    pub position: usize,
    /// What is wrong.
    pub fault: Fault,
}

/// What can be wrong with a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// There is no formula.
    Empty,
    /// It is longer than [`LONGEST`].
    TooLong,
    /// Brackets are deeper than [`DEEPEST`].
    TooDeep,
    /// A letter or letters that name no element with a standard atomic weight.
    NoElement(String),
    /// An isotope that is not in the table.
    NoIsotope(String),
    /// A bracket that is never closed.
    Open(char),
    /// A bracket that closes nothing, or another kind than is open.
    Close(char),
    /// Brackets with nothing in them.
    Nothing,
    /// A number that is zero.
    Zero,
    /// A number larger than [`LARGEST`].
    TooLarge,
    /// A number that cannot be read.
    NoNumber,
    /// A charge that is not at the end, or has no sign.
    Charge,
    /// A dot, or a coefficient, with no formula after it.
    Dangling,
    /// A character that no formula has.
    Character(char),
}

impl FormulaError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self.fault {
            Fault::Empty => "Enter a formula such as TiO2.",
            Fault::TooLong => "Enter the sum formula.",
            Fault::TooDeep => "Write the formula with fewer brackets.",
            Fault::NoElement(_) => {
                "Check upper and lower case: Co is cobalt, CO carbon and oxygen. Elements without a standard atomic weight are not known here."
            }
            Fault::NoIsotope(_) => "Known are D, T, [12C], [13C], [14C], [15N], [17O] and [18O].",
            Fault::Open(_) => "Close the bracket.",
            Fault::Close(_) => "Open the bracket of the same kind first, or remove this one.",
            Fault::Nothing => "Put atoms into the brackets, or remove them.",
            Fault::Zero => "Leave out what is not there.",
            Fault::TooLarge => "Enter a number up to 1 000 000.",
            Fault::NoNumber => "Write decimals as 1.95.",
            Fault::Charge => "Write the charge at the end, such as Fe^3+ or I3-.",
            Fault::Dangling => "Write what follows, such as ·5H2O, or remove the dot or number.",
            Fault::Character(_) => {
                "Formulas are made of element symbols, numbers, brackets, dots and a charge."
            }
        }
    }
}

impl fmt::Display for FormulaError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.fault == Fault::Empty {
            return out.write_str("There is no formula.");
        }
        write!(out, "At character {}, ", self.position)?;
        match &self.fault {
            Fault::Empty => Ok(()),
            Fault::TooLong => write!(out, "the formula is longer than {LONGEST} characters."),
            Fault::TooDeep => write!(out, "brackets are nested deeper than {DEEPEST} times."),
            Fault::NoElement(text) => write!(out, "“{text}” is no element."),
            Fault::NoIsotope(text) => write!(out, "“{text}” is no isotope in the table."),
            Fault::Open(bracket) => write!(out, "“{bracket}” is opened and never closed."),
            Fault::Close(bracket) => write!(out, "“{bracket}” closes no bracket."),
            Fault::Nothing => out.write_str("there is nothing between the brackets."),
            Fault::Zero => out.write_str("the number is zero."),
            Fault::TooLarge => out.write_str("the number is too large."),
            Fault::NoNumber => out.write_str("the number cannot be read."),
            Fault::Charge => out.write_str("the charge cannot be read."),
            Fault::Dangling => out.write_str("something is missing."),
            Fault::Character(character) => write!(out, "“{character}” has no meaning here."),
        }
    }
}

impl core::error::Error for FormulaError {}

impl Formula {
    /// Reads a formula.
    ///
    /// # Errors
    ///
    /// What is wrong, and where.
    pub fn parse(text: &str) -> Result<Self, FormulaError> {
        let characters: Vec<char> = text.chars().take(LONGEST + 1).collect();
        if characters.len() > LONGEST {
            return Err(error(LONGEST + 1, Fault::TooLong));
        }
        let mut symbols: Vec<(char, usize)> = Vec::new();
        let superscript = |c: char| superscript(c).is_some();
        for (index, &character) in characters.iter().enumerate() {
            if character.is_whitespace() {
                continue;
            }
            if superscript(character) && !symbols.iter().any(|&(c, _)| c == '^') {
                symbols.push(('^', index + 1));
            }
            symbols.push((plain(character), index + 1));
        }
        if symbols.is_empty() {
            return Err(error(1, Fault::Empty));
        }
        let mut reader = Reader {
            symbols,
            end: characters.len() + 1,
            next: 0,
        };
        let mut formula = Formula {
            atoms: Vec::new(),
            charge: 0.0,
        };
        loop {
            let coefficient = reader.number(true)?.unwrap_or(1.0);
            let part = reader.group(0)?;
            if part.is_empty() {
                return Err(reader.unexpected());
            }
            for (atom, count) in part {
                formula.add(atom, count * coefficient);
            }
            match reader.peek() {
                Some('·' | '.') => reader.next += 1,
                Some('^' | '+' | '-') => {
                    formula.charge = reader.charge()?;
                    break;
                }
                Some(_) => return Err(reader.unexpected()),
                None => break,
            }
        }
        Ok(formula)
    }

    /// Adds atoms to the composition.
    pub fn add(&mut self, atom: Atom, count: f64) {
        add(&mut self.atoms, atom, count);
    }

    /// Where the masses in it come from, each source once.
    #[must_use]
    pub fn sources(&self) -> Vec<Source> {
        let has = |of: fn(Atom) -> bool| self.atoms.iter().any(|&(atom, _)| of(atom));
        [
            (
                has(|atom| matches!(atom, Atom::Element(_))),
                atomic_weights::SOURCE,
            ),
            (
                has(|atom| matches!(atom, Atom::Isotope(_))),
                atomic_weights::ISOTOPE_SOURCE,
            ),
            (self.charge != 0.0, atomic_weights::ELECTRON_SOURCE),
        ]
        .into_iter()
        .filter_map(|(used, source)| used.then_some(source))
        .collect()
    }

    /// Molar mass. Atomic weights are independent of each other; one element counts once, however often it appears.
    #[must_use]
    pub fn molar_mass(&self) -> MolarMass {
        let mut value = -self.charge * ELECTRON;
        let mut variance = 0.0;
        for &(atom, count) in &self.atoms {
            let (weight, uncertainty) = atom.weight();
            value += count * weight;
            variance += (count * uncertainty) * (count * uncertainty);
        }
        MolarMass {
            value: value * 1e-3,
            uncertainty: variance.sqrt() * 1e-3,
        }
    }
}

/// The sum formula, in the order of first appearance but fractions last; [`Formula::parse`] reads it again. (A water
/// after a fraction would be read as that of a hydrate.)
impl fmt::Display for Formula {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole = self.atoms.iter().filter(|(_, count)| count.fract() == 0.0);
        let fractions = self.atoms.iter().filter(|(_, count)| count.fract() != 0.0);
        for (atom, count) in whole.chain(fractions) {
            write!(out, "{atom}")?;
            if *count != 1.0 {
                write!(out, "{count}")?;
            }
        }
        if self.charge != 0.0 {
            let sign = if self.charge > 0.0 { '+' } else { '-' };
            write!(out, "^{}{sign}", self.charge.abs())?;
        }
        Ok(())
    }
}

fn add(atoms: &mut Vec<(Atom, f64)>, atom: Atom, count: f64) {
    match atoms.iter_mut().find(|(known, _)| *known == atom) {
        Some((_, known)) => *known += count,
        None => atoms.push((atom, count)),
    }
}

const fn error(position: usize, fault: Fault) -> FormulaError {
    FormulaError { position, fault }
}

fn superscript(character: char) -> Option<char> {
    Some(match character {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        '⁺' => '+',
        '⁻' => '-',
        _ => return None,
    })
}

/// The ASCII character that a typographic one stands for; `·` for everything that joins parts.
fn plain(character: char) -> char {
    if let Some(character) = superscript(character) {
        return character;
    }
    match character {
        '₀'..='₉' => char::from_digit(u32::from(character) - u32::from('₀'), 10).unwrap_or('0'),
        '·' | '⋅' | '•' | '∙' | '・' | '‧' | '*' => '·',
        '−' | '–' => '-',
        other => other,
    }
}

/// Reads characters from left to right.
struct Reader {
    /// What is left of the text without spaces, with the position in the text.
    symbols: Vec<(char, usize)>,
    /// The position after the last character.
    end: usize,
    next: usize,
}

impl Reader {
    fn at(&self, ahead: usize) -> Option<char> {
        self.symbols.get(self.next + ahead).map(|&(c, _)| c)
    }

    fn peek(&self) -> Option<char> {
        self.at(0)
    }

    fn position(&self) -> usize {
        self.symbols.get(self.next).map_or(self.end, |&(_, p)| p)
    }

    fn fail<T>(&self, fault: Fault) -> Result<T, FormulaError> {
        Err(error(self.position(), fault))
    }

    /// Why the next character cannot stand here.
    fn unexpected(&self) -> FormulaError {
        let fault = match self.peek() {
            None | Some('·' | '.') => Fault::Dangling,
            Some(bracket @ (')' | ']' | '}')) => Fault::Close(bracket),
            Some('+' | '-' | '^') => Fault::Charge,
            Some(digit) if digit.is_ascii_digit() => Fault::NoNumber,
            Some(letter) if letter.is_alphabetic() => Fault::NoElement(letter.into()),
            Some(other) => Fault::Character(other),
        };
        error(self.position(), fault)
    }

    /// How many digits stand from here on.
    fn digits(&self, ahead: usize) -> usize {
        let digits = self.symbols.iter().skip(self.next + ahead);
        digits.take_while(|(c, _)| c.is_ascii_digit()).count()
    }

    /// The full stop after a subscript joins a number of waters, the text after the number starting `ahead`.
    fn is_water(&self, whole: usize, ahead: usize) -> bool {
        let zero = whole == 1 && self.peek() == Some('0');
        let water = matches!(self.at(ahead), Some('H' | 'D'))
            && self.at(ahead + 1) == Some('2')
            && self.at(ahead + 2) == Some('O')
            && !self
                .at(ahead + 3)
                .is_some_and(|c| c.is_ascii_alphanumeric());
        let decimal = self.at(ahead) == Some('.') && self.digits(ahead + 1) > 0;
        !zero && (water || decimal)
    }

    /// A number, if one stands here: a coefficient, or else a subscript.
    fn number(&mut self, coefficient: bool) -> Result<Option<f64>, FormulaError> {
        let whole = self.digits(0);
        if whole == 0 {
            return Ok(None);
        }
        let mut length = whole;
        if self.at(whole) == Some('.') {
            let decimals = self.digits(whole + 1);
            let joins = !coefficient && self.is_water(whole, whole + 1 + decimals);
            if decimals > 0 && !joins {
                length += 1 + decimals;
            }
        }
        let text: String = self.symbols[self.next..self.next + length]
            .iter()
            .map(|&(c, _)| c)
            .collect();
        match text.parse::<f64>() {
            Ok(0.0) => self.fail(Fault::Zero),
            Ok(number) if number > LARGEST => self.fail(Fault::TooLarge),
            Ok(number) => {
                self.next += length;
                Ok(Some(number))
            }
            Err(_) => self.fail(Fault::NoNumber),
        }
    }

    /// Atoms and brackets up to something else.
    fn group(&mut self, depth: usize) -> Result<Vec<(Atom, f64)>, FormulaError> {
        let mut atoms = Vec::new();
        while let Some(character) = self.peek() {
            let inner = match character {
                '[' if self.at(1).is_some_and(|c| c.is_ascii_digit()) => {
                    vec![(self.isotope()?, 1.0)]
                }
                '(' | '[' | '{' => self.brackets(character, depth + 1)?,
                letter if letter.is_ascii_uppercase() => vec![(self.atom()?, 1.0)],
                _ => break,
            };
            let count = self.number(false)?.unwrap_or(1.0);
            for (atom, within) in inner {
                add(&mut atoms, atom, within * count);
            }
        }
        Ok(atoms)
    }

    fn brackets(&mut self, open: char, depth: usize) -> Result<Vec<(Atom, f64)>, FormulaError> {
        if depth > DEEPEST {
            return self.fail(Fault::TooDeep);
        }
        let start = self.position();
        self.next += 1;
        let atoms = self.group(depth)?;
        let close = match open {
            '(' => ')',
            '[' => ']',
            _ => '}',
        };
        match self.peek() {
            None => Err(error(start, Fault::Open(open))),
            Some(found) if found == close && atoms.is_empty() => self.fail(Fault::Nothing),
            Some(found) if found == close => {
                self.next += 1;
                Ok(atoms)
            }
            Some(_) => Err(self.unexpected()),
        }
    }

    /// An element; `D` and `T` are isotopes of hydrogen.
    fn atom(&mut self) -> Result<Atom, FormulaError> {
        let letters: String = (0..3).map_while(|n| self.at(n)).collect();
        let one: String = letters.chars().take(1).collect();
        let lower = letters.chars().skip(1);
        let small = lower.take_while(char::is_ascii_lowercase).count();
        let symbol: String = letters.chars().take(1 + small).collect();
        let hydrogen = match symbol.as_str() {
            "D" => atomic_weights::isotope_of("H", 2),
            "T" => atomic_weights::isotope_of("H", 3),
            _ => None,
        };
        let found = match hydrogen {
            Some(isotope) => Some(Atom::Isotope(isotope)),
            None => atomic_weights::find(&symbol).map(Atom::Element),
        };
        match found {
            Some(atom) => {
                self.next += symbol.len();
                Ok(atom)
            }
            None if small == 0 => self.fail(Fault::NoElement(one)),
            None => self.fail(Fault::NoElement(symbol)),
        }
    }

    /// `[13C]`.
    fn isotope(&mut self) -> Result<Atom, FormulaError> {
        let rest = &self.symbols[self.next + 1..];
        let label: String = rest
            .iter()
            .map(|&(c, _)| c)
            .take_while(|c| c.is_ascii_alphanumeric())
            .collect();
        if rest.get(label.len()).map(|&(c, _)| c) != Some(']') {
            return self.fail(Fault::Open('['));
        }
        let digits = label.chars().take_while(char::is_ascii_digit).count();
        let (number, symbol) = label.split_at(digits);
        let number = number.parse().unwrap_or(0);
        match atomic_weights::isotope_of(symbol, number) {
            Some(isotope) => {
                self.next += label.len() + 2;
                Ok(Atom::Isotope(isotope))
            }
            None => self.fail(Fault::NoIsotope(label)),
        }
    }

    /// A charge to the end of the text: `^3+`, `^+`, `+`, `--`.
    fn charge(&mut self) -> Result<f64, FormulaError> {
        let mut size = None;
        if self.peek() == Some('^') {
            self.next += 1;
            size = self.number(true)?;
        }
        let sign = match self.peek() {
            Some('+') => '+',
            Some('-') => '-',
            _ => return self.fail(Fault::Charge),
        };
        let mut signs = 0.0;
        while self.peek() == Some(sign) {
            self.next += 1;
            signs += 1.0;
        }
        let size = match size {
            Some(_) if signs > 1.0 => return self.fail(Fault::Charge),
            Some(size) => size,
            None => signs,
        };
        if self.peek().is_some() {
            return self.fail(Fault::Charge);
        }
        Ok(if sign == '+' { size } else { -size })
    }
}
