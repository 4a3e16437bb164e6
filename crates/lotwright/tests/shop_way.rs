//! The whole way of an order through the commands, from an empty shop to the year worksheet.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

mod till;

use till::Till;

#[test]
fn an_order_goes_from_the_haul_to_the_year_worksheet() {
    let till = Till::empty();
    let begun = till.says(&till::HAUL);
    assert!(begun.starts_with("Began the shop file"), "{begun}");
    // 7.51 over 60 and 15, and the flawed cup carries nothing.
    assert!(begun.contains("6.01") && begun.contains("1.50"), "{begun}");
    let till = Till::stocked();
    till.supplied(&[("8 x 8 x 8", "4"), ("12 x 12 x 12", "4"), ("14 x 14 x 8", "4")]);
    till.says(&["setting", "--name", "post.from", "--value", "45300"]);
    let order = till.order();
    assert_eq!(order, 1);
    let stock = till.json(&["stock", "--date", "2026-08-02"]);
    assert_eq!(
        (&stock["pieces"], &stock["finds"][1]["promised"], &stock["finds"][1]["listed"]),
        (&25.into(), &2.into(), &4.into())
    );
    let bench = till.says(&["bench", "--date", "2026-08-02"]);
    assert!(bench.contains("2026-08-04, 2 days") && bench.contains("bench plan 1"), "{bench}");

    let plan = till.json(&["bench", "plan", "1", "--date", "2026-08-02"]);
    let parcels = plan["plan"]["parcels"].as_array().unwrap();
    assert!(!parcels.is_empty());
    let aside = plan["set_aside"].as_array().unwrap();
    assert_eq!(aside.len(), parcels.len());
    let pull = till.says(&["bench", "pull"]);
    let (a1, b2) = (pull.find("A1").unwrap(), pull.find("B2").unwrap());
    assert!(a1 < b2, "the pull list goes along the shelf:\n{pull}");

    let mut args = vec!["ship", "1", "--date", "2026-08-03"];
    for _ in parcels {
        args.extend([
            "--weight",
            "3 lb 5 oz",
            "--minutes",
            "20",
            "--postage",
            "9.40",
            "--size",
            "12.5 x 12.5 x 12",
        ]);
    }
    let sent = till.says(&args);
    assert!(sent.contains("against the plan:"), "{sent}");
    // The supplies of the plan are used up, and nothing is set aside any more.
    let supplies = till.json(&["supply", "--date", "2026-08-03"]);
    let supplies = supplies.as_array().unwrap();
    assert!(supplies.iter().all(|one| one["set_aside"] == 0.0), "{supplies:?}");
    let fill = supplies.iter().find(|one| one["name"] == "loose fill").unwrap();
    assert!(fill["on_hand"].as_f64().unwrap() < 3.0);
    till.says(&["spend", "--amount", "5.65", "--on", "fee", "--order", "1", "--date", "2026-08-03"]);
    let postage = 940 * parcels.len() as i64;

    let earned = till.json(&["books", "--by", "order", "--date", "2026-08-31"]);
    let row = &earned["rows"][0];
    assert_eq!((&row["revenue_cents"], &row["fees_cents"]), (&4350.into(), &565.into()));
    assert_eq!(row["postage_cents"], postage);
    // Two of thirteen cups at 6.01, two of eleven saucers at 1.50: 0.92 + 0.27.
    assert_eq!(row["basis_cents"], 119);
    let packing = row["materials_cents"].as_i64().unwrap();
    assert!(packing > 0);
    assert_eq!(row["net_cents"], 4350 - 565 - postage - 119 - packing);
    for by in ["lot", "find", "haul", "place", "month", "year"] {
        let grouped = till.json(&["books", "--by", by, "--date", "2026-08-31"]);
        assert_eq!(grouped["all"]["net_cents"], earned["all"]["net_cents"], "by {by}");
    }

    let year = till.json(&["year", "2026"]);
    let line = |what: &str| {
        let lines = year["lines"].as_array().unwrap();
        lines.iter().find(|line| line["what"] == what).unwrap()["amount_cents"].as_i64().unwrap()
    };
    assert_eq!((line("gross receipts"), line("cost of goods sold")), (4350, 119));
    assert_eq!((line("postage"), line("commissions and fees")), (postage, 565));
    assert_eq!(line("closing stock"), 751 - 119);
    assert!(line("car") > 0);
    assert_eq!(year["balance"]["closing_cents"], 4350 - 565 - postage);
    let text = till.says(&["year", "2026"]);
    assert!(text.contains("This is not tax advice."), "{text}");

    let tuned = till.json(&["tune"]);
    assert_eq!(tuned["by_form"][0]["parcels"], parcels.len());
    assert!(till.says(&["shop", "check"]).contains("Sound"));
}

#[test]
fn a_carton_that_is_out_gets_a_substitute_and_supplies_are_never_promised_twice() {
    let till = Till::stocked();
    till.supplied(&[("12 x 12 x 12", "2"), ("16 x 16 x 16", "4")]);
    let (first, second) = (till.order(), till.order());
    let plan = |order: u64| till.json(&["bench", "plan", &order.to_string(), "--date", "2026-08-02"]);
    let one = plan(first);
    let cartons = |plan: &serde_json::Value| plan["plan"]["parcels"].as_array().unwrap().len();
    assert!(one["substitutes"].as_array().unwrap().is_empty(), "{}", one["substitutes"]);
    let again = plan(first);
    assert_eq!(again["set_aside"], one["set_aside"], "planned anew, an order has its own supplies back");
    if cartons(&one) == 1 {
        // The other one of this size is spoilt.
        till.says(&["supply", "use", "--name", "12 x 12 x 12", "--units", "1", "--date", "2026-08-02"]);
    }
    let two = plan(second);
    assert!(!two["substitutes"].as_array().unwrap().is_empty(), "{two}");
    assert_eq!(two["substitutes"][0]["carton"], "16 x 16 x 16");
    let text = till.says(&["bench", "plan", "2", "--date", "2026-08-02", "--no-steps"]);
    assert!(text.contains("instead"), "{text}");
    for one in till.json(&["supply"]).as_array().unwrap() {
        assert!(one["free"].as_f64().unwrap() >= 0.0);
    }
}

#[test]
fn a_cancelled_order_gives_back_lots_pieces_and_supplies() {
    let till = Till::stocked();
    till.supplied(&[("12 x 12 x 12", "4")]);
    let state = || {
        let stock = till.json(&["stock", "--date", "2026-08-03"]);
        let supplies = till.json(&["supply", "--date", "2026-08-03"]);
        let listings = till.json(&["list-up", "--list"]);
        (stock, supplies, listings)
    };
    let before = state();
    till.order();
    till.says(&["bench", "plan", "1", "--date", "2026-08-02"]);
    assert_ne!(state(), before);
    let shown = till.says(&["order", "cancel", "1", "--date", "2026-08-03"]);
    assert!(shown.contains("cancelled"), "{shown}");
    assert_eq!(state(), before);
    let balance = &till.json(&["year", "2026"])["balance"];
    assert_eq!((&balance["orders_cents"], &balance["refunds_cents"]), (&4350.into(), &4350.into()));
}

#[test]
fn terminals_at_the_same_time_never_sell_more_than_was_listed() {
    let till = Till::stocked();
    let take = ["order", "take", "--lots", "1 of 1", "--to", "100", "--paid", "--date", "2026-08-01"];
    let children: Vec<_> = (0..8).map(|_| till.command(&take).spawn().unwrap()).collect();
    let outputs: Vec<_> = children.into_iter().map(|child| child.wait_with_output().unwrap()).collect();
    let sold = outputs.iter().filter(|output| output.status.success()).count();
    assert_eq!(sold, 3, "three lots were listed");
    for output in outputs.iter().filter(|output| !output.status.success()) {
        assert_eq!(output.status.code(), Some(2));
        let error = String::from_utf8_lossy(&output.stderr);
        assert!(error.contains("--lots") && error.contains("0 lots left"), "{error}");
    }
    assert_eq!(till.json(&["bench"]).as_array().unwrap().len(), 3);
    assert!(till.says(&["shop", "check"]).contains("Sound"));
}

#[test]
fn what_comes_back_is_on_the_shelf_at_the_basis_it_left_with_and_a_claim_is_kept() {
    let till = Till::stocked();
    till.order();
    till.says(&["ship", "1", "--weight", "3 lb", "--postage", "9.40", "--date", "2026-08-03"]);
    let back = till.says(&[
        "back",
        "1",
        "--returned",
        "1:1",
        "--broken",
        "1:2",
        "--refund",
        "12",
        "--date",
        "2026-08-12",
    ]);
    assert!(back.contains("on the shelf again") && back.contains("broken on the way"), "{back}");
    let find = till.says(&["find", "1"]);
    assert!(find.contains("broken or lost: piece 2") && find.contains("on hand: piece 1, 3 to 13"), "{find}");
    till.says(&[
        "claim",
        "open",
        "--order",
        "1",
        "--asked",
        "12",
        "--deadline",
        "2026-09-20",
        "--date",
        "2026-08-12",
    ]);
    let claims = till.says(&["claim", "--date", "2026-08-20"]);
    assert!(claims.contains("2026-09-20, 31 days") && claims.contains("photos"), "{claims}");
    till.says(&["claim", "paid", "1", "--date", "2026-09-01"]);
    assert_eq!(till.json(&["claim"])[0]["state"], "paid");
    assert_eq!(till.json(&["tune"])["by_form"][0]["broken"]["orders"], 1);
    till.says(&["off-shelf", "--pieces", "2:11", "--as", "given-away", "--date", "2026-09-02"]);
    let year = till.json(&["year", "2026"]);
    assert!(year["given_away_cents"].as_i64().unwrap() > 0);
    assert!(till.says(&["shop", "check"]).contains("Sound"));
}

#[test]
fn reading_a_table_again_changes_nothing() {
    let till = Till::stocked();
    let table = till.at("spent.csv");
    std::fs::write(
        &table,
        "Day,Total,What\n2026-08-01,3.20,tape\n2026-08-02,4.10,=1+1\nyesterday,2,pen\n2026-08-01,3.20,tape\n2026-08-03,,x\n",
    )
    .unwrap();
    let map = ["--map", "date=Day", "--map", "amount=Total", "--map", "note=What"];
    let read = |more: &[&str]| {
        let args: Vec<&str> =
            ["read", &table, "--rows", "expenses"].into_iter().chain(more.iter().copied()).collect();
        till.json(&args)
    };
    let shown = read(&map);
    assert_eq!((&shown["ready"], &shown["stored"]), (&3.into(), &0.into()));
    let rejected = shown["rejected"].as_array().unwrap();
    assert_eq!(rejected.iter().map(|row| row["line"].as_u64().unwrap()).collect::<Vec<_>>(), [4, 6]);
    assert!(rejected[0]["reason"].as_str().unwrap().contains("2026-03-07"));
    let spent =
        || till.json(&["books", "--by", "year", "--date", "2026-12-31"])["all"]["other_cents"].clone();
    assert_eq!(spent(), 0, "nothing is stored before --store");
    let stored: Vec<&str> = map.into_iter().chain(["--store"]).collect();
    assert_eq!(read(&stored)["stored"], 3);
    assert_eq!(spent(), 1050);
    // The columns are remembered, and every row is known.
    let again = read(&["--store"]);
    assert_eq!((&again["stored_before"], &again["stored"], spent()), (&3.into(), &0.into(), 1050.into()));
}

#[test]
fn a_spreadsheet_is_read_like_its_csv_and_a_year_goes_out_without_formulas() {
    let till = Till::stocked();
    till.says(&["find", "1", "--describe", "=HYPERLINK(\"x\")"]);
    let book = till.at("year.xlsx");
    till.says(&["export", "--year", "2026", "--to", &book, "--date", "2026-12-31"]);
    let mut read: calamine::Xlsx<_> = calamine::open_workbook(&book).unwrap();
    let mut seen = false;
    for page in calamine::Reader::sheet_names(&read) {
        let formulas = calamine::Reader::worksheet_formula(&mut read, &page).unwrap();
        assert!(formulas.used_cells().next().is_none(), "a formula on page {page}");
        let cells = calamine::Reader::worksheet_range(&mut read, &page).unwrap();
        seen |= cells.used_cells().any(|(_, _, cell)| cell.to_string().contains("=HYPERLINK"));
    }
    assert!(seen, "the description is there as a text");
    // A page of it read as a table of places: the names are in its first column.
    let shown = till.json(&["read", &book, "--rows", "places", "--page", "stock", "--map", "name=what"]);
    assert_eq!((&shown["rows"], &shown["ready"]), (&2.into(), &2.into()));
    till.says(&["export", "--csv", &till.at("csv"), "--to-json", &till.at("all.json")]);
    let finds = std::fs::read_to_string(till.path("csv/find.csv")).unwrap();
    assert!(finds.contains("'=HYPERLINK"), "{finds}");
    let refused = till.refuses(&["export", "--to-json", &till.at("all.json")]);
    assert!(refused.contains("already"), "{refused}");
}

#[test]
fn a_backup_restores_what_was_there_and_keeps_what_came_after() {
    let till = Till::stocked();
    let before = till.json(&["stock", "--date", "2026-08-01"]);
    till.says(&["shop", "back-up", &till.at("copy.lotwright")]);
    till.order();
    assert_ne!(till.json(&["stock", "--date", "2026-08-01"]), before);
    let restored = till.says(&["shop", "restore", &till.at("copy.lotwright")]);
    assert!(restored.contains("before-restore"), "{restored}");
    assert_eq!(till.json(&["stock", "--date", "2026-08-01"]), before);
    let history = till.says(&["shop", "history", "find", "1"]);
    assert!(history.contains("haul bought"), "{history}");
}

#[test]
fn what_was_learnt_is_applied_only_when_told() {
    let till = Till::stocked();
    till.order();
    till.says(&["ship", "1", "--weight", "3 lb", "--date", "2026-08-03"]);
    assert_eq!(till.json(&["tune"])["market_damage"], serde_json::Value::Null);
    let applied = till.json(&["tune", "--apply"]);
    assert_eq!(applied["market_damage"], "\"1.49 %\"");
    assert!(till.says(&["setting"]).contains("market.damage"));
}

#[test]
fn a_find_of_the_shop_is_priced_and_split_by_its_number() {
    let till = Till::stocked();
    till.says(&[
        "find",
        "1",
        "--comp",
        "2 for 34 + 14.50, 20d ago",
        "--comp",
        "1 for 20 + 9",
        "--date",
        "2026-08-01",
    ]);
    let worth = till.says(&["worth", "--of", "1"]);
    assert!(worth.contains("2 comps as evidence") && worth.contains("(find 1)"), "{worth}");
    assert!(till.says(&["split", "--of", "1"]).contains("best profit"));
    let unknown = till.refuses(&["worth", "--of", "77"]);
    assert!(unknown.contains("no find 77"), "{unknown}");
    let both = till.refuses(&["worth", "--of", "1", "--form", "diner mug", "--count", "2"]);
    assert!(both.contains("--of"), "{both}");
}

#[test]
fn sets_with_pieces_of_another_find_are_priced_split_and_kept_for_both() {
    let till = Till::stocked();
    let comps = [
        "--comp",
        "2 for 84 + 14.50, 20d ago",
        "--comp",
        "1 for 50 + 9",
        "--comp",
        "4 for 150 + 20",
        "--date",
        "2026-08-01",
    ];
    let args: Vec<&str> = ["find", "1"].into_iter().chain(comps).collect();
    till.says(&args);
    let sets = ["--of", "1", "--with", "1 of 2"];
    let with = |command: &'static str, more: &[&'static str]| -> Vec<&'static str> {
        [command].iter().chain(&sets).chain(more).copied().collect()
    };
    let worth = till.says(&with("worth", &[]));
    assert!(worth.contains("in sets with find 2") && worth.contains("comps of find 1"), "{worth}");
    let alone = till.json(&with("split", &["--alone", "1: 0 %"]));
    let usual = till.json(&with("split", &[]));
    let piles = |answer: &serde_json::Value| answer[0]["piles"].as_array().unwrap().len();
    assert_eq!(
        (piles(&usual), piles(&alone)),
        (4, 2),
        "cups worth nothing alone are no pile, nor is a flawed one"
    );
    let sets_made = usual[0]["split"]["sets"].as_u64().unwrap();
    assert!((1..=11).contains(&sets_made), "{sets_made}");
    let refused = till.refuses(&with("split", &["--keep", "2"]));
    assert!(refused.contains("--keep 1"), "{refused}");
    for (more, right) in [
        (&["--with", "1 of 2"][..], "named twice"),
        (&["--with", "1 of 9"], "no find 9"),
        (&["--each", "14"], "from 1 to 13"),
        (&["--alone", "3: 5 %"], "no piece of find 3"),
    ] {
        let refused = till.refuses(&with("split", more));
        assert!(refused.contains(right), "{more:?}: {refused}");
    }
    assert!(till.refuses(&["split", "--with", "1 of 2"]).contains("--of"));
    assert_eq!(till.json(&["find", "1"])["splits"], serde_json::json!([]));
    let said = till.says(&with("split", &["--keep", "1"]));
    assert!(said.contains("Kept for find 1 and find 2, in sets: "), "{said}");
    let [cups, saucers] = ["1", "2"].map(|find| till.json(&["find", find])["splits"][0]["lots"].clone());
    assert_eq!(cups, saucers);
    let pieces: u64 = cups.as_array().unwrap().iter().map(|lot| lot.as_u64().unwrap()).sum();
    assert_eq!(pieces, usual[0]["split"]["sets"].as_u64().unwrap());
}
