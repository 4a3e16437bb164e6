// What a screen reader is told: the tree of roles and names of a few main pages, and a twin in words of every drawing.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, demo, inside, serve } from "./app.mjs";

let app, chrome, context, order;
before(async () => {
  [app, chrome] = await Promise.all([serve("--now", "2026-01-02T09:00:00Z"), browser()]);
  context = await inside(chrome, app);
  order = await demo(context, app);
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

/** Opens a page; gives it with the lines of its tree, each without its indent. */
async function told(path) {
  const page = await context.newPage();
  await page.goto(app.origin + path);
  await page.waitForLoadState("networkidle");
  const lines = (await page.locator("body").ariaSnapshot()).split("\n").map((line) => line.trim().replace(/^- '?/, "").replace(/'?:?$/, ""));
  return { page, lines };
}

/** That these lines come in this order, others between them. */
function inOrder(lines, wanted) {
  let at = -1;
  for (const one of wanted) {
    const next = lines.findIndex((line, k) => k > at && (one instanceof RegExp ? one.test(line) : line.startsWith(one)));
    assert.ok(next > at, `${one} is not told after the line "${lines[at] ?? ""}":\n${lines.join("\n")}`);
    at = next;
  }
}

/** Headings never leap a level, and there is one of the first. */
function headings(lines) {
  const levels = lines.filter((line) => line.startsWith("heading ")).map((line) => Number(/\[level=(\d)\]/.exec(line)[1]));
  assert.equal(levels[0], 1);
  for (const [k, level] of levels.entries()) assert.ok(level >= (k === 0 ? 1 : 2) && level <= (levels[k - 1] ?? 0) + 1, `${levels}`);
}

test("Today tells where one is, what waits, and what is next, each under its heading", async () => {
  const { page, lines } = await told("/");
  headings(lines);
  inOrder(lines, [
    'link "Skip to the page"', "banner", 'button "Steps: Today"', "main", 'heading "Today" [level=1]',
    'region "To pack"', /^paragraph: 2 orders to pack, 2 late/, `link "Order ${order}"`, 'link "All at the bench"',
    'region "To buy"', 'region "This month"', 'region "List next"', "contentinfo", 'link "Settings"',
  ]);
  // The steps are told only when they were asked for, and then which of them one is at.
  assert.ok(!lines.some((line) => line.startsWith("navigation")));
  await page.getByRole("button", { name: "Steps: Today" }).press("Enter");
  const open = await page.getByRole("navigation", { name: "Steps" }).ariaSnapshot();
  for (const step of ["Today", "Shelf check", "Bench", "Books", "Help"]) assert.match(open, new RegExp(`link "${step}"`));
  assert.equal(await page.locator("#steps [aria-current=page]").textContent(), "Today");
  await page.keyboard.press("Escape");
  assert.equal(await page.getByRole("navigation", { name: "Steps" }).count(), 0);
  assert.equal(await page.evaluate(() => document.activeElement.textContent), "Steps: Today", "the focus is where it was");
});

test("an order at the bench tells its parcel by figures, drawings, a table, and steps in their order", async () => {
  const { lines } = await told(`/bench/${order}`);
  headings(lines);
  inOrder(lines, [
    "main", `heading "Order ${order} at the bench" [level=1]`, 'region "Mind"', /^paragraph: Carton /, 'link "Pack sheet to print"',
    'heading "Fetch from the shelf"', /^checkbox "/, 'region "Parcel 1"', 'table "Figures"', 'rowheader "Weight"',
    /^img "Layer 1 from above; the table below says the same"/, /^img "The stack from the front/,
    'region "Parcel 1, to be turned"', /^img "The packed carton, turned -30°, tilted 35°, all layers/, "status: Turned", 'button "Turn left"',
    'table "What lies where, in the order of packing"', 'columnheader "To the nearest side"', 'heading "Steps" [level=3]', /^listitem: "?Make up carton/,
  ]);
});

test("measuring tells each letter of the drawing, and each field by the same letter with what it means", async () => {
  const { page, lines } = await told("/measure?form=diner+mug");
  headings(lines);
  inOrder(lines, [
    'heading "Measure a piece" [level=1]', 'combobox "What it is": diner mug', 'region "Drawing"', 'figure "Drawing of one diner mug"',
    /^img "diner mug": From the side .*A ~3 1\/4 in/, "group: The same in words", 'heading "Measures of one diner mug" [level=2]',
    'textbox "A. Across (optional)"', 'textbox "B. Height (optional)"', 'button "Draw it"',
  ]);
  const field = page.getByLabel(/^A\. Across/);
  const described = await field.evaluate((one) => one.getAttribute("aria-describedby").split(" ").map((id) => document.getElementById(id).textContent).join(" "));
  assert.match(described, /without handles/);
  await page.getByText("The same in words").press("Enter");
  const table = await page.getByRole("table", { name: "Each letter of the drawing" }).ariaSnapshot();
  assert.match(table, /row "A across .*3 1\/4 in/i);
});

test("every drawing has a name, and a table or a list beside it that says the same", async () => {
  const paths = [
    `/bench/${order}`, "/measure?form=teapot", "/finds/54/measure", "/stock", "/books?by=month&from=2025-01-01&to=2025-12-31", `/bench/${order}/sheet`,
  ];
  for (const path of paths) {
    const { page } = await told(path);
    const { drawn, wrong } = await page.evaluate(() => {
      const pictures = [...document.querySelectorAll("main svg[role=img], main img")];
      const name = (one) => one.getAttribute("aria-label") || one.getAttribute("alt") || one.querySelector("title")?.textContent;
      // What comes after it in the page, in its own section or the next.
      const twin = (one) => [...document.querySelectorAll("main table, main ol")].some((other) => one.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING);
      return { drawn: pictures.length, wrong: pictures.filter((one) => !name(one) || !twin(one)).map((one) => one.outerHTML.slice(0, 120)) };
    });
    assert.ok(drawn > 0, path);
    assert.deepEqual(wrong, [], path);
    await page.close();
  }
});
