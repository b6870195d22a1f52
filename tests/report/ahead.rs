//! Brief and outlook: hand-checked chain, every format the same, and nobody told to leave what was not there.

use std::process::Command;

use thirdwood::judge::Metric;
use thirdwood::orchard::*;
use thirdwood::outlook::*;
use thirdwood::report::document::sheets;
use thirdwood::report::*;

use crate::builder::*;

/// Factors of a block in which every bud bears one fruit of 200 g.
fn plain_factors(orchard: &Orchard, block: &Block) {
    let values = [
        (FactorKind::FruitWeight, 200.0),
        (FactorKind::FruitPerCluster, 1.0),
        (FactorKind::Set, 1.0),
        (FactorKind::Loss, 0.0),
        (FactorKind::FruitBuds, 1.0),
    ];
    for (kind, value) in values {
        let factor = Factor::new(kind, value, 0.0, Source::Entered).unwrap();
        orchard.store.save_factor(block.id, &factor).unwrap();
    }
}

/// Invented example, worked by hand: 65,000 kg / (10,000 m² / (4.0 m x 1.5 m) = 1,666.7 trees) = 39 kg a tree, of
/// 0.2 kg each 195 fruit; one fruit a cluster and every bud a cluster: 195 buds. With 3 buds a unit (a third of each
/// size, 2, 3 and 4 buds) 65 units, and by the rule of thirds 65 pieces of each age.
#[test]
fn the_chain_by_hand() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1-9x60", "");
    plain_factors(&orchard, &block);
    let aim = Target::TonnesPerHa(65.0);
    let winter = orchard.winter.id;
    orchard.store.save_aim(winter, block.id, Some(aim)).unwrap();
    let season = orchard.season();
    let wood = season.wood(Period::so_far(day(4)));
    let of = |what_if: &Taken| season.brief(block.id, &wood, what_if, day(4)).unwrap();
    let sheet = of(&Taken::default());
    let tree = sheet.brief.unwrap().tree;
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{a} is not {b}");
    near(tree.fruit, 195.0);
    near(tree.clusters, 195.0);
    near(tree.buds, 195.0);
    near(sheet.buds_per_unit, 3.0);
    near(tree.units, 65.0);
    for pieces in &tree.pieces[..3] {
        near(*pieces, 65.0);
    }
    near(sheet.brief.unwrap().stem.fruit, 195.0 / 4.0);
    // of 100 one-year pieces 92 are there a winter later
    near(tree.extra_one_year, 65.0 / 0.92 - 65.0);
    let page = text::render(&sheets::briefs(&[sheet]));
    let line = |name: &str| {
        let found = page.lines().find(|line| line.starts_with(name)).unwrap();
        found
            .split_whitespace()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(line("Fruit harvested")[2], "195");
    assert_eq!(line("Units (two-year pieces)")[3], "65.0");
    // another number is taken, and nothing is stored
    let heavier = of(&Taken {
        fruit_weight_g: Some(250.0),
        ..Taken::default()
    });
    near(heavier.brief.unwrap().tree.fruit, 156.0);
    let from = words::Tongue::english().factor_source(&heavier.factors[4]);
    assert!(from.contains("not stored"), "{from}");
    near(of(&Taken::default()).brief.unwrap().tree.fruit, 195.0);
}

/// The same chain the other way round: 10 trees with 65 units of 3 buds bear 65 t/ha.
#[test]
fn the_counted_wood_bears_what_the_brief_asked_for() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1-9x60", "");
    let pruner = orchard.pruner(4, "Noor", false);
    plain_factors(&orchard, &block);
    let units = [(Size::Medium, 3, 65)];
    orchard.counted_row(&pruner, &block, 1, 10, 2, |_| Tree([65, 65, 65, 0], &units));
    let season = orchard.season();
    let wood = season.wood(Period::so_far(day(4)));
    let sheet = season
        .outlook(block.id, &wood, &Taken::default(), day(4))
        .unwrap();
    let crop = sheet.crop.unwrap().potential;
    for end in [
        crop.tonnes_per_ha.lo,
        crop.tonnes_per_ha.mean,
        crop.tonnes_per_ha.hi,
    ] {
        assert!((end - 65.0).abs() < 1e-6, "{end}");
    }
    // all trees alike and in balance: nothing to mend, and this winter's crop is the same wherever it is told
    let mend = sheet.mend.as_ref().unwrap();
    assert_eq!(mend.balanced_in, Some(0));
    let as_pruned = &sheet.ahead[0].years[0];
    assert!((as_pruned.crop.tonnes_per_ha.mean - crop.tonnes_per_ha.mean).abs() < 1e-9);
    assert_eq!(season.crop_of(block.id, &wood).unwrap(), sheet.crop);
    assert!(!sheet.units_from_aim && sheet.left.unwrap().offered.is_none());
}

/// A winter in which one-year wood is light, and `offered` of it was there.
fn short(offered: u32) -> (Season, PrunerId) {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1-9x60", "");
    let pruner = orchard.pruner(4, "Noor", false);
    for place in 1..=8 {
        let tree = Tree([offered, 30, 20, 0], &[]);
        orchard.count_as(&pruner, &block, (9, place), 1, &tree, |count| {
            count.head.stage = Stage::Before;
        });
    }
    orchard.counted_row(&pruner, &block, 1, 40, 2, |n| {
        Tree([2 + n % 3, 18 - n % 3, 10, 0], GOOD)
    });
    (orchard.season(), pruner.id)
}

#[test]
fn nobody_is_told_to_leave_what_was_not_there() {
    // 3 one-year pieces a tree were left, and about 7 more are asked for
    let asked = |offered: u32| {
        let (season, pruner) = short(offered);
        let sheet = season.day_sheet(pruner, day(4)).remove(0);
        let pieces = sheet.changes.iter().map(Change::pieces).next();
        let page = text::render(&sheets::day_sheets(std::slice::from_ref(&sheet)));
        (pieces.unwrap_or([0; 4]), sheet, page)
    };
    let (plenty, sheet, _) = asked(30);
    assert!(plenty[0] >= 6, "{plenty:?}");
    assert!(sheet.not_there.is_empty());
    // 2 more were there: 2 are asked for, and 2 fewer of the others
    let (some, sheet, page) = asked(5);
    assert_eq!(some[0], 2, "{some:?}");
    assert_eq!(some.iter().sum::<i32>(), 0, "{some:?}");
    assert!(sheet.not_there.is_empty());
    assert!(
        page.contains("No more is asked than was there (8 trees"),
        "{page}"
    );
    // none were there: nothing is asked of it, and the sheet says why
    let (none, sheet, page) = asked(3);
    assert_eq!(none[0], 0, "{none:?}");
    assert_eq!(sheet.not_there[0].age, Metric::One);
    assert!(page.contains("the trees did not offer it"), "{page}");
    assert!(!page.contains("more one-year"), "{page}");
}

/// A small crop keeps its decimals: one fruit of 200 g on each of 1,667 trees a hectare.
#[test]
fn the_range_of_a_small_crop_is_no_nought() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1-9x60", "");
    let pruner = orchard.pruner(4, "Noor", false);
    plain_factors(&orchard, &block);
    let units = [(Size::Medium, 1, 1)];
    orchard.counted_row(&pruner, &block, 1, 10, 2, |_| Tree([1, 1, 1, 0], &units));
    let season = orchard.season();
    let wood = season.wood(Period::so_far(day(4)));
    let sheet = season
        .outlook(block.id, &wood, &Taken::default(), day(4))
        .unwrap();
    let report = Report::Outlooks(vec![sheet]);
    for format in [Format::Text, Format::Html] {
        let page = report.write(format, &Making::default()).unwrap();
        let page = String::from_utf8(page).unwrap();
        assert!(page.contains("0.33-0.33"), "{page}");
    }
}

/// Wood was counted, and nothing says how many units a tree is to have.
#[test]
fn why_the_winters_ahead_are_not_known_is_said() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1-9x60", "");
    let pruner = orchard.pruner(4, "Noor", false);
    orchard.counted_row(&pruner, &block, 1, 10, 2, |_| Tree([9, 9, 9, 0], &[]));
    let season = orchard.season();
    let wood = season.wood(Period::so_far(day(4)));
    let sheet = season
        .outlook(block.id, &wood, &Taken::default(), day(4))
        .unwrap();
    assert!(sheet.left.is_some() && sheet.ahead.is_empty());
    let report = Report::Outlooks(vec![sheet]);
    for format in [Format::Text, Format::Html] {
        let page = report.write(format, &Making::default()).unwrap();
        let page = String::from_utf8(page).unwrap();
        let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            words.contains("no buds were counted and no aim is set"),
            "{page}"
        );
    }
    let review = text::render(&sheets::review(&season.review(day(4))));
    assert!(
        review.contains("The winters ahead are not known"),
        "{review}"
    );
}

#[test]
fn the_share_kept_is_told_by_age() {
    let (season, _) = short(6);
    let wood = season.wood(Period::so_far(day(4)));
    let block = season.blocks[0].id;
    let sheet = season
        .outlook(block, &wood, &Taken::default(), day(4))
        .unwrap();
    let left = sheet.left.as_ref().unwrap();
    assert_eq!((left.trees, left.offered.unwrap().trees), (40, 8));
    let kept = left
        .kept
        .map(|share| share.map(|share| (share * 100.0).round()));
    assert_eq!(kept, [Some(50.0), Some(57.0), Some(50.0), None]);
    // new one-year wood is what the trees counted before pruning offered of it
    assert_eq!(sheet.growth.grown, Some(6.0));
    // the gap goes up through the ages: next winter two-year wood is short, older wood is held for it
    let mended = sheet
        .ahead
        .iter()
        .find(|ahead| ahead.scenario == Scenario::MendedNow);
    let years = &mended.unwrap().years;
    assert!(years[1].pieces[1] < 6.0, "{:?}", years[1].pieces);
    assert!(!thirdwood::report::words::held(years).is_empty());
    let table = thirdwood::report::formats::csv::render(&tables::outlooks(&[sheet])[0]).unwrap();
    assert_eq!(table.lines().count(), 1 + 3 * 5);
    assert!(
        table.lines().all(|line| line.split(',').count() == 17),
        "{table}"
    );
}

#[test]
fn a_heavy_season_is_a_caution_in_the_brief() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1-9x60", "");
    // budburst in March 2027: the last harvest was that of 2026
    for (season, tonnes) in [(2024, 40.0), (2025, 44.0), (2026, 63.0)] {
        let entry = HarvestEntry {
            season,
            amount: Yield::TonnesPerHa(tonnes),
            weighed: None,
        };
        orchard.store.save_harvest(block.id, &entry).unwrap();
    }
    let season = orchard.season();
    let wood = season.wood(Period::so_far(day(4)));
    let sheet = season
        .brief(block.id, &wood, &Taken::default(), day(4))
        .unwrap();
    assert_eq!(sheet.season, 2027);
    assert!(sheet.brief.is_none(), "no aim, no brief");
    let page = text::render(&sheets::briefs(&[sheet]));
    let words = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("CAUTION: Last season was heavy (150 % of the others)"),
        "{page}"
    );
    assert!(words.contains("No aim is set"), "{page}");
    // (4/84 + 19/107) / 2 and 23/191
    assert!(words.contains("0.11 as the mean of ratios"), "{page}");
    assert!(words.contains("0.12 as the ratio of sums"), "{page}");
    assert!(
        words.contains("Local codes and licensed practice come first"),
        "{page}"
    );
}

#[test]
fn the_commands_print_the_demo() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("demo.db");
    let run = |words: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_thirdwood"))
            .args(words)
            .output()
            .unwrap();
        let told = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.success(), "{words:?}: {told}");
        String::from_utf8(output.stdout).unwrap()
    };
    let at = file.to_str().unwrap();
    run(&["demo", "--keep", at]);
    let brief = run(&["-D", at, "brief", "-b", "new ground"]);
    assert!(
        brief.contains("Brief New Ground") && brief.contains("To leave for"),
        "{brief}"
    );
    assert!(
        brief.contains("own counts:"),
        "the tagged units move the factors: {brief}"
    );
    let outlook = run(&["-D", at, "outlook"]);
    assert_eq!(outlook.matches("Outlook ").count(), 3);
    assert!(
        outlook.contains("Share kept") && outlook.contains("Mended now"),
        "{outlook}"
    );
    assert!(
        outlook
            .lines()
            .chain(brief.lines())
            .all(|line| fit::width(line) <= 80)
    );
    let table = run(&["-D", at, "outlook", "-f", "csv"]);
    assert_eq!(table.lines().count(), 1 + 3 * 3 * 5);
    for (kind, words) in [("brief", "brief"), ("outlook", "outlook")] {
        let read: serde_json::Value =
            serde_json::from_str(&run(&["-D", at, words, "-f", "json"])).unwrap();
        assert_eq!(read["thirdwood"], kind);
        assert_eq!(read["data"].as_array().unwrap().len(), 3);
    }
    let wrong = Command::new(env!("CARGO_BIN_EXE_thirdwood"))
        .args(["-D", at, "brief", "-b", "nowhere"])
        .output()
        .unwrap();
    assert_eq!(wrong.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("no block \"nowhere\""));
}
