// Finds a fault question by question; the list below it says the same without a script.
for (const finder of document.querySelectorAll(".finder")) {
  const flows = JSON.parse(finder.querySelector("script").textContent);
  const question = finder.querySelector(".question");
  const heed = finder.querySelector(".heed");
  const answers = finder.querySelector(".answers");
  const [back, again] = ["back", "again"].map((n) => finder.querySelector(`[data-do=${n}]`));
  // Where the reader has been: {flow}, then {flow, row} for each question, at last {flow, cause}.
  let path = [];

  const element = (tag, text) => Object.assign(document.createElement(tag), { textContent: text });
  const choice = (text, to) => {
    const button = element("button", text);
    button.type = "button";
    button.addEventListener("click", () => { path.push(to); show(true); });
    const item = document.createElement("li");
    item.append(button);
    return item;
  };
  const begin = (flow) => (flow.rows.length ? { flow, row: 1 } : { flow, cause: flow.causes });

  const show = (moved) => {
    const here = path.at(-1);
    finder.classList.toggle("found", Boolean(here?.cause));
    heed.replaceChildren(...(here ? here.flow.cautions.map((text) => element("li", text)) : []));
    if (!here) {
      question.textContent = question.dataset.first;
      answers.replaceChildren(...flows.map((flow) => choice(flow.title, begin(flow))));
    } else if (here.cause) {
      question.textContent = here.cause;
      answers.replaceChildren();
    } else {
      const [text, ways] = here.flow.rows[here.row - 1];
      question.textContent = text;
      answers.replaceChildren(...ways.map(([seen, number, cause]) =>
        choice(seen, number ? { flow: here.flow, row: number } : { flow: here.flow, cause })));
    }
    heed.hidden = !heed.children.length;
    back.disabled = again.disabled = !here;
    if (moved) question.focus();
  };
  back.addEventListener("click", () => { path.pop(); show(true); });
  again.addEventListener("click", () => { path = []; show(true); });
  finder.hidden = false;
  show(false);
}
