// Every page, narrow and wide, light and dark: readable by axe's rules, within its width, quiet, and alone.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { after, before, test } from "node:test";
import { browser, demo, inside, overhang, serve, violations, watched } from "./app.mjs";
import { cut, found, misprinted, moving, small, unreadable } from "./measured.mjs";

let app, chrome, plan, order;
const shots = process.env.SCREENSHOTS;

before(async () => {
  // The made-up year has just ended.
  [app, chrome] = await Promise.all([serve("--now", "2026-01-02T09:00:00Z"), browser()]);
  const context = await inside(chrome, app);
  order = await demo(context, app);
  const page = await context.newPage();
  await page.goto(`${app.origin}/pack`);
  const first = page.getByRole("group", { name: "Pieces 1" });
  await first.getByLabel("What they are").fill("consomme cup");
  await first.getByLabel("How many").fill("6");
  const second = page.getByRole("group", { name: "Pieces 2" });
  await second.getByLabel("What they are").fill("consomme saucer");
  await second.getByLabel("How many").fill("6");
  await page.getByRole("button", { name: "Pack it" }).click();
  await page.getByRole("heading", { level: 1, name: /Packed in/ }).waitFor({ timeout: 60_000 });
  plan = new URL(page.url()).pathname;
  await context.close();
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

const filled = {
  "/shelf": async (page) => {
    await page.getByLabel("What they are").fill("diner mug");
    await page.getByLabel("How many", { exact: true }).fill("8");
    await page.getByLabel(/Price asked/).fill("6");
    await page.getByLabel(/What like ones sold for/).fill("4 for 260 + 20, 10d ago\n2 for 140 + 15, 20d ago");
    await page.locator(".verdict").waitFor();
    await page.getByText("How this was reckoned").click();
  },
  "/measure?form=teapot": async (page) => page.getByText("The same in words").waitFor(),
  "/pack": async () => {},
  "/help": async () => {},
  "/file": async () => {},
  "/devices": async () => {},
  "/guard?form=diner+mug&gross=5+lb": async (page) => page.getByText("How this was reckoned").click(),
  "/insure?item=40&premium=1.20&cover=100": async () => {},
  "/venues": async () => {},
  "/venues/new?like=open_market": async () => {},
  "/rate-cards": async () => {},
  "/rate-cards/new": async () => {},
  "/rate-cards/published/ground_advantage_retail?weight=2+lb&size=10+x+8+x+6+in&zone=5": async () => {},
};

// Pages of the made-up shop, one a line; {order} is one that is planned and waits at the bench.
const SHOP = [
  "/",
  "/begin",
  "/hauls",
  "/hauls/new",
  "/hauls/1",
  "/hauls/1/anew",
  "/finds/1",
  "/finds/1/measure",
  "/finds/1/worth",
  "/finds/1/split",
  "/finds/1/pieces/1",
  "/finds/1/sets",
  "/finds/11/sets?with=1+of+12",
  "/tags",
  "/tags/sheet?finds=1-3&each=4",
  "/measure",
  "/stock",
  "/listings",
  "/listings/new",
  "/listings/1",
  "/listings/1/card",
  "/orders",
  "/orders/new",
  "/orders/1",
  "/orders/1/back",
  "/orders/1/claim",
  "/orders/{order}",
  "/orders/{order}/cancel",
  "/orders/{order}/pay",
  "/orders/{order}/price",
  "/bench",
  "/bench/{order}",
  "/bench/{order}/sheet",
  "/bench/{order}/ship",
  "/bench/{order}/swap",
  "/supplies",
  "/books",
  "/books?by=month&from=2025-01-01&to=2025-12-31",
  "/books/entries",
  "/books/entries/1/take-back",
  "/books/moves",
  "/books/year/2025",
  "/read",
  "/settings",
  "/settings/cost-flow",
];
/** Most bytes of a page that was never seen before, with all it draws. */
const FIRST_LOAD = 150_000;

/** Every page of the list with what makes it whole. */
function every() {
  const shop = SHOP.map((path) => [path.replace("{order}", order), async () => {}]);
  const turned = async (page) => page.getByRole("button", { name: "Turn left" }).first().waitFor();
  return [...Object.entries(filled), ...shop, [plan, turned], [`${plan}/sheet`, async () => {}]];
}

/** Opens each page in turn, waits until nothing is worked on, and looks at it. */
async function each(options, look) {
  const context = await inside(chrome, app, options);
  const titles = new Map();
  try {
    for (const [path, fill] of every()) {
      const page = await context.newPage();
      const seen = watched(page, app.origin);
      const response = await page.goto(app.origin + path);
      assert.equal(response.status(), 200, path);
      await fill(page);
      await page.waitForFunction(() => !document.querySelector("[data-watch]"), null, { timeout: 120_000 });
      await look(page, path);
      assert.deepEqual(seen, [], path);
      titles.set(path, await page.title());
      await page.close();
    }
  } finally {
    await context.close();
  }
  return titles;
}

for (const width of [390, 1280]) {
  test(`pages are whole at ${width} px, light and dark`, { timeout: 600_000 }, async () => {
    await each({ viewport: { width, height: 800 } }, async (page, path) => {
      for (const colorScheme of ["light", "dark"]) {
        await page.emulateMedia({ colorScheme });
        assert.ok(await page.evaluate((scheme) => matchMedia(`(prefers-color-scheme: ${scheme})`).matches, colorScheme));
        assert.ok((await overhang(page)) <= 0, `${path}, ${colorScheme}, is ${await overhang(page)} px too wide`);
        // All rules once for each width and each light; the rules that depend on both, everywhere.
        const all = (width === 390) === (colorScheme === "light");
        const wrong = all ? await violations(page) : await found(page, ["color-contrast", "target-size"]);
        assert.deepEqual(wrong, [], `${path}, ${colorScheme}`);
        assert.deepEqual(await small(page, width === 390), [], `${path}, ${colorScheme}`);
        if (shots) {
          mkdirSync(shots, { recursive: true });
          await page.screenshot({ path: `${shots}/${path.replace(/\W+/g, "-")}-${width}-${colorScheme}.png`, fullPage: true });
        }
      }
    });
  });
}

test("no page is wider than 320 px, and text twice as large is neither cut nor wider", { timeout: 300_000 }, async () => {
  await each({ viewport: { width: 320, height: 640 } }, async (page, path) => {
    assert.ok((await overhang(page)) <= 0, `${path} is ${await overhang(page)} px too wide`);
    await page.setViewportSize({ width: 1280, height: 800 });
    assert.deepEqual(await cut(page), [], path);
    // Zoomed to 200 %, a window of 1280 px has 640.
    await page.setViewportSize({ width: 640, height: 400 });
    assert.ok((await overhang(page)) <= 0, `${path}, zoomed, is ${await overhang(page)} px too wide`);
  });
});

test("with the system's own colours and without motion pages are read all the same, each by a title of its own", { timeout: 300_000 }, async () => {
  const titles = await each({ viewport: { width: 390, height: 800 }, forcedColors: "active", colorScheme: "dark", reducedMotion: "reduce" }, async (page, path) => {
    assert.ok(await page.evaluate(() => matchMedia("(forced-colors: active)").matches));
    assert.deepEqual(await unreadable(page), [], path);
    assert.deepEqual(await moving(page), [], path);
    const here = page.locator(".head nav [aria-current]");
    if (!(await here.count())) return;
    await page.getByRole("button", { name: /^Steps/ }).click();
    assert.equal(await here.evaluate((one) => getComputedStyle(one).borderBottomWidth), "4px", "the present step is marked without a shadow");
  });
  // The same page asked for in two ways may have the one title.
  const pages = new Set([...titles].map(([path, title]) => `${path.split("?")[0]} ${title}`));
  assert.equal(new Set([...pages].map((one) => one.slice(one.indexOf(" ")))).size, pages.size, [...titles.values()].sort().join("\n"));
});

test("every page prints black on white, without what is for the screen, nothing cut", { timeout: 300_000 }, async () => {
  // A letter page between margins of 12 mm is 725 px wide.
  await each({ viewport: { width: 725, height: 900 }, colorScheme: "dark" }, async (page, path) => {
    await page.emulateMedia({ media: "print" });
    assert.deepEqual(await misprinted(page), [], path);
    assert.ok(await page.getByRole("heading", { level: 1 }).first().isVisible(), path);
  });
});

test("the first load of every page is small and comes from here alone", { timeout: 300_000 }, async () => {
  const sizes = new Map();
  const left = every().map(([path]) => path);
  const load = async (path) => {
    const context = await inside(chrome, app, { serviceWorkers: "block" });
    const page = await context.newPage();
    const seen = watched(page, app.origin);
    const bodies = [];
    page.on("requestfinished", (request) => bodies.push(request.sizes().then((size) => size.responseBodySize)));
    await page.goto(app.origin + path);
    await page.waitForLoadState("networkidle");
    sizes.set(path, (await Promise.all(bodies)).reduce((sum, size) => sum + size, 0));
    assert.deepEqual(seen, [], path);
    await context.close();
  };
  // Most of this is waiting until nothing more is asked for, so that several wait side by side.
  await Promise.all([1, 2, 3, 4].map(async () => {
    while (left.length) await load(left.shift());
  }));
  assert.equal(sizes.size, every().length);
  const large = [...sizes].filter(([, bytes]) => bytes < 10_000 || bytes >= FIRST_LOAD);
  assert.deepEqual(large, []);
});

test("what is watched for is seen: an error, a style against the policy, another host", async () => {
  const page = await (await inside(chrome, app)).newPage();
  const seen = watched(page, app.origin);
  await page.goto(`${app.origin}/help`);
  await page.evaluate(() => {
    document.head.append(Object.assign(document.createElement("style"), { textContent: "p { color: red }" }));
    document.body.append(Object.assign(new Image(), { src: "https://elsewhere.invalid/one.png" }));
    setTimeout(() => {
      throw new Error("broken");
    });
  });
  await page.waitForTimeout(300);
  assert.ok(seen.some((line) => /console: .*(style|Content Security Policy)/i.test(line)), `${seen}`);
  assert.ok(seen.some((line) => /elsewhere/.test(line)), `${seen}`);
  assert.ok(seen.some((line) => /broken/.test(line)), `${seen}`);
});
