//! Inputs from which mutations begin: what the program itself writes, and what a person would do.

use crate::targets;

/// Bytes that mean something to a target's reader.
pub fn inputs(target: &str) -> Vec<Vec<u8>> {
    match target {
        "tables" => targets::exported(),
        "bundles" => bundles(),
        "arguments" => arguments(),
        "forms" => forms(),
        "screens" => screens(),
        other => panic!("no target {other}"),
    }
}

fn with(first: u8, rest: &[u8]) -> Vec<u8> {
    [&[first], rest].concat()
}

fn bundles() -> Vec<Vec<u8>> {
    let text = targets::bundle_text();
    [1, 2, 5].map(|how| with(how, text.as_bytes())).to_vec()
}

fn arguments() -> Vec<Vec<u8>> {
    let commands = [
        "day-sheet\n-d\n2027-01-12\n-p\n7\n--lang\nes",
        "merge\n\u{1b}[2J.bundle\n--dry-run",
        "\u{1b}]0;x\u{7}",
        "draw\n-n\n500\n--since\n2027-01-01\n--seed\n18446744073709551615",
        "--data\nx\nexport\nall\n-o\nfolder",
        "join\npruner\n12\n3",
        "crew\n-f\njson\n--until\n0000-00-00",
    ];
    let typed = [
        "1-24x110, 25x96\n3:17-19, 8:4",
        "2027-01-12T09:30:00+10:00\n2027-02-30",
        "65535x65535\n1:1-65535",
        "-1\n9999999999999999999",
    ];
    let settings = [
        "Invented\nSina\nqwertz\nbright\nyes\nEUR 2\nes",
        "\u{1b}[2J\n\u{202e}\n\u{7f}\ndark\nno\nEUR 99\nxx",
    ];
    let all = commands
        .iter()
        .map(|words| (0, words))
        .chain(typed.iter().map(|words| (1, words)));
    all.chain(settings.iter().map(|words| (2, words)))
        .map(|(what, words)| with(what, words.as_bytes()))
        .collect()
}

/// Each form as it stands, and each with numbers, days and texts in its fields.
fn forms() -> Vec<Vec<u8>> {
    let fillings = [
        "",
        "1\n2\n3\n4\n5\n6\n7\n8\n9\n10",
        "River\nConference\nQuince\n2015\n4.0\n1.5\n6\n#\u{1}\n\n1-4x50\n2:7-9",
        "2027-01-12\n2027-01-20\n+a\u{1b}[2Jb\n7:30\n100\n99999999999\n-1\n1e308",
        "50\n30\n20\n10\n0.5\n2027-03-01\nno\nyes",
    ];
    (0..35u8)
        .flat_map(|form| fillings.map(|filling| with(form, filling.as_bytes())))
        .collect()
}

fn screens() -> Vec<Vec<u8>> {
    let keys: [&[u8]; 12] = [
        b"\x0e 123wesdfzxc\x02\x02\x00",
        b"\x0f\x09nRiver\x00Conference\x00Quince\x002015\x004.0\x001.5\x006\x00\x00\x001-4x50\x00\x92",
        b"\x12w1\x00\x00\x00\x00\x92",
        b"\x14\x07s\x07\x07\x01v\x09\x09\x01",
        b"\x15\x00\x09\x09pg\x00",
        b"\x16\x09\x09\x09+++n\x00",
        b"\x17+++k\x00ev\x01",
        b"\x0f\x09\x09\x09\x09\x09n2027-01-01\x00\x92\x01\x01y",
        b"\x11\x07\x07\x01\x8f\x01\x93\x01\x85",
        b"\xe4\x01\x01\xe5\xff\x45\xe5\x50\x18\xc4\x05\x01\xc4\x20\x05\xc0\x10\x10\xe5\x00\x00",
        b"\xc4\x0a\x01\xc4\x14\x01\xc4\x1e\x01\xc4\x28\x01\xc4\x32\x01\xc4\x0a\x14\xc4\x14\x14",
        b"\x12n\xaf\x1b[2J\xf0\x9f\x8c\xb3abcdefgh\xb0\x00\x01\xf3\x33\x92\xf0",
    ];
    keys.map(<[u8]>::to_vec).to_vec()
}
