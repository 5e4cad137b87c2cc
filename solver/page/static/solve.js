// Buttons that begin a solve.

import { trying } from "./alerts.js";
import { whichFirst } from "./asking.js";
import { el } from "./dom.js";
import { begin } from "./jobs.js";

export function solve(order) {
  return trying(() => begin(order, whichFirst));
}

// The first time with the brief's own seed; then with another one each time, so that something else is found.
export function solveButton(brief, takes, then) {
  const seeds = takes.filter((take) => !take.parent && !take.broken).map((take) => take.seed);
  const order = seeds.length ? { brief, seed: Math.max(...seeds) + 1 } : { brief };
  const words = seeds.length ? "Look for others" : "Solve the brief";
  return el("button", { class: "main", onclick: async () => then(await solve(order)) }, words);
}
