//! The shop file by its pages: backed up, looked over, carried away, sent in, put back; what happened; the demo
//! erased.

mod visitor;

use std::io::Read as _;

use axum::body::Body;
use axum::http::{StatusCode, header};
use shop::{Place, Shop, Stamp};
use visitor::{Answer, Visitor};

const EDGE: &str = "edge-of-a-part";

fn note(shop: &mut Shop, name: &str) -> u64 {
    let stamp = Stamp::at("2026-11-20T09:00:00Z".parse().expect("a moment"));
    shop.note(&stamp, &Place { name: name.to_owned(), note: String::new() }).expect("noted")
}

fn places(visitor: &Visitor) -> Vec<String> {
    let noted = visitor.shop().noted::<Place>().expect("read");
    noted.into_iter().map(|(_, place)| place.name).collect()
}

/// The value of a hidden field.
fn hidden(page: &str, name: &str) -> String {
    let field = format!("name=\"{name}\" value=\"");
    let value = page.split(&field).nth(1).and_then(|rest| rest.split('"').next());
    value.unwrap_or_else(|| panic!("no {name} in {page}")).to_owned()
}

async fn send(visitor: &Visitor, called: &str, bytes: &[u8]) -> Answer {
    let mut body =
        format!("--{EDGE}\r\ncontent-disposition: form-data; name=\"backup\"; filename=\"{called}\"\r\n\r\n")
            .into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(format!("\r\n--{EDGE}--\r\n").as_bytes());
    let request = visitor
        .request("POST", "/file/send")
        .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={EDGE}"))
        .body(Body::from(body))
        .expect("a request");
    visitor.send(request).await
}

/// Puts the copy that a page asks about in its place.
async fn put_back(visitor: &Visitor, ask: &str) -> Answer {
    let page = visitor.get(ask).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let form = [("once", hidden(&page.text, "once")), ("seen", hidden(&page.text, "seen"))];
    let form: Vec<(&str, &str)> = form.iter().map(|(name, value)| (*name, value.as_str())).collect();
    visitor.post(ask, &form).await
}

const BACKUP: &str = "shop-20261125T090000Z.lotwright";

fn backups(visitor: &Visitor) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(visitor.folder.path().join("own.shop.backups")) else {
        return Vec::new();
    };
    let mut names: Vec<String> =
        entries.map(|entry| entry.expect("read").file_name().into_string().expect("a name")).collect();
    names.sort();
    names
}

#[tokio::test]
async fn a_backup_is_made_while_in_use_listed_carried_away_sent_in_elsewhere_and_put_back() {
    let visitor = Visitor::begun().await;
    note(&mut visitor.shop(), "barn");
    let pdf = papers::Paper::read(b"%PDF-1.4\nbarn, 7.00\n%%EOF", papers::Role::Receipt).expect("a receipt");
    let haul =
        [("place", "barn"), ("paid", "5"), ("form-1", "diner mug"), ("count-1", "4"), ("worth-1", "30")];
    assert_eq!(visitor.post("/hauls/new", &haul).await.status, StatusCode::SEE_OTHER);
    let stamp = Stamp::at("2026-11-20T09:00:00Z".parse().expect("a moment"));
    let about = shop::About::Record { record: shop::Record::Haul, number: 1 };
    visitor.shop().attach(&stamp, about, &[pdf]).expect("attached");

    let made = visitor.post("/file/back-up", &[("once", "k1")]).await;
    assert_eq!(made.header("location"), "/file?done=backed-up", "{}", made.text);
    // Sent twice, it is made once.
    assert_eq!(visitor.post("/file/back-up", &[("once", "k1")]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(backups(&visitor), [BACKUP.to_owned(), format!("{BACKUP}.files")]);
    let page = visitor.get("/file").await.text;
    assert!(page.contains("2026-11-25 09:00") && page.contains("own.shop"), "{page}");

    let away = visitor.get(&format!("/file/backups/{BACKUP}")).await;
    assert_eq!(away.header("content-type"), "application/zip");
    assert!(away.header("content-disposition").contains("attachment"));
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(&away.bytes)).expect("a zip file");
    assert_eq!(zip.len(), 2, "the shop and its receipt");
    let mut receipt = String::new();
    zip.by_index(1).expect("there").read_to_string(&mut receipt).expect("read");
    assert!(receipt.contains("barn, 7.00"));

    // Another machine, where no shop was begun.
    let other = Visitor::inside().await;
    assert!(
        other.get("/file").await.text.contains("isn&#39;t there yet")
            || other.get("/file").await.text.contains("isn't there yet")
    );
    let sent = send(&other, "shop.zip", &away.bytes).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    let ask = sent.header("location").to_owned();
    assert!(!other.folder.path().join("own.shop").exists(), "nothing is put back before it is asked twice");
    assert_eq!(put_back(&other, &ask).await.header("location"), "/file?done=restored");
    assert_eq!(places(&other), ["barn"]);
    let kept = other.shop().kept_files().expect("read");
    assert_eq!((kept.sound, kept.flawed.len()), (1, 0));
    assert_eq!(other.get("/hauls/1").await.status, StatusCode::OK, "the server shows the restored shop");
}

#[tokio::test]
async fn what_is_replaced_is_told_first_and_kept_and_the_server_goes_on_with_the_restored_shop() {
    let visitor = Visitor::begun().await;
    note(&mut visitor.shop(), "barn");
    visitor.post("/file/back-up", &[]).await;
    let haul = [("place", "hall"), ("paid", "5"), ("form-1", "diner mug"), ("count-1", "4"), ("once", "h1")];
    assert_eq!(visitor.post("/hauls/new", &haul).await.header("location"), "/hauls/1");
    let ask = format!("/file/backups/{BACKUP}/restore");
    let page = visitor.get(&ask).await;
    assert!(page.text.contains("2 entries more than the backup"), "{}", page.text);
    assert!(page.text.contains("2026-11-25") && page.text.contains("2026-11-20"), "the last day of each");
    assert_eq!(places(&visitor), ["barn", "hall"], "a look changes nothing");
    let form = [("once", hidden(&page.text, "once")), ("seen", hidden(&page.text, "seen"))];
    let form: Vec<(&str, &str)> = form.iter().map(|(name, value)| (*name, value.as_str())).collect();
    assert_eq!(visitor.post(&ask, &form).await.header("location"), "/file?done=restored");
    assert_eq!(places(&visitor), ["barn"]);
    // Sent again, it is done once.
    assert_eq!(visitor.post(&ask, &form).await.header("location"), "/file?done=restored");
    assert_eq!(visitor.get("/hauls/1").await.status, StatusCode::NOT_FOUND);
    let aside = "own.shop.before-restore-20261125T090000Z";
    let before =
        Shop::open(visitor.folder.path().join(aside), "2026-11-25T09:00:00Z".parse().expect("a moment"))
            .expect("it is a whole shop");
    assert_eq!(before.noted::<Place>().expect("read").len(), 2);
    drop(before);
    let page = visitor.get("/file").await.text;
    assert!(page.contains("set aside before a restore") && page.contains(aside), "{page}");
    // A form that was stored in the shop that is gone is stored anew.
    assert_eq!(visitor.post("/hauls/new", &haul).await.header("location"), "/hauls/1");
    assert_eq!(visitor.get("/hauls/1").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_shop_that_changed_since_the_question_is_not_replaced() {
    let visitor = Visitor::begun().await;
    visitor.post("/file/back-up", &[]).await;
    let ask = format!("/file/backups/{BACKUP}/restore");
    let page = visitor.get(&ask).await.text;
    note(&mut visitor.shop(), "barn");
    let form = [("once", hidden(&page, "once")), ("seen", hidden(&page, "seen"))];
    let form: Vec<(&str, &str)> = form.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let refused = visitor.post(&ask, &form).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("changed since this page was drawn"), "{}", refused.text);
    assert!(refused.text.contains("1 entry more than the backup"), "the new counts are shown");
    assert_eq!(places(&visitor), ["barn"]);
}

#[tokio::test]
async fn what_is_no_shop_newer_or_damaged_is_refused_with_the_reason_and_nothing_of_it_stays() {
    let visitor = Visitor::begun().await;
    note(&mut visitor.shop(), "barn");
    let copy = visitor.folder.path().join("copy.shop");
    visitor.shop().back_up(&copy).expect("copied");
    let sound = std::fs::read(&copy).expect("read");
    let mut newer = sound.clone();
    // The version stands in four bytes from the 60th on (published: the SQLite file format, section 1.3).
    newer[60..64].copy_from_slice(&99_u32.to_be_bytes());
    for (called, bytes, reason) in [
        ("letter.txt", b"Dear buyer".as_slice(), "not a shop file"),
        ("newer.shop", &newer, "use the newer program"),
        ("half.zip", b"PK\x03\x04 and no more", "zip file can"),
        ("empty.shop", b"", "no file was chosen"),
    ] {
        let refused = send(&visitor, called, bytes).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{called}");
        assert!(refused.text.contains(reason), "{called}: {}", refused.text);
        assert!(refused.text.contains("id=\"backup-mistake\""), "beside its field");
        assert!(!refused.text.contains("sent-"), "where it lay for a moment is nobody's business");
        assert_eq!(backups(&visitor), Vec::<String>::new(), "{called}");
    }
    // One whose pages are spoilt is taken in, and found out before anything is replaced.
    let mut damaged = sound.clone();
    let middle = damaged.len() / 2;
    damaged[middle..middle + 8192].fill(0xA5);
    let sent = send(&visitor, "damaged.shop", &damaged).await;
    if sent.status == StatusCode::SEE_OTHER {
        let refused = put_back(&visitor, sent.header("location")).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        assert!(refused.text.contains("Nothing was replaced"), "{}", refused.text);
    } else {
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", sent.text);
    }
    assert_eq!(places(&visitor), ["barn"]);
    assert_eq!(visitor.get("/file/check").await.text.matches(">Sound<").count(), 1);
    assert!(send(&visitor, "copy.shop", &sound).await.header("location").contains("/restore"));
}

#[tokio::test]
async fn more_than_the_largest_backup_is_turned_away_before_it_is_read() {
    let visitor = Visitor::begun().await;
    let request = visitor
        .request("POST", "/file/send")
        .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={EDGE}"))
        .header(header::CONTENT_LENGTH, (2_u64 << 30).to_string())
        .body(Body::empty())
        .expect("a request");
    assert_eq!(visitor.send(request).await.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(backups(&visitor), Vec::<String>::new());
    let outside = Visitor::outside();
    assert_eq!(send(&outside, "copy.shop", b"x").await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn no_name_leads_out_of_the_list_of_backups() {
    let visitor = Visitor::begun().await;
    std::fs::write(visitor.folder.path().join("letter.txt"), "Dear buyer").expect("written");
    for name in ["letter.txt", "own.shop", "..%2Fletter.txt", "..%2Fown.shop", "%2Fetc%2Fpasswd", "nothing"] {
        for path in [format!("/file/backups/{name}"), format!("/file/backups/{name}/restore")] {
            assert_eq!(visitor.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let removed = visitor.post(&format!("/file/backups/{name}/remove"), &[]).await;
        assert_eq!(removed.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        let restored = visitor.post(&format!("/file/backups/{name}/restore"), &[("seen", "0")]).await;
        assert_eq!(restored.status, StatusCode::NOT_FOUND, "{name}");
    }
    assert!(
        visitor.folder.path().join("letter.txt").exists() && visitor.folder.path().join("own.shop").exists()
    );
}

#[tokio::test]
async fn a_backup_is_removed_with_its_files_when_that_is_asked_for() {
    let visitor = Visitor::begun().await;
    visitor.post("/file/back-up", &[]).await;
    let by_hand = visitor.folder.path().join("own.shop.backups/<b>old & grey<b>.shop");
    visitor.shop().back_up(&by_hand).expect("copied");
    let page = visitor.get("/file").await.text;
    assert!(page.contains("&lt;b&gt;old &amp; grey") && !page.contains("<b>old"), "{page}");
    for name in [BACKUP, "%3Cb%3Eold%20%26%20grey%3Cb%3E.shop"] {
        assert_eq!(visitor.get(&format!("/file/backups/{name}/restore")).await.status, StatusCode::OK);
        let removed = visitor.post(&format!("/file/backups/{name}/remove"), &[]).await;
        assert_eq!(removed.header("location"), "/file?done=removed#backups");
    }
    assert_eq!(backups(&visitor), Vec::<String>::new());
    assert_eq!(places(&visitor), Vec::<String>::new(), "the shop itself isn't touched");
}

#[tokio::test]
async fn a_look_over_says_what_is_wrong_in_words_and_a_damaged_file_can_still_be_replaced() {
    let visitor = Visitor::begun().await;
    let haul = [("place", "hall"), ("paid", "5"), ("form-1", "diner mug"), ("count-1", "4")];
    visitor.post("/hauls/new", &haul).await;
    visitor.post("/file/back-up", &[]).await;
    let sound = visitor.get("/file/check").await.text;
    assert!(sound.contains(">Sound<") && !sound.contains("Not sound"), "{sound}");
    // Like a program that writes past the events.
    let path = visitor.folder.path().join("own.shop");
    let other = rusqlite::Connection::open(&path).expect("opened");
    other.execute("UPDATE find SET description = 'other <cups>'", []).expect("tampered");
    let found = visitor.get("/file/check").await.text;
    assert!(found.contains("Not sound") && found.contains("table find isn"), "{found}");
    other.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").expect("folded");
    drop(other);
    std::fs::write(visitor.folder.path().join("own.shop.files"), "").expect("written");
    std::fs::remove_file(visitor.folder.path().join("own.shop.files")).expect("removed");

    // Started anew over a file that isn't a shop any more: every page says so, and this one helps.
    let Visitor { folder, .. } = visitor;
    std::fs::write(folder.path().join("own.shop"), "no shop any more").expect("written");
    let visitor = Visitor::over(folder).enter().await;
    assert_ne!(visitor.get("/hauls").await.status, StatusCode::OK);
    let page = visitor.get("/file").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(
        page.text.contains("can&#39;t be used now") || page.text.contains("can't be used now"),
        "{}",
        page.text
    );
    let restored = put_back(&visitor, &format!("/file/backups/{BACKUP}/restore")).await;
    assert_eq!(restored.header("location"), "/file?done=restored", "{}", restored.text);
    assert_eq!(visitor.get("/hauls/1").await.status, StatusCode::OK);
    assert!(visitor.get("/file/check").await.text.contains(">Sound<"));
}

#[tokio::test]
async fn a_demo_and_a_real_shop_never_take_each_other_s_place_and_only_the_demo_is_erased() {
    let visitor = Visitor::begun().await;
    note(&mut visitor.shop(), "barn");
    let own = visitor.folder.path().join("copy.shop");
    visitor.shop().back_up(&own).expect("copied");
    let own = std::fs::read(&own).expect("read");
    assert_eq!(visitor.get("/file/erase-demo").await.status, StatusCode::NOT_FOUND, "there is none");
    visitor.post("/begin/demo", &[]).await;
    let page = visitor.get("/file").await.text;
    assert!(page.contains("demo.shop") && page.contains("Demo shop, made up"));
    visitor.post("/file/back-up", &[]).await;
    let ask = send(&visitor, "copy.shop", &own).await.header("location").to_owned();
    let refused = visitor.get(&ask).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("open your own shop first"), "{}", refused.text);
    let demo = visitor.get(&format!("/file/backups/{BACKUP}")).await.bytes;
    visitor.post("/begin/own", &[]).await;
    let ask = send(&visitor, "demo.zip", &demo).await.header("location").to_owned();
    let refused = visitor.post(&ask, &[("seen", "1")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("backup of a demo"), "{}", refused.text);

    visitor.post("/begin/demo", &[]).await;
    assert!(visitor.folder.path().join("demo.shop").exists());
    let question = visitor.get("/file/erase-demo").await;
    assert_eq!(question.status, StatusCode::OK);
    assert!(visitor.folder.path().join("demo.shop").exists(), "a question changes nothing");
    for _ in 0..2 {
        assert_eq!(visitor.post("/file/erase-demo", &[]).await.header("location"), "/begin");
    }
    let left: Vec<String> = std::fs::read_dir(visitor.folder.path())
        .expect("read")
        .map(|entry| entry.expect("read").file_name().into_string().expect("a name"))
        .filter(|name| name.starts_with("demo"))
        .collect();
    // The backup of the real shop that was sent in while the demo was open is no demo's, so it stays.
    assert_eq!(left, ["demo.shop.backups"]);
    assert_eq!(places(&visitor), ["barn"]);
    // The person's own shop is the one in use again.
    let page = visitor.get("/file").await.text;
    assert!(page.contains("own.shop") && !page.contains("Demo shop, made up"), "{page}");
    assert_eq!(visitor.get("/hauls").await.status, StatusCode::OK);
}

#[tokio::test]
async fn every_table_goes_out_as_csv_in_one_file() {
    let visitor = Visitor::begun().await;
    note(&mut visitor.shop(), "=barn");
    let answer = visitor.get("/books/export/csv").await;
    assert_eq!(answer.header("content-type"), "application/zip");
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(&answer.bytes)).expect("a zip file");
    assert_eq!(zip.len(), visitor.shop().export_csv().expect("read").len());
    let mut place = String::new();
    zip.by_name("place.csv").expect("there").read_to_string(&mut place).expect("read");
    assert!(place.contains("'=barn"), "no spreadsheet takes it for a formula: {place}");
}

#[tokio::test]
async fn what_happened_is_told_page_by_page_and_by_record() {
    let visitor = Visitor::begun().await;
    assert!(visitor.get("/history").await.text.contains("Nothing happened yet"));
    let mut shop = visitor.shop();
    let first = note(&mut shop, "<barn>");
    let stamp = Stamp::at("2026-11-20T09:00:00Z".parse().expect("a moment"));
    shop.strike::<Place>(&stamp, first).expect("struck");
    for k in 0..105 {
        note(&mut shop, &format!("hall {k}"));
    }
    drop(shop);
    let newest = visitor.get("/history").await.text;
    assert_eq!(newest.matches("<tr>").count(), 101, "a hundred and their head");
    assert!(newest.contains("/history/107\"") && !newest.contains("/history/7\""));
    let older = newest.split("rel=\"next\" href=\"").nth(1).and_then(|rest| rest.split('"').next());
    let older = visitor.get(&older.expect("a way to the rest").replace("&amp;", "&")).await.text;
    assert!(
        older.contains("/history/7\"") && older.contains("/history/1\"") && !older.contains("/history/8\"")
    );
    assert!(older.contains("struck out") && !older.contains("rel=\"next\""), "{older}");
    let of_one = visitor.get("/history?kind=place&number=1").await.text;
    assert_eq!(of_one.matches("<tr>").count(), 3);
    let entry = visitor.get("/history/1").await.text;
    assert!(entry.contains("&lt;barn&gt;") && !entry.contains("<barn>"), "{entry}");
    for path in ["/history/0", "/history/108", "/history/-1"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    for (path, words) in [
        ("/history?kind=spoon&number=1", "no kind of record"),
        ("/history?kind=place&number=one", "is no number"),
        ("/history?kind=place&number=18446744073709551615", "is no number"),
        ("/history?kind=place", "say the number"),
        ("/history?before=x%3Cy", "no event to go back from"),
    ] {
        let page = visitor.get(path).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(page.text.contains(words), "{path}: {}", page.text);
    }
    assert!(visitor.get("/history?kind=haul&number=9").await.text.contains("Nothing happened to haul 9"));
}
