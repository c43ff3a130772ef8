// Any moment of one recorded run: a slider, the waveforms themselves, or the told moments choose the time.
for (const replay of document.querySelectorAll(".replay")) {
  const data = JSON.parse(replay.querySelector("script").textContent);
  const story = [...replay.closest("section").querySelectorAll("ol.story")]
    .filter((list) => list.compareDocumentPosition(replay) & Node.DOCUMENT_POSITION_FOLLOWING).pop();
  const wave = [...replay.closest(".scrub").querySelectorAll(".waves svg")].pop();
  const slider = replay.querySelector("input");
  const output = replay.querySelector("output");
  const sentence = replay.querySelector(".sentence");
  const glows = replay.querySelectorAll(".at-work");
  const numbers = [...replay.querySelectorAll("text[data-net]")].filter((text) => data.curves[text.dataset.net]);
  const levels = replay.querySelectorAll("[data-level]");
  const items = replay.querySelectorAll("[data-item]");
  const insides = replay.querySelectorAll("[data-inside]");
  const moments = data.told.map(([tick]) => tick);
  const steps = Number(slider.max);
  let now = 0;

  const written = (number, unit) => `${number}`.replace("-", "−").replace(".", data.point) + `\u00a0${unit}`;
  const time = (tick) => {
    const seconds = data.from + (tick / data.ticks) * (data.to - data.from);
    const [scale, unit] = data.to - data.from >= 2 ? [1, "s"] : data.to - data.from >= 2e-3 ? [1e3, "ms"] : [1e6, "µs"];
    return written((seconds * scale).toPrecision(3) * 1, unit);
  };
  const level = (net, tick) => {
    const [times, volts] = data.curves[net];
    let after = times.findIndex((t) => t > tick);
    if (after < 0) return volts.at(-1) / 100;
    if (after === 0) return volts[0] / 100;
    const [a, b] = [times[after - 1], times[after]];
    return (volts[after - 1] + ((volts[after] - volts[after - 1]) * (tick - a)) / (b - a)) / 100;
  };
  const volts = (value, digits) => written(Math.abs(value) < 0.005 ? 0 : value.toFixed(digits ?? (Math.abs(value) >= 9.995 ? 1 : 2)), "V");
  const isOn = (name) => data.on[name].some(([from, to]) => from <= now && now < to);
  const last = (list) => list.reduce((found, [tick, place]) => (tick <= now ? place : found), -1);

  const hand = document.createElementNS("http://www.w3.org/2000/svg", "path");
  hand.setAttribute("class", "hand");
  wave.append(hand);

  const show = (tick) => {
    now = Math.min(Math.max(Math.round(tick), 0), data.ticks);
    slider.value = (now / data.ticks) * steps;
    output.textContent = time(now);
    const [left, right] = data.plot;
    const x = left + (now / data.ticks) * (right - left);
    hand.setAttribute("d", `M${x} ${data.head}V${data.foot}`);
    for (const glow of glows) glow.style.visibility = isOn(glow.dataset.part) ? "" : "hidden";
    for (const text of numbers) text.textContent = volts(level(text.dataset.net, now), text.closest("[data-inside]") ? 1 : undefined);
    for (const span of levels) span.textContent = volts(level(span.dataset.level, now));
    const lit = [];
    for (const item of items) {
      const span = item.lastElementChild;
      const on = isOn(item.dataset.item);
      item.classList.toggle("lit", on);
      span.textContent = on ? span.dataset.on : span.dataset.off;
      lit.push(`${item.dataset.item} ${span.textContent}`);
    }
    slider.setAttribute("aria-valuetext", [time(now), ...lit].join(", "));
    for (const inside of insides) {
      const place = last(data.inside[inside.dataset.inside]);
      [...inside.children].forEach((picture, i) => { picture.hidden = i !== place; });
    }
    const told = last(data.told);
    const words = told < 0 ? "" : story.children[told].lastChild.textContent;
    [...story.children].forEach((line, i) => line.classList.toggle("now", i === told));
    if (sentence.textContent !== words) sentence.textContent = words;
  };
  slider.addEventListener("input", () => show((slider.value / steps) * data.ticks));
  replay.querySelector("[data-do=earlier]").addEventListener("click", () => show(moments.filter((m) => m < now).pop() ?? 0));
  replay.querySelector("[data-do=later]").addEventListener("click", () => show(moments.find((m) => m > now) ?? data.ticks));

  // The waveforms are a slider too: a tap anywhere, a drag where nothing has to be scrolled.
  const at = (event) => {
    const box = wave.getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * wave.viewBox.baseVal.width;
    return ((x - data.plot[0]) / (data.plot[1] - data.plot[0])) * data.ticks;
  };
  const fits = () => wave.parentElement.scrollWidth <= wave.parentElement.clientWidth + 1;
  wave.addEventListener("click", (event) => show(at(event)));
  wave.addEventListener("pointerdown", (event) => {
    if (event.pointerType === "touch" && !fits()) return;
    event.preventDefault();
    wave.setPointerCapture(event.pointerId);
    show(at(event));
  });
  wave.addEventListener("pointermove", (event) => { if (wave.hasPointerCapture(event.pointerId)) show(at(event)); });
  const room = () => { wave.style.touchAction = fits() ? "pan-y pinch-zoom" : ""; };
  addEventListener("resize", room);
  room();
  replay.hidden = false;
  replay.closest(".scrub").classList.add("live");
  show(moments[0] ?? 0);
}
