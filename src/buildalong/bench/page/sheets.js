// Side sheets: what was asked for, how far it is, and published pages to look at.
import { spoken } from "/words.js";

const sheet = document.querySelector("#sheet"), title = document.querySelector("#sheet-title"), body = document.querySelector("#sheet-body");
const state = document.querySelector("#sheet-state"), bar = document.querySelector("#sheet progress");
const stop = document.querySelector("#sheet-stop"), again = document.querySelector("#sheet-again");
const beside = matchMedia("(min-width: 80rem)");  // so wide, the board stays in sight and in use beside the sheet
let say, asked = null, asker = null, place = null;

export function start(send) {
  say = send;
  for (const button of document.querySelectorAll("[data-ask], [data-look]"))
    button.addEventListener("click", () => {
      asked = button.dataset.ask ? { do: "ask", what: button.dataset.ask } : { do: "preview", what: button.dataset.look };
      title.textContent = button.textContent;
      body.replaceChildren(); place = null;
      asker = button;
      sheet.close();
      if (beside.matches) sheet.show(); else sheet.showModal();
      say(asked);
    });
  addEventListener("keydown", event => { if (event.key === "Escape" && !event.defaultPrevented && sheet.open) sheet.close(); });
  sheet.addEventListener("close", () => { const at = document.activeElement; if (at === document.body || sheet.contains(at)) asker.focus(); });
  stop.addEventListener("click", () => say({ do: "stop" }));
  sheet.addEventListener("close", () => { if (!sheet.open) say({ do: "close" }); });
  addEventListener("message", ({ source, data }) => {
    const frame = body.querySelector("iframe");
    if (!frame || source !== frame.contentWindow || !data) return;
    place = { id: String(data.id).slice(0, 200), by: Number(data.by) || 0, hash: String(data.hash).slice(0, 200) };
  });
  again.addEventListener("click", () => { if (asked) say(asked); });
}

export function show(message) {
  if (!asked || (message.what && message.what !== asked.what)) return;
  const working = message.state === "working";
  const held = [stop, again].includes(document.activeElement);
  stop.disabled = !working; again.disabled = working; bar.hidden = !working;
  if (held) (working ? stop : again).focus();  // a button that is switched off drops the focus
  if (working) { bar.value = message.share; state.textContent = message.text || "Beginning…"; return; }
  state.textContent = { done: "", stopped: "Stopped.", failed: "That could not be done." }[message.state];
  const bits = (message.lines || []).map(paragraph);
  if (message.free) bits.push(freed(message));
  if (message.state === "failed")
    for (const error of document.querySelectorAll("#findings .error")) bits.push(paragraph([...error.childNodes].map(bit => bit.textContent.trim()).join(" ")));
  if (message.rows) bits.push(table(message));
  if (message.link) bits.push(link(message.link, message.says));
  if (message.page) {
    const frame = document.createElement("iframe"), back = place;
    frame.setAttribute("sandbox", "allow-scripts");
    frame.title = title.textContent;
    frame.src = `/sheet/${message.page}?n=${message.number}`;
    if (back) frame.addEventListener("load", () => frame.contentWindow.postMessage(back, "*"));  // made anew: where the reader was
    bits.push(frame);
  }
  body.replaceChildren(...bits);
}

function paragraph(text) {
  const made = document.createElement("p");
  made.textContent = text;
  return made;
}

function link(file, words) {
  const made = document.createElement("a"), p = document.createElement("p");
  made.href = `/sheet/${file}`; made.textContent = words;
  if (file.endsWith(".pdf")) { made.target = "_blank"; made.rel = "noopener"; } else made.download = file;
  p.append(made);
  return p;
}

// A cell; a measure is told in the promise's words, with the measure below.
function cell(kind, text) {
  const made = document.createElement(kind), says = spoken(text);
  made.textContent = says || text.replace(/(\d) (?=(?:[kMµmnp]?[VAWΩFs]|k?Hz|lx|%|°C|min|h)(?!\w))/g, "$1\u00a0");
  if (says) { const code = document.createElement("code"); code.textContent = text; made.append(" ", code); }
  return made;
}

// Which parts may have other values.
function freed({ free, parts, most }) {
  const row = document.createElement("div"), look = document.createElement("button");
  row.className = "row"; row.setAttribute("role", "group"); row.setAttribute("aria-label", "Look for other values of");
  const boxes = free.map(name => { const box = document.createElement("input"); box.type = "checkbox"; box.value = name; box.checked = parts.includes(name); return box; });
  const chosen = () => boxes.filter(box => box.checked).map(box => box.value);
  const bound = () => { const now = chosen(); look.disabled = !now.length; for (const box of boxes) box.disabled = !box.checked && now.length >= most; };
  look.type = "button"; look.textContent = "Look for these";
  look.addEventListener("click", () => { asked = { ...asked, parts: chosen() }; say(asked); });
  row.append(`Look for other values of (up to ${most}):`, ...boxes.map(box => {
    const label = document.createElement("label");
    label.append(box, ` ${box.value}`);
    box.addEventListener("change", bound);
    return label;
  }), look);
  bound();
  return row;
}

function table(message) {
  const made = document.createElement("table"), head = made.createTHead().insertRow();
  head.append(...message.head.map(text => cell("th", text)));
  if (message.edits) { const th = document.createElement("th"); th.textContent = "take"; head.append(th); }
  const body = made.createTBody();
  made.className = message.edits ? "short" : "";
  message.rows.forEach((row, number) => {
    const tr = body.insertRow();
    row.forEach((text, n) => {
      const td = cell("td", text), name = message.head[n];
      if (name && (n || message.edits)) td.dataset.name = spoken(name) || name;
      tr.append(td);
    });
    if (message.edits) tr.insertCell().append(taker(message.edits[number]));
  });
  return made;
}

function taker(edits) {
  // The values of this row into the text, where "Take back" takes them out again.
  if (!edits.length) return "as it is now";
  const button = document.createElement("button");
  button.type = "button"; button.textContent = "Use these";
  button.setAttribute("aria-label", `Use ${edits.map(e => `${e.value} for ${e.part}`).join(", ")}`);
  button.addEventListener("click", () => { say({ do: "edit", edit: edits }); sheet.close(); });
  return button;
}
