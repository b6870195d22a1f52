//! What a day sheet says, and what it keeps to itself.

use thirdwood::judge::{Metric, Sample, TreeFigures, Verdict, bands, judge};
use thirdwood::orchard::*;
use thirdwood::report::document::sheets;
use thirdwood::report::tables::{self, Cell};
use thirdwood::report::words::Tongue;
use thirdwood::report::{
    Change, DaySheet, Format, MAX_CHANGES, Making, Period, Report, Season, StandingsOf, Swap,
    Taken, text, words,
};

use crate::builder::*;

/// The only sheet of a pruner.
pub fn only(season: &Season, pruner: &Pruner, on: u64) -> DaySheet {
    let mut sheets = season.day_sheet(pruner.id, day(on));
    assert_eq!(sheets.len(), 1);
    sheets.remove(0)
}

fn one_pruner(n: u16, tree: fn(u32) -> Tree<'static>) -> (Season, Pruner) {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1-3x60", "");
    let pruner = orchard.pruner(7, "Aroha", false);
    orchard.counted_row(&pruner, &block, 1, n, 3, tree);
    (orchard.season(), pruner)
}

fn said(sheet: &DaySheet) -> Vec<String> {
    (sheet.changes.iter())
        .flat_map(|change| words::change(change, &sheet.standing))
        .collect()
}

#[test]
fn a_light_pruner_reads_what_is_right_first_then_what_to_change() {
    let (season, pruner) = one_pruner(40, light);
    let sheet = only(&season, &pruner, 3);
    assert_eq!(sheet.standing.judgement.overall, Verdict::Light);
    assert!(sheet.right.contains(&Metric::Three));
    assert_eq!(
        Tongue::english().right(&sheet),
        [
            "Three-year wood is in balance.",
            "Four-plus wood and buds are within the rule."
        ]
    );
    assert_eq!(
        said(&sheet),
        [
            "Leave about 6 more one-year pieces a tree.",
            "Take out about 6 more two-year pieces a tree."
        ]
    );
    let text = text::render(&sheets::day_sheets(&[sheet]));
    let at = |word: &str| text.find(word).unwrap();
    assert!(at("RIGHT") < at("in balance") && at("in balance") < at("TO CHANGE"));
    assert!(at("TO CHANGE") < at("Leave about 6"));
}

#[test]
fn swaps_told_add_to_zero_and_are_two_at_most() {
    let off: [fn(u32) -> Tree<'static>; 4] = [
        light,
        |n| Tree([3 + n % 2, 6, 14, 6], THICK_LONG),
        |n| Tree([16 + n % 3, 5, 4, 4], GOOD),
        |n| Tree([7, 9 + n % 2, 10, 4], THICK_LONG),
    ];
    for tree in off {
        let (season, pruner) = one_pruner(40, tree);
        let sheet = only(&season, &pruner, 3);
        assert!(!sheet.changes.is_empty());
        assert!((1..=MAX_CHANGES).contains(&said(&sheet).len()));
        for change in &sheet.changes {
            assert_eq!(change.pieces().iter().sum::<i32>(), 0, "{change:?}");
            if let Change::Wood { asked, .. } = change {
                for swap in asked {
                    assert_eq!(
                        swap.pieces > 0,
                        swap.verdict == Verdict::Light,
                        "{change:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn nothing_is_claimed_while_undecided() {
    let (season, pruner) = one_pruner(7, wild);
    let sheet = only(&season, &pruner, 3);
    assert_eq!(sheet.standing.judgement.overall, Verdict::KeepCounting);
    assert!(sheet.changes.is_empty() && sheet.right.is_empty() && sheet.weeks.is_empty());
    assert_eq!(sheet.open, Metric::ALL);
    assert_eq!(
        Tongue::english().right(&sheet),
        ["7 trees counted; nothing is settled as in balance yet."]
    );
    let status = Tongue::english().status(&sheet);
    assert!(status.starts_with("Still counting: about "), "{status}");
    let text = text::render(&sheets::day_sheets(&[sheet]));
    for claim in [
        "TO CHANGE",
        "Leave about",
        "Take out",
        "is in balance",
        "looks ",
    ] {
        assert!(!text.contains(claim), "{claim} in\n{text}");
    }
}

#[test]
fn who_is_in_balance_is_told_so_and_asked_nothing() {
    let (season, pruner) = one_pruner(60, even);
    let sheet = only(&season, &pruner, 3);
    assert_eq!(Tongue::english().status(&sheet), "In balance.");
    assert!(sheet.changes.is_empty() && sheet.open.is_empty());
    assert_eq!(
        Tongue::english().right(&sheet),
        ["Every age of wood is in balance, and the buds are within the rule."]
    );
}

#[test]
fn a_leaning_is_told_as_one() {
    // one-year wood about a quarter: below a third for sure, below the band's edge or not is open
    let (season, pruner) = one_pruner(30, |n| {
        let wobble = n % 4 * 2;
        Tree([4 + wobble, 12 - wobble / 2, 14 - wobble / 2, 0], GOOD)
    });
    let sheet = only(&season, &pruner, 3);
    assert_eq!(sheet.standing.judgement.overall, Verdict::LeaningLight);
    let said = said(&sheet);
    assert!(
        said[0].starts_with("One-year wood looks light: it seems about "),
        "{said:?}"
    );
    assert!(
        said.iter()
            .all(|line| !line.starts_with("Leave") && !line.starts_with("Take"))
    );
}

#[test]
fn buds_are_spoken_of_by_size_and_only_when_off_the_rule() {
    let (season, pruner) = one_pruner(40, |n| Tree(even(n).0, THICK_LONG));
    let sheet = only(&season, &pruner, 3);
    assert_eq!(
        Tongue::english().status(&sheet),
        "Off the rule (buds).",
        "light buds would be read as too few"
    );
    assert_eq!(
        said(&sheet),
        [
            "Buds: on the average tree 50 % of the units (pieces of two-year wood) keep the rule; at least 80 % should. \
          Thick units: 6.0 buds left on average, the rule is 4; leave fewer."
        ]
    );
}

#[test]
fn four_plus_wood_is_to_be_taken_out() {
    let (season, pruner) = one_pruner(30, |n| {
        let ages = [[14, 6, 5, 5], [5, 14, 6, 5], [6, 5, 14, 5]];
        Tree(ages[n as usize % 3], GOOD)
    });
    let sheet = only(&season, &pruner, 3);
    assert_eq!(sheet.standing.judgement.lead, Some(Metric::FourPlus));
    assert_eq!(
        said(&sheet)[0],
        "Take out about 5 four-plus pieces a tree: it is older than may stay. \
         To keep the number of pieces: 2 more one-year, 2 more two-year and 1 more three-year."
    );
}

#[test]
fn trees_by_eye_and_in_part_are_named() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1x60", "");
    let pruner = orchard.pruner(7, "Aroha", false);
    orchard.work(&pruner, &block, 1, (1, 60), 3);
    for place in 1..=8u16 {
        orchard.count_as(&pruner, &block, (1, place), 3, &even(1), |count| {
            if place > 3 {
                count.head.chosen = Chosen::ByEye;
            }
            if place == 1 {
                count.head.part = Part::Stems(2);
                count.tally.ages = [5, 5, 5, 0];
            }
        });
    }
    let sheet = only(&orchard.season(), &pruner, 3);
    assert!(sheet.mostly_by_eye);
    let basis = Tongue::english().basis(&sheet);
    assert_eq!(
        basis[0],
        "Judged on 8 trees counted this winter: 3 drawn at random, 5 chosen by eye. On this day: 8 trees."
    );
    assert!(basis[1].contains("by eye") && basis[2].contains("1 tree counted in part"));
    // 15 pieces on two of four stems count as 30
    assert!((sheet.standing.pieces_a_tree.unwrap() - 30.0).abs() < 1e-12);
}

#[test]
fn figures_are_those_of_the_judge() {
    let (season, pruner) = one_pruner(23, wild);
    let sheet = only(&season, &pruner, 3);
    let rule = Rule::default();
    let mut sample = Sample::new(rule.target());
    for count in season.counts() {
        sample.add(&TreeFigures::of(&count.tally, &rule));
    }
    let direct = judge(&sample, &bands(&rule));
    for (line, metric) in sheet.table.iter().zip(&direct.metrics) {
        assert_eq!(line.verdict, metric.verdict);
        assert_eq!(line.trees, metric.n);
        assert!((line.mean.unwrap() - metric.mean.unwrap()).abs() < 1e-12);
        let shown = if metric.verdict == Verdict::InBalance {
            metric.balance
        } else {
            metric.flag
        };
        assert!((line.interval.lo - shown.lo).abs() < 1e-12);
        assert!((line.interval.hi - shown.hi).abs() < 1e-12);
    }
    assert_eq!(sheet.standing.judgement.overall, direct.overall);
}

#[test]
fn the_week_is_better_only_where_the_evidence_says_so() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1-9x60", "");
    let (mends, same) = (
        orchard.pruner(1, "Mends", false),
        orchard.pruner(2, "Same", false),
    );
    orchard.counted_row(&mends, &block, 1, 25, 3, light);
    orchard.counted_row(&mends, &block, 2, 25, 10, even);
    orchard.counted_row(&same, &block, 3, 25, 3, light);
    orchard.counted_row(&same, &block, 4, 25, 10, light);
    let season = orchard.season();
    let sheet = only(&season, &mends, 12);
    let one = sheet
        .weeks
        .iter()
        .find(|week| week.metric == Metric::One)
        .unwrap();
    assert!(one.better && one.before < one.now);
    assert!(Tongue::english().week(one).ends_with("nearer to the rule."));
    assert!(only(&season, &same, 12).weeks.is_empty());
    // a week earlier there is nothing to compare with
    assert!(only(&season, &mends, 5).weeks.is_empty());
}

#[test]
fn a_sheet_knows_nothing_of_later_days() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1-9x60", "");
    let pruner = orchard.pruner(7, "Aroha", false);
    orchard.counted_row(&pruner, &block, 1, 8, 3, even);
    orchard.counted_row(&pruner, &block, 2, 8, 4, light);
    let mut sent = orchard.send_back(&pruner, &block, 1, 3, "uprights left");
    sent.settled = Some(Settled {
        outcome: Outcome::Mended,
        day: day(4),
    });
    orchard.store.save_go_back(&sent).unwrap();
    let season = orchard.season();
    let (third, fourth) = (only(&season, &pruner, 3), only(&season, &pruner, 4));
    assert_eq!((third.standing.trees, fourth.standing.trees), (8, 16));
    assert_eq!(fourth.today.unwrap().trees, 8);
    assert_eq!((third.go_backs.len(), fourth.go_backs.len()), (1, 0));
}

#[test]
fn sheets_are_for_all_who_worked_or_were_counted_that_day() {
    let orchard = Orchard::new("Test");
    let block = orchard.block("River", "1-9x60", "");
    let names = ["A", "B", "C"];
    let [worked, counted, neither] =
        [3, 1, 2].map(|n| orchard.pruner(n, names[usize::from(n) - 1], false));
    orchard.work(&worked, &block, 1, (1, 60), 5);
    orchard.work(&counted, &block, 2, (1, 60), 4);
    orchard.count(&counted, &block, (2, 1), 5, &even(1));
    orchard.work(&neither, &block, 3, (1, 60), 4);
    let season = orchard.season();
    let sheets = season.day_sheets(day(5));
    let shown: Vec<&str> = sheets.iter().map(DaySheet::shown).collect();
    assert_eq!(shown, ["Nr 1 A", "Nr 3 C"], "by number");
    assert_eq!(
        Tongue::english().status(&sheets[1]),
        "No tree has been counted yet, so nothing can be said."
    );
    let standing = &sheets[1].standing;
    let known = [
        standing.pieces_a_tree,
        standing.upright_a_tree,
        standing.thick_top_a_tree,
    ];
    assert_eq!(known, [None; 3], "nothing counted is not nought");
    assert!(season.day_sheets(day(1)).is_empty());
}

/// Twenty trees of 60 pieces, and twenty on which buds alone were tapped: these say nothing of pieces.
#[test]
fn trees_without_pieces_are_no_poor_trees() {
    let (season, pruner) = one_pruner(40, |n| {
        let wobble = n % 3;
        let pieces = [6 + wobble, 34 - wobble, 20, 0];
        Tree(if n <= 20 { pieces } else { [0; 4] }, GOOD)
    });
    let sheet = only(&season, &pruner, 3);
    assert!((sheet.standing.pieces_a_tree.unwrap() - 60.0).abs() < 1e-9);
    // 20 one-year pieces are wanted, and about 7 were left
    let asked: Vec<_> = sheet.changes.iter().map(|c| c.pieces()[0]).collect();
    assert_eq!(asked, [13]);
    // and the outlook has the same trees
    let wood = season.wood(Period::so_far(day(3)));
    let block = season.blocks[0].id;
    let outlook = season.outlook(block, &wood, &Taken::default(), day(3));
    let left = outlook.unwrap().left.unwrap();
    assert!((left.pieces.iter().sum::<f64>() - 60.0).abs() < 1e-9);
    assert_eq!(left.trees, 40);
}

/// What a table says is asked is what the sheet asks, however many ages are off.
#[test]
fn the_columns_of_pieces_to_leave_are_the_sheets() {
    let (season, pruner) = one_pruner(40, |n| Tree([3 + n % 2, 6, 14, 6], GOOD));
    let sheet = only(&season, &pruner, 3);
    let spoken = sheet.standing.judgement.spoken(&sheet.standing.bands);
    assert!(spoken.len() > MAX_CHANGES, "{spoken:?}");
    let [change] = sheet.changes.as_slice() else {
        panic!("{:?}", sheet.changes);
    };
    let told = change.pieces().map(|pieces| Cell::Whole(pieces.into()));
    let crew = season.standings(StandingsOf::Crew, Period::so_far(day(3)));
    let table = tables::standings(&crew).remove(0);
    let columns = ["one", "two", "three", "four_plus"].map(|age| format!("leave_more_{age}"));
    let cells = columns.map(|title| table.rows[0][table.column(&title).unwrap()].clone());
    assert_eq!(cells, told);
}

#[test]
fn where_the_tree_keeps_fewer_pieces_the_sheet_says_so() {
    let (season, pruner) = one_pruner(40, light);
    let standing = only(&season, &pruner, 3).standing;
    let swap = |age, pieces, verdict| Swap {
        age,
        pieces,
        verdict,
    };
    let change = |more| Change::Wood {
        asked: vec![swap(Metric::One, more, Verdict::Light)],
        balance: vec![swap(Metric::FourPlus, -2, Verdict::KeepCounting)],
    };
    let said = |language, more| Tongue::of(language).change(&change(more), &standing);
    assert_eq!(
        said(Language::En, 2),
        ["Leave about 2 more one-year pieces a tree. \
          To keep the number of pieces: 2 fewer four-plus."]
    );
    assert_eq!(
        said(Language::En, 1),
        ["Leave about 1 more one-year piece a tree. \
          With it 2 fewer four-plus; the tree keeps 1 piece fewer, as no more was there that may stay."]
    );
    let spanish = said(Language::Es, 1);
    assert!(
        spanish[0].contains("al árbol le queda 1 rama menos"),
        "{spanish:?}"
    );
}

#[test]
fn a_sheet_tells_why_the_shares_rest_on_fewer_trees() {
    let all: fn(u32) -> Tree<'static> = even;
    let some_bare: fn(u32) -> Tree<'static> = |n| {
        if n % 4 == 0 {
            Tree([0; 4], &[])
        } else {
            even(n)
        }
    };
    let basis = |tree| {
        let (season, pruner) = one_pruner(12, tree);
        Tongue::english()
            .basis(&only(&season, &pruner, 3))
            .join(" ")
    };
    assert!(!basis(all).contains("rest on"), "{}", basis(all));
    let said = basis(some_bare);
    assert!(said.starts_with("Judged on 12 trees"), "{said}");
    assert!(
        said.contains("Shares by age rest on 9 trees: a bare tree has none"),
        "{said}"
    );
}

/// A hint is for the supervisor: on no sheet, in no data, in no table.
#[test]
fn a_hint_is_on_no_sheet() {
    let (season, pruner) = one_pruner(4, |_| Tree([2, 20, 18, 0], GOOD));
    let lines = season.standings(StandingsOf::Crew, Period::so_far(day(9)));
    let hinted = lines
        .standings
        .iter()
        .find_map(|standing| standing.judgement.hint);
    assert_eq!(hinted.map(|hint| hint.metric), Some(Metric::One));
    let sheets = Report::DaySheets(vec![only(&season, &pruner, 3)]);
    let page = Report::Supervisor(Box::new(season.supervisor_page(day(9))));
    for report in [sheets, page, Report::Standings(lines)] {
        for format in [Format::Text, Format::Json, Format::Csv, Format::Html] {
            let written = report.write(format, &Making::default()).unwrap();
            let text = String::from_utf8(written).unwrap().to_lowercase();
            assert!(
                !text.contains("hint"),
                "{} as {}",
                report.word(),
                format.word()
            );
        }
    }
}
