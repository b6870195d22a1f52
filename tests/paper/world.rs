//! The reports of the invented orchard, with its own names and with hostile ones.

use chrono::{DateTime, Days, NaiveDate};
use thirdwood::demo;
use thirdwood::orchard::{Block, Pruner};
use thirdwood::report::{Period, Report, Season, StandingsOf, Taken};
use thirdwood::store::Store;

/// The moment of making.
pub const MADE: &str = "2027-07-14T17:40:00+10:00";
/// Names that would be harmful if they were taken for anything else than names. The longest has 60 characters, the
/// most that a name may have.
pub const HOSTILE: [&str; 6] = [
    "<script>alert(1)</script>",
    "=cmd()|' /C calc'!A0",
    "\"><img src=x onerror=alert(1)>",
    "a & b < c > 'd' \"e\" &amp;",
    "שלום בוסתן الشمال",
    "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
];
/// What is refused as a name, and must do no harm if it comes from elsewhere.
pub const REFUSED: &str = "\u{1b}[2J\u{1b}]0;x\u{7}\u{202e}<b>\"'&\u{0}\r\n";

fn day() -> NaiveDate {
    DateTime::parse_from_rfc3339(MADE).unwrap().date_naive()
}

/// The winter of the invented orchard.
pub fn season() -> Season {
    let store = Store::in_memory().unwrap();
    demo::fill(&store, 1, day()).unwrap();
    let winter = store.winter_on(day()).unwrap().unwrap();
    Season::load(&store, winter).unwrap()
}

/// The same, with hostile names wherever a name stands.
pub fn hostile_season() -> Season {
    let mut season = season();
    let mut names = HOSTILE.iter().cycle();
    for block in &mut season.blocks {
        let mut draft = (**block).clone();
        (*names.next().unwrap()).clone_into(&mut draft.name);
        *block = Block::new(block.id, draft).unwrap();
    }
    for pruner in &mut season.pruners {
        let mut draft = (**pruner).clone();
        (*names.next().unwrap()).clone_into(&mut draft.name);
        *pruner = Pruner::new(pruner.id, draft).unwrap();
    }
    season.orchard = format!("{REFUSED}{}", HOSTILE[5].repeat(5));
    for entry in &mut season.go_backs {
        entry.reason = format!("{REFUSED} {}", HOSTILE[2]);
    }
    season
}

/// Every report of a winter. The last day has counts only; a day before it has work as well.
pub fn reports(season: &Season) -> Vec<(&'static str, Report)> {
    let today = day();
    let worked = season.work.last().map_or(today, |work| work.day);
    let so_far = Period::so_far(today);
    let lately = Period {
        since: Some(today - Days::new(6)),
        until: today,
    };
    let wood = season.wood(so_far);
    let ids = || season.blocks.iter().map(|block| block.id);
    let taken = Taken::default();
    let brief = |block| season.brief(block, &wood, &taken, today).unwrap();
    let outlook = |block| season.outlook(block, &wood, &taken, today).unwrap();
    let one = season.day_sheet(season.pruners[0].id, worked);
    vec![
        ("day-sheets", Report::DaySheets(season.day_sheets(worked))),
        ("day-sheet-of-one", Report::DaySheets(one)),
        ("day-sheets-of-nobody", Report::DaySheets(Vec::new())),
        (
            "supervisor",
            Report::Supervisor(Box::new(season.supervisor_page(today))),
        ),
        (
            "crew",
            Report::Standings(season.standings(StandingsOf::Crew, so_far)),
        ),
        (
            "crew-lately",
            Report::Standings(season.standings(StandingsOf::Crew, lately)),
        ),
        (
            "blocks",
            Report::Standings(season.standings(StandingsOf::Blocks, so_far)),
        ),
        (
            "winter",
            Report::Winter(Box::new(season.winter_progress(today))),
        ),
        ("payroll", Report::Payroll(season.payroll(so_far))),
        ("review", Report::Review(Box::new(season.review(today)))),
        ("briefs", Report::Briefs(ids().map(brief).collect())),
        ("outlooks", Report::Outlooks(ids().map(outlook).collect())),
        (
            "draw",
            Report::Draw(season.draw_list(season.draws.last().unwrap())),
        ),
    ]
}
