// A tap on a symbol puts its value into the formula, another takes it out; with all of them in, the working is shown.
for (const panel of document.querySelectorAll(".put-in")) {
  const formula = panel.closest(".formula");
  const buttons = [...panel.querySelectorAll("[data-put]")];
  const all = panel.querySelector("[data-all]");
  const status = panel.querySelector("[role=status]");
  const words = all && { all: all.textContent, none: all.dataset.other };
  const places = [...formula.querySelectorAll("mrow[data-symbol]")];
  const values = new Map(buttons.map((button) => [button.dataset.put, button.dataset.value]));
  const put = new Set();
  const whole = () => put.size === buttons.length;

  const show = (tell) => {
    for (const button of buttons) button.setAttribute("aria-pressed", String(put.has(button.dataset.put)));
    for (const place of places) place.classList.toggle("put", put.has(place.dataset.symbol));
    formula.classList.toggle("worked", whole());
    if (all) all.textContent = whole() ? words.none : words.all;
    if (tell) status.textContent = panel.dataset.line.replace(/\{([^}]+)\}/g, (_, name) => (put.has(name) ? values.get(name) : name));
  };
  const turn = (name) => {
    if (!put.delete(name)) put.add(name);
    show(true);
  };
  for (const button of buttons) button.addEventListener("click", () => turn(button.dataset.put));
  for (const place of places) place.addEventListener("click", () => turn(place.dataset.symbol));
  all?.addEventListener("click", () => {
    const names = whole() ? [] : values.keys();
    put.clear();
    for (const name of names) put.add(name);
    show(true);
  });
  formula.classList.add("live");
  panel.hidden = false;
  show(false);
}
