// The shelf check without a network: kept by the browser, answered on the phone, sent home once.
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, inside, overhang, serve, violations, watched } from "./app.mjs";

const table = new URL("../../crates/shelfcheck/tests/data/cases.json", import.meta.url);
const cases = JSON.parse(readFileSync(table, "utf8"));
const COMPS = "4 for 260 + 20, 10d ago\n2 for 140 + 15, 20d ago\n4 for 250 + 20, 30d ago";
// The server's clock is frozen on this day; the phone's own is set to it.
const DAY = "2026-11-25";
const TYPE = "application/x-www-form-urlencoded";

let app, chrome;
before(async () => {
  [app, chrome] = await Promise.all([serve(), browser()]);
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

/** A page whose browser has kept the check, as after one visit at home. */
async function prepared(app, options = {}) {
  const context = await inside(chrome, app, { hasTouch: true, ...options });
  const page = await context.newPage();
  await page.clock.setFixedTime(new Date(`${DAY}T12:00:00`));
  await page.goto(`${app.origin}/shelf`);
  await page.getByText("This phone can check without the network.").waitFor();
  return { context, page };
}

async function fill(page, count) {
  await page.getByLabel("What they are").fill("diner mug");
  await page.getByLabel("How many", { exact: true }).fill(String(count));
  await page.getByLabel(/Price asked/).fill("6");
  await page.getByLabel(/What like ones sold for/).fill(COMPS);
}

const onPhone = (page) => page.getByRole("region", { name: "On this phone" }).getByRole("listitem");
const atHome = (page) => page.getByRole("region", { name: "Checked in shops" }).getByRole("listitem");

test("on the whole table of cases the phone's bytes are the server's", async () => {
  const { page, context } = await prepared(app);
  const reckon = await page.evaluateHandle(() => {
    const { reckon, module } = document.querySelector("[data-offline]").dataset;
    const worker = new Worker(reckon);
    return (question, day, checked) =>
      new Promise((done) => {
        worker.onmessage = ({ data }) => done(data);
        worker.postMessage({ address: module, question, day, checked });
      });
  });
  assert.ok(cases.length >= 30);
  let [home, phone] = [0, 0];
  for (const { name, form, says } of cases) {
    const question = String(new URLSearchParams(form));
    const asked = async (path) => {
      const response = await context.request.post(app.origin + path, { data: question, headers: { "content-type": TYPE } });
      return response.text();
    };
    const began = performance.now();
    const live = await asked("/shelf/answer");
    const between = performance.now();
    const typed = await page.evaluate(([reckon, ...asked]) => reckon(...asked), [reckon, question, DAY, false]);
    [home, phone] = [home + between - began, phone + performance.now() - between];
    assert.equal(typed.html, live, name);
    // Reckoned once more: for what is wrong, and for a few that are right.
    if (says && !/^(Haggle|Pay|Not enough)/.test(says)) continue;
    const { html } = await page.evaluate(([reckon, ...asked]) => reckon(...asked), [reckon, question, DAY, true]);
    const whole = await asked("/shelf");
    // The page has its heading between the mistakes and the form.
    for (const part of html.split(/(?=<div class="beside">)/)) assert.ok(whole.includes(part), `${name}: ${part}`);
  }
  if (process.env.TIMES) console.log(`${cases.length} cases: home ${Math.round(home)} ms, phone ${Math.round(phone)} ms`);
  await context.close();
});

test("with the server gone a page opens, answers, keeps the check, and sends it once when home is back", async () => {
  let own = await serve();
  after(() => own.stop());
  const { page, context } = await prepared(own);
  await own.end();
  await page.reload();
  await page.getByRole("heading", { level: 1, name: "Shelf check" }).waitFor();
  await fill(page, 8);
  await page.locator(".verdict", { hasText: "Buy it for 6.00." }).waitFor();
  await page.getByText("Worked out on this phone, without the network.").waitFor();
  await page.getByText(`Reckoned for ${DAY} on the rate card`).waitFor();
  await page.getByRole("button", { name: "Check it" }).click();
  await onPhone(page).getByText("8 x diner mug, asked 6: Buy it for 6.00. (2026-11-25)").waitFor();
  // The same question again is the same check; another is another, and who types on is not disturbed.
  await page.getByRole("button", { name: "Check it" }).click();
  await page.getByLabel("How many", { exact: true }).fill("6");
  await page.getByRole("button", { name: "Check it" }).click();
  await onPhone(page).getByText("6 x diner mug").waitFor();
  assert.equal(await onPhone(page).count(), 2);
  if (process.env.SCREENSHOTS) await page.screenshot({ path: `${process.env.SCREENSHOTS}/offline-390.png`, fullPage: true });
  assert.deepEqual(await violations(page), []);
  assert.ok((await overhang(page)) <= 0);
  // Still there after the page was dropped.
  await page.reload();
  assert.equal(await onPhone(page).count(), 2);

  own = await own.again();
  const answers = [];
  page.on("response", (response) => answers.push(`${response.status()} ${new URL(response.url()).pathname}`));
  // Two tabs try at once.
  const other = await context.newPage();
  await Promise.all([page.reload(), other.goto(`${own.origin}/shelf`)]);
  await page.getByText(/sent home|This phone can check/).first().waitFor();
  await page.goto(`${own.origin}/shelf`);
  await page.waitForFunction(() => localStorage.getItem("kept checks") === "[]");
  await page.reload();
  assert.equal(await atHome(page).count(), 2);
  await page.getByRole("link", { name: "8 x diner mug, asked 6" }).click();
  await page.getByRole("heading", { level: 1, name: "Check from a shop" }).waitFor();
  await page.locator(".verdict", { hasText: "Buy it for 6.00." }).waitFor();
  assert.deepEqual(await violations(page), []);
  await page.getByRole("button", { name: /^Remove/ }).click();
  await atHome(page).first().waitFor();
  assert.equal(await atHome(page).count(), 1);
  await context.close();
});

test("a phone takes the settings of the shop along, and those that were changed since at its next visit", async () => {
  const own = await serve();
  after(() => own.stop());
  const { page, context } = await prepared(own);
  await page.goto(`${own.origin}/begin`);
  await page.getByRole("button", { name: "Begin", exact: true }).click();
  for (const hour of ["31", "32.50"]) {
    await page.goto(`${own.origin}/settings`);
    await page.getByLabel(/An hour of your work/).fill(hour);
    await page.getByRole("button", { name: "Keep these" }).click();
    await page.goto(`${own.origin}/shelf`);
    await page.getByText("This phone can check without the network.").waitFor();
    await context.setOffline(true);
    await fill(page, 8);
    await page.getByText("Worked out on this phone, without the network.").waitFor();
    await page.getByText("How this was reckoned").click();
    await page.getByText(`${hour.padEnd(5, ".00")} an hour`, { exact: true }).waitFor();
    await context.setOffline(false);
    await page.getByRole("link", { name: "Start anew" }).click();
    await page.waitForLoadState();
  }
  await context.close();
});

test("a phone that loses its network goes on, and nothing but the shelf check is kept by its browser", async () => {
  const { page, context } = await prepared(app);
  const seen = watched(page, app.origin);
  await context.setOffline(true);
  await fill(page, 8);
  await page.locator(".verdict", { hasText: "Buy it for 6.00." }).waitFor();
  assert.equal(await page.getByRole("status").first().textContent(), "Buy it for 6.00.");
  // What is wrong is told at its field, as home would.
  await page.getByLabel("How many", { exact: true }).fill("a few");
  await page.getByRole("button", { name: "Check it" }).click();
  await page.getByRole("alert").waitFor();
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute("role")), "alert");
  assert.equal(await page.getByLabel("How many", { exact: true }).inputValue(), "a few");
  assert.match(await page.title(), /^Error: /);
  assert.deepEqual(await violations(page), []);
  assert.equal(await onPhone(page).count(), 0, "what is wrong is no check");
  await page.getByLabel("How many", { exact: true }).fill("8");
  await page.getByRole("button", { name: "Check it" }).click();
  await onPhone(page).first().waitFor();
  assert.equal(await page.title(), "Shelf check - Lotwright");
  await page.getByRole("link", { name: "Start anew" }).click();
  await page.waitForLoadState();
  await page.getByRole("button", { name: "Show 8 x diner mug, asked 6" }).click();
  assert.equal(await page.getByLabel(/Price asked/).inputValue(), "6");
  await page.locator(".verdict", { hasText: "Buy it for 6.00." }).waitFor();
  const kept = await page.evaluate(async () => {
    const names = await caches.keys();
    const files = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
    return { names, paths: files.flat().map((request) => new URL(request.url).pathname) };
  });
  assert.equal(kept.names.length, 1);
  for (const path of kept.paths) assert.match(path, /^\/(assets\/|shelf\/(shell$|app\.webmanifest$|offline\/))/);
  assert.ok(kept.paths.some((path) => path.endsWith("shelfcheck.wasm")));
  await page.goto(`${app.origin}/help`).then(() => assert.fail("the help was kept"), () => {});
  await context.setOffline(false);
  await page.goto(`${app.origin}/shelf`);
  await page.getByText("1 check was sent home.").or(atHome(page)).first().waitFor();
  await page.waitForFunction(() => localStorage.getItem("kept checks") === "[]");
  assert.deepEqual(seen.filter((line) => !/ERR_INTERNET_DISCONNECTED|ERR_FAILED/.test(line)), []);
  await context.close();
});

test("a module that breaks breaks no page: it is said, and what was typed is kept", async () => {
  const file = join(mkdtempSync(join(tmpdir(), "lotwright-module-")), "broken.wasm");
  writeFileSync(file, Buffer.from([0, 0x61, 0x73, 0x6d, 1, 0, 0, 0]));
  const own = await serve("--offline", file);
  after(() => own.stop());
  const context = await inside(chrome, own);
  const page = await context.newPage();
  await page.goto(`${own.origin}/shelf`);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await own.end();
  await fill(page, 8);
  await page.getByText("No answer").waitFor({ state: "attached" });
  await page.getByRole("button", { name: "Check it" }).click();
  await page.getByText(/The check failed on this phone/).waitFor();
  await onPhone(page).getByText("8 x diner mug, asked 6: Not worked out.").waitFor();
  assert.equal(await page.getByLabel("How many", { exact: true }).inputValue(), "8");
  await context.close();
});

test("a phone that was signed out keeps its checks, says so, and still answers", async () => {
  const { page, context } = await prepared(app);
  await context.setOffline(true);
  await fill(page, 8);
  await page.locator(".verdict").waitFor();
  await page.getByRole("button", { name: "Check it" }).click();
  await onPhone(page).first().waitFor();
  const cookies = await context.cookies();
  await context.clearCookies();
  await context.setOffline(false);
  await page.evaluate(() => dispatchEvent(new Event("online")));
  await page.getByText("This phone is signed out.").waitFor();
  assert.equal(await onPhone(page).count(), 1);
  await page.getByLabel(/Price asked/).fill("7");
  await page.locator(".verdict", { hasText: "Buy it for 7.00." }).waitFor();
  await page.getByText("Worked out on this phone, without the network.").waitFor();
  await context.addCookies(cookies);
  await page.evaluate(() => dispatchEvent(new Event("online")));
  await page.getByText("1 check was sent home.").waitFor();
  assert.equal(await onPhone(page).count(), 0);
  await context.close();
});

test("a module that answers otherwise than home is named", async () => {
  const context = await inside(chrome, app);
  const page = await context.newPage();
  await page.route("**/shelf/answer", async (route) => {
    const response = await route.fetch();
    await route.fulfill({ response, body: `${await response.text()}<p>More.</p>` });
  });
  await page.goto(`${app.origin}/shelf`);
  await page.getByText("The module for phones is of another edition").waitFor();
  await context.close();
});

test("the first load is small but for the module", async () => {
  // The first to come in opens a page; a context after it has seen none.
  await (await inside(chrome, app)).close();
  const context = await inside(chrome, app, { serviceWorkers: "block" });
  const page = await context.newPage();
  let bytes = 0;
  const sizes = [];
  page.on("requestfinished", (request) => sizes.push(request.sizes().then((size) => (bytes += size.responseBodySize))));
  await page.goto(`${app.origin}/shelf`);
  await page.waitForLoadState("networkidle");
  await Promise.all(sizes);
  assert.ok(bytes > 10_000 && bytes < 150_000, `${bytes} bytes`);
  await context.close();
});
