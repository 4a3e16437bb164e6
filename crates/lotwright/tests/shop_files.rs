//! Receipts, photos and evidence in the terminal: attached, listed, checked, backed up and brought back.

#![allow(clippy::unwrap_used, reason = "a test that cannot run its command has failed")]

mod till;

use till::Till;

/// A WebP of one pixel.
const PIXEL: &[u8] = &[
    0x52, 0x49, 0x46, 0x46, 0x22, 0x00, 0x00, 0x00, 0x57, 0x45, 0x42, 0x50, 0x56, 0x50, 0x38, 0x20, 0x16,
    0x00, 0x00, 0x00, 0x30, 0x01, 0x00, 0x9d, 0x01, 0x2a, 0x01, 0x00, 0x01, 0x00, 0x0e, 0xc0, 0xfe, 0x25,
    0xa4, 0x00, 0x03, 0x70, 0x00, 0x00, 0x00, 0x00,
];
const RECEIPT: &[u8] = b"%PDF-1.4\nparish hall, 7.00\n%%EOF";

/// A stocked shop, and beside it a picture, a receipt and files that are wrong.
fn till() -> Till {
    let till = Till::stocked();
    for (name, bytes) in [
        ("cup.jpg", PIXEL),
        ("receipt.pdf", RECEIPT),
        ("empty.jpg", b""),
        ("cup.heic", b"\0\0\0\x18ftypheic"),
        ("half.pdf", b"%PDF-1.4\nparish"),
        ("notes.txt", b"Dear buyer"),
    ] {
        std::fs::write(till.path(name), bytes).unwrap();
    }
    till
}

/// The names in the folder of files.
fn kept(till: &Till, shop: &str) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(till.path(&format!("{shop}.files"))) else { return Vec::new() };
    let mut names: Vec<_> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// What the command says, without its line breaks: names of folders are of any length.
fn says(till: &Till, args: &[&str]) -> String {
    till.says(args).split_whitespace().collect::<Vec<_>>().join(" ")
}

const SHOP: &str = "lotwright/shop.lotwright";

#[test]
fn what_is_attached_is_told_listed_and_kept_under_its_hash() {
    let till = till();
    let (cup, receipt) = (till.at("cup.jpg"), till.at("receipt.pdf"));
    let said = says(&till, &["attach", &cup, &receipt, "--to", "haul:1"]);
    for words in ["Attached to haul 1", "receipt", "cup.jpg", "without place", "A PDF is kept as it is"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let json = till.json(&["attach", &cup, "--to", "piece:1:2"]);
    assert_eq!(json["attached"][0]["attachment"], 3);
    assert_eq!(json["attached"][0]["piece"], 2);
    assert_eq!(json["attached"][0]["role"], "photo");
    let file = json["attached"][0]["file"].as_str().unwrap();
    let hash = json["attached"][0]["sha256"].as_str().unwrap();
    assert!(file.ends_with(&format!("shop.lotwright.files/{hash}.jpg")), "{file}");
    assert_eq!(kept(&till, SHOP).len(), 3, "the picture once, its preview, the receipt");
    let said = says(&till, &["attach", "--list"]);
    assert!(said.contains("piece 2 of find 1") && said.contains("3 attachments"), "{said}");
    let of_haul = till.json(&["attach", "--list", "--to", "haul:1"]);
    assert_eq!(of_haul.as_array().unwrap().len(), 2);
    assert!(says(&till, &["attach", "--list", "--to", "find:1"]).contains("Nothing attached"));
    // The same again is the same.
    assert_eq!(till.json(&["attach", &cup, "--to", "piece:1:2"])["attached"][0]["attachment"], 3);
    assert_eq!(
        till.json(&["attach", &cup, "--to", "find:1", "--as", "evidence"])["attached"][0]["role"],
        "evidence"
    );
    assert_eq!(std::fs::read(&cup).unwrap(), PIXEL, "the person's own file is unchanged");
}

#[test]
fn what_is_wrong_is_refused_with_its_name_and_nothing_is_noted() {
    let till = till();
    let at = |name: &str| till.at(name);
    let cup = at("cup.jpg");
    let cases: &[(&[&str], &[&str])] = &[
        (&["attach", &at("empty.jpg"), "--to", "haul:1"], &["empty.jpg", "is empty", "right would be"]),
        (&["attach", &at("cup.heic"), "--to", "find:1"], &["cup.heic", "HEIC", "as JPEG"]),
        (&["attach", &at("half.pdf"), "--to", "haul:1"], &["half.pdf", "cut off", "right would be"]),
        (&["attach", &at("notes.txt"), "--to", "haul:1"], &["notes.txt", "right would be"]),
        (&["attach", &at("receipt.pdf"), "--to", "find:1"], &["receipt.pdf", "right would be a JPEG"]),
        (&["attach", &at("none.jpg"), "--to", "find:1"], &["none.jpg", "can't be read", "right would be"]),
        (&["attach", &at(""), "--to", "find:1"], &["can't be read", "right would be"]),
        (
            &["attach", &cup, &at("cup.heic"), &at("empty.jpg"), "--to", "find:1"],
            &["cup.heic", "empty.jpg", "nothing was attached"],
        ),
        (&["attach", &cup, "--to", "haul:9"], &["--to", "there is no haul 9"]),
        (&["attach", &cup, "--to", "claim:1"], &["--to", "there is no claim 1"]),
        (&["attach", &cup, "--to", "order:1"], &["--to", "there is no order 1"]),
        (&["attach", &cup, "--to", "piece:1:99"], &["--to", "99"]),
        (&["attach", &cup, "--to", "piece:1:0"], &["--to", "0"]),
        (&["attach", &cup, "--to", "shelf:1"], &["--to", "right would be haul:3"]),
        (&["attach", &cup, "--to", "haul:1", "--as", "letter"], &["receipt", "evidence"]),
        (&["attach", &cup], &["--to"]),
        (&["attach", "--to", "haul:1"], &["FILE"]),
        (&["attach", "--list", &cup], &["--list"]),
        (&["attach", "--remove", "7"], &["--remove", "there is no attachment 7"]),
    ];
    for (args, words) in cases {
        let said = till.refuses(args);
        for word in *words {
            assert!(said.contains(word), "{args:?}: {word}: {said}");
        }
    }
    assert!(says(&till, &["attach", "--list"]).contains("Nothing attached"));
    assert_eq!(kept(&till, SHOP), Vec::<String>::new());
}

#[test]
fn a_removed_attachment_leaves_a_loose_file_that_is_named_and_cleared() {
    let till = till();
    says(&till, &["attach", &till.at("cup.jpg"), "--to", "find:1"]);
    assert!(says(&till, &["shop", "check"]).contains("1 file beside it"));
    assert!(says(&till, &["attach", "--remove", "1"]).contains("clear-files"));
    let said = says(&till, &["shop", "check"]);
    assert!(said.contains("Sound") && said.contains("2 files that no attachment speaks of"), "{said}");
    for name in kept(&till, SHOP) {
        assert!(said.contains(&name), "{name}: {said}");
    }
    assert!(says(&till, &["shop", "clear-files"]).contains("Removed 2 files"));
    assert_eq!(kept(&till, SHOP), Vec::<String>::new());
    assert!(says(&till, &["shop", "clear-files"]).contains("Nothing to clear"));
}

#[test]
fn a_missing_file_is_found_by_the_check_and_comes_back_with_the_backup() {
    let till = till();
    says(&till, &["attach", &till.at("cup.jpg"), &till.at("receipt.pdf"), "--to", "haul:1"]);
    let said = says(&till, &["shop", "back-up", &till.at("copy.lotwright")]);
    assert!(said.contains("2 files beside it") && said.contains("copy.lotwright.files"), "{said}");
    assert_eq!(kept(&till, "copy.lotwright"), kept(&till, SHOP));
    for name in kept(&till, SHOP) {
        std::fs::remove_file(till.path(&format!("{SHOP}.files/{name}"))).unwrap();
    }
    let output = till.run(&["shop", "check"]);
    let error = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        error.contains("attachment 1 isn't there") && error.contains("attachment 2 isn't there"),
        "{error}"
    );
    let said = says(&till, &["shop", "back-up", &till.at("poor.lotwright")]);
    assert!(said.contains("Without the files of attachments 1, 2"), "{said}");
    let said = says(&till, &["shop", "restore", &till.at("copy.lotwright")]);
    assert!(said.contains("2 files with it"), "{said}");
    assert!(says(&till, &["shop", "check"]).contains("2 files beside it"));
}

#[test]
fn an_erased_demo_shop_leaves_no_files() {
    let till = till();
    till.says(&["demo"]);
    says(&till, &["attach", &till.at("cup.jpg"), "--to", "find:1", "--demo"]);
    assert_eq!(kept(&till, "lotwright/demo.lotwright").len(), 2);
    till.says(&["demo", "--erase"]);
    assert!(!till.path("lotwright/demo.lotwright.files").exists());
}
