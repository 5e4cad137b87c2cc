// Hearing: every part is a loop of its own, and all of them start at the same sample.

const RATE = 44100;
const AHEAD = 0.06; // seconds between a deed and the moment at which it sounds
const FADE = 0.012; // seconds in which one loop gives way to another
const SMOOTH = 0.006; // time constant of a part that is silenced
const KEPT = 8; // loops whose sound stays decoded
const CALM = 300; // milliseconds that a loop stays chosen before its sound is fetched unasked

export class Player extends EventTarget {
  constructor(say) {
    super();
    this.say = say;
    this.context = null;
    this.master = null;
    this.level = 0.8;
    this.levels = new Map(); // part -> 0 to 1
    this.silent = new Set();
    this.alone = new Set();
    this.beat = { style: "none", hit: "snare", level: 0.45 };
    this.wanted = null; // the loop that was chosen: {base, version, parts, quarters, tempo, growing}
    this.playing = null; // what sounds: {sources, gains, group, seconds, began}
    this.decoded = new Map();
    this.fetched = new Map(); // files of the chosen loop, before there is anything to decode them with
    this.asked = 0;
  }

  get on() {
    return this.playing !== null || this.starting === true;
  }

  // Choose a loop; where one sounds, the other takes over at the same place.
  async choose(loop) {
    this.wanted = loop;
    if (this.on) await this.sound();
    else this.prepare();
  }

  async play() {
    if (!this.wanted || this.on) return;
    this.starting = true;
    this.tell();
    this.open();
    await this.context.resume();
    await this.sound();
  }

  stop() {
    this.asked += 1;
    this.starting = false;
    if (this.playing) this.fadeOut(this.playing, this.context.currentTime);
    this.playing = null;
    this.tell();
  }

  toggle() {
    return this.on ? this.stop() : this.play();
  }

  setTempo(tempo) {
    if (!this.wanted) return Promise.resolve();
    this.wanted = { ...this.wanted, tempo };
    return this.on ? this.sound() : Promise.resolve();
  }

  setBeat(change) {
    this.beat = { ...this.beat, ...change };
    if ("level" in change && Object.keys(change).length === 1) {
      this.balance();
      return Promise.resolve();
    }
    return this.on ? this.sound() : Promise.resolve();
  }

  setLevel(level) {
    this.level = level;
    if (this.master) this.master.gain.setTargetAtTime(level, this.context.currentTime, SMOOTH);
  }

  setPart(name, change) {
    if ("level" in change) this.levels.set(name, change.level);
    for (const [kind, set] of [["silent", this.silent], ["alone", this.alone]]) {
      if (kind in change) change[kind] ? set.add(name) : set.delete(name);
    }
    this.balance();
    this.tell();
  }

  audible(name) {
    return this.alone.size ? this.alone.has(name) : !this.silent.has(name);
  }

  // Where in the loop one is, as a share of it; null while nothing sounds.
  position() {
    if (!this.playing) return null;
    const { began, seconds } = this.playing;
    const now = this.context.currentTime - (this.context.outputLatency || 0);
    return (((now - began) % seconds) + seconds) % seconds / seconds;
  }

  open() {
    if (this.context) return;
    this.context = new AudioContext({ sampleRate: RATE, latencyHint: "interactive" });
    this.master = this.context.createGain();
    this.master.gain.value = this.level;
    this.master.connect(this.context.destination);
  }

  async sound() {
    const asked = (this.asked += 1);
    this.open();
    let buffers;
    try {
      buffers = await this.buffers(this.wanted);
    } catch (problem) {
      if (asked === this.asked) this.stop();
      this.say(problem.message);
      return;
    }
    if (asked !== this.asked) return; // something else was asked for meanwhile
    this.starting = false;
    this.begin(buffers, this.wanted.quarters * 60 / this.wanted.tempo);
    this.tell();
  }

  begin(buffers, nominal) {
    const when = this.context.currentTime + AHEAD;
    const seconds = buffers.values().next().value?.duration ?? nominal;
    let share = 0;
    if (this.playing) {
      const old = this.playing;
      share = (((when - old.began) % old.seconds) + old.seconds) % old.seconds / old.seconds;
      this.fadeOut(old, when);
    }
    const group = this.context.createGain();
    group.gain.setValueAtTime(share ? 0 : 1, this.context.currentTime);
    if (share) {
      group.gain.setValueAtTime(0, when);
      group.gain.linearRampToValueAtTime(1, when + FADE);
    }
    group.connect(this.master);
    const gains = new Map();
    const sources = [];
    for (const [name, buffer] of buffers) {
      const gain = this.context.createGain();
      gain.gain.value = this.gainOf(name);
      gain.connect(group);
      const source = this.context.createBufferSource();
      source.buffer = buffer;
      source.loop = true;
      source.connect(gain);
      source.start(when, share * buffer.duration);
      gains.set(name, gain);
      sources.push(source);
    }
    this.playing = { sources, gains, group, seconds, began: when - share * seconds };
  }

  fadeOut(old, when) {
    old.group.gain.setValueAtTime(1, when);
    old.group.gain.linearRampToValueAtTime(0, when + FADE);
    for (const source of old.sources) source.stop(when + FADE);
    old.sources[0]?.addEventListener("ended", () => old.group.disconnect());
  }

  gainOf(name) {
    if (name === BEAT) return this.beat.level;
    return this.audible(name) ? this.levels.get(name) ?? 1 : 0;
  }

  balance() {
    if (!this.playing) return;
    for (const [name, gain] of this.playing.gains) {
      gain.gain.setTargetAtTime(this.gainOf(name), this.context.currentTime, SMOOTH);
    }
  }

  // Fetch a chosen loop before it is asked for, so that it sounds at once; not one that still grows.
  prepare() {
    const loop = this.wanted;
    clearTimeout(this.calm);
    if (loop.growing) return;
    this.calm = setTimeout(() => {
      if (this.context) this.buffers(loop).catch(() => {});
      else this.fetched = new Map(this.files(loop).map(([, file]) => [file, this.fetch(file)]));
    }, CALM);
  }

  files(loop) {
    const tempo = loop.tempo === loop.ownTempo ? "" : `&tempo=${loop.tempo}`;
    const files = loop.parts.map((part) => [part, `${loop.base}/stems/${encodeURIComponent(part)}.wav?v=${loop.version}${tempo}`]);
    if (this.beat.style !== "none") {
      files.push([BEAT, `${loop.base}/beat.wav?style=${this.beat.style}&hit=${this.beat.hit}&v=${loop.version}${tempo}`]);
    }
    return files;
  }

  async buffers(loop) {
    const files = this.files(loop);
    const made = await Promise.all(files.map(([, file]) => this.decode(file)));
    this.forget(files.length);
    return new Map(files.map(([part], index) => [part, made[index]]));
  }

  decode(file) {
    const known = this.decoded.get(file);
    if (known) {
      this.decoded.delete(file);
      this.decoded.set(file, known);
      return known;
    }
    const bytes = this.fetched.get(file) ?? this.fetch(file);
    this.fetched.delete(file);
    const coming = bytes.then((data) => this.context.decodeAudioData(data));
    this.decoded.set(file, coming);
    coming.catch(() => this.decoded.delete(file));
    return coming;
  }

  fetch(file) {
    const coming = fetch(file).then(async (response) => {
      if (!response.ok) throw new Error((await response.json().catch(() => ({}))).message || "the sound cannot be made");
      return response.arrayBuffer();
    });
    coming.catch(() => this.fetched.delete(file));
    return coming;
  }

  forget(files) {
    for (const file of this.decoded.keys()) {
      if (this.decoded.size <= KEPT * files) return;
      this.decoded.delete(file);
    }
  }

  tell() {
    this.dispatchEvent(new Event("change"));
  }
}

const BEAT = " beat"; // no part's name begins with a space
