//! A survey at the bench: what is asked, typed and kept.

use std::path::PathBuf;

use solderside_meter::survey::{Survey, SurveyHead, SurveyReading, Taken, Touch, parse_line, write_run};
use solderside_profile::quoted;

use super::{asks, tells};
use crate::dialogue::{Dialogue, Order};
use crate::store;
use crate::trouble::Trouble;

/// A survey with its files.
pub struct Run {
    pub head: SurveyHead,
    pub survey: Survey,
    /// The run's file.
    pub file: PathBuf,
    /// What was typed and is no reading.
    pub refused: Vec<(String, String)>,
    /// Readings that were struck out as they contradict each other.
    pub struck: Vec<SurveyReading>,
}

impl Run {
    /// A run whose file is written at once.
    ///
    /// # Errors
    /// Says why it cannot be written.
    pub fn kept(head: SurveyHead, survey: Survey, file: PathBuf, replace: bool) -> Result<Self, Trouble> {
        store::write(&file, &write_run(&head, &survey), replace)?;
        Ok(Self { head, survey, file, refused: Vec::new(), struck: Vec::new() })
    }

    /// Asks for one reading after the other, until all is found or the builder leaves.
    pub fn ask(&mut self, dialogue: &mut Dialogue) -> Result<(), Trouble> {
        let mut last: Option<Touch> = None;
        while let Some(touch) = self.survey.next() {
            dialogue.say(&asks::step(self, &touch, last.as_ref(), dialogue.columns()));
            let Some(line) = dialogue.hear() else { return Ok(()) };
            match Order::parse(&line) {
                Some(Order::Leave) => return Ok(()),
                Some(Order::Help) => dialogue.say(&asks::help(dialogue.columns())),
                Some(Order::Back) => {
                    let undone = self.survey.undo();
                    self.keep()?;
                    dialogue.say(&asks::undone(&self.head.unknown, undone.as_ref()));
                    last = None;
                }
                None => match parse_line(&self.head.unknown, &touch, &line) {
                    Ok(reading) => {
                        last = Some(reading.touch.clone());
                        self.take(&reading, dialogue)?;
                    }
                    Err(error) => {
                        let error = match Order::near(&line, &[]) {
                            Some(near) => format!(
                                "{} is no reading; write `{near}`, or what the meter shows",
                                quoted(&line)
                            ),
                            None => error.to_string(),
                        };
                        dialogue.say(&asks::not_understood(&error, dialogue.columns()));
                        self.refused.push((line, error));
                    }
                },
            }
        }
        Ok(())
    }

    fn take(&mut self, reading: &SurveyReading, dialogue: &mut Dialogue) -> Result<(), Trouble> {
        let before = self.survey.found();
        let said = match self.survey.take(reading.clone()) {
            Taken::Kept => {
                tells::learned(&self.head.unknown, reading, &before, &self.survey.found(), dialogue.columns())
            }
            Taken::Contradicts(struck) => {
                let text = tells::contradiction(&self.head.unknown, &struck, dialogue.columns());
                self.struck.extend(struck);
                text
            }
        };
        self.keep()?;
        dialogue.say(&said);
        Ok(())
    }

    /// Keeps what was read so far: whoever pulls the plug loses nothing.
    fn keep(&self) -> Result<(), Trouble> {
        store::write(&self.file, &write_run(&self.head, &self.survey), true)
    }
}
