// The shelf check without a network: lets the browser keep the page, answers on this phone, keeps what was checked.
import { draft } from "./draft.js";
import { ask, reach, reckon, takeAlong, today } from "./home.js";
import { keep, list, sendHome, sendWhenBack } from "./keep.js";
import { live } from "./live.js";

const PROBE = "form=diner+mug&count=2";
const READY = "This phone can check without the network. It keeps what you check until home is reached.";
const OTHER = "The module for phones is of another edition than the program at home: run ./offline there and start it anew.";

/** Whether phone and home give the same answer: asked once for each edition. */
async function same(section) {
  const name = "same answers", { edition } = section.dataset;
  if (localStorage.getItem(name) === edition) return true;
  const home = await ask("/shelf/answer", new URLSearchParams(PROBE));
  if (home.here) return true;
  const day = new DOMParser().parseFromString(home.html, "text/html").querySelector("time")?.dateTime;
  if ((await reckon(PROBE, false, day)) !== home.html) return false;
  localStorage.setItem(name, edition);
  return true;
}

/** Puts the whole check in place of the page's: the form with its mistakes, and the answer. */
function redraw(fresh) {
  const main = document.getElementById("page");
  const problems = fresh.querySelector(".problems");
  main.querySelector(":scope > .problems")?.remove();
  if (problems) main.prepend(problems);
  document.title = document.title.replace(/^(Error: )?/, problems ? "Error: " : "");
  main.querySelector(".beside").replaceWith(fresh.querySelector(".beside"));
  wire(main.querySelector("form[data-live]"));
  document.getElementById("answer-here").hidden = false;
  (problems ?? document.getElementById("answer")).focus();
}

const typed = (form) => String(new URLSearchParams(new FormData(form)));

async function check(form) {
  const section = document.querySelector("[data-offline]");
  const question = typed(form);
  // Where home is there it draws the page.
  if (await reach(form.dataset.live, new URLSearchParams(question))) return form.submit();
  const fresh = new DOMParser().parseFromString(await reckon(question, true), "text/html");
  const { innerHTML: answer } = fresh.getElementById("answer");
  const said = fresh.querySelector(".verdict")?.dataset.said;
  // Who typed on meanwhile goes on undisturbed.
  if (form.isConnected && typed(form) === question) redraw(fresh);
  if (!said) return;
  keep({ question, day: today(), said, answer });
  list(section, "Kept on this phone until home is reached.");
  sendHome(section);
}

function wire(form) {
  draft(form);
  live(form);
  catching(form);
}

function catching(form) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    check(form).catch((error) => {
      if (error.name === "AbortError") return;
      keep({ question: typed(form), day: today(), said: "Not worked out.", answer: "" });
      list(document.querySelector("[data-offline]"), `The check failed on this phone (${error.message}). What was typed is kept.`);
    });
  });
}

export async function offline(section) {
  // Workers are for secure pages alone: TLS, or this machine itself.
  if (!navigator.serviceWorker) return;
  section.hidden = false;
  list(section);
  catching(document.querySelector("form[data-live]"));
  sendWhenBack(section);
  try {
    await navigator.serviceWorker.register(section.dataset.worker, { scope: "/shelf" });
    await Promise.all([navigator.serviceWorker.ready, takeAlong()]);
    list(section, (await same(section)) ? READY : OTHER);
  } catch {
    // Without home the worker of the last visit stands.
  }
}
