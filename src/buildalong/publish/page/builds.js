// One of many builds: a slider, or the histograms themselves, choose it.
for (const builds of document.querySelectorAll(".builds")) {
  const choose = builds.querySelector(".choose");
  const data = JSON.parse(choose.querySelector("script").textContent);
  const says = choose.dataset;
  const slider = choose.querySelector("input");
  const output = choose.querySelector("output");
  const figures = [...builds.querySelectorAll(".promised")];
  const MOST = 3;
  let now = 0;

  const written = ({ digits, unit }, whole) =>
    `${(whole / 10 ** digits).toFixed(digits)}`.replace("-", "−").replace(".", data.point) + (unit && `\u00a0${unit}`);
  const filled = (pattern, places) => pattern.replace(/\{(\w+)\}/g, (_, name) => places[name]);
  const because = (promise) => promise.moved
    .map(([part, by]) => [data.parts[part], by[now]])
    .filter(([, by]) => by)
    .sort((a, b) => Math.abs(b[1]) - Math.abs(a[1]))
    .slice(0, MOST)
    .map(([part, by]) => filled(by > 0 ? says.more : says.less, {
      part: part.name,
      what: part.values ? filled(part.what, { value: written(part, part.values[now]) }) : part.what,
      change: written(promise, Math.abs(by)),
    }));

  const views = figures.map((figure, number) => {
    const promise = data.promises[number];
    const svg = figure.querySelector("svg");
    const hand = document.createElementNS("http://www.w3.org/2000/svg", "path");
    hand.setAttribute("class", "hand");
    svg.append(hand);
    const chosen = figure.querySelector(".chosen");
    const [value, ok, not, list] = [".value", ".ok", ".not", "ul"].map((name) => chosen.querySelector(name));
    chosen.hidden = false;
    const x = (whole) => promise.plot[0] + whole * promise.plot[1];
    const show = () => {
      const whole = promise.values[now];
      const kept = promise.kept[now] === "1";
      value.textContent = whole === null ? says.never : written(promise, whole);
      [ok.hidden, not.hidden] = [!kept, kept];
      const reasons = whole === null ? [] : because(promise);
      list.replaceChildren(...(reasons.length || whole === null ? reasons : [says.drawn]).map((words) => {
        const line = document.createElement("li");
        line.textContent = words;
        return line;
      }));
      if (whole === null) hand.removeAttribute("d");
      else hand.setAttribute("d", `M${x(whole)} ${promise.foot}V${promise.top}m-6 0a6 6 0 1 0 12 0a6 6 0 1 0-12 0`);
      return `${value.textContent} ${(kept ? ok : not).textContent}`;
    };
    svg.addEventListener("click", (event) => {
      const box = svg.getBoundingClientRect();
      const at = ((event.clientX - box.left) / box.width) * svg.viewBox.baseVal.width;
      const far = (whole) => (whole === null ? Infinity : Math.abs(x(whole) - at));
      choice(promise.values.reduce((best, whole, i) => (far(whole) < far(promise.values[best]) ? i : best), 0));
    });
    return show;
  });
  const choice = (place) => {
    now = Math.min(Math.max(place, 0), data.promises[0].values.length - 1);
    slider.value = now + 1;
    output.textContent = filled(says.build, { number: now + 1 });
    slider.setAttribute("aria-valuetext", [output.textContent, ...views.map((show) => show())].join(", "));
  };
  slider.addEventListener("input", () => choice(slider.value - 1));
  choose.hidden = false;
  builds.classList.add("live");
  choice(slider.value - 1);
}
