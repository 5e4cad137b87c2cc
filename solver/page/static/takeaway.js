// Files to take away: click to save, or drag to the desktop where the browser allows it.

import { el } from "./dom.js";

export function takeAway(base, loop, player, take) {
  const file = (name, words, kind, query = "") => {
    const link = el("a", { href: `${base}/export/${name}${query}`, download: "", draggable: "true" }, words);
    const ending = name.slice(name.lastIndexOf("."));
    link.addEventListener("dragstart", (event) => {
      event.dataTransfer.setData("DownloadURL", `${kind}:${loop.title} - ${words}${ending}:${link.href}`);
      event.dataTransfer.effectAllowed = "copy";
    });
    return link;
  };
  const beat = el("a", { href: `${base}/export/loop.wav`, download: "", class: "with-beat" }, "WAV with the beat");
  const showBeat = () => {
    const { style, hit } = player.beat;
    beat.hidden = style === "none";
    beat.href = `${base}/export/loop.wav?beat=${style}&hit=${hit}`;
  };
  showBeat();
  player.addEventListener("change", showBeat);
  return el(
    "section",
    { "aria-label": "Take away", class: "away-list" },
    el("h2", {}, "Take away"),
    el(
      "ul",
      {},
      el("li", {}, file("loop.mid", "MIDI, all parts", "audio/midi")),
      ...loop.parts.map((part) => el("li", {}, file("loop.mid", `MIDI, ${part.name}`, "audio/midi", `?part=${encodeURIComponent(part.name)}`))),
      el("li", {}, file("loop.wav", "WAV", "audio/wav")),
      el("li", {}, beat),
      el("li", {}, file("picture.svg", "Picture", "image/svg+xml")),
      !take.startsWith("job-") && el("li", {}, file("everything.zip", "Everything, one ZIP", "application/zip")),
    ),
    el("p", { class: "soft small" }, "Save with a click, or drag a line to a folder."),
  );
}
