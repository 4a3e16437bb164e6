//! Promises about the shop file, its copies, a year out of it, and the demo.

mod desk;

use std::fs;
use std::io::{Cursor, Read as _};
use std::path::{Path, PathBuf};

use books::FindId;
use calamine::{Data, Reader as _, Xlsx};
use desk::{DAY, bring_in, now, order, refused, shop, stamp};
use jiff::Timestamp;
use keeping::{
    Arriving, CopyOrigin, back_up_now, bundle, checkup, copies_folder, copies_of, copy_named, demo_of,
    erase_demo, fill_demo, happened, happened_in, must_be_demo, put_back, remove_copy, replacing,
    tables_zipped, year_book,
};
use shop::{EventId, FindText, Place, Shop};

/// A shop file with two finds, in a folder of its own.
fn kept() -> (tempfile::TempDir, PathBuf, Shop) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("trade.lotwright");
    let mut shop = Shop::create(&path).expect("a shop");
    bring_in(&mut shop, [(6, 0), (2, 0)]);
    (folder, path, shop)
}

fn later(seconds: i64) -> Timestamp {
    now() + jiff::SignedDuration::from_secs(seconds)
}

fn note(shop: &mut Shop, name: &str) {
    shop.note(&stamp(), &Place { name: name.to_owned(), note: String::new() }).expect("noted");
}

fn names(path: &Path) -> Vec<(String, CopyOrigin)> {
    copies_of(path).expect("read").into_iter().map(|copy| (copy.name, copy.origin)).collect()
}

#[test]
fn copies_are_listed_the_newest_first_with_where_they_come_from_and_nothing_else_is_one() {
    let (folder, path, shop) = kept();
    assert!(copies_of(&path).expect("read").is_empty());
    let (first, backed_up) = back_up_now(&shop, now()).expect("copied");
    assert_eq!(
        (first.origin, backed_up.files, first.made.map(|made| made.to_string())),
        (CopyOrigin::Backup, 0, Some(String::from("2026-11-20T09:00:00")))
    );
    back_up_now(&shop, later(5)).expect("copied");
    let beside = |name: &str| fs::copy(&first.path, folder.path().join(name)).expect("copied");
    beside("trade.lotwright.before-restore-20261120T090001Z");
    beside("trade.lotwright.version-1-20261120T090002Z.backup");
    beside("trade.lotwright.notes");
    beside("other.lotwright.before-restore-20261120T090001Z");
    let within = copies_folder(&path);
    for name in ["by hand.shop", "sent-20261120T090003Z.lotwright"] {
        fs::copy(&first.path, within.join(name)).expect("copied");
    }
    for name in ["x-wal", "x-shm", "x.half", "x.zip"] {
        fs::write(within.join(name), "x").expect("written");
    }
    fs::create_dir(within.join("a folder")).expect("made");
    assert_eq!(
        names(&path),
        [
            ("shop-20261120T090005Z.lotwright", CopyOrigin::Backup),
            ("sent-20261120T090003Z.lotwright", CopyOrigin::Sent),
            ("trade.lotwright.version-1-20261120T090002Z.backup", CopyOrigin::BeforeUpgrade),
            ("trade.lotwright.before-restore-20261120T090001Z", CopyOrigin::BeforeRestore),
            ("shop-20261120T090000Z.lotwright", CopyOrigin::Backup),
            ("by hand.shop", CopyOrigin::ByHand),
        ]
        .map(|(name, origin)| (name.to_owned(), origin))
    );
    for name in ["trade.lotwright", "../trade.lotwright", "x.zip", "", "trade.lotwright.notes"] {
        assert!(refused(copy_named(&path, name)).contains("right would be one of the list"), "{name}");
        refused(remove_copy(&path, name));
    }
    assert!(back_up_now(&shop, now()).is_err(), "one of that second is there, and is not written over");
    remove_copy(&path, "by hand.shop").expect("removed");
    assert_eq!(names(&path).len(), 5);
    assert!(path.exists());
}

fn sent(path: &Path, bytes: &[u8], at: i64) -> Result<keeping::Copy, keeping::Stop> {
    let mut arriving = Arriving::begin(path, &format!("k{at}"))?;
    for piece in bytes.chunks(1000) {
        arriving.take(piece)?;
    }
    arriving.finish(later(at))
}

#[test]
fn a_bundle_unpacks_to_the_copy_it_was_made_of_byte_for_byte() {
    let (_folder, path, shop) = kept();
    let (copy, _) = back_up_now(&shop, now()).expect("copied");
    let files = shop::files_folder(&copy.path);
    fs::create_dir(&files).expect("made");
    let name = format!("{}.pdf", "0f".repeat(32));
    fs::write(files.join(&name), "a receipt").expect("written");
    fs::write(files.join("hidden.txt"), "no file of ours").expect("written");
    let mut bytes = Vec::new();
    bundle(&copy, &mut bytes).expect("bundled");
    let again = sent(&path, &bytes, 1).expect("taken in");
    assert_eq!(fs::read(&again.path).expect("read"), fs::read(&copy.path).expect("read"));
    let unpacked = shop::files_folder(&again.path);
    assert_eq!(fs::read_to_string(unpacked.join(&name)).expect("read"), "a receipt");
    assert_eq!(fs::read_dir(&unpacked).expect("read").count(), 1);
    assert_eq!(again.origin, CopyOrigin::Sent);
}

/// A zip file of these names and contents.
fn zipped(members: &[(&str, &[u8])]) -> Vec<u8> {
    use std::io::Write as _;
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in members {
        zip.start_file(*name, zip::write::SimpleFileOptions::default()).expect("begun");
        zip.write_all(bytes).expect("written");
    }
    zip.finish().expect("whole").into_inner()
}

#[test]
fn what_is_sent_in_and_is_no_shop_leaves_nothing_and_no_name_in_it_leads_elsewhere() {
    let (folder, path, shop) = kept();
    let (copy, _) = back_up_now(&shop, now()).expect("copied");
    let sound = fs::read(&copy.path).expect("read");
    let before = names(&path);
    for (k, bytes) in [
        b"Dear buyer".to_vec(),
        Vec::new(),
        b"PK\x03\x04".to_vec(),
        zipped(&[]),
        zipped(&[("letter.txt", b"Dear buyer")]),
        zipped(&[("a.shop", &sound), ("b.shop", &sound)]),
        zipped(&[(&format!("shop.files/{}.pdf", "0f".repeat(32)), b"a receipt")]),
        sound[..sound.len() / 3].to_vec(),
    ]
    .into_iter()
    .enumerate()
    {
        let found = sent(&path, &bytes, 10 + k as i64);
        // A file that was cut off may only be found out when it is checked, before it takes any place.
        let why = match found {
            Ok(copy) => {
                let seen = replacing(&path, &copy).expect("a shop by its head").last();
                drop(Shop::open(&path, now()));
                let why = put_back(&path, &copy, seen, later(50)).expect_err("it isn't sound").to_string();
                remove_copy(&path, &copy.name).expect("removed");
                why
            }
            Err(why) => why.to_string(),
        };
        assert!(!why.is_empty() && !why.contains("sent-"), "{k}: {why}");
        assert_eq!(names(&path), before, "{k}");
        assert_eq!(fs::read_dir(copies_folder(&path)).expect("read").count(), 1, "{k}");
    }
    let good = format!("{}.pdf", "0f".repeat(32));
    let sly = zipped(&[
        ("../../own/shop.lotwright", &sound),
        ("x.files/../../../../escaped.pdf", b"out"),
        ("x.files/.hidden", b"out"),
        (&format!("x.files/{good}"), b"in"),
        ("x.files\\..\\escaped.pdf", b"out"),
    ]);
    // One member that is neither a file of a `.files` folder nor the one shop makes it several shops.
    let found = sent(&path, &sly, 30);
    assert!(found.is_err(), "{found:?}");
    let plain = zipped(&[
        ("deep/er/shop.lotwright", &sound),
        (&format!("deep/er/x.files/{good}"), b"in"),
        ("x.files/.hidden", b"out"),
    ]);
    let taken = sent(&path, &plain, 31).expect("taken in");
    let files: Vec<String> = fs::read_dir(shop::files_folder(&taken.path))
        .expect("read")
        .map(|entry| entry.expect("read").file_name().into_string().expect("a name"))
        .collect();
    assert_eq!(files, [good]);
    assert!(!folder.path().join("escaped.pdf").exists() && !folder.path().join("own").exists());
}

#[test]
fn an_arrival_that_is_broken_off_leaves_nothing() {
    let (_folder, path, _shop) = kept();
    let mut arriving = Arriving::begin(&path, "../k").expect("begun");
    arriving.take(b"half of").expect("taken");
    assert_eq!(fs::read_dir(copies_folder(&path)).expect("read").count(), 1);
    drop(arriving);
    assert_eq!(fs::read_dir(copies_folder(&path)).expect("read").count(), 0);
}

#[test]
fn a_copy_takes_the_place_of_the_file_only_as_it_was_seen_and_what_was_there_is_kept() {
    let (_folder, path, mut shop) = kept();
    let (copy, _) = back_up_now(&shop, now()).expect("copied");
    note(&mut shop, "barn");
    let found = replacing(&path, &copy).expect("looked at");
    let present = found.present.as_ref().expect("there").as_ref().expect("sound");
    assert_eq!((present.last.0 - found.copy.last.0, found.last()), (1, Some(present.last)));
    note(&mut shop, "hall");
    drop(shop);
    for seen in [found.last(), None, Some(EventId(0))] {
        assert!(refused(put_back(&path, &copy, seen, now())).contains("changed since"), "{seen:?}");
    }
    let seen = replacing(&path, &copy).expect("looked at").last();
    let aside = put_back(&path, &copy, seen, later(1)).expect("put back").expect("something was there");
    assert_eq!(Shop::open(&path, now()).expect("opened").noted::<Place>().expect("read").len(), 0);
    let aside_name = aside.file_name().expect("a name").to_string_lossy().into_owned();
    assert_eq!(copy_named(&path, &aside_name).expect("listed").origin, CopyOrigin::BeforeRestore);
    assert_eq!(Shop::open(&aside, now()).expect("opened").noted::<Place>().expect("read").len(), 2);
    // And back again by the same way.
    let copy = copy_named(&path, &aside_name).expect("listed");
    let seen = replacing(&path, &copy).expect("looked at").last();
    put_back(&path, &copy, seen, later(2)).expect("put back");
    assert_eq!(Shop::open(&path, now()).expect("opened").noted::<Place>().expect("read").len(), 2);
}

#[test]
fn a_file_in_other_hands_is_not_replaced() {
    let (_folder, path, shop) = kept();
    let (copy, _) = back_up_now(&shop, now()).expect("copied");
    let seen = replacing(&path, &copy).expect("looked at").last();
    let stopped = put_back(&path, &copy, seen, later(1)).expect_err("the shop is open");
    assert!(stopped.to_string().contains("another program"), "{stopped}");
    assert_eq!(names(&path).len(), 1, "nothing is left beside");
    assert!(shop.check().expect("read").is_sound());
}

#[test]
fn a_checkup_says_each_flaw_in_a_sentence() {
    let (_folder, path, shop) = kept();
    let sound = checkup(&shop).expect("looked over");
    assert!(sound.is_sound() && sound.flaws.is_empty());
    let other = rusqlite::Connection::open(&path).expect("opened");
    other.execute("UPDATE find SET shelf = 'Z9'", []).expect("tampered");
    let found = checkup(&shop).expect("looked over");
    assert_eq!(found.flaws, ["table find isn't what the events add up to"]);
}

#[test]
fn every_table_is_in_the_zip_as_the_export_has_it() {
    let (_folder, _, shop) = kept();
    let bytes = tables_zipped(&shop).expect("zipped");
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).expect("a zip file");
    let tables = shop.export_csv().expect("read");
    assert_eq!(zip.len(), tables.len());
    for (table, text) in tables {
        let mut found = String::new();
        zip.by_name(&format!("{table}.csv")).expect("there").read_to_string(&mut found).expect("read");
        assert_eq!(found, text, "{table}");
    }
}

#[test]
fn a_year_s_book_has_the_earned_figures_no_formula_and_the_same_bytes_each_time() {
    let mut shop = shop([(6, 0), (2, 0)]);
    let text = FindText { form: "diner_mug".into(), description: "=1+1".into(), shelf: "@B2".into() };
    shop.describe_find(&stamp(), FindId(1), &text).expect("described");
    order(&mut shop, 1);
    let bytes = year_book(&mut shop, 2026, DAY).expect("a book");
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes.clone())).expect("a spreadsheet");
    assert_eq!(book.sheet_names(), ["year", "months", "orders", "finds", "places", "stock"]);
    for name in book.sheet_names() {
        let formulas = book.worksheet_formula(&name).expect("read");
        assert!(formulas.cells().all(|(_, _, formula)| formula.is_empty()), "{name}");
    }
    let stock = book.worksheet_range("stock").expect("read");
    assert!(
        stock.rows().any(|row| row[0] == Data::String("=1+1".into()) && row[1] == Data::String("@B2".into()))
    );
    let months = book.worksheet_range("months").expect("read");
    let month = months.rows().find(|row| row[0] == Data::String("2026-11".into())).expect("November");
    let earned = shop.earned(books::By::Year, jiff::civil::date(2026, 1, 1), jiff::civil::date(2026, 12, 31));
    let earned = earned.expect("read").into_values().next().expect("a year");
    let figure = |at: usize| match month[at] {
        Data::Float(figure) => figure,
        ref other => panic!("{other:?}"),
    };
    assert!((figure(2) - earned.revenue().currency()).abs() < 1e-9);
    assert!((figure(10) - earned.net().currency()).abs() < 1e-9);
    assert_eq!(year_book(&mut shop, 2026, DAY).expect("a book"), bytes);
}

#[test]
fn a_demo_is_the_same_for_the_same_seed_says_what_it_is_and_is_sound() {
    let made = |seed| {
        let mut shop = Shop::in_memory().expect("a shop");
        let counted = fill_demo(&mut shop, seed, 2025).expect("filled");
        (shop, counted)
    };
    let ((one, counted), (same, _), (other, _)) = (made(7), made(7), made(8));
    assert_eq!(one.export_json().expect("read"), same.export_json().expect("read"));
    // The mark itself tells the seed: what was made up must differ too.
    let hauls = |shop: &Shop| shop.export_json().expect("read")["haul"].clone();
    assert_ne!(hauls(&one), hauls(&other));
    assert!(demo_of(&one).expect("read").is_some_and(|of| of.contains("2025") && of.contains("seed 7")));
    assert!(counted.hauls > 5 && counted.orders > 20, "{counted:?}");
    assert_eq!(one.orders().expect("read").len(), counted.orders as usize);
    assert!(checkup(&one).expect("looked over").is_sound());
    let events = one.log(None, None, u32::MAX).expect("read");
    assert!(events.iter().all(|row| !happened_in(row).contains('_') && !happened(&row.kind).is_empty()));
    assert!(events.iter().all(|row| row.at.starts_with("2025")));
}

#[test]
fn only_a_demo_is_erased_with_what_was_made_of_it() {
    let (folder, own, shop) = kept();
    back_up_now(&shop, now()).expect("copied");
    let why = refused(erase_demo(&own));
    assert!(why.contains("left alone") && own.exists(), "{why}");
    refused(must_be_demo(&folder.path().join("none")));
    fs::write(folder.path().join("letter"), "Dear buyer").expect("written");
    refused(erase_demo(&folder.path().join("letter")));
    let demo = folder.path().join("demo.lotwright");
    let mut made = Shop::in_memory().expect("a shop");
    fill_demo(&mut made, 1, 2025).expect("filled");
    made.back_up(&demo).expect("copied");
    let opened = Shop::open(&demo, now()).expect("opened");
    let (copy, _) = back_up_now(&opened, now()).expect("copied");
    // A real shop and a demo never take each other's place.
    let real = copies_of(&own).expect("read").remove(0);
    assert!(refused(replacing(&demo, &real)).contains("open your own shop first"));
    assert!(refused(replacing(&own, &copy)).contains("backup of a demo"));
    drop(opened);
    erase_demo(&demo).expect("erased");
    let left: Vec<String> = fs::read_dir(folder.path())
        .expect("read")
        .map(|entry| entry.expect("read").file_name().into_string().expect("a name"))
        .filter(|name| name.starts_with("demo"))
        .collect();
    assert_eq!(left, Vec::<String>::new());
    assert_eq!(copies_of(&own).expect("read").len(), 1);
}
