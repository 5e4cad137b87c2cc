// A button that takes a MIDI file from the person's disk and sends it to the server.

import { trying } from "./alerts.js";
import { path, send } from "./api.js";
import { el } from "./dom.js";

const LARGEST = 5_000_000; // bytes, as the server has it

// `made(facts)` is told what the server answers at that address.
export function midiPicker(id, words, address, made) {
  const input = el("input", {
    type: "file",
    accept: ".mid,.midi",
    class: "hidden-input",
    id,
    onchange: () =>
      trying(async () => {
        const file = input.files[0];
        if (!file) return;
        const large = file.size > LARGEST;
        const facts = large ? null : await send("POST", `${path(address)}?name=${encodeURIComponent(file.name)}`, file);
        input.value = "";
        if (large) throw Object.assign(new Error("a MIDI file may have 5 MB at most"), { facts: {} });
        made(facts);
      }),
  });
  return el("span", { class: "filed" }, input, el("label", { for: id, class: "button" }, words));
}
