//! Any report in any format.

use std::io;

use thiserror::Error;

use super::{Format, csv, html, json, pdf, text, xlsx};
use crate::report::document::{Document, Part, sheets, tables};
use crate::report::{
    BriefSheet, DaySheet, DrawList, OutlookSheet, Payroll, Standing, Standings, StandingsOf,
    SupervisorPage, WinterProgress, WinterReview, words,
};

/// A report as data, whichever it is.
#[derive(Debug, Clone)]
pub enum Report {
    /// A sheet a pruner.
    DaySheets(Vec<DaySheet>),
    /// The supervisor's page.
    Supervisor(Box<SupervisorPage>),
    /// How the crew or the blocks stand.
    Standings(Standings),
    /// The winter's work.
    Winter(Box<WinterProgress>),
    /// Hours and pay.
    Payroll(Payroll),
    /// The winter review.
    Review(Box<WinterReview>),
    /// A brief a block.
    Briefs(Vec<BriefSheet>),
    /// An outlook a block.
    Outlooks(Vec<OutlookSheet>),
    /// A draw, to walk by.
    Draw(DrawList),
}

/// What a report is written with beside its data.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Making {
    /// The moment of making, RFC 3339 with the local offset.
    pub made: String,
    /// In text: a form feed between pruners or blocks.
    pub page_breaks: bool,
    /// In PDF: the size of the pages.
    pub page: pdf::PageSize,
    /// In HTML and PDF: a last sheet with every figure.
    pub figures: bool,
}

/// Why a report cannot be written.
#[derive(Debug, Error)]
pub enum MakeError {
    /// JSON that cannot be made.
    #[error("JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// A table that cannot be made.
    #[error("table: {0}")]
    Table(#[from] io::Error),
    /// Pages that cannot be made.
    #[error("PDF: {0}")]
    Pdf(#[from] pdf::PdfError),
    /// A number that cannot be.
    #[error(transparent)]
    Invalid(#[from] crate::orchard::Invalid),
    /// A workbook that cannot be made.
    #[error(transparent)]
    Book(#[from] xlsx::BookError),
}

impl Report {
    /// Its name in messages and in names of files.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::DaySheets(_) => "day-sheet",
            Self::Supervisor(_) => "supervisor",
            Self::Standings(of) => match of.of {
                StandingsOf::Crew => "crew",
                StandingsOf::Blocks => "blocks",
            },
            Self::Winter(_) => "winter",
            Self::Payroll(_) => "payroll",
            Self::Review(_) => "review",
            Self::Briefs(_) => "brief",
            Self::Outlooks(_) => "outlook",
            Self::Draw(_) => "draw",
        }
    }

    /// The report in a format, as the bytes of a file.
    ///
    /// # Errors
    /// What went wrong in making it.
    pub fn write(&self, format: Format, making: &Making) -> Result<Vec<u8>, MakeError> {
        match format {
            Format::Text if making.page_breaks => {
                Ok(text::render_paged(&self.paper()).into_bytes())
            }
            Format::Text => Ok(text::render(&self.paper()).into_bytes()),
            Format::Json => Ok(self.json(&making.made)?.into_bytes()),
            Format::Csv => Ok(self.csv()?.into_bytes()),
            Format::Xlsx => Ok(xlsx::workbook(self.word(), self.tables(), &making.made)?),
            Format::Html => Ok(html::render(&self.printed(making), &making.made).into_bytes()),
            Format::Pdf => Ok(pdf::render(&self.printed(making), making.page)?),
        }
    }

    /// What whoever makes the file is told: in PDF, which names the pages cannot show; of a workbook, what is left out.
    /// None where nothing is amiss.
    ///
    /// # Errors
    /// As [`Report::write`].
    pub fn caution(&self, format: Format, making: &Making) -> Result<Option<String>, MakeError> {
        Ok(match format {
            Format::Pdf => pdf::caution(&self.printed(making))?,
            Format::Xlsx => self.left_out(),
            Format::Text | Format::Json | Format::Csv | Format::Html => None,
        })
    }

    /// What is said of trees that are too many to stand one by one in the tables.
    fn left_out(&self) -> Option<String> {
        let standings: Vec<&Standing> = match self {
            Self::DaySheets(sheets) => sheets.iter().map(|sheet| &sheet.standing).collect(),
            Self::Standings(of) => of.standings.iter().collect(),
            _ => return None,
        };
        tables::without_trees(&standings)
    }

    /// The paper, with the sheet of all figures where it is asked for.
    fn printed(&self, making: &Making) -> Document {
        let mut paper = self.paper();
        if making.figures && !paper.sheets.is_empty() {
            let mut last = sheets::figures(&self.tables());
            last.orchard.clone_from(&paper.sheets[0].orchard);
            last.winter.clone_from(&paper.sheets[0].winter);
            last.day.clone_from(&paper.sheets[0].day);
            let left_out = self.left_out().as_deref().map(words::sentence);
            last.parts.extend(left_out.map(Part::Note));
            paper.sheets.push(last);
        }
        paper
    }

    /// The report set on paper.
    pub fn paper(&self) -> Document {
        match self {
            Self::DaySheets(of) => sheets::day_sheets(of),
            Self::Supervisor(page) => sheets::supervisor(page),
            Self::Standings(of) => sheets::standings(of),
            Self::Winter(progress) => sheets::winter(progress),
            Self::Payroll(payroll) => sheets::payroll(payroll),
            Self::Review(review) => sheets::review(review),
            Self::Briefs(of) => sheets::briefs(of),
            Self::Outlooks(of) => sheets::outlooks(of),
            Self::Draw(list) => sheets::draw_list(list),
        }
    }

    fn json(&self, made: &str) -> serde_json::Result<String> {
        match self {
            Self::DaySheets(sheets) => json::day_sheets(sheets, made),
            Self::Supervisor(page) => json::supervisor(page, made),
            Self::Standings(standings) => json::standings(standings, made),
            Self::Winter(progress) => json::winter(progress, made),
            Self::Payroll(payroll) => json::payroll(payroll, made),
            Self::Review(review) => json::review(review, made),
            Self::Briefs(sheets) => json::briefs(sheets, made),
            Self::Outlooks(sheets) => json::outlooks(sheets, made),
            Self::Draw(list) => json::draw(list, made),
        }
    }

    /// Its tables; the first is the one that CSV holds.
    pub fn tables(&self) -> Vec<tables::DataTable> {
        match self {
            Self::DaySheets(sheets) => tables::day_sheets(sheets),
            Self::Supervisor(page) => tables::supervisor(page),
            Self::Standings(standings) => tables::standings(standings),
            Self::Winter(progress) => tables::winter(progress),
            Self::Payroll(payroll) => tables::payroll(payroll),
            Self::Review(review) => tables::review(review),
            Self::Briefs(sheets) => tables::briefs(sheets),
            Self::Outlooks(sheets) => tables::outlooks(sheets),
            Self::Draw(list) => tables::draw(list),
        }
    }

    fn csv(&self) -> io::Result<String> {
        (self.tables().first()).map_or_else(|| Ok(String::new()), csv::render)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_report_of_nothing_can_be_written_in_every_format() {
        for report in [
            Report::DaySheets(Vec::new()),
            Report::Briefs(Vec::new()),
            Report::Outlooks(Vec::new()),
        ] {
            for format in Format::ALL {
                let written = report.write(format, &Making::default());
                let bytes = written.unwrap_or_default();
                assert!(!bytes.is_empty(), "{} as {}", report.word(), format.word());
            }
        }
    }
}
