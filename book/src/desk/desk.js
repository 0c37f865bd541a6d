// The desk: what is asked, its state in the address, and the design file of it. Questions register themselves; the one
// about a single lift is in lift.js, the others in questions.js. What is computed is the library, through Risewater.ask.
"use strict";

window.Desk = (() => {
  const root = document.getElementById("desk");
  const print = location.pathname.endsWith("/print.html");
  const questions = new Map();
  // Height that a page of A4 or Letter leaves below the heading and between a browser's margins, px.
  const PAGE = 920;

  // Elements: el("div", {class: "x", onclick}, "text", child).
  const el = (name, having = {}, ...within) => {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(having)) {
      if (value === undefined || value === null || value === false) continue;
      if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
      else made.setAttribute(key, value === true ? "" : value);
    }
    made.append(...within.filter(part => part !== null && part !== undefined));
    return made;
  };

  // ---- State. `file` is the reader's own, with the tables that it names; without one each question has its example.
  const state = { ask: "flow", units: "metric", file: null, set: {}, runs: [] };
  // What was set of each text, and the runs of each question, before another was asked.
  const left = new Map(), leftRuns = new Map();

  // The reader's file in the address, deflated where the browser can.
  const packed = new Map();
  const bytes64 = bytes => btoa(Array.from(bytes, byte => String.fromCharCode(byte)).join("")).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  const through = async (bytes, stream) => new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
  const pack = async file => {
    const bytes = new TextEncoder().encode(JSON.stringify(file));
    packed.set(file, "d" + bytes64(await through(bytes, new CompressionStream("deflate-raw"))));
  };
  const unpack = async text => {
    const bytes = Uint8Array.from(atob(text.slice(1).replace(/-/g, "+").replace(/_/g, "/")), letter => letter.charCodeAt(0));
    const file = JSON.parse(new TextDecoder().decode(await through(bytes, new DecompressionStream("deflate-raw"))));
    if (typeof file.text !== "string") throw new Error("no file");
    packed.set(file, text);
    return { name: String(file.name ?? "design.toml"), text: file.text, tables: file.tables ?? {} };
  };

  const address = () => {
    const all = new URLSearchParams();
    if (state.ask !== "flow") all.set("ask", state.ask);
    if (state.units !== "metric") all.set("units", state.units);
    if (state.file) all.set("file", packed.get(state.file) ?? "");
    for (const [key, value] of Object.entries(state.set)) all.set(key, value);
    for (const run of state.runs) all.append("run", run.join(" | "));
    const text = all.toString();
    return text ? "#" + text : location.pathname + location.search;
  };

  let cut = "";
  const read = async () => {
    const all = new URLSearchParams(location.hash.slice(1));
    state.ask = questions.has(all.get("ask")) ? all.get("ask") : "flow";
    state.units = all.get("units") === "us" ? "us" : "metric";
    state.set = Object.fromEntries([...all].filter(([key]) => key.includes(".")));
    state.runs = all.getAll("run").map(run => run.split(" | "));
    const file = all.get("file");
    if (!file) state.file = null;
    else if (file !== packed.get(state.file)) {
      try {
        state.file = await unpack(file);
        packed.set(state.file, file);
      } catch {
        state.file = null;
        cut = "The file in this address cannot be read: the link was cut short. Here is the example instead.";
      }
    }
  };

  // A change is one step of the browser's Back, however many moves it is made of.
  let open = false, wrote = 0, settling = 0;
  const write = settled => {
    const now = performance.now();
    if (address() === (location.hash || location.pathname + location.search)) open = open && !settled;
    else if (!open) history.pushState(null, "", address());
    // Browsers refuse more than some 200 of these in ten seconds.
    else if (settled || now - wrote > 150) history.replaceState(null, "", address());
    if (!open || settled || now - wrote > 150) wrote = now;
    open = !settled;
  };

  // `change` is called with what to set; a value of null goes back to the file's own. While something is dragged, `settled`
  // is false; what is not dragged settles by itself.
  const change = (set, settled = true) => {
    if (Object.keys(set).length) notice("");
    for (const [key, value] of Object.entries(set)) {
      if (value === null) delete state.set[key];
      else state.set[key] = value;
    }
    write(settled);
    draw(settled);
  };
  // For keys held down, which have no end of their own.
  const nudge = set => {
    change(set, false);
    clearTimeout(settling);
    settling = setTimeout(() => change({}, true), 500);
  };

  // The text that is asked about: the reader's file, or the tool's example of the question.
  const examples = new Map();
  const base = () => {
    if (state.file) return state.file;
    const name = questions.get(state.ask).example ?? state.ask;
    if (!examples.has(name)) {
      const { file, tables } = Risewater.ask({ ask: "example", options: { section: name } }).answer;
      examples.set(name, { text: file, tables });
    }
    return examples.get(name);
  };
  const asked = (ask, options = {}, set = state.set) => {
    const { text, tables } = base();
    const given = Object.fromEntries(Object.entries(set).filter(([, value]) => value !== null));
    return { ask, set: given, units: state.units, options, file: text, tables };
  };
  const ask = (name, options, set) => Risewater.ask(asked(name, options, set));

  // The same without what cannot be, for what stands in the other fields.
  const sound = (name, options) => {
    const set = { ...state.set };
    for (let tries = 0; tries < 20; tries += 1) {
      const reply = ask(name, options, set);
      if (!reply.fault) return reply;
      const wrong = reply.fault.map(fault => fault.key).filter(key => key in set);
      if (wrong.length === 0) return ask(name, options, {});
      for (const key of wrong) delete set[key];
    }
    return ask(name, options, {});
  };

  // ---- Keys: labels, units, ranges and words are the library's.
  const keys = new Map();
  const learn = () => {
    for (const key of Risewater.ask({ ask: "keys" }).answer.keys) keys.set(`${key.section}.${key.key}`, key);
  };
  // lift.3.bore is a key of lift.
  const known = path => keys.get(path.replace(/\.\d+\./, "."));
  const label = path => known(path)?.key.replaceAll("_", " ") ?? path;
  // A file writes a list as ["7 h", "11 h"]; a field has commas between its parts, and pairs one a line.
  const isList = path => /^list of/.test(known(path)?.holds ?? "");
  const hasPairs = path => /^list of pairs/.test(known(path)?.holds ?? "");
  const listShown = (path, text) => {
    if (!text || !isList(path)) return text;
    try {
      return JSON.parse(text).map(one => Array.isArray(one) ? one.join(" at ") : String(one)).join(hasPairs(path) ? "\n" : ", ");
    } catch {
      return text;
    }
  };
  const listWritten = (path, text) => {
    if (!isList(path) || !text || text.startsWith("[")) return text;
    const parts = text.split(/[,;\n]/).map(one => one.trim()).filter(Boolean);
    const quoted = one => /^list of numbers/.test(known(path).holds) && one !== "" && Number.isFinite(Number(one)) ? one : JSON.stringify(one);
    return `[${parts.map(one => hasPairs(path) ? `[${one.split(/\s+at\s+/).map(quoted).join(", ")}]` : quoted(one)).join(", ")}]`;
  };
  const about = path => {
    const key = known(path);
    if (!key) return "";
    const usual = key.default && key.default !== "none" ? `; left out: ${key.default}` : "";
    const meaning = key.meaning.replace(/\[("[^\]]+)\]/g, (_, parts) => parts.replaceAll('"', ""));
    const commas = hasPairs(path) ? ", each on its own line" : isList(path) ? ", with commas between" : "";
    return `${meaning} (${key.holds}${commas}${usual})`;
  };

  // ---- A field: a name, what stands there, its unit in the same text, and what is wrong with it.
  const fields = new Map();
  let serial = 0;
  const field = (path, { short, bare, write: own } = {}) => {
    const id = `desk-${++serial}`, key = known(path), names = key?.names ?? [];
    const choices = names.length ? names : key?.holds === "true or false" ? ["true", "false"] : [];
    const input = choices.length
      ? el("select", { id }, ...choices.map(name => el("option", { value: name }, name.replaceAll("_", " "))))
      : hasPairs(path) ? el("textarea", { id, rows: 4, autocomplete: "off", spellcheck: "false" })
        : el("input", { id, type: "text", inputmode: "text", autocomplete: "off", spellcheck: "false" });
    const why = el("div", { class: "why", id: `${id}-why` });
    const box = el("div", { class: "field", "data-key": path },
      el("label", { for: id, class: bare ? "unseen" : null, title: about(path) }, short ?? label(path)), input, why);
    input.setAttribute("aria-describedby", `${id}-why`);
    const write = own ?? (text => ({ [path]: listWritten(path, text.trim()) || null }));
    const set = (text, settled) => change(write(text), settled);
    input.addEventListener("change", () => set(input.value, true));
    // While it is typed, only what can be counts: half a number is no mistake yet.
    let waiting = 0;
    input.addEventListener("input", () => {
      clearTimeout(waiting);
      if (choices.length) return;
      const text = input.value;
      waiting = setTimeout(() => {
        const next = { ...state.set, ...write(text) };
        if (text.trim() && document.activeElement === input && !ask("values", { keys: [path] }, next).fault) set(text, false);
      }, 250);
    });
    input.addEventListener("focus", () => tell(about(path), box));
    fields.set(path, { input, why, box, write });
    return box;
  };
  // What stands at a key, unless the reader is just typing there.
  const fill = (path, text) => {
    const own = fields.get(path);
    if (!own) return;
    if (document.activeElement !== own.input || own.input.tagName === "SELECT") own.input.value = listShown(path, text) ?? "";
    own.input.placeholder = text ? "" : "not set";
  };
  // A value as the file has it, or in the units that are chosen where it is in the others.
  const US = /\d\s*(in|ft|ft2|gal|gpm|cfm|psi|degF|lb|hp|gal\/min|lb\/d)\b/, METRIC = /\d\s*(mm|cm|m|um|m2|L|m3|L\/min|m3\/h|kPa|bar|mbar|degC|kg|W|kg\/d)(?![\w/])/;
  const inUnits = value => {
    if (!value) return "";
    const other = state.units === "us" ? METRIC : US;
    return value.text && other.test(value.file) ? value.text : value.file;
  };

  // ---- What is wrong, beside what it is about.
  const blame = faults => {
    for (const { box, why, input } of fields.values()) {
      box.classList.remove("wrong");
      input.removeAttribute("aria-invalid");
      why.textContent = "";
    }
    const rest = [];
    for (const fault of faults.filter(({ shown }) => !shown)) {
      const at = [...fields.keys()].find(path => path === fault.key)
        ?? [...fields.keys()].find(path => known(path)?.instead.some(other => `${path.split(".")[0]}.${other}` === fault.key));
      const own = fields.get(at);
      if (!own) {
        rest.push(fault);
        continue;
      }
      own.box.classList.add("wrong");
      own.input.setAttribute("aria-invalid", "true");
      for (let fold = own.box.closest("details"); fold && root.contains(fold); fold = fold.parentElement.closest("details")) fold.open = true;
      own.why.append(sentence(fault.text) + " ");
      const near = nearest(at, own.input.value, fault.text);
      // What is near and brings another fault, beside the other values, is no help.
      const after = near ? ask("check", {}, { ...state.set, ...own.write(near) }).fault ?? [] : [];
      const helps = near && after.every(({ key, text }) => faults.some(other => other !== fault && other.key === key && other.text === text));
      if (helps) own.why.append(el("button", { type: "button", class: "near", onclick: () => change(own.write(near)) }, `Take ${near}`));
    }
    return rest;
  };
  // The name of a file stays as it is.
  const sentence = text => text.replace(/^\w(?!\w*\.\w)/, letter => letter.toUpperCase()) + (/[.?!]$/.test(text) ? "" : ".");
  // The nearest value that can be: what the refusal itself names, an end of its range, or the number with the unit that it lacks.
  const nearest = (path, text, why) => {
    const meant = /did you mean "([^"]+)"/.exec(why);
    if (meant) {
      // Of a list the one part that is wrong.
      const wrong = /"([^"]+)"/.exec(why)[1];
      return isList(path) && text.includes(wrong) ? text.replace(wrong, meant[1]) : meant[1];
    }
    const range = / is (\S+) ?\S*; it must lie in (\S+) to (\S+)(?: (.+))?$/.exec(why);
    if (range) {
      const [, value, low, high, unit = ""] = range;
      return `${Number(value) < Number(low) ? low : high} ${unit}`.trim();
    }
    const unit = usual(path).split(" ").slice(1).join(" ");
    return /has no unit/.test(why) && unit ? `${text.trim()} ${unit}` : null;
  };
  const usual = path => Risewater.ask({ ask: "format", units: state.units, options: { key: path, si: 1 } }).answer?.text ?? "";

  // ---- The page.
  const part = {};
  const build = () => {
    const choose = (name, set = {}) => {
      if (name === state.ask) return;
      const { text } = base(), ask = state.ask;
      left.set(text, state.set);
      leftRuns.set(ask, state.runs);
      state.ask = name;
      // Questions about one text share all that is set; those about another one water and site.
      if (base().text !== text) {
        const shared = Object.entries(state.set).filter(([key]) => key.startsWith("water.") || key.startsWith("site."));
        state.set = { ...left.get(base().text), ...Object.fromEntries(shared) };
      }
      state.set = Object.fromEntries(Object.entries({ ...state.set, ...set }).filter(([, value]) => value !== null));
      state.runs = leftRuns.get(name) ?? questions.get(name).runs ?? [];
      write(true);
      lay();
    };
    // Of two questions under one name the one that the reader's file is for.
    const ofFile = name => {
      const can = one => questions.get(one).reads(state.file.text);
      return !state.file || can(name) ? name : [...questions.keys()].find(one => questions.get(one).of === name && can(one)) ?? name;
    };
    Object.assign(part, { choose, ofFile });
    part.asks = el("div", { class: "asks", role: "group", "aria-label": "What is asked" },
      ...[...questions].filter(([, { of }]) => !of).map(([name, { title }]) => el("button", { type: "button", "data-ask": name, onclick: () => choose(ofFile(name)) }, title)));
    part.units = el("div", { class: "units", role: "group", "aria-label": "Units" },
      ...[["metric", "metric"], ["us", "US"]].map(([name, words]) => el("button", { type: "button", "data-units": name, onclick: () => {
        state.units = name;
        write(true);
        lay();
      } }, words)));
    part.notice = el("div", { class: "notice", role: "status", hidden: true });
    part.body = el("div", { class: "question" });
    part.about = el("div", { class: "about" });
    part.said = el("div", { class: "unseen", "aria-live": "polite" });
    part.faults = el("div", { class: "faults", role: "alert" });
    part.text = el("pre", { class: "file-text", tabindex: "0", "aria-label": "the design file" });
    part.copied = el("span", { role: "status" });
    const opener = el("input", { type: "file", multiple: true, accept: ".toml,.csv,.txt,text/plain", class: "unseen", tabindex: "-1", "aria-label": "Open a design file" });
    opener.addEventListener("change", () => openFiles([...opener.files]).finally(() => { opener.value = ""; }));
    part.forget = el("button", { type: "button", onclick: () => {
      Object.assign(state, { file: null, set: {}, runs: questions.get(state.ask).runs ?? [] });
      write(true);
      lay();
    } }, "Back to the example");
    part.file = el("details", { class: "file", open: true },
      el("summary", {}, "The design file of all this"),
      el("div", { class: "file-words" }, "The command-line tool reads it: ", part.command = el("code", {}), ". Nothing is sent anywhere: this page computes in your browser, and the address after # holds all that you set."),
      el("div", { class: "buttons" },
        el("button", { type: "button", onclick: () => copy(part.text.textContent, "The file is copied.") }, "Copy"),
        el("button", { type: "button", onclick: () => save(part.text.textContent, state.file?.name ?? "design.toml") }, "Save"),
        el("button", { type: "button", onclick: () => opener.click() }, "Open…"), opener,
        el("button", { type: "button", onclick: () => copy(location.href, "The link is copied.") }, "Copy the link"),
        el("button", { type: "button", onclick: () => window.print() }, "Print"),
        part.forget, part.copied),
      part.beside = el("div", { class: "beside" }),
      part.text,
      part.address = el("div", { class: "address" }));
    root.replaceChildren(
      el("div", { class: "bar" }, part.asks, part.units),
      part.notice, part.faults, part.body, part.about, part.file, part.said);
    // In the book arrows turn the page and letters search; in the desk they move handles and write.
    root.addEventListener("keydown", event => event.stopPropagation());
  };
  const notice = words => {
    if (!part.notice) return;
    part.notice.textContent = words;
    part.notice.hidden = !words;
  };
  // What a field is about stands below its row, until another field is entered: were it to go with the focus, what is
  // pressed next would move away under the pointer.
  const tell = (words, box) => {
    part.about.textContent = words;
    if (part.about.previousElementSibling === box) return;
    const stage = box.closest(".stage"), table = box.closest(".scrolls"), outlet = box.closest(".of-outlet");
    (stage ?? table ?? outlet ?? box).after(part.about);
  };
  const copy = async (text, done) => {
    try {
      await navigator.clipboard.writeText(text);
      part.copied.textContent = done;
    } catch {
      // Without leave for the clipboard the text is chosen, to be copied by hand.
      getSelection().selectAllChildren(part.text);
      part.copied.textContent = "The browser does not let this page copy: the text is chosen, press Ctrl+C.";
    }
  };
  const save = (text, name) => {
    const link = el("a", { href: URL.createObjectURL(new Blob([text], { type: "text/plain" })), download: name });
    link.click();
    part.copied.textContent = `${name} is handed to the browser, which saves it.`;
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  };
  // Another text in the place of the file; with a name of a question, asks that of it.
  const replace = async (text, name) => {
    const { tables } = base();
    const file = { name: state.file?.name ?? "design.toml", text, tables };
    await pack(file);
    Object.assign(state, { file, set: {}, runs: [], ask: name ?? state.ask });
    write(true);
    lay();
  };
  const openFiles = async files => {
    const read = await Promise.all(files.map(async file => [file.name, await file.text()]));
    const design = read.find(([name]) => name.endsWith(".toml")) ?? read.find(([name]) => !name.endsWith(".csv"));
    const tables = Object.fromEntries(read.filter(one => one !== design));
    if (!design && !state.file) return notice("This is a table. Open it together with the design file that names it.");
    const file = design ? { name: design[0], text: design[1], tables } : { ...state.file, tables: { ...state.file.tables, ...tables } };
    await pack(file);
    Object.assign(state, { file, set: {}, runs: [] });
    // A file that is for another question opens that one.
    const can = name => questions.get(name).reads(file.text);
    const near = part.ofFile(state.ask);
    if (!can(near)) state.ask = [...questions.keys()].find(can) ?? state.ask;
    else state.ask = near;
    write(true);
    lay();
    return undefined;
  };

  // Lays out the question that is asked, and draws it.
  const lay = () => {
    fields.clear();
    for (const button of part.asks.children) button.setAttribute("aria-pressed", button.dataset.ask === (questions.get(state.ask).of ?? state.ask));
    for (const button of part.units.children) button.setAttribute("aria-pressed", button.dataset.units === state.units);
    notice(cut);
    cut = "";
    root.dataset.ask = state.ask;
    view?.leave?.();
    view = questions.get(state.ask).view();
    part.about.textContent = "";
    part.body.replaceChildren(view.element);
    // What belongs to no field stands by the answer.
    const told = view.element.querySelector(".told .outcome");
    if (told) told.before(part.faults);
    else part.body.before(part.faults);
    part.body.after(part.about);
    draw(true);
  };

  let view = null, waiting = false, settle = false, speaking = 0;
  const draw = settled => {
    settle ||= settled;
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      now(settle);
      settle = false;
    });
  };
  const now = settled => {
    const began = performance.now();
    const { faults = [], sentence = "" } = view.draw(settled) ?? {};
    result(faults, sentence, settled);
    Desk.took = performance.now() - began;
    Desk.drawn = (Desk.drawn ?? 0) + 1;
  };
  // What a drawing came to: also called by questions whose answer comes later, from the worker.
  const result = (faults, sentence, settled) => {
    const rest = blame(faults);
    part.faults.replaceChildren(...rest.map(({ key, line, text }) => el("div", {},
      (line ? `Line ${line}${key ? `, ${key}` : ""}: ` : key ? `${key}: ` : "") + text)));
    part.body.classList.toggle("stale", faults.length > 0);
    clearTimeout(speaking);
    if (settled) speaking = setTimeout(() => {
      part.said.textContent = faults.length ? faults.map(fault => fault.text).join("; ") : sentence;
    }, 300);
    if (!settled) return;
    const file = ask("file");
    const text = file.fault ? base().text : file.answer.file;
    if (part.text.textContent !== text) part.copied.textContent = "";
    part.text.textContent = text;
    needed(text);
    part.command.textContent = questions.get(state.ask).command;
    part.forget.hidden = !state.file && Object.keys(state.set).length === 0;
  };

  // Tables that the file names lie beside it: one that the page has can be saved too.
  const needed = text => {
    const bare = text.replace(/^\s*#.*$/gm, ""), { tables } = base();
    const names = [...new Set([...bare.matchAll(/=\s*"([^"\n]+\.(?:csv|txt))"/g)].map(([, name]) => name))];
    part.beside.replaceChildren(...names.map(name => el("div", {}, `The file needs ${name} beside it. `, name in tables
      ? el("button", { type: "button", onclick: () => save(tables[name], name) }, `Save ${name}`)
      : "Open it together with the file.")));
  };

  const start = async () => {
    if (!root || print) return;
    // A book that is built without the library has its words alone.
    if (!await Risewater.ready.then(() => true, () => false)) return;
    await read();
    learn();
    build();
    lay();
    addEventListener("popstate", async () => {
      open = false;
      const ask = state.ask, units = state.units, file = state.file;
      await read();
      if (ask !== state.ask || units !== state.units || file !== state.file) lay();
      else draw(true);
    });
    // On paper all is laid out anew, at once.
    for (const [when, paper] of [["beforeprint", true], ["afterprint", false]]) {
      addEventListener(when, () => {
        root.classList.toggle("paper", paper);
        // A file of the reader's own makes an address too long to be typed.
        part.address.textContent = location.href.length < 600 ? `This page again: ${location.href}` : "";
        root.style.width = root.style.zoom = "";
        now(false);
        const width = root.offsetWidth, over = root.offsetHeight / PAGE;
        if (paper && over > 1) {
          // Drawn wider, and then made small enough for its page.
          root.style.width = `${width * Math.min(over, 1.6)}px`;
          now(false);
          root.style.zoom = Math.min(PAGE / root.offsetHeight, width / root.offsetWidth);
        }
      });
    }
    // The library's pictures are made for white paper; it knows their colours for the dark.
    const { style } = Risewater.ask({ ask: "dark", options: { value: ":is(.navy, .coal, .ayu) .desk .chart" } }).answer ?? {};
    document.head.append(el("style", {}, `@media screen {${style}}`));
    document.body.prepend(el("a", { class: "skip-to-desk", href: "#desk", onclick: event => {
      // The address holds the state.
      event.preventDefault();
      part.asks.querySelector("[aria-pressed=true]").focus();
    } }, "To the desk"));
    document.documentElement.classList.add("desk-runs");
  };
  addEventListener("DOMContentLoaded", start);

  return {
    el, sentence, state, ask, asked, sound, change, nudge, field, fill, inUnits, label, about, known, tell, notice, result, draw,
    base,
    choose: (name, set) => part.choose(name, set),
    open: replace,
    save,
    // Values of an answer in words, by their paths.
    say: (answer, paths) => Risewater.ask({ ask: "say", units: state.units, options: { value: JSON.stringify(answer), fields: paths } }).fields,
    question: (name, of) => questions.set(name, of),
    root,
  };
})();
