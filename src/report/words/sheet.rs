//! The sentences of a day sheet. Nothing is said here that the verdicts do not carry.

use super::{list, metric, metric_short, metrics, more, sentence, trees, verdict, whole};
use crate::judge::{BandKind, Metric, Verdict};
use crate::report::{
    BudChange, BudFigures, Change, DaySheet, NotThere, Offered, Standing, Swap, WeekChange,
};

/// How the pruner stands, in a sentence or two.
pub fn status(sheet: &DaySheet) -> String {
    let judgement = &sheet.standing.judgement;
    let words = sentence(&whole(judgement.overall, judgement.lead));
    let ahead = more(judgement.more);
    match judgement.overall {
        Verdict::KeepCounting if sheet.standing.trees == 0 => {
            "No tree has been counted yet, so nothing can be said.".to_owned()
        }
        Verdict::KeepCounting => {
            format!("Still counting: {ahead}. No change is asked for yet.")
        }
        Verdict::LeaningLight | Verdict::LeaningHeavy => {
            format!("{words}. Not sure yet: {ahead}.")
        }
        Verdict::InBalance | Verdict::Light | Verdict::Heavy => format!("{words}."),
    }
}

/// What is right: only what is in balance with evidence, and neutral words where nothing is.
pub fn right(sheet: &DaySheet) -> Vec<String> {
    let standing = &sheet.standing;
    if standing.judgement.overall == Verdict::InBalance {
        return vec![
            "Every age of wood is in balance, and the buds are within the rule.".to_owned(),
        ];
    }
    let of_kind = |kind: BandKind| -> Vec<Metric> {
        (sheet.right.iter().copied())
            .filter(|m| standing.bands[m.index()].kind == kind)
            .collect()
    };
    let kept = of_kind(BandKind::Kept);
    let mut within = of_kind(BandKind::TooOld);
    within.extend(of_kind(BandKind::Compliance));
    let mut said = Vec::new();
    if !kept.is_empty() {
        said.push(said_of(&kept, "in balance"));
    }
    if !within.is_empty() {
        said.push(said_of(&within, "within the rule"));
    }
    if said.is_empty() {
        said.push(match standing.trees {
            0 => "Nothing is known yet.".to_owned(),
            n => format!(
                "{} counted; nothing is settled as in balance yet.",
                trees(n)
            ),
        });
    }
    said
}

fn said_of(names: &[Metric], what: &str) -> String {
    let many = names.len() > 1 || names == [Metric::Buds];
    let verb = if many { "are" } else { "is" };
    sentence(&format!("{} {verb} {what}.", metrics(names)))
}

/// One sentence for each thing that a change asks for.
pub fn change(change: &Change, standing: &Standing) -> Vec<String> {
    match change {
        Change::Wood { asked, balance } => {
            let mut said: Vec<String> = asked
                .iter()
                .map(|asked| swap(*asked, standing.bands[asked.age.index()].kind))
                .collect();
            let sure = asked.iter().any(|swap| swap.verdict.is_out());
            if let (Some(last), Some(words)) = (said.last_mut(), balancing(balance, sure)) {
                last.push(' ');
                last.push_str(&words);
            }
            said
        }
        Change::Buds {
            within,
            wanted,
            sizes,
        } => {
            let share = |share: &f64| format!("{:.0} %", share * 100.0);
            let mut said = format!(
                "Buds: {} of the units keep the rule, at least {} should.",
                share(within),
                share(wanted)
            );
            for size in sizes {
                said.push(' ');
                said.push_str(&sentence(&buds_of(size)));
            }
            vec![said]
        }
    }
}

/// What is asked for one age, in pieces a tree. A leaning is told as one.
pub fn swap(swap: Swap, kind: BandKind) -> String {
    let (n, age) = (swap.pieces.unsigned_abs(), metric_short(swap.age));
    let pieces = if n == 1 { "piece" } else { "pieces" };
    let wood = sentence(metric(swap.age));
    let about = match n {
        0 => "less than a piece".to_owned(),
        n => format!("about {n} {pieces}"),
    };
    match (swap.verdict, n) {
        (Verdict::Light, 0) => format!("Leave a little more {age} wood, less than a piece a tree."),
        (Verdict::Light, _) => format!("Leave about {n} more {age} {pieces} a tree."),
        (Verdict::Heavy, 0) => {
            format!("Take out a little more {age} wood, less than a piece a tree.")
        }
        (Verdict::Heavy, _) if kind == BandKind::TooOld => {
            format!("Take out about {n} {age} {pieces} a tree: it is older than may stay.")
        }
        (Verdict::Heavy, _) => format!("Take out about {n} more {age} {pieces} a tree."),
        (Verdict::LeaningLight, _) => {
            format!("{wood} looks light: it seems {about} a tree too few.")
        }
        (Verdict::LeaningHeavy, _) => {
            format!("{wood} looks heavy: it seems {about} a tree too many.")
        }
        (found @ (Verdict::InBalance | Verdict::KeepCounting), _) => {
            format!("{wood}: {}.", verdict(swap.age, found))
        }
    }
}

/// Light wood that was not there to be left.
pub fn not_there(line: &NotThere) -> String {
    format!(
        "{} is short, but the trees did not offer it: {:.1} pieces a tree before pruning, {:.1} left. There is nothing \
         to change about it; wood of the other ages that may stay is held in its place.",
        sentence(metric(line.age)),
        line.offered,
        line.left
    )
}

/// What stands below the changes where more is asked for.
pub fn only_where_offered(offered: Option<&Offered>) -> String {
    match offered {
        None => "Leave more only where the tree offers it.".to_owned(),
        Some(offered) => format!(
            "No more is asked than was there ({} counted before pruning). Leave more only where the tree offers it.",
            trees(offered.trees)
        ),
    }
}

/// Where balancing pieces come from or go to; none where there are none.
fn balancing(balance: &[Swap], sure: bool) -> Option<String> {
    if balance.is_empty() {
        return None;
    }
    let pieces: Vec<String> = balance
        .iter()
        .map(|swap| {
            let way = if swap.pieces < 0 { "fewer" } else { "more" };
            format!(
                "{} {way} {}",
                swap.pieces.unsigned_abs(),
                metric_short(swap.age)
            )
        })
        .collect();
    let lead = if sure {
        "To keep the number of pieces:"
    } else {
        "That would mean"
    };
    Some(format!("{lead} {}.", list(&pieces)))
}

/// Buds by size: `thick units: left 5.6 on average, rule 4; leave fewer.`
pub fn buds_of(size: &BudChange) -> String {
    let limit = crate::orchard::BudLimit {
        least: size.least,
        most: size.most,
    };
    let advice = if size.over >= 2 * size.under {
        "leave fewer"
    } else if size.under >= 2 * size.over {
        "leave more"
    } else {
        "some have more, some fewer"
    };
    format!(
        "{} units: left {:.1} on average, rule {}; {advice}.",
        size.size,
        size.mean_left,
        limit.text()
    )
}

/// What is not settled yet; empty where all is.
pub fn open(sheet: &DaySheet) -> String {
    if sheet.open.is_empty() || sheet.standing.trees == 0 {
        return String::new();
    }
    format!("Not settled yet: {}.", metrics(&sheet.open))
}

/// What the sheet rests on, and what to keep in mind about it.
pub fn basis(sheet: &DaySheet) -> Vec<String> {
    let standing = &sheet.standing;
    let by_eye = standing.trees - standing.drawn;
    let mut said = vec![format!(
        "Judged on {} counted this winter: {} drawn, {by_eye} by eye. On this day: {}.",
        trees(standing.trees),
        standing.drawn,
        trees(sheet.today.as_ref().map_or(0, |today| today.trees)),
    )];
    if sheet.mostly_by_eye {
        said.push(
            "Most of these trees were chosen by eye and not by the draw: they may not stand for all."
                .to_owned(),
        );
    }
    if standing.in_part > 0 {
        said.push(format!(
            "{} counted on some stems only: pieces a tree are scaled up by stems.",
            trees(standing.in_part)
        ));
    }
    said
}

/// Mean buds left on the units of a size; `-` where there are none.
pub fn mean_buds(size: &BudFigures) -> String {
    (size.mean_left).map_or_else(|| "-".to_owned(), |mean| format!("{mean:.1}"))
}

/// Pieces on the average tree.
pub fn pieces_a_tree(standing: &Standing) -> String {
    format!("{:.1} pieces on the average tree", standing.pieces_a_tree)
}

/// What was counted beside the rule, and is part of no verdict; empty where there is nothing.
pub fn for_information(standing: &Standing) -> String {
    if standing.upright_a_tree + standing.thick_top_a_tree <= 0.0 {
        return String::new();
    }
    format!(
        "For information: {:.1} upright one-year and {:.1} thick pieces in the top, a tree.",
        standing.upright_a_tree, standing.thick_top_a_tree
    )
}

/// Said where there is no sheet.
pub const NO_DAY_SHEET: &str = "No day sheet: nobody worked or was counted on this day.";

/// A change from last week that the evidence carries.
pub fn week(week: &WeekChange) -> String {
    format!(
        "{}: {:.0} % in the last 7 days ({}), {:.0} % in the 7 before ({}): {} the rule.",
        sentence(metric(week.metric)),
        week.now * 100.0,
        trees(week.trees_now),
        week.before * 100.0,
        trees(week.trees_before),
        if week.better {
            "nearer to"
        } else {
            "farther from"
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_below_one_piece_are_not_told_as_none() {
        let told = |verdict, pieces| {
            let asked = Swap {
                age: Metric::One,
                pieces,
                verdict,
            };
            swap(asked, BandKind::Kept)
        };
        assert_eq!(
            told(Verdict::LeaningLight, 0),
            "One-year wood looks light: it seems less than a piece a tree too few."
        );
        assert_eq!(
            told(Verdict::LeaningHeavy, -1),
            "One-year wood looks heavy: it seems about 1 piece a tree too many."
        );
        assert_eq!(
            told(Verdict::Light, 0),
            "Leave a little more one-year wood, less than a piece a tree."
        );
    }
}
