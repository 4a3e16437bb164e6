//! Decisions in money from figures it is given: how to split a pile into lots, what to answer to an offer,
//! what to pay at the shop, whether to insure. It knows neither parcels nor rate cards.
