//! Which orchards are made one: what a header says of that is taken in only where it was asked for, and within a bound.

use thirdwood::exchange::bundle::{BundleError, look, write};
use thirdwood::store::StoreError;
use thirdwood::store::bundle::{MOST_ORCHARDS, Parcel, Since, TakeIn, Taken};
use uuid::Uuid;

use crate::device::*;
use crate::hostile::{forged, lines, packed, read};

fn device(nr: u128) -> Device {
    let mut device = Device::new(nr);
    settle_in(&mut device);
    device
}

fn take(target: &Device, parcel: &Parcel, join_orchards: bool) -> Result<Taken, StoreError> {
    let how = TakeIn {
        join_orchards,
        dry_run: false,
    };
    target.store.take_in(parcel, how, &mut |_| true)
}

/// Identities that nobody made, beside those of the parcel.
fn with_made_up(parcel: &Parcel, how_many: usize) -> Parcel {
    let mut parcel = parcel.clone();
    let made_up = (1..=how_many as u128).map(|n| Uuid::from_u128(n << 64));
    parcel.orchards.extend(made_up);
    parcel
}

#[test]
fn another_orchard_does_not_come_in_by_a_header() {
    let (one, other) = (device(1), device(2));
    let theirs = other.all();
    let mut header = one.all();
    header.orchards.extend(&theirs.orchards);
    let taken = take(&one, &header, false).unwrap();
    assert_eq!((taken.joined, taken.apart), (0, 1));
    assert_eq!(one.all().orchards.len(), 1);
    let refused = take(&one, &theirs, false);
    assert!(
        matches!(refused, Err(StoreError::OtherOrchard)),
        "{refused:?}"
    );
    // asked for, it does, and it is told
    let taken = take(&one, &header, true).unwrap();
    assert_eq!((taken.joined, taken.apart), (1, 0));
    let said = thirdwood::report::words::taken(&taken).join("; ");
    assert!(
        said.contains("1 orchard that began by itself is one with this"),
        "{said}"
    );
    assert_eq!(take(&one, &theirs, false).unwrap().joined, 0);
}

#[test]
fn a_tablet_goes_on_writing_bundles_whatever_a_header_said() {
    let one = device(1);
    let path = one.folder().join("own.bundle");
    for how_many in [MOST_ORCHARDS, 15_000] {
        let made_up = with_made_up(&one.all(), how_many);
        let refused = read(&packed(&made_up));
        assert!(
            matches!(refused, Err(BundleError::TooLarge { limit: 64, .. })),
            "{refused:?}"
        );
        // said to the store itself, it is refused as well
        let before = one.dump();
        let refused = take(&one, &made_up, true);
        assert!(
            matches!(refused, Err(StoreError::TooMuch(_))),
            "{refused:?}"
        );
        assert_eq!(one.dump(), before);
        write(&one.store, &Since::Beginning, &path).unwrap();
        assert_eq!(look(&path).unwrap().head.orchards.len(), 1);
    }
    // one after the other, too
    let most = with_made_up(&one.all(), MOST_ORCHARDS - 1);
    let most = read(&forged(&lines(&most))).unwrap();
    assert_eq!(take(&one, &most, true).unwrap().joined, MOST_ORCHARDS - 1);
    let other = device(2);
    assert!(matches!(
        take(&one, &other.all(), true),
        Err(StoreError::TooMuch(_))
    ));
    write(&one.store, &Since::Beginning, &path).unwrap();
    assert_eq!(look(&path).unwrap().head.orchards.len(), MOST_ORCHARDS);
}

#[test]
fn a_file_that_holds_more_is_not_written_as_what_nobody_can_read() {
    let one = device(1);
    one.all();
    let conn = rusqlite::Connection::open(one.path()).unwrap();
    for n in 1..=MOST_ORCHARDS as u128 {
        let id = Uuid::from_u128(n << 64);
        conn.execute("INSERT INTO orchard_id (id) VALUES (?1)", [id.as_bytes()])
            .unwrap();
    }
    let path = one.folder().join("own.bundle");
    let refused = write(&one.store, &Since::Beginning, &path).unwrap_err();
    let said = refused.to_string();
    assert!(
        said.contains("65 orchards were made one") && said.contains("thirdwood restore"),
        "{said}"
    );
    assert!(!path.exists());
}
