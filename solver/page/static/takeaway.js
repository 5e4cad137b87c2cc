// Files to take away: click to save, or drag to the desktop where the browser allows it.

import { el } from "./dom.js";

// The beat that a file may carry is followed until the signal says that the list is gone.
export function takeAway(base, loop, player, take, signal) {
  const file = (name, words, kind, query = "") => {
    const link = el("a", { href: `${base}/export/${name}${query}`, download: "", draggable: "true" }, words);
    const saved = plain(`${loop.title} - ${words}`) + name.slice(name.lastIndexOf("."));
    link.addEventListener("dragstart", (event) => {
      event.dataTransfer.setData("DownloadURL", `${kind}:${saved}:${link.href}`);
      event.dataTransfer.effectAllowed = "copy";
    });
    return link;
  };
  const beat = file("loop.wav", "WAV with the beat", "audio/wav");
  const withBeat = el("li", { class: "with-beat" }, beat);
  const showBeat = () => {
    const { style, hit } = player.beat;
    withBeat.hidden = style === "none";
    beat.href = `${base}/export/loop.wav?beat=${style}&hit=${hit}`;
  };
  showBeat();
  player.addEventListener("change", showBeat, { signal });
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
      withBeat,
      el("li", {}, file("picture.svg", "Picture", "image/svg+xml")),
      !take.startsWith("job-") && el("li", {}, file("everything.zip", "Everything, one ZIP", "application/zip")),
    ),
    el("p", { class: "soft small" }, "Save with a click, or drag a line to a folder."),
  );
}

// A file's name for every system; a colon would also end it too early for the browser.
function plain(name) {
  return name.replaceAll(/[\x00-\x1f<>:"/\\|?*]+/g, " ");
}
