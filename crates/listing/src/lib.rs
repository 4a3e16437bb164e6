//! The words of a listing: venues and their limits, titles, condition, photos, disclosures, and one count
//! everywhere.
