// Voltages over time, drawn as they come: a band where a net moves faster than the page is drawn.
const canvas = document.querySelector("#traces"), legend = document.querySelector("#legend");
const MOST = 1200, GAP = .3, PROBE = "#b3261e", HEAD = 14;
let say, nets = [], colours = {}, chosen = new Set(), rows = [], speed = 1, wanted = false, holes = [], top = 1;
const dark = matchMedia("(prefers-color-scheme: dark)");

export function start(send) {
  say = send;
  new ResizeObserver(draw).observe(canvas);
  dark.addEventListener("change", () => { box(); draw(); });
}

// A net's colour as it can be seen: a dark wire is light on a dark page.
function ink(colour) { return dark.matches ? `color-mix(in srgb, ${colour} 60%, #fffdf7)` : colour; }

export function pace(now) { speed = now || speed; rows = rows.slice(-MOST); draw(); }
export function probes(list) { holes = list; rows = []; box(); }

export function board(message) {
  const same = nets.join() === message.nets.join();
  nets = message.nets; colours = message.handles.colours; holes = message.probes;
  if (!same) chosen = new Set(nets.slice(2, 6));
  rows = same ? rows : [];
  box();
}

function box() {
  const netted = nets.map(net => ticked(net, ink(colours[net] || "#888"), chosen.has(net), on => { if (on) chosen.add(net); else chosen.delete(net); draw(); }));
  const probed = holes.map(hole => ticked(`hole ${hole}`, ink(PROBE), true, () => say({ do: "probes", holes: holes.filter(one => one !== hole) })));
  legend.replaceChildren(...netted, ...probed);
}

function ticked(words, colour, on, changed) {
  const label = document.createElement("label"), tick = document.createElement("input"), ink = document.createElement("span");
  tick.type = "checkbox"; tick.checked = on;
  tick.addEventListener("change", () => changed(tick.checked));
  ink.className = "ink"; ink.style.background = colour;
  label.append(tick, ink, words);
  return label;
}

export function look(message) {
  if (rows.length && message.t < rows[rows.length - 1].t) rows = [];
  rows.push({ t: message.t, v: message.v, p: message.p });
  if (rows.length > MOST) rows.splice(0, rows.length - MOST);
  if (!wanted) { wanted = true; requestAnimationFrame(() => { wanted = false; draw(); }); }
}

function draw() {
  const ratio = devicePixelRatio || 1, wide = canvas.clientWidth, high = canvas.clientHeight;
  if (!wide) return;
  if (canvas.width !== Math.round(wide * ratio)) { canvas.width = Math.round(wide * ratio); canvas.height = Math.round(high * ratio); }
  const pen = canvas.getContext("2d");
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, wide, high);
  const span = 8 * speed, end = rows.length ? rows[rows.length - 1].t : 0, start = end - span;
  const picked = nets.map((net, n) => [net, n]).filter(([net]) => chosen.has(net));
  const lanes = picked.length + holes.length;
  if (!lanes) return;
  const lane = (high - HEAD) / lanes, left = 70, look = getComputedStyle(canvas), plain = look.color;
  const rule = look.getPropertyValue("--rule"), soft = look.getPropertyValue("--soft");
  top = Math.max(1, ...rows.map(r => r.v[0] ? r.v[0][2] : 0), top * .999);
  pen.font = "13px 'Atkinson Hyperlegible', sans-serif"; pen.textBaseline = "middle";
  const x = t => left + (t - start) / span * (wide - left - 8);
  const line = (row, from, colour, name) => {
    const base = HEAD + (row + 1) * lane - 8, tall = lane - 16, y = v => base - v / top * tall;
    pen.fillStyle = plain; pen.fillText(name, 2, base - tall / 2, left - 8);
    pen.strokeStyle = rule; pen.lineWidth = 1;
    pen.beginPath(); pen.moveTo(left, y(0)); pen.lineTo(wide - 8, y(0)); pen.stroke();
    pen.strokeStyle = ink(colour); pen.lineWidth = 2; pen.beginPath();
    let first = true, before = 0;
    for (const each of rows) {
      if (each.t < start) continue;
      if (each.t - before > GAP * speed) first = true;  // nothing was seen meanwhile, so nothing is drawn
      before = each.t;
      const value = from(each);
      if (value === null || value === undefined) { first = true; continue; }
      const [last, low, most] = value;
      if (!first && most - low > .02 * top) { pen.lineTo(x(each.t), y(low)); pen.lineTo(x(each.t), y(most)); }
      pen[first ? "moveTo" : "lineTo"](x(each.t), y(last));
      first = false;
    }
    pen.stroke();
  };
  picked.forEach(([net, n], row) => line(row, r => r.v[n], colours[net] || "#555", net));
  holes.forEach((hole, n) => line(picked.length + n, r => r.p[n] === null || r.p[n] === undefined ? null : [r.p[n], r.p[n], r.p[n]], PROBE, `hole ${hole}`));
  pen.fillStyle = soft; pen.textAlign = "right";
  pen.fillText(`${span < 1 ? (span * 1000).toPrecision(3) + " ms" : span.toPrecision(2) + " s"} across, 0 to ${top.toPrecision(2)} V`, wide - 8, 8);
  pen.textAlign = "left";
}
