"use strict";
// Charts are drawn when they come into sight, and drawn anew where the page turns dark or light.
const twins = JSON.parse(document.getElementById("dark-colours").textContent);
const system = matchMedia("(prefers-color-scheme: dark)");
const drawn = new Set();

function isDark() {
  const chosen = document.documentElement.dataset.theme;
  return chosen ? chosen === "dark" : system.matches;
}

function dressed(part) {
  if (typeof part === "string") return twins[part.toLowerCase()] ?? part;
  if (Array.isArray(part)) return part.map(dressed);
  if (part === null || typeof part !== "object") return part;
  return Object.fromEntries(Object.entries(part).map(([name, value]) => [name, dressed(value)]));
}

function draw(chart) {
  const kept = document.getElementById(`${chart.id}-data`);
  let figure = JSON.parse(kept.textContent);
  if (isDark()) figure = dressed(figure);
  if (chart.clientWidth < 500) figure.layout.font.size = 10; // a phone
  Plotly.react(chart, figure.data, figure.layout, figure.config);
  drawn.add(chart);
}

const seen = new IntersectionObserver((entries) => {
  for (const entry of entries) {
    if (entry.isIntersecting && !drawn.has(entry.target)) draw(entry.target);
  }
}, { rootMargin: "600px" });

function offer() {
  button.textContent = isDark() ? "Light page" : "Dark page";
}

function redress() {
  offer();
  drawn.forEach(draw);
}

const button = document.getElementById("theme");
button.hidden = false;
button.addEventListener("click", () => {
  document.documentElement.dataset.theme = isDark() ? "light" : "dark";
  redress();
});
system.addEventListener("change", redress);
offer();
for (const chart of document.querySelectorAll(".chart")) seen.observe(chart);

// What is wider than its box can be scrolled by keys too.
const measured = new ResizeObserver((entries) => {
  for (const { target } of entries) {
    if (target.scrollWidth > target.clientWidth + 1) target.tabIndex = 0;
    else target.removeAttribute("tabindex");
  }
});
for (const box of document.querySelectorAll(".wide")) measured.observe(box);
