//! Tables in: nothing is stored before it is said, what is stored is what was shown, and never twice.

mod visitor;

use axum::body::Body;
use axum::http::{StatusCode, header};
use shop::Place;
use visitor::{Answer, Visitor};

const EDGE: &str = "a-line-between";

/// What a browser sends of the form with a file.
fn parts(fields: &[(&str, &str)], file: Option<(&str, &str)>) -> String {
    let mut body = String::new();
    for (name, value) in fields {
        body.push_str(&format!(
            "--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n"
        ));
    }
    let (called, text) = file.unwrap_or(("", ""));
    body.push_str(&format!(
        "--{EDGE}\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{called}\"\r\n\
         Content-Type: text/csv\r\n\r\n{text}\r\n--{EDGE}--\r\n"
    ));
    body
}

async fn send(visitor: &Visitor, fields: &[(&str, &str)], file: Option<(&str, &str)>) -> Answer {
    let request = visitor
        .request("POST", "/read")
        .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={EDGE}"))
        .body(Body::from(parts(fields, file)))
        .expect("a request");
    visitor.send(request).await
}

fn places(visitor: &Visitor) -> Vec<String> {
    let shop = visitor.shop();
    shop.noted::<Place>().expect("places").into_iter().map(|(_, place)| place.name).collect()
}

/// What a hidden field of the page holds.
fn hidden<'a>(page: &'a Answer, name: &str) -> &'a str {
    let (_, rest) = page.text.split_once(&format!("name=\"{name}\" value=\"")).expect(name);
    rest.split('"').next().expect("an end")
}

async fn looked(visitor: &Visitor, fields: &[(&str, &str)], file: Option<(&str, &str)>) -> (String, Answer) {
    let sent = send(visitor, fields, file).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    let path = sent.header("location").to_owned();
    let page = visitor.get(&path).await;
    (path, page)
}

const PLACES: &str = "name,note,ref\nhall,\"<script>x</script>\",1\n,no name,2\n<b>barn</b>,,3\n";

#[tokio::test]
async fn a_table_is_shown_first_and_then_stored_once() {
    let visitor = Visitor::begun().await;
    let (path, page) = looked(&visitor, &[("rows", "places"), ("table", "")], Some(("p.csv", PLACES))).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for wanted in [
        "2 rows can be stored.",
        "must not be empty",
        "From <strong>p.csv</strong>",
        "&lt;b&gt;barn",
        "Store 2 rows",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    assert!(!page.text.contains("<script>x") && !page.text.contains("<b>barn"));
    assert_eq!(places(&visitor), Vec::<String>::new(), "nothing before it is said");
    let form = [("once", hidden(&page, "once")), ("shown", hidden(&page, "shown"))];
    for _ in 0..2 {
        let stored = visitor.post(&format!("{path}/store"), &form).await;
        assert_eq!((stored.status, stored.header("location")), (StatusCode::SEE_OTHER, path.as_str()));
    }
    assert_eq!(places(&visitor), ["hall", "<b>barn</b>"]);
    let page = visitor.get(&path).await;
    assert!(page.text.contains("Stored 2 rows.") && page.text.contains("1 row left out"), "{}", page.text);
    let (_, again) = looked(&visitor, &[("rows", "places"), ("table", "")], Some(("p.csv", PLACES))).await;
    assert!(
        again.text.contains("Nothing to store.") && again.text.contains("2 stored before"),
        "{}",
        again.text
    );
}

#[tokio::test]
async fn columns_are_chosen_and_remembered_for_their_source() {
    let visitor = Visitor::begun().await;
    let table = "Where,Ticket\nhall,1\nbarn,2\n";
    let fields = [("rows", "places"), ("source", "notebook"), ("table", table)];
    let (path, page) = looked(&visitor, &fields, None).await;
    assert_eq!(page.status, StatusCode::OK, "that a name is unknown is no mistake yet");
    assert!(page.text.contains("Say first which column is which.") && !page.text.contains("Store 2"));
    let unsaid = visitor.post(&path, &[("column-name", ""), ("column-ref", "1")]).await;
    assert_eq!(unsaid.status, StatusCode::SEE_OTHER);
    let page = visitor.get(&path).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains(r##"href="#column-name""##) && page.text.contains("Say which column is name"));
    visitor.post(&path, &[("column-name", "0"), ("column-ref", "1")]).await;
    let page = visitor.get(&path).await;
    assert!(page.text.contains("2 rows can be stored."), "{}", page.text);
    let form = [("once", hidden(&page, "once")), ("shown", hidden(&page, "shown"))];
    visitor.post(&format!("{path}/store"), &form).await;
    assert_eq!(places(&visitor), ["hall", "barn"]);
    let (_, again) = looked(&visitor, &fields, None).await;
    assert!(again.text.contains("2 stored before"), "the columns are known: {}", again.text);
}

#[tokio::test]
async fn what_is_stored_is_what_was_shown() {
    let visitor = Visitor::begun().await;
    let fields = [("rows", "places"), ("table", "a,b\nhall,barn\n")];
    let (path, _) = looked(&visitor, &fields, None).await;
    visitor.post(&path, &[("column-name", "0")]).await;
    let first = visitor.get(&path).await;
    let (once, shown) = (hidden(&first, "once").to_owned(), hidden(&first, "shown").to_owned());
    // Another tab chooses the other column.
    visitor.post(&path, &[("column-name", "1")]).await;
    let stale = visitor.post(&format!("{path}/store"), &[("once", &once), ("shown", &shown)]).await;
    assert_eq!(stale.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(stale.text.contains("looked at anew meanwhile") && stale.text.contains("barn"), "{}", stale.text);
    assert_eq!(places(&visitor), Vec::<String>::new());
    // Another shop was opened: what was tried on the one is not stored in the other.
    let page = visitor.get(&path).await;
    let form = [("once", hidden(&page, "once")), ("shown", hidden(&page, "shown"))];
    visitor.post("/begin/demo", &[]).await;
    let other = visitor.post(&format!("{path}/store"), &form).await;
    assert_eq!(other.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", other.text);
    assert!(other.text.contains("another shop was opened"), "{}", other.text);
    visitor.post("/begin/own", &[]).await;
    let stored = visitor.post(&format!("{path}/store"), &form).await;
    assert_eq!(stored.status, StatusCode::SEE_OTHER, "{}", stored.text);
    assert_eq!(places(&visitor), ["barn"]);
}

#[tokio::test]
async fn what_cant_be_read_is_told_at_its_field_with_what_was_typed_kept() {
    let visitor = Visitor::begun().await;
    for (fields, file, field, words) in [
        (&[("rows", ""), ("table", "a\n1")][..], None, "rows", "Say what the rows"),
        (&[("rows", "places"), ("table", "")], None, "file", "Choose a file"),
        (
            &[("rows", "places"), ("table", "a\n1")],
            Some(("x.csv", "a\n1")),
            "table",
            "right would be one of them",
        ),
        (
            &[("rows", "places"), ("table", " , \n"), ("source", "a <b> c")],
            None,
            "table",
            "the table is empty",
        ),
        (&[("rows", "places"), ("table", "")], Some(("x.xlsx", "PK\u{3}\u{4}")), "file", "read"),
        (&[("rows", "places"), ("table", "a\n1"), ("page", "July")], None, "page", "a CSV file has no pages"),
    ] {
        let page = send(&visitor, fields, file).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{words}");
        assert!(page.text.contains(&format!("href=\"#{field}\"")) && page.text.contains(words), "{words}");
        assert!(!page.text.contains("<b> c"), "{words}");
        if let Some((_, typed)) = fields.iter().find(|(name, _)| *name == "source") {
            assert!(page.text.contains(&typed.replace('<', "&lt;").replace('>', "&gt;")), "{}", page.text);
        }
    }
    let long = format!("name\n{}", "a\n".repeat(600_000));
    let page = send(&visitor, &[("rows", "places"), ("table", &long)], None).await;
    assert!(page.text.contains("right would be to send it as a file"));
}

#[tokio::test]
async fn a_large_file_comes_in_and_too_large_a_one_does_not() {
    let visitor = Visitor::begun().await;
    let large = format!("name\n{}", "a place\n,\n".repeat(300_000));
    assert!(large.len() > 2_500_000, "over what other forms may send");
    let fields = [("rows", "supplies"), ("table", "")];
    let (_, page) = looked(&visitor, &fields, Some(("x.csv", &large))).await;
    assert!(page.text.contains("300000 rows"), "{}", page.text);
    let page = send(&visitor, &fields, Some(("x.csv", &"a\n".repeat(10_100_000)))).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("split in parts"), "{}", page.text);
    let page = send(&visitor, &fields, Some(("x.csv", &"a\n".repeat(11_500_000)))).await;
    assert!(
        page.status.is_client_error() && page.status != StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        page.status
    );
}

#[tokio::test]
async fn only_who_is_let_in_sends_tables_and_an_unknown_one_is_said_to_be_gone() {
    let outside = Visitor::outside();
    assert_eq!(send(&outside, &[("rows", "places")], None).await.status, StatusCode::UNAUTHORIZED);
    let visitor = Visitor::inside().await;
    assert_eq!(visitor.get("/read").await.header("location"), "/begin", "no shop was begun");
    visitor.post("/begin/own", &[]).await;
    assert_eq!(visitor.get("/read").await.status, StatusCode::OK);
    for path in ["/read/nothing", "/read/nothing?from=7"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND);
    }
    assert_eq!(visitor.post("/read/nothing/store", &[]).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn many_rejected_rows_are_shown_a_hundred_at_a_time() {
    let visitor = Visitor::begun().await;
    let table = format!("name,ref\n{}", (0..250).map(|k| format!(",{k}\n")).collect::<String>());
    let (path, page) = looked(&visitor, &[("rows", "places"), ("table", &table)], None).await;
    assert!(page.text.contains("Rows 1 to 100 of 250") && page.text.contains("from=100"), "{}", page.text);
    let last = visitor.get(&format!("{path}?from=200")).await;
    assert!(last.text.contains("Rows 201 to 250 of 250") && !last.text.contains("The next ones"));
    let past = visitor.get(&format!("{path}?from=99999")).await;
    assert!(past.text.contains("Rows 201 to 250"));
}
