// Shows the building steps one at a time.  Without this script all steps stand one below the other.
for (const player of document.querySelectorAll(".player")) {
  const steps = [...player.querySelectorAll(".step")];
  const bar = player.querySelector(".player-bar");
  const [back, next, all, before] = ["back", "next", "all", "before"].map((n) => bar.querySelector(`[data-do=${n}]`));
  const marks = [...player.querySelectorAll(".progress a")];
  const where = bar.querySelector(".where");
  const said = { all: all.textContent, one: all.dataset.other };
  let now = 0;

  const show = (index, moved) => {
    now = Math.min(Math.max(index, 0), steps.length - 1);
    steps.forEach((step, i) => step.classList.toggle("now", i === now));
    marks.forEach((mark, i) => {
      mark.tabIndex = i === now ? 0 : -1;
      mark.classList.toggle("done", i < now);
      if (i === now) mark.setAttribute("aria-current", "step");
      else mark.removeAttribute("aria-current");
    });
    const held = document.activeElement;
    back.disabled = now === 0;
    next.disabled = now === steps.length - 1;
    where.firstElementChild.textContent = where.dataset.words.replace("{n}", now + 1).replace("{all}", steps.length);
    where.lastElementChild.textContent = `: ${steps[now].querySelector("h3").lastChild.textContent}`;
    if (!moved) return;
    history.replaceState({ step: now }, "", `#${steps[now].id}`);
    if (marks.includes(held) || (held !== document.body && held.disabled)) marks[now].focus({ preventScroll: true });
    player.scrollIntoView({ block: "start" });
  };
  const one = (on) => {
    player.classList.toggle("one", on);
    all.textContent = on ? said.all : said.one;
    back.hidden = next.hidden = where.hidden = !on;
  };
  const fromAddress = () => steps.findIndex((step) => `#${step.id}` === location.hash);
  const kept = () => (Number.isInteger(history.state?.step) ? history.state.step : 0);

  back.addEventListener("click", () => show(now - 1, true));
  next.addEventListener("click", () => show(now + 1, true));
  all.addEventListener("click", () => {
    const on = !player.classList.contains("one");
    one(on);
    (on ? player : steps[now]).scrollIntoView({ block: "start" });
  });
  before.addEventListener("click", () => {
    const on = player.classList.toggle("before");
    before.setAttribute("aria-pressed", String(on));
  });
  marks.forEach((mark, i) => mark.addEventListener("click", (event) => {
    event.preventDefault();
    show(i, true);
    if (!player.classList.contains("one")) steps[i].scrollIntoView({ block: "start" });
  }));
  player.addEventListener("keydown", (event) => {
    if (!player.classList.contains("one") || event.altKey || event.ctrlKey || event.metaKey) return;
    const to = { ArrowRight: now + 1, ArrowLeft: now - 1, Home: 0, End: steps.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    show(to, true);
  });

  // A swipe to the side turns the page; the browser keeps what goes up or down (touch-action: pan-y).
  const leaf = player.querySelector(".steps");
  let from = null;
  leaf.addEventListener("pointerdown", (event) => {
    from = event.isPrimary && event.pointerType !== "mouse" ? event : null;
  });
  leaf.addEventListener("pointercancel", () => { from = null; });
  leaf.addEventListener("pointerup", (event) => {
    if (!from || !player.classList.contains("one")) return;
    const [across, along] = [event.clientX - from.clientX, event.clientY - from.clientY];
    from = null;
    if (Math.abs(across) > 48 && Math.abs(across) > 1.5 * Math.abs(along)) show(now + (across < 0 ? 1 : -1), true);
  });

  addEventListener("hashchange", () => { if (fromAddress() >= 0) show(fromAddress(), false); });
  one(true);
  show(fromAddress() >= 0 ? fromAddress() : kept(), false);
}
