//! What a sheet may refer to by name, and where its own files come from.

use forms::Catalogue;
use trade::CartonStock;

/// The names a sheet may use, and the way to the files that it names.
///
/// Reading a sheet touches no disk: `files` is asked for the bytes of a file by the name that stands in
/// the sheet, and answers with a reason where there is none.
pub struct Library<'a> {
    /// The forms.
    pub forms: &'a Catalogue,
    /// Names of the packing recipes.
    pub recipes: Vec<String>,
    /// Names of the profiles of protection.
    pub profiles: Vec<String>,
    /// The profile taken when a sheet names none; one of `profiles`.
    pub usual_profile: String,
    /// Names of the void fills.
    pub fills: Vec<String>,
    /// The void fill taken when a sheet names none; one of `fills`.
    pub usual_fill: String,
    /// Names of the grades of board.
    pub grades: Vec<String>,
    /// The grade taken when a carton names none; one of `grades`.
    pub usual_grade: String,
    /// The list of stock cartons.
    pub stock: Vec<CartonStock>,
    /// The bytes of a file that the sheet names (own rate card, own zone chart), or why there are none.
    pub files: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
}
