// The whole way from an empty shop to a packed, reconciled order and the year, on a phone and on a laptop.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { after, before, test } from "node:test";
import { browser, inside, overhang, serve, violations, watched } from "./app.mjs";

let chrome;
const shots = process.env.SCREENSHOTS;
before(async () => {
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
});

/** Presses a button or link and waits for the page it leads to. */
async function go(page, role, name, title) {
  await page.getByRole(role, { name, exact: true }).first().click();
  await page.getByRole("heading", { level: 1, name: title }).waitFor({ timeout: 120_000 });
}

async function fill(page, fields) {
  for (const [label, value] of Object.entries(fields)) {
    const field = page.getByLabel(label).first();
    if ((await field.evaluate((one) => one.tagName)) === "SELECT") await field.selectOption(value);
    else await field.fill(value);
  }
}

/** What each page on the way must be: quiet, no wider than its window, found whole by axe. */
async function looked(page, width, name) {
  assert.ok((await overhang(page)) <= 0, `${name} is ${await overhang(page)} px too wide`);
  assert.deepEqual(await violations(page), [], name);
  if (shots) {
    mkdirSync(shots, { recursive: true });
    await page.screenshot({ path: `${shots}/way-${name}-${width}.png`, fullPage: true });
  }
}

const SUPPLIES = [
  { Name: "12 x 12 x 8", "What it is": "carton" },
  { Name: "14 x 14 x 10", "What it is": "carton" },
  { Name: "16 x 12 x 12", "What it is": "carton" },
];

for (const [width, colorScheme] of [[390, "light"], [1280, "dark"]]) {
  test(`from an empty shop to the year's worksheet at ${width} px`, { timeout: 280_000 }, async () => {
    const app = await serve();
    try {
      const context = await inside(chrome, app, { viewport: { width, height: 800 }, colorScheme });
      const page = await context.newPage();
      const seen = watched(page, app.origin);
      const at = (path) => page.goto(app.origin + path);
      await at("/");
      await looked(page, width, "begin");
      await go(page, "button", "Begin", "Today");
      await looked(page, width, "today-empty");

      // A haul; what is missing is said beside its field and what was typed stays.
      await go(page, "link", "Bring in a haul", "Bring in a haul");
      await fill(page, { Where: "parish hall", "Paid for the goods": "7.00", "Miles driven for it": "12.5" });
      await page.getByRole("button", { name: "Bring it in" }).click();
      await page.getByRole("heading", { name: "There is a problem" }).waitFor();
      assert.equal(await page.getByLabel("Where").inputValue(), "parish hall");
      const find = page.getByRole("group", { name: "Find 1" });
      await fill(find, { "What they are": "diner mug", "How many": "8", "Worth all together": "90", "Place on the shelf": "B2" });
      await looked(page, width, "haul-new");
      // Sent twice, then the page is read anew: it is stored once.
      await page.locator("form[action='/hauls/new']").evaluate((form) => {
        form.requestSubmit();
        form.requestSubmit();
      });
      await page.getByRole("heading", { level: 1, name: "Haul 1" }).waitFor();
      await page.reload();
      await looked(page, width, "haul");
      await at("/hauls");
      assert.equal(await page.getByRole("link", { name: /^Haul \d/ }).count(), 1);
      await page.goBack();
      await page.getByRole("heading", { level: 1, name: "Haul 1" }).waitFor();
      // Place tags, to the measures of a sheet of 30.
      await go(page, "link", "Place tags", "Place tags and labels");
      assert.equal(await page.getByLabel("Place tags for finds").inputValue(), "1");
      await fill(page, { "Of each": "31" });
      await looked(page, width, "tags");
      await page.getByRole("button", { name: "Show the sheet" }).click();
      await page.getByRole("region", { name: "Sheet 2" }).waitFor();
      await looked(page, width, "tags-sheet");
      await page.emulateMedia({ media: "print" });
      const box = await page.locator(".label").nth(4).boundingBox();
      const sheetBox = await page.locator(".label-sheet").first().boundingBox();
      // Published size of a CSS inch: 96 px. The second label of the second row: 3/16 + 2 3/4 in from the left, 1 1/2 in down.
      const inches = [box.x - sheetBox.x, box.y - sheetBox.y, box.width, box.height].map((side) => side / 96);
      for (const [k, right] of [0.1875 + 2.75, 1.5, 2.625, 1].entries()) assert.ok(Math.abs(inches[k] - right) < 0.01, `${inches}`);
      const tags = await page.pdf({ preferCSSPageSize: true });
      assert.equal(tags.toString("latin1").match(/\/Type\s*\/Page[^s]/g).length, 2);
      await page.emulateMedia({ media: null });

      // The find: measured, with comps, split into lots.
      await at("/finds/1");
      await looked(page, width, "find");
      await go(page, "link", "Measure it", /Measure find 1/);
      await page.getByLabel(/^A\. Across/).fill("3 1/4 in");
      await page.getByLabel(/Weight of one/).fill("13 oz");
      await looked(page, width, "find-measure");
      await go(page, "button", "Keep these measures", /Find 1: diner mugs/);
      await go(page, "link", "What it is worth", "What find 1 is worth");
      const comps = "4 for 60 + 12, 10d ago\n2 for 34 + 9, 20d ago\n4 for 55 + 12, 30d ago\n6 for 80 + 15, 12d ago";
      await page.getByRole("textbox").first().fill(`${comps}\nfour for free`);
      await page.getByRole("button", { name: "Add them" }).click();
      await page.getByRole("heading", { name: "There is a problem" }).waitFor();
      assert.match(await page.getByRole("textbox").first().inputValue(), /four for free/);
      await page.getByRole("textbox").first().fill(comps);
      await page.getByRole("button", { name: "Add them" }).click();
      await page.getByRole("heading", { name: "What one lot brings" }).waitFor({ timeout: 120_000 });
      await looked(page, width, "worth");
      await go(page, "link", "Split it into lots", "Lots of find 1");
      await page.getByRole("heading", { name: "An order of one lot, of two, of more" }).waitFor({ timeout: 120_000 });
      await looked(page, width, "split");
      await fill(page, { Lots: "2 x 4" });
      await go(page, "button", "Keep it, and list these lots", "List lots");
      await fill(page, { "Price of one lot": "58.00", "Lots in all": "2" });
      await looked(page, width, "listing-new");
      await go(page, "button", "List these lots", "Listing 1");
      await looked(page, width, "listing");
      await page.getByRole("link", { name: "The card to copy" }).click();
      await page.getByRole("heading", { level: 1, name: /card/i }).waitFor({ timeout: 120_000 });
      await page.getByRole("button", { name: /Copy/ }).first().waitFor({ timeout: 120_000 });
      await looked(page, width, "card");

      // Cartons, then an order.
      for (const supply of SUPPLIES) {
        await at("/supplies");
        await page.getByText("Add a kind of supply").click();
        await fill(page.locator("form[action='/supplies/add']"), supply);
        await page.getByRole("button", { name: "Add it" }).click();
        await page.getByText("Bought, counted or used").waitFor();
        await page.getByText("Bought, counted or used").click();
        await fill(page.locator("form[action='/supplies/moved']"), { Which: supply.Name, "How many units": "5", "Cost all together": "6.00" });
        await page.getByRole("button", { name: "Enter it" }).click();
        await page.getByRole("heading", { level: 1, name: "Supplies" }).waitFor();
      }
      await looked(page, width, "supplies");
      await at("/orders/new");
      const line = page.getByLabel("Listing").first();
      if ((await line.evaluate((one) => one.tagName)) === "SELECT") await line.selectOption({ index: 1 });
      else await line.fill("1");
      await fill(page, { Lots: "1", "Buyer's ZIP": "606", "Promised by": "2026-11-28", "Shipping charged": "14.00", "Fee that was kept": "9.00" });
      if (!(await page.getByLabel("It is paid").isChecked())) await page.getByLabel("It is paid").check();
      await looked(page, width, "order-new");
      await go(page, "button", "Take the order", /Order 1/);
      await looked(page, width, "order");

      // The bench: planned, printed, packed, and what the scale says.
      await at("/bench");
      await looked(page, width, "bench");
      await at("/bench/1");
      await page.getByRole("button", { name: "Plan its parcels" }).click();
      await page.getByRole("link", { name: "Pack sheet to print" }).waitFor({ timeout: 120_000 });
      await looked(page, width, "bench-planned");
      await at("/bench/1/sheet");
      await page.getByRole("img").first().waitFor();
      const sheet = await page.pdf({ format: "letter" });
      const pages = sheet.toString("latin1").match(/\/Type\s*\/Page[^s]/g).length;
      assert.ok(pages <= 2, `the pack sheet takes ${pages} pages`);
      await at("/bench/1/ship");
      await fill(page, { "The scale says": "5 lb 3 oz", "Minutes it took": "22", "Postage bought": "13.40" });
      await looked(page, width, "ship");
      await go(page, "button", "It is handed over", /Order 1/);
      await page.getByText("13.40").first().waitFor();
      await looked(page, width, "order-sent");

      // What was earned, and the year.
      await at("/books");
      await page.getByText("How this was reckoned").waitFor();
      await looked(page, width, "books");
      await at("/books/entries");
      await looked(page, width, "entries");
      await at("/books/moves");
      await looked(page, width, "moves");
      await at("/books/year/2026");
      await page.getByText("On which line does postage go?").waitFor();
      await looked(page, width, "year");
      const download = page.waitForEvent("download");
      await page.getByRole("link", { name: "As a spreadsheet" }).click();
      assert.equal((await download).suggestedFilename(), "year-2026.xlsx");
      await at("/stock");
      await looked(page, width, "stock");
      await at("/");
      await looked(page, width, "today");
      assert.deepEqual(seen, []);
      await context.close();
    } finally {
      await app.stop();
    }
  });
}

test("the demo shop is looked at and left for one's own", { timeout: 120_000 }, async () => {
  const app = await serve();
  try {
    const context = await inside(chrome, app, { viewport: { width: 390, height: 800 }, colorScheme: "dark" });
    const page = await context.newPage();
    const seen = watched(page, app.origin);
    await page.goto(`${app.origin}/begin`);
    await go(page, "button", "Open the demo shop", "Today");
    await page.getByText("Demo shop, made up").waitFor();
    for (const path of ["/", "/hauls", "/stock", "/listings", "/orders", "/bench", "/supplies", "/books?by=month&from=2025-01-01&to=2025-12-31", "/books/entries", "/books/year/2025", "/hauls/1", "/finds/1", "/read", "/settings", "/tags", "/file", "/file/check", "/history", "/history/1"]) {
      await page.goto(app.origin + path);
      await looked(page, 390, `demo${path.replace(/\W+/g, "-")}`);
    }
    await page.goto(`${app.origin}/begin`);
    await go(page, "button", "Begin", "Today");
    assert.equal(await page.getByText("Demo shop, made up").count(), 0);
    assert.deepEqual(seen, []);
    await context.close();
  } finally {
    await app.stop();
  }
});

test("the keyboard alone brings in a haul", { timeout: 60_000 }, async () => {
  const app = await serve();
  try {
    const context = await inside(chrome, app, { viewport: { width: 1280, height: 800 } });
    const page = await context.newPage();
    await page.goto(`${app.origin}/begin`);
    const focused = () => page.evaluate(() => document.activeElement?.textContent?.trim() || document.activeElement?.id || "");
    const tabTo = async (what) => {
      for (let k = 0; k < 60; k += 1) {
        await page.keyboard.press("Tab");
        if ((await focused()) === what) return;
      }
      assert.fail(`the tab key never came to ${what}`);
    };
    await tabTo("Begin");
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
    await tabTo("Bring in a haul");
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { level: 1, name: "Bring in a haul" }).waitFor();
    for (const [id, typed] of [["place", "hall"], ["paid", "5"], ["form-1", "diner mug"], ["count-1", "4"]]) {
      await tabTo(id);
      await page.keyboard.type(typed);
    }
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { level: 1, name: "Haul 1" }).waitFor();
    await context.close();
  } finally {
    await app.stop();
  }
});
