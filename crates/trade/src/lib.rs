//! Where the rooms meet: orders, parcels, postage and what is left of the money.

mod job;

pub use job::{Buyer, CartonStock, Charging, Find, Job, MixedOrder, Post, Protecting, Row};
