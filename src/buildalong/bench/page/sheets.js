// Side sheets: what was asked for, how far it is, and published pages to look at.
const sheet = document.querySelector("#sheet"), title = document.querySelector("#sheet-title"), body = document.querySelector("#sheet-body");
const state = document.querySelector("#sheet-state"), bar = document.querySelector("#sheet progress");
const stop = document.querySelector("#sheet-stop"), again = document.querySelector("#sheet-again");
let say, asked = null;

export function start(send) {
  say = send;
  for (const button of document.querySelectorAll("[data-ask], [data-look]"))
    button.addEventListener("click", () => {
      asked = button.dataset.ask ? { do: "ask", what: button.dataset.ask } : { do: "preview", what: button.dataset.look };
      title.textContent = button.textContent;
      body.replaceChildren();
      sheet.showModal();
      say(asked);
    });
  stop.addEventListener("click", () => say({ do: "stop" }));
  again.addEventListener("click", () => { if (asked) say(asked); });
}

export function show(message) {
  if (!asked || (message.what && message.what !== asked.what)) return;
  const working = message.state === "working";
  stop.disabled = !working; again.disabled = working; bar.hidden = !working;
  if (working) { bar.value = message.share; state.textContent = message.text || "Beginning…"; return; }
  state.textContent = { done: "", stopped: "Stopped.", failed: "That could not be done." }[message.state];
  const bits = (message.lines || []).map(text => { const p = document.createElement("p"); p.textContent = text; return p; });
  if (message.rows) bits.push(table(message));
  if (message.page) {
    const frame = document.createElement("iframe");
    frame.setAttribute("sandbox", "allow-scripts");
    frame.title = title.textContent;
    frame.src = `/sheet/${message.page}`;
    bits.push(frame);
  }
  if (message.link) {
    const link = document.createElement("a");
    link.href = `/sheet/${message.link}`; link.target = "_blank"; link.rel = "noopener";
    link.textContent = "Open the pages (PDF) in a tab of their own";
    bits.push(link);
  }
  body.replaceChildren(...bits);
}

function table(message) {
  const made = document.createElement("table"), head = made.createTHead().insertRow();
  for (const text of message.head) { const th = document.createElement("th"); th.textContent = text; head.append(th); }
  for (const row of message.rows) { const tr = made.insertRow(); for (const text of row) tr.insertCell().textContent = text; }
  return made;
}
