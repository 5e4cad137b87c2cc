// The page's frame: which view an address shows, and the keys that work everywhere.

import { hush, say } from "./alerts.js";
import { showBriefs } from "./briefs.js";
import { el } from "./dom.js";
import { showForm } from "./form.js";
import { listen } from "./jobs.js";
import { showLoops } from "./loops.js";
import { Player } from "./sound.js";

export const player = new Player(say);
const content = document.getElementById("content");
const trail = document.getElementById("trail");
let leave = () => {};
let shown = "";

async function show() {
  const parts = location.hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  if (location.hash === "#content") return;
  const [kind, brief, take, number, other] = parts;
  const view = [kind, brief].join("/");
  hush();
  if (kind !== "loops") player.stop();
  if (view !== shown) {
    leave();
    leave = () => {};
    content.replaceChildren(el("p", { class: "soft wait" }, "One moment."));
    shown = view;
  }
  trail.replaceChildren(...crumbs(kind, brief));
  try {
    if (kind === "brief") leave = await showForm(content, brief);
    else if (kind === "loops" && brief) leave = await showLoops(content, player, brief, take, Number(number) || 0, other);
    else leave = await showBriefs(content);
  } catch (problem) {
    shown = "";
    content.replaceChildren(el("p", {}, el("a", { href: "#/" }, "To all briefs")));
    say(problem.message);
    if (!("facts" in problem)) throw problem;
  }
}

function crumbs(kind, brief) {
  const here = (yes) => ({ "aria-current": yes ? "page" : null });
  const links = [el("a", { href: "#/", ...here(!kind) }, "Briefs")];
  if (brief) {
    const name = encodeURIComponent(brief);
    links.push(el("a", { href: `#/loops/${name}`, ...here(kind === "loops") }, "Loops"));
    links.push(el("a", { href: `#/brief/${name}`, ...here(kind === "brief") }, "Brief"));
  }
  return links;
}

addEventListener("hashchange", show);
show().finally(listen);
