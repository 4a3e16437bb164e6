// Keeps what was typed until it is cleared: a shop has holes in its network, and a phone drops pages.
export function draft(form) {
  const key = `draft ${form.getAttribute("action")}`;
  const fields = () => [...form.elements].filter((field) => field.name && field.type !== "hidden" && field.type !== "password");
  const pristine = fields().every((field) => field.value === "" || field.tagName === "SELECT");

  if (pristine) {
    let kept = {};
    try {
      kept = JSON.parse(localStorage.getItem(key)) ?? {};
    } catch {
      // A draft that can't be read is none.
    }
    for (const field of fields()) if (typeof kept[field.name] === "string") field.value = kept[field.name];
  }
  form.addEventListener("input", () => {
    const kept = Object.fromEntries(fields().map((field) => [field.name, field.value]));
    try {
      localStorage.setItem(key, JSON.stringify(kept));
    } catch {
      // Without room for it there is no draft.
    }
  });
  form.querySelector("[data-clear]")?.addEventListener("click", () => localStorage.removeItem(key));
}
