// Wires what a page asks for by its attributes. Every page works without it.
import { live } from "./live.js";
import { draft } from "./draft.js";
import { watch } from "./watch.js";
import { turn } from "./turn.js";
import { enter } from "./enter.js";
import { copy } from "./copy.js";

const each = (what, wire) => document.querySelectorAll(what).forEach(wire);

each("[data-focus]", (problems) => problems.focus());
// Drafts come first: what they restore is then asked about.
each("form[data-draft]", draft);
each("form[data-live]", live);
each("[data-watch]", watch);
each("[data-turn]", turn);
each("form[data-enter]", enter);
// One page alone has it, and nothing there waits for it.
each("[data-offline]", (section) => import("./offline.js").then(({ offline }) => offline(section)));
each("[data-copy]", copy);
each("[data-print]", (button) => {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
});
