// The two pictures and what can be pointed at in them: the same part and the same net light up in both.
const NS = "http://www.w3.org/2000/svg";
const about = document.querySelector("#about");
export const shown = {};
let marked = null;  // the part or wire whose place is shown until the pointer tells of something else

export function shape(kind, attributes, home) {
  const made = document.createElementNS(NS, kind);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  if (home) home.append(made);
  return made;
}

export function start() {
  for (const figure of document.querySelectorAll("figure[data-picture]")) {
    for (const kind of ["pointerover", "focusin"]) figure.addEventListener(kind, event => point(event.target));
    figure.addEventListener("pointerleave", () => clear());
    figure.addEventListener("focusout", () => clear());
    figure.addEventListener("keydown", event => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!step || !event.target.closest(".part")) return;
      const parts = [...figure.querySelectorAll(".over .part")];
      event.preventDefault();
      parts[(parts.indexOf(event.target) + step + parts.length) % parts.length].focus();
    });
  }
}

export function show(name, message) {
  const figure = document.querySelector(`figure[data-picture=${name}]`);
  const page = new DOMParser().parseFromString(message.svg, "image/svg+xml");
  const picture = document.importNode(page.documentElement, true);
  const over = shape("svg", { class: "over", viewBox: message.handles.box.join(" "), role: "group", "aria-label": name });
  figure.querySelector(".stage").replaceChildren(picture, over);
  const handles = message.handles;
  for (const line of handles.lines)
    shape("polyline", { class: "net", "data-net": line.net, "data-owner": line.owner, points: line.points.map(p => p.join()).join(" ") }, over);
  const strips = new Map();
  for (const [hole, [x, y, strip]] of Object.entries(handles.holes)) {
    if (!strips.has(strip)) strips.set(strip, []);
    strips.get(strip).push([x, y, hole]);
  }
  for (const [strip, holes] of strips) {
    const net = handles.strips[strip];
    if (!net) continue;
    const xs = holes.map(h => h[0]), ys = holes.map(h => h[1]);
    shape("rect", { class: "strip", "data-net": net, rx: 8, x: Math.min(...xs) - 12, y: Math.min(...ys) - 12, width: Math.max(...xs) - Math.min(...xs) + 24, height: Math.max(...ys) - Math.min(...ys) + 24 }, over);
  }
  handles.spots.forEach((spot, number) => {
    shape("polygon", {
      class: "part", "data-part": spot.part, tabindex: number ? -1 : 0, role: "img", "aria-label": spot.words,
      points: spot.shape.map(p => p.join()).join(" "),
    }, over);
  });
  shown[name] = message;
  light(over);
  fit(figure, picture, over);
}

function fit(figure, picture, over) {
  // The layer lies exactly over the picture, however the picture is scaled to the page.
  const place = () => {
    const box = picture.getBoundingClientRect(), home = over.parentNode.getBoundingClientRect();
    over.style.inset = "auto";
    over.style.left = `${box.left - home.left}px`;
    over.style.top = `${box.top - home.top}px`;
    over.style.width = `${box.width}px`;
    over.style.height = `${box.height}px`;
  };
  if (figure.watch) figure.watch.disconnect();
  figure.watch = new ResizeObserver(place);
  figure.watch.observe(picture);
  place();
}

function clear() {
  marked = null;
  for (const old of document.querySelectorAll(".over .hot")) old.classList.remove("hot");
}

function point(target) {
  const part = target.dataset && target.dataset.part, net = target.dataset && target.dataset.net;
  if (!part && !net) return;
  clear();
  for (const layer of document.querySelectorAll(".over"))
    for (const one of layer.children)
      if ((part && one.dataset.part === part) || (net && one.dataset.net === net)) one.classList.add("hot");
  about.textContent = part ? words(part) : `net ${net}`;
}

// Show where a part or a wire is, in both pictures.
export function mark(owner) {
  clear();
  marked = owner;
  document.querySelectorAll(".over").forEach(light);
}

function light(layer) {
  for (const one of layer.children)
    if (marked && (one.dataset.part === marked || one.dataset.owner === marked)) one.classList.add("hot");
}

function words(part) {
  for (const name of ["board", "schematic"])
    for (const spot of (shown[name] && shown[name].handles.spots) || []) if (spot.part === part) return spot.words;
  return part;
}

export function place(over, event) {
  // A point of the page in the picture's own units.
  const box = over.getBoundingClientRect(), view = over.viewBox.baseVal;
  const scale = Math.min(box.width / view.width, box.height / view.height);
  return [
    view.x + (event.clientX - box.left - (box.width - view.width * scale) / 2) / scale,
    view.y + (event.clientY - box.top - (box.height - view.height * scale) / 2) / scale,
  ];
}

export function nearest(holes, x, y, reach = 30) {
  let best = "", far = reach;
  for (const [hole, [hx, hy]] of Object.entries(holes)) {
    const away = Math.hypot(hx - x, hy - y);
    if (away < far) { far = away; best = hole; }
  }
  return best;
}
