//! `gusset new`: a job started by questions in plain words.

mod loads;

use std::io::{self, BufRead, Write as _};

use job::{Asked, Form};

/// So many wrong answers to one question, and the program stops asking rather than going round for ever.
const MOST_TRIES: usize = 5;

/// Why the questions ended early.
#[derive(Debug)]
pub enum Stopped {
    /// The input ended.
    NoMoreInput,
    /// Too many answers that could not be used.
    GivenUp(&'static str),
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

    fn line(&mut self, question: &str) -> Result<String, Stopped> {
        eprint!("{question} ");
        io::stderr().flush().map_err(Stopped::Io)?;
        let mut line = String::new();
        match self.input.read_line(&mut line) {
            Ok(0) => Err(Stopped::NoMoreInput),
            Ok(_) => Ok(line.trim().to_owned()),
            Err(error) => Err(Stopped::Io(error)),
        }
    }

    fn until<T>(
        &mut self,
        question: &'static str,
        usual: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Stopped> {
        let shown = if usual.is_empty() {
            question.to_owned()
        } else {
            format!("{question} [{usual}]")
        };
        for _ in 0..MOST_TRIES {
            let typed = self.line(&shown)?;
            let typed = if typed.is_empty() { usual } else { &typed };
            match read(typed) {
                Ok(value) => return Ok(value),
                Err(why) => eprintln!("  {why}"),
            }
        }
        Err(Stopped::GivenUp(question))
    }

    fn words(&mut self, question: &'static str) -> Result<String, Stopped> {
        self.until(question, "", |typed| {
            if typed.is_empty() {
                Err("A few words, please.".into())
            } else {
                Ok(typed.to_owned())
            }
        })
    }

    fn yes(&mut self, question: &'static str) -> Result<bool, Stopped> {
        self.until(question, "", |typed| match typed.to_lowercase().as_str() {
            "y" | "yes" => Ok(true),
            "n" | "no" => Ok(false),
            _ => Err("Yes or no, please.".into()),
        })
    }

    fn one_of<T: Copy>(
        &mut self,
        question: &'static str,
        usual: &str,
        choices: &[(&str, T)],
    ) -> Result<T, Stopped> {
        self.until(question, usual, |typed| {
            let typed = typed.to_lowercase();
            choices
                .iter()
                .find(|(word, _)| *word == typed)
                .map(|(_, value)| *value)
                .ok_or_else(|| {
                    let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
                    format!("One of: {}.", words.join(", "))
                })
        })
    }

    fn length(&mut self, question: &'static str, usual: &str, inch: bool) -> Result<String, Stopped> {
        self.until(question, usual, |typed| {
            job::understood_length(typed, inch).map(|understood| {
                eprintln!("  {understood}");
                typed.to_owned()
            })
        })
    }

    /// All the questions, in order.
    pub fn all(&mut self) -> Result<Asked, Stopped> {
        let title = self.words("What do you call the part?")?;
        let purpose = self.words("What is it used for, in your words?")?;
        let onto = self.words("What is it fastened to?")?;
        let weight = self.yes("Does anyone's weight hang on it? (yes/no)")?;
        let held = self.yes("Could it hold someone under water or to something that moves? (yes/no)")?;
        let control = self.one_of(
            "Does it steer, brake or fire anything? (no / beside another / only)",
            "",
            &[
                ("no", "no"),
                ("beside another", "beside another"),
                ("beside", "beside another"),
                ("only", "only"),
            ],
        )?;
        let feels = self.yes("Can the person feel the skin it touches? (yes/no)")?;
        let release = self.yes("Can the other hand let go of it in two seconds? (yes/no)")?;
        let left = self.one_of(
            "Which hand or side is it for? (right / left)",
            "right",
            &[("right", false), ("left", true)],
        )?;
        let inch = self.one_of(
            "Do you measure in mm or in?",
            "mm",
            &[("mm", false), ("in", true)],
        )?;
        let usual_stock = if inch { "5052-H32 3/16 in" } else { "5052-H32 3 mm" };
        let stock = self.until("Which plate?", usual_stock, |typed| {
            job::understood_stock(typed).map(|understood| {
                eprintln!("  {understood}");
                typed.to_owned()
            })
        })?;
        let form = self.one_of(
            "A flat plate, or one bend? (flat / one bend)",
            "one bend",
            &[
                ("flat", Form::Flat),
                ("one bend", Form::OneBend),
                ("bend", Form::OneBend),
            ],
        )?;
        let (small, large) = if inch {
            ("1-1/2 in", "3 in")
        } else {
            ("40 mm", "80 mm")
        };
        let width = self.length("How wide is the plate?", small, inch)?;
        let leg = self.length("How long is it (or its first leg)?", large, inch)?;
        let (other_leg, bent) = match form {
            Form::Flat => (String::new(), String::new()),
            Form::OneBend => {
                let other = self.length("How long is the second leg?", large, inch)?;
                let bent = self.until("Through what angle is it bent? (0 is flat)", "90 deg", |typed| {
                    job::understood_bend(typed).map(|understood| {
                        eprintln!("  {understood}");
                        typed.to_owned()
                    })
                })?;
                (other, bent)
            }
        };
        let usual_bolt = if inch { "1/4-20" } else { "M6" };
        let bolt = self.until("Which bolts hold it?", usual_bolt, |typed| {
            job::understood_thread(typed).map(|()| typed.to_owned())
        })?;
        let loads = self.loads(inch)?;
        Ok(Asked {
            title,
            purpose,
            onto,
            weight,
            held,
            control,
            feels,
            release,
            left,
            inch,
            stock,
            form,
            width,
            leg,
            other_leg,
            bent,
            bolt,
            loads,
        })
    }
}
