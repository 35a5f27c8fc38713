//! `gusset new`: a job started by questions in plain words.

use std::io::{self, BufRead, Write as _};

use job::{Answers, Asked, Beginning, Next, QuestionAsked, Refusal};

/// So many wrong answers to one question, and the program stops asking rather than going round for ever.
const MOST_TRIES: usize = 5;

/// Why the questions ended early.
#[derive(Debug)]
pub enum Stopped {
    /// The input ended.
    NoMoreInput,
    /// Too many answers that could not be used.
    GivenUp(&'static str),
    /// The program does not help with such a part.
    Refused(Refusal),
    /// The terminal failed.
    Io(io::Error),
}

/// Puts the questions on stderr, takes the answers from stdin, one line each.
pub struct Asking<R> {
    input: R,
}

impl<R: BufRead> Asking<R> {
    /// Answers come from here.
    pub fn new(input: R) -> Self {
        Self { input }
    }

    fn line(&mut self, question: &QuestionAsked) -> Result<String, Stopped> {
        let choices = if question.choices.is_empty() {
            String::new()
        } else {
            format!(" ({})", question.choices.join(" / "))
        };
        let usual = if question.usual.is_empty() {
            String::new()
        } else {
            format!(" [{}]", question.usual)
        };
        eprint!("{}{choices}{usual} ", question.asks);
        io::stderr().flush().map_err(Stopped::Io)?;
        let mut line = String::new();
        match self.input.read_line(&mut line) {
            Ok(0) => Err(Stopped::NoMoreInput),
            Ok(_) => Ok(line.trim().to_owned()),
            Err(error) => Err(Stopped::Io(error)),
        }
    }

    /// All the questions, in order.
    pub fn all(&mut self) -> Result<Asked, Stopped> {
        let mut answers = Answers::new();
        let mut tries = 0;
        loop {
            let asking = job::asking(Beginning::Nothing, &answers, None);
            let question = match asking.next {
                Next::Question(question) => {
                    tries = 0;
                    if let Some(understood) = asking.answered.last().and_then(|last| last.understood.as_ref())
                    {
                        eprintln!("  {understood}");
                    }
                    question
                }
                Next::NotUnderstood { question, says } => {
                    eprintln!("  {says}");
                    tries += 1;
                    if tries == MOST_TRIES {
                        return Err(Stopped::GivenUp(question.asks));
                    }
                    question
                }
                Next::Refused(refusal) => return Err(Stopped::Refused(refusal)),
                Next::Done => match job::asked_from(&answers) {
                    Some(asked) => return Ok(asked),
                    None => return Err(Stopped::NoMoreInput),
                },
            };
            let typed = self.line(&question)?;
            answers.insert(question.key.to_owned(), typed);
        }
    }
}
