// The other questions of the desk: each has its fields on the left and the library's own words, pictures and tables on the right.
"use strict";

(() => {
  const { el, sentence, state, ask, asked, change, field, fill, inUnits } = Desk;
  const capital = text => text.replace(/^./, letter => letter.toUpperCase());

  // The first lines of a text of the library: a name, two spaces or more, and words that go on below each other.
  const pairs = text => {
    const rows = [];
    for (const line of text.split("\n")) {
      const named = /^(?=.{7} )([A-Z][a-z]+) +(.*)$/.exec(line) ?? /^(Best): (.*)$/.exec(line);
      if (named) rows.push([named[1], named[2]]);
      else if (/^ {6,}\S/.test(line) && rows.length) rows.at(-1)[1] += ` ${line.trim()}`;
      else if (rows.length) break;
      else rows.push(["", line]);
    }
    return rows;
  };
  const told = (rows, big) => {
    const [first, ...rest] = rows;
    return [
      el("div", { class: "answer" }, el("div", { class: "label" }, big ?? first[0]), el("div", { class: "big lesser" }, capital(first[1]))),
      el("dl", { class: "facts" }, ...rest.map(([name, words]) => el("div", {}, el("dt", {}, name), el("dd", {}, words)))),
    ];
  };
  const minding = cautions => {
    const sorted = [...cautions].sort((a, b) => b.grave - a.grave);
    return sorted.length === 0 ? null : el("div", { class: "block minding" }, el("div", { class: "label" }, "What to mind"),
      el("div", { class: "cautions", role: "list" }, ...sorted.map(one => el("div", { role: "listitem",  class: one.grave ? "grave" : null }, sentence(one.text)))));
  };
  const drawing = (words, svg, over) => {
    if (!svg) return null;
    const holder = el("div", { class: "chart" });
    holder.innerHTML = svg;
    return el("div", { class: "block" }, el("div", { class: "label" }, words), el("div", { class: "curve" }, holder, over));
  };
  const allOfIt = text => text ? el("details", { class: "all-of-it" }, el("summary", {}, "All of it, as the tool says it"), el("pre", { class: "file-text", tabindex: "0" }, text)) : null;
  const grid = (kind, heads, rows) => el("div", { class: "scrolls", tabindex: "0", role: "group", "aria-label": kind },
    el("div", { class: "grid", role: "table", "aria-label": kind, style: `--columns: ${heads.length}` },
      el("div", { role: "row" }, ...heads.map(head => el("span", { role: "columnheader" }, head))),
      ...rows.map(row => el("div", { role: "row" }, ...row.map(cell => el("span", { role: "cell" }, cell))))));

  // A worker for what takes longer than a frame. What is asked anew takes the place of what is under way.
  let worker = null, turn = 0;
  const afar = async (request, progress) => {
    turn += 1;
    const own = turn;
    worker?.stop();
    worker = Risewater.worker();
    const reply = await worker.ask(request, progress);
    return own === turn ? reply : null;
  };
  const halt = () => {
    turn += 1;
    worker?.stop();
    worker = null;
  };

  // Fields for keys of the file; those of `[[lift]]` and its like in a table, one row for each.
  const rowsOf = section => {
    return Math.min(heads(Desk.base().text, section).length, 60);
  };
  // Where the sections of a kind begin in a text; a remark that names one is none.
  const heads = (text, section) => [...text.matchAll(new RegExp(`^[ \\t]*\\[\\[[ \\t]*${section}[ \\t]*\\]\\]`, "gm"))].map(({ index }) => index);
  // A file of one's own with one section more or less: the last one goes, and what comes is like the last one that has what
  // the fields ask for (a tank with a table of its own has no biomass there). What comes along unseen is told.
  const another = async ({ section, what, keys }, more) => {
    const text = ask("file").answer?.file ?? "", starts = heads(text, section);
    if (starts.length === 0) return;
    const blocks = starts.map(from => {
      const next = /\n[ \t]*\[/.exec(text.slice(from + 1)), to = next ? from + 1 + next.index + 1 : text.length;
      return { from, to, text: text.slice(from, to).trim() };
    });
    const { from, to } = blocks.at(-1), after = text.slice(to);
    if (!more) return Desk.open(`${text.slice(0, from).trimEnd()}\n${after ? `\n${after}` : ""}`);
    const given = block => [...block.text.matchAll(/^\s*([a-z_]+)\s*=/gm)].map(([, key]) => key);
    const model = blocks.findLast(block => given(block).includes(keys[1])) ?? blocks.at(-1), names = blocks.map(block => /^\s*name\s*=\s*"(.*)"/m.exec(block.text)?.[1]);
    let number = blocks.length + 1;
    while (names.includes(`${what} ${number}`)) number += 1;
    const copy = model.text.replace(/^(\s*name\s*=\s*)".*"/m, (_, start) => `${start}"${what} ${number}"`);
    await Desk.open(`${text.slice(0, to).trimEnd()}\n\n${copy}\n${after ? `\n${after}` : ""}`);
    const hidden = given(model).filter(key => !keys.includes(key)).map(key => key.replaceAll("_", " "));
    Desk.notice(`${what} ${number} is a copy of ${names[blocks.indexOf(model)] ?? "the last one"}${hidden.length ? `, with its ${hidden.join(", ")}, which the file alone shows` : ""}. Change its values.`.replace(/^./, letter => letter.toUpperCase()));
    return undefined;
  };
  const COLUMNS = 4;
  // What is wrong in a row of a table stands below it, over its whole width.
  const withReasons = (table, rows) => {
    [...table.firstChild.children].slice(1).forEach((line, n) => line.append(el("span", { role: "cell", class: "reasons" }, ...rows[n].map(one => one.querySelector(".why")))));
    return table;
  };
  const inputs = (groups, table) => {
    const made = groups.map(([words, paths, open]) => {
      // A name that several sections have goes with that of its section.
      const alike = path => /^(main_line|header|branch)\./.test(path) || paths.filter(other => other.split(".")[1] === path.split(".")[1]).length > 1;
      const short = path => alike(path) ? path.replace("main_line", "main line").replace(".", " ").replaceAll("_", " ") : undefined;
      const all = el("div", { class: "fields" }, ...paths.map(path => field(path, { short: short(path) })));
      return open === false ? el("details", { class: "more" }, el("summary", {}, words), all)
        : el("div", { class: "block" }, el("div", { class: "label" }, words), all);
    });
    const paths = groups.flatMap(([, paths]) => paths);
    const count = table ? rowsOf(table.section) : 0;
    if (count) {
      const keys = table.keys.map(key => `${table.section}.1.${key}`);
      // More columns than a column of the page has room for stand as one card a row.
      const narrow = keys.length <= COLUMNS;
      const rows = Array.from({ length: count }, (_, n) => table.keys.map(key => {
        const path = `${table.section}.${n + 1}.${key}`;
        paths.push(path);
        return field(path, narrow ? { bare: true, short: `${Desk.label(path)} of ${table.what} ${n + 1}` } : {});
      }));
      made.push(el("div", { class: "block" }, el("div", { class: "label" }, table.words),
        narrow ? withReasons(grid(table.words, keys.map(path => Desk.label(path)), rows), rows)
          : el("div", { class: "cards" }, ...rows.map((row, n) => el("div", { class: "fields card", role: "group", "aria-label": `${table.what} ${n + 1}` }, ...row))),
        el("div", { class: "buttons" },
          el("button", { type: "button", onclick: () => another(table, true) }, `One ${table.what} more`),
          count > 1 ? el("button", { type: "button", onclick: () => another(table, false) }, `One ${table.what} less`) : null)));
    }
    return { made, paths };
  };
  const fillIn = paths => {
    const values = Desk.sound("values", { keys: paths });
    for (const path of paths) fill(path, values.fault ? state.set[path] ?? "" : inUnits(values.answer[path]));
    for (const [path, text] of Object.entries(state.set)) if (paths.includes(path)) fill(path, text);
  };

  // A question whose answer comes from the worker.
  const slow = ({ name, groups, table, options, lead, outcome, working }) => () => {
    const { made, paths } = inputs(groups(), table?.());
    const before = lead?.() ?? null;
    const out = el("div", { class: "outcome", "aria-busy": "false" });
    const status = el("div", { class: "working", hidden: true });
    const element = el("div", { class: "sheet" }, el("div", { class: "side" }, before, ...made), el("div", { class: "told" }, status, out));
    let shown = "", waiting = 0, found = null;
    const solve = async settled => {
      const request = asked(name, options());
      const wanted = JSON.stringify(request);
      if (wanted === shown) return;
      shown = wanted;
      found = null;
      out.setAttribute("aria-busy", "true");
      const began = performance.now();
      const progress = working?.(status, halt);
      const late = setTimeout(() => { status.hidden = false; }, 150);
      const reply = await afar(request, progress).catch(error => error.message === "stopped" ? null : { fault: [{ key: null, line: null, text: String(error.message ?? error) }] });
      clearTimeout(late);
      if (!reply) {
        // Stopped by the reader, or by a newer question, which tells for itself.
        if (wanted === shown) {
          shown = "";
          out.setAttribute("aria-busy", "false");
        }
        return;
      }
      status.hidden = true;
      out.setAttribute("aria-busy", "false");
      Desk.solved = { name, took: performance.now() - began };
      if (reply.fault) {
        found = { faults: reply.fault };
        Desk.result(reply.fault, "", settled);
        out.classList.toggle("stale-outcome", true);
        return;
      }
      out.classList.toggle("stale-outcome", false);
      const { parts, sentence } = outcome(reply);
      out.replaceChildren(...parts.filter(Boolean));
      found = { sentence };
      Desk.result([], sentence, true);
    };
    return {
      element,
      draw: settled => {
        fillIn(paths);
        clearTimeout(waiting);
        waiting = setTimeout(() => solve(settled), settled ? 0 : 120);
        // What was found of just this stands, a refusal too.
        return JSON.stringify(asked(name, options())) === shown ? found : null;
      },
      leave: () => {
        clearTimeout(waiting);
        halt();
      },
    };
  };

  // ---- Size for a duty.
  const sizeFields = () => [
    ["What is wanted", ["duty.water_flow", "duty.lift"]],
    ["The water", ["water.temperature", "water.salinity"]],
    ["What may be used", ["limits.max_submergence", "limits.max_lifts", "limits.max_air_pressure", "limits.max_total_gas_pressure", "limits.standards", "limits.pipes"]],
    ["More of it", ["site.altitude", "tank.level_fall", "tank.level_rise", "duty.objective", "duty.at_lower_end", "duty.at_low_water",
      "limits.min_submergence", "limits.peak_reserve", "limits.fouling", "riser.outlet"], false],
  ];
  const takeDesign = (answer, litre, { detail, ...design }) => {
    const length = metres => `${Number(metres.toFixed(3))} m`;
    Desk.choose("flow", {
      "riser.pipe": design.pipe, "riser.bore": null, "riser.submergence": length(design.submergence_m), "riser.lift": length(answer.duty.lift_m),
      "air.flow": `${Number((design.each.air_mass_flow_kg_per_s / litre).toPrecision(5))} L/min`, "air.reference": "dry_20_c",
    });
    if (design.lifts > 1) {
      const { water_flow_total_m3_per_s: water, air_mass_flow_total_kg_per_s: air } = Desk.say(design, ["water_flow_total_m3_per_s", "air_mass_flow_total_kg_per_s"]);
      Desk.notice(`This is one of ${design.lifts} lifts. Together they give ${water} and need ${air} of air.`);
    }
    Desk.root.scrollIntoView();
  };
  // Mass of a litre a minute of air, dry at 20 °C, as the library has it.
  const perLitre = () => {
    const reply = Risewater.ask({ ask: "flow", set: { "air.flow": "100 L/min", "air.reference": "dry_20_c" } });
    return reply.answer.air_mass_flow_kg_per_s / 100;
  };
  const sizeOutcome = reply => {
    const { answer, map } = reply, rows = pairs(reply.text), litre = perLitre();
    // What a design takes, in words.
    const PATHS = ["submergence_m", "each.air_mass_flow_kg_per_s", "startup_gauge_pressure_pa", "injection_power_total_w"];
    const inWords = n => {
      const { detail, ...design } = answer.designs[n];
      const said = Desk.say(design, PATHS);
      return { depth: said[PATHS[0]], air: said[PATHS[1]], start: said[PATHS[2]], power: said[PATHS[3]] };
    };
    const chosen = el("div", { class: "chosen-design", "aria-live": "polite" });
    const SHOWN = 8;
    const list = answer.designs.slice(0, SHOWN);
    const say = n => {
      const design = answer.designs[n], said = inWords(n);
      chosen.replaceChildren(
        el("div", {}, el("span", { class: "value" }, `${design.lifts} × ${design.pipe}`), `, air let in ${said.depth} deep: ${said.air} of air each, ${said.start} to start, ${said.power} in all`),
        el("button", { type: "button", onclick: () => takeDesign(answer, litre, design) }, "Take this design into one lift"));
    };
    let over = null;
    if (map) {
      const { frame, columns, rows: depths } = map;
      const best = new Map();
      answer.designs.forEach((design, n) => {
        const key = `${design.pipe}|${design.submergence_m}`;
        if (!best.has(key)) best.set(key, n);
      });
      const why = new Map();
      for (const one of answer.rejected) why.set(`${one.pipe}|${one.submergence_m}`, one.reason.message);
      over = document.createElementNS("http://www.w3.org/2000/svg", "svg");
      over.setAttribute("viewBox", `0 0 ${frame.size.join(" ")}`);
      over.setAttribute("class", "here map");
      over.setAttribute("tabindex", "0");
      over.setAttribute("role", "application");
      over.setAttribute("aria-label", "The search: arrows go from pipe to pipe and from depth to depth");
      const first = answer.designs[0];
      const at = [columns.indexOf(first.pipe), depths.indexOf(first.submergence_m)];
      const show = () => {
        const [column, row] = at, w = (frame.across[1] - frame.across[0]) / columns.length, h = (frame.up[0] - frame.up[1]) / depths.length;
        over.innerHTML = `<rect class="cell" x="${frame.across[0] + column * w}" y="${frame.up[0] - (row + 1) * h}" width="${w}" height="${h}"/>`;
        const key = `${columns[column]}|${depths[row]}`;
        if (best.has(key)) say(best.get(key));
        else chosen.replaceChildren(el("div", {}, `${columns[column]}, ${Number(depths[row].toFixed(3))} m deep: ${why.get(key) ?? "not searched"}.`));
      };
      const go = (column, row) => {
        at[0] = Math.min(Math.max(column, 0), columns.length - 1);
        at[1] = Math.min(Math.max(row, 0), depths.length - 1);
        show();
      };
      const pointed = event => {
        const box = over.getBoundingClientRect();
        const x = (event.clientX - box.left) / box.width * frame.size[0], y = (event.clientY - box.top) / box.height * frame.size[1];
        go(Math.floor((x - frame.across[0]) / (frame.across[1] - frame.across[0]) * columns.length), Math.floor((frame.up[0] - y) / (frame.up[0] - frame.up[1]) * depths.length));
      };
      over.addEventListener("pointerdown", pointed);
      over.addEventListener("keydown", event => {
        const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
        if (!step) return;
        event.preventDefault();
        go(at[0] + step[0], at[1] + step[1]);
      });
      show();
    } else say(0);
    // Pipe and button on a line, what it takes below them: so it fits any width.
    const head = ["lifts and pipe", "", "depth", "air each", "to start", "power in all"];
    const fewer = answer.fewer_lifts, less = rows.find(([name]) => name === "Fewer");
    const cells = list.map((design, n) => [`${design.lifts} × ${design.pipe}`,
      el("button", { type: "button", "aria-label": `Take design ${n + 1} into one lift`, onclick: () => takeDesign(answer, litre, design) }, "Take"), ...Object.values(inWords(n))]);
    const designs = grid("The best designs", head, cells);
    designs.firstChild.classList.add("designs");
    return {
      parts: [...told(fewer && less ? rows.filter(row => row !== less) : rows), fewer && less ? el("div", { class: "fewer" }, el("div", {}, el("span", { class: "value" }, "Fewer lifts"), `: ${less[1]}`),
        el("button", { type: "button", "aria-label": "Take the design with fewer lifts into one lift", onclick: () => takeDesign(answer, litre, fewer) }, "Take")) : null, drawing("The search: touch a place in it", reply.picture, over), chosen,
        el("div", { class: "block" }, el("div", { class: "label" }, "The best designs"), designs), minding(reply.cautions), allOfIt(reply.text)],
      sentence: rows[0][1],
    };
  };
  const sizeWorking = (status, stop) => {
    const bar = el("progress", { max: "1", "aria-label": "The search" }), words = el("div", {}, "Searching…");
    status.replaceChildren(words, bar, el("button", { type: "button", onclick: () => {
      stop();
      status.hidden = false;
      status.replaceChildren("Stopped. Change a value to search again.");
    } }, "Stop"));
    return ({ tried, of }) => {
      words.textContent = `${tried.toLocaleString("en")} of ${of.toLocaleString("en")} candidates tried`;
      bar.value = tried / of;
    };
  };
  const reads = (...sections) => text => sections.every(section => new RegExp(`^\\s*\\[\\[?${section}\\]`, "m").test(text));

  Desk.question("size", {
    title: "Size for a duty", command: "risewater size design.toml", reads: text => reads("duty", "limits")(text),
    view: slow({ name: "size", groups: sizeFields, options: () => ({ picture: "panel", text: true }), outcome: sizeOutcome, working: sizeWorking }),
  });

  // ---- From animals. Without tanks of its own a file has the one of [need].
  const oneTank = paths => rowsOf("rearing_tank") ? [] : [["The tank", paths]];
  Desk.question("need", {
    title: "Animals", command: "risewater need design.toml", reads: reads("need"),
    view: slow({
      name: "need",
      groups: () => [
        ...oneTank(["need.biomass", "need.feed_rate", "need.feed", "need.volume", "need.turnover"]),
        ["The water", ["water.temperature", "need.limits", "need.entering_saturation", "need.tan_removal", "need.carbon_dioxide_removal"]],
        ["The lifts", ["need.lift_flow", "need.lifts"]],
        ["More of it", ["site.altitude", "need.protein", "need.ph", "need.bacteria"], false],
      ],
      table: () => ({ section: "rearing_tank", what: "tank", words: "The tanks", keys: ["name", "biomass", "feed_rate", "feed", "cycle", "volume", "turnover"] }),
      options: () => ({ picture: /cycle/.test(state.file?.text ?? "cycle") ? "weeks" : null, narrow: true, text: true }),
      outcome: reply => {
        const rows = pairs(reply.text);
        return {
          parts: [...told(rows), el("div", { class: "buttons" }, el("button", { type: "button", onclick: () => Desk.open(ask("file").answer.file, "size") }, "Size lifts for this water")),
            drawing("The water over the weeks", reply.picture), minding(reply.cautions), allOfIt(reply.text)],
          sentence: rows.slice(0, 2).map(row => row[1]).join("; "),
        };
      },
    }),
  });

  // ---- Many lifts on a blower: as they stand, or still to be bought for.
  const plants = [["existing", "A blower that stands"], ["supply", "A blower to choose"]];
  const either = () => el("div", { class: "units plants", role: "group", "aria-label": "The blower" },
    ...plants.map(([name, words]) => el("button", { type: "button", "aria-pressed": String(state.ask === name), onclick: () => Desk.choose(name) }, words)));
  const LIFTS = ["name", "at", "pipe", "bore", "submergence", "lift", "water_flow"];
  const plant = (name, groups) => slow({
    name, lead: either, groups, options: () => ({ picture: "pressure", narrow: true, text: true }),
    table: () => ({ section: "lift", what: "lift", words: "The lifts", keys: LIFTS }),
    outcome: reply => {
      const rows = pairs(reply.text), whole = rows[0][0] === "" ? "Together" : rows[0][0];
      return {
        parts: [...told(rows, whole), lines(reply), inTheirWords(reply.text, "What to change first"), drawing("Air and pressure", reply.picture), minding(reply.cautions), allOfIt(reply.text)],
        sentence: rows[0][1],
      };
    },
  });
  // A paragraph of the tool's text, with its columns.
  const inTheirWords = (text, from) => {
    const start = text?.indexOf(`\n${from}`) ?? -1;
    if (start < 0) return null;
    const [head, ...rest] = text.slice(start + 1).split("\n\n")[0].split("\n");
    // A change, what it comes to (with the change of it in per cent), and what follows in prose.
    const parts = line => line.trim().replace(/ +(?=[+-][\d.]+ %)/, " ").split(/ {2,}/);
    const heads = ["", ...parts(rest[0] ?? "")], rows = rest.filter(line => /^\d+\. /.test(line)).map(parts);
    const prose = rest.slice(1 + rows.length).map(line => line.trim()).join(" ");
    if (rows.length && rows.every(row => row.length === heads.length)) {
      const table = grid(head, heads, rows);
      table.firstChild.classList.add("changes");
      return el("div", { class: "block" }, el("div", { class: "label" }, head), table, el("div", { class: "remark" }, prose));
    }
    return el("div", { class: "block" }, el("div", { class: "label" }, head), el("pre", { class: "file-text", tabindex: "0", "aria-label": head }, rest.join("\n")));
  };
  const lines = ({ answer: { lifts = [] } }) => {
    const name = key => Object.keys(lifts[0] ?? {}).find(own => own.includes(key));
    const [air, water] = ["air_mass_flow", "water_flow"].map(name);
    if (!air || !water) return null;
    const said = Desk.say({ lifts }, lifts.flatMap((_, n) => [`lifts.${n}.${air}`, `lifts.${n}.${water}`]));
    return el("div", { class: "block" }, el("div", { class: "label" }, "Lift by lift"),
      grid("Lift by lift", ["lift", "air", "water"], lifts.map((one, n) => [one.lift ?? one.name, said[`lifts.${n}.${air}`] ?? "none", said[`lifts.${n}.${water}`] ?? "none"])));
  };
  Desk.question("existing", {
    title: "Many lifts", command: "risewater existing design.toml", 
    reads: text => reads("blower", "lift")(text) && !reads("balance")(text) && !/^\s*(standby|running)\s*=/m.test(text),
    view: plant("existing", () => [
      ["The blower", ["blower.points", "blower.pressure", "blower.air_flow", "blower.wire_efficiency"]],
      ["The lines", ["main_line.bore", "main_line.length", "header.bore", "branch.bore", "branch.length", "branch.orifice"]],
      ["More of it", ["water.temperature", "site.altitude", "riser.outlet", "blower.height", "branch.check_valve"], false],
    ]),
  });
  Desk.question("supply", {
    title: "A blower to choose", of: "existing", command: "risewater supply design.toml", reads: reads("blower"),
    view: plant("supply", () => [
      ["The blower", ["blower.table", "blower.running", "blower.standby", "blower.intake_temperature"]],
      ["The lines", ["main_line.pipe", "main_line.length", "header.pipe", "branch.bore", "branch.length", "balance.least_loss"]],
      ["More of it", ["water.temperature", "site.altitude", "riser.outlet", "blower.height", "tariff.price", "balance.tolerance"], false],
    ]),
  });

  // ---- The loop through a day.
  Desk.question("loop", {
    title: "Loop", command: "risewater loop design.toml", reads: reads("loop"),
    view: slow({
      name: "loop",
      groups: () => [
        ...oneTank(["need.biomass", "need.feed_rate"]),
        ["The day", ["loop.meals", "water.temperature", "loop.lifts", "loop.lifts_off"]],
        ["A lift", ["riser.bore", "riser.submergence", "riser.lift", "air.flow", "gas.transfer_coefficient"]],
        ["The filter", ["filter.area", "filter.rate", "filter.half_saturation", "filter.water"]],
        ["More of it", ["site.altitude", "need.limits", "need.protein", "need.ph", "need.volume", "loop.survival_oxygen"], false],
      ],
      table: () => ({ section: "rearing_tank", what: "tank", words: "The tanks", keys: ["name", "biomass", "feed_rate"] }),
      options: () => ({ picture: "day", narrow: true, text: true }),
      outcome: reply => {
        const rows = pairs(reply.text);
        return {
          parts: [...told(rows), drawing("Through the day", reply.picture), minding(reply.cautions), allOfIt(reply.text)],
          sentence: rows.slice(0, 3).map(row => row[1]).join("; "),
        };
      },
    }),
  });

  // ---- A bench trial: one lift, with what was measured of it.
  const LEAST_ROWS = 3;
  // "20 L in 8.2 s" is a flow too.
  const timed = text => {
    const caught = /^(.*?)\s+in\s+(-?[\d.:]+)\s*(s|min)?\s*$/.exec(text);
    if (!caught) return { flow: text.trim() };
    const { answer, fault } = Risewater.ask({ ask: "value", options: { key: "trial.container", value: caught[1] } });
    if (fault) return { fault: fault[0].text };
    const [first, second] = caught[2].split(":").map(Number);
    const seconds = second === undefined ? first * (caught[3] === "min" ? 60 : 1) : 60 * first + second;
    return seconds > 0 ? { flow: `${answer.si / seconds * 60000} L/min` } : { fault: `the time is ${caught[2]} ${caught[3] ?? "s"}; it must be more than none` };
  };
  // The runs that can count, each by its row: what is half filled in waits.
  const counting = () => state.runs.map(([air = "", water = ""], row) => ({ row, air: air.trim(), water: water.trim() && timed(water) }))
    .filter(({ air, water }) => air && water && !water.fault);
  Desk.readings = () => counting().map(({ air, water }) => ({ air, water: water.flow }));
  const mistimed = () => state.runs.map(([, water = ""], row) => ({ row, name: "water", text: timed(water).fault })).filter(({ text }) => text);
  // The points of the runs in the units of the curve.
  Desk.measured = () => state.ask !== "trial" ? [] : Desk.readings().map(({ air, water }) => {
    const [airUnit, waterUnit] = state.units === "us" ? [0.3048 ** 3 / 60, 3.785411784e-3 / 60] : [1e-3 / 60, 1e-3 / 60];
    const worth = (key, value) => Risewater.ask({ ask: "value", options: { key, value } }).answer?.si;
    return [worth("air.flow", air) / airUnit, worth("duty.water_flow", water) / waterUnit];
  }).filter(point => point.every(Number.isFinite));
  // What is odd about the readings.
  const ODD = ["reading_stands_out", "reading_far_off", "reading_narrows_little"];
  const doubts = reply => {
    if (!reply.answer) return [];
    const said = reply.cautions.filter(({ code }) => ODD.includes(code)).map(({ text }) => sentence(text));
    const unused = /^Not used: (.*)$/m.exec(reply.text);
    return unused ? [...said, sentence(`not used: ${unused[1]}`)] : said;
  };
  const trialView = () => {
    const lift = Desk.liftView();
    const table = el("div", { class: "readings" });
    const keep = el("div", { class: "buttons" }, el("button", { type: "button", onclick: () => {
      const found = ask("trial", { readings: Desk.readings(), wordless: true });
      if (found.calibration) Desk.save(found.calibration, "trial.toml");
    } }, "Save what was measured"));
    const before = el("div", { class: "closing" }), doubtful = el("div", { class: "doubtful cautions", role: "status" }), next = el("div", { class: "next-run" });
    const block = el("div", { class: "block trial" }, el("div", { class: "label" }, "What was measured"),
      el("div", { class: "remark" }, "For each run the air, and the water: as a flow, or as “20 L in 8.2 s”. Three runs are enough to close the interval."),
      el("div", { class: "remark" }, "A reading shows how far this rig is from the model. Much of that is the same at other air flows, so the interval closes there too; the further off, the less."),
      table, doubtful, before, next, keep);
    // What is typed and what it changes stand beside each other.
    lift.element.querySelector(".side").prepend(block);
    lift.element.querySelector(".rest").prepend(lift.element.querySelector(".over-air"));
    const put = (n, m, text, settled) => {
      while (state.runs.length <= n) state.runs.push(["", ""]);
      state.runs[n][m] = text;
      while (state.runs.length && state.runs.at(-1).every(text => !text.trim())) state.runs.pop();
      change({}, settled);
    };
    let rows = 0;
    const lay = () => {
      const count = Math.max(LEAST_ROWS, state.runs.length + (state.runs.length >= LEAST_ROWS ? 1 : 0));
      if (count !== rows) {
        rows = count;
        const kept = [...table.querySelectorAll("input")].indexOf(document.activeElement);
        table.replaceChildren(...Array.from({ length: count }, (_, n) => el("div", { class: "run" }, el("span", { class: "run-number" }, String(n + 1)),
          ...["air", "water"].map((name, m) => {
            const input = el("input", { type: "text", autocomplete: "off", "aria-describedby": `desk-run-${n + 1}`, "aria-label": `${name} of run ${n + 1}`, placeholder: name === "air" ? "air" : "water" });
            input.addEventListener("change", () => put(n, m, input.value, true));
            return input;
          }), el("span", { class: "why", role: "status", id: `desk-run-${n + 1}` }))));
        table.querySelectorAll("input")[kept]?.focus();
      }
      table.querySelectorAll("input").forEach((input, n) => {
        if (input !== document.activeElement) input.value = state.runs[n >> 1]?.[n & 1] ?? "";
      });
    };
    return {
      ...lift,
      draw: settled => {
        lay();
        const found = lift.draw(settled);
        const runs = counting(), own = found.faults?.filter(fault => /^readings\./.test(fault.key ?? "")) ?? [];
        const wrong = [...mistimed(), ...own.map(({ key, text }) => {
          const [, n, name] = key.split(".");
          return { row: runs[n - 1]?.row, name, text };
        })];
        [...table.children].forEach((row, n) => {
          const about = wrong.filter(fault => fault.row === n);
          row.classList.toggle("wrong", about.length > 0);
          row.lastChild.textContent = about.map(fault => sentence(fault.text)).join(" ");
          row.querySelectorAll("input").forEach((input, m) => {
            if (about.some(fault => fault.name === ["air", "water"][m])) input.setAttribute("aria-invalid", "true");
            else input.removeAttribute("aria-invalid");
          });
        });
        const readings = Desk.readings();
        before.replaceChildren();
        if (settled) {
          next.replaceChildren();
          doubtful.replaceChildren(...found.faults?.length || !readings.length ? [] : doubts(ask("trial", { readings, text: true })).map(text => el("div", { class: "grave" }, text)));
        }
        keep.hidden = readings.length === 0;
        if (readings.length && !found.faults?.length) {
          const bare = ask("flow", { fields: ["interval"] });
          if (!bare.fault) before.replaceChildren(el("span", { class: "label" }, "Before it was measured: "), `${bare.fields.interval ?? "not known"}.`);
        }
        const [AIR, HALF] = ["order.runs.0.air_mass_flow_kg_per_s", "order.runs.0.half_width"];
        const plan = settled ? ask("next", { readings, wordless: true, fields: [AIR, HALF] }) : { fault: [] };
        if (plan.fields?.[AIR]) next.replaceChildren(el("span", { class: "label" }, "The run that would teach most next: "), `${plan.fields[AIR]} of air. After it the flow at this air would be known to ± ${plan.fields[HALF]}.`);
        const faults = [...(found.faults ?? []).filter(fault => !own.includes(fault)), ...wrong.map(({ text }) => ({ key: null, line: null, text, shown: true }))];
        return { ...found, faults };
      },
    };
  };
  Desk.question("trial", { title: "Bench trial", example: "flow", command: "risewater flow --calibration trial.toml design.toml", reads: () => false, view: trialView });
})();
