//! A tree that is about to be closed with far fewer pieces than its like.

use super::Season;
use super::season::{Period, Place};
use crate::judge::usual_pieces;
use crate::orchard::{PrunerId, TreeCount};

/// What a tree's like have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FarFewer {
    /// Pieces of the usual tree, on as much of it as was counted here.
    pub usual: f64,
    /// Whose trees they are; none: the whole block's.
    pub of: Option<PrunerId>,
}

impl Season {
    /// Whether a tree with so many pieces has far fewer than its pruner's other trees in the block, or where too few of
    /// them are counted, than the block's. Pieces are those of whole trees: what was counted in part is scaled up.
    pub fn far_fewer(&self, count: &TreeCount, pieces: u32) -> Option<FarFewer> {
        let head = &count.head;
        let place: Place = (head.block, head.row, head.tree);
        // of leaders and pieces that were drawn, all are counted or the leader had no more
        if self.marks.is_outside(place) || head.part.runs().is_some() {
            return None;
        }
        let others = |other: Place| other.0 == head.block && other != place;
        let others =
            self.standing_counts_of(head.stage, Period::so_far(chrono::NaiveDate::MAX), others);
        let usual = |of: Option<PrunerId>| {
            let like = others
                .iter()
                .filter(|other| of.is_none() || other.pruner() == of);
            let like = like.filter(|other| other.head.part.runs().is_none());
            let whole =
                |other: &&TreeCount| Some(f64::from(other.tally.pieces()) * self.scale(other)?);
            usual_pieces(like.filter_map(whole))
        };
        let theirs = count
            .pruner()
            .and_then(|of| Some((usual(Some(of))?, Some(of))));
        let (usual, of) = theirs.or_else(|| Some((usual(None)?, None)))?;
        let scale = self.scale(count)?;
        (f64::from(pieces) * scale < usual.bound).then(|| FarFewer {
            usual: usual.pieces / scale,
            of,
        })
    }
}
