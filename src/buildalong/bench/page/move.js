// Changing the board by keyboard: arrows go from hole to hole, Enter takes and lets go, Escape puts back.
import { shape } from "/pictures.js";

const WAYS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
let at = "", held = null;

function onward(holes, [dx, dy]) {
  const [x0, y0] = holes[at];
  let best = at, least = Infinity;
  for (const [hole, [x, y]] of Object.entries(holes)) {
    const along = (x - x0) * dx + (y - y0) * dy, aside = Math.abs((x - x0) * dy - (y - y0) * dx);
    if (along > 1 && aside <= along && along + 2 * aside < least) { best = hole; least = along + 2 * aside; }
  }
  return best;
}

export function draw(layer, { holes, taken }) {
  for (const old of layer.querySelectorAll(".cursor")) old.remove();
  if (!holes[at]) at = Object.keys(taken)[0] || Object.keys(holes)[0];
  const [cx, cy] = holes[at];
  shape("circle", { class: "cursor", r: held ? 17 : 13, cx, cy }, layer);
}

export function key(event, layer, handles, { tell, choose, change }) {
  const { holes, taken } = handles, way = WAYS[event.key];
  if (!holes[at]) draw(layer, handles);
  if (way) at = onward(holes, way);
  else if (event.key === "Escape" && held) held = null;
  else if (event.key === "Enter" && held) { const from = held; held = null; if (String(taken[at]) !== String(from)) change(...from, at); }
  else if (event.key === "Enter" && taken[at]) { held = taken[at]; choose(held); }
  else return;
  event.preventDefault();
  draw(layer, handles);
  const here = taken[at] ? `, where ${taken[at][0]} is` : "";
  tell(held ? `${held[0]} in the hand; hole ${at}${here}: Enter lets go, Escape puts back` : `hole ${at}${here}`);
}
