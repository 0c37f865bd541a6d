// One lift: the drawing with its handles, the air, and what comes out.
"use strict";

(() => {
  const { el, sentence, state, ask, sound, change, nudge, field, fill } = Desk;
  const { outline, range, place, picture, air } = DeskPicture;
  const SVG = "http://www.w3.org/2000/svg";
  const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

  // What the answers are asked for in words.
  const WORDS = ["water_flow_m3_per_s", "interval", "air_mass_flow_kg_per_s", "point.injection_pressure_pa - site.atmospheric_pressure_pa",
    "startup_gauge_pressure_pa", "point.injection_power_w", "point.efficiency", "point.air_to_water", "gas.total_gas_pressure_bound",
    "gas.total_gas_pressure_limit", "threshold_air_mass_flow_kg_per_s", "lift_at_zero_flow_m", "riser.bore_m"];
  const [WATER, SURE, AIR, RUNNING, STARTING, POWER, EFFICIENCY, VOLUMES, GAS, GAS_LIMIT, THRESHOLD, STANDS, BORE] = WORDS;
  // Keys with a field, in the order of the page; those in the drawing first.
  const DRAWN = ["riser.lift", "riser.submergence", "riser.suction_length"];
  const USUAL = ["riser.bore", "water.temperature", "riser.outlet"];
  const MORE = ["water.salinity", "site.altitude", "riser.injector", "riser.air_line", "riser.entrance_loss", "riser.outlet_loss", "riser.roughness",
    "riser.lost_bore", "tank.level_fall", "tank.level_rise", "model.slip", "model.friction"];
  const OF_OUTLET = { elbow: "riser.outlet_bore", submerged: "riser.outlet_depth", open_top: "riser.outlet_head" };

  // Lengths as they are set by hand: to the centimetre, or to a quarter of an inch.
  const metres = value => `${Number(value.toFixed(2))} m`;
  const length = value => state.units === "us"
    ? Math.abs(value) < 0.3048 ? `${Math.round(value / 0.0254 * 4) / 4} in` : `${Number((value / 0.3048).toFixed(2))} ft`
    : metres(value);
  const step = () => (state.units === "us" ? 0.0254 / 4 : 0.01);
  const capital = text => text.replace(/^./, letter => letter.toUpperCase());
  // Three digits, as an air flow is set by hand.
  const flow = value => `${Number(value.toPrecision(3))} ${state.units === "us" ? "cfm" : "L/min"}`;
  const setAir = value => ({ "air.flow": flow(Math.max(value, 0)), "air.reference": "dry_20_c" });

  const readings = () => state.ask === "trial" ? Desk.readings() : [];

  const view = () => {
    // ---- What is drawn once.
    const stage = el("div", { class: "stage" });
    const svg = document.createElementNS(SVG, "svg");
    svg.setAttribute("role", "img");
    const handles = {};
    const caption = el("div", { class: "caption" });
    const still = el("button", { type: "button", class: "still", "aria-pressed": "false" }, "Still");
    const drawnFields = el("div", { class: "drawn-fields" },
      field("riser.lift"), field("riser.submergence"), field("riser.suction_length", { short: "pipe below it" }));
    stage.append(svg, drawnFields, still);

    const slider = el("input", { type: "range", min: 0, max: 1000, step: 1, class: "air-slider", "aria-label": "Air" });
    const airBox = el("div", { class: "air-box" }, field("air.flow", { short: "Air", write: text => ({ "air.flow": text.trim() || null, ...(text.trim() ? { "air.reference": "dry_20_c" } : { "air.reference": null }) }) }), slider);

    const outletKey = el("div", { class: "of-outlet" });
    const bore = field("riser.bore", { short: "bore or pipe", write: text => /^\s*[A-Za-z]/.test(text)
      ? { "riser.pipe": text.trim(), "riser.bore": null }
      : { "riser.bore": text.trim() || null, "riser.pipe": null } });
    const usual = el("div", { class: "fields" }, bore, ...USUAL.slice(1).map(path => field(path, { short: path === "water.temperature" ? "water" : undefined })), outletKey);
    const more = el("details", { class: "more" }, el("summary", {}, "More of this lift"),
      el("div", { class: "fields" }, ...MORE.map(path => field(path, { short: { "riser.air_line": "air line inside", "model.slip": "law of slip", "model.friction": "law of friction" }[path] }))));

    const big = el("div", { class: "big" }), sure = el("div", { class: "sure" }), kind = el("div", { class: "label" }, "Water");
    const answer = el("div", { class: "answer" }, kind, big, sure);
    const blower = el("dl", { class: "facts" });
    const budget = el("div", { class: "budget" }), budgetWords = el("div", { class: "budget-words", "aria-live": "polite" });
    const curve = el("div", { class: "curve" });
    const here = document.createElementNS(SVG, "svg");
    here.setAttribute("class", "here");
    const over = el("div", { class: "over", "aria-hidden": "true" });
    over.append(here);
    const cautions = el("div", { class: "cautions", role: "list" });
    const rest = el("div", { class: "rest" },
      el("div", { class: "block" }, el("div", { class: "label" }, "What the blower must bring"), blower),
      el("div", { class: "block" }, el("div", { class: "label" }, "Where the submergence goes"), budget, budgetWords),
      el("div", { class: "block over-air" }, el("div", { class: "label" }, "Water over air: drag along the curve"), curve),
      el("div", { class: "block minding" }, el("div", { class: "label" }, "What to mind"), cautions));
    const element = el("div", { class: "lift" },
      el("div", { class: "side" }, stage, caption, airBox, usual, more),
      el("div", { class: "told" }, answer, rest));

    // ---- What changes.
    let lift = null, at = null, shown = null, held = null, heldFrom = 0, flows = null, curves = null, part = null, frame = null, fineness = 0;

    const handle = (name, kindOf, move) => {
      const own = el("div", { class: `handle ${kindOf}`, role: "slider", tabindex: "0", "aria-label": name, "aria-orientation": kindOf === "across" ? "horizontal" : "vertical" });
      own.addEventListener("pointerdown", event => {
        if (event.button !== 0) return;
        event.preventDefault();
        own.focus({ preventScroll: true });
        own.setPointerCapture(event.pointerId);
        const box = stage.getBoundingClientRect();
        const offset = event.clientY - box.top - parseFloat(own.style.top);
        [held, heldFrom] = [name, lift.submergence];
        const moved = event => move(at.metres(clamp(event.clientY - box.top - offset, 4, at.height - 4)), change);
        const ended = () => {
          own.removeEventListener("pointermove", moved);
          held = null;
          shown = null;
          change({}, true);
        };
        own.addEventListener("pointermove", moved);
        own.addEventListener("lostpointercapture", ended, { once: true });
      });
      own.addEventListener("keydown", event => {
        const steps = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 10, PageDown: -10 }[event.key];
        if (!steps) return;
        event.preventDefault();
        move(own.height + steps * step(), nudge);
      });
      stage.append(own);
      handles[name] = own;
      return own;
    };
    const snapped = value => Math.round(value / step()) * step();
    // Each moves one height; the level moves both that are measured from it.
    handle("rim", "up", (height, set) => set({ "riser.lift": length(snapped(height)) }, false));
    handle("level", "up wide", (height, set) => {
      const rise = snapped(height);
      set({ "riser.submergence": length(lift.submergence + rise), "riser.lift": length(lift.rim - rise) }, false);
    });
    handle("air inlet", "up", (height, set) => set({ "riser.submergence": length(snapped(-height)) }, false));
    handle("foot", "up", (height, set) => set({ "riser.suction_length": length(Math.max(snapped(lift.foot - height), 0)) }, false));

    const setHandle = (name, x, height, text) => {
      const own = handles[name];
      own.height = height;
      own.style.left = `${x}px`;
      own.style.top = `${at.y(height)}px`;
      // Over the air inlet, so that it tells a level that rises too.
      own.setAttribute("aria-valuenow", (height - lift.foot).toFixed(3));
      own.setAttribute("aria-valuemin", (at.metres(at.height - 4) - lift.foot).toFixed(3));
      own.setAttribute("aria-valuemax", (at.metres(4) - lift.foot).toFixed(3));
      own.setAttribute("aria-valuetext", text);
    };

    const drawLift = answer => {
      lift = outline(answer);
      lift.submergence = answer.riser.submergence_m;
      const width = stage.clientWidth || 360, height = stage.clientHeight || 380;
      if (!shown || !held) shown = range(lift);
      // Heights are those over the level. While the level is dragged it is the pipe that stays where it is drawn.
      const risen = held === "level" ? lift.submergence - heldFrom : 0;
      at = place(lift, shown.map(end => end - risen), width, height);
      svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
      const said = { air: answer.words[AIR] ?? "", water: lift.flows ? answer.words[WATER] : "" };
      svg.innerHTML = `<title>The lift, drawn to scale</title>` + picture(lift, at, said);
      flows = svg.querySelector(".bubbles");
      flows.setAttribute("d", air(lift, at, moment()));
      const text = key => answer.values[key]?.text ?? "";
      setHandle("rim", at.measure, lift.rim, `lift ${text("riser.lift")}`);
      setHandle("level", at.tank[1] - 22, 0, `water level, ${text("riser.submergence")} over the air inlet`);
      setHandle("air inlet", at.measure, lift.foot, `depth ${text("riser.submergence")}`);
      setHandle("foot", at.middle, lift.end, `${text("riser.suction_length")} of pipe below the air inlet`);
      // The fields stand beside what they measure, and make room for each other.
      const rows = [[0, 0.5 * (at.y(lift.rim) + at.y(0))], [1, 0.5 * (at.y(0) + at.y(lift.foot))], [2, lift.end < lift.foot ? 0.5 * (at.y(lift.foot) + at.y(lift.end)) : at.y(lift.foot) + 44]];
      const tall = 52;
      let low = -Infinity;
      const tops = rows.map(([, y]) => (low = Math.max(y - 0.5 * tall, low + tall, 0)));
      let high = height - 2;
      for (let n = tops.length - 1; n >= 0; n -= 1) high = tops[n] = Math.min(tops[n], high - tall);
      tops.forEach((top, n) => { drawnFields.children[n].style.top = `${Math.round(top)}px`; });
      const times = at.times, wider = Math.abs(times - 1) < 0.05 ? "the bore too" : times > 1 ? `the bore drawn ${Number(times.toPrecision(2))} times as wide` : `the bore drawn at ${Math.round(100 * times)} % of its width`;
      const moving = lift.flows && !quiet() ? "The air moves at a quarter of its speed and takes" : "The air takes";
      caption.textContent = `Heights are to scale, ${wider} (${answer.words[BORE]}). ${lift.flows ? `${moving} as much of the picture as of the pipe.` : ""}`;
    };

    // ---- The air in motion: still where the reader wants it so, or does not look.
    const calm = matchMedia("(prefers-reduced-motion: reduce)");
    let stopped = null, began = performance.now();
    const quiet = () => stopped ?? calm.matches;
    const moment = () => (quiet() ? 0.4 : (performance.now() - began) / 1000);
    let frameAsked = 0;
    const animate = () => {
      frameAsked = 0;
      if (!element.isConnected) return;
      if (!quiet() && flows && lift.flows && document.visibilityState === "visible") flows.setAttribute("d", air(lift, at, moment()));
      if (!quiet()) frameAsked = requestAnimationFrame(animate);
    };
    const stir = () => {
      still.textContent = quiet() ? "Move" : "Still";
      still.setAttribute("aria-label", quiet() ? "Let the air move" : "Hold the air still");
      if (!frameAsked && !quiet()) frameAsked = requestAnimationFrame(animate);
    };
    still.addEventListener("click", () => {
      stopped = !quiet();
      stir();
      Desk.draw(false);
    });
    const calmed = () => stir();
    calm.addEventListener("change", calmed);

    // ---- The air slider and the curve are one: the square root of the flow, so that little air is not all at one end.
    let most = 1;
    const set = (value, settled) => change(setAir(value), settled);
    slider.addEventListener("input", () => set(most * (slider.value / 1000) ** 2, false));
    slider.addEventListener("change", () => change({}, true));
    const pointed = event => {
      const box = here.getBoundingClientRect();
      const x = (event.clientX - box.left) / box.width * frame.size[0];
      const share = clamp((x - frame.across[0]) / (frame.across[1] - frame.across[0]), 0, 1);
      set(frame.x[0] + share * (frame.x[1] - frame.x[0]), false);
    };
    here.addEventListener("pointerdown", event => {
      if (event.button !== 0 || !frame) return;
      event.preventDefault();
      here.setPointerCapture(event.pointerId);
      pointed(event);
      here.addEventListener("pointermove", pointed);
      here.addEventListener("lostpointercapture", () => {
        here.removeEventListener("pointermove", pointed);
        change({}, true);
      }, { once: true });
    });

    // While something is dragged a coarser curve does.
    const drawCurve = (flowAnswer, settled) => {
      const points = settled ? 24 : 14;
      const { "air.flow": _, "air.reference": __, ...shape } = state.set;
      const name = JSON.stringify([shape, state.units, readings(), Desk.base().text]);
      if (curves !== name || points > fineness) {
        fineness = points;
        // What was measured stands between the curves before and after it, no further than it tells.
        const reply = readings().length ? ask("trial", { picture: "panel", bare: true, wordless: true, readings: readings() })
          : sound("curve", { picture: "panel", points, wordless: true });
        curves = name;
        frame = reply.frame ?? null;
        if (reply.fault) {
          curve.replaceChildren(el("div", { class: "empty" }, sentence(reply.fault[0].text)));
          most = Math.max(most, 2 * parseFloat(flowAnswer.words[AIR]));
          return;
        }
        const holder = el("div", { class: "chart" });
        holder.innerHTML = reply.picture;
        here.setAttribute("viewBox", `0 0 ${frame.size.join(" ")}`);
        curve.replaceChildren(holder, over);
        most = frame.x[1];
      }
      if (!frame) return;
      const measured = Desk.measured?.() ?? [];
      const across = value => frame.across[0] + (value - frame.x[0]) / (frame.x[1] - frame.x[0]) * (frame.across[1] - frame.across[0]);
      const up = value => frame.up[0] + (value - frame.y[0]) / (frame.y[1] - frame.y[0]) * (frame.up[1] - frame.up[0]);
      const [x, y] = [clamp(across(parseFloat(flowAnswer.words[AIR])), ...frame.across), clamp(up(parseFloat(flowAnswer.words[WATER]) || 0), frame.up[1], frame.up[0])];
      here.innerHTML = measured.map(([x, y], n) => `<g transform="translate(${across(x)},${up(y)})"><rect class="reading" x="-8" y="-8" width="16" height="16" rx="3"/><text class="reading-number" y="4" text-anchor="middle">${n + 1}</text></g>`).join("") + `<path class="cross" d="M${frame.across[0]},${y}H${x}V${frame.up[0]}"/><circle class="ring" cx="${x}" cy="${y}" r="11"/><circle class="point" cx="${x}" cy="${y}" r="6"/>`;
    };

    const drawBudget = rows => {
      const total = rows.reduce((sum, row) => sum + row.height_m, 0);
      const name = row => row.name.replace(/\W+/g, "-");
      const choose = row => {
        part = part === row.name ? null : row.name;
        drawBudget(rows);
      };
      const words = row => row && `${capital(row.name)} takes ${row.height}, ${row.share} of the submergence. It shrinks with ${row.shrinks_with}.`;
      if (budget.children.length !== 2 || budget.dataset.rows !== rows.map(name).join()) {
        budget.dataset.rows = rows.map(name).join();
        budget.replaceChildren(
          el("div", { class: "bar-of-parts", "aria-hidden": "true" }, ...rows.map(row => el("div", { class: `part ${name(row)}` }))),
          el("div", { class: "parts" }, ...rows.map(row => el("button", { type: "button", class: `part-row ${name(row)}` },
            el("span", { class: "swatch" }), el("span", { class: "part-name" }, row.name), el("span", { class: "part-height" }), el("span", { class: "part-share" })))));
      }
      const [bars, list] = budget.children;
      rows.forEach((row, n) => {
        bars.children[n].style.flexGrow = Math.max(row.height_m / total, 0);
        bars.children[n].onclick = list.children[n].onclick = () => choose(row);
        bars.children[n].classList.toggle("chosen", part === row.name);
        const [, , height, share] = list.children[n].children;
        height.textContent = row.height;
        share.textContent = row.share;
        list.children[n].setAttribute("aria-pressed", part === row.name);
      });
      const told = words(rows.find(row => row.name === part)) || (rows.length ? "Touch a part: it says what would shrink it." : "No water flows, so nothing is spent.");
      if (budgetWords.textContent !== told) budgetWords.textContent = told;
    };

    const facts = rows => blower.replaceChildren(...rows.filter(([, value]) => value).map(([name, value, remark]) =>
      el("div", {}, el("dt", {}, name), el("dd", {}, el("span", { class: "value" }, value), remark ? el("span", { class: "remark" }, ` ${remark}`) : null))));

    const drawn = settled => {
      const outlet = sound("values", { keys: ["riser.outlet"] }).answer?.["riser.outlet"]?.file ?? "plain";
      const own = OF_OUTLET[outlet.replace(" ", "_")];
      if (outletKey.dataset.key !== (own ?? "")) {
        outletKey.dataset.key = own ?? "";
        outletKey.replaceChildren(...(own ? [field(own)] : []));
      }
      const paths = [...DRAWN, ...USUAL, ...MORE, "riser.pipe", "air.flow", ...(own ? [own] : [])];
      const values = sound("values", { keys: settled || !lift ? paths : DRAWN }), reply = ask("flow", { profile: true, fields: WORDS, readings: readings() });
      if (!values.fault) {
        const said = path => Desk.inUnits(values.answer[path]);
        for (const path of Object.keys(values.answer)) fill(path, said(path));
        if ("riser.pipe" in values.answer) fill("riser.bore", state.set["riser.pipe"] ?? (values.answer["riser.bore"] ? said("riser.bore") : values.answer["riser.pipe"]?.file));
      }
      if (reply.fault) {
        // What was typed stays; what is drawn is the last that could be, or, where nothing was yet, what can be of it.
        if (!lift) {
          const good = sound("flow", { profile: true, fields: WORDS });
          if (!good.fault) show(good, values, true);
        }
        for (const key of Object.keys(state.set)) fill(key, state.set[key]);
        element.classList.toggle("undrawn", !lift);
        caption.textContent = lift ? "Grey is the last state that could be." : "Nothing can be drawn yet: the file has no whole lift.";
        return { faults: reply.fault };
      }
      return show(reply, values, settled);
    };
    const show = (reply, values, settled) => {
      const found = { ...reply.answer, words: reply.fields, values: values.answer ?? {} };
      const { words } = found, runs = found.outcome === "pumping";
      fill("air.flow", words[AIR]);
      element.classList.remove("undrawn");
      drawLift(found);
      big.textContent = runs ? words[WATER] : "No water";
      const why = runs ? "" : reply.said.replace(/^No water flows\.\s*/, "");
      sure.textContent = runs ? `${capital(words[SURE] ?? "")}.` : why;
      facts([
        ["Air", words[AIR], `dry, at ${state.units === "us" ? "68 °F and 14.696 psi" : "20 °C and 101.325 kPa"}`],
        ["Pressure running", words[RUNNING], "gauge, at the inlet"],
        ["Pressure to start", words[STARTING], "gauge; its own line comes on top"],
        ["Air power", words[POWER], words[EFFICIENCY] ? `of which ${words[EFFICIENCY]} lift water` : ""],
        ["Gas pressure of the water", words[GAS], words[GAS_LIMIT] ? `at most; limit ${words[GAS_LIMIT]}` : ""],
      ]);
      drawBudget(reply.budget ?? []);
      drawCurve(found, settled);
      slider.value = Math.round(1000 * Math.sqrt(clamp(parseFloat(words[AIR]) / most, 0, 1)));
      slider.setAttribute("aria-valuetext", words[AIR]);
      const sorted = [...reply.cautions].sort((a, b) => b.grave - a.grave);
      cautions.replaceChildren(...sorted.map(one => el("div", { role: "listitem", class: one.grave ? "grave" : null }, sentence(one.text))));
      cautions.parentElement.hidden = sorted.length === 0;
      return { sentence: runs ? `${words[WATER]} of water. ${sure.textContent}` : `No water flows. ${why}` };
    };

    const resized = new ResizeObserver(() => Desk.draw(false));
    resized.observe(stage);
    stir();
    return {
      element, draw: drawn,
      leave: () => {
        resized.disconnect();
        calm.removeEventListener("change", calmed);
      },
    };
  };

  Desk.question("flow", { title: "One lift", view, command: "risewater flow --profile design.toml", reads: text => /^\s*\[riser\]/m.test(text) });
  Desk.liftView = view;
})();
