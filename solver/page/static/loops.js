// The loops of one brief: choose an arrangement, see it, hear it, compare, lock, go on from it.

import { say, trying } from "./alerts.js";
import { get, path } from "./api.js";
import { card } from "./card.js";
import { conflict } from "./conflict.js";
import { placed, without } from "./differences.js";
import { el, plural, renew } from "./dom.js";
import { family } from "./family.js";
import { Hearing } from "./hearing.js";
import { jobs, known, news, over } from "./jobs.js";
import { LockBoard } from "./lockboard.js";
import { own } from "./own.js";
import { Picture } from "./picture.js";
import { atRest } from "./rest.js";
import { solveButton } from "./solve.js";
import { tags } from "./tags.js";
import { takeAway } from "./takeaway.js";

const KEYS = "Space plays and stops. 1 to 9 choose an arrangement, X hears the one compared with. On a note, arrow keys go on, L locks.";
let mounted = null;

export async function showLoops(place, player, brief, take, number, other) {
  if (!mounted || mounted.brief !== brief || !place.contains(mounted.root)) {
    mounted?.leave();
    mounted = new Loops(place, player, brief);
  }
  mounted.going = mounted.go(take, number, other, true);
  await mounted.going;
  const here = mounted;
  return () => here.leave();
}

export function address(brief, take, number, other) {
  const parts = ["loops", brief, take, number, other && `${other.take}.${other.number}`];
  return `#/${parts.filter((part) => part !== undefined && part !== null).map(encodeURIComponent).join("/")}`;
}

class Loops {
  constructor(place, player, brief) {
    this.brief = brief;
    this.player = player;
    this.takes = [];
    this.turn = 0;
    this.going = null; // what the person asked to be shown last, while it comes
    this.shown = null; // {take, number, view}
    this.other = null;
    this.remarks = new Map(); // what a solve had to say, by its take
    this.picture = new Picture({ lock: (...bars) => this.board.toggle(...bars), read: () => {} });
    this.board = new LockBoard(this);
    this.hearing = new Hearing(player, this.picture, () => this.swap());
    this.places = Object.fromEntries(
      ["heading", "clash", "tags", "compared", "own", "card", "away", "family"].map((name) => [name, el("div", { class: `at-${name}` })]),
    );
    const { heading, clash, tags: cord, compared, own: mine, card: merits, away, family: tree } = this.places;
    this.bench = el(
      "div",
      { class: "bench" },
      el("section", { class: "centre", "aria-label": "Picture and sound" }, this.hearing.bar, compared, this.picture.node, el("p", { class: "soft small" }, KEYS), this.hearing.strands, this.board.node, tree),
      el("div", { class: "beside" }, mine, merits, away),
    );
    this.root = el("div", { class: "loops" }, heading, clash, cord, this.bench);
    place.replaceChildren(this.root);
    this.onJob = (event) => this.heard(event.detail);
    news.addEventListener("job", this.onJob);
    this.onKey = (event) => this.key(event);
    addEventListener("keydown", this.onKey);
  }

  leave() {
    news.removeEventListener("job", this.onJob);
    removeEventListener("keydown", this.onKey);
    this.away?.abort();
    this.hearing.leave();
    this.player.stop();
    if (mounted === this) mounted = null;
  }

  // Show an arrangement. What the person asks for comes before what arrives by itself, the later before the earlier.
  async go(take, number, other, asked = false) {
    const turn = asked ? ++this.turn : this.turn;
    const job = take?.startsWith("job-") ? await known(take) : null;
    if (!job) await this.readTakes();
    if (job?.take) return this.arrived(job, true);
    const name = job || !take?.startsWith("job-") ? take ?? this.takes.at(-1)?.name : this.takes.at(-1)?.name;
    if (!name || (job && !job.found.length)) return this.showEmpty(name);
    const list = job ? job.found : await this.listOf(name);
    const view = await this.viewOf(name, number || list[0].number);
    const compared = other ? await this.otherFrom(other) : null;
    await atRest();
    if (turn !== this.turn) return undefined;
    this.list = list;
    this.shown = { take: name, number: number || list[0].number, view };
    this.waiting = null;
    this.other = compared;
    return this.show();
  }

  async readTakes() {
    this.takes = (await get(path("loops", this.brief))).takes;
  }

  async listOf(name) {
    return this.takes.find((take) => take.name === name)?.arrangements ?? (await get(path("loops", this.brief, name))).arrangements;
  }

  viewOf(take, number) {
    return get(path("loops", this.brief, take, number));
  }

  async otherFrom(text) {
    const [take, number] = text.split(".");
    const view = await this.viewOf(take, Number(number));
    return { take, number: Number(number), view };
  }

  show() {
    const { view, take, number } = this.shown;
    const { loop } = view;
    document.title = `${loop.title} – sennit`;
    this.bench.hidden = false;
    this.showHeading(loop);
    this.showTags();
    this.picture.show(view, loop);
    this.board.open(take, number, loop);
    this.hearing.choose(this.base(this.shown), view, take);
    renew(this.places.card, card(view, this.other?.view, this.growing()));
    renew(this.places.own, own(this));
    this.away?.abort();
    this.away = new AbortController();
    renew(this.places.away, takeAway(this.base(this.shown), loop, this.player, take, this.away.signal));
    renew(this.places.family, family(this));
    this.showCompared();
  }

  showHeading(loop) {
    const facts = loop
      ? [loop.key, `tempo ${loop.tempo}`, loop.meter, plural(loop.bars, "bar"), loop.chords.join(" – ")].join(" · ")
      : "";
    renew(
      this.places.heading,
      el("div", {}, el("h1", {}, loop?.title ?? this.brief), el("p", { class: "soft" }, facts)),
      el("div", { class: "row" }, solveButton(this.brief, this.takes, (job) => this.watch(job))),
    );
  }

  showEmpty(name) {
    document.title = `${this.brief} – sennit`;
    this.bench.hidden = true;
    const running = name && jobs.get(name) && !over(jobs.get(name));
    this.showHeading(null);
    this.showTitle();
    this.places.tags.replaceChildren(
      el("p", { class: "soft wait" }, running ? "Arrangements appear here as they are found, best first." : "Nothing is solved yet."),
    );
    this.waiting = name;
  }

  // As long as there is no loop to tell it, the brief's file does.
  async showTitle() {
    this.file ??= get(path("briefs", this.brief)).catch(() => null);
    const facts = await this.file;
    const title = facts?.values?.title ?? facts?.defaults?.brief?.title;
    if (!title || this.shown) return;
    document.title = `${title} – sennit`;
    this.places.heading.querySelector("h1").textContent = title;
  }

  showTags() {
    const { take, number } = this.shown;
    renew(
      this.places.tags,
      tags(this, take, number, {
        open: (there) => this.open(take, there),
        compare: (there) => this.compare(take, there),
      }),
    );
  }

  base({ take, number }) {
    return path("loops", this.brief, take, number);
  }

  open(take, number) {
    const other = this.other && !(this.other.take === take && this.other.number === number) ? this.other : null;
    location.hash = address(this.brief, take, number, other);
  }

  compare(take, number) {
    const same = this.other && this.other.take === take && this.other.number === number;
    location.hash = address(this.brief, this.shown.take, this.shown.number, same ? null : { take, number });
  }

  swap() {
    if (!this.other) return;
    const { take, number } = this.other;
    location.hash = address(this.brief, take, number, this.shown);
  }

  growing() {
    return this.list.find((entry) => entry.number === this.shown.number)?.final === false;
  }

  // What a take, or a job, kept of the arrangement that it came from.
  keptIn(name) {
    return this.takes.find((take) => take.name === name)?.locks ?? jobs.get(name)?.order.locks ?? [];
  }

  showCompared() {
    const { compared } = this.places;
    if (!this.other) {
      this.picture.setDifferences([], []);
      compared.replaceChildren();
      return;
    }
    const mine = this.shown.view.notes;
    const theirs = this.other.view.notes;
    const [here, there] = [without(mine, theirs), without(theirs, mine)];
    const comparable = this.other.view.loop.slots === this.shown.view.loop.slots;
    this.picture.setDifferences(here, comparable ? placed(there, this.shown.view) : []);
    const counts = this.shown.view.loop.parts.map((part) => `${part.name} ${here.filter((note) => note.part === part.name).length}`);
    compared.replaceChildren(
      el("p", {}, `Compared with arrangement ${this.other.number} of ${this.other.take}: `, el("b", {}, `${here.length} of ${mine.length} notes differ`), ` (${counts.join(", ")}). Dotted frames mark them, hollow shapes are the other's.`),
      el("div", { class: "row" }, el("button", { onclick: () => this.swap() }, "Hear the other (X)"), el("button", { class: "plain", onclick: () => this.compare(this.other.take, this.other.number) }, "End comparing")),
    );
  }

  // A remark was written: the places that show remarks anew, without touching the picture or the sound.
  refreshRemarks() {
    this.showTags();
    renew(this.places.own, own(this));
    renew(this.places.family, family(this));
  }

  watch(job) {
    this.places.clash.replaceChildren();
    if (job) location.hash = address(this.brief, job.name);
  }

  // A job of this brief has news: arrangements appear as they are found, and its take takes the job's place.
  async heard({ job, ended }) {
    if (job.brief !== this.brief) return;
    await Promise.allSettled([this.going]);
    const watching = this.shown?.take === job.name || this.waiting === job.name;
    if (ended && job.take) await trying(() => this.arrived(job, watching));
    else if (ended && job.message && watching) this.failed(job);
    else if (watching && job.found.length) await this.follow(job);
  }

  // What is looked at may be a sketch that gets better: it is shown anew, and the sound goes on where it was.
  async follow(job) {
    this.list = job.found;
    if (this.coming) return;
    const here = this.shown?.take === job.name ? this.shown.number : null;
    const entry = job.found.find((each) => each.number === here);
    if (here && entry?.version === this.shown.view.version) {
      await atRest();
      if (this.list === job.found) this.showTags();
      return;
    }
    this.coming = true;
    await trying(() => this.go(job.name, entry?.number ?? job.found[0].number));
    this.coming = false;
  }

  async arrived(job, watching) {
    await this.readTakes();
    if (!watching) {
      await atRest();
      renew(this.places.family, family(this));
      return;
    }
    const before = this.shown?.take === job.name ? this.shown.view.version : null;
    const list = (await get(path("loops", this.brief, job.take))).arrangements;
    const same = list.find((entry) => entry.version === before) ?? list[0];
    this.waiting = null;
    this.remarks.set(job.take, job.message);
    await this.go(job.take, same.number);
    if (this.shown?.take === job.take) history.replaceState(null, "", address(this.brief, job.take, same.number));
  }

  failed(job) {
    this.waiting = null;
    if (!this.shown) this.showEmpty();
    if (!job.conflicts?.length) {
      say(job.message);
      return;
    }
    const { clash } = this.places;
    const deeds = { watch: (next) => this.watch(next), relock: (locks) => this.board.replace(locks), dismiss: () => clash.replaceChildren() };
    clash.replaceChildren(conflict(job, deeds));
    clash.scrollIntoView({ block: "nearest" });
  }

  key(event) {
    const tag = event.target.tagName;
    if (event.ctrlKey || event.metaKey || event.altKey || ["INPUT", "TEXTAREA", "SELECT"].includes(tag)) return;
    if (event.key === " ") {
      const pressing = ["BUTTON", "A", "SUMMARY"].includes(tag) && event.target.matches(":focus-visible");
      if (pressing || !this.shown) return;
      this.player.toggle();
    } else if (event.key === "x") this.swap();
    else if (/^[1-9]$/.test(event.key) && this.list?.[event.key - 1]) this.open(this.shown.take, this.list[event.key - 1].number);
    else return;
    event.preventDefault();
  }
}
