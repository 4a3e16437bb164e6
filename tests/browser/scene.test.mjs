// The geometry of the turned view, by itself.
import assert from "node:assert/strict";
import { test } from "node:test";
import { edges, hull, outlines, seen } from "../../crates/web/src/assets/scene.js";

const close = (a, b) => Math.abs(a - b) < 1e-9;

test("straight on, right is x and up is z; from above, up is y", () => {
  const front = seen([3, 5, 7], 0, 0);
  assert.ok(close(front.right, 3) && close(front.up, 7) && close(front.away, 5));
  const above = seen([3, 5, 7], 0, 90);
  assert.ok(close(above.right, 3) && close(above.up, 5) && close(above.away, -7));
});

test("turning keeps every distance", () => {
  for (const [turn, tilt] of [[30, 20], [-75, 60], [180, 90]]) {
    const p = seen([1, 2, 3], turn, tilt);
    assert.ok(close(p.right ** 2 + p.up ** 2 + p.away ** 2, 14));
  }
});

test("the hull of a square with points inside is the square", () => {
  const square = hull([[0, 0], [2, 0], [1, 1], [2, 2], [0, 2], [0.5, 1.5]]);
  assert.deepEqual(square.map(String).sort(), ["0,0", "0,2", "2,0", "2,2"]);
});

test("what is nearer is drawn later, and layers above the wanted one are left out", () => {
  const box = (y, layer) => ({ bundle: layer, layer, kind: "body", corners: [[0, y, 0], [1, y, 0], [0, y + 1, 1], [1, y, 1]] });
  const scene = { inside: [10, 10, 10], bodies: [box(0, 1), box(8, 2)] };
  const drawn = outlines(scene, { turn: 0, tilt: 0, layers: 2 }).map((body) => body.bundle);
  assert.deepEqual(drawn, [2, 1]);
  assert.equal(outlines(scene, { turn: 0, tilt: 0, layers: 1 }).length, 1);
  assert.equal(edges(scene, { turn: 10, tilt: 20 }).length, 12);
});
