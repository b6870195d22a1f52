//! Every form on the screens, filled with anything.

use thirdwood::orchard::CountId;
use thirdwood::outlook::FactorKind;
use thirdwood::store::Store;
use thirdwood::tui::app::{Effect, FormKind, Layer, Moment, Tablets};
use thirdwood::tui::{Action, Key, Screen, forms};

use super::checks::{next_id, note_kept, sheets};
use super::hands::Hands;
use super::orchard::{self, BLOCK, COUNT, DRAW, GO_BACK, OPEN, PRUNER, WINTER, WORK, scratch};

/// All that can be asked for, of what there is and of what is new.
const JOBS: [FormKind; 41] = [
    FormKind::OtherTree,
    FormKind::TreeDetails,
    FormKind::SkipTree,
    FormKind::SendBack,
    FormKind::Settle(GO_BACK),
    FormKind::GoBack(None),
    FormKind::GoBack(Some(GO_BACK)),
    FormKind::Work(None),
    FormKind::Work(Some(WORK)),
    FormKind::Draw,
    FormKind::CountAgain,
    FormKind::PutBack(DRAW),
    FormKind::Block(None),
    FormKind::Block(Some(BLOCK)),
    FormKind::Pruner(None),
    FormKind::Pruner(Some(PRUNER)),
    FormKind::Winter(None),
    FormKind::Winter(Some(WINTER)),
    FormKind::Budburst(BLOCK),
    FormKind::Rule(None),
    FormKind::Rule(Some(BLOCK)),
    FormKind::Count(COUNT),
    FormKind::Count(OPEN),
    FormKind::Aim(BLOCK),
    FormKind::Factor(BLOCK, FactorKind::ALL[0]),
    FormKind::Growth(BLOCK),
    FormKind::SetCount(BLOCK, None),
    FormKind::Harvest(BLOCK, None),
    FormKind::Settings,
    FormKind::Papers,
    FormKind::Weekdays,
    FormKind::LostDays(None),
    FormKind::Stint(Some(PRUNER)),
    FormKind::Pay,
    FormKind::OwnPay(Some(PRUNER)),
    FormKind::BundleOut,
    FormKind::BundlesIn,
    FormKind::ForgetName(PRUNER),
    FormKind::MarkTree,
    FormKind::MarkTrees(BLOCK),
    FormKind::Rework(Some(BLOCK), Some(1), None),
];

/// The first byte says which form. Then a field a line: `text`; `+text` is pasted; an empty line leaves the field as it
/// stands; `#` and a byte chooses.
pub fn run(bytes: &[u8]) {
    let Some((which, rest)) = bytes.split_first() else {
        return;
    };
    scratch(|store| filled(store, usize::from(*which), rest));
}

/// The form of a number; none where nothing is to be settled, or nothing was entered twice.
fn job(which: usize, of: &Tablets) -> Option<FormKind> {
    match which % (JOBS.len() + 2) {
        37 => Some(FormKind::SettleTwo(of.conflicts.first()?.record())),
        38 => {
            let twins = of.twins.first()?;
            Some(FormKind::Join(twins.kind, twins.all.first()?.id))
        }
        place if place > 38 => Some(JOBS[place - 2]),
        place => Some(JOBS[place]),
    }
}

fn filled(store: &Store, which: usize, lines: &[u8]) {
    let mut hands = Hands::on(store).unwrap();
    hands.go(Screen::Count);
    // what the Set-up screen asks for before it shows what there is of other tablets
    hands.desk.carry_out(Effect::ReadTablets).unwrap();
    let Some(job) = job(which, &hands.desk.model.tablets) else {
        return;
    };
    forms::open(&mut hands.desk.model, job);
    let Some(Layer::Form(form, _)) = hands.desk.model.layers.last_mut() else {
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
fn opens_again(hands: &mut Hands, job: FormKind) {
    hands.take(thirdwood::tui::app::Event::Act(Action::Back));
    let lasting = matches!(
        job,
        FormKind::Block(Some(_))
            | FormKind::Pruner(Some(_))
            | FormKind::Winter(Some(_))
            | FormKind::Budburst(_)
            | FormKind::Rule(_)
            | FormKind::Count(CountId(_))
            | FormKind::Aim(_)
            | FormKind::Factor(..)
            | FormKind::Growth(_)
            | FormKind::Settings
            | FormKind::Weekdays
            | FormKind::Pay
    );
    if !lasting {
        return;
    }
    let model = &mut hands.desk.model;
    model.layers.clear();
    forms::open(model, job);
    let Some(Layer::Form(form, _)) = model.layers.last().cloned() else {
        return;
    };
    let moment = Moment {
        now: orchard::now(),
        id: next_id(),
    };
    let read = forms::read(model, &form, job, moment);
    assert!(read.is_ok(), "{job:?}: {read:?} {form:#?}");
}
