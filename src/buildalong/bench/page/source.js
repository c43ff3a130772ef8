// What the author writes: the files, and the findings at their places in them.
const area = document.querySelector(".paper textarea"), marks = document.querySelector(".paper .marks");
const list = document.querySelector("#findings"), count = document.querySelector("#count");
const tabs = document.querySelector(".files"), save = document.querySelector("#save"), disk = document.querySelector("#disk");
const SETTLE = 10;  // milliseconds after a key before the text goes out
const files = new Map();
let now = "", say, timer = 0, told = [], checked = [], number = 0, shown = 0;

export function start(send) {
  say = send;
  area.addEventListener("input", () => {
    const file = files.get(now);
    file.text = area.value; file.typed = performance.now();
    paint();
    clearTimeout(timer);
    busy();
    timer = setTimeout(() => out(now), SETTLE);
  });
  area.addEventListener("scroll", () => { marks.scrollTop = area.scrollTop; marks.scrollLeft = area.scrollLeft; });
  save.addEventListener("click", () => say({ do: "save" }));
  for (const what of ["back", "forth"]) document.querySelector(`#${what}`).addEventListener("click", () => say({ do: "history", what }));
  addEventListener("keydown", event => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase(), what = key === "y" || (key === "z" && event.shiftKey) ? "forth" : key === "z" ? "back" : "";
    if (key === "s") { event.preventDefault(); say({ do: "save" }); }
    if (!what || event.target.matches("input:not([type=radio], [type=checkbox], [type=range])")) return;
    event.preventDefault();
    if (timer) { clearTimeout(timer); out(now); }
    say({ do: "history", what });
  });
}

function out(name) {
  timer = 0;
  const file = files.get(name);
  if (file.waiting) { file.again = true; return; }
  file.waiting = true;
  say({ do: "text", file: name, base: file.version, text: file.text });
}

export function hello(message) {
  tabs.replaceChildren();
  files.clear();
  for (const { file, text, version } of message.texts) {
    files.set(file, { text, version, waiting: false, again: false });
    const button = document.createElement("button");
    button.type = "button"; button.role = "tab"; button.textContent = file;
    button.addEventListener("click", () => open(file));
    tabs.append(button);
  }
  number = message.texts[0].number; shown = 0;
  busy();
  open(files.has(now) ? now : message.texts[0].file);
  history(message);
  if (message.left.length) offer(message.left);
}

function open(name) {
  if (files.has(now)) files.get(now).at = [area.scrollTop, area.selectionStart];
  now = name;
  const { text, at: [top, caret] = [0, 0] } = files.get(name);
  area.value = text;
  for (const one of [area, marks]) one.classList.toggle("prose-like", name.endsWith(".md"));
  area.setSelectionRange(caret, caret);
  area.scrollTop = top;
  for (const tab of tabs.children) tab.setAttribute("aria-selected", tab.textContent.replace(" •", "") === name);
  paint();
}

export function taken(message) {
  const file = files.get(message.file);
  file.version = message.version; file.waiting = false;
  number = message.number;
  if (file.again) { file.again = false; out(message.file); }
  busy();
}

export function text(message) {
  const file = files.get(message.file);
  Object.assign(file, { text: message.text, version: message.version, waiting: false, again: false });
  number = message.number;
  busy();
  if (message.file !== now) return;
  const { selectionStart: from, selectionEnd: to } = area;
  area.value = message.text;
  area.setSelectionRange(from, to);
  paint();
}

// The pictures are those of the text, until it is changed and while what is new is on its way.
export function settled(message) { shown = message.number; busy(); }

function busy() {
  const late = shown < number || timer > 0 || [...files.values()].some(file => file.waiting);
  for (const figure of document.querySelectorAll("figure[data-picture]")) figure.setAttribute("aria-busy", late);
}

function choices(...all) {
  for (const [words, message] of all) {
    const button = document.createElement("button");
    button.type = "button"; button.textContent = words;
    button.addEventListener("click", () => { disk.hidden = true; say(message); });
    disk.append(" ", button);
  }
  disk.hidden = false;
}

function offer(left) {
  disk.textContent = `An earlier bench ended with changes unsaved (${left.join("; ")}).`;
  choices(["Take them up", { do: "history", what: "take-up" }], ["Throw them away", { do: "history", what: "discard" }]);
}

export function history(message) {
  save.disabled = !message.files.length;
  for (const what of ["back", "forth"]) {
    const button = document.querySelector(`#${what}`);
    button.disabled = !message[what]; button.title = message[what];
  }
  for (const tab of tabs.children) {
    const name = tab.textContent.replace(" •", "");
    tab.textContent = message.files.includes(name) ? `${name} •` : name;
  }
}

export function refused(message) {
  disk.textContent = message.why;
  disk.hidden = false;
  if (message.code === "changed-on-disk") choices(["Take in what is on disk, keeping mine where both changed", { do: "history", what: "catch-up" }]);
}

export function findings(message) {
  told = message.list;
  const file = files.get(now);
  if (file && file.typed) { document.body.dataset.took = (performance.now() - file.typed).toFixed(1); if (message.final) file.typed = 0; }
  count.textContent = told.length ? `(${told.length})` : "";
  const again = message.early ? checked.filter(old => !told.some(f => f.code === old.code && f.message === old.message)) : [];
  if (message.final) checked = told;
  list.replaceChildren(...told.map(entry), ...(told.length && message.final ? [] : [remark(message)]), ...again.map(earlier));
  document.body.dataset.findings = String(message.number) + (message.final ? " final" : "");
  paint();
}

// What was found before the last key: it stays in sight until it was checked again.
function earlier(finding) {
  const item = entry(finding);
  item.className = "earlier";
  return item;
}

function remark({ list: found, final, left }) {
  const item = document.createElement("li");
  item.className = "remark";
  item.textContent = final ? "Nothing: all is well." : `${found.length ? "" : "Nothing so far. "}Still being checked: ${left}…`;
  return item;
}

function entry(finding) {
  const item = document.createElement("li"), kind = document.createElement("b");
  item.className = finding.severity;
  kind.textContent = `${finding.severity}: `;
  item.append(kind, finding.message);
  if (finding.line) {
    const place = document.createElement("button");
    place.type = "button";
    place.textContent = `${finding.file}, line ${finding.line}`;
    place.addEventListener("click", () => go(finding));
    item.append(" ", place);
  }
  if (finding.hint) {
    const cure = document.createElement("span");
    cure.className = "cure"; cure.textContent = finding.hint;
    item.append(cure);
  }
  return item;
}

function at(text, line, column) {
  let place = 0;
  for (let n = 1; n < line; n++) { const next = text.indexOf("\n", place); if (next < 0) break; place = next + 1; }
  return Math.min(place + Math.max(column - 1, 0), text.length);
}

function go(finding) {
  if (!files.has(finding.file)) return;
  open(finding.file);
  const place = at(area.value, finding.line, finding.column);
  area.focus({ preventScroll: true });
  area.setSelectionRange(place, end(area.value, place));
  const mark = [...marks.children].find(one => one.dataset.line === String(finding.line));
  area.scrollTop = Math.max(0, (mark ? mark.offsetTop : 0) - area.clientHeight / 3);
  area.scrollIntoView({ block: "nearest" });
}

function end(text, place) {
  const found = /^("[^"\n]*"|[^\s,\]}]+)/.exec(text.slice(place, place + 200));
  return place + (found ? found[0].length : 1);
}

function paint() {
  const content = area.value, here = told.filter(f => f.file === now && f.line).map(f => [at(content, f.line, f.column), f]);
  here.sort((a, b) => a[0] - b[0]);
  const bits = [];
  let from = 0;
  for (const [place, finding] of here) {
    if (place < from) continue;
    const mark = document.createElement("mark"), to = end(content, place);
    mark.className = finding.severity; mark.dataset.line = finding.line;
    mark.textContent = content.slice(place, to) || " ";
    bits.push(content.slice(from, place), mark);
    from = to;
  }
  marks.replaceChildren(...bits, content.slice(from) + "\n");
  marks.scrollTop = area.scrollTop; marks.scrollLeft = area.scrollLeft;
}
