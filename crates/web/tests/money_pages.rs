//! Supplies, books and the year by their pages.

mod visitor;

use axum::http::StatusCode;
use visitor::Visitor;

fn entries(visitor: &Visitor) -> usize {
    visitor.shop().books().expect("read").entries().len()
}

#[tokio::test]
async fn today_leads_who_begins_and_knows_what_is_done() {
    let visitor = Visitor::begun().await;
    let page = visitor.get("/").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("A first find, step by step") && !page.text.contains("- done"));
    let haul =
        [("place", "hall"), ("paid", "5"), ("form-1", "diner mug"), ("count-1", "4"), ("worth-1", "30")];
    assert_eq!(visitor.post("/hauls/new", &haul).await.status, StatusCode::SEE_OTHER);
    let page = visitor.get("/").await.text;
    assert_eq!(page.matches("- done").count(), 1);
    assert!(page.contains("List next") && page.contains("diner mugs"));
}

#[tokio::test]
async fn supplies_are_added_bought_counted_and_used() {
    let visitor = Visitor::begun().await;
    let carton = [("name", "12 x 12 x 8"), ("kind", "carton"), ("cut-to", "6 in, 4 in")];
    assert_eq!(visitor.post("/supplies/add", &carton).await.header("location"), "/supplies");
    let moved = |way: &'static str, units: &'static str, cost: &'static str| {
        [("supply", "12x12x8"), ("way", way), ("units", units), ("cost", cost), ("purse", "card")]
    };
    for (way, units, cost, free) in [
        ("bought", "10", "12.00", "10 carton"),
        ("used", "1", "", "9 carton"),
        ("counted", "7", "", "7 carton"),
    ] {
        assert_eq!(
            visitor.post("/supplies/moved", &moved(way, units, cost)).await.status,
            StatusCode::SEE_OTHER
        );
        assert!(visitor.get("/supplies").await.text.contains(free), "{free}");
    }
    assert_eq!(entries(&visitor), 3);
    // A count that finds what is known enters nothing.
    assert_eq!(
        visitor.post("/supplies/moved", &moved("counted", "7", "")).await.status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(entries(&visitor), 3);
    for (field, form, words) in [
        ("units", moved("used", "8", "").to_vec(), "7"),
        ("units", moved("bought", "many", "1").to_vec(), "many"),
        ("units", vec![("supply", "string"), ("units", "1")], "right would be: 12 x 12 x 8"),
        ("cost", moved("bought", "1", "-2").to_vec(), "below zero"),
    ] {
        let answer = visitor.post("/supplies/moved", &form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{form:?}");
        assert!(
            answer.text.contains(words) && answer.text.contains(&format!("id=\"{field}-mistake\"")),
            "{words}"
        );
    }
    for (field, form, words) in [
        ("name", vec![("name", "big"), ("kind", "carton")], "three sides"),
        ("inside", vec![("name", "big"), ("kind", "carton"), ("inside", "12 x 12")], "three sides"),
        ("cut-to", vec![("name", "9 x 9 x 9"), ("kind", "carton"), ("cut-to", "low")], "low"),
        ("material", vec![("name", "w"), ("kind", "wrap"), ("material", "moon dust")], "moon dust"),
        ("holds", vec![("name", "w"), ("kind", "wrap"), ("holds", "0")], "above 0"),
        ("name", vec![("name", "12 x 12 x 8"), ("kind", "carton")], "the same"),
    ] {
        let answer = visitor.post("/supplies/add", &form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{form:?}");
        assert!(
            answer.text.contains(words) && answer.text.contains(&format!("id=\"{field}-mistake\"")),
            "{words}"
        );
    }
    assert_eq!(entries(&visitor), 3);
}

#[tokio::test]
async fn expenses_trips_and_income_are_entered_and_taken_back() {
    let visitor = Visitor::begun().await;
    let moves: [&[(&str, &str)]; 6] = [
        &[("what", "office"), ("amount", "3.00"), ("note", "pens"), ("day", "2026-11-02")],
        &[("what", "trip"), ("miles", "12.5"), ("note", "post office")],
        &[("what", "put in"), ("amount", "50")],
        &[("what", "income"), ("amount", "1")],
        &[("what", "fee"), ("amount", "0.30"), ("purse", "balance")],
        &[("what", "take out"), ("amount", "5")],
    ];
    for form in moves {
        let done = visitor.post("/books/moves", form).await;
        assert_eq!(
            (done.status, done.header("location")),
            (StatusCode::SEE_OTHER, "/books/entries"),
            "{form:?}"
        );
    }
    assert_eq!(entries(&visitor), 6);
    let page = visitor.get("/books?by=month&from=2026-11-01&to=2026-11-30").await.text;
    assert!(page.contains("-2.30") && page.contains("How this was reckoned"), "{page}");
    let page = visitor.get("/books/entries").await.text;
    assert!(page.contains("pens") && page.contains("/books/entries/1/take-back"));
    assert_eq!(
        visitor.post("/books/entries/1/take-back", &[]).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    let back = visitor.post("/books/entries/1/take-back", &[("why", "typed twice")]).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER);
    assert_eq!(entries(&visitor), 7);
    let again = visitor.post("/books/entries/1/take-back", &[("why", "typed twice")]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(visitor.get("/books/entries").await.text.contains("Taken back by entry 7"));
    let wrong: [(&str, &[(&str, &str)]); 6] = [
        ("amount", &[("what", "office")]),
        ("amount", &[("what", "office"), ("amount", "x")]),
        ("miles", &[("what", "trip"), ("note", "x")]),
        ("note", &[("what", "trip"), ("miles", "3")]),
        ("order", &[("what", "postage"), ("amount", "1")]),
        ("day", &[("what", "office"), ("amount", "1"), ("day", "soon")]),
    ];
    for (field, form) in wrong {
        let answer = visitor.post("/books/moves", form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{form:?}");
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}: {form:?}");
    }
    assert_eq!(entries(&visitor), 7);
}

#[tokio::test]
async fn the_demos_year_is_shown_drawn_and_handed_out_as_a_spreadsheet() {
    let visitor = Visitor::inside().await;
    assert_eq!(visitor.post("/begin/demo", &[]).await.header("location"), "/");
    let page = visitor.get("/").await.text;
    assert!(page.contains("Demo shop, made up"));
    let books = visitor.get("/books?by=month&from=2025-01-01&to=2025-12-31").await.text;
    assert!(books.contains("<svg") && books.contains("2025-03") && books.contains("Demo shop"));
    let year = visitor.get("/books/year/2025").await.text;
    assert!(
        year.contains("not tax advice") || year.contains("no tax advice") || year.contains("Not tax advice")
    );
    assert!(year.contains("On which line does postage go?"));
    let workbook = visitor.get("/books/year/2025/workbook").await;
    assert!(workbook.header("content-type").ends_with("spreadsheetml.sheet"));
    assert_eq!(workbook.header("content-disposition"), "attachment; filename=\"year-2025.xlsx\"");
    assert!(visitor.get("/books/export/json").await.text.starts_with('{'));
    assert_eq!(visitor.get("/books/export/exe").await.status, StatusCode::NOT_FOUND);
    assert_eq!(visitor.get("/books/year/1800").await.status, StatusCode::NOT_FOUND);
    for path in ["/hauls", "/hauls/1", "/finds/1", "/supplies", "/books/entries", "/books?by=order"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::OK, "{path}");
    }
    // The person's own shop stays what it is: not begun.
    assert!(!visitor.folder.path().join("own.shop").exists());
}

#[tokio::test]
async fn what_most_people_set_is_set_in_plain_words_all_of_it_or_none() {
    let visitor = Visitor::begun().await;
    let page = visitor.get("/settings").await.text;
    for words in
        ["Left out, 453.", "Left out, 15.00.", "Left out, 50 %.", "Left out, 8.00.", "Left out, 1.5 %."]
    {
        assert!(page.contains(words), "{words} in {page}");
    }
    let put = [
        ("plain", "yes"),
        ("post-from", "981"),
        ("post-to", "100, 303 606"),
        ("packing-wage", "22.50"),
        ("buying-return", "80 %"),
        ("market-damage", ""),
        ("packing-fill", "paper_fill"),
        ("units", ""),
    ];
    assert_eq!(visitor.post("/settings/plain", &put).await.header("location"), "/settings");
    let kept = |visitor: &Visitor| {
        let all = visitor.shop().noted::<shop::Setting>().expect("read");
        all.into_iter().map(|(_, one)| format!("{}={}", one.name, one.value)).collect::<Vec<_>>()
    };
    let five = [
        "post.from=\"981\"",
        "post.to=[\"100\", \"303\", \"606\"]",
        "packing.wage=22.50",
        "buying.return=80 %",
        "packing.fill=paper_fill",
    ];
    assert_eq!(kept(&visitor), five);
    let page = visitor.get("/settings").await.text;
    for words in ["value=\"100, 303, 606\"", "value=\"22.50\"", "<option value=\"paper_fill\" selected>"] {
        assert!(page.contains(words), "{words} in {page}");
    }
    // One that is wrong keeps all of them back; each is told at its field.
    let wrong = [
        ("plain", "yes"),
        ("post-from-was", "981"),
        ("post-from", "<b>"),
        ("packing-wage-was", "22.50"),
        ("packing-wage", "much"),
        ("buying-return-was", "80 %"),
        ("buying-return", "90 %"),
    ];
    let told = visitor.post("/settings/plain", &wrong).await;
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
    for field in ["post-from", "packing-wage"] {
        assert!(told.text.contains(&format!("id=\"{field}-mistake\"")), "{field}: {}", told.text);
    }
    assert!(told.text.contains("value=\"90 %\"") && !told.text.contains("<b>"), "{}", told.text);
    assert_eq!(kept(&visitor), five);
    // A window that showed less doesn't overwrite what another one kept; what it left alone stays.
    let late = [("plain", "yes"), ("post-from-was", ""), ("post-from", "100")];
    let told = visitor.post("/settings/plain", &late).await;
    assert!(told.text.contains("it was changed to 981 meanwhile"), "{}", told.text);
    let emptied = [("plain", "yes"), ("post-from-was", "981"), ("post-from", "")];
    assert_eq!(visitor.post("/settings/plain", &emptied).await.header("location"), "/settings");
    assert_eq!(kept(&visitor), five[1..]);
}

#[tokio::test]
async fn settings_are_tried_before_they_are_kept_and_tuning_waits_for_a_word() {
    let visitor = Visitor::begun().await;
    let put = |name: &'static str, value: &'static str| [("name", name), ("value", value)];
    assert_eq!(visitor.post("/settings", &put("post.from", "45300")).await.header("location"), "/settings");
    assert!(visitor.get("/settings").await.text.contains("post.from = &quot;45300&quot;"));
    for (name, value, words) in [
        ("post.from", "somewhere", "right would be"),
        ("packing.wags", "3", "right would be"),
        ("books.cost_flow", "fifo", "a page of its own"),
        ("demo", "x", "kept by the program"),
        ("post.from", "", "missing"),
    ] {
        let answer = visitor.post("/settings", &put(name, value)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{name} = {value}");
        assert!(
            answer.text.contains(words) && answer.text.contains("id=\"value-mistake\""),
            "{name}: {words}"
        );
    }
    let early = visitor.post("/settings/tuning", &[("do", "apply")]).await;
    assert!(
        early.status == StatusCode::UNPROCESSABLE_ENTITY && early.text.contains("no parcel was sent yet")
    );
    assert_eq!(visitor.post("/settings/1/strike", &[]).await.status, StatusCode::SEE_OTHER);
    assert!(!visitor.get("/settings").await.text.contains("post.from = &quot;"));
    let demo = Visitor::inside().await;
    demo.post("/begin/demo", &[]).await;
    assert_eq!(demo.post("/settings/tuning", &[("do", "apply")]).await.header("location"), "/settings");
    assert!(demo.get("/settings").await.text.contains("market.damage = &quot;"));
    assert_eq!(demo.post("/settings/tuning", &[("do", "take back")]).await.status, StatusCode::SEE_OTHER);
    assert!(!demo.get("/settings").await.text.contains("market.damage = &quot;"));
}
