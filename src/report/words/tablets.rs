//! What came in from another tablet.

use super::plural;
use crate::report::fit::safe;
use crate::store::bundle::{Taken, TakenKind};

/// A kind of record with what came of it, such as `counts: 12 new, 1 to settle`; nothing where nothing came.
fn kind((kind, came): &(&'static str, TakenKind)) -> Option<String> {
    let parts = [
        (came.new, "new"),
        (came.changed, "changed"),
        (came.removed, "removed"),
        (came.conflicts, "to settle"),
    ];
    let parts: Vec<String> = (parts.iter())
        .filter(|(n, _)| *n > 0)
        .map(|(n, word)| format!("{n} {word}"))
        .collect();
    (!parts.is_empty()).then(|| format!("{kind}: {}", parts.join(", ")))
}

/// What is said where records came that change nothing: how another tablet settled what stood so here already.
const AS_IT_STANDS: &str = "what came leaves all as it stands here";

/// What came in, in lines: whose it is, then a line a kind of record.
pub fn taken(of: &Taken) -> Vec<String> {
    let mut lines = vec![format!("from tablet {}", safe(&of.tablet))];
    lines.extend(of.kinds.iter().filter_map(kind));
    if lines.len() == 1 {
        lines.push(
            if of.kinds.is_empty() {
                "nothing new"
            } else {
                AS_IT_STANDS
            }
            .to_owned(),
        );
    }
    if of.known > 0 {
        lines.push(format!("{} known already", of.known));
    }
    if of.joined > 0 {
        let (one, more) = (
            "orchard that began by itself is",
            "orchards that began by themselves are",
        );
        let joined = plural(of.joined as u32, one, more);
        lines.push(format!("{joined} one with this from now on"));
    }
    if of.apart > 0 {
        let others = plural(of.apart as u32, "other orchard", "other orchards");
        lines.push(format!("there, {others} was made one with it; here not"));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_came_is_told_by_kind_and_what_did_not_is_left_out() {
        let came = TakenKind {
            new: 12,
            conflicts: 1,
            ..TakenKind::default()
        };
        let of = Taken {
            kinds: vec![("counts", came), ("rules", TakenKind::default())],
            known: 3,
            tablet: "AB12".to_owned(),
            ..Taken::default()
        };
        assert_eq!(
            taken(&of),
            [
                "from tablet AB12",
                "counts: 12 new, 1 to settle",
                "3 known already"
            ]
        );
        assert_eq!(taken(&Taken::default())[1], "nothing new");
        let settled = Taken {
            kinds: vec![("counts", TakenKind::default())],
            known: 70,
            tablet: "AB12".to_owned(),
            ..Taken::default()
        };
        assert_eq!(
            taken(&settled),
            ["from tablet AB12", AS_IT_STANDS, "70 known already"]
        );
    }
}
