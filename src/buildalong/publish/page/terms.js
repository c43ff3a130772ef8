// A word of the trade is explained beside it; without this script its link leads to the list of words.
if (HTMLElement.prototype.showPopover) {
  const card = document.createElement("div");
  card.className = "explained";
  card.popover = "auto";
  card.setAttribute("role", "status");
  document.querySelector("main").append(card);
  let asked = null;
  let held = null;

  const opened = () => (card.matches(":popover-open") ? asked : null);
  const ask = (link) => {
    const entry = document.querySelector(link.hash);
    const name = document.createElement("b");
    name.textContent = entry.querySelector("dfn").textContent;
    card.showPopover();
    card.replaceChildren(name, `: ${entry.querySelector("dd").textContent}`);
    const [at, page] = [link.getBoundingClientRect(), document.documentElement];
    const left = Math.min(at.left, page.clientWidth - card.offsetWidth - 8);
    card.style.left = `${Math.max(left, 8) + scrollX}px`;
    const below = at.bottom + 6 + card.offsetHeight <= page.clientHeight;
    card.style.top = `${(below ? at.bottom + 6 : at.top - card.offsetHeight - 6) + scrollY}px`;
    link.setAttribute("aria-expanded", "true");
    asked = link;
  };
  card.addEventListener("beforetoggle", (event) => {
    if (event.newState === "closed") asked?.setAttribute("aria-expanded", "false");
  });
  for (const link of document.querySelectorAll("a.term")) {
    link.setAttribute("aria-expanded", "false");
    // A press beside the card closes it before the click comes: so it is known that it was this link's.
    link.addEventListener("pointerdown", () => { held = opened(); });
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      const again = (event.detail ? held : opened()) === link;
      card.hidePopover();
      if (!again) ask(link);
    });
  }
}
