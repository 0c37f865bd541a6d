// Live figures: sliders and fields over the library, in the places where the book tool has put pictures and data.
"use strict";

(() => {
  // Questions that take longer than a frame are asked beside the page.
  const QUICK = ["flow", "curve", "lift", "need"];

  const element = (kind, more = {}, ...children) => {
    const made = Object.assign(document.createElement(kind), more);
    made.append(...children);
    return made;
  };
  let number = 0;

  // The words between braces are values of the answer; a sentence that lacks one is left out.
  const say = (sentences, reply) => {
    const fill = sentence => {
      let whole = true;
      const text = sentence.replace(/\{([^}]*)\}/g, (_, path) => reply.fields[path] ?? (whole = false));
      return whole ? text : null;
    };
    return sentences.map(fill).filter(Boolean).join(" ") || reply.said;
  };

  // One handle: a slider where the figure gives ends and a step, and a field beside it; names to choose from otherwise.
  const handle = (data, changed) => {
    const id = `live-${++number}`;
    const name = element("label", { htmlFor: id }, element("strong", { textContent: data.name }), ` ${data.words}`);
    const why = element("div", { id: `${id}-why`, className: "live-why" });
    why.setAttribute("role", "alert");
    const choices = data.names.length > 0 ? data.names : data.holds === "true or false" ? ["true", "false"] : [];
    const field = choices.length > 0
      ? element("select", { id }, ...choices.map(choice => element("option", { value: choice, textContent: choice })))
      : element("input", { id, type: "text", spellcheck: false, autocomplete: "off" });
    field.setAttribute("aria-describedby", why.id);
    const parts = [field];
    let slider = null;
    if (data.slide) {
      const [from, to] = data.slide;
      slider = element("input", { type: "range", min: 0, max: data.steps, step: 1 });
      slider.setAttribute("aria-label", data.name);
      parts.unshift(slider);
      slider.oninput = () => {
        const si = from + (to - from) * (slider.value / data.steps);
        const { text } = Risewater.ask({ ask: "format", options: { key: data.key, si } }).answer;
        field.value = text;
        slider.setAttribute("aria-valuetext", text);
        mark(null);
        changed(data.key, text);
      };
    }
    const move = si => {
      if (!slider || si === null) return;
      const [from, to] = data.slide;
      slider.value = Math.round((si - from) / (to - from) * data.steps);
      slider.setAttribute("aria-valuetext", field.value);
    };
    const mark = text => {
      why.textContent = text ?? "";
      field.setAttribute("aria-invalid", text !== null);
    };
    const put = (text, si) => {
      field.value = text ?? "";
      move(si);
      mark(null);
    };
    field.oninput = () => {
      mark(null);
      if (slider) {
        const { answer, fault } = Risewater.ask({ ask: "value", options: { key: data.key, value: field.value } });
        if (fault) return changed(data.key, field.value, fault[0].text);
        move(answer.si);
      }
      changed(data.key, field.value);
    };
    const row = element("div", { className: "live-handle" }, name, element("div", { className: "live-inputs" }, ...parts), why);
    return { key: data.key, row, mark, reset: () => put(data.text, data.si) };
  };

  const start = figure => {
    const { base, set: first, asks, say: sentences, handles: rows } = JSON.parse(figure.dataset.live);
    const picture = figure.querySelector(".live-picture"), said = figure.querySelector(".live-said");
    const fault = element("div", { className: "live-fault" });
    const slow = asks.some(one => !QUICK.includes(one.ask));
    const worker = slow ? Risewater.worker() : null;
    let set = { ...first }, frame = 0, turn = 0;

    const narrow = matchMedia("(max-width: 600px)").matches;
    const requests = () => asks.map(({ ask, options }) => ({ ...base, ask, set, options: options.picture ? { ...options, narrow } : options }));
    const refuse = faults => {
      figure.classList.add("live-stale");
      const others = faults.filter(({ key, text }) => {
        const own = handles.find(one => one.key === key);
        own?.mark(text);
        return !own;
      });
      fault.textContent = others.map(({ key, text }) => (key ? `${key}: ${text}` : text)).join("\n");
    };
    const show = replies => {
      const faults = replies.flatMap(reply => reply.fault ?? []);
      if (faults.length > 0) return refuse(replies.find(reply => reply.fault).fault);
      figure.classList.remove("live-stale");
      fault.textContent = "";
      for (const one of handles) one.mark(null);
      picture.innerHTML = replies.at(-1).picture;
      said.textContent = say(sentences, replies[0]);
    };
    const redraw = async () => {
      frame = 0;
      const own = ++turn;
      if (!worker) {
        performance.mark("live");
        show(requests().map(Risewater.ask));
        performance.measure("live redraw", "live");
        return;
      }
      // A newer question makes the one before it needless.
      if (worker.busy) worker.stop();
      figure.setAttribute("aria-busy", true);
      try {
        const replies = await Promise.all(requests().map(request => worker.ask(request)));
        if (own === turn) show(replies);
      } catch {
        // Stopped by a newer one, which will be shown.
      }
      if (own === turn) figure.removeAttribute("aria-busy");
    };
    const changed = (key, text, refused = null) => {
      set = { ...set, [key]: text };
      if (refused) {
        // What is still being computed is of another value.
        turn++;
        return refuse([{ key, text: refused }]);
      }
      frame ||= worker ? setTimeout(redraw, 150) : requestAnimationFrame(redraw);
    };

    const handles = rows.map(data => handle(data, changed));
    const reset = element("button", { type: "button", textContent: "As in the text" });
    reset.onclick = () => {
      set = { ...first };
      for (const one of handles) one.reset();
      redraw();
    };
    for (const one of handles) one.reset();
    said.setAttribute("aria-live", "polite");
    said.after(fault, element("div", { className: "live-handles" }, ...handles.map(one => one.row), reset));
    figure.classList.add("live-ready");
    if (narrow) redraw();
  };

  // The page of the whole book is for paper.
  if (location.pathname.endsWith("/print.html")) return;
  const near = new IntersectionObserver(entries => {
    for (const { target, isIntersecting } of entries) {
      if (!isIntersecting) continue;
      near.unobserve(target);
      // A book without the library keeps its pictures.
      Risewater.ready.then(() => start(target), error => console.warn(error.message));
    }
  }, { rootMargin: "600px" });
  for (const figure of document.querySelectorAll("figure.live[data-live]")) near.observe(figure);
})();
