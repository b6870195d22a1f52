//! Names of pruners put wherever people may put them, and a search that finds them again.

use thirdwood::orchard::{CountHead, GoBack, PrunerDraft};
use thirdwood::store::{CountFilter, Setting, Store};

/// Words that tell who somebody is: of each pruner the name and its parts, also all in small letters or capitals, and
/// the label as it is written (`or` is a word of the language, `Or` may be a label).
pub fn told(store: &Store) -> Vec<String> {
    let mut words = Vec::new();
    for pruner in store.pruners().unwrap() {
        for name in pruner.name.split_whitespace().chain([pruner.name.as_str()]) {
            words.extend([name.to_owned(), name.to_lowercase(), name.to_uppercase()]);
        }
        words.push(pruner.label.clone());
    }
    words.retain(|word| word.chars().count() > 1);
    words.sort();
    words.dedup();
    assert!(
        words.len() >= 15,
        "the orchard has names to look for: {words:?}"
    );
    words
}

/// Has people name pruners in a reason, a note, as the counter, and where a tree is left out. Two names for two
/// more sayings of one text.
pub fn typed_everywhere(store: &Store) {
    let all = store.pruners().unwrap();
    for pruner in all.iter().filter(|pruner| !pruner.label.is_empty()) {
        // labels that are no words of any language
        let draft = PrunerDraft {
            label: format!("Xq{}", pruner.number % 100),
            ..pruner.draft().clone()
        };
        store.save_pruner(&pruner.changed(draft).unwrap()).unwrap();
    }
    let name = |at: usize| {
        let named = all.iter().filter(|pruner| !pruner.name.is_empty());
        named.map(|pruner| pruner.name.clone()).nth(at).unwrap()
    };
    store.set(Setting::Counter, &name(0)).unwrap();
    for winter in store.winters().unwrap() {
        for entry in store.go_backs(winter.id).unwrap() {
            let reason = format!("ask {}, or {}: stubs", name(0), name(1).to_uppercase());
            store.save_go_back(&GoBack { reason, ..entry }).unwrap();
        }
        for count in store.counts(CountFilter::Winter(winter.id)).unwrap() {
            let head = CountHead {
                note: format!("{} was here", name(2)),
                counter: name(1),
                ..count.head
            };
            store.change_head(count.id, &head).unwrap();
        }
        for draw in store.draws(winter.id).unwrap() {
            let reason = format!("{} said so", name(3));
            store.skip_drawn(draw.id, 0, Some(&reason)).unwrap();
        }
    }
}

/// The first of these words that stands in a text by itself.
pub fn found<'w>(text: &str, words: &'w [String]) -> Option<&'w str> {
    let alone = |word: &str| {
        text.match_indices(word).any(|(at, _)| {
            let before = text[..at].chars().next_back();
            let after = text[at + word.len()..].chars().next();
            ![before, after]
                .into_iter()
                .flatten()
                .any(char::is_alphanumeric)
        })
    };
    words.iter().map(String::as_str).find(|word| alone(word))
}
