// Runs the module beside the page, so that typing stays smooth. A module that broke is loaded anew for the next question.
let module;

async function load(address) {
  const { instance } = await WebAssembly.instantiateStreaming(fetch(address), {});
  return instance.exports;
}

function answer(module, { question, day, checked }) {
  const bytes = new TextEncoder().encode(question);
  const at = module.allocate(bytes.length);
  new Uint8Array(module.memory.buffer, at, bytes.length).set(bytes);
  const reply = module.answer(at, bytes.length, ...day.split("-").map(Number), Number(checked));
  const length = new DataView(module.memory.buffer).getUint32(reply, true);
  const text = new TextDecoder().decode(new Uint8Array(module.memory.buffer, reply + 4, length));
  module.release(reply, length + 4);
  return text;
}

addEventListener("message", async ({ data }) => {
  try {
    module ??= load(data.address);
    postMessage({ html: answer(await module, data) });
  } catch (error) {
    module = undefined;
    postMessage({ failed: String(error) });
  }
});
