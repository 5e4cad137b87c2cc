// What is being solved: one stream from the server, a line for each running job, and events for whoever looks on.

import { path, send } from "./api.js";
import { trying } from "./alerts.js";
import { el } from "./dom.js";

export const jobs = new Map();
export const news = new EventTarget();
const place = document.getElementById("jobs");
const lines = new Map();
let stream = null;
let caughtUp = false;
let ready;
const first = new Promise((resolve) => {
  ready = resolve;
});

// The server takes the first listening for a sign that the first view is there.
export function listen() {
  if (stream) return;
  stream = new EventSource(path("events"));
  stream.onmessage = (message) => {
    const job = JSON.parse(message.data);
    const before = jobs.get(job.name);
    jobs.set(job.name, job);
    show();
    const ended = caughtUp && over(job) && !(before && over(before));
    news.dispatchEvent(new CustomEvent("job", { detail: { job, ended } }));
  };
  stream.addEventListener("ready", () => {
    caughtUp = true;
    ready();
  });
  stream.onerror = () => {
    caughtUp = false;
    jobs.clear();
    show();
  };
}

// A job by its name; one of an earlier server is none.
export async function known(name) {
  listen();
  await first;
  return jobs.get(name) ?? null;
}

export function over(job) {
  return job.state === "done" || job.state === "failed";
}

export function running(brief) {
  return [...jobs.values()].filter((job) => !over(job) && (!brief || job.brief === brief));
}

// A line stays the same element as long as its job runs, so that its button can be pressed while its words change.
function show() {
  const now = running();
  for (const [name, line] of lines) {
    if (now.some((job) => job.name === name)) continue;
    line.remove();
    lines.delete(name);
  }
  for (const job of now) {
    if (!lines.has(job.name)) {
      lines.set(job.name, lineOf(job));
      place.append(lines.get(job.name));
    }
    lines.get(job.name).querySelector(".soft").textContent = ` ${job.words} `;
  }
}

function lineOf(job) {
  return el(
    "p",
    { class: "job" },
    el("a", { href: `#/loops/${encodeURIComponent(job.brief)}/${job.name}` }, job.brief),
    el("span", { class: "soft" }),
    el("button", { class: "plain", onclick: () => stop(job.name) }, "Stop, keep what is done"),
  );
}

export function stop(name) {
  return trying(() => send("POST", path("jobs", name, "stop")));
}

// Begin a solve; where another one runs, ask which of the two the person wants.
export async function begin(order, ask) {
  let made = await send("POST", path("jobs"), order);
  if (made.running) {
    const then = await ask(made.running);
    if (!then) return undefined;
    made = await send("POST", path("jobs"), { ...order, then });
  }
  if (!jobs.has(made.name)) jobs.set(made.name, made);
  return made;
}
