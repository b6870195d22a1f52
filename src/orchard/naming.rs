//! Names in what people typed: reasons, notes, who counted. Where names are not wanted, the number stands for them.

use std::borrow::Cow;

/// The shortest part of a name that is looked for by itself, in characters, and the shortest label.
const SHORTEST: (usize, usize) = (3, 2);

/// Words that stand for pruners, each with what is said instead.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Names(Vec<Word>);

#[derive(Debug, Clone, PartialEq, Eq)]
struct Word {
    text: String,
    /// A whole name is known in capitals and small letters alike; parts of one and labels as they are written, for
    /// many are words of the language too.
    any_case: bool,
    instead: String,
}

impl Names {
    /// Adds a pruner's name and label: the whole name, each part of a name of several words, and the label.
    pub fn add(&mut self, number: u16, name: &str, label: &str) {
        let mut word = |text: &str, any_case, shortest| {
            if text.chars().count() >= shortest {
                self.0.push(Word {
                    text: text.to_owned(),
                    any_case,
                    instead: format!("Nr {number}"),
                });
            }
        };
        word(name, true, 1);
        for part in name.split_whitespace().filter(|part| *part != name) {
            word(part, false, SHORTEST.0);
        }
        word(label, false, SHORTEST.1);
        // the longest first: it may hold the others
        self.0
            .sort_by_key(|word| std::cmp::Reverse(word.text.chars().count()));
    }

    /// Whether there is nothing to look for.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text with `Nr 7` for each name in it that stands as a word of its own.
    pub fn hide<'t>(&self, text: &'t str) -> Cow<'t, str> {
        let (mut out, mut kept, mut at) = (String::new(), 0, 0);
        let mut before = None;
        while let Some(next) = text[at..].chars().next() {
            if let Some((length, instead)) = self.at(before, &text[at..]) {
                out.push_str(&text[kept..at]);
                out.push_str(instead);
                at += length;
                kept = at;
                before = text[..at].chars().next_back();
            } else {
                at += next.len_utf8();
                before = Some(next);
            }
        }
        if kept == 0 {
            return Cow::Borrowed(text);
        }
        out.push_str(&text[kept..]);
        Cow::Owned(out)
    }

    /// The word that a text begins with: its length in bytes, and what is said instead.
    fn at(&self, before: Option<char>, text: &str) -> Option<(usize, &str)> {
        self.0.iter().find_map(|word| {
            let length = word.begins(text)?;
            let first = word.text.chars().next()?;
            let last = word.text.chars().next_back()?;
            let after = text[length..].chars().next();
            let alone =
                !(before.is_some_and(|c| joins(c, first)) || after.is_some_and(|c| joins(last, c)));
            alone.then_some((length, word.instead.as_str()))
        })
    }
}

impl Word {
    fn begins(&self, text: &str) -> Option<usize> {
        if !self.any_case {
            return text.starts_with(&self.text).then_some(self.text.len());
        }
        let mut typed = text.char_indices();
        for wanted in self.text.chars() {
            let (_, c) = typed.next()?;
            if c != wanted && !c.to_lowercase().eq(wanted.to_lowercase()) {
                return None;
            }
        }
        Some(typed.next().map_or(text.len(), |(at, _)| at))
    }
}

/// Whether two characters beside each other belong to one word. Scripts from U+2E80 on (Chinese, Japanese, Korean)
/// set no spaces.
fn joins(one: char, other: char) -> bool {
    let letter = |c: char| c.is_alphanumeric() && c < '\u{2E80}';
    letter(one) && letter(other)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names() -> Names {
        let mut names = Names::default();
        names.add(7, "Tamsin", "Ta");
        names.add(3, "Mele Will Oto", "");
        names.add(9, "梨", "x");
        names
    }

    #[test]
    fn names_are_told_by_number() {
        let names = names();
        for (typed, shown) in [
            ("Tamsin left stubs", "Nr 7 left stubs"),
            (
                "ask TAMSIN's friend, or tamsin",
                "ask Nr 7's friend, or Nr 7",
            ),
            ("Mele Will Oto and Mele", "Nr 3 and Nr 3"),
            ("Ta; 梨园 with 梨", "Nr 7; Nr 9园 with Nr 9"),
            ("(Tamsin)", "(Nr 7)"),
        ] {
            assert_eq!(names.hide(typed), shown);
        }
    }

    #[test]
    fn other_words_stay() {
        let names = names();
        for typed in [
            "",
            "Tamsinson, Stamsin",
            "it will do; ta, Tall",
            "the letter x, row 7",
        ] {
            assert_eq!(names.hide(typed), typed);
        }
        assert!(Names::default().is_empty() && !names.is_empty());
    }
}
