// The ring that shows which hole is meant; by keyboard, arrows go from hole to hole.
import { shape } from "/pictures.js";

const WAYS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
const DEEDS = ["Enter", " ", "Escape", "Delete", "Backspace"];
let here = "";

function onward(holes, [dx, dy]) {
  const [x0, y0] = holes[here];
  let best = here, least = Infinity;
  for (const [hole, [x, y]] of Object.entries(holes)) {
    const along = (x - x0) * dx + (y - y0) * dy, aside = Math.abs((x - x0) * dy - (y - y0) * dx);
    if (along > 1 && aside <= along && along + 2 * aside < least) { best = hole; least = along + 2 * aside; }
  }
  return best;
}

export function at(layer, { holes }, hole, full) {
  for (const old of layer.querySelectorAll(".cursor")) old.remove();
  if (!hole) return;
  here = hole;
  const [cx, cy] = holes[hole];
  return shape("circle", { class: "cursor", r: full ? 17 : 13, cx, cy }, layer);
}

export function draw(layer, handles, held) {
  const { holes, taken } = handles;
  if (!holes[here]) here = Object.keys(taken).find(hole => holes[hole]) || Object.keys(holes)[0];
  at(layer, handles, here, Boolean(held)).scrollIntoView({ block: "nearest", inline: "nearest" });
}

// The hole where a key leaves the ring, or null where the key means nothing here.
export function key(event, layer, handles, held) {
  const way = WAYS[event.key];
  if (!way && !DEEDS.includes(event.key)) return null;
  if (!handles.holes[here]) draw(layer, handles, held);
  if (way) here = onward(handles.holes, way);
  return here;
}
