//! The answer to a question: for one pair, or for those that match.

mod answering;
mod checks;
pub mod data;
mod figures;
mod warnings;
pub(crate) mod words;

use crate::problem::Problem;
use crate::query::question::Question;
use crate::results::Results;
use crate::study::Study;
use crate::study::job::JobStudy;
use crate::table::sort;
use data::Answer;

impl Study<'_> {
    /// The answer, without the list of the pairs that match.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors; also
    /// without a job.
    pub fn answer(&self) -> Result<Answer, Problem> {
        Ok(self.checked()?.answer())
    }

    /// The answer for each pair that matches, in rank order, then those nobody ran that can be
    /// estimated; `None` where a single pair is asked for.
    ///
    /// # Errors
    ///
    /// As [`Study::answer`].
    pub fn list(&self) -> Result<Option<Vec<Answer>>, Problem> {
        Ok(self.checked()?.list())
    }

    fn checked(&self) -> Result<JobStudy<'_>, Problem> {
        let answering = self.answering()?;
        sort::check(self.results, self.question())?;
        if self.question().currency.is_some() {
            self.prices().known(&self.results.catalogue)?;
        }
        Ok(answering)
    }
}

impl Results {
    /// The answer to a question, with the list of the pairs that match where one is open.
    ///
    /// # Errors
    ///
    /// As [`Results::study`]; also without a job.
    pub fn ask(&self, question: &Question) -> Result<Answer, Problem> {
        let study = self.study(question)?;
        Ok(Answer {
            list: study.list()?,
            ..study.answer()?
        })
    }
}
