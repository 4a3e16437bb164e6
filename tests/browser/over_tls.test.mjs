// A phone on the network, over real TLS: paired by a link, checking without the network, sending home what it kept.
// The certificate is made here and thrown away; the browser knows it by its key alone, and no authority is trusted.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { networkInterfaces, tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, overhang, serveOthers, violations, watched } from "./app.mjs";

const DAY = "2026-11-25";
const COMPS = "4 for 260 + 20, 10d ago\n2 for 140 + 15, 20d ago\n4 for 250 + 20, 30d ago";
// A phone as the browser plays it.
const PHONE = { viewport: { width: 390, height: 740 }, deviceScaleFactor: 3, isMobile: true, hasTouch: true };

/** A certificate for the machine's addresses with its key, and what the browser calls that key. */
function certificate(folder) {
  const [cert, key] = ["cert.pem", "key.pem"].map((name) => join(folder, name));
  const own = Object.values(networkInterfaces()).flat().filter((one) => one.family === "IPv4").map((one) => `IP:${one.address}`);
  const quiet = { stdio: ["pipe", "pipe", "ignore"] };
  execFileSync("openssl", [
    "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2",
    "-keyout", key, "-out", cert, "-subj", "/CN=lotwright test", "-addext", `subjectAltName=${own.join(",")}`,
  ], quiet);
  const shown = execFileSync("openssl", ["x509", "-in", cert, "-pubkey", "-noout"], quiet);
  const bare = execFileSync("openssl", ["pkey", "-pubin", "-outform", "der"], { ...quiet, input: shown });
  const spki = execFileSync("openssl", ["dgst", "-sha256", "-binary"], { ...quiet, input: bare }).toString("base64");
  return { cert, key, spki };
}

let app, chrome, folder;
before(async () => {
  folder = mkdtempSync(join(tmpdir(), "lotwright-tls-"));
  const { cert, key, spki } = certificate(folder);
  [app, chrome] = await Promise.all([
    serveOthers("a passphrase of the tests", "--tls-cert", cert, "--tls-key", key),
    browser(`--ignore-certificate-errors-spki-list=${spki}`),
  ]);
});
after(async () => {
  await chrome?.close();
  await app?.stop();
  if (folder) rmSync(folder, { recursive: true, force: true });
});

const onPhone = (page) => page.getByRole("region", { name: "On this phone" }).getByRole("listitem");
const atHome = (page) => page.getByRole("region", { name: "Checked in shops" }).getByRole("listitem");

test("a browser that does not know the certificate's key stays outside", async () => {
  const other = await browser();
  try {
    const page = await other.newPage();
    await assert.rejects(page.goto(`${app.lan}/enter`), /ERR_CERT/);
  } finally {
    await other.close();
  }
});

test("a phone is paired by a link, checks without the network as home would, and sends home what it kept", { timeout: 120_000 }, async () => {
  assert.match(app.lan, /^https:\/\/(?!127\.)/, "the machine has an address of its own");
  // The machine itself comes in and shows a code.
  const desk = await (await chrome.newContext()).newPage();
  await desk.goto(app.link);
  await desk.getByRole("heading", { level: 1, name: "Begin" }).waitFor();
  await desk.goto(`${app.origin}/devices`);
  await desk.getByRole("button", { name: "Show a pairing code" }).click();
  const code = (await desk.locator(".pairing-code").textContent()).replace("-", "");
  assert.equal(await desk.getByText("is not encrypted").count(), 0);

  const context = await chrome.newContext(PHONE);
  const phone = await context.newPage();
  const seen = watched(phone, app.lan);
  await phone.goto(`${app.lan}/enter/${code}`);
  assert.equal(await phone.evaluate(() => isSecureContext), true);
  await phone.getByLabel(/What to call this device/).fill("my phone");
  await phone.getByRole("button", { name: "Let this browser in" }).tap();
  await phone.getByRole("heading", { level: 1, name: "Begin" }).waitFor();
  const [cookie] = await context.cookies();
  assert.deepEqual([cookie.secure, cookie.httpOnly, cookie.sameSite], [true, true, "Strict"]);
  const late = await (await chrome.newContext(PHONE)).newPage();
  await late.goto(`${app.lan}/enter/${code}`);
  await late.getByRole("button", { name: "Let this browser in" }).tap();
  await late.getByText("That code is wrong, was used").first().waitFor();

  // Its worker installs, and the page can be put on the home screen.
  await phone.clock.setFixedTime(new Date(`${DAY}T12:00:00`));
  await phone.goto(`${app.lan}/shelf`);
  await phone.getByText("This phone can check without the network.").waitFor();
  const worker = await phone.evaluate(async () => (await navigator.serviceWorker.ready).active.scriptURL);
  assert.equal(worker, `${app.lan}/shelf-worker.js`);
  const protocol = await context.newCDPSession(phone);
  const { installabilityErrors } = await protocol.send("Page.getInstallabilityErrors");
  assert.deepEqual(installabilityErrors.filter((one) => one.errorId !== "in-incognito"), []);
  const manifest = await phone.evaluate(async () => {
    const told = await (await fetch(document.querySelector("link[rel=manifest]").href)).json();
    const icons = [...told.icons, { src: document.querySelector("link[rel=apple-touch-icon]").href, sizes: "180x180", type: "image/png" }];
    const sides = await Promise.all(icons.map(async ({ src, sizes, type }) => {
      const image = Object.assign(new Image(), { src });
      await image.decode();
      const { headers } = await fetch(src);
      return [sizes, sizes === "any" ? sizes : `${image.naturalWidth}x${image.naturalHeight}`, type, headers.get("content-type")];
    }));
    return { ...told, sides };
  });
  for (const [said, is, type, sent] of manifest.sides) assert.deepEqual([is, sent], [said, type]);
  for (const wanted of ["192x192", "512x512"]) assert.ok(manifest.icons.some((icon) => icon.sizes === wanted && icon.purpose === "any"), wanted);
  assert.ok(manifest.icons.some((icon) => icon.purpose === "maskable"));
  assert.deepEqual([manifest.start_url, manifest.display], ["/shelf", "standalone"]);

  // In the shop, without a network.
  await context.setOffline(true);
  await phone.reload();
  await phone.getByLabel("What they are").fill("diner mug");
  await phone.getByLabel("How many", { exact: true }).fill("8");
  await phone.getByLabel(/Price asked/).fill("6");
  await phone.getByLabel(/What like ones sold for/).fill(COMPS);
  await phone.locator(".verdict", { hasText: "Buy it for 6.00." }).waitFor();
  await phone.getByText("Worked out on this phone, without the network.").waitFor();
  const answer = () => phone.evaluate(() => document.getElementById("answer").innerHTML);
  const here = await answer();
  await phone.getByRole("button", { name: "Check it" }).tap();
  await onPhone(phone).getByText("8 x diner mug, asked 6: Buy it for 6.00. (2026-11-25)").waitFor();
  assert.ok((await overhang(phone)) <= 0);
  assert.deepEqual(await violations(phone), []);
  await phone.reload();
  assert.equal(await onPhone(phone).count(), 1, "the check is kept");
  assert.equal(await phone.getByLabel("How many", { exact: true }).inputValue(), "8", "so is what was typed");

  // Home again.
  await context.setOffline(false);
  await phone.reload();
  await phone.waitForFunction(() => localStorage.getItem("kept checks") === "[]");
  await phone.reload();
  assert.equal(await atHome(phone).count(), 1);
  await phone.locator(".verdict", { hasText: "Buy it for 6.00." }).waitFor();
  const there = await phone.evaluate(async () => {
    const body = new URLSearchParams(new FormData(document.querySelector("form[data-live]")));
    const text = await (await fetch("/shelf/answer", { method: "POST", body })).text();
    return new DOMParser().parseFromString(text, "text/html").body.innerHTML;
  });
  assert.equal(here, there, "the phone's answer is home's");
  // The machine sees it as well, and the phone among the devices.
  await desk.goto(`${app.origin}/shelf`);
  assert.equal(await atHome(desk).count(), 1);
  await desk.goto(`${app.origin}/devices`);
  await desk.getByText("my phone", { exact: true }).waitFor();
  assert.deepEqual(seen.filter((line) => !/ERR_INTERNET_DISCONNECTED|ERR_FAILED/.test(line)), []);
});
