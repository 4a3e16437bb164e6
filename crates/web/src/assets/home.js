// Asks home, and this phone itself where home is out of reach.
const place = document.querySelector("[data-offline]");
// How long home may take where this phone could answer; how long it is then left alone.
const PATIENCE_MS = 4000;
const REST_MS = 15000;
let away = -REST_MS;
let worker, busy;
let waiting = [];

const USUAL = "usual at home";

/** Takes along what is usual at home: settings, rate cards, venues. Out of reach, what was taken along before holds. */
export const takeAlong = () =>
  fetch(place.dataset.usual, { signal: AbortSignal.timeout(PATIENCE_MS) })
    .then(async (response) => response.ok && localStorage.setItem(USUAL, await response.text()))
    .catch(() => {});

/** Today where the phone is, as 2026-11-25. */
export function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
}

function next() {
  busy = waiting.shift();
  if (busy) worker.postMessage({ address: place.dataset.module, usual: localStorage.getItem(USUAL) ?? "", ...busy.question });
}

function done({ data }) {
  if (data.html === undefined) busy?.failed(new Error(data.failed));
  else busy.answered(data.html);
  next();
}

function broken() {
  worker = undefined;
  for (const one of [busy, ...waiting]) one?.failed(new Error("its worker could not be started"));
  [busy, waiting] = [undefined, []];
}

/** The answer of this phone's own module; of questions that are still being typed only the latest is asked. */
export function reckon(question, checked = false, day = today()) {
  return new Promise((answered, failed) => {
    if (!worker) {
      worker = new Worker(place.dataset.reckon);
      worker.addEventListener("message", done);
      worker.addEventListener("error", broken);
    }
    const late = (one) => !one.question.checked && !checked;
    waiting.filter(late).forEach((one) => one.failed(new DOMException("a later question", "AbortError")));
    waiting = waiting.filter((one) => !late(one));
    waiting.push({ question: { question: String(question), checked, day }, answered, failed });
    if (!busy) next();
  });
}

/** Sends to home: its response, or nothing where it is out of reach. */
export async function send(address, body, signal) {
  const limits = [signal, place && AbortSignal.timeout(PATIENCE_MS)].filter(Boolean);
  try {
    const response = await fetch(address, { method: "POST", body, signal: AbortSignal.any(limits) });
    away = -REST_MS;
    return response;
  } catch (error) {
    if (signal?.aborted) throw error;
    away = performance.now();
  }
}

/** The response of home unless it was out of reach a moment ago; signed out is out of reach as well. */
export async function reach(address, question, signal) {
  if (place && performance.now() - away < REST_MS) return undefined;
  const response = await send(address, question, signal);
  return place && response?.status === 401 ? undefined : response;
}

/** An answer and whether this phone gave it. */
export async function ask(address, question, signal) {
  const response = await reach(address, question, signal);
  if (response?.ok) return { html: await response.text(), here: false };
  if (!place || response) throw new Error(String(response?.status));
  const html = await reckon(question);
  signal?.throwIfAborted();
  return { html, here: true };
}

/** Home may be there again. */
export const again = () => (away = -REST_MS);
