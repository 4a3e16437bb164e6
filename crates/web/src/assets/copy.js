// Copies the text of a field and says so; the button shows only where there is a script.
export function copy(button) {
  const field = document.getElementById(button.dataset.copy);
  button.hidden = false;
  button.addEventListener("click", async () => {
    field.select();
    try {
      await navigator.clipboard.writeText(field.value);
    } catch {
      document.execCommand("copy");
    }
    document.querySelector("#copied").textContent = `${button.textContent.replace("Copy: ", "")} copied`;
  });
}
