// The lift, drawn to scale from an answer of `flow`: heights by its numbers, the air in the pipe by its profile.
"use strict";

window.DeskPicture = (() => {
  // Room in pixels: above for the air, below for the floor, at the left for the fields, at the right for what leaves.
  const ABOVE = 50, BELOW = 20, LEFT = 116, RIGHT = 78;
  // The pipe is as wide as this at least and at most, or it could not be seen into.
  const PIPE = [30, 62];
  // The picture shows the air at this share of its speed: at full speed the eye cannot follow it.
  const PACE = 0.25;

  const round = value => Math.round(value * 10) / 10;
  const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
  // A number from 0 to 1, spread evenly over the seeds: the same bubble looks the same in every frame.
  const scatter = (seed, step) => (((0.5 + seed * step) % 1) + 1) % 1;

  // What is drawn of an answer, in metres over the running level.
  const outline = answer => {
    const { riser } = answer;
    const foot = -riser.submergence_m;
    return {
      bore: riser.bore_m,
      foot,
      end: foot - riser.suction_length_m,
      rim: riser.lift_m,
      outlet: riser.outlet_bore_m != null ? "elbow" : riser.outlet_depth_m != null ? "submerged" : riser.outlet_head_m != null ? "open top" : "plain",
      over: riser.outlet_bore_m ?? riser.outlet_depth_m ?? riser.outlet_head_m ?? 0,
      low: -(answer.level_fall_m ?? 0),
      high: answer.level_rise_m ?? 0,
      inside: riser.air_line_m != null,
      flows: answer.outcome === "pumping",
      stands: answer.lift_at_zero_flow_m,
      profile: answer.profile ?? [],
    };
  };

  // The heights that the picture has room for; it stays while something is dragged, so that the pointer keeps its place.
  const range = lift => {
    const top = Math.max(lift.rim + lift.over, lift.high, 0), bottom = Math.min(lift.end, lift.low, lift.rim);
    const spare = 0.1 * (top - bottom);
    return [bottom - 0.4 * spare, top + spare];
  };

  const place = (lift, [bottom, top], width, height) => {
    const scale = (height - ABOVE - BELOW) / (top - bottom);
    const tank = [LEFT + 26, width - RIGHT];
    const wide = clamp(scale * lift.bore, ...PIPE);
    const middle = tank[0] + Math.max(0.42 * (tank[1] - tank[0]), 0.5 * wide + 30);
    return {
      width, height, scale, tank, wide, middle,
      left: middle - 0.5 * wide,
      right: middle + 0.5 * wide,
      measure: LEFT + 10,
      y: metres => ABOVE + scale * (top - metres),
      metres: y => top - (y - ABOVE) / scale,
      floor: height - BELOW + 8,
      times: wide / (scale * lift.bore),
    };
  };

  // A tag with what it has; numbers are rounded to a tenth of a pixel.
  const tag = (name, having, inner = "") => {
    const all = Object.entries(having).map(([key, value]) => `${key}="${typeof value === "number" ? round(value) : value}"`);
    return `<${name} ${all.join(" ")}>${inner}</${name}>`;
  };
  const line = (kind, ...points) => tag("polyline", { class: kind, points: points.map(p => p.map(round).join(",")).join(" ") });
  const area = (kind, ...points) => tag("polygon", { class: kind, points: points.map(p => p.map(round).join(",")).join(" ") });
  const words = (x, y, text, kind = "", anchor = "start") => tag("text", { x, y, class: kind, "text-anchor": anchor }, text);
  const tip = (kind, x, y, dx, dy) => area(kind, [x, y], [x - 9 * dx - 4 * dy, y - 9 * dy + 4 * dx], [x - 9 * dx + 4 * dy, y - 9 * dy - 4 * dx]);

  const tank = (lift, at) => {
    const [left, right] = at.tank, level = at.y(0), top = Math.min(level, at.y(lift.high)) - 7;
    let drawn = area("water", [left, level], [right, level], [right, at.floor], [left, at.floor]);
    for (const [height, name] of [[lift.high, "high water"], [lift.low, "low water"]]) {
      if (height === 0) continue;
      drawn += line("tide", [left, at.y(height)], [right, at.y(height)]);
    }
    drawn += line("surface", [left, level], [right, level]);
    return drawn + line("wall", [left, top], [left, at.floor], [right, at.floor], [right, top]);
  };

  // What takes the water from the mouth, and the arrow of what leaves.
  const outlet = (lift, at) => {
    const mouth = at.y(lift.rim), out = at.tank[1] + 14;
    if (lift.outlet === "elbow") {
      const tall = clamp(at.scale * lift.over, 12, 54), roof = mouth - tall;
      const inside = [[at.left, mouth], [at.left, roof], [out, roof], [out, mouth]];
      const flow = [[at.left, mouth], [at.left, roof + 0.2 * tall], [at.right, roof + 0.4 * tall], [out, roof + 0.55 * tall], [out, mouth]];
      return {
        under: area("inside", ...inside) + (lift.flows ? area("lifted", ...flow) : ""),
        over: line("pipe", [at.left, at.y(lift.end)], [at.left, roof], [out, roof]) + line("pipe", [at.right, at.y(lift.end)], [at.right, mouth], [out, mouth]),
        leaves: [out, mouth - 0.22 * tall],
        named: roof - 9,
      };
    }
    const deep = lift.outlet === "submerged" ? at.scale * lift.over : 0;
    // The trough stays over the tank's water where there is room for it.
    const left = at.left - 16, right = at.right + 26, base = mouth + clamp(at.y(Math.max(lift.high, 0)) - mouth - 8, 17, 34);
    const level = lift.outlet === "submerged" ? mouth - deep : Math.min(mouth + 8, base - 8), rim = Math.min(level, mouth) - 9;
    const spout = base - 11;
    const inside = from => [[left, from], [right, from], [right, Math.max(spout, from)], [out, Math.max(spout, from)], [out, base], [left, base]];
    const wet = lift.flows || lift.outlet === "submerged";
    const upright = line("pipe", [at.left, at.y(lift.end)], [at.left, mouth]) + line("pipe", [at.right, at.y(lift.end)], [at.right, mouth]);
    const spill = (x, step) => `<path class="spill" d="M${round(x)},${round(mouth)} q${step},-1 ${step},10"/>`;
    return {
      under: area("trough", ...inside(rim)) + (wet ? area("water received", ...inside(level)) : "")
        + line("wall thin", [left, rim], [left, base], [out, base]) + line("wall thin", [right, rim], [right, spout], [out, spout]),
      over: upright + (lift.flows && lift.outlet !== "submerged" ? spill(at.left, -9) + spill(at.right, 12) : ""),
      leaves: [out, 0.5 * (spout + base)],
      named: spout - 7,
      // Beyond this edge of the trough it has room there, else above.
      edge: right,
      above: rim - 6,
    };
  };

  const airLine = (lift, at, air) => {
    const x = lift.inside ? at.middle : at.left - 15, foot = at.y(lift.foot);
    const way = lift.inside ? [[x, 24], [x, foot]] : [[x, 24], [x, foot], [at.left - 2, foot]];
    return line("air", ...way)
      + (lift.inside ? tip("air-tip", x, foot + 6, 0, 1) : tip("air-tip", at.left + 6, foot, 1, 0))
      + words(x + 8, 22, "air", "name") + words(x + 8, 37, air, "number");
  };

  const measures = (lift, at) => {
    const x = at.measure, ends = [lift.rim, 0, lift.foot];
    if (lift.end < lift.foot) ends.push(lift.end);
    let drawn = ends.map(height => line("thread", [x - 5, at.y(height)], [height === 0 ? at.tank[0] : at.left, at.y(height)])).join("");
    ends.sort((a, b) => b - a);
    for (let n = 1; n < ends.length; n += 1) drawn += line("measure", [x, at.y(ends[n - 1])], [x, at.y(ends[n])]);
    return drawn;
  };

  // Travel of the air: time since the inlet at each height of the profile.
  const travel = profile => {
    let time = 0;
    return profile.map((here, n) => {
      const before = profile[Math.max(n - 1, 0)];
      const speed = 0.5 * (here.gas_velocity_m_per_s + before.gas_velocity_m_per_s);
      time += (here.height_m - before.height_m) / Math.max(speed, 1e-3);
      return { ...here, time };
    });
  };

  const between = (way, time) => {
    let n = 1;
    while (n < way.length - 1 && way[n].time < time) n += 1;
    const [below, above] = [way[n - 1], way[n]];
    const share = clamp((time - below.time) / Math.max(above.time - below.time, 1e-9), 0, 1);
    const mix = key => below[key] + share * (above[key] - below[key]);
    return {
      height: mix("height_m"), void: mix("void_fraction"), speed: mix("gas_velocity_m_per_s"), pressure: mix("pressure_pa"),
      pattern: (share < 0.5 ? below : above).pattern,
    };
  };

  // One parcel of air: it takes as much of the picture, over the length of pipe that it stands for, as the void there.
  const shapes = {
    bubbly(at, y, pitch, share, seed, growth) {
      const size = clamp(0.07 * at.wide * growth, 1.7, 4.6), whole = share * at.wide * pitch;
      const count = clamp(Math.round(whole / (Math.PI * size * size)), 1, 60);
      const radius = Math.min(Math.sqrt(whole / (Math.PI * count)), 0.3 * at.wide);
      let d = "";
      for (let n = 0; n < count; n += 1) {
        // Neighbours lie in rows, each a little off its place.
        const own = radius * Math.sqrt(0.75 + 0.5 * scatter(seed + n, 0.5698403));
        const x = at.left + own + (at.wide - 2 * own) * scatter(31 * seed + n, 0.618034);
        const up = y + pitch * ((n + scatter(17 * seed + n, 0.7548777)) / count - 0.5);
        d += `M${round(x - own)},${round(up)}a${round(own)},${round(own)} 0 1 0 ${round(2 * own)},0a${round(own)},${round(own)} 0 1 0 ${round(-2 * own)},0Z`;
      }
      return d;
    },
    slug(at, y, pitch, share) {
      const whole = share * at.wide * pitch, body = clamp(whole / (0.92 * pitch), 0.78 * at.wide, 0.94 * at.wide);
      const cap = Math.min(0.5 * body, whole / body);
      const long = Math.min(whole / body + cap * (1 - Math.PI / 4), 0.97 * pitch);
      const low = y + 0.5 * long, shoulder = low - long + cap;
      const [left, right] = [at.middle - 0.5 * body, at.middle + 0.5 * body];
      return `M${round(left)},${round(low)}V${round(shoulder)}A${round(0.5 * body)},${round(cap)} 0 0 1 ${round(right)},${round(shoulder)}V${round(low)}Q${round(at.middle)},${round(low - 3)} ${round(left)},${round(low)}Z`;
    },
    churn(at, y, pitch, share, seed) {
      const whole = share * at.wide * pitch, breadth = clamp(whole / (0.94 * pitch), 0.72 * at.wide, 0.92 * at.wide);
      const long = Math.min(whole / breadth, 0.96 * pitch), low = y + 0.5 * long;
      const edge = (n, side) => 0.5 * breadth * (n === 0 || n === 7 ? 0.45 : 0.9 + 0.28 * scatter(31 * seed + n + side, 0.618034));
      const points = [];
      for (let n = 0; n < 8; n += 1) points.push([Math.max(at.middle - edge(n, 0), at.left + 1), low - long * n / 7]);
      for (let n = 7; n >= 0; n -= 1) points.push([Math.min(at.middle + edge(n, 0.4), at.right - 1), low - long * n / 7]);
      return "M" + points.map(p => p.map(round).join(",")).join("L") + "Z";
    },
    annular(at, y, pitch, share, seed) {
      const half = 0.5 * at.wide * share, points = [];
      for (let n = 0; n <= 6; n += 1) points.push([at.middle - half - 1.5 * Math.sin(2 * n + seed), y + pitch * (0.5 - n / 6)]);
      for (let n = 6; n >= 0; n -= 1) points.push([at.middle + half + 1.5 * Math.sin(2 * n + 1 + seed), y + pitch * (0.5 - n / 6)]);
      return "M" + points.map(p => p.map(round).join(",")).join("L") + "Z";
    },
  };

  // All air in the pipe at a moment, as one path.
  const air = (lift, at, seconds) => {
    const inlet = at.y(lift.foot);
    if (!lift.flows) {
      // At rest the mixture stands as high as water that is so much heavier; its air is not followed.
      const tall = lift.stands == null ? 0 : lift.stands - lift.foot, share = tall > 0 ? 1 + lift.foot / tall : 0;
      let d = "";
      for (let up = 0.5, seed = 0; share > 0.002 && up * at.wide < at.scale * Math.min(tall, lift.rim - lift.foot); up += 1, seed += 1)
        d += shapes[share < 0.25 ? "bubbly" : "slug"](at, inlet - up * at.wide, at.wide, share, seed, 1);
      return d;
    }
    const way = travel(lift.profile);
    if (way.length < 2) return "";
    const middle = between(way, 0.5 * way.at(-1).time);
    const step = (middle.pattern === "bubbly" ? 1 : 1.7) * at.wide / (at.scale * Math.max(middle.speed, 1e-3));
    const now = PACE * seconds, first = Math.floor(now / step);
    let d = "";
    for (let age = now - first * step, seed = first; age < way.at(-1).time; age += step, seed -= 1) {
      const here = between(way, age), pitch = here.speed * step * at.scale;
      const shape = shapes[here.pattern] ?? shapes.bubbly;
      if (here.void > 0.002) d += shape(at, inlet - at.scale * here.height, pitch, here.void, seed, Math.cbrt(way[0].pressure_pa / here.pressure));
    }
    return d;
  };

  const picture = (lift, at, said) => {
    const [mouth, inlet, end] = [lift.rim, lift.foot, lift.end].map(at.y), leaving = outlet(lift, at);
    // Where nothing flows the mixture stands below the mouth.
    const surface = lift.flows ? mouth : lift.stands == null ? inlet : clamp(at.y(lift.stands), mouth, inlet);
    const dome = lift.flows && lift.outlet === "open top" ? Math.max(at.scale * lift.over, 5) : 0;
    const [x, y] = leaving.leaves;
    const arrow = lift.flows ? line("flow", [x + 3, y], [x + 14, y]) + tip("flow-tip", x + 22, y, 1, 0) : "";
    return tank(lift, at) + leaving.under
      + area("inside", [at.left, end], [at.left, mouth], [at.right, mouth], [at.right, end])
      + `<path class="lifted" d="M${round(at.left)},${round(end)}V${round(surface)}C${round(at.left)},${round(surface - 1.33 * dome)} ${round(at.right)},${round(surface - 1.33 * dome)} ${round(at.right)},${round(surface)}V${round(end)}Z"/>`
      + `<clipPath id="desk-pipe"><rect x="${round(at.left)}" y="${round(surface)}" width="${round(at.wide)}" height="${round(Math.max(inlet - surface, 0))}"/></clipPath>`
      + `<path class="bubbles" clip-path="url(#desk-pipe)" d=""/>`
      + leaving.over + airLine(lift, at, said.air) + measures(lift, at)
      + (lift.flows ? tip("flow-tip", at.middle, end + 3, 0, -1) + line("flow", [at.middle, end + 8], [at.middle, Math.min(end + 18, at.floor - 1)]) : "")
      + (lift.flows ? words(at.width - 8, at.width - 8 - 8 * said.water.length < (leaving.edge ?? 0) ? leaving.above : leaving.named, said.water, "number", "end") : words(at.width - 8, leaving.named, "no water", "name", "end"));
  };

  return { outline, range, place, picture, air, pace: PACE };
})();
