//! What the brief card is written as: the ending of its file says it.

use crate::args::Paper;
use crate::debrief_command::on;
use crate::failure::Failure;
use proofwing::pipeline::Debriefed;
use std::path::Path;

/// For paper, or for the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardForm {
    /// For paper.
    Pdf,
    /// One page that needs nothing else.
    Html,
}

impl CardForm {
    /// By the ending of the named file; a folder gets PDFs, unless its name ends in `.html`.
    ///
    /// # Errors
    /// A file whose ending is neither, before anything is read.
    pub fn of(target: &Path, folder: bool) -> Result<Self, Failure> {
        let ending = target.extension().unwrap_or_default();
        if ending.eq_ignore_ascii_case("html") {
            Ok(Self::Html)
        } else if ending.eq_ignore_ascii_case("pdf") || folder || target.is_dir() {
            Ok(Self::Pdf)
        } else {
            Err(Failure::Usage(format!(
                "--brief-card {}: a brief card is written as .pdf or as .html\nhint: end the name in one of them",
                target.display()
            )))
        }
    }

    /// The ending of its name.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Html => "html",
        }
    }

    /// The card of one flight; none where it has no stall to brief from.
    pub fn written(self, flight: &Debriefed, paper: Paper) -> Result<Option<Vec<u8>>, Failure> {
        match self {
            Self::Pdf => press::brief_card_pdf(&flight.document, &flight.flight, on(paper))
                .map_err(|error| Failure::Output(error.to_string())),
            Self::Html => Ok(
                press::brief_card_html(&flight.document, &flight.flight).map(String::into_bytes)
            ),
        }
    }
}
