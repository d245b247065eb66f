// A chart of a panel: its model holds traces and layout whole, the page draws what has changed.
//
// Words of the same move are painted first: a chart is drawn after the next frame, and as the
// model stands by then.

// All charts of a page share plotly. Its script, 5 MB, comes in a model of its own, once.
function library(model) {
  globalThis.mplanPlotly ??= load(model);
  return globalThis.mplanPlotly;
}

async function load(model) {
  const id = model.get("script").replace("IPY_MODEL_", "");
  const text = (await model.widget_manager.get_model(id)).get("text");
  const head = "const exports = {}, module = { exports };\n";
  const blob = new Blob([head, text, "\nexport default module.exports;\n"], { type: "text/javascript" });
  const url = URL.createObjectURL(blob);
  const plotly = (await import(url)).default;
  URL.revokeObjectURL(url);
  return plotly;
}

// Arrays that are as they were stay the same objects, by which plotly knows what to leave alone.
function kept(before, after) {
  if (before === after || typeof after !== "object" || after === null) return after;
  if (JSON.stringify(before) === JSON.stringify(after)) return before;
  if (Array.isArray(after) || typeof before !== "object" || before === null) return after;
  return Object.fromEntries(Object.entries(after).map(([key, x]) => [key, kept(before[key], x)]));
}

function render({ model, el }) {
  const picture = pictureIn(el, () => model.get("about"), () => library(model));
  let traces = [];
  let waits = false;
  let gone = false;

  function draw(plotly) {
    waits = false;
    if (gone) return;
    traces = model.get("traces").map((trace, i) => kept(traces[i], trace));
    picture.draw(plotly, traces, structuredClone(model.get("frame"))); // plotly writes into it
  }

  function changed() {
    if (waits) return;
    waits = true;
    library(model).then((plotly) => requestAnimationFrame(() => setTimeout(draw, 0, plotly)));
  }

  model.on("change:traces", changed);
  model.on("change:frame", changed);
  changed();
  return () => {
    gone = true;
    model.off("change:traces", changed);
    model.off("change:frame", changed);
    picture.end();
  };
}

export default { render };
