// What is locked, in words, and what can be done with it: solve the rest, more of the kind, another kind.

import { el } from "./dom.js";
import { ASPECTS, expression, inWords, read, stretches, toggled } from "./locks.js";
import { solve } from "./solve.js";

export class LockBoard {
  constructor(loops) {
    this.loops = loops;
    this.aspect = "notes";
    this.locks = [];
    this.list = el("ul", { class: "locks", "aria-label": "Locked" });
    this.live = el("p", { class: "unseen", role: "status" });
    this.kind = el(
      "select",
      { id: "aspect", onchange: (event) => (this.aspect = event.target.value) },
      Object.entries(ASPECTS).map(([value, words]) => el("option", { value }, words)),
    );
    this.rest = el("button", { class: "main", onclick: () => this.go("rest") }, "Solve the rest");
    this.node = el(
      "section",
      { class: "board", "aria-label": "Locks" },
      el("h2", {}, "Locks"),
      el("p", { class: "soft" }, "Click a strand to lock its bar, drag over bars, or drag above a row for all parts. From the keyboard: L for the bar of a note, Shift and L for its whole part."),
      el("div", { class: "row" }, el("label", { for: "aspect" }, "Lock"), this.kind),
      this.list,
      this.live,
      el("div", { class: "row" }, this.rest, el("button", { onclick: () => this.go("like") }, "More of this kind"), el("button", { onclick: () => this.go("unlike") }, "Another kind")),
    );
  }

  open(take, number, loop) {
    this.key = `locks ${this.loops.brief}/${take}/${number}`;
    this.loop = loop;
    this.locks = remembered(this.key) ?? this.loops.keptIn(take).flatMap((words) => read(words, loop.bars));
    this.show();
  }

  // Lock what these expressions say, and nothing else.
  replace(expressions) {
    this.locks = expressions.flatMap((words) => read(words, this.loop.bars));
    localStorage.setItem(this.key, JSON.stringify(this.locks));
    this.show();
  }

  toggle(parts, from, to) {
    const before = this.locks.length;
    this.locks = toggled(this.locks, parts, from, to, this.aspect);
    localStorage.setItem(this.key, JSON.stringify(this.locks));
    const [low, high] = [Math.min(from, to), Math.max(from, to)];
    const where = low === high ? `bar ${low}` : `bars ${low} to ${high}`;
    this.live.textContent = `${parts.join(", ")}, ${where} ${this.locks.length > before ? "locked" : "free"}`;
    this.show();
  }

  show() {
    const parts = this.loop.parts.map((part) => part.name);
    const found = stretches(this.locks, parts);
    this.rest.disabled = !found.length;
    this.list.replaceChildren(
      ...found.map((stretch) =>
        el("li", {}, `${inWords(stretch, this.loop.bars)} `, el("button", { class: "plain", "aria-label": `Free ${inWords(stretch, this.loop.bars)}`, onclick: () => this.toggle([stretch.part], stretch.from, stretch.to) }, "free")),
      ),
    );
    this.loops.picture.setLocks(this.locks);
    this.loops.hearing.showLocks?.(this.locks);
  }

  async go(kind) {
    const { take, number } = this.loops.shown;
    const parts = this.loop.parts.map((part) => part.name);
    const locks = kind === "rest" ? stretches(this.locks, parts).map(expression) : [];
    this.loops.watch(await solve({ brief: this.loops.brief, take, number, locks, kind }));
  }
}

function remembered(key) {
  try {
    const found = JSON.parse(localStorage.getItem(key));
    return Array.isArray(found) ? found : null;
  } catch {
    return null;
  }
}
