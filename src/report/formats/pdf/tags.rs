//! The structure of a sheet for programs that read aloud: what each printed mark is part of.

use std::num::NonZeroU16;

use krilla::geom::Rect;
use krilla::tagging::{
    BBox, Identifier, ListNumbering, Node as Leaf, TableHeaderScope, Tag, TagGroup, TagKind,
};

use super::strip::{Node, Role};

/// What was printed of one piece of a sheet.
#[derive(Default)]
pub(super) struct Printed {
    /// Its marks in the order of reading.
    pub marks: Vec<Identifier>,
    /// For a picture: the page, counted from 0, and where it stands.
    pub place: Option<(usize, Rect)>,
}

/// A sheet's structure.
pub(super) fn section(lang: &str, nodes: &[Node], printed: Vec<Printed>) -> TagGroup {
    let mut groups: Vec<Option<TagGroup>> = nodes
        .iter()
        .zip(printed)
        .map(|(node, printed)| {
            let leaves: Vec<Leaf> = printed.marks.into_iter().map(Leaf::from).collect();
            Some(TagGroup::with_children(
                tag(&node.role, printed.place),
                leaves,
            ))
        })
        .collect();
    // each piece comes after the one around it: from the last to the first, all within a piece is whole before it
    let mut inner: Vec<Vec<TagGroup>> = nodes.iter().map(|_| Vec::new()).collect();
    let mut outer = Vec::new();
    for at in (0..nodes.len()).rev() {
        let Some(mut group) = groups[at].take() else {
            continue;
        };
        for child in inner[at].drain(..).rev() {
            group.push(child);
        }
        match nodes[at].within {
            Some(around) => inner[around].push(group),
            None => outer.push(group),
        }
    }
    let mut section = TagGroup::new(Tag::Section.with_lang(Some(lang.to_owned())));
    for group in outer.into_iter().rev() {
        section.push(group);
    }
    section
}

fn tag(role: &Role, place: Option<(usize, Rect)>) -> TagKind {
    match role {
        Role::Heading(level, words) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(words.clone())).into()
        }
        Role::Para => Tag::P.into(),
        Role::List(true) => Tag::L(ListNumbering::Decimal).into(),
        Role::List(false) => Tag::L(ListNumbering::Disc).into(),
        Role::Item => Tag::LI.into(),
        Role::Label => Tag::Lbl.into(),
        Role::Body => Tag::LBody.into(),
        Role::Table(shows) => {
            let shows = (!shows.is_empty()).then(|| shows.clone());
            Tag::Table.with_summary(shows).into()
        }
        Role::Caption => Tag::Caption.into(),
        Role::Head => Tag::THead.into(),
        Role::Rows => Tag::TBody.into(),
        Role::Row => Tag::TR.into(),
        Role::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Role::RowHead => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::Figure(text) => {
            let place = place.map(|(page, rect)| BBox::new(page, rect));
            Tag::Figure(Some(text.clone())).with_bbox(place).into()
        }
    }
}
