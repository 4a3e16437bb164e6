//! The same order gives the same plan, to the last bit, with any number of threads.

mod shops;

use shape::Contents;
use shops::{Shop, Tables};

/// Orders that are compared.
const ORDERS: u64 = 20;
/// Bundles in one layer that leave the search something to choose; fewer are placed without a draw.
const ENOUGH: usize = 3;

/// The largest order of a shop, packed by so many threads.
fn packed(shop: &Shop, tables: &Tables, threads: usize) -> Result<packing::Packed, packing::Refused> {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("a few threads");
    let order = shop.orders.iter().max_by_key(|order| order.iter().sum::<u32>()).expect("a shop has orders");
    let bundles = shop.bundles(order, tables).expect("a published form is wrapped");
    let expected: Vec<Contents> = shop.contents(order);
    pool.install(|| {
        shop.pack(&mut shop.packer(), &bundles, &|parcel| proof::check(parcel, &expected).is_empty())
    })
}

#[test]
fn one_two_and_four_threads_make_the_same_plan_of_twenty_random_orders() {
    let tables = Tables::published();
    let (mut seed, mut planned) = (1, 0);
    while planned < ORDERS {
        let shop = Shop::of(seed, &tables);
        seed += 1;
        let alone = packed(&shop, &tables, 1);
        // Refusals and plans of little choice are compared as well, but not counted.
        let full =
            |packed: &packing::Packed| packed.parcel.layers.iter().any(|layer| layer.bundles.len() >= ENOUGH);
        planned += u64::from(alone.as_ref().is_ok_and(full));
        for threads in [2, 4] {
            assert_eq!(packed(&shop, &tables, threads), alone, "shop {}, {threads} threads", shop.seed);
        }
    }
}
