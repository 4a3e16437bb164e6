// Starts the real program with a frozen clock and an empty data folder, and a real browser before it.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

const root = new URL("../..", import.meta.url).pathname;
const target = process.env.CARGO_TARGET_DIR ?? join(root, "target");
const binary = process.env.LOTWRIGHT ?? join(target, "debug", "lotwright");
/** The text of axe, to be run in a page. */
export const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** The moment at which the program stands still, where a test names no other. */
const NOW = "2026-11-25T09:00:00Z";

const FLAGS = [
  "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];

/** The program, listening; `stop` ends it and removes its folder. */
export async function serve(...more) {
  return start(mkdtempSync(join(tmpdir(), "lotwright-")), "0", more);
}

/** The same for other devices too, with a passphrase and a certificate; `lan` is where they reach it. */
export async function serveOthers(passphrase, ...more) {
  const data = mkdtempSync(join(tmpdir(), "lotwright-"));
  const set = spawnSync(binary, ["serve", "--set-passphrase", "--data", data], { input: `${passphrase}\n`, encoding: "utf8" });
  if (set.status !== 0) throw new Error(set.stderr);
  return start(data, "0", ["--lan", ...more]);
}

async function start(data, port, more) {
  const now = more.includes("--now") ? [] : ["--now", NOW];
  const process_ = spawn(binary, ["serve", "--port", port, "--no-open", "--data", data, ...now, ...more]);
  let said = "";
  let wrong = "";
  process_.stderr.on("data", (bytes) => (wrong += bytes));
  const link = await new Promise((found, failed) => {
    process_.stdout.on("data", (bytes) => {
      said += bytes;
      const line = said.split("\n").find((line) => line.startsWith("http"));
      if (line && said.includes("Ctrl-C")) found(line);
    });
    process_.on("error", failed);
    process_.on("exit", (code) => failed(new Error(`ended with ${code}: ${wrong}`)));
  });
  const end = async () => {
    process_.removeAllListeners("exit");
    if (process_.exitCode !== null || process_.signalCode !== null) return;
    const ended = new Promise((done) => process_.on("exit", done));
    process_.kill();
    await ended;
  };
  const stop = async () => {
    await end();
    rmSync(data, { recursive: true, force: true });
  };
  // The same folder and port once more, after `end`.
  const again = () => start(data, new URL(link).port, more);
  const lan = /^Other devices on your network: (\S+)/m.exec(said)?.[1];
  return { link, lan, origin: new URL(link).origin, end, again, stop, log: () => wrong };
}

/** A browser without a profile of its own. */
export function browser(...flags) {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: [...FLAGS, ...flags] });
}

/** Everything a page did that it should not: errors on its console, requests to another host. */
export function watched(page, origin) {
  const seen = [];
  page.on("console", (message) => {
    // A page that is refused with 422 is named on the console by the browser itself.
    if (message.type() === "error" && !/status of 422/.test(message.text())) seen.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => seen.push(`script: ${error.message}`));
  page.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(origin) && !url.startsWith("data:")) seen.push(`request: ${url}`);
  });
  return seen;
}

/** A new context that has come in by the printed link or by the cookie of another that has. */
export async function inside(browser_, app, options = {}) {
  const context = await browser_.newContext({ viewport: { width: 390, height: 740 }, ...options });
  if (app.cookies) {
    await context.addCookies(app.cookies);
  } else {
    const page = await context.newPage();
    await page.goto(app.link);
    await page.getByRole("heading", { level: 1, name: /^(Begin|Today)$/ }).waitFor();
    await page.close();
    app.cookies = await context.cookies();
  }
  return context;
}

/** Opens the made-up shop, with one order planned at the bench; gives the number of that order. */
export async function demo(context, app) {
  const page = await context.newPage();
  await page.goto(`${app.origin}/begin`);
  await page.getByRole("button", { name: "Open the demo shop" }).click();
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor({ timeout: 120_000 });
  const path = await page.getByRole("link", { name: /^Order \d+$/ }).first().getAttribute("href");
  await page.goto(app.origin + path);
  const anew = page.getByText("Plan it anew, or release the plan");
  if (await anew.count()) await anew.click();
  await page.getByRole("button", { name: /^Plan it(s parcels| anew)$/ }).click();
  await page.getByRole("img", { name: /The packed carton/ }).first().waitFor({ timeout: 120_000 });
  await page.close();
  return path.split("/").at(-1);
}

/** What axe finds by the rules of WCAG 2.2 AA, as short texts. */
export async function violations(page) {
  await page.evaluate(axe);
  const result = await page.evaluate(() =>
    axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
      // Off unless asked for.
      rules: { "target-size": { enabled: true } },
    }),
  );
  return result.violations.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.html.slice(0, 160)} ${node.failureSummary}`).join(" | ")}`);
}

/** Pixels that a page is wider than its window. */
export function overhang(page) {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}
