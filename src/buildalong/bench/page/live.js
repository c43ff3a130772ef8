// The running circuit: lights, buttons, sliders, the meter's figure, and what comes of leads put elsewhere.
import { shape } from "/pictures.js";
import * as hand from "/hand.js";
import * as knobs from "/knobs.js";
import * as lens from "/lens.js";
import * as traces from "/traces.js";

const figure = document.querySelector("figure[data-picture=board]");
const clock = document.querySelector("#clock"), meterOut = document.querySelector("#meter"), wrong = document.querySelector("#wrong");
const log = document.querySelector("#log ol");
let say, now = null, told = "", lamps = [], down = new Set();

export function start(send) {
  say = send;
  traces.start(send);
  hand.start(send);
  lens.start(figure, document.querySelector("#larger"), document.querySelector("#smaller"));
  for (const button of document.querySelectorAll("#pace [data-speed]")) button.addEventListener("click", () => say({ do: "pace", speed: Number(button.dataset.speed) }));
  document.querySelector("#pace [data-step]").addEventListener("click", event => say({ do: "step", seconds: Number(event.target.dataset.step) }));
  document.querySelector("#again").addEventListener("click", () => say({ do: "again" }));
  for (const kind of ["pointerup", "pointercancel", "blur"]) addEventListener(kind, letGo);
  figure.addEventListener("pointerdown", event => {
    const target = event.target.closest(".press");
    if (!now || !target || document.querySelector("[name=hand]:checked").value !== "press") return;
    event.preventDefault(); target.focus(); press(target.dataset.part, 1);
  });
  figure.addEventListener("keydown", event => key(event, 1));
  figure.addEventListener("keyup", event => key(event, 0));
}

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

export function board(message) {
  now = message;
  const layer = figure.querySelector(".over");
  lamps = message.lights.map(part => lamp(layer, message.handles.spots.find(s => s.part === part)));
  for (const part of layer.querySelectorAll(".part")) {
    const control = button(part.dataset.part);
    if (!control) continue;
    part.classList.add("press"); part.setAttribute("role", "button");
    part.setAttribute("aria-pressed", control.value > .5); part.setAttribute("tabindex", 0);
    part.classList.toggle("down", control.value > .5);
  }
  document.querySelector("#pressed").hidden = !message.controls.some(control => control.kind === "press");
  hand.board(message);
  knobs.draw(now.controls, say);
  measured(null);
  tellWrong();
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

export function set(message) {
  const control = now && now.controls.find(c => c.part === message.part && c.setting === message.setting);
  if (!control) return;
  control.value = message.value;
  if (control.kind === "press") {
    const part = figure.querySelector(`.over .part[data-part="${CSS.escape(message.part)}"]`);
    part.classList.toggle("down", message.value > .5);
    part.setAttribute("aria-pressed", message.value > .5);
  } else if (!knobs.busy(control)) knobs.draw(now.controls, say);
}

function tellWrong() {
  const news = now.moved.join("; ");
  wrong.hidden = !news;
  if (news === told) return;
  told = news;
  if (!news) return;
  const bits = [];
  const line = (text, kind = "") => { const p = document.createElement("p"); p.textContent = text; p.className = kind; bits.push(p); };
  for (const danger of now.dangers) line(`⚠ ${danger}`, "danger");
  line(`Moved by hand, here only: ${news}. The supply was off while the lead moved.`);
  if (now.symptom) line(`What is seen: ${now.symptom}`, "symptom");
  for (const harm of now.harms) line(`What suffers: ${harm}`);
  for (const f of now.differences) line(`How the board differs: ${f.message} ${f.hint}`, "difference");
  const back = document.createElement("button");
  back.type = "button"; back.textContent = "Put it back";
  back.addEventListener("click", () => say({ do: "back" }));
  wrong.replaceChildren(...bits, back);
  wrong.scrollIntoView({ block: "nearest" });
}

export function cannot(message) { hand.refused(message.finding); }

export function meter(message) { hand.meter(message); measured(null); }

export function probes(message) { traces.probes(message.holes); }

function measured(volts) {
  const { any, both } = hand.measures();
  meterOut.hidden = !any;
  if (any) meterOut.textContent = both ? (volts === null ? "0.00 V (one lead hangs in the air)" : `${volts.toFixed(2)} V`) : "The meter needs both leads on holes.";
}

export function pace(message) {
  for (const one of document.querySelectorAll("#pace [data-speed]")) one.setAttribute("aria-pressed", Number(one.dataset.speed) === message.speed);
  traces.pace(message.speed);
}

const SEEN = { lit: "comes on", dark: "goes out" };

export function look(message) {
  clock.textContent = `${message.t.toFixed(2)} s`;
  message.l.forEach((light, number) => { if (lamps[number]) lamps[number].setAttribute("opacity", light); });
  if (hand.measures().both) measured(message.m);
  if (message.d && message.d.includes("supply-shorted")) hand.tell("The supply is shorted: pull one of its leads at once.", true);
  for (const [time, part, kind, after] of message.e || []) {
    const item = document.createElement("li");
    item.textContent = `${time.toFixed(3)} s: ${part} ${kind === "light" ? SEEN[after] || after : `goes to ${after}`}`;
    log.prepend(item);
    while (log.children.length > 40) log.lastChild.remove();
  }
  traces.look(message);
}
