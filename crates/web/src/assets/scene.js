// The geometry of the turned view: pure functions, no page.

/** Where a point of the carton is seen, after a turn about the upright and a tilt towards the viewer (degrees). */
export function seen([x, y, z], turn, tilt) {
  const [a, b] = [(turn * Math.PI) / 180, (tilt * Math.PI) / 180];
  const right = x * Math.cos(a) - y * Math.sin(a);
  const deep = x * Math.sin(a) + y * Math.cos(a);
  return { right, up: z * Math.cos(b) + deep * Math.sin(b), away: deep * Math.cos(b) - z * Math.sin(b) };
}

/** The convex hull of points [right, up], counter-clockwise (the monotone chain). */
export function hull(points) {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const half = (list) => {
    const kept = [];
    for (const p of list) {
      while (kept.length > 1 && cross(kept[kept.length - 2], kept[kept.length - 1], p) <= 0) kept.pop();
      kept.push(p);
    }
    return kept.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

const cross = (o, p, q) => (p[0] - o[0]) * (q[1] - o[1]) - (p[1] - o[1]) * (q[0] - o[0]);

/** Outlines to draw from the farthest to the nearest: kind, bundle, hull, and where its middle is. */
export function outlines(scene, { turn, tilt, layers }) {
  const middle = scene.inside.map((side) => side / 2);
  const about = (corner) => seen(corner.map((c, k) => c - middle[k]), turn, tilt);
  return scene.bodies
    .filter((body) => body.layer <= layers)
    .map((body) => {
      const points = body.corners.map(about);
      const mean = (key) => points.reduce((sum, point) => sum + point[key], 0) / points.length;
      return {
        kind: body.kind,
        bundle: body.bundle,
        away: mean("away"),
        at: [mean("right"), mean("up")],
        hull: hull(points.map((point) => [point.right, point.up])),
      };
    })
    .sort((a, b) => b.away - a.away);
}

/** The twelve edges of the carton's inside as pairs of seen points. */
export function edges(scene, { turn, tilt }) {
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => scene.inside.map((side, axis) => ((k >> axis) & 1 ? side / 2 : -side / 2)));
  const points = corners.map((corner) => seen(corner, turn, tilt));
  const pairs = [];
  for (let k = 0; k < 8; k++) for (const axis of [1, 2, 4]) if (!(k & axis)) pairs.push([points[k], points[k | axis]]);
  return pairs;
}
