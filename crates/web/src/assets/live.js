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
      follow();
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

  // Shows the line of the drawing that the field in hand is about: the label begins with its letter.
  function follow() {
    const letter = /^[A-Z](?=\. )/.exec(form.contains(document.activeElement) && document.activeElement.labels?.[0]?.textContent)?.[0];
    const words = [...into.querySelectorAll(".of-piece text")];
    for (const one of words) one.classList.toggle("in-hand", one.textContent.startsWith(`${letter} `));
    const at = words.find((one) => one.matches(".in-hand")), sheet = at?.closest("figure");
    sheet?.scrollBy(0, at.getBoundingClientRect().top - sheet.getBoundingClientRect().top - sheet.clientHeight / 2);
  }
  form.addEventListener("focusin", follow);
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
