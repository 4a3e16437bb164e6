// Asks again while a form is being typed, and puts the answer where it belongs.
import { ask as askHome } from "./home.js";

const PAUSE_MS = 350;

export function live(form) {
  const into = document.getElementById(form.dataset.into);
  const said = document.getElementById(`${form.dataset.into}-said`);
  const mark = document.getElementById(`${form.dataset.into}-here`);
  let timer, asked, before = null;

  async function ask() {
    const question = new URLSearchParams(new FormData(form));
    if (String(question) === before) return;
    before = String(question);
    asked?.abort();
    asked = new AbortController();
    into.setAttribute("aria-busy", "true");
    try {
      const { html, here } = await askHome(form.dataset.live, question, asked.signal);
      put(into, html);
      if (mark) mark.hidden = !here;
      const words = into.querySelector("[data-said]")?.dataset.said ?? "";
      // The same words again are no news.
      if (said && said.textContent !== words) said.textContent = words;
      into.removeAttribute("aria-busy");
    } catch (error) {
      if (error.name === "AbortError") return;
      before = null;
      into.removeAttribute("aria-busy");
      if (said) said.textContent = "No answer: Lotwright can't be reached.";
    }
  }

  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, PAUSE_MS);
  });
  if ([...new FormData(form)].some(([name, value]) => name !== "form" && value !== "") && !into.querySelector("[data-said]")) ask();
}

/** Replaces what stands in an element; folded parts that were open stay open. */
export function put(into, html) {
  const open = [...into.querySelectorAll("details")].map((part) => part.open);
  const fresh = new DOMParser().parseFromString(html, "text/html");
  into.replaceChildren(...fresh.body.childNodes);
  into.querySelectorAll("details").forEach((part, k) => (part.open = open[k] ?? false));
}
