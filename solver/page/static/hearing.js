// What is heard and how: play and stop, tempo, beat, loudness, and each strand for itself.

import { trying } from "./alerts.js";
import { drawing, el } from "./dom.js";

const STILL = matchMedia("(prefers-reduced-motion: reduce)");

export class Hearing {
  constructor(player, picture, swap) {
    this.player = player;
    this.picture = picture;
    this.swap = swap;
    this.tempo = null;
    this.strands = el("div", { class: "strands" });
    this.button = el("button", { class: "main play", onclick: () => player.toggle() }, "Play");
    this.place = el("span", { class: "where soft", "aria-hidden": "true" });
    this.bar = el("div", { class: "hear", role: "group", "aria-label": "Hearing" }, this.button, this.place, this.tempoField(), this.beatFields(), this.levelField());
    this.onChange = () => this.refresh();
    player.addEventListener("change", this.onChange);
    this.following = false;
  }

  leave() {
    this.player.removeEventListener("change", this.onChange);
    this.gone = true;
  }

  tempoField() {
    this.tempoInput = el("input", {
      type: "number",
      min: 30,
      max: 300,
      step: 1,
      id: "tempo",
      onchange: () => {
        const asked = Number(this.tempoInput.value);
        this.tempo = asked >= 30 && asked <= 300 ? asked : this.loop.tempo;
        this.tempoInput.value = this.tempo;
        this.player.setTempo(this.tempo);
      },
    });
    return el("span", { class: "pair" }, el("label", { for: "tempo" }, "Tempo"), this.tempoInput);
  }

  beatFields() {
    const { beat } = this.player;
    const choice = (id, label, options, value, change) =>
      el(
        "span",
        { class: "pair" },
        el("label", { for: id }, label),
        el("select", { id, onchange: (event) => change(event.target.value) }, options.map(([key, words]) => el("option", { value: key, selected: key === value }, words))),
      );
    const styles = [["none", "no beat"], ["straight", "straight"], ["half-time", "half-time"]];
    const hits = [["snare", "with a snare"], ["clap", "with a clap"]];
    this.hit = choice("hit", "Back beat", hits, beat.hit, (hit) => this.player.setBeat({ hit }));
    this.hit.hidden = beat.style === "none";
    const style = choice("beat", "Beat", styles, beat.style, (value) => {
      this.hit.hidden = value === "none";
      this.player.setBeat({ style: value }).then(() => this.player.tell());
    });
    return el("span", { class: "pairs" }, style, this.hit);
  }

  levelField() {
    const input = el("input", { type: "range", min: 0, max: 1, step: 0.01, value: this.player.level, id: "level", oninput: (event) => this.player.setLevel(Number(event.target.value)) });
    return el("span", { class: "pair" }, el("label", { for: "level" }, "Loudness"), input);
  }

  choose(base, view, take) {
    const first = this.loop?.title !== view.loop.title || this.loop?.tempo !== view.loop.tempo;
    this.loop = view.loop;
    if (first || this.tempo === null) this.tempo = view.loop.tempo;
    this.tempoInput.value = this.tempo;
    this.drawStrands();
    trying(() =>
      this.player.choose({
        base,
        version: view.version,
        parts: view.loop.parts.map((part) => part.name),
        quarters: view.loop.quarters,
        ownTempo: view.loop.tempo,
        tempo: this.tempo,
        growing: take.startsWith("job-"),
      }),
    );
    this.refresh();
  }

  drawStrands() {
    this.rows = new Map();
    this.strands.replaceChildren(
      ...this.loop.parts.map((part) => {
        const silent = el("button", { class: "toggle", onclick: () => this.player.setPart(part.name, { silent: !this.player.silent.has(part.name) }) });
        const alone = el("button", { class: "toggle", onclick: () => this.player.setPart(part.name, { alone: !this.player.alone.has(part.name) }) });
        const level = el("input", { type: "range", min: 0, max: 1, step: 0.01, value: this.player.levels.get(part.name) ?? 1, "aria-label": `Loudness of ${part.name}`, oninput: (event) => this.player.setPart(part.name, { level: Number(event.target.value) }) });
        const row = el(
          "div",
          { class: `strand k${part.strand}`, role: "group", "aria-label": part.name },
          el("span", { class: "picture sample" }, drawing(part.sample, `s-${part.strand}-`)),
          el("span", { class: "who" }, el("b", {}, part.name), el("span", { class: "soft" }, ` ${part.name === part.role ? "" : `${part.role}, `}${part.instrument}`)),
          silent,
          alone,
          level,
        );
        this.rows.set(part.name, { row, silent, alone });
        return row;
      }),
    );
  }

  refresh() {
    if (!this.loop) return;
    const { player } = this;
    this.button.textContent = player.on ? "Stop" : "Play";
    this.button.setAttribute("aria-pressed", player.on ? "true" : "false");
    for (const [name, { row, silent, alone }] of this.rows) {
      const [hushed, only] = [player.silent.has(name), player.alone.has(name)];
      pressed(silent, hushed, "Silence", name);
      pressed(alone, only, "Hear alone", name);
      row.classList.toggle("hushed", !player.audible(name));
    }
    this.picture.setSilent(this.loop.parts.map((part) => part.name).filter((name) => !player.audible(name)));
    if (player.on && !this.following) this.follow();
  }

  follow() {
    this.following = true;
    const step = () => {
      if (this.gone || !this.player.on) {
        this.following = false;
        this.picture.setPosition(null);
        this.place.textContent = "";
        return;
      }
      const share = this.player.position();
      this.picture.setPosition(share, { stepwise: STILL.matches, follow: true });
      if (share !== null) this.place.textContent = this.words(share);
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  }

  words(share) {
    const slot = share * this.loop.slots;
    const within = slot % this.loop.grid;
    const beat = this.loop.beats.filter((at) => at <= within).length;
    return `bar ${Math.floor(slot / this.loop.grid) + 1}, beat ${beat}`;
  }
}

function pressed(button, on, words, name) {
  button.textContent = words;
  button.setAttribute("aria-pressed", on ? "true" : "false");
  button.setAttribute("aria-label", `${words}: ${name}`);
}
