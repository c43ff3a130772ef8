// Dark or light: first what the device asks for, then what the reader chooses on this page; nothing is stored.
"use strict";
{
  const root = document.documentElement;
  root.classList.add("js");
  const button = document.querySelector(".theme");
  const asked = matchMedia("(prefers-color-scheme: dark)");
  const dark = () => (root.dataset.theme ? root.dataset.theme === "dark" : asked.matches);
  const tell = () => button.setAttribute("aria-pressed", String(dark()));
  button.addEventListener("click", () => {
    root.dataset.theme = dark() ? "light" : "dark";
    tell();
  });
  asked.addEventListener("change", tell);
  button.hidden = false;
  tell();
}
