// What the hand does with the board: by mouse and finger, by arrow keys, and in words by the forms above it.
import { mark, nearest, place, shape } from "/pictures.js";
import * as lens from "/lens.js";
import * as ring from "/ring.js";

const figure = document.querySelector("figure[data-picture=board]"), about = document.querySelector("#about");
const forms = { lead: document.querySelector("#lead-form"), meter: document.querySelector("#meter-form"), lesson: document.querySelector("#lesson-form") };
const { lead: leadForm, meter: meterForm, lesson: lessonForm } = forms;
const NEAR = 12;  // of the picture's units: so near to a lead, the lead is meant and not the body over it
let say, now = null, hand = "press", held = null, dragged = null, finger = false, next = "red", kept = new Set();
let tips = { red: "", black: "" };

export function start(send) {
  say = send;
  for (const radio of document.querySelectorAll("[name=hand]")) radio.addEventListener("change", () => { hand = radio.value; let_go(); tell(""); grip(); });
  leadForm.addEventListener("submit", event => { event.preventDefault(); const [owner, leg] = leadForm.lead.value.split("|"); put({ owner, leg: Number(leg) }, leadForm.hole.value.trim()); });
  leadForm.lead.addEventListener("change", () => mark(leadForm.lead.value.split("|")[0]));
  document.querySelector("#pull").addEventListener("click", () => { const [owner, leg] = leadForm.lead.value.split("|"); put({ owner, leg: Number(leg) }, ""); });
  meterForm.addEventListener("submit", event => { event.preventDefault(); hold(meterForm.red.value.trim(), meterForm.black.value.trim()); });
  document.querySelector("#meter-off").addEventListener("click", () => hold("", ""));
  document.querySelector("#trace-hole").addEventListener("click", () => { if (meterForm.red.value) say({ do: "probes", holes: [meterForm.red.value.trim()] }); });
  lessonForm.addEventListener("submit", event => { event.preventDefault(); change({ owner: lessonForm.thing.value, leg: Number(lessonForm.leg.value) }, lessonForm.hole.value.trim()); });
  lessonForm.thing.addEventListener("change", () => { legs(); mark(lessonForm.thing.value); });
  lessonForm.turn.addEventListener("click", () => edit({ do: "turn-part", part: lessonForm.thing.value }));
  lessonForm.keep.addEventListener("click", () => { const one = lessonForm.thing.value; if (!kept.delete(one)) kept.add(one); grip(); });
  lessonForm.tidy.addEventListener("click", () => edit({ do: "tidy" }));
  lessonForm.fewest.addEventListener("click", () => edit({ do: "fewest-wires" }));
  lessonForm.rest.addEventListener("click", () => edit({ do: "keep-these", names: [...kept] }));
  figure.addEventListener("pointerdown", grab);
  figure.addEventListener("pointermove", move);
  figure.addEventListener("pointerup", drop);
  figure.addEventListener("pointercancel", let_go);
  // A finger that takes something must not push the page away under it; two fingers still do.
  figure.addEventListener("touchstart", event => { if (finger && event.touches.length === 1 && event.cancelable) event.preventDefault(); }, { passive: false });
  figure.addEventListener("focus", () => { if (hand !== "press" && now) ring.draw(over(), now.handles, held); });
  figure.addEventListener("keydown", key);
}

export function board(message) {
  now = message;
  const chosen = leadForm.lead.value, thing = lessonForm.thing.value;
  leadForm.lead.replaceChildren(...now.handles.leads.map(lead => new Option(`${lead.words} (${lead.hole})`, `${lead.owner}|${lead.leg}`)));
  if (chosen) leadForm.lead.value = chosen;
  const owners = new Set(Object.values(now.handles.taken).map(([owner]) => owner)), spots = now.handles.spots.map(spot => spot.part);
  const things = [...spots.filter(one => owners.has(one)), ...[...owners].filter(one => !spots.includes(one))];
  lessonForm.thing.replaceChildren(...things.map(owner => new Option(owner)));
  if (things.includes(thing)) lessonForm.thing.value = thing;
  kept = new Set([...kept].filter(one => things.includes(one)));
  legs();
  tips = { red: now.meter[0], black: now.meter[1] };
  for (const [owner, leg] of now.out) {
    const lead = now.handles.leads.find(l => l.owner === owner && l.leg === leg), at = lead && now.handles.holes[lead.hole];
    if (at) shape("path", { class: "off", d: `M${at[0] - 11} ${at[1] - 11} l22 22 m0 -22 l-22 22` }, over());
  }
  drawTips();
  grip();
}

export function meter(message) {
  tips = { red: message.red, black: message.black };
  meterForm.red.value = tips.red; meterForm.black.value = tips.black;
  drawTips();
}

export function measures() { return { any: tips.red || tips.black, both: tips.red && tips.black }; }

export function refused(finding) { tell(`That cannot be done: ${finding.message} ${finding.hint}`, true); }

export function tell(text, no = false) { about.textContent = text; about.classList.toggle("no", no); }

function over() { return figure.querySelector(".over"); }
function stiff(owner) { return !now.handles.leads.some(lead => lead.owner === owner); }
function alone() { return document.querySelector("[name=how]:checked").value === "one"; }
function words({ owner }) { return owner; }

// What is in a hole for this hand to take, and what becomes of it in another.
const HANDS = {
  press: { take: () => null, put: () => {} },
  lead: { take: hole => now.handles.leads.find(lead => lead.hole === hole), put },
  lesson: { take: hole => now.handles.taken[hole] && { owner: now.handles.taken[hole][0], leg: now.handles.taken[hole][1] }, put: change },
  meter: {
    take: hole => { const colour = Object.keys(tips).find(one => tips[one] === hole); return colour && { owner: `the ${colour} lead`, colour }; },
    put: ({ colour }, hole) => hold(...(colour === "red" ? [hole, tips.black] : [tips.red, hole])),
  },
};

function put({ owner, leg }, hole) { say({ do: "lead", owner, leg, hole }); }

function hold(red, black) {
  const lost = [red, black].find(hole => hole && !now.handles.holes[hole]);
  if (lost) tell(`There is no such hole: ${lost}. A hole is named by its column and row, as a7; a rail's as R+7.`, true);
  else {
    tips = { red, black };  // at once: the next touch may come before the bench has answered
    drawTips();
    say({ do: "meter", red, black });
  }
}

// The red lead and the black one in turn.
function touch(hole) { HANDS.meter.put({ colour: next }, hole); next = next === "red" ? "black" : "red"; }

function edit(wanted) { say({ do: "edit", edit: wanted }); }

function change({ owner, leg, whole }, hole) {
  const wire = /^wire (\d+)$/.exec(owner);
  if (!hole) tell(`There is no hole: ${owner} stays where it is.`, true);
  else if (wire) edit({ do: "move-wire", wire: Number(wire[1]), end: leg, hole });
  else if (alone() && !whole && !stiff(owner)) edit({ do: "move-lead", part: owner, lead: String(leg + 1), hole });
  else edit({ do: "move-part", part: owner, leg, hole });
}

function grab(event) {
  finger = false;
  if (!now || hand === "press" || event.button) return;
  const at = place(over(), event), hole = nearest(now.handles.holes, ...at), close = nearest(now.handles.holes, ...at, NEAR);
  const body = hand === "lesson" && !(close && now.handles.taken[close]) && event.target.closest("[data-part]");
  let thing = hole && HANDS[hand].take(hole);
  if (body && Object.values(now.handles.taken).some(([owner]) => owner === body.dataset.part)) thing = { owner: body.dataset.part, leg: 0, whole: true };
  if (!thing && !held && !(hand === "meter" && hole)) return;
  dragged = { thing, from: at, hole, body: Boolean(thing && thing.whole) };
  finger = event.pointerType !== "mouse";
  figure.setPointerCapture(event.pointerId);
  if (finger) lens.show(figure, event, at, hole && now.handles.holes[hole]);
  else event.preventDefault();
  ring.at(over(), now.handles, hole, true);
  figure.focus({ preventScroll: true });
}

function goal(event) {
  // The hole that is meant: under the pointer, or under the first leg of a part that was taken by its body.
  const [x, y] = place(over(), event), { holes } = now.handles;
  if (!dragged || !dragged.body) return nearest(holes, x, y);
  const first = home(dragged.thing), [hx, hy] = holes[first] || dragged.from;
  return nearest(holes, hx + x - dragged.from[0], hy + y - dragged.from[1]);
}

function home({ owner, leg }) { return (Object.entries(now.handles.taken).find(([, [who, which]]) => who === owner && which === leg) || [""])[0]; }

function move(event) {
  if (!now || hand === "press") return;
  const at = place(over(), event), hole = goal(event), spot = now.handles.holes[hole];
  if (dragged && finger) lens.show(figure, event, at, spot);
  ring.at(over(), now.handles, hole, Boolean(dragged || held));
  if (dragged && dragged.thing) ghost(dragged.thing, at);
  if (!hole) return;
  const there = now.handles.taken[hole], what = dragged && dragged.thing || held;
  tell(`${what ? `${words(what)} to ` : ""}hole ${hole}${there ? `, where ${there[0]} is` : ""}`);
}

function ghost(thing, [x, y]) {
  const layer = over(), { holes, taken, spots } = now.handles;
  for (const old of layer.querySelectorAll(".ghost")) old.remove();
  if (thing.colour) return;
  const mine = Object.entries(taken).filter(([, [owner]]) => owner === thing.owner);
  const whole = hand === "lesson" && !/^wire /.test(thing.owner) && (thing.whole || !alone() || stiff(thing.owner));
  const own = holes[home(thing)] || dragged.from, from = dragged.body ? dragged.from : own, dx = x - from[0], dy = y - from[1];
  if (whole) {
    const spot = spots.find(one => one.part === thing.owner);
    if (spot) shape("polygon", { class: "ghost", points: spot.shape.map(([px, py]) => `${px + dx},${py + dy}`).join(" ") }, layer);
    for (const [hole] of mine) if (holes[hole]) shape("circle", { class: "ghost", r: 8, cx: holes[hole][0] + dx, cy: holes[hole][1] + dy }, layer);
    return;
  }
  const other = mine.find(([, [, leg]]) => leg !== thing.leg), end = other && holes[other[0]];
  if (end) shape("line", { class: "ghost", x1: end[0], y1: end[1], x2: x, y2: y }, layer);
}

function drop(event) {
  if (!dragged) return;
  const hole = goal(event), { thing, hole: from, body, from: [x0, y0] } = dragged, [x, y] = place(over(), event);
  const stayed = body ? hole === home(thing) : hole === from;
  const far = Math.hypot(x - x0, y - y0) > NEAR;
  let wanted = null;
  if (held) wanted = held;
  else if (thing && far && !stayed) wanted = thing;
  let_go();
  if (wanted) { if (hole || hand !== "meter") HANDS[hand].put(wanted, hole); }
  else if (hand === "meter" && hole) touch(hole);
  else if (thing && !far) take(thing, from);
  grip();
}

function take(thing, hole) {
  held = thing;
  choose(thing);
  mark(thing.owner);
  if (hand !== "meter") tell(`${words(thing)}, taken${hole ? ` at ${hole}` : ""}: now point at its new hole, or press Escape`);
}

function let_go() {
  held = dragged = null;
  finger = false;
  lens.hide();
  const layer = over();
  if (layer) for (const old of layer.querySelectorAll(".ghost, .cursor")) old.remove();
}

function key(event) {
  if (hand === "press" || !now || event.target !== figure) return;
  const { holes, taken } = now.handles, hole = ring.key(event, over(), now.handles, held);
  if (hole === null) return;
  event.preventDefault();
  if (event.key === "Escape") let_go();
  else if ((event.key === "Delete" || event.key === "Backspace") && hand === "lead") { const lead = held || HANDS.lead.take(hole); let_go(); if (lead) put(lead, ""); }
  else if (event.key === "Enter" || event.key === " ") {
    const thing = HANDS[hand].take(hole);
    if (held) { const wanted = held; let_go(); if (home(wanted) !== hole) HANDS[hand].put(wanted, hole); }
    else if (hand === "meter") touch(hole);
    else if (thing) { held = thing; choose(thing); }
  }
  ring.draw(over(), now.handles, held);
  const here = taken[hole] ? `, where ${taken[hole][0]} is` : "";
  tell(held ? `${words(held)} in the hand; hole ${hole}${here}: Enter lets go, Escape puts back` : `hole ${hole}${here}`);
  if (!holes[hole]) tell("");
}

function choose({ owner, leg }) {
  if (hand === "lead") leadForm.lead.value = `${owner}|${leg}`;
  if (hand === "lesson") { lessonForm.thing.value = owner; legs(); lessonForm.leg.value = leg; }
  grip();
}

function legs() {
  const mine = Object.entries(now.handles.taken).filter(([, [thing]]) => thing === lessonForm.thing.value);
  lessonForm.leg.replaceChildren(...mine.sort((a, b) => a[1][1] - b[1][1]).map(([hole, [, leg]]) => new Option(`the lead in ${hole}`, leg)));
  named();
}

function named() {
  const one = lessonForm.thing.value, wire = /^wire /.test(one);
  lessonForm.turn.textContent = `Turn ${one}`; lessonForm.turn.disabled = wire;
  lessonForm.keep.textContent = `Hold ${one} fast`;
  lessonForm.keep.setAttribute("aria-pressed", kept.has(one));
  lessonForm.rest.disabled = !kept.size;
  lessonForm.rest.textContent = kept.size ? `Place all but ${[...kept].join(", ")} anew` : "Place the others anew";
}

function drawTips() {
  const layer = over();
  if (!layer || !now) return;
  for (const old of layer.querySelectorAll(".tip")) old.remove();
  for (const [colour, hole] of Object.entries(tips)) {
    const at = now.handles.holes[hole];
    if (at) shape("path", { class: `tip ${colour}`, d: `M${at[0]} ${at[1]} l-9 -34 a9 9 0 0 1 18 0 z` }, layer);
  }
}

function grip() {
  for (const [name, form] of Object.entries(forms)) form.hidden = hand !== name;
  for (const how of document.querySelectorAll(".how")) how.hidden = how.id !== `how-${hand}`;
  document.querySelector("#dragged").hidden = hand !== "lesson";
  figure.toggleAttribute("data-held", hand !== "press");
  if (hand === "press") { figure.removeAttribute("tabindex"); figure.removeAttribute("aria-label"); }
  else { figure.tabIndex = 0; figure.setAttribute("aria-label", "The board: arrows go from hole to hole, Enter takes and lets go, Escape puts back"); }
  const layer = over();
  if (!layer || !now) return;
  for (const old of layer.querySelectorAll(".lead, .kept")) old.remove();
  named();
  if (hand === "lesson")
    for (const spot of now.handles.spots) if (kept.has(spot.part)) shape("polygon", { class: "kept", points: spot.shape.map(p => p.join()).join(" ") }, layer);
  if (hand !== "lead") return;
  for (const lead of now.handles.leads) {
    const at = now.handles.holes[lead.hole];
    if (!at) continue;
    const out = now.out.some(([owner, leg]) => owner === lead.owner && leg === lead.leg), mine = held && held.owner === lead.owner && held.leg === lead.leg;
    shape("circle", { class: `lead${mine ? " held" : ""}${out ? " out" : ""}`, cx: at[0], cy: at[1], r: 11 }, layer);
  }
}
