//! The first round beside what the screens show.

use super::tour::{END, Seen};
use super::{Layer, Model};
use crate::orchard::Tally;
use crate::report::Season;

impl Model {
    /// What the first round looks at.
    pub fn seen(&self) -> Seen {
        let counts = self.season.iter().flat_map(Season::counts);
        Seen {
            screen: self.screen,
            draws: self.season.as_ref().map_or(0, |season| season.draws.len()),
            part: self.count.place().map(|place| place.part),
            pieces: self.count.tally().map_or(0, Tally::pieces),
            units: self.count.tally().map_or(0, Tally::unit_count),
            closed: counts.filter(|count| count.closed).count(),
            reads: matches!(self.layers.last(), Some(Layer::Page { .. })),
        }
    }
}

/// Goes on to the next step where this one was taken; after the last, says so and is over. To be called after every
/// event; it changes nothing where no round is under way.
pub fn follow(model: &mut Model) {
    let Some(tour) = model.tour else {
        return;
    };
    model.tour = tour.followed(&model.seen());
    if model.tour.is_none() {
        model.note(END);
    }
}
