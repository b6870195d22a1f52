use super::*;
use proptest::prelude::*;

const NONE_LOST: ByAge = [1.0; 4];

fn close(a: ByAge, b: ByAge) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-9)
}

fn any_wood() -> impl Strategy<Value = ByAge> {
    proptest::array::uniform4(0.0..200.0_f64)
}

fn any_share() -> impl Strategy<Value = ByAge> {
    proptest::array::uniform4(0.0..=1.0_f64)
}

fn any_age() -> impl Strategy<Value = Age> {
    (1_usize..4).prop_map(|age| Age::ALL[age])
}

fn any_habit() -> impl Strategy<Value = Habit> {
    prop_oneof![
        any_share().prop_map(Habit::Shares),
        (any_wood(), any_age())
            .prop_map(|(pieces, oldest)| Habit::Toward(Targets { pieces, oldest })),
    ]
}

proptest! {
    #[test]
    fn no_piece_appears_or_vanishes_but_by_growth_loss_or_a_named_cut(
        start in any_wood(), survival in any_share(), grown in 0.0..300.0_f64, habit in any_habit(),
    ) {
        let account = winter(start, &Growing { grown, survival }, &habit);
        let sum = |pieces: ByAge| pieces.iter().sum::<f64>();
        // over all ages, from one pruning to the next
        let balance = sum(start) - sum(account.lost) + account.grown - sum(account.cut) - sum(account.end);
        prop_assert!(balance.abs() < 1e-9);
        // age by age
        for age in 0..4 {
            let from_younger = if age == 0 { 0.0 } else { start[age - 1] - account.lost[age - 1] };
            let stayed = if age == 3 { start[3] - account.lost[3] } else { 0.0 };
            prop_assert!((account.aged[age] - from_younger - stayed).abs() < 1e-9);
            let new = if age == 0 { grown } else { 0.0 };
            prop_assert!((account.offered[age] - account.aged[age] - new).abs() < 1e-9);
            prop_assert!((account.end[age] - (account.offered[age] - account.cut[age])).abs() < 1e-9);
            for part in [account.lost, account.aged, account.cut, account.held, account.short, account.end] {
                prop_assert!(part[age] >= -1e-12);
            }
        }
    }

    #[test]
    fn the_rule_never_keeps_more_than_is_offered_nor_wood_that_is_too_old(
        start in any_wood(), survival in any_share(), grown in 0.0..300.0_f64, units in 1.0..100.0_f64,
    ) {
        let targets = Targets::of(&Rule::default(), units);
        let account = winter(start, &Growing { grown, survival }, &Habit::Toward(targets));
        prop_assert!(account.end[3].abs() < 1e-12, "four-plus was kept");
        let sum = |pieces: ByAge| pieces.iter().sum::<f64>();
        prop_assert!(sum(account.end) <= sum(targets.pieces) + 1e-9);
        prop_assert!(sum(account.held) <= sum(account.short) + 1e-9);
        for age in 0..4 {
            let wanted = targets.pieces[age] - account.short[age] + account.held[age];
            prop_assert!((account.end[age] - wanted).abs() < 1e-9, "what is left is told in full");
        }
    }

    #[test]
    fn with_no_losses_and_the_rule_kept_the_mix_stays_at_thirds(units in 1.0..100.0_f64, more in 0.0..50.0_f64) {
        let targets = Targets::with_losses(&Rule::default(), units, NONE_LOST);
        let growing = Growing { grown: units + more, survival: NONE_LOST };
        let mut pieces = targets.pieces;
        for _ in 0..10 {
            let account = winter(pieces, &growing, &Habit::Toward(targets));
            pieces = account.end;
            prop_assert!(close(pieces, [units, units, units, 0.0]));
            prop_assert!(!account.holds());
        }
    }

    #[test]
    fn a_one_year_gap_shows_at_two_and_at_three_in_the_winters_after(units in 5.0..100.0_f64, part in 0.05..1.0_f64) {
        let gap = units * part;
        let habit = Habit::Toward(Targets::of(&Rule::default(), units));
        let growing = Growing { grown: units, survival: NONE_LOST };
        let next = winter([units - gap, units, units, 0.0], &growing, &habit);
        prop_assert!(close(next.end, [units, units - gap, units, 0.0]));
        prop_assert!(close(next.short, [0.0, gap, 0.0, 0.0]));
        let after = winter(next.end, &growing, &habit);
        prop_assert!(close(after.end, [units, units, units - gap, 0.0]));
        prop_assert!(close(after.short, [0.0, 0.0, gap, 0.0]));
        let last = winter(after.end, &growing, &habit);
        prop_assert!(close(last.end, [units, units, units, 0.0]), "the gap has grown out");
    }

    #[test]
    fn fixed_shares_are_the_matrix(
        start in any_wood(), survival in any_share(), keep in any_share(), grown in 0.0..300.0_f64,
    ) {
        let growing = Growing { grown, survival };
        let states = growing.matrix(keep).project(&[start[0], start[1], start[2], start[3], 1.0], 5);
        let mut pieces = start;
        for state in &states[1..] {
            pieces = winter(pieces, &growing, &Habit::Shares(keep)).end;
            prop_assert!(close(pieces, [state[0], state[1], state[2], state[3]]));
        }
    }
}

#[test]
fn a_shortage_is_filled_with_older_wood_and_it_is_told() {
    // 30 wanted of each; 10 two-year were left last winter's ones, but three-year wood is plentiful
    let habit = Habit::Toward(Targets::of(&Rule::default(), 30.0));
    let growing = Growing {
        grown: 40.0,
        survival: NONE_LOST,
    };
    let account = winter([10.0, 45.0, 30.0, 0.0], &growing, &habit);
    assert!(close(account.offered, [40.0, 10.0, 45.0, 30.0]));
    assert!(close(account.short, [0.0, 20.0, 0.0, 0.0]));
    assert!(close(account.held, [0.0, 0.0, 15.0, 0.0]));
    assert!(close(account.end, [30.0, 10.0, 45.0, 0.0]));
    assert!(close(account.cut, [10.0, 0.0, 0.0, 30.0]));
    assert!(account.holds());
}

/// Worked by hand: half of each age is kept, nothing is lost, 80 pieces grow: 40, 20, 10, and four-plus at
/// x = (10 + x) / 2 = 10.
#[test]
fn habits_lead_to_the_stable_structure() {
    let matrix = Growing {
        grown: 80.0,
        survival: NONE_LOST,
    }
    .matrix([0.5; 4]);
    let found = matrix.dominant().unwrap();
    assert!((found.lambda - 1.0).abs() < 1e-9);
    for (share, wanted) in found.structure.iter().zip([40.0, 20.0, 10.0, 10.0, 1.0]) {
        assert!(
            (share / found.structure[4] - wanted).abs() < 1e-6,
            "{found:?}"
        );
    }
}

#[test]
fn odd_growth_is_refused() {
    assert_eq!(Growing::new(-1.0, NONE_LOST).unwrap_err().field, "grown");
    assert_eq!(
        Growing::new(10.0, [1.1, 1.0, 1.0, 1.0]).unwrap_err().field,
        "survival"
    );
}
