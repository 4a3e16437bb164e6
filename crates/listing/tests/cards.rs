//! The whole card: a guest house's consomme cups, told truly, with one count everywhere.

use forms::{BuiltPiece, Catalogue, Form, Measures};
use listing::{
    Belonging, Card, Conditions, Content, Count, Disclosures, Known, ListingError, Noun, Reader, Record,
    Shots, Spot, Tables, Terms, TitleParts, Venue, Venues, characters,
};
use measure::{Length, Mass, Money, Units};

fn inches(inches: f64) -> Option<Length> {
    Some(Length::from_inches(inches))
}

fn form(name: &str) -> Form {
    Catalogue::published().find(name).expect("a right one").clone()
}

struct Tray {
    cup: Form,
    cup_built: BuiltPiece,
    saucer: Form,
    saucer_built: BuiltPiece,
}

impl Tray {
    fn new(measured: bool) -> Self {
        let (cup, saucer) = (form("consomme cup"), form("consomme saucer"));
        let of_cup = Measures {
            diameter: inches(4.0),
            height: inches(2.4),
            handle_reach: inches(0.9),
            weight: Some(Mass::from_ounces(9.3)),
            ..Measures::default()
        };
        let of_saucer = Measures { diameter: inches(6.5), height: inches(0.9), ..Measures::default() };
        let (of_cup, of_saucer) =
            if measured { (of_cup, of_saucer) } else { (Measures::default(), Measures::default()) };
        let (cup_built, saucer_built) =
            (cup.piece(&of_cup).expect("a right one"), saucer.piece(&of_saucer).expect("a right one"));
        Self { cup, cup_built, saucer, saucer_built }
    }

    fn record(&self, flaw: Option<&str>) -> Record<'_> {
        let mut cups = Content::new(Noun::new("consomme cup"), 4, &self.cup, &self.cup_built);
        cups.stock = 13;
        cups.note = "two-handled".to_owned();
        cups.capacity = Some("8 fl oz to the brim".to_owned());
        cups.flaws = flaw
            .map(|text| Conditions::published().read_flaw(text, 4).expect("a right one"))
            .into_iter()
            .collect();
        let mut saucers = Content::new(Noun::new("saucer"), 4, &self.saucer, &self.saucer_built);
        saucers.stock = 12;
        Record {
            count: Count::new(4, Belonging::Alike).expect("a right one"),
            lots: 3,
            contents: vec![cups, saucers],
            not_included: vec!["Spoons.".to_owned()],
            known: vec![],
            electrical_test: String::new(),
        }
    }
}

fn title(record: &Record<'_>) -> TitleParts {
    let mut parts = TitleParts::new(record.count, Noun::new("consomme cup"));
    parts.with = "saucers".to_owned();
    parts.material = "stoneware".to_owned();
    parts.size = "8 oz".to_owned();
    parts
}

fn terms() -> Terms {
    Terms {
        price: Money::from_cents(2800),
        floor: Money::from_cents(2200),
        shipping: "calculated for your address from the weight and size below".to_owned(),
        stated_weight: Mass::from_ounces(100.0),
        stated_size: [12.0, 12.0, 8.0].map(Length::from_inches),
    }
}

fn venue(name: &str) -> Venue {
    Venues::published().find(name).expect("a right one").clone()
}

fn compose(record: &Record<'_>, units: Units) -> Result<Card, ListingError> {
    Card::compose(record, &title(record), &terms(), &venue("open market"), &Tables::published(), units)
}

#[test]
fn the_card_tells_the_record_and_nothing_else() {
    let tray = Tray::new(true);
    let record = tray.record(Some("1 hairline 1.5 in rim"));
    let card = compose(&record, Units::UsCustomary).unwrap();
    assert_eq!(card.title.text, "4 Consomme Cups with Saucers 8 oz Stoneware Hairline");
    let text = card.description.text();
    let right = "You receive 4 consomme cups with 4 saucers (one lot of 4). 3 such lots are available.

In one lot:
- 4 consomme cups, two-handled
- 4 saucers

Measures:
- Consomme cup: body approx. 2 3/8 in H x 4 in Dia (6 x 10 cm); overall with handles approx. 2 3/8 in H x 5 3/4 in W x 4 in D (6 x 14.5 x 10 cm); holds approx. 8 fl oz to the brim
- Saucer: body approx. 7/8 in H x 6 1/2 in Dia (2.5 x 16.5 cm)

Condition:
- 1 of 4 consomme cups: hairline, 1 1/2 in, at the rim

Not included:
- Spoons.
- Anything in the pictures that is not listed above.

Please note:
- Not tested for lead or cadmium; offered for display.
- The glaze or decoration is worn or damaged, which makes it less fit still for food or drink.
- Not tested for use with food or drink, and nothing is claimed about it.
- Not tested in microwave, oven or dishwasher.
- Measures are approximate and pieces made by hand differ a little.
- Colours can look different on a screen.
- Packed with clean reused materials where they serve as well as new.

Packing: every piece is wrapped by itself and packed in a sturdy carton with padding on all sides.";
    assert_eq!(text, right);
    assert!(card.description.to_measure.is_empty());
    // The weight of a piece is for the packer, not for the buyer.
    assert!(!text.contains("9.3") && !text.contains("weigh"));
    let whole = card.text();
    for part in [
        "Price: 28.00 for one lot of 4\nQuantity: 3 lots",
        "Lowest offer to take: 22.00 for one lot of 4",
        "Weight to state: 6 lb 4 oz\nSize to state: 12 in x 12 in x 8 in",
        "the whole lot from the front, 4 consomme cups and 4 saucers in the picture and nothing else: exactly 4",
        "pointing at it (1 of 4 consomme cups: hairline, 1 1/2 in, at the rim)",
        "Look for a drilled hole",
    ] {
        assert!(whole.contains(part), "{part}\n{whole}");
    }
    assert!(!text.contains("drilled hole"), "what is for the seller stays with the seller");
}

#[test]
fn a_metric_card_gives_the_same_facts() {
    let tray = Tray::new(true);
    let card = compose(&tray.record(Some("1 hairline 1.5 in rim")), Units::Metric).unwrap();
    let text = card.text();
    for part in [
        "body approx. 6 cm H x 10 cm Dia (2 3/8 x 4 in)",
        "hairline, 39 mm",
        "2.83 kg",
        "30.5 cm x 30.5 cm x 20.3 cm",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn what_was_not_measured_is_never_printed_as_a_fact() {
    let tray = Tray::new(false);
    let card = compose(&tray.record(None), Units::UsCustomary).unwrap();
    let text = card.description.text();
    assert!(!text.contains(" in H") && !text.contains("Dia") && !text.contains("cm"), "{text}");
    assert_eq!(
        card.description.to_measure,
        [
            "height of the consomme cup",
            "diameter of the consomme cup",
            "handle reach of the consomme cup",
            "height of the saucer",
            "diameter of the saucer"
        ]
    );
    assert!(card.text().contains("To measure before listing:\n- height of the consomme cup"));
    assert!(text.contains("No flaw was recorded"));
}

#[test]
fn a_record_whose_own_counts_disagree_makes_no_card() {
    let tray = Tray::new(true);
    let spots = |change: &dyn Fn(&mut Record<'_>)| -> Vec<Spot> {
        let mut record = tray.record(None);
        change(&mut record);
        match compose(&record, Units::UsCustomary) {
            Err(ListingError::Counts(findings)) => findings.iter().map(|finding| finding.spot).collect(),
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(
        spots(&|record| record.contents[1].stock = 11),
        [Spot::Stock],
        "11 saucers make no 3 lots of 4"
    );
    assert_eq!(spots(&|record| record.lots = 4).first(), Some(&Spot::Stock));
    assert!(spots(&|record| record.count = Count::new(6, Belonging::Alike).unwrap()).contains(&Spot::Record));
}

#[test]
fn a_card_changed_by_hand_is_read_again() {
    let tray = Tray::new(true);
    let good = compose(&tray.record(None), Units::UsCustomary).unwrap();
    assert_eq!(good.lint(), []);
    let spots = |change: &dyn Fn(&mut Card)| -> Vec<Spot> {
        let mut card = good.clone();
        change(&mut card);
        card.lint().iter().map(|finding| finding.spot).collect()
    };
    assert_eq!(
        spots(&|card| card.title.text = "Half Dozen Bouillon Cups with Saucers 8 oz".to_owned()),
        [Spot::Title]
    );
    assert_eq!(
        spots(&|card| card.title.text = "Set of 4 Bouillon Cups, 4 saucers, No. 8, 8 oz".to_owned()),
        []
    );
    assert_eq!(
        spots(&|card| card.description.first_line = "You get six cups.".to_owned()),
        [Spot::FirstLine]
    );
    assert_eq!(spots(&|card| card.description.contents[1] = "3 saucers".to_owned()), [Spot::Contents(2)]);
    assert_eq!(spots(&|card| card.photos.photos[0].text = "all 6 cups".to_owned()), [Spot::Photos(1)]);
    assert_eq!(spots(&|card| card.quantity = 2), [Spot::Quantity]);
}

#[test]
fn the_venue_sets_the_limits() {
    let tray = Tray::new(true);
    let record = tray.record(Some("1 hairline 1.5 in rim"));
    let at = |lines: &str| {
        let venues = Venues::published().with(&format!("[venues.open_market]\n{lines}")).unwrap();
        let venue = venues.find("open market").unwrap();
        Card::compose(&record, &title(&record), &terms(), venue, &Tables::published(), Units::UsCustomary)
    };
    let short = at("title_limit = 40").unwrap();
    assert_eq!(short.title.text, "4 Consomme Cups with Saucers Hairline");
    assert!(short.text().contains("Left out of the title:\n- 8 oz (size): no room"), "{}", short.text());
    assert!(matches!(at("title_limit = 10"), Err(ListingError::TitleTooLong { .. })));
    assert!(matches!(
        at("description_limit = 200"),
        Err(ListingError::DescriptionTooLong { limit: 200, .. })
    ));
    assert_eq!(at("offers = false").unwrap().floor, None);
    assert_eq!(at("offers = true").unwrap().floor, Some(Money::from_cents(2200)));
    for limit in 1..=30 {
        let card = at(&format!("photo_limit = {limit}")).unwrap();
        let photos = &card.photos.photos;
        assert!(photos.len() <= limit, "{limit}");
        let all: String = photos.iter().map(|photo| photo.text.as_str()).collect();
        assert!(all.contains("the whole lot") && all.contains("hairline"), "{limit}: {all}");
        let first_optional = photos.iter().position(|photo| photo.optional).unwrap_or(photos.len());
        assert!(photos.iter().skip(first_optional).all(|photo| photo.optional));
    }
    assert!(at("photo_limit = 30").unwrap().photos.left_out.is_empty());
    assert!(!at("photo_limit = 8").unwrap().photos.left_out.is_empty());
}

#[test]
fn prices_and_stated_figures_are_checked() {
    let tray = Tray::new(true);
    let record = tray.record(None);
    let with = |change: &dyn Fn(&mut Terms)| {
        let mut terms = terms();
        change(&mut terms);
        Card::compose(
            &record,
            &title(&record),
            &terms,
            &venue("open market"),
            &Tables::published(),
            Units::Metric,
        )
        .map(|card| card.text())
    };
    assert!(with(&|_| ()).is_ok());
    assert!(with(&|terms| terms.floor = terms.price).is_ok());
    for bad in [0, -1, i64::MIN] {
        assert!(matches!(with(&|t| t.price = Money::from_cents(bad)), Err(ListingError::Price { .. })));
        assert!(matches!(with(&|t| t.floor = Money::from_cents(bad)), Err(ListingError::Price { .. })));
    }
    assert!(matches!(
        with(&|t| t.floor = Money::from_cents(2801)),
        Err(ListingError::Price { what: "floor", .. })
    ));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            with(&|t| t.stated_weight = Mass::from_grams(bad)),
            Err(ListingError::Stated { .. })
        ));
        assert!(matches!(
            with(&|t| t.stated_size[1] = Length::from_mm(bad)),
            Err(ListingError::Stated { .. })
        ));
    }
}

#[test]
fn an_empty_record_is_refused() {
    let tray = Tray::new(true);
    let mut record = tray.record(None);
    record.lots = 0;
    assert!(matches!(compose(&record, Units::Metric), Err(ListingError::NoCount { what: "0 lots" })));
    record.lots = 1;
    record.contents[1].per_lot = 0;
    assert!(matches!(compose(&record, Units::Metric), Err(ListingError::NoCount { .. })));
    record.contents.clear();
    assert_eq!(compose(&record, Units::Metric), Err(ListingError::NoContents));
}

fn disclosed(form: &Form, flaw: Option<&str>, known: &[Known], test: &str, to: Reader) -> String {
    let built = form.piece(&Measures::default()).expect("a right one");
    let conditions = Conditions::published();
    let mut content = Content::new(Noun::new("piece"), 1, form, &built);
    content.flaws =
        flaw.map(|text| conditions.read_flaw(text, 1).expect("a right one")).into_iter().collect();
    Disclosures::published().lines(&[content], &conditions, known, test, to).join("\n")
}

#[test]
fn disclosures_follow_form_material_flaw_and_what_is_known() {
    let buyer =
        |name: &str, flaw, known: &[Known], test| disclosed(&form(name), flaw, known, test, Reader::Buyer);
    assert!(buyer("diner mug", None, &[], "").contains("lead or cadmium"));
    assert!(!buyer("hardback", None, &[], "").contains("lead"));
    assert!(buyer("diner mug", Some("crazing all over"), &[], "").contains("may leak"));
    assert!(!buyer("diner mug", None, &[], "").contains("may leak"));
    assert!(buyer("wine glass", Some("chip 1/4 in rim"), &[], "").contains("sharp edges"));
    assert!(!buyer("diner mug", Some("chip 1/4 in rim"), &[], "").contains("sharp edges"));
    assert!(buyer("diner mug", Some("repaired handle"), &[], "").contains("mended"));
    let lamp = "accent lamp base, small";
    assert!(buyer(lamp, None, &[], "").contains("were not tested"));
    assert!(buyer(lamp, None, &[Known::ElectricallyTested], " ").contains("were not tested"), "tried how?");
    let tested = buyer(lamp, None, &[Known::ElectricallyTested], "lit for an hour.");
    assert!(tested.contains("tried as follows: lit for an hour. ") && !tested.contains("were not tested"));
    assert!(buyer("diner mug", None, &[Known::OrnamentalOnly], "").contains("may poison"));
    assert!(buyer("diner mug", None, &[Known::SmokeHome, Known::PetHome], "").contains("pets"));
    assert!(!buyer("diner mug", None, &[Known::NewPacking], "").contains("reused"));
    let seller = |known: &[Known]| disclosed(&form("board game"), None, known, "", Reader::Seller);
    assert!(seller(&[]).contains("recall lists"));
    assert!(!seller(&[Known::RecallChecked]).contains("recall lists"));
}

#[test]
fn pictures_follow_family_material_and_flaws() {
    let shots = Shots::published();
    let list = |name: &str, flaws: &[&str]| {
        let flaws: Vec<String> = flaws.iter().map(|&flaw| flaw.to_owned()).collect();
        let list = shots.list(1, &[(&form(name), &Noun::new("piece"), 1)], &flaws, 100);
        list.photos.iter().map(|photo| photo.text.clone()).collect::<Vec<_>>().join("\n")
    };
    assert!(list("wine glass", &[]).contains("lit from behind"));
    assert!(!list("diner mug", &[]).contains("lit from behind"));
    assert!(list("dinner plate, stoneware", &[]).contains("raking light"));
    assert!(list("skillet No. 8", &[]).contains("for wobble"));
    assert!(list("teapot, 4-cup", &[]).contains("lid off"));
    assert!(list("figurine, small, 4 in", &[]).contains("from four sides"));
    let two = list("diner mug", &["1 of 1: chip", "1 of 1: hairline"]);
    assert_eq!(two.matches("pointing at it").count(), 2);
    assert!(shots.list(1, &[], &[], 0).photos.len() == 1, "no lot and no limit are no panic");
}

#[test]
fn a_pair_and_a_single_piece_say_so_everywhere() {
    let candlestick = form("candlestick, 8 in");
    let built = candlestick.piece(&Measures::default()).unwrap();
    for (count, line, start) in [
        (1, "You receive 1 candlestick (one piece). 1 such lot is available.", "One "),
        (2, "You receive 2 candlesticks (one pair). 1 such lot is available.", "Pair of "),
    ] {
        let record = Record {
            count: Count::new(count, Belonging::Alike).unwrap(),
            lots: 1,
            contents: vec![Content::new(Noun::new("candlestick"), count, &candlestick, &built)],
            not_included: vec![],
            known: vec![],
            electrical_test: String::new(),
        };
        let parts = TitleParts::new(record.count, Noun::new("pressed glass candlestick"));
        let hall = venue("collectors hall");
        let card = Card::compose(&record, &parts, &terms(), &hall, &Tables::published(), Units::UsCustomary)
            .unwrap();
        assert_eq!(card.description.first_line, line);
        assert!(card.title.text.starts_with(start), "{}", card.title.text);
        assert!(characters(&card.title.text) <= hall.title_limit);
        assert!(card.text().contains("Offers: not taken at this venue"));
    }
}

#[test]
fn a_service_and_a_mixed_lot_make_cards() {
    let (plate, bowl) = (form("dinner plate, stoneware"), form("cereal bowl"));
    let (plate_built, bowl_built) =
        (plate.piece(&Measures::default()).unwrap(), bowl.piece(&Measures::default()).unwrap());
    for (belonging, title, line) in [
        (
            Belonging::PlaceSettings(4),
            "8 Piece Service for 4 Stoneware",
            "You receive 8 pieces (one service for 4).",
        ),
        (Belonging::MerelyTogether, "Lot of 8 Stoneware", "You receive 8 pieces (one lot of 8)."),
    ] {
        let contents = vec![
            Content::new(Noun::new("dinner plate"), 4, &plate, &plate_built),
            Content::new(Noun::new("bowl"), 4, &bowl, &bowl_built),
        ];
        let record = Record {
            count: Count::new(8, belonging).unwrap(),
            lots: 1,
            contents,
            not_included: vec![],
            known: vec![],
            electrical_test: String::new(),
        };
        let parts =
            TitleParts::new(record.count, Noun { one: "stoneware".to_owned(), many: "stoneware".to_owned() });
        let tables = Tables::published();
        let card =
            Card::compose(&record, &parts, &terms(), &venue("open market"), &tables, Units::UsCustomary)
                .unwrap();
        assert_eq!(card.title.text, title);
        assert!(card.description.first_line.starts_with(line), "{}", card.description.first_line);
    }
}
