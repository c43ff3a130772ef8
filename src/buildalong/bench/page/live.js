// The running circuit: lights, buttons, knobs, the meter, leads in the hand.
import { nearest, place, shape } from "/pictures.js";
import * as byKeys from "/move.js";
import * as traces from "/traces.js";

const figure = document.querySelector("figure[data-picture=board]"), about = document.querySelector("#about");
const clock = document.querySelector("#clock"), knobs = document.querySelector("#knobs"), meterOut = document.querySelector("#meter");
const wrong = document.querySelector("#wrong"), leadForm = document.querySelector("#lead-form"), meterForm = document.querySelector("#meter-form"), lessonForm = document.querySelector("#lesson-form");
const log = document.querySelector("#log ol");
let say, now = null, hand = "press", held = null, tips = { red: "", black: "" }, next = "red", lamps = [], down = new Set();

export function start(send) {
  say = send;
  traces.start();
  for (const radio of document.querySelectorAll("[name=hand]")) radio.addEventListener("change", () => { hand = radio.value; grip(); });
  for (const button of document.querySelectorAll("#pace [data-speed]")) button.addEventListener("click", () => say({ do: "pace", speed: Number(button.dataset.speed) }));
  document.querySelector("#pace [data-step]").addEventListener("click", event => say({ do: "step", seconds: Number(event.target.dataset.step) }));
  document.querySelector("#again").addEventListener("click", () => say({ do: "again" }));
  leadForm.addEventListener("submit", event => { event.preventDefault(); put(leadForm.lead.value, leadForm.hole.value.trim()); });
  document.querySelector("#pull").addEventListener("click", () => put(leadForm.lead.value, ""));
  meterForm.addEventListener("submit", event => { event.preventDefault(); holdMeter(meterForm.red.value.trim(), meterForm.black.value.trim()); });
  document.querySelector("#meter-off").addEventListener("click", () => holdMeter("", ""));
  document.querySelector("#trace-hole").addEventListener("click", () => { if (meterForm.red.value) say({ do: "probes", holes: [meterForm.red.value.trim()] }); });
  lessonForm.addEventListener("submit", event => { event.preventDefault(); change(lessonForm.thing.value, Number(lessonForm.leg.value), lessonForm.hole.value.trim()); });
  lessonForm.thing.addEventListener("change", legs);
  for (const button of lessonForm.querySelectorAll("[data-edit]")) button.addEventListener("click", () => {
    const thing = lessonForm.thing.value, edits = { turn: { do: "turn-part", part: thing }, tidy: { do: "tidy" }, fewest: { do: "fewest-wires" }, keep: { do: "keep-these", names: [thing] } };
    say({ do: "edit", edit: edits[button.dataset.edit] });
  });
  figure.addEventListener("pointerup", drop);
  for (const kind of ["pointerup", "pointercancel", "blur"]) addEventListener(kind, letGo);
  figure.addEventListener("pointerdown", grab);
  figure.addEventListener("pointermove", move);
  figure.addEventListener("keydown", event => {
    if (hand !== "lesson" || !now) key(event, 1);
    else byKeys.key(event, over(), now.handles, { tell: text => { about.textContent = text; }, choose, change });
  });
  figure.addEventListener("focus", () => { if (hand === "lesson" && now) byKeys.draw(over(), now.handles); });
  figure.addEventListener("keyup", event => key(event, 0));
}

function over() { return figure.querySelector(".over"); }
function button(part) { return now && now.controls.find(c => c.part === part && c.kind === "press"); }

function press(part, value) {
  if (value) down.add(part); else down.delete(part);
  document.body.dataset.pressed = performance.now().toFixed(2);
  say({ do: "set", part, setting: "pressed", value });
}

function letGo() { for (const part of [...down]) press(part, 0); }

function key(event, value) {
  const part = event.target.dataset && event.target.dataset.part;
  if ((event.key !== " " && event.key !== "Enter") || event.repeat || !part || !button(part)) return;
  event.preventDefault();
  press(part, value);
}

function grab(event) {
  if (!now) return;
  const layer = over(), [x, y] = place(layer, event);
  const target = event.target.closest(".press");
  if (hand === "press" && target) { event.preventDefault(); target.focus(); press(target.dataset.part, 1); return; }
  const hole = nearest(now.handles.holes, x, y);
  if (!hole) return;
  if (hand === "meter") {
    event.preventDefault();
    holdMeter(...(next === "red" ? [hole, tips.black] : [tips.red, hole]));
    next = next === "red" ? "black" : "red";
  } else if (hand === "lesson") {
    event.preventDefault();
    const taken = now.handles.taken[hole];
    if (held) { change(...held, hole); held = null; }
    else if (taken) { held = taken; choose(taken); about.textContent = `${taken[0]}, taken at ${hole}: let go at its new hole`; }
  } else if (hand === "lead") {
    event.preventDefault();
    const lead = now.handles.leads.find(l => l.hole === hole);
    if (held) { put(held, hole); held = null; grip(); }
    else if (lead) { held = name(lead); leadForm.lead.value = held; about.textContent = `${lead.words}, taken out of ${hole}: now point at its new hole`; grip(); }
  }
}

function move(event) {
  if (!now || hand === "press") return;
  const layer = over(), [x, y] = place(layer, event), hole = nearest(now.handles.holes, x, y);
  let ring = layer.querySelector(".cursor");
  if (!hole) { if (ring) ring.remove(); return; }
  ring = ring || shape("circle", { class: "cursor", r: 13 }, layer);
  const [hx, hy] = now.handles.holes[hole];
  ring.setAttribute("cx", hx); ring.setAttribute("cy", hy);
  if (hand !== "press") about.textContent = `hole ${hole}`;
}

function drop(event) {
  if (hand !== "lesson" || !held || !now) return;
  const hole = nearest(now.handles.holes, ...place(over(), event)), from = held;
  if (!hole || (now.handles.taken[hole] && now.handles.taken[hole].join() === from.join())) return;  // a click: the next one tells where
  held = null;
  change(...from, hole);
}

function change(thing, leg, hole) {
  const wire = /^wire (\d+)$/.exec(thing);
  say({ do: "edit", edit: wire ? { do: "move-wire", wire: Number(wire[1]), end: leg, hole } : { do: "move-part", part: thing, leg, hole } });
}

function choose([thing, leg]) { lessonForm.thing.value = thing; legs(); lessonForm.leg.value = leg; }

function legs() {
  const mine = Object.entries(now.handles.taken).filter(([, [thing]]) => thing === lessonForm.thing.value);
  lessonForm.leg.replaceChildren(...mine.sort((a, b) => a[1][1] - b[1][1]).map(([hole, [, leg]]) => new Option(`the lead in ${hole}`, leg)));
}

function name(lead) { return `${lead.owner}|${lead.leg}`; }

function put(lead, hole) {
  const [owner, leg] = lead.split("|");
  say({ do: "lead", owner, leg: Number(leg), hole });
}

function holdMeter(red, black) { say({ do: "meter", red, black }); }

export function meter(message) {
  tips = { red: message.red, black: message.black };
  meterForm.red.value = tips.red; meterForm.black.value = tips.black;
  drawTips();
}

export function probes(message) { traces.probes(message.holes); }

function drawTips() {
  const layer = over();
  if (!layer || !now) return;
  for (const old of layer.querySelectorAll(".tip")) old.remove();
  for (const [colour, hole] of Object.entries(tips)) {
    const at = now.handles.holes[hole];
    if (at) shape("path", { class: `tip ${colour}`, d: `M${at[0]} ${at[1]} l-9 -34 a9 9 0 0 1 18 0 z` }, layer);
  }
  meterOut.hidden = !(tips.red || tips.black);
  if (!meterOut.hidden && !(tips.red && tips.black)) meterOut.textContent = "The meter needs both leads on holes.";
}

function grip() {
  if (hand === "lesson") figure.tabIndex = 0; else figure.removeAttribute("tabindex");
  lessonForm.hidden = hand !== "lesson"; leadForm.hidden = hand !== "lead"; meterForm.hidden = hand !== "meter";
  const layer = over();
  if (!layer || !now) return;
  for (const old of layer.querySelectorAll(".lead, .cursor")) old.remove();
  if (hand !== "lead") { held = null; return; }
  for (const lead of now.handles.leads) {
    const at = now.handles.holes[lead.hole];
    if (!at) continue;
    const out = now.out.some(([owner, leg]) => owner === lead.owner && leg === lead.leg);
    shape("circle", { class: `lead${held === name(lead) ? " held" : ""}${out ? " out" : ""}`, cx: at[0], cy: at[1], r: 11 }, layer);
  }
}

export function board(message) {
  now = message;
  const layer = over();
  lamps = message.lights.map(part => lamp(layer, message.handles.spots.find(s => s.part === part)));
  for (const part of layer.querySelectorAll(".part")) {
    const control = button(part.dataset.part);
    if (!control) continue;
    part.classList.add("press"); part.setAttribute("role", "button");
    part.setAttribute("aria-pressed", control.value > .5); part.setAttribute("tabindex", 0);
    part.classList.toggle("down", control.value > .5);
  }
  const chosen = leadForm.lead.value;
  leadForm.lead.replaceChildren(...message.handles.leads.map(lead => new Option(`${lead.words} (${lead.hole})`, name(lead))));
  if (chosen) leadForm.lead.value = chosen;
  const thing = lessonForm.thing.value, things = [...new Set(Object.values(message.handles.taken).map(([owner]) => owner))];
  lessonForm.thing.replaceChildren(...things.map(owner => new Option(owner)));
  if (things.includes(thing)) lessonForm.thing.value = thing;
  legs();
  tips = { red: message.meter[0], black: message.meter[1] };
  for (const [owner, leg] of message.out) {
    const lead = message.handles.leads.find(l => l.owner === owner && l.leg === leg), at = lead && message.handles.holes[lead.hole];
    if (at) shape("path", { class: "cursor", d: `M${at[0] - 11} ${at[1] - 11} l22 22 m0 -22 l-22 22` }, layer);
  }
  if (!about.textContent) about.textContent = `Point at a part or a wire: it lights up in both pictures.${message.controls.some(c => c.kind === "press") ? " Hold a button down to press it." : " Nothing here can be pressed: the supply is already on."}`;
  drawTips(); grip(); drawKnobs(); tellWrong();
  traces.board(message);
}

function lamp(layer, spot) {
  if (!spot) return null;
  const [x, y] = spot.at, r = spot.reach;
  const group = shape("g", { class: "lamp", opacity: 0, "data-lamp": spot.part }, layer);
  shape("circle", { cx: x, cy: y, r: r * 1.85, fill: spot.colour, "fill-opacity": .4 }, group);
  shape("circle", { cx: x, cy: y, r: r * .9, fill: spot.colour }, group);
  shape("circle", { cx: x, cy: y, r: r * .5, fill: "#fffdf7" }, group);
  for (let turn = 0; turn < 12; turn++) {
    const a = Math.PI * turn / 6;
    shape("line", { x1: x + 1.3 * r * Math.cos(a), y1: y + 1.3 * r * Math.sin(a), x2: x + 1.85 * r * Math.cos(a), y2: y + 1.85 * r * Math.sin(a), stroke: "#7a4a10", "stroke-width": 3.4, "stroke-linecap": "round" }, group);
  }
  return group;
}

const KINDS = { turn: ["turned to", 100, "%"], light: ["light", 1, "lx"], volts: ["supply", 1, "V"], throw: ["thrown", 1, ""] };

function drawKnobs() {
  const had = document.activeElement && document.activeElement.dataset && document.activeElement.dataset.knob;
  knobs.replaceChildren(...now.controls.filter(c => c.kind !== "press").map(control => {
    const label = document.createElement("label"), range = document.createElement("input"), out = document.createElement("output");
    const [word, times, unit] = KINDS[control.kind], curve = control.kind === "light";
    range.dataset.knob = `${control.part}|${control.setting}`;
    if (control.kind === "throw") { range.type = "checkbox"; range.checked = control.value > .5; }
    else { range.type = "range"; range.min = 0; range.max = 1000; range.value = 1000 * share(control, control.value); }
    const tell = value => { out.textContent = control.kind === "throw" ? "" : `${(value * times).toPrecision(3)} ${unit}`; };
    range.addEventListener("input", () => {
      const value = control.kind === "throw" ? Number(range.checked) : value_(control, range.value / 1000);
      tell(value);
      say({ do: "set", part: control.part, setting: control.setting, value });
    });
    tell(control.value);
    label.append(`${control.part} ${word}`, range, out);
    return label;
  }));
  if (had) { const again = knobs.querySelector(`[data-knob="${CSS.escape(had)}"]`); if (again) again.focus(); }
}

function share(c, value) { return c.kind === "light" ? Math.log(value / c.low) / Math.log(c.high / c.low) : (value - c.low) / (c.high - c.low); }
function value_(c, x) { return c.kind === "light" ? c.low * (c.high / c.low) ** x : c.low + x * (c.high - c.low); }

export function set(message) {
  const control = now && now.controls.find(c => c.part === message.part && c.setting === message.setting);
  if (!control) return;
  control.value = message.value;
  if (control.kind === "press") {
    const part = over().querySelector(`.part[data-part="${CSS.escape(message.part)}"]`);
    part.classList.toggle("down", message.value > .5);
    part.setAttribute("aria-pressed", message.value > .5);
  } else {
    const knob = knobs.querySelector(`[data-knob="${CSS.escape(`${message.part}|${message.setting}`)}"]`);
    if (knob && knob !== document.activeElement) drawKnobs();
  }
}

function tellWrong() {
  wrong.hidden = !now.moved.length;
  if (wrong.hidden) return;
  const bits = [];
  const line = (text, kind = "") => { const p = document.createElement("p"); p.textContent = text; p.className = kind; bits.push(p); };
  for (const danger of now.dangers) line(`⚠ ${danger}`, "danger");
  line(`Moved by hand, here only: ${now.moved.join("; ")}. The supply was off while the lead moved.`);
  if (now.symptom) line(`What is seen: ${now.symptom}`, "symptom");
  for (const harm of now.harms) line(`What suffers: ${harm}`);
  for (const f of now.differences) line(`How the board differs: ${f.message} ${f.hint}`, "difference");
  const back = document.createElement("button");
  back.type = "button"; back.textContent = "Put it back";
  back.addEventListener("click", () => say({ do: "back" }));
  wrong.replaceChildren(...bits, back);
}

export function cannot(message) {
  about.textContent = `That cannot be done: ${message.finding.message} ${message.finding.hint}`;
}

export function pace(message) {
  for (const one of document.querySelectorAll("#pace [data-speed]")) one.setAttribute("aria-pressed", Number(one.dataset.speed) === message.speed);
  traces.pace(message.speed);
}

const SEEN = { lit: "comes on", dark: "goes out" };

export function look(message) {
  clock.textContent = `${message.t.toFixed(2)} s`;
  message.l.forEach((light, number) => { if (lamps[number]) lamps[number].setAttribute("opacity", light); });
  if (!meterOut.hidden && tips.red && tips.black) {
    meterOut.textContent = message.m === null ? "0.00 V (one lead hangs in the air)" : `${message.m.toFixed(2)} V`;
  }
  if (message.d && message.d.includes("supply-shorted")) about.textContent = "The supply is shorted: pull one of its leads at once.";
  for (const [time, part, kind, after] of message.e || []) {
    const item = document.createElement("li");
    item.textContent = `${time.toFixed(3)} s: ${part} ${kind === "light" ? SEEN[after] || after : `goes to ${after}`}`;
    log.prepend(item);
    while (log.children.length > 40) log.lastChild.remove();
  }
  traces.look(message);
}
