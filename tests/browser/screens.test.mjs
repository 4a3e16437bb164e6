// The pictures of the README: the made-up shop at a fixed moment, in a window of a fixed size.
// They are made anew by `PICTURES=1 node --test`; otherwise each must be there, small, and of its size.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { after, before, test } from "node:test";
import { browser, inside, serve } from "./app.mjs";
import { HOW, kept, sides } from "./pictures.mjs";

const root = new URL("../../", import.meta.url).pathname;
const folder = `${root}docs/screens/`;
/** Most bytes of a picture. */
const MOST = 150_000;
const NOW = "2026-01-02T09:00:00Z";
const DAY = new Date("2026-01-02T09:00:00");
const PHONE = { width: 390, height: 740 };

const COMPS = "4 for 62 + 14, 10d ago\n2 for 34 + 11, 20d ago\n4 for 58 + 14, 30d ago\n8 for 96 + 22, 45d ago\n6 for 84 + 18, 25d ago";

async function pack(page, at) {
  await at("/pack?form-1=consomme+cup&count-1=6&form-2=consomme+saucer&count-2=6");
  await page.getByRole("button", { name: "Pack it" }).click();
  await page.getByRole("heading", { level: 1, name: /Packed in/ }).waitFor({ timeout: 120_000 });
}

/** Name, window, and what is done until it looks as wanted. */
const SCREENS = [
  ["shelf-check", PHONE, async (page, at) => {
    await at("/shelf");
    await page.getByLabel("What they are").fill("diner mug");
    await page.getByLabel("How many", { exact: true }).fill("8");
    await page.getByLabel(/Price asked/).fill("6");
    await page.getByLabel(/What like ones sold for/).fill("4 for 60 + 12, 10d ago\n2 for 34 + 9, 20d ago\n6 for 80 + 15, 12d ago");
    await page.locator(".verdict").waitFor();
    await page.evaluate(() => {
      document.querySelector("#answer").scrollIntoView();
      scrollBy(0, -170);
    });
  }],
  ["today", PHONE, async (page, at) => at("/")],
  ["lot-sizes", { width: 1100, height: 860 }, async (page, at) => {
    await at("/finds/54/worth");
    await page.getByRole("textbox").first().fill(COMPS);
    await page.getByRole("button", { name: "Add them" }).click();
    await page.getByRole("heading", { name: "What one lot brings" }).waitFor({ timeout: 120_000 });
    await page.waitForFunction(() => !document.querySelector("[data-watch]"), null, { timeout: 120_000 });
    await page.locator(".chart, .drawing").first().scrollIntoViewIfNeeded();
  }],
  ["packing", { width: 1100, height: 860 }, async (page, at) => {
    await pack(page, at);
    await page.getByRole("button", { name: "Turn left" }).first().waitFor();
    await page.evaluate(() => document.querySelector(".drawings").scrollIntoView());
  }],
  ["pack-sheet", { width: 820, height: 1060 }, async (page, at) => {
    await pack(page, at);
    await page.getByRole("link", { name: "Pack sheet to print" }).click();
    await page.getByRole("article").first().waitFor();
  }],
  ["year", { width: 820, height: 860 }, async (page, at) => at("/books/year/2025")],
];

let app, chrome;
before(async () => {
  [app, chrome] = await Promise.all([serve("--now", NOW, "--offline", "none"), browser("--force-color-profile=srgb", "--hide-scrollbars")]);
  const page = await (await inside(chrome, app)).newPage();
  await page.goto(`${app.origin}/begin`);
  await page.getByRole("button", { name: "Open the demo shop" }).click();
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor({ timeout: 120_000 });
  await page.close();
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

for (const [name, viewport, make] of SCREENS) {
  test(`${name}.png is there and of its size`, { timeout: 180_000 }, async () => {
    const context = await inside(chrome, app, { viewport, colorScheme: "light", reducedMotion: "reduce" });
    const page = await context.newPage();
    await page.clock.setFixedTime(DAY);
    await make(page, (path) => page.goto(app.origin + path));
    await page.waitForLoadState("networkidle");
    await page.evaluate(() => document.activeElement?.blur());
    const fresh = await page.screenshot({ animations: "disabled", caret: "hide", scale: "css" });
    await context.close();
    const there = kept(`${folder}${name}.png`, fresh);
    assert.deepEqual(sides(there), [viewport.width, viewport.height], `${name}.png is of another size; ${HOW}`);
    assert.ok(there.length < MOST, `${name}.png has ${there.length} bytes`);
  });
}

test("the README shows each picture with words for who can't see it, and no other lies there", () => {
  const readme = readFileSync(`${root}README.md`, "utf8");
  const shown = [...readme.matchAll(/<img [^>]*>/g)].map(([tag]) => ({ src: /src="([^"]+)"/.exec(tag)?.[1], alt: /alt="([^"]+)"/.exec(tag)?.[1] ?? "" }));
  const wanted = SCREENS.map(([name]) => `docs/screens/${name}.png`).sort();
  assert.deepEqual(shown.map((one) => one.src).sort(), wanted);
  for (const { src, alt } of shown) assert.ok(alt.length >= 40, `${src}: "${alt}"`);
  assert.deepEqual(readdirSync(folder).sort().map((name) => `docs/screens/${name}`), wanted);
});
