// Measuring, packing and the printed sheet.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, inside, serve, watched } from "./app.mjs";

let app, chrome;
before(async () => {
  [app, chrome] = await Promise.all([serve(), browser()]);
});
after(async () => {
  await chrome?.close();
  await app?.stop();
});

test("the drawing follows the figures, and they go on to packing", async () => {
  const page = await (await inside(chrome, app)).newPage();
  const seen = watched(page, app.origin);
  await page.goto(`${app.origin}/measure?form=diner+mug`);
  await page.getByLabel(/Reach of a handle/).fill("1 1/8");
  await page.getByRole("img", { name: "diner mug" }).getByText(/^[A-Z] 1 1\/8 in$/).waitFor();
  await page.getByLabel(/^A\. Across/).fill("wide");
  await page.getByText(/"wide"|wide/).first().waitFor();
  await page.getByLabel(/^A\. Across/).fill("3 1/2 in");
  await page.getByRole("img", { name: "diner mug" }).getByText("A 3 1/2 in", { exact: true }).waitFor();
  await page.getByRole("link", { name: "Pack some of these" }).click();
  assert.equal(await page.getByLabel("What they are").first().inputValue(), "diner mug");
  assert.match(await page.getByLabel("Measures of one").first().inputValue(), /diameter=3 1\/2 in; handle_reach=1 1\/8 in/);
  assert.deepEqual(seen, []);
});

test("a packing is followed, turned by keys and buttons, and printed on a page or two", async () => {
  const page = await (await inside(chrome, app)).newPage();
  const seen = watched(page, app.origin);
  await page.goto(`${app.origin}/pack?form-1=consomme+cup`);
  await page.getByLabel("How many").first().fill("6");
  await page.getByRole("button", { name: "Pack it" }).click();
  await page.getByRole("heading", { level: 1, name: /Packed in/ }).waitFor({ timeout: 60_000 });
  const picture = page.getByRole("img", { name: /The packed carton/ }).first();
  await picture.waitFor();
  const turned = await picture.getAttribute("aria-label");
  await page.getByRole("button", { name: "Turn right" }).first().click();
  assert.notEqual(await picture.getAttribute("aria-label"), turned);
  await picture.focus();
  await page.keyboard.press("ArrowLeft");
  assert.equal(await picture.getAttribute("aria-label"), turned);
  for (const image of await page.locator(".drawings img").all()) {
    await image.scrollIntoViewIfNeeded();
    assert.ok(await image.evaluate((one) => one.decode().then(() => one.naturalWidth > 0)));
  }
  const parcels = (await page.getByRole("heading", { name: /^(The parcel|Parcel \d)/ }).all()).length;
  await page.getByRole("link", { name: "Pack sheet to print" }).click();
  await page.locator("article").first().waitFor();
  await page.waitForLoadState("networkidle");
  for (const [paper, size] of [["letter", "612 x 792"], ["a4", "594.96 x 841.92"]]) {
    await page.goto(`${page.url().split("?")[0]}?paper=${paper}`);
    await page.waitForLoadState("networkidle");
    const file = join(mkdtempSync(join(tmpdir(), "lotwright-print-")), `${paper}.pdf`);
    writeFileSync(file, await page.pdf({ preferCSSPageSize: true, printBackground: true }));
    const info = execFileSync("pdfinfo", [file], { encoding: "utf8" });
    assert.match(info, new RegExp(`Page size:\\s+${size.replaceAll(".", "\\.")}`), info);
    const pages = Number(/Pages:\s+(\d+)/.exec(info)[1]);
    assert.ok(pages <= 2 * parcels, `${pages} pages for ${parcels} parcels`);
    const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
    for (const wanted of ["Pack sheet", "Carton", "Expected weight", "Cut and count first", "Shake test", "The scale says", "Page 1 of"]) {
      assert.ok(text.includes(wanted), `${wanted} on ${paper}`);
    }
    assert.ok(!text.includes("Back to the plan"), "what is for the screen stays there");
    if (process.env.SCREENSHOTS) execFileSync("pdftoppm", ["-png", "-r", "70", file, join(process.env.SCREENSHOTS, `print-${paper}`)]);
  }
  assert.deepEqual(seen, []);
});

test("a long search can be stopped", async () => {
  const page = await (await inside(chrome, app)).newPage();
  await page.goto(`${app.origin}/pack?form-1=consomme+cup&count-1=14&form-2=consomme+saucer&count-2=11`);
  await page.getByLabel("Look for a better packing for").selectOption("64");
  await page.getByRole("button", { name: "Pack it" }).click();
  await page.getByRole("button", { name: "Stop, and take the best so far" }).click({ timeout: 30_000 });
  await page.getByRole("heading", { level: 1, name: /^(Stopped|Packed in)/ }).waitFor();
});

test("without scripts pieces are packed as well", async () => {
  const page = await (await inside(chrome, app, { javaScriptEnabled: false })).newPage();
  await page.goto(`${app.origin}/pack`);
  await page.getByRole("button", { name: "Add other pieces" }).click();
  await page.getByRole("group", { name: "Pieces 3" }).waitFor();
  await page.getByLabel("What they are").first().fill("diner mug");
  await page.getByLabel("How many").first().fill("1");
  await page.getByRole("button", { name: "Pack it" }).click();
  for (let k = 0; k < 100 && !/Packed in/.test(await page.title()); k++) {
    const look = page.getByRole("link", { name: "See how far it is" });
    if (await look.count()) await look.click();
    await page.waitForTimeout(200);
  }
  await page.getByRole("heading", { level: 1, name: /Packed in/ }).waitFor();
});
