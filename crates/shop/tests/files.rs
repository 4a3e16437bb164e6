//! Receipts, photos and evidence beside the shop file: stored before they are noted, checked, copied and put back.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use desk::*;
use papers::{Kind, Paper, Role, sha256};
use shop::*;

/// A WebP of one pixel.
const PIXEL: &[u8] = &[
    0x52, 0x49, 0x46, 0x46, 0x22, 0x00, 0x00, 0x00, 0x57, 0x45, 0x42, 0x50, 0x56, 0x50, 0x38, 0x20, 0x16,
    0x00, 0x00, 0x00, 0x30, 0x01, 0x00, 0x9d, 0x01, 0x2a, 0x01, 0x00, 0x01, 0x00, 0x0e, 0xc0, 0xfe, 0x25,
    0xa4, 0x00, 0x03, 0x70, 0x00, 0x00, 0x00, 0x00,
];

fn pdf(text: &str) -> Paper {
    Paper::read(format!("%PDF-1.4\n{text}\n%%EOF").as_bytes(), Role::Receipt).unwrap()
}

fn photo() -> Paper {
    Paper::read(PIXEL, Role::Photo).unwrap()
}

fn about(record: Record, number: u64) -> About {
    About::Record { record, number }
}

fn piece(bought: &BoughtHaul, number: u32) -> About {
    About::Piece(PieceRef { find: bought.finds[0], number })
}

/// A shop on a disk with the haul in it.
fn stocked(path: &Path) -> (Shop, BoughtHaul) {
    let mut shop = Shop::create(path).unwrap();
    let (bought, _) = stock_up(&mut shop);
    (shop, bought)
}

fn names(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<_> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn is_sound(shop: &Shop) {
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    assert_eq!(shop.kept_files().unwrap().flawed, []);
}

#[test]
fn what_is_attached_lies_under_its_hash_and_is_handed_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    let haul = about(Record::Haul, bought.haul.0);
    assert_eq!(shop.attach(&at(), haul, &[pdf("tag"), photo()]).unwrap(), [1, 2]);
    let files = files_folder(&path);
    assert_eq!(files, folder.path().join("trade.shop.files"));
    assert_eq!(names(&files).len(), 3, "two files and one preview: {:?}", names(&files));
    for (number, one) in shop.attached_to(haul).unwrap() {
        let lying = fs::read(files.join(&one.name)).unwrap();
        assert_eq!(sha256(&lying), one.sha256);
        assert_eq!(shop.attached_file(number).unwrap().bytes, lying);
    }
    assert_eq!(shop.attached_file(1).unwrap().kind, Kind::Pdf);
    assert_eq!(
        shop.attached_file(2).unwrap(),
        AttachedFile { kind: Kind::Jpeg, bytes: photo().bytes().to_vec() }
    );
    assert_eq!(shop.attached_preview(1).unwrap(), None);
    assert_eq!(shop.attached_preview(2).unwrap().as_deref(), photo().preview());
    assert!(matches!(shop.attached_file(3), Err(ShopError::Missing { .. })));
    is_sound(&shop);
    assert_eq!(shop.kept_files().unwrap(), KeptFiles { sound: 2, ..KeptFiles::default() });
}

#[test]
fn the_same_file_is_one_file_and_about_the_same_one_attachment() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    let cups = about(Record::Find, bought.finds[0].0);
    assert_eq!(shop.attach(&at(), cups, &[photo(), photo()]).unwrap(), [1, 1]);
    assert_eq!(shop.attach(&at(), cups, &[photo()]).unwrap(), [1]);
    let evidence = Paper::read(PIXEL, Role::Evidence).unwrap();
    assert_eq!(shop.attach(&at(), cups, &[evidence]).unwrap(), [2], "in another role");
    assert_eq!(shop.attach(&at(), piece(&bought, 14), &[photo()]).unwrap(), [3], "of one piece");
    assert_eq!(shop.attach(&at(), piece(&bought, 13), &[photo()]).unwrap(), [4], "of another");
    assert_eq!(names(&files_folder(&path)).len(), 2, "the file and its preview");
    let numbers =
        |about| shop.attached_to(about).unwrap().iter().map(|(number, _)| *number).collect::<Vec<_>>();
    assert_eq!(numbers(cups), [1, 2]);
    assert_eq!(numbers(piece(&bought, 14)), [3]);
    is_sound(&shop);
}

#[test]
fn what_is_not_there_gets_no_files() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    let before = shop.export_json().unwrap();
    for wrong in [about(Record::Claim, 1), about(Record::Haul, 9), about(Record::Haul, u64::MAX)] {
        assert!(shop.attach(&at(), wrong, &[photo()]).is_err(), "{wrong:?}");
    }
    for number in [0, 15, u32::MAX] {
        let error = shop.attach(&at(), piece(&bought, number), &[photo()]).unwrap_err();
        assert!(error.to_string().contains("14"), "{error}");
    }
    assert_eq!(shop.export_json().unwrap(), before);
    assert_eq!(names(folder.path()).iter().filter(|name| name.ends_with(".files")).count(), 0);
    let mut in_memory = Shop::in_memory().unwrap();
    let (bought, _) = stock_up(&mut in_memory);
    let error = in_memory.attach(&at(), piece(&bought, 1), &[photo()]).unwrap_err();
    assert!(error.to_string().contains("right would be"), "{error}");
    assert_eq!(in_memory.kept_files().unwrap(), KeptFiles::default());
}

#[test]
fn the_piece_of_an_attachment_is_one_that_its_find_has() {
    let mut shop = Shop::in_memory().unwrap();
    let (bought, _) = stock_up(&mut shop);
    let note = |record, number, piece| Attachment {
        record,
        number,
        piece,
        role: AttachmentRole::Photo,
        name: "a.jpg".to_owned(),
        sha256: "ab".repeat(32),
    };
    let cups = bought.finds[0].0;
    for piece in [0, 15] {
        assert!(shop.note(&at(), &note(Record::Find, cups, Some(piece))).is_err(), "{piece}");
    }
    let of_a_haul = shop.note(&at(), &note(Record::Haul, bought.haul.0, Some(1)));
    assert!(of_a_haul.unwrap_err().to_string().contains("only of a find"));
    shop.note(&at(), &note(Record::Find, cups, Some(14))).unwrap();
}

#[test]
fn several_are_noted_together_or_not_at_all_and_what_stays_is_loose() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    let haul = about(Record::Haul, bought.haul.0);
    let before = shop.export_json().unwrap();
    // The second can't be noted, as the number of its source is taken by the first.
    let once = at().imported("phone", "7");
    let failed = shop.attach(&once, haul, &[photo(), pdf("tag")]);
    assert!(matches!(failed, Err(ShopError::Twice { .. })));
    assert_eq!(shop.export_json().unwrap(), before);
    is_sound(&shop);
    let kept = shop.kept_files().unwrap();
    assert_eq!((kept.sound, kept.loose.len()), (0, 3), "{kept:?}");
    // What stays is taken up again as it is.
    shop.attach(&at(), haul, &[photo()]).unwrap();
    fs::write(files_folder(&path).join("letter.txt"), "not ours").unwrap();
    let half = format!("{}.half", pdf("half").name());
    fs::write(files_folder(&path).join(&half), "%PDF-1").unwrap();
    let kept = shop.kept_files().unwrap();
    assert_eq!(kept.sound, 1);
    let mut loose = vec![pdf("tag").name().to_string(), half];
    loose.sort();
    assert_eq!(kept.loose, loose);
    assert_eq!(kept.foreign, ["letter.txt"]);
    assert_eq!(shop.clear_loose_files().unwrap(), loose);
    let kept = shop.kept_files().unwrap();
    assert_eq!((kept.sound, kept.flawed, kept.loose), (1, vec![], vec![]));
    assert_eq!(kept.foreign, ["letter.txt"], "what isn't ours is left alone");
}

#[test]
fn a_file_of_what_was_struck_out_is_loose_unless_another_speaks_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut shop, bought) = stocked(&folder.path().join("trade.shop"));
    shop.attach(&at(), piece(&bought, 1), &[photo()]).unwrap();
    shop.attach(&at(), piece(&bought, 2), &[photo()]).unwrap();
    shop.strike::<Attachment>(&at(), 1).unwrap();
    assert_eq!(shop.kept_files().unwrap().loose, Vec::<String>::new());
    shop.strike::<Attachment>(&at(), 2).unwrap();
    assert_eq!(shop.clear_loose_files().unwrap().len(), 2);
    assert_eq!(
        shop.attach(&at(), piece(&bought, 1), &[photo()]).unwrap(),
        [3],
        "a number is never given twice"
    );
    is_sound(&shop);
}

#[test]
fn a_file_that_is_gone_or_changed_is_told_never_handed_back_and_mended_by_attaching_it_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    let haul = about(Record::Haul, bought.haul.0);
    shop.attach(&at(), haul, &[photo(), pdf("tag")]).unwrap();
    let lying = |paper: &Paper| files_folder(&path).join(paper.name().to_string());
    fs::remove_file(lying(&photo())).unwrap();
    let mut bytes = pdf("tag").bytes().to_vec();
    bytes[10] ^= 1;
    fs::write(lying(&pdf("tag")), bytes).unwrap();
    let flawed: Vec<_> =
        shop.kept_files().unwrap().flawed.into_iter().map(|flaw| (flaw.attachment, flaw.wrong)).collect();
    assert_eq!(flawed, [(1, FileWrong::Missing), (2, FileWrong::Changed)]);
    for (number, words) in [(1, "attachment 1 isn't there"), (2, "other bytes than were stored")] {
        let error = shop.attached_file(number).unwrap_err().to_string();
        assert!(error.contains(words) && error.contains("put it back from a backup"), "{error}");
    }
    assert!(shop.check().unwrap().is_sound(), "the shop file itself is as it should be");
    assert_eq!(shop.attach(&at(), haul, &[photo(), pdf("tag")]).unwrap(), [1, 2]);
    is_sound(&shop);
    // Something else under the name of a file isn't taken for it.
    fs::remove_file(lying(&photo())).unwrap();
    fs::create_dir(lying(&photo())).unwrap();
    assert_eq!(shop.kept_files().unwrap().flawed[0].wrong, FileWrong::Changed);
}

#[test]
fn a_preview_that_is_gone_is_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    shop.attach(&at(), piece(&bought, 1), &[photo()]).unwrap();
    let preview = files_folder(&path).join(photo().name().of_preview());
    fs::remove_file(&preview).unwrap();
    assert_eq!(shop.kept_files().unwrap().flawed, [], "a preview is no record");
    let made = shop.attached_preview(1).unwrap().unwrap();
    assert!(made.starts_with(&[0xFF, 0xD8, 0xFF]));
    assert_eq!(fs::read(&preview).unwrap(), made, "and kept");
}

#[test]
fn a_name_that_was_noted_by_other_means_reaches_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    fs::write(folder.path().join("letter.txt"), "private").unwrap();
    fs::create_dir_all(files_folder(&path).join("sub")).unwrap();
    fs::write(files_folder(&path).join("sub/letter.jpg"), "private").unwrap();
    for name in ["sub/letter.jpg", "letter.txt", "a.jpg", photo().name().to_string().as_str()] {
        let noted = Attachment {
            record: Record::Haul,
            number: bought.haul.0,
            piece: None,
            role: AttachmentRole::Photo,
            name: name.to_owned(),
            sha256: sha256(b"private"),
        };
        let number = shop.note(&at(), &noted).unwrap();
        let error = shop.attached_file(number).unwrap_err();
        assert!(error.to_string().contains("names no file that was stored here"), "{error}");
        assert!(shop.attached_preview(number).is_err());
    }
    let flawed = shop.kept_files().unwrap().flawed;
    assert!(flawed.iter().all(|flaw| flaw.wrong == FileWrong::Misnamed) && flawed.len() == 4, "{flawed:?}");
}

#[test]
fn a_backup_takes_the_files_along_and_brings_them_back_under_any_name() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy, other) =
        (folder.path().join("trade.shop"), folder.path().join("copy.shop"), folder.path().join("other.shop"));
    let (mut shop, bought) = stocked(&path);
    let haul = about(Record::Haul, bought.haul.0);
    shop.attach(&at(), haul, &[photo(), pdf("tag")]).unwrap();
    shop.attach(&at(), piece(&bought, 1), &[photo()]).unwrap();
    assert_eq!(shop.back_up(&copy).unwrap(), BackedUp { files: 2, without: vec![] });
    assert!(matches!(shop.back_up(&copy), Err(ShopError::File { .. })));
    is_sound(&Shop::open(&copy, now()).unwrap());
    assert_eq!(
        names(&files_folder(&copy)),
        names(&files_folder(&path)),
        "with the preview, and nothing half"
    );
    let (restored, aside) = Shop::restore(&copy, &other, now()).unwrap();
    assert_eq!(aside, None);
    is_sound(&restored);
    assert_eq!(restored.kept_files().unwrap().sound, 2);
    assert!(names(folder.path()).iter().all(|name| !name.contains("half")), "{:?}", names(folder.path()));
}

#[test]
fn what_was_there_before_a_restore_keeps_its_files() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("trade.shop"), folder.path().join("copy.shop"));
    let (mut shop, bought) = stocked(&path);
    let haul = about(Record::Haul, bought.haul.0);
    shop.attach(&at(), haul, &[photo()]).unwrap();
    shop.back_up(&copy).unwrap();
    shop.attach(&at(), haul, &[pdf("later")]).unwrap();
    drop(shop);
    // Spoilt here and sound in the backup.
    fs::write(files_folder(&path).join(photo().name().to_string()), "spoilt").unwrap();
    let (mut restored, aside) = Shop::restore(&copy, &path, now()).unwrap();
    is_sound(&restored);
    assert_eq!(restored.clear_loose_files().unwrap(), [pdf("later").name().to_string()]);
    is_sound(&restored);
    let before = Shop::open(aside.unwrap(), now()).unwrap();
    assert_eq!(before.attached_file(2).unwrap().bytes, pdf("later").bytes());
}

#[test]
fn a_backup_is_made_without_a_file_that_is_lost_and_says_so_and_a_restore_finds_what_is_still_here() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("trade.shop"), folder.path().join("copy.shop"));
    let (mut shop, bought) = stocked(&path);
    let haul = about(Record::Haul, bought.haul.0);
    shop.attach(&at(), haul, &[pdf("one"), pdf("two"), pdf("three")]).unwrap();
    let lying = |shop: &Path, paper: &Paper| files_folder(shop).join(paper.name().to_string());
    fs::remove_file(lying(&path, &pdf("two"))).unwrap();
    fs::write(lying(&path, &pdf("three")), "spoilt").unwrap();
    assert_eq!(shop.back_up(&copy).unwrap(), BackedUp { files: 1, without: vec![2, 3] });
    assert_eq!(names(&files_folder(&copy)), [pdf("one").name().to_string()]);
    drop(shop);
    fs::remove_dir_all(files_folder(&copy)).unwrap();
    let (restored, _) = Shop::restore(&copy, &path, now()).unwrap();
    let kept = restored.kept_files().unwrap();
    assert_eq!((kept.sound, kept.flawed.len()), (1, 2));
}

#[test]
fn a_backup_that_is_refused_leaves_nothing_half() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("trade.shop"), folder.path().join("copy.shop"));
    let (mut shop, bought) = stocked(&path);
    shop.attach(&at(), piece(&bought, 1), &[photo()]).unwrap();
    fs::write(files_folder(&copy), "in the way").unwrap();
    assert!(matches!(shop.back_up(&copy), Err(ShopError::File { .. })));
    assert!(!copy.exists());
    fs::remove_file(files_folder(&copy)).unwrap();
    // What a backup that was killed has left is no hindrance.
    fs::write(folder.path().join("copy.shop.half"), "half").unwrap();
    shop.back_up(&copy).unwrap();
    is_sound(&Shop::open(&copy, now()).unwrap());
}

#[test]
fn the_files_of_an_erased_shop_go_and_what_is_not_ours_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    shop.attach(&at(), piece(&bought, 1), &[photo()]).unwrap();
    fs::write(files_folder(&path).join("letter.txt"), "not ours").unwrap();
    erase_files(&path).unwrap();
    assert_eq!(names(&files_folder(&path)), ["letter.txt"]);
    fs::remove_file(files_folder(&path).join("letter.txt")).unwrap();
    erase_files(&path).unwrap();
    assert!(!files_folder(&path).exists());
    erase_files(&path).unwrap();
}

#[test]
fn clearing_never_takes_a_file_that_is_just_being_attached() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (mut shop, bought) = stocked(&path);
    let haul = about(Record::Haul, bought.haul.0);
    let mut other = Shop::open(&path, now()).unwrap();
    std::thread::scope(|scope| {
        let attaching = scope.spawn(|| {
            for number in 0..40 {
                shop.attach(&at(), haul, &[pdf(&number.to_string())]).unwrap();
            }
        });
        while !attaching.is_finished() {
            other.clear_loose_files().unwrap();
            // Long enough for the other to have its turn.
            std::thread::sleep(std::time::Duration::from_millis(2));
        }
    });
    is_sound(&shop);
    assert_eq!(shop.kept_files().unwrap().sound, 40);
}

/// Where the program that is to be killed finds the shop file.
const TO_BE_KILLED: &str = "SHOP_OF_A_PROGRAM_TO_BE_KILLED";

/// What it attaches at most, in pairs, should nobody kill it.
const MOST_ATTACHED: usize = 400;

/// Run by the test below as a program of its own.
#[test]
#[ignore = "a part of the test below, which kills it"]
fn attach_until_killed() {
    let Ok(path) = std::env::var(TO_BE_KILLED) else { return };
    let mut shop = Shop::open(&path, now()).unwrap();
    let already = shop.noted::<Attachment>().unwrap().len();
    for number in already..already + MOST_ATTACHED {
        shop.attach(
            &at(),
            about(Record::Haul, 1),
            &[pdf(&number.to_string()), pdf(&format!("{number} too"))],
        )
        .unwrap();
    }
}

#[test]
fn a_program_killed_at_any_moment_leaves_a_sound_shop_with_all_its_files() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let (shop, _) = stocked(&path);
    drop(shop);
    let mut noted = 0;
    for round in 1..=8 {
        let mut program = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "attach_until_killed", "--ignored"])
            .env(TO_BE_KILLED, &path)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // A different count each time, so that it ends at different places of its work.
        let before = names(&files_folder(&path)).len();
        while names(&files_folder(&path)).len() < before + 3 * round {
            assert!(program.try_wait().unwrap().is_none(), "it ended by itself");
            std::thread::yield_now();
        }
        program.kill().unwrap();
        program.wait().unwrap();
        let mut shop = Shop::open(&path, now()).unwrap();
        is_sound(&shop);
        let now = shop.noted::<Attachment>().unwrap().len();
        assert!(now > noted && now.is_multiple_of(2), "pairs are noted together");
        noted = now;
        shop.clear_loose_files().unwrap();
        is_sound(&shop);
        assert_eq!(shop.kept_files().unwrap().sound, noted);
    }
}
