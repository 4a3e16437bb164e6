// Looks how far a piece of work is, and opens the page anew when it is done.
import { put } from "./live.js";

const PAUSE_MS = 700;

export function watch(element) {
  async function look() {
    try {
      const response = await fetch(element.dataset.watch);
      if (response.ok) {
        const words = await response.text();
        if (words !== element.dataset.words) put(element, words);
        element.dataset.words = words;
      }
      if (!response.ok || element.querySelector("[data-done]")) return location.reload();
    } catch {
      // Not reachable for a moment: look again.
    }
    setTimeout(look, PAUSE_MS);
  }
  setTimeout(look, PAUSE_MS);
}
