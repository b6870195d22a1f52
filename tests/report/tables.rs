//! Tables: the same figures in CSV, in workbooks and in JSON.

use std::collections::BTreeSet;

use calamine::Data;
use thirdwood::orchard::CountId;
use thirdwood::report::papers::Wanted;
use thirdwood::report::tables::{self, Cell, DataTable, Kind, heading};
use thirdwood::report::{Format, Making, Period, Report, Season, StandingsOf, xlsx};
use uuid::Uuid;

use crate::book::{Sheet, day, number, part, parts, sheet, sheets, written};
use crate::builder::Orchard;
use crate::formats::{MADE, full, on, plain, reports};

/// Names that a spreadsheet or a mark-up reader would like to misread.
const HOSTILE: [&str; 8] = [
    "=cmd()|'/c calc'!A0",
    "+1",
    "-2",
    "@sum",
    "<script>alert('&')</script>",
    "_x0041_",
    "'t Veld",
    "a,\"b\";c",
];

fn tables_of(season: &Season) -> Vec<(String, Vec<DataTable>)> {
    let mut all: Vec<_> = reports(season)
        .iter()
        .map(|report| (report.word().to_owned(), report.tables()))
        .collect();
    let everything = tables::everything(season, on()).unwrap();
    all.push(("everything".to_owned(), everything));
    all
}

#[test]
fn every_cell_is_of_the_kind_of_its_column() {
    let mut seen = BTreeSet::new();
    for (report, tables) in tables_of(&plain()) {
        for table in tables {
            let titles: BTreeSet<&str> = table.columns.iter().map(|c| c.title.as_str()).collect();
            assert_eq!(titles.len(), table.columns.len(), "{report} {}", table.name);
            for row in &table.rows {
                assert_eq!(row.len(), table.columns.len(), "{report} {}", table.name);
                for (cell, column) in row.iter().zip(&table.columns) {
                    let fits = matches!(
                        (column.kind, cell),
                        (_, Cell::Empty)
                            | (Kind::Text, Cell::Text(_))
                            | (Kind::Whole, Cell::Whole(_))
                            | (Kind::Decimal(_) | Kind::Share, Cell::Number(_))
                            | (Kind::Day, Cell::Day(_))
                            | (Kind::Moment, Cell::Moment(_))
                    );
                    assert!(fits, "{report} {} {}: {cell:?}", table.name, column.title);
                    if *cell != Cell::Empty {
                        seen.insert(format!("{:?}", column.kind));
                    }
                }
            }
        }
    }
    for kind in ["Text", "Whole", "Decimal(2)", "Share", "Day", "Moment"] {
        assert!(seen.contains(kind), "no cell of kind {kind} was seen");
    }
}

/// Whether a cell of a workbook shows just what a table has.
fn shows(found: &Data, cell: &Cell) -> bool {
    match cell {
        Cell::Empty => *found == Data::Empty,
        Cell::Text(words) => *found == Data::String(words.clone()),
        Cell::Whole(wanted) => number(found) == Some(*wanted as f64),
        Cell::Number(wanted) => number(found).is_some_and(|found| (found - wanted).abs() < 1e-12),
        Cell::Day(wanted) => day(found) == Some(*wanted),
        Cell::Moment(wanted) => {
            let at = |found: &Data| match found {
                Data::DateTime(moment) => (moment.as_f64().fract() * 86_400.0).round() as i64,
                _ => -1,
            };
            let midnight = wanted.date().and_hms_opt(0, 0, 0).unwrap();
            day(found) == Some(wanted.date())
                && (at(found) - (*wanted - midnight).num_seconds()).abs() <= 1
        }
    }
}

fn same(sheet: &Sheet, table: &DataTable) {
    assert_eq!(sheet.len(), table.rows.len(), "{}", table.name);
    for (head, column) in sheet.rows[0].iter().zip(&table.columns) {
        assert_eq!(*head, Data::String(heading(&column.title)));
    }
    for (row, cells) in sheet.rows[1..].iter().zip(&table.rows) {
        for (at, cell) in cells.iter().enumerate() {
            let found = row.get(at).unwrap_or(&Data::Empty);
            let title = &table.columns[at].title;
            assert!(
                shows(found, cell),
                "{} {title}: {found:?}, not {cell:?}",
                table.name
            );
        }
    }
}

#[test]
fn a_workbook_holds_every_cell_of_its_tables() {
    let season = plain();
    let mut compared = 0;
    for (report, tables) in tables_of(&season) {
        let bytes = xlsx::workbook(&report, &tables, MADE).unwrap();
        let read = sheets(&bytes);
        for table in &tables {
            same(sheet(&read, &heading(&table.name)), table);
            compared += table.rows.len() * table.columns.len();
        }
    }
    assert!(compared > 2_000, "{compared}");
}

#[test]
fn names_of_sheets_are_valid_and_each_its_own() {
    for (report, tables) in tables_of(&plain()) {
        let bytes = xlsx::workbook(&report, &tables, MADE).unwrap();
        let book = part(&bytes, "xl/workbook.xml").unwrap();
        let names: Vec<&str> = book
            .split("<sheet name=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        assert!(names.len() >= tables.len(), "{names:?}");
        let lower: BTreeSet<String> = names.iter().map(|name| name.to_lowercase()).collect();
        assert_eq!(lower.len(), names.len(), "{names:?}");
        for name in names {
            assert!(
                (1..=xlsx::MAX_NAME).contains(&name.chars().count()),
                "{name}"
            );
            assert!(
                !name.contains(['[', ']', ':', '*', '?', '/', '\\', '\'']),
                "{name}"
            );
        }
    }
}

#[test]
fn csv_says_what_the_workbook_says() {
    let mut compared = 0;
    for (report, tables) in tables_of(&plain()) {
        for table in tables {
            let text = thirdwood::report::formats::csv::render(&table).unwrap();
            assert!(text.ends_with("\r\n") && !text.replace("\r\n", "").contains('\n'));
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let titles: Vec<&str> = table.columns.iter().map(|c| c.title.as_str()).collect();
            assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), titles);
            let read: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            assert_eq!(read.len(), table.rows.len(), "{report} {}", table.name);
            for (row, cells) in read.iter().zip(&table.rows) {
                for (found, cell) in row.iter().zip(cells) {
                    let fits = match cell {
                        Cell::Empty => found.is_empty(),
                        Cell::Text(words) => found == words,
                        Cell::Whole(number) => found == number.to_string(),
                        Cell::Number(number) => {
                            found.parse::<f64>().unwrap().to_bits() == number.to_bits()
                        }
                        Cell::Day(day) => found == day.to_string(),
                        Cell::Moment(at) => found == at.format("%Y-%m-%dT%H:%M:%S").to_string(),
                    };
                    assert!(fits, "{report} {}: {found:?}, not {cell:?}", table.name);
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 2_000, "{compared}");
}

#[test]
fn hostile_names_arrive_as_they_are_and_run_nowhere() {
    for pair in HOSTILE.chunks(2) {
        let names = [pair[0], pair[1], "Tam"];
        let season = full([pair[0], pair[1]], names, false);
        for report in reports(&season) {
            let bytes = written(&report);
            // `sheets` looks that no cell is a formula
            let words: Vec<String> = (sheets(&bytes).into_iter())
                .flat_map(|sheet| sheet.rows.into_iter().flatten())
                .filter_map(|cell| match cell {
                    Data::String(words) => Some(words),
                    _ => None,
                })
                .collect();
            let is_going = matches!(&report, Report::Winter(w) if w.orchard == "Invented Orchard" && w.left == 250);
            let all = words.join("\n");
            assert!(
                is_going || pair.iter().any(|name| all.contains(name)),
                "{}",
                report.word()
            );
            for name in parts(&bytes)
                .iter()
                .filter(|name| name.starts_with("xl/charts/"))
            {
                let chart = part(&bytes, name).unwrap();
                for formula in chart.split("<c:f>").skip(1) {
                    let formula = formula.split('<').next().unwrap();
                    let own = formula.contains("!$") && !formula.contains("cmd");
                    assert!(own, "{formula}");
                }
            }
            let csv = thirdwood::report::formats::csv::render(&report.tables()[0]).unwrap();
            let mut reader = csv::Reader::from_reader(csv.as_bytes());
            for cell in reader
                .records()
                .map(Result::unwrap)
                .flat_map(|row| row.iter().map(str::to_owned).collect::<Vec<_>>())
            {
                let starts = cell.starts_with(['=', '+', '-', '@']);
                assert!(!starts || cell.parse::<f64>().is_ok(), "{cell}");
            }
        }
    }
}

#[test]
fn a_block_named_like_a_formula_is_defused_in_csv() {
    let season = full(["=cmd()", "'t Veld"], ["Noor", "Aroha", "Tam"], false);
    let reports = reports(&season);
    let blocks = reports.iter().find(|report| report.word() == "blocks");
    let blocks = blocks.unwrap();
    let making = Making::default();
    let text = String::from_utf8(blocks.write(Format::Csv, &making).unwrap()).unwrap();
    let first = |line: Option<&str>| line.unwrap().split(',').next().unwrap().to_owned();
    let mut lines = text.lines().skip(1);
    assert_eq!(first(lines.next()), "''t Veld");
    assert_eq!(first(lines.next()), "'=cmd()");
}

#[test]
fn whoever_goes_by_number_is_in_no_table() {
    let season = full(["River", "Hill"], ["Qxavier", "Qxenia", "Qxolani"], true);
    let mut shown = 0;
    for (report, tables) in tables_of(&season) {
        for table in &tables {
            let text = thirdwood::report::formats::csv::render(table).unwrap();
            assert!(!text.contains("Qx"), "{report} {}", table.name);
            shown += text.matches("Nr 12").count();
        }
    }
    assert!(shown > 10, "{shown}");
}

#[test]
fn the_properties_name_nobody_and_tell_the_moment() {
    for report in reports(&plain()) {
        let core = part(&written(&report), "docProps/core.xml").unwrap();
        assert!(core.contains("<dc:creator></dc:creator>"), "{core}");
        assert!(
            core.contains("<cp:lastModifiedBy></cp:lastModifiedBy>"),
            "{core}"
        );
        assert!(core.contains("2027-01-04T17:00:00Z"), "{core}");
        assert!(core.contains(&format!("<dc:title>{}</dc:title>", report.word())));
    }
}

#[test]
fn a_sheet_has_its_charts() {
    let season = plain();
    let count = |report: &Report| {
        let names = parts(&written(report));
        names
            .iter()
            .filter(|name| name.starts_with("xl/charts/chart"))
            .count()
    };
    for report in reports(&season) {
        let wanted = match &report {
            // the orchard's days
            Report::Winter(_) | Report::Review(_) => 1,
            // the mix, and a trend for each that was counted on two days or more
            Report::Standings(of) => 1 + of.standings.iter().filter(|s| s.by_day.len() > 1).count(),
            Report::Outlooks(sheets) => sheets.iter().filter(|s| !s.ahead.is_empty()).count(),
            Report::Supervisor(_) => 2,
            Report::DaySheets(sheets) => {
                1 + sheets
                    .iter()
                    .filter(|s| s.standing.by_day.len() > 1)
                    .count()
            }
            Report::Briefs(_) | Report::Draw(_) | Report::Payroll(_) => 0,
        };
        assert_eq!(count(&report), wanted, "{}", report.word());
    }
    let winter = written(&reports(&season)[0]);
    let chart = part(&winter, "xl/charts/chart1.xml").unwrap();
    assert!(chart.contains("<c:f>'Done by day'!$B$2:$B$"), "{chart}");
    assert!(chart.contains("<c:barChart>") && chart.contains("<c:lineChart>"));
}

#[test]
fn an_empty_orchard_makes_workbooks_too() {
    let season = Orchard::new("").season();
    for report in reports(&season) {
        let read = sheets(&written(&report));
        assert_eq!(
            read.is_empty(),
            report.tables().is_empty(),
            "{}",
            report.word()
        );
        let making = Making::default();
        assert!(report.write(Format::Csv, &making).is_ok());
    }
    let tables = tables::everything(&season, on()).unwrap();
    let bytes = xlsx::workbook("everything", &tables, MADE).unwrap();
    let read = sheets(&bytes);
    assert_eq!(sheet(&read, "Counts").len(), 0);
    assert_eq!(read.len(), tables.len());
}

#[test]
fn everything_has_each_count_and_the_standings_of_the_reports() {
    let season = plain();
    let tables = tables::everything(&season, on()).unwrap();
    let find = |name: &str| tables.iter().find(|table| table.name == name).unwrap();
    assert_eq!(find("counts").rows.len(), season.counts().len());
    assert_eq!(find("work").rows.len(), season.work.len());
    let period = Period::so_far(on());
    let mut compared = 0;
    for of in [StandingsOf::Crew, StandingsOf::Blocks] {
        for table in Report::Standings(season.standings(of, period)).tables() {
            // single trees stand among the counts
            if table.name != "about" && !table.name.ends_with("_trees") {
                assert_eq!(find(&table.name).rows, table.rows, "{}", table.name);
                compared += table.rows.len();
            }
        }
    }
    assert!(compared > 30, "{compared}");
    let one = find("counts").column("one").unwrap();
    let pieces: i64 = (find("counts").rows.iter())
        .filter_map(|row| match row[one] {
            Cell::Whole(pieces) => Some(pieces),
            _ => None,
        })
        .sum();
    let counted: u32 = season
        .counts()
        .iter()
        .map(|count| count.tally.ages[0])
        .sum();
    assert_eq!(pieces, i64::from(counted));
}

#[test]
fn more_counts_than_fit_are_left_out_and_it_is_said() {
    let mut season = plain();
    let count = season.counts()[0].clone();
    let entered = tables::entered(&season, on());
    let more = tables::MOST_COUNTS - entered;
    let put = |season: &mut Season, number: usize| {
        let mut count = count.clone();
        count.id = CountId(Uuid::from_u128(number as u128));
        season.put(count);
    };
    for number in 0..more {
        put(&mut season, number);
    }
    let just = tables::everything(&season, on()).unwrap();
    let counts = just.iter().find(|table| table.name == "counts").unwrap();
    assert_eq!(counts.rows.len(), tables::MOST_COUNTS);
    let wanted = Wanted {
        papers: Vec::new(),
        ..Wanted::all(on())
    };
    let making = Making::default();
    let caution = |season: &Season| {
        let file = wanted.make(season, &making).next().unwrap().unwrap();
        (file.caution, sheets(&file.bytes))
    };
    put(&mut season, more);
    let tables = tables::everything(&season, on()).unwrap();
    assert!(tables.iter().all(|table| table.name != "counts"));
    let (said, read) = caution(&season);
    let said = said.unwrap();
    assert!(said.contains("20001 are more than the 20000"), "{said}");
    assert!(said.contains("thirdwood export counts"), "{said}");
    let last = sheet(&read, "About").rows.last().unwrap();
    assert_eq!(
        *last,
        [Data::String("left out".to_owned()), Data::String(said)]
    );
}
