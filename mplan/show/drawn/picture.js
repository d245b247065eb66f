// A picture in a page: as wide as its place, named by its words, with buttons that save it.
//
// Panels (live.js) and cells (in_lab.js) share it: this file stands before theirs.

const CONFIG = { displaylogo: false, displayModeBar: false };
const LEAST = 340; // px; in a narrower place the picture is scrolled
const SETTLES = 60; // ms that a place has kept its width, before the picture follows it
const NOTE = 18; // px below a saved picture, for what it is not for
const KINDS = { png: "PNG", svg: "SVG" };

// `about` has a file's name and the caution; `load` returns a promise of plotly.
function pictureIn(place, about, load) {
  place.classList.add("mplan-picture");
  const chart = document.createElement("div");
  chart.setAttribute("role", "img");
  place.append(chart, savingButtons((kind) => load().then((plotly) => save(plotly, chart, kind, about()))));

  const width = () => Math.max(LEAST, Math.floor(place.clientWidth));
  function fit() {
    if (!place.clientWidth || !chart.layout || chart.layout.width === width()) return;
    load().then((plotly) => plotly.relayout(chart, { width: width() }));
  }
  let timer = 0;
  const watch = new ResizeObserver(() => {
    clearTimeout(timer);
    timer = setTimeout(fit, SETTLES);
  });
  watch.observe(place);

  return {
    draw(plotly, traces, layout) {
      chart.setAttribute("aria-label", layout.meta);
      return plotly.react(chart, traces, { ...layout, width: width() }, CONFIG);
    },
    end() {
      watch.disconnect();
      clearTimeout(timer);
      load().then((plotly) => plotly.purge(chart));
    },
  };
}

function savingButtons(save) {
  const bar = document.createElement("div");
  bar.className = "mplan-saving";
  for (const [kind, name] of Object.entries(KINDS)) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = name;
    button.title = `Save this picture as ${name}`;
    button.setAttribute("aria-label", button.title);
    button.addEventListener("click", () => save(kind));
    bar.append(button);
  }
  return bar;
}

// What is saved says what it is not for, in a line of its own below the axes.
async function save(plotly, chart, kind, { name, caution }) {
  const layout = structuredClone(chart.layout);
  layout.height += NOTE;
  layout.margin.b += NOTE;
  layout.title = {
    ...{ text: `<i>${caution}</i>`, font: { size: 10 } },
    ...{ xref: "container", x: 1, xanchor: "right", yref: "container", y: 0, yanchor: "bottom" },
    ...{ pad: { r: 8, b: 6 }, automargin: false },
  };
  const size = { width: layout.width, height: layout.height, scale: kind === "png" ? 2 : 1 };
  const link = document.createElement("a");
  link.href = await plotly.toImage({ data: chart.data, layout }, { format: kind, ...size });
  link.download = `${name}.${kind}`;
  link.click();
}
