//! Any report in any format: the one place that knows which report can be written in which.

use std::io;

use thiserror::Error;

use super::paper::{Paper, sheets};
use super::text::TextOptions;
use super::{
    BriefSheet, DaySheet, DrawList, Format, OutlookSheet, Standings, StandingsOf, SupervisorPage,
    WinterProgress, html, json, outlook_csv, pdf, tables, text,
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
}

/// Why a report cannot be written.
#[derive(Debug, Error)]
pub enum MakeError {
    /// There is no such report in this format.
    #[error("{report} cannot be written as {}; it can be {can}", format.word())]
    NoSuch {
        /// The report.
        report: &'static str,
        /// The format asked for.
        format: Format,
        /// The formats there are, by name.
        can: String,
    },
    /// JSON that cannot be made.
    #[error("JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// A table that cannot be made.
    #[error("table: {0}")]
    Table(#[from] io::Error),
    /// Pages that cannot be made.
    #[error("PDF: {0}")]
    Pdf(#[from] pdf::PdfError),
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
            Self::Briefs(_) => "brief",
            Self::Outlooks(_) => "outlook",
            Self::Draw(_) => "draw",
        }
    }

    /// Whether it can be written so.
    pub const fn can(&self, format: Format) -> bool {
        match format {
            Format::Text | Format::Html | Format::Pdf | Format::Json => true,
            Format::Csv => matches!(self, Self::Winter(_) | Self::Outlooks(_)),
            Format::Xlsx => false,
        }
    }

    /// The report in a format, as the bytes of a file.
    ///
    /// # Errors
    /// [`MakeError::NoSuch`] where there is no such format of it; else what went wrong in making it.
    pub fn write(&self, format: Format, making: &Making) -> Result<Vec<u8>, MakeError> {
        match format {
            Format::Text => Ok(self.text(making).into_bytes()),
            Format::Json => Ok(self.json(&making.made)?.into_bytes()),
            Format::Csv => Ok(self.csv()?.ok_or_else(|| self.lacks(format))?.into_bytes()),
            Format::Html => Ok(html::render(&self.paper(), &making.made).into_bytes()),
            Format::Pdf => Ok(pdf::render(&self.paper(), making.page)?),
            Format::Xlsx => Err(self.lacks(format)),
        }
    }

    /// The refusal to write it in a format.
    pub fn lacks(&self, format: Format) -> MakeError {
        let can: Vec<&str> = (Format::ALL.into_iter().filter(|format| self.can(*format)))
            .map(Format::word)
            .collect();
        MakeError::NoSuch {
            report: self.word(),
            format,
            can: can.join(", "),
        }
    }

    fn text(&self, making: &Making) -> String {
        let options = TextOptions {
            page_breaks: making.page_breaks,
        };
        match self {
            Self::DaySheets(sheets) => text::day_sheets(sheets, options),
            Self::Supervisor(page) => text::supervisor(page),
            Self::Standings(standings) => text::standings(standings),
            Self::Winter(progress) => text::winter(progress),
            Self::Briefs(sheets) => text::briefs(sheets, options),
            Self::Outlooks(sheets) => text::outlooks(sheets, options),
            Self::Draw(list) => text::draw_list(list),
        }
    }

    /// The report set on paper.
    pub fn paper(&self) -> Paper {
        match self {
            Self::DaySheets(of) => sheets::day_sheets(of),
            Self::Supervisor(page) => sheets::supervisor(page),
            Self::Standings(of) => sheets::standings(of),
            Self::Winter(progress) => sheets::winter(progress),
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
            Self::Briefs(sheets) => json::briefs(sheets, made),
            Self::Outlooks(sheets) => json::outlooks(sheets, made),
            Self::Draw(list) => json::draw(list, made),
        }
    }

    fn csv(&self) -> io::Result<Option<String>> {
        match self {
            Self::Winter(progress) => tables::winter(progress).map(Some),
            Self::Outlooks(sheets) => Ok(Some(outlook_csv(sheets))),
            _ => Ok(None),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_report_can_be_written_just_as_it_says() {
        for report in [
            Report::DaySheets(Vec::new()),
            Report::Briefs(Vec::new()),
            Report::Outlooks(Vec::new()),
        ] {
            for format in Format::ALL {
                let written = report.write(format, &Making::default());
                assert_eq!(
                    !matches!(written, Err(MakeError::NoSuch { .. })),
                    report.can(format),
                    "{} as {}",
                    report.word(),
                    format.word()
                );
            }
        }
    }
}
