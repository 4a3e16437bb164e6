//! The year worksheet: what goes on which line, and what is left to the preparer.

use std::collections::BTreeMap;

use measure::Money;

use crate::cost_closing::{CostClosing, GrossProfit};
use crate::deposits::{Deposits, FormGross, deposits, form_gross};
use crate::{Account, Books, BooksError, Entry, Flag, FormLines, Kind, Memo, MileageRates, SheetLine};

/// What every page of figures for a tax return says.
pub const NOT_TAX_ADVICE: &str = "This is not tax advice. Check it with a preparer.";

/// The dated tables a worksheet needs.
#[derive(Debug, Clone, PartialEq)]
pub struct TaxTables {
    /// Where lines go.
    pub lines: FormLines,
    /// Standard mileage rates.
    pub mileage: MileageRates,
}

impl TaxTables {
    /// The tables that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self { lines: FormLines::published(), mileage: MileageRates::published() }
    }
}

/// How much stands on a line, and where the line is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorksheetRow {
    /// The line by meaning.
    pub line: SheetLine,
    /// Its number on the form; more than one is an open question for the preparer.
    pub form_lines: Vec<String>,
    /// How well the number is known.
    pub flag: Flag,
    /// Where the number comes from.
    pub source: String,
    /// The amount.
    pub amount: Money,
}

/// Something that the worksheet leaves to the preparer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpenQuestion {
    /// On which line postage goes.
    PostageLine,
    /// Equipment of this cost was bought; it is in none of the lines.
    Equipment(Money),
    /// Pieces of this basis were given away; they are in cost of goods.
    GivenAway(Money),
    /// Claims of this amount were paid; they are in other income.
    Claims(Money),
    /// Sales tax collected by the person is still held at the end of the year.
    SalesTaxHeld(Money),
    /// The number of a form line of this year was not seen on the form.
    LineNotSeen(SheetLine),
}

/// A year on the lines of the US sole proprietor's form. Not tax advice; check with a preparer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct YearWorksheet {
    /// The year.
    pub year: i16,
    /// The lines in the order of the form.
    pub rows: Vec<WorksheetRow>,
    /// What cost of goods is made of.
    pub cost: CostClosing,
    /// Of the cost of goods, basis of what broke or was lost.
    pub of_which_broken: Money,
    /// Of the cost of goods, basis of what was given away.
    pub of_which_given_away: Money,
    /// Sales tax that venues collected and remit: on no line.
    pub sales_tax_memo: Money,
    /// Supplies on hand at the end, at cost: on no line until they are used.
    pub supplies_on_hand: Money,
    /// The venue's balance.
    pub deposits: Deposits,
    /// What an information return should show, without sales tax.
    pub form_gross: FormGross,
    /// What is left to the preparer.
    pub questions: Vec<OpenQuestion>,
}

impl YearWorksheet {
    /// The amount on a line; 0.00 where there is none.
    #[must_use]
    pub fn amount(&self, line: SheetLine) -> Money {
        self.rows.iter().find(|row| row.line == line).map_or(Money::ZERO, |row| row.amount)
    }

    /// What every page with these figures says.
    #[must_use]
    pub const fn notice(&self) -> &'static str {
        NOT_TAX_ADVICE
    }
}

/// Makes the worksheet of a year from the books.
///
/// # Errors
/// When a table has no row for the year or for the day of a trip.
pub fn year_worksheet(books: &Books, year: i16, tables: &TaxTables) -> Result<YearWorksheet, BooksError> {
    // Each pass over all entries of many years costs more than all sums over those of one.
    let entries: Vec<&Entry> = books.entries().iter().filter(|entry| entry.date().year() == year).collect();
    let of_year = || entries.iter().copied();
    let sums = books.nets(|date| date.year() == year);
    let before = books.nets(|date| date.year() < year);
    let net = |account: Account| sums.get(&account).copied().unwrap_or_default();
    let up_to = |account: Account| before.get(&account).copied().unwrap_or_default() + net(account);
    let of_kind = |kind: Kind, account: Account| -> Money {
        of_year().filter(|entry| entry.kind() == kind).map(|entry| entry.net(account)).sum()
    };
    let freight: Money = of_year().map(Entry::freight_in).sum();
    let cost = CostClosing {
        opening: before.get(&Account::Goods).copied().unwrap_or_default(),
        purchases: of_kind(Kind::HaulBought, Account::Goods) - freight
            + of_kind(Kind::HaulAdjusted, Account::CostOfGoods),
        personal: -of_kind(Kind::PersonalWithdrawal, Account::Goods),
        labour: Money::ZERO,
        materials: Money::ZERO,
        other: freight,
        closing: up_to(Account::Goods),
    };
    let trips = of_year().flat_map(|entry| {
        let taken_back = entry.corrects().is_some();
        entry.memos().iter().filter_map(move |memo| match memo {
            Memo::Trip(trip) => Some((trip, taken_back)),
            Memo::SalesTax(_) | Memo::FreightIn(_) | Memo::Supply(..) | Memo::Recosted(_) => None,
        })
    });
    let car = tables.mileage.allowance_with_corrections(trips)? + net(Account::ParkingAndTolls);
    let profit = GrossProfit {
        receipts: -(net(Account::Sales) + net(Account::ShippingCharged)),
        returns: net(Account::Refunds),
        cost_of_goods: cost.cost_of_goods(),
    };
    let other_income = -(net(Account::ClaimsIncome) + net(Account::OtherIncome));
    let expenses = [
        (SheetLine::Advertising, net(Account::Advertising)),
        (SheetLine::Car, car),
        (SheetLine::CommissionsAndFees, net(Account::Fees)),
        (SheetLine::Insurance, net(Account::Insurance)),
        (SheetLine::OfficeExpense, net(Account::OfficeExpense)),
        (SheetLine::Postage, net(Account::Postage)),
        (SheetLine::Supplies, net(Account::SuppliesUsed)),
        (SheetLine::TaxesAndLicences, net(Account::TaxesAndLicences)),
        (SheetLine::OtherExpenses, net(Account::OtherExpense)),
    ];
    let total: Money = expenses.iter().map(|&(_, amount)| amount).sum();
    let gross_income = profit.amount() + other_income;
    let mut amounts: BTreeMap<SheetLine, Money> = expenses.into_iter().collect();
    amounts.extend([
        (SheetLine::GrossReceipts, profit.receipts),
        (SheetLine::Returns, profit.returns),
        (SheetLine::NetReceipts, profit.net_receipts()),
        (SheetLine::CostOfGoods, profit.cost_of_goods),
        (SheetLine::GrossProfit, profit.amount()),
        (SheetLine::OtherIncome, other_income),
        (SheetLine::GrossIncome, gross_income),
        (SheetLine::TotalExpenses, total),
        (SheetLine::NetProfit, gross_income - total),
        (SheetLine::OpeningStock, cost.opening),
        (SheetLine::Purchases, cost.purchases_net()),
        (SheetLine::Labour, cost.labour),
        (SheetLine::Materials, cost.materials),
        (SheetLine::OtherCosts, cost.other),
        (SheetLine::GoodsAvailable, cost.available()),
        (SheetLine::ClosingStock, cost.closing),
        (SheetLine::CostClosed, cost.cost_of_goods()),
    ]);
    let mut rows = Vec::with_capacity(amounts.len());
    for line in SheetLine::ALL {
        let place = tables.lines.of(line, year)?;
        rows.push(WorksheetRow {
            line,
            form_lines: place.lines.clone(),
            flag: place.flag,
            source: place.source.clone(),
            amount: amounts.get(&line).copied().unwrap_or_default(),
        });
    }
    let given_away = net(Account::GivenAway);
    let mut questions = Vec::new();
    let asked = [
        (net(Account::Postage), OpenQuestion::PostageLine),
        (net(Account::Equipment), OpenQuestion::Equipment(net(Account::Equipment))),
        (given_away, OpenQuestion::GivenAway(given_away)),
        (net(Account::ClaimsIncome), OpenQuestion::Claims(-net(Account::ClaimsIncome))),
    ];
    questions.extend(asked.into_iter().filter(|&(amount, _)| amount != Money::ZERO).map(|(_, asked)| asked));
    let held = -up_to(Account::SalesTaxHeld);
    if held != Money::ZERO {
        questions.push(OpenQuestion::SalesTaxHeld(held));
    }
    let unseen = |row: &&WorksheetRow| {
        row.flag == Flag::Judgement && row.form_lines.len() == 1 && row.amount != Money::ZERO
    };
    questions.extend(rows.iter().filter(unseen).map(|row| OpenQuestion::LineNotSeen(row.line)));
    Ok(YearWorksheet {
        year,
        rows,
        cost,
        of_which_broken: net(Account::DamageLoss),
        of_which_given_away: given_away,
        sales_tax_memo: of_year().map(Entry::sales_tax).sum(),
        supplies_on_hand: up_to(Account::SuppliesOnHand),
        deposits: deposits(books, year),
        form_gross: form_gross(books, year, false),
        questions,
    })
}
