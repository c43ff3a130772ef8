// Keys for the slides.  Without this script they are scrolled, and each opens its own notes.
"use strict";
document.documentElement.classList.add("js");
const slides = [...document.querySelectorAll(".slide")];
const notes = [...document.querySelectorAll(".notes")];
const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
let now = Math.max(slides.findIndex((slide) => `#${slide.id}` === location.hash), 0);

const show = (index) => {
  now = Math.min(Math.max(index, 0), slides.length - 1);
  history.replaceState(null, "", `#${slides[now].id}`);
  slides[now].focus({ preventScroll: true });
  slides[now].scrollIntoView({ block: "start", behavior: calm ? "auto" : "instant" });
};
const turn = { ArrowRight: 1, ArrowDown: 1, PageDown: 1, " ": 1, ArrowLeft: -1, ArrowUp: -1, PageUp: -1 };
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.target.closest("summary") && (event.key === " " || event.key === "Enter")) return;
  if (event.key in turn) show(now + (event.key === " " && event.shiftKey ? -1 : turn[event.key]));
  else if (event.key === "Home") show(0);
  else if (event.key === "End") show(slides.length - 1);
  else if (event.key === "n" || event.key === "N") {
    const open = notes.some((each) => !each.open);
    for (const each of notes) each.open = open;
    show(now);
  } else return;
  event.preventDefault();
});
// Scrolling by hand moves the place from which the keys go on.
const watch = new IntersectionObserver((seen) => {
  for (const each of seen) if (each.isIntersecting) now = slides.indexOf(each.target);
}, { rootMargin: "-45% 0px -45% 0px" });
for (const slide of slides) watch.observe(slide);
addEventListener("beforeprint", () => { for (const each of notes) each.open = true; });
