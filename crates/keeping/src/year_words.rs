//! What a year's worksheet leaves open.

use books::OpenQuestion;

/// What is left to the preparer, in words.
#[must_use]
pub fn question(question: &OpenQuestion) -> String {
    match question {
        OpenQuestion::PostageLine => {
            String::from("On which line does postage go? It is added up once, whichever is chosen.")
        }
        OpenQuestion::Equipment(cost) => {
            format!("Equipment of {cost} was bought and is on no line: how is it deducted?")
        }
        OpenQuestion::GivenAway(basis) => {
            format!("Goods of {basis} were given away and are in cost of goods: does another rule hold?")
        }
        OpenQuestion::Claims(amount) => {
            format!("Claims of {amount} were paid and are other income: is that right?")
        }
        OpenQuestion::SalesTaxHeld(tax) => {
            format!("Sales tax of {tax} is held and not remitted: when is it due?")
        }
        OpenQuestion::LineNotSeen(line) => {
            format!("The line for {line} is taken from the year before; the form of this year was not seen.")
        }
    }
}
