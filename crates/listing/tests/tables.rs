//! Data files: what comes with the program is sound, a person's own rows go over it, and every mistake
//! names its row and field.

use std::collections::BTreeSet;

use forms::{Catalogue, Flag};
use listing::{Conditions, Disclosures, Kind, Needs, Reader, Shots, TITLE_SEVERITY, TaxBy, Venues};
use measure::Money;

#[test]
fn the_invented_venues_say_that_they_are() {
    let venues = Venues::published();
    assert_eq!(venues.iter().count(), 2);
    for venue in venues.iter() {
        assert!(venue.source.starts_with("invented for the demonstration, replace"), "{}", venue.id);
        assert_eq!(venue.flag, Flag::Judgement);
    }
}

#[test]
fn the_template_is_a_right_file_once_uncommented() {
    assert_eq!(Venues::read(Venues::template()).unwrap().iter().count(), 0, "as it stands it adds nothing");
    let uncommented: String = Venues::template()
        .lines()
        .filter_map(|line| line.strip_prefix("# "))
        .filter(|line| line.starts_with('[') || line.contains(" = "))
        .map(|line| format!("{line}\n"))
        .collect();
    let venues = Venues::published().with(&uncommented).unwrap();
    let mine = venues.find("my venue").unwrap();
    assert_eq!((mine.fixed_fee, mine.title_limit), (Money::from_cents(30), 80));
    assert_eq!(mine.description_limit, Some(4000));
    assert_eq!(mine.sales_tax_by, TaxBy::Venue);
    assert_eq!(venues.iter().count(), 3);
}

#[test]
fn a_venue_s_mistakes_name_venue_field_and_what_is_right() {
    let with = |line: &str| {
        let error = Venues::published().with(&format!("[venues.open_market]\n{line}")).unwrap_err();
        error.to_string()
    };
    for (line, parts) in [
        ("fee_on_item_percent = 100.5", ["venue open_market: fee_on_item_percent", "from 0 to 100"]),
        ("fee_on_shipping_percent = -1", ["fee_on_shipping_percent can't be -1", "from 0 to 100"]),
        ("fee_on_tax_percent = nan", ["fee_on_tax_percent", "a number"]),
        ("fixed_fee_per_order = 0.305", ["fixed_fee_per_order", "whole cents"]),
        ("fixed_fee_per_order = -0.30", ["fixed_fee_per_order", "from 0 on"]),
        ("title_limit = 0", ["title_limit can't be 0", "from 10 to 1000"]),
        ("photo_limit = 0", ["photo_limit can't be 0", "from 1 to 200"]),
        ("title_limit = 79.5", ["title_limit can't be 79.5", "a whole number"]),
        ("sales_tax_by = \"sellers\"", ["sales_tax_by can't be \"sellers\"", "seller"]),
        ("titel_limit = 80", ["\"titel_limit\" is not known here", "title_limit"]),
        ("offers = \"yes\"", ["offers can't be", "true or false"]),
        ("source = \"\"", ["source can't be", "text in quotes"]),
    ] {
        let message = with(line);
        for part in parts {
            assert!(message.contains(part), "{line}: {message}");
        }
    }
    let missing = Venues::read("[venues.mine]\nname = \"mine\"").unwrap_err().to_string();
    assert!(missing.contains("venue mine: source is missing"), "{missing}");
    let taken = Venues::published().with("[venues.collectors_hall]\nname = \"Open-Market\"").unwrap_err();
    assert!(taken.to_string().contains("already means"), "{taken}");
    assert!(Venues::read("[venues.\"My Venue\"]").unwrap_err().to_string().contains("small letters"));
    assert!(Venues::read("[venues").unwrap_err().to_string().contains("venues file can't be read"));
}

#[test]
fn an_override_changes_only_what_it_states() {
    let before = Venues::published();
    let after = before.with("[venues.open_market]\ntitle_limit = 65").unwrap();
    let (old, new) = (before.find("open_market").unwrap(), after.find("open_market").unwrap());
    assert_eq!(new.title_limit, 65);
    assert_eq!((old.fee_on_item, old.photo_limit), (new.fee_on_item, new.photo_limit));
    let renamed = Conditions::published().with("[terms.chip]\nmeaning = \"a loss I can see\"").unwrap();
    assert_eq!(renamed.find("chip").unwrap().meaning, "a loss I can see");
    assert_eq!(renamed.find("chip").unwrap().severity, (3, 4));
}

#[test]
fn the_vocabulary_is_whole() {
    let conditions = Conditions::published();
    for kind in Kind::ALL {
        assert!(conditions.iter().any(|term| term.kind == *kind), "no term of kind {kind}");
    }
    for term in conditions.iter() {
        let with_place = matches!(term.kind, Kind::Damage | Kind::Made | Kind::Age | Kind::Soil);
        assert!(!with_place || term.needs.contains(&Needs::Place), "{} needs a place", term.id);
        let titled = term.kind == Kind::Damage && term.severity.1 >= TITLE_SEVERITY;
        assert_eq!(term.goes_in_title(), titled, "{}", term.id);
        assert_ne!(term.flag, Flag::Measured);
    }
    for (word, id) in [
        ("Frit", "flake"),
        ("chigger bite", "flea_bite"),
        ("fish-eye", "bruise"),
        ("age line", "hairline"),
        ("marriage", "married"),
        ("re glued", "reglued"),
        ("kiln kiss", "kiln_kiss"),
    ] {
        assert_eq!(conditions.find(word).unwrap().id, id);
    }
    assert!(!conditions.find("glaze hairline").unwrap().goes_in_title());
    assert!(conditions.find("hairline").unwrap().goes_in_title());
    assert!(conditions.find("hairlin").unwrap_err().to_string().contains("did you mean hairline"));
}

#[test]
fn a_term_s_mistakes_name_term_field_and_what_is_right() {
    for (line, part) in [
        ("severity = 6", "term chip: severity can't be 6"),
        ("severity = [4, 3]", "the lower first"),
        ("kind = \"damaged\"", "right would be damage"),
        ("needs = [\"place\", \"lenght\"]", "term chip: needs can't be \"lenght\""),
        ("below_mm = 0", "below_mm can't be 0"),
        ("below_mm = 2\nup_to_mm = 3", "left out where below_mm is given"),
        ("synonyms = [\"nick\"]", "already means"),
    ] {
        let error = Conditions::published().with(&format!("[terms.chip]\n{line}")).unwrap_err().to_string();
        assert!(error.contains(part), "{line}: {error}");
    }
    let orphan = "[terms.speck]\nname=\"speck\"\nmeaning=\"m\"\nkind=\"made\"\nseverity=0\nup_to_mm=1\nsource=\"s\"\nflag=\"judgement\"";
    assert!(Conditions::published().with(orphan).unwrap_err().to_string().contains("family is missing"));
}

#[test]
fn every_recipe_of_the_forms_table_has_a_family() {
    let shots = Shots::published();
    for form in Catalogue::published().forms() {
        assert!(shots.family(form).is_some(), "{} has recipe {}", form.id, form.recipe);
    }
    let error = Shots::published().with("[shots.group]\nfamilies = [\"cupp\"]").unwrap_err().to_string();
    assert!(error.contains("shot group: families can't be \"cupp\"; right would be cup"), "{error}");
}

/// Cautions about packing and postage, which have nothing to say to a buyer or before listing.
const NOT_FOR_LISTINGS: [&str; 7] =
    ["sharp_tools", "heavy_lift", "brittle_iron", "old_marks", "media_rate", "plate_hanger", "heat"];

#[test]
fn every_caution_of_the_forms_table_has_a_disclosure_or_is_about_packing() {
    let disclosures = Disclosures::published();
    let spoken: BTreeSet<&str> =
        disclosures.iter().flat_map(|row| &row.cautions).map(String::as_str).collect();
    let catalogue = Catalogue::published();
    let keys: BTreeSet<&str> = catalogue.cautions().map(|caution| caution.key.as_str()).collect();
    for key in &keys {
        // Wax is lifted before packing; chipped edges are said by term and material.
        let elsewhere = NOT_FOR_LISTINGS.contains(key) || ["wax_residue", "sharp_chips"].contains(key);
        assert!(spoken.contains(key) != elsewhere, "{key}");
    }
    for key in spoken {
        assert!(keys.contains(key), "no form has the caution {key}");
    }
    let conditions = Conditions::published();
    for term in disclosures.iter().flat_map(|row| &row.terms) {
        assert!(conditions.iter().any(|known| known.id == *term), "no term is called {term}");
    }
}

#[test]
fn no_disclosure_claims_that_a_piece_is_safe() {
    for row in Disclosures::published().iter().filter(|row| row.to == Reader::Buyer) {
        let text = row.text.to_lowercase();
        for claim in ["lead free", "lead-free", "food safe", "food-safe", "microwave safe", "is safe"] {
            assert!(!text.contains(claim), "{}: {}", row.id, row.text);
        }
    }
}
