//! The papers of a day: reports in several formats, made one after the other.

use chrono::NaiveDate;

use super::every::{MakeError, Making, Report};
use super::{Format, xlsx};
use crate::orchard::Invalid;
use crate::report::document::tables;
use crate::report::{Period, Season, StandingsOf, Taken};

/// The workbook of the whole winter.
const EVERYTHING: &str = "everything.xlsx";

/// A paper that can be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paper {
    /// Day sheets of all who worked or were counted on the day.
    DaySheets,
    /// The supervisor's page.
    Supervisor,
    /// How the crew stands.
    Crew,
    /// How the blocks stand.
    Blocks,
    /// The winter's work.
    Winter,
    /// Hours and pay.
    Payroll,
    /// The winter review.
    Review,
    /// A brief a block.
    Briefs,
    /// An outlook a block.
    Outlooks,
    /// The last draw up to the day.
    Draw,
}

impl Paper {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::DaySheets,
        Self::Supervisor,
        Self::Crew,
        Self::Blocks,
        Self::Winter,
        Self::Payroll,
        Self::Review,
        Self::Briefs,
        Self::Outlooks,
        Self::Draw,
    ];

    /// What it is called where papers are chosen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::DaySheets => "day sheets",
            Self::Supervisor => "supervisor's page",
            Self::Crew => "crew",
            Self::Blocks => "blocks",
            Self::Winter => "winter",
            Self::Payroll => "payroll",
            Self::Review => "winter review",
            Self::Briefs => "briefs",
            Self::Outlooks => "outlook",
            Self::Draw => "draw",
        }
    }

    /// The report; none where there is nothing to make it of.
    ///
    /// # Errors
    /// A number of a block that cannot be.
    pub fn report(self, season: &Season, day: NaiveDate) -> Result<Option<Report>, Invalid> {
        let standings = |of| Report::Standings(season.standings(of, Period::so_far(day)));
        Ok(Some(match self {
            Self::DaySheets => Report::DaySheets(season.day_sheets(day)),
            Self::Supervisor => Report::Supervisor(Box::new(season.supervisor_page(day))),
            Self::Crew => standings(StandingsOf::Crew),
            Self::Blocks => standings(StandingsOf::Blocks),
            Self::Winter => Report::Winter(Box::new(season.winter_progress(day))),
            Self::Payroll => Report::Payroll(season.payroll(Period::so_far(day))),
            Self::Review => Report::Review(Box::new(season.review(day))),
            Self::Briefs => {
                let wood = season.wood(Period::so_far(day));
                let brief = |block| season.brief(block, &wood, &Taken::default(), day);
                let sheets = season.blocks.iter().map(|block| brief(block.id));
                Report::Briefs(sheets.collect::<Result<_, _>>()?)
            }
            Self::Outlooks => {
                let wood = season.wood(Period::so_far(day));
                let outlook = |block| season.outlook(block, &wood, &Taken::default(), day);
                let sheets = season.blocks.iter().map(|block| outlook(block.id));
                Report::Outlooks(sheets.collect::<Result<_, _>>()?)
            }
            Self::Draw => {
                let last = season.draws.iter().rfind(|draw| draw.day <= day);
                return Ok(last.map(|draw| Report::Draw(season.draw_list(draw))));
            }
        }))
    }
}

/// Which papers, in which formats.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// The papers, in this order.
    pub papers: Vec<Paper>,
    /// The formats of each.
    pub formats: Vec<Format>,
    /// And the workbook of the whole winter.
    pub everything: bool,
    /// The day.
    pub day: NaiveDate,
}

impl Wanted {
    /// Every paper in every format.
    pub fn all(day: NaiveDate) -> Self {
        Self {
            papers: Paper::ALL.to_vec(),
            formats: Format::ALL.to_vec(),
            everything: true,
            day,
        }
    }

    /// How many files it makes at most.
    pub fn files(&self) -> usize {
        self.papers.len() * self.formats.len() + usize::from(self.everything)
    }

    /// The files, each made when it is asked for: whoever stops asking has stopped the work. One
    /// report at a time, so that they are not all in memory.
    pub fn make<'a>(&'a self, season: &'a Season, making: &'a Making) -> Files<'a> {
        let of_paper = move |paper: &'a Paper| -> Files<'a> {
            match paper.report(season, self.day) {
                Err(e) => Box::new(std::iter::once(Err(e.into()))),
                Ok(report) => Box::new(report.into_iter().flat_map(move |report| {
                    let formats = self.formats.iter();
                    formats.map(move |format| {
                        Ok(File {
                            name: format!("{}.{}", report.word(), format.ending()),
                            bytes: report.write(*format, making)?,
                            caution: report.caution(*format, making)?,
                        })
                    })
                })),
            }
        };
        let everything = self.everything.then_some(()).into_iter();
        let everything = everything.map(move |()| {
            let tables = tables::everything(season, self.day)?;
            Ok(File {
                name: EVERYTHING.to_owned(),
                bytes: xlsx::workbook("winter", tables, &making.made)?,
                caution: tables::left_out(tables::entered(season, self.day)),
            })
        });
        Box::new(self.papers.iter().flat_map(of_paper).chain(everything))
    }
}

/// Files, made one by one.
pub type Files<'a> = Box<dyn Iterator<Item = Result<File, MakeError>> + 'a>;

/// One file of the papers.
#[derive(Debug)]
pub struct File {
    /// Its name in the folder.
    pub name: String,
    /// All that it holds.
    pub bytes: Vec<u8>,
    /// What whoever made it is told ([`Report::caution`]).
    pub caution: Option<String>,
}
