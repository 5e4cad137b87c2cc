// A brief as a form and as text: both write the same TOML, and what is wrong stands beside the field it is about.

import { say, trying } from "./alerts.js";
import { get, path, send } from "./api.js";
import { el, later, words } from "./dom.js";
import { field } from "./fields.js";
import { solve } from "./solve.js";

const FIRST = `# What is wanted: a key, chords, bars, and the parts with their roles.

key    = "A minor"
bars   = 8
chords = ["Am", "F"]

[parts.lead]
[parts.background]
[parts.low]
`;

const FIRST_KEYS = ["title", "key", "tempo", "meter", "bars", "chords", "chord_bars", "grid"];

export async function showForm(place, name) {
  const form = new Form(place, name, await get(path("fields")));
  await form.open();
  return () => {};
}

class Form {
  constructor(place, name, fields) {
    this.place = place;
    this.name = name;
    this.fields = fields;
    this.version = null;
    this.changes = [];
    this.inputs = new Map(); // path as text -> {field, refresh}
    this.ask = later(250, () => trying(() => this.judge()));
  }

  async open() {
    let facts;
    if (this.name) facts = await get(path("briefs", this.name));
    else {
      const made = JSON.parse(sessionStorage.getItem("new brief") ?? "null");
      sessionStorage.removeItem("new brief");
      this.suggested = made?.name ?? "";
      facts = await send("POST", path("briefs", "new", "judge"), { text: made?.text ?? FIRST });
    }
    this.version = facts.version ?? null;
    this.take(facts);
    this.draw();
    this.refresh();
  }

  take(facts) {
    Object.assign(this, { text: facts.text, values: facts.values, errors: facts.errors, defaults: facts.defaults });
  }

  draw() {
    document.title = `${this.name || "A new brief"} – sennit`;
    this.inputs.clear();
    this.nameInput = el("input", { id: "brief-name", value: this.suggested ?? "", maxlength: 80, required: true, placeholder: "night-crossing" });
    this.problems = el("ul", { class: "problems", "aria-label": "What is wrong" });
    this.textArea = el("textarea", { id: "brief-text", spellcheck: "false", rows: 24, oninput: () => this.typed() });
    this.textArea.value = this.text;
    this.state = el("span", { class: "soft", role: "status" });
    const save = el("button", { onclick: () => this.save() }, "Save");
    const both = el("button", { class: "main", onclick: () => this.saveAndSolve() }, "Save and solve");
    this.buttons = [save, both];
    this.sheet = el("div", { class: "sheet-form" });
    this.place.replaceChildren(
      el("h1", {}, this.name ? `Brief: ${this.name}` : "A new brief"),
      this.name ? "" : el("p", { class: "pair wide" }, el("label", { for: "brief-name" }, "File name"), this.nameInput),
      el("div", { class: "row sticky" }, both, save, this.state),
      this.problems,
      this.sheet,
      el("details", { class: "as-text", open: this.values === null }, el("summary", {}, "As text"), el("label", { for: "brief-text", class: "soft" }, "The same brief in TOML; what is written here stands in the form."), this.textArea),
    );
    this.drawSheet();
  }

  drawSheet() {
    this.inputs.clear();
    if (!this.values) {
      this.sheet.replaceChildren(el("p", {}, "The form comes back once the text is valid TOML."));
      return;
    }
    const { brief, part } = this.fields;
    const loop = brief.filter((each) => FIRST_KEYS.includes(each.key));
    const others = brief.filter((each) => !FIRST_KEYS.includes(each.key));
    this.sheet.replaceChildren(
      this.group("The loop", loop, []),
      ...Object.keys(this.values.parts ?? {}).map((name) => this.part(name, part)),
      this.adding(),
      this.feel(),
      this.prefer(),
      this.closed("The search and more", this.group("", others, [])),
    );
  }

  group(heading, fields, before) {
    return el("fieldset", {}, heading && el("legend", {}, heading), el("div", { class: "fields" }, fields.map((each) => this.field(each, [...before, each.key]))));
  }

  field(each, at) {
    const made = field(each, at, this.valueAt(at), (value, kind) => this.change(at, value, kind));
    this.inputs.set(JSON.stringify(at), made);
    return made.node;
  }

  valueAt(at) {
    return at.reduce((table, key) => (table && typeof table === "object" ? table[key] : undefined), this.values);
  }

  part(name, fields) {
    const first = fields.filter((each) => ["role", "instrument"].includes(each.key));
    const others = fields.filter((each) => !first.includes(each));
    const used = others.some((each) => this.valueAt(["parts", name, each.key]) !== undefined);
    const remove = el("button", { class: "plain", onclick: () => this.change(["parts", name], null, "redraw") }, `Take the part ${name} out`);
    return el(
      "fieldset",
      { class: "part" },
      el("legend", {}, `Part: ${name}`),
      el("div", { class: "fields" }, first.map((each) => this.field(each, ["parts", name, each.key]))),
      el("details", { open: used }, el("summary", {}, "Range, density, repeat, figure"), el("div", { class: "fields" }, others.map((each) => this.field(each, ["parts", name, each.key])))),
      remove,
    );
  }

  adding() {
    const input = el("input", { id: "new-part", maxlength: 40, placeholder: "counter" });
    const add = () => {
      const name = input.value.trim();
      if (!name || this.values.parts?.[name]) return say(name ? `there is a part ${name} already` : "give the part a name first");
      const roles = this.fields.part.find((each) => each.key === "role").choices;
      return this.change(["parts", name], roles.includes(name) ? {} : { role: "counter" }, "redraw");
    };
    return el("p", { class: "pair wide" }, el("label", { for: "new-part" }, "Another part, by name"), input, el("button", { onclick: add }, "Add the part"));
  }

  feel() {
    const none = this.values.feel === "none";
    const choice = el("select", { id: "feel", onchange: (event) => this.change(["feel"], event.target.value === "none" ? "none" : null, "redraw") }, el("option", { value: "played", selected: !none }, "played"), el("option", { value: "none", selected: none }, "none: exactly on the grid"));
    return this.closed(
      "How it is played",
      el("p", { class: "soft" }, words(this.fields.feel_meaning)),
      el("p", { class: "pair wide" }, el("label", { for: "feel" }, "feel"), choice),
      none ? null : this.group("", this.fields.feel, ["feel"]),
    );
  }

  prefer() {
    const factor = { kind: "number", default: "1", example: "2", choices: [] };
    const fields = this.fields.prefer.merits.map((key) => ({ ...factor, key, label: key.replaceAll("_", " "), meaning: "" }));
    return this.closed("What counts", el("p", { class: "soft" }, words(this.fields.prefer.meaning)), this.group("", fields, ["prefer"]));
  }

  closed(heading, ...inside) {
    return el("details", { class: "more" }, el("summary", {}, heading), inside);
  }

  change(at, value, kind) {
    this.changes.push(kind === "toml" ? { path: at, toml: value } : { path: at, value });
    this.redraw ||= kind === "redraw";
    this.state.textContent = "not saved yet";
    this.ask();
  }

  typed() {
    this.changes = [];
    this.textual = true;
    this.state.textContent = "not saved yet";
    this.ask();
  }

  // One question at a time: each builds on the text that the one before came back with.
  judge() {
    this.judging = (this.judging ?? Promise.resolve()).catch(() => {}).then(() => this.judgeNow());
    return this.judging;
  }

  // Send what changed; the answer is the whole text, its values, and what is wrong with it.
  async judgeNow() {
    if (!this.changes.length && !this.textual) return;
    const changes = this.changes.splice(0);
    const textual = this.textual;
    this.textual = false;
    const text = textual ? this.textArea.value : this.text;
    let facts;
    try {
      facts = await send("POST", path("briefs", this.name || "new", "judge"), { text, changes });
    } catch (problem) {
      if (problem.status === 0) [this.changes, this.textual] = [[...changes, ...this.changes], textual]; // for the next try
      throw problem;
    }
    const form = textual || this.redraw || (facts.values === null) !== (this.values === null);
    this.redraw = false;
    this.take(facts);
    if (!textual) this.textArea.value = facts.text;
    if (form) {
      this.drawSheet();
      this.redraw = this.changes.length > 0; // what was typed meanwhile is drawn once it is answered
    }
    this.refresh();
  }

  settled() {
    return this.judge();
  }

  refresh() {
    const loose = [];
    for (const made of this.inputs.values()) made.clear();
    for (const error of this.errors) {
      const found = this.inputAt(error.path);
      if (found) found.wrong(`${error.wrong}; ${error.right}`);
      else loose.push(error);
    }
    for (const [key, made] of this.inputs) made.hint(this.defaultAt(JSON.parse(key)));
    this.problems.replaceChildren(...loose.map((error) => el("li", {}, `${error.line ? `Line ${error.line}: ` : ""}${error.wrong}; ${error.right}`)));
    for (const button of this.buttons) button.disabled = false;
    this.buttons[1].disabled = this.errors.length > 0;
    this.count = this.errors.length;
  }

  inputAt(at) {
    for (let size = at.length; size > 0; size -= 1) {
      const found = this.inputs.get(JSON.stringify(at.slice(0, size)));
      if (found) return found;
    }
    return null;
  }

  defaultAt([first, name, key]) {
    if (first === "parts") return this.defaults.parts?.[name]?.[key];
    return name === undefined ? this.defaults.brief?.[first] : undefined;
  }

  save() {
    return trying(async () => {
      await this.settled();
      const name = this.name || this.nameInput.value.trim();
      if (!name) {
        this.nameInput.focus();
        throw Object.assign(new Error("give the brief a file name first"), { facts: {} });
      }
      const { version } = await send("PUT", path("briefs", name), { text: this.text, version: this.version });
      this.version = version;
      this.state.textContent = this.errors.length ? "saved, with errors" : "saved";
      if (!this.name) {
        this.name = name;
        history.replaceState(null, "", `#/brief/${encodeURIComponent(name)}`);
      }
      return name;
    });
  }

  async saveAndSolve() {
    const name = await this.save();
    if (!name) return;
    const job = await solve({ brief: name });
    if (job) location.hash = `#/loops/${encodeURIComponent(name)}/${job.name}`;
  }
}
