// Somebody in a hurry: the Enter key, and tables on a phone.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, demo, inside, serve, watched } from "./app.mjs";
import { cut } from "./measured.mjs";

let chrome, app;
before(async () => {
  [app, chrome] = await Promise.all([serve("--now", "2026-01-02T09:00:00Z", "--offline", "none"), browser()]);
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

test("the Enter key takes an order and hands it over, and adds no line and no parcel", { timeout: 240_000 }, async () => {
  const context = await inside(chrome, app);
  const number = await demo(context, app);
  const page = await context.newPage();
  const seen = watched(page, app.origin);
  await page.goto(`${app.origin}/bench/${number}/ship`);
  await page.getByLabel("Postage bought").first().fill("9.40");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { level: 1, name: `Order ${number}`, exact: true }).waitFor();
  assert.equal(await page.getByRole("table", { name: /^Parcel \d/ }).count(), 1);
  await page.goto(`${app.origin}/orders/new`);
  await page.getByLabel("Listing").first().selectOption({ index: 1 });
  await page.getByLabel("Buyer's ZIP").fill("606");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { level: 1, name: /^Order \d+$/ }).waitFor();
  assert.deepEqual(seen, []);
  await context.close();
});

test("rows of records stand as cards on a phone: nothing scrolls sideways, no word is cut", { timeout: 120_000 }, async () => {
  const context = await inside(chrome, app);
  const page = await context.newPage();
  for (const path of ["/hauls", "/hauls/1", "/listings?show=all", "/orders", "/bench", "/supplies", "/books?by=month&from=2025-01-01&to=2025-12-31", "/books?by=order&from=2025-01-01&to=2025-12-31", "/stock"]) {
    await page.goto(app.origin + path);
    const wide = await page.evaluate(() =>
      [...document.querySelectorAll(".scroll:has(.stacks)")].filter((one) => one.scrollWidth > one.clientWidth).map((one) => `${one.scrollWidth} in ${one.clientWidth}`),
    );
    assert.deepEqual(wide, [], path);
    assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll(".stacks caption:not(.unseen)")].filter((one) => one.clientWidth < 200).length), 0, path);
    assert.deepEqual(await cut(page), [], path);
  }
  await context.close();
});
