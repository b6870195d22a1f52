use std::collections::BTreeSet;

use super::*;
use crate::store::bundle::kinds::Holds;
use crate::store::bundle::layout::Layout;

const ID: &str = "00000000000000000000000000000007";

/// What a column of each kind holds, and what is told of it. Columns that are told together stand in one line.
const TABLE: &[(Kind, &str, &str)] = &[
    (
        Kind::SpecialPay,
        r#"{"basis": "tree", "amount": 9000000}"#,
        "0.90 EUR a tree",
    ),
    (
        Kind::SpecialPay,
        r#"{"floor": 120000000}"#,
        "at least 12.00 EUR an hour",
    ),
    (Kind::Mark, r#"{"mark": "replant"}"#, "replant"),
    (Kind::Mark, r#"{"note": "dead"}"#, "note dead"),
    (Kind::Mark, r#"{"day": "2027-01-12"}"#, "on 2027-01-12"),
    (
        Kind::Joined,
        r#"{"kept": "00000000000000000000000000000007"}"#,
        "is one that is no longer here",
    ),
    (Kind::Setting, r#"{"value": "JPY 0"}"#, "JPY, no decimals"),
    (Kind::Block, r#"{"name": "River"}"#, "name River"),
    (
        Kind::Block,
        r#"{"variety": "Williams"}"#,
        "variety Williams",
    ),
    (Kind::Block, r#"{"rootstock": ""}"#, "no rootstock"),
    (Kind::Block, r#"{"planted": 2015}"#, "planted 2015"),
    (
        Kind::Block,
        r#"{"row_spacing_m": 3.8, "tree_spacing_m": 1.0}"#,
        "rows 3.8 m apart, trees 1 m",
    ),
    (Kind::Block, r#"{"stems": 2}"#, "2 stems a tree"),
    (Kind::Block, r#"{"sides": "two-sided"}"#, "two-sided canopy"),
    (Kind::Block, r#"{"lean_deg": 15.0}"#, "leaning by 15°"),
    (Kind::Row, r#"{"places": 120}"#, "120 places"),
    (Kind::Pruner, r#"{"number": 7}"#, "number 7"),
    (
        Kind::Pruner,
        r#"{"active": 0}"#,
        "does not work this winter",
    ),
    (
        Kind::Pruner,
        r#"{"number_only": 1}"#,
        "shown by number only",
    ),
    (Kind::Pruner, r#"{"language": "es"}"#, "sheets in Español"),
    (Kind::Name, r#"{"name": "Ana"}"#, "name Ana"),
    (Kind::Name, r#"{"label": "AN"}"#, "label AN"),
    (Kind::Winter, r#"{"label": "2026/27"}"#, "called 2026/27"),
    (
        Kind::Winter,
        r#"{"start": "2026-11-20"}"#,
        "first day 2026-11-20",
    ),
    (
        Kind::Winter,
        r#"{"budburst": "2027-03-20"}"#,
        "budburst 2027-03-20",
    ),
    (Kind::Budburst, r#"{"day": "2027-03-12"}"#, "on 2027-03-12"),
    (
        Kind::Rule,
        r#"{"part_one": 1, "part_two": 1, "part_three": 1, "part_four": 0}"#,
        "parts of the wood 1 : 1 : 1 : 0",
    ),
    (
        Kind::Rule,
        r#"{"tolerance_one": 0.1, "tolerance_two": 0.07, "tolerance_three": 0.1, "tolerance_four": 0.05}"#,
        "may be off by 10, 7, 10, 5 %",
    ),
    (
        Kind::Rule,
        r#"{"oldest": 3}"#,
        "oldest wood to stay three-year",
    ),
    (
        Kind::Rule,
        r#"{"thin_least": 2, "thin_most": 2}"#,
        "thin unit 2 buds",
    ),
    (
        Kind::Rule,
        r#"{"medium_least": 3, "medium_most": 4}"#,
        "medium unit 3-4 buds",
    ),
    (
        Kind::Rule,
        r#"{"thick_least": 4, "thick_most": 5}"#,
        "thick unit 4-5 buds",
    ),
    (
        Kind::Rule,
        r#"{"medium_from_mm": 8.0, "thick_from_mm": 12.5}"#,
        "medium from 8 mm, thick from 12.5 mm",
    ),
    (
        Kind::Rule,
        r#"{"compliance": 0.85}"#,
        "85 % of the units to be right",
    ),
    (
        Kind::LostDays,
        r#"{"first": "2026-12-24", "last": "2027-01-01"}"#,
        "2026-12-24 to 2027-01-01",
    ),
    (Kind::LostDays, r#"{"kind": "off"}"#, "a day off"),
    (
        Kind::Week,
        r#"{"weekdays": "1010000"}"#,
        "worked on Monday, Wednesday",
    ),
    (
        Kind::Stint,
        r#"{"joins": "2027-01-11"}"#,
        "first day 2027-01-11",
    ),
    (Kind::Stint, r#"{"leaves": null}"#, "stays to the end"),
    (
        Kind::Pay,
        r#"{"basis": "hour", "amount": 170000000}"#,
        "17.00 EUR an hour",
    ),
    (
        Kind::Pay,
        r#"{"floor": 120000000}"#,
        "at least 12.00 EUR an hour",
    ),
    (
        Kind::Aim,
        r#"{"kind": "fruit_per_cm2", "amount": 5.5, "girth_cm": 31.0}"#,
        "5.5 fruit per cm² of trunk, girth 31 cm",
    ),
    (
        Kind::Factor,
        r#"{"value": 0.08, "sd": 0.04}"#,
        "8 %, give or take 4 %",
    ),
    (
        Kind::Growth,
        r#"{"grown": 42.5}"#,
        "42.5 new one-year pieces a tree",
    ),
    (
        Kind::Growth,
        r#"{"survival_one": 0.92, "survival_two": 0.95, "survival_three": 0.95, "survival_four": 0.9}"#,
        "of one-, two-, three-year and four-plus wood 92 %, 95 %, 95 %, 90 % are still there a winter later",
    ),
    (
        Kind::Units,
        r#"{"units": [[1, 4, null, 3, 5], [2, 3, 2, 1, 2]]}"#,
        "2 tagged units with 7 buds, 4 clusters, 7 fruit (4 3 5, 3 1 2)",
    ),
    (
        Kind::Harvest,
        r#"{"unit": "kg_per_tree", "amount": 14.5}"#,
        "14.5 kg a tree",
    ),
    (
        Kind::Harvest,
        r#"{"mean_g": 182.0, "weighed": 100}"#,
        "100 fruit of 182 g weighed",
    ),
    (
        Kind::Work,
        r#"{"block": "00000000000000000000000000000007", "row": 3}"#,
        "one that is no longer here, row 3",
    ),
    (Kind::Work, r#"{"first": 1, "last": 40}"#, "trees 1 to 40"),
    (Kind::Work, r#"{"day": "2027-01-12"}"#, "on 2027-01-12"),
    (Kind::Work, r#"{"minutes": 437}"#, "7:17 h"),
    (Kind::Work, r#"{"kind": "saw work"}"#, "saw work"),
    (Kind::Work, r#"{"zone": "side A"}"#, "side A"),
    (Kind::Work, r#"{"share": 60}"#, "60 % of each tree"),
    (
        Kind::Work,
        r#"{"team": "00000000000000000000000000000007"}"#,
        "together with others",
    ),
    (
        Kind::Count,
        r#"{"closed": 1, "taps": "1122b3"}"#,
        "closed: 2/2/0/0 pieces of one, two, three, four years, 1 unit",
    ),
    (
        Kind::Count,
        r#"{"block": "00000000000000000000000000000007", "row": 3, "tree": 12}"#,
        "one that is no longer here, row 3, tree 12",
    ),
    (Kind::Count, r#"{"stage": "before"}"#, "before pruning"),
    (Kind::Count, r#"{"stems": 1}"#, "1 stem"),
    (Kind::Count, r#"{"zone": "top"}"#, "top alone"),
    (
        Kind::Count,
        r#"{"runs": "leader 2 of 6, base third, leave out 8, count 10"}"#,
        "leader 2 of 6, base third, leave out 8, count 10",
    ),
    (Kind::Drawn, r#"{"runs": null}"#, "no leaders drawn"),
    (Kind::Count, r#"{"chosen": "by eye"}"#, "chosen by eye"),
    (Kind::Count, r#"{"counter": "me"}"#, "counted by me"),
    (
        Kind::Count,
        r#"{"at_ms": 1799742600000, "offset_min": 60, "day": "2027-01-12"}"#,
        "on 2027-01-12 at 09:30",
    ),
    (Kind::Count, r#"{"note": "snow"}"#, "note snow"),
    (Kind::Count, r#"{"again": 1}"#, "counted again"),
    (
        Kind::Draw,
        r#"{"day": "2027-01-12"}"#,
        "drawn on 2027-01-12",
    ),
    (
        Kind::Draw,
        r#"{"since": "2027-01-10", "until": "2027-01-12"}"#,
        "out of the work of 2027-01-10 to 2027-01-12",
    ),
    (Kind::Draw, r#"{"seed": 170000000}"#, ""),
    (
        Kind::Drawn,
        r#"{"block": "00000000000000000000000000000007", "row": 3, "tree": 12}"#,
        "one that is no longer here, row 3, tree 12",
    ),
    (
        Kind::Drawn,
        r#"{"skipped": "grubbed"}"#,
        "left out: grubbed",
    ),
    (
        Kind::GoBack,
        r#"{"block": "00000000000000000000000000000007", "row": 3}"#,
        "one that is no longer here, row 3",
    ),
    (
        Kind::GoBack,
        r#"{"day": "2027-01-12"}"#,
        "sent back on 2027-01-12",
    ),
    (Kind::GoBack, r#"{"reason": "stubs"}"#, "reason stubs"),
    (
        Kind::GoBack,
        r#"{"outcome": "mended", "settled_day": "2027-01-14"}"#,
        "mended on 2027-01-14",
    ),
];

/// The same of several kinds.
const SHARED: [(&[Kind], &str, &str); 3] = [
    (
        &[Kind::Work, Kind::Count, Kind::GoBack],
        r#"{"removed": 1}"#,
        "removed",
    ),
    (
        &[
            Kind::Work,
            Kind::Count,
            Kind::Draw,
            Kind::GoBack,
            Kind::LostDays,
        ],
        r#"{"winter": "00000000000000000000000000000007"}"#,
        "winter one that is no longer here",
    ),
    (
        &[Kind::Work, Kind::Count, Kind::Drawn, Kind::GoBack],
        r#"{"pruner": "00000000000000000000000000000007"}"#,
        "pruner one that is no longer here",
    ),
];

fn table() -> Vec<(Kind, &'static str, &'static str)> {
    let shared = SHARED
        .into_iter()
        .flat_map(|(kinds, value, words)| kinds.iter().map(move |kind| (*kind, value, words)));
    TABLE.iter().copied().chain(shared).collect()
}

/// A key of a kind.
fn key(kind: Kind) -> String {
    let part = |column: &&str| match (*column, kind) {
        ("key", _) => "currency",
        ("kind", Kind::Joined) => "pruner",
        ("kind", _) => "loss",
        ("row" | "number" | "place" | "tree", _) => "3",
        ("season", _) => "2026",
        _ => ID,
    };
    let parts: Vec<&str> = kind.about().key.iter().map(part).collect();
    parts.join("/")
}

/// Whether a text has a name of a column in it, an identity, or a figure as it is stored.
fn is_raw(words: &str) -> bool {
    let digits = words.split(|sign: char| !sign.is_ascii_digit());
    words.contains('_') || words.contains(ID) || digits.into_iter().any(|run| run.len() > 4)
}

#[test]
fn each_column_of_each_kind_has_words() {
    let store = Store::in_memory().unwrap();
    let table = table();
    for kind in Kind::ALL {
        let key = key(*kind);
        let mut told = BTreeSet::new();
        for (_, value, wanted) in table.iter().filter(|(of, ..)| of == kind) {
            let body: Body = body::parse(value).unwrap();
            let columns: BTreeSet<&str> = body.keys().map(String::as_str).collect();
            let phrases = phrases(*kind).iter();
            let phrase = phrases
                .filter(|phrase| phrase.columns.iter().copied().collect::<BTreeSet<_>>() == columns)
                .collect::<Vec<_>>();
            assert_eq!(phrase.len(), 1, "{kind:?} {columns:?}");
            let of = Told {
                store: &store,
                key: &key,
                body: &body,
            };
            let words = (phrase[0].say)(&of).unwrap();
            assert_eq!(words, *wanted, "{kind:?} {columns:?}");
            assert!(!is_raw(&words), "{words}");
            told.extend(body.keys().cloned());
        }
        if kind.about().holds == Holds::Units {
            assert_eq!(told, BTreeSet::from(["units".to_owned()]));
            continue;
        }
        let layout = Layout::read(&store.conn, *kind).unwrap();
        for column in layout.rest_columns() {
            assert!(
                told.contains(&column.name),
                "{kind:?}: no words for {}",
                column.name
            );
        }
        let what = store.what(*kind, &key, &Body::new()).unwrap();
        assert!(!is_raw(&what), "{what}");
    }
}

#[test]
fn what_is_stored_raw_would_be_found() {
    for raw in ["amount 170000000; basis hour", "part_one 1", ID] {
        assert!(is_raw(raw), "{raw}");
    }
    assert!(!is_raw("17.00 EUR an hour, since 2027-01-12"));
}
