use super::*;

/// Nothing in particular is kept.
fn free() -> Kept {
    Kept::of(Path::new(""))
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[cfg(unix)]
#[test]
fn only_the_owner_reads_it_whatever_was_there() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("sheet.txt");
    std::fs::write(&to, "of before").unwrap();
    std::fs::set_permissions(&to, PermissionsExt::from_mode(0o644)).unwrap();
    write_file(&free(), &to, b"new").unwrap();
    assert_eq!(std::fs::read(&to).unwrap(), b"new");
    let mode = std::fs::metadata(&to).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}

#[test]
fn what_fails_leaves_what_was_there_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("sheet.txt");
    write_file(&free(), &to, b"old").unwrap();
    let failed = write_whole_with(&free(), &to, |file| {
        file.write_all(b"half")?;
        Err::<(), _>(io::Error::other("the disk is gone"))
    });
    assert!(failed.is_err());
    assert_eq!(std::fs::read(&to).unwrap(), b"old");
    assert_eq!(names(folder.path()), ["sheet.txt"]);
}

#[test]
fn a_file_of_the_name_with_part_behind_is_somebody_elses() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::write(at("sheet.txt.part"), "mine").unwrap();
    write_file(&free(), &at("sheet.txt"), b"new").unwrap();
    assert_eq!(std::fs::read(at("sheet.txt.part")).unwrap(), b"mine");
    assert_eq!(names(folder.path()), ["sheet.txt", "sheet.txt.part"]);
}

#[test]
fn what_a_killed_run_left_goes_and_what_is_worked_on_stays() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let worked_on = Part::beside(&at("other.txt")).unwrap();
    let left = format!("{}{}{}", PART.0, Uuid::now_v7().simple(), PART.1);
    let mine = format!("{}notes{}", PART.0, PART.1);
    for name in [&left, &mine] {
        std::fs::write(at(name), "half").unwrap();
    }
    write_file(&free(), &at("sheet.txt"), b"new").unwrap();
    assert!(!at(&left).exists());
    assert!(at(&mine).exists() && worked_on.path.exists());
    worked_on.give_name(&at("other.txt")).unwrap();
    assert_eq!(
        names(folder.path()),
        [mine, "other.txt".into(), "sheet.txt".into()]
    );
}

#[cfg(unix)]
#[test]
fn a_link_stays_and_other_hard_links_keep_what_they_held() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::create_dir(at("deep")).unwrap();
    std::fs::write(at("deep/sheet.txt"), "old").unwrap();
    std::fs::hard_link(at("deep/sheet.txt"), at("second.txt")).unwrap();
    for (link, leads_to) in [
        ("link.txt", "deep/sheet.txt"),
        ("empty.txt", "deep/new.txt"),
    ] {
        std::os::unix::fs::symlink(leads_to, at(link)).unwrap();
        write_file(&free(), &at(link), b"new").unwrap();
        assert!(at(link).is_symlink());
        assert_eq!(std::fs::read(at(leads_to)).unwrap(), b"new");
    }
    assert_eq!(std::fs::read(at("second.txt")).unwrap(), b"old");
    assert_eq!(names(&at("deep")), ["new.txt", "sheet.txt"]);
}

#[test]
fn what_is_write_protected_and_what_is_a_folder_stays() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("sheet.txt");
    std::fs::write(&to, "kept").unwrap();
    let mut rights = to.metadata().unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&to, rights).unwrap();
    let told = write_file(&free(), &to, b"new").unwrap_err().to_string();
    assert!(told.contains("write-protected"), "{told}");
    assert_eq!(std::fs::read(&to).unwrap(), b"kept");
    let told = write_file(&free(), folder.path(), b"new")
        .unwrap_err()
        .to_string();
    assert!(told.contains("is a folder"), "{told}");
}

#[cfg(unix)]
#[test]
fn a_socket_is_written_into_and_a_file_beside_it_is_not_made() {
    use std::io::Read;
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("socket");
    let server = std::os::unix::net::UnixListener::bind(&to).unwrap();
    write_whole_with(&free(), &to, |out| out.write_all(b"sheet")).unwrap();
    let mut came = String::new();
    server
        .accept()
        .unwrap()
        .0
        .read_to_string(&mut came)
        .unwrap();
    assert_eq!(came, "sheet");
    assert!(
        write_file(&free(), &to, b"sheet").is_err(),
        "in a folder of papers"
    );
    assert_eq!(names(folder.path()), ["socket"]);
}
