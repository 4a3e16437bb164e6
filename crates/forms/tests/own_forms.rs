//! A person's own forms file: what it adds, what it replaces, what it refuses.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use forms::{Catalogue, Flag, FormsError, Measures};

/// The guide's text; its examples are run here.
const GUIDE: &str = include_str!("../../../docs/forms.md");

fn examples() -> Vec<&'static str> {
    GUIDE.split("```toml\n").skip(1).filter_map(|rest| rest.split("```").next()).collect()
}

fn overlaid(text: &str) -> Result<Catalogue, FormsError> {
    Catalogue::published().with_overrides(text)
}

#[track_caller]
fn refused(text: &str, words: &[&str]) {
    let error = overlaid(text).expect_err("the text is wrong").to_string();
    for word in words {
        assert!(error.contains(word), "\"{word}\" is not in: {error}");
    }
}

#[test]
fn the_guides_complete_example_adds_a_form() {
    let catalogue = overlaid(examples()[0]).unwrap();
    assert_eq!(catalogue.len(), Catalogue::published().len() + 1);
    let form = catalogue.find("gluggle jug").unwrap();
    assert_eq!(form.id, "fish_jug");
    let built = form.piece(&Measures::default()).unwrap();
    assert_eq!(built.piece.parts.len(), 3);
    assert!(form.figures().iter().any(|figure| figure.name == "weight" && figure.low.is_some()));
    // It also stands alone but for the cautions it names.
    let alone = Catalogue::read(examples()[0]).unwrap_err().to_string();
    assert!(alone.contains("lead_glaze"), "{alone}");
}

#[test]
fn the_guides_short_example_changes_a_form_in_place() {
    let catalogue = overlaid(examples()[1]).unwrap();
    assert_eq!(catalogue.len(), Catalogue::published().len());
    let mug = catalogue.find("diner mug").unwrap();
    let figure = |name: &str| mug.figures().into_iter().find(|figure| figure.name == name).unwrap();
    assert_eq!((figure("weight").value_text.as_str(), figure("weight").flag), ("17 oz", Flag::Measured));
    assert_eq!((figure("height").value_text.as_str(), figure("height").flag), ("3.5 in", Flag::FromMemory));
}

#[test]
fn a_form_like_another_takes_its_figures_but_not_its_names() {
    let text = "[forms.tall_mug]\nlike = \"mug_standard\"\nfigures.height_in = 5";
    let catalogue = overlaid(text).unwrap();
    let tall = catalogue.find("tall mug").unwrap();
    assert_eq!(tall.recipe, "mug");
    assert!(tall.synonyms.is_empty());
    assert_eq!(catalogue.find("mug").unwrap().id, "mug_standard");
    let height = tall.figures().into_iter().find(|figure| figure.name == "height").unwrap();
    assert_eq!((height.value_text.as_str(), height.flag), ("5 in", Flag::Judgement));
}

#[test]
fn unknown_keys_are_refused_with_the_nearest() {
    refused("[form.x]", &["the forms file", "\"form\"", "forms"]);
    refused("[forms.x]\nmaterail = \"glass\"", &["x:", "\"materail\"", "did you mean material"]);
    refused(
        "[forms.x]\nlike = \"mug_standard\"\nfigures.diametre_in = 3",
        &["x.figures", "\"diametre_in\"", "diameter_in"],
    );
    refused(
        "[forms.x]\nlike = \"mug_standard\"\nfigures.height_in = { vlaue = 3 }",
        &["x.height_in", "value"],
    );
}

#[test]
fn wrong_words_are_refused_with_the_nearest() {
    let with = |line: &str| format!("[forms.x]\nlike = \"mug_standard\"\n{line}");
    refused(&with("material = \"stonware\""), &["x: material", "\"stonware\"", "stoneware"]);
    refused(&with("company = \"fragile\""), &["company", "breakable or dense or neutral"]);
    refused(&with("fragility = \"compct\""), &["fragility", "compact"]);
    refused(&with("body = \"cone\""), &["body", "cylinder or block or stemmed"]);
    refused(&with("flag = \"memory\""), &["flag", "from memory"]);
    refused(&with("cautions = [\"led_glaze\"]"), &["cautions", "lead_glaze"]);
    refused(&with("may_have = [\"handle\"]"), &["may_have", "handles"]);
    refused("[forms.x]\nlike = \"mug_standrd\"", &["like", "mug_standard"]);
    refused("[forms.\"My Mug\"]\nlike = \"mug_standard\"", &["My Mug", "small letters"]);
}

#[test]
fn wrong_figures_are_refused_with_a_right_one() {
    let with = |line: &str| format!("[forms.x]\nlike = \"mug_standard\"\nfigures.{line}");
    for value in ["0", "-2", "nan", "inf", "\"3 in\"", "true"] {
        refused(&with(&format!("height_in = {value}")), &["x: height_in", "height_in = 3.5"]);
    }
    refused(&with("handles = 1.5"), &["handles", "1.5"]);
    refused(&with("height_in = 70"), &["x: height of 70 in", "limit of 60 in"]);
    refused(&with("handle_height_in = 9"), &["x: handle_height of 9 in", "at most 3.75 in"]);
    refused(&with("stem_height_in = 1"), &["x: stem_height_in", "cylinder body"]);
    refused(&with("spout_width_in = 1"), &["x: spout_width_in", "left out"]);
    refused(&with("weight_oz = { value = 9, low = 10 }"), &["x.weight_oz", "no less than low"]);
    refused(&with("weight_oz = { low = 10 }"), &["x.weight_oz", "value is missing"]);
}

#[test]
fn missing_keys_are_refused_with_an_example() {
    refused("[forms.x]", &["x: material is missing", "material = \"stoneware\""]);
    let most = "[forms.x]\nmaterial = \"glass\"\ncompany = \"breakable\"\nfragility = \"fine\"\n\
                recipe = \"mug\"\nbody = \"cylinder\"\n";
    refused(most, &["x: diameter_in is missing", "diameter_in = 3.25"]);
    let handled = format!("{most}figures = {{ diameter_in = 3, height_in = 3, weight_oz = 9, handles = 1 }}");
    refused(&handled, &["x: it has handles", "handle_reach"]);
    refused("[cautions.x]\ntext = \"Mind it.\"", &["caution x", "publisher is missing"]);
}

#[test]
fn a_name_that_is_taken_is_refused() {
    refused(
        "[forms.x]\nlike = \"mug_standard\"\nsynonyms = [\"Tea-Cup\"]",
        &["already means", "tea_cup", "leave it out"],
    );
}

#[test]
fn text_that_is_not_toml_is_refused_with_the_line() {
    refused("[forms.x]\nname = ", &["can't be read", "line 2"]);
    refused("forms = 3", &["the forms file", "forms", "[forms]"]);
}
