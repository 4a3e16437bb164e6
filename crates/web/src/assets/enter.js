// The link that was printed is followed at once; a pairing link waits for a name and a tap.
const LONG_KEY = 20;

export function enter(form) {
  if (form.elements.key.value.length > LONG_KEY) form.requestSubmit();
}
