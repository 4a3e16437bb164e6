// Checks made without a network, kept on this phone until home has taken them.
import { again, send } from "./home.js";
import { put } from "./live.js";

const NAME = "kept checks";
const EVERY_MS = 60000;

function kept() {
  try {
    return JSON.parse(localStorage.getItem(NAME)) ?? [];
  } catch {
    return [];
  }
}

const store = (checks) => localStorage.setItem(NAME, JSON.stringify(checks));

/** Keeps a check; the same question on the same day takes the place of the earlier one. */
export function keep(check) {
  const others = kept().filter((one) => one.question !== check.question || one.day !== check.day);
  store([...others, { key: crypto.randomUUID(), ...check }]);
}

const named = (check) => {
  const typed = new URLSearchParams(check.question);
  return `${typed.get("count")} x ${typed.get("form")}${typed.get("asking") ? `, asked ${typed.get("asking")}` : ""}`;
};

function button(words, check, act) {
  const made = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: words });
  made.setAttribute("aria-label", `${words} ${named(check)}`);
  made.addEventListener("click", act);
  return made;
}

/** Draws the list, and says in words what became of it. */
export function list(section, words) {
  const checks = kept();
  const state = section.querySelector("#on-phone-state");
  if (words !== undefined) state.textContent = words;
  section.querySelector("ul").replaceChildren(
    ...checks.map((check) => {
      const line = document.createElement("p");
      line.textContent = `${named(check)}: ${check.said} (${check.day})${check.refused ? ` Home did not take it: ${check.refused}` : ""}`;
      const remove = () => (store(kept().filter((one) => one.key !== check.key)), list(section));
      const item = document.createElement("li");
      item.append(line, button("Show", check, () => show(check)), button("Remove", check, remove));
      return item;
    }),
  );
}

function show(check) {
  for (const [name, value] of new URLSearchParams(check.question)) {
    const field = document.querySelector("form[data-live]").elements[name];
    if (field) field.value = value;
  }
  put(document.getElementById("answer"), check.answer);
  document.getElementById("answer-here").hidden = false;
  document.getElementById("answer").scrollIntoView();
}

let sending = false;

/** Sends what is kept; home knows each by its key, so that sending twice keeps once. */
export async function sendHome(section) {
  if (sending || kept().length === 0) return;
  sending = true;
  let sent = 0, words;
  for (const { key, day, said, question } of kept()) {
    const body = new URLSearchParams([...new URLSearchParams(question), ["key", key], ["day", day], ["said", said]]);
    const response = await send("/shelf/kept", body).catch(() => undefined);
    if (response?.ok) {
      store(kept().filter((one) => one.key !== key));
      const there = document.getElementById("kept");
      if (there) put(there, await response.text());
      sent += 1;
    } else if (response?.status === 401) {
      words = "This phone is signed out. Its checks stay here and are sent when it has come in again.";
      break;
    } else if (response) {
      const refused = (await response.text()).slice(0, 200);
      store(kept().map((one) => (one.key === key ? { ...one, refused } : one)));
    } else {
      words = "Home can't be reached. The checks stay here until it can.";
      break;
    }
  }
  sending = false;
  list(section, words ?? (sent === 0 ? undefined : sent === 1 ? "1 check was sent home." : `${sent} checks were sent home.`));
}

/** Tries whenever home may be there again. */
export function sendWhenBack(section) {
  const attempt = () => (again(), sendHome(section));
  addEventListener("online", attempt);
  setInterval(attempt, EVERY_MS);
  attempt();
}
