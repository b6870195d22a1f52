//! Whatever the figures, the names and the room: nothing leaves the field, and no word lies over another.

use proptest::prelude::*;

use super::inspect::{check, day, row_map, standing_of, winter};
use super::{Labels, Room, buds, mix, progress, rows, ternary, trend};
use crate::orchard::Tally;
use crate::outlook::pace::{Finish, Needed, Never, Span};

fn tally() -> impl Strategy<Value = Tally> {
    let ages = prop::array::uniform4(prop_oneof![Just(0u32), 0u32..60]);
    let units = prop::array::uniform3(prop::array::uniform8(
        prop_oneof![3 => Just(0u32), 1 => 0u32..3000],
    ));
    (ages, units).prop_map(|(ages, units)| Tally {
        ages,
        units,
        ..Tally::default()
    })
}

fn room() -> impl Strategy<Value = Room> {
    (0.0..1300.0f64, 0.0..800.0f64).prop_map(|(width, height)| Room { width, height })
}

fn finish() -> impl Strategy<Value = Finish> {
    let days = (0usize..400, 0usize..60, 0usize..60, any::<[bool; 2]>());
    let expected = days.prop_map(|(low, more, most, known)| Finish::Expected {
        day: Span {
            low: Some(day(low)),
            mid: known[0].then(|| day(low + more)),
            high: (known[0] && known[1]).then(|| day(low + more + most)),
        },
        in_time: 0.5,
        needed: Needed {
            crew: None,
            extra: None,
        },
    });
    prop_oneof![
        6 => expected,
        1 => Just(Finish::Done),
        1 => Just(Finish::NoBlock),
        1 => Just(Finish::TooFewDays { seen: 1 }),
        1 => Just(Finish::Never(Never::NoCrew)),
    ]
}

proptest! {
    #[test]
    fn standings(name in ".{0,120}", tallies in prop::collection::vec(tally(), 0..40), room in room()) {
        let standing = standing_of(&name, &tallies);
        let labels = Labels::english();
        for picture in [
            mix(&standing, &labels, room),
            ternary(&standing, &labels, room),
            buds(&standing, &labels, room),
            trend(&standing, &labels, room),
        ] {
            check(&picture);
        }
    }

    #[test]
    fn row_maps(lines in 1u16..500, places in 1u16..400, room in room()) {
        check(&rows(&row_map(lines, places), &Labels::english(), room));
    }

    #[test]
    fn winters(
        trees in prop::collection::vec(0u32..3000, 0..90), left in 0u32..200_000, finish in finish(),
        bursts in prop::collection::vec(0usize..300, 0..5), room in room(),
    ) {
        check(&progress(&winter(&trees, left, finish, &bursts), &Labels::english(), room));
    }

    #[test]
    fn long_words(word in "\\PC{0,60}", room in room()) {
        let mut labels = Labels::english();
        let slots = [
            &mut labels.accepted, &mut labels.wanted, &mut labels.tree, &mut labels.without_four_plus,
            &mut labels.within, &mut labels.rule, &mut labels.budburst, &mut labels.finish, &mut labels.pruned,
        ];
        for slot in slots {
            *slot = word.clone().into();
        }
        labels.ages = [0; 4].map(|_| word.clone().into());
        labels.all_of = [0; 3].map(|_| word.clone().into());
        labels.sizes = [0; 3].map(|_| word.clone().into());
        let tally = Tally { ages: [9, 8, 7, 1], units: [[1; 8]; 3], ..Tally::default() };
        let standing = standing_of("River", &[tally, tally]);
        for picture in [
            mix(&standing, &labels, room),
            ternary(&standing, &labels, room),
            buds(&standing, &labels, room),
            trend(&standing, &labels, room),
            rows(&row_map(9, 60), &labels, room),
            progress(&winter(&[9, 9, 9], 40, Finish::Done, &[90]), &labels, room),
        ] {
            check(&picture);
        }
    }
}
