// Charts are drawn when they come into sight; the style sheet turns them dark with the page.
const system = matchMedia("(prefers-color-scheme: dark)");
const PHONE = 500; // px, below which a chart's words are smaller
const button = document.getElementById("theme");

function isDark() {
  const chosen = document.documentElement.dataset.theme;
  return chosen ? chosen === "dark" : system.matches;
}

function offer() {
  button.textContent = isDark() ? "Light page" : "Dark page";
}

function draw(chart) {
  const { data, layout, config, about } = JSON.parse(document.getElementById(`${chart.id}-data`).textContent);
  if (chart.clientWidth < PHONE) layout.font.size = 10;
  Plotly.newPlot(chart, data, layout, { ...config, displayModeBar: false });
  chart.after(savingButtons((kind) => save(Plotly, chart, kind, about)));
}

const seen = new IntersectionObserver((entries) => {
  for (const { isIntersecting, target } of entries) {
    if (!isIntersecting) continue;
    seen.unobserve(target);
    draw(target);
  }
}, { rootMargin: "600px" });
for (const chart of document.querySelectorAll(".chart")) seen.observe(chart);

button.hidden = false;
button.addEventListener("click", () => {
  document.documentElement.dataset.theme = isDark() ? "light" : "dark";
  offer();
});
system.addEventListener("change", offer);
offer();

// What is wider than its box can be scrolled by keys too.
const measured = new ResizeObserver((entries) => {
  for (const { target } of entries) {
    if (target.scrollWidth > target.clientWidth + 1) target.tabIndex = 0;
    else target.removeAttribute("tabindex");
  }
});
for (const box of document.querySelectorAll(".wide")) measured.observe(box);
