// Every page, narrow and wide, light and dark: readable by axe's rules, within its width, quiet, and alone.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { after, before, test } from "node:test";
import { browser, inside, overhang, serve, violations, watched } from "./app.mjs";

let app, chrome, plan;
const shots = process.env.SCREENSHOTS;

before(async () => {
  [app, chrome] = await Promise.all([serve(), browser()]);
  const context = await inside(chrome, app);
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
  "/devices": async () => {},
};

for (const width of [320, 390, 1280]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`pages are whole at ${width} px, ${colorScheme}`, async () => {
      const context = await inside(chrome, app, { viewport: { width, height: 800 }, colorScheme });
      const paths = { ...filled, [plan]: async (page) => page.getByRole("button", { name: "Turn left" }).first().waitFor(), [`${plan}/sheet`]: async () => {} };
      for (const [path, fill] of Object.entries(paths)) {
        const page = await context.newPage();
        const seen = watched(page, app.origin);
        await page.goto(app.origin + path);
        await fill(page);
        assert.deepEqual(seen, [], path);
        assert.ok((await overhang(page)) <= 0, `${path} is ${await overhang(page)} px too wide`);
        // Axe takes a while: the narrowest window is only measured.
        if (width !== 320) assert.deepEqual(await violations(page), [], path);
        if (shots) {
          mkdirSync(shots, { recursive: true });
          await page.screenshot({ path: `${shots}/${path.replace(/\W+/g, "-")}-${width}-${colorScheme}.png`, fullPage: true });
        }
        await page.close();
      }
      await context.close();
    });
  }
}
