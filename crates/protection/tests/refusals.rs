//! What is refused, and what the message says would be right.

mod pieces;

use measure::Length;
use pieces::{recipe, round, wrap_with};
use protection::{
    Flag, Grades, LoadClass, Materials, PieceToWrap, Profiles, Recipes, Stock, StockCartons, carton, protect,
};
use shape::{Company, Piece};

fn refuses<T: std::fmt::Debug>(result: Result<T, protection::ProtectionError>, says: &[&str]) {
    let message = result.expect_err("must be refused").to_string();
    for part in says {
        assert!(message.contains(part), "\"{message}\" should say \"{part}\"");
    }
}

#[test]
fn material_files_are_read_strictly() {
    let materials = Materials::published();
    let over = |text: &str| materials.with_overrides(text);
    refuses(over("[materials.bubble_small\n"), &["materials file", "[materials.my_bubble]"]);
    refuses(
        over("[materials.bubble_small]\nthicknes_in = { value = 0.2 }\n"),
        &["thicknes_in", "did you mean thickness_in?"],
    );
    refuses(
        over("[materials.bubble_small]\nthickness_in = { value = 0 }\n"),
        &["material bubble_small", "0.0005"],
    );
    refuses(over("[materials.bubble_small]\nthickness_in = { value = -0.2 }\n"), &["thickness_in", "-0.2"]);
    refuses(over("[materials.bubble_small]\nthickness_in = { value = nan }\n"), &["nan"]);
    refuses(over("[materials.bubble_small]\nthickness_in = 0.2\n"), &["{ value = "]);
    refuses(
        over("[materials.bubble_small]\ncost_ft2 = { value = 0.1, low = 0.2 }\n"),
        &["low", "at most the value"],
    );
    refuses(
        over("[materials.bubble_small]\ncost_ft2 = { value = 0.1, flag = \"publishd\" }\n"),
        &["published"],
    );
    refuses(over("[materials.bubble_small]\nsheet_in = { value = [12] }\n"), &["2 numbers"]);
    refuses(over("[materials.mine]\nkind = \"shet\"\n"), &["\"shet\"", "sheet"]);
    refuses(over("[materials.mine]\nkind = \"board\"\n"), &["material mine", "thickness_in is missing"]);
    refuses(over("[roles]\npad = \"tissue\"\n"), &["a sheet", "a board"]);
    refuses(over("[roles]\nfill = \"eps_fil\"\n"), &["eps_fil", "eps_fill"]);
    refuses(Materials::read(""), &["roles is missing"]);
    refuses(Materials::read("[other]\n"), &["\"other\" is not known"]);
}

#[test]
fn recipe_files_are_read_strictly() {
    let recipes = Recipes::published();
    let over = |text: &str| recipes.with_overrides(text);
    refuses(recipes.find("tea pott"), &["recipe", "teapot"]);
    refuses(over("[recipes.mug]\nwraps = []\n"), &["recipe mug", "did you mean wrap?"]);
    refuses(over("[recipes.mug]\nwrap = []\n"), &["wrap is missing"]);
    refuses(
        over("[recipes.mug]\nwrap = [{ material = \"tissue\", layers = 0 }]\n"),
        &["layers", "from 1 to 40"],
    );
    refuses(
        over("[recipes.mug]\nwrap = [{ material = \"tissue\", layers = 1, turns = 1 }]\n"),
        &["a turn is a layer"],
    );
    refuses(over("[recipes.mug]\nwrap = [{ material = \"tissue\", layers = 1.5 }]\n"), &["whole number"]);
    refuses(over("[recipes.mug]\nways_up = []\n"), &["ways_up", "upright"]);
    refuses(over("[recipes.mug]\nways_up = [\"upsidedown\"]\n"), &["upsidedown"]);
    refuses(over("[recipes.mug]\nways_up = [\"upright\", \"upright\"]\n"), &["different words"]);
    refuses(over("[recipes.mug]\ncushion = \"fragil\"\n"), &["fragile"]);
    refuses(over("[recipes.mug]\nbundle = { rule = \"nests\" }\n"), &["nest"]);
    refuses(
        over(
            "[recipes.mug]\nbundle = { rule = \"nest\", most = 2, interleaf = { material = \"foam_8\", layers = 1 } }\n",
        ),
        &["interleaf", "from 2 to 40"],
    );
    refuses(over("[recipes.mug]\nbundle = { rule = \"on_edge\", most = 2 }\n"), &["interleaf is missing"]);
    refuses(
        over("[recipes.mug]\nguards = [{ parts = [\"handel\"], material = \"foam_8\", layers = 1 }]\n"),
        &["handle"],
    );
    refuses(over("[recipes.mine]\ncushion = \"fragile\"\n"), &["recipe mine", "wrap is missing"]);
    refuses(over("recipes = 3\n"), &["recipes"]);
}

#[test]
fn a_recipe_with_an_unknown_or_unfit_material_protects_nothing() {
    let piece = round(4.0, 4.0, 12.0);
    let profiles = Profiles::published();
    let with = |text: &str| {
        let recipes = Recipes::published().with_overrides(text).expect("reads");
        let materials = Materials::published();
        assert!(recipes.check(&materials).is_err());
        let what =
            PieceToWrap { find: "f", what: "mug", piece: &piece, company: Company::Breakable, count: 1 };
        protect(&what, recipes.find("mug").expect("mug"), &materials, profiles.find("snug").expect("snug"))
    };
    refuses(
        with("[recipes.mug]\nwrap = [{ material = \"buble_small\", layers = 1 }]\n"),
        &["buble_small", "bubble_small"],
    );
    refuses(
        with("[recipes.mug]\nwrap = [{ material = \"eps_fill\", layers = 1 }]\n"),
        &["recipe mug", "wrap", "\"sheet\""],
    );
    refuses(with("[recipes.mug]\nwrap = [{ material = \"tube\", layers = 1 }]\n"), &["tube"]);
    refuses(with("[recipes.mug]\nstuff = \"bubble_small\"\n"), &["stuffing", "crumpled_lb_ft3"]);
    refuses(
        with("[recipes.mug]\nguards = [{ parts = [\"handle\"], material = \"tape\", layers = 1 }]\n"),
        &["tape", "a guard"],
    );
}

#[test]
fn a_piece_that_is_no_piece_is_refused() {
    let with = |change: &dyn Fn(&mut Piece), count: u32| {
        let mut piece = round(4.0, 4.0, 12.0);
        change(&mut piece);
        let what = PieceToWrap { find: "f", what: "cup", piece: &piece, company: Company::Breakable, count };
        let profiles = Profiles::published();
        protect(&what, &recipe("bowl"), &Materials::published(), profiles.find("snug").expect("snug"))
    };
    assert!(with(&|_| {}, 1).is_ok());
    refuses(with(&|_| {}, 0), &["cup", "a count from 1"]);
    refuses(with(&|_| {}, u32::MAX), &["cup", "a count from 1"]);
    refuses(with(&|piece| piece.parts.clear(), 1), &["at least a body"]);
    refuses(with(&|piece| piece.mass_g = f64::NAN, 1), &["weight"]);
    refuses(with(&|piece| piece.mass_g = 0.0, 1), &["weight"]);
    refuses(with(&|piece| piece.hollow_mm3 = -1.0, 1), &["hollow"]);
    refuses(with(&|piece| piece.pitch_mm = Some(0.0), 2), &["pitch"]);
    refuses(with(&|piece| piece.apart_mass_share = vec![0.5], 1), &["shares"]);
    refuses(with(&|piece| piece.parts[0].placement.at_mm[0] = f64::INFINITY, 1), &["side"]);
    refuses(
        with(&|piece| piece.parts[0].solid = shape::Solid::Block { x_mm: 0.0, y_mm: 1.0, z_mm: 1.0 }, 1),
        &["side"],
    );
}

#[test]
fn profiles_and_grades_are_read_strictly() {
    let profiles = Profiles::published();
    refuses(profiles.find("rule of tow"), &["profile", "rule_of_two"]);
    refuses(profiles.with_overrides("[profiles.mine]\nfragile_in = 2\n"), &["very_fragile_in is missing"]);
    refuses(profiles.with_overrides("[profiles.snug]\nfragile_in = -1\n"), &["from 0 to 12"]);
    refuses(profiles.with_overrides("[rules]\ncrush = { value = 1.0 }\n"), &["crush", "0.9"]);
    let grades = Grades::published();
    refuses(grades.find("33 ECT"), &["grade of board", "32 ECT"]);
    refuses(grades.with_overrides("[grades.mine]\nwall = \"doubel\"\n"), &["double"]);
    refuses(grades.with_overrides("[grades.\"32 ECT\"]\ncaliper_in = { value = 0 }\n"), &["caliper_in"]);
    refuses(StockCartons::published().find("12x12x7"), &["stock carton", "12 x 12 x"]);
    refuses(StockCartons::read("[[group]]\n"), &["group", "groups"]);
}

#[test]
fn a_carton_that_cannot_be_is_refused() {
    let grades = Grades::published();
    let make = |sides: [f64; 3], cut: Option<f64>, grade: &str, load| {
        let inside = sides.map(Length::from_inches);
        let grade = grades.find(grade).expect("grade");
        carton("c", inside, cut.map(Length::from_inches), grade, &grades, load)
    };
    let hard = LoadClass::Difficult;
    let made = make([8.0, 12.0, 6.0], None, "32 ECT", hard).expect("carton");
    assert!(made.inside_mm[0] > made.inside_mm[1], "the longer side comes first");
    assert!(made.board.contains("32 ECT") && made.board.contains("parcel practice"), "{}", made.board);
    refuses(make([0.0, 12.0, 6.0], None, "32 ECT", hard), &["carton c", "1 to 120 in"]);
    refuses(make([f64::NAN, 12.0, 6.0], None, "32 ECT", hard), &["carton c"]);
    refuses(make([12.0, 12.0, 6.0], Some(6.0), "32 ECT", hard), &["lower than the carton"]);
    refuses(make([12.0, 12.0, 6.0], Some(0.0), "32 ECT", hard), &["cut down"]);
    refuses(make([30.0, 30.0, 30.0], None, "32 ECT", hard), &["75 in", "stronger board"]);
    refuses(make([8.0, 8.0, 8.0], None, "23 ECT", hard), &["fragile"]);
}

#[test]
fn an_override_keeps_what_it_does_not_restate_and_is_flagged_as_own() {
    let own = Materials::published()
        .with_overrides("[materials.bubble_small]\nthickness_in = { value = 0.2 }\n")
        .expect("override");
    let bubble = own.find("bubble_small").expect("bubble");
    assert_eq!(bubble.name, "bubble 3/16 in");
    let Stock::Sheet { thickness_in, .. } = &bubble.stock else { panic!("a sheet") };
    assert_eq!((thickness_in.value, thickness_in.origin.flag), (0.2, Flag::Own));
    let piece = round(4.0, 4.0, 12.0);
    let wrapped = wrap_with(&piece, &recipe("mug"), 1, &own);
    assert!((wrapped[0].bundle.parts[0].wrap_mm - pieces::mm(0.4)).abs() < 1e-9);
    let again = own.with_overrides("").expect("nothing changes");
    assert_eq!(again, own);
}
