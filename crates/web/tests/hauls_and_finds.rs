//! Hauls and finds by their pages: brought in, corrected, measured, flawed, off the shelf.

mod visitor;

use axum::http::StatusCode;
use books::{FindId, HaulId};
use shop::{Flaw, Measurement, Place};
use visitor::Visitor;

const HAUL: [(&str, &str); 12] = [
    ("place", "parish hall"),
    ("date", "2026-11-20"),
    ("paid", "7.00"),
    ("tax", "0.51"),
    ("miles", "12.5"),
    ("purse", "cash"),
    ("form-1", "consomme cup"),
    ("count-1", "14"),
    ("flawed-1", "1"),
    ("worth-1", "60"),
    ("shelf-1", "B2"),
    ("rows", "3"),
];

fn with<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = HAUL.iter().filter(|(name, _)| changes.iter().all(|(changed, _)| changed != name));
    kept.chain(changes).copied().collect()
}

async fn brought_in() -> Visitor {
    let visitor = Visitor::begun().await;
    let answer = visitor.post("/hauls/new", &HAUL).await;
    assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/hauls/1"));
    visitor
}

#[tokio::test]
async fn without_a_shop_every_page_of_records_leads_to_the_beginning() {
    let visitor = Visitor::inside().await;
    for path in ["/", "/hauls", "/hauls/new", "/hauls/1", "/finds/1"] {
        let answer = visitor.get(path).await;
        assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/begin"), "{path}");
    }
    let page = visitor.get("/begin").await;
    assert!(page.text.contains("Begin your own shop") && page.text.contains("Open the demo shop"));
}

#[tokio::test]
async fn a_haul_is_brought_in_with_its_place_and_its_trip_in_one() {
    let visitor = brought_in().await;
    let page = visitor.get("/hauls/1").await;
    for words in
        ["14 pieces for 7.51 at parish hall", "consomme cups", "12.5 miles", "14 on hand", "tax 0.51"]
    {
        assert!(page.text.contains(words), "{words}: {}", page.text);
    }
    assert!(visitor.get("/hauls").await.text.contains("parish hall"));
    let mut shop = visitor.shop();
    assert_eq!(shop.noted::<Place>().expect("read").len(), 1);
    let books = shop.books().expect("read");
    assert_eq!(books.entries().len(), 2, "the purchase and the trip");
    assert_eq!(books.haul(HaulId(1)).expect("there").cost().cents(), 751);
}

#[tokio::test]
async fn a_haul_sent_twice_is_stored_once_even_after_a_new_start() {
    let visitor = Visitor::begun().await;
    let sent = with(&[("once", "k1")]);
    for _ in 0..2 {
        assert_eq!(visitor.post("/hauls/new", &sent).await.header("location"), "/hauls/1");
    }
    // Another run of the program doesn't remember the key; the file does.
    let now = "2026-11-25T09:00:00Z".parse().expect("a moment");
    let stamp = shop::Stamp::at(now).imported("a page", "k1");
    let again = visitor.shop().note(&stamp, &Place { name: String::from("x"), note: String::new() });
    assert!(again.is_err());
    assert_eq!(visitor.shop().books().expect("read").hauls().count(), 1);
}

#[tokio::test]
async fn what_is_wrong_stands_beside_its_field_and_nothing_is_stored() {
    let visitor = Visitor::begun().await;
    for (field, typed, words) in [
        ("place", "", "where it was bought is missing"),
        ("date", "yesterday", "is not a day"),
        ("paid", "seven", "seven"),
        ("tax", "-1", "below zero"),
        ("miles", "far", "no number of miles"),
        ("form-1", "spoon rest", "spoon rest"),
        ("count-1", "", "how many there are is missing"),
        ("flawed-1", "15", "right would be at most 14"),
        ("worth-1", "lots", "lots"),
    ] {
        let answer = visitor.post("/hauls/new", &with(&[(field, typed)])).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
        assert!(answer.text.contains(words), "{field}: {words}");
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}");
        assert!(
            answer.text.contains("value=\"B2\"") || field == "shelf-1",
            "{field}: what was typed is kept"
        );
    }
    let none = [("place", "hall"), ("paid", "1")];
    assert!(visitor.post("/hauls/new", &none).await.text.contains("no find is told"));
    let mut shop = visitor.shop();
    assert_eq!(
        (shop.noted::<Place>().expect("read").len(), shop.books().expect("read").hauls().count()),
        (0, 0)
    );
}

#[tokio::test]
async fn more_rows_are_given_and_what_was_typed_stays() {
    let visitor = Visitor::begun().await;
    let page = visitor.post("/hauls/new", &with(&[("more", "1")])).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("name=\"form-6\"") && !page.text.contains("name=\"form-7\""));
    assert!(page.text.contains("value=\"parish hall\""));
}

#[tokio::test]
async fn a_haul_is_corrected_until_a_piece_has_left_and_never_over_anothers_correction() {
    let visitor = brought_in().await;
    let page = visitor.get("/hauls/1/anew").await.text;
    let seen = page.split("name=\"seen\" value=\"").nth(1).and_then(|rest| rest.split('"').next());
    let seen = seen.expect("the form says what it was made from").to_owned();
    let anew = with(&[("paid", "6.50"), ("seen", &seen)]);
    assert_eq!(visitor.post("/hauls/1/anew", &anew).await.status, StatusCode::SEE_OTHER);
    let cost = |visitor: &Visitor| {
        visitor.shop().books().expect("read").haul(HaulId(1)).expect("there").cost().cents()
    };
    assert_eq!(cost(&visitor), 701);
    let late = with(&[("paid", "1.00"), ("seen", &seen)]);
    let refused = visitor.post("/hauls/1/anew", &late).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("entered anew elsewhere") && refused.text.contains("value=\"1.00\""));
    assert_eq!(cost(&visitor), 701);
    let left = [("pieces", "1, 3-4"), ("how", "broken")];
    assert_eq!(visitor.post("/finds/1/off-shelf", &left).await.status, StatusCode::SEE_OTHER);
    assert!(visitor.get("/hauls/1").await.text.contains("the cost stands"));
}

#[tokio::test]
async fn measures_are_kept_together_and_an_emptied_one_is_struck_out() {
    let visitor = brought_in().await;
    let page = visitor.get("/finds/1/measure").await;
    assert!(page.status == StatusCode::OK && page.text.contains("<svg"));
    let typed = [("diameter", "4 in"), ("height", "2 1/2"), ("weight", "9 oz")];
    assert_eq!(visitor.post("/finds/1/measure", &typed).await.status, StatusCode::SEE_OTHER);
    let kept = |visitor: &Visitor| visitor.shop().noted_of::<Measurement>(FindId(1)).expect("read").len();
    assert_eq!(kept(&visitor), 3);
    assert!(visitor.get("/finds/1/measure").await.text.contains("value=\"9 oz\""));
    let wrong = [("diameter", "four"), ("height", "2 1/2")];
    assert_eq!(visitor.post("/finds/1/measure", &wrong).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let one = [("diameter", "4 1/8 in"), ("of-piece", "3")];
    assert_eq!(visitor.post("/finds/1/measure", &one).await.status, StatusCode::SEE_OTHER);
    assert_eq!(kept(&visitor), 4);
    let beyond = [("diameter", "4 in"), ("of-piece", "15")];
    assert_eq!(visitor.post("/finds/1/measure", &beyond).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(visitor.post("/finds/1/measure", &[("diameter", "4 in")]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(kept(&visitor), 2);
}

#[tokio::test]
async fn flaws_and_words_are_kept_and_every_text_is_harmless() {
    let visitor = brought_in().await;
    let script = "<script>alert(1)</script>";
    let flaw = [("kind", script), ("piece", "14"), ("position", script), ("size", "1/2 in")];
    assert_eq!(visitor.post("/finds/1/flaw", &flaw).await.status, StatusCode::SEE_OTHER);
    let about = [("form", "consomme cup"), ("called", script), ("shelf", script)];
    assert_eq!(visitor.post("/finds/1/about", &about).await.status, StatusCode::SEE_OTHER);
    for path in ["/finds/1", "/hauls/1", "/finds/1/measure", "/hauls/1/anew"] {
        let text = visitor.get(path).await.text;
        assert!(!text.contains("<script>alert"), "{path}");
    }
    assert!(visitor.get("/finds/1").await.text.contains("&lt;script&gt;"));
    let beyond = visitor.post("/finds/1/flaw", &[("kind", "chip"), ("piece", "99")]).await;
    assert!(
        beyond.status == StatusCode::UNPROCESSABLE_ENTITY && beyond.text.contains("right would be 1 to 14")
    );
    assert_eq!(visitor.post("/finds/1/flaw/1/strike", &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(visitor.shop().noted_of::<Flaw>(FindId(1)).expect("read").len(), 0);
}

#[tokio::test]
async fn what_is_not_there_is_told_and_nothing_is_changed_by_looking() {
    let visitor = brought_in().await;
    for path in
        ["/hauls/2", "/finds/9", "/finds/9/measure", "/hauls/2/anew", "/papers/1", "/papers/1/preview"]
    {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    for path in ["/finds/1/about", "/finds/1/flaw", "/finds/1/off-shelf", "/begin/own", "/papers/1/strike"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::METHOD_NOT_ALLOWED, "{path}");
    }
}

/// A picture of one pixel and a receipt role, as a browser sends files.
fn upload(name: &str, bytes: &[u8]) -> (String, Vec<u8>) {
    let border = "lotwright-border";
    let mut body = format!(
        "--{border}\r\nContent-Disposition: form-data; name=\"role\"\r\n\r\nreceipt\r\n--{border}\r\n\
         Content-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\
         Content-Type: application/octet-stream\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(format!("\r\n--{border}--\r\n").as_bytes());
    (format!("multipart/form-data; boundary={border}"), body)
}

#[tokio::test]
async fn a_receipt_is_taken_in_shown_by_its_number_and_refused_when_it_is_no_picture() {
    let visitor = brought_in().await;
    let mut png = Vec::new();
    one_pixel(&mut png);
    let send = async |name: &str, bytes: &[u8]| {
        let (kind, body) = upload(name, bytes);
        let request = visitor
            .request("POST", "/papers/to/haul/1")
            .header("content-type", kind)
            .body(axum::body::Body::from(body))
            .expect("a request");
        visitor.send(request).await
    };
    let refused = send("../../etc/passwd", b"no picture at all").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
    assert!(refused.text.contains("Nothing was stored"));
    let taken = send("../../receipt.png", &png).await;
    assert_eq!(
        (taken.status, taken.header("location")),
        (StatusCode::SEE_OTHER, "/hauls/1#papers"),
        "{}",
        taken.text
    );
    assert!(visitor.get("/hauls/1").await.text.contains("/papers/1/preview"));
    let file = visitor.get("/papers/1").await;
    assert_eq!((file.status, file.header("content-type")), (StatusCode::OK, "image/png"));
    assert_eq!(file.header("x-content-type-options"), "nosniff");
    assert_eq!(visitor.get("/papers/1/preview").await.header("content-type"), "image/jpeg");
    assert_eq!(visitor.post("/papers/1/strike", &[]).await.header("location"), "/hauls/1#papers");
    assert!(!visitor.get("/hauls/1").await.text.contains("/papers/1/preview"));
}

/// The smallest picture: one grey pixel (published: the PNG specification, third edition, W3C 2025, section 5).
fn one_pixel(out: &mut Vec<u8>) {
    out.extend_from_slice(&[0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a]);
    chunk(out, b"IHDR", &[0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]);
    // Deflate with one stored block of the filter byte and the grey, and its Adler-32.
    chunk(out, b"IDAT", &[0x78, 0x01, 0x01, 0x02, 0x00, 0xfd, 0xff, 0x00, 0x80, 0x00, 0x82, 0x00, 0x81]);
    chunk(out, b"IEND", &[]);
}

fn chunk(out: &mut Vec<u8>, kind: &[u8; 4], bytes: &[u8]) {
    let length = u32::try_from(bytes.len()).expect("a short chunk");
    out.extend_from_slice(&length.to_be_bytes());
    let mut crc = u32::MAX;
    for byte in kind.iter().chain(bytes) {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 };
        }
    }
    out.extend_from_slice(kind);
    out.extend_from_slice(bytes);
    out.extend_from_slice(&(!crc).to_be_bytes());
}
