// Sliders for what a hand can turn, shade, throw or lower.
const home = document.querySelector("#knobs");
const KINDS = { turn: ["turned to", 100, "%"], light: ["light", 1, "lx"], volts: ["supply", 1, "V"], throw: ["thrown", 1, ""] };

export function draw(controls, say) {
  const had = document.activeElement && document.activeElement.dataset && document.activeElement.dataset.knob;
  home.replaceChildren(...controls.filter(c => c.kind !== "press").map(control => {
    const label = document.createElement("label"), range = document.createElement("input"), out = document.createElement("output");
    const [word, times, unit] = KINDS[control.kind];
    range.dataset.knob = `${control.part}|${control.setting}`;
    if (control.kind === "throw") { range.type = "checkbox"; range.checked = control.value > .5; }
    else { range.type = "range"; range.min = 0; range.max = 1000; range.value = 1000 * share(control); }
    const tell = value => { out.textContent = control.kind === "throw" ? "" : `${(value * times).toPrecision(3)} ${unit}`; };
    range.addEventListener("input", () => {
      const value = control.kind === "throw" ? Number(range.checked) : valued(control, range.value / 1000);
      tell(value);
      say({ do: "set", part: control.part, setting: control.setting, value });
    });
    tell(control.value);
    label.append(`${control.part} ${word}`, range, out);
    return label;
  }));
  if (had) { const again = home.querySelector(`[data-knob="${CSS.escape(had)}"]`); if (again) again.focus(); }
}

export function busy(control) {
  const knob = home.querySelector(`[data-knob="${CSS.escape(`${control.part}|${control.setting}`)}"]`);
  return knob === document.activeElement;
}

// Light is felt by its logarithm; all else goes evenly from end to end.
function share({ kind, value, low, high }) { return kind === "light" ? Math.log(value / low) / Math.log(high / low) : (value - low) / (high - low); }
function valued({ kind, low, high }, x) { return kind === "light" ? low * (high / low) ** x : low + x * (high - low); }
