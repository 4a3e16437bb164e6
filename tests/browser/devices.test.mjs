// Coming in: the printed link, and what a stranger gets.
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

test("the link lets one browser in once, with a cookie that no script can read", async () => {
  const context = await inside(chrome, app);
  const [cookie] = await context.cookies();
  assert.deepEqual([cookie.httpOnly, cookie.sameSite], [true, "Strict"]);
  const stranger = await (await chrome.newContext()).newPage();
  const seen = watched(stranger, app.origin);
  await stranger.goto(`${app.origin}/shelf`);
  await stranger.getByRole("heading", { level: 1, name: "Come in" }).waitFor();
  assert.deepEqual(await violations(stranger), []);
  await stranger.goto(app.link);
  await stranger.getByRole("heading", { name: "There is a problem" }).waitFor();
  assert.deepEqual(seen, []);
});

test("signing out shuts the door", async () => {
  const page = await (await inside(chrome, app)).newPage();
  await page.goto(`${app.origin}/devices`);
  await page.getByRole("button", { name: "Sign out" }).click();
  await page.getByRole("heading", { level: 1, name: "Come in" }).waitFor();
});
