//! From a text to the steps that work it out. The steps stand in the order of working, operands before their operator, so
//! that neither working them out nor dropping them descends: a hostile text costs no stack beyond its brackets.

use std::ops::Range;

use crate::error::{ParseProblem, ParseQuantityError};
use crate::function::Function;
use crate::literal::{Literal, scan_literal};
use crate::number::Shape;
use crate::quantity::Quantity;
use crate::scan::{Dash, Scanner};
use crate::unit::{LengthUnit, is_unit_word};

/// The longest text read. A sum with twenty measures of long names fits several times over.
pub(crate) const MOST_BYTES: usize = 1000;
/// Brackets inside brackets: more than any hand keeps in view, and little stack.
const MOST_DEEP: usize = 32;

/// One step of working out, with the bytes it stands for (for an operator: both its sides).
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Step {
    pub act: Act,
    pub at: Range<usize>,
}

/// What a step does to the values before it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Act {
    Value(Quantity),
    Name,
    Negate,
    Add,
    Subtract,
    Multiply,
    Divide,
    Call { function: Function, count: usize },
}

/// The steps of a text.
pub(crate) fn parse_steps(text: &str, bare: Option<LengthUnit>) -> Result<Vec<Step>, ParseQuantityError> {
    let mut parser = Parser {
        scan: Scanner::new(text),
        bare,
        steps: Vec::new(),
        depth: 0,
    };
    if text.len() > MOST_BYTES {
        let end = (0..=MOST_BYTES)
            .rev()
            .find(|index| text.is_char_boundary(*index))
            .unwrap_or(0);
        return Err(parser
            .scan
            .fault(end..text.len(), ParseProblem::TooLong { most: MOST_BYTES }, &[]));
    }
    if text.trim().is_empty() {
        return Err(parser.scan.fault(0..text.len(), ParseProblem::Empty, &[]));
    }
    parser.sum(false)?;
    parser.scan.skip_space();
    match parser.scan.peek() {
        None => Ok(parser.steps),
        Some(found) => {
            let at = parser.scan.next_char_range();
            Err(parser.scan.fault(at, ParseProblem::Stray { found }, &[]))
        }
    }
}

struct Parser<'a> {
    scan: Scanner<'a>,
    bare: Option<LengthUnit>,
    steps: Vec<Step>,
    depth: usize,
}

/// A part of a sum: where it stands, and the literal that it is, when it is nothing else but a sign.
struct Part {
    at: Range<usize>,
    literal: Option<Literal>,
}

type Parsed = Result<Part, ParseQuantityError>;

impl Parser<'_> {
    fn push(&mut self, act: Act, at: Range<usize>) {
        self.steps.push(Step { act, at });
    }

    fn sum(&mut self, in_function: bool) -> Parsed {
        let mut whole = self.product(in_function)?;
        let mut last = whole.literal.clone();
        loop {
            let before = self.scan.pos;
            self.scan.skip_space();
            let act = if self.scan.take('+') {
                Act::Add
            } else if let Some(dash) = self.scan.dash() {
                if let Some(left) = &last {
                    self.refuse_and_or_minus(left, dash, in_function)?;
                }
                Act::Subtract
            } else {
                self.scan.pos = before;
                return Ok(whole);
            };
            let right = self.product(in_function)?;
            let at = whole.at.start..right.at.end;
            self.push(act, at.clone());
            last = right.literal;
            whole = Part { at, literal: None };
        }
    }

    /// The dash after `left` is behind. With spaces round it, between a whole number and a fraction or between feet and
    /// inches, it can be "and" as well as minus.
    fn refuse_and_or_minus(
        &self,
        left: &Literal,
        dash: Dash,
        in_function: bool,
    ) -> Result<(), ParseQuantityError> {
        let Some(right) = self.literal_ahead(in_function) else {
            return Ok(());
        };
        let text = self.scan.text;
        let (one, two) = (&text[left.at.clone()], &text[right.at.clone()]);
        let at = left.at.start..right.at.end;
        if left.is_bare_whole() && right.shape == Shape::Fraction {
            let unit = &text[right.number.end..right.at.end];
            let instead = [format!("{one}-{two}"), format!("{one}{unit} - ({two})")];
            return Err(self.scan.fault(at, ParseProblem::AndOrMinus, &instead));
        }
        if left.is_whole_feet() && right.is_in_inches() && dash == Dash::Hyphen {
            let instead = [format!("{one} {two}"), format!("({one}) - {two}")];
            return Err(self.scan.fault(at, ParseProblem::FeetOrMinus, &instead));
        }
        Ok(())
    }

    /// The literal that follows, past spaces; nothing is taken.
    fn literal_ahead(&self, in_function: bool) -> Option<Literal> {
        let mut ahead = self.scan.clone();
        ahead.skip_space();
        scan_literal(&mut ahead, self.bare, in_function).ok().flatten()
    }

    fn product(&mut self, in_function: bool) -> Parsed {
        let mut whole = self.signed(in_function)?;
        loop {
            let before = self.scan.pos;
            self.scan.skip_space();
            let act = if ['*', '\u{d7}', '\u{b7}']
                .into_iter()
                .any(|sign| self.scan.take(sign))
            {
                Act::Multiply
            } else if ['/', '\u{f7}'].into_iter().any(|sign| self.scan.take(sign)) {
                Act::Divide
            } else {
                self.scan.pos = before;
                return Ok(whole);
            };
            self.refuse_two_orders(&whole, &act, in_function)?;
            let right = self.signed(in_function)?;
            let at = whole.at.start..right.at.end;
            self.push(act, at.clone());
            whole = Part { at, literal: None };
        }
    }

    /// The operator after `left` is behind. A literal that itself holds a dash or a stroke may not follow it bare.
    fn refuse_two_orders(&self, left: &Part, act: &Act, in_function: bool) -> Result<(), ParseQuantityError> {
        let Some(right) = self.literal_ahead(in_function) else {
            return Ok(());
        };
        let text = self.scan.text;
        let two = &text[right.at.clone()];
        if right.shape == Shape::MixedByDash {
            let spaced = two.replacen(['-', '\u{2010}', '\u{2011}', '\u{2012}', '\u{2013}'], " - (", 1);
            let instead = [format!("({two})"), format!("{spaced})")];
            return Err(self
                .scan
                .fault(right.at, ParseProblem::AndAfterOperator, &instead));
        }
        if *act != Act::Divide {
            return Ok(());
        }
        if right.shape == Shape::Fraction && right.unit.is_none() {
            let instead = [format!("({two})")];
            return Err(self
                .scan
                .fault(right.at, ParseProblem::FractionAfterDivision, &instead));
        }
        let whole_over_length =
            right.shape == Shape::Whole && right.unit.is_some_and(|unit| unit.dim == crate::Dim::LENGTH);
        if let Some(literal) = left
            .literal
            .as_ref()
            .filter(|left| left.is_bare_whole() && whole_over_length)
        {
            let one = &text[literal.at.clone()];
            let instead = [format!("{one}/{two}"), format!("{one} / ({two})")];
            let at = literal.at.start..right.at.end;
            return Err(self.scan.fault(at, ParseProblem::SpacedFraction, &instead));
        }
        Ok(())
    }

    /// A value with any signs before it.
    fn signed(&mut self, in_function: bool) -> Parsed {
        self.scan.skip_space();
        let start = self.scan.pos;
        let mut negative = false;
        loop {
            if self.scan.dash().is_some() {
                negative = !negative;
            } else if !self.scan.take('+') {
                break;
            }
            self.scan.skip_space();
        }
        let mut part = self.value(in_function)?;
        part.at.start = start;
        if negative {
            self.push(Act::Negate, part.at.clone());
        }
        Ok(part)
    }

    fn value(&mut self, in_function: bool) -> Parsed {
        if let Some(literal) = scan_literal(&mut self.scan, self.bare, in_function)? {
            self.push(Act::Value(literal.quantity), literal.at.clone());
            return Ok(Part {
                at: literal.at.clone(),
                literal: Some(literal),
            });
        }
        let start = self.scan.pos;
        if self.scan.take('(') {
            self.descend(start)?;
            self.sum(in_function)?;
            self.close(start)?;
            return Ok(Part {
                at: start..self.scan.pos,
                literal: None,
            });
        }
        let word = self.scan.word();
        if word.is_empty() {
            let found = self.scan.peek();
            return Err(self
                .scan
                .fault(self.scan.next_char_range(), ParseProblem::NoValue { found }, &[]));
        }
        let at = start..self.scan.pos;
        let mut ahead = self.scan.clone();
        ahead.skip_space();
        if ahead.take('(') {
            self.scan.pos = ahead.pos;
            self.call(word, at)
        } else if is_unit_word(word) {
            Err(self.scan.fault(
                at,
                ParseProblem::UnitAlone {
                    word: word.to_owned(),
                },
                &[],
            ))
        } else {
            self.push(Act::Name, at.clone());
            Ok(Part { at, literal: None })
        }
    }

    /// The values of a function, whose opening bracket is behind.
    fn call(&mut self, name: &str, name_at: Range<usize>) -> Parsed {
        let Some(function) = Function::from_name(name) else {
            let nearest = Function::nearest(name);
            let instead: Vec<String> = nearest
                .iter()
                .map(|function| function.name().to_owned())
                .collect();
            let problem = ParseProblem::UnknownFunction {
                name: name.to_owned(),
                nearest,
            };
            return Err(self.scan.fault(name_at, problem, &instead));
        };
        self.descend(name_at.start)?;
        let mut count = 0;
        self.scan.skip_space();
        if self.scan.peek() != Some(')') {
            loop {
                self.sum(true)?;
                count += 1;
                self.scan.skip_space();
                if !(self.scan.take(',') || self.scan.take(';')) {
                    break;
                }
            }
        }
        self.close(name_at.start)?;
        let at = name_at.start..self.scan.pos;
        if !function.arity().contains(&count) {
            return Err(self.scan.fault(
                at,
                ParseProblem::ArgumentCount {
                    function,
                    given: count,
                },
                &[],
            ));
        }
        self.push(Act::Call { function, count }, at.clone());
        Ok(Part { at, literal: None })
    }

    fn descend(&mut self, start: usize) -> Result<(), ParseQuantityError> {
        self.depth += 1;
        if self.depth > MOST_DEEP {
            let at = start..self.scan.pos;
            return Err(self
                .scan
                .fault(at, ParseProblem::TooDeep { most: MOST_DEEP }, &[]));
        }
        Ok(())
    }

    fn close(&mut self, start: usize) -> Result<(), ParseQuantityError> {
        self.depth -= 1;
        self.scan.skip_space();
        if self.scan.take(')') {
            return Ok(());
        }
        match self.scan.peek() {
            None => {
                let end = self.scan.text.trim_end().len();
                let instead = [format!("{})", &self.scan.text[start..end])];
                Err(self
                    .scan
                    .fault(start..end.max(start), ParseProblem::Unclosed, &instead))
            }
            Some(found) => {
                Err(self
                    .scan
                    .fault(self.scan.next_char_range(), ParseProblem::Stray { found }, &[]))
            }
        }
    }
}
