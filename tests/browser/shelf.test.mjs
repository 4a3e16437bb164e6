// The shelf check by thumb, by keyboard alone, and without scripts.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, inside, serve, violations, watched } from "./app.mjs";

let app, chrome;
before(async () => {
  [app, chrome] = await Promise.all([serve(), browser()]);
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

const COMPS = "4 for 260 + 20, 10d ago\n2 for 140 + 15, 20d ago\n4 for 250 + 20, 30d ago";

test("the answer comes while typing and is announced", async () => {
  const page = await (await inside(chrome, app, { hasTouch: true })).newPage();
  const seen = watched(page, app.origin);
  await page.goto(`${app.origin}/shelf`);
  await page.getByLabel("What they are").fill("diner mug");
  await page.getByLabel("How many", { exact: true }).fill("8");
  await page.getByText("Not enough is known to say what to pay.").first().waitFor();
  await page.getByLabel(/What like ones sold for/).fill(COMPS);
  await page.locator(".verdict", { hasText: /^Pay at most/ }).waitFor();
  await page.getByLabel(/Price asked/).fill("6");
  await page.locator(".verdict", { hasText: /^Buy it for 6.00/ }).waitFor();
  assert.equal(await page.getByRole("status").first().textContent(), "Buy it for 6.00.");
  // Half a line typed is no error that shouts.
  await page.getByLabel(/What like ones sold for/).fill(`${COMPS}\n2 fo`);
  await page.getByText(/Line 4/).waitFor();
  assert.equal(await page.getByRole("alert").count(), 0);
  assert.deepEqual(seen, []);
});

test("what was typed is still there after the page was dropped, until it is cleared", async () => {
  const context = await inside(chrome, app);
  const page = await context.newPage();
  await page.goto(`${app.origin}/shelf`);
  await page.getByLabel("What they are").fill("diner mug");
  await page.getByLabel("How many", { exact: true }).fill("12");
  await page.goto(`${app.origin}/help`);
  await page.goto(`${app.origin}/shelf`);
  assert.equal(await page.getByLabel("How many", { exact: true }).inputValue(), "12");
  await page.locator(".verdict").waitFor();
  await page.getByRole("link", { name: "Start anew" }).click();
  await page.waitForLoadState();
  assert.equal(await page.getByLabel("How many", { exact: true }).inputValue(), "");
});

test("without a network and a module what was typed stays, and it is said that there is no answer", async () => {
  const app = await serve("--offline", "none");
  after(() => app.stop());
  const context = await inside(chrome, app);
  const page = await context.newPage();
  await page.goto(`${app.origin}/shelf`);
  await context.setOffline(true);
  await page.getByLabel("What they are").fill("diner mug");
  await page.getByText("No answer").waitFor({ state: "attached" });
  assert.equal(await page.getByLabel("What they are").inputValue(), "diner mug");
  await context.setOffline(false);
  await page.getByLabel("How many", { exact: true }).fill("3");
  await page.locator(".verdict").waitFor();
});

test("the keyboard alone is enough", async () => {
  const page = await (await inside(chrome, app)).newPage();
  await page.goto(`${app.origin}/shelf`);
  const focused = () => page.evaluate(() => document.activeElement.textContent.trim() || document.activeElement.id);
  await page.keyboard.press("Tab");
  assert.equal(await focused(), "Skip to the page");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Tab");
  assert.equal(await focused(), "form");
  await page.keyboard.type("diner mug");
  for (const [id, text] of [["count", "8"], ["flawed", "1"], ["asking", "6"], ["comps", "4 for 260 + 20"]]) {
    await page.keyboard.press("Tab");
    assert.equal(await focused(), id);
    await page.keyboard.type(text);
  }
  await page.keyboard.press("Tab");
  assert.match(await focused(), /^Condition/);
  await page.keyboard.press("Tab");
  assert.equal(await focused(), "Check it");
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineWidth);
  assert.equal(outline, "3px", "the focus is seen");
  await page.keyboard.press("Enter");
  await page.waitForURL(/shelf(\?answer=\w+)?$/);
  await page.locator(".verdict").waitFor();
});

test("mistakes take the focus, lead to their fields and keep what was typed", async () => {
  const page = await (await inside(chrome, app)).newPage();
  await page.goto(`${app.origin}/shelf`);
  await page.getByLabel("What they are").fill("diner mugg");
  await page.getByLabel("How many", { exact: true }).fill("a few");
  await page.getByRole("button", { name: "Check it" }).click();
  await page.getByRole("alert").waitFor();
  assert.match(await page.title(), /^Error: /);
  await page.waitForFunction(() => document.activeElement.getAttribute("role") === "alert");
  assert.deepEqual(await violations(page), []);
  await page.getByRole("alert").getByRole("link").first().click();
  const field = page.getByLabel("How many", { exact: true });
  assert.equal(await field.inputValue(), "a few");
  assert.equal(await field.getAttribute("aria-invalid"), "true");
  assert.match(await field.evaluate((input) => document.getElementById(input.getAttribute("aria-describedby").split(" ").at(-1)).textContent), /a few/);
});

test("without scripts the page asks and answers all the same", async () => {
  const context = await inside(chrome, app, { javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${app.origin}/shelf`);
  await page.getByLabel("What they are").fill("diner mug");
  await page.getByRole("button", { name: "Check it" }).click();
  await page.getByRole("heading", { name: "There is a problem" }).waitFor();
  assert.equal(await page.getByLabel("What they are").inputValue(), "diner mug");
  await page.getByLabel("How many", { exact: true }).fill("8");
  await page.getByLabel(/Price asked/).fill("6");
  await page.getByLabel(/What like ones sold for/).fill(COMPS);
  await page.getByRole("button", { name: "Check it" }).click();
  await page.locator(".verdict", { hasText: "Buy it for 6.00." }).waitFor();
});
