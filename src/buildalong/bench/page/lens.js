// A lens above the finger, which hides what it points at; and the board larger, moved about in its frame.
import { shape } from "/pictures.js";

const ACROSS = 150, TIMES = 2.6, STEPS = [1, 1.5, 2.2, 3.2];
let glass = null, size = 0;

export function show(figure, event, [x, y], hole) {
  const picture = figure.querySelector(".stage > svg:not(.over)"), scale = picture.getScreenCTM().a;
  if (!glass) {
    glass = document.createElement("div");
    glass.className = "lens"; glass.setAttribute("aria-hidden", "true");
    glass.append(picture.cloneNode(true));
    figure.append(glass);
  }
  const seen = ACROSS / (scale * TIMES), inside = glass.firstChild;
  inside.setAttribute("viewBox", `${x - seen / 2} ${y - seen / 2} ${seen} ${seen}`);
  for (const old of inside.querySelectorAll(".aim")) old.remove();
  if (hole) shape("circle", { class: "aim", cx: hole[0], cy: hole[1], r: 12, fill: "none", stroke: "#b3261e", "stroke-width": 4 }, inside);
  const above = event.clientY - ACROSS - 48, left = Math.min(Math.max(event.clientX - ACROSS / 2, 4), innerWidth - ACROSS - 4);
  glass.style.left = `${above < 4 ? (event.clientX > innerWidth / 2 ? event.clientX - ACROSS - 48 : event.clientX + 48) : left}px`;
  glass.style.top = `${Math.max(above, 4)}px`;
}

export function hide() { if (glass) glass.remove(); glass = null; }

export function start(figure, larger, smaller) {
  const pane = figure.querySelector(".pane"), stage = figure.querySelector(".stage");
  const set = step => {
    const before = STEPS[size], middle = [(pane.scrollLeft + pane.clientWidth / 2) / before, (pane.scrollTop + pane.clientHeight / 2) / before];
    size = Math.min(Math.max(size + step, 0), STEPS.length - 1);
    stage.style.width = `${100 * STEPS[size]}%`;
    figure.classList.toggle("larger", size > 0);
    pane.scrollLeft = middle[0] * STEPS[size] - pane.clientWidth / 2; pane.scrollTop = middle[1] * STEPS[size] - pane.clientHeight / 2;
    larger.disabled = size === STEPS.length - 1; smaller.disabled = size === 0;
  };
  larger.addEventListener("click", () => set(1));
  smaller.addEventListener("click", () => set(-1));
  set(0);
}
