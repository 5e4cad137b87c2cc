// One sentence where something could not be done; the next deed takes it away.

import { el } from "./dom.js";

const place = document.getElementById("alerts");

export function say(message) {
  const words = message.charAt(0).toUpperCase() + message.slice(1) + (/[.!?]$/.test(message) ? "" : ".");
  place.replaceChildren(el("p", {}, words, el("button", { class: "plain", onclick: hush }, "All right")));
}

export function hush() {
  place.replaceChildren();
}

// Run something that asks the server, and say what went wrong.
export async function trying(run) {
  try {
    hush();
    return await run();
  } catch (problem) {
    if (problem.name === "AbortError") return undefined;
    say(problem.message);
    if (!("facts" in problem)) throw problem;
    return undefined;
  }
}
