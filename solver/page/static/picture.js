// The picture, live: notes that tell about themselves, locks drawn over their bars, differences, and where one is.

import { drawing, el, svg } from "./dom.js";
import { lockedBar, stretches } from "./locks.js";
import { point } from "./pointing.js";

export class Picture {
  // `deeds.lock(parts, from, to)` locks or unlocks bars; `deeds.read(note)` is told of the note that is looked at.
  constructor(deeds) {
    this.deeds = deeds;
    this.reading = el("div", { class: "reading", hidden: true, "aria-hidden": "true" });
    this.sheet = el("div", { class: "sheet" });
    this.node = el(
      "div",
      { class: "picture", role: "region", tabindex: "0", "aria-label": "Picture of the arrangement" },
      this.sheet,
    );
    this.locks = [];
    this.sounding = new Set();
  }

  show(view, loop) {
    const focus = this.focused();
    this.view = view;
    this.loop = loop;
    const base = drawing(view.picture, "p-");
    const frame = view.frame.join(" ");
    for (const name of ["width", "height"]) base.removeAttribute(name);
    base.setAttribute("viewBox", frame);
    this.layers = Object.fromEntries(
      ["glow", "differences", "chosen", "notes", "hand"].map((name) => [name, svg("g", { class: name })]),
    );
    // Locks lie in the picture itself, under the strands of their row, so that they hide no note.
    this.locked = [...base.querySelectorAll("g[clip-path]")].map((strands) => {
      const under = svg("g", { class: "locked" });
      strands.before(under);
      return under;
    });
    this.layers.notes.setAttribute("role", "group");
    this.layers.notes.setAttribute("aria-label", "Notes: arrow keys go from one to the next, Enter locks its bar");
    this.over = svg("svg", { viewBox: frame, class: "over" }, this.hatches(), ...Object.values(this.layers));
    this.marks = view.notes.map((note) => this.mark(note));
    this.glows = view.notes.map((note) => svg("rect", this.box(note, 7, `glow-note g${this.strand(note.part)}`)));
    this.layers.notes.append(...this.marks);
    this.layers.glow.append(...this.glows);
    this.line = svg("line", { class: "hand-line" });
    this.layers.hand.append(this.line);
    this.sheet.replaceChildren(base, this.over, this.reading);
    this.reading.hidden = true;
    this.sounding.clear();
    point(this);
    this.marks[0]?.setAttribute("tabindex", "0");
    if (focus) this.focusNear(focus);
    this.setLocks(this.locks);
  }

  strand(part) {
    return this.loop.parts.find((each) => each.name === part).strand;
  }

  box(note, around, kind) {
    const width = Math.max(note.width, 10) + 2;
    return { class: kind, x: note.x - 6, y: note.y - around, width: width + 4, height: 2 * around, rx: 5 };
  }

  mark(note) {
    const mark = svg("rect", {
      ...this.box(note, 10, "note"),
      role: "button",
      tabindex: "-1",
      "aria-label": `${note.part}, ${note.name}, ${note.place}, ${note.function}. ${note.why.join("; ")}`,
      "aria-pressed": "false",
      onpointerenter: () => this.read(note),
      onpointerleave: () => this.unread(note),
      onfocus: () => this.read(note),
      onblur: () => this.unread(note),
      onkeydown: (event) => this.key(event, note),
    });
    mark.note = note;
    return mark;
  }

  read(note) {
    this.seen = note;
    this.deeds.read(note);
    this.reading.replaceChildren(
      el("b", {}, `${note.part} · ${note.name}`),
      el("span", {}, note.place),
      el("span", {}, note.ornament ? `${note.function}, with a ${note.ornament}` : note.function),
      el("ul", {}, note.why.map((why) => el("li", {}, why))),
    );
    const [left, top, width, height] = this.view.frame;
    const [x, y] = [(note.x - left) / width, (note.y + 16 - top) / height];
    this.reading.hidden = false;
    this.reading.style.left = `${100 * Math.min(x, 0.98)}%`;
    this.reading.style.top = `${100 * y}%`;
    const visible = (x * this.node.scrollWidth - this.node.scrollLeft) / this.node.clientWidth;
    this.reading.classList.toggle("leftwards", visible > 0.5);
    this.reading.classList.toggle("upwards", y > 0.6);
  }

  unread(note) {
    if (this.seen === note) {
      this.reading.hidden = true;
      this.seen = null;
    }
  }

  focused() {
    const note = document.activeElement?.note;
    return note && this.marks?.includes(document.activeElement) ? note : null;
  }

  focusNear(note) {
    const same = this.marks.filter((mark) => mark.note.part === note.part);
    this.focus(nearest(same.length ? same : this.marks, note));
  }

  focus(mark) {
    if (!mark) return;
    for (const other of this.marks) other.setAttribute("tabindex", other === mark ? "0" : "-1");
    mark.focus({ preventScroll: false });
  }

  key(event, note) {
    const parts = this.loop.parts.map((part) => part.name);
    const bar = this.barOf(note.onset);
    const own = this.marks.filter((mark) => mark.note.part === note.part);
    const at = own.findIndex((mark) => mark.note === note);
    if (event.key === "ArrowRight") this.focus(own[(at + 1) % own.length]);
    else if (event.key === "ArrowLeft") this.focus(own[(at + own.length - 1) % own.length]);
    else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      const step = event.key === "ArrowDown" ? 1 : parts.length - 1;
      const there = parts[(parts.indexOf(note.part) + step) % parts.length];
      this.focus(nearest(this.marks.filter((mark) => mark.note.part === there), note));
    } else if (event.key === "Enter" || event.key === "l") this.deeds.lock([note.part], bar, bar);
    else if (event.key === "L") this.deeds.lock([note.part], 1, this.loop.bars);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  barOf(slot) {
    return Math.floor(slot / this.loop.grid) + 1;
  }

  // Boxes around a part's notes in some bars, one for each row.
  boxes(part, from, to) {
    const { notes, rows, slot_width: width } = this.view;
    const [start, end] = [(from - 1) * this.loop.grid, to * this.loop.grid];
    return rows.flatMap((row, index) => {
      const [first, last] = [Math.max(start, row.start), Math.min(end, row.end)];
      if (first >= last) return [];
      const inside = notes.filter((note) => note.part === part && note.onset < last && note.onset + note.length > first);
      const own = notes.filter((note) => note.part === part);
      const heights = (inside.length ? inside : own).map((note) => note.y);
      const middle = (row.top + row.bottom) / 2;
      const low = inside.length ? Math.min(...heights.map((y) => y)) : middle - 10;
      const high = inside.length ? Math.max(...heights.map((y) => y)) : middle + 10;
      const x = row.left + (first - row.start) * width;
      return [{ row: index, x: x + 2, y: low - 15, width: (last - first) * width - 4, height: high - low + 30 }];
    });
  }

  setLocks(locks) {
    this.locks = locks;
    if (!this.view) return;
    const parts = this.loop.parts.map((part) => part.name);
    const bar = this.loop.grid * this.view.slot_width;
    for (const under of this.locked) under.replaceChildren();
    for (const stretch of stretches(locks, parts)) {
      const strand = this.strand(stretch.part);
      for (const { row, ...box } of this.boxes(stretch.part, stretch.from, stretch.to)) {
        this.locked[row].append(
          svg(
            "g",
            { class: `lock l${strand} ${stretch.aspect}` },
            svg("rect", { ...box, rx: 9, fill: `url(#hatch-${strand})`, class: "lock-box" }),
            ...Array.from({ length: Math.max(1, Math.round(box.width / bar)) }, (_, index) =>
              svg("path", { class: "hitch", d: HITCH, transform: `translate(${box.x + bar * (index + 1) - 19} ${box.y + 1})` }),
            ),
          ),
        );
      }
    }
    for (const mark of this.marks) {
      const locked = lockedBar(locks, mark.note.part, this.barOf(mark.note.onset));
      mark.setAttribute("aria-pressed", locked ? "true" : "false");
    }
  }

  hatches() {
    const patterns = this.loop.parts.map(({ strand }) =>
      svg(
        "pattern",
        { id: `hatch-${strand}`, width: 9, height: 9, patternUnits: "userSpaceOnUse" },
        svg("path", { class: `hatch l${strand}`, d: "M0,9 L9,0 M0,0 L9,9" }),
      ),
    );
    return svg("defs", {}, ...patterns);
  }

  // What another arrangement has differently: a ring under this one's notes, the other's as hollow ghosts.
  setDifferences(here, ghosts) {
    const rings = here.map((note) => svg("rect", this.box(note, 11, "differs")));
    const others = ghosts.map((note) =>
      svg("rect", { ...this.box(note, 5, `ghost g${this.strand(note.part)}`), x: note.x - 4, width: Math.max(note.width - 1, 9) }),
    );
    this.layers.differences.replaceChildren(...others, ...rings);
  }

  setSilent(names) {
    const silent = this.loop.parts.filter((part) => names.includes(part.name));
    for (let strand = 0; strand < 6; strand += 1) {
      this.sheet.classList.toggle(`hush-${strand}`, silent.some((part) => part.strand === strand));
    }
  }

  // The line that shows where one is; null takes it away. With `follow`, the picture moves along.
  setPosition(share, { stepwise = false, follow = false } = {}) {
    if (!this.view) return;
    this.line.classList.toggle("shown", share !== null);
    const on = new Set();
    if (share !== null) {
      let slot = share * this.loop.slots;
      if (stepwise) slot = this.loop.beats.length ? this.onBeat(slot) : slot;
      const row = this.view.rows.find((one) => slot < one.end) ?? this.view.rows.at(-1);
      const x = row.left + (slot - row.start) * this.view.slot_width;
      for (const [name, value] of [["x1", x], ["x2", x], ["y1", row.top - 6], ["y2", row.bottom + 4]]) {
        this.line.setAttribute(name, value);
      }
      this.view.notes.forEach((note, index) => {
        if (note.onset <= slot && slot < note.onset + note.length) on.add(index);
      });
      if (follow) this.follow(x);
    }
    for (const index of new Set([...on, ...this.sounding])) {
      this.glows[index]?.classList.toggle("sounds", on.has(index));
    }
    this.sounding = on;
  }

  onBeat(slot) {
    const bar = Math.floor(slot / this.loop.grid) * this.loop.grid;
    return bar + Math.max(...this.loop.beats.filter((beat) => beat <= slot - bar));
  }

  follow(x) {
    const { scrollWidth, clientWidth } = this.node;
    if (scrollWidth <= clientWidth + 1) return;
    const at = (x / this.view.frame[2]) * scrollWidth;
    if (at < this.node.scrollLeft + 30 || at > this.node.scrollLeft + clientWidth - 40) this.node.scrollLeft = at - 60;
  }
}

// A belaying pin with turns around it: what marks a locked bar, at its end, where no chord's name stands.
const HITCH = "M-2.5,-11 a2.5,2.5 0 1 1 5,0 a2.5,2.5 0 1 1 -5,0 M0,-8 V10 M-7,-2 L7,-5 M-7,2.5 L7,-0.5 M-7,7 L7,4";

function nearest(marks, note) {
  return marks.reduce((a, b) => (Math.abs(b.note.onset - note.onset) < Math.abs(a.note.onset - note.onset) ? b : a), marks[0]);
}
