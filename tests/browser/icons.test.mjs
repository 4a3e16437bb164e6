// The icons of home screens are the mark, drawn at their sizes.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { browser } from "./app.mjs";
import { HOW, kept, sides } from "./pictures.mjs";

const assets = new URL("../../crates/web/src/assets/", import.meta.url).pathname;
const mark = readFileSync(`${assets}mark.svg`, "utf8");
// A mask leaves a circle of four fifths of the side (published: W3C Web Application Manifest, "safe zone").
const SAFE = 0.4;
// How much a point may differ in a colour, of 255: edges are smoothed otherwise by another build of the browser.
const NEAR = 48;

let chrome;
before(async () => {
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
});

/** The mark on its ground; `share` of the side is left to it, about its own middle. */
async function drawn(side, share) {
  const page = await chrome.newPage({ viewport: { width: side, height: side } });
  const svg = share === 1 ? mark : mark.replace("<path", `<path transform="translate(16 16) scale(${share}) translate(-16 -18)"`);
  await page.setContent(`<body style="margin:0">${svg.replace("<svg ", `<svg width="${side}" height="${side}" style="display:block" `)}`);
  const bytes = await page.screenshot();
  await page.close();
  return bytes;
}

/** Share of colour values in which two pictures differ, and the points outside the circle that are not the ground. */
async function compared(there, fresh, side) {
  const page = await chrome.newPage();
  const found = await page.evaluate(async ({ sources, near, safe, side }) => {
    const [a, b] = await Promise.all(sources.map(async (source) => {
      const image = new Image();
      image.src = source;
      await image.decode();
      const paper = new OffscreenCanvas(image.width, image.height).getContext("2d");
      paper.drawImage(image, 0, 0);
      return paper.getImageData(0, 0, image.width, image.height).data;
    }));
    const outside = (k) => Math.hypot((k % side) + 0.5 - side / 2, Math.floor(k / side) + 0.5 - side / 2) > safe * side;
    let [far, marked] = [0, 0];
    for (let k = 0; k < a.length; k++) if (Math.abs(a[k] - b[k]) > near) far++;
    for (let k = 0; k < side * side; k++) if (outside(k) && [0, 1, 2].some((c) => a[4 * k + c] !== a[c])) marked++;
    return { far: far / a.length, marked };
  }, { sources: [there, fresh].map((bytes) => `data:image/png;base64,${bytes.toString("base64")}`), near: NEAR, safe: SAFE, side });
  await page.close();
  return found;
}

for (const [name, side, share] of [["touch-180.png", 180, 1], ["mark-192.png", 192, 1], ["mark-512.png", 512, 1], ["masked-512.png", 512, 0.8]]) {
  test(`${name} is the mark`, async () => {
    const fresh = await drawn(side, share);
    const there = kept(assets + name, fresh);
    assert.deepEqual(sides(there), [side, side], HOW);
    const { far, marked } = await compared(there, fresh, side);
    assert.ok(far < 0.005, `${(far * 100).toFixed(2)} % of it is otherwise; ${HOW}`);
    if (name.startsWith("masked")) assert.equal(marked, 0, "something lies outside of what every mask leaves");
  });
}
