//! What a change notice is to tell, for the commands that give one.

use super::Failure;
use super::given::Given;
use crate::base::Moment;
use crate::book::Forms;
use crate::compare::CompareTerms;

/// What is told of what changed.
#[derive(Debug, clap::Args)]
pub struct Noticing {
    /// The last run that is picked, such as '2027-09-14 08:30'; tells how to set right what is on the carts
    #[arg(long, value_name = "WAVE", value_parser = Given::take)]
    pub picked_through: Option<Given>,
    /// By how many minutes a job's start must differ to be told
    #[arg(long, value_name = "MINUTES", default_value_t = 30)]
    pub jobs_moved: u32,
    /// Print every line, however many there are
    #[arg(long)]
    pub all: bool,
}

impl Noticing {
    /// What is asked of a comparison; what the carts held for needs before a moment counts as used. Dates are read in the forms
    /// of the book.
    pub fn asked(&self, as_of: Option<Moment>, forms: &Forms) -> Result<CompareTerms, Failure> {
        let picked_through = self.picked_through.as_ref().map(|given| given.moment(forms)).transpose()?;
        Ok(CompareTerms { jobs_moved: i64::from(self.jobs_moved) * 60, picked_through, as_of })
    }

    /// So many lines of a section are printed, or all.
    pub fn most(&self, usual: usize) -> usize {
        if self.all { usize::MAX } else { usual }
    }

    /// The last line of a text of which something was left out.
    pub fn hint(&self, text: &str) -> &'static str {
        if !self.all && text.contains("  ... and ") { "(--all tells every line)\n" } else { "" }
    }
}
