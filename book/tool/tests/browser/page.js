// Looks at the page it runs in and tells what is wrong with it, as JSON for `check.rs`.
//
// `width` is that of the window; `ground` the colour behind a picture that is opened by itself, else null.
async (width, ground) => {
  const faults = [];
  const fault = (check, text) => faults.push({ check, text });
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const short = text => text.trim().replace(/\s+/g, " ").slice(0, 60);
  const named = element => {
    const id = element.id ? "#" + element.id : "";
    const kinds = [...element.classList].map(name => "." + name).join("");
    return `<${element.localName}${id}${kinds}> "${short(element.textContent)}"`;
  };

  // Colours as [red, green, blue] in 0..255 and alpha in 0..1, however the style sheet writes them.
  const canvas = document.createElementNS("http://www.w3.org/1999/xhtml", "canvas");
  canvas.width = canvas.height = 1;
  const brush = canvas.getContext("2d", { willReadFrequently: true });
  const known = new Map();
  const colour = css => {
    if (!known.has(css)) {
      brush.clearRect(0, 0, 1, 1);
      brush.fillStyle = css;
      brush.fillRect(0, 0, 1, 1);
      const [r, g, b, a] = brush.getImageData(0, 0, 1, 1).data;
      known.set(css, [r, g, b, a / 255]);
    }
    return known.get(css);
  };
  const over = ([r, g, b, a], below, opacity = 1) =>
    [r, g, b].map((c, i) => c * a * opacity + below[i] * (1 - a * opacity));

  // WCAG 2.2: relative luminance, contrast ratio, and success criterion 1.4.3 (large: 18 pt, or 14 pt in bold).
  const luminance = rgb => {
    const [r, g, b] = rgb.map(c => c / 255).map(c => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (one, other) => {
    const [dark, light] = [luminance(one), luminance(other)].sort((x, y) => x - y);
    return (light + 0.05) / (dark + 0.05);
  };
  const hex = rgb => "#" + rgb.map(c => Math.round(c).toString(16).padStart(2, "0")).join("");
  const judge = (element, text, ink, below, pixels) => {
    const bold = Number(getComputedStyle(element).fontWeight) >= 700;
    const least = pixels >= 24 || (bold && pixels >= 14 * 96 / 72) ? 3 : 4.5;
    const ratio = contrast(ink, below);
    if (ratio < least) {
      const where = element.closest("[class]") ?? element;
      fault("contrast", `${hex(ink)} on ${hex(below)} is ${ratio.toFixed(2)}, wants ${least}: ` +
        `"${short(text)}" in <${element.localName}> of <${where.localName} class="${where.getAttribute("class") ?? ""}">`);
    }
  };

  // Both go from the root down; each element is asked once.
  const memo = from => {
    const kept = new Map();
    const get = element => {
      if (!element) return from(null, null);
      if (!kept.has(element)) kept.set(element, from(element, get(element.parentElement)));
      return kept.get(element);
    };
    return get;
  };
  const opacity = memo((element, above) => (element ? above * getComputedStyle(element).opacity : 1));
  const behind = memo((element, above) =>
    element ? over(colour(getComputedStyle(element).backgroundColor), above) : ground ? colour(ground).slice(0, 3) : [255, 255, 255]);
  // The shapes of a picture that lie under a point, one on the other in the order in which they are drawn.
  const shapes = new Map();
  const painted = (svg, text, x, y) => {
    if (!shapes.has(svg)) shapes.set(svg, all("rect, polygon, path, circle, ellipse, polyline", svg));
    return shapes.get(svg)
      .filter(shape => shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING)
      .filter(shape => !shape.closest("defs, clipPath, marker") && getComputedStyle(shape).fill !== "none")
      .filter(shape => shape.isPointInFill(new DOMPoint(x, y).matrixTransform(shape.getScreenCTM().inverse())))
      .reduce((below, shape) => {
        const style = getComputedStyle(shape);
        return over(colour(style.fill), below, style.fillOpacity * opacity(shape));
      }, behind(svg));
  };

  const visible = element => element.checkVisibility({ opacityProperty: true, visibilityProperty: true });
  const words = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_TEXT);
  while (words.nextNode()) {
    const node = words.currentNode, element = node.parentElement;
    if (!node.data.trim() || !visible(element) || element.closest("title, desc, script, style, noscript")) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (box.width < 2 || box.height < 2 || box.right <= 0) continue;
    const style = getComputedStyle(element), svg = element.closest("svg");
    if (svg) {
      const pixels = parseFloat(style.fontSize) * svg.getScreenCTM().a;
      const at = [0.1, 0.5, 0.9].map(part => painted(svg, element, box.x + part * box.width, box.y + box.height / 2));
      const inked = at.map(below => [over(colour(style.fill), below, style.fillOpacity * opacity(element)), below]);
      const [ink, below] = inked.sort((a, b) => contrast(...a) - contrast(...b))[0];
      judge(element, node.data, ink, below, pixels);
    } else {
      const below = behind(element);
      judge(element, node.data, over(colour(style.color), below, opacity(element)), below, parseFloat(style.fontSize));
      const raw = element.closest("pre, code, kbd, annotation") ? null : /\$\$|\$[^$\s]+\$|\\[a-zA-Z]{2,}|\\[({[]/.exec(node.data);
      if (raw) fault("maths", `an equation was left as text: "${short(node.data.slice(raw.index))}"`);
    }
  }

  // Maths: every equation and every fraction takes room, and the fraction is stacked; our font is there.
  for (const maths of all("math")) {
    if (!visible(maths)) continue;
    const box = maths.getBoundingClientRect();
    const what = maths.querySelector("annotation")?.textContent ?? maths.textContent;
    if (box.width < 1 || box.height < 1) fault("maths", `an equation without size: ${short(what)}`);
    if (maths.querySelector("merror")) fault("maths", `an error in the equation ${short(what)}`);
    for (const fraction of all("mfrac", maths)) {
      const [above, below] = [...fraction.children].map(child => child.getBoundingClientRect());
      if (above.bottom > below.top + 1) fault("maths", `a fraction is not stacked in ${short(what)}`);
    }
  }
  await document.fonts.ready;
  // In a folded answer no font is asked for.
  const equation = all("math").find(maths => maths.checkVisibility());
  if (equation) {
    const family = getComputedStyle(equation).fontFamily.split(",")[0].replaceAll('"', "");
    if (![...document.fonts].some(font => font.family.replaceAll('"', "") === family && font.status === "loaded"))
      fault("maths", `the font of the equations, ${family}, was not loaded`);
  }

  // Width: nothing is wider than the window, whether the page scrolls or cuts it off, but for what scrolls in its own box.
  if (!ground) {
    const scrolls = element => ["auto", "scroll", "hidden"].includes(getComputedStyle(element).overflowX);
    const roomy = memo((element, above) => element !== null && element !== document.body &&
      (above || (scrolls(element) && element.getBoundingClientRect().right <= width + 1)));
    const wide = all("body *").filter(e => e.getBoundingClientRect().right > width + 1 && e.getBoundingClientRect().width > 0)
      .filter(e => visible(e) && !e.closest("svg *") && getComputedStyle(e).position !== "fixed" && !roomy(e.parentElement));
    const inner = wide.filter(e => !wide.some(other => other !== e && e.contains(other)));
    for (const e of inner.slice(0, 3))
      fault("width", `${named(e)} reaches ${Math.round(e.getBoundingClientRect().right)} px`);
    const scroll = document.documentElement.scrollWidth;
    if (scroll > width && inner.length === 0) fault("width", `the page is ${scroll} px wide`);
  }

  for (const image of all("img"))
    if (!image.alt.trim()) fault("alt", `no text in place of the picture ${image.getAttribute("src")}`);
  for (const svg of all("main svg:not([aria-hidden=true] *)"))
    if (!svg.querySelector("title") && !svg.closest("[aria-label], button, a, .fa-svg")) fault("alt", `no title in ${named(svg)}`);

  return {
    faults,
    links: all("a[href]").map(a => [a.href.baseVal ?? a.href, short(a.textContent)]),
    ids: all("[id], a[name]").map(e => e.id || e.name),
    pictures: all("img").filter(i => i.getBoundingClientRect().width > 0).map(i => [i.src, `rgb(${behind(i).map(Math.round).join(" ")})`]),
    text: all("main :is(h1, h2, h3, h4, p, li, th, td, math)").map(e => e.textContent.trim().replace(/\s+/g, " ")),
    title: document.querySelector("main h1")?.textContent ?? "",
  };
}
