//! Rules that hold in the database itself, whoever writes to it, and what the door says before it comes to that.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::civil::date;
use measure::Length;
use rusqlite::Connection;
use shop::*;

/// A file in which everything has happened, opened without the door.
fn behind_the_door() -> (tempfile::TempDir, Connection) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("trade.shop");
    story(&mut Shop::create(&path).unwrap());
    let conn = Connection::open(&path).unwrap();
    conn.pragma_update(None, "foreign_keys", true).unwrap();
    (folder, conn)
}

#[track_caller]
fn refused(conn: &Connection, sql: &str, why: &str) {
    let error = conn.execute_batch(sql).unwrap_err().to_string();
    assert!(error.contains(why), "{sql}: {error}");
    let _ = conn.execute_batch("ROLLBACK");
}

#[test]
fn the_database_itself_refuses_what_must_never_be() {
    let (_folder, conn) = behind_the_door();
    for (sql, why) in [
        ("UPDATE listing SET reserved = lots + 1", "never more than were listed"),
        ("UPDATE listing SET lots = 0", "never more than were listed"),
        ("UPDATE listing SET sold = -1", "never below 0"),
        ("UPDATE supply SET on_hand = -1", "never below 0"),
        ("UPDATE supply SET reserved = on_hand + 1", "never more reserved than on hand"),
        ("UPDATE piece SET fate = 'sold' WHERE fate = 'on hand'", "sold with an order"),
        ("UPDATE piece SET reserved_for = 1 WHERE fate = 'sold'", "only one on hand can be reserved"),
        ("UPDATE piece SET moved = 0", "stays so marked"),
        ("DELETE FROM piece", "is kept"),
        ("UPDATE haul SET paid = paid + 1", "the basis is frozen"),
        ("UPDATE find SET basis = basis + 1", "the basis is frozen"),
        ("UPDATE find SET sound = 99", "the basis is frozen"),
        ("UPDATE event SET at = '2026-01-01T00:00:00Z'", "never changed"),
        ("DELETE FROM event", "never deleted"),
        ("UPDATE entry SET date = '2026-01-01'", "never changed"),
        ("DELETE FROM entry", "never deleted"),
        ("UPDATE entry_line SET cents = 1", "never changed"),
        ("INSERT INTO entry_line VALUES (1, 9, 'cash', 'debit', 5, NULL, NULL)", "takes no more lines"),
        (
            "BEGIN; INSERT INTO entry_line VALUES (999, 1, 'cash', 'debit', 5, NULL, NULL);
             INSERT INTO entry (id, event, date, kind) VALUES (999, 1, '2026-01-01', 'fee'); COMMIT",
            "must be equal",
        ),
        (
            "BEGIN; INSERT INTO entry_line VALUES (999, 1, 'cash', 'debit', 5, NULL, NULL); COMMIT",
            "FOREIGN KEY",
        ),
        ("UPDATE buyer_order SET state = 'open', sent_on = NULL WHERE state = 'sent'", "stays so"),
        ("UPDATE haul SET note = 5.5, miles_hundredths = 'far'", "cannot store TEXT"),
        ("UPDATE comp SET date = '2026-02-30'", "comp date"),
        ("UPDATE attachment SET name = '../secrets'", "relative"),
        ("UPDATE attachment SET name = '/etc/x'", "relative"),
        ("UPDATE attachment SET name = 'a\\b'", "relative"),
        ("UPDATE attachment SET sha256 = upper(sha256)", "64 digits"),
        ("UPDATE measurement SET milligrams = 1, micrometres = 1", "and not both"),
        ("INSERT INTO comp (find, typed, date) VALUES (777, 'x', '2026-01-01')", "FOREIGN KEY"),
    ] {
        refused(&conn, sql, why);
    }
}

#[test]
fn messages_name_the_field_and_what_is_right() {
    let (mut shop, bought, _) = shop();
    let comp = Comp { find: bought.finds[0], typed: " ".to_owned(), date: BOUGHT };
    let error = shop.note(&at(), &comp).unwrap_err().to_string();
    assert_eq!(error, "nothing was stored: comp: must not be empty");
    let comp = Comp { find: FindId(99), typed: "x".to_owned(), date: BOUGHT };
    assert!(shop.note(&at(), &comp).unwrap_err().to_string().contains("refers to isn't there"));
    let venue = Venue { name: "market".to_owned(), terms: serde_json::json!({}) };
    shop.note(&at(), &venue).unwrap();
    let error = shop.note(&at(), &venue).unwrap_err().to_string();
    assert_eq!(
        error,
        "nothing was stored: there is one with the same venue name already; right would be another"
    );
    let unwritten = Venue { name: "fair".to_owned(), terms: serde_json::Value::Null };
    assert!(shop.note(&at(), &unwritten).unwrap_err().to_string().contains("venue terms must be given"));
    for size in [f64::NAN, f64::INFINITY, 1e300, -5.0, 0.0] {
        let size = Some(Length::from_mm(size));
        let (kind, position) = ("chip".to_owned(), String::new());
        let flaw = Flaw { find: bought.finds[0], piece: None, kind, position, size };
        let error = shop.note(&at(), &flaw).unwrap_err();
        assert!(matches!(error, ShopError::Unwritable { .. } | ShopError::Refused { .. }), "{error}");
    }
    let none = Tuning {
        form: String::new(),
        recipe: String::new(),
        what: "x".to_owned(),
        unit: String::new(),
        predicted: f64::NAN,
        actual: 1.0,
        date: BOUGHT,
    };
    assert!(matches!(shop.note(&at(), &none), Err(ShopError::Unwritable { .. })));
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

#[test]
fn a_plain_record_belongs_to_something_that_is_there() {
    #[derive(serde::Serialize, serde::Deserialize)]
    struct Forged {
        state: String,
    }
    impl Noted for Forged {
        const RECORD: Record = Record::Order;
    }
    let (mut shop, bought, listed) = shop();
    shop.take_order(&at(), &order(listed, 1)).unwrap();
    let before = shop.export_json().unwrap();
    let forged = Forged { state: "sent".to_owned() };
    assert!(matches!(shop.amend(&at(), 1, &forged), Err(ShopError::Unwritable { .. })));
    let file = |number, name: &str| Attachment {
        record: Record::Order,
        number,
        piece: None,
        role: AttachmentRole::Photo,
        name: name.to_owned(),
        sha256: "ab".repeat(32),
    };
    assert!(matches!(shop.note(&at(), &file(9, "a.jpg")), Err(ShopError::Missing { .. })));
    assert!(matches!(shop.note(&at(), &file(1, "a/../../b.jpg")), Err(ShopError::Refused { .. })));
    let flaw = |piece| Flaw {
        find: bought.finds[0],
        piece,
        kind: "chip".to_owned(),
        position: String::new(),
        size: None,
    };
    assert!(matches!(shop.note(&at(), &flaw(Some(15))), Err(ShopError::Books(BooksError::NoPiece { .. }))));
    assert_eq!(shop.export_json().unwrap(), before);
    shop.note(&at(), &flaw(Some(14))).unwrap();
    shop.note(&at(), &file(1, "photos/..a.jpg")).unwrap();
}

#[test]
fn what_has_a_number_elsewhere_is_stored_once() {
    let (mut shop, ..) = shop();
    let put_in = moved(BOUGHT, Purse::Cash, Movement::OwnerPutIn { amount: cents(100) });
    let stamp = at().imported("bank", "row 7");
    shop.move_money(&stamp, &put_in).unwrap();
    let entries = shop.books().unwrap().entries().len();
    let error = shop.move_money(&stamp, &put_in).unwrap_err();
    assert!(matches!(error, ShopError::Twice { event: 3, .. }), "{error:?}");
    assert_eq!(shop.books().unwrap().entries().len(), entries);
    shop.move_money(&at().imported("till", "row 7"), &put_in).unwrap();
}

#[test]
fn a_basis_that_is_frozen_is_never_split_anew() {
    let (mut shop, bought, listed) = shop();
    let sold = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let promised = shop.amend_haul(&at(), bought.haul, BOUGHT, &haul()).unwrap_err();
    assert!(matches!(promised, ShopError::State { .. }), "{promised}");
    shop.ship_order(&at(), &shipped(sold, vec![])).unwrap();
    let frozen = shop.amend_haul(&at(), bought.haul, BOUGHT, &haul()).unwrap_err();
    assert!(matches!(frozen, ShopError::Books(BooksError::Frozen { .. })), "{frozen}");
}

#[test]
fn a_listing_never_offers_more_than_is_on_hand_and_free() {
    let (mut shop, bought, listed) = shop();
    let error = shop.list(&at(), &listing(&bought, 3)).unwrap_err();
    assert!(matches!(error, ShopError::TooFewPieces { wanted: 12, left: 11, .. }), "{error:?}");
    // Two listings may offer the same pieces; only one of them can sell them.
    let second = shop.list(&at(), &listing(&bought, 2)).unwrap();
    shop.take_order(&at(), &order(listed, 2)).unwrap();
    let error = shop.take_order(&at(), &order(second, 1)).unwrap_err();
    assert!(matches!(error, ShopError::TooFewPieces { wanted: 4, left: 3, .. }), "{error:?}");
    assert!(shop.check().unwrap().is_sound());
    let fewer = shop.relist(&at(), listed, &listing(&bought, 1)).unwrap_err();
    assert!(fewer.to_string().contains("never more than were listed"), "{fewer}");
    let mut other = listing(&bought, 2);
    other.parts[0].pieces = 3;
    assert!(matches!(shop.relist(&at(), listed, &other), Err(ShopError::State { .. })));
}

#[test]
fn nonsense_of_any_size_is_refused_and_stores_nothing() {
    let (mut shop, bought, listed) = shop();
    let before = shop.export_json().unwrap();
    let mut lots = order(listed, 1);
    for (count, item) in [(0, 100), (u32::MAX, 100), (1, -1), (1, i64::MAX)] {
        lots.lines[0] = OrderLine { listing: listed, lots: count, item: cents(item) };
        assert!(shop.take_order(&at(), &lots).is_err(), "{count} lots for {item}");
    }
    lots.lines.clear();
    assert!(matches!(shop.take_order(&at(), &lots), Err(ShopError::Wrong { field: "lines", .. })));
    assert!(shop.take_order(&at(), &order(LotId(u64::MAX), 1)).is_err());
    for cents_paid in [-1, i64::MIN, i64::MAX] {
        assert!(shop.buy(&at(), &HaulIn { paid: cents(cents_paid), ..haul() }).is_err());
    }
    let mut listing = listing(&bought, u32::MAX);
    assert!(shop.list(&at(), &listing).is_err());
    listing.parts.push(listing.parts[0]);
    assert!(shop.list(&at(), &listing).is_err());
    listing.parts.clear();
    assert!(shop.list(&at(), &listing).is_err());
    assert!(shop.ship_order(&at(), &shipped(OrderId(5), vec![])).is_err());
    let left = FromShelf {
        find: bought.finds[0],
        pieces: vec![0, u32::MAX],
        date: BOUGHT,
        how: Leaving::Broken,
        note: String::new(),
    };
    assert!(shop.leave_shelf(&at(), &left).is_err());
    let early = FromShelf { pieces: vec![1], date: date(2025, 1, 1), ..left };
    assert!(shop.leave_shelf(&at(), &early).is_err());
    assert!(shop.amend::<Place>(&at(), 9, &Place { name: "x".to_owned(), note: String::new() }).is_err());
    assert_eq!(shop.export_json().unwrap(), before);
}
