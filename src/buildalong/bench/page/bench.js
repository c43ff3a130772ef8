// The page's one conversation with the bench: what comes in is handed to those who show it.
import * as source from "/source.js";
import * as pictures from "/pictures.js";
import * as live from "/live.js";
import * as sheets from "/sheets.js";
import * as words from "/words.js";

const state = document.querySelector("#state");
let socket, waited = 300, last = "";

export function send(message) {
  if (socket && socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message));
}

const hears = {
  hello: m => { source.hello(m); live.pace(m); state.textContent = "Reading the lesson…"; },
  text: source.text, taken: source.taken, settled: source.settled, history: m => { source.history(m); last = sentence(m.says); state.textContent = last; }, "unsaved-why": source.refused,
  findings: m => { source.findings(m); },
  words: words.show, progress: m => { state.textContent = m.text ? `${sentence(m.text)}…` : last; },
  schematic: m => pictures.show("schematic", m), board: m => { pictures.show("board", m); live.board(m); },
  look: live.look, pace: live.pace, set: live.set, meter: live.meter, probes: live.probes,
  cannot: live.cannot, sheet: sheets.show, pong: () => {},
  refused: m => { state.textContent = m.why; }, broken: m => { state.textContent = m.why; },
};

// A sentence begins with a capital; a file's name is left as it is written.
function sentence(text) { return /^\S+\.(toml|md)\b/.test(text) ? text : text && text[0].toUpperCase() + text.slice(1); }

function open() {
  socket = new WebSocket(`ws://${location.host}/socket`);
  socket.addEventListener("open", () => { waited = 300; });
  socket.addEventListener("message", event => {
    const message = JSON.parse(event.data);
    if (hears[message.k]) hears[message.k](message);
  });
  socket.addEventListener("close", () => {
    state.textContent = "The bench does not answer; trying again…";
    setTimeout(open, waited);
    waited = Math.min(waited * 2, 5000);
  });
}

source.start(send); pictures.start(); live.start(send); sheets.start(send);
open();
