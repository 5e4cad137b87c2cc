// All briefs of the workspace, and the ways to a new one.

import { get, path } from "./api.js";
import { el, plural } from "./dom.js";
import { midiPicker } from "./picker.js";

export async function showBriefs(place) {
  const { folder, briefs } = await get(path("briefs"));
  document.title = "Briefs – sennit";
  place.replaceChildren(
    el("h1", {}, "Briefs"),
    el("p", { class: "soft" }, `In the workspace ${folder}. A brief says what is wanted; its loops are what was found.`),
    el("div", { class: "row" }, el("a", { class: "button", href: "#/brief/" }, "Write a new brief"), fromMidi()),
    ...group("With loops", briefs.filter((brief) => brief.latest)),
    ...group("Not solved yet", briefs.filter((brief) => !brief.latest)),
    briefs.length ? "" : el("p", {}, "There is no brief yet. Write one, or lay out a workspace with examples: sennit start DIR."),
  );
  return () => {};
}

function group(heading, briefs) {
  return briefs.length ? [el("h2", { class: "over-cards" }, heading), el("ul", { class: "cards" }, briefs.map(card))] : [];
}

function card(brief) {
  const name = encodeURIComponent(brief.name);
  const facts = [brief.key, brief.bars && plural(brief.bars, "bar"), brief.meter, brief.tempo && `tempo ${brief.tempo}`].filter(Boolean);
  return el(
    "li",
    { class: "card" },
    brief.latest && el("div", { class: "glimpse" }, el("img", { src: glimpse(brief), alt: "", loading: "lazy" })),
    el("h2", {}, el("a", { href: brief.broken ? `#/brief/${name}` : `#/loops/${name}` }, brief.title)),
    brief.broken
      ? el("p", {}, "This file is no valid TOML.")
      : el("p", {}, (brief.chords || []).join(" – "), el("br"), el("span", { class: "soft" }, facts.map((fact) => String(fact).replaceAll(" ", "\u00a0")).join(" · "))),
    el(
      "p",
      { class: "soft" },
      brief.takes > 0 && `${plural(brief.takes, "take")} · `,
      el("a", { href: `#/brief/${name}`, "aria-label": `Change the brief ${brief.title}` }, "change"),
    ),
  );
}

function glimpse(brief) {
  return `${path("loops", brief.name, brief.latest, 1)}/export/picture.svg`;
}

function fromMidi() {
  return midiPicker("midi", "Begin from a MIDI file of your own", "study", (made) => {
    sessionStorage.setItem("new brief", JSON.stringify(made));
    location.hash = "#/brief/";
  });
}
