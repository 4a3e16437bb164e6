// Orders on a phone, and a packing that is followed where no script runs.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, demo, inside, serve } from "./app.mjs";

let app, chrome;

before(async () => {
  [app, chrome] = await Promise.all([serve(), browser()]);
  const context = await inside(chrome, app);
  await demo(context, app);
  await context.close();
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

test("a list of orders is cards on a phone, and still a table to who listens", async () => {
  const page = await (await inside(chrome, app)).newPage();
  await page.goto(`${app.origin}/orders`);
  const table = page.getByRole("table", { name: /Orders/ });
  assert.ok((await table.getByRole("row").count()) > 1);
  const [first] = await table.getByRole("row").nth(1).getByRole("cell").all();
  const [outer, inner] = await Promise.all([page.locator(".scroll").first().boundingBox(), first.boundingBox()]);
  assert.ok(inner.x + inner.width <= outer.x + outer.width + 1, "nothing is off to the side");
});

test("a plan that is worked on shows itself anew where no script runs", async () => {
  const context = await inside(chrome, app, { javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${app.origin}/pack?form-1=consomme+cup&count-1=40`);
  await page.getByLabel("How many").first().fill("60");
  await page.getByRole("button", { name: "Pack it" }).click();
  const waits = page.getByRole("heading", { level: 1, name: "Packing" });
  const done = page.getByRole("heading", { level: 1, name: /Packed in|Nothing was packed/ });
  if (await waits.isVisible()) {
    await page.getByText(/layouts? tried so far/).waitFor({ timeout: 30_000 });
    await page.getByRole("button", { name: /Stop/ }).click();
    await page.getByRole("heading", { level: 1, name: /Packed in|Stopped/ }).waitFor({ timeout: 5_000 });
  } else {
    await done.waitFor();
  }
  await context.close();
});
