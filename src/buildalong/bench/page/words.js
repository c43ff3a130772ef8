// Promises, the story and the author's words.
const promises = document.querySelector("#promises"), story = document.querySelector("#story");
const prose = document.querySelector("#words .prose"), title = document.querySelector("#title");

function cell(row, text, kind = "td", name = "") {
  const made = document.createElement(kind);
  made.textContent = text; made.className = name;
  row.append(made);
}

let promised = [];

// What a measure is promised as, in the author's words; a measure may leave out the span of time.
export function spoken(measure) {
  if (!measure.endsWith(")")) return "";
  const all = promised.filter(p => p.that === measure || p.that.startsWith(`${measure.slice(0, -1)},`));
  return all.length === 1 ? all[0].says : "";
}

export function show(message) {
  promised = message.promises;
  title.textContent = message.title;
  document.title = `${message.title} – bench`;
  const head = document.createElement("tr");
  for (const text of ["promise", "expected", "measured", ""]) cell(head, text, "th");
  promises.replaceChildren(head, ...message.promises.map(p => {
    const row = document.createElement("tr");
    cell(row, p.says || p.that); cell(row, p.expected); cell(row, p.measured || "–");
    cell(row, p.ok ? "kept" : "not kept", "td", p.ok ? "ok" : "not");
    return row;
  }));
  story.replaceChildren(...message.stories.flatMap(one => {
    const name = document.createElement("p"), steps = document.createElement("ol");
    name.textContent = one.trial;
    for (const { text } of one.told.slice(0, 12)) { const item = document.createElement("li"); item.textContent = text; steps.append(item); }
    return [name, steps];
  }));
  // The words were cleaned by the compiler; whatever slipped through could still run nothing here.
  prose.replaceChildren(...message.prose.flatMap(section => {
    const head = document.createElement("h3");
    head.textContent = section.title;
    const page = new DOMParser().parseFromString(section.html, "text/html");
    for (const bad of page.querySelectorAll("script, style, iframe, object, embed, form")) bad.remove();
    return [head, ...page.body.childNodes];
  }));
}
