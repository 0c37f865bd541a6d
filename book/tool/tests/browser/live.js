// Moves the live figures of the page that it runs in, and tells what was wrong, for `live.rs`.
async () => {
  const faults = [];
  const wait = async condition => {
    for (let n = 0; n < 1500; n++) {
      if (condition()) return true;
      await new Promise(done => setTimeout(done, 20));
    }
    return false;
  };
  const input = (field, value) => {
    field.value = value;
    field.dispatchEvent(new Event("input"));
  };
  const figures = [...document.querySelectorAll("figure.live")];
  for (const [n, figure] of figures.entries()) {
    const fault = text => faults.push(`figure ${n + 1}: ${text}`);
    const picture = figure.querySelector(".live-picture"), said = figure.querySelector(".live-said");
    if (!picture.querySelector("svg") || !said.textContent.trim()) fault("nothing is there before the library is");
    const before = said.textContent;
    figure.scrollIntoView();
    if (!(await wait(() => figure.matches(".live-ready")))) {
      fault("it does not come alive");
      continue;
    }
    const state = () => picture.innerHTML + said.textContent + figure.querySelector(".live-fault").textContent;
    const settled = () => wait(() => !figure.ariaBusy);
    const [first, reset] = [state(), figure.querySelector("button")];
    for (const handle of figure.querySelectorAll(".live-handle")) {
      const name = handle.querySelector("label").textContent;
      if (!handle.querySelector("label").htmlFor || handle.querySelector("label").control === null) fault(`no field goes by ${name}`);
      const slider = handle.querySelector("input[type=range]"), field = handle.querySelector("input[type=text], select");
      const start = state();
      if (slider) {
        const [at, text] = [slider.value, field.value];
        // Far enough to be seen in any figure.
        const step = Math.max(1, Math.round(slider.max / 4));
        input(slider, Number(at) + step > slider.max ? at - step : Number(at) + step);
        if (field.value === text) fault(`${name}: the field does not follow the slider`);
        if (slider.getAttribute("aria-valuetext") !== field.value) fault(`${name}: the slider does not say its value`);
      } else if (field.matches("select")) {
        input(field, [...field.options].find(option => !option.selected).value);
      }
      if (!(await wait(() => state() !== start))) fault(`${name}: nothing follows its move`);
      await settled();
      if (!field.matches("select")) {
        input(field, "much");
        const told = () => handle.querySelector(".live-why").textContent.trim();
        if (!(await wait(told))) fault(`${name}: a bad value is not told beside it`);
        if (field.value !== "much" || field.getAttribute("aria-invalid") !== "true") fault(`${name}: a bad value is not kept and marked`);
        if (!figure.matches(".live-stale")) fault(`${name}: the picture looks as if it were of a bad value`);
      }
      await settled();
      reset.click();
      if (!(await wait(() => state() === first || said.textContent === before))) fault(`${name}: it does not come back`);
      await settled();
      if (figure.matches(".live-stale")) fault(`${name}: it stays grey`);
    }
  }
  return { faults, figures: figures.length };
}
