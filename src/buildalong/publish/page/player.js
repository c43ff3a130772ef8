// Shows the building steps one at a time.  Without this script all steps stand one below the other.
"use strict";
document.documentElement.classList.add("js");
for (const player of document.querySelectorAll(".player")) {
  const steps = [...player.querySelectorAll(".step")];
  const bar = player.querySelector(".player-bar");
  const [back, next, all, before] = ["back", "next", "all", "before"].map((n) => bar.querySelector(`[data-do=${n}]`));
  const where = bar.querySelector(".where");
  const said = { all: all.textContent, one: all.dataset.other };
  let now = 0;

  const show = (index, focus) => {
    now = Math.min(Math.max(index, 0), steps.length - 1);
    steps.forEach((step, i) => step.classList.toggle("now", i === now));
    back.disabled = now === 0;
    next.disabled = now === steps.length - 1;
    where.textContent = where.dataset.words.replace("{n}", now + 1).replace("{all}", steps.length);
    if (focus) {
      history.replaceState(null, "", `#${steps[now].id}`);
      player.scrollIntoView({ block: "start" });
    }
  };
  const one = (on) => {
    player.classList.toggle("one", on);
    all.textContent = on ? said.all : said.one;
    back.hidden = next.hidden = where.hidden = !on;
  };
  const fromAddress = () => steps.findIndex((step) => `#${step.id}` === location.hash);

  back.addEventListener("click", () => show(now - 1, true));
  next.addEventListener("click", () => show(now + 1, true));
  all.addEventListener("click", () => one(!player.classList.contains("one")));
  before.addEventListener("click", () => {
    const on = player.classList.toggle("before");
    before.setAttribute("aria-pressed", String(on));
  });
  player.addEventListener("keydown", (event) => {
    if (!player.classList.contains("one") || event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === "ArrowRight") show(now + 1, true);
    else if (event.key === "ArrowLeft") show(now - 1, true);
    else return;
    event.preventDefault();
  });
  window.addEventListener("hashchange", () => { if (fromAddress() >= 0) show(fromAddress(), false); });
  one(true);
  show(Math.max(fromAddress(), 0), false);
}
