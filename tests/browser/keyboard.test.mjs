// The whole way by keys alone, from an empty shop to the year's worksheet: no pointer is ever used here.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, inside, serve, watched } from "./app.mjs";

/** Stops that the tab key may make before it must have come to what is looked for. */
const MOST_STOPS = 160;
/** Least contrast of the ring round what has the focus with the ground beside it (published: WCAG 2.2, 1.4.11). */
const LEAST_CONTRAST = 3;

let chrome;
before(async () => {
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
});

/** What has the focus, by its name, with whether the ring round it is drawn, seen and not covered. */
function focused(page) {
  return page.evaluate(async (least) => {
    await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
    const one = document.activeElement;
    if (!one || one === document.body) return { name: "", wrong: [] };
    const words = (element) => element.textContent.replace(/\s+/g, " ").trim();
    const name = one.getAttribute("aria-label") || (one.labels?.length ? words(one.labels[0]) : words(one)) || one.id;
    const wrong = [];
    const style = getComputedStyle(one);
    if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 3) wrong.push(`no ring: ${style.outline}`);
    const light = (colour) => {
      const parts = (colour.match(/[\d.]+/g) ?? []).slice(0, 3).map((part) => part / 255);
      const [r, g, b] = parts.map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    let ground = one.parentElement;
    while (ground.parentElement && /, 0\)$|transparent/.test(getComputedStyle(ground).backgroundColor)) ground = ground.parentElement;
    const [a, b] = [light(style.outlineColor), light(getComputedStyle(ground).backgroundColor)].sort((x, y) => y - x);
    if ((a + 0.05) / (b + 0.05) < least) wrong.push(`a faint ring: ${style.outlineColor}`);
    // What is larger than the window can't lie in it whole; of a large field the browser shows the line in hand.
    const whole = one.getBoundingClientRect();
    const box = one.matches("textarea") ? new DOMRect(whole.x, whole.y, whole.width, Math.min(whole.height, 44)) : whole;
    const [x, y] = [(Math.max(0, box.left) + Math.min(innerWidth, box.right)) / 2, (Math.max(0, box.top) + Math.min(innerHeight, box.bottom)) / 2];
    const there = document.elementFromPoint(x, y);
    if (!there || !(one.contains(there) || there.contains(one))) wrong.push(`covered or out of sight at ${x}, ${y}`);
    if (box.height < innerHeight && (box.top < -2 || box.bottom > innerHeight + 2)) wrong.push(`cut: ${box.top} to ${box.bottom}`);
    if (one.tabIndex > 0) wrong.push("out of order");
    return { name, wrong, top: box.top + scrollY, form: Boolean(one.form) && !one.matches("button"), tag: one.tagName };
  }, LEAST_CONTRAST);
}

/** Hands on the keyboard of a page. */
function keys(page, width) {
  const press = (key) => page.keyboard.press(key);
  const matches = (name, what) => (what instanceof RegExp ? what.test(name) : name === what);
  // Goes on with a key until something of that name has the focus; each stop on the way is looked at.
  const to = async (what, key = "Tab") => {
    let before;
    const names = [];
    for (let k = 0; k < MOST_STOPS; k += 1) {
      await press(key);
      const now = await focused(page);
      names.push(now.name);
      assert.deepEqual(now.wrong, [], `${page.url()}: ${now.name}`);
      // Down the page, field by field; fields of a row stand at its foot.
      if (key === "Tab" && before?.form && now.form) assert.ok(now.top >= before.top - 8, `${page.url()}: ${now.name} stands above ${before.name}`);
      before = now;
      if (matches(now.name, what)) return;
    }
    assert.fail(`${page.url()}: ${key} never came to ${what}: ${names.slice(0, 60).join(" | ")}`);
  };
  const title = (name) => page.getByRole("heading", { level: 1, name }).waitFor({ timeout: 120_000 });
  return {
    press,
    to,
    /** Until nothing is worked on: a page that waits comes anew when its answer is there. */
    done: () => page.waitForFunction(() => document.readyState === "complete" && !document.querySelector("[data-watch]"), null, { timeout: 120_000 }),
    title,
    /** Over the navigation to the page itself, on a page that has just come. */
    async skip() {
      await press("Tab");
      const first = await focused(page);
      assert.equal(first.name, "Skip to the page", page.url());
      assert.deepEqual(first.wrong, [], page.url());
      await press("Enter");
      assert.equal(await page.evaluate(() => document.activeElement.id), "page");
    },
    async type(what, words) {
      await to(what);
      await page.keyboard.type(words);
    },
    /** Presses a link or a button, and waits for the page it leads to. */
    async go(what, heading, key = "Enter") {
      await to(what);
      await press(key);
      if (heading) await title(heading);
    },
    /** To another step, back over what lies before; on a phone the steps come up first. */
    async step(name, heading) {
      if (width < 768) {
        await to(/^Steps/, "Shift+Tab");
        await press("Enter");
        await page.locator("#steps:popover-open").waitFor();
        await to(name);
      } else {
        await to(name, "Shift+Tab");
      }
      await press("Enter");
      await title(heading);
    },
  };
}

for (const [width, height, colorScheme] of [[1280, 800, "light"], [390, 740, "dark"]]) {
  test(`the keys alone lead from an empty shop to the year's worksheet at ${width} px`, { timeout: 280_000 }, async () => {
    const app = await serve();
    try {
      const context = await inside(chrome, app, { viewport: { width, height }, colorScheme });
      const page = await context.newPage();
      const seen = watched(page, app.origin);
      const { press, to, done, title, skip, type, go, step } = keys(page, width);
      await page.goto(`${app.origin}/begin`);
      await skip();
      await go("Begin", "Today");

      // A haul; what is wrong takes the focus and leads to its field.
      await skip();
      await go("Bring in a haul", "Bring in a haul");
      await skip();
      await type("Where", "parish hall");
      await type("Paid for the goods", "seven");
      await type(/^What they are/, "diner mug");
      await type(/^How many/, "8");
      await press("Enter");
      await page.getByRole("alert").waitFor();
      await page.waitForFunction(() => document.activeElement.getAttribute("role") === "alert");
      await to(/seven/);
      await press("Enter");
      assert.equal((await focused(page)).name, "Paid for the goods");
      await press("Control+a");
      await page.keyboard.type("7.00");
      await type(/^Worth all together/, "90");
      await type(/^Place on the shelf/, "B2");
      await go("Bring it in", "Haul 1");

      // The find: measured, with comps, split, listed.
      await skip();
      await go(/^diner mugs?$/, /^Find 1/);
      await skip();
      await go("Measure it", /Measure find 1/);
      await skip();
      await type(/^A\. Across/, "3 1/4 in");
      await type(/Weight of one/, "13 oz");
      await go("Keep these measures", /^Find 1/);
      // The page opens at what was kept; the tab key goes on from there.
      await to("What it is worth", "Shift+Tab");
      await press("Enter");
      await title("What find 1 is worth");
      await skip();
      await type(/^What like ones sold for/, "4 for 60 + 12, 10d ago\n2 for 34 + 9, 20d ago\n4 for 55 + 12, 30d ago\n6 for 80 + 15, 12d ago");
      await go("Add them");
      await page.getByRole("heading", { name: "What one lot brings" }).waitFor({ timeout: 120_000 });
      await done();
      await skip();
      await go("Split it into lots", "Lots of find 1");
      await page.getByRole("heading", { name: "An order of one lot, of two, of more" }).waitFor({ timeout: 120_000 });
      await done();
      await skip();
      await type("Lots", "2 x 4");
      await go("Keep it, and list these lots", "List lots");
      await skip();
      await to("Lots in all");
      await press("Control+a");
      await page.keyboard.type("2");
      await to("Price of one lot");
      await press("Control+a");
      await page.keyboard.type("58.00");
      await go("List these lots", "Listing 1");
      await skip();
      await go("The card to copy", /card/i);
      await page.getByRole("button", { name: /Copy/ }).first().waitFor({ timeout: 120_000 });
      await done();
      await skip();
      await to(/^Copy/);
      await press("Space");
      await page.waitForFunction(() => /copied/.test(document.querySelector("#copied").textContent));

      // Cartons, then an order.
      await step("Supplies", "Supplies");
      for (const size of ["12 x 12 x 8", "14 x 14 x 10", "16 x 12 x 12"]) {
        await skip();
        await go("Add a kind of supply");
        await type("Name", size);
        await type(/^What it is/, "carton");
        await go("Add it");
        await page.getByRole("rowheader", { name: size }).waitFor();
        await skip();
        await go("Bought, counted or used");
        await type(/^Which/, size);
        await type(/^How many units/, "5");
        await type(/^Cost all together/, "6.00");
        await go("Enter it");
        await page.getByRole("row", { name: new RegExp(`${size}.* 5 `) }).waitFor();
      }
      await press("Tab");
      await press("Tab");
      await step("Orders", "Orders");
      await skip();
      await go("Take an order", "Take an order");
      await skip();
      await to(/^Listing/);
      if ((await focused(page)).tag === "SELECT") await press("ArrowDown");
      else await page.keyboard.type("1");
      await type(/^Lots/, "1");
      await type(/^Buyer's ZIP/, "606");
      await type(/^Promised by/, "2026-11-28");
      await type(/^Shipping charged/, "14.00");
      await type(/^Fee that was kept/, "9.00");
      await to("It is paid", "Shift+Tab").catch(() => to("It is paid"));
      if (!(await page.evaluate(() => document.activeElement.checked))) await press("Space");
      await go("Take the order", /Order 1/);

      // The bench: planned, turned, its sheet, and what the scale says.
      await press("Tab");
      await press("Tab");
      if (width < 768) await press("Tab");
      await step("Bench", "Bench");
      await skip();
      await go("Order 1", /Order 1/);
      await skip();
      await go("Plan its parcels");
      await page.getByRole("link", { name: "Pack sheet to print" }).waitFor({ timeout: 120_000 });
      await done();
      await skip();
      await to(/^The packed carton/);
      const turned = (await focused(page)).name;
      await press("ArrowRight");
      assert.notEqual((await focused(page)).name, turned);
      await to("Pack sheet to print", "Shift+Tab");
      await press("Enter");
      await page.getByRole("article").first().waitFor();
      await page.waitForLoadState();
      await go("Back to the plan", /Order 1/);
      await done();
      await skip();
      await go(/^It is packed/, /Order 1/);
      await skip();
      await type(/^The scale says/, "5 lb 3 oz");
      await type(/^Minutes it took/, "22");
      await type(/^Postage bought/, "13.40");
      await go("It is handed over", /^Order 1$/);

      // The year.
      await press("Tab");
      await press("Tab");
      if (width < 768) await press("Tab");
      await step("Books", "Books");
      await skip();
      await go("The year 2026", "The year 2026");
      await skip();
      const download = page.waitForEvent("download");
      await go("As a spreadsheet");
      assert.equal((await download).suggestedFilename(), "year-2026.xlsx");
      await title("The year 2026");
      assert.deepEqual(seen, []);
      await context.close();
    } finally {
      await app.stop();
    }
  });
}

test("the drawing of a piece stays in view on a phone with its keyboard up, at the line of the field, covering none", { timeout: 60_000 }, async () => {
  const app = await serve();
  try {
    // What is left of a phone's window beside the keyboard.
    const context = await inside(chrome, app, { viewport: { width: 390, height: 450 }, hasTouch: true });
    const page = await context.newPage();
    const seen = watched(page, app.origin);
    await page.goto(`${app.origin}/measure?form=teapot`);
    const { to } = keys(page, 390);
    const labels = await page.locator("form[data-live] label").allTextContents();
    assert.ok(labels.length > 8, `${labels}`);
    const lettered = labels.filter((label) => /^[A-Z]\. /.test(label));
    for (const label of labels) {
      const name = label.replace(/\s+/g, " ").trim();
      await to(name);
      const at = await page.evaluate(() => {
        const box = (one) => one.getBoundingClientRect();
        const sheet = box(document.querySelector(".of-piece"));
        const line = [...document.querySelectorAll(".of-piece text")].find((one) => one.matches(".in-hand"));
        return { sheet: { top: sheet.top, bottom: sheet.bottom }, field: box(document.activeElement).top, line: line && { words: line.textContent, top: box(line).top, bottom: box(line).bottom } };
      });
      assert.ok(at.sheet.top >= 0 && at.sheet.bottom <= 0.45 * 450, `${name}: the drawing lies from ${at.sheet.top} to ${at.sheet.bottom}`);
      assert.ok(at.field >= at.sheet.bottom, `${name}: the drawing covers the field`);
      if (!at.line) continue;
      assert.equal(at.line.words[0], name[0]);
      assert.ok(at.line.top >= at.sheet.top && at.line.bottom <= at.sheet.bottom, `${name}: its line is out of the drawing's window`);
    }
    // A figure that is typed is drawn in that window, and the window stays at its line.
    const field = page.getByLabel(lettered.find((label) => /Width of a handle/.test(label)));
    await field.focus();
    await field.fill("1 in");
    await page.waitForFunction(() => /^Drawn with 1 measured$/.test(document.querySelector("[data-said]").dataset.said));
    const there = await page.evaluate(() => {
      const sheet = document.querySelector(".of-piece").getBoundingClientRect();
      const line = document.querySelector(".of-piece .in-hand")?.getBoundingClientRect();
      return line !== undefined && line.top >= sheet.top && line.bottom <= sheet.bottom;
    });
    assert.ok(there, "the drawing went back to its top");
    assert.deepEqual(seen, []);
    await context.close();
  } finally {
    await app.stop();
  }
});
