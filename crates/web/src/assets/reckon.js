// Runs the module beside the page, so that typing stays smooth. A module that broke is loaded anew for the next question.
let module, told;

async function load(address) {
  const { instance } = await WebAssembly.instantiateStreaming(fetch(address), {});
  return instance.exports;
}

function written(module, text) {
  const bytes = new TextEncoder().encode(text);
  const at = module.allocate(bytes.length);
  new Uint8Array(module.memory.buffer, at, bytes.length).set(bytes);
  return [at, bytes.length];
}

function answer(module, { question, day, checked, usual = "" }) {
  // What is usual at home, where it has changed.
  if (usual !== told) {
    module.usual(...written(module, usual));
    told = usual;
  }
  const reply = module.answer(...written(module, question), ...day.split("-").map(Number), Number(checked));
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
    [module, told] = [undefined, undefined];
    postMessage({ failed: String(error) });
  }
});
