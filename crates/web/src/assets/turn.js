// A view of the packed carton that can be turned, with buttons and keys. The drawings and the table say the same.
import { edges, outlines } from "./scene.js";

const SVG = "http://www.w3.org/2000/svg";
const STEP = 15;

export async function turn(section) {
  const response = await fetch(section.dataset.turn).catch(() => null);
  if (!response?.ok) return;
  const scene = await response.json();
  const most = Number(section.dataset.layers);
  const view = { turn: -30, tilt: 35, layers: most };
  const half = Math.hypot(...scene.inside) / 2 + 4;

  const picture = document.createElementNS(SVG, "svg");
  picture.setAttribute("viewBox", `${-half} ${-half} ${2 * half} ${2 * half}`);
  picture.setAttribute("role", "img");
  const said = Object.assign(document.createElement("p"), { className: "hint" });
  said.setAttribute("role", "status");

  const add = (name, attributes, words) => {
    const element = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    if (words !== undefined) element.textContent = words;
    picture.append(element);
  };
  const show = () => {
    picture.replaceChildren();
    for (const [p, q] of edges(scene, view)) add("line", { x1: p.right, y1: -p.up, x2: q.right, y2: -q.up, class: "edge" });
    const drawn = outlines(scene, view);
    for (const body of drawn) {
      const points = body.hull.map(([right, up]) => `${right.toFixed(1)},${(-up).toFixed(1)}`).join(" ");
      add("polygon", { points, class: `body ${body.kind}` });
      if (body.kind === "body") add("text", { x: body.at[0], y: -body.at[1], class: "number", "font-size": half / 14 }, body.bundle);
    }
    const layers = view.layers === most ? "all layers" : `layers 1 to ${view.layers}`;
    picture.setAttribute("aria-label", `The packed carton, turned ${view.turn}°, tilted ${view.tilt}°, ${layers}`);
    said.textContent = `Turned ${view.turn}°, tilted ${view.tilt}°, ${layers} of ${most}.`;
  };
  const moves = {
    "Turn left": ["ArrowLeft", () => (view.turn = (view.turn - STEP) % 360)],
    "Turn right": ["ArrowRight", () => (view.turn = (view.turn + STEP) % 360)],
    "Tilt up": ["ArrowUp", () => (view.tilt = Math.min(90, view.tilt + STEP))],
    "Tilt down": ["ArrowDown", () => (view.tilt = Math.max(0, view.tilt - STEP))],
    "Fewer layers": ["PageDown", () => (view.layers = Math.max(1, view.layers - 1))],
    "More layers": ["PageUp", () => (view.layers = Math.min(most, view.layers + 1))],
  };
  const buttons = document.createElement("div");
  buttons.className = "actions";
  for (const [words, [, move]] of Object.entries(moves)) {
    if (most === 1 && words.includes("layers")) continue;
    const button = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: words });
    button.addEventListener("click", () => (move(), show()));
    buttons.append(button);
  }
  picture.setAttribute("tabindex", "0");
  picture.addEventListener("keydown", (event) => {
    const found = Object.values(moves).find(([key]) => key === event.key);
    if (found) (event.preventDefault(), found[1](), show());
  });
  const heading = Object.assign(document.createElement("h3"), { textContent: "Turn it" });
  section.append(heading, picture, said, buttons);
  section.hidden = false;
  show();
}
