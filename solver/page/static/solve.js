// Buttons that begin a solve.

import { trying } from "./alerts.js";
import { whichFirst } from "./asking.js";
import { el } from "./dom.js";
import { begin } from "./jobs.js";

export function solve(order) {
  return trying(() => begin(order, whichFirst));
}

// Another seed each time, so that solving anew finds something new; the first time the brief's own.
export function solveButton(brief, words, then) {
  return el("button", { class: "main", onclick: async () => then(await solve({ brief })) }, words);
}
