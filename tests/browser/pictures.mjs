// Pictures that lie in the repository: made anew by `PICTURES=1 node --test`, otherwise only held against what is there.
import assert from "node:assert/strict";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";

/** Whether this run makes them anew. */
export const anew = Boolean(process.env.PICTURES);
/** What to do when one is missing or another. */
export const HOW = "make it anew with: cd tests/browser && PICTURES=1 node --test";

/** Width and height of a PNG file, px (published: PNG specification, 11.2.2). */
export function sides(bytes) {
  assert.equal(bytes.subarray(1, 4).toString("latin1"), "PNG");
  return [bytes.readUInt32BE(16), bytes.readUInt32BE(20)];
}

/** The picture that is kept at a path; with the flag it is the fresh one from now on. */
export function kept(path, fresh) {
  if (anew) {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, fresh);
  }
  assert.ok(existsSync(path), `${path} is missing; ${HOW}`);
  return readFileSync(path);
}
