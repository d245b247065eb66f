// Pictures of cells in JupyterLab, which loads this script with its page.
//
// A picture that was saved with a workbook is drawn without a kernel. Other figures of plotly are
// left to plotly's own renderer.

const PICTURE = "application/vnd.mplan.picture.v1+json";
const PLOTLY = "application/vnd.plotly.v1+json";
const HERE = document.currentScript.src;
const SHOWN_FIRST = 1; // before plotly's own, which has 2

const style = document.createElement("style");
style.textContent = STYLE;
document.head.append(style);

// Charts of panels take plotly from the same place.
function library() {
  globalThis.mplanPlotly ??= load();
  return globalThis.mplanPlotly;
}

async function load() {
  const text = await (await fetch(new URL("plotly.min.js", HERE))).text();
  const head = "const exports = {}, module = { exports };\n";
  const blob = new Blob([head, text, "\nexport default module.exports;\n"], { type: "text/javascript" });
  const url = URL.createObjectURL(blob);
  const plotly = (await import(url)).default;
  URL.revokeObjectURL(url);
  return plotly;
}

function renderer(Widget) {
  return class extends Widget {
    constructor() {
      super();
      this.addClass("mplan-cell");
    }

    async renderModel({ data }) {
      const { data: traces, layout } = structuredClone(data[PLOTLY]);
      this.about = data[PICTURE];
      this.picture ??= pictureIn(this.node, () => this.about, library);
      await this.picture.draw(await library(), traces, layout);
    }

    dispose() {
      this.picture?.end();
      super.dispose();
    }
  };
}

function extension(Widget) {
  const Renderer = renderer(Widget);
  const factory = { safe: true, mimeTypes: [PICTURE], createRenderer: () => new Renderer() };
  return { id: "mplan-pictures:factory", rendererFactory: factory, rank: SHOWN_FIRST, dataType: "json" };
}

// What JupyterLab asks of an extension: the widgets it shares come in, what it shall have goes out.
let shared = {};
globalThis._JUPYTERLAB ??= {};
globalThis._JUPYTERLAB["mplan-pictures"] = {
  init(scope) {
    shared = scope;
  },
  async get() {
    const [offered] = Object.values(shared["@lumino/widgets"]);
    const { Widget } = (await offered.get())();
    return () => ({ __esModule: true, default: extension(Widget) });
  },
};
