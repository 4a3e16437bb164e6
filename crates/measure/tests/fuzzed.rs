//! The body of the fuzz target `amounts` over its seeds and seeded mutations of them.

#[path = "../../../fuzz/bodies/amounts.rs"]
mod body;
#[path = "../../../fuzz/bodies/mutations.rs"]
mod mutations;

#[test]
fn any_text_is_a_finite_amount_or_a_sentence() {
    mutations::run(&mutations::seeds("amounts", None), body::TOKENS, body::run);
}
