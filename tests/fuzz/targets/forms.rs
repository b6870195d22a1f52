//! Every form on the screens, filled with anything.

use thirdwood::orchard::CountId;
use thirdwood::outlook::FactorKind;
use thirdwood::store::Store;
use thirdwood::tui::app::{Cover, Effect, Job, Moment};
use thirdwood::tui::{Action, Key, Screen, forms};

use super::checks::{next_id, note_kept, sheets};
use super::hands::Hands;
use super::orchard::{self, BLOCK, COUNT, DRAW, GO_BACK, OPEN, PRUNER, WINTER, WORK, scratch};

/// All that can be asked for, of what there is and of what is new.
const JOBS: [Job; 40] = [
    Job::OtherTree,
    Job::TreeDetails,
    Job::SkipTree,
    Job::SendBack,
    Job::Settle(GO_BACK),
    Job::GoBack(None),
    Job::GoBack(Some(GO_BACK)),
    Job::Work(None),
    Job::Work(Some(WORK)),
    Job::Draw,
    Job::CountAgain,
    Job::PutBack(DRAW),
    Job::Block(None),
    Job::Block(Some(BLOCK)),
    Job::Pruner(None),
    Job::Pruner(Some(PRUNER)),
    Job::Winter(None),
    Job::Winter(Some(WINTER)),
    Job::Budburst(BLOCK),
    Job::Rule(None),
    Job::Rule(Some(BLOCK)),
    Job::Count(COUNT),
    Job::Count(OPEN),
    Job::Aim(BLOCK),
    Job::Factor(BLOCK, FactorKind::ALL[0]),
    Job::Growth(BLOCK),
    Job::SetCount(BLOCK, None),
    Job::Harvest(BLOCK, None),
    Job::Settings,
    Job::Papers,
    Job::Weekdays,
    Job::LostDays(None),
    Job::Stint(Some(PRUNER)),
    Job::Pay,
    Job::OwnPay(Some(PRUNER)),
    Job::BundleOut,
    Job::BundlesIn,
    Job::SettleTwo(0),
    Job::Join(0),
    Job::ForgetName(PRUNER),
];

/// The first byte says which form. Then a field a line: `text`; `+text` is pasted; an empty line leaves the field as it
/// stands; `#` and a byte chooses.
pub fn run(bytes: &[u8]) {
    let Some((which, rest)) = bytes.split_first() else {
        return;
    };
    let job = JOBS[usize::from(*which) % JOBS.len()];
    scratch(|store| filled(store, job, rest));
}

fn filled(store: &Store, job: Job, lines: &[u8]) {
    let mut hands = Hands::on(store).unwrap();
    hands.go(Screen::Count);
    // what the Set-up screen asks for before it shows what there is of other tablets
    hands.desk.carry_out(Effect::ReadTablets).unwrap();
    forms::open(&mut hands.desk.model, job);
    let Some(Cover::Form(form, _)) = &mut hands.desk.model.cover else {
        return;
    };
    let mut pasted = Vec::new();
    for (line, place) in lines.split(|byte| *byte == b'\n').zip(0..form.fields.len()) {
        let text = String::from_utf8_lossy(line);
        let field = &mut form.fields[place];
        match line {
            [] => {}
            [b'#', choice] => field.set_choice(usize::from(*choice)),
            [b'+', ..] => pasted.push((place, text.into_owned())),
            _ => field.set_value(&text),
        }
    }
    for (place, text) in pasted {
        form.set_focus(place);
        form.paste(&text[1..]);
    }
    hands.draw();
    hands.key(Key::Ctrl('s'));
    hands.draw();
    if hands.written > 0 {
        note_kept();
        sheets(store);
        assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
        opens_again(&mut hands, job);
    }
}

/// What was saved can be opened again, and saved as it stands.
fn opens_again(hands: &mut Hands, job: Job) {
    hands.take(thirdwood::tui::app::Event::Act(Action::Back));
    let lasting = matches!(
        job,
        Job::Block(Some(_))
            | Job::Pruner(Some(_))
            | Job::Winter(Some(_))
            | Job::Budburst(_)
            | Job::Rule(_)
            | Job::Count(CountId(_))
            | Job::Aim(_)
            | Job::Factor(..)
            | Job::Growth(_)
            | Job::Settings
            | Job::Weekdays
            | Job::Pay
    );
    if !lasting {
        return;
    }
    let model = &mut hands.desk.model;
    model.cover = None;
    forms::open(model, job);
    let Some(Cover::Form(form, _)) = model.cover.clone() else {
        return;
    };
    let moment = Moment {
        now: orchard::now(),
        id: next_id(),
    };
    let read = forms::read(model, &form, job, moment);
    assert!(read.is_ok(), "{job:?}: {read:?} {form:#?}");
}
