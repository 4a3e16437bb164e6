//! The file: made, opened, taken to the newest version, copied and put back.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use std::fs;
use std::path::Path;

use books::{By, Earned, OrderId};
use desk::*;
use jiff::civil::date;
use rusqlite::Connection;
use shop::*;

fn pragma(path: &Path, name: &str, value: i64) {
    Connection::open(path).unwrap().pragma_update(None, name, value).unwrap();
}

/// What lies in a folder, without what the database keeps beside an open file.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<_> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.retain(|name| !name.ends_with("-wal") && !name.ends_with("-shm"));
    names.sort();
    names
}

#[test]
fn a_file_is_made_once_and_opened_where_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    assert!(matches!(Shop::open(&path, now()), Err(ShopError::File { .. })));
    Shop::create(&path).unwrap();
    assert!(matches!(Shop::create(&path), Err(ShopError::File { .. })));
    Shop::open(&path, now()).unwrap();
    assert_eq!(names(folder.path()), ["trade.shop"], "no copy is made of a file of the newest version");
}

#[test]
fn a_file_of_a_newer_version_or_of_another_program_is_refused_and_unchanged() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    Shop::create(&path).unwrap();
    pragma(&path, "user_version", VERSION + 1);
    let before = fs::read(&path).unwrap();
    let error = Shop::open(&path, now()).unwrap_err();
    assert!(
        matches!(error, ShopError::Newer { found, known, .. } if found == VERSION + 1 && known == VERSION)
    );
    assert!(error.to_string().contains("use the newer program"), "{error}");
    assert_eq!(fs::read(&path).unwrap(), before);
    pragma(&path, "user_version", VERSION);
    pragma(&path, "application_id", 7);
    assert!(matches!(Shop::open(&path, now()), Err(ShopError::NotAShop { .. })));
    let text = folder.path().join("letter.txt");
    fs::write(&text, "Dear buyer, ".repeat(200)).unwrap();
    assert!(matches!(Shop::open(&text, now()), Err(ShopError::NotAShop { .. })));
    fs::write(&text, "").unwrap();
    assert!(matches!(Shop::open(&text, now()), Err(ShopError::NotAShop { .. })));
}

#[test]
fn a_file_of_version_1_is_copied_taken_to_the_newest_and_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version_1.shop"), &path).unwrap();
    let mut shop = Shop::open(&path, now()).unwrap();
    assert_eq!(names(folder.path())[1], "trade.shop.version-1-20260307T100000Z.backup");
    let copy = Connection::open(folder.path().join(&names(folder.path())[1])).unwrap();
    let version: i64 = copy.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    assert_eq!(version, 1);
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    let supplies = shop.noted::<Supply>().unwrap();
    assert_eq!(supplies.len(), 2);
    assert!(supplies.iter().all(|(_, one)| (one.lead_days, one.safety_days) == (LEAD_DAYS, SAFETY_DAYS)));
    // The same story told now leads to the same books.
    let mut again = Shop::in_memory().unwrap();
    story(&mut again);
    assert_eq!(shop.books().unwrap(), again.books().unwrap());
    drop(shop);
    let later = "2027-01-01T00:00:00Z".parse().unwrap();
    Shop::open(&path, later).unwrap();
    assert_eq!(names(folder.path()).len(), 2, "a file that is at the newest version isn't copied again");
}

#[test]
fn a_file_of_version_2_is_taken_to_the_newest() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version_1.shop"), &path).unwrap();
    Connection::open(&path).unwrap().execute_batch(include_str!("../src/schema/version_2.sql")).unwrap();
    pragma(&path, "user_version", 2);
    let shop = Shop::open(&path, now()).unwrap();
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

/// The file was written by the commands of that version, with each kind of event at least once.
#[test]
fn a_file_of_version_3_keeps_its_pieces_its_books_and_its_history() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version_3.shop"), &path).unwrap();
    let before = Connection::open(&path).unwrap();
    let count = |sql: &str| before.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap();
    assert_eq!(count("SELECT count(DISTINCT kind) FROM event"), 17, "each kind of event that there was");
    let mut shop = Shop::open(&path, now()).unwrap();
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
    let pull = shop.pull_list(OrderId(3)).unwrap();
    // Then the chip didn't count; now it would.
    assert_eq!(pull[1].pieces, [1, 4]);
    assert_eq!(pull[1].flaws, [(1, "chip on the rim".to_owned())]);
    let earned = shop.earned(By::Order, date(2026, 1, 1), date(2026, 12, 31)).unwrap();
    // The last is no order's: a broken goblet, a sixth of 2.15, and a saucer given away, an eleventh of 1.07.
    let net = [1300, 0, 3950, -46].map(cents);
    assert_eq!(earned.values().map(Earned::net).collect::<Vec<_>>(), net);
}

#[test]
fn a_file_that_cannot_be_copied_first_is_not_taken_to_another_version() {
    let folder = tempfile::tempdir().unwrap();
    // The copy's name would be longer than the 255 bytes that a file system takes.
    let path = folder.path().join("t".repeat(250));
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version_1.shop"), &path).unwrap();
    Shop::open(&path, now()).unwrap_err();
    let conn = Connection::open(&path).unwrap();
    let version: i64 = conn.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    assert_eq!(version, 1);
}

#[test]
fn a_copy_of_another_program_in_the_same_second_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version_1.shop"), &path).unwrap();
    let first = "trade.shop.version-1-20260307T100000Z.backup";
    fs::write(folder.path().join(first), "another's").unwrap();
    assert!(Shop::open(&path, now()).unwrap().check().unwrap().is_sound());
    assert_eq!(fs::read_to_string(folder.path().join(first)).unwrap(), "another's");
    assert!(folder.path().join("trade.shop.version-1-20260307T100000Z-2.backup").exists());
}

#[test]
fn a_copy_made_while_others_write_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = Shop::create(&path).unwrap();
    story(&mut shop);
    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE; UPDATE find SET shelf = 'half'").unwrap();
    let copy = folder.path().join("copy.shop");
    shop.back_up(&copy).unwrap();
    assert!(matches!(shop.back_up(&copy), Err(ShopError::File { .. })));
    other.execute_batch("COMMIT").unwrap();
    let copied = Shop::open(&copy, now()).unwrap();
    assert!(copied.check().unwrap().is_sound());
    assert_eq!(copied.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn a_backup_takes_the_place_of_the_file_and_what_was_there_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("trade.shop"), folder.path().join("copy.shop"));
    let mut shop = Shop::create(&path).unwrap();
    stock_up(&mut shop);
    shop.back_up(&copy).unwrap();
    let lost = Place { name: "barn".to_owned(), note: String::new() };
    shop.note(&at(), &lost).unwrap();
    assert!(matches!(Shop::restore(&copy, &path, now()), Err(ShopError::Busy)), "the file is in use");
    assert_eq!(names(folder.path()), ["copy.shop", "trade.shop"]);
    drop(shop);
    let (restored, aside) = Shop::restore(&copy, &path, now()).unwrap();
    assert_eq!(restored.noted::<Place>().unwrap(), []);
    let before = Shop::open(aside.unwrap(), now()).unwrap();
    assert_eq!(before.noted::<Place>().unwrap(), [(1, lost)]);
}

#[test]
fn a_backup_with_a_flaw_is_never_put_in_place() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("trade.shop"), folder.path().join("copy.shop"));
    let mut shop = Shop::create(&path).unwrap();
    story(&mut shop);
    shop.back_up(&copy).unwrap();
    drop(shop);
    Connection::open(&copy).unwrap().execute("UPDATE listing SET sold = sold - 1", []).unwrap();
    let before = fs::read(&path).unwrap();
    assert!(matches!(Shop::restore(&copy, &path, now()), Err(ShopError::Damaged { .. })));
    fs::write(&copy, "no database").unwrap();
    assert!(matches!(Shop::restore(&copy, &path, now()), Err(ShopError::NotAShop { .. })));
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(names(folder.path()), ["copy.shop", "trade.shop"]);
}

#[test]
fn a_backup_of_version_1_is_checked_and_then_taken_to_the_newest() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version_1.shop");
    let bytes = fs::read(&old).unwrap();
    let (mut shop, aside) = Shop::restore(&old, &path, now()).unwrap();
    assert_eq!(aside, None);
    assert!(!shop.books().unwrap().entries().is_empty());
    assert_eq!(fs::read(&old).unwrap(), bytes);
}

#[test]
fn a_glance_counts_what_is_there_and_changes_no_byte() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    let mut shop = Shop::create(&path).unwrap();
    let empty = Shop::glance(&path).unwrap();
    assert_eq!((empty.events, empty.last, empty.last_at), (0, EventId(0), None));
    assert!(empty.counts.iter().all(|(_, count)| *count == 0));
    shop.buy(&at(), &haul()).unwrap();
    let setting = Setting { name: "post.from".to_owned(), value: "45300".to_owned(), source: String::new() };
    shop.note(&at(), &setting).unwrap();
    // The one in use is looked at as it is, with what isn't folded into it yet.
    let seen = Shop::glance(&path).unwrap();
    assert_eq!((seen.version, seen.events, seen.last), (VERSION, 2, EventId(2)));
    assert_eq!(seen.last_at.as_deref(), Some("2026-03-07T10:00:00Z"));
    assert_eq!(seen.settings, [("post.from".to_owned(), "45300".to_owned())]);
    let of = |record: Record| seen.counts.iter().find(|(known, _)| *known == record).unwrap().1;
    assert_eq!((of(Record::Haul), of(Record::Find), of(Record::Order)), (1, 2, 0));
    drop(shop);
    let copy = folder.path().join("copy.shop");
    Shop::open(&path, now()).unwrap().back_up(&copy).unwrap();
    let before = fs::read(&copy).unwrap();
    assert_eq!(Shop::glance(&copy).unwrap().events, 2);
    assert_eq!(fs::read(&copy).unwrap(), before);
    assert_eq!(names(folder.path()), ["copy.shop", "trade.shop"]);
}

#[test]
fn a_glance_at_an_older_file_leaves_it_of_its_version() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("old.shop");
    fs::copy("tests/data/version_1.shop", &path).unwrap();
    let before = fs::read(&path).unwrap();
    assert_eq!(Shop::glance(&path).unwrap().version, 1);
    assert_eq!(fs::read(&path).unwrap(), before);
    pragma(&path, "user_version", VERSION + 1);
    assert!(matches!(Shop::glance(&path), Err(ShopError::Newer { .. })));
    fs::write(&path, "no shop").unwrap();
    assert!(matches!(Shop::glance(&path), Err(ShopError::NotAShop { .. })));
    assert!(matches!(Shop::glance(folder.path().join("none")), Err(ShopError::File { .. })));
}

#[test]
fn what_a_damaged_file_left_beside_it_is_not_taken_for_the_restored_one_s() {
    let folder = tempfile::tempdir().unwrap();
    let (first, path) = (folder.path().join("first.shop"), folder.path().join("trade.shop"));
    let backup = folder.path().join("backup.shop");
    let mut shop = Shop::create(&first).unwrap();
    shop.buy(&at(), &haul()).unwrap();
    shop.back_up(&backup).unwrap();
    // As after a power cut that spoilt the file: the last writes lie beside it, and the head isn't among them.
    Connection::open(&first).unwrap().execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
    shop.note(&at(), &Place { name: "hall".to_owned(), note: String::new() }).unwrap();
    let beside = |file: &Path| folder.path().join(format!("{}-wal", file.file_name().unwrap().display()));
    fs::copy(beside(&first), beside(&path)).unwrap();
    assert!(fs::metadata(beside(&path)).unwrap().len() > 0);
    fs::write(&path, "nothing that was a shop").unwrap();
    let (restored, aside) = Shop::restore(&backup, &path, now()).unwrap();
    assert!(restored.check().unwrap().is_sound());
    assert_eq!(restored.noted::<Place>().unwrap(), [], "the backup is from before that");
    let aside = aside.unwrap();
    assert_eq!(fs::read_to_string(&aside).unwrap(), "nothing that was a shop");
    assert!(beside(&aside).exists());
}
